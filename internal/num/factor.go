package num

import "math"

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
