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
	twice    bool // what was stated, a crank length of two
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
	for k := 0; k < 2 && m.up >= 0; k++ {
		m.sum(aboutNothing, "", 0, usualLean*num.Rad/poseUnit, term{m.up + k, 1})
	}
	for _, l := range m.lines { // for those of which no mark counts
		m.sum(aboutNothing, "", 0, lineFar, term{l.at, 1})
	}
	for i := range s.Cameras {
		for k, sigma := range s.Cameras[i].lensSigma() {
			name := ""
			if c := &s.Cameras[i]; k == lensFocal && c.told() || k == lensK1 && c.distorts() {
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
		if _, other := stated[mate]; both && !other && !m.apart(l) { // half of how far apart they are
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

// apart reports whether a mark of one's own, which may lie on the floor, has nothing to do
// with the one of the other side: no trueness states that they are a pair.
func (m *model) apart(l survey.Landmark) bool {
	mate, _ := l.Mate()
	return placeless(l) && !slices.ContainsFunc(m.s.Trueness, func(t survey.Trueness) bool { return t.Pair == l || t.Pair == mate })
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
		if !ok || !both || isRight(left) || m.apart(left) {
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
			sigma := or(s.CircleSigma, 1)
			if m.wheels[1-front] >= 0 && s.FrontCircle == s.RearCircle {
				sigma *= math.Sqrt2 // one reading for both wheels
			}
			m.sum(aboutScale, name, r, sigma, term{w + wheelRadius, 1})
		} else {
			m.sum(aboutNothing, "", usualRound, usualRoundSpread, term{w + wheelRadius, 1})
		}
	}
}

// cranks adds that they are equally long and opposite. The two pedals are two crank lengths
// apart, so that what puts both of them off the bottom bracket says nothing of the scale.
func (m *model) cranks() {
	left, ok := m.find[survey.At(contact.PedalLeft)]
	right, both := m.find[survey.At(contact.PedalRight)]
	if !ok && !both {
		return
	}
	length, sigma, what, name := m.s.Crank, or(m.s.CrankSigma, 0.5), aboutScale, "crank_mm"
	if length == 0 {
		length, sigma, what, name = usualLength, usualLengthSpread, aboutNothing, ""
	}
	c := condition{what: what, name: name, apart: true, side: true, from: 3 * left, to: 3 * right, twice: true, value: 2 * length, sigma: math.Hypot(2*sigma, usualCrank)}
	if !ok || !both { // the one that is not there is at 0
		c.from, c.to, c.twice, c.value, c.sigma = 3*max(left, right), -1, false, length, math.Hypot(sigma, usualCrank/math.Sqrt2)
	} else {
		for k := range 3 {
			m.sum(aboutNothing, "", 0, usualCrank, term{3*left + k, 1}, term{3*right + k, 1})
		}
	}
	m.conditions = append(m.conditions, c)
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
