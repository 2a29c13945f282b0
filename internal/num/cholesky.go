package num

import "math"

// Cholesky turns the lower triangle of a symmetric matrix, row after row in one slice, into
// that of the matrix L with L·Lᵀ equal to it; false if there is none. The caller says how
// much leeway each number of the diagonal is given, as a share of it, and whether what
// is left of it, less the squares of its row, will do.
//
// A row and column of zeros stays as it is, if its caller will have 0 of 0.
func Cholesky(l []float64, leeway float64, enough func(left, whole float64) bool) bool {
	for i, from := 0, 0; from < len(l); i, from = i+1, from+i+1 {
		row := l[from : from+i+1]
		whole := row[i]
		if !(whole >= 0) {
			return false
		}
		left := whole * (1 + leeway)
		for j := range i {
			above, v := l[j*(j+1)/2:][:j+1], row[j]
			for k, a := range above[:j] {
				v -= row[k] * a
			}
			switch {
			case above[j] > 0:
				v /= above[j]
			case v != 0: // what does not vary covaries with nothing
				return false
			}
			row[j] = v
			left -= v * v
		}
		if !enough(left, whole) {
			return false
		}
		row[i] = math.Sqrt(left)
	}
	return true
}

// Factor returns the columns of a matrix L with L·Lᵀ = m, for m without negative
// eigenvalues: Cholesky's method, the largest variance that is left first.
func Factor(m [][]float64) [][]float64 {
	n := len(m)
	left := make([]float64, n)
	most := 0.0
	for i := range m {
		left[i] = m[i][i]
		most = max(most, left[i])
	}
	var columns [][]float64
	for range n {
		at := 0
		for i, v := range left {
			if v > left[at] {
				at = i
			}
		}
		if left[at] <= 1e-12*most {
			break
		}
		column := make([]float64, n)
		d := math.Sqrt(left[at])
		for i := range column {
			v := m[i][at]
			for _, c := range columns {
				v -= c[i] * c[at]
			}
			column[i] = v / d
			left[i] -= column[i] * column[i]
		}
		left[at] = 0
		columns = append(columns, column)
	}
	return columns
}
