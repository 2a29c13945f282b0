package lp

import (
	"math"

	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
)

const (
	tiny   = 1e-9 // a gain no larger counts as none
	small  = 1e-6 // anything smaller counts as zero, and nothing is divided by it
	kept   = 1e-7 // rows are satisfied if they miss by no more than this in total
	pivots = 5000 // of one phase, at most
)

// A Program is a linear program: minimize Cost·x for x >= 0, with each Row·x at most its
// number in Right. All numbers must be finite. An equation takes two rows, one the
// negative of the other.
type Program struct {
	Cost  []float64
	Rows  [][]float64 // each as long as Cost
	Right []float64   // as long as Rows
}

// A Status says how the solution of a program ended.
type Status int

// What Minimize returns.
const (
	Optimal    Status = iota
	Infeasible        // no x satisfies all rows
	Unbounded         // the cost has no lower bound
	Stopped           // too many pivots, numbers that grew too large, or too much rounding
	Malformed         // lengths that do not match, or numbers that are not finite
)

// Solve returns the best x. It returns false if there is none or it was not found. It does
// not change the program.
func (p *Program) Solve() (x []float64, ok bool) {
	x, end := p.Minimize()
	return x, end == Optimal
}

// Minimize is like Solve and returns a Status. It returns an x only if that is Optimal.
func (p *Program) Minimize() ([]float64, Status) { return new(Solver).Minimize(p) }

// A Solver solves one program after another in the same memory. Its zero value is ready.
type Solver struct {
	// Meter counts the work and stops it. Nil: nothing does.
	Meter *work.Meter

	cells []float64
	basis []int
}

// Minimize is [Program.Minimize].
func (s *Solver) Minimize(p *Program) ([]float64, Status) {
	if !p.wellFormed() {
		return nil, Malformed
	}
	t := s.tableau(p)
	if end := t.phaseOne(); end != Optimal {
		return nil, end
	}
	if end := t.phaseTwo(p.Cost); end != Optimal {
		return nil, end
	}
	x := t.solution()
	if !num.Finite(x...) {
		return nil, Stopped
	}
	return x, Optimal
}

// wellFormed reports whether all lengths match and all numbers are finite.
func (p *Program) wellFormed() bool {
	if len(p.Right) != len(p.Rows) || !num.Finite(p.Cost...) || !num.Finite(p.Right...) {
		return false
	}
	for _, row := range p.Rows {
		if len(row) != len(p.Cost) || !num.Finite(row...) {
			return false
		}
	}
	return true
}

// A tableau is a program being solved. Its columns are x, one slack for each row, one
// artificial for each row that needs it to begin with, and the right side.
type tableau struct {
	meter *work.Meter
	cells []float64 // row by row
	z     []float64 // the cost of each column less that of the basis
	basis []int     // by row: the column whose value it gives
	xs    int       // columns of x
	real  int       // columns of x and slacks
	right int       // the last column
}

// row returns a row of the tableau, to be changed in place.
func (t *tableau) row(i int) []float64 {
	return t.cells[i*len(t.z) : (i+1)*len(t.z)]
}

// tableau begins with slacks for a basis, and artificials where those would be negative.
func (s *Solver) tableau(p *Program) tableau {
	n, m := len(p.Cost), len(p.Rows)
	arts := 0
	for _, b := range p.Right {
		if b < 0 {
			arts++
		}
	}
	width := n + m + arts + 1
	if size := (m + 1) * width; cap(s.cells) < size {
		s.cells = make([]float64, size)
	} else {
		s.cells = s.cells[:size]
		clear(s.cells)
	}
	if cap(s.basis) < m {
		s.basis = make([]int, m)
	}
	t := tableau{s.Meter, s.cells[:m*width], s.cells[m*width:], s.basis[:m], n, n + m, width - 1}
	art := t.real
	for i := range p.Rows {
		t.basis[i] = n + i
		if p.Right[i] < 0 {
			t.begin(i, p.Rows[i], p.Right[i], -1)
			t.row(i)[art] = 1
			t.basis[i] = art
			art++
		} else {
			t.begin(i, p.Rows[i], p.Right[i], 1)
		}
	}
	return t
}

// begin fills a row: row·x and its slack are right, all times a sign.
func (t *tableau) begin(i int, row []float64, right, sign float64) {
	to := t.row(i)
	for j, v := range row {
		to[j] = sign * v
	}
	to[t.xs+i] = sign
	to[t.right] = sign * right
}

// phaseOne reduces the sum of the artificials to zero and takes them out of the basis.
func (t *tableau) phaseOne() Status {
	if t.real == t.right {
		return Optimal // x = 0 will do
	}
	for j := t.real; j < t.right; j++ {
		t.z[j] = 1
	}
	for i, b := range t.basis {
		if b >= t.real {
			subtract(t.z, 1, t.row(i))
		}
	}
	if t.minimize(t.right) != Optimal {
		return Stopped // cannot be unbounded: the sum is not negative
	}
	if -t.z[t.right] > kept {
		return Infeasible
	}
	t.driveOut()
	return Optimal
}

// driveOut takes artificials out of the basis. Those that stay are 0, and must not grow again.
func (t *tableau) driveOut() {
	for i, b := range t.basis {
		if b < t.real {
			continue
		}
		for j := range t.real {
			if math.Abs(t.row(i)[j]) > small {
				t.pivot(i, j)
				break
			}
		}
	}
}

// phaseTwo minimizes the cost, without artificials.
func (t *tableau) phaseTwo(cost []float64) Status {
	clear(t.z)
	copy(t.z, cost)
	for i, b := range t.basis {
		if b < t.xs && cost[b] != 0 {
			subtract(t.z, cost[b], t.row(i))
		}
	}
	return t.minimize(t.real)
}

// minimize pivots until no z is negative, using only the first columns of the tableau.
func (t *tableau) minimize(columns int) Status {
	for range pivots {
		if !t.meter.Do(1 + len(t.cells)/100) {
			return Stopped
		}
		in, out := t.entering(0, columns), -1
		for in >= 0 {
			// The sum of the artificials has a least value: that nothing stops a column
			// from growing there is rounding.
			if out = t.leaving(in); out >= 0 || columns == t.real {
				break
			}
			in = t.entering(in+1, columns)
		}
		if in < 0 {
			return Optimal
		}
		if out < 0 {
			return Unbounded
		}
		t.pivot(out, in)
	}
	return Stopped
}

// entering returns the first column, of those from one to below another, that lowers the
// cost; -1 if none does.
func (t *tableau) entering(from, to int) int {
	for j := from; j < to; j++ {
		if t.z[j] < -tiny {
			return j
		}
	}
	return -1
}

// leaving returns the row that stops a column from growing first, and of those that
// tie the one whose basis comes first; -1 if none does.
func (t *tableau) leaving(in int) int {
	out, least := -1, math.Inf(1)
	for i, b := range t.basis {
		if row := t.row(i); row[in] > small {
			if r := row[t.right] / row[in]; r < least-tiny || r < least+tiny && out >= 0 && b < t.basis[out] {
				out, least = i, min(r, least)
			}
		}
	}
	return out
}

// pivot makes column in a unit column with its 1 in row out, and the basis there.
func (t *tableau) pivot(out, in int) {
	row := t.row(out)
	k := row[in]
	for j := range row {
		row[j] /= k
	}
	for i := range t.basis {
		if r := t.row(i); i != out && r[in] != 0 {
			subtract(r, r[in], row)
		}
	}
	if t.z[in] != 0 {
		subtract(t.z, t.z[in], row)
	}
	t.basis[out] = in
}

// subtract takes k times a row from another.
func subtract(from []float64, k float64, row []float64) {
	row = row[:len(from)]
	for j := range from {
		from[j] -= k * row[j]
	}
}

// solution returns x as the basis has it.
func (t *tableau) solution() []float64 {
	x := make([]float64, t.xs)
	for i, b := range t.basis {
		if b < t.xs {
			x[b] = t.row(i)[t.right]
		}
	}
	return x
}
