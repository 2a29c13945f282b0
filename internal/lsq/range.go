package lsq

import "math"

// A Span asks in what range a coordinate of x lies.
type Span struct {
	At int // which coordinate
	// Factor is how many standard uncertainties the range goes to either side, where
	// first order is good: 1 for 68.3 %, 1.96 for 95 %.
	Factor float64
	// Reach is how far from the fit the range is followed.
	Reach float64
}

// A Range is where a coordinate lies.
type Range struct {
	// Low and High are infinite where the range goes on beyond the reach.
	Low, High float64
	// Likelihood says that the range comes from the sums of squares themselves, since
	// first order is not good to a tenth.
	Likelihood bool
}

// How much the least sum of squares may rise at the ends of a range of first order, over
// what it rises by if the model is linear: 0.9 and 1.1 of the range.
const leastRise, mostRise = 0.9 * 0.9, 1.1 * 1.1

// Ranges returns the ranges of coordinates: of all values at which the least sum of squares,
// with the coordinate held there, is not more than the square of the factor above the
// minimum. That is the fit's standard uncertainty times the factor where first order is
// good to a tenth, and each end better by what the sum of squares is there; elsewhere the
// range is found by following the least sum of squares.
//
// The fit must come from Solve with the same model.
func (f *Fit) Ranges(model Model, spans []Span) []Range {
	t := newTracer(f, model, spans)
	all := make([]Range, len(spans))
	for i, s := range spans {
		if low, high, ok := t.firstOrder(s); ok {
			all[i] = Range{Low: f.X[s.At] - low, High: f.X[s.At] + high}
			continue
		}
		t.begin(s.At)
		all[i].Low = t.follow(s, -1)
		t.begin(s.At)
		all[i].High = t.follow(s, 1)
	}
	if t.ends == nil {
		return all
	}
	// A valley may fork where none of its branches shows from the fit. Walks along other
	// coordinates have seen some of the branches.
	for again := true; again; {
		again = false
		for i, s := range spans {
			r := &all[i]
			leeway := 1e-3 * (r.High - r.Low)
			if end := &t.ends[i].low; len(end.x) > 0 && end.x[s.At] < r.Low-leeway {
				t.resume(end)
				r.Low, again = min(end.x[s.At], t.follow(s, -1)), true
			}
			if end := &t.ends[i].high; len(end.x) > 0 && end.x[s.At] > r.High+leeway {
				t.resume(end)
				r.High, again = max(end.x[s.At], t.follow(s, 1)), true
			}
		}
	}
	for i, s := range spans {
		r, x := &all[i], f.X[s.At]
		half := s.Factor * math.Sqrt(f.Cov.At(s.At, s.At))
		r.Likelihood = f.tied(s.At) || !near(x-r.Low, half) || !near(r.High-x, half)
	}
	return all
}

// near reports whether a range goes about as far as first order says.
func near(far, half float64) bool { return far >= 0.9*half && far <= 1.1*half }

// tied reports whether a coordinate is part of a free direction.
func (f *Fit) tied(j int) bool {
	for _, way := range f.Free {
		if way[j] != 0 {
			return true
		}
	}
	return false
}

// firstOrder returns how far the range goes to both sides by first order, and whether that
// is good enough: the least sum of squares at its ends rises by about what it should.
func (t *tracer) firstOrder(s Span) (low, high float64, ok bool) {
	if t.fit.tied(s.At) {
		return 0, 0, false
	}
	f, j := t.fit, s.At
	variance := f.Cov.At(j, j)
	half := s.Factor * math.Sqrt(variance)
	if !(half > 0 && half <= s.Reach) {
		return half, half, half == 0
	}
	for i := range t.n {
		by := half * f.Cov.At(i, j) / variance
		t.x[i], t.tryX[i] = f.X[i]-by, f.X[i]+by
	}
	clear(t.r)
	clear(t.jac)
	t.model(t.x, t.r, t.jac)
	clear(t.tryR)
	clear(t.tryJac)
	t.model(t.tryX, t.tryR, t.tryJac)
	// What is the same on both sides is of second order. Where that is next to nothing,
	// nothing else needs a look.
	bend := 0.0
	for i, r := range f.R {
		e := (t.r[i]+t.tryR[i])/2 - r
		bend += e * e
	}
	rise := s.Factor * s.Factor
	if t.mayFork(rise) {
		return half, half, false
	}
	if bend < 1e-4*rise {
		return half, half, true
	}
	other := append([]float64(nil), t.tryX...)
	low = (t.least(j, rise/50) - f.Chi2) / rise
	t.resume(&point{x: other})
	high = (t.least(j, rise/50) - f.Chi2) / rise
	ok = low > leastRise && low < mostRise && high > leastRise && high < mostRise
	return half / math.Sqrt(low), half / math.Sqrt(high), ok
}

// least is the least sum of squares that the other coordinates can reach with coordinate j
// held where the tracer is, to within some amount; infinite if that does not show soon.
func (t *tracer) least(j int, within float64) float64 {
	t.chi2 = square(t.r)
	for range 4 {
		t.equations(0, false)
		t.factor(j)
		t.substitute(t.step, t.slope)
		clear(t.side)
		if v := t.valley(j, 0); t.chi2-v.held < within {
			return v.held
		}
		tried := t.try(j, 0)
		if !(tried < t.chi2) {
			break
		}
		t.take()
		t.chi2 = tried
	}
	return math.Inf(1)
}

// mayFork reports whether the valley may fork between the ends of a range of first order, at
// which the residuals are known: the curve along a fork changes on the way. First order can
// look good there and not be so.
func (t *tracer) mayFork(rise float64) bool {
	for _, f := range t.forks {
		change := 0.0
		for i, b := range f.bend {
			change += (t.tryR[i] - t.r[i]) / 2 * b
		}
		if math.Abs(change) > 1e-3*rise {
			return true
		}
	}
	return false
}
