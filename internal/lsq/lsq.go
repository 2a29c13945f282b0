// Package lsq fits numbers to observations by weighted least squares, and tells
// what the observations leave free.
package lsq

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A Model gives, at x, the residuals r in units of their standard uncertainties
// and the derivatives of r by x, row by row. Both come zeroed.
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
	// Cov is the covariance of X; nil if something is free.
	Cov *mat.SymDense
	// Free is directions of x, of length 1 each, in which the residuals do not
	// change: nil if everything is determined.
	Free [][]float64
	// Converged says that the last step was no more than rounding.
	Converged bool
}

const (
	rounds = 60
	still  = 1e-10 // a step this small, in standard uncertainties, is the last
	// flat is the part of the largest singular value (of columns of length 1)
	// below which a direction counts as free.
	flat = 1e-7
)

// Solve fits x, which it starts from and leaves as it is, to m residuals. It is the
// method of Gauss and Newton, damped as Levenberg and Marquardt do where a whole
// step would not help.
func Solve(x []float64, m int, model Model) Fit {
	n := len(x)
	f := Fit{X: append([]float64(nil), x...), R: make([]float64, m), Jac: make([]float64, m*n)}
	if n == 0 {
		model(f.X, f.R, f.Jac)
		f.Chi2, f.Converged = square(f.R), true
		return f
	}
	w := workspace{
		normal: mat.NewSymDense(n, nil), damped: mat.NewSymDense(n, nil), scale: make([]float64, n), slope: mat.NewVecDense(n, nil),
		step: mat.NewVecDense(n, nil), tryX: make([]float64, n), tryR: make([]float64, m), tryJac: make([]float64, m*n),
	}
	model(f.X, f.R, f.Jac)
	f.Chi2 = square(f.R)
	damping := 0.0
	for range rounds {
		w.prepare(&f)
		small := w.solve(damping)
		for i := range n {
			w.tryX[i] = f.X[i] + w.step.AtVec(i)
		}
		clear(w.tryR)
		clear(w.tryJac)
		model(w.tryX, w.tryR, w.tryJac)
		chi2 := square(w.tryR)
		// Near the end rounding alone may seem to make it worse.
		if chi2 <= f.Chi2*(1+1e-12)+1e-18 {
			f.X, w.tryX = w.tryX, f.X
			f.R, w.tryR = w.tryR, f.R
			f.Jac, w.tryJac = w.tryJac, f.Jac
			f.Chi2 = chi2
			damping /= 10
			if damping < 1e-9 {
				damping = 0
			}
			if small {
				f.Converged = true
				break
			}
			continue
		}
		if small {
			f.Converged = true
			break
		}
		damping = max(1e-4, 10*damping)
	}
	w.prepare(&f)
	w.finish(&f)
	return f
}

func square(r []float64) float64 {
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	return sum
}

type workspace struct {
	normal, damped *mat.SymDense // with columns scaled to length 1
	scale          []float64     // 1 over the length of each column
	slope, step    *mat.VecDense
	chol           mat.Cholesky
	tryX, tryR     []float64
	tryJac         []float64
}

// prepare sets up the normal equations.
func (w *workspace) prepare(f *Fit) {
	n := len(f.X)
	for j := range n {
		sum := 0.0
		for i := range f.R {
			sum += f.Jac[i*n+j] * f.Jac[i*n+j]
		}
		w.scale[j] = 0
		if sum > 0 {
			w.scale[j] = 1 / math.Sqrt(sum)
		}
	}
	for j := range n {
		sum := 0.0
		for i, r := range f.R {
			sum += f.Jac[i*n+j] * r
		}
		w.slope.SetVec(j, -sum*w.scale[j])
		for k := range j + 1 {
			sum := 0.0
			for i := range f.R {
				sum += f.Jac[i*n+j] * f.Jac[i*n+k]
			}
			w.normal.SetSym(j, k, sum*w.scale[j]*w.scale[k])
		}
	}
}

// solve finds the step, and reports whether it is down to rounding. A direction
// in which nothing changes is damped until the step stays put in it.
func (w *workspace) solve(damping float64) (small bool) {
	n := len(w.scale)
	for ridge := damping; ; ridge = max(1e-12, 100*ridge) {
		w.damped.CopySym(w.normal)
		for j := range n {
			w.damped.SetSym(j, j, 1+ridge)
		}
		if w.chol.Factorize(w.damped) {
			break
		}
	}
	_ = w.chol.SolveVecTo(w.step, w.slope) // an ill conditioned step is judged by what it does
	small = true
	for j := range n {
		v := w.step.AtVec(j)
		small = small && math.Abs(v) < still
		w.step.SetVec(j, v*w.scale[j])
	}
	return small
}

// finish finds the covariance, or else what is free.
func (w *workspace) finish(f *Fit) {
	n := len(f.X)
	if w.chol.Factorize(w.normal) && w.chol.Cond() < 1e10 {
		f.Cov = mat.NewSymDense(n, nil)
		if w.chol.InverseTo(f.Cov) == nil {
			for j := range n {
				for k := range j + 1 {
					f.Cov.SetSym(j, k, f.Cov.At(j, k)*w.scale[j]*w.scale[k])
				}
			}
			return
		}
	}
	// Rows of zeros change nothing, but the decomposition wants no fewer rows than columns for all of V.
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
		length := 0.0
		for j := range n {
			free[j] = v.At(j, k)
			if w.scale[j] > 0 {
				free[j] *= w.scale[j]
			}
			length += free[j] * free[j]
		}
		for j := range n {
			free[j] /= math.Sqrt(length)
		}
		f.Free = append(f.Free, free)
	}
	if f.Free != nil {
		f.Cov = nil
		return
	}
	f.Cov = mat.NewSymDense(n, nil)
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

// Studentized returns a residual over its own standard uncertainty after the
// fit: how far off the observation is from what all others say. It is 0 for an
// observation that nothing else checks.
func (f *Fit) Studentized(i int) float64 {
	if f.Cov == nil {
		return 0
	}
	n := len(f.X)
	row := f.Jac[i*n : (i+1)*n]
	leverage := 0.0
	for j, a := range row {
		for k, b := range row {
			leverage += a * b * f.Cov.At(j, k)
		}
	}
	if left := 1 - leverage; left > 1e-9 {
		return f.R[i] / math.Sqrt(left)
	}
	return 0
}
