package search

import (
	"math"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A form gives the cost of a place of the bar's clamp, forward and up, with the
// best roll. It is exact if every site has the same weight forward and up (round): the
// cost at a roll ρ is then that of the clamp plus kc cos ρ + ks sin ρ. All sums are over
// the sites, each times its weight w; h is the site from the clamp, and t its target,
// less an origin close to the targets that keeps the numbers small.
type form struct {
	round            bool
	originX, originZ float64
	w, tx, tz        float64 // Σw, Σwt
	hx, hz           float64 // Σwh
	dot, cross       float64 // Σw t·h, Σw t×h
	rest             float64 // Σw(t² + h²)
	cos, sin         float64 // of the roll range
	base             float64 // the least cost, of all places
}

func newForm(hands []hand, clamp *wanted, most float64) form {
	f := form{round: clamp.weight.X == clamp.weight.Z}
	f.sin, f.cos = num.Sincos(most)
	type place struct{ w, hx, hz, tx, tz float64 }
	all := make([]place, 0, 12) // as many as any bar offers, on the stack
	if clamp.weight.X != 0 {
		all = append(all, place{w: clamp.weight.X, tx: clamp.at.X, tz: clamp.at.Z})
	}
	for i := range hands {
		h := &hands[i]
		f.round = f.round && h.want.weight.X == h.want.weight.Z
		if h.want.weight.X == 0 {
			continue
		}
		all = append(all, place{w: h.want.weight.X, hx: h.at.X, hz: h.at.Z, tx: h.want.at.X, tz: h.want.at.Z})
	}
	if !f.round || len(all) == 0 {
		return f
	}
	f.originX, f.originZ = all[0].tx, all[0].tz
	for _, p := range all {
		p.tx -= f.originX
		p.tz -= f.originZ
		f.w += p.w
		f.tx += p.w * p.tx
		f.tz += p.w * p.tz
		f.hx += p.w * p.hx
		f.hz += p.w * p.hz
		f.dot += p.w * (p.tx*p.hx + p.tz*p.hz)
		f.cross += p.w * (p.tz*p.hx - p.tx*p.hz)
		f.rest += p.w * (p.tx*p.tx + p.tz*p.tz + p.hx*p.hx + p.hz*p.hz)
	}
	// The best clamp place is (Σwt - R Σwh) / Σw. Elsewhere the cost is the cost there
	// plus the weight times the square of the distance.
	kc := 2 * ((f.tx*f.hx+f.tz*f.hz)/f.w - f.dot)
	ks := 2 * ((f.tz*f.hx-f.tx*f.hz)/f.w - f.cross)
	lo, _ := f.span(kc, ks)
	f.base = max(0, f.rest*(1-rounding)-(f.tx*f.tx+f.tz*f.tz+f.hx*f.hx+f.hz*f.hz)/f.w+lo)
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

// reach returns the range of the best clamp place over all rolls, across a steerer and along it.
func (f *form) reach(up r3.Vec) (lo, hi [2]float64) {
	if f.w == 0 {
		return [2]float64{-wide, -wide}, [2]float64{wide, wide}
	}
	across := func(x, z float64) float64 { return x*up.Z - z*up.X }
	along := func(x, z float64) float64 { return x*up.X + z*up.Z }
	hq, ha := across(f.hx, f.hz), along(f.hx, f.hz)
	x, z := f.originX+f.tx/f.w, f.originZ+f.tz/f.w
	least, most := f.span(hq, -ha)
	lo[0], hi[0] = across(x, z)-most/f.w, across(x, z)-least/f.w
	least, most = f.span(ha, hq)
	lo[1], hi[1] = along(x, z)-most/f.w, along(x, z)-least/f.w
	return lo, hi
}

// floor returns a lower bound of the cost at any height on a stem at q, of which the best
// places are lo to hi.
func (f *form) floor(q, lo, hi float64) float64 {
	d := max(0, lo-q, q-hi)
	return f.w*d*d + f.base
}

// turns returns kc and ks of kc cos ρ + ks sin ρ, the part of the cost that depends on the
// roll ρ.
func (f *form) turns(x, z float64) (kc, ks float64) {
	return 2 * (x*f.hx + z*f.hz - f.dot), 2 * (z*f.hx - x*f.hz - f.cross)
}

// rounding is the relative rounding error allowed in sums of large numbers.
const rounding = 1e-12

// least returns the cost with the best roll, less an allowance for rounding.
func (f *form) least(at r3.Vec) float64 {
	x, z := at.X-f.originX, at.Z-f.originZ
	large := f.w*(x*x+z*z) + f.rest
	c := large*(1-rounding) - 2*(x*f.tx+z*f.tz)
	kc, ks := f.turns(x, z)
	n := math.Sqrt(kc*kc + ks*ks)
	if -kc >= n*f.cos {
		return c - n
	}
	return c + kc*f.cos - math.Abs(ks)*f.sin
}

// roll returns the best roll, in degrees.
func (f *form) roll(at r3.Vec) float64 {
	kc, ks := f.turns(at.X-f.originX, at.Z-f.originZ)
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
	tolerance      [2]float64 // the greatest
}

// add adds a site whose place from the clamp is between lo and hi, forward and up.
func (b *box) add(w *wanted, lo, hi [2]float64) {
	for i, k := range [2][3]float64{{w.weight.X, w.at.X, w.tolerance.X}, {w.weight.Z, w.at.Z, w.tolerance.Z}} {
		b.tolerance[i] = max(b.tolerance[i], k[2])
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

func (b *box) least(clamp r3.Vec) float64 { return b.near(clamp, 0) }

// near is the least cost within a distance of a place.
func (b *box) near(clamp r3.Vec, r float64) float64 {
	x := max(0, b.lo[0]-clamp.X-r, clamp.X-b.hi[0]-r)
	z := max(0, b.lo[1]-clamp.Z-r, clamp.Z-b.hi[1]-r)
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
