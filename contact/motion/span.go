package motion

import (
	"context"
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
)

// A RevolutionSpan holds the extremes and the mean of a variable over one revolution.
type RevolutionSpan struct {
	// Revolution is the index in [Motion.Revolutions].
	Revolution int
	// Span holds the extremes of the samples. Its Gap is 0.
	rider.Span
	// Mean is the mean over the crank circle, in the variable's unit.
	Mean float64
}

// A Summary holds the extremes and the mean of a variable over the revolutions of a
// recording.
type Summary struct {
	// Each holds the revolutions that were not left out; see [Motion.Span].
	Each []RevolutionSpan
	// Least, Most, Range and Mean are the statistics of the numbers in Each.
	Least, Most, Range, Mean Stat
}

// Span returns the extremes and the mean of a variable, for each revolution and over all
// of them.
//
// A revolution is left out if its markers went unseen over more than 20 degrees of crank
// without a break. Extremes are those of samples, so noise of the markers widens them; it
// does not widen the results of [Motion.At].
//
// Faults are [contact.ErrMissing] for markers that the variable needs and the recording
// does not have, and if no revolution is left; [contact.ErrUnknown] for a variable that
// does not exist; and [contact.ErrRange] for markers closer together than 1 mm in the
// view. KneeFlexion needs hip, knee and ankle; HipFlexion shoulder, hip and knee;
// AnkleDorsiflexion knee, ankle, toe and heel; TrunkLean hip and shoulder; KneeOffset
// knee and toe. ShoulderFlexion and ElbowFlexion cannot be computed from these markers. If
// the context ends, the error wraps the context's.
//
// Markers lie on the skin beside the joints. Angles therefore differ from those of a
// [rider.Chain] by some degrees, and are best compared with angles from the same markers.
func (m Motion) Span(ctx context.Context, of rider.Variable) (Summary, error) {
	w := work.New(ctx, -1)
	values, err := m.values(w, of)
	if err != nil {
		return Summary{}, err
	}
	var s Summary
	var least, most, ranges, means []float64
	for i := range m.revolutions {
		if !w.Do(m.revolutions[i].frames()) {
			return Summary{}, m.stopped(w, i)
		}
		if one, ok := m.over(&m.revolutions[i], values); ok {
			one.Revolution = i
			s.Each = append(s.Each, one)
			least, most = append(least, one.Least), append(most, one.Most)
			ranges, means = append(ranges, one.Range()), append(means, one.Mean)
		}
	}
	s.Least, s.Most, s.Range, s.Mean = stat(least), stat(most), stat(ranges), stat(means)
	return s, enough(of.String(), len(s.Each))
}

// At returns a variable at a crank angle in degrees, any finite number, over the
// revolutions. It interpolates between samples, over at most 20 degrees of crank. Faults
// are those of [Motion.Span], and [contact.ErrRange] for a crank angle that is not
// finite.
func (m Motion) At(ctx context.Context, of rider.Variable, crankAngle float64) (Stat, error) {
	w := work.New(ctx, -1)
	values, err := m.values(w, of)
	if err != nil {
		return Stat{}, err
	}
	var f fault.List
	if !num.Finite(crankAngle) {
		f.Add("crank_angle_deg", num.Text(crankAngle, "degrees"), "a finite number", contact.ErrRange)
		return Stat{}, f.Err()
	}
	var all []float64
	for i := range m.revolutions {
		r := &m.revolutions[i]
		if !w.Do(r.frames()) {
			return Stat{}, m.stopped(w, i)
		}
		if v, ok := m.at(r, values, r.from+num.Turn(crankAngle-r.from)); ok {
			all = append(all, v)
		}
	}
	return stat(all), enough(of.String(), len(all))
}

// at interpolates at a crank angle, counted as in [Motion].crank; false if the samples on
// either side are more than maxHole apart.
func (m *Motion) at(r *revolution, values []float64, angle float64) (float64, bool) {
	from := -1
	for k := max(0, r.first-1); k <= r.last; k++ {
		if math.IsNaN(values[k]) || math.IsNaN(m.crank[k]) {
			continue
		}
		if from >= 0 && m.crank[from] <= angle && angle <= m.crank[k] && m.crank[k]-m.crank[from] <= maxHole {
			part := 0.
			if d := m.crank[k] - m.crank[from]; d > 0 {
				part = (angle - m.crank[from]) / d
			}
			return values[from] + part*(values[k]-values[from]), true
		}
		from = k
	}
	return 0, false
}

// stopped is the error of a context that ended after some revolutions.
func (m *Motion) stopped(w *work.Meter, after int) error {
	return w.Err(fmt.Sprintf("%d of %d revolutions done", after, len(m.revolutions)))
}

func enough(path string, n int) error {
	if n > 0 {
		return nil
	}
	return &contact.Error{Path: path, Want: "at least one revolution with its markers seen", Class: contact.ErrMissing}
}

// over returns the extremes and the mean of a revolution; false if the marker was not
// seen for more than maxHole.
func (m *Motion) over(r *revolution, values []float64) (one RevolutionSpan, ok bool) {
	one.Least, one.Most = math.Inf(1), math.Inf(-1)
	end := r.from + 360
	area := 0.
	at, value := r.from, math.NaN() // the sample before
	for k := max(0, r.first-1); k <= r.last; k++ {
		v, crank := values[k], m.crank[k]
		if math.IsNaN(v) || k < r.first && !(crank < r.from && crank > r.from-maxHole) {
			continue
		}
		if k < r.first {
			at, value = crank, v
			continue
		}
		if math.IsNaN(value) {
			value = v
		}
		crank = max(crank, at) // markers shake, but the crank does not turn back
		if crank-at > maxHole {
			return one, false
		}
		if lo, hi := max(at, r.from), min(crank, end); hi > lo {
			area += (hi - lo) * (value + (v-value)*((lo+hi)/2-at)/(crank-at))
		}
		at, value = crank, v
		if k == r.last {
			break // that sample belongs to the next revolution
		}
		if v < one.Least {
			one.Least, one.LeastAt = v, num.Turn(crank)
		}
		if v > one.Most {
			one.Most, one.MostAt = v, num.Turn(crank)
		}
	}
	if !(one.Least <= one.Most) || end-at > maxHole {
		return one, false
	}
	area += max(0, end-at) * value
	one.Mean = area / 360
	return one, true
}
