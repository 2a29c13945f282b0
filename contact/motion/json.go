package motion

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// What documents have for a recording: an empty list in each frame in which something was
// not seen.
type recordingDocument struct {
	Times   []float64           `json:"times" range:"-1e10 to 1e10" unit:"s"`
	Markers map[Marker][]Sample `json:"markers"`
	Phase   []phase             `json:"phase_deg,omitempty"`
	Crank   float64             `json:"crank_mm,omitzero" range:"50 to 250" zero:"not known"`
	Flat    bool                `json:"flat,omitzero"`
}

// A phase is the crank angle in a frame, NaN where it is not known.
type phase float64

func (r Recording) document() recordingDocument {
	d := recordingDocument{Times: r.Times, Markers: r.Markers, Crank: r.Crank, Flat: r.Flat}
	for _, p := range r.Phase {
		d.Phase = append(d.Phase, phase(p))
	}
	return d
}

func newRecording(d recordingDocument) (Recording, error) {
	r := Recording{Times: d.Times, Markers: d.Markers, Crank: d.Crank, Flat: d.Flat}
	for _, p := range d.Phase {
		r.Phase = append(r.Phase, float64(p))
	}
	return r, nil
}

// mostRevolutions is how many a curve in a document has at most: two hours of pedalling.
const mostRevolutions = 10_000

// What documents have for a curve: what it is made of, and for readers in other languages
// what follows from that. A document that is read may leave the latter out; what is there must
// be true.
type curveDocument struct {
	Of   Measure      `json:"measure,omitzero"`
	Side contact.Side `json:"side"`
	View View         `json:"view"`
	Flat bool         `json:"flat,omitzero"`
	// Harmonics is how many harmonics of the revolution it has.
	Harmonics int `json:"harmonics" range:"1 to 12"`
	// Frames is how many frames the revolutions have.
	Frames int `json:"frames" range:"0 to 1e9"`
	// Revolutions is those that it stands on. The others lack a marker for longer than may be
	// filled.
	Revolutions []curveRevolution `json:"revolutions"`
	// Features is the statistics of numbers of the curve. What is here must be so.
	Features map[Feature]Stat `json:"features,omitempty"`
	// CrankAngle is where the extremes are. What is here must be so.
	CrankAngle *extremesDocument `json:"crank_angle,omitzero"`
	PerMinute  *float64          `json:"per_minute,omitzero"`
}

// A curveRevolution is a revolution that a curve stands on.
type curveRevolution struct {
	// Revolution is its place in the list of all revolutions.
	Revolution int `json:"revolution" range:"0 to 1e9"`
	// Minute is when it was.
	Minute float64 `json:"minute" range:"-1e9 to 1e9" unit:"min"`
	// Coefficients is its own curve: the mean, then cosine and sine of the crank angle, of
	// twice the crank angle, and so on, one of each harmonic. The curve is the mean of these
	// of all revolutions.
	Coefficients []float64 `json:"coefficients" range:"-1e9 to 1e9"`
}

// An extremesDocument is where the mean curve has its extremes.
type extremesDocument struct {
	// Least and Most are from the top dead centre of the side.
	Least float64 `json:"least_deg" range:"0 to 360"`
	Most  float64 `json:"most_deg" range:"0 to 360"`
}

var (
	curveFields      = field.New[curveDocument]()
	revolutionFields = field.New[curveRevolution]()
	extremesFields   = field.New[extremesDocument]()
)

func (c Curve) document() curveDocument {
	d := curveDocument{Of: c.Of, Side: c.Side, View: c.View, Flat: c.Flat, Harmonics: c.Harmonics, Frames: c.Frames}
	for i, one := range c.each {
		d.Revolutions = append(d.Revolutions, curveRevolution{c.Used[i], c.minutes[i], one})
	}
	if len(c.each) == 0 {
		return d
	}
	d.Features = map[Feature]Stat{}
	for _, f := range featureNames.All() {
		d.Features[f], _ = c.Feature(f)
	}
	drift := c.PerMinute()
	d.CrankAngle, d.PerMinute = &extremesDocument{c.Least().CrankAngle, c.Most().CrankAngle}, &drift
	return d
}

func newCurve(d curveDocument) (Curve, error) {
	var f fault.List
	curveFields.Check(&f, &d)
	c := Curve{Of: d.Of, Side: d.Side, View: d.View, Flat: d.Flat, Harmonics: d.Harmonics, Frames: d.Frames}
	switch n := len(d.Revolutions); {
	case n == 0:
		f.Add("revolutions", "", "at least one", contact.ErrMissing)
	case n > mostRevolutions:
		f.Range("revolutions", float64(n), 1, mostRevolutions, "")
	}
	if d.CrankAngle != nil {
		f.In("crank_angle", extremesFields.Validate(d.CrankAngle))
	}
	if f.Len() > 0 {
		return c, f.Err()
	}
	n := 2*c.Harmonics + 1
	for i := range d.Revolutions {
		r := &d.Revolutions[i]
		at := fault.At("revolutions", i)
		f.In(at, revolutionFields.Validate(r))
		if len(r.Coefficients) != n {
			f.Add(at+".coefficients", num.Text(float64(len(r.Coefficients)), ""), num.Text(float64(n), "numbers")+": one, and two of each harmonic", contact.ErrConflict)
		}
		c.Used, c.minutes, c.each = append(c.Used, r.Revolution), append(c.minutes, r.Minute), append(c.each, r.Coefficients)
	}
	if f.Len() > 0 {
		c.Used, c.minutes, c.each = nil, nil, nil // which methods take to be sound
		return c, f.Err()
	}
	c.follows(&f, &d)
	return c, f.Err()
}

// follows reports what a document states of a curve and what does not follow from it.
func (c *Curve) follows(f *fault.List, d *curveDocument) {
	must := func(ok bool, member string) {
		if !ok {
			f.Add(member, "another", "what follows from the revolutions", contact.ErrConflict)
		}
	}
	angles := d.CrankAngle
	if angles == nil {
		angles = &extremesDocument{c.Least().CrankAngle, c.Most().CrankAngle}
	}
	must(c.extremeAt(-1, angles.Least) && c.extremeAt(1, angles.Most), "crank_angle")
	if f.Len() > 0 {
		return
	}
	least, most := c.corrected(-1, angles.Least), c.corrected(1, angles.Most)
	for _, k := range featureNames.All() {
		stated, ok := d.Features[k]
		if !ok {
			continue
		}
		var is Stat
		switch k {
		case LeastOf:
			is = least.Stat
		case MostOf:
			is = most.Stat
		case RangeOf:
			is = c.between(least, most)
		default:
			is, _ = c.Feature(k)
		}
		must(stated.near(is), "features."+k.String())
	}
	must(d.PerMinute == nil || near(*d.PerMinute, c.PerMinute()), "per_minute")
}

// extremeAt reports whether the mean curve has an extreme at a crank angle, be it one of
// several.
func (c *Curve) extremeAt(sign, deg float64) bool {
	mean := c.mean()
	return sign*mean.at(deg) >= sign*mean.at(c.furthest(sign))-1e-6
}

func (s Stat) near(t Stat) bool {
	return near(s.Mean, t.Mean) && near(s.Spread, t.Spread) && near(s.Sigma, t.Sigma) && s.Count == t.Count && s.Frames == t.Frames
}

// near allows for differences in the last digits between processors.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-6*max(1, math.Abs(b)) }

func init() {
	strict.Register(
		func(s Sample) []float64 {
			if !s.Seen {
				return nil
			}
			return []float64{s.At.X, s.At.Y, s.At.Z}
		},
		func(at []float64) (s Sample, err error) {
			switch len(at) {
			case 0:
			case 3:
				s = Sample{At: r3.Vec{X: at[0], Y: at[1], Z: at[2]}, Seen: true}
			default:
				err = fault.New("", num.Text(float64(len(at)), "numbers"), "three, or none where it was not seen", contact.ErrConflict)
			}
			return s, err
		},
	)
	strict.Register(
		func(p phase) []float64 {
			if math.IsNaN(float64(p)) {
				return nil
			}
			return []float64{float64(p)}
		},
		func(at []float64) (phase, error) {
			switch len(at) {
			case 0:
				return phase(math.NaN()), nil
			case 1:
				return phase(at[0]), nil
			}
			return 0, fault.New("", num.Text(float64(len(at)), "numbers"), "one, or none where it is not known", contact.ErrConflict)
		},
	)
	strict.Register(Recording.document, newRecording)
	strict.Register(Curve.document, newCurve)
	work.Validator(func(m *work.Meter, r Recording) error { return r.validate(m) })
}

// MarshalJSON writes the recording as documents of package fitgeom/exchange have it.
func (r Recording) MarshalJSON() ([]byte, error) { return strict.JSON(r) }

// UnmarshalJSON reads what MarshalJSON writes.
func (r *Recording) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, r) }

// MarshalJSON writes the curve as documents of package fitgeom/exchange have it, with its
// features. The zero Curve has no document.
func (c Curve) MarshalJSON() ([]byte, error) { return strict.JSON(c) }

// UnmarshalJSON reads what MarshalJSON writes.
func (c *Curve) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, c) }

// MarshalJSON writes the path as documents of package fitgeom/exchange have it.
func (p Path) MarshalJSON() ([]byte, error) { return strict.JSON(p) }

// UnmarshalJSON reads what MarshalJSON writes.
func (p *Path) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, p) }

// MarshalJSON fails: a [Motion] has no document. Its [Report] has.
func (m Motion) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Motion") }

// UnmarshalJSON fails, as MarshalJSON does.
func (m *Motion) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Motion") }

// MarshalJSON fails: a [Live] has no document. It is a memory of frames.
func (l Live) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Live") }

// UnmarshalJSON fails, as MarshalJSON does.
func (l *Live) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Live") }
