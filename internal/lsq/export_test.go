package lsq

// Follow is a range from the sums of squares, also where first order would do, to seven
// digits and more.
func Follow(f *Fit, model Model, s Span) Range {
	t := newTracer(f, model, []Span{s})
	t.small = 1e-7
	r := Range{Likelihood: true}
	t.begin(s.At)
	r.Low = t.follow(s, -1)
	t.begin(s.At)
	r.High = t.follow(s, 1)
	return r
}
