package chart

import (
	"math"

	"example.com/fitgeom/internal/num"
)

// Uncertain is a frame that is not known exactly: the [Solution] of a chart, or a [Surveyed]
// one.
type Uncertain interface {
	// Covariance returns the covariance of two dimensions, in mm and degrees, and whether
	// both are known.
	Covariance(d, e Dimension) (float64, bool)
}

// Covariance returns the covariance of two dimensions, in their units, to first order, and
// whether the chart determines both and neither is doubtful. Dimensions that follow from the
// same numbers err together.
func (c Solution) Covariance(d, e Dimension) (float64, bool) {
	a, okA := c.effects(d)
	b, okB := c.effects(e)
	if !okA || !okB || len(a) != len(b) {
		return 0, false
	}
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return finite(sum)
}

func (c *Solution) effects(d Dimension) ([]float64, bool) {
	for i := range c.Values {
		if c.Values[i].Dimension == d {
			return c.Values[i].Effects, !c.Values[i].Doubtful
		}
	}
	return nil, false
}

// Slopes returns by how much a dimension of the chart's solution changes with the number of
// each entry, in their order, in units of the one by units of the other; false for a
// solution of another chart, and a chart that is not valid. A number that others outweigh
// has a slope near 0.
func (c Chart) Slopes(v Value) ([]float64, bool) {
	if len(v.Effects) < len(c.Entries) {
		return nil, false
	}
	all := make([]float64, len(c.Entries))
	for i := range all {
		if !dimensionNames.Valid(c.Entries[i].Dimension) {
			return nil, false
		}
		if all[i] = v.Effects[i] / c.sigma(i); !num.Finite(all[i]) {
			return nil, false
		}
	}
	return all, true
}

// sigma is the standard uncertainty of an entry's own error.
func (c *Chart) sigma(i int) float64 {
	e := &c.Entries[i]
	step := e.Step
	if step == 0 && dimensions[e.Dimension].angle {
		step = c.AngleStep
	}
	if step == 0 {
		step = c.LengthStep
	}
	return math.Hypot(step/math.Sqrt(12), e.Sigma)
}
