package fitgeom

import (
	"fmt"
	"slices"

	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/rig"
)

// A Limit is the end of an adjustment range, or a part dimension that would have to
// change. Each is named after what would have to move or change, and which way. The zero
// Limit is not valid.
type Limit uint8

// The limits.
const (
	LimitSeatpostUp    Limit = iota + 1 // raise the seatpost: the minimum insertion that seatpost and frame demand
	LimitSeatpostDown                   // lower the seatpost: the seatpost fully inserted
	LimitSaddleForward                  // slide the saddle forward: the rear end of the rails
	LimitSaddleBack                     // slide the saddle back: the front end of the rails
	LimitSpacersUp                      // more spacers: what the steerer allows under the stem
	LimitSpacersDown                    // fewer spacers, or a lower head tube: no spacers left
	LimitSpacersAbove                   // more spacers on top of the stem: the steerer covered
	LimitRotationUp                     // rotate the bar up: the end of the rotation range
	LimitRotationDown                   // rotate the bar down: the end of the rotation range
	LimitAeroTiltUp                     // tilt the aero bar up
	LimitAeroTiltDown                   // tilt the aero bar down
	LimitPadsUp                         // raise the pads
	LimitPadsDown                       // lower the pads
	LimitPadsForward                    // move the pads forward
	LimitPadsBack                       // move the pads back
	LimitPadsApart                      // move the pads apart
	LimitPadsTogether                   // move the pads closer together
	LimitExtensionsOut                  // extend the extensions
	LimitExtensionsIn                   // shorten the extensions
	LimitStemLonger                     // a longer stem
	LimitStemShorter                    // a shorter stem
	LimitBarWider                       // a wider handlebar
	LimitBarNarrower                    // a narrower handlebar
	LimitSetbackMore                    // a seatpost with more setback
	LimitSetbackLess                    // a seatpost with less setback, or one that reaches forward
	LimitCrankLonger                    // longer cranks
	LimitCrankShorter                   // shorter cranks
	LimitCrankWider                     // cranks with a wider Q factor
	LimitCrankNarrower                  // cranks with a narrower Q factor
	LimitFootHigher                     // the foot higher above the pedal: thicker pedals, soles or shims under the cleats
	LimitFootLower                      // the foot lower above the pedal: thinner pedals, soles or shims
	LimitFeetWider                      // feet wider apart on the pedals
	LimitFeetNarrower                   // feet closer together on the pedals

	limitCount = int(LimitFeetNarrower) + 1
)

// limits is the one table of limits.
var limits = [limitCount]struct{ name, words, unit string }{
	LimitSeatpostUp:    {"seatpost_up", "raise the seatpost", "mm"},
	LimitSeatpostDown:  {"seatpost_down", "lower the seatpost", "mm"},
	LimitSaddleForward: {"saddle_forward", "slide the saddle forward", "mm"},
	LimitSaddleBack:    {"saddle_back", "slide the saddle back", "mm"},
	LimitSpacersUp:     {"spacers_up", "more spacers", "mm"},
	LimitSpacersDown:   {"spacers_down", "fewer spacers, or a lower head tube", "mm"},
	LimitSpacersAbove:  {"spacers_above", "more spacers on top of the stem", "mm"},
	LimitRotationUp:    {"rotation_up", "rotate the bar up", "degrees"},
	LimitRotationDown:  {"rotation_down", "rotate the bar down", "degrees"},
	LimitAeroTiltUp:    {"aero_tilt_up", "tilt the aero bar up", "degrees"},
	LimitAeroTiltDown:  {"aero_tilt_down", "tilt the aero bar down", "degrees"},
	LimitPadsUp:        {"pads_up", "raise the pads", "mm"},
	LimitPadsDown:      {"pads_down", "lower the pads", "mm"},
	LimitPadsForward:   {"pads_forward", "move the pads forward", "mm"},
	LimitPadsBack:      {"pads_back", "move the pads back", "mm"},
	LimitPadsApart:     {"pads_apart", "move the pads apart", "mm"},
	LimitPadsTogether:  {"pads_together", "move the pads closer together", "mm"},
	LimitExtensionsOut: {"extensions_out", "extend the extensions", "mm"},
	LimitExtensionsIn:  {"extensions_in", "shorten the extensions", "mm"},
	LimitStemLonger:    {"stem_longer", "a longer stem", "mm"},
	LimitStemShorter:   {"stem_shorter", "a shorter stem", "mm"},
	LimitBarWider:      {"bar_wider", "a wider handlebar", "mm"},
	LimitBarNarrower:   {"bar_narrower", "a narrower handlebar", "mm"},
	LimitSetbackMore:   {"setback_more", "a seatpost with more setback", "mm"},
	LimitSetbackLess:   {"setback_less", "a seatpost with less setback", "mm"},
	LimitCrankLonger:   {"crank_longer", "longer cranks", "mm"},
	LimitCrankShorter:  {"crank_shorter", "shorter cranks", "mm"},
	LimitCrankWider:    {"crank_wider", "cranks with a wider Q factor", "mm"},
	LimitCrankNarrower: {"crank_narrower", "cranks with a narrower Q factor", "mm"},
	LimitFootHigher:    {"foot_higher", "the foot higher above the pedal", "mm"},
	LimitFootLower:     {"foot_lower", "the foot lower above the pedal", "mm"},
	LimitFeetWider:     {"feet_wider", "feet wider apart on the pedals", "mm"},
	LimitFeetNarrower:  {"feet_narrower", "feet closer together on the pedals", "mm"},
}

var limitNames = func() *enum.Names[Limit] {
	names := make([]string, limitCount)
	for i := range limits {
		names[i] = limits[i].name
	}
	return enum.New[Limit]("limit", names)
}()

// String returns the limit's name, such as "seatpost_up".
func (l Limit) String() string { return limitNames.String(l) }

// MarshalText writes the limit's name; it fails for an unknown number.
func (l Limit) MarshalText() ([]byte, error) { return limitNames.Text(l) }

// UnmarshalText reads a name as [ParseLimit] does.
func (l *Limit) UnmarshalText(text []byte) error { return limitNames.Read(l, text) }

// ParseLimit returns the limit of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseLimit(name string) (Limit, error) { return limitNames.Parse(name) }

// Words says what would have to move or change, such as "raise the seatpost".
func (l Limit) Words() string {
	if !limitNames.Valid(l) {
		return l.String()
	}
	return limits[l].words
}

// Unit returns "mm" or "degrees", the unit of amounts beside the limit; "" for an unknown
// number.
func (l Limit) Unit() string {
	if !limitNames.Valid(l) {
		return ""
	}
	return limits[l].unit
}

// A Margin is the room left before a limit.
type Margin struct {
	Limit Limit
	// Room is in the limit's unit, mm or degrees; negative when the build is beyond the
	// limit.
	Room float64
}

// String returns the margin as in "raise the seatpost: 42.0 mm".
func (m Margin) String() string {
	return fmt.Sprintf("%s: %.1f %s", m.Limit.Words(), m.Room+0, m.Limit.Unit())
}

// Margins returns the room that the build's settings leave before every limit of its
// parts, in the order of the limits' constants. Limits of an aero bar, of a cut steerer
// and of a handlebar that can be rotated are included only if the build has one. Negative
// room means that the build is beyond the limit. Faults are those of [Build.Validate].
//
// The seatpost must be inserted as far as its own mark or the frame demands, whichever is
// more.
func (b Build) Margins() ([]Margin, error) {
	if err := b.validate(); err != nil {
		return nil, err
	}
	return b.margins(), nil
}

func (b *Build) margins() []Margin {
	s := &b.Settings
	stem := b.stem()
	all := append(
		make([]Margin, 0, 20),
		Margin{LimitSpacersUp, b.Frame.SpacerRoom(b.Cap, *stem) - s.Spacers},
		Margin{LimitSpacersDown, s.Spacers},
	)
	if cut := b.Frame.SteererCut; cut != 0 {
		all = append(all, Margin{LimitSpacersAbove, b.Cap.Height + s.Spacers + stem.Height + s.SpacersAbove - cut - PreloadRoom})
	}
	for _, k := range b.settings() {
		all = append(all, Margin{k.more, k.Range.Last() - *k.Value}, Margin{k.less, *k.Value - k.Range.From})
	}
	slices.SortFunc(all, func(m, n Margin) int { return int(m.Limit) - int(n.Limit) })
	return all
}

// A setting is what can be set within a range, and the limits at its greatest and its
// least value.
type setting struct {
	rig.Setting
	more, less Limit
}

// settings is the table of what can be set within a range, in the order of the limits.
// Margins, the check of candidates and set-up sheets go by it.
func (b *Build) settings() []setting {
	s := &b.Settings
	lo, hi := b.Frame.SeatpostRange(b.Seatpost)
	all := append(
		make([]setting, 0, 8),
		setting{rig.Setting{Name: "seatpost_extension", Value: &s.SeatpostExtension, Range: part.Steps{From: lo, To: hi}}, LimitSeatpostUp, LimitSeatpostDown},
		setting{rig.Setting{Name: "rail_clamp", Value: &s.RailClamp, Range: part.Steps{From: b.Saddle.RailsFrom, To: b.Saddle.RailsTo}}, LimitSaddleForward, LimitSaddleBack},
	)
	if r := b.Handlebar.RotationRange; !b.Handlebar.OnePiece() {
		all = append(all, setting{rig.Setting{Name: "bar_rotation", Value: &s.BarRotation, Range: part.Steps{From: -r, To: r}}, LimitRotationUp, LimitRotationDown})
	}
	if a := &b.Aero; *a != (part.AeroBar{}) {
		all = append(
			all,
			setting{rig.Setting{Name: "aero_tilt", Value: &s.AeroTilt, Range: a.Tilt}, LimitAeroTiltUp, LimitAeroTiltDown},
			setting{rig.Setting{Name: "pad_rise", Value: &s.PadRise, Range: a.PadRise, Text: "Set the pads' height: from the bar's centre up to the middle of their surface."}, LimitPadsUp, LimitPadsDown},
			setting{rig.Setting{Name: "pad_forward", Value: &s.PadForward, Range: a.PadForward, Text: "Set the pads' reach: from the bar's centre forward to the middle of their surface (negative: behind)."}, LimitPadsForward, LimitPadsBack},
			setting{rig.Setting{Name: "pad_width", Value: &s.PadWidth, Range: a.PadWidth, Text: "Set the pads' width: from middle to middle."}, LimitPadsApart, LimitPadsTogether},
			setting{rig.Setting{Name: "extension", Value: &s.Extension, Range: a.Extension, Text: "Set the extensions' length: from above the bar's centre to the tip, along the extension."}, LimitExtensionsOut, LimitExtensionsIn},
		)
	}
	return all
}

func init() {
	rig.Settings = func(build any) (all []rig.Setting) {
		for _, s := range build.(*Build).settings() {
			s.Unit = s.more.Unit()
			all = append(all, s.Setting)
		}
		return all
	}
}
