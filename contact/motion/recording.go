package motion

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Sample is the place of a marker in one frame. The zero Sample is a marker that was
// not seen.
type Sample struct {
	// At is the centre of the marker, mm. It is ignored unless Seen.
	At r3.Vec
	// Seen reports whether the marker was found in the frame. A frame that lost the
	// marker keeps its place with Seen false.
	Seen bool
}

// A Recording holds what cameras saw of a rider: markers of one leg or of both, of
// pelvis, trunk, arms and bike. [Recording.Analyse] wants it in the axes of package
// contact, fixed to the bike, with the origin at the bottom bracket; [Recording.OnBike]
// and [Recording.Carry] bring it there. The zero Recording is not valid.
type Recording struct {
	// Times are the times of the frames in seconds, -1e10 to 1e10. Each is later than the
	// one before by a microsecond or more; they need not be evenly spaced.
	Times []float64
	// Markers holds one Sample for each of Times, by marker.
	Markers map[Marker][]Sample
	// Phase is the crank angle of the left crank in each frame, in degrees, if something
	// else than markers told it; NaN where it is not known. Nil: pedals tell it, or else
	// the markers of a foot.
	Phase []float64
	// Crank is the length of the cranks if it is known, 0 or 50 to 250 mm. A circle of the
	// pedal with another radius is then a finding.
	Crank float64
	// Flat says that a single camera at the side took the recording, so that nothing is
	// known across: Y is ignored. Angles of a flat recording are never compared with angles
	// in space.
	Flat bool
}

// Validate reports a recording without times or markers ([contact.ErrMissing]); a marker
// that does not exist ([contact.ErrUnknown]); times that are not in order and markers or a
// phase with another number of samples ([contact.ErrConflict]); and numbers out of range
// and seen coordinates that are not finite or beyond 10 m ([contact.ErrRange]). Of the
// times and of each marker it reports only the first fault, such as
// markers.knee_left[7][2].
func (r Recording) Validate() error { return r.validate(nil) }

func (r *Recording) validate(w *work.Meter) error {
	var f fault.List
	if len(r.Times) == 0 {
		f.Add("times", "", "at least one", contact.ErrMissing)
	}
	for i, t := range r.Times {
		if !w.Do(1) {
			break
		}
		if !(math.Abs(t) <= 1e10) {
			f.Range(fault.At("times", i), t, -1e10, 1e10, "s")
			break
		}
		if i > 0 && !(t-r.Times[i-1] >= 1e-6) {
			f.Add(fault.At("times", i), num.Text(t, "s"), "later than the one before by a microsecond or more", contact.ErrConflict)
			break
		}
	}
	f.Optional("crank_mm", r.Crank, crankMin, crankMax, "mm")
	if len(r.Markers) == 0 {
		f.Add("markers", "", "at least one", contact.ErrMissing)
	}
	count := func(path string, n int) {
		if n != len(r.Times) {
			f.Add(path, num.Text(float64(n), "samples"), num.Text(float64(len(r.Times)), "")+", one for each time", contact.ErrConflict)
		}
	}
	if r.Phase != nil {
		count("phase_deg", len(r.Phase))
		for i, p := range r.Phase {
			if w.Do(1); math.Abs(p) > 1e9 {
				f.Range(fault.At("phase_deg", i), p, -1e9, 1e9, "degrees")
				break
			}
		}
	}
	for m := range 256 {
		samples, ok := r.Markers[Marker(m)]
		if !ok {
			continue
		}
		if err := markerNames.Check("markers", Marker(m)); err != nil {
			f.In("", err)
			continue
		}
		path := fault.Join("markers", Marker(m).String())
		count(path, len(samples))
		for i := range samples {
			if !w.Do(1) {
				break
			}
			if s := &samples[i]; s.Seen && !bounded(s.At) {
				point(&f, fault.At(path, i), s.At)
				break
			}
		}
	}
	return f.Err()
}

// Carry returns the recording with every point moved, such as from the axes of the cameras
// to those of the bike by a [survey.Registration]. The receiver is left as it is.
func (r Recording) Carry(by survey.RigidMotion) Recording {
	moved := r
	moved.Markers = make(map[Marker][]Sample, len(r.Markers))
	for m, samples := range r.Markers {
		all := make([]Sample, len(samples))
		for i, s := range samples {
			if s.Seen {
				all[i] = Sample{At: by.Apply(s.At), Seen: true}
			}
		}
		moved.Markers[m] = all
	}
	return moved
}

// OnBike carries the recording to the axes of the bike by markers whose places on it are
// known: three or more that are not on one line. It uses the mean place of each, so that
// the bike must stand still; a bike that moves by more than 5 mm is
// [contact.ErrConflict]. The residuals are where the markers come to lie less where they
// should, in the order of their numbers.
//
// Faults are those of Validate; [contact.ErrUnknown] for a marker that is not one of the
// bike; [contact.ErrMissing] for one that was never seen and for fewer than three; and
// [contact.ErrConflict] as in [survey.FitMotion], and if they are more than 20 mm off.
func (r Recording) OnBike(places map[Marker]r3.Vec) (onBike Recording, residuals []r3.Vec, err error) {
	if err := r.Validate(); err != nil {
		return Recording{}, nil, err
	}
	var f fault.List
	var from, to []r3.Vec
	for _, m := range Markers() {
		at, ok := places[m]
		switch {
		case !ok:
			continue
		case m < Bike1:
			f.Add(m.String(), "", "a marker of the bike", contact.ErrUnknown)
			continue
		}
		point(&f, m.String(), at)
		mean, spread, n := resting(r.Markers[m])
		switch {
		case n == 0:
			f.Add(m.String(), "", "samples of this marker", contact.ErrMissing)
		case spread > 5+3*5/math.Sqrt(float64(n)):
			f.Add(m.String(), num.Text(spread, "mm of movement"), "a bike that stands still", contact.ErrConflict)
		}
		from, to = append(from, mean), append(to, at)
	}
	if err := f.Err(); err != nil {
		return Recording{}, nil, err
	}
	motion, residuals, err := survey.FitMotion(from, to)
	if err != nil {
		return Recording{}, nil, err
	}
	for i, off := range residuals {
		if r3.Norm(off) > 20 {
			f.Add(fmt.Sprintf("markers[%d]", i), num.Text(r3.Norm(off), "mm off"), "markers where they are said to be", contact.ErrConflict)
		}
	}
	if err := f.Err(); err != nil {
		return Recording{}, nil, err
	}
	return r.Carry(motion), residuals, nil
}

// resting returns the mean place of a marker that should stand still, and how far the
// means of the recording's eighths are from it.
func resting(samples []Sample) (mean r3.Vec, spread float64, n int) {
	var sums [8]r3.Vec
	var seen [8]int
	for i, s := range samples {
		if s.Seen {
			k := 8 * i / len(samples)
			sums[k], seen[k] = r3.Add(sums[k], s.At), seen[k]+1
			n++
		}
	}
	for _, s := range sums {
		mean = r3.Add(mean, r3.Scale(1/float64(max(1, n)), s))
	}
	for k, s := range sums {
		if seen[k] > 0 {
			spread = max(spread, r3.Norm(r3.Sub(r3.Scale(1/float64(seen[k]), s), mean)))
		}
	}
	return mean, spread, n
}
