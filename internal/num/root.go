package num

import "math"

// Root returns where f is zero between two places at which its signs differ.
// It uses the Illinois form of false position, which never leaves the bracket.
func Root(f func(float64) float64, lo, fLo, hi, fHi float64) float64 {
	return RootTo(1e-13, f, lo, fLo, hi, fHi)
}

// RootTo is Root that ends when a step is less than tol.
func RootTo(tol float64, f func(float64) float64, lo, fLo, hi, fHi float64) float64 {
	if fLo == 0 {
		return lo
	}
	for range 100 {
		if fHi == 0 || hi == lo {
			break
		}
		mid := (lo*fHi - hi*fLo) / (fHi - fLo)
		if mid == lo || mid == hi {
			break
		}
		fMid := f(mid)
		if (fMid > 0) == (fHi > 0) {
			fLo /= 2
		} else {
			lo, fLo = hi, fHi
		}
		hi, fHi = mid, fMid
		if math.Abs(hi-lo) < tol {
			break
		}
	}
	return hi
}

// Bisect halves the way between a place that is ok and one that is not, n times over,
// and returns the ends of what is left: the last place that was ok and the last that was not.
func Bisect(in, out float64, n int, ok func(float64) bool) (lastIn, lastOut float64) {
	for range n {
		if mid := (in + out) / 2; ok(mid) {
			in = mid
		} else {
			out = mid
		}
	}
	return in, out
}
