// Package saddle is what solvers know of a saddle beside readings: it is one rigid body,
// and its nose and its rear lie near the straight line through its reference at its tilt.
package saddle

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
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
	// Between says that the tilt is not known: P is seen from the straight line through
	// nose and rear.
	Between      bool
	Value, Sigma float64 // mm
}

// Shows reports whether a profile tells the tilt of a saddle of which these points are
// looked for.
func Shows(p contact.SaddleProfile, has [Ends]bool) bool {
	return has[Reference] && (has[Nose] && p.NoseAhead != 0 || has[Rear] && p.RearBehind != 0)
}

// Ties returns what is known of a saddle by its profile, and what may be supposed besides.
// Has says which points are looked for, and tilt whether the tilt is one of the unknowns.
func Ties(p contact.SaddleProfile, has [Ends]bool, tilt bool) (known, supposed []Tie) {
	sigma := profileSigma(&p)
	ahead := [Ends]float64{Nose: p.NoseAhead, Rear: -p.RearBehind}
	above := [Ends]float64{Nose: p.NoseAbove, Rear: p.RearAbove}
	for _, end := range [...]int{Nose, Rear} {
		switch {
		case !has[end] || !has[Reference] || !tilt:
		case ahead[end] != 0:
			known = append(known, Tie{P: end, Ahead: true, Value: ahead[end], Sigma: sigma}, Tie{P: end, Value: above[end], Sigma: sigma})
		default:
			supposed = append(supposed, Tie{P: end, Sigma: Usual})
		}
	}
	switch {
	case !has[Nose] || !has[Rear]:
	case tilt && !has[Reference] && ahead[Nose] != 0 && ahead[Rear] != 0:
		sigma *= math.Sqrt2
		known = append(known,
			Tie{P: Nose, Q: Rear, Ahead: true, Value: ahead[Nose] - ahead[Rear], Sigma: sigma},
			Tie{P: Nose, Q: Rear, Value: above[Nose] - above[Rear], Sigma: sigma})
	case tilt && !has[Reference]:
		supposed = append(supposed, Tie{P: Nose, Q: Rear, Sigma: Usual * math.Sqrt2})
	case !tilt && has[Reference]:
		// The reference is about midway, where half of what each end is off counts.
		supposed = append(supposed, Tie{P: Reference, Sigma: Usual * math.Sqrt(0.5), Between: true})
	}
	return known, supposed
}

// profileSigma is the standard uncertainty of a profile's numbers.
func profileSigma(p *contact.SaddleProfile) float64 {
	if p.Sigma == 0 {
		return contact.UsualProfileSigma
	}
	return p.Sigma
}

// LineSigma is how much the tilt differs from that of the line through nose and rear, as a
// standard uncertainty in degrees, where they are so far apart.
func LineSigma(length float64) float64 { return Usual * math.Sqrt2 / length / num.Rad }

// Rise returns how far the line through nose and rear slopes up from the saddle's top, and
// its standard uncertainty, in degrees, where they are so far apart.
func Rise(p contact.SaddleProfile, length float64) (rise, sigma float64) {
	if p.NoseAhead == 0 || p.RearBehind == 0 {
		return 0, LineSigma(length)
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
