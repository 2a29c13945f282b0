package solve_test

import (
	"reflect"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// The best build of every stem, bar and aero bar for 72 targets, by trying
// everything (testdata/oracle/inverse.py).
func TestOracleInverse(t *testing.T) {
	type parts struct{ Stem, Handlebar, Lever, Aero, Cap, Crank, Pedal, Seatpost, Saddle string }
	cases := trial.Cases[struct {
		Input struct {
			Frame  fitgeom.Frame
			Wheels chart.Wheels
			Shelf  fitgeom.Shelf
			Target map[contact.Site][3]float64
			Tilt   float64
			Keep   []struct {
				Site              contact.Site
				Tolerance, Weight [3]float64
			}
			KeepSaddle bool `json:"keep_saddle"`
		}
		Expected []struct {
			Holds     bool
			Score     float64
			Parts     parts
			Settings  fitgeom.Settings
			Residuals map[contact.Site][3]float64
		}
		Combinations int
	}](t, "../../testdata/oracle/inverse.json")
	require.Len(t, cases, 72)
	vec := func(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }
	settings := func(w *trial.Worst, a, b fitgeom.Settings) {
		av, bv := reflect.ValueOf(a), reflect.ValueOf(b)
		for i := range av.NumField() {
			if av.Field(i).CanFloat() {
				w.See(av.Field(i).Float(), bv.Field(i).Float())
			}
		}
		assert.Equal(t, b.Flipped, a.Flipped)
	}
	var off, set, score trial.Worst
	var builds, holding int
	for i, c := range cases {
		var target contact.Position
		for s, at := range c.Input.Target {
			target.Set(s, vec(at))
		}
		target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: c.Input.Tilt})
		p := solve.Problem{Target: target, Frame: c.Input.Frame, Shelf: c.Input.Shelf, Wheels: c.Input.Wheels, Limit: 1000}.Closest()
		for _, k := range c.Input.Keep {
			p.Keep = append(p.Keep, fitgeom.Keep{Site: k.Site, Tolerance: vec(k.Tolerance), Weight: vec(k.Weight)})
		}
		if c.Input.KeepSaddle {
			p.Crank = fitgeom.KeepSaddle
		}
		r, err := p.Solve(t.Context())
		require.NoError(t, err, "case %d", i)
		if !assert.Len(t, r.Candidates, len(c.Expected), "case %d", i) {
			continue
		}
		assert.Equal(t, c.Combinations, r.Combinations, "case %d", i)
		for j, want := range c.Expected {
			got := r.Candidates[j]
			b := got.Build
			builds++
			if got.Holds() {
				holding++
			}
			assert.Equal(t, want.Holds, got.Holds(), "case %d, candidate %d", i, j)
			names := parts{b.Stem.Name, b.Handlebar.Name, b.Lever.Name, b.Aero.Name, b.Cap.Name, b.Crank.Name, b.Pedal.Name, b.Seatpost.Name, b.Saddle.Name}
			if !assert.Equal(t, want.Parts, names, "case %d, candidate %d", i, j) {
				continue
			}
			var o, s, v trial.Worst
			settings(&s, b.Settings, want.Settings)
			for _, res := range got.Deviations {
				o.Point(res.Off, want.Residuals[res.Site])
			}
			v.See(got.Distance(), want.Score)
			assert.Less(t, float64(o), 1e-6, "case %d, candidate %d: residuals", i, j)
			assert.Less(t, float64(s), 1e-6, "case %d, candidate %d: settings", i, j)
			assert.Less(t, float64(v), 1e-6, "case %d, candidate %d: score", i, j)
			off, set, score = max(off, o), max(set, s), max(score, v)
		}
	}
	t.Logf("oracle inverse: %d cases, worst %.1e mm", len(cases), off)
	t.Logf("oracle inverse settings: %d builds, worst %.1e mm or degrees", builds, set)
	t.Logf("oracle inverse score: %d builds of which %d hold, worst %.1e tolerances", builds, holding, score)
}
