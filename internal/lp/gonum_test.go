package lp_test

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/internal/lp"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	gonum "gonum.org/v1/gonum/optimize/convex/lp"
)

// A standard is a program as gonum has it: equations, with a column for each slack.
type standard struct {
	cost  []float64
	rows  *mat.Dense
	right []float64
}

func standardOf(p lp.Program) standard {
	n, m := len(p.Cost), len(p.Rows)
	s := standard{make([]float64, n+m), mat.NewDense(m, n+m, nil), p.Right}
	copy(s.cost, p.Cost)
	for i, row := range p.Rows {
		for j, v := range row {
			s.rows.Set(i, j, v)
		}
		s.rows.Set(i, n+i, 1)
	}
	return s
}

func (s standard) solve() (float64, []float64, error) {
	return gonum.Simplex(s.cost, s.rows, s.right, 0, nil)
}

// dense draws programs without zeros, of up to so many columns and rows: those gonum accepts.
func dense(rng *rand.Rand, most int) lp.Program {
	p := lp.Program{Cost: list(1+rng.IntN(most), rng.NormFloat64)}
	for range 1 + rng.IntN(most) {
		p.Rows, p.Right = append(p.Rows, list(len(p.Cost), rng.NormFloat64)), append(p.Right, rng.NormFloat64()+0.5)
	}
	return p
}

func TestGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var worst trial.Worst
	ends := map[lp.Status]int{}
	cases := 0
	compare := func(p lp.Program) {
		cost, _, err := standardOf(p).solve()
		x, end := p.Minimize()
		switch end {
		case lp.Optimal:
			require.NoError(t, err)
			assert.InDelta(t, cost, dot(p.Cost, x), 1e-9)
			worst.See(dot(p.Cost, x), cost)
		case lp.Infeasible:
			require.ErrorIs(t, err, gonum.ErrInfeasible)
		case lp.Unbounded:
			require.ErrorIs(t, err, gonum.ErrUnbounded)
		default:
			t.Fatal(end)
		}
		ends[end]++
		cases++
	}
	for range 500 {
		compare(dense(rng, 8))
	}
	for _, c := range append(publishedPrograms(), cyclingPrograms()...) {
		if _, _, err := standardOf(c.program).solve(); err == nil {
			compare(c.program)
		} else {
			t.Logf("gonum refuses %s: %v", c.source, err)
		}
	}
	for _, end := range []lp.Status{lp.Optimal, lp.Infeasible, lp.Unbounded} {
		assert.Greater(t, ends[end], 50)
	}
	t.Logf("oracle gonum's linear programs: %d cases, worst %.1e of the cost", cases, worst)
}
