package solve

import (
	"context"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// Chance returns the probability, 0 to 1, that a bike set up as the candidate says has
// every kept coordinate and angle within its tolerance of the rider's true position. It
// allows for the errors of the target's survey, which are taken as normally distributed with
// the given covariance, and for the rounding of the frame's chart. A bike that is measured
// again and corrected after it is built does better.
//
// The probability is computed from 16,384 evenly spread points, the same on every call,
// to about 0.003. Effects of errors are taken to first order.
//
// Errors are [contact.ErrMissing] for a kept coordinate that the covariance lacks,
// [contact.ErrConflict] for a candidate whose deviations do not belong to the problem,
// and those of Rounding.Validate and Build.Validate. Kept angles, and pedals and feet that
// matter only through Problem.Crank, are taken as exact if the covariance lacks them. If the
// context ends, the error wraps the context's.
func (p Problem) Chance(ctx context.Context, c fitgeom.Candidate, cov contact.Covariance, rounding chart.Rounding) (float64, error) {
	m := work.New(ctx, -1)
	if m.Stopped() {
		return 0, m.Err("before it began")
	}
	p.fill()
	var f fault.List
	p.check(&f)
	f.In("rounding", rounding.Validate())
	f.In("build", c.Build.Validate())
	if len(c.Deviations) != len(p.Keep) {
		f.Add("deviations", "", "one for each kept site", contact.ErrConflict)
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	all := p.errors(&f, &c, cov)
	if err := f.Err(); err != nil {
		return 0, err
	}

	// Each column is the effect of one independent error on all coordinates.
	n := len(all)
	matrix := make([][]float64, n)
	for i := range matrix {
		matrix[i] = make([]float64, n)
		for j := range matrix[i] {
			matrix[i][j], _ = cov.Between(all[i].gradient, all[j].gradient) // known: errors checked it
		}
	}
	share := inside(m, all, num.Factor(matrix), chartColumns(&c.Build, all, rounding))
	if m.Stopped() {
		return 0, m.Err("not all points tried")
	}
	return share, nil
}

// An asked is a kept coordinate: its deviation, and how that depends on the target.
type asked struct {
	off, tolerance float64
	site           contact.Site
	axis           contact.Axis
	gradient       []contact.Derivative
}

// in returns its value in a position.
func (a *asked) in(p *contact.Position) float64 {
	if a.axis < contact.AxisTilt {
		at, _ := p.At(a.site)
		return coordinate(at, a.axis)
	}
	faces, _ := p.Attitude(a.site)
	return [...]float64{faces.Tilt, faces.Yaw, faces.Roll}[a.axis-contact.AxisTilt]
}

// errors lists the kept coordinates, and reports those that the covariance lacks.
func (p *Problem) errors(f *fault.List, c *fitgeom.Candidate, cov contact.Covariance) (all []asked) {
	for i, k := range p.Keep {
		r := c.Deviations[i]
		for axis, v := range [...][2]float64{{r.Off.X, k.Tolerance.X}, {r.Off.Y, k.Tolerance.Y}, {r.Off.Z, k.Tolerance.Z}} {
			if v[1] == 0 {
				continue
			}
			a := asked{off: v[0], tolerance: v[1], site: k.Site, axis: contact.Axis(axis)}
			own := contact.Coordinate{Site: k.Site, Axis: a.axis}
			if _, ok := cov.At(own, own); !ok {
				f.Add("covariance."+own.String(), "", "it to be known", contact.ErrMissing)
			}
			a.gradient = p.dependence(c, cov, k.Site, a.axis)
			all = append(all, a)
		}
		for axis, v := range [...][2]float64{{r.Turned.Tilt, k.Turn.Tilt}, {r.Turned.Yaw, k.Turn.Yaw}, {r.Turned.Roll, k.Turn.Roll}} {
			own := contact.Coordinate{Site: k.Site, Axis: contact.AxisTilt + contact.Axis(axis)}
			if _, ok := cov.At(own, own); v[1] != 0 {
				a := asked{off: v[0], tolerance: v[1], site: k.Site, axis: own.Axis}
				if ok {
					a.gradient = []contact.Derivative{{Coordinate: own, By: 1}}
				}
				all = append(all, a)
			}
		}
	}
	return all
}

// chartColumns returns the effect on the coordinates of half a step in each number of a
// chart.
func chartColumns(b *fitgeom.Build, all []asked, rounding chart.Rounding) (columns [][]float64) {
	for _, turn := range chartErrors(rounding) {
		at := func(sign float64) contact.Position {
			turned := *b
			turn(&turned.Frame, sign)
			return rig.Position(&turned)
		}
		more, less := at(1), at(-1)
		column := make([]float64, len(all))
		for i, a := range all {
			column[i] = (a.in(&more) - a.in(&less)) / 2
		}
		columns = append(columns, column)
	}
	return columns
}

// inside returns the share of evenly spread errors with which all coordinates are within
// tolerance, unless the meter stops it. Each normal or uniform error is given by its effects on the coordinates.
func inside(m *work.Meter, all []asked, normal, uniform [][]float64) float64 {
	const points = 1 << 14
	count := 0
	steps := irrationals(len(normal) + len(uniform))
	off := make([]float64, len(all))
	for p := range points {
		if !m.Do(len(all) + len(steps)) {
			return 0
		}
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
			within = within && !num.Beyond(off[i], all[i].tolerance)
		}
		if within {
			count++
		}
	}
	return float64(count) / points
}

func coordinate(v r3.Vec, a contact.Axis) float64 { return [...]float64{v.X, v.Y, v.Z}[a] }

// dependence returns the derivatives of a wanted coordinate by the target's coordinates:
// by its own, and for a saddle site also by those that the crank policy uses.
func (p *Problem) dependence(c *fitgeom.Candidate, cov contact.Covariance, site contact.Site, axis contact.Axis) []contact.Derivative {
	all := []contact.Derivative{{Coordinate: contact.Coordinate{Site: site, Axis: axis}, By: 1}}
	if site.Group() != contact.OnSaddle || p.Crank == fitgeom.KeepSaddle {
		return all
	}
	position := rig.Position(&c.Build)
	build := search.StrokeOf(&position)
	shift := func(t contact.Position) float64 {
		saddle, _ := t.At(contact.SaddleReference)
		m, _ := search.SaddleMoved(p.Crank, saddle, search.StrokeOf(&t), build)
		return coordinate(m.By, axis)
	}
	const h = 1e-3
	for _, s := range []contact.Site{contact.SaddleReference, contact.PedalLeft, contact.PedalRight, contact.FootLeft, contact.FootRight} {
		at, known := p.Target.At(s)
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisZ} {
			of := contact.Coordinate{Site: s, Axis: a}
			if _, ok := cov.At(of, of); !known || !ok {
				continue
			}
			d := r3.Vec{X: h}
			if a == contact.AxisZ {
				d = r3.Vec{Z: h}
			}
			more, less := p.Target, p.Target
			more.Set(s, r3.Add(at, d))
			less.Set(s, r3.Sub(at, d))
			if by := (shift(more) - shift(less)) / (2 * h); math.Abs(by) > 1e-12 {
				all = append(all, contact.Derivative{Coordinate: of, By: by})
			}
		}
	}
	return all
}

// chartErrors returns the functions that change a number of a frame's chart by half its
// rounding step, in the direction of sign.
func chartErrors(r chart.Rounding) []func(f *fitgeom.Frame, sign float64) {
	var all []func(f *fitgeom.Frame, sign float64)
	if h := r.LengthStep / 2; h > 0 {
		all = append(
			all,
			func(f *fitgeom.Frame, sign float64) { f.Geometry.Stack += sign * h },
			func(f *fitgeom.Frame, sign float64) { f.Geometry.Reach += sign * h },
			func(f *fitgeom.Frame, sign float64) { f.Geometry.SeatOffset += sign * h },
		)
	}
	if h := r.AngleStep / 2; h > 0 {
		all = append(
			all,
			func(f *fitgeom.Frame, sign float64) { f.Geometry.HeadAngle += sign * h },
			func(f *fitgeom.Frame, sign float64) { f.Geometry.SeatAngle += sign * h },
		)
	}
	return all
}

// irrationals returns the square roots of the first n primes. The fractional parts of
// their multiples are evenly spread.
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
