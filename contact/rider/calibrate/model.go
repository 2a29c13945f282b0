package calibrate

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// The unknowns: the hip over the saddle, then of each leg its own. Lengths are in mm, the
// sole's angle against the line from heel to toe in degrees.
const (
	forward = iota
	up
	shared
)

const (
	thigh = iota
	shank
	height
	behind
	angle
	own
)

// dimensions are what the unknowns of a leg are of its body.
var dimensions = [own]rider.Dimension{rider.BodyThigh, rider.BodyShank, rider.BodyAnkleHeight, rider.BodyAnkleBehind, rider.BodyAnkleAngle}

// Of a leg with a recording follow how its hip moves, two harmonics of each coordinate, and
// what each thing that shows is wrong by: along two directions, a part that stays and two
// harmonics.
const (
	sways  = 8
	wrongs = 10
)

// wrong is the standard deviation of what shows a leg: of the part that stays, and of each
// coefficient of the first and of the second harmonic, along its two directions; mm.
// Directions are those of the bike for hip and centre, along and square to the thigh for
// the knee, and to the sole for the ankle.
var wrong = [shows][2][3]float64{
	hip:    {{10, 5, 1.5}, {10, 5, 1.5}},
	centre: {{8, 1.5, 0.8}, {8, 1.5, 0.8}},
	knee:   {{7, 5, 1.5}, {7, 2.5, 1}},
	ankle:  {{5, 1, 0.5}, {5, 1, 0.5}},
}

const (
	// swaying is what a hip may move by in each coefficient, moving how far a single marker
	// of the pelvis may move beside the hip, unruled how far such a marker may be from
	// anything, mm.
	swaying, moving, unruled = 30, 4, 1000
	// rough is what is left beside harmonics and revolutions, mm; the places of the circle are
	// more than the nine numbers that four harmonics have, by repeats.
	rough   = 1.5
	repeats = places / 9.
	// alike is by how much the legs of a person differ in length, and unlevel by how much
	// their hips do in each direction, mm (common practice, no source).
	alike, unlevel = 8, 3
)

// A problem is what a recording shows and what was held before it, as least squares.
type problem struct {
	legs   []leg
	at     []int // where the unknowns of each leg begin
	saddle r3.Vec
	n      int
	prior  []prior
}

// A prior holds an unknown, or what two have in common or differ by: the mean of both for a
// sign of 1, the difference for -1.
type prior struct {
	of, with int // the same for one alone
	sign     float64
	belief
}

// shares returns what a prior has of each of its unknowns.
func (q *prior) shares() (of, with float64) {
	switch {
	case q.with == q.of:
		return 1, 0
	case q.sign > 0:
		return 0.5, 0.5
	}
	return 1, -1
}

func newProblem(e *Evidence, legs []leg) *problem {
	p := &problem{legs: legs, n: shared}
	p.saddle, _ = e.Position.At(contact.SaddleReference)
	p.hold(forward, before[rider.BodyHipForward].mean, before[rider.BodyHipForward].sigma)
	p.hold(up, before[rider.BodyHipUp].mean, before[rider.BodyHipUp].sigma)
	for i := range legs {
		l := &legs[i]
		at := p.n
		p.at = append(p.at, at)
		p.n += own
		for k, d := range dimensions {
			b := before[d]
			if segment := [...]rider.Segment{rider.Thigh, rider.Shank, rider.AnkleHeight}; e.Stature != 0 && k < len(segment) {
				mean, _ := e.Table.Length(segment[k], e.Stature) // which has legs, as legs checked
				b = belief{mean, spread[segment[k]] * e.Stature}
				if k == height {
					b = belief{mean + shoe.mean, math.Hypot(b.sigma, shoe.sigma)}
				}
			}
			switch {
			case k == angle || len(legs) == 1:
				p.hold(at+k, b.mean, b.sigma)
			case i > 0: // both legs are one person's
				p.both(at+k, p.at[0]+k, b.mean, b.sigma, alike)
			}
		}
		if l.seen != nil {
			for k := range sways {
				p.hold(p.n+k, 0, swaying)
			}
			p.n += sways
			for k := range shows {
				p.errors(l, k, e.loose())
			}
		}
	}
	return p
}

// hold holds one unknown.
func (p *problem) hold(of int, mean, sigma float64) {
	p.prior = append(p.prior, prior{of, of, 1, belief{mean, sigma}})
}

// both holds the mean of two unknowns, and by how much they differ.
func (p *problem) both(of, with int, mean, sigma, differ float64) {
	p.prior = append(p.prior, prior{of, with, 1, belief{mean, sigma}}, prior{of, with, -1, belief{0, differ}})
}

// errors holds what a thing that shows is wrong by, so many times as much as usual.
func (p *problem) errors(l *leg, k int, loose float64) {
	for axis := range 2 {
		w := wrong[k][axis]
		if k == centre && !l.rule {
			w = [3]float64{unruled, moving, moving / 2}
		}
		stays := w[0]
		first := p.at[0] + own + sways + k*wrongs + 5*axis // of the first leg
		switch pair := len(p.legs) > 1; {
		case pair && k == centre && l.rule: // one rule, by the same markers
			if p.n != first {
				p.both(p.n, first, 0, loose*math.Hypot(stays, unlevel/math.Sqrt2), loose*unlevel*math.Sqrt2)
			}
		case pair && k <= centre:
			p.hold(p.n, 0, loose*math.Hypot(stays, unlevel))
		default:
			p.hold(p.n, 0, loose*stays)
		}
		for c := 1; c < 5; c++ {
			p.hold(p.n+c, 0, loose*w[(c+1)/2])
		}
		p.n += wrongs / 2
	}
}

// loose is Loose as it counts.
func (e *Evidence) loose() float64 {
	if e.Loose == 0 {
		return 1
	}
	return e.Loose
}

// rows counts the residuals.
func (p *problem) rows() int {
	return len(p.prior) + p.places()
}

// places counts those of what is seen.
func (p *problem) places() (m int) {
	for i := range p.legs {
		l := &p.legs[i]
		m += len(l.seen) * 2 * shows
		if !l.pelvis {
			m -= len(l.seen) * 2
		}
	}
	return m
}

// redundant is how many of the residuals are more than the unknowns, each place for what it tells.
func (p *problem) redundant() float64 {
	return float64(p.places())/repeats + float64(len(p.prior)-p.n)
}

// model fills in residuals and their derivatives.
func (p *problem) model(x, r, jac []float64) {
	row := 0
	next := func(value, sigma float64) []float64 {
		r[row] = value / sigma
		row++
		return jac[(row-1)*p.n : row*p.n]
	}
	for i := range p.legs {
		for k := range p.legs[i].seen {
			p.place(&p.legs[i], p.at[i], &p.legs[i].seen[k], x, next)
		}
	}
	for _, q := range p.prior {
		of, with := q.shares()
		j := next(of*x[q.of]+with*x[q.with]-q.mean, q.sigma)
		j[q.of] += of / q.sigma
		j[q.with] += with / q.sigma
	}
}

// A slope is a derivative by an unknown.
type slope struct {
	by int
	of [2]float64
}

// place fills in the residuals of a leg at a crank angle.
func (p *problem) place(l *leg, at int, s *seen, x []float64, next func(value, sigma float64) []float64) {
	own := x[at : at+own]
	sway := at + len(own)
	// The hip, and the ankle on the foot.
	hipAt := r3.Vec{X: p.saddle.X + x[forward], Z: p.saddle.Z + x[up]}
	hipBy := make([]slope, 0, 16)
	hipBy = append(hipBy, slope{forward, [2]float64{1, 0}}, slope{up, [2]float64{0, 1}})
	for k, b := range s.basis[1:] {
		hipAt.X += b * x[sway+k]
		hipAt.Z += b * x[sway+4+k]
		hipBy = append(hipBy, slope{sway + k, [2]float64{b, 0}}, slope{sway + 4 + k, [2]float64{0, b}})
	}
	sin, cos := num.Sincos(s.slope + own[angle])
	high := l.sole + own[height]
	foot := r3.Vec{X: -own[behind]*cos - high*sin, Z: high*cos - own[behind]*sin}
	ankleAt := r3.Vec{X: l.crank*s.sin + foot.X, Z: l.crank*s.cos + foot.Z}
	ankleBy := [...]slope{
		{at + behind, [2]float64{-cos, -sin}},
		{at + height, [2]float64{-sin, cos}},
		{at + angle, [2]float64{-foot.Z * num.Rad, foot.X * num.Rad}},
	}
	kneeAt, kneeBy := fold(hipAt, ankleAt, own[thigh], own[shank])
	// What is seen of each.
	for k := range shows {
		if k == centre && !l.pelvis {
			continue
		}
		a, is, by := r3.Vec{X: 1}, hipAt, hipBy
		switch k {
		case knee:
			a, is, by = s.thigh, kneeAt, nil
			for _, h := range hipBy {
				by = append(by, slope{h.by, kneeBy.by(0, h.of)})
			}
			for _, f := range ankleBy {
				by = append(by, slope{f.by, kneeBy.by(1, f.of)})
			}
			by = append(by, slope{at + thigh, kneeBy[2]}, slope{at + shank, kneeBy[3]})
		case ankle:
			sin, cos := num.Sincos(s.slope)
			a, is, by = r3.Vec{X: cos, Z: sin}, ankleAt, ankleBy[:]
		}
		sigma := math.Hypot(s.sigma[k], rough) * math.Sqrt(repeats)
		off := r3.Sub(is, s.at[k])
		wrong := sway + sways + k*wrongs
		for axis, u := range [2]r3.Vec{a, {X: -a.Z, Z: a.X}} {
			value := u.X*off.X + u.Z*off.Z
			for c, b := range s.basis {
				value += b * x[wrong+5*axis+c]
			}
			j := next(value, sigma)
			for _, d := range by {
				j[d.by] += (u.X*d.of[0] + u.Z*d.of[1]) / sigma
			}
			for c, b := range s.basis {
				j[wrong+5*axis+c] += b / sigma
			}
		}
	}
}

// A folded is the derivatives of a knee: by the place of the hip, of the ankle, and by the
// lengths of thigh and shank.
type folded [4][2]float64

// by returns the derivative of the knee by something that moves hip (0) or ankle (1).
func (f *folded) by(end int, moves [2]float64) [2]float64 {
	return [2]float64{f.x(end, moves), f.z(end, moves)}
}

// The knee keeps its distances u from the hip and v from the ankle: what moves an end along
// its line moves the knee as a longer segment would.
func (f *folded) x(end int, m [2]float64) float64 {
	return f[2+end][0] * (f[end][0]*m[0] + f[end][1]*m[1])
}

func (f *folded) z(end int, m [2]float64) float64 {
	return f[2+end][1] * (f[end][0]*m[0] + f[end][1]*m[1])
}

// fold returns the knee between hip and ankle, in front of their line; where the leg does not
// reach it is just not straight.
func fold(hip, ankle r3.Vec, thigh, shank float64) (r3.Vec, folded) {
	line := r3.Sub(ankle, hip)
	d := math.Max(1, math.Hypot(line.X, line.Z))
	e := r3.Scale(1/d, line)
	along := (d*d + thigh*thigh - shank*shank) / (2 * d)
	least := 0.02 * thigh
	off := math.Sqrt(math.Max(least*least, thigh*thigh-along*along))
	knee := r3.Vec{X: hip.X + along*e.X - off*e.Z, Z: hip.Z + along*e.Z + off*e.X}
	u, v := r3.Unit(r3.Sub(knee, hip)), r3.Unit(r3.Sub(knee, ankle))
	det := u.X*v.Z - u.Z*v.X
	if math.Abs(det) < 0.02 {
		det = math.Copysign(0.02, det)
	}
	return knee, folded{{u.X, u.Z}, {v.X, v.Z}, {v.Z / det, -v.X / det}, {-u.Z / det, u.X / det}}
}
