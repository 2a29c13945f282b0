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

// Usual steering geometry. Common practice, no source.
const (
	usualOffset, usualOffsetSigma = 45, 8 // mm of fork offset
	usualAngle, usualAngleSigma   = 71, 4 // degrees of head angle
)

// coarse is the largest permitted uncertainty of an angle of the datum, in degrees.
// Within this limit, stated uncertainties agree with those of 100,000 draws to 1 %
// (TestUncertaintyMonteCarlo), and the mean is off by less than 5 % of them. At 3° they
// agree to 3 %.
const coarse = 1

// The numbers of a datum. turnX to turnZ are small turns about the bike's own axes. The
// last four are read, not fitted.
const (
	turnX   = iota
	turnY   // pitch
	turnZ   // yaw
	aside   // from the mean of the bottom bracket's landmarks to the mid-plane, mm
	steer   // of the front wheel, radians, positive to the left
	offset  // of the fork, mm
	angle   // of the head tube, radians
	fitted  // the number of fitted ones
	originX = fitted + iota - 8
	originZ
	frontX
	frontZ
	numbers
)

type numberVec [numbers]float64

// A datum is the position of the bike's axes in those of the instrument.
type datum struct {
	unit       Unit
	instrument [3][3]float64 // covariance of one reading, in the instrument's axes, mm²

	axes   [3]r3.Vec // x forward, y left, z up
	middle r3.Vec    // mean of the bottom bracket's landmarks, not exactly on the mid-plane
	aside  float64
	steer  float64
	offset float64
	angle  float64

	front         r3.Vec // from middle to the middle of the front axle, in the bike's axes
	out, along    r3.Vec // forward, square to the steering axis; up along the steering axis
	sinS, cosS    float64
	sinA, cosA    float64
	base          float64 // from the rear axle forward to the front axle, along X, mm
	cov           [numbers]numberVec
	reading       [3][3]float64 // covariance of one reading, in the bike's axes, mm²
	pairs         []placedPair
	head          bool               // whether the head tube was read
	slopes        []*[numbers]r3.Vec // derivatives of the numbers by each point that the datum uses
	chi2, freedom float64
}

// A placedPair is a pair of the frame with the indexes of its landmarks among the points.
type placedPair struct {
	pair
	left, right int
}

// newDatum fits the mid-plane, the horizontal and the steering to the landmarks.
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
	if err := d.contradiction(rows); err != nil {
		return nil, nil, err
	}
	d.propagate(p, rows)
	if err := d.tooCoarse(); err != nil {
		return nil, nil, err
	}
	if u := math.Sqrt(d.cov[steer][steer]); math.Abs(d.steer) > max(3*u, 0.5*num.Rad) {
		return d, []Finding{{Kind: WheelTurned, Reading: -1, Amount: d.steer / num.Rad}}, nil
	}
	return d, nil, nil
}

// contradiction reports the pair that fits worst, if the landmarks do not fit together.
func (d *datum) contradiction(rows []residual) error {
	if (distuv.ChiSquared{K: d.freedom}).Survival(d.chi2) >= disagree {
		return nil
	}
	worst := &rows[0]
	for i := range rows {
		if r := &rows[i]; math.Abs(r.value/r.sigma) > math.Abs(worst.value/worst.sigma) {
			worst = r
		}
	}
	var f fault.List
	f.Add("readings."+d.pairs[worst.pair].name(), fmt.Sprintf("%.1f mm from where the other landmarks put it", math.Abs(worst.value)),
		"left and right that mirror each other; read them again", contact.ErrConflict)
	return f.Err()
}

// tooCoarse reports the angles of the datum that are too uncertain for first-order
// propagation.
func (d *datum) tooCoarse() error {
	var f fault.List
	for i, name := range [...]string{turnX: "lean", turnY: "pitch", turnZ: "yaw", steer: "steering angle"} {
		if u := math.Sqrt(d.cov[i][i]) / num.Rad; name != "" && !(u <= coarse) {
			f.Add("sigma", fmt.Sprintf("so large that the %s is uncertain by %.1f degrees", name, u), num.Text(coarse, "degree or less"), contact.ErrRange)
		}
	}
	return f.Err()
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

// begin finds axes to start from. It uses the three pairs that are always read, and takes
// the wheel as straight.
func (d *datum) begin(s *Survey, p *points) error {
	var mid, apart [needed]r3.Vec // midpoint, and left minus right
	for i := range needed {
		l, r := p.all[d.pairs[i].left].at, p.all[d.pairs[i].right].at
		mid[i], apart[i] = r3.Scale(0.5, r3.Add(l, r)), r3.Sub(l, r)
	}
	if err := d.bicycle(&mid, &apart); err != nil {
		return err
	}
	n := mirror(&mid, &apart)
	axles := r3.Sub(mid[frontAxle], mid[rearAxle])
	forward := r3.Sub(axles, r3.Scale(r3.Dot(axles, n), n))
	var f fault.List
	for i := range needed {
		if r3.Dot(n, apart[i]) <= 0 {
			f.Add("readings."+string(d.pairs[i].pair.left), "to the right of "+string(d.pairs[i].pair.right), "left and right not swapped", contact.ErrConflict)
		}
	}
	if rise := (s.FrontRadius - s.RearRadius) / r3.Norm(forward); math.Abs(rise) > 0.5 {
		f.Add("front_radius_mm", num.Text(s.FrontRadius, "mm"), "a radius that fits the other wheel and the distance between the axles", contact.ErrConflict)
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

// bicycle reports distances that no bicycle has.
func (d *datum) bicycle(mid, apart *[needed]r3.Vec) error {
	var f fault.List
	for i := range needed {
		f.Length("readings."+d.pairs[i].name()+", left to right", r3.Norm(apart[i]), 30, 350)
	}
	f.Length("readings.rear_axle, to bottom bracket", r3.Norm(r3.Sub(mid[rearAxle], mid[bottomBracket])), 250, 600)
	f.Length("readings.front_axle, to bottom bracket", r3.Norm(r3.Sub(mid[frontAxle], mid[bottomBracket])), 400, 1100)
	f.Length("readings.front_axle, to rear axle", r3.Norm(r3.Sub(mid[frontAxle], mid[rearAxle])), 700, 1700)
	return f.Err()
}

// mirror returns the unit normal, pointing left, of the plane whose reflection carries
// the right points onto the left ones with the smallest sum of squares. With n that
// normal, D left minus right and M the midpoint minus the mean of all midpoints, the sum
// is Σ D² - (n·D)² + 4(n·M)². So n is the eigenvector of Σ 4 MMᵀ - DDᵀ with the smallest
// eigenvalue.
func mirror(mid, apart *[needed]r3.Vec) r3.Vec {
	var mean, all r3.Vec
	for i := range needed {
		mean = r3.Add(mean, r3.Scale(1./needed, mid[i]))
	}
	a := mat.NewSymDense(3, nil)
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
	return n
}
