package contact

import (
	"math"

	"example.com/fitgeom/internal/num"
)

// A Range is where a coordinate of a [Position] lies with a probability of 95 %, as far as
// readings and what was assumed beside them tell.
//
// It is what to use of one coordinate by itself. A [Covariance] is what to use of several
// together; where Likelihood is true it is only a rough stand-in, with the standard
// uncertainty that a range of this width would have.
type Range struct {
	Coordinate Coordinate `json:"coordinate"`
	// Low and High are its ends, mm or degrees. The coordinate of the position lies
	// between them, and not always in their middle.
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	// Likelihood says that the range comes from the likelihood itself: all values that
	// the readings do not speak against. It is so where first order (JCGM 100:2008, 5.1)
	// is off by more than a tenth, as for the height of a bar of which a direct and a
	// horizontal distance are nearly equal.
	Likelihood bool `json:"likelihood,omitzero"`
	// Assumed is the share of the variance that comes from what was assumed and not read,
	// such as the shape of the saddle, from 0 to 1.
	Assumed float64 `json:"assumed,omitzero" range:"0 to 1"`
}

// Ranges holds a range for each of some coordinates.
type Ranges []Range

// At returns the range of a coordinate, and whether there is one.
func (r Ranges) At(c Coordinate) (Range, bool) {
	for _, one := range r {
		if one.Coordinate == c {
			return one, true
		}
	}
	return Range{}, false
}

// Ranges returns the range of each coordinate that both the covariance and the position
// know, to first order: 1.96 standard uncertainties to either side.
func (c Covariance) Ranges(p Position) Ranges {
	all := make(Ranges, 0, len(c.coords))
	for i, k := range c.coords {
		at, is := p.At(k.Site)
		a, turned := p.Attitude(k.Site)
		if k.Axis < AxisTilt && !is || k.Axis >= AxisTilt && !turned {
			continue
		}
		x := [axisCount]float64{at.X, at.Y, at.Z, a.Tilt, a.Yaw, a.Roll}[k.Axis]
		half := num.Normal95 * math.Sqrt(c.entry(i, i))
		all = append(all, Range{Coordinate: k, Low: x - half, High: x + half})
	}
	return all
}
