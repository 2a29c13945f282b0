package convert

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/blame"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/placed"
)

// position returns the position with the given unknowns, without its loose sites.
func (p *problem) position(x []float64, loose []bool) contact.Position {
	p.place(x)
	var q contact.Position
	for _, s := range p.sites {
		if !p.free(s, loose) {
			v := p.points.at[s]
			if a := p.aside[s]; a > 0 {
				v.Y -= x[a-1] // where it lies beside the mid-plane is not told
			}
			q.Set(s, v)
		}
	}
	if p.tilt >= 0 && !p.freeTilt(loose) {
		q.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: p.points.tilt})
	}
	for _, c := range p.turns {
		if loose == nil || !loose[p.number[c.Site][c.Axis]-1] {
			q.SetAttitude(c.Site, p.points.turn[c.Site])
		}
	}
	return q
}

// free reports whether any coordinate of a site is loose.
func (p *problem) free(s contact.Site, loose []bool) bool {
	if loose == nil {
		return false
	}
	for a := range 3 {
		if n := p.number[s][a]; n > 0 && loose[n-1] {
			return true
		}
	}
	return false
}

func (p *problem) freeTilt(loose []bool) bool { return loose != nil && loose[p.tilt] }

// result fills in position, ranges, covariance and what is free.
func (p *problem) result(sol *Solution, found *lsq.Search, wrong *blame.Answer) error {
	fit := &found.Best
	p.place(fit.X)
	angles := []int{p.tilt}
	for _, c := range p.turns {
		angles = append(angles, int(p.number[c.Site][c.Axis])-1)
	}
	q := placed.Ask(p.model, p.read(), len(p.start), angles...)
	q.Others = found.Likely()
	doubtful := wrong.Doubts(len(fit.X))
	ranges := fit.Likely(q)
	loose := lsq.Unknown(ranges)
	p.place(fit.X)
	for _, way := range fit.Ways(loose) {
		sol.Free = append(sol.Free, p.freedom(way))
	}
	sol.Position = p.position(fit.X, loose)
	var f fault.List
	f.In("position", sol.Position.Validate())
	for i, e := range p.sheet {
		if measures[e.Measure].SeatAngle && !p.freeTilt(loose) {
			p.points.checkTube(&f, fault.At("entries", i))
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	sol.Ranges = p.ranges(ranges, loose, doubtful)
	if err := p.covariance(sol, fit, loose, doubtful); err != nil {
		return err
	}
	sol.Others = placed.Others(found, q, sol.Position, func(x []float64) contact.Position { return p.position(x, loose) })
	return nil
}

// read is the number of residuals that come from readings and from what is known.
func (p *problem) read() int { return len(p.sheet) + p.saddle.Known }

// ranges returns where each coordinate lies that the sheet tells and that is not doubtful.
func (p *problem) ranges(all []lsq.Likely, loose, doubtful []bool) contact.Ranges {
	var ranges contact.Ranges
	add := func(c contact.Coordinate, j int, sign float64) {
		if loose[j] || doubtful[j] {
			return
		}
		r := placed.Range(c, all[j])
		if sign < 0 {
			r.Low, r.High = -r.High, -r.Low
		}
		ranges = append(ranges, r)
	}
	for _, s := range p.sites {
		for a := range contact.Axis(3) {
			if n := p.number[s][a]; n > 0 {
				add(contact.Coordinate{Site: s, Axis: a}, int(n-1), p.sign[s][a])
			}
		}
	}
	for _, c := range p.turns {
		add(c, int(p.number[c.Site][c.Axis])-1, p.sign[c.Site][c.Axis])
	}
	if p.tilt >= 0 {
		add(contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt}, p.tilt, 1)
	}
	return ranges
}

// covariance fills in the covariance of the position, as far as it is not doubtful.
func (p *problem) covariance(sol *Solution, fit *lsq.Fit, loose, doubtful []bool) error {
	var coords []contact.Coordinate
	var slopes [][]float64
	add := func(c contact.Coordinate) []float64 {
		coords, slopes = append(coords, c), append(slopes, make([]float64, len(fit.X)))
		return slopes[len(slopes)-1]
	}
	for _, s := range p.sites {
		if p.free(s, loose) {
			continue
		}
		for a := range contact.Axis(3) {
			n := p.number[s][a]
			if n > 0 && doubtful[n-1] {
				continue
			}
			if row := add(contact.Coordinate{Site: s, Axis: a}); n > 0 {
				row[n-1] = p.sign[s][a]
			}
		}
	}
	for _, c := range p.turns {
		if n := p.number[c.Site][c.Axis]; !(loose != nil && loose[n-1]) && !doubtful[n-1] {
			add(c)[n-1] = p.sign[c.Site][c.Axis]
		}
	}
	if p.tilt >= 0 && !p.freeTilt(loose) && !doubtful[p.tilt] {
		add(contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt})[p.tilt] = 1
	}
	var err error
	sol.Covariance, err = placed.Covariance(fit, coords, slopes)
	return err
}

// freedom lists the coordinates of a free direction, and the measures that it would change.
func (p *problem) freedom(way []float64) Freedom {
	var free Freedom
	for _, s := range p.sites {
		for a := range contact.Axis(3) {
			if n := p.number[s][a]; n > 0 && way[n-1] != 0 {
				free.Coordinates = append(free.Coordinates, contact.Coordinate{Site: s, Axis: a})
			}
		}
	}
	for _, c := range p.turns {
		if way[p.number[c.Site][c.Axis]-1] != 0 {
			free.Coordinates = append(free.Coordinates, c)
		}
	}
	if p.tilt >= 0 && way[p.tilt] != 0 {
		free.Coordinates = append(free.Coordinates, contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt})
	}
	row := make([]float64, len(way))
	for _, m := range Measures() {
		for _, side := range [...]contact.Side{contact.Centre, contact.Left, contact.Right} {
			if !p.speaksOf(&measures[m], side) {
				continue
			}
			clear(row)
			p.points.side = side
			measures[m].value(&p.points, p.row(row, 1))
			change := 0.0
			for j, v := range row {
				change += v * way[j]
			}
			if math.Abs(change) > 0.1 { // less would have to be read to a tenth of a mm
				free.Settle = append(free.Settle, SidedMeasure{m, side})
				break
			}
		}
	}
	return free
}

// speaksOf reports whether the problem has everything that the measure, taken at a side,
// needs.
func (p *problem) speaksOf(e *entry, side contact.Side) bool {
	if e.Tilt && p.tilt < 0 || e.SeatAngle && p.basis.SeatAngle == 0 || e.Ground && p.basis.BottomBracketHeight == 0 || e.size != nil && e.size(&p.basis) == 0 {
		return false
	}
	if left := e.Direction.Site; left != 0 {
		has := func(side contact.Side) bool { return p.number[left.On(side)][e.Direction.Axis] > 0 }
		return (side == contact.Right || has(contact.Left)) && (side == contact.Left || has(contact.Right))
	}
	for _, s := range e.Needs {
		left, right := slices.Contains(p.sites, s), slices.Contains(p.sites, s.On(contact.Right))
		if (e.Pair || side != contact.Right) && !left || (e.Pair || side != contact.Left) && !right {
			return false
		}
	}
	return true
}
