package blame_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/blame"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/slip"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A linear is readings that are sums of unknowns, and sums of unknowns that are 0.
type linear struct {
	rows         [][]float64 // of the readings, and then of what is 0
	value, sigma []float64
	exact        float64 // the standard uncertainty of what is 0
	lo, hi       float64
}

func (l *linear) fit(x []float64, changes ...blame.Change) lsq.Fit {
	value, sigma := append([]float64(nil), l.value...), append([]float64(nil), l.sigma...)
	for _, c := range changes {
		if c.Out {
			sigma[c.Reading] *= blame.Faint
		} else {
			value[c.Reading] = c.Value
		}
	}
	return lsq.Solve(x, len(l.rows), func(x, r, jac []float64) {
		for i, row := range l.rows {
			v, s := 0.0, l.exact
			if i < len(value) {
				v, s = value[i], sigma[i]
			}
			r[i] = -v / s
			for j, by := range row {
				r[i] += by * x[j] / s
				jac[i*len(x)+j] = by / s
			}
		}
	})
}

func (l *linear) ask(t *testing.T) []contact.Suspect {
	start := make([]float64, len(l.rows[0]))
	trial := func(changes ...blame.Change) blame.Trial {
		return blame.Trial{
			Fits: []lsq.Fit{l.fit(start, changes...)},
			From: func(x []float64, changes []blame.Change) lsq.Fit { return l.fit(x, changes...) },
		}
	}
	q := blame.Question{
		Value: l.value, Sigma: l.sigma,
		Solve: func(out []int) blame.Trial {
			return trial(blame.Out(out)...)
		},
		Values: func(i int) []contact.Slip { return blame.Values(l.value[i], false, l.lo, l.hi) },
		Others: func(int) []blame.Other { return nil },
	}
	first := trial()
	require.True(t, first.Fits[0].Converged)
	a := q.Ask(first, &first.Fits[0])
	return a.Suspects
}

// levelling is a network of four points, of which A is 0; mm. W. Baarda's data snooping
// (1968) as a surveying program's manual has it (Calculation Procedures for Data Snooping);
// the numbers were computed with scipy 1.10.1 from the normal equations.
func levelling(off float64) *linear {
	return &linear{
		rows:  [][]float64{{1, 0, 0}, {0, 1, 0}, {-1, 1, 0}, {-1, 0, 1}, {0, -1, 1}, {0, 0, 1}},
		value: []float64{12347, 7889, -4454, 7776 + off, 12234, 20123},
		sigma: []float64{2, 2, 2, 3, 3, 3},
		lo:    -1e5, hi: 1e5,
	}
}

// An error of 20 mm is named, by its amount; one below the least that is found is not.
func TestLevelling(t *testing.T) {
	assert.Empty(t, levelling(0).ask(t))
	all := levelling(20).ask(t)
	require.Len(t, all, 1)
	assert.Equal(t, 3, all[0].Reading)
	assert.InDelta(t, 18.000, all[0].Against, 5e-4)
	// 4.1321480 times the uncertainty of what it is against is the least error that is
	// found: 16.2683 mm.
	assert.InDelta(t, 16.2683, math.Sqrt(blame.Least)*all[0].Sigma, 5e-5)
	assert.InDelta(t, 4.1321480, math.Sqrt(blame.Least), 5e-8)
	// What the others tell is 2 mm from what was read before.
	assert.Empty(t, levelling(16.2683+2-0.01).ask(t))
	// From there on it is, with another that explains it about as well.
	all = levelling(16.2683 + 2 + 0.01).ask(t)
	require.Len(t, all, 2)
	assert.Equal(t, 0, all[0].Reading)
	assert.Equal(t, 3, all[1].Reading)
	// Every slip that explains it is there: what is right is within 3.2905 times the
	// uncertainty, 13 mm.
	all = levelling(100).ask(t)
	require.Len(t, all, 1)
	assert.Equal(t, []contact.Slip{{Kind: contact.HundredOff, Value: 7776}, {Kind: contact.DigitsExchanged, Value: 7786}}, all[0].Slips)
}

// balances has the records of S. Scholtus (2009), Automatic correction of simple typing
// errors in numerical data with balance edits, as the tests of the R package deducorrect
// have them: x1+x2=x3, x2=x4, x5+x6+x7=x8, x3+x8=x9, x9−x10=x11.
func balances(x ...float64) *linear {
	l := &linear{value: x, exact: 0.01, lo: 0, hi: 1e6}
	for i := range x {
		row := make([]float64, len(x))
		row[i] = 1
		l.rows, l.sigma = append(l.rows, row), append(l.sigma, 0.1)
	}
	for _, edit := range []map[int]float64{{1: 1, 2: 1, 3: -1}, {2: 1, 4: -1}, {5: 1, 6: 1, 7: 1, 8: -1}, {3: 1, 8: 1, 9: -1}, {9: 1, 10: -1, 11: -1}} {
		row := make([]float64, len(x))
		for i, by := range edit {
			row[i-1] = by
		}
		l.rows = append(l.rows, row)
	}
	return l
}

func TestTypingErrors(t *testing.T) {
	assert.Empty(t, balances(1452, 116, 1568, 116, 323, 76, 12, 411, 1979, 1842, 137).ask(t))
	// Two digits exchanged.
	all := balances(1452, 116, 1568, 161, 323, 76, 12, 411, 1979, 1842, 137).ask(t)
	require.Len(t, all, 1)
	assert.Equal(t, 3, all[0].Reading)
	assert.Equal(t, []contact.Slip{{Kind: contact.DigitsExchanged, Value: 116}}, all[0].Slips)
	// And a digit doubled: two contradictions.
	all = balances(1452, 116, 1568, 161, 323, 76, 12, 411, 19979, 1842, 137).ask(t)
	require.Len(t, all, 2)
	for _, c := range all {
		want := map[int]contact.Slip{3: {Kind: contact.DigitsExchanged, Value: 116}, 8: {Kind: contact.DigitDoubled, Value: 1979}}[c.Reading]
		assert.Equal(t, []contact.Slip{want}, c.Slips)
	}
	assert.NotEqual(t, all[0].Contradiction, all[1].Contradiction)
	// Of 411 that are missing in a sum of three nothing tells which it is, nor is it a slip.
	all = balances(1452, 116, 1568, 116, 0, 0, 0, 411, 1979, 1842, 137).ask(t)
	require.Len(t, all, 3)
	for i, c := range all {
		assert.Equal(t, 4+i, c.Reading)
		assert.InDelta(t, -411, c.Against, 1e-6)
		assert.Empty(t, c.Slips)
	}
}

// What a 705 may have been.
func TestValues(t *testing.T) {
	of := func(v float64, degrees bool, lo, hi float64) map[slip.Kind][]float64 {
		all := map[slip.Kind][]float64{}
		for _, c := range slip.Values(v, degrees, lo, hi) {
			all[c.Kind] = append(all[c.Kind], c.Value)
		}
		return all
	}
	all := of(705, false, -1e4, 1e4)
	assert.Equal(t, []float64{-705}, all[slip.Sign])
	assert.Equal(t, []float64{5.7, 700.5, 7005, 5700, 75, 507, 750}, all[slip.Exchanged], "and what it was as 705.0 or 0705")
	assert.Equal(t, []float64{7050}, all[slip.Centimetres])
	assert.Equal(t, []float64{715, 695}, all[slip.Ten])
	assert.Equal(t, []float64{805, 605}, all[slip.Hundred])
	assert.Contains(t, all[slip.Dropped], 1705.0)
	assert.Contains(t, all[slip.Dropped], 7205.0)
	assert.Len(t, all[slip.Dropped], 45, "where equal digits stand side by side it is the same number")
	assert.Empty(t, all[slip.Doubled])
	assert.Equal(t, []float64{1979}, of(19979, false, 0, 1e5)[slip.Doubled])
	assert.Equal(t, []float64{108, 18}, of(72, true, 0, 180)[slip.OtherSide])
	assert.InDelta(t, 1872.488, of(73.72, false, 1800, 1900)[slip.Inches][0], 1e-9)
	assert.Empty(t, of(73.72, true, 0, 180)[slip.Inches])
	assert.Equal(t, []float64{-58.5}, of(-85.5, false, -60, -58)[slip.Exchanged])
	assert.Equal(t, []float64{0.8, 800, 80}, of(8, false, -1e4, 1e4)[slip.Exchanged], "written 08")
	assert.Contains(t, of(0, false, -100, 100)[slip.Dropped], -10.0)
	assert.Empty(t, of(1e300, false, -1e4, 1e4))
	assert.Empty(t, of(math.NaN(), false, -1e4, 1e4))
	assert.Empty(t, of(math.Inf(1), true, -1e4, 1e4))
}
