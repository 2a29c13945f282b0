// Package riders simulates people on bikes, what cameras see of their left legs, and what a
// tape says of them, for the proof of contact/rider/calibrate. It shares no code with the
// module: no package of it is imported.
//
// Every rider has segments, a seat, a way of ankling and markers of their own. What a solver
// that folds a flat leg between a still saddle and a pedal does not know: the pelvis rocks,
// tips, turns and sways in six directions, in phase with the stroke; skin slides over the
// bones with three harmonics, over thigh and hip by some 7 mm, over the pelvis by some 1.5;
// markers over the pelvis lie on 10 and 20 mm of skin (the means of G. Mantovani et al. 2016,
// Gait Posture 44, 48–54); the knee goes outwards in a plane that tips by some degrees; no
// two revolutions are alike; the foot turns about the spindle of a pedal whose crank is
// not quite as long as stated; and tapes are rounded to 5 mm.
//
// Other sizes are invented ("common practice, no source").
package riders

import (
	"math"
	"math/rand/v2"
)

// V is a point or a direction: forward, to the left, up, mm.
type V [3]float64

// A Plan is what is to be simulated.
type Plan struct {
	Seed                          uint64
	Seconds, Rate, Cadence, Noise float64
	// Loose is by how much more than usual skin slides and markers lie beside joints; 0 is 1.
	Loose float64
}

// A Rider is what is seen of one, and what is true.
type Rider struct {
	// Thigh, Shank, AnkleHeight, AnkleBehind, HipForward and HipUp are true, the hip as the
	// mean of a revolution over the saddle.
	Thigh, Shank, AnkleHeight, AnkleBehind, HipForward, HipUp float64
	// Stature is without shoes.
	Stature float64
	// Saddle is its reference, Crank the stated length, Sole how far the sole is above the
	// spindle.
	Saddle      V
	Crank, Sole float64
	Times       []float64
	// At is where each marker is in each frame.
	At map[string][]V
	// Tape is what a tape says, by what was measured.
	Tape map[string]float64
}

const rad = math.Pi / 180

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

func unit(v V) V { return times(1/math.Sqrt(dot(v, v)), v) }

// turn is Rodrigues' formula.
func turn(v, axis V, deg float64) V {
	s, c := math.Sincos(deg * rad)
	return plus(times(c, v), times(s, cross(axis, v)), times((1-c)*dot(axis, v), axis))
}

// A wave is three harmonics, cosine and sine.
type wave [6]float64

func (w *wave) at(deg float64) (sum float64) {
	for k := range 3 {
		s, c := math.Sincos(float64(k+1) * deg * rad)
		sum += w[2*k]*c + w[2*k+1]*s
	}
	return sum
}

// person is a rider as they are.
type person struct {
	*Rider
	crank                             float64
	swayX, swayY, swayZ               wave
	tilt, list, yaw                   float64
	rock, lists, yaws                 wave
	pitch                             float64
	ankling                           wave
	flare                             float64
	flares                            wave
	hip                               V // in the pelvis, from the middle between the ASIS
	asis, psis                        V // left ones, bones; in the pelvis
	asisSkin, psisSkin                [2]V
	hipOff, kneeOff, ankleOff         V
	hipSlide, hipAcross               wave
	kneeSlide, kneeAcross, ankleSlide wave
	asisSlide, psisSlide              wave
	toe, heel                         V // on the foot, from the ball
	middle                            V // where the middle between the ASIS is
}

// turned is a direction of the pelvis in space.
func (p *person) turned(v V, deg float64) V {
	v = turn(v, V{1, 0, 0}, p.list+p.lists.at(deg))
	v = turn(v, V{0, 1, 0}, p.tilt+p.rock.at(deg))
	return turn(v, V{0, 0, 1}, p.yaw+p.yaws.at(deg))
}

// pelvis is a point of the pelvis in space.
func (p *person) pelvis(v V, deg float64) V {
	return plus(p.middle, V{p.swayX.at(deg), p.swayY.at(deg), p.swayZ.at(deg)}, p.turned(v, deg))
}

// pose returns the markers at a crank angle, with what a revolution has of its own.
func (p *person) pose(deg float64, own *[4]float64) map[string]V {
	at := make(map[string]V, 10)
	mirror := func(v V) V { return V{v[0], -v[1], v[2]} }
	s, c := math.Sincos(deg * rad)
	spindle := V{p.crank * s, 130, p.crank * c}
	slope := p.pitch + own[0] + p.ankling.at(deg)
	ahead, up := V{math.Cos(slope * rad), 0, math.Sin(slope * rad)}, V{-math.Sin(slope * rad), 0, math.Cos(slope * rad)}
	foot := func(v V) V { return plus(spindle, times(v[0], ahead), V{0, v[1], 0}, times(v[2], up)) }
	shift := V{own[1], 0, own[2]}
	hip, ankle := plus(p.pelvis(p.hip, deg), shift), foot(V{-p.AnkleBehind, -12, p.Sole + p.AnkleHeight})
	line := plus(ankle, times(-1, hip))
	d := math.Sqrt(dot(line, line))
	x := (d*d + p.Thigh*p.Thigh - p.Shank*p.Shank) / (2 * d)
	y := math.Sqrt(math.Max(0, p.Thigh*p.Thigh-x*x))
	line = unit(line)
	out := turn(V{1, 0, 0.3}, line, -(p.flare + own[3] + p.flares.at(deg)))
	out = unit(plus(out, times(-dot(out, line), line)))
	knee := plus(hip, times(x, line), times(y, out))
	along := unit(plus(knee, times(-1, hip)))
	before := unit(plus(out, times(-dot(out, along), along)))
	shin := unit(plus(ankle, times(-1, knee)))
	at["pedal_left"], at["toe_left"], at["heel_left"] = spindle, foot(p.toe), foot(p.heel)
	at["ankle_left"] = plus(ankle, times(p.ankleOff[0], ahead), times(p.ankleOff[2], up), V{0, 38, 0}, times(p.ankleSlide.at(deg), shin))
	at["knee_left"] = plus(knee, times(p.kneeOff[0]+p.kneeSlide.at(deg), along), times(p.kneeOff[2]+p.kneeAcross.at(deg), before), V{0, 52, 0})
	at["hip_left"] = plus(hip, p.turned(p.hipOff, deg), times(p.hipSlide.at(deg), V{0.6, 0, 0.8}), times(p.hipAcross.at(deg), V{0.8, 0, -0.6}), V{0, 85, 0})
	for k, side := range []string{"_left", "_right"} {
		asis, psis := p.asis, p.psis
		if k == 1 {
			asis, psis = mirror(asis), mirror(psis)
		}
		at["asis"+side] = plus(p.pelvis(plus(asis, p.asisSkin[k], V{0, 0, p.asisSlide.at(deg + 180*float64(k))}), deg), shift)
		at["psis"+side] = plus(p.pelvis(plus(psis, p.psisSkin[k], V{0, 0, p.psisSlide.at(deg + 180*float64(k))}), deg), shift)
	}
	return at
}

// New simulates a rider.
func New(plan Plan) *Rider {
	rng := rand.New(rand.NewPCG(plan.Seed, 23))
	n := func(mean, sigma float64) float64 { return mean + sigma*rng.NormFloat64() }
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	loose := plan.Loose
	if loose == 0 {
		loose = 1
	}
	some := func(first, second, third float64) wave {
		return wave{n(0, first), n(0, first), n(0, second), n(0, second), n(0, third), n(0, third)}
	}
	r := &Rider{Stature: u(1560, 1930), At: map[string][]V{}, Tape: map[string]float64{}}
	r.Thigh, r.Shank = r.Stature*n(0.238, 0.008), r.Stature*n(0.243, 0.008)
	r.AnkleHeight, r.AnkleBehind = n(90, 6), n(0.070*r.Stature, 8)
	r.Crank, r.Sole = 165+2.5*float64(rng.IntN(5)), n(18, 4)
	p := &person{Rider: r, crank: r.Crank + n(0, 0.3)}
	p.swayX, p.swayY, p.swayZ = some(2, 1.5, 0.3), some(4, 1, 0.3), some(3, 1.5, 0.3)
	p.tilt, p.list, p.yaw = n(25, 6), n(0, 1.5), n(0, 1.5)
	p.rock, p.lists, p.yaws = some(0.7, 0.7, 0.1), some(1.5, 0.4, 0.1), some(1.5, 0.3, 0.1)
	p.pitch, p.ankling, p.flare, p.flares = n(-20, 4), some(6, 1.5, 0.4), n(3, 3), some(2, 0.6, 0.2)
	width, depth := n(236, 14), n(150, 10)
	p.asis, p.psis = V{0, width / 2, 0}, V{-depth, 48, 0}
	p.hip = V{-0.24*depth - 9.9 + n(0, 6), 0.33*width + 7.3 + n(0, 4), -0.30*width - 10.9 + n(0, 6)}
	front, rear := math.Max(2, n(9.7, 4)), math.Max(3, n(19.6, 6))
	for k := range 2 {
		p.asisSkin[k], p.psisSkin[k] = V{front, n(0, 3), n(0, 4)}, V{-rear, n(0, 3), n(0, 4)}
	}
	beside := func(by float64) V { return V{n(0, loose*by), 0, n(0, loose*by)} }
	skin := func(first, second, third float64) wave { return some(loose*first, loose*second, loose*third) }
	p.hipOff, p.kneeOff, p.ankleOff = beside(10), beside(7), beside(5)
	p.hipSlide, p.hipAcross = skin(5, 1.5, 0.5), skin(3, 1, 0.3)
	p.kneeSlide, p.kneeAcross, p.ankleSlide = skin(5, 1.5, 0.5), skin(2.5, 1, 0.3), skin(1, 0.4, 0.1)
	p.asisSlide, p.psisSlide = some(1.5, 0.5, 0.2), some(1.5, 0.5, 0.2)
	high := n(0, 6) // one of toe and heel is higher than the other
	p.toe, p.heel = V{n(8, 6), 35, 40 + r.Sole}, V{n(-175, 8), 10, 40 + r.Sole + high}

	// The saddle is where the leg is nearly straight in its seat, at the far end.
	far := u(24, 42) // flexion, about
	reach := math.Sqrt(r.Thigh*r.Thigh + r.Shank*r.Shank + 2*r.Thigh*r.Shank*math.Cos(far*rad))
	hip := V{-u(0.20, 0.27) * reach, 80, 0}
	// Around the bottom of the stroke: the ankle from the spindle, with the foot as it is
	// there.
	least := math.Inf(-1)
	for deg := 130.0; deg < 220; deg += 5 {
		slope := p.pitch + p.ankling.at(deg)
		s, c := math.Sincos(slope * rad)
		sd, cd := math.Sincos(deg * rad)
		ankle := V{p.crank*sd - r.AnkleBehind*c - (r.Sole+r.AnkleHeight)*s, 0, p.crank*cd - r.AnkleBehind*s + (r.Sole+r.AnkleHeight)*c}
		z := ankle[2] + math.Sqrt(reach*reach-(hip[0]-ankle[0])*(hip[0]-ankle[0]))
		if least < 0 || z < least {
			least = z
		}
	}
	hip[2] = least - 4
	p.middle = V{}
	mean := V{}
	for k := range 360 {
		mean = plus(mean, times(1./360, p.pelvis(p.hip, float64(k))))
	}
	p.middle = V{hip[0] - mean[0], 0, hip[2] - mean[2]}
	r.HipForward, r.HipUp = n(15, 25), n(88, 14)
	r.Saddle = V{hip[0] - r.HipForward, 0, hip[2] - r.HipUp}
	r.record(p, plan, rng)
	r.measure(n)
	return r
}

// record fills in the frames.
func (r *Rider) record(p *person, plan Plan, rng *rand.Rand) {
	deg, turns := 360*rng.Float64(), -1.0
	var own, next [4]float64
	draw := func() (v [4]float64) {
		for i, sigma := range []float64{1.2, 1.5, 1.5, 0.7} {
			v[i] = sigma * rng.NormFloat64()
		}
		return v
	}
	for i := range int(plan.Seconds * plan.Rate) {
		if math.Floor(deg/360) > turns {
			turns = math.Floor(deg / 360)
			own, next = next, draw()
		}
		share := (1 - math.Cos(math.Mod(deg, 360)*rad/2)) / 2
		var now [4]float64
		for k := range now {
			now[k] = own[k]*(1-share) + next[k]*share
		}
		r.Times = append(r.Times, float64(i)/plan.Rate)
		pose := p.pose(deg, &now)
		for _, name := range names {
			v := pose[name]
			for k := range v {
				v[k] = math.Round((v[k]+plan.Noise*rng.NormFloat64())*10) / 10
			}
			r.At[name] = append(r.At[name], v)
		}
		deg += plan.Cadence * 6 * (1 + 0.04*math.Sin((2*deg+30)*rad)) / plan.Rate
	}
}

var names = []string{"pedal_left", "toe_left", "heel_left", "ankle_left", "knee_left", "hip_left", "asis_left", "asis_right", "psis_left", "psis_right"}

// measure fills in what a tape says, from landmarks that are some millimetres beside the
// joints, in the shoes of the ride.
func (r *Rider) measure(n func(mean, sigma float64) float64) {
	tape := func(name string, is float64) { r.Tape[name] = 5 * math.Round(is/5) }
	leg := r.Thigh + r.Shank + r.AnkleHeight
	tape("thigh", r.Thigh+n(0, 9))
	tape("shank", r.Shank+n(0, 7))
	tape("ankle_height", r.AnkleHeight+n(0, 4))
	tape("inseam", leg-n(58, 17))
	tape("trochanter_height", leg+n(0, 11))
	tape("trochanter_over_saddle", r.HipUp+n(0, 9))
	tape("trochanter_forward", r.HipForward+n(0, 11))
}
