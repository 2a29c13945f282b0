package rider

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// A Bound says which end of a variable's range a [Limit] is. The zero Bound is not valid: one must
// be chosen.
type Bound uint8

// The bounds.
const (
	// AtLeast is for a variable that may nowhere on the stroke be less.
	AtLeast Bound = iota + 1
	// AtMost is for a variable that may nowhere on the stroke be more.
	AtMost
)

var boundNames = enum.New[Bound]("bound", []string{AtLeast: "at_least", AtMost: "at_most"})

// String returns the bound's name, such as "at_most".
func (b Bound) String() string { return boundNames.String(b) }

// MarshalText writes the bound's name; it fails for an unknown number.
func (b Bound) MarshalText() ([]byte, error) { return boundNames.Text(b) }

// UnmarshalText reads a name as [ParseBound] does.
func (b *Bound) UnmarshalText(text []byte) error { return boundNames.Read(b, text) }

// ParseBound returns the bound of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseBound(name string) (Bound, error) { return boundNames.Parse(name) }

// A Limit is one end of what a joint of one rider may do over the stroke, as somebody found it. It
// is data: this package has none of its own.
type Limit struct {
	// Variable is what is limited.
	Variable Variable `json:"variable"`
	// Side is the leg, for knee, hip and ankle; contact.Centre is both. Trunk, shoulder and elbow
	// have no side: contact.Centre.
	Side contact.Side `json:"side"`
	// Bound says whether the variable must be at least or at most Angle.
	Bound Bound `json:"bound"`
	// Angle is the limit, as the variable counts: of trunk -20 to 120 degrees, hip -30 to 170,
	// ankle -70 to 60, knee and elbow -20 to 175, shoulder 0 to 175.
	Angle float64 `json:"angle_deg" range:"-70 to 175"`
	// Source says who found it and how, in words, such as "passive, lying, 2-D". It is kept and
	// repeated, and means nothing here.
	Source string `json:"source,omitempty"`
}

// String returns the limit as in "left knee_flexion at least 25 degrees".
func (l Limit) String() string {
	s := fmt.Sprintf("%s %s %g degrees", l.Variable, map[Bound]string{AtLeast: "at least", AtMost: "at most"}[l.Bound], l.Angle)
	if l.Side != contact.Centre {
		s = l.Side.String() + " " + s
	}
	if l.Source != "" {
		s += " (" + l.Source + ")"
	}
	return s
}

// Range returns what a [Limit] of the variable may be, in degrees: what joints have and something
// more. It is 0 and 0 of a variable that does not exist.
func (v Variable) Range() (least, most float64) { return angles[v][0], angles[v][1] }

var angles = map[Variable][2]float64{
	KneeFlexion: {-20, 175}, HipFlexion: {-30, 170}, AnkleDorsiflexion: {-70, 60},
	TrunkLean: {-20, 120}, ShoulderFlexion: {0, 175}, ElbowFlexion: {-20, 175},
}

// still reports whether the variable is one of trunk and arms, which do not change over the stroke.
func (v Variable) still() bool { return v == TrunkLean || v == ShoulderFlexion || v == ElbowFlexion }

// Limits is a rider's body and what its joints may do. The zero Limits limits nothing.
//
// A limb that does not reach its place keeps no limit of its own: the foot must reach the pedal for
// the limits of hip, knee and ankle, and the hand the grip for those of trunk, shoulder and elbow
// and, where the trunk leans by the arms ([KeepElbow]), of the hip.
//
// What a limit is worth, and whether a position within all of them is right for the rider, is
// not a matter of geometry. The word of a clinician who knows the rider comes first.
type Limits struct {
	// Body is the rider's body. It may be zero if there are no limits.
	Body Body `json:"body"`
	// Joints are the limits, up to 100. Several may be of one variable; all of them hold.
	Joints []Limit `json:"joints"`
}

var limitFields = field.New[Limit]()

// Validate reports what [Body.Validate] does, under body; names and sides that do not exist
// ([contact.ErrUnknown]); angles that are out of range and more than 100 limits
// ([contact.ErrRange]); and what contradicts itself ([contact.ErrConflict]): a side for trunk or
// arms, a variable that must be more than it may be, and one that the body can never tell, of a
// leg that it lacks, or of trunk, arms or hip without an upper body.
func (l Limits) Validate() error {
	var f fault.List
	if len(l.Joints) == 0 {
		if l.Body.known() {
			f.In("body", l.Body.Validate())
		}
		return f.Err()
	}
	f.In("body", l.Body.Validate())
	if n := len(l.Joints); n > 100 {
		f.Add("joints", num.Text(float64(n), "limits"), "at most 100", contact.ErrRange)
		return f.Err()
	}
	for i := range l.Joints {
		one := &l.Joints[i]
		path := fault.At("joints", i)
		if is, ok := angles[one.Variable]; ok {
			f.Range(path+".angle_deg", one.Angle, is[0], is[1], "degrees")
		} else {
			f.In(path, limitFields.Validate(one))
		}
		f.In(path, variableNames.Check("variable", one.Variable))
		f.In(path, boundNames.Check("bound", one.Bound))
		switch {
		case !one.Side.Valid():
			f.Add(path+".side", one.Side.String(), "centre, left or right", contact.ErrUnknown)
		case one.Variable.still() && one.Side != contact.Centre:
			f.Add(path+".side", one.Side.String(), "centre, since trunk and arms have no side", contact.ErrConflict)
		case !l.Body.known(): // which is said
		case (one.Variable.still() || one.Variable == HipFlexion) && l.Body.Upper == (Upper{}):
			f.Add(path+".variable", one.Variable.String(), "one that the body has: its trunk and arms are not known", contact.ErrConflict)
		case one.Side != contact.Centre:
			if _, ok := l.Body.leg(one.Side); !ok {
				f.Add(path+".side", one.Side.String(), "a leg that the body has", contact.ErrConflict)
			}
		}
		for k := range i {
			if other := &l.Joints[k]; one.contradicts(other) {
				f.Add(path+".angle_deg", num.Text(one.Angle, "degrees"), "one that goes together with "+other.String(), contact.ErrConflict)
			}
		}
	}
	return f.Err()
}

// contradicts reports whether nothing is within both limits.
func (l *Limit) contradicts(o *Limit) bool {
	if l.Variable != o.Variable || l.Side != o.Side && l.Side != contact.Centre && o.Side != contact.Centre {
		return false
	}
	return l.Bound == AtLeast && o.Bound == AtMost && l.Angle > o.Angle || l.Bound == AtMost && o.Bound == AtLeast && l.Angle < o.Angle
}

// known reports whether anything of a body is stated.
func (b *Body) known() bool {
	return b.Left.known() || b.Right.known() || b.HipForward != 0 || b.HipUp != 0 || b.Upper != (Upper{})
}

// A Verdict is what a position asks of one limb that is limited.
type Verdict struct {
	// Place is the limit's place in Limits.Joints, from 0, and Limit the limit.
	Place int
	Limit Limit
	// Side is the leg, where a limit is of both; else that of the limit.
	Side contact.Side
	// Known tells whether the position has what the limit needs. If not, all that follows is zero.
	Known bool
	// Value is the variable's extreme, the least for [AtLeast] and the most for [AtMost], in
	// degrees, and CrankAngle where it is, that of the leg's own crank.
	Value, CrankAngle float64
	// By is how far the value is beyond the limit, in degrees; negative: within it by so much.
	By float64
	// Gap is by how much the limb does not reach, in mm, as in [Span].
	Gap float64
}

// limitLeeway keeps rounding from deciding, degrees.
const limitLeeway = 1e-9

// Kept reports whether it is known that the limit is kept.
func (v Verdict) Kept() bool { return v.Known && v.Gap == 0 && v.By <= limitLeeway }

// Broken reports whether it is known that the limit is not kept.
func (v Verdict) Broken() bool { return v.Known && !v.Kept() }

// String returns the verdict as in "left knee_flexion 22.0 degrees: 3.0 degrees too little".
func (v Verdict) String() string {
	s := v.Limit.Variable.String()
	if v.Side != contact.Centre {
		s = v.Side.String() + " " + s
	}
	switch {
	case !v.Known:
		return s + ": not known"
	case v.Gap != 0:
		return s + fmt.Sprintf(": does not reach by %.1f mm", math.Abs(v.Gap))
	}
	s += fmt.Sprintf(" %.1f degrees", v.Value)
	switch {
	case v.Kept():
		return s + ": kept"
	case v.Limit.Bound == AtLeast:
		return s + fmt.Sprintf(": %.1f degrees too little", v.By)
	default:
		return s + fmt.Sprintf(": %.1f degrees too much", v.By)
	}
}

// Check returns what a position asks of the joints that are limited: a verdict for each limit, in
// their order, and for each leg that the body has where a limit is of both, left before right.
// Errors are those of [Limits.Validate] and contact.Position.Validate.
func (l Limits) Check(p contact.Position) ([]Verdict, error) {
	var f fault.List
	f.In("", l.Validate())
	f.In("position", p.Validate())
	if err := f.Err(); err != nil {
		return nil, err
	}
	return l.verdicts(&p), nil
}

// Breaks reports whether a position is known to break a limit. It checks neither of them.
func (l Limits) Breaks(p contact.Position) bool {
	c := l.chain(&p)
	for i := range l.Joints {
		one := &l.Joints[i]
		for _, side := range l.Body.limbs(one) {
			if v := c.verdict(one, side); v.Broken() {
				return true
			}
		}
	}
	return false
}

// chain puts the body on what the position knows.
func (l *Limits) chain(p *contact.Position) Chain {
	c := l.Body.on(p, func(contact.Site) {})
	c.ready()
	return c
}

func (l *Limits) verdicts(p *contact.Position) (all []Verdict) {
	c := l.chain(p)
	for i := range l.Joints {
		for _, side := range l.Body.limbs(&l.Joints[i]) {
			v := c.verdict(&l.Joints[i], side)
			v.Place = i
			all = append(all, v)
		}
	}
	return all
}

// limbs lists the sides on which a limit is asked.
func (b *Body) limbs(l *Limit) []contact.Side {
	if l.Variable.still() || l.Side != contact.Centre {
		return []contact.Side{l.Side}
	}
	return b.sides()
}

// verdict judges one limit of one limb.
func (c *Chain) verdict(one *Limit, side contact.Side) Verdict {
	v := Verdict{Limit: *one, Side: side}
	if value, ok := c.still(one.Variable); ok {
		v.Known, v.Value, v.Gap = true, value, c.upper.Gap
	} else if v.Known = c.tells(one.Variable, side); v.Known {
		l := &c.legs[side]
		if one.Variable == HipFlexion && c.armed() {
			v.Gap = c.upper.Gap
		}
		if at, gap := l.gap(); gap != 0 {
			v.Gap, v.CrankAngle = gap, at
		}
		if v.Gap == 0 {
			v.CrankAngle, v.Value = l.extreme(one.Variable, one.Bound == AtMost)
		}
	}
	switch {
	case !v.Known || v.Gap != 0:
		v.Value = 0
	default:
		v.By = one.beyond(v.Value)
	}
	return v
}

// tells reports whether a variable is known.
func (c *Chain) tells(m Variable, side contact.Side) bool {
	if m.still() {
		return c.trunk
	}
	_, err := c.leg(side)
	return err == nil && (m != HipFlexion || c.trunk)
}

// beyond returns by how much a value is beyond the limit.
func (l *Limit) beyond(value float64) float64 {
	if l.Bound == AtLeast {
		return l.Angle - value
	}
	return value - l.Angle
}

// extreme returns the least or the most of a variable over the stroke, and where it is.
func (l *leg) extreme(m Variable, greatest bool) (at, value float64) {
	var p Posture
	of := func(crank float64) float64 {
		l.pose(crank, &p)
		v, _ := p.of(m)
		return v
	}
	if greatest {
		return most(l.steps(), of)
	}
	return least(l.steps(), of)
}
