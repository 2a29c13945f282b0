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

// Errors says how well target and frame are known.
type Errors struct {
	// Target is the covariance of Problem.Target.
	Target contact.Covariance
	// Rounding is what the numbers of the frame's chart are rounded to. Zero: nothing.
	Rounding chart.Rounding
	// Frame has the covariance of the frame's geometry where it is known better than by a
	// rounding: a [chart.Solution] or a [chart.Surveyed]. Nil: rounding is all.
	Frame chart.Uncertain
	// Together says that frame and target were read in one survey, so that they err
	// together: Frame is then its [chart.Surveyed], and Target its covariance.
	Together bool
}

// Chance returns the probability, 0 to 1, that a bike set up as the candidate says has
// every kept coordinate and angle within its tolerance of the rider's true position. It
// allows for the errors of the target and of the frame, which are taken as normally
// distributed with the given covariances, and for the rounding of the frame's chart. A bike
// that is measured again and corrected after it is built does better.
//
// The probability is computed from 16,384 evenly spread points, the same on every call,
// to about 0.003. Effects of errors are taken to first order.
//
// Errors are [contact.ErrMissing] for a kept coordinate that the target's covariance lacks
// and for a number of the frame that matters and that Frame lacks; [contact.ErrConflict] for
// a candidate whose deviations do not belong to the problem, and for errors together of a
// Frame that was not surveyed; and those of Rounding.Validate and Build.Validate. Kept
// angles, and pedals and feet that matter only through Problem.Crank, are taken as exact if
// the covariance lacks them. If the context ends, the error wraps the context's.
func (p Problem) Chance(ctx context.Context, c fitgeom.Candidate, e Errors) (float64, error) {
	m := work.New(ctx, -1)
	if m.Stopped() {
		return 0, m.Err("before it began")
	}
	p.fill()
	var f fault.List
	p.check(&f)
	f.In("rounding", e.Rounding.Validate())
	surveyed, ok := e.Frame.(chart.Surveyed)
	if e.Together && !ok {
		f.Add("together", "", "a frame that was surveyed", contact.ErrConflict)
	}
	f.In("build", c.Build.Validate())
	if len(c.Deviations) != len(p.Keep) {
		f.Add("deviations", "", "one for each kept site", contact.ErrConflict)
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	all := p.errors(&f, &c, e.Target)
	frame := frameErrors{of: e.Frame}
	if e.Frame != nil {
		frame.find(&f, &c.Build, all)
	}
	if e.Together {
		frame.surveyed = &surveyed
	}
	if err := f.Err(); err != nil {
		return 0, err
	}

	// Each column is the effect of one independent error on all coordinates.
	n := len(all)
	matrix := make([][]float64, n)
	for i := range matrix {
		matrix[i] = make([]float64, n)
		for j := range matrix[i] {
			v, _ := e.Target.Between(all[i].gradient, all[j].gradient) // known: errors checked it
			matrix[i][j] = v + frame.add(all, i, j)
		}
	}
	share := inside(m, all, num.Factor(matrix), chartColumns(&c.Build, all, e.Rounding))
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
	for _, k := range frameNumbers {
		step := rounding.LengthStep
		if k.dimension.Unit() != "mm" {
			step = rounding.AngleStep
		}
		if step > 0 {
			columns = append(columns, k.effect(b, all, step/2))
		}
	}
	return columns
}

// frameNumbers are the numbers of a frame on which a position depends.
var frameNumbers = [...]frameNumber{
	{chart.Stack, func(g *chart.Geometry) *float64 { return &g.Stack }},
	{chart.Reach, func(g *chart.Geometry) *float64 { return &g.Reach }},
	{chart.SeatOffset, func(g *chart.Geometry) *float64 { return &g.SeatOffset }},
	{chart.HeadAngle, func(g *chart.Geometry) *float64 { return &g.HeadAngle }},
	{chart.SeatAngle, func(g *chart.Geometry) *float64 { return &g.SeatAngle }},
}

type frameNumber struct {
	dimension chart.Dimension
	of        func(g *chart.Geometry) *float64
}

// effect returns what the number's being larger by some amount does to the coordinates.
func (k *frameNumber) effect(b *fitgeom.Build, all []asked, by float64) []float64 {
	at := func(by float64) contact.Position {
		turned := *b
		*k.of(&turned.Frame.Geometry) += by
		return rig.Position(&turned)
	}
	more, less := at(by), at(-by)
	effect := make([]float64, len(all))
	for i, a := range all {
		effect[i] = (a.in(&more) - a.in(&less)) / 2
	}
	return effect
}

// frameErrors is what a frame's errors do to the coordinates.
type frameErrors struct {
	of       chart.Uncertain
	surveyed *chart.Surveyed // if the target was read with it
	slopes   [len(frameNumbers)][]float64
}

// find fills in the slopes, and reports numbers that matter and are not known.
func (e *frameErrors) find(f *fault.List, b *fitgeom.Build, all []asked) {
	const h = 1e-3
	for k := range frameNumbers {
		n := &frameNumbers[k]
		slopes := n.effect(b, all, h)
		matters := false
		for i := range slopes {
			slopes[i] /= h
			matters = matters || math.Abs(slopes[i]) > 1e-9
		}
		if !matters {
			continue
		}
		e.slopes[k] = slopes
		if v, ok := e.of.Covariance(n.dimension, n.dimension); !ok || !num.Finite(v) {
			f.Add("frame."+n.dimension.String(), "", "its uncertainty to be known", contact.ErrMissing)
		}
	}
}

// add returns the covariance of two coordinates' deviations that is due to the frame, and
// to what it has in common with the target, from which it counts.
func (e *frameErrors) add(all []asked, i, j int) (sum float64) {
	for k, a := range e.slopes {
		if a == nil {
			continue
		}
		for l, b := range e.slopes {
			if b != nil {
				v, _ := e.of.Covariance(frameNumbers[k].dimension, frameNumbers[l].dimension)
				sum += a[i] * b[j] * v
			}
		}
		if e.surveyed != nil {
			sum -= a[i]*e.with(k, all[j].gradient) + a[j]*e.with(k, all[i].gradient)
		}
	}
	return sum
}

// with returns the covariance of a number of the frame with a coordinate of the target.
func (e *frameErrors) with(k int, gradient []contact.Derivative) (sum float64) {
	for _, d := range gradient {
		v, _ := e.surveyed.With(frameNumbers[k].dimension, d.Coordinate)
		sum += v * d.By
	}
	return sum
}

// inside returns the share of evenly spread errors with which all coordinates are within
// tolerance, unless the meter stops it. Each normal or uniform error is given by its effects
// on the coordinates.
func inside(m *work.Meter, all []asked, normal, uniform [][]float64) float64 {
	const points = 1 << 14
	count := 0
	spread := num.NewSpread(len(normal) + len(uniform))
	off := make([]float64, len(all))
	for p := range points {
		if !m.Do(len(all) + len(spread)) {
			return 0
		}
		for i := range off {
			off[i] = all[i].off
		}
		for j := range spread {
			u := spread.At(p, j)
			if j < len(normal) {
				z := num.Normal(u)
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
