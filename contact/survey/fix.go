package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Fix is the result of a survey: where everything is, and how well that is known.
type Fix struct {
	// Position is the contact points in the axes of package contact. The
	// saddle's tilt is known if both nose and rear were read.
	Position contact.Position
	// Steer is how far the front axle was turned about the upright, in degrees,
	// positive to the left. Beyond a few times SteerSigma the front wheel was
	// not straight, and the mid-plane is off by some of it.
	Steer, SteerSigma float64

	stands    Stands
	hasStands bool
	rows      [siteRows]row // of the sites' coordinates
	tilt      row
}

// Stands is how a surveyed bike stood against gravity.
type Stands struct {
	// Lean is the bike's lean in degrees, positive to the right.
	Lean float64
	// NoseUp is the slope of the ground under both tyres in degrees, positive
	// when the front stands higher.
	NoseUp float64
	// RaiseFront is by how much the front wheel must be raised to stand level,
	// in mm; negative: lower it, or raise the rear wheel.
	RaiseFront float64
}

// Stands returns how the bike stood; false if the survey did not say which way is up.
func (f Fix) Stands() (Stands, bool) { return f.stands, f.hasStands }

// Sigma returns the standard uncertainty of a site's three coordinates, in mm,
// and whether the site is known.
func (f Fix) Sigma(s contact.Site) (r3.Vec, bool) {
	if _, ok := f.Position.At(s); !ok {
		return r3.Vec{}, false
	}
	r := f.rows[3*int(s):]
	return r3.Vec{X: r[0].norm(), Y: r[1].norm(), Z: r[2].norm()}, true
}

// TiltSigma returns the standard uncertainty of the saddle's tilt, in degrees,
// and whether the tilt is known.
func (f Fix) TiltSigma() (float64, bool) {
	_, ok := f.Position.Attitude(contact.SaddleReference)
	return f.tilt.norm(), ok
}

const siteRows = 3 * int(contact.FootRight+1)

// A row is how much one number of the result moves when each input of the
// survey moves by its own standard uncertainty. Inputs are independent, so that
// a variance is a row's square and a covariance the product of two.
type row []float64

func (r row) norm() float64 {
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	return math.Sqrt(sum)
}

// mean is a landmark's mean, which is input number in, in+1, in+2 of the rows.
type mean struct {
	at    r3.Vec
	n     float64
	in    int
	sigma r3.Vec // of the mean
}

// Solve finds the datum and gives every landmark in the axes of package contact.
//
// Besides the faults of [Survey.Validate] it reports [contact.ErrConflict] for
// left and right swapped (one pair, or all, which looks the same as left-handed
// axes of the instrument) and for landmarks that coincide or cannot be a
// bicycle's, [contact.ErrUnit] where another unit explains that, and whatever
// contact.Position.Validate finds in the result.
func (s Survey) Solve() (Fix, error) {
	if err := s.Validate(); err != nil {
		return Fix{}, err
	}
	means, inputs := s.means()
	d, err := newDatum(s, means, inputs)
	if err != nil {
		return Fix{}, err
	}
	fix := Fix{Steer: d.steer, SteerSigma: d.steerRow.norm()}
	for i := range contact.FootLeft {
		site := i
		m, ok := means[At(site)]
		if !ok && site == contact.SaddleReference {
			fix.midway(d, means)
			continue
		}
		if !ok {
			continue
		}
		at, rows := d.point(m)
		if site == contact.PedalLeft || site == contact.PedalRight {
			at, rows = forward(at, rows)
		}
		fix.set(site, at, rows)
	}
	fix.tiltFromLine()
	if s.Up != (r3.Vec{}) {
		fix.hasStands = true
		g := d.turn(r3.Unit(s.Up))
		fix.stands.NoseUp = math.Asin(max(-1, min(1, g.X))) / num.Rad
		fix.stands.Lean = num.Atan2(g.Y, g.Z)
		fix.stands.RaiseFront = 0 - d.ground*g.X
	}
	if err := fix.judge(); err != nil {
		return Fix{}, err
	}
	return fix, nil
}

// judge looks at what the result says of the survey.
func (f *Fix) judge() error {
	for _, s := range []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.BarClamp, contact.HoodsLeft, contact.HoodsRight} {
		if v, ok := f.Position.At(s); ok && v.Z < 0 {
			return &contact.Error{
				Path: "readings." + s.String(), Value: num.Text(v.Z, "mm") + " above the bottom bracket",
				Want:  "it above: all left and right readings are swapped, or the instrument's axes are left-handed",
				Class: contact.ErrConflict,
			}
		}
	}
	var faults check.Faults
	faults.In("readings", f.Position.Validate())
	return faults.Err()
}

func (f *Fix) set(site contact.Site, at r3.Vec, rows [3]row) {
	f.Position.Set(site, at)
	copy(f.rows[3*int(site):], rows[:])
}

// midway puts the saddle reference between the edges of the saddle.
func (f *Fix) midway(d *frame, means map[Landmark]mean) {
	l, okL := means[SaddleEdgeLeft]
	r, okR := means[SaddleEdgeRight]
	if !okL || !okR {
		return
	}
	at, rows := d.point(l)
	other, more := d.point(r)
	for i := range rows {
		for j := range rows[i] {
			rows[i][j] = (rows[i][j] + more[i][j]) / 2
		}
	}
	f.set(contact.SaddleReference, r3.Scale(0.5, r3.Add(at, other)), rows)
}

// tiltFromLine takes the saddle's tilt from its nose and rear.
func (f *Fix) tiltFromLine() {
	nose, ok1 := f.Position.At(contact.SaddleNose)
	rear, ok2 := f.Position.At(contact.SaddleRear)
	if !ok1 || !ok2 {
		return
	}
	x, z := nose.X-rear.X, nose.Z-rear.Z
	f.Position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: num.Atan2(z, x)})
	n, r := f.rows[3*contact.SaddleNose:], f.rows[3*contact.SaddleRear:]
	f.tilt = make(row, len(n[0]))
	for j := range f.tilt {
		f.tilt[j] = (x*(n[2][j]-r[2][j]) - z*(n[0][j]-r[0][j])) / (x*x + z*z) / num.Rad
	}
}

// forward turns a crank, read at any angle, to point forward: X is the crank
// length, and Z is 0 by definition.
func forward(at r3.Vec, rows [3]row) (r3.Vec, [3]row) {
	length := math.Hypot(at.X, at.Z)
	for j := range rows[0] {
		rows[0][j] = (at.X*rows[0][j] + at.Z*rows[2][j]) / length
		rows[2][j] = 0
	}
	return r3.Vec{X: length, Y: at.Y}, rows
}

// means averages the readings of each landmark and numbers the inputs: three
// for each landmark, in the order of first appearance, then the two radii.
func (s Survey) means() (map[Landmark]mean, int) {
	means := map[Landmark]mean{}
	for _, r := range s.Readings {
		m, ok := means[r.Landmark]
		if !ok {
			m.in = 3 * len(means)
		}
		m.at = r3.Add(m.at, r.At)
		m.n++
		means[r.Landmark] = m
	}
	for l, m := range means {
		m.at = r3.Scale(1/m.n, m.at)
		m.sigma = r3.Scale(1/math.Sqrt(m.n), s.Sigma)
		means[l] = m
	}
	return means, 3*len(means) + 2
}
