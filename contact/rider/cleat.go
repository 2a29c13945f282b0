package rider

import (
	"math"

	"example.com/fitgeom/internal/num"
)

// turned reports whether cleats move under a leg of which the ankle keeps its angle. Then not the far
// end of its links moves, since that is the spindle, but the length of the second link, from knee to
// spindle, changes. So the leg is seen from its shank, upright: there the spindle moves straight, and
// what the crank gives, the distance of the spindle from the hip or from a knee at its limit, is the
// radius of a circle.
func (k *paddock) turned(l *leg) bool { return k.move.cleat && l.given == Dorsiflexion }

// cleatFence adds a fence of such a leg: its circle about the spindle, by where the knee is from
// there with the shank upright, and where the spindle is from the hip.
func (k *paddock) cleatFence(l *leg, edge Edge, no side, of func(knee, spindle xz) (q xz, r float64, u xz)) {
	hip := xz{l.hip.X, l.hip.Z}
	k.fences = append(k.fences, fence{edge: edge, no: no, steps: min(mostSteps, l.steps()), circle: func(crank float64) circle {
		low := l.below(crank)
		sin, cos := num.Sincos(crank)
		knee := xz{-low.link * low.sin, low.link * low.cos}
		q, r, u := of(knee, xz{l.crank * sin, l.crank * cos}.less(hip))
		return circle{q: q, e: xz{}.less(direction(low.angle)), r: r, u: u}
	}})
}

// cleatReach fences where such a leg reaches: where its second link is neither too short nor too long.
func (k *paddock) cleatReach(l *leg, edge Edge) {
	k.cleatFence(l, edge, outside, func(knee, end xz) (xz, float64, xz) { return knee, end.length() + l.thigh, xz{} })
	k.cleatFence(l, edge, inside, func(knee, end xz) (xz, float64, xz) { return knee, math.Abs(end.length() - l.thigh), xz{} })
}

// cleatKnee fences the flexion of a knee. With the shank upright its thigh at the limit has a slope of
// its own, and the hip, from the spindle, is as far away as with the knee at the limit. Where the
// second link is on the far side of that line, the knee bends the other way, or more than any.
func (k *paddock) cleatKnee(l *leg, edge Edge, most bool, angle float64) {
	u := direction(90 + angle)
	hip := func(knee, end xz) (xz, float64, xz) { return knee.plus(u.times(l.thigh)), end.length(), u }
	switch wide := angle >= 90; {
	case most && wide:
		k.cleatFence(l, edge, right, hip)
	case most:
		k.cleatFence(l, edge, outside, hip)
		k.cleatFence(l, edge, left, func(knee, _ xz) (xz, float64, xz) { return knee, 0, u })
	case wide:
		k.cleatFence(l, edge, left, hip)
	default:
		k.cleatFence(l, edge, rightInside, hip)
	}
}

// cleatThigh fences the slope of a thigh: of which side is right, the crank alone tells.
func (k *paddock) cleatThigh(l *leg, edge Edge, no side, u xz) {
	round := map[side]side{left: outside, right: inside}[no]
	k.cleatFence(l, edge, round, func(knee, end xz) (xz, float64, xz) {
		switch turn := u.cross(end); {
		case no == left && turn > 0:
			return knee, -1, xz{}
		case no == right && turn >= 0:
			return knee, 0, xz{}
		}
		return knee, end.less(u.times(l.thigh)).length(), xz{}
	})
}
