package photo_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/internal/trial"
	"example.com/fitgeom/testdata/oracle/photographs"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func session(kind string, count int) photo.Survey {
	return drawn(photographs.New(4, photographs.Options{Kind: kind, Count: count, Sigma: 1.5}), 1.5)
}

// Each fault by itself.
func TestFaults(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(s *photo.Survey)
		class error
		path  string
	}{
		"nothing":         {func(s *photo.Survey) { *s = photo.Survey{} }, contact.ErrMissing, "photographs"},
		"no radius":       {func(s *photo.Survey) { s.FrontRadius = 0 }, contact.ErrRange, "front_radius_mm"},
		"a radius in m":   {func(s *photo.Survey) { s.FrontRadius = 0.34 }, contact.ErrUnit, "front_radius_mm"},
		"no camera":       {func(s *photo.Survey) { s.Photographs[0].Camera = 1 }, contact.ErrUnknown, "photographs[0].camera"},
		"an unknown mark": {func(s *photo.Survey) { s.Photographs[0].Marks[3].Landmark = "nose" }, contact.ErrUnknown, "photographs[0].marks[3].landmark"},
		"no number":       {func(s *photo.Survey) { s.Photographs[0].Marks[3].X = math.NaN() }, contact.ErrRange, "photographs[0].marks[3].x_px"},
		"twice":           {func(s *photo.Survey) { s.Photographs[0].Marks[1].Landmark = s.Photographs[0].Marks[0].Landmark }, contact.ErrConflict, "photographs[0].marks[1].landmark"},
		"three marks":     {func(s *photo.Survey) { s.Photographs[0].Marks = s.Photographs[0].Marks[:3] }, contact.ErrMissing, "photographs[0].marks"},
		"three marks and a line": {func(s *photo.Survey) {
			line := photo.Mark{Landmark: photo.Plumb("string"), X: 100, Y: 100}
			s.Photographs[0].Marks = append(s.Photographs[0].Marks[:3:3], line, photo.Mark{Landmark: line.Landmark, X: 110, Y: 900})
		}, contact.ErrMissing, "photographs[0].marks"},
		"two focal lengths": {func(s *photo.Survey) { s.Cameras[0].Focal = 3000 }, contact.ErrConflict, "cameras[0].equivalent_mm"},
		"a folded picture":  {func(s *photo.Survey) { s.Cameras[0].K1, s.Cameras[0].Equivalent = -2, 24 }, contact.ErrConflict, "cameras[0].k1"},
		"to itself": {func(s *photo.Survey) {
			s.Distances = []photo.Distance{{From: survey.RearAxleLeft, To: survey.RearAxleLeft, Value: 100}}
		}, contact.ErrConflict, "distances[0].to"},
		"to nothing": {func(s *photo.Survey) {
			s.Distances = []photo.Distance{{From: survey.RearAxleLeft, To: survey.Mark("x"), Value: 100}}
		}, contact.ErrUnknown, "distances[0].to"},
		"across nothing":  {func(s *photo.Survey) { s.Sideways = []photo.Sideways{{Landmark: survey.Mark("x")}} }, contact.ErrUnknown, "sideways[0].landmark"},
		"true of nothing": {func(s *photo.Survey) { s.Trueness = []survey.Trueness{{Pair: survey.RearAxleRight}} }, contact.ErrUnknown, "trueness[0].pair"},
		"across twice": {func(s *photo.Survey) {
			s.Sideways = []photo.Sideways{{Landmark: survey.RearAxleLeft, Y: 65}, {Landmark: survey.RearAxleLeft, Y: 66}}
		}, contact.ErrConflict, "sideways[1].landmark"},
		"true twice": {func(s *photo.Survey) {
			s.Trueness = []survey.Trueness{{Pair: survey.RearAxleLeft, Sigma: 1}, {Pair: survey.RearAxleLeft, Sigma: 2}}
		}, contact.ErrConflict, "trueness[1].pair"},
		"true somehow": {func(s *photo.Survey) {
			s.Trueness = []survey.Trueness{{Pair: survey.RearAxleLeft, Counts: 99}}
		}, contact.ErrUnknown, "trueness[0].counts"},
		"two saddles": {func(s *photo.Survey) {
			m := s.Photographs[0].Marks[0]
			m.Landmark = survey.At(contact.SaddleReference)
			s.Photographs[0].Marks = append(s.Photographs[0].Marks, m)
		}, contact.ErrConflict, "photographs[0].marks"},
		"too many marks": {func(s *photo.Survey) { s.Photographs[0].Marks = slices.Repeat(s.Photographs[0].Marks, 9) }, contact.ErrRange, "photographs[0].marks"},
		"a long name":    {func(s *photo.Survey) { s.Photographs[0].Name = strings.Repeat("x", 300) }, contact.ErrRange, "photographs[0].name"},
		"a saddle":       {func(s *photo.Survey) { s.Saddle.Width = 90 }, contact.ErrMissing, "saddle.widening"},
		"nothing of scale": {func(s *photo.Survey) {
			s.FrontCircle, s.RearCircle, s.Crank = 0, 0, 0
		}, contact.ErrMissing, "photographs"},
		"one line": {func(s *photo.Survey) {
			for i := range s.Photographs[0].Marks {
				s.Photographs[0].Marks[i].Y = 1000 + s.Photographs[0].Marks[i].X/4
			}
		}, contact.ErrConflict, "photographs[0].marks"},
	} {
		s := session("road", 2)
		if name == "nothing of scale" {
			for i := range s.Photographs {
				s.Photographs[i].Marks = slices.DeleteFunc(s.Photographs[i].Marks, func(m photo.Mark) bool { return strings.HasSuffix(string(m.Landmark), "_ground") })
			}
		}
		c.spoil(&s)
		_, err := s.Solve(t.Context())
		assert.ErrorIs(t, err, c.class, name)
		var paths strings.Builder
		for _, f := range contact.Faults(err) {
			paths.WriteString(" " + f.Path + " ")
		}
		assert.Contains(t, paths.String(), " "+c.path+" ", name)
	}
}

// What one photograph cannot tell is said, and stated places across the bike make it better.
func TestOneSide(t *testing.T) {
	s := session("road", 1)
	r, err := s.Solve(t.Context())
	require.NoError(t, err)
	assumed := 0
	for _, f := range r.Findings {
		if f.Kind == photo.Assumed {
			assumed++
		}
	}
	assert.Positive(t, assumed)
	_, ok := r.Fix.Position.At(contact.HoodsLeft)
	assert.False(t, ok, "the far side is not told")
	before, ok := r.Fix.Covariance.Sigma(contact.HoodsRight)
	require.True(t, ok)
	s.Sideways = []photo.Sideways{{Landmark: survey.At(contact.HoodsRight), Y: -210, Sigma: 2}}
	r, err = s.Solve(t.Context())
	require.NoError(t, err)
	after, _ := r.Fix.Covariance.Sigma(contact.HoodsRight)
	assert.InDelta(t, 2, after.Y, 0.3)
	assert.Less(t, after.X, before.X)
}

// Own marks on the floor that are named left and right are where they lie; they mirror each
// other only if that is stated.
func TestOwnMarks(t *testing.T) {
	s := session("road", 3)
	r, err := s.Solve(t.Context())
	require.NoError(t, err)
	at := map[survey.Landmark]r3.Vec{survey.Mark("sheet_left"): {X: 300, Y: 400, Z: -330}, survey.Mark("sheet_right"): {X: -200, Y: -100, Z: -330}}
	for l, p := range at {
		for i, v := range r.Views {
			x, y, ok := v.Pixel(r.Cameras[0], p)
			require.True(t, ok)
			s.Photographs[i].Marks = append(s.Photographs[i].Marks, photo.Mark{Landmark: l, X: x, Y: y})
		}
	}
	r, err = s.Solve(t.Context())
	require.NoError(t, err)
	for l, p := range at {
		got, u, ok := r.Fix.Mark(l)
		require.True(t, ok)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(got, p)), 1+r3.Norm(u)/2, l)
	}
	s.Trueness = []survey.Trueness{{Pair: survey.Mark("sheet_left")}}
	_, err = s.Solve(t.Context())
	assert.ErrorIs(t, err, contact.ErrConflict)
}

// A site of which no mark counts is not told.
func TestNothingCounts(t *testing.T) {
	s := session("road", 3)
	kept := 0
	for i := range s.Photographs {
		p := &s.Photographs[i]
		p.Marks = slices.DeleteFunc(p.Marks, func(m photo.Mark) bool {
			return m.Landmark == survey.SaddleEdgeRight || m.Landmark == survey.SaddleEdgeLeft && kept == 2
		})
		for k := range p.Marks {
			if m := &p.Marks[k]; m.Landmark == survey.SaddleEdgeLeft {
				m.X += 90 * float64(kept)
				kept++
			}
		}
	}
	require.Equal(t, 2, kept)
	r, err := s.Solve(t.Context())
	require.NoError(t, err)
	_, ok := r.Fix.Position.At(contact.SaddleReference)
	assert.False(t, ok, "%v", r.Findings)
}

// Photographs are compared with an arm's readings, in its own axes, in one call: nothing is said
// to differ but a saddle that was raised between the two, by as much as it was.
func TestCompareWithArm(t *testing.T) {
	const raised = 12
	moved, others := 0, 0
	for seed := range uint64(4) {
		g := photographs.New(40+seed, photographs.Options{Kind: kinds[seed%3], Count: 5, Sigma: 1.5})
		r, err := drawn(g, 1.5).Solve(t.Context())
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(seed, 2))
		arm := survey.Survey{Sigma: r3.Vec{X: 0.3, Y: 0.3, Z: 0.3}, FrontRadius: g.FrontRadius, RearRadius: g.RearRadius, RadiusSigma: 1}
		turn := r3.NewRotation(0.7, r3.Vec{X: 1, Y: -0.4, Z: 2})
		for _, name := range slices.Sorted(maps.Keys(g.Truth)) {
			l := survey.Landmark(name)
			if !l.Known() {
				continue
			}
			at := r3.Vec{X: g.Truth[name][0], Y: g.Truth[name][1], Z: g.Truth[name][2]}
			if strings.HasPrefix(name, "saddle") {
				at.Z += raised
			}
			for range 3 {
				noise := r3.Scale(0.3, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
				arm.Readings = append(arm.Readings, survey.Reading{Landmark: l, At: r3.Add(r3.Add(turn.Rotate(at), r3.Vec{X: 900, Y: -350, Z: 1200}), noise)})
			}
		}
		armed, err := arm.Solve()
		require.NoError(t, err)
		moves, _, err := survey.Compare(r.Fix, armed, 0.99)
		require.NoError(t, err)
		for _, m := range moves {
			if m.Site.Group() != contact.OnSaddle {
				others += btoi(m.Real)
				continue
			}
			moved += btoi(m.Real)
			assert.InDelta(t, raised, m.By.Z, 3*m.Sigma.Z, "%v", m.Site)
		}
	}
	assert.GreaterOrEqual(t, moved, 11, "of 12")
	assert.LessOrEqual(t, others, 1, "of 30, at 0.99")
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// A survey in all photographs' own marks, without noise, gives back the truth to what
// rounding to whole pixels leaves, and the same when all is moved in the list.
func TestOrder(t *testing.T) {
	s := session("aero", 3)
	a, err := s.Solve(t.Context())
	require.NoError(t, err)
	slices.Reverse(s.Photographs)
	for i := range s.Photographs {
		slices.Reverse(s.Photographs[i].Marks)
	}
	b, err := s.Solve(t.Context())
	require.NoError(t, err)
	for site, p := range a.Fix.Position.All() {
		q, _ := b.Fix.Position.At(site)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(p, q)), 1e-4, "%v", site)
	}
}

func init() { trial.Rapid(40, 2000, 1) }

// The ray of a pixel goes through every point that is seen there.
func TestRays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		c := photo.Camera{Width: 4000, Height: 3000, Focal: 2500 + 5000*d.Float64(), K1: 0.1 * d.NormFloat64(), K2: 0.02 * d.NormFloat64(), P1: 0.002 * d.NormFloat64(), P2: 0.002 * d.NormFloat64()}
		ahead := r3.Unit(r3.Vec{X: d.NormFloat64(), Y: d.NormFloat64(), Z: d.NormFloat64()})
		right := r3.Unit(r3.Cross(ahead, r3.Vec{X: 0.3, Z: 1}))
		v := photo.View{At: r3.Vec{X: 100, Y: -3000, Z: 900}, Right: right, Down: r3.Cross(ahead, right), Ahead: ahead}
		at := r3.Add(v.At, r3.Add(r3.Scale(3000, ahead), r3.Add(r3.Scale(800*d.NormFloat64(), v.Right), r3.Scale(600*d.NormFloat64(), v.Down))))
		x, y, ok := v.Pixel(c, at)
		if !ok || x < 0 || y < 0 || x > c.Width || y > c.Height {
			t.Skip("out of the picture")
		}
		ray, ok := v.Ray(c, x, y)
		require.True(t, ok)
		assert.InDelta(t, 0, r3.Norm(r3.Cross(ray, r3.Sub(at, v.At))), 1e-6)
		_, _, ok = v.Pixel(c, r3.Sub(v.At, r3.Scale(100, ahead)))
		assert.False(t, ok, "behind the camera")
	})
}

// A camera that folds before what its corner shows is refused, one without a focal length sees
// nothing, and beyond what it shows there are no rays. By hand: r - 0.3 r³ is 0.703 at most.
func TestFolds(t *testing.T) {
	v := photo.View{Right: r3.Vec{X: 1}, Down: r3.Vec{Y: 1}, Ahead: r3.Vec{Z: 1}}
	c := photo.Camera{Width: 4000, Height: 3000, Focal: 2500 / 0.5, K1: -0.3}
	_, ok := v.Ray(c, 4000, 3000)
	assert.True(t, ok)
	_, ok = v.Ray(c, 2000+5000*0.72, 1500)
	assert.False(t, ok)
	c.Focal = 2500 / 0.75
	_, _, ok = v.Pixel(c, r3.Vec{Z: 1000})
	assert.False(t, ok)
	c.Focal, c.K1 = 0, 0
	_, _, ok = v.Pixel(c, r3.Vec{Z: 1000})
	assert.False(t, ok)
	_, ok = v.Ray(c, 2000, 1500)
	assert.False(t, ok)
}

// By hand: lines along X through Y = 0 and along Y through X = 2, 6 apart in Z, are nearest
// at their middle.
func TestTriangulate(t *testing.T) {
	at, ok := photo.Triangulate([]r3.Vec{{X: 9}, {X: 2, Y: 7, Z: 6}}, []r3.Vec{{X: -3}, {Y: 2}})
	assert.True(t, ok)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(at, r3.Vec{X: 2, Z: 3})), 1e-12)
	_, ok = photo.Triangulate([]r3.Vec{{}, {Y: 1}}, []r3.Vec{{X: 1}, {X: 1, Y: 1e-5}})
	assert.False(t, ok)
	_, ok = photo.Triangulate([]r3.Vec{{}, {X: math.NaN()}}, []r3.Vec{{X: 1}, {Z: 1}})
	assert.False(t, ok)
}

func TestFindingWords(t *testing.T) {
	for k := photo.SetAside; k <= photo.Unmarked; k++ {
		f := photo.Finding{Kind: k, Landmark: survey.RearAxleLeft, Amount: 12, Others: []string{"b"}}
		assert.Regexp(t, "12|one photograph", f.String())
		back, err := photo.ParseFindingKind(k.String())
		assert.NoError(t, err)
		assert.Equal(t, k, back)
	}
	assert.Equal(t, "finding(0)", photo.Finding{}.String())
}

// A hanging line tells how the bike stood, whatever is known of the camera; without one nothing
// does, and the places are the same. A mark of it that is wrong in one photograph is told from
// those in the others.
func TestStanding(t *testing.T) {
	o := photographs.Options{Kind: "flat", Count: 5, Sigma: 1.5, Lean: 4, Steer: -12, Plumb: true}
	g := photographs.New(11, o)
	s := drawn(g, 1.5)
	r, err := s.Solve(t.Context())
	require.NoError(t, err)
	stood, ok := r.Fix.Standing()
	require.True(t, ok)
	assert.InDelta(t, -4, stood.Lean, 3*stood.LeanSigma, "leans to the left")
	assert.Less(t, stood.LeanSigma, 0.3)
	assert.InDelta(t, 0, stood.NoseUp, 3*stood.NoseUpSigma)
	i := slices.IndexFunc(r.Findings, func(f photo.Finding) bool { return f.Kind == photo.Leaned })
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, photo.Finding{Kind: photo.Leaned, Photograph: -1, Mark: -1, Amount: stood.Lean}, r.Findings[i])
	k := slices.IndexFunc(r.Fix.Findings, func(f survey.Finding) bool { return f.Kind == survey.WheelTurned })
	require.GreaterOrEqual(t, k, 0)
	assert.InDelta(t, -12, r.Fix.Findings[k].Amount, 3*r.Fix.SteerSigma)

	o.Plumb = false
	bare := drawn(photographs.New(11, o), 1.5)
	b, err := bare.Solve(t.Context())
	require.NoError(t, err)
	_, ok = b.Fix.Standing()
	assert.False(t, ok)
	for site, p := range r.Fix.Position.All() {
		q, _ := b.Fix.Position.At(site)
		u, _ := b.Fix.Covariance.Sigma(site)
		assert.Less(t, r3.Norm(r3.Sub(p, q)), r3.Norm(u), "%v", site)
	}

	at := slices.IndexFunc(s.Photographs[2].Marks, func(m photo.Mark) bool { return m.Landmark == photo.Plumb("line") })
	s.Photographs[2].Marks[at].X += 150
	r, err = s.Solve(t.Context())
	require.NoError(t, err)
	aside := slices.IndexFunc(r.Findings, func(f photo.Finding) bool { return f.Kind == photo.SetAside })
	require.GreaterOrEqual(t, aside, 0)
	assert.Equal(t, photo.Plumb("line"), r.Findings[aside].Landmark)
	assert.Equal(t, 2, r.Findings[aside].Photograph)
}

// A number that was stated wrong is told beside what all else says of it, and a landmark that one
// photograph alone shows is named, with no other.
func TestStated(t *testing.T) {
	s := session("road", 5)
	crank := s.Crank
	s.Crank += 20
	_, err := s.Solve(t.Context())
	var fault *contact.Error
	require.ErrorAs(t, err, &fault)
	assert.Equal(t, "crank_mm", fault.Path)
	assert.Equal(t, fmt.Sprintf("%.5g mm", s.Crank), fault.Value)
	var told float64
	_, err = fmt.Sscanf(fault.Want, "what all else tells: %f mm", &told)
	require.NoError(t, err, fault.Want)
	assert.InDelta(t, crank, told, 3)

	s.Crank = crank
	for i := range s.Photographs[1:] {
		p := &s.Photographs[1+i]
		p.Marks = slices.DeleteFunc(p.Marks, func(m photo.Mark) bool { return m.Landmark == survey.At(contact.SaddleNose) })
	}
	seen := map[survey.Landmark]int{}
	for _, p := range s.Photographs {
		for _, m := range p.Marks {
			seen[m.Landmark]++
		}
	}
	require.Equal(t, 1, seen[survey.At(contact.SaddleNose)])
	r, err := s.Solve(t.Context())
	require.NoError(t, err)
	var named, once []survey.Landmark
	for _, f := range r.Findings {
		if f.Kind == photo.MarkedOnce {
			named = append(named, f.Landmark)
		}
	}
	for l, n := range seen {
		if n == 1 {
			once = append(once, l)
		}
	}
	assert.ElementsMatch(t, once, named)
}

// What no photograph has of bottom bracket and axles is said, with what else tells it; where
// nothing does, it is named, and not the scale.
func TestUnmarked(t *testing.T) {
	for _, c := range []struct {
		without []string
		finding survey.Landmark
		fault   string
	}{
		{[]string{"front_axle"}, survey.FrontAxleLeft, ""},
		{[]string{"rear_axle"}, survey.RearAxleLeft, ""},
		{[]string{"rear_"}, "", "rear_axle_left"},
		{[]string{"bottom_bracket"}, survey.BottomBracketLeft, ""}, // the pedals tell
		{[]string{"bottom_bracket", "pedal"}, "", "bottom_bracket_left"},
		{[]string{"bottom_bracket", "pedal_left"}, "", "bottom_bracket_left"},
		{[]string{"front_", "head_tube"}, "", "front_axle_left"},
	} {
		s := session("road", 2)
		for i := range s.Photographs {
			s.Photographs[i].Marks = slices.DeleteFunc(s.Photographs[i].Marks, func(m photo.Mark) bool {
				return slices.ContainsFunc(c.without, func(w string) bool { return strings.HasPrefix(string(m.Landmark), w) })
			})
		}
		r, err := s.Solve(t.Context())
		if c.fault != "" {
			if assert.ErrorIs(t, err, contact.ErrMissing, "%v", c.without) {
				assert.Contains(t, contact.Faults(err)[0].Value, c.fault)
				assert.Len(t, contact.Faults(err), 1)
			}
			continue
		}
		require.NoError(t, err, "%v", c.without)
		i := slices.IndexFunc(r.Findings, func(f photo.Finding) bool { return f.Kind == photo.Unmarked })
		require.GreaterOrEqual(t, i, 0, "%v", c.without)
		assert.Equal(t, c.finding, r.Findings[i].Landmark)
		assert.Less(t, r.Findings[i].Amount, 20.)
	}
}

// A camera that photographs tell can be stated of others, is no less certain than before, and
// has numbers of a long lens in their ranges too.
func TestCameras(t *testing.T) {
	s := session("road", 5)
	r, err := s.Solve(t.Context())
	require.NoError(t, err)
	c := r.Cameras[0]
	assert.Less(t, c.FocalSigma, 0.01)
	assert.Less(t, c.CentreSigma, 50.)
	assert.Less(t, c.Corner, 0.015)
	s.Cameras[0] = c
	again, err := s.Solve(t.Context())
	require.NoError(t, err)
	assert.LessOrEqual(t, again.Cameras[0].FocalSigma, c.FocalSigma)
	assert.LessOrEqual(t, again.Cameras[0].Corner, c.Corner)

	long := photo.Camera{Width: 4000, Height: 3000, Equivalent: 600, Corner: 0.1}
	v := photo.View{At: r3.Vec{X: 90, Y: -40_000, Z: 200}, Right: r3.Vec{X: 1}, Down: r3.Vec{Z: -1}, Ahead: r3.Vec{Y: 1}}
	s = session("road", 5)
	s.Cameras, s.Photographs = []photo.Camera{long}, s.Photographs[:1]
	long.Equivalent, long.Focal, long.K1 = 0, 600/43.266615*5000, 0.02*769
	marks := s.Photographs[0].Marks[:0]
	for _, m := range s.Photographs[0].Marks {
		at, _, ok := r.Fix.Mark(m.Landmark)
		if site, err := contact.ParseSite(string(m.Landmark)); err == nil && site.Group() != contact.OnPedals {
			at, ok = r.Fix.Position.At(site)
		}
		if x, y, seen := v.Pixel(long, at); ok && seen {
			marks = append(marks, photo.Mark{Landmark: m.Landmark, X: x, Y: y})
		}
	}
	s.Photographs[0].Marks = marks
	s.Distances = []photo.Distance{{From: survey.RearAxleRight, To: survey.FrontAxleRight, Value: 1010, Sigma: 10}}
	r, err = s.Solve(t.Context())
	require.NoError(t, err)
	assert.Greater(t, math.Abs(r.Cameras[0].K1), 5.)
}
