package motion

import (
	"math"

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
	offCentre              = 0.5     // of the radius: how far the origin may be from the circle's centre
	seldom                 = 0.2     // s between frames that know the crank, median: half a turn at 150 per minute
	coarse                 = 90.     // degrees of crank between them, median
	usualCrankMin          = 100     // what tells units apart, mm
	usualCrankMax          = 220
	maxStep                = 120. // degrees of crank that may pass unseen before the revolution is lost
	maxBack                = 30.  // degrees that the crank may turn back
)

// A Revolution is one whole turn of the crank, from the top dead centre of the left crank
// to the next.
type Revolution struct {
	// Start and End are its times in seconds. They may lie between frames.
	Start float64 `json:"start" unit:"s"`
	End   float64 `json:"end" unit:"s"`
	// First and Last are its frames.
	First int `json:"first"`
	Last  int `json:"last"`
}

// Cadence returns the revolution's speed in revolutions per minute.
func (r Revolution) Cadence() float64 { return 60 / (r.End - r.Start) }

// followers are the markers that go round with the crank, in the order in which they are
// asked for its angle.
var followers = [...]Marker{PedalLeft, ToeLeft, HeelLeft, AnkleLeft}

// turning fills in m.crank, the angle of the left crank in each frame, not reset at each
// revolution; NaN where it is not known.
func (m *Motion) turning(w *work.Meter, f *fault.List, phase []float64) {
	m.crank = work.Make[float64](w, len(m.times))
	angles := [2][]float64{phase, nil}
	m.circles(w, f)
	if phase == nil {
		for i, c := range m.quality.Cranks {
			if w.Stopped() {
				return
			}
			angles[i] = m.around(w, c)
		}
		if len(m.quality.Cranks) == 0 && f.Len() == 0 {
			f.Add("pedal_left", "", "samples of a pedal, or of a foot, around its circle, or a phase", contact.ErrMissing)
		}
	}
	if f.Len() > 0 || w.Stopped() || angles[0] == nil {
		return
	}
	known := work.Make[float64](w, len(m.times)) // 0 to 360, by whichever pedal was seen
	for i := range known {
		if !w.Do(1) {
			return
		}
		known[i] = math.NaN()
		for _, a := range angles {
			if a != nil && !math.IsNaN(a[i]) {
				known[i] = a[i]
				break
			}
		}
	}
	m.unwrap(w, f, known)
}

// circles fits the circles of the pedals, or else of what follows them.
func (m *Motion) circles(w *work.Meter, f *fault.List) {
	for _, left := range followers {
		for _, side := range []contact.Side{contact.Left, contact.Right} {
			k := left.On(side)
			if m.tracks[k] == nil {
				continue
			}
			c, ok := m.circle(w, k)
			if !ok || w.Stopped() {
				continue
			}
			m.quality.Cranks = append(m.quality.Cranks, Crank{Side: side, Marker: k, Circle: c})
			m.likely(f, k, c)
		}
		if len(m.quality.Cranks) > 0 {
			if left != PedalLeft {
				m.found(Finding{Kind: FootPhase, Markers: []Marker{m.quality.Cranks[0].Marker}, To: len(m.times) - 1})
			}
			return
		}
	}
}

// likely reports a circle that no crank has.
func (m *Motion) likely(f *fault.List, k Marker, c Circle) {
	switch {
	case !(c.Radius >= crankMin && c.Radius <= crankMax):
		want, class := num.Span(crankMin, crankMax, "mm"), contact.ErrRange
		if unit := num.Mistaken(c.Radius, usualCrankMin, usualCrankMax); unit != "" {
			want, class = want+"; it looks like "+unit, contact.ErrUnit
		}
		f.Add(k.String(), "a circle of radius "+num.Text(c.Radius, "mm"), want, class)
	case k < ToeLeft && !(math.Hypot(c.Centre.X, c.Centre.Z) <= offCentre*c.Radius):
		f.Add(k.String(), "a circle around x "+num.Text(c.Centre.X, "mm")+", z "+num.Text(c.Centre.Z, "mm"), "one around the origin; is it at the bottom bracket?", contact.ErrConflict)
	}
}

// cranked says what the circles of the pedals tell of the bike.
func (m *Motion) cranked(stated float64) {
	all := m.quality.Cranks
	for i, c := range all {
		if c.Marker >= ToeLeft {
			return
		}
		add := func(k Kind, by float64) {
			m.found(Finding{Kind: k, Markers: []Marker{c.Marker}, To: len(m.times) - 1, By: by})
		}
		// Means of some hundred samples are good to well below a millimetre.
		if by := math.Hypot(c.Centre.X, c.Centre.Z); by > 5 {
			add(CrankCentre, by)
		}
		if stated > 0 && math.Abs(c.Radius-stated) > 3 {
			add(CrankLength, c.Radius-stated)
		} else if stated == 0 && i > 0 && math.Abs(c.Radius-all[0].Radius) > 3 {
			add(CrankLength, c.Radius-all[0].Radius)
		}
		if tilt := num.Atan2(math.Hypot(c.Normal.X, c.Normal.Z), c.Normal.Y); !m.flat && tilt > 2 {
			add(CrankPlane, tilt)
		}
	}
}

// circle fits a marker's circle, and tells whether it was seen on all sides. Samples of a
// pedal that stands still count once, and what is far off not at all.
func (m *Motion) circle(w *work.Meter, k Marker) (c Circle, whole bool) {
	var points []r3.Vec
	last := r3.Vec{X: math.Inf(1)}
	every := max(1, len(m.times)/mostFrames)
	for i := 0; i < len(m.tracks[k]); i += every {
		p := m.tracks[k][i]
		if !w.Do(1) {
			return c, false
		}
		if !math.IsNaN(p.X) && !(r3.Norm(r3.Sub(p, last)) < 1e-3) {
			points, last = append(points, p), p
		}
	}
	if len(points) < 8 {
		return c, false
	}
	c, ok := fitCircle(points, Geometric)
	var offs []float64
	distance := func(p r3.Vec) float64 {
		d := r3.Sub(p, c.Centre)
		up := r3.Dot(d, c.Normal)
		return math.Hypot(up, math.Sqrt(max(0, r3.Norm2(d)-up*up))-c.Radius)
	}
	for range 3 { // without what is far off
		if !ok {
			return c, false
		}
		offs = offs[:0]
		for _, p := range points {
			offs = append(offs, distance(p))
		}
		limit := max(5, 4*median(w, offs))
		kept := points[:0:0]
		for _, p := range points {
			if distance(p) <= limit {
				kept = append(kept, p)
			}
		}
		if len(kept) < 8 || w.Stopped() {
			return c, false
		}
		if len(kept) == len(points) {
			break
		}
		points = kept
		c, ok = fitCircle(points, Geometric)
	}
	var octants [8]bool
	for _, p := range points {
		octants[int(num.Turn(num.Atan2(p.X-c.Centre.X, p.Z-c.Centre.Z))/45)&7] = true
	}
	n := 0
	for _, seen := range octants {
		if seen {
			n++
		}
	}
	return c, ok && n >= 4
}

// around returns the angle of the left crank in each frame by the marker of a circle, 0 to
// below 360; NaN where it was not seen.
func (m *Motion) around(w *work.Meter, c Crank) []float64 {
	all := work.Make[float64](w, len(m.times))
	half := 0.0
	if c.Side == contact.Right {
		half = 180
	}
	for i := range all {
		if !w.Do(1) {
			return nil
		}
		p := m.tracks[c.Marker][i]
		all[i] = num.Turn(num.Atan2(p.X-c.Centre.X, p.Z-c.Centre.Z) + half)
	}
	return all
}

// unwrap makes m.crank of angles between 0 and 360, and reports cadences at which no rider
// pedals and frames that are too seldom to tell.
func (m *Motion) unwrap(w *work.Meter, f *fault.List, known []float64) {
	var speeds, apart, steps []float64
	before, every := -1, max(1, len(known)/1000)
	for i, a := range known {
		if !w.Do(2) {
			return
		}
		if math.IsNaN(a) {
			continue
		}
		if before >= 0 && i%every == 0 {
			dt, turned := m.times[i]-m.times[before], wrap(a-known[before])
			speeds, apart, steps = append(speeds, turned/dt), append(apart, dt), append(steps, math.Abs(turned))
		}
		before = i
	}
	speed := 0.0
	if len(speeds) > 0 {
		speed = median(w, speeds)
	}
	m.cadence(w, f, speed, apart, steps)
	if f.Len() > 0 || w.Stopped() {
		return
	}
	before = -1
	for i, a := range known {
		m.crank[i] = math.NaN()
		if !w.Do(2) || math.IsNaN(a) {
			continue
		}
		if before < 0 {
			m.crank[i], before = a, i
			continue
		}
		expect := speed * (m.times[i] - m.times[before])
		m.crank[i] = m.crank[before] + expect + wrap(a-m.crank[before]-expect)
		if expect <= maxStep {
			rate := (m.crank[i] - m.crank[before]) / (m.times[i] - m.times[before])
			for k := before + 1; k < i; k++ {
				m.crank[k] = m.crank[before] + rate*(m.times[k]-m.times[before])
			}
		}
		before = i
	}
}

// cadence reports a speed of the crank that no rider has, in degrees per second.
func (m *Motion) cadence(w *work.Meter, f *fault.List, speed float64, apart, steps []float64) {
	path := "phase_deg"
	if len(m.quality.Cranks) > 0 {
		path = m.quality.Cranks[0].Marker.String()
	}
	c := speed / 6
	if speed < -10 { // not just standing still
		f.Add(path, num.Text(speed, "degrees per second"), "a crank that turns forward; is an axis mirrored?", contact.ErrConflict)
		return
	}
	if c != 0 && !(c >= cadenceMin && c <= cadenceMax) {
		want, class := num.Span(cadenceMin, cadenceMax, "per minute"), contact.ErrRange
		if in := c * 1000; in >= cadenceMin && in <= cadenceMax {
			want, class = want+"; the times look like milliseconds", contact.ErrUnit
		}
		f.Add("times", num.Text(c, "revolutions per minute"), want, class)
		return
	}
	if v := median(w, apart); !(v <= seldom) {
		f.Add("times", "samples of the pedal "+num.Text(v, "s")+" apart", "at most "+num.Text(seldom, "s")+", or fast pedalling looks slow", contact.ErrRange)
	} else if v := median(w, steps); !(v <= coarse) {
		f.Add("times", "samples of the pedal "+num.Text(v, "degrees")+" of crank apart", "at most "+num.Text(coarse, "degrees"), contact.ErrRange)
	}
}

// count finds the revolutions, and says what of the recording is none.
func (m *Motion) count(w *work.Meter) {
	var r Revolution
	begun, sound, back := false, true, -1
	most, next := math.Inf(-1), math.Inf(1) // the furthest so far, and where a revolution ends
	first := math.NaN()
	for i, a := range m.crank {
		if !w.Do(1) {
			return
		}
		if math.IsNaN(a) {
			sound = false
			continue
		}
		if math.IsNaN(first) {
			first, next = a, 360*math.Ceil(a/360-1e-9)
		}
		switch {
		case most-a <= maxBack:
			back = -1
		case back < 0:
			back = len(m.quality.Findings)
			m.found(Finding{Kind: Backward, From: i})
			fallthrough
		default:
			f := &m.quality.Findings[back]
			f.To, f.By, sound = i, max(f.By, most-a), false
		}
		for a >= next-1e-6 { // a revolution that ends at a frame is complete, despite rounding
			t := m.times[i]
			if i > 0 && m.crank[i-1] < next {
				t = min(t, m.times[i-1]+(next-m.crank[i-1])/(a-m.crank[i-1])*(t-m.times[i-1]))
			}
			r.End, r.Last = t, i-1
			if begun {
				if sound && r.Last > r.First && r.End-r.Start <= 60./cadenceMin {
					m.revolutions = append(m.revolutions, r)
				} else {
					m.quality.Lost++
				}
			}
			r, begun, sound = Revolution{Start: t, First: i}, true, i == 0 || !math.IsNaN(m.crank[i-1])
			next += 360
		}
		most = max(most, a)
	}
	m.quality.Revolutions = len(m.revolutions)
	if begun && most > next-360+1e-6 || !begun && most > first {
		m.quality.Partial++
	}
	if begun && first < 360*math.Ceil(first/360-1e-9)-1e-6 {
		m.quality.Partial++
	}
}

// wrap returns a difference of angles in the range -180 to 180.
func wrap(deg float64) float64 { return math.Remainder(deg, 360) }

// median returns the middle one of some numbers, of an even number the upper one, and
// changes their order.
func median(w *work.Meter, v []float64) float64 {
	if len(v) == 0 || !w.Do(2*len(v)) { // stopped
		return 0
	}
	middle := len(v) / 2
	for lo, hi := 0, len(v)-1; lo < hi; { // Hoare's selection
		pivot := max(min(v[lo], v[hi]), min(max(v[lo], v[hi]), v[(lo+hi)/2]))
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		switch {
		case middle <= j:
			hi = j
		case middle >= i:
			lo = i
		default:
			return v[middle]
		}
	}
	return v[middle]
}
