package rider

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
)

// A motion is how hip, wrist and foot move for each mm of a change; of each a unit vector, or 0.
type motion struct {
	hip, wrist xz
	crank      bool // the feet move away from the bottom bracket
	cleat      bool // the ankles move back along the soles
}

// A leash is a limit of the hip where the trunk leans by the arms and the saddle moves: trunk and
// thigh turn both, so that no circle tells.
type leash struct {
	edge  Edge
	most  bool
	angle float64
	leg   *leg
	feet  []foot // at the steps
}

// A paddock is all fences of a body on a position, as something moves.
type paddock struct {
	move    motion
	fences  []fence
	leashes []leash
	shut    []Edge // what nothing of this kind opens
	upper   *Upper
	hip     xz
	wrist   xz
	lean    float64
}

// paddock builds the fences. What the position does not know stands nowhere.
func (l *Limits) paddock(p *contact.Position, move motion) *paddock {
	c := l.chain(p)
	u := &l.Body.Upper
	k := &paddock{move: move, upper: u, hip: xz{c.upper.Hip.X, c.upper.Hip.Z}, lean: c.upper.TrunkLean}
	if c.trunk {
		k.wrist = l.wrist(p)
	}
	reached := [3]bool{} // the limbs whose reach is fenced, arms first
	for i := range l.Joints {
		one := &l.Joints[i]
		for _, side := range l.Body.limbs(one) {
			if l.idle(i, side) || !c.tells(one.Variable, side) {
				continue
			}
			edge := Edge{Place: i, Side: side}
			if one.Variable.still() {
				k.arms(&c, one, edge)
			} else {
				leg := &c.legs[side]
				k.leg(&c, leg, one, edge)
				if !reached[side] {
					reached[side] = true
					k.reach(leg, Edge{Place: Unreached, Side: side})
				}
			}
			if (one.Variable.still() || one.Variable == HipFlexion && c.armed()) && !reached[0] {
				reached[0] = true
				a, b, _ := k.links()
				k.arm(Edge{Place: Unreached}, outside, xz{}, a+b, xz{})
				k.arm(Edge{Place: Unreached}, inside, xz{}, math.Abs(a-b), xz{})
			}
		}
	}
	k.settle()
	return k
}

// idle reports whether another limit of the same is as strict, or stricter, for that side.
func (l *Limits) idle(i int, side contact.Side) bool {
	one := &l.Joints[i]
	for k := range l.Joints {
		other := &l.Joints[k]
		if k == i || other.Variable != one.Variable || other.Bound != one.Bound || other.Side != contact.Centre && other.Side != side {
			continue
		}
		if by := one.beyond(other.Angle); by < 0 || by == 0 && k < i {
			return true
		}
	}
	return false
}

// settle draws the fences, and judges those that do not move.
func (k *paddock) settle() {
	all := k.fences
	k.fences = nil
	for i := range all {
		f := &all[i]
		f.draw()
		if f.drawn[0].e != (xz{}) {
			k.fences = append(k.fences, *f)
			continue
		}
		w := walk{lo: -1, hi: 1}
		if w.over(f); len(w.bans) > 0 {
			k.shut = append(k.shut, f.edge)
		}
	}
}

// wrist is where the wrist is wanted.
func (l *Limits) wrist(p *contact.Position) xz {
	u := &l.Body.Upper
	var sum xz
	n := 0.
	for _, side := range [...]contact.Side{contact.Left, contact.Right} {
		if v, ok := p.At(u.Grip.On(side)); ok {
			sum, n = sum.plus(xz{v.X, v.Z}), n+1
		}
	}
	return sum.times(1 / n).plus(xz{-u.WristBack, u.WristUp})
}

// mostSteps is where a fence is looked at at most: what ankles do is smooth over half a degree.
const mostSteps = 720

// legFence adds a fence of a leg: its circle by what lies below the knee at a crank angle.
func (k *paddock) legFence(l *leg, edge Edge, no side, of func(low *lower) (centre xz, r float64, u xz)) {
	hip := xz{l.hip.X, l.hip.Z}
	move := k.move
	k.fences = append(k.fences, fence{edge: edge, no: no, steps: min(mostSteps, l.steps()), profile: len(l.profile) > 1, circle: func(crank float64) circle {
		low := l.below(crank)
		sin, cos := num.Sincos(crank)
		centre, r, u := of(low)
		q := xz{l.crank*sin + low.x, l.crank*cos + low.z}.less(hip).less(centre)
		e := xz{}.less(move.hip)
		switch {
		case move.crank:
			e = xz{sin, cos}
		case move.cleat:
			e = xz{}.less(direction(low.angle))
		}
		return circle{q: q, e: e, r: r, u: u}
	}})
}

// reach fences where a leg reaches.
func (k *paddock) reach(l *leg, edge Edge) {
	if k.turned(l) {
		k.cleatReach(l, edge)
		return
	}
	k.legFence(l, edge, outside, func(low *lower) (xz, float64, xz) { return xz{}, l.thigh + low.link, xz{} })
	k.legFence(l, edge, inside, func(low *lower) (xz, float64, xz) { return xz{}, math.Abs(l.thigh - low.link), xz{} })
}

// leg fences a limit of a leg.
func (k *paddock) leg(c *Chain, l *leg, one *Limit, edge Edge) {
	most := one.Bound == AtMost
	switch {
	case one.Variable == KneeFlexion && k.turned(l):
		k.cleatKnee(l, edge, most, one.Angle)
	case one.Variable == KneeFlexion && most:
		k.legFence(l, edge, inside, func(low *lower) (xz, float64, xz) {
			switch {
			case one.Angle < low.turn:
				return xz{}, -1, xz{}
			case one.Angle >= 180+low.turn: // the reach says more
				return xz{}, 0, xz{}
			}
			return xz{}, l.flexed(low, one.Angle), xz{}
		})
	case one.Variable == KneeFlexion:
		k.legFence(l, edge, outside, func(low *lower) (xz, float64, xz) {
			switch {
			case one.Angle > 180+low.turn:
				return xz{}, -1, xz{}
			case one.Angle <= low.turn: // the reach says more
				return xz{}, math.Inf(1), xz{}
			}
			return xz{}, l.flexed(low, one.Angle), xz{}
		})
	case one.Variable == AnkleDorsiflexion && l.given == Dorsiflexion:
		_, value := l.extreme(one.Variable, most) // wherever the foot reaches
		k.fixed(one, value, edge)
	case one.Variable == AnkleDorsiflexion: // the shank is the second link
		no := right
		if most {
			no = left
		}
		k.legFence(l, edge, no, func(low *lower) (xz, float64, xz) {
			u := direction(low.angle - 90 - one.Angle)
			return u.times(low.link), l.thigh, u.times(-1)
		})
	case !c.armed() || k.move.crank || k.move.cleat:
		k.thigh(l, edge, most, one.Angle-180+k.lean)
	case k.move.hip == (xz{}): // the legs stay as they are
		at, pitch := l.pitch(most)
		edge.CrankAngle = at
		k.trunk(edge, !most, pitch+180-one.Angle)
	default:
		h := leash{edge: edge, most: most, angle: one.Angle, leg: l}
		h.ready()
		k.leashes = append(k.leashes, h)
	}
}

// thigh fences the slope of a thigh.
func (k *paddock) thigh(l *leg, edge Edge, most bool, angle float64) {
	if angle <= -225 || angle > 135 { // where no thigh points
		if most == (angle <= -225) {
			k.shut = append(k.shut, edge)
		}
		return
	}
	no := right
	if most {
		no = left
	}
	const down = -90. // as feet are
	fence := func(angle float64) {
		u := direction(angle)
		if k.turned(l) {
			k.cleatThigh(l, edge, no, u)
			return
		}
		k.legFence(l, edge, no, func(low *lower) (xz, float64, xz) { return u.times(l.thigh), low.link, u })
	}
	if far := angle - down; most == (far < 0) && math.Abs(far) > 120 { // as in trunk
		fence(down + far/2)
	}
	fence(angle)
}

// pitch returns the extreme of a thigh's slope, and where it is.
func (l *leg) pitch(greatest bool) (at, value float64) {
	var p Posture
	of := func(crank float64) float64 {
		l.pose(crank, &p)
		return p.ThighPitch
	}
	if greatest {
		return most(l.steps(), of)
	}
	return least(l.steps(), of)
}

// arm adds a fence of trunk and arms: its circle from the near end of their first link.
func (k *paddock) arm(edge Edge, no side, centre xz, r float64, u xz) {
	_, _, from := k.links()
	c := circle{q: k.wrist.less(from).less(centre), r: r, u: u, e: k.move.wrist.less(k.move.hip)}
	k.fences = append(k.fences, fence{edge: edge, no: no, steps: 1, circle: func(float64) circle { return c }})
}

// links returns the two links that bring the wrist to its place, and where they begin: trunk and
// stretched arm at the hip, or upper arm and forearm at the shoulder.
func (k *paddock) links() (a, b float64, from xz) {
	u := k.upper
	if u.Keep == KeepElbow {
		return u.Trunk, span(u.UpperArm, u.Forearm, u.Angle), k.hip
	}
	return u.UpperArm, u.Forearm, k.hip.plus(direction(u.Angle).times(u.Trunk))
}

// trunk fences the trunk's lean where it follows the arms: the first of two links.
func (k *paddock) trunk(edge Edge, most bool, angle float64) {
	a, b, _ := k.links()
	fence := func(angle float64) {
		u, no := direction(angle), right
		if most {
			no = left
		}
		k.arm(edge, no, u.times(a), b, u)
	}
	// A lean is above -180 and at most 180. A fence tells while the wrist is within half a turn of
	// it, so that lesser ones stand before one that is far from where wrists are.
	switch sign := map[bool]float64{true: -1, false: 1}[most]; {
	case sign*angle > 180:
		k.shut = append(k.shut, edge)
	case sign*angle > 0:
		fence(0)
		fence(angle / 2)
		fence(angle)
	case sign*angle > -180:
		fence(angle)
	}
}

// arms fences a limit of trunk and arms.
func (k *paddock) arms(c *Chain, one *Limit, edge Edge) {
	most := one.Bound == AtMost
	a, b, _ := k.links()
	elbow := k.upper.Keep == KeepElbow
	bend := func(angle float64, most bool) { // of the two links
		switch {
		case most && angle < 0, !most && angle > 180:
			k.shut = append(k.shut, edge)
		case most:
			k.arm(edge, inside, xz{}, span(a, b, min(180, angle)), xz{})
		default:
			k.arm(edge, outside, xz{}, span(a, b, max(0, angle)), xz{})
		}
	}
	switch {
	case one.Variable == TrunkLean && elbow:
		k.trunk(edge, most, one.Angle)
	case one.Variable == ElbowFlexion && !elbow:
		bend(one.Angle, most)
	case one.Variable == ShoulderFlexion && elbow:
		// From the stretched arm to the upper arm is an angle that does not change.
		sin, cos := num.Sincos(k.upper.Angle)
		off := num.Atan2(k.upper.Forearm*sin, k.upper.UpperArm+k.upper.Forearm*cos)
		bend(180-off-one.Angle, !most)
	case one.Variable == ShoulderFlexion:
		u := direction(one.Angle + k.upper.Angle - 180)
		no := left
		if most {
			no = right
		}
		k.arm(edge, no, u.times(a), b, u.times(-1)) // the elbow hangs
	default: // nothing changes it
		value, _ := c.still(one.Variable)
		k.fixed(one, value, edge)
	}
}

// fixed judges a value that nothing changes.
func (k *paddock) fixed(one *Limit, value float64, edge Edge) {
	if one.beyond(value) > limitLeeway {
		k.shut = append(k.shut, edge)
	}
}
