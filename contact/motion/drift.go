package motion

import (
	"context"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Drift describes how the mean place of a marker moves from revolution to revolution.
type Drift struct {
	// Each holds the revolutions that were not left out; see [Motion.Span].
	Each []RevolutionDrift
	// Mean and Spread are the mean and the standard deviation of Each, mm. The spread of
	// one revolution is 0.
	Mean, Spread r3.Vec
	// PerMinute is the slope of the straight line through Each by least squares, mm per
	// minute; 0 for one revolution.
	PerMinute r3.Vec
}

// A RevolutionDrift is the mean place of a marker in one revolution.
type RevolutionDrift struct {
	// Revolution is the index in [Motion.Revolutions].
	Revolution int
	// By is the offset of the mean place over this revolution's crank circle from that of
	// the first in Drift.Each, in the axes of package contact, mm.
	By r3.Vec
}

// PelvisDrift returns how the pelvis marker moves over the recording, positive forward
// (X), to the rider's left (Y) and up (Z). Faults are [contact.ErrMissing] for a
// recording without the marker, and if no revolution saw enough of it (as in
// [Motion.Span]). If the context ends, the error wraps the context's.
func (m Motion) PelvisDrift(ctx context.Context) (Drift, error) {
	samples := m.markers[pelvis]
	if samples == nil {
		return Drift{}, &contact.Error{Path: markerNames[pelvis], Want: "the samples of this marker", Class: contact.ErrMissing}
	}
	var d Drift
	var by [3][]float64 // mean places, by axis
	var minutes []float64
	w := work.New(ctx, -1)
	places := apart(w, samples)
	for i := range m.revolutions {
		r := &m.revolutions[i]
		if !w.Do(4 * r.frames()) {
			break
		}
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
	if w.Stopped() {
		return Drift{}, m.stopped(w, len(d.Each))
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

// apart returns the coordinates of samples, one list for each axis, with NaN for samples
// that were not seen.
func apart(w *work.Meter, samples []Sample) (places [3][]float64) {
	for axis := range places {
		places[axis] = work.Make[float64](w, len(samples))
	}
	for i, s := range samples {
		if !w.Do(1) {
			break
		}
		at := [3]float64{math.NaN(), math.NaN(), math.NaN()}
		if s.Seen {
			at = [3]float64{s.At.X, s.At.Y, s.At.Z}
		}
		for axis, v := range at {
			places[axis][i] = v
		}
	}
	return places
}

// steepness returns the slope of the straight line through points by least squares.
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
