// Package rides simulates riders and what cameras see of them, for the proof of
// contact/motion. It shares no code with the module: no package of it is imported, and
// angles are computed its own way.
//
// A rider is a pelvis that moves and turns in six directions, thighs and shanks between it
// and feet that tip on the pedals, a trunk and arms. Markers sit on the skin, which slides
// over the bones in phase with the stroke, by a centimetre over thigh and hip. What the
// solver does not know: no two revolutions are alike, and each is a little like the one
// before; the crank turns unevenly within the stroke and drifts in cadence; noise differs
// between markers and axes; readings are rounded to 0.1 mm; and the cameras' axes are any.
//
// Sizes are invented ("common practice, no source").
package rides

import (
	"math"
	"math/rand/v2"
)

// V is a point or a direction: forward, to the left, up.
type V [3]float64

// A Plan is what is to be simulated.
type Plan struct {
	Seed                          uint64
	Seconds, Rate, Cadence, Noise float64
	Gaps                          bool   // of up to 0.1 s, in all markers
	Fault                         string // "", "spike", "exchange" or "slip"
	Rock                          float64
	Saddle                        float64 // how much higher it is
	Still                         bool    // no two revolutions differ
	// Late is by how many degrees of crank the foot tips later.
	Late float64
	// Again makes another recording of the same rider.
	Again uint64
}

// A Fault is one that was planted, in the frames From to To.
type Fault struct {
	Names    []string
	From, To int
	By       float64
}

// A Ride is what the cameras see, and what is true.
type Ride struct {
	Times []float64
	Names []string
	At    [][]V // by marker and frame, in the axes of the cameras
	Seen  [][]bool
	// Bike is where the markers of the bike are, in its own axes.
	Bike map[string]V
	// Least, Most and Mean are of the markers, over the mean of many revolutions.
	Least, Most, Mean map[string]float64
	Faults            []Fault
	Turns             float64 // how many revolutions there are
}

const (
	crank        = 172.5
	thigh, shank = 425.0, 410.0
	upper, fore  = 290.0, 260.0
	rad          = math.Pi / 180
)

// Names of the markers, left before right.
var paired = []string{"pedal", "toe", "heel", "ankle", "knee", "hip", "shoulder", "elbow", "wrist", "asis", "psis"}

func plus(vs ...V) (s V) {
	for _, v := range vs {
		for i := range s {
			s[i] += v[i]
		}
	}
	return s
}

func times(k float64, v V) V { return V{k * v[0], k * v[1], k * v[2]} }

func dot(a, b V) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b V) V {
	return V{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func long(v V) float64 { return math.Sqrt(dot(v, v)) }

func unit(v V) V { return times(1/long(v), v) }

// turn is Rodrigues' formula.
func turn(v, axis V, deg float64) V {
	s, c := math.Sincos(deg * rad)
	return plus(times(c, v), times(s, cross(axis, v)), times((1-c)*dot(axis, v), axis))
}

// varies is what a revolution has of its own.
type varies [7]float64 // pelvis x, y, z mm; ankling, knee out, trunk degrees; tissue

// body is one rider.
type body struct {
	plan   Plan
	phases [6]float64
	skin   float64
	flare  float64
}

// joint bends two links between points, towards a side.
func joint(from, to V, a, b float64, towards V) V {
	line := plus(to, times(-1, from))
	d := long(line)
	x := (d*d + a*a - b*b) / (2 * d)
	y := math.Sqrt(math.Max(0, a*a-x*x))
	u := times(1/d, line)
	side := unit(plus(towards, times(-dot(towards, u), u)))
	return plus(from, times(x, u), times(y, side))
}

// pose returns the markers at a crank angle of the left, by name.
func (b *body) pose(deg float64, u varies) map[string]V {
	at := make(map[string]V, 2*len(paired)+1)
	s := func(k, phase float64) float64 { return math.Sin((k*deg + phase) * rad) }
	centre := plus(V{-190, 0, 792 + b.plan.Saddle}, V{u[0] + 3*s(2, b.phases[0]), u[1] + 6*s(1, b.phases[1]), u[2] + b.plan.Rock*s(1, b.phases[2]) + 2*s(2, 40)})
	tilt, list, yaw := 25+1.5*s(2, 70)+u[5], 2.5*s(1, 10), 2*s(1, 80)
	pelvis := func(v V) V {
		v = turn(v, V{1, 0, 0}, list)
		v = turn(v, V{0, 1, 0}, tilt)
		return plus(centre, turn(v, V{0, 0, 1}, yaw))
	}
	lean := 40 + 0.8*s(2, 20) + u[5]
	trunk := V{math.Cos(lean * rad), 0.01 * s(1, 0), math.Sin(lean * rad)}
	at["neck"] = plus(centre, times(520, trunk), V{-20, 0, 60})
	for k, side := range []string{"_left", "_right"} {
		out := 1 - 2*float64(k)
		turned := deg + 180*float64(k)
		w := func(k, phase float64) float64 { return math.Sin((k*turned + phase) * rad) }
		spindle := V{crank * math.Sin(turned*rad), out * 150, crank * math.Cos(turned*rad)}
		drop := (22 + (11+u[3])*w(1, b.phases[3]-b.plan.Late) + 2*w(2, 30)) * rad
		ahead, up := V{math.Cos(drop), 0, -math.Sin(drop)}, V{math.Sin(drop), 0, math.Cos(drop)}
		foot := func(x, y, z float64) V {
			p := plus(spindle, times(x, ahead), times(z, up))
			p[1] = out * y
			return p
		}
		ankle, hip := foot(-115, 120, 78), pelvis(V{15, out * 85, -65})
		aside := turn(V{1, 0, 0.3}, unit(plus(ankle, times(-1, hip))), out*(-b.flare-3*w(1, b.phases[4])-u[4]))
		knee := joint(hip, ankle, thigh, shank, aside)
		along := unit(plus(knee, times(-1, hip)))
		slide := (b.skin + u[6]) * (0.75*w(1, b.phases[5]) + 0.25*w(2, 100))
		at["pedal"+side] = spindle
		at["toe"+side], at["heel"+side] = foot(12, 165, 38), foot(-168, 140, 38)
		at["ankle"+side] = plus(ankle, V{0, out * 38, 0}, times(0.2*slide, unit(plus(knee, times(-1, ankle)))))
		at["knee"+side] = plus(knee, V{0, out * 52, 0}, times(slide, along))
		at["hip"+side] = plus(hip, V{0, out * 88, 0}, times(slide, unit(V{0.6, 0, 0.8})))
		shoulder := plus(centre, times(480, trunk), V{0, out * 185, 0})
		at["shoulder"+side] = plus(shoulder, times(0.3*slide, trunk))
		wrist := V{440, out * 212, 680}
		at["elbow"+side] = plus(joint(shoulder, wrist, upper, fore, V{-0.5, out * 0.4, -1}), V{0, out * 35, 0})
		at["wrist"+side] = wrist
		at["asis"+side], at["psis"+side] = pelvis(V{98, out * 122, 8}), pelvis(V{-62, out * 46, 24})
	}
	return at
}

// bend is the angle at b between lines to a and c.
func bend(a, b, c V) float64 { return apart(plus(a, times(-1, b)), plus(c, times(-1, b))) }

func apart(p, q V) float64 {
	return math.Acos(math.Max(-1, math.Min(1, dot(p, q)/(long(p)*long(q))))) / rad
}

// shows are the measures of one side, as cameras in space see them.
func shows(at map[string]V, side string) map[string]float64 {
	k := func(name string) V { return at[name+side] }
	out := 1.0
	if side == "_right" {
		out = -1
	}
	trunk := plus(k("shoulder"), times(-1, k("hip")))
	share := (k("knee")[2] - k("ankle")[2]) / (k("hip")[2] - k("ankle")[2])
	middle := times(0.25, plus(at["asis_left"], at["asis_right"], at["psis_left"], at["psis_right"]))
	y := unit(plus(at["asis_left"], times(-1, at["asis_right"])))
	z := unit(cross(plus(at["asis_left"], at["asis_right"], times(-1, at["psis_left"]), times(-1, at["psis_right"])), y))
	x := cross(y, z)
	return map[string]float64{
		"knee_flexion":       180 - bend(k("hip"), k("knee"), k("ankle")),
		"hip_flexion":        180 - bend(k("shoulder"), k("hip"), k("knee")),
		"ankle_dorsiflexion": 90 - apart(plus(k("knee"), times(-1, k("ankle"))), plus(k("toe"), times(-1, k("heel")))),
		"trunk_lean":         math.Atan2(trunk[2], math.Hypot(trunk[0], trunk[1])) / rad,
		"elbow_flexion":      180 - bend(k("shoulder"), k("elbow"), k("wrist")),
		"knee_offset":        out * (k("knee")[1] - k("toe")[1]),
		"knee_line":          out * (k("knee")[1] - k("ankle")[1] - share*(k("hip")[1]-k("ankle")[1])),
		"pelvis_tilt":        math.Asin(z[0]) / rad,
		"pelvis_obliquity":   math.Asin(y[2]) / rad,
		"pelvis_rotation":    math.Asin(x[1]) / rad,
		"pelvis_up":          middle[2],
		"pelvis_left":        middle[1],
	}
}

// New simulates a ride.
func New(p Plan) *Ride {
	rng := rand.New(rand.NewPCG(p.Seed, 54))
	n := rng.NormFloat64
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	b := &body{plan: p, skin: u(8, 10), flare: u(-3, 6)}
	for i := range b.phases {
		b.phases[i] = [6]float64{60, 20, 110, -40, -20, 50}[i] + u(-25, 25)
	}
	r := &Ride{Least: map[string]float64{}, Most: map[string]float64{}, Mean: map[string]float64{}}
	b.truth(r)
	if p.Again > 0 {
		rng = rand.New(rand.NewPCG(p.Seed, 1000+p.Again))
		n = rng.NormFloat64
		u = func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	}
	for _, name := range paired {
		r.Names = append(r.Names, name+"_left", name+"_right")
	}
	r.Names = append(r.Names, "neck", "bike_1", "bike_2", "bike_3")
	r.Bike = map[string]V{"bike_1": {10, 40, 420}, "bike_2": {-420, 70, 60}, "bike_3": {560, -60, 180}}
	frames := int(p.Seconds*p.Rate) + 1
	size := make([]V, len(r.Names)) // of noise
	for k := range size {
		one := u(0.85, 1.15)
		size[k] = V{p.Noise * one * 0.9, p.Noise * one * 1.15, p.Noise * one * 0.9}
		r.At, r.Seen = append(r.At, make([]V, frames)), append(r.Seen, make([]bool, frames))
	}
	axis := unit(V{0.1 * n(), 0.1 * n(), 1})
	spin, shift := u(0, 360), V{u(-1500, 1500), u(-1500, 1500), u(-300, 900)}
	own, next := b.draw(rng, varies{}), varies{}
	next = b.draw(rng, own)
	deg, wave := u(0, 360), u(0, 360)
	start, turnAt := deg, math.Floor(deg/360)
	for i := range frames {
		t := float64(i) / p.Rate
		r.Times = append(r.Times, t)
		if math.Floor(deg/360) > turnAt {
			turnAt++
			own, next = next, b.draw(rng, next)
		}
		share := (1 - math.Cos(math.Mod(deg, 360)*rad/2)) / 2
		var now varies
		for j := range now {
			now[j] = own[j]*(1-share) + next[j]*share
		}
		pose := b.pose(deg, now)
		for k, name := range r.Names {
			at, ok := pose[name]
			if !ok {
				at = r.Bike[name]
			}
			r.At[k][i], r.Seen[k][i] = plus(turn(at, axis, spin), shift), true
		}
		for range 4 {
			rate := p.Cadence * 6 * (1 + 0.04*math.Sin((2*deg+30)*rad) + 0.015*math.Sin((40*t+wave)*rad))
			deg += rate / p.Rate / 4
		}
	}
	r.Turns = (deg - start) / 360
	r.spoil(p, rng, func(v V) V { return turn(v, axis, spin) })
	for k := range r.At {
		for i := range r.At[k] {
			for j := range 3 {
				r.At[k][i][j] = math.Round((r.At[k][i][j]+size[k][j]*n())*10) / 10
			}
		}
	}
	return r
}

// spreads are the standard deviations of what revolutions have of their own, and follows
// how much of it is that of the one before.
var spreads = varies{2, 2, 2, 1.2, 0.7, 0.6, 1}

const follows = 0.2

// draw returns what a revolution has of its own.
func (b *body) draw(rng *rand.Rand, before varies) (v varies) {
	if b.plan.Still {
		return v
	}
	for j, sigma := range spreads {
		v[j] = follows*before[j] + math.Sqrt(1-follows*follows)*sigma*rng.NormFloat64()
	}
	return v
}

// truth fills in the extremes of the mean revolution, to second order in what revolutions
// differ by.
func (b *body) truth(r *Ride) {
	const steps = 72
	curves := map[string]*[steps]float64{}
	for i := range steps {
		deg := 360 * float64(i) / steps
		share := (1 - math.Cos(deg*rad/2)) / 2
		spread := math.Sqrt((1-share)*(1-share) + share*share + 2*follows*share*(1-share))
		each := []varies{{}}
		if !b.plan.Still {
			each = nil
			for j, sigma := range spreads {
				for _, sign := range []float64{-1, 1} {
					var v varies
					v[j] = sign * sigma * spread * math.Sqrt(float64(len(spreads)))
					each = append(each, v)
				}
			}
		}
		for _, v := range each {
			at := b.pose(deg, v)
			for _, side := range []string{"_left", "_right"} {
				for name, v := range shows(at, side) {
					if curves[name+side] == nil {
						curves[name+side] = new([steps]float64)
					}
					curves[name+side][i] += v / float64(len(each))
				}
			}
		}
	}
	for name, c := range curves {
		r.Least[name], r.Most[name] = -extreme(c[:], -1), extreme(c[:], 1)
		for _, v := range c {
			r.Mean[name] += v / steps
		}
	}
}

// extreme is the most of a curve, or that of the negative one, by the parabola through
// three points.
func extreme(c []float64, sign float64) float64 {
	best := 0
	for i := range c {
		if sign*c[i] > sign*c[best] {
			best = i
		}
	}
	n := len(c)
	a, m, z := sign*c[(best+n-1)%n], sign*c[best], sign*c[(best+1)%n]
	if bend := a - 2*m + z; bend < 0 {
		return m - (z-a)*(z-a)/(8*bend)
	}
	return m
}

// exchanged are pairs that people and programs mix up.
var exchanged = [][2]string{
	{"knee_left", "ankle_left"},
	{"toe_right", "heel_right"},
	{"ankle_left", "heel_left"},
	{"hip_right", "asis_right"},
	{"knee_left", "knee_right"},
	{"ankle_left", "ankle_right"},
	{"toe_left", "toe_right"},
	{"asis_left", "asis_right"},
	{"psis_left", "psis_right"},
	{"shoulder_left", "shoulder_right"},
	{"pedal_left", "toe_left"},
}

// slipping are markers on skin, and the plane of the skin by the direction out of it.
var slipping = []struct {
	name string
	out  V
}{
	{"knee_left", V{0, 1, 0}},
	{"knee_right", V{0, 1, 0}},
	{"hip_left", V{0, 1, 0}},
	{"hip_right", V{0, 1, 0}},
	{"ankle_left", V{0, 1, 0}},
	{"shoulder_right", V{0, 1, 0}},
	{"asis_left", V{1, 0, 0}},
	{"asis_right", V{1, 0, 0}},
	{"psis_left", V{1, 0, 0}},
	{"toe_right", V{0, 1, 0}},
}

func (r *Ride) index(name string) int {
	for k, has := range r.Names {
		if has == name {
			return k
		}
	}
	return -1
}

// spoil plants gaps and a fault.
func (r *Ride) spoil(p Plan, rng *rand.Rand, turned func(V) V) {
	frames := len(r.Times)
	body := len(r.Names) - 3
	switch p.Fault {
	case "spike":
		k, i := rng.IntN(body), 3+rng.IntN(frames-6)
		by := math.Max(60, 15*p.Noise) + 300*rng.Float64()
		away := times(by, unit(V{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}))
		last := i
		if p.Rate >= 100 && rng.IntN(2) == 0 {
			last++
		}
		for j := i; j <= last; j++ {
			r.At[k][j] = plus(r.At[k][j], away)
		}
		r.Faults = []Fault{{[]string{r.Names[k]}, i, last, by}}
	case "exchange":
		pair := exchanged[rng.IntN(len(exchanged))]
		a, b := r.index(pair[0]), r.index(pair[1])
		size := int((0.3 + 1.7*rng.Float64()) * p.Rate)
		from := 3 + rng.IntN(frames-size-6)
		for i := from; i < from+size; i++ {
			r.At[a][i], r.At[b][i] = r.At[b][i], r.At[a][i]
		}
		r.Faults = []Fault{{[]string{pair[0], pair[1]}, from, from + size - 1, 0}}
	case "slip":
		what := slipping[rng.IntN(len(slipping))]
		k, from := r.index(what.name), int((0.3+0.4*rng.Float64())*float64(frames))
		away := V{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}
		away = unit(plus(away, times(-dot(away, what.out), what.out)))
		by := 20 + 20*rng.Float64()
		for i := from; i < frames; i++ {
			r.At[k][i] = plus(r.At[k][i], turned(times(by, away)))
		}
		r.Faults = []Fault{{[]string{what.name}, from, frames - 1, by}}
	}
	if !p.Gaps {
		return
	}
	for k := range body {
		for i := 1; i < frames-1; {
			i += 1 + int(rng.ExpFloat64()*4*p.Rate) // one in 4 s
			size := 1 + rng.IntN(max(1, int(0.1*p.Rate)))
			if i+size >= frames-1 {
				break
			}
			for j := i; j < i+size; j++ {
				r.Seen[k][j] = r.spared(k, j)
			}
			i += size + int(0.2*p.Rate) + 2
		}
	}
}

// spared says that a fault is there to be seen.
func (r *Ride) spared(k, i int) bool {
	for _, f := range r.Faults {
		if f.To-f.From < 3 && i >= f.From-3 && i <= f.To+3 && r.Names[k] == f.Names[0] {
			return true
		}
	}
	return false
}
