package photo

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

func (m *model) mark(q *seen) *Mark { return &m.s.Photographs[q.photograph].Marks[q.mark] }

func markPath(q *seen) string {
	return fault.At(fault.At("photographs", q.photograph)+".marks", q.mark)
}

// setAside is the finding about a mark that was left out; ties are what explains as much,
// itself too.
func (m *model) setAside(t *trial, ties []trial) Finding {
	i := t.marks[0]
	q := &m.marks[i]
	f := Finding{Kind: SetAside, Photograph: q.photograph, Mark: q.mark, Landmark: m.mark(q).Landmark}
	// Where it should be: what the fit without it has.
	v := m.views[q.photograph]
	w := r3.Scale(poseUnit, vecAt(t.fit.X, v+3))
	turn := rotated(w, t.turn[q.photograph])
	p, _, _ := m.inCamera(t.fit.X, q, vecAt(t.fit.X, v), &turn, nil)
	c := m.s.Photographs[q.photograph].Camera
	l := m.s.Cameras[c].lens(t.fit.X[m.lenses[c] : m.lenses[c]+lensNumbers])
	at, _, _, _ := l.see(p)
	f.Amount = math.Hypot(at[0]-q.x, at[1]-q.y)
	f.Others = m.others(slices.DeleteFunc(slices.Clone(ties), func(o trial) bool { return o.slip == slipMark && o.marks[0] == i }))
	return f
}

// others names explanations that are about as good.
func (m *model) others(all []trial) (names []string) {
	for i := range all {
		if len(names) < 4 {
			path, value, _ := m.words(&all[i])
			names = append(names, strings.TrimSpace(path+" "+value))
		}
	}
	return names
}

// words says what a hypothesis is about.
func (m *model) words(t *trial) (path, value, want string) {
	photograph := fault.At("photographs", t.at)
	switch t.slip {
	case slipMark:
		q := &m.marks[t.marks[0]]
		return markPath(q), string(m.mark(q).Landmark), "a mark of it"
	case slipExchanged:
		a, b := &m.marks[t.marks[0]], &m.marks[t.marks[1]]
		return markPath(a), fmt.Sprintf("%s and %s exchanged", m.mark(a).Landmark, m.mark(b).Landmark), "labels that are not exchanged"
	case slipMirrored:
		return photograph, "mirrored", "a photograph as it was taken"
	case slipSides:
		return photograph, "left and right exchanged in its labels", "left and right as the rider has them"
	case slipAlien:
		return photograph, "that does not fit the others", "the same bike, in the same place, with the same camera"
	case slipWheel:
		return photograph, "a wheel that is not round", "marks on one circle about the axle"
	default: // slipStated
		c := &m.conditions[t.condition]
		value, want = m.told(c, t)
		return c.name, value, want
	}
}

// told returns what was stated, and what all else tells of it.
func (m *model) told(c *condition, t *trial) (value, want string) {
	sum, stated, unit := 0.0, c.value, "mm"
	if c.apart {
		var r float64
		row := make([]float64, m.n)
		c.fill(t.fit.X, &r, row)
		sum = stated + r*c.sigma
		if c.twice {
			sum, stated = sum/2, stated/2
		}
	} else {
		for _, k := range c.terms {
			sum += k.by * t.fit.X[k.of]
		}
	}
	if c.what == aboutLens {
		i, _ := strconv.Atoi(strings.TrimPrefix(strings.SplitN(c.name, "]", 2)[0], "cameras["))
		camera := &m.s.Cameras[i]
		l := camera.lens(t.fit.X[m.lenses[i] : m.lenses[i]+lensNumbers])
		if f, _ := camera.focal(); strings.HasSuffix(c.name, ".focal") {
			stated, sum, unit = f, l.focal, "pixels"
		} else {
			stated, sum, unit = 0, sum-stated, "units off"
		}
	}
	return fmt.Sprintf("%.5g %s", stated, unit), "what all else tells: " + num.Text(math.Round(sum*10)/10, unit)
}

// contradiction is the error that names what is wrong, and what else it could be.
func (m *model) contradiction(best *trial, others []trial) error {
	path, value, want := m.words(best)
	if names := m.others(others); len(names) > 0 {
		want += "; it could be as well: " + strings.Join(names, ", ")
	}
	return &contact.Error{Path: path, Value: value, Want: want, Class: contact.ErrConflict}
}
