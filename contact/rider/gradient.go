package rider

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// What a chain depends on: lengths in mm, angles in degrees.
const (
	byHipX = iota
	byHipZ
	byCrank
	byThigh
	byShank
	byBehind
	byAbove
	byAnkle
	byWristX
	byWristZ
	byTrunk
	byUpperArm
	byForearm
	byKept

	dependences
)

// A gradient is the derivatives of a number by what the chain depends on.
type gradient [dependences]float64

// only is the gradient of what the chain depends on by itself.
func only(i int) (g gradient) {
	g[i] = 1
	return g
}

// combine returns the sum of gradients times factors.
func combine(terms ...term) (g gradient) {
	for _, t := range terms {
		for i, v := range t.of {
			g[i] += t.by * v
		}
	}
	return g
}

// A term is a gradient times a factor.
type term struct {
	by float64
	of *gradient
}

// A moving is a point and its derivatives.
type moving struct {
	at     r3.Vec
	dx, dz gradient
}

// pitch returns the derivatives in degrees of the slope of the line from one point to
// another.
func pitch(from, to *moving) gradient {
	x, z := to.at.X-from.at.X, to.at.Z-from.at.Z
	r := (x*x + z*z) * num.Rad
	return combine(term{x / r, &to.dz}, term{-x / r, &from.dz}, term{-z / r, &to.dx}, term{z / r, &from.dx})
}

// middle returns a joint between two links that end at two points, with its derivatives
// from those of the links' lengths; false if they are in line, so that it has none.
func middle(from, to *moving, joint r3.Vec, da, db gradient) (moving, bool) {
	u, v := r3.Unit(r3.Sub(joint, from.at)), r3.Unit(r3.Sub(joint, to.at))
	ux, uz, vx, vz := u.X, u.Z, v.X, v.Z
	det := ux*vz - uz*vx
	// The joint keeps its distances: u·dj = u·dfrom + da and v·dj = v·dto + db.
	p := combine(term{ux, &from.dx}, term{uz, &from.dz}, term{1, &da})
	q := combine(term{vx, &to.dx}, term{vz, &to.dz}, term{1, &db})
	m := moving{at: joint, dx: combine(term{vz / det, &p}, term{-uz / det, &q}), dz: combine(term{ux / det, &q}, term{-vx / det, &p})}
	return m, math.Abs(det) > 1e-7
}

// A bend is how a leg at a crank angle changes: its posture, its knee, and the slopes of its links.
type bend struct {
	Posture
	knee                  moving
	thigh, shank, flexion gradient
}

// bends returns how a leg changes at a crank angle; false where it does not reach, or is straight, and
// has no derivatives.
func (l *leg) bends(crank float64) (b bend, ok bool) {
	l.pose(crank, &b.Posture)
	p := &b.Posture
	low := l.lower(crank)
	sin, cos := num.Sincos(crank)
	hip := moving{at: l.hip, dx: only(byHipX), dz: only(byHipZ)}
	end := moving{at: r3.Vec{X: p.Pedal.X + low.x, Z: p.Pedal.Z + low.z}}
	end.dx[byCrank], end.dz[byCrank] = sin, cos
	// The ankle from the spindle, with the sole at the angle of the profile.
	s, c := num.Sincos(low.angle)
	var x, z gradient
	x[byBehind], x[byAbove], x[byAnkle] = -c, -s, (l.behind*s-l.above*c)*num.Rad
	z[byBehind], z[byAbove], z[byAnkle] = -s, c, (-l.above*s-l.behind*c)*num.Rad
	link, turn := only(byShank), gradient{}
	if l.given == SolePitch {
		end.dx, end.dz = combine(term{1, &end.dx}, term{1, &x}), combine(term{1, &end.dz}, term{1, &z})
	} else {
		atX, atZ := -l.behind*c-l.above*s, l.above*c-l.behind*s+l.shank
		z[byShank] = 1
		link = combine(term{atX / low.link, &x}, term{atZ / low.link, &z})
		r := low.link * low.link * num.Rad
		turn = combine(term{-atZ / r, &x}, term{atX / r, &z})
	}
	b.knee, ok = middle(&hip, &end, p.Knee, only(byThigh), link)
	second := pitch(&b.knee, &end)
	b.thigh = pitch(&hip, &b.knee)
	b.flexion = combine(term{1, &b.thigh}, term{-1, &second}, term{1, &turn})
	b.shank = combine(term{1, &b.thigh}, term{-1, &b.flexion})
	return b, ok && p.Gap == 0
}

// gradient returns the derivatives of a variable of a leg at a crank angle; false where the
// leg does not reach, or is straight, and has none.
func (l *leg) gradient(m Variable, crank float64, lean *gradient) (gradient, bool) {
	b, ok := l.bends(crank)
	switch {
	case m == AnkleDorsiflexion && l.given == Dorsiflexion:
		return only(byAnkle), b.Gap == 0
	case !ok:
		return gradient{}, false
	case m == HipFlexion:
		return combine(term{1, &b.thigh}, term{-1, lean}), l.trunk
	case m == AnkleDorsiflexion:
		sole := only(byAnkle)
		return combine(term{1, &sole}, term{-1, &b.shank}), true
	default:
		return b.flexion, true
	}
}

// sole returns the derivatives of the slope of the sole.
func (l *leg) sole(b *bend) gradient {
	angle := only(byAnkle)
	if l.given == SolePitch {
		return angle
	}
	return combine(term{1, &angle}, term{1, &b.shank})
}

// overSpindle returns the derivatives of Posture.KneeOverSpindle.
func (l *leg) overSpindle(b *bend, landmark float64) gradient {
	sin, _ := num.Sincos(b.CrankAngle)
	spindle := only(byCrank)
	turn := landmark * (b.Knee.X - b.Ankle.X) / l.shank * num.Rad
	return combine(term{1, &b.knee.dx}, term{-sin, &spindle}, term{turn, &b.shank})
}

// gradients returns the derivatives of lean, shoulder and elbow; false where the arm does
// not reach, or is straight, and has none.
func (u *Upper) gradients(p *UpperPosture) (lean, shoulder, elbow gradient, ok bool) {
	hip := moving{at: p.Hip, dx: only(byHipX), dz: only(byHipZ)}
	wrist := moving{at: p.Wrist, dx: only(byWristX), dz: only(byWristZ)}
	if u.Keep == KeepTrunk {
		sin, cos := num.Sincos(u.Angle)
		top := moving{at: p.Shoulder, dx: hip.dx, dz: hip.dz}
		top.dx[byTrunk], top.dx[byKept] = cos, -u.Trunk*sin*num.Rad
		top.dz[byTrunk], top.dz[byKept] = sin, u.Trunk*cos*num.Rad
		bend, ok := middle(&top, &wrist, p.Elbow, only(byUpperArm), only(byForearm))
		lean = only(byKept)
		arm, fore := pitch(&top, &bend), pitch(&bend, &wrist)
		return lean, combine(term{1, &arm}, term{-1, &lean}), combine(term{1, &fore}, term{-1, &arm}), ok && p.Gap == 0
	}
	// The arm as one link, and the upper arm from it by an angle that goes down.
	sin, cos := num.Sincos(u.Angle)
	x, z := u.UpperArm+u.Forearm*cos, u.Forearm*sin
	var dx, dz gradient
	dx[byUpperArm], dx[byForearm], dx[byKept] = 1, cos, -u.Forearm*sin*num.Rad
	dz[byForearm], dz[byKept] = sin, u.Forearm*cos*num.Rad
	link := math.Hypot(x, z)
	top, ok := middle(&hip, &wrist, p.Shoulder, only(byTrunk), combine(term{x / link, &dx}, term{z / link, &dz}))
	lean = pitch(&hip, &top)
	line, r := pitch(&top, &wrist), link*link*num.Rad
	arm := combine(term{1, &line}, term{-x / r, &dz}, term{z / r, &dx})
	return lean, combine(term{1, &arm}, term{-1, &lean}), only(byKept), ok && p.Gap == 0
}

// slopes says what a gradient is by position and by body.
func (c *Chain) slopes(g *gradient, side contact.Side) Slopes {
	var s Slopes
	position := func(site contact.Site, axis contact.Axis, by float64) {
		if by != 0 {
			s.Position = append(s.Position, contact.Derivative{Coordinate: contact.Coordinate{Site: site, Axis: axis}, By: by})
		}
	}
	body := func(d Dimension, by float64) {
		if by != 0 {
			n := Number{Of: d}
			if d.ofLeg() {
				n.Side = side
			}
			s.Body = append(s.Body, Derivative{n, by})
		}
	}
	position(contact.SaddleReference, contact.AxisX, g[byHipX])
	position(contact.SaddleReference, contact.AxisZ, g[byHipZ])
	if side != contact.Centre {
		position(c.legs[side].crankAt, contact.AxisX, g[byCrank])
		position(contact.FootLeft.On(side), contact.AxisZ, g[byAbove])
	}
	for _, site := range c.grips {
		share := 1 / float64(len(c.grips))
		position(site, contact.AxisX, share*g[byWristX])
		position(site, contact.AxisZ, share*g[byWristZ])
	}
	for _, d := range [...]struct {
		of   Dimension
		from int
		sign float64
	}{
		{BodyThigh, byThigh, 1},
		{BodyShank, byShank, 1},
		{BodyAnkleHeight, byAbove, 1},
		{BodyAnkleBehind, byBehind, 1},
		{BodyAnkleAngle, byAnkle, 1},
		{BodyHipForward, byHipX, 1},
		{BodyHipUp, byHipZ, 1},
		{BodyTrunk, byTrunk, 1},
		{BodyUpperArm, byUpperArm, 1},
		{BodyForearm, byForearm, 1},
		{BodyWristBack, byWristX, -1},
		{BodyWristUp, byWristZ, 1},
		{BodyUpperAngle, byKept, 1},
	} {
		body(d.of, d.sign*g[d.from])
	}
	return s
}
