// Package photographs invents bicycles, cameras around them and what a person marks in
// their pictures, for tests of contact/survey/photo. It imports nothing of this module and
// shares no formula with it: cameras turn by Euler angles, and the steering by a turn
// about a line.
package photographs

import (
	"math"
	"math/rand/v2"
	"sort"
	"strings"
)

// A Vec is X forward, Y left, Z up, mm.
type Vec [3]float64

func (a Vec) plus(b Vec, by float64) Vec {
	return Vec{a[0] + by*b[0], a[1] + by*b[1], a[2] + by*b[2]}
}
func (a Vec) dot(b Vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a Vec) cross(b Vec) Vec {
	return Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// A Camera is what a photographer knows of a camera. Truth has the same numbers as they
// are.
type Camera struct {
	Width, Height              float64
	Focal, Equivalent          float64
	CentreX, CentreY           float64
	K1, K2, K3, P1, P2, Corner float64
}

// A Mark is where something was marked.
type Mark struct {
	Name string
	X, Y float64
}

// A Place is where a camera stood: around the bike in degrees from straight ahead to the
// left, how far from its middle and how high above the ground, mm.
type Place struct{ Around, Far, High float64 }

// A Session is one bike and its photographs.
type Session struct {
	Kind                    string
	Truth                   map[string]Vec // with the front wheel straight
	Steer, Lean             float64        // degrees
	FrontRadius, RearRadius float64        // as a person measured them
	Circle, Crank           float64        // likewise: of both wheels
	Camera, Real            Camera
	Places                  []Place
	Photographs             [][]Mark

	rng          *rand.Rand
	axis, along  Vec // a point of the steering axis and its direction
	half, dish   [2]float64
	round        float64
	centre       [2]Vec // of rear and front wheel
	front, rear  float64
	turnedPoints map[string]bool
}

// Options say what is drawn.
type Options struct {
	Kind       string  // "road", "flat" or "aero"
	Count      int     // photographs, 1 to 8
	Sigma      float64 // of marks, pixels
	Calibrated bool    // the camera was calibrated; otherwise its equivalent focal length is known
	Unknown    bool    // nothing is known of the camera
	Trueness   float64 // how far each landmark of the frame is off, mm: 1 if it is 0
	Steer      float64 // how far the front wheel is turned, degrees: within 5 if it is 0
	Lean       float64 // how far the bike leans to the left, degrees: within 2 if it is 0
	Plumb      bool    // a line hangs beside the bike and is marked in two places
}

func (s *Session) normal(mean, sigma float64) float64 { return mean + sigma*s.rng.NormFloat64() }
func (s *Session) between(a, b float64) float64       { return a + (b-a)*s.rng.Float64() }

// New draws a session.
func New(seed uint64, o Options) *Session {
	s := &Session{Kind: o.Kind, rng: rand.New(rand.NewPCG(seed, 20)), Truth: map[string]Vec{}, turnedPoints: map[string]bool{}}
	if o.Trueness == 0 {
		o.Trueness = 1
	}
	s.bike(o.Trueness)
	if o.Steer != 0 {
		s.Steer = o.Steer
	}
	if o.Lean != 0 {
		s.Lean = o.Lean
	}
	s.camera(o)
	s.places(o.Count)
	for _, p := range s.Places {
		s.Photographs = append(s.Photographs, s.shoot(p, o.Sigma))
	}
	if o.Plumb {
		s.plumb(o.Sigma)
	}
	return s
}

// plumb hangs a line beside the bike and marks it in two places in each photograph, nearer to
// the ground and further up.
func (s *Session) plumb(sigma float64) {
	ground := s.centre[0][2] - s.rear
	foot := Vec{s.between(-300, 500), s.between(300, 500), ground}
	if s.rng.IntN(2) == 0 {
		foot[1] *= -1
	}
	sin, cos := math.Sincos(s.Lean * math.Pi / 180)
	for i, p := range s.Places {
		v := s.stand(p)
		for _, high := range [...]float64{s.between(150, 350), s.between(650, 900)} {
			x, y := v.see(&s.Real, foot.plus(Vec{0, -sin, cos}, high))
			x, y = math.Round(x+s.normal(0, sigma)), math.Round(y+s.normal(0, sigma))
			if x >= 0 && y >= 0 && x <= 4000 && y <= 3000 {
				s.Photographs[i] = append(s.Photographs[i], Mark{"plumb_line", x, y})
			}
		}
	}
}

// pair adds two points that mirror each other but for what is off: line is the standard
// deviation of the difference, middle of the middle across.
func (s *Session) pair(name string, at Vec, line, middle float64, turned bool) {
	m := s.normal(0, middle)
	dx, dz := s.normal(0, line)/2, s.normal(0, line)/2
	left, right := name+"_left", name+"_right"
	s.Truth[left] = Vec{at[0] + dx, at[1] + m, at[2] + dz}
	s.Truth[right] = Vec{at[0] - dx, -at[1] + m, at[2] - dz}
	s.turnedPoints[left], s.turnedPoints[right] = turned, turned
}

func (s *Session) bike(trueness float64) {
	line, middle := trueness*math.Sqrt2, trueness/math.Sqrt2
	s.front = s.between(328, 358)
	s.rear = s.front
	if s.rng.IntN(4) == 0 {
		s.rear += s.normal(0, 6)
	}
	drop := s.between(62, 80)
	rear := Vec{-math.Sqrt(math.Pow(s.between(405, 435), 2) - drop*drop), 0, drop}
	head, offset := s.between(68, 74)*math.Pi/180, s.between(38, 52)
	front := Vec{s.between(570, 640), 0, drop + s.front - s.rear}
	out := Vec{math.Sin(head), 0, math.Cos(head)}
	s.along = Vec{-math.Cos(head), 0, math.Sin(head)}
	s.axis = front.plus(out, -offset)
	s.Steer, s.Lean = s.between(-5, 5), s.between(-2, 2)
	s.centre = [2]Vec{rear, front}
	s.round = s.between(300, 318)
	for w := range 2 {
		s.half[w], s.dish[w] = s.normal(12, 5), s.normal(0, 1.5)
	}
	s.FrontRadius, s.RearRadius = s.front+s.normal(0, 1), s.rear+s.normal(0, 1)
	s.Circle = s.round + s.normal(0, 0.7)

	s.pair("bottom_bracket", Vec{0, s.normal(60, 20), 0}, line, middle, false)
	s.pair("rear_axle", Vec{rear[0], s.normal(75, 12), rear[2]}, line, 8, false)
	s.pair("front_axle", Vec{front[0], s.normal(55, 10), front[2]}, line, 8, true)
	for _, h := range []struct {
		name string
		up   float64
	}{{"head_tube_bottom", 385}, {"head_tube_top", 385 + s.between(100, 200)}} {
		at := s.axis.plus(s.along, h.up)
		at[1] = s.normal(23, 5)
		s.pair(h.name, at, line, middle, false)
	}
	s.pair("mark_seat_tube_top", Vec{-s.between(120, 160), s.normal(16, 3), s.between(430, 520)}, line, middle, false)
	s.pair("mark_seat_tube_bottom", Vec{-s.between(15, 30), s.normal(17, 3), s.between(70, 100)}, line, middle, false)

	saddle := Vec{-s.between(150, 240), 0, s.between(640, 760)}
	s.pair("saddle_edge", Vec{saddle[0], s.normal(40, 2), saddle[2]}, 3, 1.5, false)
	s.Truth["saddle_nose"] = Vec{saddle[0] + s.between(120, 160), s.normal(0, 4), saddle[2] + s.normal(-6, 3)}
	s.Truth["saddle_rear"] = Vec{saddle[0] - s.between(100, 130), s.normal(0, 4), saddle[2] + s.normal(7, 3)}
	bar := Vec{s.between(420, 500), 0, s.between(560, 700)}
	switch s.Kind {
	case "flat":
		s.pair("grip", Vec{bar[0], s.normal(350, 40), bar[2]}, 5, 2.5, true)
	case "aero":
		s.pair("grip", Vec{bar[0] + 60, s.normal(350, 40), bar[2] - 40}, 5, 2.5, true)
		s.pair("pad", Vec{bar[0] - 60, math.Max(30, s.normal(90, 40)), bar[2] + 50}, 5, 2.5, true)
		s.pair("extension", Vec{bar[0] + 240, math.Max(15, s.normal(50, 25)), bar[2] + 70}, 5, 2.5, true)
	default:
		s.pair("hoods", Vec{bar[0] + 100, s.normal(210, 20), bar[2] + 20}, 5, 2.5, true)
		s.pair("drops", Vec{bar[0] + 40, s.normal(215, 25), bar[2] - 120}, 5, 2.5, true)
		s.pair("tops", Vec{bar[0], math.Max(30, s.normal(100, 40)), bar[2]}, 5, 2.5, true)
	}
	crank := s.between(160, 178)
	s.Crank = crank + s.normal(0, 0.3)
	sin, cos := math.Sincos(s.between(0, 2*math.Pi))
	q := s.normal(74, 6)
	s.Truth["pedal_left"] = Vec{crank*cos + s.normal(0, 0.7), q + s.normal(0, 0.7), crank*sin + s.normal(0, 0.7)}
	s.Truth["pedal_right"] = Vec{-crank*cos + s.normal(0, 0.7), -q + s.normal(0, 0.7), -crank*sin + s.normal(0, 0.7)}
	s.Truth["rear_ground"] = Vec{rear[0] + s.normal(0, 12), s.normal(0, 8), rear[2] - s.rear}
	s.Truth["front_ground"] = Vec{front[0] + s.normal(0, 12), s.normal(0, 8), rear[2] - s.rear}
}

func (s *Session) camera(o Options) {
	c := Camera{Width: 4000, Height: 3000}
	equivalent := math.Exp(s.between(math.Log(24), math.Log(85)))
	diagonal := math.Hypot(c.Width, c.Height)
	focal := equivalent / 43.266615 * diagonal
	corner := 0.015
	c.Equivalent = math.Round(equivalent * math.Exp(s.normal(0, 0.035)))
	r := diagonal / 2 / focal
	bend := func(of *Camera, size float64) {
		of.K1 += s.normal(0, size) / (r * r)
		of.K2 += s.normal(0, size/2) / (r * r * r * r)
		of.P1 += s.normal(0, size/15) / r
		of.P2 += s.normal(0, size/15) / r
	}
	real := c
	off := 0.01
	if o.Calibrated {
		c.Equivalent, corner, off = 0, 0.001, 0.001
		bend(&c, 0.015)
		real = c
		c.Focal = focal * math.Exp(s.normal(0, 0.01))
		c.CentreX, c.CentreY = 2000+s.normal(0, 40), 1500+s.normal(0, 40)
		real.CentreX, real.CentreY = c.CentreX, c.CentreY
	} else {
		real.CentreX, real.CentreY = 2000, 1500
	}
	if o.Unknown {
		c.Equivalent = 0
	}
	bend(&real, corner)
	real.Equivalent, real.Focal = 0, focal
	real.CentreX += s.normal(0, off*diagonal)
	real.CentreY += s.normal(0, off*diagonal)
	s.Camera, s.Real = c, real
}

// places stands cameras around the bike: from the right, from the left, from both in front,
// from behind, then anywhere.
func (s *Session) places(count int) {
	around := [...]float64{-90, 90, 35, -35, 135, -135, 65, -65}
	for i := range count {
		p := Place{Around: around[i] + s.normal(0, 6), High: s.between(600, 1500)}
		p.Far = s.fill(p, s.between(0.6, 0.95))
		s.Places = append(s.Places, p)
	}
}

// fill returns from how far the bike takes a share of the picture's width, or of its height.
func (s *Session) fill(p Place, share float64) float64 {
	lo, hi := 1200., 20000.
	for range 30 {
		p.Far = (lo + hi) / 2
		v := s.stand(p)
		left, right, up, down := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, w := range s.centre {
			for k := range 12 {
				sin, cos := math.Sincos(float64(k) * math.Pi / 6)
				x, y := v.see(&s.Real, w.plus(Vec{cos, 0, sin}, s.front))
				left, right, up, down = min(left, x), max(right, x), min(up, y), max(down, y)
			}
		}
		for _, q := range s.Truth {
			x, y := v.see(&s.Real, q)
			left, right, up, down = min(left, x), max(right, x), min(up, y), max(down, y)
		}
		// All of it is in the picture.
		if 2*max(2000-left, right-2000) > share*4000 || 2*max(1500-up, down-1500) > 0.95*3000 {
			lo = p.Far
		} else {
			hi = p.Far
		}
	}
	return hi
}

// A view has the camera's axes in those of the bike.
type view struct{ at, right, down, ahead Vec }

// stand looks from a place at the middle of a bike that leans.
func (s *Session) stand(p Place) view {
	sin, cos := math.Sincos(p.Around * math.Pi / 180)
	ground := s.centre[0][2] - s.rear
	middle := Vec{90, 0, ground + 500}
	high := p.High - 500
	level := math.Sqrt(max(1, p.Far*p.Far-high*high))
	at := Vec{middle[0] + level*cos, level * sin, middle[2] + high}
	look := middle.plus(at, -1)
	n := math.Sqrt(look.dot(look))
	look = Vec{look[0] / n, look[1] / n, look[2] / n}
	pan, tilt := math.Atan2(look[1], look[0]), math.Asin(look[2])
	sp, cp := math.Sincos(pan)
	st, ct := math.Sincos(tilt)
	v := view{at: at, right: Vec{sp, -cp, 0}, ahead: Vec{cp * ct, sp * ct, st}, down: Vec{cp * st, sp * st, -ct}}
	// The bike leans about the line on which it stands: in its axes, the cameras do.
	sl, cl := math.Sincos(s.Lean * math.Pi / 180)
	lean := func(a Vec, by float64) Vec {
		z := a[2] - by
		return Vec{a[0], a[1]*cl - z*sl, a[1]*sl + z*cl + by}
	}
	return view{lean(v.at, ground), lean(v.right, 0), lean(v.down, 0), lean(v.ahead, 0)}
}

func (v *view) see(c *Camera, p Vec) (x, y float64) {
	d := p.plus(v.at, -1)
	z := d.dot(v.ahead)
	a, b := d.dot(v.right)/z, d.dot(v.down)/z
	r2 := a*a + b*b
	k := 1 + c.K1*r2 + c.K2*r2*r2 + c.K3*r2*r2*r2
	u := a*k + 2*c.P1*a*b + c.P2*(r2+2*a*a)
	w := b*k + c.P1*(r2+2*b*b) + 2*c.P2*a*b
	return c.CentreX + c.Focal*u, c.CentreY + c.Focal*w
}

// turned turns a point about the steering axis (O. Rodrigues).
func (s *Session) turned(p Vec) Vec {
	sin, cos := math.Sincos(s.Steer * math.Pi / 180)
	d := p.plus(s.axis, -1)
	k := s.along
	r := Vec{}.plus(d, cos).plus(k.cross(d), sin).plus(k, k.dot(d)*(1-cos))
	return s.axis.plus(r, 1)
}

// shoot marks what can be seen from a place.
func (s *Session) shoot(p Place, sigma float64) []Mark {
	v := s.stand(p)
	aside := math.Sin(p.Around * math.Pi / 180)
	names := make([]string, 0, len(s.Truth))
	for name := range s.Truth {
		names = append(names, name)
	}
	sort.Strings(names)
	var marks []Mark
	mark := func(name string, at Vec) {
		x, y := v.see(&s.Real, at)
		x, y = math.Round(x+s.normal(0, sigma)), math.Round(y+s.normal(0, sigma))
		if x >= 0 && y >= 0 && x <= 4000 && y <= 3000 {
			marks = append(marks, Mark{name, x, y})
		}
	}
	for _, name := range names {
		side := 0.0
		if strings.HasSuffix(name, "_left") {
			side = 1
		} else if strings.HasSuffix(name, "_right") {
			side = -1
		}
		if side*aside < 0 { // a far side is seen from its own side only
			continue
		}
		at := s.Truth[name]
		if s.turnedPoints[name] {
			at = s.turned(at)
		}
		mark(name, at)
	}
	for w, name := range [2]string{"rear", "front"} {
		side, end := 1.0, "_circle_left"
		if aside < 0 {
			side, end = -1, "_circle_right"
		}
		if math.Abs(aside) < 0.3 {
			continue
		}
		from := s.between(0, 2*math.Pi)
		for k := range 6 {
			sin, cos := math.Sincos(from + float64(k)*math.Pi/3)
			at := s.centre[w].plus(Vec{cos, 0, sin}, s.round)
			at[1] += s.dish[w] + side*s.half[w]
			if w == 1 {
				at = s.turned(at)
			}
			mark(name+end, at)
		}
	}
	return marks
}
