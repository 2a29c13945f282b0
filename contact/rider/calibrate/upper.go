package calibrate

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// besideArm is how far the markers of an arm lie from their joints, in each direction:
// shoulder, elbow and wrist, mm (standard deviations; common practice, no source).
var besideArm = [...]float64{12, 8, 6}

// checkGrip reports hands that are nowhere, and a recording without an arm.
func (e *Evidence) checkGrip(f *fault.List, recorded bool, sides []contact.Side) {
	if !e.Grip.Group().FrontEnd() || e.Grip.Side() == contact.Centre {
		f.Add("grip", e.Grip.String(), "a site of the hands, such as hoods_left", contact.ErrUnknown)
		return
	}
	if _, ok := e.grip(); !ok {
		f.Add("position.sites."+e.Grip.String(), "", "its point", contact.ErrMissing)
	}
	if !recorded || !slices.ContainsFunc(sides, func(s contact.Side) bool { return e.shows(s, arms...) }) {
		f.Add("motion", "", "shoulder, elbow and wrist of a leg's side, for trunk and arms", contact.ErrMissing)
	}
}

// grip is where the hands are, the middle of both if both are known.
func (e *Evidence) grip() (at r3.Vec, ok bool) {
	n := 0.0
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		if v, ok := e.Position.At(e.Grip.On(side)); ok {
			at, n = r3.Add(at, v), n+1
		}
	}
	return r3.Scale(1/max(1, n), at), n > 0
}

// upperDimensions are the numbers of trunk and arms.
var upperDimensions = [...]rider.Dimension{
	rider.BodyTrunk, rider.BodyUpperArm, rider.BodyForearm, rider.BodyWristBack, rider.BodyWristUp, rider.BodyUpperAngle,
}

// upperOf returns the numbers of trunk and arms by hip, shoulder, elbow and wrist, and the
// hands' place.
func upperOf(at []r3.Vec, grip r3.Vec) [len(upperDimensions)]float64 {
	long := func(i int) float64 { return math.Hypot(at[i+1].X-at[i].X, at[i+1].Z-at[i].Z) }
	slope := func(i int) float64 { return num.Atan2(at[i+1].Z-at[i].Z, at[i+1].X-at[i].X) }
	return [...]float64{long(0), long(1), long(2), grip.X - at[3].X, at[3].Z - grip.Z, math.Abs(math.Remainder(slope(2)-slope(1), 360))}
}

// upper returns trunk and arms, and their derivatives by the hip's place and by what the
// markers of shoulder, elbow and wrist are wrong by: forward and up of each; false if they
// are not asked for.
func (e *Evidence) upper(p *problem, fit *lsq.Fit) (u rider.Upper, by [len(upperDimensions)][8]float64, ok bool) {
	at := make([]r3.Vec, 4)
	at[0] = r3.Vec{X: p.saddle.X + fit.X[forward], Z: p.saddle.Z + fit.X[up]}
	seen := 0.0
	for i := range p.legs {
		for k, v := range p.legs[i].arm {
			at[k+1] = r3.Add(at[k+1], v)
		}
		if p.legs[i].arm != nil {
			seen++
		}
	}
	if seen == 0 {
		return u, by, false
	}
	for k := 1; k < len(at); k++ {
		at[k] = r3.Scale(1/seen, at[k])
	}
	grip, _ := e.grip()
	is := upperOf(at, grip)
	const h = 1e-3
	for k := range 8 {
		axis := &at[k/2].X
		if k%2 == 1 {
			axis = &at[k/2].Z
		}
		before := *axis
		*axis = before - h
		low := upperOf(at, grip)
		*axis = before + h
		high := upperOf(at, grip)
		*axis = before
		for i := range by {
			by[i][k] = (high[i] - low[i]) / (2 * h)
		}
	}
	return rider.Upper{
		Trunk: is[0], UpperArm: is[1], Forearm: is[2], WristBack: is[3], WristUp: is[4],
		Grip: e.Grip, Keep: rider.KeepElbow, Angle: is[5],
	}, by, true
}

// covariance returns that of a body's numbers.
func (e *Evidence) covariance(p *problem, fit *lsq.Fit) (rider.Covariance, error) {
	numbers := []rider.Number{{Of: rider.BodyHipForward}, {Of: rider.BodyHipUp}}
	for i := range p.legs {
		for _, d := range dimensions {
			numbers = append(numbers, rider.Number{Of: d, Side: p.legs[i].side})
		}
	}
	legs := len(numbers)
	_, by, ok := e.upper(p, fit)
	if ok {
		for _, d := range upperDimensions {
			numbers = append(numbers, rider.Number{Of: d})
		}
	}
	return rider.NewCovariance(numbers, func(i, j int) float64 { // j is at most i
		if i < legs {
			return fit.Cov.At(i, j)
		}
		sum, row := 0.0, &by[i-legs]
		if j < legs {
			return row[forward]*fit.Cov.At(forward, j) + row[up]*fit.Cov.At(up, j)
		}
		other := &by[j-legs]
		for a := range shared {
			for b := range shared {
				sum += row[a] * other[b] * fit.Cov.At(a, b)
			}
		}
		for k, beside := range besideArm {
			beside *= e.loose()
			for axis := range 2 {
				at := shared + 2*k + axis
				sum += row[at] * other[at] * beside * beside
			}
		}
		return sum
	})
}
