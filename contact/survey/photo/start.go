package photo

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/internal/lsq"
	"gonum.org/v1/gonum/spatial/r3"
)

// usually a mark lies this far from where it would be on a usual bike, mm.
const unlike = 80

// A guess is where a camera may have stood.
type guess struct {
	at   r3.Vec
	turn r3mat
	cost float64
}

// resect finds where the camera of a photograph stood, if the bike is as usual to about 80 mm;
// robust says that marks that lie far off count for little.
func (m *model) resect(x []float64, i int, robust bool) {
	var marks []*seen
	for k := range m.marks {
		q := &m.marks[k]
		if q.photograph == i && q.landmark >= 0 && !placeless(m.landmarks[q.landmark]) && !m.out[2*k] {
			marks = append(marks, q)
		}
	}
	l := m.s.Cameras[m.s.Photographs[i].Camera].lens(nil)
	guesses := m.guesses(x, marks, &l)
	best := guess{cost: math.Inf(1)}
	for k := range guesses {
		if g := m.settleView(x, marks, &l, guesses[k], true, robust); g.cost < best.cost {
			best = g
		}
	}
	v := m.views[i]
	x[v], x[v+1], x[v+2] = best.at.X, best.at.Y, best.at.Z
	x[v+3], x[v+4], x[v+5] = 0, 0, 0
	m.turn[i] = best.turn
}

// guesses lists the best few of cameras around the bike that look at it.
func (m *model) guesses(x []float64, marks []*seen, l *lens) []guess {
	const around, most = 16, 3
	places := make([]r3.Vec, len(marks))
	var middle r3.Vec
	var px [2]float64 // the middle of the marks
	n := float64(len(marks))
	for k, q := range marks {
		places[k] = m.place(x, q, nil).at
		middle = r3.Add(middle, r3.Scale(1/n, places[k]))
		px[0] += q.x / n
		px[1] += q.y / n
	}
	var all []guess
	for k := range around {
		for _, rise := range [2]float64{0.05, 0.35} {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / around)
			ahead := r3.Unit(r3.Vec{X: -cos, Y: -sin, Z: -rise})
			right := r3.Unit(r3.Cross(ahead, r3.Vec{Z: 1}))
			upright := r3mat{right, r3.Cross(ahead, right), ahead}
			for _, turn := range [4]r3mat{
				upright,
				{r3.Scale(-1, upright[1]), upright[0], ahead},
				{upright[1], r3.Scale(-1, upright[0]), ahead},
				{r3.Scale(-1, upright[0]), r3.Scale(-1, upright[1]), ahead},
			} {
				all = append(all, look(turn, places, middle, marks, l, px))
			}
		}
	}
	slices.SortStableFunc(all, func(a, b guess) int { return cmp.Compare(a.cost, b.cost) })
	return all[:min(most, len(all))]
}

// look backs a camera off until the places are spread as the marks are.
func look(turn r3mat, places []r3.Vec, middle r3.Vec, marks []*seen, l *lens, px [2]float64) guess {
	var spread, seen float64
	for k, q := range marks {
		d := r3.Sub(places[k], middle)
		a, b := r3.Dot(turn[0], d), r3.Dot(turn[1], d)
		spread += a*a + b*b
		seen += (q.x-px[0])*(q.x-px[0]) + (q.y-px[1])*(q.y-px[1])
	}
	far := l.focal * math.Sqrt(spread/max(seen, 1))
	far = max(500, min(50_000, far))
	// The middle is seen where the marks' middle is.
	a, b := (px[0]-l.x)/l.focal, (px[1]-l.y)/l.focal
	to := r3.Add(turn[2], r3.Add(r3.Scale(a, turn[0]), r3.Scale(b, turn[1])))
	g := guess{at: r3.Sub(middle, r3.Scale(far, to)), turn: turn}
	for k, q := range marks {
		d := r3.Sub(places[k], g.at)
		z := max(nearest, r3.Dot(turn[2], d))
		u, v := l.x+l.focal*r3.Dot(turn[0], d)/z, l.y+l.focal*r3.Dot(turn[1], d)/z
		g.cost += min(1e6, math.Hypot(u-q.x, v-q.y))
	}
	return g
}

// settleView fits a view to the marks of a photograph of a usual bike, or of x itself. A robust
// one lets what lies further off than it may count for less and less (A. L. Cauchy's weights).
func (m *model) settleView(x []float64, marks []*seen, l *lens, g guess, usual, robust bool) guess {
	sigma := make([]float64, len(marks))
	places := make([]r3.Vec, len(marks))
	for k, q := range marks {
		places[k], sigma[k] = m.place(x, q, nil).at, q.sigma
		if usual {
			sigma[k] = math.Hypot(q.sigma, l.focal*unlike/max(nearest, r3.Norm(r3.Sub(places[k], g.at))))
		}
	}
	if !robust {
		g, _ = m.fitView(places, marks, sigma, l, g)
		return g
	}
	wide := slices.Clone(sigma)
	for range 6 {
		var r []float64
		g, r = m.fitView(places, marks, wide, l, g)
		g.cost = 0
		for k, s := range sigma {
			far := (r[2*k]*r[2*k] + r[2*k+1]*r[2*k+1]) * wide[k] * wide[k] / (s * s)
			g.cost += math.Log1p(far)
			wide[k] = s * math.Sqrt(1+far)
		}
	}
	return g
}

// fitView fits a view to marks that are so uncertain, and returns the residuals too.
func (m *model) fitView(places []r3.Vec, marks []*seen, sigma []float64, l *lens, g guess) (guess, []float64) {
	fit := lsq.Solve([]float64{g.at.X, g.at.Y, g.at.Z, 0, 0, 0}, 2*len(marks), func(v, r, jac []float64) {
		m.count.do(20 * len(marks))
		w := r3.Scale(poseUnit, vecAt(v, 3))
		turn, by := rotated(w, g.turn), leftJacobian(w)
		for k, q := range marks {
			d := r3.Sub(places[k], vecAt(v, 0))
			c := r3.Vec{X: r3.Dot(turn[0], d), Y: r3.Dot(turn[1], d), Z: r3.Dot(turn[2], d)}
			at, slope, _, _ := l.see(c)
			for j, want := range [2]float64{q.x, q.y} {
				row := jac[(2*k+j)*6:][:6]
				r[2*k+j] = (at[j] - want) / sigma[k]
				b := r3.Add(r3.Scale(slope[j].X, turn[0]), r3.Add(r3.Scale(slope[j].Y, turn[1]), r3.Scale(slope[j].Z, turn[2])))
				row[0], row[1], row[2] = -b.X/sigma[k], -b.Y/sigma[k], -b.Z/sigma[k]
				for a := range 3 {
					row[3+a] = poseUnit * r3.Dot(slope[j], r3.Cross(by[a], c)) / sigma[k]
				}
			}
		}
	})
	return guess{at: vecAt(fit.X, 0), turn: rotated(r3.Scale(poseUnit, vecAt(fit.X, 3)), g.turn), cost: fit.Chi2}, fit.R
}

// begin finds where all cameras stood, where on their circles and lines marks lie, and where
// marks are that have no usual place.
func (m *model) begin(robust bool) []float64 {
	x := slices.Clone(m.start)
	for i := range m.views {
		m.resect(x, i, robust)
	}
	m.onCircles(x)
	m.onLines(x)
	for i, l := range m.landmarks {
		if placeless(l) {
			m.triangulate(x, i)
		}
	}
	return x
}

// ray returns the direction in which a mark is seen.
func (m *model) ray(x []float64, q *seen) (from, ray r3.Vec, ok bool) {
	at, turn, _ := m.view(x, q.photograph)
	c := m.s.Photographs[q.photograph].Camera
	l := m.s.Cameras[c].lens(x[m.lenses[c] : m.lenses[c]+lensNumbers])
	a, b, ok := l.undistorted(q.x, q.y)
	return at, r3.Add(turn[2], r3.Add(r3.Scale(a, turn[0]), r3.Scale(b, turn[1]))), ok
}

// onCircles finds where along their circles marks lie: where the wheel's side meets the ray.
func (m *model) onCircles(x []float64) {
	for k := range m.marks {
		q := &m.marks[k]
		if !q.round {
			continue
		}
		from, ray, ok := m.ray(x, q)
		if !ok || math.Abs(ray.Y) < 1e-6 {
			continue
		}
		axle, _ := m.axle(x, q.front, nil)
		at := r3.Sub(r3.Add(from, r3.Scale((q.side*usualRimWidth-from.Y)/ray.Y, ray)), axle)
		x[q.along] = math.Atan2(at.Z, at.X) / poseUnit
	}
}

// onLines finds where along lines marks lie, if the bike stands upright.
func (m *model) onLines(x []float64) {
	for k := range m.marks {
		q := &m.marks[k]
		if q.landmark >= 0 || q.round {
			continue
		}
		_, turn, _ := m.view(x, q.photograph)
		l := m.s.Cameras[m.s.Photographs[q.photograph].Camera].lens(nil)
		at, _, _, _ := l.see(m.lines[q.line].by)
		up := [2]float64{turn[0].Z, turn[1].Z} // of Z, to the right and down
		if square := up[0]*up[0] + up[1]*up[1]; square > 0.01 {
			x[q.along] = lineFar / l.focal * ((q.x-at[0])*up[0] + (q.y-at[1])*up[1]) / square
		}
	}
}

// triangulate places a landmark where it is nearest to all rays; where one ray alone sees
// it, where that crosses the mid-plane.
func (m *model) triangulate(x []float64, landmark int) {
	var from, rays []r3.Vec
	for k := range m.marks {
		if q := &m.marks[k]; q.landmark == landmark {
			if at, ray, ok := m.ray(x, q); ok {
				from, rays = append(from, at), append(rays, r3.Unit(ray))
			}
		}
	}
	at, ok := Triangulate(from, rays)
	if !ok && len(rays) > 0 && math.Abs(rays[0].Y) > 0.05 {
		at, ok = r3.Sub(from[0], r3.Scale(from[0].Y/rays[0].Y, rays[0])), true
	}
	if ok && r3.Norm(at) < 5000 {
		x[3*landmark], x[3*landmark+1], x[3*landmark+2] = at.X, at.Y, at.Z
	}
}

// Triangulate returns the point whose distances from all lines have the least sum of
// squares. Each line runs through a point in a direction of any length. It returns false for
// fewer than two lines and for lines that are parallel to about 1 in 1000.
func Triangulate(through, along []r3.Vec) (r3.Vec, bool) {
	if len(through) != len(along) || len(along) < 2 {
		return r3.Vec{}, false
	}
	var a [3]r3.Vec
	var b r3.Vec
	for i, d := range along {
		n := r3.Norm(d)
		if !(n > 0) || !finite(through[i]) || !finite(d) || math.IsInf(n, 0) {
			return r3.Vec{}, false
		}
		d = r3.Scale(1/n, d)
		off := func(v r3.Vec) r3.Vec { return r3.Sub(v, r3.Scale(r3.Dot(v, d), d)) }
		a[0], a[1], a[2] = r3.Add(a[0], off(r3.Vec{X: 1})), r3.Add(a[1], off(r3.Vec{Y: 1})), r3.Add(a[2], off(r3.Vec{Z: 1}))
		b = r3.Add(b, off(through[i]))
	}
	det := r3.Dot(a[0], r3.Cross(a[1], a[2]))
	if !(det > 1e-6*float64(len(along)*len(along)*len(along))) {
		return r3.Vec{}, false
	}
	at := r3.Scale(1/det, r3.Vec{X: r3.Dot(b, r3.Cross(a[1], a[2])), Y: r3.Dot(b, r3.Cross(a[2], a[0])), Z: r3.Dot(b, r3.Cross(a[0], a[1]))})
	return at, finite(at)
}

// A start is where trials begin: where a robust fit is, which what is wrong has not drawn away,
// and where the fit of all is, each with its turns of the views.
type start struct {
	robust     lsq.Fit
	robustTurn []r3mat
	whole      *lsq.Fit
	turn       []r3mat
	freedom    float64 // of the marks of whole
	// same says that all is fitted alike from both.
	same bool
	// better is what all is fitted to from where the robust fit is, if that is less; then turn
	// is of it.
	better lsq.Fit
}

// starts finds where trials begin.
func (m *model) starts(f *lsq.Fit) start {
	s := start{whole: f, turn: slices.Clone(m.turn)}
	_, s.freedom = m.scatter(f)
	s.robust = m.robust()
	s.robustTurn = slices.Clone(m.turn)
	again := m.near(s.robust.X)
	s.same = math.Abs(again.Chi2-f.Chi2) < 1
	if again.Converged && again.Chi2 < f.Chi2-1 {
		s.better, s.turn = again, m.turn
	}
	return s
}

// try fits a trial. A robust fit may be in a false minimum, as it is where all together fit
// better than what a trial leaves, and then the better of both counts.
func (m *model) try(f *start, t *trial) {
	m.turn = slices.Clone(f.robustTurn)
	t.fit = m.near(f.robust.X)
	t.turn = m.turn
	if f.same && t.fit.Converged && t.fit.Chi2 < f.whole.Chi2 {
		return
	}
	m.turn = slices.Clone(f.turn)
	if g := m.near(f.whole.X); g.Converged && !(t.fit.Converged && g.Chi2 >= t.fit.Chi2) {
		t.fit, t.turn = g, m.turn
	}
}
