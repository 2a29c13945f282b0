package photo

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// Units of unknown angles, so that a step of 1 moves points by some millimetres.
const (
	poseUnit  = 1e-3 // radians
	steerUnit = 5e-3
)

// A round is one wheel's circles: numbers of the middle across, the distance of the circles
// from the wheel's plane, and the radius.
const (
	wheelAside = iota
	wheelHalf
	wheelRadius
	wheelNumbers
)

// An effect is how much a place changes with an unknown.
type effect struct {
	of int
	by r3.Vec
}

// A spot is a place on the bike, with what it depends on.
type spot struct {
	at      r3.Vec
	effects []effect
}

// A model is all unknowns of a survey. Those of a landmark are its coordinates in the axes
// of package contact with the front wheel straight; so the bike itself is the datum, and
// whatever is known of bikes is a condition on few of them.
type model struct {
	s         *Survey
	landmarks []survey.Landmark // the first are those that every survey has
	find      map[survey.Landmark]int
	marks     []seen
	steered   []bool // by landmark

	steer, angle, offset int
	wheels               [2]int // rear, front; -1 for one without circles
	lenses, views        []int
	n                    int // unknowns

	turn []r3mat // of each view, to begin with
	rows int
	// conditions are the rows that are no marks; out are rows left out; wide makes marks more
	// uncertain to begin with.
	conditions []condition
	out        []bool
	wide       float64
	weight     []float64 // of each mark, where some count less; nil if all count
	start      []float64
	spots      []effect // scratch
}

type r3mat [3]r3.Vec // rows: right, down, ahead

// A seen is a mark with the unknowns it depends on.
type seen struct {
	photograph, mark int
	landmark         int // -1 for a circle
	front            bool
	side             float64 // of a circle
	angle            int     // of a circle: where along it
	x, y, sigma      float64
}

func newModel(s *Survey) *model {
	m := &model{s: s, find: map[survey.Landmark]int{}, wide: 1, wheels: [2]int{-1, -1}}
	add := func(l survey.Landmark) int {
		i, ok := m.find[l]
		if !ok {
			i = len(m.landmarks)
			m.find[l] = i
			m.landmarks = append(m.landmarks, l)
			m.steered = append(m.steered, l.Steers())
		}
		return i
	}
	for _, l := range always {
		add(l)
	}
	round := [2]bool{}
	for i := range s.Photographs {
		for k := range s.Photographs[i].Marks {
			mark := &s.Photographs[i].Marks[k]
			q := seen{photograph: i, mark: k, landmark: -1, x: mark.X, y: mark.Y, sigma: s.sigmaOf(mark)}
			if front, side, ok := circle(mark.Landmark); ok {
				q.front, q.side = front, side
				round[btoi(front)] = true
			} else {
				q.landmark = add(mark.Landmark)
				if mate := partner(mark.Landmark); mate != "" {
					add(mate)
				}
			}
			m.marks = append(m.marks, q)
		}
	}
	m.n = 3 * len(m.landmarks)
	take := func(k int) int { m.n += k; return m.n - k }
	m.steer, m.angle, m.offset = take(1), take(1), take(1)
	for w, ok := range round {
		if ok {
			m.wheels[w] = take(wheelNumbers)
		}
	}
	for range s.Cameras {
		m.lenses = append(m.lenses, take(lensNumbers))
	}
	for range s.Photographs {
		m.views = append(m.views, take(6))
	}
	for i := range m.marks {
		if m.marks[i].landmark < 0 {
			m.marks[i].angle = take(1)
		}
	}
	m.turn = make([]r3mat, len(s.Photographs))
	m.start = make([]float64, m.n)
	m.condition()
	m.rows = 2*len(m.marks) + len(m.conditions)
	m.out = make([]bool, m.rows)
	return m
}

// partner returns what comes with a landmark: the other edge of a saddle and the foot of
// the other wheel, without which one says nothing.
func partner(l survey.Landmark) survey.Landmark {
	switch l {
	case FrontGround:
		return RearGround
	case RearGround:
		return FrontGround
	}
	if l == survey.SaddleEdgeLeft || l == survey.SaddleEdgeRight {
		mate, _ := l.Mate()
		return mate
	}
	return ""
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func vecAt(x []float64, i int) r3.Vec { return r3.Vec{X: x[i], Y: x[i+1], Z: x[i+2]} }

// axle returns the middle of a wheel's axle, on the mid-plane, and adds its effects.
func (m *model) axle(x []float64, front bool, e []effect) (r3.Vec, []effect) {
	l := 2 // the rear axle's left end
	if front {
		l = 4
	}
	a, b := vecAt(x, 3*l), vecAt(x, 3*l+3)
	for k := range 2 {
		at := 3 * (l + k)
		e = append(e, effect{at, r3.Vec{X: 0.5}}, effect{at + 2, r3.Vec{Z: 0.5}})
	}
	return r3.Vec{X: (a.X + b.X) / 2, Z: (a.Z + b.Z) / 2}, e
}

// place returns where a mark's place is, with the front wheel turned as it was.
func (m *model) place(x []float64, q *seen, e []effect) spot {
	if q.landmark >= 0 {
		i := 3 * q.landmark
		e = append(e, effect{i, r3.Vec{X: 1}}, effect{i + 1, r3.Vec{Y: 1}}, effect{i + 2, r3.Vec{Z: 1}})
		s := spot{vecAt(x, i), e}
		if m.steered[q.landmark] {
			s = m.turned(x, s)
		}
		return s
	}
	middle, e := m.axle(x, q.front, e)
	w := m.wheels[btoi(q.front)]
	sin, cos := math.Sincos(x[q.angle] * poseUnit)
	radius := x[w+wheelRadius]
	along := r3.Vec{X: cos, Z: sin}
	e = append(e,
		effect{w + wheelAside, r3.Vec{Y: 1}}, effect{w + wheelHalf, r3.Vec{Y: q.side}}, effect{w + wheelRadius, along},
		effect{q.angle, r3.Vec{X: -sin * radius * poseUnit, Z: cos * radius * poseUnit}})
	s := spot{r3.Add(middle, r3.Vec{X: radius * cos, Y: x[w+wheelAside] + q.side*x[w+wheelHalf], Z: radius * sin}), e}
	if q.front {
		s = m.turned(x, s)
	}
	return s
}

// turned turns a place about the steering axis, and what it depends on.
func (m *model) turned(x []float64, s spot) spot {
	sinA, cosA := math.Sincos(x[m.angle] * steerUnit)
	sinS, cosS := math.Sincos(x[m.steer] * steerUnit)
	offset := x[m.offset]
	out, along := r3.Vec{X: sinA, Z: cosA}, r3.Vec{X: -cosA, Z: sinA}
	rotate := func(v r3.Vec) r3.Vec {
		a, c := r3.Dot(v, out), r3.Dot(v, along)
		r := r3.Add(r3.Scale(a*cosS-v.Y*sinS, out), r3.Scale(c, along))
		r.Y += v.Y*cosS + a*sinS
		return r
	}
	var own [4]effect
	axle, more := m.axle(x, true, own[:0])
	on := r3.Sub(axle, r3.Scale(offset, out)) // the axis
	q := r3.Sub(s.at, on)
	turned := rotate(q)
	for i := range s.effects {
		s.effects[i].by = rotate(s.effects[i].by)
	}
	stays := func(v r3.Vec) r3.Vec { return r3.Sub(v, rotate(v)) } // by a move of the axis
	for _, k := range more {
		s.effects = append(s.effects, effect{k.of, stays(k.by)})
	}
	tipped := func(v r3.Vec) r3.Vec { return r3.Vec{X: v.Z, Z: -v.X} } // about Y
	byAngle := r3.Sub(tipped(turned), rotate(tipped(q)))
	byAngle = r3.Add(byAngle, stays(r3.Scale(offset, along)))
	s.effects = append(s.effects,
		effect{m.steer, r3.Scale(steerUnit, r3.Cross(along, turned))},
		effect{m.angle, r3.Scale(steerUnit, byAngle)},
		effect{m.offset, stays(r3.Scale(-1, out))})
	s.at = r3.Add(on, turned)
	return s
}

// view returns a view: where the camera stood, and how it was turned.
func (m *model) view(x []float64, i int) (at r3.Vec, turn r3mat, by [3]r3.Vec) {
	v := m.views[i]
	w := r3.Scale(poseUnit, vecAt(x, v+3))
	return vecAt(x, v), rotated(w, m.turn[i]), leftJacobian(w)
}

// rotated returns exp(w)·R.
func rotated(w r3.Vec, r r3mat) r3mat {
	a := r3.Norm(w)
	if a == 0 {
		return r
	}
	var t r3mat
	// Column by column of R: each is a vector in the camera's axes.
	for c := range 3 {
		v := r3.Rotate(r3.Vec{X: axis(r[0], c), Y: axis(r[1], c), Z: axis(r[2], c)}, a, r3.Scale(1/a, w))
		for k, part := range [3]float64{v.X, v.Y, v.Z} {
			set(&t[k], c, part)
		}
	}
	return t
}

func set(v *r3.Vec, k int, to float64) {
	switch k {
	case 0:
		v.X = to
	case 1:
		v.Y = to
	default:
		v.Z = to
	}
}

// leftJacobian returns for each axis how exp(w) turns further when w changes along it.
func leftJacobian(w r3.Vec) (cols [3]r3.Vec) {
	a := r3.Norm(w)
	first, second := 0.5, 1./6
	if a > 1e-4 {
		first, second = (1-math.Cos(a))/(a*a), (a-math.Sin(a))/(a*a*a)
	}
	for k := range 3 {
		var e r3.Vec
		set(&e, k, 1)
		c := r3.Cross(w, e)
		cols[k] = r3.Add(e, r3.Add(r3.Scale(first, c), r3.Scale(second, r3.Cross(w, c))))
	}
	return cols
}

// fill is the lsq.Model: first the marks, two rows each, then the conditions.
func (m *model) fill(x, r, jac []float64) {
	lenses := make([]lens, len(m.lenses))
	for i, at := range m.lenses {
		lenses[i] = m.s.Cameras[i].lens(x[at : at+lensNumbers])
	}
	type pose struct {
		at   r3.Vec
		turn r3mat
		by   [3]r3.Vec
	}
	poses := make([]pose, len(m.views))
	for i := range poses {
		poses[i].at, poses[i].turn, poses[i].by = m.view(x, i)
	}
	for i := range m.marks {
		q := &m.marks[i]
		if m.out[2*i] {
			continue
		}
		s := m.place(x, q, m.spots[:0])
		m.spots = s.effects
		p := &poses[q.photograph]
		camera := m.s.Photographs[q.photograph].Camera
		d := r3.Sub(s.at, p.at)
		c := r3.Vec{X: r3.Dot(p.turn[0], d), Y: r3.Dot(p.turn[1], d), Z: r3.Dot(p.turn[2], d)}
		at, by, numbers, _ := lenses[camera].see(c)
		weight := 1 / (q.sigma * m.wide)
		if m.weight != nil {
			weight *= m.weight[i]
		}
		for k, want := range [2]float64{q.x, q.y} {
			row := jac[(2*i+k)*m.n : (2*i+k+1)*m.n]
			r[2*i+k] = (at[k] - want) * weight
			// by the place, in the bike's axes
			b := r3.Add(r3.Scale(by[k].X, p.turn[0]), r3.Add(r3.Scale(by[k].Y, p.turn[1]), r3.Scale(by[k].Z, p.turn[2])))
			for _, e := range s.effects {
				row[e.of] += weight * r3.Dot(b, e.by)
			}
			v := m.views[q.photograph]
			row[v], row[v+1], row[v+2] = -weight*b.X, -weight*b.Y, -weight*b.Z
			for j := range 3 {
				row[v+3+j] = weight * poseUnit * r3.Dot(by[k], r3.Cross(p.by[j], c))
			}
			for j, a := range numbers[k] {
				row[m.lenses[camera]+j] = weight * a
			}
		}
	}
	for i := range m.conditions {
		at := 2*len(m.marks) + i
		if !m.out[at] {
			m.conditions[i].fill(x, &r[at], jac[at*m.n:(at+1)*m.n])
		}
	}
}

// A condition is what is known beside the photographs: a sum of unknowns, or the distance
// of two places in space or in the side view.
type condition struct {
	what  subject
	name  string // the path of what was stated; "" for what is usual
	terms []term
	value float64
	sigma float64
	// of a distance: the two landmarks' places among the unknowns; side leaves out Y
	from, to int
	apart    bool
	side     bool
	// steering says that the steering axis passes midway between the two.
	steering *model
}

type term struct {
	of int
	by float64
}

// What a condition is about.
type subject uint8

const (
	aboutNothing subject = iota
	aboutPair            // a pair of the frame: its middle or its line
	aboutScale           // a wheel's radius, a circle's, a crank, a distance
	aboutLens
	aboutSide // a place across the bike
)

func (c *condition) fill(x []float64, r *float64, row []float64) {
	if c.steering != nil {
		c.onAxis(c.steering, x, r, row)
		return
	}
	if !c.apart {
		sum := -c.value
		for _, t := range c.terms {
			sum += t.by * x[t.of]
			row[t.of] += t.by / c.sigma
		}
		*r = sum / c.sigma
		return
	}
	var v r3.Vec
	if c.to >= 0 {
		v = vecAt(x, c.to)
	}
	v = r3.Sub(v, vecAt(x, c.from))
	if c.side {
		v.Y = 0
	}
	d := r3.Norm(v)
	*r = (d - c.value) / c.sigma
	if d == 0 {
		return
	}
	for k := range 3 {
		a := axis(v, k) / d / c.sigma
		row[c.from+k] -= a
		if c.to >= 0 {
			row[c.to+k] += a
		}
	}
}

func (m *model) sum(what subject, name string, value, sigma float64, terms ...term) {
	m.conditions = append(m.conditions, condition{what: what, name: name, terms: terms, value: value, sigma: sigma})
}

// at returns the unknown of a landmark's coordinate.
func (m *model) at(l survey.Landmark, a contact.Axis) (int, bool) {
	i, ok := m.find[l]
	return 3*i + int(a), ok
}

// condition lists what is known beside the photographs.
func (m *model) condition() {
	s := m.s
	bb := func(a contact.Axis) []term {
		l, _ := m.at(survey.BottomBracketLeft, a)
		r, _ := m.at(survey.BottomBracketRight, a)
		return []term{{l, 0.5}, {r, 0.5}}
	}
	m.sum(aboutNothing, "", 0, 0.01, bb(contact.AxisX)...)
	m.sum(aboutNothing, "", 0, 0.01, bb(contact.AxisZ)...)
	m.places()
	m.pairs()
	m.wheelConditions()
	m.cranks()
	for i := range s.Distances {
		d := &s.Distances[i]
		from, _ := m.at(d.From, contact.AxisX)
		to, _ := m.at(d.To, contact.AxisX)
		m.conditions = append(m.conditions, condition{
			what: aboutScale, name: "distances[" + strconv.Itoa(i) + "]", apart: true,
			from: from, to: to, value: d.Value, sigma: or(d.Sigma, 1),
		})
	}
	for _, l := range [...]survey.Landmark{survey.HeadTubeTopLeft, survey.HeadTubeBottomLeft} {
		mate, _ := l.Mate()
		left, ok := m.find[l]
		right, both := m.find[mate]
		switch {
		case !ok && !both:
			continue
		case !ok:
			left = right
		case !both:
			right = left
		}
		// What only one side was marked of is in the middle but for the pair's trueness.
		m.conditions = append(m.conditions, condition{steering: m, from: 3 * left, to: 3 * right, sigma: 1 / math.Sqrt2})
	}
	m.start[m.angle], m.start[m.offset] = usualAngle*num.Rad/steerUnit, usualOffset
	m.sum(aboutNothing, "", m.start[m.angle], usualAngleSigma*num.Rad/steerUnit, term{m.angle, 1})
	m.sum(aboutNothing, "", usualOffset, usualOffsetSigma, term{m.offset, 1})
	m.sum(aboutNothing, "", 0, usualSteer*num.Rad/steerUnit, term{m.steer, 1})
	for i := range s.Cameras {
		for k, sigma := range s.Cameras[i].lensSigma() {
			name := ""
			if c := &s.Cameras[i]; k == lensFocal && (c.Focal != 0 || c.Equivalent != 0) || k == lensK1 && c.distorts() {
				name = "cameras[" + strconv.Itoa(i) + "]." + lensNames[k]
			}
			m.sum(aboutLens, name, 0, sigma, term{m.lenses[i] + k, 1})
		}
	}
}

var lensNames = [lensNumbers]string{lensFocal: "focal", lensK1: "k1"}

// places adds the usual places, of which those across the bike count.
func (m *model) places() {
	stated := map[survey.Landmark]int{}
	for i, w := range m.s.Sideways {
		stated[w.Landmark] = i
	}
	for i, l := range m.landmarks {
		u := usually(l)
		m.start[3*i], m.start[3*i+1], m.start[3*i+2] = u.at.X, u.at.Y, u.at.Z
		far := float64(usualPlace)
		if placeless(l) {
			far = 1000
		}
		m.sum(aboutNothing, "", u.at.X, far, term{3 * i, 1})
		m.sum(aboutNothing, "", u.at.Z, far, term{3*i + 2, 1})
		y, sigma, terms := u.at.Y, u.aside, []term{{3*i + 1, 1}}
		if placeless(l) && len(m.s.Photographs) > 1 {
			sigma = 1000
		}
		mate, _ := l.Mate()
		k, both := m.find[mate]
		if _, other := stated[mate]; both && !other { // half of how far apart they are
			terms = []term{{3*i + 1, 0.5}, {3*k + 1, -0.5}}
		}
		if w, ok := stated[l]; ok {
			side := &m.s.Sideways[w]
			m.start[3*i+1] = side.Y
			m.sum(aboutSide, "sideways["+strconv.Itoa(w)+"]", side.Y, or(side.Sigma, 3), term{3*i + 1, 1})
		} else if len(terms) == 1 || !isRight(l) {
			m.sum(aboutSide, "", y, sigma, terms...)
		}
	}
}

// pairs adds that left and right mirror each other.
func (m *model) pairs() {
	stated := map[survey.Landmark]survey.Trueness{}
	for _, t := range m.s.Trueness {
		stated[t.Pair] = t
	}
	for i, left := range m.landmarks {
		mate, ok := left.Mate()
		k, both := m.find[mate]
		if !ok || !both || isRight(left) {
			continue
		}
		line, middle := 0.0, 0.0
		t, isFrame := survey.UsualTrueness(left)
		if s := stated[left]; s.Sigma != 0 {
			t.Sigma = s.Sigma
		}
		if s := stated[left]; s.Counts != survey.CountsAsUsual {
			t.Counts = s.Counts
		}
		switch {
		case isFrame:
			line, middle = t.Sigma*math.Sqrt2, t.Sigma/math.Sqrt2
			if t.Counts == survey.CountsMiddle {
				line = 0
			}
			if t.Counts == survey.CountsLine {
				middle = usualMiddle
			}
		case strings.HasPrefix(string(left), "saddle"):
			line, middle = usualSaddle, usualSaddle/2.
		case strings.HasPrefix(string(left), "pedal"), strings.HasPrefix(string(left), "foot"):
			continue
		default:
			line, middle = usualBar, usualBar/2.
		}
		about := aboutNothing
		if isFrame {
			about = aboutPair
		}
		m.sum(about, string(left), 0, middle, term{3*i + 1, 0.5}, term{3*k + 1, 0.5})
		if line > 0 {
			m.sum(about, string(left), 0, line, term{3 * i, 1}, term{3 * k, -1})
			m.sum(about, string(left), 0, line, term{3*i + 2, 1}, term{3*k + 2, -1})
		}
	}
}

// wheelConditions adds what is known of wheels.
func (m *model) wheelConditions() {
	s := m.s
	axle := func(front bool, by float64) []term {
		l := 2 + 2*btoi(front)
		return []term{{3*l + 2, by / 2}, {3*l + 5, by / 2}}
	}
	radius := or(s.RadiusSigma, 2)
	rear, ok := m.find[RearGround]
	front := m.find[FrontGround]
	if ok { // the ground is level by definition
		m.sum(aboutNothing, "", 0, 0.1, term{3*front + 2, 1}, term{3*rear + 2, -1})
	} else {
		m.sum(aboutNothing, "", s.FrontRadius-s.RearRadius, radius*math.Sqrt2, slices.Concat(axle(true, 1), axle(false, -1))...)
	}
	for front, l := range [2]survey.Landmark{RearGround, FrontGround} {
		i, ok := m.find[l]
		if !ok {
			continue
		}
		r, name := s.RearRadius, "rear_radius_mm"
		if front == 1 {
			r, name = s.FrontRadius, "front_radius_mm"
		}
		m.sum(aboutScale, name, r, radius, append(axle(front == 1, 1), term{3*i + 2, -1})...)
		k := 2 + 2*front
		m.sum(aboutNothing, "", 0, 12, term{3 * k, 0.5}, term{3*k + 3, 0.5}, term{3 * i, -1})
	}
	for front, w := range m.wheels {
		if w < 0 {
			continue
		}
		r, name := s.RearCircle, "rear_circle_mm"
		if front == 1 {
			r, name = s.FrontCircle, "front_circle_mm"
		}
		m.start[w+wheelHalf], m.start[w+wheelRadius] = usualRimWidth, or(r, usualRound)
		m.sum(aboutNothing, "", 0, usualDish, term{w + wheelAside, 1})
		m.sum(aboutNothing, "", usualRimWidth, usualRimSpread, term{w + wheelHalf, 1})
		if r != 0 {
			m.sum(aboutScale, name, r, or(s.CircleSigma, 1), term{w + wheelRadius, 1})
		} else {
			m.sum(aboutNothing, "", usualRound, usualRoundSpread, term{w + wheelRadius, 1})
		}
	}
}

// cranks adds that they are equally long and opposite.
func (m *model) cranks() {
	left, ok := m.find[survey.At(contact.PedalLeft)]
	right, both := m.find[survey.At(contact.PedalRight)]
	if ok && both {
		for k := range 3 {
			m.sum(aboutNothing, "", 0, usualCrank*math.Sqrt2, term{3*left + k, 1}, term{3*right + k, 1})
		}
	}
	if !ok {
		left = right
	}
	if ok || both {
		c := condition{what: aboutScale, name: "crank_mm", apart: true, side: true, from: 3 * left, to: -1, value: m.s.Crank, sigma: or(m.s.CrankSigma, 0.5)}
		if m.s.Crank == 0 {
			c.what, c.name, c.value, c.sigma = aboutNothing, "", usualLength, usualLengthSpread
		}
		m.conditions = append(m.conditions, c)
	}
}

// onAxis is the condition that the steering axis passes midway between two places.
func (c *condition) onAxis(m *model, x []float64, r *float64, row []float64) {
	sin, cos := math.Sincos(x[m.angle] * steerUnit)
	out, along := r3.Vec{X: sin, Z: cos}, r3.Vec{X: -cos, Z: sin}
	var own [4]effect
	axle, more := m.axle(x, true, own[:0])
	from := r3.Sub(r3.Scale(0.5, r3.Add(vecAt(x, c.from), vecAt(x, c.to))), axle)
	*r = (r3.Dot(out, from) + x[m.offset]) / c.sigma
	for _, i := range [2]int{c.from, c.to} {
		row[i] += out.X / 2 / c.sigma
		row[i+2] += out.Z / 2 / c.sigma
	}
	for _, e := range more {
		row[e.of] -= r3.Dot(out, e.by) / c.sigma
	}
	row[m.offset] += 1 / c.sigma
	row[m.angle] -= steerUnit * r3.Dot(along, from) / c.sigma
}
