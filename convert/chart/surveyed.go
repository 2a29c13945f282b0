package chart

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/num"
)

// A Surveyed is the frame that was read together with the contact points on it, in points or by tape:
// its dimensions with their covariance, and that of both together, since all come from the
// same readings. Its zero value knows nothing.
type Surveyed struct {
	// View holds the numbers that the survey tells, and Coordinates those of the contact
	// points, in the order of View.With.
	View        survey.SideView
	Coordinates []contact.Coordinate
}

// FromSurvey returns the frame that a survey was read on; false where [survey.Fix.SideView]
// has none. Stack and reach are those of the head tube's top if it was read there. The seat
// angle needs survey.SeatTubeTopLeft and its three like, and trail and all that depends on
// the wheels needs the radii of the tyres.
func FromSurvey(fix survey.Fix) (Surveyed, bool) {
	v, ok := fix.SideView()
	if !ok {
		return Surveyed{}, false
	}
	return Surveyed{View: v, Coordinates: fix.Covariance.Coordinates()}, true
}

// surveyedNumbers is which parameter each of the numbers of a side view is; the rear
// centre is none.
var surveyedNumbers = [...]int{pStack, pReach, pHead, pSeat, pSeatOffset, rearCentre, pDrop, pOffset, pFront, pRear}

const (
	rearCentre = -1
	atRear     = 5 // its place
	atDrop     = 6
)

// row returns a dimension and its derivatives by the numbers of the view; false if the
// survey does not tell it.
func (s *Surveyed) row(d Dimension) (value float64, by [len(surveyedNumbers)]float64, ok bool) {
	x := usualFrame // for what is not told, so that it shows in the derivatives
	var at [parameterCount]int
	n := &s.View.Numbers
	known := n[0] != 0 // of a zero Surveyed nothing is
	for i, p := range surveyedNumbers {
		if p >= 0 {
			x[p], at[p] = n[i], i+1
		}
	}
	x[pChainstay] = math.Hypot(n[atRear], n[atDrop])
	if !s.View.Seat {
		x[pSeat], at[pSeat], at[pSeatOffset] = usualFrame[pSeat], 0, 0
	}
	if x[pFront] == 0 {
		x[pFront], x[pRear], at[pFront], at[pRear] = usualFrame[pFront], usualFrame[pRear], 0, 0
	}
	if !dimensionNames.Valid(d) || !known {
		return 0, by, false
	}
	side := newSide(x, 0)
	value = side.value(d, func(p int, slope float64) {
		switch {
		case slope == 0:
		case p == pChainstay:
			by[atRear] += slope * n[atRear] / x[pChainstay]
			by[atDrop] += slope * n[atDrop] / x[pChainstay]
		case at[p] == 0:
			known = false
		default:
			by[at[p]-1] += slope
		}
	})
	if !known || !num.Finite(value) {
		return 0, by, false
	}
	return value, by, true
}

// Get returns a dimension in mm or degrees and its standard uncertainty, and whether the
// survey tells it.
func (s Surveyed) Get(d Dimension) (value, sigma float64, ok bool) {
	value, _, ok = s.row(d)
	square, known := s.Covariance(d, d)
	if !ok || !known {
		return 0, 0, false // or numbers that no survey has
	}
	return value, math.Sqrt(max(0, square)), true
}

// Covariance returns the covariance of two dimensions, in their units, and whether the
// survey tells both.
func (s Surveyed) Covariance(d, e Dimension) (float64, bool) {
	_, a, okA := s.row(d)
	_, b, okB := s.row(e)
	if !okA || !okB {
		return 0, false
	}
	sum := 0.0
	for i, v := range a {
		for j, w := range b {
			sum += v * w * s.View.Covariance[i][j]
		}
	}
	return finite(sum)
}

func finite(v float64) (float64, bool) {
	if !num.Finite(v) {
		return 0, false
	}
	return v, true
}

// With returns the covariance of a dimension with a coordinate of the contact points, in
// their units, and whether the survey tells both.
func (s Surveyed) With(d Dimension, c contact.Coordinate) (float64, bool) {
	_, a, ok := s.row(d)
	for k, have := range s.Coordinates {
		if !ok || have != c || k >= len(s.View.With) {
			continue
		}
		sum := 0.0
		for i, v := range a {
			sum += v * s.View.With[k][i]
		}
		return finite(sum)
	}
	return 0, false
}

// Geometry returns the frame's side view, and whether it has all that [Geometry.Validate]
// needs: without the seat tube, the seat angle is left for a chart to tell. Its axles are
// stated if the survey states the radii.
func (s Surveyed) Geometry() (Geometry, bool) {
	n := &s.View.Numbers
	g := Geometry{Stack: n[0], Reach: n[1], HeadAngle: n[2], SeatAngle: n[3], SeatOffset: n[4]}
	if n[8] != 0 {
		g.Axles = Axles{Chainstay: math.Hypot(n[atRear], n[atDrop]), Drop: n[atDrop], ForkOffset: n[7], FrontRadius: n[8], RearRadius: n[9]}
	}
	return g, s.View.Seat
}
