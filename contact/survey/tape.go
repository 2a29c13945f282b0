package survey

import (
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// Places that tape readings start from or end at, besides contact sites.
const (
	// BottomBracket is the centre of the bottom bracket.
	BottomBracket Landmark = "bottom_bracket"
	// Ground is the level ground that the bike stands on. Only [Vertical] readings go to it.
	Ground Landmark = "ground"
)

// A TapeKind is a way to hold tape, plumb line or level. The zero TapeKind is none:
// one must be chosen.
type TapeKind uint8

// The ways.
const (
	// Direct is the shortest way in space, mm.
	Direct TapeKind = iota + 1
	// Horizontal is the level distance along the bike, as between two plumb lines:
	// positive if the end lies in front of the start, mm.
	Horizontal
	// Vertical is the difference in height: positive if the end is the higher, mm.
	Vertical
	// Lateral is the distance across the bike: positive if the end lies to the
	// left of the start, mm.
	Lateral
	// Tilt is the slope of the saddle, from its rear edge to its nose: positive
	// nose-up, degrees. It has no start and no end.
	Tilt
)

var tapeKindNames = enum.New[TapeKind]("kind", []string{Direct: "direct", Horizontal: "horizontal", Vertical: "vertical", Lateral: "lateral", Tilt: "tilt"})

// String returns the kind's name, such as "direct".
func (k TapeKind) String() string { return tapeKindNames.String(k) }

// MarshalText writes the kind's name; it fails for a number that is none.
func (k TapeKind) MarshalText() ([]byte, error) { return tapeKindNames.Text(k) }

// UnmarshalText reads a name as [ParseTapeKind] does.
func (k *TapeKind) UnmarshalText(text []byte) error { return tapeKindNames.Read(k, text) }

// ParseTapeKind returns the kind of that name, or a [*contact.Error] of class [contact.ErrUnknown].
func ParseTapeKind(name string) (TapeKind, error) { return tapeKindNames.Parse(name) }

func (k TapeKind) unit() string {
	if k == Tilt {
		return "degrees"
	}
	return "mm"
}

// A TapeReading is one distance, offset or slope.
type TapeReading struct {
	Kind TapeKind
	// From and To are [BottomBracket], [Ground], or a contact site ([At]). A
	// pedal is measured to with its crank level and pointing forward.
	From, To Landmark
	// Value is in mm or degrees and signed as the kind says.
	Value float64
	// Sigma is its standard uncertainty, above 0 and at most 100 mm or 10 degrees.
	Sigma float64
}

// A TapeSurvey is what tape, rule, plumb line and level gave on one bike.
type TapeSurvey struct {
	Readings []TapeReading `json:"readings"`
	// NoseUp is the slope of the ground under the bike in degrees, positive when
	// the front stands higher, and NoseUpSigma its standard
	// uncertainty. Plumb lines and levels follow gravity, and are
	// corrected by it; tyres of unlike size count for nothing here.
	NoseUp      float64 `json:"nose_up_deg,omitzero" range:"-10 to 10"`
	NoseUpSigma float64 `json:"nose_up_sigma_deg,omitzero" range:"0 to 5"`
}

// What a tape survey supposes where it has no reading across the bike, as
// standard uncertainties. Common practice, no source.
const (
	centredSaddle = 2 // saddle and clamp on the mid-plane, mm
	centredPair   = 3 // midway between left and right on the mid-plane, mm
)

// Validate reports numbers out of the ranges stated at the fields, kinds and
// places that do not exist, and readings that go from a place to itself.
func (t TapeSurvey) Validate() error {
	var f fault.List
	tapeFields.Check(&f, &t)
	if len(t.Readings) == 0 {
		f.Add("readings", "", "at least one", contact.ErrMissing)
	}
	for i, r := range t.Readings {
		r.check(&f, fault.At("readings", i))
	}
	return f.Err()
}

var tapeFields = field.New[TapeSurvey]()

func (r *TapeReading) check(f *fault.List, path string) {
	if err := tapeKindNames.Check("kind", r.Kind); err != nil {
		f.In(path, err)
		return
	}
	if r.Kind == Tilt {
		f.Range(path+".value_deg", r.Value, -45, 45, "degrees")
		f.Range(path+".sigma_deg", r.Sigma, math.SmallestNonzeroFloat64, 10, "degrees")
		if r.From != "" || r.To != "" {
			f.Add(path, string(r.From)+" to "+string(r.To), "no start and no end for a tilt, which is the saddle's", contact.ErrConflict)
		}
		return
	}
	lo := -2000.0
	if r.Kind == Direct {
		lo = 0
	}
	f.Range(path+".value_mm", r.Value, lo, 2000, "mm")
	f.Range(path+".sigma_mm", r.Sigma, math.SmallestNonzeroFloat64, 100, "mm")
	for _, end := range []struct {
		name string
		l    Landmark
	}{{"from", r.From}, {"to", r.To}} {
		_, ok := tapeSite(end.l)
		if ok || end.l == BottomBracket || end.l == Ground && r.Kind == Vertical {
			continue
		}
		class, value := contact.ErrUnknown, short(end.l)
		if end.l == "" {
			class, value = contact.ErrMissing, ""
		}
		f.Add(path+"."+end.name, value, "bottom_bracket, a contact site, or the ground for a vertical reading", class)
	}
	if r.From == r.To {
		f.Add(path, string(r.From)+" to itself", "two places", contact.ErrConflict)
	}
}

func tapeSite(l Landmark) (contact.Site, bool) {
	s, err := contact.ParseSite(string(l))
	return s, err == nil && s.Group() != contact.OnFeet
}

// Solve finds the sites that the readings name, by weighted least squares, with
// the covariance of all of them. Readings may be more than needed, and in any mix.
//
// Where no [Lateral] readings lead from the bottom bracket to a site, saddle and clamp are
// taken to be on the mid-plane to 2 mm, and left and right to be as far from it to
// 3 mm (common practice, no source). Of two points that satisfy the same distances, the
// one nearer to where that site usually is comes out.
//
// The Fix has no datum that [Fix.Locate] could use, and its Steer is 0. Besides
// the faults of [TapeSurvey.Validate] it reports [contact.ErrMissing] for
// coordinates that the readings leave
// free; [contact.ErrConflict] for readings that contradict one another, naming
// those that are most likely wrong and by how much; and whatever
// contact.Position.Validate finds in the result.
func (t TapeSurvey) Solve() (Fix, error) {
	if err := t.Validate(); err != nil {
		return Fix{}, err
	}
	p := newTapeProblem(&t)
	fit := lsq.Solve(p.start, p.rows, p.model)
	var f fault.List
	if fit.Free != nil {
		seen := map[int]bool{}
		for _, free := range fit.Free {
			k := 0
			for j, v := range free {
				if math.Abs(v) > math.Abs(free[k])*(1+1e-6) { // of equals the first, on every processor
					k = j
				}
			}
			if !seen[k] {
				f.Add("readings."+p.names[k], "", "one more reading that tells it", contact.ErrMissing)
			}
			seen[k] = true
		}
		return Fix{}, f.Err()
	}
	freedom := float64(p.rows - len(p.start))
	if !fit.Converged || freedom > 0 && (distuv.ChiSquared{K: freedom}).Survival(fit.Chi2) < scatters {
		most := 0.0
		for i := range t.Readings {
			most = max(most, math.Abs(fit.Studentized(i)))
		}
		for i, r := range t.Readings {
			// Where two readings check one another alone, nothing tells which is wrong: name both.
			if s := fit.Studentized(i); math.Abs(s) >= 0.98*most {
				f.Add(fmt.Sprintf("readings[%d]", i), num.Text(r.Value, r.Kind.unit()),
					"what the others say, from which it is off by "+num.Text(-s*s/fit.R[i]*r.Sigma, r.Kind.unit()), contact.ErrConflict)
			}
		}
		return Fix{}, f.Err()
	}
	fix, err := p.fix(&fit)
	if err != nil {
		return Fix{}, err
	}
	f.In("readings", fix.Position.Validate())
	if err := f.Err(); err != nil {
		return Fix{}, err
	}
	return fix, nil
}

// A tapeProblem is the readings as equations in the sites' coordinates.
type tapeProblem struct {
	t     *TapeSurvey
	sites []contact.Site
	place map[contact.Site]int // of a site's first coordinate in x
	start []float64
	names []string
	rows  int

	noseUp, ground, tilt int // places in x; -1: none
	lateral              []lateral
}

// A lateral says that a place across the bike is on the mid-plane.
type lateral struct {
	a, b  int // coordinates of which half the sum is 0; b is -1 for a alone
	sigma float64
}

func newTapeProblem(t *TapeSurvey) *tapeProblem {
	p := &tapeProblem{t: t, place: map[contact.Site]int{}, noseUp: -1, ground: -1, tilt: -1}
	add := func(v float64, name string) int {
		p.start, p.names = append(p.start, v), append(p.names, name)
		return len(p.start) - 1
	}
	slope := false
	for _, r := range t.Readings {
		slope = slope || r.Kind == Tilt
		for _, l := range [2]Landmark{r.From, r.To} {
			if s, ok := tapeSite(l); ok && !slices.Contains(p.sites, s) {
				p.sites = append(p.sites, s)
			}
			if l == Ground && p.ground < 0 {
				p.ground = add(-270, "ground")
			}
		}
	}
	slices.Sort(p.sites)
	for _, s := range p.sites {
		// Of two points that satisfy the same distances, the one nearer to here is found.
		v := s.Usual()
		p.place[s] = add(v.X, s.String()+".x")
		add(v.Y, s.String()+".y")
		if !s.Group().Crank() {
			add(v.Z, s.String()+".z") // a pedal's is 0 by definition
		}
	}
	told := t.told()
	for _, s := range p.sites {
		y := p.place[s] + 1
		right := s.On(contact.Right)
		switch other, ok := p.place[right]; {
		case s.Side() == contact.Centre && !told[At(s)]:
			p.lateral = append(p.lateral, lateral{y, -1, centredSaddle})
		case s.Side() == contact.Left && ok && !(told[At(s)] && told[At(right)]):
			p.lateral = append(p.lateral, lateral{y, other + 1, centredPair})
		}
	}
	_, nose := p.place[contact.SaddleNose]
	_, rear := p.place[contact.SaddleRear]
	if slope && !(nose && rear) {
		p.tilt = add(0, "saddle tilt")
	}
	if t.NoseUpSigma > 0 {
		p.noseUp = add(t.NoseUp, "nose_up")
	}
	p.rows = len(t.Readings) + len(p.lateral)
	if p.noseUp >= 0 {
		p.rows++
	}
	return p
}

// told lists the places of which readings across the bike say, from the bottom
// bracket on, where they lie.
func (t *TapeSurvey) told() map[Landmark]bool {
	told := map[Landmark]bool{BottomBracket: true}
	for before := 0; before < len(told); {
		before = len(told)
		for _, r := range t.Readings {
			if r.Kind == Lateral && (told[r.From] || told[r.To]) {
				told[r.From], told[r.To] = true, true
			}
		}
	}
	return told
}

// at returns a place in the axes of package contact.
func (p *tapeProblem) at(x []float64, l Landmark) r3.Vec {
	s, ok := tapeSite(l)
	if !ok {
		return r3.Vec{}
	}
	i := p.place[s]
	v := r3.Vec{X: x[i], Y: x[i+1]}
	if !s.Group().Crank() {
		v.Z = x[i+2]
	}
	return v
}

func (p *tapeProblem) model(x, r, jac []float64) {
	n := len(x)
	slope := p.t.NoseUp
	if p.noseUp >= 0 {
		slope = x[p.noseUp]
	}
	sin, cos := num.Sincos(slope)
	for i, k := range p.t.Readings {
		row := jac[i*n : (i+1)*n]
		by := func(l Landmark, v r3.Vec) {
			if s, ok := tapeSite(l); ok {
				j := p.place[s]
				row[j] += v.X / k.Sigma
				row[j+1] += v.Y / k.Sigma
				if !s.Group().Crank() {
					row[j+2] += v.Z / k.Sigma
				}
			}
		}
		a, b := p.at(x, k.From), p.at(x, k.To)
		d := r3.Sub(b, a)
		var e r3.Vec // how the reading changes with the end; with the start it changes the other way
		var value, bySlope float64
		switch k.Kind {
		case Direct:
			value = r3.Norm(d)
			if value > 0 {
				e = r3.Scale(1/value, d)
			}
		case Horizontal:
			e = r3.Vec{X: cos, Z: -sin}
			value, bySlope = r3.Dot(e, d), -sin*d.X-cos*d.Z
		case Vertical:
			e = r3.Vec{X: sin, Z: cos}
			value, bySlope = r3.Dot(e, d), cos*d.X-sin*d.Z
			for _, end := range [2]struct {
				l    Landmark
				sign float64
			}{{k.To, 1}, {k.From, -1}} {
				if end.l == Ground {
					value += end.sign * x[p.ground]
					row[p.ground] += end.sign / k.Sigma
				}
			}
		case Lateral:
			e = r3.Vec{Y: 1}
			value = d.Y
		case Tilt:
			value, bySlope = slope, 1/num.Rad
			if p.tilt >= 0 {
				value += x[p.tilt]
				row[p.tilt] = 1 / k.Sigma
				break
			}
			nose, rear := At(contact.SaddleNose), At(contact.SaddleRear)
			line := r3.Sub(p.at(x, nose), p.at(x, rear))
			square := (line.X*line.X + line.Z*line.Z) * num.Rad
			value += num.Atan2(line.Z, line.X)
			v := r3.Vec{X: -line.Z / square, Z: line.X / square}
			by(nose, v)
			by(rear, r3.Scale(-1, v))
		}
		by(k.To, e)
		by(k.From, r3.Scale(-1, e))
		if p.noseUp >= 0 {
			row[p.noseUp] += bySlope * num.Rad / k.Sigma
		}
		r[i] = (value - k.Value) / k.Sigma
	}
	i := len(p.t.Readings)
	for _, l := range p.lateral {
		half := 1.0
		if l.b >= 0 {
			half = 0.5
			r[i] += half * x[l.b] / l.sigma
			jac[i*n+l.b] = half / l.sigma
		}
		r[i] += half * x[l.a] / l.sigma
		jac[i*n+l.a] = half / l.sigma
		i++
	}
	if p.noseUp >= 0 {
		r[i] = (x[p.noseUp] - p.t.NoseUp) / p.t.NoseUpSigma
		jac[i*n+p.noseUp] = 1 / p.t.NoseUpSigma
	}
}

// fix gathers the result.
func (p *tapeProblem) fix(fit *lsq.Fit) (Fix, error) {
	var fix Fix
	var coords []contact.Coordinate
	var slopes [][]float64 // of each coordinate by x
	type term struct {
		at int
		by float64
	}
	slope := func(terms ...term) []float64 {
		v := make([]float64, len(fit.X))
		for _, k := range terms {
			v[k.at] = k.by
		}
		return v
	}
	add := func(s contact.Site, a contact.Axis, by []float64) {
		coords, slopes = append(coords, contact.Coordinate{Site: s, Axis: a}), append(slopes, by)
	}
	for _, s := range p.sites {
		i := p.place[s]
		fix.Position.Set(s, p.at(fit.X, At(s)))
		add(s, contact.AxisX, slope(term{i, 1}))
		add(s, contact.AxisY, slope(term{i + 1, 1}))
		if !s.Group().Crank() {
			add(s, contact.AxisZ, slope(term{i + 2, 1}))
		} else {
			add(s, contact.AxisZ, slope())
		}
	}
	n, ok1 := p.place[contact.SaddleNose]
	r, ok2 := p.place[contact.SaddleRear]
	switch {
	case ok1 && ok2:
		x, y, z := fit.X[n]-fit.X[r], fit.X[n+1]-fit.X[r+1], fit.X[n+2]-fit.X[r+2]
		fix.Position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: num.Atan2(z, x), Yaw: num.Atan2(y, x)})
		for _, k := range []struct {
			axis contact.Axis
			v    float64
			at   int
		}{{contact.AxisTilt, z, 2}, {contact.AxisYaw, y, 1}} {
			square := (x*x + k.v*k.v) * num.Rad
			add(contact.SaddleReference, k.axis, slope(
				term{n, -k.v / square}, term{r, k.v / square}, term{n + k.at, x / square}, term{r + k.at, -x / square},
			))
		}
	case p.tilt >= 0:
		fix.Position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: fit.X[p.tilt]})
		add(contact.SaddleReference, contact.AxisTilt, slope(term{p.tilt, 1}))
	}
	var err error
	fix.Covariance, err = contact.NewCovariance(coords, func(i, j int) float64 { return fit.Covariance(slopes[i], slopes[j]) })
	return fix, err
}
