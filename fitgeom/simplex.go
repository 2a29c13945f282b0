package fitgeom

import "math"

// A program is a linear program: the least cost·x for x >= 0 with every row·x <= right.
type program struct {
	cost  []float64
	rows  [][]float64
	right []float64
}

// solve returns the best x; false if there is none (or no bound). It is the
// simplex method on a tableau, in two phases, with the rule of Bland that ends.
func (p *program) solve() ([]float64, bool) {
	const tiny = 1e-9
	n, m := len(p.cost), len(p.rows)
	// Columns: x, one slack for each row, one artificial for each row that needs
	// it to begin with, and the right side.
	arts := 0
	for _, b := range p.right {
		if b < 0 {
			arts++
		}
	}
	width := n + m + arts + 1
	t := make([][]float64, m)
	basis := make([]int, m)
	art := n + m
	for i, row := range p.rows {
		t[i] = make([]float64, width)
		sign := 1.0
		if p.right[i] < 0 {
			sign = -1
		}
		for j, v := range row {
			t[i][j] = sign * v
		}
		t[i][n+i] = sign
		t[i][width-1] = sign * p.right[i]
		basis[i] = n + i
		if sign < 0 {
			t[i][art] = 1
			basis[i] = art
			art++
		}
	}
	// minimize brings z, the cost of each column less that of the basis, to no negative.
	minimize := func(z []float64, columns int) bool {
		for range 5000 {
			in := -1
			for j := range columns {
				if z[j] < -tiny {
					in = j
					break
				}
			}
			if in < 0 {
				return true
			}
			out, least := -1, math.Inf(1)
			for i := range t {
				if t[i][in] > tiny {
					if r := t[i][width-1] / t[i][in]; r < least-tiny || r < least+tiny && out >= 0 && basis[i] < basis[out] {
						out, least = i, min(r, least)
					}
				}
			}
			if out < 0 {
				return false
			}
			pivot(t, z, out, in)
			basis[out] = in
		}
		return false
	}
	z := make([]float64, width)
	if arts > 0 {
		for j := n + m; j < width-1; j++ {
			z[j] = 1
		}
		for i, b := range basis {
			if b >= n+m {
				for j := range z {
					z[j] -= t[i][j]
				}
			}
		}
		if !minimize(z, width-1) || -z[width-1] > 1e-7 {
			return nil, false
		}
		for i, b := range basis { // those that stay are 0: they must not grow again
			if b < n+m {
				continue
			}
			for j := range n + m {
				if math.Abs(t[i][j]) > tiny {
					pivot(t, z, i, j)
					basis[i] = j
					break
				}
			}
		}
	}
	clear(z)
	copy(z, p.cost)
	for i, b := range basis {
		if b < n && p.cost[b] != 0 {
			k := p.cost[b]
			for j := range z {
				z[j] -= k * t[i][j]
			}
		}
	}
	if !minimize(z, n+m) {
		return nil, false
	}
	x := make([]float64, n)
	for i, b := range basis {
		if b < n {
			x[b] = t[i][width-1]
		}
	}
	return x, true
}

// pivot makes column in a unit column with its 1 in row out.
func pivot(t [][]float64, z []float64, out, in int) {
	row := t[out]
	k := row[in]
	for j := range row {
		row[j] /= k
	}
	less := func(r []float64) {
		if k := r[in]; k != 0 {
			for j := range r {
				r[j] -= k * row[j]
			}
		}
	}
	for i := range t {
		if i != out {
			less(t[i])
		}
	}
	less(z)
}
