package motion

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// A RevolutionSpan is what a measure does over one revolution of a recording.
type RevolutionSpan struct {
	// Revolution is the index in [Motion.Revolutions].
	Revolution int
	// Span has the extremes of the samples. Its Gap is 0.
	rider.Span
	// Mean is the mean over the crank circle, in the measure's unit.
	Mean float64
}

// A Summary is what a measure does over the revolutions of a recording.
type Summary struct {
	// Each is the revolutions of which enough was seen.
	Each []RevolutionSpan
	// Least, Most, Range and Mean are those of Each.
	Least, Most, Range, Mean Stat
}

// Span returns what a measure does, revolution by revolution and over all.
//
// Revolutions of which more than 20 degrees of the crank circle were not seen in one
// piece are left out. Extremes are those of samples, so that noise of the
// markers widens them; [Motion.At] does not have that.
//
// Errors are [contact.ErrMissing] for markers that the measure needs and the
// recording does not have, and if no revolution is left; [contact.ErrUnknown]
// for a measure that does not exist; and [contact.ErrRange] for markers nearer
// to each other than 1 mm, as the view sees them. KneeFlexion needs hip, knee
// and ankle; HipFlexion shoulder, hip and knee; AnkleDorsiflexion knee, ankle,
// toe and heel; TrunkLean hip and shoulder; KneeOffset knee and toe. No markers
// tell ShoulderFlexion and ElbowFlexion.
//
// Markers lie on the skin beside the joints: angles differ from those of a
// [rider.Chain] by some degrees, and compare best with those of the same markers.
func (m Motion) Span(of rider.Variable) (Summary, error) {
	values, err := m.values(of)
	if err != nil {
		return Summary{}, err
	}
	var s Summary
	var least, most, ranges, means []float64
	for i := range m.revolutions {
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

// At returns a measure at a crank angle in degrees, any finite number, over the
// revolutions. In between samples it is interpolated, over at most 20 degrees of
// the crank. Errors are those of [Motion.Span], and [contact.ErrRange] for the angle.
func (m Motion) At(of rider.Variable, crankAngle float64) (Stat, error) {
	values, err := m.values(of)
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
		if v, ok := m.at(r, values, r.from+num.Turn(crankAngle-r.from)); ok {
			all = append(all, v)
		}
	}
	return stat(all), enough(of.String(), len(all))
}

// at interpolates at an angle of the crank, counted on as [Motion].crank is; false in a hole.
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

func enough(path string, n int) error {
	if n > 0 {
		return nil
	}
	return &contact.Error{Path: path, Want: "at least one revolution with its markers seen", Class: contact.ErrMissing}
}

// over returns the extremes and the mean of a revolution; false if there is a
// hole in it.
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
		crank = max(crank, at) // markers shake, cranks go on
		if crank-at > maxHole {
			return one, false
		}
		if lo, hi := max(at, r.from), min(crank, end); hi > lo {
			area += (hi - lo) * (value + (v-value)*((lo+hi)/2-at)/(crank-at))
		}
		at, value = crank, v
		if k == r.last {
			break // that one is of the next revolution
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
