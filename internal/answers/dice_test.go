package answers_test

import (
	"math"
	"math/rand/v2"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

// A dice draws one case.
type dice struct{ *rand.Rand }

// in returns a number between two others.
func (d dice) in(lo, hi float64) float64 { return lo + float64((hi-lo)*d.Float64()) }

// step returns a number between two others in whole steps from the lower one.
func (d dice) step(lo, hi, step float64) float64 {
	return lo + float64(step*float64(d.IntN(1+int((hi-lo)/step+1e-9))))
}

// maybe returns 0 in half of the cases, and else a number.
func (d dice) maybe(lo, hi float64) float64 {
	if d.one(2) {
		return 0
	}
	return d.in(lo, hi)
}

// one is true in one of n cases.
func (d dice) one(n int) bool { return d.IntN(n) == 0 }

// about returns a vector of normal errors.
func (d dice) about(sigma float64) r3.Vec {
	return r3.Scale(sigma, r3.Vec{X: d.NormFloat64(), Y: d.NormFloat64(), Z: d.NormFloat64()})
}

func pick[T any](d dice, all ...T) T { return all[d.IntN(len(all))] }

// some returns n of a list, or all if there are fewer, in their order.
func some[T any](d dice, n int, all []T) []T {
	all = append([]T(nil), all...)
	for len(all) > n {
		i := d.IntN(len(all))
		all = append(all[:i], all[i+1:]...)
	}
	return all
}

func shuffle[T any](d dice, all []T) {
	d.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
}

// bad returns a number that makes no sense, or less sense than v does.
func (d dice) bad(v float64) float64 {
	return pick(d, math.NaN(), math.Inf(1), math.Inf(-1), 0, -v, v*10, v/10, v/25.4, v/1000, v*1000, v+500, -1, 1e300)
}

// spoil makes one of some numbers bad.
func (d dice) spoil(all []*float64) {
	if len(all) > 0 {
		v := all[d.IntN(len(all))]
		*v = d.bad(*v)
	}
}

// spoilPosition makes one number of a position bad, forgets a site, or exchanges two.
func (d dice) spoilPosition(p *contact.Position) {
	var known []contact.Site
	for s := range p.All() {
		known = append(known, s)
	}
	if len(known) == 0 {
		return
	}
	s := pick(d, append(known, contact.SaddleReference)...)
	v, _ := p.At(s)
	switch d.IntN(6) {
	case 0:
		p.Forget(s)
	case 1:
		other := s.On(contact.Right)
		w, _ := p.At(other)
		p.Set(s, w)
		p.Set(other, v)
	case 2:
		p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: d.bad(3)})
	case 3:
		p.Set(contact.Site(20+d.IntN(40)), v)
	default:
		d.spoil([]*float64{&v.X, &v.Y, &v.Z})
		p.Set(s, v)
	}
}

// covariance draws the covariance of a position's points and of its saddle's
// direction: errors of their own, and three that all have in common.
func (d dice) covariance(p contact.Position, sigma float64) contact.Covariance {
	var coords []contact.Coordinate
	for s := range p.All() {
		for a := contact.AxisX; a <= contact.AxisZ; a++ {
			coords = append(coords, contact.Coordinate{Site: s, Axis: a})
		}
	}
	if _, ok := p.Attitude(contact.SaddleReference); ok {
		for a := contact.AxisTilt; a <= contact.AxisRoll; a++ {
			coords = append(coords, contact.Coordinate{Site: contact.SaddleReference, Axis: a})
		}
	}
	own := make([]float64, len(coords))
	common := make([][3]float64, len(coords))
	for i := range coords {
		own[i] = d.in(0.1, 1) * sigma
		for k := range common[i] {
			common[i][k] = 0.3 * sigma * d.NormFloat64()
		}
		if d.one(40) { // known for certain
			own[i], common[i] = 0, [3]float64{}
		}
	}
	c, err := contact.NewCovariance(coords, func(i, j int) float64 {
		v := 0.
		for k := range common[i] {
			v += float64(common[i][k] * common[j][k])
		}
		if i == j {
			v += float64(own[i] * own[i])
		}
		return v
	})
	if err != nil {
		return contact.Covariance{} // of coordinates that are not
	}
	return c
}
