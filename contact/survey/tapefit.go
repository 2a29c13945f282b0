package survey

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/placed"
	"example.com/fitgeom/internal/saddle"
	"gonum.org/v1/gonum/spatial/r3"
)

// A tapeProblem holds the readings as equations in the coordinates of the places.
type tapeProblem struct {
	t      *TapeSurvey
	places []tapePlace
	ends   [][2]int // of each reading, the places it goes from and to; less than 0: none
	common []int    // of each reading, the index of the error that it shares; -1: none
	start  []float64
	at     []r3.Vec // the places, as they are at x

	noseUp, ground, tilt int // indexes in x; -1: none
	errors               []int
	lateral              []lateral
	saddle               [saddle.Ends]int // places; -1: none
	shape                saddle.Shape
	timid                bool // not to try what looks hopeless
}

// A lateral is the assumption that a place, or the midpoint of two, lies somewhere across
// the bike.
type lateral struct {
	a, b        int // indexes of the Y coordinates whose mean it is; b is -1 for a alone
	mean, sigma float64
}

func newTapeProblem(t *TapeSurvey) *tapeProblem {
	p := &tapeProblem{t: t, noseUp: -1, ground: -1, tilt: -1, saddle: [saddle.Ends]int{-1, -1, -1}}
	slope := p.gather()
	var has [saddle.Ends]bool
	for i := range p.places {
		for end, s := range saddle.Sites {
			if p.places[i].site == s {
				p.saddle[end], has[end] = i, true
			}
		}
	}
	p.centre()
	if p.shape = saddle.Of(t.Saddle, has, slope); p.shape.Tilt {
		p.tilt = p.unknown(0)
	}
	if t.NoseUpSigma >= sigmaLeast { // less makes no difference
		p.noseUp = p.unknown(t.NoseUp)
	}
	p.at = make([]r3.Vec, len(p.places))
	return p
}

// unknown adds an unknown number with a starting value, and returns its index.
func (p *tapeProblem) unknown(start float64) int {
	p.start = append(p.start, start)
	return len(p.start) - 1
}

// centre adds the assumptions for places that the readings do not place across the bike.
func (p *tapeProblem) centre() {
	told := p.t.told()
	find := map[Landmark]int{}
	for i := range p.places {
		find[p.places[i].landmark] = i
	}
	for i := range p.places {
		k := &p.places[i]
		y := k.at[1]
		if y < 0 || told[k.landmark] && (k.site == 0 || k.site.Side() == contact.Centre) {
			continue
		}
		if k.site == 0 {
			p.lateral = append(p.lateral, lateral{y, -1, k.usual.Y, k.across})
			continue
		}
		if k.site.Side() == contact.Centre {
			p.lateral = append(p.lateral, lateral{y, -1, 0, placed.AsideMiddle})
			continue
		}
		right := At(k.site.On(contact.Right))
		if other, ok := find[right]; ok && k.site.Side() == contact.Left && !(told[k.landmark] && told[right]) {
			p.lateral = append(p.lateral, lateral{y, p.places[other].at[1], 0, placed.AsidePair})
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

// given is the number of residuals that come from readings and from what is stated with
// them.
func (p *tapeProblem) given() int {
	n := len(p.t.Readings) + len(p.errors) + p.shape.Known
	if p.noseUp >= 0 {
		n++
	}
	return n
}

// rows is the number of residuals: after those that are given, the assumptions.
func (p *tapeProblem) rows() int {
	return p.given() - p.shape.Known + len(p.shape.Ties) + len(p.lateral)
}

// place sets the places from the unknown numbers.
func (p *tapeProblem) place(x []float64) {
	for i := range p.places {
		at := &p.places[i].at
		v := &p.at[i]
		*v = r3.Vec{}
		if at[0] >= 0 {
			v.X = x[at[0]]
		}
		if at[1] >= 0 {
			v.Y = x[at[1]]
		}
		if at[2] >= 0 {
			v.Z = x[at[2]]
		}
	}
}

// model computes for every reading the difference between its value at x and the reading,
// and the derivatives by x, each divided by the reading's uncertainty. What else is given
// and assumed follows after the readings.
func (p *tapeProblem) model(x, r, jac []float64) {
	n := len(x)
	p.place(x)
	slope := p.t.NoseUp
	if p.noseUp >= 0 {
		slope = x[p.noseUp]
	}
	m := tapeModel{p: p, x: x, slope: slope}
	m.sin, m.cos = num.Sincos(slope)
	for i := range p.t.Readings {
		k := &p.t.Readings[i]
		m.row, m.sigma, m.ends = jac[i*n:(i+1)*n], k.Sigma, p.ends[i]
		if shared := p.common[i]; shared >= 0 {
			m.row[shared] = k.Common / m.sigma
			r[i] = k.Common * x[shared] / m.sigma
		}
		r[i] += (m.reading(k) - k.Value) / m.sigma
	}
	i := len(p.t.Readings)
	for _, e := range p.errors {
		r[i], jac[i*n+e] = x[e], 1
		i++
	}
	if p.noseUp >= 0 {
		r[i] = (x[p.noseUp] - p.t.NoseUp) / p.t.NoseUpSigma
		jac[i*n+p.noseUp] = 1 / p.t.NoseUpSigma
		i++
	}
	p.tied(p.shape.Ties, x, r[i:], jac[i*n:])
	i += len(p.shape.Ties)
	p.beside(x, r[i:], jac[i*n:])
}

// beside fills in the assumptions across the bike.
func (p *tapeProblem) beside(x, r, jac []float64) {
	n := len(x)
	for i, l := range p.lateral {
		half, at := 1.0, x[l.a]
		if l.b >= 0 {
			half, at = 0.5, (x[l.a]+x[l.b])/2
			jac[i*n+l.b] = half / l.sigma
		}
		r[i] = (at - l.mean) / l.sigma
		jac[i*n+l.a] = half / l.sigma
	}
}

// tied fills in the rows of ties.
func (p *tapeProblem) tied(ties []saddle.Tie, x, r, jac []float64) {
	n := len(x)
	var at [saddle.Ends]r3.Vec
	for end, i := range p.saddle {
		if i >= 0 {
			at[end] = p.at[i]
		}
	}
	sin, cos := 0.0, 1.0
	if p.tilt >= 0 {
		sin, cos = num.Sincos(x[p.tilt])
	}
	for i, t := range ties {
		value, by := t.At(&at, sin, cos)
		r[i] = (value - t.Value) / t.Sigma
		row := jac[i*n : (i+1)*n]
		for end, k := range p.saddle {
			if k >= 0 {
				row[p.places[k].at[0]] += by.Ends[end].X / t.Sigma
				row[p.places[k].at[2]] += by.Ends[end].Z / t.Sigma
			}
		}
		if p.tilt >= 0 {
			row[p.tilt] += by.Tilt * num.Rad / t.Sigma
		}
	}
}

// A tapeModel computes what the readings would be at x, one after another.
type tapeModel struct {
	p        *tapeProblem
	x        []float64
	slope    float64 // of the ground, degrees
	sin, cos float64

	ends  [2]int
	row   []float64 // derivatives of the current reading by x, divided by its uncertainty
	sigma float64
}

// reading returns what a reading would be, and fills in its row.
func (m *tapeModel) reading(k *TapeReading) float64 {
	if k.Kind == Tilt {
		m.bySlope(1 / num.Rad)
		m.row[m.p.tilt] = 1 / m.sigma
		return m.slope + m.x[m.p.tilt]
	}
	d := r3.Sub(m.end(1), m.end(0))
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
	m.by(1, e)
	m.by(0, r3.Scale(-1, e))
	m.bySlope(bySlope)
	return value
}

// end returns where the reading starts (0) or ends (1).
func (m *tapeModel) end(i int) r3.Vec {
	if k := m.ends[i]; k >= 0 {
		return m.p.at[k]
	}
	return r3.Vec{}
}

// ground adds the height of the ground to a reading with the ground at one end.
func (m *tapeModel) ground(end Landmark, sign, value float64) float64 {
	if end != Ground {
		return value
	}
	m.row[m.p.ground] += sign / m.sigma
	return value + sign*m.x[m.p.ground]
}

// by adds the derivative of the reading by its start (0) or its end (1).
func (m *tapeModel) by(i int, v r3.Vec) {
	k := m.ends[i]
	if k < 0 {
		return
	}
	for axis, by := range [3]float64{v.X, v.Y, v.Z} {
		if j := m.p.places[k].at[axis]; j >= 0 {
			m.row[j] += by / m.sigma
		}
	}
}

// bySlope adds the derivative of the reading by the slope of the ground, per radian.
func (m *tapeModel) bySlope(by float64) {
	if m.p.noseUp >= 0 {
		m.row[m.p.noseUp] += by * num.Rad / m.sigma
	}
}

// find fits the readings with what is known and supposed of the saddle.
func (p *tapeProblem) find() *lsq.Search {
	return p.shape.Find(p.solve, func(t saddle.Tie, x []float64) []float64 {
		p.place(x)
		jac := make([]float64, len(x))
		p.tied([]saddle.Tie{t}, x, make([]float64, 1), jac)
		return jac
	})
}

// solve looks for the best fit. A direct distance does not tell whether its end lies above
// or below its start, so both are tried, for the end alone and for all that goes with it;
// and of places that may be anywhere, also whether it lies in front or behind. Where the
// best fit so far is a contradiction, what looks hopeless is tried too.
func (p *tapeProblem) solve() *lsq.Search {
	s := lsq.NewSearch(p.start, p.rows(), p.model)
	all := make([]bool, len(p.start)) // none of them free
	s.Possible = func(x []float64) bool { return p.position(x, all).Validate() == nil }
	for s.Better = true; s.Better; {
		s.Better = false
		for i, r := range p.t.Readings {
			if r.Kind == Direct {
				p.turn(s, p.ends[i][0], p.ends[i][1])
				p.turn(s, p.ends[i][1], p.ends[i][0])
			}
		}
		if !s.Better && !s.Bold && !p.timid && !agrees(&s.Best) {
			s.Better, s.Bold = true, true
		}
	}
	return s
}

// turn tries a place on the other sides of one from which it has a distance.
func (p *tapeProblem) turn(s *lsq.Search, from, place int) {
	if place < 0 {
		return
	}
	over := func(axis int, all bool) {
		if p.places[place].at[axis] >= 0 {
			s.Try(func(x []float64) { p.over(x, from, place, axis, all) })
		}
	}
	over(2, false)
	over(2, true)
	if p.places[place].site == 0 {
		over(0, false)
	}
}

// over moves a place to the other side of another one along an axis, and all that is fixed
// to it as well if asked to.
func (p *tapeProblem) over(x []float64, from, place, axis int, all bool) {
	level := 0.0
	if from >= 0 && p.places[from].at[axis] >= 0 {
		level = x[p.places[from].at[axis]]
	}
	moves := p.places[place].site
	for i := range p.places {
		k := &p.places[i]
		if i == place || all && k.site != 0 && moves != 0 && k.site.Group() == moves.Group() && k.at[axis] >= 0 {
			x[k.at[axis]] = 2*level - x[k.at[axis]]
		}
	}
}
