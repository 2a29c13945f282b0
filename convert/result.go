package convert

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
)

// position returns the position with the given unknowns, without its loose sites.
func (p *problem) position(x []float64, loose []bool) contact.Position {
	p.place(x)
	var q contact.Position
	for _, s := range p.sites {
		if !p.free(s, loose) {
			q.Set(s, p.points.at[s])
		}
	}
	if p.has && !p.freeTilt(loose) {
		q.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: p.points.tilt})
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

func (p *problem) freeTilt(loose []bool) bool {
	if p.line {
		return p.free(contact.SaddleNose, loose) || p.free(contact.SaddleRear, loose)
	}
	return loose != nil && loose[p.tilt]
}

// result fills in position, covariance and what is free.
func (p *problem) result(sol *Solution, fit *lsq.Fit) error {
	loose := make([]bool, len(fit.X))
	for _, free := range fit.Free {
		for j, v := range free {
			loose[j] = loose[j] || v != 0
		}
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
			row := add(contact.Coordinate{Site: s, Axis: a})
			if n := p.number[s][a]; n > 0 {
				row[n-1] = p.sign[s][a]
			}
		}
	}
	if p.has && !p.freeTilt(loose) {
		p.row(add(contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt}), 1)(contact.SaddleReference, contact.AxisTilt, 1)
	}
	var err error
	sol.Covariance, err = contact.NewCovariance(coords, func(i, j int) float64 { return fit.Covariance(slopes[i], slopes[j]) })
	if err != nil {
		return err
	}
	for _, way := range fit.Free {
		sol.Free = append(sol.Free, p.freedom(way))
	}
	return nil
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
			if math.Abs(change) > 0.01 { // less would not bring it within bounds
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
	if e.Tilt && !p.has || e.SeatAngle && p.basis.SeatAngle == 0 || e.Ground && p.basis.BottomBracketHeight == 0 {
		return false
	}
	for _, s := range e.Needs {
		left, right := slices.Contains(p.sites, s), slices.Contains(p.sites, s.On(contact.Right))
		if (e.Pair || side != contact.Right) && !left || (e.Pair || side != contact.Left) && !right {
			return false
		}
	}
	return true
}
