package fitgeom

import (
	"fmt"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/rig"
)

// A Limit is the end of an adjustment range, or a part dimension that would have to
// change. Each is named after what would have to move or change, and which way. The zero
// Limit is not valid.
type Limit uint8

// The limits.
const (
	LimitSeatpostUp         Limit = iota + 1 // raise the seatpost: the minimum insertion that seatpost and frame demand
	LimitSeatpostDown                        // lower the seatpost: the seatpost fully inserted
	LimitSaddleForward                       // slide the saddle forward: the rear end of the rails
	LimitSaddleBack                          // slide the saddle back: the front end of the rails
	LimitSpacersUp                           // more spacers: what the steerer allows under the stem
	LimitSpacersDown                         // fewer spacers, or a lower head tube: no spacers left
	LimitSpacersAbove                        // more spacers on top of the stem: the steerer covered
	LimitRotationUp                          // rotate the bar up: the end of the rotation range
	LimitRotationDown                        // rotate the bar down: the end of the rotation range
	LimitAeroTiltUp                          // tilt the aero bar up
	LimitAeroTiltDown                        // tilt the aero bar down
	LimitPadsUp                              // raise the pads
	LimitPadsDown                            // lower the pads
	LimitPadsForward                         // move the pads forward
	LimitPadsBack                            // move the pads back
	LimitPadsApart                           // move the pads apart
	LimitPadsTogether                        // move the pads closer together
	LimitExtensionsOut                       // extend the extensions
	LimitExtensionsIn                        // shorten the extensions
	LimitStemLonger                          // a longer stem
	LimitStemShorter                         // a shorter stem
	LimitBarWider                            // a wider handlebar
	LimitBarNarrower                         // a narrower handlebar
	LimitSetbackMore                         // a seatpost with more setback
	LimitSetbackLess                         // a seatpost with less setback, or one that reaches forward
	LimitCrankLonger                         // longer cranks
	LimitCrankShorter                        // shorter cranks
	LimitCrankWider                          // cranks with a wider Q factor
	LimitCrankNarrower                       // cranks with a narrower Q factor
	LimitFootHigher                          // the foot higher above the pedal: thicker pedals, soles or shims under the cleats
	LimitFootLower                           // the foot lower above the pedal: thinner pedals, soles or shims
	LimitFeetWider                           // feet wider apart on the pedals
	LimitFeetNarrower                        // feet closer together on the pedals
	LimitLeverUp                             // levers further up the bend
	LimitLeverDown                           // levers further down the bend
	LimitLeverIn                             // levers turned further inwards
	LimitLeverOut                            // levers turned further outwards
	LimitLeftCleatBack                       // the left cleat further back under the shoe
	LimitLeftCleatForward                    // the left cleat further forward under the shoe
	LimitLeftCleatIn                         // the left cleat further inwards under the shoe
	LimitLeftCleatOut                        // the left cleat further outwards under the shoe
	LimitLeftToesOut                         // the left foot turned further outwards
	LimitLeftToesIn                          // the left foot turned further inwards
	LimitLeftWedgeInner                      // more wedge under the inner edge of the left foot
	LimitLeftWedgeOuter                      // more wedge under the outer edge of the left foot
	LimitRightCleatBack                      // the right cleat further back under the shoe
	LimitRightCleatForward                   // the right cleat further forward under the shoe
	LimitRightCleatIn                        // the right cleat further inwards under the shoe
	LimitRightCleatOut                       // the right cleat further outwards under the shoe
	LimitRightToesOut                        // the right foot turned further outwards
	LimitRightToesIn                         // the right foot turned further inwards
	LimitRightWedgeInner                     // more wedge under the inner edge of the right foot
	LimitRightWedgeOuter                     // more wedge under the outer edge of the right foot
	LimitStemAngleUp                         // raise an adjustable stem's angle
	LimitStemAngleDown                       // lower an adjustable stem's angle
	LimitQuillUp                             // raise a quill stem: its mark of minimum insertion
	LimitQuillDown                           // lower a quill stem
	LimitExtensionsApart                     // move the extensions apart
	LimitExtensionsTogether                  // move the extensions closer together

	limitCount = int(LimitExtensionsTogether) + 1
)

// limits is the one table of limits.
var limits = [limitCount]struct{ name, words, unit string }{
	LimitSeatpostUp:         {"seatpost_up", "raise the seatpost", "mm"},
	LimitSeatpostDown:       {"seatpost_down", "lower the seatpost", "mm"},
	LimitSaddleForward:      {"saddle_forward", "slide the saddle forward", "mm"},
	LimitSaddleBack:         {"saddle_back", "slide the saddle back", "mm"},
	LimitSpacersUp:          {"spacers_up", "more spacers", "mm"},
	LimitSpacersDown:        {"spacers_down", "fewer spacers, or a lower head tube", "mm"},
	LimitSpacersAbove:       {"spacers_above", "more spacers on top of the stem", "mm"},
	LimitRotationUp:         {"rotation_up", "rotate the bar up", "degrees"},
	LimitRotationDown:       {"rotation_down", "rotate the bar down", "degrees"},
	LimitAeroTiltUp:         {"aero_tilt_up", "tilt the aero bar up", "degrees"},
	LimitAeroTiltDown:       {"aero_tilt_down", "tilt the aero bar down", "degrees"},
	LimitPadsUp:             {"pads_up", "raise the pads", "mm"},
	LimitPadsDown:           {"pads_down", "lower the pads", "mm"},
	LimitPadsForward:        {"pads_forward", "move the pads forward", "mm"},
	LimitPadsBack:           {"pads_back", "move the pads back", "mm"},
	LimitPadsApart:          {"pads_apart", "move the pads apart", "mm"},
	LimitPadsTogether:       {"pads_together", "move the pads closer together", "mm"},
	LimitExtensionsOut:      {"extensions_out", "extend the extensions", "mm"},
	LimitExtensionsIn:       {"extensions_in", "shorten the extensions", "mm"},
	LimitStemLonger:         {"stem_longer", "a longer stem", "mm"},
	LimitStemShorter:        {"stem_shorter", "a shorter stem", "mm"},
	LimitBarWider:           {"bar_wider", "a wider handlebar", "mm"},
	LimitBarNarrower:        {"bar_narrower", "a narrower handlebar", "mm"},
	LimitSetbackMore:        {"setback_more", "a seatpost with more setback", "mm"},
	LimitSetbackLess:        {"setback_less", "a seatpost with less setback", "mm"},
	LimitCrankLonger:        {"crank_longer", "longer cranks", "mm"},
	LimitCrankShorter:       {"crank_shorter", "shorter cranks", "mm"},
	LimitCrankWider:         {"crank_wider", "cranks with a wider Q factor", "mm"},
	LimitCrankNarrower:      {"crank_narrower", "cranks with a narrower Q factor", "mm"},
	LimitFootHigher:         {"foot_higher", "the foot higher above the pedal", "mm"},
	LimitFootLower:          {"foot_lower", "the foot lower above the pedal", "mm"},
	LimitFeetWider:          {"feet_wider", "feet wider apart on the pedals", "mm"},
	LimitFeetNarrower:       {"feet_narrower", "feet closer together on the pedals", "mm"},
	LimitLeverUp:            {"lever_up", "move the levers up along the bend", "mm"},
	LimitLeverDown:          {"lever_down", "move the levers down along the bend", "mm"},
	LimitLeverIn:            {"lever_in", "turn the levers inwards", "degrees"},
	LimitLeverOut:           {"lever_out", "turn the levers outwards", "degrees"},
	LimitLeftCleatBack:      {"left_cleat_back", "move the left cleat back", "mm"},
	LimitLeftCleatForward:   {"left_cleat_forward", "move the left cleat forward", "mm"},
	LimitLeftCleatIn:        {"left_cleat_in", "move the left cleat inwards", "mm"},
	LimitLeftCleatOut:       {"left_cleat_out", "move the left cleat outwards", "mm"},
	LimitLeftToesOut:        {"left_toes_out", "turn the left toes outwards", "degrees"},
	LimitLeftToesIn:         {"left_toes_in", "turn the left toes inwards", "degrees"},
	LimitLeftWedgeInner:     {"left_wedge_inner", "more wedge under the inner edge of the left foot", "degrees"},
	LimitLeftWedgeOuter:     {"left_wedge_outer", "more wedge under the outer edge of the left foot", "degrees"},
	LimitRightCleatBack:     {"right_cleat_back", "move the right cleat back", "mm"},
	LimitRightCleatForward:  {"right_cleat_forward", "move the right cleat forward", "mm"},
	LimitRightCleatIn:       {"right_cleat_in", "move the right cleat inwards", "mm"},
	LimitRightCleatOut:      {"right_cleat_out", "move the right cleat outwards", "mm"},
	LimitRightToesOut:       {"right_toes_out", "turn the right toes outwards", "degrees"},
	LimitRightToesIn:        {"right_toes_in", "turn the right toes inwards", "degrees"},
	LimitRightWedgeInner:    {"right_wedge_inner", "more wedge under the inner edge of the right foot", "degrees"},
	LimitStemAngleUp:        {"stem_angle_up", "raise the stem's angle", "degrees"},
	LimitStemAngleDown:      {"stem_angle_down", "lower the stem's angle", "degrees"},
	LimitQuillUp:            {"quill_up", "raise the quill stem", "mm"},
	LimitQuillDown:          {"quill_down", "lower the quill stem", "mm"},
	LimitExtensionsApart:    {"extensions_apart", "move the extensions apart", "mm"},
	LimitExtensionsTogether: {"extensions_together", "move the extensions closer together", "mm"},
	LimitRightWedgeOuter:    {"right_wedge_outer", "more wedge under the outer edge of the right foot", "degrees"},
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
// parts, in the order of the limits' constants. Limits of an aero bar, of a cut steerer, of a
// handlebar that can be rotated, and of levers and cleats that can be moved are included only
// if the build has one. Negative
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
	from, to := b.Saddle.Rails(b.Seatpost)
	all := append(
		make([]setting, 0, 8),
		setting{rig.Setting{Name: "seatpost_extension", Value: &s.SeatpostExtension, Range: part.Steps{From: lo, To: hi}}, LimitSeatpostUp, LimitSeatpostDown},
		setting{rig.Setting{Name: "rail_clamp", Value: &s.RailClamp, Range: part.Steps{From: from, To: to}}, LimitSaddleForward, LimitSaddleBack},
	)
	if r := b.Handlebar.RotationRange; !b.Handlebar.OnePiece() {
		all = append(all, setting{rig.Setting{Name: "bar_rotation", Value: &s.BarRotation, Range: part.Steps{From: -r, To: r}}, LimitRotationUp, LimitRotationDown})
	}
	all = append(all, b.stemSettings()...)
	all = append(all, b.leverSettings()...)
	if a := &b.Aero; *a != (part.AeroBar{}) {
		all = append(
			all,
			setting{rig.Setting{Name: "aero_tilt", Value: &s.AeroTilt, Range: a.Tilt}, LimitAeroTiltUp, LimitAeroTiltDown},
			setting{rig.Setting{Name: "pad_rise", Value: &s.PadRise, Range: a.PadRise, Say: uint8(words.SetPadHeight)}, LimitPadsUp, LimitPadsDown},
			setting{rig.Setting{Name: "pad_forward", Value: &s.PadForward, Range: a.PadForward, Say: uint8(words.SetPadReach)}, LimitPadsForward, LimitPadsBack},
			setting{rig.Setting{Name: "pad_width", Value: &s.PadWidth, Range: a.PadWidth, Say: uint8(words.SetPadWidth)}, LimitPadsApart, LimitPadsTogether},
			setting{rig.Setting{Name: "extension", Value: &s.Extension, Range: a.Extension, Say: uint8(words.SetExtensions)}, LimitExtensionsOut, LimitExtensionsIn},
		)
	}
	return append(all, b.cleatSettings()...)
}

// stemSettings is the settings of adjustable and quill stems, and of extensions whose width
// can be set.
func (b *Build) stemSettings() (all []setting) {
	s := &b.Settings
	for _, k := range [...]setting{
		{rig.Setting{Name: "stem_angle", Value: &s.StemAngle, Range: b.Stem.Angles, Say: uint8(words.SetStemAngle)}, LimitStemAngleUp, LimitStemAngleDown},
		{rig.Setting{Name: "quill", Value: &s.Quill, Range: b.Stem.Quill, Say: uint8(words.SetQuill)}, LimitQuillUp, LimitQuillDown},
		{rig.Setting{Name: "extension_width", Value: &s.ExtensionWidth, Range: b.Aero.ExtensionWidths, Say: uint8(words.SetExtensionsWidth)}, LimitExtensionsApart, LimitExtensionsTogether},
	} {
		if k.Range != (part.Steps{}) || *k.Value != 0 {
			all = append(all, k)
		}
	}
	return all
}

// leverSettings is the settings of levers that can be moved.
func (b *Build) leverSettings() (all []setting) {
	s, d := &b.Settings, &b.Handlebar.Drop
	if d.LeverUp != (part.Steps{}) || s.LeverUp != 0 {
		all = append(all, setting{rig.Setting{Name: "lever_up", Value: &s.LeverUp, Range: d.LeverUp, Say: uint8(words.SetLeverUp)}, LimitLeverUp, LimitLeverDown})
	}
	if d.LeverIn != (part.Steps{}) || s.LeverIn != 0 {
		all = append(all, setting{rig.Setting{Name: "lever_in", Value: &s.LeverIn, Range: d.LeverIn, Say: uint8(words.SetLeverIn)}, LimitLeverIn, LimitLeverOut})
	}
	return all
}

// cleatSettings is the settings of cleats that can be moved.
func (b *Build) cleatSettings() (all []setting) {
	p := &b.Pedal
	for i, side := range [2]struct {
		side contact.Side
		at   *Cleat
	}{{contact.Left, &b.Settings.CleatLeft}, {contact.Right, &b.Settings.CleatRight}} {
		const perSide = LimitRightCleatBack - LimitLeftCleatBack
		from := Limit(i) * perSide
		for _, k := range [...]struct {
			name       string
			say        words.Phrase
			value      *float64
			in         part.Steps
			more, less Limit
		}{
			{"back", words.SetCleatBack, &side.at.Back, p.CleatBack, LimitLeftCleatBack, LimitLeftCleatForward},
			{"in", words.SetCleatIn, &side.at.In, p.CleatIn, LimitLeftCleatIn, LimitLeftCleatOut},
			{"toes_out", words.SetToesOut, &side.at.ToesOut, p.ToesOut, LimitLeftToesOut, LimitLeftToesIn},
			{"wedge", words.SetWedge, &side.at.Wedge, p.Wedge, LimitLeftWedgeInner, LimitLeftWedgeOuter},
		} {
			if k.in != (part.Steps{}) || *k.value != 0 {
				name := "cleat_" + side.side.String()
				s := rig.Setting{Name: name + "_" + k.name, Path: name + "." + k.name, Value: k.value, Range: k.in, Say: uint8(k.say), Side: side.side}
				all = append(all, setting{s, k.more + from, k.less + from})
			}
		}
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
