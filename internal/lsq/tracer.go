package lsq

import "math"

// mostSteps bounds how often all walks of a tracer compute the model. Of twelve measures that
// all need it, they do so some 400 times. What is not found by then is not known.
const mostSteps = 3000

// A tracer follows the least sum of squares away from a fit.
type tracer struct {
	fit    *Fit
	model  Model
	spans  []Span
	forks  []fork
	steps  int     // that were made
	small  float64 // how near, relative to it, the end of a range is found
	n, m   int
	x, r   []float64
	jac    []float64
	chi2   float64
	tryX   []float64
	tryR   []float64
	tryJac []float64
	normal []float64 // JᵀJ, with columns scaled to length 1
	lower  []float64 // its factor, without the coordinate that is followed
	scale  []float64 // 1 over the length of each column, 0 for one of zeros
	ridge  []float64 // what damping adds to the diagonal
	slope  []float64 // Jᵀr, scaled
	side   []float64 // how the others move with the coordinate, scaled
	step   []float64 // how they move with it held, scaled

	// The outermost points of each span that walks have come to; nil before the first.
	ends []struct{ low, high point }
}

// A point is where a walk has been.
type point struct {
	x    []float64
	chi2 float64
}

func newTracer(f *Fit, model Model, spans []Span) *tracer {
	n, m := len(f.X), len(f.R)
	take := arena(2*(n+m+m*n) + 2*n*n + 5*n)
	t := &tracer{
		fit: f, model: model, spans: spans, small: 2e-3, n: n, m: m,
		x: take(n), r: take(m), jac: take(m * n), tryX: take(n), tryR: take(m), tryJac: take(m * n),
		normal: take(n * n), lower: take(n * n), scale: take(n), ridge: take(n), slope: take(n), side: take(n), step: take(n),
	}
	t.findForks()
	return t
}

// begin goes to the fit, for a walk along coordinate j.
func (t *tracer) begin(j int) {
	copy(t.x, t.fit.X)
	if t.nudge(j) {
		t.resume(&point{x: t.x, chi2: math.NaN()})
		t.chi2 = square(t.r)
		return
	}
	copy(t.r, t.fit.R)
	copy(t.jac, t.fit.Jac)
	t.chi2 = t.fit.Chi2
}

// nudge moves the forks but j a little off the fit, and reports whether there are any.
func (t *tracer) nudge(j int) (any bool) {
	for _, f := range t.forks {
		if f.at != j {
			t.x[f.at] += f.reach / 20
			any = true
		}
	}
	return any
}

// resume goes to a point.
func (t *tracer) resume(p *point) {
	copy(t.x, p.x)
	clear(t.r)
	clear(t.jac)
	t.model(t.x, t.r, t.jac)
	t.chi2 = p.chi2
}

// seen remembers where a walk has come to.
func (t *tracer) seen() {
	if t.ends == nil {
		t.ends = make([]struct{ low, high point }, len(t.spans))
	}
	for i, s := range t.spans {
		if t.chi2 > t.fit.Chi2+s.Factor*s.Factor {
			continue
		}
		v := t.x[s.At]
		if end := &t.ends[i].low; v < t.fit.X[s.At] && (len(end.x) == 0 || v < end.x[s.At]) {
			end.x, end.chi2 = append(end.x[:0], t.x...), t.chi2
		}
		if end := &t.ends[i].high; v > t.fit.X[s.At] && (len(end.x) == 0 || v > end.x[s.At]) {
			end.x, end.chi2 = append(end.x[:0], t.x...), t.chi2
		}
	}
}

// follow returns the end of the range of a coordinate to one side of where the tracer is,
// sign being -1 or 1: infinite if it is further from the fit than the reach.
//
// It walks along the valley in which the other coordinates have their best values. Each
// step goes to where the sum of squares would reach its limit if the model were linear;
// the coordinate stands apart in the equations, so that they are good where it alone, at a
// turning point, changes nothing. Where such a step fails, shorter ones are made, and the
// other coordinates get to their best values before the next.
func (t *tracer) follow(s Span, sign float64) float64 {
	const most = 100
	j, small := s.At, t.small
	start := t.fit.X[j]
	end, rise := start+sign*s.Reach, s.Factor*s.Factor
	limit := t.fit.Chi2 + rise
	inside, longest, damping, careful := t.x[j], math.Inf(1), 0.0, false
	for range most {
		if t.steps++; t.steps > mostSteps {
			return sign * math.Inf(1)
		}
		t.equations(damping, careful)
		t.factor(j)
		t.substitute(t.step, t.slope)
		t.substitute(t.side, t.normal[j*t.n:(j+1)*t.n])
		v := t.valley(j, damping)
		h := 0.0
		settled := t.chi2 - v.held
		if !careful || settled < rise/50 {
			if careful { // along the valley alone
				clear(t.step)
				v = t.valley(j, damping)
			}
			var ok bool
			if h, ok = v.reaches(limit, sign); !ok { // it never comes down to the limit: back to where it did
				h = (inside - t.x[j]) / 2
			}
			if (t.x[j]+h-end)*sign >= 0 {
				h = end - t.x[j]
			}
			if math.Abs(h) <= small*(math.Abs(t.x[j]-start)+math.Abs(h)) {
				if settled < small*rise {
					return t.x[j] + h
				}
				if careful { // all that is left is for the others
					h = 0
					t.substitute(t.step, t.slope)
					v = t.valley(j, damping)
				}
			}
			h = max(-longest, min(longest, h))
		}
		tried := t.try(j, h)
		// How much worse it comes than a linear model promises, over the change.
		promised := v.at(h)
		off := (tried - promised) / (math.Abs(promised-t.chi2) + small*rise)
		good := off < 0.9 || h*sign > 0 && tried <= limit
		switch {
		case h != 0 && good:
			longest *= 3
		case !careful:
			longest, careful = max(math.Abs(h), math.Abs(t.x[j]-start))/3, true
		case h != 0:
			longest = math.Abs(h) / 3
		case off > 0.5:
			damping = max(1e-9, 16*damping)
		default:
			damping /= 4
		}
		if !good {
			if damping > 1e3 {
				break
			}
			continue
		}
		t.take()
		t.chi2 = tried
		if t.chi2 <= limit {
			inside = t.x[j]
			t.seen()
			if (inside-start)*sign >= s.Reach*(1-1e-9) {
				return sign * math.Inf(1)
			}
		}
	}
	if math.Abs(t.chi2-limit) < rise/5 { // about there
		return start + (t.x[j]-start)*math.Sqrt(rise/(t.chi2-t.fit.Chi2))
	}
	return inside
}

// try computes the sum of squares a step further, with coordinate j moved by h.
func (t *tracer) try(j int, h float64) float64 {
	by := 0.0 // in steps of coordinate j scaled
	if t.scale[j] > 0 {
		by = h / t.scale[j]
	}
	for i := range t.n {
		t.tryX[i] = t.x[i] + t.scale[i]*(t.step[i]+by*t.side[i])
	}
	t.tryX[j] = t.x[j] + h
	clear(t.tryR)
	clear(t.tryJac)
	t.model(t.tryX, t.tryR, t.tryJac)
	return square(t.tryR)
}

// take goes to where it was tried.
func (t *tracer) take() {
	t.x, t.tryX = t.tryX, t.x
	t.r, t.tryR = t.tryR, t.r
	t.jac, t.tryJac = t.tryJac, t.jac
}

// A fork is a coordinate that by itself changes next to nothing: at a turning point the
// valley may fork along it. Where it does, no step of a linear model leaves the ridge between
// the branches, and beside it the model needs the second derivative.
type fork struct {
	at    int
	reach float64
	bend  []float64 // second differences of the residuals, a twentieth of the reach apart
}

// findForks lists the forks.
func (t *tracer) findForks() {
	for _, s := range t.spans {
		length := 0.0
		for i := s.At; i < len(t.fit.Jac); i += t.n {
			length += t.fit.Jac[i] * t.fit.Jac[i]
		}
		if !(length*s.Reach*s.Reach > 100) && s.Reach < math.MaxFloat64 {
			t.forks = append(t.forks, fork{s.At, s.Reach, t.secondDifferences(s.At, s.Reach/20)})
		}
	}
}

// secondDifferences returns those of the residuals along a coordinate.
func (t *tracer) secondDifferences(j int, by float64) []float64 {
	bend := make([]float64, t.m)
	copy(t.tryX, t.fit.X)
	for _, sign := range [2]float64{-1, 1} {
		t.tryX[j] = t.fit.X[j] + sign*by
		clear(t.tryR)
		clear(t.tryJac)
		t.model(t.tryX, t.tryR, t.tryJac)
		for i, v := range t.tryR {
			bend[i] += v - t.fit.R[i]
		}
	}
	return bend
}
