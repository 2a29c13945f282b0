// Package saddle is what solvers know of a saddle beside readings: it is one rigid body,
// and its nose and its rear lie near the straight line through its reference at its tilt.
package saddle

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// Usual is how far nose and rear lie above or below the straight line through the
// reference at the saddle's tilt, each, as a standard uncertainty, mm. Common practice, no
// source.
const Usual = 6

// The points of a saddle, as indexes.
const (
	Reference = iota
	Nose
	Rear
	Ends
)

// Sites are the sites of the points.
var Sites = [Ends]contact.Site{Reference: contact.SaddleReference, Nose: contact.SaddleNose, Rear: contact.SaddleRear}

// A Tie is one thing that is known of a saddle's shape, in the side view: where a point
// lies from another one, along the saddle or square to it.
type Tie struct {
	P, Q  int  // P from Q
	Ahead bool // along the saddle, forward; false: above
	// Between says that P is seen from the straight line through nose and rear.
	Between      bool
	Value, Sigma float64 // mm
}

// A Shape is what is known and supposed of a saddle's shape.
type Shape struct {
	// Tilt says that the tilt is one of the unknowns.
	Tilt bool
	// Ties holds what counts: first what is known, then what is supposed.
	Ties  []Tie
	Known int
	// Usual holds what may be supposed besides, each by itself.
	Usual []Tie
}

// Of returns what is known of a saddle of which some points are looked for, by its profile,
// and what may be supposed. Told says that a reading depends on the tilt. Where nothing but
// the line through nose and rear tells it, that line is supposed to.
func Of(p contact.SaddleProfile, has [Ends]bool, told bool) (s Shape) {
	sigma := profileSigma(&p)
	ahead := [Ends]float64{Nose: p.NoseAhead, Rear: -p.RearBehind}
	above := [Ends]float64{Nose: p.NoseAbove, Rear: p.RearAbove}
	tie := func(p, q int, ahead, above, sigma float64) {
		s.Ties = append(s.Ties, Tie{P: p, Q: q, Ahead: true, Value: ahead, Sigma: sigma}, Tie{P: p, Q: q, Value: above, Sigma: sigma})
	}
	for _, end := range [...]int{Nose, Rear} {
		if has[Reference] && has[end] && ahead[end] != 0 {
			tie(end, Reference, ahead[end], above[end], sigma)
		}
	}
	both := has[Nose] && has[Rear]
	if both && !has[Reference] && ahead[Nose] != 0 && ahead[Rear] != 0 {
		tie(Nose, Rear, ahead[Nose]-ahead[Rear], above[Nose]-above[Rear], sigma*math.Sqrt2)
	}
	s.Known = len(s.Ties)
	s.Tilt = told || both || s.Known > 0
	switch {
	case both && s.Known == 0:
		line := Tie{P: Nose, Q: Rear, Sigma: Usual * math.Sqrt2}
		if told {
			s.Usual = append(s.Usual, line)
		} else {
			s.Ties = append(s.Ties, line)
		}
		if has[Reference] { // about midway, where half of what each end is off counts
			s.Usual = append(s.Usual, Tie{P: Reference, Sigma: Usual * math.Sqrt(0.5), Between: true})
		}
	case s.Tilt && has[Reference]:
		for _, end := range [...]int{Nose, Rear} {
			if has[end] && ahead[end] == 0 {
				s.Usual = append(s.Usual, Tie{P: end, Sigma: Usual})
			}
		}
	}
	return s
}

// Where the nose usually is, in front of the reference and above it, mm. Common practice, no
// source.
const (
	usualNose, usualNoseSigma = 140, 25
	usualNoseAboveSigma       = 12
)

// SupposeNose supposes the nose to be where it usually is from the reference, and nothing
// else.
func (s *Shape) SupposeNose() {
	s.Usual = nil
	s.Ties = append(s.Ties, Tie{P: Nose, Ahead: true, Value: usualNose, Sigma: usualNoseSigma}, Tie{P: Nose, Sigma: usualNoseAboveSigma})
}

// Find fits readings and what is known, and supposes the usual where that tells more: where
// readings alone tell as much, nothing is supposed, and where they speak against it neither.
// Solve fits with what counts, and slopes returns the derivatives of a tie.
func (s *Shape) Find(solve func() *lsq.Search, slopes func(t Tie, x []float64) []float64) *lsq.Search {
	found := solve()
	for _, t := range s.Usual {
		alone := s.Ties
		supposing := lsq.Suppose(found, func(x []float64) []float64 { return slopes(t, x) }, func() *lsq.Search {
			s.Ties = append(slices.Clip(alone), t)
			return solve()
		})
		if supposing == found {
			s.Ties = alone
		}
		found = supposing
	}
	return found
}

// profileSigma is the standard uncertainty of a profile's numbers.
func profileSigma(p *contact.SaddleProfile) float64 {
	if p.Sigma == 0 {
		return contact.UsualProfileSigma
	}
	return p.Sigma
}

// Rise returns how far the line through nose and rear slopes up from the saddle's top, and
// its standard uncertainty, in degrees, where they are so far apart.
func Rise(p contact.SaddleProfile, length float64) (rise, sigma float64) {
	if p.NoseAhead == 0 || p.RearBehind == 0 {
		return 0, Usual * math.Sqrt2 / length / num.Rad
	}
	return num.Atan2(p.NoseAbove-p.RearAbove, p.NoseAhead+p.RearBehind), profileSigma(&p) * math.Sqrt2 / length / num.Rad
}

// Slopes are the derivatives of a tie by the points and by the tilt, per radian.
type Slopes struct {
	Ends [Ends]r3.Vec
	Tilt float64
}

// At returns the value of a tie at places, and its derivatives; sin and cos are those of
// the tilt.
func (t *Tie) At(at *[Ends]r3.Vec, sin, cos float64) (value float64, by Slopes) {
	if t.Between {
		return between(at)
	}
	d := r3.Sub(at[t.P], at[t.Q])
	ahead, above := d.X*cos+d.Z*sin, d.Z*cos-d.X*sin
	v := r3.Vec{X: -sin, Z: cos}
	value, by.Tilt = above, -ahead
	if t.Ahead {
		v = r3.Vec{X: cos, Z: sin}
		value, by.Tilt = ahead, above
	}
	by.Ends[t.P], by.Ends[t.Q] = v, r3.Scale(-1, v)
	return value, by
}

// between returns how far the reference lies above the line through rear and nose.
func between(at *[Ends]r3.Vec) (value float64, by Slopes) {
	d := r3.Sub(at[Nose], at[Rear])
	if d.X == 0 {
		return 0, by
	}
	share, slope := (at[Reference].X-at[Rear].X)/d.X, d.Z/d.X
	by.Ends[Reference] = r3.Vec{X: -slope, Z: 1}
	by.Ends[Nose] = r3.Vec{X: slope * share, Z: -share}
	by.Ends[Rear] = r3.Vec{X: slope * (1 - share), Z: share - 1}
	return at[Reference].Z - at[Rear].Z - share*d.Z, by
}

// Carry moves the saddle reference of a result, and of other positions that may be as well,
// from where it was read to where all others have it.
func Carry(p contact.SaddleProfile, q *contact.Position, c *contact.Covariance, all *contact.Ranges, others []contact.Position) (err error) {
	if p.Width == 0 || p.Width == contact.ReferenceWidth {
		return nil
	}
	before, known := q.At(contact.SaddleReference)
	if *q, *c, err = p.Carry(*q, *c, contact.ReferenceWidth); err != nil {
		return err
	}
	after, _ := q.At(contact.SaddleReference)
	by := r3.Sub(after, before)
	of := func(r contact.Range) bool {
		return r.Coordinate.Site == contact.SaddleReference && r.Coordinate.Axis < contact.AxisTilt
	}
	if !known { // part of it, which says nothing of the other place
		*all = slices.DeleteFunc(*all, of)
	}
	for i, r := range *all {
		if of(r) {
			d := [...]float64{by.X, by.Y, by.Z}[r.Coordinate.Axis]
			(*all)[i].Low, (*all)[i].High = r.Low+d, r.High+d
		}
	}
	for i := range others {
		if others[i], _, err = p.Carry(others[i], contact.Covariance{}, contact.ReferenceWidth); err != nil {
			return err
		}
	}
	return nil
}
