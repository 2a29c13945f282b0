package num_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.com/fitgeom/internal/num"
	"github.com/stretchr/testify/assert"
)

// By hand: [[4, 2, -2], [2, 10, 5], [-2, 5, 9]] is L·Lᵀ of L = [[2], [1, 3], [-1, 2, 2]].
func TestCholesky(t *testing.T) {
	positive := func(left, whole float64) bool { return left > 0 }
	l := []float64{4, 2, 10, -2, 5, 9}
	assert.True(t, num.Cholesky(l, 0, positive))
	assert.Equal(t, []float64{2, 1, 3, -1, 2, 2}, l)

	assert.False(t, num.Cholesky([]float64{1, 2, 1}, 0, positive), "a correlation of 2")
	assert.False(t, num.Cholesky([]float64{1, 1, 1}, 0, positive), "a correlation of 1, nothing is left")
	assert.True(t, num.Cholesky([]float64{1, 1, 1}, 1e-9, positive), "nor with leeway")
	assert.False(t, num.Cholesky([]float64{-1}, 0, positive))
	assert.False(t, num.Cholesky([]float64{math.NaN()}, 0, positive))
	all := func(float64, float64) bool { return true }
	assert.True(t, num.Cholesky([]float64{0, 0, 1}, 0, all), "what does not vary")
	assert.False(t, num.Cholesky([]float64{0, 1, 1}, 0, all), "what does not vary, but with something else")
}

// product is L·Lᵀ of the columns of L.
func product(columns [][]float64, n int) *mat.Dense {
	p := mat.NewDense(n, n, nil)
	for _, c := range columns {
		for i := range n {
			for j := range n {
				p.Set(i, j, p.At(i, j)+c[i]*c[j])
			}
		}
	}
	return p
}

// The columns multiply to the matrix, and are as many as its rank (gonum's SVD).
func TestFactor(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for i := range 200 {
		n := 1 + i%6
		rank := rng.IntN(n + 1)
		a := mat.NewDense(n, max(1, rank), nil)
		for r := range n {
			for c := range rank {
				a.Set(r, c, rng.NormFloat64())
			}
		}
		var want mat.Dense
		want.Mul(a, a.T())
		m := make([][]float64, n)
		for r := range m {
			m[r] = mat.Row(nil, r, &want)
		}
		columns := num.Factor(m)
		require.Len(t, columns, rank)
		assert.True(t, mat.EqualApprox(&want, product(columns, n), 1e-9), "%v", m)
		var svd mat.SVD
		require.True(t, svd.Factorize(&want, mat.SVDNone))
		assert.Equal(t, rank, svd.Rank(1e-11))
	}
}

func TestFactorByHand(t *testing.T) {
	assert.Empty(t, num.Factor(nil))
	assert.Empty(t, num.Factor([][]float64{{0, 0}, {0, 0}}))
	assert.Equal(t, [][]float64{{0, 3}, {2, 0}}, num.Factor([][]float64{{4, 0}, {0, 9}}), "the largest variance first")
	assert.Equal(t, [][]float64{{2, 4}}, num.Factor([][]float64{{4, 8}, {8, 16}}), "fully correlated")
	m := [][]float64{{4, 2}, {2, 5}}
	num.Factor(m)
	assert.Equal(t, [][]float64{{4, 2}, {2, 5}}, m, "the matrix stays as it is")
	columns := num.Factor(m)
	assert.InDelta(t, math.Sqrt(5), columns[0][1], 1e-15)
	assert.InDelta(t, math.Sqrt(4-4./5), columns[1][0], 1e-15)
}
