package rank

import (
	"context"
	"fmt"
	"math"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
)

// A Sensitivity is how sensitive a frame's rank is to the rounding of its chart.
type Sensitivity struct {
	// Place is the frame's place in the catalogue, as Choice.Place.
	Place int
	// Least and Most are the lowest and the highest score of its best build.
	Least, Most float64
	// Always and Ever say whether it held the position in every variation that was tried,
	// and in at least one.
	Always, Ever bool
	// First and Last are the best and the worst rank, from 0, that it may have among
	// these frames if each of them may be as good or as bad as its chart allows.
	First, Last int
}

// Sensitivities ranks frames as [Index.Rank] does, each as its chart states it, and
// returns for the best of them, in order, how much the chart's rounding matters. Reach,
// stack, head angle and seat angle are each taken as stated and half a step more and
// less, in all 81 combinations. Between these the score may be lower where a stem and
// spacers happen to fit better, so the result is an estimate and not a bound.
//
// Faults are those of Rank and of a rounding out of its range. Scores are 0
// for a frame on which no parts fit.
func (x *Index) Sensitivities(ctx context.Context, p solve.Problem, rounding chart.Rounding) ([]Sensitivity, error) {
	m := work.New(ctx, p.Budget.Work)
	if m.Stopped() {
		return nil, m.Err("before it began")
	}
	var f fault.List
	f.In("rounding", rounding.Validate())
	q, _, err := x.ask(m, p)
	f.In("", err)
	if err := f.Err(); err != nil {
		return nil, err
	}
	best, _ := q.Rank()
	if m.Stopped() {
		return nil, m.Err("the frames not ranked")
	}
	all := make([]Sensitivity, len(best))
	extents := make([]search.Extent, len(best))
	for i := range best {
		size, _ := x.core.Size(best[i].Place())
		if all[i], extents[i] = sensitivity(q, &best[i], size.Frame, rounding); m.Stopped() {
			return nil, m.Err(fmt.Sprintf("%d of %d frames varied", i, len(best)))
		}
	}
	for i := range all {
		before, after := 0, 0
		for j := range all {
			if j == i {
				continue
			}
			if search.Sure(&extents[j], &extents[i], j < i) {
				before++
			}
			if search.Sure(&extents[i], &extents[j], i < j) {
				after++
			}
		}
		all[i].First, all[i].Last = before, len(all)-1-after
	}
	return all, nil
}

// sensitivity tries a frame in all variations of its rounded chart.
func sensitivity(q *search.Question, s *search.Standing, frame fitgeom.Frame, rounding chart.Rounding) (Sensitivity, search.Extent) {
	is := Sensitivity{Place: s.Place(), Least: math.Inf(1), Always: true}
	extent := search.NewExtent(s)
	for way := range 81 {
		turned := frame
		g := &turned.Geometry
		by := func(power int, step float64) float64 { return float64(way/power%3-1) * step / 2 }
		g.Reach += by(1, rounding.LengthStep)
		g.Stack += by(3, rounding.LengthStep)
		g.HeadAngle = max(50, min(90, g.HeadAngle+by(9, rounding.AngleStep)))
		g.SeatAngle = max(50, min(90, g.SeatAngle+by(27, rounding.AngleStep)))
		t := q.Stand(s.Place(), &turned)
		if !q.Goes() {
			break
		}
		is.Always = is.Always && t.Holds()
		is.Ever = is.Ever || t.Holds()
		score := 0.0
		if t.Fits() {
			score = q.Candidate(&t, &turned).Distance()
		}
		is.Least, is.Most = min(is.Least, score), max(is.Most, score)
		extent.Add(&t)
	}
	return is, extent
}
