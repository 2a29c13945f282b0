package lsq

import (
	"math"

	"example.com/fitgeom/internal/num"
)

// A Likely is where a coordinate lies with a probability of 95 %.
type Likely struct {
	Range
	// Assumed is the share of the variance that comes from what was assumed, 0 to 1.
	Assumed float64
}

// A Question asks for likely ranges.
type Question struct {
	Model Model
	// Read is the number of residuals that come from readings. The others come from what
	// was assumed.
	Read int
	// Others are fits to which the readings may belong as well. One that is near widens the
	// ranges: no reading tells which it is. One that is Apart is another answer.
	Others []Fit
	// Widest is how wide the range of each coordinate may be: a wider one is infinite,
	// since it says nothing.
	Widest []float64
}

// Likely returns where each coordinate of x lies with a probability of 95 %. That of
// readings is taken as normal. How wide what was assumed scatters is not known well
// itself, and its part goes by Student's distribution (JCGM 100:2008, G.4.1). The
// covariance gets what ranges of the likelihood say.
func (f *Fit) Likely(q *Question) []Likely {
	n := len(f.X)
	all := make([]Likely, n)
	spans := make([]Span, n)
	with := make([]float64, n)
	for j := range n {
		for k := range n {
			with[k] = f.Cov.At(j, k)
		}
		share, freedom := f.assumed(with, with[j], q.Read)
		all[j].Assumed = share
		spans[j] = Span{At: j, Factor: student95(freedom), Reach: q.Widest[j]}
	}
	for j, r := range f.Ranges(q.Model, spans) {
		all[j].Range = r
	}
	for i := range q.Others {
		o := &q.Others[i]
		if q.Apart(f, o) {
			continue
		}
		var beside []Span
		for j := range n {
			s := spans[j]
			left := s.Factor*s.Factor - (o.Chi2 - f.Chi2)
			if x := o.X[j]; left > 0 && (x < all[j].Low || x > all[j].High) {
				s.Factor = math.Sqrt(left)
				s.Reach -= math.Abs(o.X[j] - f.X[j])
				beside = append(beside, s)
			}
		}
		if len(beside) == 0 {
			continue
		}
		o.finish()
		for i, r := range o.Ranges(q.Model, beside) {
			at := &all[beside[i].At]
			if low, high := min(at.Low, r.Low), max(at.High, r.High); low < at.Low || high > at.High {
				at.Low, at.High, at.Likelihood = low, high, true
			}
		}
	}
	for j := range all {
		if r := &all[j]; !(r.High-r.Low <= q.Widest[j]) {
			r.Low, r.High = math.Inf(-1), math.Inf(1)
		}
	}
	f.widen(all)
	return all
}

// Unknown reports which ranges are infinite.
func Unknown(ranges []Likely) []bool {
	loose := make([]bool, len(ranges))
	for j, r := range ranges {
		loose[j] = math.IsInf(r.High, 1)
	}
	return loose
}

// Apart reports whether two fits are further from each other than half of the widest
// range.
func (q *Question) Apart(f, o *Fit) bool {
	for j, widest := range q.Widest {
		if math.Abs(o.X[j]-f.X[j]) >= widest/2 {
			return true
		}
	}
	return false
}

// Beyond returns the other fits that are apart from a fit.
func (q *Question) Beyond(f *Fit) []Fit {
	var beyond []Fit
	for i := range q.Others {
		if q.Apart(f, &q.Others[i]) {
			beyond = append(beyond, q.Others[i])
		}
	}
	return beyond
}

// Half95 returns half the range that holds 95 % of a number with a gradient by X, to first
// order, and the share of its variance that comes from what was assumed: from residuals
// after the first ones, which are of readings.
func (f *Fit) Half95(gradient []float64, read int) (half, assumed float64) {
	n := len(f.X)
	with := make([]float64, n)
	variance := 0.0
	for j, a := range gradient {
		if a == 0 {
			continue
		}
		for k := range n {
			with[k] += a * f.Cov.At(j, k)
		}
	}
	for j, a := range gradient {
		variance += a * with[j]
	}
	share, freedom := f.assumed(with, variance, read)
	return student95(freedom) * math.Sqrt(variance), share
}

// known is the degrees of freedom of an assumption: how wide it scatters is known to about
// a third, and that is half of 1/0.32² (JCGM 100:2008, G.4.2).
const known = 5

// assumed returns the share of the variance of a number, with these covariances with X, that
// comes from what was assumed, and the effective degrees of freedom of the whole.
func (f *Fit) assumed(with []float64, variance float64, read int) (share, freedom float64) {
	n := len(f.X)
	sum, fourth := 0.0, 0.0
	for i := read; i < len(f.R); i++ {
		by := 0.0
		for k, a := range f.Jac[i*n : (i+1)*n] {
			by += a * with[k]
		}
		sum += by * by
		fourth += by * by * by * by / known
	}
	if !(variance > 0) || sum == 0 {
		return 0, math.Inf(1)
	}
	return min(1, sum/variance), variance * variance / fourth
}

// student95 is how many standard uncertainties hold 95 % to either side, by Student's
// distribution (Abramowitz and Stegun 26.7.5, to 0.1 % from 3 degrees of freedom on).
func student95(freedom float64) float64 {
	const (
		z  = num.Normal95
		g1 = (z*z*z + z) / 4
		g2 = (5*z*z*z*z*z + 16*z*z*z + 3*z) / 96
		g3 = (3*z*z*z*z*z*z*z + 19*z*z*z*z*z + 17*z*z*z - 15*z) / 384
		g4 = (79*z*z*z*z*z*z*z*z*z + 776*z*z*z*z*z*z*z + 1482*z*z*z*z*z - 1920*z*z*z - 945*z) / 92160
	)
	v := 1 / freedom
	return z + v*(g1+v*(g2+v*(g3+v*g4)))
}

// widen makes the covariance agree with ranges that come from the likelihood: their
// coordinates get the standard uncertainty that a range of that width would have.
func (f *Fit) widen(ranges []Likely) {
	for j, r := range ranges {
		if !r.Likelihood || math.IsInf(r.High-r.Low, 0) {
			continue
		}
		sigma := (r.High - r.Low) / 2 / student95(math.Inf(1))
		by := 0.0
		if v := f.Cov.At(j, j); v > 0 && !f.tied(j) {
			by = min(1, sigma/math.Sqrt(v)) // more variance is its own
		}
		for k := range ranges {
			if k != j {
				f.Cov.SetSym(j, k, by*f.Cov.At(j, k))
			}
		}
		f.Cov.SetSym(j, j, sigma*sigma)
	}
}

// Ways returns the directions in which coordinates that are not known may change together,
// each by 1 for the one that changes most.
func (f *Fit) Ways(loose []bool) [][]float64 {
	var ways [][]float64
	open := append([]bool(nil), loose...)
	add := func(way []float64) {
		any := false
		for j := range way {
			if !loose[j] {
				way[j] = 0
			}
			any = any || way[j] != 0
		}
		if !any {
			return
		}
		ways = append(ways, way)
		for j, v := range way {
			open[j] = open[j] && v == 0
		}
	}
	for _, way := range f.Free {
		add(append([]float64(nil), way...))
	}
	for {
		// What first order knows, but the likelihood does not: the least certain first.
		at, most := -1, 0.0
		for j, is := range open {
			if v := f.Cov.At(j, j); is && (at < 0 || v > most*(1+1e-6)) {
				at, most = j, v
			}
		}
		if at < 0 {
			return ways
		}
		way := make([]float64, len(loose))
		for k := range way {
			if v := f.Cov.At(k, at) / most; open[k] && math.Abs(v) > 0.1 {
				way[k] = v
			}
		}
		way[at] = 1
		add(way)
	}
}

// improves reports whether more observations, with the derivatives jac by X row by row,
// each in its standard uncertainty, would tell what is free, or make some coordinate more
// certain by more than 2 %.
func (f *Fit) improves(jac []float64) bool {
	n := len(f.X)
	for _, way := range f.Free {
		for i := 0; i < len(jac); i += n {
			sum, size := 0.0, 0.0
			for j, a := range jac[i : i+n] {
				sum += a * way[j]
				size = max(size, math.Abs(a*way[j]))
			}
			if math.Abs(sum) > 1e-6*size {
				return true
			}
		}
	}
	cov := make([]float64, n*n)
	for j := range n {
		for k := range n {
			cov[j*n+k] = f.Cov.At(j, k)
		}
	}
	by := make([]float64, n)
	for i := 0; i < len(jac); i += n { // one after another
		row := jac[i : i+n]
		variance := 1.0
		for j := range n {
			by[j] = 0
			for k, a := range row {
				by[j] += cov[j*n+k] * a
			}
			variance += row[j] * by[j]
		}
		for j := range n {
			for k := range n {
				cov[j*n+k] -= by[j] * by[k] / variance
			}
		}
	}
	for j := range n {
		if f.Cov.At(j, j) > 1.02*1.02*cov[j*n+j] {
			return true
		}
	}
	return false
}
