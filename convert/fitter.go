package convert

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
)

// solve fits the unknowns. A distance does not determine on which side of a line a site
// lies, so a fit may end on the wrong side or in a local minimum. Each site with a
// distance is therefore also tried on the other side of the level of the saddle
// reference, and of the nose if distances start there. If the saddle's highest point is
// measured, each point of the saddle is tried as the highest, and each two as equally high.
// The best fit is returned; of equal ones, the one closest to the start.
func (p *problem) solve() *lsq.Search {
	f := fitter{problem: p, Search: lsq.NewSearch(p.start, p.rows(), p.model)}
	f.level = p.number[contact.SaddleReference][contact.AxisZ]
	if f.level == 0 {
		return f.Search
	}
	distant, highest := p.twofold()
	for f.Better = true; f.Better; {
		f.Better = false
		f.otherSides(distant)
		if highest {
			f.otherTops()
		}
	}
	return f.Search
}

// twofold returns the sites that have distances, and whether the saddle's highest point is
// measured.
func (p *problem) twofold() (distant [contact.SiteCount]bool, highest bool) {
	for _, r := range p.sheet {
		e := definition(r.Measure)
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
	*lsq.Search
	level int16 // the number that the saddle reference's height is
}

// otherSides tries distant sites on the other side of the level of the saddle reference and
// of the nose.
func (f *fitter) otherSides(distant [contact.SiteCount]bool) {
	level, rear := f.level, f.number[contact.SaddleRear][contact.AxisZ]
	for _, s := range f.sites {
		n := f.number[s][contact.AxisZ]
		if !distant[s] || n == 0 || n == level || s.Side() == contact.Right && n == f.number[s.On(contact.Left)][contact.AxisZ] {
			continue
		}
		f.Try(func(x []float64) { x[n-1] = 2*x[level-1] - x[n-1] })
		if nose := f.number[contact.SaddleNose][contact.AxisZ]; nose > 0 && distant[contact.SaddleNose] && s.Group() != contact.OnSaddle {
			f.Try(func(x []float64) { x[n-1] = 2*x[nose-1] - x[n-1] })
		}
		if s == contact.SaddleNose && rear > 0 { // the whole saddle, with its tilt as it is
			f.Try(func(x []float64) {
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
		if other := saddle[(i+1)%len(saddle)]; f.Best.Chi2 > 1e-9 && math.Abs(f.Best.X[top-1]-f.Best.X[other-1]) < 20 {
			f.Try(func(x []float64) { f.tie(x, int(top-1), int(other-1)) })
		}
		f.Try(func(x []float64) {
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
	m, n := p.rows(), len(x)
	fit := lsq.Solve(x, m+1, func(x, r, jac []float64) {
		p.model(x, r[:m], jac[:m*n])
		r[m] = weight * (x[a] - x[b])
		jac[m*n+a], jac[m*n+b] = weight, -weight
	})
	copy(x, fit.X)
}
