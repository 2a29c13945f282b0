package clearance

import "math"

// least returns where between lo and hi a function with one valley is least, to about tol,
// and its value, by Brent's method of parabolas and golden sections (R. P. Brent,
// Algorithms for Minimization without Derivatives, 1973, chapter 5; from memory). Ends are
// not tried.
func least(lo, hi, tol float64, f func(float64) float64) (at, value float64) {
	const golden = 0.3819660112501051
	x := lo + golden*(hi-lo)
	fx := f(x)
	w, v, fw, fv := x, x, fx, fx
	step, before := 0.0, 0.0
	for range 60 {
		mid := (lo + hi) / 2
		if math.Abs(x-mid) <= 2*tol-(hi-lo)/2 {
			break
		}
		parabola := false
		if math.Abs(before) > tol {
			r, q := (x-w)*(fx-fv), (x-v)*(fx-fw)
			p := (x-v)*q - (x-w)*r
			q = 2 * (q - r)
			if q > 0 {
				p = -p
			}
			q = math.Abs(q)
			if last := before; math.Abs(p) < math.Abs(q*last/2) && p > q*(lo-x) && p < q*(hi-x) {
				before, step, parabola = step, p/q, true
				if u := x + step; u-lo < 2*tol || hi-u < 2*tol {
					step = math.Copysign(tol, mid-x)
				}
			}
		}
		if !parabola {
			before = hi - x
			if x >= mid {
				before = lo - x
			}
			step = golden * before
		}
		u := x + step
		if math.Abs(step) < tol {
			u = x + math.Copysign(tol, step)
		}
		fu := f(u)
		if fu <= fx {
			if u < x {
				hi = x
			} else {
				lo = x
			}
			v, w, x, fv, fw, fx = w, x, u, fw, fx, fu
			continue
		}
		if u < x {
			lo = u
		} else {
			hi = u
		}
		if fu <= fw || w == x {
			v, w, fv, fw = w, u, fw, fu
		} else if fu <= fv || v == x || v == w {
			v, fv = u, fu
		}
	}
	return x, fx
}
