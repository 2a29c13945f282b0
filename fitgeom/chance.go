package fitgeom

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/rigid"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Rounding is how a frame's chart was rounded: every stack, reach, angle and
// offset may be off by half a step either way, each as likely as any other. The
// zero Rounding is a frame that is known.
type Rounding struct {
	// LengthStep is what lengths are rounded to, 0 to 20 mm.
	LengthStep float64
	// AngleStep is what angles are rounded to, 0 to 2 degrees.
	AngleStep float64
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (r Rounding) Validate() error {
	var c faults
	c.Range("length_step", r.LengthStep, 0, 20, "mm")
	c.Range("angle_step", r.AngleStep, 0, 2, "degrees")
	return c.Err()
}

// Chance returns the probability, 0 to 1, that a candidate of [Reproduce], built as
// it says, has every coordinate that was asked for within its tolerance of where
// the rider truly was: with the errors of the target's survey, taken as normal,
// and those of the frame's chart. Target and options are those of Reproduce. A
// candidate that is re-measured and corrected when it is built does better.
//
// It is found with 16,384 points that are spread evenly and always the same, to
// about 0.003. Effects of errors count to first order.
//
// Faults are [contact.ErrMissing] for a coordinate that is asked for and of which
// the covariance knows nothing, whatever Rounding.Validate and Build.Validate report, and
// [contact.ErrConflict] for a candidate whose residuals are not those of the
// options. Cranks and feet that matter through Options.Crank only count as
// known where the covariance does not know them.
func Chance(target contact.Position, opt Options, c Candidate, cov contact.Covariance, chart Rounding) (float64, error) {
	opt.fill(&target)
	var f faults
	f.In("target", target.Validate())
	opt.check(&f, &target)
	f.In("chart", chart.Validate())
	f.In("build", c.Build.Validate())
	if len(c.Residuals) != len(opt.Keep) {
		f.Add("residuals", "", "one for each site that is kept", contact.ErrConflict)
	}
	if err := f.Err(); err != nil {
		return 0, err
	}

	// The coordinates asked for, how far each is off, and how it depends on the target.
	type asked struct {
		off, tolerance float64
		site           contact.Site
		axis           contact.Axis
		slopes         []contact.Slope
	}
	var all []asked
	for i, k := range opt.Keep {
		r := c.Residuals[i]
		for axis, v := range [...][2]float64{{r.Off.X, k.Tolerance.X}, {r.Off.Y, k.Tolerance.Y}, {r.Off.Z, k.Tolerance.Z}} {
			if v[1] == 0 {
				continue
			}
			a := asked{off: v[0], tolerance: v[1], site: k.Site, axis: contact.Axis(axis)}
			own := contact.Coordinate{Site: k.Site, Axis: a.axis}
			if _, ok := cov.At(own, own); !ok {
				f.Add("covariance."+own.String(), "", "it to be known", contact.ErrMissing)
			}
			a.slopes = dependence(&target, &opt, &c, cov, k.Site, a.axis)
			all = append(all, a)
		}
	}
	if err := f.Err(); err != nil {
		return 0, err
	}

	// Each column is what one independent error does to all coordinates.
	n := len(all)
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
		for j := range m[i] {
			m[i][j], _ = cov.Between(all[i].slopes, all[j].slopes) // known, as was checked
		}
	}
	normal := factor(m)
	var uniform [][]float64
	for _, turn := range chartErrors(chart) {
		at := func(sign float64) contact.Position {
			b := c.Build
			turn(&b.Frame, sign)
			return b.position()
		}
		more, less := at(1), at(-1)
		column := make([]float64, n)
		for i, a := range all {
			u, _ := more.At(a.site)
			v, _ := less.At(a.site)
			column[i] = coordinate(r3.Scale(0.5, r3.Sub(u, v)), a.axis)
		}
		uniform = append(uniform, column)
	}

	const points = 1 << 14
	inside := 0
	steps := irrationals(len(normal) + len(uniform))
	off := make([]float64, n)
	for p := range points {
		for i := range off {
			off[i] = all[i].off
		}
		for j, s := range steps {
			_, u := math.Modf((float64(p) + 0.5) * s)
			if j < len(normal) {
				z := math.Sqrt2 * math.Erfinv(2*max(1e-12, min(1-1e-12, u))-1)
				for i, v := range normal[j] {
					off[i] += v * z
				}
				continue
			}
			for i, v := range uniform[j-len(normal)] {
				off[i] += v * (2*u - 1)
			}
		}
		within := true
		for i := range off {
			within = within && !rigid.Beyond(off[i], all[i].tolerance)
		}
		if within {
			inside++
		}
	}
	return float64(inside) / points, nil
}

func coordinate(v r3.Vec, a contact.Axis) float64 { return [...]float64{v.X, v.Y, v.Z}[a] }

// dependence returns how a wanted coordinate moves with the target's: with itself,
// and that of a saddle also with what the crank policy looks at.
func dependence(target *contact.Position, opt *Options, c *Candidate, cov contact.Covariance, site contact.Site, axis contact.Axis) []contact.Slope {
	all := []contact.Slope{{Coordinate: contact.Coordinate{Site: site, Axis: axis}, By: 1}}
	if site > contact.SaddleRear || opt.Crank == KeepSaddle {
		return all
	}
	position := c.Build.position()
	build := strokeOf(&position)
	shift := func(t contact.Position) float64 {
		saddle, _ := t.At(contact.SaddleReference)
		return coordinate(opt.Crank.saddleShift(saddle, strokeOf(&t), build), axis)
	}
	const h = 1e-3
	for _, s := range []contact.Site{contact.SaddleReference, contact.PedalLeft, contact.PedalRight, contact.FootLeft, contact.FootRight} {
		at, known := target.At(s)
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisZ} {
			of := contact.Coordinate{Site: s, Axis: a}
			if _, ok := cov.At(of, of); !known || !ok {
				continue
			}
			d := r3.Vec{X: h}
			if a == contact.AxisZ {
				d = r3.Vec{Z: h}
			}
			more, less := *target, *target
			more.Set(s, r3.Add(at, d))
			less.Set(s, r3.Sub(at, d))
			if by := (shift(more) - shift(less)) / (2 * h); math.Abs(by) > 1e-12 {
				all = append(all, contact.Slope{Coordinate: of, By: by})
			}
		}
	}
	return all
}

// chartErrors is half a step of each number that a chart states.
func chartErrors(r Rounding) []func(f *Frame, sign float64) {
	var all []func(f *Frame, sign float64)
	if h := r.LengthStep / 2; h > 0 {
		all = append(
			all,
			func(f *Frame, sign float64) { f.Geometry.Stack += sign * h },
			func(f *Frame, sign float64) { f.Geometry.Reach += sign * h },
			func(f *Frame, sign float64) { f.Geometry.SeatOffset += sign * h },
		)
	}
	if h := r.AngleStep / 2; h > 0 {
		all = append(
			all,
			func(f *Frame, sign float64) { f.Geometry.HeadAngle += sign * h },
			func(f *Frame, sign float64) { f.Geometry.SeatAngle += sign * h },
		)
	}
	return all
}

// factor returns the columns of a matrix L with L·Lᵀ = m, for m without negative
// eigenvalues: Cholesky's method, the largest variance that is left first.
func factor(m [][]float64) [][]float64 {
	n := len(m)
	left := make([]float64, n)
	most := 0.0
	for i := range m {
		left[i] = m[i][i]
		most = max(most, left[i])
	}
	var columns [][]float64
	for range n {
		at := 0
		for i, v := range left {
			if v > left[at] {
				at = i
			}
		}
		if left[at] <= 1e-12*most {
			break
		}
		column := make([]float64, n)
		d := math.Sqrt(left[at])
		for i := range column {
			v := m[i][at]
			for _, c := range columns {
				v -= c[i] * c[at]
			}
			column[i] = v / d
			left[i] -= column[i] * column[i]
		}
		left[at] = 0
		columns = append(columns, column)
	}
	return columns
}

// irrationals returns the roots of the first primes, whose multiples less their
// whole parts spread evenly.
func irrationals(n int) []float64 {
	var all []float64
	for p := 2; len(all) < n; p++ {
		prime := true
		for d := 2; d*d <= p; d++ {
			prime = prime && p%d != 0
		}
		if prime {
			all = append(all, math.Sqrt(float64(p)))
		}
	}
	return all
}
