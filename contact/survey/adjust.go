package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// fit finds the datum's numbers by the Gauss-Newton method and returns the residuals of
// the conditions.
func (d *datum) fit(s *Survey, p *points) ([]residual, error) {
	rows := make([]residual, 0, 3*len(d.pairs)+5)
	normal, inverse := mat.NewSymDense(fitted, nil), mat.NewSymDense(fitted, nil)
	var chol mat.Cholesky
	for range 50 {
		d.settle(p)
		rows = d.conditions(s, p, rows[:0])
		d.freedom = float64(len(rows) - fitted)
		chi2, slope := sumUp(rows, normal)
		d.chi2 = chi2
		if !chol.Factorize(normal) || chol.InverseTo(inverse) != nil {
			break
		}
		var step [fitted]float64
		still := true
		for j := range step {
			for k, v := range slope {
				step[j] += inverse.At(j, k) * v
			}
			still = still && math.Abs(step[j]) <= 1e-9*math.Sqrt(inverse.At(j, j))
		}
		d.take(step)
		if still {
			d.settle(p)
			for i := range fitted {
				for j := range fitted {
					d.cov[i][j] = inverse.At(i, j) // until propagate replaces it
				}
			}
			return d.conditions(s, p, rows[:0]), nil
		}
	}
	return nil, &contact.Error{Path: "readings", Value: "that fit no mid-plane", Want: "landmarks of a bicycle", Class: contact.ErrConflict}
}

// sumUp returns the sum of the squared residuals, each divided by its standard
// uncertainty, and minus half its gradient. It fills in the normal equations.
func sumUp(rows []residual, normal *mat.SymDense) (chi2 float64, slope [fitted]float64) {
	normal.Zero()
	for i := range rows {
		r := &rows[i]
		w := 1 / (r.sigma * r.sigma)
		chi2 += w * r.value * r.value
		for j, a := range r.by {
			if a == 0 {
				continue
			}
			slope[j] -= w * a * r.value
			for k, b := range r.by[:j+1] {
				normal.SetSym(j, k, normal.At(j, k)+w*a*b)
			}
		}
	}
	return chi2, slope
}

// take applies a step. The turns are about the bike's own axes.
func (d *datum) take(step [fitted]float64) {
	w := r3.Vec{X: step[turnX], Y: step[turnY], Z: step[turnZ]}
	if a := r3.Norm(w); a > 0 {
		about := r3.Scale(1/a, w)
		world := r3.Add(r3.Add(r3.Scale(about.X, d.axes[0]), r3.Scale(about.Y, d.axes[1])), r3.Scale(about.Z, d.axes[2]))
		for i := range d.axes {
			d.axes[i] = r3.Rotate(d.axes[i], a, world)
		}
		// Keep rounding errors from accumulating.
		d.axes[0] = r3.Unit(d.axes[0])
		d.axes[1] = r3.Unit(r3.Sub(d.axes[1], r3.Scale(r3.Dot(d.axes[0], d.axes[1]), d.axes[0])))
		d.axes[2] = r3.Cross(d.axes[0], d.axes[1])
	}
	d.aside += step[aside]
	d.steer += step[steer]
	d.offset += step[offset]
	d.angle += step[angle]
}

// settle computes the values that follow from the fitted numbers.
func (d *datum) settle(p *points) {
	d.sinS, d.cosS = math.Sincos(d.steer)
	d.sinA, d.cosA = math.Sincos(d.angle)
	d.out = r3.Vec{X: d.sinA, Z: d.cosA}
	d.along = r3.Vec{X: -d.cosA, Z: d.sinA}
	d.front = d.see(r3.Scale(0.5, r3.Add(p.all[d.pairs[frontAxle].left].at, p.all[d.pairs[frontAxle].right].at)))
	d.base = d.front.X + d.offset*(1-d.cosS)*d.sinA - d.midway(p, &d.pairs[rearAxle]).X
	for i := range 3 {
		for j := range 3 {
			sum := 0.0
			for k := range 3 {
				for l := range 3 {
					sum += at(d.axes[i], k) * d.instrument[k][l] * at(d.axes[j], l)
				}
			}
			d.reading[i][j] = sum
		}
	}
}

// propagate computes the covariance of the datum's numbers, from their derivatives by
// each landmark and by the values that are not read: x = -(JᵀWJ)⁻¹ JᵀW r.
func (d *datum) propagate(p *points, rows []residual) {
	inverse := d.cov
	d.cov = [numbers]numberVec{}
	d.slopes = make([]*[numbers]r3.Vec, len(p.all))
	for i := range rows {
		d.carry(&rows[i], &inverse)
	}
	for _, o := range [...]struct{ pair, x, z int }{{bottomBracket, originX, originZ}, {frontAxle, frontX, frontZ}} {
		for _, l := range [2]int{d.pairs[o.pair].left, d.pairs[o.pair].right} {
			d.slope(l)[o.x] = r3.Vec{X: 0.5}
			d.slope(l)[o.z] = r3.Vec{Z: 0.5}
		}
	}
	for i := range p.all { // in order, so that the sums are reproducible
		to := d.slopes[i]
		if to == nil {
			continue
		}
		for j := range numbers {
			v := r3.Add(r3.Scale(1/p.all[i].n, apply(d.reading, to[j])), r3.Scale(trueFrame*trueFrame, to[j]))
			for k := range numbers {
				d.cov[j][k] += r3.Dot(v, to[k])
			}
		}
	}
}

// carry adds the contribution of one condition, from its landmarks and from the values
// that are not read.
func (d *datum) carry(r *residual, inverse *[numbers]numberVec) {
	w := 1 / (r.sigma * r.sigma)
	var gain numberVec
	for j := range fitted {
		for k, b := range r.by {
			gain[j] -= inverse[j][k] * b * w
		}
	}
	for _, o := range r.on {
		if o.landmark < 0 {
			continue
		}
		to := d.slope(o.landmark)
		for j := range fitted {
			to[j] = r3.Add(to[j], r3.Scale(gain[j], o.by))
		}
	}
	for j := range fitted {
		for k := range fitted {
			d.cov[j][k] += gain[j] * gain[k] * r.extra
		}
	}
}

// slope returns the derivatives of the datum's numbers by a landmark's coordinates.
func (d *datum) slope(landmark int) *[numbers]r3.Vec {
	if d.slopes[landmark] == nil {
		d.slopes[landmark] = new([numbers]r3.Vec)
	}
	return d.slopes[landmark]
}
