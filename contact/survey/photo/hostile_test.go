package photo_test

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/internal/trial"
	"example.com/fitgeom/testdata/oracle/photographs"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// most is as many photographs, cameras, landmarks, circles and statements as may be, of
// which some share of marks lies anywhere.
func most(t *testing.T, share float64) photo.Survey {
	t.Helper()
	rng := rand.New(rand.NewPCG(26, 1))
	s := drawn(photographs.New(3, photographs.Options{Kind: "road", Count: 8, Sigma: 1.5}), 1.5)
	own := s.Photographs
	for len(s.Photographs) < 20 {
		s.Photographs = append(s.Photographs, own[len(s.Photographs)%8])
	}
	for len(s.Cameras) < 12 {
		s.Cameras = append(s.Cameras, s.Cameras[0])
	}
	marks := 0
	for i := range s.Photographs {
		p := &s.Photographs[i]
		p.Camera = i % 12
		p.Marks = append([]photo.Mark(nil), p.Marks...)
		for k := 0; len(p.Marks) < 30; k++ {
			p.Marks = append(p.Marks, photo.Mark{Landmark: survey.Mark("m" + strconv.Itoa((7*i+k)%28)), X: 4000 * rng.Float64(), Y: 3000 * rng.Float64(), Sigma: 200})
		}
		p.Marks = p.Marks[:30]
		marks += 30
		for k := range p.Marks {
			if rng.Float64() < share {
				p.Marks[k].X, p.Marks[k].Y = 4000*rng.Float64(), 3000*rng.Float64()
			}
		}
	}
	require.Equal(t, 600, marks)
	for range 100 {
		s.Distances = append(s.Distances, photo.Distance{From: survey.BottomBracketLeft, To: survey.RearAxleRight, Value: 10 + 2000*rng.Float64(), Sigma: 1 + 20*share})
	}
	require.NoError(t, s.Validate())
	return s
}

// Surveys and plans that are as large as they may be, and contradict themselves, take no more
// memory than the package states, and each call ends soon after its context.
func TestHostile(t *testing.T) {
	const live = 100_000_000
	wrong := session("road", 5)
	wrong.Crank += 10
	for i := range wrong.Photographs {
		wrong.Photographs[i].Marks[2].X += 300
	}
	for name, s := range map[string]photo.Survey{
		"photographs that fit": session("road", 5), "photographs whose marks contradict": wrong, "photographs, marks and statements without number": most(t, 0), "photographs of marks anywhere": most(t, 0.5),
	} {
		if !trial.Long() && name != "photographs that fit" {
			continue // it takes long
		}
		t.Run(name, func(t *testing.T) {
			_ = trial.Hostile{Name: name, Live: live, Do: func(ctx context.Context) (any, error) { return s.Solve(ctx) }}.Run(t)
		})
	}
	p := plan(photo.Camera{Width: 4000, Height: 3000}, session("road", 1))
	for len(p.Landmarks) < 60 {
		p.Landmarks = append(p.Landmarks, survey.Mark("m"+strconv.Itoa(len(p.Landmarks))))
	}
	var candidates []photo.Place
	for i := range 40 {
		candidates = append(candidates, photo.Place{Around: 20 + float64(i), Far: 4000, High: 900})
	}
	p.Places = candidates[:20]
	if !trial.Long() {
		candidates = candidates[:2]
	}
	name := "a plan of 20 places and " + strconv.Itoa(len(candidates)) + " candidates"
	require.NoError(t, trial.Hostile{Name: name, Live: live, Do: func(ctx context.Context) (any, error) {
		_, f, err := p.Next(ctx, candidates)
		return f, err
	}}.Run(t))
}

// What takes a context stops wherever it ends, and says how far it came.
func TestStops(t *testing.T) {
	s := session("road", 2)
	wrong := session("road", 2)
	wrong.Photographs[0].Marks[2].X += 300
	p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, s)
	p.Places = []photo.Place{{Around: 90, Far: 4000, High: 1000}}
	for _, c := range []struct {
		want string
		call func(context.Context) error
	}{
		{"fits", func(ctx context.Context) error { _, err := s.Solve(ctx); return err }},
		{"fits", func(ctx context.Context) error { _, err := wrong.Solve(ctx); return err }},
		{"of 1 forecasts", func(ctx context.Context) error { _, err := p.Forecast(ctx); return err }},
		{"of 2 candidates", func(ctx context.Context) error {
			_, _, err := p.Next(ctx, []photo.Place{{Far: 4000}, {Around: 180, Far: 4000}})
			return err
		}},
	} {
		looks := 0
		for ; looks < 300; looks += 1 + looks {
			err := c.call(trial.NewEnding(t.Context(), looks))
			if len(contact.Faults(err)) > 0 || err == nil {
				break
			}
			require.ErrorIs(t, err, context.Canceled)
			require.Contains(t, err.Error(), c.want)
		}
		assert.Greater(t, looks, 2, c.want)
	}
}

// There is an end to how much work is done, and that is said.
func TestBudget(t *testing.T) {
	err := photo.Overwork(t.Context())
	require.ErrorIs(t, err, contact.ErrBudget)
	assert.Contains(t, err.Error(), "1 fits")
}

// There is an end to how much a survey may have.
func TestLimits(t *testing.T) {
	for want, spoil := range map[string]func(s *photo.Survey){
		"at most 20":  func(s *photo.Survey) { s.Photographs = make([]photo.Photograph, 21) },
		"at most 12":  func(s *photo.Survey) { s.Cameras = make([]photo.Camera, 13) },
		"at most 600": func(s *photo.Survey) { s.Photographs[0].Marks = make([]photo.Mark, 600) },
		"at most 200": func(s *photo.Survey) { s.Photographs[0].Marks = make([]photo.Mark, 201) },
		"at most 240": func(s *photo.Survey) {
			for i := range 2 {
				for range 121 {
					s.Photographs[i].Marks = append(s.Photographs[i].Marks, photo.Mark{Landmark: photo.FrontCircleLeft})
				}
			}
		},
		"at most 60": func(s *photo.Survey) {
			for i := range 61 {
				s.Photographs[0].Marks = append(s.Photographs[0].Marks, photo.Mark{Landmark: survey.Mark(strconv.Itoa(i)), X: math.Pi})
			}
		},
	} {
		s := session("road", 2)
		spoil(&s)
		err := s.Validate()
		require.ErrorIs(t, err, contact.ErrRange, want)
		assert.Contains(t, err.Error(), want)
	}
	p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, session("road", 1))
	p.Places = make([]photo.Place, 21)
	_, err := p.Forecast(t.Context())
	require.ErrorIs(t, err, contact.ErrRange)
	_, _, err = p.Next(t.Context(), make([]photo.Place, 41))
	require.ErrorIs(t, err, contact.ErrRange)
}
