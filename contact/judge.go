package contact

import (
	"math"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// A Move is how far a site moved between two positions, and whether that is
// more than measuring error.
type Move struct {
	Site Site
	// By is the move, and Sigma its standard uncertainty along each axis, mm.
	By, Sigma r3.Vec
	// Chance is the probability that measuring errors alone make a move as
	// unlikely as this one, 0 to 1.
	Chance float64
	// Real reports whether Chance is less than 1 minus the coverage that was asked for.
	Real bool

	cov [3][3]float64
}

// farthest is beyond every move between two valid positions, mm.
const farthest = 4000

// A Turn is how far the direction at a site turned between two positions, and
// whether that is more than measuring error.
type Turn struct {
	Site Site `json:"site"`
	// By is the change of tilt and Sigma its standard uncertainty, degrees.
	By    float64 `json:"by_deg" range:"-180 to 180"`
	Sigma float64 `json:"sigma_deg" range:"0 to 1e9"`
	// Chance and Real are as in [Move].
	Chance float64 `json:"chance" range:"0 to 1"`
	Real   bool    `json:"real"`
}

// Judge tells which differences are real and which are within measuring error, at a
// coverage such as 0.95 or 0.99 (above 0 and below 1). The covariance is that of the
// difference. Errors in common, such as those of one datum, make it less than the sum of
// both positions' covariances.
//
// It returns a move for each site whose three coordinates both the difference and the
// covariance know, and a turn for each site whose tilt they know, in the order of the
// sites. A move is judged in all three coordinates together, by the chi-squared
// distribution: it may be real though no coordinate by itself is. Of many sites some seem
// to have moved by chance alone: at a coverage of 0.95, one in 20 of those that did not.
//
// Faults are [ErrRange] for the coverage and for moves and turns larger than any between
// two valid positions.
func (d Difference) Judge(c Covariance, coverage float64) ([]Move, []Turn, error) {
	if !(coverage > 0 && coverage < 1) {
		return nil, nil, &Error{Path: "coverage", Value: num.Text(coverage, ""), Want: "more than 0 and less than 1", Class: ErrRange}
	}
	var moves []Move
	var turns []Turn
	for s, by := range d.All() {
		sigma, ok := c.Sigma(s)
		if !ok {
			continue
		}
		if far := max(math.Abs(by.X), math.Abs(by.Y), math.Abs(by.Z)); !(far <= farthest) {
			return nil, nil, &Error{Path: "difference." + s.String(), Value: num.Text(far, "mm"), Want: num.Span(0, farthest, "mm"), Class: ErrRange}
		}
		m := Move{Site: s, By: by, Sigma: sigma}
		for i := range 3 {
			for j := range 3 {
				m.cov[i][j], _ = c.At(Coordinate{s, Axis(i)}, Coordinate{s, Axis(j)})
			}
		}
		m.Chance = chance(by, m.cov)
		m.Real = m.Chance < 1-coverage
		moves = append(moves, m)
	}
	for i := 1; i < SiteCount; i++ {
		s := Site(i)
		by, ok := d.Attitude(s)
		sigma, ok2 := c.AttitudeSigma(s)
		if !ok || !ok2 {
			continue
		}
		if !(math.Abs(by.Tilt) <= 180) {
			return nil, nil, &Error{Path: "difference." + s.String() + ".tilt", Value: num.Text(by.Tilt, "degrees"), Want: num.Span(-180, 180, "degrees"), Class: ErrRange}
		}
		t := Turn{Site: s, By: by.Tilt, Sigma: sigma.Tilt}
		t.Chance = math.Erfc(math.Abs(t.By) / t.Sigma / math.Sqrt2)
		if t.By == 0 {
			t.Chance = 1 // also where there is no uncertainty
		}
		t.Real = t.Chance < 1-coverage
		turns = append(turns, t)
	}
	return moves, turns, nil
}

// chance is the probability that errors with a covariance are as unlikely as v.
// In a direction in which there is no error, any move is real.
func chance(v r3.Vec, cov [3][3]float64) float64 {
	values, vectors := principal(cov)
	chi2, freedom := 0.0, 0.0
	for i, variance := range values {
		along := r3.Dot(v, vectors[i])
		if variance <= 1e-12*values[2] {
			if math.Abs(along) > 1e-9*(1+r3.Norm(v)) {
				return 0
			}
			continue
		}
		chi2 += along * along / variance
		freedom++
	}
	if freedom == 0 {
		return 1
	}
	return distuv.ChiSquared{K: freedom}.Survival(chi2)
}

// principal returns the variances of a covariance along its principal axes, the least
// first.
func principal(cov [3][3]float64) (values [3]float64, vectors [3]r3.Vec) {
	m := mat.NewSymDense(3, nil)
	for i := range 3 {
		for j := range i + 1 {
			m.SetSym(i, j, cov[i][j])
		}
	}
	var eig mat.EigenSym
	eig.Factorize(m, true) // does not fail for finite numbers
	eig.Values(values[:])
	var v mat.Dense
	eig.VectorsTo(&v)
	for j := range 3 {
		vectors[j] = r3.Vec{X: v.At(0, j), Y: v.At(1, j), Z: v.At(2, j)}
	}
	return values, vectors
}

// Distance returns how far the site moved and the standard uncertainty of that, in mm, to
// first order. Near zero that is wrong: a distance cannot be negative, so errors make it
// longer on average. Therefore ok is false when the uncertainty is more than 0.3 of the
// distance. [Move.DistanceMean], [Move.DistanceInterval] and [Move.DistanceSquared] are
// right at any distance.
func (m Move) Distance() (distance, sigma float64, ok bool) {
	distance = r3.Norm(m.By)
	if distance == 0 {
		return 0, 0, false
	}
	sigma = math.Sqrt(m.along(m.By)) / distance
	return distance, sigma, sigma <= 0.3*distance
}

// DistanceSquared returns the mean and the standard deviation, in mm², of the squared
// distance that is measured of a true move of By, if the move's errors are normal: |By|²
// + tr C and √(4 ByᵀC By + 2 tr C²). The mean exceeds |By|² by what errors add.
func (m Move) DistanceSquared() (mean, sigma float64) {
	trace, square := 0.0, 0.0
	for i := range 3 {
		trace += m.cov[i][i]
		for j := range 3 {
			square += m.cov[i][j] * m.cov[i][j]
		}
	}
	return r3.Norm2(m.By) + trace, math.Sqrt(4*m.along(m.By) + 2*square)
}

// along returns vᵀCv, which rounding must not make negative.
func (m Move) along(v r3.Vec) float64 {
	x := [3]float64{v.X, v.Y, v.Z}
	sum := 0.0
	for i := range 3 {
		for j := range 3 {
			sum += x[i] * m.cov[i][j] * x[j]
		}
	}
	return max(0, sum)
}
