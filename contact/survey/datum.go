package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Usual steering geometry. Common practice, no source. How wide the spread is, is itself
// a guess: between 0.7 and 1.5 times as much the mean square is that of unsure.
const (
	usualOffset, usualOffsetSigma = 45, 8 // mm of fork offset
	usualAngle, usualAngleSigma   = 71, 4 // degrees of head angle
	unsure                        = (0.7*0.7 + 1.5*1.5) / 2
)

// coarse is the largest permitted uncertainty of an angle of the datum, in degrees.
// Within this limit, stated uncertainties agree with those of 100,000 draws to 1 %
// (TestUncertaintyMonteCarlo), and the mean is off by less than 5 % of them. At 3° they
// agree to 3 %.
const coarse = 3

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
	saddle     contact.SaddleProfile

	axes   [3]r3.Vec // x forward, y left, z up
	middle r3.Vec    // mean of the bottom bracket's landmarks, not exactly on the mid-plane
	aside  float64
	steer  float64
	offset float64
	angle  float64

	front      r3.Vec // from middle to the middle of the front axle, in the bike's axes
	out, along r3.Vec // forward, square to the steering axis; up along the steering axis
	sinS, cosS float64
	sinA, cosA float64
	base       float64 // from the rear axle forward to the front axle, along X, mm
	cov        [numbers]numberVec
	levelGain  [fitted]float64 // change of the numbers by the condition of level
	reading    [3][3]float64   // covariance of one reading, in the bike's axes, mm²
	pairs      []placedPair
	head       bool               // whether the head tube was read
	top        int                // the pair of its upper end, before that of the lower
	square     float64            // how true the usual pairs are, squared, to what is usual
	doubtful   float64            // the chance that they are less true by a quarter or more
	slopes     []*[numbers]r3.Vec // derivatives of the numbers by each point that the datum uses
	joint      [][]float64        // covariance of all points together, of a Placing; nil of independent readings
}

// A placedPair is a pair of the frame with the indexes of its landmarks among the points.
type placedPair struct {
	pair
	left, right int
	steers      bool
	counts      [2]bool // the middle, the line
	sigma       float64 // how true each landmark is, mm
	usual       bool    // whether sigma is what is usual
	out         [2]bool // what was left out: the middle, the line
	others      []Landmark
}

// newDatum fits the mid-plane, the horizontal and the steering to the landmarks.
func newDatum(s *Survey, p *points) (*datum, []Finding, error) {
	d := &datum{unit: s.Unit, instrument: s.covariance(), saddle: s.Saddle, offset: usualOffset, angle: usualAngle * num.Rad, square: 1}
	d.choose(s, p)
	if !slices.ContainsFunc(d.pairs, func(k placedPair) bool { return k.counts[0] }) {
		return nil, nil, &contact.Error{Path: "trueness", Value: "no middle", Want: "a pair whose middle counts", Class: contact.ErrMissing}
	}
	if err := d.begin(s, p); err != nil {
		return nil, nil, err
	}
	rows, aside, err := d.settleOn(s, p)
	if err != nil {
		return nil, nil, err
	}
	d.propagate(p, rows)
	if err := d.tooCoarse(); err != nil {
		return nil, nil, err
	}
	findings := d.beside(aside)
	if u := math.Sqrt(d.cov[steer][steer]); math.Abs(d.steer) > max(3*u, 0.5*num.Rad) {
		findings = append(findings, Finding{Kind: WheelTurned, Reading: -1, Amount: d.steer / num.Rad})
	}
	return d, findings, nil
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

// choose lists the pairs that were read, with what is stated or usual of them.
func (d *datum) choose(s *Survey, p *points) {
	d.pairs = make([]placedPair, 0, 12)
	stated := make(map[Landmark]Trueness, len(s.Trueness))
	for _, t := range s.Trueness {
		stated[t.Pair] = t
	}
	add := func(k framePair) bool {
		l, r := p.index(k.left), p.index(k.right)
		if l < 0 || r < 0 {
			return false
		}
		placed := placedPair{pair: k.pair, left: l, right: r, steers: k.steers, counts: [2]bool{k.middle, k.line}, sigma: k.usual, usual: true}
		t := stated[k.left]
		if t.Sigma != 0 {
			placed.sigma, placed.usual = t.Sigma, false
		}
		if t.Counts != CountsAsUsual {
			placed.counts = [2]bool{t.Counts != CountsLine, t.Counts != CountsMiddle}
		}
		d.pairs = append(d.pairs, placed)
		return true
	}
	for _, k := range framePairs[:needed] {
		add(k)
	}
	d.top = len(d.pairs)
	top := add(framePairs[headTubeTop])
	d.head = add(framePairs[headTubeFoot]) && top
	for _, k := range framePairs[headTubeFoot+1:] {
		add(k)
	}
	for i := range p.all {
		if name, ok := strings.CutSuffix(string(p.all[i].landmark), "_left"); ok && strings.HasPrefix(name, markPrefix) {
			add(framePair{pair{p.all[i].landmark, Landmark(name + "_right")}, false, true, true, true, usualTrue})
		}
	}
}

// begin finds axes to start from. It uses the three pairs that are always read, and takes
// the wheel as straight.
func (d *datum) begin(s *Survey, p *points) error {
	mid, apart := p.needed()
	if err := d.bicycle(&mid, &apart); err != nil {
		return err
	}
	n := mirror(&mid, &apart)
	axles := r3.Sub(mid[frontAxle], mid[rearAxle])
	forward := r3.Sub(axles, r3.Scale(r3.Dot(axles, n), n))
	var f fault.List
	for i := range needed {
		if r3.Dot(n, apart[i]) <= 0 {
			f.Add("readings."+string(d.pairs[i].pair.left), "to the right of "+string(d.pairs[i].pair.right), "left and right not exchanged", contact.ErrConflict)
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

// Distances of the landmarks of any bicycle, mm: left to right, the bottom bracket to
// either axle, axle to axle. Common practice, no source.
var (
	bikeWidth = [2]float64{30, 350}
	bikeRear  = [2]float64{250, 600}
	bikeFront = [2]float64{400, 1100}
	bikeBase  = [2]float64{700, 1700} // no two units lie within one range of it
)

// bicycle reports distances that no bicycle has.
func (d *datum) bicycle(mid, apart *[needed]r3.Vec) error {
	var f fault.List
	for i := range needed {
		f.Length("readings."+d.pairs[i].name()+", left to right", r3.Norm(apart[i]), bikeWidth[0], bikeWidth[1])
	}
	f.Length("readings.rear_axle, to bottom bracket", r3.Norm(r3.Sub(mid[rearAxle], mid[bottomBracket])), bikeRear[0], bikeRear[1])
	f.Length("readings.front_axle, to bottom bracket", r3.Norm(r3.Sub(mid[frontAxle], mid[bottomBracket])), bikeFront[0], bikeFront[1])
	f.Length("readings.front_axle, to rear axle", r3.Norm(r3.Sub(mid[frontAxle], mid[rearAxle])), bikeBase[0], bikeBase[1])
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
