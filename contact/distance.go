package contact

import (
	"math"
	"sync"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/spatial/r3"
)

// DistanceMean returns the mean and the standard deviation of the distance, in mm, whose
// square is that of a move with normal errors about By (JCGM 102:2011, 9.3). They are
// right at any distance. Of a site that did not move the mean is what errors alone make of
// it; far off, both are those of [Move.Distance].
func (m Move) DistanceMean() (mean, sigma float64) {
	f := m.far()
	if f.n == 0 {
		return f.still, 0
	}
	square := f.square()
	mean = f.mean(square)
	return mean, math.Sqrt(max(0, square-mean*mean))
}

// DistanceInterval returns the distances, in mm, between which the true one lies with a
// probability such as 0.95, if errors are normal. Of the intervals of the squared distance
// it is the shortest (JCGM 101:2008, 5.3.4 and 9.4): where nothing need have moved it
// begins at 0 or near it.
//
// It costs some milliseconds. Faults are [ErrRange] for a coverage that is not from 0.01 to
// 0.9999.
func (m Move) DistanceInterval(coverage float64) (low, high float64, err error) {
	if !(coverage >= 0.01 && coverage <= 0.9999) {
		return 0, 0, &Error{Path: "coverage", Value: num.Text(coverage, ""), Want: num.Span(0.01, 0.9999, ""), Class: ErrRange}
	}
	f := m.far()
	if f.n == 0 {
		return f.still, f.still, nil
	}
	low, high = f.shortest(coverage)
	return math.Sqrt(f.still*f.still + low), math.Sqrt(f.still*f.still + high), nil
}

// A far is a move along the principal axes of its errors: those without an error give a
// distance by themselves, the others are normal, the least standard deviation first.
type far struct {
	still    float64
	n        int
	by, with [3]float64
}

func (m *Move) far() far {
	var f far
	values, vectors := principal(m.cov)
	for i, v := range values {
		along := r3.Dot(m.By, vectors[i])
		if v <= 1e-12*values[2] || v <= 0 {
			f.still = math.Hypot(f.still, along)
			continue
		}
		f.by[f.n], f.with[f.n] = math.Abs(along), math.Sqrt(v)
		f.n++
	}
	return f
}

// square returns the mean of the squared distance.
func (f *far) square() float64 {
	sum := f.still * f.still
	for i := range f.n {
		sum += f.by[i]*f.by[i] + f.with[i]*f.with[i]
	}
	return sum
}

// nodes are those of Gauss and Legendre between -1 and 1.
var nodes = sync.OnceValue(func() (n [2][24]float64) {
	quad.Legendre{}.FixedLocations(n[0][:], n[1][:], -1, 1)
	return n
})

// integral returns the integral of g between two ends.
func integral(lo, hi float64, g func(x float64) float64) float64 {
	sum := 0.0
	n := nodes()
	for i, x := range n[0] {
		sum += n[1][i] * g((lo+hi)/2+(hi-lo)/2*x)
	}
	return sum * (hi - lo) / 2
}

// mean returns the mean of the distance from the mean of its square: of Q it is
// ∫ (1 - E exp(-t²Q)) / t² dt from 0 on, over √π. With t = tan θ, of the size of the
// distance, the ends are finite.
func (f *far) mean(square float64) float64 {
	size := math.Sqrt(square)
	sum := 0.0
	const pieces = 6 // towards the second end, where the least error matters
	for i := range pieces {
		lo, hi := math.Exp2(-float64(i)), math.Exp2(-float64(i+1))
		if i == pieces-1 {
			hi = 0
		}
		sum += integral(math.Pi/2*hi, math.Pi/2*lo, func(co float64) float64 {
			sin, cos := math.Cos(co), math.Sin(co) // of the angle that is left to a right one
			t2 := sin * sin / (cos * cos) / square
			log := -t2 * f.still * f.still
			for i := range f.n {
				v := 1 + 2*t2*f.with[i]*f.with[i]
				log -= t2*f.by[i]*f.by[i]/v + math.Log(v)/2
			}
			return -math.Expm1(log) / (sin * sin)
		})
	}
	return sum * size / math.Sqrt(math.Pi)
}

// within returns the probability that the square of the last n coordinates is at most q,
// and its density.
func (f *far) within(q float64, from int) (p, density float64) {
	if q <= 0 {
		return 0, 0
	}
	r, by, with := math.Sqrt(q), f.by[from], f.with[from]
	if from == f.n-1 {
		a, b := (r-by)/with, (-r-by)/with
		p = (math.Erf(a/math.Sqrt2) - math.Erf(b/math.Sqrt2)) / 2
		return p, (math.Exp(-a*a/2) + math.Exp(-b*b/2)) / (2 * r * with * math.Sqrt(2*math.Pi))
	}
	lo, hi := max(-r, by-7*with), min(r, by+7*with)
	if lo >= hi {
		return 0, 0
	}
	// Sines make an end at ±r smooth.
	lo, hi = math.Asin(lo/r), math.Asin(hi/r)
	n := nodes()
	for i, x := range n[0] {
		sin, cos := math.Sincos((lo+hi)/2 + (hi-lo)/2*x)
		z := (r*sin - by) / with
		w := n[1][i] * (hi - lo) / 2 * r * cos * math.Exp(-z*z/2) / (with * math.Sqrt(2*math.Pi))
		a, b := f.within(q*cos*cos, from+1)
		p += w * a
		density += w * b
	}
	return p, density
}

// upper returns the square that is not exceeded with a probability, by Newton's method
// from a start and between bounds.
func (f *far) upper(probability, start, most float64) float64 {
	lo, hi, q := 0.0, most, start
	for range 100 {
		p, density := f.within(q, 0)
		if p < probability {
			lo = q
		} else {
			hi = q
		}
		next := q - (p-probability)/density
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-q) <= 1e-10*most {
			return next
		}
		q = next
	}
	return q
}

// shortest returns the ends of the shortest interval of the square, less what stands
// still: those of equal density, or from 0 on if the density is highest there.
func (f *far) shortest(coverage float64) (low, high float64) {
	most := 0.0 // beyond it, nothing
	for i := range f.n {
		most = math.Hypot(most, f.by[i]+7*f.with[i])
	}
	most *= most
	high = f.upper(coverage, most/8, most)
	// off is by how much the density at the lower end exceeds that at the upper one.
	off := func(low float64) float64 {
		p, a := f.within(low, 0)
		if p+coverage >= 1 {
			return a
		}
		high = f.upper(p+coverage, high, most)
		_, b := f.within(high, 0)
		return a - b
	}
	top := f.upper(1-coverage, most/8, most)
	start := off(1e-9 * top)
	if start >= 0 { // the density falls from the start
		return 0, f.upper(coverage, high, most)
	}
	low = top * num.Root(func(x float64) float64 { return off(x * top) }, 1e-9, start, 1, off(top))
	off(low)
	return low, high
}
