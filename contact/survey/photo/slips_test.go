package photo_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/testdata/oracle/photographs"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A planted is a slip, and what must be said of it.
type planted struct {
	name string
	// into puts it into a survey; it returns the path or landmark that must be named.
	into func(s *photo.Survey, rng *rand.Rand) string
	// stands draws how the bike stands instead, with the finding that must say so.
	stands func(o *photographs.Options, rng *rand.Rand) string
}

// either returns a number between two or its negative.
func either(rng *rand.Rand, a, b float64) float64 {
	v := a + (b-a)*rng.Float64()
	if rng.IntN(2) == 0 {
		return -v
	}
	return v
}

// plant draws a session with the slip in it.
func (p *planted) plant(seed uint64) (s photo.Survey, want string) {
	rng := rand.New(rand.NewPCG(seed, 7))
	o := photographs.Options{Kind: kinds[seed%3], Count: 5, Sigma: 1.5}
	if p.stands != nil {
		want = p.stands(&o, rng)
	}
	s = drawn(photographs.New(1000+seed, o), 1.5)
	if p.into != nil {
		want = p.into(&s, rng)
	}
	return s, want
}

// times counts how many photographs have a landmark.
func times(s *photo.Survey, l survey.Landmark) (n int) {
	for i := range s.Photographs {
		if slices.ContainsFunc(s.Photographs[i].Marks, func(m photo.Mark) bool { return m.Landmark == l }) {
			n++
		}
	}
	return n
}

// pick draws a mark of a landmark that others check.
func pick(s *photo.Survey, rng *rand.Rand) (p, m int) {
	for {
		p = rng.IntN(len(s.Photographs))
		m = rng.IntN(len(s.Photographs[p].Marks))
		if times(s, s.Photographs[p].Marks[m].Landmark) > 2 {
			return p, m
		}
	}
}

var slips = []planted{
	{name: "a mark in the wrong place", into: func(s *photo.Survey, rng *rand.Rand) string {
		p, m := pick(s, rng)
		marks := s.Photographs[p].Marks
		q := &marks[m]
		x, y := float64(40+rng.IntN(100)), -float64(40+rng.IntN(100))
		if strings.Contains(string(q.Landmark), "_circle_") { // elsewhere along it would be right
			var off r3.Vec
			for _, o := range marks {
				if o.Landmark == q.Landmark {
					off = r3.Add(off, r3.Vec{X: q.X - o.X, Y: q.Y - o.Y})
				}
			}
			off = r3.Scale(math.Hypot(x, y), r3.Unit(off))
			x, y = off.X, off.Y
		}
		q.X, q.Y = q.X+x, q.Y+y
		return path(p, m)
	}},
	{name: "two labels exchanged", into: func(s *photo.Survey, rng *rand.Rand) string {
		for {
			p, m := pick(s, rng)
			marks := s.Photographs[p].Marks
			k := rng.IntN(len(marks))
			a, b := &marks[m], &marks[k]
			if times(s, b.Landmark) > 2 && (a.X-b.X)*(a.X-b.X)+(a.Y-b.Y)*(a.Y-b.Y) > 60*60 && !strings.Contains(string(a.Landmark+b.Landmark), "circle") {
				a.Landmark, b.Landmark = b.Landmark, a.Landmark
				return string(a.Landmark) + "+" + string(b.Landmark)
			}
		}
	}},
	{name: "a photograph mirrored", into: func(s *photo.Survey, rng *rand.Rand) string {
		p := rng.IntN(len(s.Photographs))
		for i := range s.Photographs[p].Marks {
			s.Photographs[p].Marks[i].X = s.Cameras[0].Width - s.Photographs[p].Marks[i].X
		}
		return photograph(p)
	}},
	{name: "left and right exchanged in a photograph", into: func(s *photo.Survey, rng *rand.Rand) string {
		p := rng.IntN(len(s.Photographs))
		for i := range s.Photographs[p].Marks {
			q := &s.Photographs[p].Marks[i]
			switch l := string(q.Landmark); {
			case strings.HasSuffix(l, "_left"):
				q.Landmark = survey.Landmark(strings.TrimSuffix(l, "left") + "right")
			case strings.HasSuffix(l, "_right"):
				q.Landmark = survey.Landmark(strings.TrimSuffix(l, "right") + "left")
			}
		}
		return photograph(p)
	}},
	{name: "a focal length that is not the camera's", into: func(s *photo.Survey, rng *rand.Rand) string {
		s.Cameras[0].Equivalent *= []float64{1.5, 1 / 1.5}[rng.IntN(2)]
		return "cameras[0].focal"
	}},
	{name: "a wheel of another size", into: func(s *photo.Survey, rng *rand.Rand) string {
		s.FrontCircle += []float64{-19, 19}[rng.IntN(2)] // 584 and 622 mm are as far apart
		return "front_circle_mm"
	}},
	{name: "a crank of another length", into: func(s *photo.Survey, rng *rand.Rand) string {
		s.Crank += []float64{-10, 10}[rng.IntN(2)]
		return "crank_mm"
	}},
	{name: "a wheel turned by more than 5°", stands: func(o *photographs.Options, rng *rand.Rand) string {
		o.Steer = either(rng, 5, 25)
		return survey.WheelTurned.String()
	}},
	{name: "a bike that leans by more than 2°, beside a hanging line", stands: func(o *photographs.Options, rng *rand.Rand) string {
		o.Lean, o.Plumb = either(rng, 2.5, 10), true
		return photo.Leaned.String()
	}},
}

func photograph(p int) string { return "photographs[" + string(rune('0'+p)) + "]" }

func path(p, m int) string {
	tens := ""
	if m > 9 {
		tens = string(rune('0' + m/10))
	}
	return photograph(p) + ".marks[" + tens + string(rune('0'+m%10)) + "]"
}

// names reports whether an answer names what was planted, and whether that alone.
func names(r *photo.Result, err error, want string, s *photo.Survey) (named, alone bool, said string) {
	for _, f := range contact.Faults(err) {
		text := f.Path + " " + f.Value + " " + f.Want
		said += text + "; "
		if a, b, ok := strings.Cut(want, "+"); ok {
			named = named || strings.Contains(text, a) && strings.Contains(text, b)
		} else {
			named = named || strings.Contains(text, want)
		}
		alone = named && !strings.Contains(text, "it could be as well")
	}
	if err != nil {
		return named, alone, said
	}
	others := 0
	for _, f := range r.Fix.Findings {
		named = named || f.Kind.String() == want
	}
	for _, f := range r.Findings {
		named = named || f.Kind.String() == want
		if f.Kind == photo.SetAside || f.Kind == photo.WheelNotRound {
			said += f.String() + "; "
			if f.Kind == photo.SetAside && path(f.Photograph, f.Mark) == want || a(want, f.Landmark) {
				named = true
			} else {
				others++
			}
		}
	}
	return named, named && others == 0, said
}

// a reports whether one of two exchanged labels is named.
func a(want string, l survey.Landmark) bool {
	x, y, ok := strings.Cut(want, "+")
	return ok && (string(l) == x || string(l) == y)
}

// A pedal that one side alone shows, wrong in one photograph, is told from a crank of another
// length, and it is said that it could be that as well.
func TestPedalSetAside(t *testing.T) {
	s := session("road", 3)
	at := -1
	for i := range s.Photographs {
		p := &s.Photographs[i]
		p.Marks = slices.DeleteFunc(p.Marks, func(m photo.Mark) bool { return m.Landmark == survey.At(contact.PedalRight) })
		if i == 1 {
			at = slices.IndexFunc(p.Marks, func(m photo.Mark) bool { return m.Landmark == survey.At(contact.PedalLeft) })
			p.Marks[at].X += 30
			p.Marks[at].Y += 10
		}
	}
	r, err := s.Solve(t.Context())
	require.NoError(t, err)
	i := slices.IndexFunc(r.Findings, func(f photo.Finding) bool { return f.Kind == photo.SetAside })
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, []int{1, at}, []int{r.Findings[i].Photograph, r.Findings[i].Mark})
	t.Log(r.Findings[i])
}

// What people get wrong is named in 95 of 100 sessions of five photographs.
func TestSlips(t *testing.T) {
	n := sessions(t, 1)
	for _, slip := range slips {
		named, alone := 0, 0
		all := make([]solved, n)
		sideBySide(n, func(seed uint64) {
			s, _ := slip.plant(seed)
			all[seed].r, all[seed].err = s.Solve(t.Context())
		})
		for seed := range n {
			s, want := slip.plant(seed)
			ok, only, said := names(&all[seed].r, all[seed].err, want, &s)
			if ok {
				named++
			} else {
				t.Log(slip.name, seed, want, "but", said)
			}
			if only {
				alone++
			}
		}
		t.Logf("photographs slip: | %s | %d | %.0f | %.0f |", slip.name, n, 100*float64(named)/float64(n), 100*float64(alone)/float64(n))
		assert.GreaterOrEqual(t, float64(named), 0.95*float64(n)-2*0.22*float64(min(n, 1)), slip.name)
	}
}
