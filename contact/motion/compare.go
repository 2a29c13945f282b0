package motion

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/stat/distuv"
)

// A Feature is a number of a curve. The zero Feature is not valid.
type Feature uint8

// The features.
const (
	// LeastOf, MostOf, RangeOf and MeanOf are what the methods of a [Curve] return.
	LeastOf Feature = iota + 1
	MostOf
	RangeOf
	MeanOf
	// AtTop and AtBottom are at the dead points of the side.
	AtTop
	AtBottom
)

var featureNames = enum.New[Feature]("feature", []string{LeastOf: "least", MostOf: "most", RangeOf: "range", MeanOf: "mean", AtTop: "at_top", AtBottom: "at_bottom"})

// String returns the feature's name, such as "at_top".
func (f Feature) String() string { return featureNames.String(f) }

// MarshalText writes the feature's name; it fails for an unknown number.
func (f Feature) MarshalText() ([]byte, error) { return featureNames.Text(f) }

// UnmarshalText reads a name as [ParseFeature] does.
func (f *Feature) UnmarshalText(text []byte) error { return featureNames.Read(f, text) }

// ParseFeature returns the feature of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseFeature(name string) (Feature, error) { return featureNames.Parse(name) }

// Feature returns a number of the curve. Faults are [contact.ErrUnknown] for one that does
// not exist and [contact.ErrMissing] for the zero Curve.
func (c Curve) Feature(f Feature) (Stat, error) {
	if err := featureNames.Check("feature", f); err != nil {
		return Stat{}, err
	}
	switch f {
	case AtTop:
		return c.At(0)
	case AtBottom:
		return c.At(180)
	case LeastOf, MostOf, RangeOf, MeanOf:
	}
	if _, err := c.At(0); err != nil {
		return Stat{}, err
	}
	return [...]Stat{LeastOf: c.Least().Stat, MostOf: c.Most().Stat, RangeOf: c.Range(), MeanOf: c.Mean()}[f], nil
}

// A Change is what two recordings differ by.
type Change struct {
	// Of, Side and Feature are what it is of.
	Of      Measure      `json:"measure"`
	Side    contact.Side `json:"side"`
	Feature Feature      `json:"feature"`
	// Before and After are what is compared.
	Before Stat `json:"before"`
	After  Stat `json:"after"`
	// By is After less Before, Low to High its 95 % range, if revolutions and, as far as they
	// are stated, placements of markers differ by chance.
	By   float64 `json:"by"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
	// Real reports that it is more than chance: not one in twenty comparisons of recordings
	// that do not differ has a change that is called so, however many changes are asked for.
	Real bool `json:"real"`
}

// Compare returns how curves differ from those of a recording before, feature by feature,
// with the revolutions as the sample (Welch's test). Which are real is told of all together,
// by Holm (1979, Scand. J. Statist. 6, 65–70).
//
// Placement is the standard uncertainty of what markers that were taken off and put on again
// change, in the unit of each curve; 0 if they stayed where they were.
//
// Faults are [contact.ErrConflict] for lists of different lengths and for curves of another
// measure or side, or of another view: what a single camera at the side sees is not compared
// with space; [contact.ErrMissing] for curves of fewer than two revolutions; and
// [contact.ErrRange] for a placement that is not 0 to 1000.
func Compare(before, after []Curve, placement float64, features ...Feature) ([]Change, error) {
	var f fault.List
	f.Range("placement", placement, 0, 1000, "")
	if len(before) != len(after) {
		f.Add("after", num.Text(float64(len(after)), "curves"), num.Text(float64(len(before)), "")+", as before", contact.ErrConflict)
		return nil, f.Err()
	}
	var all []Change
	var chances []float64
	for i := range before {
		a, b := &before[i], &after[i]
		path := fault.At("after", i)
		switch {
		case a.Of != b.Of || a.Side != b.Side:
			f.Add(path, b.Of.String()+" "+b.Side.String(), a.Of.String()+" "+a.Side.String(), contact.ErrConflict)
			continue
		case a.View != b.View || a.Flat != b.Flat:
			f.Add(path, b.View.String(), fmt.Sprintf("%v, and a single camera at the side: %v, as before", a.View, a.Flat), contact.ErrConflict)
			continue
		case len(a.each) < 2 || len(b.each) < 2:
			f.Add(path, "", "at least two revolutions, before and after", contact.ErrMissing)
			continue
		}
		for _, feature := range features {
			c := Change{Of: a.Of, Side: a.Side, Feature: feature}
			var err error
			if c.Before, err = a.Feature(feature); err != nil {
				f.In("", err)
				continue
			}
			c.After, _ = b.Feature(feature)
			chances = append(chances, c.judge(placement))
			all = append(all, c)
		}
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	holm(all, chances)
	return all, nil
}

// judge fills in the difference and returns how likely chance makes one as large.
func (c *Change) judge(placement float64) float64 {
	u, v := c.Before.Sigma*c.Before.Sigma, c.After.Sigma*c.After.Sigma
	sigma := math.Sqrt(u + v + placement*placement)
	// Welch and Satterthwaite; a stated uncertainty counts as known.
	freedom := (u + v) * (u + v) / (u*u/c.Before.freedom() + v*v/c.After.freedom())
	if s := u + v; s > 0 {
		freedom *= (sigma * sigma / s) * (sigma * sigma / s)
	}
	if !(freedom >= 1) || freedom > 1e6 {
		freedom = 1e6
	}
	c.By = c.After.Mean - c.Before.Mean
	half := student(0.95, freedom) * sigma
	c.Low, c.High = c.By-half, c.By+half
	if sigma == 0 {
		return map[bool]float64{true: 1, false: 0}[c.By == 0]
	}
	return 2 * distuv.StudentsT{Sigma: 1, Nu: freedom}.CDF(-math.Abs(c.By)/sigma)
}

// holm tells which are real.
func holm(all []Change, chances []float64) {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(chances[i], chances[j]) })
	for k, i := range order {
		if chances[i] > 0.05/float64(len(all)-k) {
			break
		}
		all[i].Real = true
	}
}

// MultipleCorrelation returns how alike curves are that are given at the same places, one a
// row, by M. P. Kadaba et al. (1989), J. Orthop. Res. 7, 849–860: the coefficient, and the
// share of the variance that they have in common, of which it is the root. Where that is
// negative, as of curves that hardly change, no coefficient is defined, and ok is false.
// Differences in degrees say more.
//
// Faults are [contact.ErrMissing] for fewer than two curves or places and for curves that do
// not change at all, [contact.ErrConflict] for rows of different lengths and
// [contact.ErrRange] for numbers that are not finite or beyond 1e12.
func MultipleCorrelation(curves [][]float64) (coefficient, common float64, ok bool, err error) {
	var f fault.List
	if len(curves) < 2 || len(curves[0]) < 2 {
		f.Add("curves", "", "at least two, at two places", contact.ErrMissing)
		return 0, 0, false, f.Err()
	}
	places := len(curves[0])
	mean, all := make([]float64, places), 0.0
	m, n := float64(len(curves)), float64(len(curves)*places)
	for k, row := range curves {
		if len(row) != places {
			f.Add(fault.At("curves", k), num.Text(float64(len(row)), "places"), num.Text(float64(places), ""), contact.ErrConflict)
			continue
		}
		for i, v := range row {
			f.Range(fault.At(fault.At("curves", k), i), v, -1e12, 1e12, "")
			mean[i] += v / m
			all += v / n
		}
	}
	if err := f.Err(); err != nil {
		return 0, 0, false, err
	}
	var within, whole float64
	for _, row := range curves {
		for i, v := range row {
			within += (v - mean[i]) * (v - mean[i])
			whole += (v - all) * (v - all)
		}
	}
	if whole == 0 {
		f.Add("curves", "", "curves that change", contact.ErrMissing)
		return 0, 0, false, f.Err()
	}
	common = 1 - within/(float64(places)*(m-1))/(whole/(n-1))
	if common < 0 {
		return 0, common, false, nil
	}
	return math.Sqrt(common), common, true, nil
}

// Repeatability returns how alike the revolutions of a curve are: by how much one differs from
// their mean, as a standard deviation over the crank circle, and the coefficient of
// [MultipleCorrelation] at 100 crank angles. Of fewer than two revolutions there is neither,
// and where no coefficient is defined ok is false too.
func (c Curve) Repeatability() (by, coefficient float64, ok bool) {
	const places = 100
	rows := make([][]float64, len(c.each))
	row := c.row()
	for i := range places {
		basis(row, 360*float64(i)/places)
		for k, one := range c.each {
			v := 0.0
			for j, x := range row {
				v += x * one[j]
			}
			rows[k] = append(rows[k], v)
		}
		if len(rows) > 1 {
			s := c.of(row).Spread
			by += s * s / places
		}
	}
	coefficient, _, ok, err := MultipleCorrelation(rows)
	return math.Sqrt(by), coefficient, ok && err == nil
}

// SymmetryAngle returns how far a right and a left number are from equal, in per cent, by R.
// A. Zifchock et al. (2008), Gait Posture 27, 622–627: 0 if they are, positive if the right
// one is larger. It returns false if both are 0 or one is not finite. A difference in
// degrees ([Stat.Sub]) says more.
func SymmetryAngle(left, right float64) (percent float64, ok bool) {
	if !num.Finite(left, right) || left == 0 && right == 0 {
		return 0, false
	}
	by := 45 - math.Atan(left/right)/num.Rad
	if right == 0 {
		by = 45 - 90
	}
	if by > 90 {
		by -= 180
	}
	return by / 90 * 100, true
}

// SymmetryIndex returns the difference of a right and a left number in per cent of their
// mean (Robinson et al. 1987). It returns false for numbers that are not both above 0 or both
// below, since near 0 the index says nothing: 2 and −2.5 would be −1800 %. Angles are such
// numbers only where they do not pass 0.
func SymmetryIndex(left, right float64) (percent float64, ok bool) {
	if !num.Finite(left, right) || !(left > 0 && right > 0 || left < 0 && right < 0) {
		return 0, false
	}
	return (right - left) / (0.5*right + 0.5*left) * 100, true
}
