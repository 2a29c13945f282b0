package photo

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// A bad photograph fits badly: the mean square of its marks, and the share of them that lie far
// off.
type bad struct {
	at        int
	mean, off float64
}

// worstPhotographs lists up to three photographs that fit badly, the worst first; far is one that
// shows the side that it was not taken from, or -1.
func (m *model) worstPhotographs(f *start, far int) []bad {
	worst := make([]bad, len(m.views))
	count := make([]float64, len(m.views))
	for i := range m.marks {
		if !m.out[2*i] {
			p, r := m.marks[i].photograph, f.robust.R[2*i:]
			square := r[0]*r[0] + r[1]*r[1]
			worst[p].mean += square
			worst[p].off += float64(btoi(square > suspectMark))
			count[p]++
		}
	}
	for p := range worst {
		worst[p].at = p
		worst[p].mean /= max(1, count[p])
		worst[p].off /= max(1, count[p])
		if p == far {
			worst[p].mean = math.Inf(1)
		}
	}
	slices.SortStableFunc(worst, func(a, b bad) int { return cmp.Compare(b.mean, a.mean) })
	return worst[:min(3, len(worst))]
}

// sides tries whether a photograph is mirrored or has left and right exchanged, of the worst
// first, to the one of which that explains all, and reports whether there is one.
func (m *model) sides(f *start, worst []bad, far int, add func(trial, bool) bool) bool {
	for _, w := range worst {
		for _, s := range [...]slip{slipMirrored, slipSides} {
			if add(m.altered(f, hypothesis{slip: s, at: w.at, condition: -1}, far)) && s == slipSides {
				return true
			}
		}
	}
	return false
}

// aliens tries whether a photograph does not belong to the others.
func (m *model) aliens(f *start, worst []bad, add func(trial, bool) bool) {
	for k := 0; k < len(worst) && len(m.views) > 2; k++ {
		h := hypothesis{slip: slipAlien, at: worst[k].at, condition: -1}
		for i := range m.marks {
			if m.marks[i].photograph == h.at && !m.out[2*i] {
				h.marks = append(h.marks, i)
			}
		}
		add(m.without(f, h))
	}
}

// altered fits with a photograph mirrored, or with left and right exchanged in its labels.
func (m *model) altered(f *start, h hypothesis, far int) (trial, bool) {
	s := *m.s
	s.Photographs = slices.Clone(s.Photographs)
	p := &s.Photographs[h.at]
	p.Marks = slices.Clone(p.Marks)
	width := s.Cameras[p.Camera].Width
	sided := false
	for i := range p.Marks {
		q := &p.Marks[i]
		switch mate, ok := otherSide(q.Landmark); {
		case h.slip == slipMirrored:
			q.X, sided = width-q.X, true
		case ok:
			q.Landmark, sided = mate, true
		}
	}
	if !sided {
		return trial{}, false
	}
	n := newModel(&s, m.count)
	copy(n.out[:2*len(n.marks)], m.out)
	t := trial{hypothesis: h, fit: n.near(n.first())}
	t.score = f.whole.Chi2 - t.fit.Chi2 - 2*each
	if far == h.at { // so it cannot be as it is
		t.score += 2 * suspectMark
	}
	return t, t.fit.Converged && n.farSided(t.fit.X) != h.at
}

func otherSide(l survey.Landmark) (survey.Landmark, bool) {
	switch l {
	case FrontCircleLeft:
		return FrontCircleRight, true
	case FrontCircleRight:
		return FrontCircleLeft, true
	case RearCircleLeft:
		return RearCircleRight, true
	case RearCircleRight:
		return RearCircleLeft, true
	default:
		return l.Mate()
	}
}

// farSided returns a photograph that was taken from one side and shows the other: most
// marks of a side are on the far one. It returns -1 if there is none.
func (m *model) farSided(x []float64) int {
	for p := range m.views {
		at, _, _ := m.view(x, p)
		to := r3.Sub(at, r3.Vec{X: 100, Z: 400})
		if n := r3.Norm(to); math.Abs(to.Y) < 0.5*n {
			continue
		}
		near, far := 0, 0
		for i := range m.marks {
			q := &m.marks[i]
			if q.photograph != p || m.out[2*i] {
				continue
			}
			side := q.side
			if q.landmark < 0 && !q.round {
				continue
			}
			if q.landmark >= 0 {
				l := m.landmarks[q.landmark]
				if _, ok := l.Mate(); !ok {
					continue
				}
				side = 1
				if isRight(l) {
					side = -1
				}
			}
			if side*to.Y > 0 {
				near++
			} else {
				far++
			}
		}
		if far >= 4 && far > 3*near {
			return p
		}
	}
	return -1
}
