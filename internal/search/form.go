package search

import (
	"math"

	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A form gives the cost of a place of the bar's clamp, in steerer coordinates, with the
// best roll. It is exact if every site has the same weight forward and up (round): the
// cost at a roll ρ is then that of the clamp plus kc cos ρ + ks sin ρ. All sums are over
// the sites, each times its weight w; h is the site from the clamp, and t its target,
// less an origin close to the targets that keeps the numbers small.
type form struct {
	round          bool
	originQ        float64
	originA        float64
	w, tq, ta      float64 // Σw, Σwt
	hq, ha         float64 // Σwh
	dot, cross     float64 // Σw t·h, Σw t×h
	rest           float64 // Σw(t² + h²)
	cos, sin       float64 // of the roll range
	loQ, hiQ, base float64 // range of the best clamp place over all rolls; least cost there
}

func newForm(ch *rig.Chassis, hands []hand, clamp *wanted, most float64) form {
	f := form{round: clamp.weight.X == clamp.weight.Z}
	f.sin, f.cos = num.Sincos(most)
	type place struct{ w, hq, ha, tq, ta float64 }
	all := make([]place, 0, 12) // as many as any bar offers, on the stack
	if clamp.weight.X != 0 {
		p := place{w: clamp.weight.X}
		p.tq, p.ta = ch.Steerer(clamp.at)
		all = append(all, p)
	}
	for i := range hands {
		h := &hands[i]
		f.round = f.round && h.want.weight.X == h.want.weight.Z
		if h.want.weight.X == 0 {
			continue
		}
		p := place{w: h.want.weight.X}
		p.hq, p.ha = ch.Steerer(h.at)
		p.tq, p.ta = ch.Steerer(h.want.at)
		all = append(all, p)
	}
	if !f.round || len(all) == 0 {
		return f
	}
	f.originQ, f.originA = all[0].tq, all[0].ta
	for _, p := range all {
		p.tq -= f.originQ
		p.ta -= f.originA
		f.w += p.w
		f.tq += p.w * p.tq
		f.ta += p.w * p.ta
		f.hq += p.w * p.hq
		f.ha += p.w * p.ha
		f.dot += p.w * (p.tq*p.hq + p.ta*p.ha)
		f.cross += p.w * (p.ta*p.hq - p.tq*p.ha)
		f.rest += p.w * (p.tq*p.tq + p.ta*p.ta + p.hq*p.hq + p.ha*p.ha)
	}
	// The best clamp place is (Σwt - R Σwh) / Σw. Elsewhere the cost is the cost there
	// plus the weight times the square of the distance.
	lo, hi := f.span(f.hq, -f.ha)
	f.loQ, f.hiQ = (f.tq-hi)/f.w, (f.tq-lo)/f.w
	kc := 2 * ((f.tq*f.hq+f.ta*f.ha)/f.w - f.dot)
	ks := 2 * ((f.ta*f.hq-f.tq*f.ha)/f.w - f.cross)
	lo, _ = f.span(kc, ks)
	f.base = max(0, f.rest*(1-rounding)-(f.tq*f.tq+f.ta*f.ta+f.hq*f.hq+f.ha*f.ha)/f.w+lo)
	return f
}

// span returns the least and the greatest value of c cos ρ + s sin ρ within the roll range.
func (f *form) span(c, s float64) (lo, hi float64) {
	n := math.Sqrt(c*c + s*s)
	lo, hi = c*f.cos-math.Abs(s)*f.sin, c*f.cos+math.Abs(s)*f.sin
	if -c >= n*f.cos {
		lo = -n
	}
	if c >= n*f.cos {
		hi = n
	}
	return lo, hi
}

// floor returns a lower bound of the cost at any height on a stem at q.
func (f *form) floor(q float64) float64 {
	if !f.round {
		return 0
	}
	q -= f.originQ
	d := max(0, f.loQ-q, q-f.hiQ)
	return f.w*d*d + f.base
}

// turns returns kc and ks of kc cos ρ + ks sin ρ, the part of the cost that depends on the
// roll ρ.
func (f *form) turns(q, a float64) (kc, ks float64) {
	return 2 * (q*f.hq + a*f.ha - f.dot), 2 * (a*f.hq - q*f.ha - f.cross)
}

// rounding is the relative rounding error allowed in sums of large numbers.
const rounding = 1e-12

// least returns the cost with the best roll, less an allowance for rounding.
func (f *form) least(q, a float64) float64 {
	q -= f.originQ
	a -= f.originA
	large := f.w*(q*q+a*a) + f.rest
	c := large*(1-rounding) - 2*(q*f.tq+a*f.ta)
	kc, ks := f.turns(q, a)
	n := math.Sqrt(kc*kc + ks*ks)
	if -kc >= n*f.cos {
		return c - n
	}
	return c + kc*f.cos - math.Abs(ks)*f.sin
}

// roll returns the best roll, in degrees.
func (f *form) roll(q, a float64) float64 {
	kc, ks := f.turns(q-f.originQ, a-f.originA)
	n := math.Sqrt(kc*kc + ks*ks)
	if n == 0 {
		return 0 // no kept site depends on the roll
	}
	if -kc >= n*f.cos {
		return num.Atan2(-ks, -kc) + 0
	}
	return math.Copysign(num.Atan2(f.sin, f.cos), -ks)
}

// A box bounds the places wanted for the clamp, forward and up, over all settings. The
// cost is at least the weight times the square of the distance to the box.
type box struct {
	weight, lo, hi [2]float64
}

// add adds a site whose place from the clamp is between lo and hi, forward and up.
func (b *box) add(w *wanted, lo, hi [2]float64) {
	for i, k := range [2][2]float64{{w.weight.X, w.at.X}, {w.weight.Z, w.at.Z}} {
		// Until it is ready, lo and hi are sums of weighted numbers.
		b.weight[i] += k[0]
		b.lo[i] += k[0] * (k[1] - hi[i])
		b.hi[i] += k[0] * (k[1] - lo[i])
	}
}

func (b *box) ready() {
	for i, w := range b.weight {
		if w > 0 {
			b.lo[i] /= w
			b.hi[i] /= w
		}
	}
}

func (b *box) least(clamp r3.Vec) float64 {
	x := max(0, b.lo[0]-clamp.X, clamp.X-b.hi[0])
	z := max(0, b.lo[1]-clamp.Z, clamp.Z-b.hi[1])
	return b.weight[0]*x*x + b.weight[1]*z*z
}

// barBox returns the box of a bar that may be turned by up to most degrees either way.
func barBox(hands []hand, clamp *wanted, most float64) box {
	var b box
	b.add(clamp, [2]float64{}, [2]float64{})
	f := form{}
	f.sin, f.cos = num.Sincos(most)
	for i := range hands {
		h := &hands[i]
		x0, x1 := f.span(h.at.X, -h.at.Z)
		z0, z1 := f.span(h.at.Z, h.at.X)
		b.add(h.want, [2]float64{x0, z0}, [2]float64{x1, z1})
	}
	b.ready()
	return b
}
