package contact

import (
	"strings"

	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/slip"
)

// A SlipKind is a usual slip of somebody who reads a number or writes it down. The zero
// SlipKind is not valid.
type SlipKind uint8

// The usual slips.
const (
	SignReversed     = SlipKind(slip.Sign)        // the sign is the other one
	Centimetres      = SlipKind(slip.Centimetres) // the number is in cm
	Metres           = SlipKind(slip.Metres)      // the number is in m
	Inches           = SlipKind(slip.Inches)      // the number is in inches
	TenOff           = SlipKind(slip.Ten)         // a scale was read 10 mm or degrees too high or too low
	HundredOff       = SlipKind(slip.Hundred)     // a scale was read 100 mm too high or too low
	DigitsExchanged  = SlipKind(slip.Exchanged)   // two digits are exchanged
	DigitDoubled     = SlipKind(slip.Doubled)     // a digit stands twice
	DigitDropped     = SlipKind(slip.Dropped)     // a digit is missing
	OtherSide        = SlipKind(slip.OtherSide)   // an angle counts from the other side: from the other half of the line, or from the vertical
	NoseForReference = SlipKind(slip.Nose)        // measured at the saddle's nose in place of its reference, or the other way round
	GroundForBracket = SlipKind(slip.Ground)      // measured from the ground in place of the bottom bracket, or the other way round
	StraightForLevel = SlipKind(slip.Straight)    // measured straight in place of level or upright, or the other way round
	LeftForRight     = SlipKind(slip.Side)        // measured on the other side of the bike
)

var slipNames = enum.New[SlipKind]("slip", []string{
	SignReversed: "sign_reversed", Centimetres: "centimetres", Metres: "metres", Inches: "inches", TenOff: "ten_off", HundredOff: "hundred_off",
	DigitsExchanged: "digits_exchanged", DigitDoubled: "digit_doubled", DigitDropped: "digit_dropped", OtherSide: "other_side",
	NoseForReference: "nose_for_reference", GroundForBracket: "ground_for_bracket", StraightForLevel: "straight_for_level", LeftForRight: "left_for_right",
})

// String returns the kind's name, such as "sign_reversed".
func (k SlipKind) String() string { return slipNames.String(k) }

// MarshalText writes the kind's name; it fails for an unknown number.
func (k SlipKind) MarshalText() ([]byte, error) { return slipNames.Text(k) }

// UnmarshalText reads a name as [ParseSlipKind] does.
func (k *SlipKind) UnmarshalText(text []byte) error { return slipNames.Read(k, text) }

// ParseSlipKind returns the kind of that name, or a [*Error] of class [ErrUnknown].
func ParseSlipKind(name string) (SlipKind, error) { return slipNames.Parse(name) }

// A Slip is a usual slip that explains why a number does not fit the others: without it
// they agree as well as chance allows.
type Slip struct {
	Kind SlipKind `json:"kind"`
	// Value is the number without the slip, mm or degrees. It is the number as it is
	// stated where something else was measured.
	Value float64 `json:"value"`
	// Measured says what was measured instead, in the words of what was read. It is empty
	// where it was the right thing.
	Measured string `json:"measured,omitempty"`
}

// String returns the slip in a few words: "sign reversed: -86".
func (s Slip) String() string {
	what := s.Measured
	if what == "" {
		what = num.Text(s.Value, "")
	}
	return strings.ReplaceAll(s.Kind.String(), "_", " ") + ": " + what
}

// A Suspect is a reading that could be the wrong one where readings contradict one another:
// without it, the others agree as well as chance allows. If there are several, the readings
// do not tell which it is.
type Suspect struct {
	// Reading is its index.
	Reading int `json:"reading" range:"0 to 1e9"`
	// Against is the reading less the value that the others tell, and Sigma the standard
	// uncertainty of that, mm or degrees.
	Against float64 `json:"against"`
	Sigma   float64 `json:"sigma" range:"0 to 1e9"`
	// Slips lists all usual slips that explain it, each by itself. It is empty if none does.
	Slips []Slip `json:"slips,omitempty"`
	// Contradiction counts contradictions that are apart from one another, from 0: one
	// reading of each is wrong.
	Contradiction int `json:"contradiction" range:"0 to 1e9"`
}
