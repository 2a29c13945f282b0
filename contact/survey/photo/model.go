package photo

import (
	"math"
	"slices"

	"example.com/fitgeom/contact/survey"
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
	up                   int    // of the upward direction; -1 without hanging lines
	lines                []line
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
	count      *counter
}

type r3mat [3]r3.Vec // rows: right, down, ahead

// A line hangs beside the bike, in one photograph. It passes by a point in the camera's axes,
// lineFar ahead, that lies between its marks: how far away it hung makes no difference. Its one
// number is how far, along aside.
type line struct {
	landmark   survey.Landmark
	photograph int
	by, aside  r3.Vec
	at         int
}

const lineFar = 3000

// A seen is a mark with the unknowns it depends on.
type seen struct {
	photograph, mark int
	landmark         int  // -1 for a circle and a hanging line
	round            bool // of a circle
	front            bool
	side             float64 // of a circle
	line             int     // which hanging line, if landmark is -1 and it is not round
	along            int     // where along it, if landmark is -1
	x, y, sigma      float64
}

func newModel(s *Survey, c *counter) *model {
	m := &model{s: s, count: c, find: map[survey.Landmark]int{}, wide: 1, wheels: [2]int{-1, -1}, up: -1}
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
				q.round, q.front, q.side = true, front, side
				round[btoi(front)] = true
			} else if hangs(mark.Landmark) {
				q.line = slices.IndexFunc(m.lines, func(l line) bool { return l.photograph == i && l.landmark == mark.Landmark })
				if q.line < 0 {
					q.line = len(m.lines)
					m.lines = append(m.lines, m.line(mark.Landmark, i))
				}
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
	if len(m.lines) > 0 {
		m.up = take(2)
	}
	for i := range m.lines {
		m.lines[i].at = take(1)
	}
	for range s.Cameras {
		m.lenses = append(m.lenses, take(lensNumbers))
	}
	for range s.Photographs {
		m.views = append(m.views, take(6))
	}
	for i := range m.marks {
		if m.marks[i].landmark < 0 {
			m.marks[i].along = take(1)
		}
	}
	m.turn = make([]r3mat, len(s.Photographs))
	m.start = make([]float64, m.n)
	m.condition()
	m.rows = 2*len(m.marks) + len(m.conditions)
	m.out = make([]bool, m.rows)
	return m
}

// line returns a line of a photograph.
func (m *model) line(landmark survey.Landmark, photograph int) line {
	p := &m.s.Photographs[photograph]
	camera := m.s.Cameras[p.Camera].lens(nil)
	var sum, first, last r3.Vec
	n := 0.
	for k := range p.Marks {
		if p.Marks[k].Landmark != landmark {
			continue
		}
		x, y, ok := camera.undistorted(p.Marks[k].X, p.Marks[k].Y)
		if !ok {
			x, y = (p.Marks[k].X-camera.x)/camera.focal, (p.Marks[k].Y-camera.y)/camera.focal
		}
		last = r3.Vec{X: x, Y: y, Z: 1}
		if n++; n == 1 {
			first = last
		}
		sum = r3.Add(sum, last)
	}
	l := line{landmark: landmark, photograph: photograph, by: r3.Scale(lineFar/n, sum), aside: r3.Vec{X: 1}}
	if along := r3.Sub(last, first); r3.Norm(along) > 0 {
		l.aside = r3.Unit(r3.Vec{X: along.Y, Y: -along.X})
	}
	return l
}

// partner returns what comes with a landmark: the other edge of a saddle and the foot of
// the other wheel, without which one says nothing.
func partner(l survey.Landmark) survey.Landmark {
	switch l {
	case FrontGround:
		return RearGround
	case RearGround:
		return FrontGround
	case survey.SaddleEdgeLeft, survey.SaddleEdgeRight:
		mate, _ := l.Mate()
		return mate
	default:
		return ""
	}
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

// place returns where a mark's place is, with the front wheel turned as it was. Those on lines
// have none.
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
	sin, cos := math.Sincos(x[q.along] * poseUnit)
	radius := x[w+wheelRadius]
	along := r3.Vec{X: cos, Z: sin}
	e = append(e,
		effect{w + wheelAside, r3.Vec{Y: 1}}, effect{w + wheelHalf, r3.Vec{Y: q.side}}, effect{w + wheelRadius, along},
		effect{q.along, r3.Vec{X: -sin * radius * poseUnit, Z: cos * radius * poseUnit}})
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

// inCamera returns where a mark's place is in the axes of its camera, which stands at a place
// and is turned, the part of it that turns with the camera, and the effects, in the bike's axes.
func (m *model) inCamera(x []float64, q *seen, at r3.Vec, turn *r3mat, e []effect) (c, turns r3.Vec, effects []effect) {
	into := func(v r3.Vec) r3.Vec {
		return r3.Vec{X: r3.Dot(turn[0], v), Y: r3.Dot(turn[1], v), Z: r3.Dot(turn[2], v)}
	}
	if q.landmark >= 0 || q.round {
		s := m.place(x, q, e)
		c = into(r3.Sub(s.at, at))
		return c, c, s.effects
	}
	l, high := &m.lines[q.line], x[q.along]
	up := r3.Vec{X: x[m.up] * poseUnit, Y: x[m.up+1] * poseUnit, Z: 1}
	turns = into(r3.Scale(high, up))
	e = append(e, effect{l.at, r3.Add(r3.Scale(l.aside.X, turn[0]), r3.Scale(l.aside.Y, turn[1]))}, effect{q.along, up},
		effect{m.up, r3.Vec{X: high * poseUnit}}, effect{m.up + 1, r3.Vec{Y: high * poseUnit}})
	return r3.Add(r3.Add(l.by, r3.Scale(x[l.at], l.aside)), turns), turns, e
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
	m.count.do(20*len(m.marks) + m.n*m.n)
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
			if q.landmark < 0 { // nothing else tells where along it is
				jac[2*i*m.n+q.along] = 1
			}
			continue
		}
		p := &poses[q.photograph]
		camera := m.s.Photographs[q.photograph].Camera
		c, turns, effects := m.inCamera(x, q, p.at, &p.turn, m.spots[:0])
		m.spots = effects
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
			for _, e := range effects {
				row[e.of] += weight * r3.Dot(b, e.by)
			}
			v := m.views[q.photograph]
			if q.landmark >= 0 || q.round {
				row[v], row[v+1], row[v+2] = -weight*b.X, -weight*b.Y, -weight*b.Z
			}
			for j := range 3 {
				row[v+3+j] = weight * poseUnit * r3.Dot(by[k], r3.Cross(p.by[j], turns))
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
