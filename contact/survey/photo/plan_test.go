package photo_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/testdata/oracle/photographs"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plan is what the generator marks of a road bike.
func plan(camera photo.Camera, known photo.Survey) photo.Plan {
	p := photo.Plan{Camera: camera, Known: known}
	p.Known.Cameras, p.Known.Photographs = nil, nil
	for _, l := range []string{"bottom_bracket", "rear_axle", "front_axle", "head_tube_top", "head_tube_bottom", "mark_seat_tube_top", "mark_seat_tube_bottom", "saddle_edge", "hoods", "drops", "tops", "pedal"} {
		p.Landmarks = append(p.Landmarks, survey.Landmark(l+"_left"), survey.Landmark(l+"_right"))
	}
	p.Landmarks = append(p.Landmarks, survey.At(contact.SaddleNose), survey.At(contact.SaddleRear), photo.FrontGround, photo.RearGround,
		photo.FrontCircleLeft, photo.FrontCircleRight, photo.RearCircleLeft, photo.RearCircleRight)
	return p
}

// What is forecast of a usual bike is what sessions of the generator give of theirs, to a
// third.
func TestForecast(t *testing.T) {
	g := photographs.New(3, photographs.Options{Kind: "road", Count: 5, Sigma: 1.5})
	s := drawn(g, 1.5)
	r, err := s.Solve(t.Context())
	require.NoError(t, err)
	p := plan(s.Cameras[0], s)
	for _, at := range g.Places {
		p.Places = append(p.Places, photo.Place{Around: at.Around, Far: at.Far, High: at.High})
	}
	f, err := p.Forecast(t.Context())
	require.NoError(t, err)
	log, n := 0.0, 0.0
	for i, l := range f.Landmarks {
		site, err := contact.ParseSite(string(l))
		if err != nil || site.Group().Crank() {
			continue
		}
		u, ok := r.Fix.Covariance.Sigma(site)
		require.True(t, ok)
		for _, q := range [][2]float64{{f.Sigma[i].X, u.X}, {f.Sigma[i].Y, u.Y}, {f.Sigma[i].Z, u.Z}} {
			log += math.Log(q[0] / q[1])
			n++
		}
	}
	assert.InDelta(t, 0, log/n, 0.3)
	assert.Less(t, f.Worst, 5.)
}

// From two sides nothing tells widths: the photograph that helps most is one from in front.
func TestNext(t *testing.T) {
	s := drawn(photographs.New(3, photographs.Options{Kind: "road", Count: 1, Sigma: 1.5}), 1.5)
	p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, s)
	p.Places = []photo.Place{{Around: 90, Far: 4000, High: 1000}, {Around: -90, Far: 4000, High: 1000}}
	before, err := p.Forecast(t.Context())
	require.NoError(t, err)
	best, after, err := p.Next(t.Context(), []photo.Place{{Around: 95, Far: 4000, High: 800}, {Around: -85, Far: 4000, High: 1200}, {Far: 4000, High: 1000}})
	require.NoError(t, err)
	assert.Equal(t, 2, best)
	assert.Less(t, after.Worst, before.Worst/2)

	p.Places[0].Far = 5
	_, err = p.Forecast(t.Context())
	assert.ErrorIs(t, err, contact.ErrRange)
	_, _, err = p.Next(t.Context(), nil)
	assert.ErrorIs(t, err, contact.ErrMissing)
	p.Landmarks = append(p.Landmarks, p.Landmarks[0], "nothing")
	_, err = p.Forecast(t.Context())
	assert.ErrorIs(t, err, contact.ErrConflict)
	assert.ErrorIs(t, err, contact.ErrUnknown)
}

// As the package says: 35° from straight ahead is better than nearer to the sides, whose
// photographs are there, and little is won nearer to straight ahead.
func TestWhereToStand(t *testing.T) {
	s := drawn(photographs.New(3, photographs.Options{Kind: "road", Count: 1, Sigma: 1.5}), 1.5)
	p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, s)
	worst := map[float64]float64{}
	for _, around := range []float64{25, 35, 45, 60} {
		p.Places = nil
		for _, a := range []float64{90, -90, around, -around} {
			p.Places = append(p.Places, photo.Place{Around: a, Far: 4000, High: 1000})
		}
		f, err := p.Forecast(t.Context())
		require.NoError(t, err)
		worst[around] = f.Worst
	}
	t.Log(worst)
	assert.Greater(t, worst[60], 1.3*worst[35])
	assert.Greater(t, worst[45], 1.05*worst[35])
	assert.Less(t, worst[35], 1.15*worst[25])
}

// Each fault of a plan by itself, be it asked what it tells or what comes next.
func TestPlanFaults(t *testing.T) {
	from := []photo.Place{{Around: 35, Far: 4000, High: 1000}}
	for name, c := range map[string]struct {
		spoil func(p *photo.Plan)
		class error
		path  string
	}{
		"a line":       {func(p *photo.Plan) { p.Landmarks = append(p.Landmarks, photo.Plumb("string")) }, contact.ErrUnknown, "landmarks[32]"},
		"only circles": {func(p *photo.Plan) { p.Landmarks = p.Landmarks[28:] }, contact.ErrMissing, "landmarks"},
		"twice":        {func(p *photo.Plan) { p.Landmarks[1] = p.Landmarks[0] }, contact.ErrConflict, "landmarks[1]"},
		"no such":      {func(p *photo.Plan) { p.Landmarks[1] = "nose" }, contact.ErrUnknown, "landmarks[1]"},
		"nowhere":      {func(p *photo.Plan) { p.Places[0].Far = -1 }, contact.ErrRange, "places[0].far_mm"},
		"too many":     {func(p *photo.Plan) { p.Known.Sideways = make([]photo.Sideways, 10_000) }, contact.ErrRange, "sideways"},
	} {
		p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, session("road", 1))
		require.Len(t, p.Landmarks, 32)
		p.Places = []photo.Place{{Around: 90, Far: 4000, High: 1000}}
		c.spoil(&p)
		_, err := p.Forecast(t.Context())
		require.ErrorIs(t, err, c.class, name)
		paths := map[string]bool{}
		for _, f := range contact.Faults(err) {
			paths[f.Path] = true
		}
		assert.True(t, paths[c.path], "%s: %v", name, err)
		_, _, err = p.Next(t.Context(), from)
		assert.ErrorIs(t, err, c.class, name)
	}
	p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, session("road", 1))
	_, _, err := p.Next(t.Context(), nil)
	assert.ErrorIs(t, err, contact.ErrMissing)
}

// A photograph that shows nothing of the plan, or too little, makes nothing better and nothing
// worse, and another place is the better one.
func TestShowsNothing(t *testing.T) {
	s := session("road", 1)
	p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, s)
	for i := 0; i < len(p.Landmarks); i++ { // what only the right side shows, and the front
		if strings.HasSuffix(string(p.Landmarks[i]), "_left") || !strings.Contains(string(p.Landmarks[i]), "_right") {
			p.Landmarks = slices.Delete(p.Landmarks, i, i+1)
			i--
		}
	}
	p.Places = []photo.Place{{Around: -90, Far: 4000, High: 1000}}
	one, err := p.Forecast(t.Context())
	require.NoError(t, err)
	require.NotEmpty(t, one.Landmarks)
	best, two, err := p.Next(t.Context(), []photo.Place{{Around: 90, Far: 4000, High: 1000}, {Around: -60, Far: 4000, High: 1000}})
	require.NoError(t, err)
	assert.Equal(t, 1, best)
	assert.Less(t, two.Worst, one.Worst)
	p.Landmarks = append(p.Landmarks, survey.At(contact.HoodsLeft)) // one mark
	p.Places = append(p.Places, photo.Place{Around: 90, Far: 4000, High: 1000})
	same, err := p.Forecast(t.Context())
	require.NoError(t, err)
	for i, l := range one.Landmarks {
		k := slices.Index(same.Landmarks, l)
		assert.InDelta(t, one.Sigma[i].X, same.Sigma[k].X, 0.1*one.Sigma[i].X, l)
	}
}

func BenchmarkNext(b *testing.B) {
	s := drawn(photographs.New(3, photographs.Options{Kind: "road", Count: 1, Sigma: 1.5}), 1.5)
	p := plan(photo.Camera{Width: 4000, Height: 3000, Equivalent: 50}, s)
	for _, around := range []float64{90, -90, 45, -45} {
		p.Places = append(p.Places, photo.Place{Around: around, Far: 4000, High: 1000})
	}
	for b.Loop() {
		_, _, err := p.Next(b.Context(), []photo.Place{{Far: 4000, High: 1000}})
		require.NoError(b, err)
	}
}
