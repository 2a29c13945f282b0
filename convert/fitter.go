package convert

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
)

// solve fits the unknowns. A distance does not determine on which side of a line a site
// lies, so a fit may end on the wrong side or in a local minimum. Each site with a
// distance is therefore also tried on the other side of the level of the saddle
// reference. If the saddle's highest point is measured, each point of the saddle is tried
// as the highest, and each two as equally high. The best fit is returned; of equal ones,
// the one closest to the start. The others that are equally good are returned as well.
func (p *problem) solve() (best lsq.Fit, others []lsq.Fit) {
	m, n := len(p.sheet), len(p.start)
	f := fitter{problem: p, best: lsq.Solve(p.start, m, p.model)}
	f.level = p.number[contact.SaddleReference][contact.AxisZ]
	if f.level == 0 {
		return f.best, nil
	}
	f.x, f.r, f.jac = make([]float64, n), make([]float64, m), make([]float64, m*n)
	distant, highest := p.twofold()
	for f.better = true; f.better; {
		f.better = false
		f.otherSides(distant)
		if highest {
			f.otherTops()
		}
	}
	return f.best, f.others
}

// twofold returns the sites that have distances, and whether the saddle's highest point is
// measured.
func (p *problem) twofold() (distant [contact.SiteCount]bool, highest bool) {
	for _, r := range p.sheet {
		e := &measures[r.Measure]
		highest = highest || e.kind == fromHighest
		if e.kind == direct || e.kind == sideView {
			for _, s := range e.Needs {
				distant[s], distant[s.On(contact.Right)] = true, true
			}
		}
	}
	return distant, highest
}

// A fitter is the search for the best fit.
type fitter struct {
	*problem
	best   lsq.Fit
	others []lsq.Fit // as good
	better bool      // whether another one has become the best
	level  int16     // the number that the saddle reference's height is

	x, r, jac []float64 // scratch
}

// try starts from the best fit with some heights changed.
func (f *fitter) try(change func(x []float64)) {
	copy(f.x, f.best.X)
	change(f.x)
	clear(f.r)
	f.model(f.x, f.r, f.jac)
	chi2 := 0.0
	for _, v := range f.r {
		chi2 += v * v
	}
	if chi2 > 100+10*f.best.Chi2 { // hopeless
		return
	}
	other := lsq.Solve(f.x, len(f.r), f.model)
	switch gain := f.best.Chi2 - other.Chi2; {
	case !other.Converged || gain < -equal:
	case gain > max(equal, 1e-6*f.best.Chi2):
		f.best, f.others, f.better = other, nil, true
	case far(other.X, f.best.X) < 1e-3 || len(f.best.Free) > 0:
		// it came back, or went along what is free
	case far(other.X, f.start) < far(f.best.X, f.start):
		f.best, f.others, f.better = other, append(f.others, f.best), true
	default:
		f.others = append(f.others, other)
	}
}

// otherSides tries distant sites on the other side of the level of the saddle reference.
func (f *fitter) otherSides(distant [contact.SiteCount]bool) {
	level, rear := f.level, f.number[contact.SaddleRear][contact.AxisZ]
	for _, s := range f.sites {
		n := f.number[s][contact.AxisZ]
		if !distant[s] || n == 0 || n == level || s.Side() == contact.Right && n == f.number[s.On(contact.Left)][contact.AxisZ] {
			continue
		}
		f.try(func(x []float64) { x[n-1] = 2*x[level-1] - x[n-1] })
		if s == contact.SaddleNose && f.line { // the whole saddle, with its tilt as it is
			f.try(func(x []float64) {
				by := 2 * (x[level-1] - x[n-1])
				x[n-1] += by
				x[rear-1] += by
			})
		}
	}
}

// otherTops tries each point of the saddle as the highest, and two as equally high.
func (f *fitter) otherTops() {
	saddle := [...]int16{f.level, f.number[contact.SaddleNose][contact.AxisZ], f.number[contact.SaddleRear][contact.AxisZ]}
	for i, top := range saddle {
		// The best fit may lie where the highest point changes, which no derivative shows.
		if other := saddle[(i+1)%len(saddle)]; f.best.Chi2 > equal && math.Abs(f.best.X[top-1]-f.best.X[other-1]) < 20 {
			f.try(func(x []float64) { f.tie(x, int(top-1), int(other-1)) })
		}
		f.try(func(x []float64) {
			for _, n := range saddle {
				if x[n-1] > x[top-1] {
					x[n-1] = 2*x[top-1] - x[n-1]
				}
			}
		})
	}
}

// tie moves x to the best fit of those in which two unknowns are equal.
func (p *problem) tie(x []float64, a, b int) {
	const weight = 1e4 // against readings good to some mm: equal to 1e-8 mm
	m, n := len(p.sheet), len(x)
	fit := lsq.Solve(x, m+1, func(x, r, jac []float64) {
		p.model(x, r[:m], jac[:m*n])
		r[m] = weight * (x[a] - x[b])
		jac[m*n+a], jac[m*n+b] = weight, -weight
	})
	copy(x, fit.X)
}

// equal is a difference of chi-squared that is negligible.
const equal = 1e-9

// far returns the distance between two sets of unknowns.
func far(x, y []float64) float64 {
	sum := 0.0
	for i := range x {
		sum += (x[i] - y[i]) * (x[i] - y[i])
	}
	return math.Sqrt(sum)
}
