package lp_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/internal/lp"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(200, 20000, 1) }

// numbers draws small whole ones, of which many corners fall together, or normal ones.
func numbers(t *rapid.T) func() float64 {
	if rapid.Bool().Draw(t, "whole") {
		return func() float64 { return float64(rapid.IntRange(-4, 4).Draw(t, "number")) }
	}
	return rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)).NormFloat64
}

func list(n int, number func() float64) []float64 {
	all := make([]float64, n)
	for i := range all {
		all[i] = number()
	}
	return all
}

// positive draws numbers of which half are 0.
func positive(n int, number func() float64) []float64 {
	all := list(n, number)
	for i := range all {
		all[i] = max(0, all[i])
	}
	return all
}

// solvable draws a program that has a best x, an x that fulfils its rows, and a y
// that fulfils those of its dual.
func solvable(t *rapid.T) (p lp.Program, x, y []float64) {
	number := numbers(t)
	n := rapid.IntRange(1, 10).Draw(t, "columns")
	x = positive(n, number)
	p.Cost = positive(n, number)
	for range rapid.IntRange(0, 10).Draw(t, "rows") {
		row := list(n, number)
		right, price := dot(row, x), positive(1, number)[0]
		if rapid.IntRange(0, 3).Draw(t, "equation") == 0 {
			p.Rows, p.Right, y = append(p.Rows, scaled(row, -1)), append(p.Right, -right), append(y, 0)
		} else {
			right += positive(1, number)[0]
		}
		p.Rows, p.Right, y = append(p.Rows, row), append(p.Right, right), append(y, price)
		for j := range row {
			p.Cost[j] -= price * row[j]
		}
	}
	return p, x, y
}

func TestDuality(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, x, y := solvable(t)
		_, cost := best(t, p)
		tolerance := 1e-7 * (1 + math.Abs(cost))
		require.LessOrEqual(t, cost, dot(p.Cost, x)+tolerance)
		require.GreaterOrEqual(t, cost, -dot(p.Right, y)-tolerance)
	})
}

// Rows that add up to what cannot be: the dual then falls without end.
func TestInfeasible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, _, y := solvable(t)
		row, right := make([]float64, len(p.Cost)), -1.0
		for i := range p.Rows {
			for j := range row {
				row[j] -= y[i] * p.Rows[i][j]
			}
			right -= y[i] * p.Right[i]
		}
		at := rapid.IntRange(0, len(p.Rows)).Draw(t, "at")
		p.Rows, p.Right = slices.Insert(p.Rows, at, row), slices.Insert(p.Right, at, right)
		x, end := p.Minimize()
		require.Equal(t, lp.Infeasible, end)
		require.Nil(t, x)
		_, end = new(dual(p)).Minimize()
		require.Equal(t, lp.Unbounded, end)
	})
}

// A direction that leaves no row and lowers the cost: the dual then has no y.
func TestUnbounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, x, _ := solvable(t)
		number := numbers(t)
		way := positive(len(x), number)
		way[rapid.IntRange(0, len(way)-1).Draw(t, "sure")] = 1
		for i, row := range p.Rows {
			if dot(row, way) > 0 {
				p.Rows[i] = scaled(row, -1)
			}
			p.Right[i] = dot(p.Rows[i], x) + positive(1, number)[0]
		}
		p.Cost = list(len(x), number)
		switch gain := dot(p.Cost, way); {
		case gain > 0.01:
			p.Cost = scaled(p.Cost, -1)
		case gain > -0.01:
			p.Cost = scaled(way, -1)
		}
		x, end := p.Minimize()
		require.Equal(t, lp.Unbounded, end)
		require.Nil(t, x)
		_, end = new(dual(p)).Minimize()
		require.Equal(t, lp.Infeasible, end)
	})
}
