package motion

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// Settings say how a recording is analysed. The zero Settings are usable.
type Settings struct {
	// View is how angles are taken. A flat recording is always seen FromSide.
	View View
	// Gap is the longest gap that is filled, in seconds, 0 to 0.5; 0 means 0.1, and a
	// negative number that none is.
	Gap float64
	// Harmonics is how many harmonics of the revolution a curve has at most, 0 to 12; 0 means
	// 8. At few frames a revolution it has fewer.
	Harmonics int
	// CutOff is where the low-pass filter of the places has a gain of 1/√2, in Hz: at least
	// five times the pedalling frequency, and below 0.45 of the frames a second, which must
	// be steady. 0 means no filter: the harmonics alone smooth.
	CutOff float64
	// ByResiduals takes the cut-off from [ResidualCutOff] of all places, though never less
	// than five times the pedalling frequency. CutOff must be 0.
	ByResiduals bool
}

func (s *Settings) validate(f *fault.List) {
	f.In("", viewNames.Check("view", s.View))
	if !(s.Gap < 0) || math.IsInf(s.Gap, 0) {
		f.Range("gap_s", s.Gap, 0, 0.5, "s")
	}
	f.Range("harmonics", float64(s.Harmonics), 0, 12, "")
	f.Optional("cut_off_hz", s.CutOff, 0, 1e6, "Hz")
	if s.ByResiduals && s.CutOff != 0 {
		f.Add("cut_off_hz", num.Text(s.CutOff, "Hz"), "none, if residuals are to tell it", contact.ErrConflict)
	}
}

// A Motion is a recording whose faults have been found and whose revolutions are known.
// [Recording.Analyse] makes it, and it does not change.
type Motion struct {
	flat        bool
	steady      bool // frames are evenly spaced
	settings    Settings
	times       []float64
	tracks      [markerCount][]r3.Vec // NaN where there is none
	aside       [markerCount]int      // frames that were set aside
	crank       []float64             // of the left crank, degrees, not reset at each revolution
	revolutions []Revolution
	quality     Quality
}

// Analyse looks at what a recording is worth and finds the revolutions of the crank.
//
// In this order: markers that have each other's label for a time are given their own;
// what lies far beside the frames around it is set aside; the circle of a pedal is fitted
// (or that of toe, heel or ankle, where there is no pedal), or the stated phase taken, and
// revolutions are counted; a marker that slipped is set aside for the shorter part of the
// recording; gaps up to Settings.Gap are filled; and the places are filtered, if Settings
// ask for it. [Motion.Quality] has all that was found and done.
//
// Where the crank is not known for more than a third of a turn, that revolution is lost.
//
// If the context ends, the error wraps the context's. Besides the faults of
// [Recording.Validate] and of the settings ([contact.ErrRange], [contact.ErrUnknown]),
// Analyse reports [contact.ErrMissing] for less than one revolution; [contact.ErrConflict]
// for a crank that turns backwards, as it seems to if an axis is mirrored, and for frames
// that are not steady, if they are to be filtered; and what shows that units, origin or
// times are not those of a Recording: ErrRange, or [contact.ErrUnit] where another unit
// explains it, for a circle whose radius is not 50 to 250 mm, a median cadence that is not
// 10 to 250 per minute, and frames more than 0.2 s or 90 degrees of crank apart, so that
// fast pedalling would look slow; ErrConflict for a circle of the pedal that is around no
// bottom bracket, a pedal on the other side, and markers that seem exchanged in all of the
// recording: a toe behind the heel, a knee below the ankle, a hip below and in front of
// the knee, a shoulder below and behind the hip, by the medians of samples from all over.
func (r Recording) Analyse(ctx context.Context, s Settings) (Motion, error) {
	var f fault.List
	s.validate(&f)
	w := work.New(ctx, -1)
	if err := errors.Join(f.Err(), r.validate(w)); err != nil && !w.Stopped() {
		return Motion{}, err
	}
	m := Motion{flat: r.Flat, settings: s, times: work.Clone(w, r.Times)}
	if m.flat {
		m.settings.View = FromSide
	}
	m.copy(w, &r)
	m.quality.Frames, m.quality.Rate = len(r.Times), m.rate(w)
	m.steady = m.uneven(w, 0.01) < 0
	m.order(w, &f)
	m.exchanges(w)
	m.spikes(w)
	m.turning(w, &f, r.Phase)
	if f.Len() == 0 {
		m.count(w)
		m.cranked(r.Crank)
		m.slips(w)
		m.fill(w, m.longest())
		m.filter(w, &f)
	}
	if w.Stopped() {
		return Motion{}, m.stopped(w)
	}
	if f.Len() == 0 && len(m.revolutions) == 0 {
		f.Add("revolutions", "", "samples of a complete revolution", contact.ErrMissing)
	}
	if err := f.Err(); err != nil {
		return Motion{}, err
	}
	slices.SortStableFunc(m.quality.Findings, func(a, b Finding) int { return a.From - b.From })
	return m, nil
}

// stopped is the error of a context that ended.
func (m *Motion) stopped(w *work.Meter) error {
	return w.Err(fmt.Sprintf("%d revolutions found in %d frames", len(m.revolutions), len(m.times)))
}

// copy takes the samples over.
func (m *Motion) copy(w *work.Meter, r *Recording) {
	for k, samples := range r.Markers {
		at := work.Make[r3.Vec](w, len(samples))
		for i := range at {
			if !w.Do(1) {
				return
			}
			at[i] = unseen
			if samples[i].Seen {
				at[i] = samples[i].At
				if m.flat {
					at[i].Y = 0
				}
			}
		}
		m.tracks[k] = at
	}
}

// rate returns how many frames there are a second, by the median of the times between.
func (m *Motion) rate(w *work.Meter) float64 {
	var steps []float64
	for i := 1; i < len(m.times) && w.Do(1); i += max(1, len(m.times)/mostFrames) {
		steps = append(steps, m.times[i]-m.times[i-1])
	}
	if dt := median(w, steps); dt > 0 {
		return 1 / dt
	}
	return 0
}

// uneven returns the first frame whose time is beside the usual rate by more than a share
// of it, -1 if there is none.
func (m *Motion) uneven(w *work.Meter, share float64) int {
	for i := 1; i < len(m.times) && w.Do(1); i++ {
		if math.Abs((m.times[i]-m.times[i-1])*m.quality.Rate-1) > share {
			return i
		}
	}
	return -1
}

// mostFindings is how many findings are kept.
const mostFindings = 10_000

func (m *Motion) found(f Finding) {
	if len(m.quality.Findings) < mostFindings {
		m.quality.Findings = append(m.quality.Findings, f)
	}
}

// longest is the longest gap to be filled, in seconds.
func (m *Motion) longest() float64 {
	switch g := m.settings.Gap; {
	case g < 0:
		return 0
	case g == 0:
		return 0.1
	default:
		return g
	}
}

// filter filters the places, stretch by stretch.
func (m *Motion) filter(w *work.Meter, f *fault.List) {
	if m.settings.CutOff == 0 && !m.settings.ByResiduals || len(m.revolutions) == 0 {
		return
	}
	rate := m.quality.Rate
	if i := m.uneven(w, 0.1); i >= 0 {
		f.Add(fault.At("times", i), num.Text(m.times[i]-m.times[i-1], "s after the one before"), "as steady as the others, to be filtered", contact.ErrConflict)
		return
	}
	first, last := m.revolutions[0], m.revolutions[len(m.revolutions)-1]
	least := 5 * float64(len(m.revolutions)) / (last.End - first.Start)
	m.quality.CutOff = m.settings.CutOff
	if m.settings.ByResiduals {
		m.quality.CutOff = min(max(m.byResiduals(w), least), 0.449*rate)
	}
	if c := m.quality.CutOff; !(c >= least*0.999 && c < 0.45*rate) {
		f.Add("cut_off_hz", num.Text(c, "Hz"), num.Span(round1(least), round1(0.45*rate), "Hz")+", five times the pedalling frequency to 0.45 of the frames a second", contact.ErrRange)
		return
	}
	low := newFilter(rate, m.quality.CutOff, 2)
	line, buffer := make([]float64, 0, len(m.times)), make([]float64, 0, len(m.times)+2*padding)
	for _, at := range m.tracks {
		stretches(at, func(at []r3.Vec) {
			for axis := range 3 {
				line = line[:0]
				for _, p := range at {
					line = append(line, coordinate(p, axis))
				}
				if m.flat && axis == 1 || w.Stopped() {
					continue
				}
				for i, v := range low.both(w, line, buffer) {
					set(&at[i], axis, v)
				}
			}
		})
	}
}

// byResiduals returns the median of the cut-offs that residuals tell of each coordinate.
func (m *Motion) byResiduals(w *work.Meter) float64 {
	var all []float64
	line := make([]float64, 0, residualFrames)
	for k, at := range m.tracks {
		if k >= int(Bike1) { // which stands still
			break
		}
		longest := at[:0]
		stretches(at, func(at []r3.Vec) {
			if len(at) > len(longest) {
				longest = at
			}
		})
		if len(longest) < 50 {
			continue
		}
		for axis := range 3 {
			line = line[:0]
			for _, p := range longest[:min(len(longest), residualFrames)] {
				line = append(line, coordinate(p, axis))
			}
			if m.flat && axis == 1 || w.Stopped() {
				continue
			}
			all = append(all, residualCutOff(w, line, m.quality.Rate))
		}
	}
	return median(w, all)
}

// stretches calls do for each stretch of frames that have a place.
func stretches(at []r3.Vec, do func([]r3.Vec)) {
	for i := 0; i < len(at); {
		if math.IsNaN(at[i].X) {
			i++
			continue
		}
		end := i
		for end < len(at) && !math.IsNaN(at[end].X) {
			end++
		}
		do(at[i:end])
		i = end
	}
}

func coordinate(p r3.Vec, axis int) float64 { return [3]float64{p.X, p.Y, p.Z}[axis] }

func set(p *r3.Vec, axis int, v float64) { *[3]*float64{&p.X, &p.Y, &p.Z}[axis] = v }

// order reports markers that have changed places in all of the recording, by the medians
// of samples from all over it.
func (m *Motion) order(w *work.Meter, f *fault.List) {
	middle := func(k Marker, along r3.Vec) (float64, bool) {
		var all []float64
		for i := 0; i < len(m.tracks[k]) && w.Do(1); i += max(1, len(m.times)/mostFrames) {
			if v := r3.Dot(m.tracks[k][i], along); !math.IsNaN(v) {
				all = append(all, v)
			}
		}
		return median(w, all), all != nil
	}
	const flat = 20 // mm: a camera at the side knows no Y
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		pedal := PedalLeft.On(side)
		across, _ := middle(pedal, r3.Vec{Y: 1})
		if left := side == contact.Left; left && across < -flat || !left && across > flat {
			f.Add(pedal.String(), num.Text(across, "mm")+" to the left", "a pedal on its own side (left and right swapped?)", contact.ErrConflict)
		}
		for _, k := range [...]struct {
			one, other Marker
			along      r3.Vec // from the other to the one, roughly, whatever the posture
			want       string
		}{
			{ToeLeft, HeelLeft, r3.Vec{X: 1}, "in front of "},
			{KneeLeft, AnkleLeft, r3.Vec{Z: 1}, "above "},
			{HipLeft, KneeLeft, r3.Vec{X: -1, Z: 1}, "above or behind "},
			{ShoulderLeft, HipLeft, r3.Vec{X: 1, Z: 1}, "above or in front of "},
		} {
			one, other := k.one.On(side), k.other.On(side)
			a, seen := middle(one, k.along)
			b, too := middle(other, k.along)
			if seen && too && a <= b {
				f.Add(one.String(), "", "the marker "+k.want+other.String()+" (exchanged, or X backwards?)", contact.ErrConflict)
			}
		}
	}
}

// Revolutions returns the complete revolutions in order of time.
func (m Motion) Revolutions() []Revolution { return slices.Clone(m.revolutions) }

// Quality returns what was found of the recording.
func (m Motion) Quality() Quality {
	q := m.quality
	q.Markers, q.Cranks = slices.Clone(q.Markers), slices.Clone(q.Cranks)
	q.Findings = slices.Clone(q.Findings)
	for i := range q.Findings {
		q.Findings[i].Markers = slices.Clone(q.Findings[i].Markers)
	}
	return q
}

func round1(v float64) float64 { return math.Round(10*v) / 10 }
