package exchange

import (
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom"
)

// The enumerations that have no names of their own for files. The names stay as
// they are, whatever becomes of the constants.

type (
	unit       survey.Unit
	tapeWay    survey.TapeKind
	side       contact.Side
	ankleAngle rider.AnkleAngle
	keep       uint8 // a rider.UpperAngle + 1: 0 is none that was read, by which no angle is judged
	partKind   uint8 // a bit of part.Kinds
	limit      fitgeom.Limit
	caution    fitgeom.Caution
)

var (
	unitNames     = names{"mm", "cm", "m", "in"}
	tapeNames     = names{"straight", "along", "upright", "across", "slope"}
	sideNames     = names{"centre", "left", "right"}
	ankleNames    = names{rider.SolePitch: "sole_pitch", rider.Dorsiflexion: "dorsiflexion"}
	keepNames     = names{rider.KeepElbow: "keep_elbow", rider.KeepTrunk: "keep_trunk"}
	partKindNames = names{"caps", "stems", "bars", "levers", "aero_bars", "posts", "saddles", "cranks", "pedals", "shims"}
	limitNames    = names{
		fitgeom.PostUp: "post_up", fitgeom.PostDown: "post_down",
		fitgeom.SaddleForward: "saddle_forward", fitgeom.SaddleBack: "saddle_back",
		fitgeom.SpacersUp: "spacers_up", fitgeom.SpacersDown: "spacers_down", fitgeom.SpacersAbove: "spacers_above",
		fitgeom.RollUp: "roll_up", fitgeom.RollDown: "roll_down",
		fitgeom.AeroTiltUp: "aero_tilt_up", fitgeom.AeroTiltDown: "aero_tilt_down",
		fitgeom.PadsUp: "pads_up", fitgeom.PadsDown: "pads_down", fitgeom.PadsForward: "pads_forward", fitgeom.PadsBack: "pads_back",
		fitgeom.PadsApart: "pads_apart", fitgeom.PadsTogether: "pads_together",
		fitgeom.ExtensionOut: "extension_out", fitgeom.ExtensionIn: "extension_in",
		fitgeom.StemLonger: "stem_longer", fitgeom.StemShorter: "stem_shorter",
		fitgeom.BarWider: "bar_wider", fitgeom.BarNarrower: "bar_narrower",
		fitgeom.SetbackMore: "setback_more", fitgeom.SetbackLess: "setback_less",
		fitgeom.CrankLonger: "crank_longer", fitgeom.CrankShorter: "crank_shorter",
		fitgeom.CrankWider: "crank_wider", fitgeom.CrankNarrower: "crank_narrower",
		fitgeom.FootHigher: "foot_higher", fitgeom.FootLower: "foot_lower",
		fitgeom.StanceWider: "stance_wider", fitgeom.StanceNarrower: "stance_narrower",
	}
	cautionNames = names{
		fitgeom.MakersFirst: "makers_first", fitgeom.Mechanic: "mechanic", fitgeom.Clinician: "clinician", fitgeom.RaceRules: "race_rules",
		fitgeom.NearInsertion: "near_insertion", fitgeom.NearStack: "near_stack", fitgeom.RailsAtEnd: "rails_at_end",
		fitgeom.BarRolled: "bar_rolled", fitgeom.ShimFitted: "shim_fitted", fitgeom.TyreTooLarge: "tyre_too_large", fitgeom.ToeNearTyre: "toe_near_tyre",
	}
)

func (v unit) MarshalText() ([]byte, error)       { return unitNames.of(uint8(v)) }
func (v tapeWay) MarshalText() ([]byte, error)    { return tapeNames.of(uint8(v)) }
func (v side) MarshalText() ([]byte, error)       { return sideNames.of(uint8(v)) }
func (v ankleAngle) MarshalText() ([]byte, error) { return ankleNames.of(uint8(v)) }
func (v keep) MarshalText() ([]byte, error)       { return keepNames.of(uint8(v) - 1) }
func (v partKind) MarshalText() ([]byte, error)   { return partKindNames.of(uint8(v)) }
func (v limit) MarshalText() ([]byte, error)      { return limitNames.of(uint8(v)) }
func (v caution) MarshalText() ([]byte, error)    { return cautionNames.of(uint8(v)) }

func (v *unit) UnmarshalText(text []byte) error       { return read(unitNames, text, v) }
func (v *tapeWay) UnmarshalText(text []byte) error    { return read(tapeNames, text, v) }
func (v *side) UnmarshalText(text []byte) error       { return read(sideNames, text, v) }
func (v *ankleAngle) UnmarshalText(text []byte) error { return read(ankleNames, text, v) }
func (v *partKind) UnmarshalText(text []byte) error   { return read(partKindNames, text, v) }
func (v *limit) UnmarshalText(text []byte) error      { return read(limitNames, text, v) }
func (v *caution) UnmarshalText(text []byte) error    { return read(cautionNames, text, v) }

func (v *keep) UnmarshalText(text []byte) error {
	if err := read(keepNames, text, v); err != nil {
		return err
	}
	*v++
	return nil
}

// names is the names of an enumeration, by its numbers.
type names []string

func (n names) unknown(value string) error {
	return &contact.Error{Path: "name", Value: value, Want: "one of " + strings.Join(n, ", "), Class: contact.ErrUnknown}
}

func (n names) of(v uint8) ([]byte, error) {
	if int(v) >= len(n) {
		return nil, n.unknown("number " + strconv.Itoa(int(v)))
	}
	return []byte(n[v]), nil
}

func read[E ~uint8](n names, text []byte, to *E) error {
	i := slices.Index(n, string(text))
	if i < 0 {
		return n.unknown(strconv.Quote(string(text)))
	}
	*to = E(i)
	return nil
}
