package survey

import (
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// A tapeProblem holds the readings as equations in the coordinates of the sites.
type tapeProblem struct {
	t     *TapeSurvey
	sites []contact.Site
	place map[contact.Site]int // index in x of a site's first coordinate
	start []float64
	names []string
	rows  int

	noseUp, ground, tilt int // indexes in x; -1: none
	lateral              []lateral
}

// A lateral is the assumption that a site, or the midpoint of two, lies on the mid-plane.
type lateral struct {
	a, b  int // indexes of the Y coordinates whose mean is 0; b is -1 for a alone
	sigma float64
}

func newTapeProblem(t *TapeSurvey) *tapeProblem {
	p := &tapeProblem{t: t, place: map[contact.Site]int{}, noseUp: -1, ground: -1, tilt: -1}
	slope := false
	for _, r := range t.Readings {
		slope = slope || r.Kind == Tilt
		for _, l := range [2]Landmark{r.From, r.To} {
			if s, ok := tapeSite(l); ok && !slices.Contains(p.sites, s) {
				p.sites = append(p.sites, s)
			}
			if l == Ground && p.ground < 0 {
				p.ground = p.unknown(-270, "ground")
			}
		}
	}
	slices.Sort(p.sites)
	for _, s := range p.sites {
		// If two points satisfy the same distances, the one closer to here is found.
		v := s.Usual()
		p.place[s] = p.unknown(v.X, s.String()+".x")
		p.unknown(v.Y, s.String()+".y")
		if !s.Group().Crank() {
			p.unknown(v.Z, s.String()+".z") // a pedal's Z is 0 by definition
		}
	}
	p.centre()
	_, nose := p.place[contact.SaddleNose]
	_, rear := p.place[contact.SaddleRear]
	if slope && !(nose && rear) {
		p.tilt = p.unknown(0, "saddle tilt")
	}
	if t.NoseUpSigma >= sigmaLeast { // less makes no difference
		p.noseUp = p.unknown(t.NoseUp, "nose_up")
	}
	p.rows = len(t.Readings) + len(p.lateral)
	if p.noseUp >= 0 {
		p.rows++
	}
	return p
}

// unknown adds an unknown number with a starting value, and returns its index.
func (p *tapeProblem) unknown(start float64, name string) int {
	p.start, p.names = append(p.start, start), append(p.names, name)
	return len(p.start) - 1
}

// centre adds the assumptions for sites that the readings do not place across the bike.
func (p *tapeProblem) centre() {
	told := p.t.told()
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
}

// told returns the places whose lateral position follows from lateral readings, starting
// at the bottom bracket.
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

// model computes for every reading the difference between its value at x and the reading,
// and the derivatives by x, each divided by the reading's uncertainty. The assumptions
// follow after the readings.
func (p *tapeProblem) model(x, r, jac []float64) {
	n := len(x)
	slope := p.t.NoseUp
	if p.noseUp >= 0 {
		slope = x[p.noseUp]
	}
	m := tapeModel{p: p, x: x, slope: slope}
	m.sin, m.cos = num.Sincos(slope)
	for i := range p.t.Readings {
		k := &p.t.Readings[i]
		m.row, m.sigma = jac[i*n:(i+1)*n], k.Sigma
		r[i] = (m.reading(k) - k.Value) / k.Sigma
	}
	p.suppose(x, r, jac)
}

// suppose adds the assumptions about the mid-plane and the slope of the ground.
func (p *tapeProblem) suppose(x, r, jac []float64) {
	n := len(x)
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

// A tapeModel computes what the readings would be at x, one after another.
type tapeModel struct {
	p        *tapeProblem
	x        []float64
	slope    float64 // of the ground, degrees
	sin, cos float64

	row   []float64 // derivatives of the current reading by x, divided by its uncertainty
	sigma float64
}

// reading returns what a reading would be, and fills in its row.
func (m *tapeModel) reading(k *TapeReading) float64 {
	if k.Kind == Tilt {
		return m.tilt()
	}
	d := r3.Sub(m.p.at(m.x, k.To), m.p.at(m.x, k.From))
	var e r3.Vec // derivative by the end; that by the start is its opposite
	var value, bySlope float64
	switch k.Kind {
	case Direct:
		value = r3.Norm(d)
		if value > 0 {
			e = r3.Scale(1/value, d)
		}
	case Horizontal:
		e = r3.Vec{X: m.cos, Z: -m.sin}
		value, bySlope = r3.Dot(e, d), -m.sin*d.X-m.cos*d.Z
	case Vertical:
		e = r3.Vec{X: m.sin, Z: m.cos}
		value, bySlope = r3.Dot(e, d), m.cos*d.X-m.sin*d.Z
		value = m.ground(k.To, 1, value)
		value = m.ground(k.From, -1, value)
	case Lateral:
		e = r3.Vec{Y: 1}
		value = d.Y
	case Tilt: // has no ends
	}
	m.by(k.To, e)
	m.by(k.From, r3.Scale(-1, e))
	m.bySlope(bySlope)
	return value
}

// ground adds the height of the ground to a reading with the ground at one end.
func (m *tapeModel) ground(end Landmark, sign, value float64) float64 {
	if end != Ground {
		return value
	}
	m.row[m.p.ground] += sign / m.sigma
	return value + sign*m.x[m.p.ground]
}

// tilt returns the slope of the saddle from the horizontal, in degrees.
func (m *tapeModel) tilt() float64 {
	m.bySlope(1 / num.Rad)
	if m.p.tilt >= 0 {
		m.row[m.p.tilt] = 1 / m.sigma
		return m.slope + m.x[m.p.tilt]
	}
	nose, rear := At(contact.SaddleNose), At(contact.SaddleRear)
	line := r3.Sub(m.p.at(m.x, nose), m.p.at(m.x, rear))
	square := (line.X*line.X + line.Z*line.Z) * num.Rad
	v := r3.Vec{X: -line.Z / square, Z: line.X / square}
	m.by(nose, v)
	m.by(rear, r3.Scale(-1, v))
	return m.slope + num.Atan2(line.Z, line.X)
}

// by adds the derivative of the reading by a place.
func (m *tapeModel) by(l Landmark, v r3.Vec) {
	s, ok := tapeSite(l)
	if !ok {
		return
	}
	j := m.p.place[s]
	m.row[j] += v.X / m.sigma
	m.row[j+1] += v.Y / m.sigma
	if !s.Group().Crank() {
		m.row[j+2] += v.Z / m.sigma
	}
}

// bySlope adds the derivative of the reading by the slope of the ground, per radian.
func (m *tapeModel) bySlope(by float64) {
	if m.p.noseUp >= 0 {
		m.row[m.p.noseUp] += by * num.Rad / m.sigma
	}
}

// undetermined reports the coordinates that the readings do not determine.
func (p *tapeProblem) undetermined(fit *lsq.Fit) error {
	var f fault.List
	seen := map[int]bool{}
	for _, free := range fit.Free {
		k := 0
		for j, v := range free {
			if math.Abs(v) > math.Abs(free[k])*(1+1e-6) { // the first of equals, on every processor
				k = j
			}
		}
		if !seen[k] {
			f.Add("readings."+p.names[k], "", "one more reading that determines it", contact.ErrMissing)
		}
		seen[k] = true
	}
	return f.Err()
}

// contradiction reports the readings that are most likely wrong, if the readings do not
// agree.
func (p *tapeProblem) contradiction(fit *lsq.Fit) error {
	freedom := float64(p.rows - len(p.start))
	if fit.Converged && !(freedom > 0 && (distuv.ChiSquared{K: freedom}).Survival(fit.Chi2) < scatters) {
		return nil
	}
	var f fault.List
	most := 0.0
	for i := range p.t.Readings {
		most = max(most, math.Abs(fit.Studentized(i)))
	}
	for i, r := range p.t.Readings {
		// Where two readings check only each other, either may be wrong: name both.
		if s := fit.Studentized(i); s != 0 && math.Abs(s) >= 0.98*most {
			want := "agreement with the other readings"
			if by := -s * s / fit.R[i] * r.Sigma; math.Abs(by) <= 2000 { // else the others tell no value
				want += ", from which it differs by " + num.Text(by, r.Kind.unit())
			}
			f.Add(fmt.Sprintf("readings[%d]", i), num.Text(r.Value, r.Kind.unit()), want, contact.ErrConflict)
		}
	}
	if f.Len() == 0 { // no reading is checked by others, or nothing could be computed
		f.Add("readings", "no position found", "readings that some position comes close to", contact.ErrConflict)
	}
	return f.Err()
}

// fix returns the result of the fit.
func (p *tapeProblem) fix(fit *lsq.Fit) (Fix, error) {
	r := tapeResult{x: fit.X}
	for _, s := range p.sites {
		i := p.place[s]
		r.fix.Position.Set(s, p.at(fit.X, At(s)))
		r.add(s, contact.AxisX, term{i, 1})
		r.add(s, contact.AxisY, term{i + 1, 1})
		if !s.Group().Crank() {
			r.add(s, contact.AxisZ, term{i + 2, 1})
		} else {
			r.add(s, contact.AxisZ)
		}
	}
	nose, ok1 := p.place[contact.SaddleNose]
	rear, ok2 := p.place[contact.SaddleRear]
	switch {
	case ok1 && ok2:
		r.attitude(nose, rear)
	case p.tilt >= 0:
		r.fix.Position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: fit.X[p.tilt]})
		r.add(contact.SaddleReference, contact.AxisTilt, term{p.tilt, 1})
	}
	var f fault.List
	f.In("position", r.fix.Position.Validate())
	if err := f.Err(); err != nil {
		return Fix{}, err
	}
	var err error
	r.fix.Covariance, err = contact.NewCovariance(r.coords, func(i, j int) float64 { return fit.Covariance(r.slopes[i], r.slopes[j]) })
	return r.fix, err
}

// A tapeResult is a Fix under construction.
type tapeResult struct {
	x      []float64
	fix    Fix
	coords []contact.Coordinate
	slopes [][]float64 // derivatives of each coordinate by x
}

// A term is the derivative by one unknown number.
type term struct {
	at int
	by float64
}

// add adds a coordinate of the position and its derivatives by the unknown numbers.
func (r *tapeResult) add(s contact.Site, a contact.Axis, terms ...term) {
	v := make([]float64, len(r.x))
	for _, k := range terms {
		v[k.at] = k.by
	}
	r.coords, r.slopes = append(r.coords, contact.Coordinate{Site: s, Axis: a}), append(r.slopes, v)
}

// attitude adds the direction of the saddle. nose and rear are the indexes in x of their
// first coordinates.
func (r *tapeResult) attitude(nose, rear int) {
	x, y, z := r.x[nose]-r.x[rear], r.x[nose+1]-r.x[rear+1], r.x[nose+2]-r.x[rear+2]
	r.fix.Position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: num.Atan2(z, x), Yaw: num.Atan2(y, x)})
	for _, k := range []struct {
		axis contact.Axis
		v    float64
		at   int
	}{{contact.AxisTilt, z, 2}, {contact.AxisYaw, y, 1}} {
		square := (x*x + k.v*k.v) * num.Rad
		r.add(
			contact.SaddleReference, k.axis,
			term{nose, -k.v / square}, term{rear, k.v / square}, term{nose + k.at, x / square}, term{rear + k.at, -x / square},
		)
	}
}
