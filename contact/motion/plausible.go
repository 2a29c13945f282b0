package motion

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// What a recording of a rider may be. Common practice, no source.
const (
	crankMin, crankMax     = 50, 250 // radius of the pedal's circle, mm
	cadenceMin, cadenceMax = 10, 250 // revolutions per minute, median
	offCentre              = 0.15    // of the radius: how far the origin may be from the circle's centre
	seldom                 = 0.2     // s between samples, median: half a turn at 150 per minute
	coarse                 = 90.     // degrees of crank between samples, median
	usualCrankMin          = 100     // what tells units apart, mm
	usualCrankMax          = 220
)

// plausible reports a circle of the pedal that no crank has or whose centre is not the
// bottom bracket, and times at which no rider pedals or that are too far apart to tell.
func (m *Motion) plausible(w *work.Meter, f *fault.List) {
	m.order(w, f)
	centre, radius, whole := m.circle(w)
	switch {
	case !whole: // too little to tell
	case !(radius >= crankMin && radius <= crankMax):
		want, class := num.Span(crankMin, crankMax, "mm"), contact.ErrRange
		if unit := num.Mistaken(radius, usualCrankMin, usualCrankMax); unit != "" {
			want, class = want+"; it looks like "+unit, contact.ErrUnit
		}
		f.Add("pedal", "a circle of radius "+num.Text(radius, "mm"), want, class)
	case !(r3.Norm(centre) <= offCentre*radius):
		f.Add("pedal", "a circle around x "+num.Text(centre.X, "mm")+", z "+num.Text(centre.Z, "mm"), "one around the origin; is it at the bottom bracket?", contact.ErrConflict)
	}
	if len(m.revolutions) == 0 {
		return
	}
	var cadences []float64
	for i := range m.revolutions {
		cadences = append(cadences, m.revolutions[i].Cadence())
	}
	if c := median(w, cadences); !(c >= cadenceMin && c <= cadenceMax) {
		want, class := num.Span(cadenceMin, cadenceMax, "per minute"), contact.ErrRange
		if in := c * 1000; in >= cadenceMin && in <= cadenceMax {
			want, class = want+"; the times look like milliseconds", contact.ErrUnit
		}
		f.Add("times", num.Text(c, "revolutions per minute"), want, class)
		return
	}
	apart, steps := work.Make[float64](w, len(m.times))[:0], work.Make[float64](w, len(m.times))[:0]
	before := -1
	for i, s := range m.markers[pedal] {
		if !w.Do(1) {
			return
		}
		if !s.Seen {
			continue
		}
		if before >= 0 {
			apart, steps = append(apart, m.times[i]-m.times[before]), append(steps, math.Abs(wrap(m.crank[i]-m.crank[before])))
		}
		before = i
	}
	if v := median(w, apart); !(v <= seldom) {
		f.Add("times", "samples of the pedal "+num.Text(v, "s")+" apart", "at most "+num.Text(seldom, "s")+", or fast pedalling looks slow", contact.ErrRange)
	} else if v := median(w, steps); !(v <= coarse) {
		f.Add("times", "samples of the pedal "+num.Text(v, "degrees")+" of crank apart", "at most "+num.Text(coarse, "degrees"), contact.ErrRange)
	}
}

// order reports markers that have changed places, by the medians of samples from all over
// the recording.
func (m *Motion) order(w *work.Meter, f *fault.List) {
	each := max(1, len(m.times)/1000)
	middle := func(k marker, of func(r3.Vec) float64) (float64, bool) {
		var all []float64
		for i := 0; i < len(m.markers[k]); i += each {
			if s := &m.markers[k][i]; s.Seen {
				all = append(all, of(s.At))
			}
		}
		if all == nil {
			return 0, false
		}
		return median(w, all), true
	}
	const flat = 20 // mm: a camera at the side may know no Y
	across, _ := middle(pedal, func(v r3.Vec) float64 { return v.Y })
	if left := m.side == contact.Left; left && across < -flat || !left && across > flat {
		f.Add("side", m.side.String()+", with the pedal at y "+num.Text(across, "mm"), "the side that was recorded (left and right swapped?)", contact.ErrConflict)
	}
	for _, k := range [...]struct {
		one, other marker
		along      r3.Vec // from the other to the one, roughly, whatever the posture
		want       string
	}{
		{toe, heel, r3.Vec{X: 1}, "in front of "},
		{knee, ankle, r3.Vec{Z: 1}, "above "},
		{hip, knee, r3.Vec{X: -1, Z: 1}, "above or behind "},
		{shoulder, hip, r3.Vec{X: 1, Z: 1}, "above or in front of "},
	} {
		along := func(v r3.Vec) float64 { return r3.Dot(v, k.along) }
		a, seen := middle(k.one, along)
		b, other := middle(k.other, along)
		if seen && other && a <= b {
			f.Add(markerNames[k.one], "", "the marker "+k.want+markerNames[k.other]+" (exchanged, or X backwards?)", contact.ErrConflict)
		}
	}
}

// circle returns centre and radius of the circle on which the pedal was seen, and whether
// it was seen on all sides. Samples of a pedal that stands still count once, and of those
// that lie beyond the others there may be 2 in 100.
func (m *Motion) circle(w *work.Meter) (centre r3.Vec, radius float64, whole bool) {
	xs, zs := work.Make[float64](w, len(m.times)), work.Make[float64](w, len(m.times))
	take := func(least float64) {
		last := r3.Vec{X: math.Inf(1)}
		xs, zs = xs[:0], zs[:0]
		for _, s := range m.markers[pedal] {
			if !w.Do(1) {
				return
			}
			if p := (r3.Vec{X: s.At.X, Z: s.At.Z}); s.Seen && !(r3.Norm(r3.Sub(p, last)) < least) {
				xs, zs, last = append(xs, p.X), append(zs, p.Z), p
			}
		}
	}
	take(0)
	if len(xs) < 4 {
		return r3.Vec{}, 0, false
	}
	x, z := slices.Max(xs)-slices.Min(xs), slices.Max(zs)-slices.Min(zs)
	take(0.02 * max(x, z))
	if w.Stopped() {
		return r3.Vec{}, 0, false
	}
	sx, sz := extent(w, xs), extent(w, zs)
	wide, high := sx[1]-sx[0], sz[1]-sz[0]
	centre = r3.Vec{X: (sx[0] + sx[1]) / 2, Z: (sz[0] + sz[1]) / 2}
	return centre, (wide + high) / 4, min(wide, high) > 0.8*max(wide, high)
}

// extent returns between what numbers all but 2 in 100 lie, on either side.
func extent(w *work.Meter, v []float64) [2]float64 {
	work.Sort(w, v, cmp.Compare)
	cut := len(v) / 50
	return [2]float64{v[cut], v[len(v)-1-cut]}
}

func median(w *work.Meter, v []float64) float64 {
	if len(v) == 0 { // stopped
		return 0
	}
	work.Sort(w, v, cmp.Compare)
	return v[len(v)/2]
}
