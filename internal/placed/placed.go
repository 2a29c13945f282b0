// Package placed is what the solvers of sheets and of tape surveys have in common: both fit
// the places of points on a bike to readings, and say how well these are known.
package placed

import (
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
)

// How wide the range of a coordinate may be: what may lie in a wider one is free, since one
// knows as much of any bicycle.
const (
	Widest     = 200 // mm
	WidestTilt = 30  // degrees
)

// How far points lie beside where they are placed across the bike if no reading tells, as
// standard uncertainties. Common practice, no source.
const (
	AsideMiddle = 2 // saddle and clamp beside the mid-plane, mm
	AsidePair   = 3 // the middle of left and right beside it, mm
)

// Ask asks for the ranges of unknowns, of which the first residuals are of readings. Angles
// lists the unknowns that are no lengths; one below 0 is none.
func Ask(model lsq.Model, read, unknowns int, angles ...int) *lsq.Question {
	q := &lsq.Question{Model: model, Read: read, Widest: make([]float64, unknowns)}
	for j := range q.Widest {
		q.Widest[j] = Widest
	}
	for _, j := range angles {
		if j >= 0 {
			q.Widest[j] = WidestTilt
		}
	}
	return q
}

// Range returns the range of a coordinate that is one of the unknowns.
func Range(c contact.Coordinate, l lsq.Likely) contact.Range {
	return contact.Range{Coordinate: c, Low: l.Low, High: l.High, Likelihood: l.Likelihood, Assumed: l.Assumed}
}

// Covariance returns the covariance of coordinates by their derivatives by the unknowns.
func Covariance(fit *lsq.Fit, coords []contact.Coordinate, slopes [][]float64) (contact.Covariance, error) {
	return contact.NewCovariance(coords, func(i, j int) float64 { return fit.Covariance(slopes[i], slopes[j]) })
}

// mostOthers bounds the other positions: each of several places may be in two, and every mix
// of them is one.
const mostOthers = 8

// Others returns the other positions that readings leave, each once: those of fits that are
// as good as the best one, and of those that are apart from it.
func Others(found *lsq.Search, q *lsq.Question, best contact.Position, position func(x []float64) contact.Position) []contact.Position {
	var others []contact.Position
	for _, fit := range append(found.Equal, q.Beyond(&found.Best)...) {
		p := position(fit.X)
		if len(others) < mostOthers && p.Validate() == nil && !same(p, best) && !slices.ContainsFunc(others, func(o contact.Position) bool { return same(o, p) }) {
			others = append(others, p)
		}
	}
	return others
}

// same reports whether two positions are the same to a hundredth of a mm.
func same(p, q contact.Position) bool {
	_, far, _ := p.Sub(q).Largest()
	return far < 0.01
}
