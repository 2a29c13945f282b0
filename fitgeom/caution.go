package fitgeom

import (
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/enum"
)

// A Caution is something that anyone who builds, checks or rides a bike should mind. The
// zero Caution is not valid.
type Caution uint8

// The cautions. [Caution.Words] has the text.
const (
	CautionManufacturer Caution = iota + 1 // goes with every build
	CautionMechanic                        // goes with every build
	CautionClinician                       // goes with every build
	CautionRaceRules                       // goes with every build
	CautionInsertion                       // less than 10 mm left before the minimum insertion
	CautionSteerer                         // less than 5 mm left before the most that the steerer allows
	CautionRails                           // less than 3 mm left before an end of the rails
	CautionBarRotated                      // handlebar rotated by more than 5 degrees
	CautionShim                            // a shim between seatpost and frame, or handlebar and stem
	CautionTyre                            // a tyre larger than the manufacturer of frame or fork allows
	CautionToeOverlap                      // shoe less than 20 mm from what front tyre or mudguard sweeps, of Build.Bulk
	CautionPedalStrike                     // pedal meets the ground at a lean of less than 25 degrees, of Build.Bulk
	CautionHeel                            // shoe less than 5 mm from a chainstay that Build.Bulk states
	CautionSaddleMoved                     // saddle wanted more than 5 mm from where the target has it; of a Candidate
	CautionRuleNotKnown                    // not known whether a rule, or a limit of the rider, that was asked for is kept; of a Candidate
	CautionAssumed                         // numbers of the frame that nobody stated: Frame.Assumed

	cautionCount = int(CautionAssumed) + 1
)

// Where the conditional cautions begin. Common practice, no source.
const (
	nearInsertion = 10 // mm
	nearSteerer   = 5  // mm
	railsAtEnd    = 3  // mm
	barRotated    = 5  // degrees
	saddleFar     = 5  // mm
	nearToe       = 20 // mm; shoes differ by more
	nearHeel      = 5  // mm
)

// pedalLean is the lean that 16 CFR 1512.17(c) asks for without the pedal on the ground,
// degrees.
const pedalLean = 25

// cautionTable is the one table of cautions.
var cautionTable = [cautionCount]struct{ name, words string }{
	CautionManufacturer: {"manufacturer", "The manufacturers' instructions for frame, fork and parts come first: clamp diameters, torques, spacers, insertion."},
	CautionMechanic:     {"mechanic", "Have a qualified mechanic assemble and check the bike before it is ridden."},
	CautionClinician:    {"clinician", "Pain, numbness or an injury is a matter for a clinician. A position is geometry, not medical advice."},
	CautionRaceRules:    {"race_rules", "Race rules change, and the organiser decides."},
	CautionInsertion:    {"insertion", "The seatpost is close to its minimum insertion. Never ride with less; find the mark and measure."},
	CautionSteerer:      {"steerer", "Cap and spacers are close to what the steerer allows. Ask the fork's manufacturer, and check how much steerer the stem clamps."},
	CautionRails:        {"rails", "The rails are clamped close to their end. Keep the clamp within the marks on the rails."},
	CautionBarRotated:   {"bar_rotated", "The handlebar is rotated far from its nominal position. Check that the rider can reach and operate the brakes."},
	CautionShim:         {"shim", "A shim lies where something is clamped. The manufacturers of both parts must allow it; it must be as long as the clamp and the minimum insertion."},
	CautionTyre:         {"tyre", "A tyre is larger than frame or fork allow. It may touch them."},
	CautionPedalStrike:  {"pedal_strike", "A pedal may strike the ground in a turn. Keep the inner pedal up, and try how far the bike leans before it does."},
	CautionHeel:         {"heel", "The shoe comes close to the chainstay. Turn the cranks by hand, with the shoes that will be worn and the heels turned in."},
	CautionToeOverlap:   {"toe_overlap", "Toe and front tyre may touch when the wheel is turned (toe overlap). Try it at walking pace, with the shoes that will be worn."},
	CautionSaddleMoved:  {"saddle_moved", "The saddle is wanted more than 5 mm from where the rider had it, because the cranks or the height of the soles above the pedals differ. Check these numbers first."},
	CautionRuleNotKnown: {"rule_not_known", "Of a rule, or a limit of the rider, that was asked for it is not known whether the bike keeps it: a part does not state what it looks at, or of the rider the height or a segment is not known. Measure it, and ask the organiser of a race."},
	CautionAssumed:      {"assumed", "Not checked: the frame's chart does not state a diameter, the spacer limit or the seat tube's top, and a usual value was taken. Ask for it or measure it before parts are bought."},
}

var cautionNames = func() *enum.Names[Caution] {
	names := make([]string, cautionCount)
	for i := range cautionTable {
		names[i] = cautionTable[i].name
	}
	return enum.New[Caution]("caution", names)
}()

// String returns the caution's name, such as "insertion".
func (c Caution) String() string { return cautionNames.String(c) }

// MarshalText writes the caution's name; it fails for an unknown number.
func (c Caution) MarshalText() ([]byte, error) { return cautionNames.Text(c) }

// UnmarshalText reads a name as [ParseCaution] does.
func (c *Caution) UnmarshalText(text []byte) error { return cautionNames.Read(c, text) }

// ParseCaution returns the caution of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseCaution(name string) (Caution, error) { return cautionNames.Parse(name) }

// Words returns the caution's text, a sentence or two. Texts may change; names do not.
func (c Caution) Words() string {
	if !cautionNames.Valid(c) {
		return c.String()
	}
	return cautionTable[c].words
}

// Cautions returns what anyone who builds, checks or rides this bike should mind. Faults
// are those of [Build.Validate].
func (b Build) Cautions() ([]Caution, error) {
	if err := b.validate(); err != nil {
		return nil, err
	}
	return b.cautions(), nil
}

func (b *Build) cautions() []Caution {
	all := []Caution{CautionManufacturer, CautionMechanic, CautionClinician, CautionRaceRules}
	rails := false
	for _, m := range b.margins() {
		switch {
		case m.Limit == LimitSeatpostUp && m.Room < nearInsertion:
			all = append(all, CautionInsertion)
		case m.Limit == LimitSpacersUp && m.Room < nearSteerer:
			all = append(all, CautionSteerer)
		case (m.Limit == LimitSaddleForward || m.Limit == LimitSaddleBack) && m.Room < railsAtEnd:
			rails = true
		}
	}
	if rails {
		all = append(all, CautionRails)
	}
	if r := b.Settings.BarRotation; r > barRotated || r < -barRotated {
		all = append(all, CautionBarRotated)
	}
	if b.BarShim != (part.Shim{}) || b.SeatpostShim != (part.Shim{}) {
		all = append(all, CautionShim)
	}
	front, ok1 := b.FrontTyreRoom()
	rear, ok2 := b.RearTyreRoom()
	if ok1 && front < 0 || ok2 && rear < 0 {
		all = append(all, CautionTyre)
	}
	if b.Frame.Assumed != (Assumed{}) {
		all = append(all, CautionAssumed)
	}
	bike := b.clearance()
	below := func(q clearance.Quantity, limit float64) bool {
		v, ok, err := bike.Least(q)
		return err == nil && ok && v.Value < limit
	}
	if below(clearance.ShoeToWheel, nearToe) {
		all = append(all, CautionToeOverlap)
	}
	if below(clearance.PedalLean, pedalLean) {
		all = append(all, CautionPedalStrike)
	}
	if b.Bulk.Stay != (clearance.Stay{}) && below(clearance.HeelToStay, nearHeel) {
		all = append(all, CautionHeel)
	}
	return all
}

// FrontTyreRoom returns the largest radius that the fork's manufacturer allows minus the
// tyre's, in mm, and whether both are stated.
func (b Build) FrontTyreRoom() (float64, bool) {
	return b.Frame.MaxFrontRadius - b.Wheels.On(b.Frame.Geometry).FrontRadius, b.axles() && b.Frame.MaxFrontRadius != 0
}

// RearTyreRoom returns the largest radius that the frame's manufacturer allows minus the
// tyre's, in mm, and whether both are stated.
func (b Build) RearTyreRoom() (float64, bool) {
	return b.Frame.MaxRearRadius - b.Wheels.On(b.Frame.Geometry).RearRadius, b.axles() && b.Frame.MaxRearRadius != 0
}

func (b *Build) axles() bool { return b.Frame.Geometry.Axles != (chart.Axles{}) }
