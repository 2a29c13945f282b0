package survey

import (
	"fmt"
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// What bikes have where a survey does not say. Common practice, no source.
const (
	usualOffset, usualOffsetSigma = 45, 8 // mm of fork offset
	usualAngle, usualAngleSigma   = 71, 4 // degrees of head angle
)

// coarse is the most that an angle of the datum may be uncertain, degrees. Up to
// there, stated uncertainties are those of 100,000 draws to 1 % and a mean is
// off by less than 5 % of them (TestUncertaintyMonteCarlo); at 3° it is 3 %.
const coarse = 1

// The numbers that a datum is made of. turnX to turnZ are small turns of the
// axes about themselves; the last four are read and not fitted.
const (
	turnX   = iota
	turnY   // pitch
	turnZ   // yaw
	aside   // of the mid-plane from the bottom bracket's mean, mm
	steer   // of the front wheel, radians, positive to the left
	offset  // of the fork, mm
	angle   // of the head tube, radians
	fitted  // how many are fitted
	originX = fitted + iota - 8
	originZ
	frontX
	frontZ
	numbers
)

type numberVec [numbers]float64

// A datum is the bike's axes as the instrument sees them.
type datum struct {
	unit       Unit
	instrument [3][3]float64 // covariance of one reading, in the instrument's axes, mm²

	axes   [3]r3.Vec // x forward, y left, z up
	middle r3.Vec    // of the bottom bracket's landmarks; not quite on the mid-plane
	aside  float64
	steer  float64
	offset float64
	angle  float64

	front         r3.Vec // middle of the front axle, from the bottom bracket's, in the bike's axes
	out, along    r3.Vec // square to the steering axis, forward; up the steering axis
	sinS, cosS    float64
	sinA, cosA    float64
	base          float64 // from axle to axle, level
	cov           [numbers]numberVec
	reading       [3][3]float64 // covariance of one reading, in the bike's axes, mm²
	pairs         []placedPair
	head          bool               // whether the head tube was read
	slopes        []*[numbers]r3.Vec // of the datum's numbers by each point that it rests on
	chi2, freedom float64
}

// A placedPair is a pair of the frame and where its landmarks are among the points.
type placedPair struct {
	pair
	left, right int
}

// A residual is one condition that a true bike and a true reading meet.
type residual struct {
	pair  int
	value float64
	sigma float64
	by    [fitted]float64 // derivative by the datum's numbers
	on    [4]landmarkSlope
	extra float64 // variance of what is no reading: radii, gravity, what bikes have
}

// A landmarkSlope is the derivative by one landmark's place, in the bike's axes.
type landmarkSlope struct {
	landmark int // -1: none
	by       r3.Vec
}

var none = [4]landmarkSlope{{landmark: -1}, {landmark: -1}, {landmark: -1}, {landmark: -1}}

// newDatum fits mid-plane, level and steering to the landmarks.
func newDatum(s *Survey, p *points) (*datum, []Finding, error) {
	d := &datum{unit: s.Unit, instrument: s.covariance(), offset: usualOffset, angle: usualAngle * num.Rad}
	d.choose(p)
	if err := d.begin(s, p); err != nil {
		return nil, nil, err
	}
	rows, err := d.fit(s, p)
	if err != nil {
		return nil, nil, err
	}
	var f fault.List
	if (distuv.ChiSquared{K: d.freedom}).Survival(d.chi2) < disagree {
		worst := &rows[0]
		for i := range rows {
			if r := &rows[i]; math.Abs(r.value/r.sigma) > math.Abs(worst.value/worst.sigma) {
				worst = r
			}
		}
		f.Add("readings."+d.pairs[worst.pair].name(), fmt.Sprintf("%.1f mm from where the other landmarks want it", math.Abs(worst.value)),
			"left and right that mirror each other: read them again", contact.ErrConflict)
		return nil, nil, f.Err()
	}
	d.propagate(p, rows)
	for i, name := range [...]string{turnX: "lean", turnY: "pitch", turnZ: "yaw", steer: "steering angle"} {
		if u := math.Sqrt(d.cov[i][i]) / num.Rad; name != "" && !(u <= coarse) {
			f.Add("sigma", fmt.Sprintf("so large that the %s is uncertain by %.1f degrees", name, u), num.Text(coarse, "degrees or less"), contact.ErrRange)
		}
	}
	if err := f.Err(); err != nil {
		return nil, nil, err
	}
	if u := math.Sqrt(d.cov[steer][steer]); math.Abs(d.steer) > max(3*u, 0.5*num.Rad) {
		return d, []Finding{{Kind: WheelTurned, Reading: -1, Amount: d.steer / num.Rad}}, nil
	}
	return d, nil, nil
}

// choose lists the pairs that were read.
func (d *datum) choose(p *points) {
	d.pairs = make([]placedPair, 0, 8)
	add := func(k pair) bool {
		l, r := p.index(k.left), p.index(k.right)
		if l >= 0 && r >= 0 {
			d.pairs = append(d.pairs, placedPair{k, l, r})
		}
		return l >= 0 && r >= 0
	}
	for _, k := range framePairs[:needed] {
		add(k)
	}
	top := add(framePairs[headTubeTop])
	d.head = add(framePairs[headTubeFoot]) && top
	for i := range p.all {
		if name, ok := strings.CutSuffix(string(p.all[i].landmark), "_left"); ok && strings.HasPrefix(name, markPrefix) {
			add(pair{p.all[i].landmark, Landmark(name + "_right")})
		}
	}
}

// begin finds axes to start from by the three pairs that are always there, with
// the wheel as if straight: the plane whose reflection carries right points onto
// left ones with the least sum of squares. With n the plane's unit normal, D left
// less right and M midway less the mean of all three, that sum is
// Σ D² - (n·D)² + 4(n·M)², so that n is the eigenvector of Σ 4 MMᵀ - DDᵀ with the
// least eigenvalue.
func (d *datum) begin(s *Survey, p *points) error {
	var mid, apart [needed]r3.Vec
	var mean r3.Vec
	for i := range needed {
		l, r := p.all[d.pairs[i].left].at, p.all[d.pairs[i].right].at
		mid[i], apart[i] = r3.Scale(0.5, r3.Add(l, r)), r3.Sub(l, r)
		mean = r3.Add(mean, r3.Scale(1./needed, mid[i]))
	}
	var f fault.List
	for i := range needed {
		f.Length("readings."+d.pairs[i].name()+", left to right", r3.Norm(apart[i]), 30, 350)
	}
	f.Length("readings.rear_axle, to bottom bracket", r3.Norm(r3.Sub(mid[rearAxle], mid[bottomBracket])), 250, 600)
	f.Length("readings.front_axle, to bottom bracket", r3.Norm(r3.Sub(mid[frontAxle], mid[bottomBracket])), 400, 1100)
	f.Length("readings.front_axle, to rear axle", r3.Norm(r3.Sub(mid[frontAxle], mid[rearAxle])), 700, 1700)
	if err := f.Err(); err != nil {
		return err
	}

	a := mat.NewSymDense(3, nil)
	var all r3.Vec
	for i := range needed {
		m := r3.Sub(mid[i], mean)
		for j := range 3 {
			for k := range j + 1 {
				a.SetSym(j, k, a.At(j, k)+4*at(m, j)*at(m, k)-at(apart[i], j)*at(apart[i], k))
			}
		}
		all = r3.Add(all, apart[i])
	}
	var eig mat.EigenSym
	eig.Factorize(a, true) // does not fail for finite numbers
	var v mat.Dense
	eig.VectorsTo(&v)
	n := r3.Vec{X: v.At(0, 0), Y: v.At(1, 0), Z: v.At(2, 0)}
	if r3.Dot(n, all) < 0 {
		n = r3.Scale(-1, n)
	}
	for i := range needed {
		if r3.Dot(n, apart[i]) <= 0 {
			f.Add("readings."+string(d.pairs[i].pair.left), "to the right of "+string(d.pairs[i].pair.right), "left and right not swapped", contact.ErrConflict)
		}
	}
	axles := r3.Sub(mid[frontAxle], mid[rearAxle])
	forward := r3.Sub(axles, r3.Scale(r3.Dot(axles, n), n))
	if rise := (s.FrontRadius - s.RearRadius) / r3.Norm(forward); math.Abs(rise) > 0.5 {
		f.Add("front_radius", num.Text(s.FrontRadius, "mm"), "a radius that fits the other wheel and the distance of the axles", contact.ErrConflict)
	}
	if err := f.Err(); err != nil {
		return err
	}
	d.middle = mid[bottomBracket]
	d.axes[0] = r3.Unit(forward)
	d.axes[1] = n
	d.axes[2] = r3.Cross(d.axes[0], n)
	return nil
}

// turn gives a direction of the instrument in the bike's axes.
func (d *datum) turn(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(d.axes[0], v), Y: r3.Dot(d.axes[1], v), Z: r3.Dot(d.axes[2], v)}
}

// see gives a point of the instrument in the bike's axes, from the middle of the bottom bracket.
func (d *datum) see(v r3.Vec) r3.Vec { return d.turn(r3.Sub(v, d.middle)) }

// settle works out what follows from the fitted numbers.
func (d *datum) settle(p *points) {
	d.sinS, d.cosS = math.Sincos(d.steer)
	d.sinA, d.cosA = math.Sincos(d.angle)
	d.out = r3.Vec{X: d.sinA, Z: d.cosA}
	d.along = r3.Vec{X: -d.cosA, Z: d.sinA}
	d.front = d.see(r3.Scale(0.5, r3.Add(p.all[d.pairs[frontAxle].left].at, p.all[d.pairs[frontAxle].right].at)))
	for i := range 3 {
		for j := range 3 {
			sum := 0.0
			for k := range 3 {
				for l := range 3 {
					sum += at(d.axes[i], k) * d.instrument[k][l] * at(d.axes[j], l)
				}
			}
			d.reading[i][j] = sum
		}
	}
}

// fit finds the numbers of the datum by the method of Gauss and Newton, and
// returns what is left of the conditions.
func (d *datum) fit(s *Survey, p *points) ([]residual, error) {
	rows := make([]residual, 0, 3*len(d.pairs)+5)
	normal, inverse := mat.NewSymDense(fitted, nil), mat.NewSymDense(fitted, nil)
	var chol mat.Cholesky
	for range 50 {
		d.settle(p)
		rows = d.conditions(s, p, rows[:0])
		normal.Zero()
		var slope [fitted]float64
		d.chi2 = 0
		for i := range rows {
			r := &rows[i]
			w := 1 / (r.sigma * r.sigma)
			d.chi2 += w * r.value * r.value
			for j, a := range r.by {
				if a == 0 {
					continue
				}
				slope[j] -= w * a * r.value
				for k, b := range r.by[:j+1] {
					normal.SetSym(j, k, normal.At(j, k)+w*a*b)
				}
			}
		}
		d.freedom = float64(len(rows) - fitted)
		if !chol.Factorize(normal) || chol.InverseTo(inverse) != nil {
			break
		}
		var step [fitted]float64
		still := true
		for j := range step {
			for k, v := range slope {
				step[j] += inverse.At(j, k) * v
			}
			still = still && math.Abs(step[j]) <= 1e-9*math.Sqrt(inverse.At(j, j))
		}
		d.take(step)
		if still {
			d.settle(p)
			for i := range fitted {
				for j := range fitted {
					d.cov[i][j] = inverse.At(i, j) // until propagate knows better
				}
			}
			return d.conditions(s, p, rows[:0]), nil
		}
	}
	return nil, &contact.Error{Path: "readings", Value: "no mid-plane", Want: "landmarks of a bicycle", Class: contact.ErrConflict}
}

// take goes a step. Turns come about the bike's own axes.
func (d *datum) take(step [fitted]float64) {
	w := r3.Vec{X: step[turnX], Y: step[turnY], Z: step[turnZ]}
	if a := r3.Norm(w); a > 0 {
		about := r3.Scale(1/a, w)
		world := r3.Add(r3.Add(r3.Scale(about.X, d.axes[0]), r3.Scale(about.Y, d.axes[1])), r3.Scale(about.Z, d.axes[2]))
		for i := range d.axes {
			d.axes[i] = r3.Rotate(d.axes[i], a, world)
		}
		// Rounding must not add up.
		d.axes[0] = r3.Unit(d.axes[0])
		d.axes[1] = r3.Unit(r3.Sub(d.axes[1], r3.Scale(r3.Dot(d.axes[0], d.axes[1]), d.axes[0])))
		d.axes[2] = r3.Cross(d.axes[0], d.axes[1])
	}
	d.aside += step[aside]
	d.steer += step[steer]
	d.offset += step[offset]
	d.angle += step[angle]
}

// conditions lists what the datum is fitted to. When the axes turn by w, the
// coordinate e·v of a vector v changes by w·(e×v).
func (d *datum) conditions(s *Survey, p *points, rows []residual) []residual {
	y := r3.Vec{Y: 1}
	turning := func(r *residual, e, v r3.Vec) {
		c := r3.Cross(e, v)
		r.by[turnX] += c.X
		r.by[turnY] += c.Y
		r.by[turnZ] += c.Z
	}
	half := func(v r3.Vec) r3.Vec { return r3.Scale(0.5, v) }
	midway := func(k *placedPair) r3.Vec { return half(r3.Add(d.see(p.all[k.left].at), d.see(p.all[k.right].at))) }
	for i := range d.pairs {
		k := &d.pairs[i]
		mid, apart := midway(k), r3.Sub(d.see(p.all[k.left].at), d.see(p.all[k.right].at))

		// Midway lies on the mid-plane; a turned wheel's axle beside it.
		m := residual{pair: i, value: mid.Y - d.aside, on: none}
		turning(&m, y, mid)
		m.by[aside] = -1
		m.on[0], m.on[1] = landmarkSlope{k.left, half(y)}, landmarkSlope{k.right, half(y)}

		// From right to left is straight across, or as the wheel is turned.
		fore, up := r3.Vec{X: 1}, r3.Vec{Z: 1}
		if i == frontAxle {
			m.value -= d.offset * d.sinS
			m.by[steer] = -d.offset * d.cosS
			m.by[offset] = -d.sinS
			fore, up = r3.Add(r3.Scale(d.cosS, d.out), r3.Scale(d.sinS, y)), d.along
		}
		rows = append(rows, m)
		for _, e := range [2]r3.Vec{fore, up} {
			c := residual{pair: i, value: r3.Dot(e, apart), on: none}
			turning(&c, e, apart)
			switch {
			case i == frontAxle && e == fore:
				c.by[steer] = d.cosS*apart.Y - d.sinS*r3.Dot(d.out, apart)
				c.by[angle] = -d.cosS * r3.Dot(d.along, apart)
			case i == frontAxle:
				c.by[angle] = r3.Dot(d.out, apart)
			}
			c.on[0], c.on[1] = landmarkSlope{k.left, e}, landmarkSlope{k.right, r3.Scale(-1, e)}
			rows = append(rows, c)
		}
	}
	four := func(a *placedPair, b *placedPair, e r3.Vec) [4]landmarkSlope {
		h, g := half(e), half(r3.Scale(-1, e))
		return [4]landmarkSlope{{a.left, h}, {a.right, h}, {b.left, g}, {b.right, g}}
	}
	front, rear := &d.pairs[frontAxle], &d.pairs[rearAxle]

	// The steering axis runs through the head tube.
	if d.head {
		top, foot := &d.pairs[headTubeTop], &d.pairs[headTubeFoot]
		long := r3.Sub(midway(top), midway(foot))
		c := residual{pair: headTubeTop, value: r3.Dot(d.out, long), on: four(top, foot, d.out)}
		turning(&c, d.out, long)
		c.by[angle] = -r3.Dot(d.along, long)
		rows = append(rows, c)

		from := r3.Sub(midway(foot), d.front)
		c = residual{pair: headTubeFoot, value: r3.Dot(d.out, from) + d.offset*d.cosS, on: four(foot, front, d.out)}
		turning(&c, d.out, from)
		c.by[steer] = -d.offset * d.sinS
		c.by[offset] = d.cosS
		c.by[angle] = -r3.Dot(d.along, from)
		rows = append(rows, c)
	}

	// Level: the axles' heights differ as the radii do, the front one's with the wheel straight.
	level := residual{pair: frontAxle, on: none}
	back := midway(rear)
	d.base = d.front.X + d.offset*(1-d.cosS)*d.sinA - back.X
	if s.FrontRadius != 0 {
		z := r3.Vec{Z: 1}
		level.value = d.front.Z + d.offset*(1-d.cosS)*d.cosA - back.Z - (s.FrontRadius - s.RearRadius)
		turning(&level, z, r3.Sub(d.front, back))
		level.by[steer] = d.offset * d.sinS * d.cosA
		level.by[offset] = (1 - d.cosS) * d.cosA
		level.by[angle] = -d.offset * (1 - d.cosS) * d.sinA
		level.on = four(front, rear, z)
		level.extra = 2 * s.RadiusSigma * s.RadiusSigma
	} else {
		g := d.turn(r3.Unit(s.Up))
		level.value = g.X
		turning(&level, r3.Vec{X: 1}, g)
		level.extra = s.UpSigma * num.Rad * s.UpSigma * num.Rad
	}
	rows = append(
		rows, level,
		residual{pair: frontAxle, value: d.offset - usualOffset, by: [fitted]float64{offset: 1}, on: none, extra: usualOffsetSigma * usualOffsetSigma},
		residual{pair: frontAxle, value: d.angle - usualAngle*num.Rad, by: [fitted]float64{angle: 1}, on: none, extra: usualAngleSigma * num.Rad * usualAngleSigma * num.Rad},
	)
	for i := range rows {
		r := &rows[i]
		variance := r.extra
		for _, o := range r.on {
			if o.landmark >= 0 {
				variance += r3.Dot(o.by, apply(d.reading, o.by))/p.all[o.landmark].n + trueFrame*trueFrame*r3.Norm2(o.by)
			}
		}
		r.sigma = math.Sqrt(max(variance, 1e-12)) // gravity may be known exactly
	}
	return rows
}

// propagate finds the covariance of the datum's numbers, from how they move with
// each landmark and with what is no reading: x = -(JᵀWJ)⁻¹ JᵀW r.
func (d *datum) propagate(p *points, rows []residual) {
	inverse := d.cov
	d.cov = [numbers]numberVec{}
	d.slopes = make([]*[numbers]r3.Vec, len(p.all))
	slope := func(l int) *[numbers]r3.Vec {
		if d.slopes[l] == nil {
			d.slopes[l] = new([numbers]r3.Vec)
		}
		return d.slopes[l]
	}
	for i := range rows {
		r := &rows[i]
		w := 1 / (r.sigma * r.sigma)
		var gain numberVec
		for j := range fitted {
			for k, b := range r.by {
				gain[j] -= inverse[j][k] * b * w
			}
		}
		for _, o := range r.on {
			if o.landmark < 0 {
				continue
			}
			to := slope(o.landmark)
			for j := range fitted {
				to[j] = r3.Add(to[j], r3.Scale(gain[j], o.by))
			}
		}
		for j := range fitted {
			for k := range fitted {
				d.cov[j][k] += gain[j] * gain[k] * r.extra
			}
		}
	}
	for _, o := range [...]struct{ pair, x, z int }{{bottomBracket, originX, originZ}, {frontAxle, frontX, frontZ}} {
		for _, l := range [2]int{d.pairs[o.pair].left, d.pairs[o.pair].right} {
			slope(l)[o.x] = r3.Vec{X: 0.5}
			slope(l)[o.z] = r3.Vec{Z: 0.5}
		}
	}
	for i := range p.all { // in order, so that sums come out the same each time
		to := d.slopes[i]
		if to == nil {
			continue
		}
		for j := range numbers {
			v := r3.Add(r3.Scale(1/p.all[i].n, apply(d.reading, to[j])), r3.Scale(trueFrame*trueFrame, to[j]))
			for k := range numbers {
				d.cov[j][k] += r3.Dot(v, to[k])
			}
		}
	}
}

func apply(m [3][3]float64, v r3.Vec) r3.Vec {
	return r3.Vec{
		X: m[0][0]*v.X + m[0][1]*v.Y + m[0][2]*v.Z,
		Y: m[1][0]*v.X + m[1][1]*v.Y + m[1][2]*v.Z,
		Z: m[2][0]*v.X + m[2][1]*v.Y + m[2][2]*v.Z,
	}
}

func at(v r3.Vec, i int) float64 {
	switch i {
	case 0:
		return v.X
	case 1:
		return v.Y
	default:
		return v.Z
	}
}

// place gives a point in the bike's axes, as it is with the wheel straight.
func (d *datum) place(v r3.Vec, front bool) r3.Vec {
	q := d.see(v)
	if !front {
		return r3.Sub(q, r3.Vec{Y: d.aside})
	}
	from := r3.Sub(q, d.front)
	a, b := r3.Dot(from, d.out)+d.offset*d.cosS, q.Y-d.aside
	a, b = a*d.cosS+b*d.sinS, b*d.cosS-a*d.sinS
	p := r3.Add(r3.Scale(a-d.offset*d.cosS, d.out), r3.Scale(r3.Dot(from, d.along), d.along))
	return r3.Vec{X: d.front.X + p.X, Y: b, Z: d.front.Z + p.Z}
}

// A small change of the datum's numbers and of a point.
type change struct {
	turn                         r3.Vec
	aside, steer, offset, angle  float64
	originX, originZ, fromX, frZ float64 // of the bottom bracket's and the front axle's middle
	point                        r3.Vec
}

// moves returns how a place changes, to first order.
func (d *datum) moves(v r3.Vec, front bool, c change) r3.Vec {
	q := d.see(v)
	dq := r3.Sub(c.point, r3.Cross(c.turn, q))
	if !front {
		return r3.Vec{X: dq.X - c.originX, Y: dq.Y - c.aside, Z: dq.Z - c.originZ}
	}
	dFront := r3.Sub(r3.Vec{X: c.fromX, Z: c.frZ}, r3.Cross(c.turn, d.front))
	from, dFrom := r3.Sub(q, d.front), r3.Sub(dq, dFront)
	up := r3.Dot(from, d.along)
	a, b := r3.Dot(from, d.out)+d.offset*d.cosS, q.Y-d.aside
	da := r3.Dot(dFrom, d.out) - up*c.angle + d.cosS*c.offset - d.offset*d.sinS*c.steer
	db := dq.Y - c.aside
	dUp := r3.Dot(dFrom, d.along) + r3.Dot(from, d.out)*c.angle
	a2, b2 := a*d.cosS+b*d.sinS, b*d.cosS-a*d.sinS
	da2 := d.cosS*da + d.sinS*db + b2*c.steer
	db2 := d.cosS*db - d.sinS*da - a2*c.steer
	dOut := da2 - d.cosS*c.offset + d.offset*d.sinS*c.steer
	out := r3.Add(r3.Scale(dOut, d.out), r3.Scale(-(a2-d.offset*d.cosS)*c.angle, d.along))
	along := r3.Add(r3.Scale(dUp, d.along), r3.Scale(up*c.angle, d.out))
	return r3.Vec{
		X: dFront.X - c.originX + out.X + along.X,
		Y: db2,
		Z: dFront.Z - c.originZ + out.Z + along.Z,
	}
}
