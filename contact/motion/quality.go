package motion

import (
	"fmt"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/num"
)

// A Kind is what a [Finding] says of a recording. The zero Kind is not valid.
type Kind uint8

// The kinds of findings.
const (
	// Spike is a marker that was elsewhere for some frames. They were set aside.
	Spike Kind = iota + 1
	// Exchange is two markers that had each other's label for some frames. They were given
	// their own.
	Exchange
	// Slip is a marker that moved on the body, or came off and was put elsewhere: the
	// lengths to its neighbours changed at once and for good. The shorter part of the
	// recording was set aside, of this marker.
	Slip
	// Gap is frames without the marker that were too many to be filled.
	Gap
	// Backward is a crank that turned backwards.
	Backward
	// CrankCentre is a circle of the pedal whose centre is not at the bottom bracket.
	CrankCentre
	// CrankLength is a circle of the pedal that is not as large as the crank is said to be,
	// or not as large as that of the other side.
	CrankLength
	// CrankPlane is a circle of the pedal that is not upright along the bike.
	CrankPlane
	// FootPhase is a crank angle that is not taken from a pedal but from a marker of the foot,
	// which may be some degrees beside it.
	FootPhase
)

var kindNames = enum.New[Kind]("kind", []string{
	Spike: "spike", Exchange: "exchange", Slip: "slip", Gap: "gap", Backward: "backward", CrankCentre: "crank_centre",
	CrankLength: "crank_length", CrankPlane: "crank_plane", FootPhase: "foot_phase",
})

// String returns the kind's name, such as "exchange".
func (k Kind) String() string { return kindNames.String(k) }

// MarshalText writes the kind's name; it fails for an unknown number.
func (k Kind) MarshalText() ([]byte, error) { return kindNames.Text(k) }

// UnmarshalText reads a name as [ParseKind] does.
func (k *Kind) UnmarshalText(text []byte) error { return kindNames.Read(k, text) }

// ParseKind returns the kind of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseKind(name string) (Kind, error) { return kindNames.Parse(name) }

// A Finding is something that is not as it should be in a recording.
type Finding struct {
	Kind Kind `json:"kind"`
	// Markers are those that it is about: two of an Exchange; of a Slip more than one if it
	// cannot be told which.
	Markers []Marker `json:"markers,omitempty"`
	// From and To are its first and last frame, from 0.
	From int `json:"from"`
	To   int `json:"to"`
	// By is how much it is: mm, of CrankPlane and Backward degrees; 0 of Gap and FootPhase.
	By float64 `json:"by,omitzero"`
}

// String returns the finding in words, such as "spike of knee_left by 312 mm in frame 40".
func (f Finding) String() string {
	var b strings.Builder
	b.WriteString(f.Kind.String())
	for i, m := range f.Markers {
		b.WriteString([...]string{" of ", " or "}[min(i, 1)] + m.String())
	}
	out := strings.Replace(b.String(), " or ", map[bool]string{true: " and ", false: " or "}[f.Kind == Exchange], 1)
	switch {
	case f.By == 0:
	case f.Kind == CrankPlane || f.Kind == Backward:
		out += " by " + num.Text(round1(f.By), "degrees")
	default:
		out += " by " + num.Text(round1(f.By), "mm")
	}
	if f.From == f.To {
		return out + fmt.Sprintf(" in frame %d", f.From)
	}
	return out + fmt.Sprintf(" in frames %d to %d", f.From, f.To)
}

// A MarkerQuality says what there is of a marker.
type MarkerQuality struct {
	Marker Marker `json:"marker"`
	// Seen, Filled, SetAside and Missing count frames: those that are used as they are, those
	// that were filled in, and of these and of the rest those that were seen but are not
	// used, and those that are without a place.
	Seen     int `json:"seen"`
	Filled   int `json:"filled"`
	SetAside int `json:"set_aside"`
	Missing  int `json:"missing"`
	// Noise is the standard deviation of a coordinate from frame to frame, mm. At few frames
	// a second it has a share of the movement.
	Noise float64 `json:"noise_mm"`
}

// A Crank is the circle of a pedal.
type Crank struct {
	// Side is the pedal's.
	Side contact.Side `json:"side"`
	// Marker is what goes round.
	Marker Marker `json:"marker"`
	Circle
}

// A Quality says what a recording is worth, before any angle.
type Quality struct {
	// Frames is how many there are, Rate how many a second (the median).
	Frames int     `json:"frames"`
	Rate   float64 `json:"rate_hz" unit:"Hz"`
	// Markers holds those of the recording, in the order of their numbers.
	Markers []MarkerQuality `json:"markers"`
	// Findings holds what is not as it should be, in the order of frames.
	Findings []Finding `json:"findings,omitempty"`
	// Cranks holds the circles that were seen whole.
	Cranks []Crank `json:"cranks,omitempty"`
	// Revolutions is how many are complete, Partial how many were begun or ended outside of
	// the recording, and Lost how many are not used since the crank was not seen for long,
	// turned backwards or stood still.
	Revolutions int `json:"revolutions"`
	Partial     int `json:"partial"`
	Lost        int `json:"lost"`
	// CutOff is where the low-pass filter has a gain of 1/√2, Hz; 0 if there was none.
	CutOff float64 `json:"cut_off_hz,omitzero" unit:"Hz"`
}
