// Package lsq fits numbers to observations by weighted least squares, and finds what the
// observations leave undetermined.
package lsq

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// A Model fills in, at x, the residuals r in units of their standard uncertainties and
// the derivatives of r by x, row by row. Both are zeroed before the call.
type Model func(x, r, jac []float64)

// A Fit is where the sum of squares is least.
type Fit struct {
	X []float64
	// R is the residuals at X, in standard uncertainties.
	R []float64
	// Jac is the derivatives at X, row by row.
	Jac []float64
	// Chi2 is the sum of squares of R.
	Chi2 float64
	// Cov is the covariance of X. Its entries for free coordinates are meaningless.
	Cov *mat.SymDense
	// Free holds the directions of x in which the residuals do not change, or nil if
	// everything is determined. They are in echelon form: each has a coordinate that is 1
	// in it and 0 in all others.
	Free [][]float64
	// Converged says that the last step was no more than rounding.
	Converged bool

	w *workspace // of a fit that is not finished
}

const (
	rounds = 100
	still  = 1e-10 // a step this small, in standard uncertainties, is the last
	// flat is the fraction of the largest singular value (of columns of length 1)
	// below which a direction counts as free.
	flat = 1e-7
)

// Solve fits x to m residuals. It starts from x and does not change it. It uses the
// Gauss-Newton method, with Levenberg-Marquardt damping where a full step does not reduce
// the sum of squares.
func Solve(x []float64, m int, model Model) Fit {
	f := descend(x, m, model, 0)
	f.finish()
	return f
}

// Near is Solve without what a fit tells beside X, R and Chi2. It stops where some steps
// together have made the sum of squares less by no more than a share of it.
func Near(x []float64, m int, model Model, share float64) Fit {
	f := descend(x, m, model, share)
	return Fit{X: f.X, R: f.R, Chi2: f.Chi2, Converged: f.Converged}
}

// descend is Solve without what the fit tells beside X. A share of 0 goes on to the end.
func descend(x []float64, m int, model Model, share float64) Fit {
	n := len(x)
	f := Fit{X: append([]float64(nil), x...), R: make([]float64, m), Jac: make([]float64, m*n)}
	if n == 0 {
		model(f.X, f.R, f.Jac)
		f.Chi2, f.Converged = square(f.R), true
		return f
	}
	w := newWorkspace(n, m)
	model(f.X, f.R, f.Jac)
	f.Chi2 = square(f.R)
	// Full steps until one does not help; then damping after H. B. Nielsen (1999; from
	// memory), by the ratio of the actual to the predicted gain.
	damping, raise := 0.0, 2.0
	if !w.prepare(&f) {
		f.Cov = mat.NewSymDense(n, nil)
		return f
	}
	left := math.Inf(1) // predicted gain of the last step
	some, before := 0, f.Chi2
	for range rounds {
		small, promised := w.solve(damping)
		for i := range n {
			w.tryX[i] = f.X[i] + w.step[i]
		}
		clear(w.tryR)
		clear(w.tryJac)
		model(w.tryX, w.tryR, w.tryJac)
		chi2 := square(w.tryR)
		// Near the minimum, rounding alone may seem to increase chi2.
		if chi2 <= f.Chi2*(1+1e-12)+1e-18 {
			gain := f.Chi2 - chi2
			f.X, w.tryX = w.tryX, f.X
			f.R, w.tryR = w.tryR, f.R
			f.Jac, w.tryJac = w.tryJac, f.Jac
			f.Chi2 = chi2
			if some++; some == 4 && share > 0 {
				small = small || before-chi2 <= share*chi2
				some, before = 0, chi2
			}
			if small || damping == 0 && promised <= share*chi2/10 {
				f.Converged = true
				break
			}
			left = promised
			if gain < promised/4 { // a step from side to side of a valley
				damping, raise = max(1e-9, damping*raise), 2*raise
			} else {
				damping *= max(1./3, 1-math.Pow(2*gain/promised-1, 3))
				if raise = 2; damping < 1e-12 {
					damping = 0
				}
			}
			if !w.prepare(&f) {
				f.Cov = mat.NewSymDense(n, nil)
				return f
			}
			continue
		}
		if small {
			f.Converged = true
			break
		}
		damping, raise = max(1e-9, damping*raise), 2*raise
	}
	// In so flat a valley there is nothing left to gain.
	f.Converged = f.Converged || left < 1e-3*(1+f.Chi2)
	f.w = w
	return f
}

// finish finds the covariance and the free directions, if that was not done.
func (f *Fit) finish() {
	if w := f.w; w != nil {
		f.w = nil
		w.prepare(f)
		w.finish(f)
	}
}

func square(r []float64) float64 {
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	return sum
}

// A workspace holds the normal equations, with columns scaled to length 1, as
// upper triangles row by row.
type workspace struct {
	normal, factor []float64
	scale          []float64 // 1 over the length of each column, 0 for one of zeros
	diag           []float64
	slope, step    []float64
	tryX, tryR     []float64
	tryJac         []float64
}

func newWorkspace(n, m int) *workspace {
	take := arena(2*n*n + 5*n + m + m*n)
	return &workspace{
		normal: take(n * n), factor: take(n * n), scale: take(n), diag: take(n), slope: take(n), step: take(n),
		tryX: take(n), tryR: take(m), tryJac: take(m * n),
	}
}

// prepare sets up the normal equations, and reports whether their numbers can be squared
// without overflow.
func (w *workspace) prepare(f *Fit) bool {
	n := len(f.X)
	products(w.normal, w.slope, f.Jac, f.R)
	if most := columnScales(w.scale, w.normal); !(most <= 1e200 && f.Chi2 <= 1e200) {
		return false
	}
	for j := range n {
		w.slope[j] *= -w.scale[j]
		for k := j; k < n; k++ {
			w.normal[j*n+k] *= w.scale[j] * w.scale[k]
		}
	}
	return true
}

// products fills in the upper triangle of JᵀJ, and Jᵀr.
func products(normal, slope, jac, r []float64) {
	n := len(slope)
	clear(normal)
	clear(slope)
	at := make([]int, 0, n) // where a row is not 0
	for i, r := range r {
		row := jac[i*n : (i+1)*n]
		at = at[:0]
		for j, a := range row {
			if a != 0 {
				at = append(at, j)
			}
		}
		for i, j := range at {
			a := row[j]
			slope[j] += a * r
			to := normal[j*n : (j+1)*n]
			if len(at)-i > (n-j)/4 {
				for k := j; k < n; k++ {
					to[k] += a * row[k]
				}
				continue
			}
			for _, k := range at[i:] {
				to[k] += a * row[k]
			}
		}
	}
}

// columnScales fills in 1 over the length of each column of J, 0 for one of zeros, and
// returns the square of the greatest length.
func columnScales(scale, normal []float64) (most float64) {
	n := len(scale)
	for j := range n {
		most = max(most, normal[j*n+j])
	}
	for j := range n {
		scale[j] = 0
		// Derivatives that should cancel may leave a trace; it must not count.
		if v := normal[j*n+j]; v > 1e-24*most {
			scale[j] = 1 / math.Sqrt(v)
		}
	}
	return most
}

// arena returns a function that gives parts of one allocation.
func arena(size int) func(int) []float64 {
	all := make([]float64, size)
	return func(k int) []float64 {
		part := all[:k:k]
		all = all[k:]
		return part
	}
}

// cholesky factorizes the normal matrix with some damping on its diagonal, and
// returns the least pivot: near 0 if something is free, negative if it fails.
func (w *workspace) cholesky(ridge float64) float64 {
	n := len(w.scale)
	for j := range n {
		w.diag[j] = 1 // of the damped matrix, over that of the other
		if w.scale[j] > 0 {
			w.diag[j] = math.Sqrt(1 + ridge*w.scale[j]*w.scale[j])
		}
	}
	for j := range n {
		w.factor[j*n+j] = 1
		for k := j + 1; k < n; k++ {
			w.factor[j*n+k] = w.normal[j*n+k] / (w.diag[j] * w.diag[k])
		}
	}
	if ridge == 0 {
		for j, s := range w.scale {
			if s == 0 {
				return -1
			}
			w.factor[j*n+j] = w.normal[j*n+j]
		}
	}
	if _, ok := lapack64.Potrf(blas64.Symmetric{Uplo: blas.Upper, N: n, Stride: n, Data: w.factor}); !ok {
		return -1
	}
	least := 1.0
	for j := range n {
		least = min(least, w.factor[j*n+j]*w.factor[j*n+j])
	}
	return least
}

func (w *workspace) triangle() blas64.Triangular {
	n := len(w.scale)
	return blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: n, Stride: n, Data: w.factor}
}

// solve finds the step. It reports whether the step is within rounding, and by how much
// the sum of squares would fall if the model were linear. Damping is in the units of x,
// so a direction in which almost nothing changes is left alone.
func (w *workspace) solve(damping float64) (small bool, promised float64) {
	n := len(w.scale)
	most := 0.0
	for _, s := range w.scale {
		if s > 0 {
			most = max(most, 1/(s*s))
		}
	}
	if most == 0 {
		clear(w.step)
		return true, 0
	}
	for ridge := damping * most; ; ridge = max(1e-12*most, 100*ridge) {
		if least := w.cholesky(ridge); least > 1e-12 || least > 0 && ridge > 0 {
			break
		}
	}
	for j := range n {
		w.step[j] = w.slope[j] / w.diag[j]
	}
	lapack64.Potrs(w.triangle(), blas64.General{Rows: n, Cols: 1, Stride: 1, Data: w.step})
	small = true
	for j := range n {
		v := w.step[j] / w.diag[j]
		small = small && math.Abs(v) < still
		promised += v * (w.slope[j] + (w.diag[j]*w.diag[j]-1)*v)
		w.step[j] = v * w.scale[j]
	}
	return small, promised
}

// finish finds the covariance and the free directions.
func (w *workspace) finish(f *Fit) {
	n := len(f.X)
	f.Cov = mat.NewSymDense(n, nil)
	if w.cholesky(0) > 1e-6 { // far from anything free
		lapack64.Potri(w.triangle())
		for j := range n {
			for k := j; k < n; k++ {
				f.Cov.SetSym(j, k, w.factor[j*n+k]*w.scale[j]*w.scale[k])
			}
		}
		return
	}
	// Rows of zeros change nothing, but the decomposition needs at least as many rows as
	// columns to give all of V.
	scaled := mat.NewDense(max(len(f.R), n), n, nil)
	for i := range f.R {
		for j := range n {
			scaled.Set(i, j, f.Jac[i*n+j]*w.scale[j])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(scaled, mat.SVDThinV) {
		return
	}
	values := svd.Values(nil)
	var v mat.Dense
	svd.VTo(&v)
	inverse := make([]float64, n)
	for k, s := range values {
		if s > flat*values[0] && s > 0 {
			inverse[k] = 1 / s
			continue
		}
		free := make([]float64, n)
		for j := range n {
			free[j] = v.At(j, k)
			if w.scale[j] > 0 {
				free[j] *= w.scale[j]
			}
		}
		f.Free = append(f.Free, free)
	}
	echelon(f.Free)
	for j := range n {
		for k := range j + 1 {
			sum := 0.0
			for l, s := range inverse {
				sum += v.At(j, l) * v.At(k, l) * s * s
			}
			f.Cov.SetSym(j, k, sum*w.scale[j]*w.scale[k])
		}
	}
}

// echelon brings vectors to reduced echelon form, with the largest remaining coordinate as
// pivot. Of coordinates that differ only by rounding it takes the first, so that the
// result is the same on every processor.
func echelon(vectors [][]float64) {
	for i := range vectors {
		row, col, most := i, 0, 0.0
		for c := range vectors[i] {
			for r := i; r < len(vectors); r++ {
				if a := math.Abs(vectors[r][c]); a > most*(1+1e-6) {
					row, col, most = r, c, a
				}
			}
		}
		vectors[i], vectors[row] = vectors[row], vectors[i]
		if most == 0 {
			return
		}
		pivot := vectors[i][col]
		for c := range vectors[i] {
			vectors[i][c] /= pivot
			if math.Abs(vectors[i][c]) < 1e-9 {
				vectors[i][c] = 0
			}
		}
		for r := range vectors {
			if by := vectors[r][col]; r != i && by != 0 {
				for c := range vectors[r] {
					vectors[r][c] -= by * vectors[i][c]
					if math.Abs(vectors[r][c]) < 1e-9 {
						vectors[r][c] = 0
					}
				}
			}
		}
	}
}

// Held returns the fit as if the coordinates that first order knows to no better than a
// standard uncertainty were known. Such a coordinate could follow any one observation, so
// that no other would check it; and first order is out of its depth there.
func (f *Fit) Held(sigma float64) *Fit {
	n := len(f.X)
	held := *f
	for j := range n {
		if f.Cov.At(j, j) <= sigma*sigma {
			continue
		}
		if &held.Jac[0] == &f.Jac[0] {
			held.Jac = append([]float64(nil), f.Jac...)
		}
		for i := range f.R {
			held.Jac[i*n+j] = 0
		}
	}
	if n == 0 || &held.Jac[0] == &f.Jac[0] {
		return f
	}
	held.Free = nil
	w := newWorkspace(n, len(f.R))
	w.prepare(&held)
	w.finish(&held)
	return &held
}

// Covariance returns the covariance of two numbers with the gradients u and v by X.
func (f *Fit) Covariance(u, v []float64) float64 {
	sum := 0.0
	for j, a := range u {
		if a == 0 {
			continue
		}
		for k, b := range v {
			if b != 0 {
				sum += a * b * f.Cov.At(j, k)
			}
		}
	}
	return sum
}

// Effects fills in what one standard uncertainty of each observation does to a number with
// the gradient u by X, and returns the standard uncertainty of the number.
func (f *Fit) Effects(effects, u []float64) float64 {
	n := len(f.X)
	with := make([]float64, n)
	for j, a := range u {
		if a != 0 {
			for k := range with {
				with[k] += a * f.Cov.At(j, k)
			}
		}
	}
	sum := 0.0
	for i := range effects {
		v := 0.0
		for k, a := range f.Jac[i*n : (i+1)*n] {
			v += a * with[k]
		}
		effects[i] = v
		sum += v * v
	}
	return math.Sqrt(sum)
}

// Leverage returns the share of an observation's fitted value that comes from the
// observation itself, 0 to 1. At 1 no other observation checks it.
func (f *Fit) Leverage(i int) float64 {
	n := len(f.X)
	row := f.Jac[i*n : (i+1)*n]
	return f.Covariance(row, row)
}

// Studentized returns a residual over its standard uncertainty after the fit. It is 0 for an
// observation that no other checks.
func (f *Fit) Studentized(i int) float64 {
	if left := 1 - f.Leverage(i); left > 1e-9 {
		return f.R[i] / math.Sqrt(left)
	}
	return 0
}
