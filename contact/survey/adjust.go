package survey

import (
	"math"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A normal holds the normal equations of the conditions. factor turns its matrix into
// the triangle of Cholesky.
type normal struct {
	m     [fitted * (fitted + 1) / 2]float64 // lower triangle, row by row
	slope [fitted]float64                    // minus half the gradient
	chi2  float64                            // the sum of squares
	logs  float64                            // the sum of the logarithms of all variances
}

// add counts a condition of a variance.
func (n *normal) add(r *residual, variance float64) {
	w := 1 / variance
	n.chi2 += w * r.value * r.value
	n.logs += math.Log(variance)
	at := 0
	for j, a := range r.by {
		if a != 0 {
			wa := w * a
			n.slope[j] -= wa * r.value
			for k, b := range r.by[:j+1] {
				n.m[at+k] += wa * b
			}
		}
		at += j + 1
	}
}

// factor reports whether the conditions determine all numbers.
func (n *normal) factor() bool {
	return num.Cholesky(n.m[:], 0, func(left, whole float64) bool { return left > 1e-12*whole })
}

// halfway solves the first of the two triangles.
func (n *normal) halfway(v [fitted]float64) [fitted]float64 {
	at := 0
	for j := range v {
		for k := range j {
			v[j] -= n.m[at+k] * v[k]
		}
		v[j] /= n.m[at+j]
		at += j + 1
	}
	return v
}

// solve solves both triangles.
func (n *normal) solve(v [fitted]float64) [fitted]float64 {
	v = n.halfway(v)
	for j := fitted - 1; j >= 0; j-- {
		at := j * (j + 1) / 2
		v[j] /= n.m[at+j]
		for k := range j {
			v[k] -= n.m[at+k] * v[j]
		}
	}
	return v
}

// least returns the sum of squares that a step leaves, and the logarithm of the
// determinant.
func (n *normal) least() (chi2, logs float64) {
	chi2 = n.chi2
	for j, v := range n.halfway(n.slope) {
		chi2 -= v * v
		logs += 2 * math.Log(n.m[j*(j+3)/2])
	}
	return chi2, logs
}

// fit finds the datum's numbers by the Gauss-Newton method. It returns the conditions and
// apart from them those that do not count.
func (d *datum) fit(s *Survey, p *points, rows, aside []residual) (counted, not []residual, ok bool) {
	for range 50 {
		d.settle(p)
		rows, aside = d.conditions(s, p, rows[:0], aside[:0])
		n := d.normal(rows)
		if !n.factor() {
			break
		}
		step, still := n.solve(n.slope), 0.0
		for j, v := range step {
			still += v * n.slope[j]
		}
		d.take(step)
		if still <= 1e-18 { // a billionth of the uncertainties
			d.settle(p)
			rows, aside = d.conditions(s, p, rows[:0], aside[:0])
			return rows, aside, true
		}
	}
	return rows, aside, false
}

// normal returns the normal equations.
func (d *datum) normal(rows []residual) (n normal) {
	for i := range rows {
		n.add(&rows[i], rows[i].variance(d.square))
	}
	return n
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
// each landmark, by how true the frame is and by the values that are not read:
// x = -(JᵀWJ)⁻¹ JᵀW r.
func (d *datum) propagate(p *points, rows []residual) {
	d.cov = [numbers]numberVec{}
	d.slopes = make([]*[numbers]r3.Vec, len(p.all))
	n := d.normal(rows)
	n.factor() // it did when the datum was fitted
	for i := range rows {
		d.carry(&rows[i], &n)
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
			v := r3.Scale(1/p.all[i].n, apply(d.reading, to[j]))
			for k := range j + 1 {
				d.cov[j][k] += r3.Dot(v, to[k])
			}
		}
	}
	for j := range numbers {
		for k := range j {
			d.cov[k][j] = d.cov[j][k]
		}
	}
}

// carry adds the contribution of one condition.
func (d *datum) carry(r *residual, n *normal) {
	w := 1 / r.variance(d.square)
	gain := n.solve(r.by)
	for j := range gain {
		gain[j] *= -w
	}
	for _, o := range r.on[:r.count] {
		to := d.slope(o.landmark)
		for j := range fitted {
			to[j] = r3.Add(to[j], r3.Scale(gain[j], o.by))
		}
	}
	if r.level {
		d.levelGain = gain
	}
	own := r.variance(d.square) - r.read
	for j := range fitted {
		for k := range j + 1 {
			d.cov[j][k] += gain[j] * gain[k] * own
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
