package convert_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(40, 2000, 1) }

func TestMain(m *testing.M) { trial.Main(m) }

func anyPosition(t *rapid.T) contact.Position {
	return everything(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3)), rapid.Bool().Draw(t, "mirrored"))
}

func anyBasis(t *rapid.T) convert.Basis {
	return withSizes(convert.Basis{
		SeatAngle:           rapid.Float64Range(68, 80).Draw(t, "seat angle"),
		BottomBracketHeight: rapid.Float64Range(240, 350).Draw(t, "height"),
		Side:                rapid.SampledFrom([]contact.Side{contact.Centre, contact.Left, contact.Right}).Draw(t, "side"),
	})
}

func otherSide(s contact.Side) contact.Side {
	return map[contact.Side]contact.Side{contact.Left: contact.Right, contact.Right: contact.Left}[s]
}

// What the left of a position measures, the right of its mirror image does.
func TestPropertyMeasuresMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, b := anyPosition(t), anyBasis(t)
		c := b
		c.Side = otherSide(b.Side)
		for _, m := range convert.Measures() {
			v, err := m.Of(p, b)
			require.NoError(t, err)
			w, err := m.Of(p.Mirror(), c)
			require.NoError(t, err)
			require.InDelta(t, v, w, 1e-9, m)
		}
	})
}

// Lengths grow with the position and angles do not; a bike that is set up further
// back has the same reaches and drops.
func TestPropertyMeasuresScaleAndShift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, b := anyPosition(t), anyBasis(t)
		k := rapid.Float64Range(0.8, 1.2).Draw(t, "k")
		big, c := p, b
		for s, v := range p.All() {
			big.Set(s, r3.Scale(k, v))
		}
		for _, size := range []*float64{&c.BottomBracketHeight, &c.RailDrop, &c.HoodBreadth, &c.BarTube, &c.GripLength, &c.PadBreadth} {
			*size *= k
		}
		by := r3.Vec{X: rapid.Float64Range(-40, 40).Draw(t, "x"), Z: rapid.Float64Range(-40, 40).Draw(t, "z")}
		back := p
		for s, v := range p.All() {
			if !s.Group().Crank() {
				back.Set(s, r3.Add(v, by))
			}
		}
		for _, m := range convert.Measures() {
			d := m.Definition()
			v, err := m.Of(p, b)
			require.NoError(t, err)
			w, err := m.Of(big, c)
			require.NoError(t, err)
			if d.Unit == "mm" {
				v *= k
			}
			require.InDelta(t, v, w, 1e-9, m)
			w, err = m.Of(back, b)
			require.NoError(t, err)
			if v, err = m.Of(p, b); len(d.Needs) > 0 && d.From != "bottom bracket centre" && d.From != "ground" && m != convert.SaddleHeightPedal && m != convert.SaddleHeightSole && m != convert.SeatAngleEffective && m != convert.GripAngle {
				require.NoError(t, err)
				require.InDelta(t, v, w, 1e-9, m)
			}
		}
	})
}

// Of, NewSheet, NewSheetWithSigma and the slopes are the same numbers, and a sheet is
// the sheets of some of its measures and of the others.
func TestPropertySheetsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, b := anyPosition(t), anyBasis(t)
		var coords []contact.Coordinate
		for _, s := range contact.Sites() {
			for a := range contact.AxisTilt {
				coords = append(coords, contact.Coordinate{Site: s, Axis: a})
			}
		}
		coords = append(coords, contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt})
		for _, m := range convert.Measures() {
			if c := m.Definition().Direction; c.Site != 0 {
				coords = append(coords, c, contact.Coordinate{Site: c.Site.On(contact.Right), Axis: c.Axis})
			}
		}
		common := rapid.Float64Range(0, 2).Draw(t, "common")
		cov, err := contact.NewCovariance(coords, func(i, j int) float64 {
			if i == j {
				return common + 0.25 + float64(i%7)
			}
			return common
		})
		require.NoError(t, err)
		ms := rapid.Permutation(convert.Measures()).Draw(t, "order")
		sheet, err := convert.NewSheet(p, b, ms...)
		require.NoError(t, err)
		with, err := convert.NewSheetWithSigma(p, cov, b, ms...)
		require.NoError(t, err)
		require.Equal(t, b, sheet.Basis)
		require.Equal(t, b, with.Basis)
		first, err := convert.NewSheet(p, b, ms[:3]...)
		require.NoError(t, err)
		others, err := convert.NewSheet(p, b, ms[3:]...)
		require.NoError(t, err)
		require.Equal(t, sheet.Entries, append(first.Entries, others.Entries...))
		for i, m := range ms {
			v, err := m.Of(p, b)
			require.NoError(t, err)
			require.Equal(t, v, sheet.Entries[i].Value)
			require.Equal(t, v, with.Entries[i].Value)
			require.Equal(t, b.Side, with.Entries[i].Side)
			got, ok := sheet.Value(m)
			require.True(t, ok)
			require.Equal(t, v, got)
			slopes, err := m.Gradient(p, b)
			require.NoError(t, err)
			variance, err := cov.Between(slopes, slopes)
			require.NoError(t, err)
			require.InDelta(t, math.Sqrt(variance), with.Entries[i].Sigma, 1e-9, m)
		}
	})
}

// A sheet with every measure of each side gives back the position that it was
// taken of, in whatever order, and a sheet of that is the same sheet.
func TestPropertySheetRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mirrored := rapid.Bool().Draw(t, "mirrored")
		p := everything(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3)), mirrored)
		sheet := bothSides(t, p)
		for i := range sheet {
			sheet[i].Sigma = 1
		}
		sol, err := solve(sheet, basis, mirrored)
		require.NoError(t, err)
		require.Empty(t, sol.Free)
		require.True(t, sol.Consistent)
		_, far, _ := sol.Position.Sub(p).Largest()
		require.InDelta(t, 0, far, 1e-6)

		// With readings that do not quite agree: no order matters.
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "noise"), 3))
		for i := range sheet {
			per := 1.0
			if sheet[i].Measure.Definition().Unit == "ratio" {
				per = 0.01
			}
			sheet[i].Value += 0.5 * per * rng.NormFloat64()
			sheet[i].Sigma = (0.5 + rng.Float64()) * per
		}
		known := withSaddle(basis, p, 1)
		sol, err = solve(sheet, known, mirrored)
		require.NoError(t, err)
		other, err := solve(rapid.Permutation(sheet).Draw(t, "order"), known, mirrored)
		require.NoError(t, err)
		_, far, _ = sol.Position.Sub(other.Position).Largest()
		require.InDelta(t, 0, far, 1e-5)
		require.InEpsilon(t, sol.Chi2, other.Chi2, 1e-6)
		require.Equal(t, sol.Redundant, other.Redundant)
		for _, c := range sol.Covariance.Coordinates() {
			v, _ := sol.Covariance.At(c, c)
			w, ok := other.Covariance.At(c, c)
			require.True(t, ok)
			require.InDelta(t, v, w, 1e-5*(1+v), c)
		}

		// All uncertainties twice as large: the same position, four times the variance. What
		// is supposed across the bike does not grow with them.
		sheet = slices.DeleteFunc(sheet, oneSided)
		sol, err = solve(sheet, known, mirrored)
		require.NoError(t, err)
		known.Saddle.Sigma *= 2
		for i := range sheet {
			sheet[i].Sigma *= 2
		}
		other, err = solve(sheet, known, mirrored)
		require.NoError(t, err)
		_, far, _ = sol.Position.Sub(other.Position).Largest()
		require.InDelta(t, 0, far, 1e-5)
		require.InEpsilon(t, sol.Chi2, 4*other.Chi2, 1e-6)
		for _, r := range sol.Ranges {
			if q, _ := other.Ranges.At(r.Coordinate); r.Likelihood || q.Likelihood {
				continue
			}
			v, _ := sol.Covariance.At(r.Coordinate, r.Coordinate)
			w, _ := other.Covariance.At(r.Coordinate, r.Coordinate)
			require.InEpsilon(t, 4*v, w, 1e-5, r.Coordinate)
		}
	})
}
