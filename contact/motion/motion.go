package motion

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Revolution is one whole turn of the crank in a recording.
type Revolution struct {
	// Start and End are its times in seconds, between frames where need be.
	Start, End float64
	// CrankAngle is where it starts and ends, 0 to below 360 degrees.
	CrankAngle float64
}

// Cadence returns the revolution's speed in turns per minute.
func (r Revolution) Cadence() float64 { return 60 / (r.End - r.Start) }

// A Motion is a recording with its revolutions found. It is made by
// [Recording.Analyse] and does not change.
type Motion struct {
	side        contact.Side
	view        View
	times       []float64
	markers     [markerCount][]Sample
	crank       []float64 // degrees, counting on from turn to turn
	revolutions []revolution
}

// A revolution is what Motion keeps of one: it starts at from, as Motion.crank
// counts, at or before the frame first, and ends at or before the frame last.
type revolution struct {
	Revolution
	from        float64
	first, last int
}

// Analyse finds the revolutions of the crank by the pedal marker. The first
// begins with the first sample of the pedal, the next where that ends, and so on.
//
// Where the pedal was not seen, the crank is taken to have turned evenly. If it
// was not seen for more than a third of a turn at the recording's usual speed,
// that revolution is lost and a new one begins after it.
//
// View says how joint angles are taken. The samples are copied. Besides the faults of
// [Recording.Validate] errors are [contact.ErrUnknown] for the view,
// [contact.ErrMissing] for less than one revolution, and [contact.ErrConflict] for
// a crank that turns backwards, as it seems to with an axis mirrored.
func (r Recording) Analyse(v View) (Motion, error) {
	var f fault.List
	if int(v) >= viewCount {
		f.Add("view", "", "in_space or from_side", contact.ErrUnknown)
	}
	if err := errors.Join(f.Err(), r.Validate()); err != nil {
		return Motion{}, err
	}
	m := Motion{side: r.Side, view: v, times: slices.Clone(r.Times), markers: r.markers()}
	for k := range m.markers {
		m.markers[k] = slices.Clone(m.markers[k])
	}
	switch speed := m.count(); {
	case speed < -10: // not just standing still
		f.Add("pedal", num.Text(speed, "degrees per second"), "a crank that turns forward; is an axis mirrored?", contact.ErrConflict)
	case len(m.revolutions) == 0:
		f.Add("pedal", "", "samples of a whole revolution", contact.ErrMissing)
	}
	if err := f.Err(); err != nil {
		return Motion{}, err
	}
	return m, nil
}

// count fills in crank (NaN where it is lost) and revolutions, and returns the
// usual speed of the crank in degrees per second.
func (m *Motion) count() (speed float64) {
	times, spindle := m.times, m.markers[pedal]
	m.crank = make([]float64, len(times))
	speeds := make([]float64, 0, len(times))
	before := -1 // the last frame that saw the pedal
	for i, s := range spindle {
		m.crank[i] = math.NaN()
		if !s.Seen {
			continue
		}
		m.crank[i] = num.Atan2(s.At.X, s.At.Z)
		if before >= 0 {
			speeds = append(speeds, wrap(m.crank[i]-m.crank[before])/(times[i]-times[before]))
		}
		before = i
	}
	if len(speeds) == 0 {
		return 0
	}
	slices.Sort(speeds)
	speed = speeds[len(speeds)/2]

	before = -1
	var r revolution
	for i := range spindle {
		if !spindle[i].Seen {
			continue
		}
		if expect := m.passed(before, i, speed); expect <= maxStep {
			m.crank[i] = m.crank[before] + expect + wrap(m.crank[i]-m.crank[before]-expect)
			r = m.goOn(before, i, r)
		} else {
			r = revolution{Revolution: Revolution{Start: times[i]}, from: m.crank[i], first: i}
		}
		before = i
	}
	return speed
}

// passed returns how far the crank has turned between two frames at a speed.
func (m *Motion) passed(before, i int, speed float64) float64 {
	if before < 0 {
		return math.Inf(1)
	}
	return speed * (m.times[i] - m.times[before])
}

// goOn fills in the crank between two frames, and continues with the revolution
// that this one leads to.
func (m *Motion) goOn(before, i int, r revolution) revolution {
	times := m.times
	rate := (m.crank[i] - m.crank[before]) / (times[i] - times[before])
	for k := before + 1; k <= i; k++ {
		if k < i {
			m.crank[k] = m.crank[before] + rate*(times[k]-times[before])
		}
		end := r.from + 360
		if m.crank[k] < end-1e-6 { // one that ends with a frame is whole, whatever rounding says
			continue
		}
		part := min(1, (end-m.crank[k-1])/(m.crank[k]-m.crank[k-1]))
		r.End = times[k-1] + part*(times[k]-times[k-1])
		r.CrankAngle = num.Turn(r.from)
		r.last = k
		m.revolutions = append(m.revolutions, r)
		r = revolution{Revolution: Revolution{Start: r.End}, from: end, first: k}
	}
	return r
}

// wrap brings a difference of angles to -180 to 180.
func wrap(deg float64) float64 { return math.Remainder(deg, 360) }

// Revolutions returns the whole revolutions, in the order of their times.
func (m Motion) Revolutions() []Revolution {
	all := make([]Revolution, len(m.revolutions))
	for i, r := range m.revolutions {
		all[i] = r.Revolution
	}
	return all
}

// A Stat is what a number does over revolutions.
type Stat struct {
	// Mean and Spread are the mean and the standard deviation (of a sample: n − 1)
	// of the revolutions' numbers, in the unit of what they belong to. The spread of
	// one revolution is 0, which says nothing.
	Mean, Spread float64
	// Count is how many revolutions had a number.
	Count int
}

// Sub returns how much more s is than t, such as left than right, and the
// standard uncertainty of that if revolutions differ by chance alone; false if
// either has less than two of them. What all revolutions have in common, such as
// a marker stuck on beside the joint, is not in it.
func (s Stat) Sub(t Stat) (by, sigma float64, ok bool) {
	if s.Count < 2 || t.Count < 2 {
		return 0, 0, false
	}
	return s.Mean - t.Mean, math.Hypot(s.Spread/math.Sqrt(float64(s.Count)), t.Spread/math.Sqrt(float64(t.Count))), true
}

func stat(vs []float64) Stat {
	s := Stat{Count: len(vs)}
	for _, v := range vs {
		s.Mean += v / float64(len(vs))
	}
	if len(vs) > 1 {
		for _, v := range vs {
			s.Spread += (v - s.Mean) * (v - s.Mean)
		}
		s.Spread = math.Sqrt(s.Spread / float64(len(vs)-1))
	}
	return s
}

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
		f.Add("crank_angle", num.Text(crankAngle, "degrees"), "a finite number", contact.ErrRange)
		return Stat{}, f.Err()
	}
	var all []float64
	for i := range m.revolutions {
		r := &m.revolutions[i]
		at := r.from + num.Turn(crankAngle-r.from)
		from := -1
		for k := max(0, r.first-1); k <= r.last; k++ {
			if math.IsNaN(values[k]) || math.IsNaN(m.crank[k]) {
				continue
			}
			if from >= 0 && m.crank[from] <= at && at <= m.crank[k] && m.crank[k]-m.crank[from] <= maxHole {
				part := 0.
				if d := m.crank[k] - m.crank[from]; d > 0 {
					part = (at - m.crank[from]) / d
				}
				all = append(all, values[from]+part*(values[k]-values[from]))
				break
			}
			from = k
		}
	}
	return stat(all), enough(of.String(), len(all))
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

// needs is the markers of each measure: the ends of one or two lines.
var needs = [...][]marker{
	rider.KneeFlexion:       {knee, hip, knee, ankle},
	rider.HipFlexion:        {hip, shoulder, hip, knee},
	rider.AnkleDorsiflexion: {ankle, knee, heel, toe},
	rider.TrunkLean:         {hip, shoulder},
	rider.KneeOffset:        {toe, knee},
}

// values returns a measure in every frame, NaN where it was not seen.
func (m *Motion) values(of rider.Variable) ([]float64, error) {
	var f fault.List
	switch {
	case of.Unit() == "":
		f.Add("measure", "", "one such as knee_flexion", contact.ErrUnknown)
	case int(of) >= len(needs) || needs[of] == nil:
		f.Add(of.String(), "", "a measure that markers tell", contact.ErrMissing)
	default:
		for i, k := range needs[of] {
			if m.markers[k] == nil && !slices.Contains(needs[of][:i], k) {
				f.Add(markerNames[k], "", "its samples, for "+of.String(), contact.ErrMissing)
			}
		}
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	values := make([]float64, len(m.crank))
	for i := range values {
		v, ok := m.value(of, i)
		if !ok {
			f.Add(fmt.Sprintf("%s[%d]", markerNames[needs[of][0]], i), "", "further than "+num.Text(shortest, "mm")+" from the next marker", contact.ErrRange)
			return nil, f.Err()
		}
		values[i] = v
	}
	return values, nil
}

// value returns a measure in one frame, NaN if it was not seen; false for
// markers that fall together.
func (m *Motion) value(of rider.Variable, frame int) (v float64, ok bool) {
	var lines [2]r3.Vec
	for i, k := range needs[of] {
		s := &m.markers[k][frame]
		if !s.Seen {
			return math.NaN(), true
		}
		if i%2 == 0 {
			lines[i/2] = s.At
		} else {
			lines[i/2] = r3.Sub(s.At, lines[i/2])
		}
	}
	if of == rider.KneeOffset {
		if m.side == contact.Right {
			return -lines[0].Y, true
		}
		return lines[0].Y, true
	}
	for i := range len(needs[of]) / 2 {
		lines[i] = m.view.see(lines[i])
		if r3.Norm2(lines[i]) < shortest*shortest {
			return 0, false
		}
	}
	switch of {
	case rider.TrunkLean:
		level := lines[0].X
		if m.view == InSpace {
			level = math.Copysign(math.Hypot(level, lines[0].Y), level)
		}
		return num.Atan2(lines[0].Z, level), true
	case rider.AnkleDorsiflexion:
		return 90 - between(lines[0], lines[1]), true
	}
	return 180 - between(lines[0], lines[1]), true
}

// A Drift is how a marker's mean place moves from revolution to revolution.
type Drift struct {
	// Each is the revolutions of which enough was seen.
	Each []RevolutionDrift
	// Mean and Spread are those of Each, mm. A spread of one revolution is 0.
	Mean, Spread r3.Vec
	// PerMinute is the straight line through Each by least squares, mm per minute;
	// 0 for one revolution.
	PerMinute r3.Vec
}

// A RevolutionDrift is where a marker was in one revolution.
type RevolutionDrift struct {
	// Revolution is the index in [Motion.Revolutions].
	Revolution int
	// By is the mean place over the revolution's crank circle less that of the
	// first of Drift.Each, in the axes of package contact, mm.
	By r3.Vec
}

// PelvisDrift returns how the pelvis marker moves over the recording: forward
// (X), to the rider's left (Y) and up (Z). Errors are [contact.ErrMissing] for
// a recording without the marker, and if no revolution saw enough of it (as in
// [Motion.Span]).
func (m Motion) PelvisDrift() (Drift, error) {
	samples := m.markers[pelvis]
	if samples == nil {
		return Drift{}, &contact.Error{Path: markerNames[pelvis], Want: "its samples", Class: contact.ErrMissing}
	}
	var d Drift
	var places, by [3][]float64
	var minutes []float64
	for axis := range places {
		places[axis] = make([]float64, len(samples))
	}
	for i, s := range samples {
		at := [3]float64{math.NaN(), math.NaN(), math.NaN()}
		if s.Seen {
			at = [3]float64{s.At.X, s.At.Y, s.At.Z}
		}
		for axis, v := range at {
			places[axis][i] = v
		}
	}
	for i := range m.revolutions {
		r := &m.revolutions[i]
		if _, ok := m.over(r, places[0]); !ok {
			continue
		}
		for axis := range by {
			one, _ := m.over(r, places[axis])
			by[axis] = append(by[axis], one.Mean)
		}
		d.Each = append(d.Each, RevolutionDrift{Revolution: i})
		minutes = append(minutes, (r.Start+r.End)/120)
	}
	if err := enough(markerNames[pelvis], len(d.Each)); err != nil {
		return Drift{}, err
	}
	var mean, spread, slope [3]float64
	for axis, vs := range by {
		first := vs[0]
		for i := range vs {
			vs[i] -= first
		}
		s := stat(vs)
		mean[axis], spread[axis], slope[axis] = s.Mean, s.Spread, steepness(minutes, vs)
	}
	for i := range d.Each {
		d.Each[i].By = r3.Vec{X: by[0][i], Y: by[1][i], Z: by[2][i]}
	}
	vec := func(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }
	d.Mean, d.Spread, d.PerMinute = vec(mean), vec(spread), vec(slope)
	return d, nil
}

// steepness is the slope of the straight line through points by least squares.
func steepness(xs, ys []float64) float64 {
	x, y := stat(xs).Mean, stat(ys).Mean
	var xx, xy float64
	for i := range xs {
		xx += (xs[i] - x) * (xs[i] - x)
		xy += (xs[i] - x) * (ys[i] - y)
	}
	if xx == 0 {
		return 0
	}
	return xy / xx
}
