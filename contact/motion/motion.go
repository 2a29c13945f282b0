package motion

import (
	"context"
	"errors"
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
)

// A Revolution is one whole turn of the crank in a recording.
type Revolution struct {
	// Start and End are its times in seconds. They may lie between frames.
	Start, End float64
	// CrankAngle is the crank angle where it starts and ends, 0 to below 360 degrees.
	CrankAngle float64
}

// Cadence returns the revolution's speed in revolutions per minute.
func (r Revolution) Cadence() float64 { return 60 / (r.End - r.Start) }

// A Motion is a recording whose revolutions have been found. [Recording.Analyse] makes
// it, and it does not change.
type Motion struct {
	side        contact.Side
	view        View
	times       []float64
	markers     [markerCount][]Sample
	crank       []float64 // degrees, not reset at each revolution
	revolutions []revolution
}

// A revolution is a Revolution with its place in the recording. It starts at from, an
// angle as in Motion.crank, at or before the frame first, and ends at or before the frame
// last.
type revolution struct {
	Revolution
	from        float64
	first, last int
}

// frames is how many frames it has, about.
func (r *revolution) frames() int { return r.last - r.first + 2 }

// Analyse finds the revolutions of the crank from the pedal marker. The first begins with
// the first sample of the pedal, the next begins where that one ends, and so on.
//
// Where the pedal was not seen, the crank is assumed to have turned evenly. If it was not
// seen for more than a third of a turn at the recording's usual speed, that revolution is
// lost and a new one begins after it.
//
// v is the view used for joint angles. The samples are copied. If the context ends, the
// error wraps the context's. Besides the faults
// of [Recording.Validate], Analyse reports [contact.ErrUnknown] for a view that does not
// exist, [contact.ErrMissing] for less than one revolution, [contact.ErrConflict] for
// a crank that turns backwards, as it seems to if an axis is mirrored, and what shows that
// units, origin or times are not those of a Recording: [contact.ErrRange], or
// [contact.ErrUnit] where another unit explains it, for a pedal whose circle has not a
// radius of 50 to 250 mm, a median cadence that is not 10 to 250 per minute, and samples
// more than 0.2 s or 90 degrees of crank apart, so that fast pedalling would look slow; and
// ErrConflict for a circle whose centre is not at the origin, to 0.15 of its radius, a
// pedal on the other side, and markers that seem exchanged: a toe behind the heel, a knee
// below the ankle, a hip below and in front of the knee, a shoulder below and behind the
// hip, by the medians of samples from all over the recording.
func (r Recording) Analyse(ctx context.Context, v View) (Motion, error) {
	var f fault.List
	if int(v) >= viewCount {
		f.Add("view", "", "in_space or from_side", contact.ErrUnknown)
	}
	w := work.New(ctx, -1)
	if err := errors.Join(f.Err(), r.validate(w)); err != nil && !w.Stopped() {
		return Motion{}, err
	}
	m := Motion{side: r.Side, view: v, times: work.Clone(w, r.Times), markers: r.markers()}
	for k := range m.markers {
		m.markers[k] = work.Clone(w, m.markers[k])
	}
	speed := m.count(w)
	m.plausible(w, &f)
	if w.Stopped() {
		return Motion{}, w.Err(fmt.Sprintf("%d revolutions found in %d frames", len(m.revolutions), len(r.Times)))
	}
	switch {
	case f.Len() > 0: // which may be why
	case speed < -10: // not just standing still
		f.Add("pedal", num.Text(speed, "degrees per second"), "a crank that turns forward; is an axis mirrored?", contact.ErrConflict)
	case len(m.revolutions) == 0:
		f.Add("pedal", "", "samples of a complete revolution", contact.ErrMissing)
	}
	if err := f.Err(); err != nil {
		return Motion{}, err
	}
	return m, nil
}

// count fills in crank (NaN where the angle is lost) and revolutions, and returns the
// usual speed of the crank in degrees per second.
func (m *Motion) count(w *work.Meter) (speed float64) {
	times, spindle := m.times, m.markers[pedal]
	m.crank = work.Make[float64](w, len(times))
	speeds := work.Make[float64](w, len(times))[:0]
	before := -1 // the last frame that saw the pedal
	for i, s := range spindle {
		if !w.Do(1) {
			return 0
		}
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
	speed = median(w, speeds)

	before = -1
	var r revolution
	for i := range spindle {
		if !w.Do(1) {
			break
		}
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

// passed returns how far the crank turns between two frames at a given speed.
func (m *Motion) passed(before, i int, speed float64) float64 {
	if before < 0 {
		return math.Inf(1)
	}
	return speed * (m.times[i] - m.times[before])
}

// goOn fills in the crank between two frames and returns the revolution that the later
// one lies in.
func (m *Motion) goOn(before, i int, r revolution) revolution {
	times := m.times
	rate := (m.crank[i] - m.crank[before]) / (times[i] - times[before])
	for k := before + 1; k <= i; k++ {
		if k < i {
			m.crank[k] = m.crank[before] + rate*(times[k]-times[before])
		}
		end := r.from + 360
		if m.crank[k] < end-1e-6 { // a revolution that ends at a frame is complete, despite rounding
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

// wrap returns a difference of angles in the range -180 to 180.
func wrap(deg float64) float64 { return math.Remainder(deg, 360) }

// Revolutions returns the complete revolutions in order of time.
func (m Motion) Revolutions() []Revolution {
	all := make([]Revolution, len(m.revolutions))
	for i, r := range m.revolutions {
		all[i] = r.Revolution
	}
	return all
}
