package rider

import (
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
)

// A Variable is one number of a rider's posture, such as the flexion of a joint. The zero
// Variable is not valid.
type Variable uint8

// The variables. Angles are in degrees. Flexion counts from a straight joint;
// the included angle, which some sources print instead, is 180 less flexion at
// knee, hip and elbow.
const (
	// KneeFlexion is 0 for a straight leg and grows as the heel comes to the thigh.
	KneeFlexion Variable = iota + 1
	// HipFlexion is 0 for a thigh in line with the trunk (from hip to shoulder)
	// and grows as the knee comes to the chest.
	HipFlexion
	// AnkleDorsiflexion is 0 with the sole square to the shank, positive with the
	// toe nearer to the shin and negative (plantarflexion) with it further away.
	// The included angle between shank and sole is 90 less dorsiflexion.
	AnkleDorsiflexion
	// TrunkLean is the slope of the line from hip to shoulder: 0 horizontal and forward,
	// 90 vertical.
	TrunkLean
	// ShoulderFlexion is 0 for an upper arm that lies along the trunk and grows
	// as the elbow comes forward. It is also the included angle between hip,
	// shoulder and elbow.
	ShoulderFlexion
	// ElbowFlexion is 0 for a straight arm and grows as the hand comes to the
	// shoulder.
	ElbowFlexion
)

var variableNames = enum.New[Variable]("variable", []string{KneeFlexion: "knee_flexion", HipFlexion: "hip_flexion", AnkleDorsiflexion: "ankle_dorsiflexion", TrunkLean: "trunk_lean", ShoulderFlexion: "shoulder_flexion", ElbowFlexion: "elbow_flexion"})

// String returns the variable's name, such as "knee_flexion".
func (v Variable) String() string { return variableNames.String(v) }

// MarshalText writes the variable's name; it fails for an unknown number.
func (v Variable) MarshalText() ([]byte, error) { return variableNames.Text(v) }

// UnmarshalText reads a name as [ParseVariable] does.
func (v *Variable) UnmarshalText(text []byte) error { return variableNames.Read(v, text) }

// ParseVariable returns the variable of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseVariable(name string) (Variable, error) { return variableNames.Parse(name) }

// Unit returns "degrees"; it is empty for an unknown number.
func (v Variable) Unit() string {
	switch v {
	case KneeFlexion, HipFlexion, AnkleDorsiflexion, TrunkLean, ShoulderFlexion, ElbowFlexion:
		return "degrees"
	}
	return ""
}

// A Span is the range of a variable over one revolution.
type Span struct {
	// Least and Most are its extremes, in the variable's unit. LeastAt and MostAt are the
	// crank angles of these, 0 to below 360 degrees; of equal ones the first, which is 0
	// for a variable that does not change.
	Least, Most, LeastAt, MostAt float64
	// Gap is the worst Posture.Gap or UpperPosture.Gap of the limb over the
	// revolution, in mm, and GapAt the crank angle where it is. If Gap is not 0, the
	// extremes are those of a limb that does not reach all the way.
	Gap, GapAt float64
}

// Range returns Most minus Least.
func (s Span) Range() float64 { return s.Most - s.Least }

// Span returns the range of a variable over one revolution of one leg's crank. Trunk,
// shoulder and elbow do not change and need no side. The error is [contact.ErrMissing]
// for what the chain does not know: a leg that it does not have, a hip or an arm without
// an upper body.
func (c Chain) Span(m Variable, side contact.Side) (Span, error) {
	if v, ok := c.still(m); ok {
		return Span{Least: v, Most: v, Gap: c.upper.Gap}, nil
	}
	l, err := c.leg(side)
	if err != nil {
		return Span{}, err
	}
	var p Posture
	l.pose(0, &p)
	if _, ok := p.of(m); !ok {
		return Span{}, fault.New("variable", m.String(), "one that the chain knows", fault.ErrMissing)
	}
	of := func(crank float64) float64 {
		l.pose(crank, &p)
		v, _ := p.of(m)
		return v
	}
	var s Span
	s.LeastAt, s.Least = least(l.steps(), of)
	s.MostAt, s.Most = most(l.steps(), of)
	s.GapAt, s.Gap = l.gap()
	return s, nil
}

// of returns a variable of the leg, and whether it is one and known.
func (p *Posture) of(m Variable) (float64, bool) {
	switch m {
	case KneeFlexion:
		return p.KneeFlexion, true
	case HipFlexion:
		return p.HipFlexion, p.HipKnown
	case AnkleDorsiflexion:
		return p.AnkleDorsiflexion, true
	case TrunkLean, ShoulderFlexion, ElbowFlexion:
	}
	return 0, false
}

// gap returns the worst gap of a revolution and where it is.
func (l *leg) gap() (at, gap float64) {
	// By how much the foot is too far, or too near; negative: by how much it is not, so that no
	// gap is too narrow to be found.
	short := func(near bool) func(float64) float64 {
		return func(crank float64) float64 {
			low := l.below(crank)
			x, z := l.target(crank, low)
			d := xz{x - l.hip.X, z - l.hip.Z}.length()
			if near {
				return math.Abs(l.thigh-low.link) - d
			}
			return d - (l.thigh + low.link)
		}
	}
	farAt, far := most(l.steps(), short(false))
	nearAt, near := most(l.steps(), short(true))
	switch {
	case far < 1e-9 && near < 1e-9: // as fold rounds
		return 0, 0
	case near > far:
		return nearAt, -near
	}
	return farAt, far
}

// still returns a variable of the upper body, which does not change over the stroke.
func (c *Chain) still(m Variable) (float64, bool) {
	switch m {
	case TrunkLean:
		return c.upper.TrunkLean, c.trunk
	case ShoulderFlexion:
		return c.upper.ShoulderFlexion, c.trunk
	case ElbowFlexion:
		return c.upper.ElbowFlexion, c.trunk
	case KneeFlexion, HipFlexion, AnkleDorsiflexion:
	}
	return 0, false
}

// A Comparison is one variable of the same body in two positions.
type Comparison struct {
	Variable Variable
	// Side is Centre for trunk, shoulder and elbow.
	Side          contact.Side
	Before, After Span
}

// Compare returns what a change of position does to the body: for each leg knee, hip and
// ankle, then trunk, shoulder and elbow, as far as the body has them. Errors are those of
// [NewChain], with before or after in the path in place of position.
//
// The model keeps the ankle's profile, the hip's place relative to the saddle and the
// angle of [UpperAngle]. Riders change those too; a comparison says what the new position
// asks of the joints if they do not.
func (b Body) Compare(before, after contact.Position) ([]Comparison, error) {
	var f fault.List
	var chains [2]Chain
	for i, p := range []contact.Position{before, after} {
		c, err := NewChain(b, p)
		for _, e := range contact.Faults(err) {
			place, ok := strings.CutPrefix(e.Path, "position.")
			if ok {
				f.Add([]string{"before.", "after."}[i]+place, e.Value, e.Want, e.Class)
			} else if i == 0 { // the body's, which is the same in both
				f.Add(e.Path, e.Value, e.Want, e.Class)
			}
		}
		chains[i] = c
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	var all []Comparison
	add := func(m Variable, side contact.Side) {
		if s, err := chains[0].Span(m, side); err == nil {
			t, _ := chains[1].Span(m, side)
			all = append(all, Comparison{m, side, s, t})
		}
	}
	for _, side := range b.sides() {
		for _, m := range [...]Variable{KneeFlexion, HipFlexion, AnkleDorsiflexion} {
			add(m, side)
		}
	}
	for _, m := range [...]Variable{TrunkLean, ShoulderFlexion, ElbowFlexion} {
		add(m, contact.Centre)
	}
	return all, nil
}
