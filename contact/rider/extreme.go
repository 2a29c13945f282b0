package rider

import (
	"math"

	"example.com/fitgeom/internal/num"
)

// steps is how many places of the crank circle a search starts from: enough that
// between two of them, and of a profile's angles, nothing turns twice.
func (l *leg) steps() int { return max(120, 4*len(l.profile)) }

// least returns the crank angle from 0 to below 360 degrees at which a function
// with a continuous slope is least, and its value there. Of places that are
// equally low, to 1e-9, it takes the first.
func least(steps int, f func(crank float64) float64) (at, value float64) {
	grid := make([]float64, steps)
	step := 360 / float64(steps)
	for i := range grid {
		grid[i] = f(float64(i) * step)
	}
	value = math.Inf(1)
	take := func(a, v float64) {
		if v < value-1e-9 {
			at, value = num.Turn(a), v
		}
	}
	for i, v := range grid {
		before, after := grid[(i+steps-1)%steps], grid[(i+1)%steps]
		if v > before || v > after {
			continue
		}
		a := float64(i) * step
		if v < before || v < after { // not level
			mid := a
			a = bottom(mid-step, mid+step, f)
			v = min(v, f(num.Turn(a)))
			if from, to, ok := elsewhere(v, mid, step, f); ok {
				a = bottom(from, to, f)
				v = f(num.Turn(a))
			}
		}
		take(a, v)
	}
	return at, value
}

// bottom returns where between two crank angles the slope of f changes its sign.
// Unlike the value of f, the slope tells that to many digits.
func bottom(lo, hi float64, f func(crank float64) float64) float64 {
	return halved(1e-10, lo, hi, f)
}

// rise tells the slope of f: by how much it rises around a crank angle.
func rise(crank float64, f func(crank float64) float64) float64 {
	const h = 0.01 // degrees; wide against rounding, narrow against what legs do
	return f(num.Turn(crank+h)) - f(num.Turn(crank-h))
}

// halved is bottom that ends within tol, in degrees.
func halved(tol, lo, hi float64, f func(crank float64) float64) float64 {
	for hi-lo > tol {
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		if rise(mid, f) > 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo + (hi-lo)/2
}

// fine is how well dip finds crank angles, degrees: an extreme is then known to 1e-12 mm.
const fine = 1e-6

// dip is bottom to what is fine, which takes fewer looks at f. With a profile it looks elsewhere too.
func dip(lo, hi float64, profile bool, f func(crank float64) float64) float64 {
	of := func(crank float64) float64 { return rise(crank, f) }
	down, up := of(lo), of(hi)
	if !(down < 0 && up > 0) {
		return halved(fine, lo, hi, f)
	}
	at := num.RootTo(fine, of, lo, down, hi, up)
	if !profile {
		return at
	}
	if from, to, ok := elsewhere(f(num.Turn(at)), lo+(hi-lo)/2, (hi-lo)/2, f); ok {
		return halved(fine, from, to, f)
	}
	return at
}

// elsewhere returns around where, within a step of a place, f is less than a value that was found there:
// near to an angle of a profile it may turn three times in two steps.
func elsewhere(value, mid, step float64, f func(crank float64) float64) (from, to float64, ok bool) {
	const parts = 4
	for i := 1 - parts; i < parts; i++ {
		at := mid + step*float64(i)/parts
		if v := f(num.Turn(at)); v < value-1e-9 {
			value, from, to, ok = v, at-step/parts, at+step/parts, true
		}
	}
	return from, to, ok
}

// most is least upside down.
func most(steps int, f func(crank float64) float64) (at, value float64) {
	at, value = least(steps, func(crank float64) float64 { return -f(crank) })
	return at, -value
}
