package lp_test

import (
	"math"
	"slices"
	"testing"

	"example.com/fitgeom/internal/lp"
	"example.com/fitgeom/internal/work"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A limit is one row of a program, or the two of an equation.
type limit struct {
	row   []float64
	sign  string
	right float64
}

func le(right float64, row ...float64) limit { return limit{row, "<=", right} }
func ge(right float64, row ...float64) limit { return limit{row, ">=", right} }
func eq(right float64, row ...float64) limit { return limit{row, "=", right} }

func program(cost []float64, limits ...limit) lp.Program {
	p := lp.Program{Cost: cost}
	for _, l := range limits {
		if l.sign != ">=" {
			p.Rows, p.Right = append(p.Rows, l.row), append(p.Right, l.right)
		}
		if l.sign != "<=" {
			p.Rows, p.Right = append(p.Rows, scaled(l.row, -1)), append(p.Right, -l.right)
		}
	}
	return p
}

func scaled(v []float64, by float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = by * v[i]
	}
	return out
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// dual returns the program of which the best y proves that no x is better: the
// least Right·y, whose negative is the least Cost·x.
func dual(p lp.Program) lp.Program {
	d := lp.Program{Cost: p.Right, Right: p.Cost}
	for j := range p.Cost {
		row := make([]float64, len(p.Rows))
		for i := range p.Rows {
			row[i] = -p.Rows[i][j]
		}
		d.Rows = append(d.Rows, row)
	}
	return d
}

// fulfils asserts that x is not negative and keeps to all rows.
func fulfils(t require.TestingT, p lp.Program, x []float64) {
	require.Len(t, x, len(p.Cost))
	for _, v := range x {
		require.GreaterOrEqual(t, v, -1e-7)
	}
	for i, row := range p.Rows {
		require.LessOrEqual(t, dot(row, x), p.Right[i]+1e-7*(1+math.Abs(p.Right[i])), "row %d", i)
	}
}

// best solves a program, proves by its dual that x is the best, and returns it with its cost.
func best(t require.TestingT, p lp.Program) (x []float64, cost float64) {
	x, ok := p.Solve()
	require.True(t, ok)
	fulfils(t, p, x)
	cost = dot(p.Cost, x)
	d := dual(p)
	y, ok := d.Solve()
	require.True(t, ok)
	fulfils(t, d, y)
	require.InDelta(t, cost, -dot(p.Right, y), 1e-7*(1+math.Abs(cost)))
	for i, row := range p.Rows { // no price for a row with room
		require.InDelta(t, 0, y[i]*(p.Right[i]-dot(row, x)), 1e-6*(1+math.Abs(cost)), "row %d", i)
	}
	return x, cost
}

// A published program. Its source says what was seen there; the rest is from memory.
type published struct {
	source  string
	program lp.Program
	cost    float64
	x       []float64 // nil if it is not the only one, or not known
}

func publishedPrograms() []published {
	return []published{
		{
			"Wyndor Glass, program seen: notes.daviscole.com/Linear+Programming; optimum from memory (Hillier and Lieberman)",
			program([]float64{-3, -5}, le(4, 1, 0), le(12, 0, 2), le(18, 3, 2)),
			-36,
			[]float64{2, 6},
		},
		{
			"reference manual of GLPK, program seen: www.cs.cornell.edu/~tomf/pyglpk/ex_ref.html; optimum from memory",
			program([]float64{-10, -6, -4}, le(100, 1, 1, 1), le(600, 10, 4, 5), le(300, 2, 2, 6)),
			-2200.0 / 3,
			[]float64{100.0 / 3, 200.0 / 3, 0},
		},
		{
			"transport of Dantzig 1963, 3.3, seen: GAMS-dev/gamspy, tests/integration/models/trnsport.py",
			program(
				[]float64{0.225, 0.153, 0.162, 0.225, 0.162, 0.126},
				le(350, 1, 1, 1, 0, 0, 0), le(600, 0, 0, 0, 1, 1, 1),
				ge(325, 1, 0, 0, 1, 0, 0), ge(300, 0, 1, 0, 0, 1, 0), ge(275, 0, 0, 1, 0, 0, 1),
			),
			153.675,
			nil,
		},
		{
			"diet of corn, milk and bread, seen: hackage, glpk-headers 0.4.1, src/test/Diet.hs (there 1.94 of corn)",
			program(
				[]float64{0.18, 0.23, 0.05},
				le(10, 1, 0, 0), le(10, 0, 1, 0), le(10, 0, 0, 1),
				ge(2000, 72, 121, 65), le(2250, 72, 121, 65), ge(5000, 107, 500, 0), le(50000, 107, 500, 0),
			),
			3.15,
			[]float64{140.0 / 72, 10, 10},
		},
		{
			"SAS/OR, Getting Started: LP Solver, seen: support.sas.com/documentation/cdl/en/ormpug/63975",
			program([]float64{-1, -1, -1}, le(1, 3, 2, -1), le(1, -2, -3, 2)),
			-8,
			[]float64{0, 3, 5},
		},
		{
			"OR-Tools, Solving an LP Problem, seen: developers.google.com/optimization/lp/glop",
			program([]float64{-3, -4}, le(14, 1, 2), ge(0, 3, -1), le(2, 1, -1)),
			-34,
			[]float64{6, 4},
		},
		{
			"Werners, Grundlagen des Operations Research, p. 79, seen: dirkdegel/simplexR, vignettes/examples_primal_simplex_2.Rmd",
			program([]float64{-3, -2}, le(22, 2, 1), le(23, 1, 2), le(40, 4, 1), ge(5, 1, 1), eq(6, 1, -1.0/3)),
			-36,
			[]float64{8, 6},
		},
		{
			"Maxima, minimize_sx, seen: common-lisp.net/project/maxima/docs/pt/simplex.html",
			program([]float64{1, 1}, ge(2, 3, 2), ge(3, 1, 4)),
			9.0 / 10,
			[]float64{1.0 / 5, 7.0 / 10},
		},
		{
			"Maxima, linear_program, seen: common-lisp.net/project/maxima/docs/pt/simplex.html",
			program([]float64{1, -2, 0, 0}, eq(1, 1, 1, -1, 0), eq(1, 2, -3, 0, -1), eq(6, 4, -5, 0, 0)),
			-3.0 / 2,
			[]float64{13.0 / 2, 4, 19.0 / 2, 0},
		},
		{
			"lpSolveAPI, get.objective, seen: rdrr.io/rforge/lpSolveAPI/man/get.objective.html",
			program([]float64{-3, -4, -3}, le(150, 6, 2, 4), ge(0, 1, 1, 6), eq(40, 4, 5, 4)),
			-32,
			nil,
		},
		{
			"SBV, LinearOpt, seen: hackage, sbv-6.1, Data/SBV/Examples/Optimization/LinearOpt.hs",
			program([]float64{-5, -6}, le(10, 1, 1), ge(3, 1, -1), le(35, 5, 4)),
			-355.0 / 9,
			[]float64{47.0 / 9, 20.0 / 9},
		},
		{
			"test_linprog_mixed_constraints, seen: " + scipy,
			program([]float64{6, 3}, le(2, 0, 3), ge(1, 1, 1), ge(1, 2, -1)),
			5,
			[]float64{2.0 / 3, 1.0 / 3},
		},
		{
			"test_simplex_algorithm_wikipedia_example, seen: " + scipy,
			program([]float64{-2, -3, -4}, le(10, 3, 2, 1), le(15, 2, 5, 3)),
			-20,
			nil,
		},
		{
			"test_nontrivial_problem, seen: " + scipy,
			program(
				[]float64{-1, 8, 4, -6},
				le(-3, -7, -7, 6, 9), le(6, 1, -1, -3, 0), le(-6, 10, -10, -7, 7), le(6, 6, -1, 3, 4), eq(-4, -10, 1, 1, -8),
			),
			7083.0 / 1391,
			[]float64{101.0 / 1391, 1462.0 / 1391, 0, 752.0 / 1391},
		},
		{
			"test_network_flow, seen: " + scipy,
			program(
				[]float64{2, 4, 9, 11, 4, 3, 8, 7, 0, 15, 16, 18},
				eq(0, -1, -1, 1, 0, 1, 0, 0, 0, 0, 1, 0, 0),
				eq(19, 1, 0, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0),
				eq(-16, 0, 0, -1, -1, 0, 0, 0, 0, 0, 0, 0, 0),
				eq(33, 0, 0, 0, 0, 0, 0, 1, 1, 0, 0, 1, 0),
				eq(0, 0, 0, 0, 0, -1, -1, -1, 0, 1, 0, 0, 0),
				eq(0, 0, 0, 0, 0, 0, 0, 0, -1, -1, 0, 0, 1),
				eq(-36, 0, 0, 0, 0, 0, 0, 0, 0, 0, -1, -1, -1),
			),
			755,
			nil,
		},
		{
			"test_enzo_example, seen: " + scipy,
			program([]float64{4, 8, 3}, ge(185, 2, 5, 3), ge(155, 3, 2.5, 8), ge(600, 8, 10, 4)),
			317.5,
			[]float64{66.25, 0, 17.5},
		},
		{
			"test_bug_8662, seen: " + scipy,
			program([]float64{-10, 10, 6, 3}, le(9, 8, -8, -4, 6), le(-9, -8, 8, 4, -6), le(-9, -4, 4, 8, -4), le(-4, 3, -3, -3, -10)),
			36,
			nil,
		},
	}
}

const scipy = "scipy/scipy, scipy/optimize/tests/test_linprog.py"

func TestPublished(t *testing.T) {
	for _, c := range publishedPrograms() {
		t.Run(c.source, func(t *testing.T) {
			x, cost := best(t, c.program)
			assert.InDelta(t, c.cost, cost, 1e-9*(1+math.Abs(c.cost)))
			if c.x != nil {
				assert.InDeltaSlice(t, c.x, x, 1e-9)
			}
		})
	}
}

// cyclingPrograms come back to where they were if the column that helps most is
// always taken, or stand still for long.
func cyclingPrograms() []published {
	flat := make([]float64, 20) // many rays from one corner
	var across, along []float64
	for i := range flat {
		flat[i] = -1
		at := 2 * math.Pi * float64(i+1) / 21
		across, along = append(across, math.Cos(at)-1), append(along, math.Sin(at))
	}
	return []published{
		{
			"Beale 1955, from memory",
			program([]float64{-0.75, 150, -0.02, 6}, le(0, 0.25, -60, -0.04, 9), le(0, 0.5, -90, -0.02, 3), le(1, 0, 0, 1, 0)),
			-0.05,
			[]float64{0.04, 0, 1, 0},
		},
		{
			"Beale 1955 in other units, program seen: dirkdegel/simplexR, vignettes/examples_primal_simplex_2.Rmd; optimum from memory",
			program([]float64{-0.75, 20, -0.5, 6}, le(0, 0.25, -8, -1, 9), le(0, 0.5, -12, -0.5, 3), le(1, 0, 0, 1, 0)),
			-1.25,
			[]float64{1, 0, 1, 0},
		},
		{
			"test_linprog_cyclic_bland, seen: " + scipy,
			program([]float64{-10, 57, 9, 24}, le(0, 0.5, -5.5, -2.5, 9), le(0, 0.5, -1.5, -0.5, 1), le(1, 1, 0, 0, 0)),
			-1,
			[]float64{1, 0, 1, 0},
		},
		{
			"test_linprog_cyclic_bland_bug_8561, seen: " + scipy,
			program(
				[]float64{7, 0, -4, 1.5, 1.5},
				le(0, 4, 5.5, 1.5, 1, -3.5), le(0, 1, -2.5, -2, 2.5, 0.5), le(0, 3, -0.5, 4, -12.5, -7),
				le(0, -1, 4.5, 2, -3.5, -2), le(1, 5.5, 2, -4.5, -1, 9.5),
			),
			-53.5,
			[]float64{0, 0, 19, 16.0 / 3, 29.0 / 3},
		},
		{
			"test_linprog_cyclic_recovery, seen: " + scipy,
			program([]float64{-100, -10, -1}, le(1, 1, 0, 0), le(100, 20, 1, 0), le(10000, 200, 20, 1)),
			-10000,
			[]float64{0, 0, 10000},
		},
		{
			"test_enzo_example_c_with_degeneracy, seen: " + scipy,
			program(flat, eq(0, across...), eq(0, along...)),
			0,
			make([]float64, 20),
		},
	}
}

func TestCycling(t *testing.T) {
	for _, c := range cyclingPrograms() {
		t.Run(c.source, func(t *testing.T) {
			x, cost := best(t, c.program)
			assert.InDelta(t, c.cost, cost, 1e-9*(1+math.Abs(c.cost)))
			assert.InDeltaSlice(t, c.x, x, 1e-9)
		})
	}
}

// kleeMinty returns a cube whose corners one path visits all. Form and best x
// seen: datahaki/tensor, src/test/java/ch/alpine/tensor/opt/lp/KleeMintyCube.java.
func kleeMinty(n int) lp.Program {
	var p lp.Program
	for i := range n {
		row := make([]float64, n)
		for j := range i {
			row[j] = math.Ldexp(1, i-j+1)
		}
		row[i] = 1
		p.Cost = append(p.Cost, -math.Ldexp(1, n-1-i))
		p.Rows, p.Right = append(p.Rows, row), append(p.Right, math.Pow(5, float64(i+1)))
	}
	return p
}

func TestKleeMinty(t *testing.T) {
	for n := 1; n <= 16; n++ { // all numbers are whole
		x, ok := new(kleeMinty(n)).Solve()
		require.True(t, ok, "%d", n)
		want := make([]float64, n)
		want[n-1] = math.Pow(5, float64(n))
		assert.Equal(t, want, x)
	}
	x, end := new(kleeMinty(17)).Minimize()
	assert.Equal(t, lp.Stopped, end, "more pivots than allowed")
	assert.Nil(t, x)
}

// Rows that are alike but for rounding: their difference is nothing to divide by.
func TestTwins(t *testing.T) {
	for _, c := range []published{
		{
			"a row in two versions",
			program(
				[]float64{-0.125, 1.375, 1, 0.375},
				le(-1.5, 0.25, 0.75, -1.5, -0.75),
				le(-1.499999, 0.250000002, 0.749999999, -1.499999997, -0.749999997),
			),
			0.75,
			[]float64{0, 0, 0, 2},
		},
		{
			"a column of rounding",
			program([]float64{0.75, 0}, le(-1.125, 0, -2.25), le(-1.124999, 3e-9, -2.250000002)),
			0,
			[]float64{0, 0.5},
		},
	} {
		t.Run(c.source, func(t *testing.T) {
			x, ok := c.program.Solve()
			require.True(t, ok)
			fulfils(t, c.program, x)
			assert.InDelta(t, c.cost, dot(c.program.Cost, x), 1e-6)
			assert.InDeltaSlice(t, c.x, x, 1e-6)
		})
	}
}

// A solver that has solved others before gives what a new one gives, and ends with its meter.
func TestSolver(t *testing.T) {
	var s lp.Solver
	stopped := 0
	for _, p := range benchmarked() {
		want, end := p.Minimize()
		got, ended := s.Minimize(&p)
		require.Equal(t, end, ended)
		require.Equal(t, want, got)
		s.Meter = work.New(t.Context(), 3)
		if _, ended = s.Minimize(&p); ended == lp.Stopped {
			require.True(t, s.Meter.Stopped())
			stopped++
		}
		s.Meter = nil
	}
	require.Greater(t, stopped, 50)
}

func TestStatus(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	ones := slices.Repeat([]float64{-1}, 50)
	var across, along []float64
	for i := range ones {
		at := 2 * math.Pi * float64(i) / 51
		across, along = append(across, math.Cos(at)-1), append(along, math.Sin(at))
	}
	for name, c := range map[string]struct {
		program lp.Program
		end     lp.Status
	}{
		"nothing":                          {lp.Program{}, lp.Optimal},
		"no row, cost":                     {program([]float64{1, 0}), lp.Optimal},
		"no row, gain":                     {program([]float64{1, -1}), lp.Unbounded},
		"no column":                        {program(nil, le(1)), lp.Optimal},
		"no column, no way":                {program(nil, ge(1)), lp.Infeasible},
		"a column that no row limits":      {program([]float64{-1, 0}, le(1, 1, 0)), lp.Optimal},
		"a row that limits nothing":        {program([]float64{1}, le(0, 0)), lp.Optimal},
		"equations twice":                  {program([]float64{1, 2}, eq(3, 1, 1), eq(6, 2, 2), eq(3, 1, 1)), lp.Optimal},
		"rows that exclude each other":     {program([]float64{0}, le(1, 1), ge(2, 1)), lp.Infeasible},
		"a negative number":                {program([]float64{1}, le(-1, 1)), lp.Infeasible},
		"a row missed by less than counts": {program([]float64{1}, le(-0.9e-7, 0)), lp.Optimal},
		"a row missed by what counts":      {program([]float64{1}, le(-1.1e-7, 0)), lp.Infeasible},
		"a gain that counts":               {program([]float64{-1.1e-9}), lp.Unbounded},
		"a gain too small to count":        {program([]float64{-0.9e-9}), lp.Optimal},
		"a ray after the first phase":      {program([]float64{-1, 1}, ge(1, 1, 0), le(1, 0, 1)), lp.Unbounded},
		"unbounded, " + scipy:              {program([]float64{-1, -1}, le(-1, -1, 1), le(-2, -1, -1)), lp.Unbounded},
		"infeasible, " + scipy:             {program([]float64{-1, -1}, le(2, 1, 0), le(2, 0, 1), le(-5, -1, -1)), lp.Infeasible},
		"enzo c unbounded, " + scipy:       {program(ones, eq(0, across...), eq(0, along...)), lp.Unbounded},
		"enzo c infeasible, " + scipy:      {program(ones, eq(1, across...), eq(1, along...)), lp.Infeasible},
		"cycling, javascript-lp-solver":    {program([]float64{-2.3, -2.15, 13.55, 0.4}, le(0, 0.4, 0.2, -1.4, -0.2), le(0, -7.8, -1.4, 7.8, 0.4)), lp.Unbounded},
		"numbers that grow large":          {program([]float64{-1}, le(1e300, 1e-5)), lp.Optimal},
		"a ratio that grows too large":     {program([]float64{-1}, le(1e308, 1e-3)), lp.Unbounded},
		"numbers that grow too large":      {program([]float64{-1, -1}, le(1, 1, -1e200), le(1e200, 0, 1)), lp.Stopped},
		"a short row":                      {program([]float64{1, 1}, le(1, 1)), lp.Malformed},
		"a long row":                       {program([]float64{1, 1}, le(1, 1, 1, 1)), lp.Malformed},
		"a row without a right side":       {lp.Program{Cost: []float64{1}, Rows: [][]float64{{1}}}, lp.Malformed},
		"a right side without a row":       {lp.Program{Cost: []float64{1}, Right: []float64{1}}, lp.Malformed},
		"a cost that is no number":         {program([]float64{nan}), lp.Malformed},
		"a row that is no number":          {program([]float64{1}, le(1, nan)), lp.Malformed},
		"a right side that is no number":   {program([]float64{1}, le(nan, 1)), lp.Malformed},
		"an infinite cost":                 {program([]float64{-inf}, le(1, 1)), lp.Malformed},
		"an infinite row":                  {program([]float64{1}, le(1, inf)), lp.Malformed},
		"an infinite right side":           {program([]float64{1}, le(inf, 1)), lp.Malformed},
	} {
		t.Run(name, func(t *testing.T) {
			x, end := c.program.Minimize()
			assert.Equal(t, c.end, end)
			again, ok := c.program.Solve()
			assert.Equal(t, end == lp.Optimal, ok)
			assert.Equal(t, x, again)
			if ok {
				fulfils(t, c.program, x)
			} else {
				assert.Nil(t, x)
			}
		})
	}
}
