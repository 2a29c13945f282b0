package survey_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Surveys of bikes that lean, by a bundle adjustment and by the documented
// conditions, and covariances by numerical slopes (testdata/oracle/surveys.py).
func TestOracleSurveys(t *testing.T) {
	cases := trial.Cases[struct {
		Input struct {
			Unit        string
			Times       int
			Sigma       float64
			Radii       *[2]float64
			RadiusSigma float64 `json:"radius_sigma"`
			Up          [3]float64
			UpSigma     float64 `json:"up_sigma"`
			Readings    []struct {
				Landmark survey.Landmark
				At       [3]float64
			}
		}
		Expected struct {
			Way        string
			Sites      map[contact.Site][3]float64
			Steer      float64
			Tilt       *float64
			Covariance *struct {
				Sites  []contact.Site
				Matrix [][]float64
			}
		}
	}](t, "../../testdata/oracle/surveys.json")

	vec := func(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }
	units := map[string]survey.Unit{"mm": survey.Millimetre, "cm": survey.Centimetre, "m": survey.Metre, "in": survey.Inch}
	off := map[string]*trial.Worst{"bundle": new(trial.Worst), "conditions": new(trial.Worst), "slopes": new(trial.Worst)}
	ways := map[string]int{}
	var angle, cov trial.Worst
	covariances := 0
	for i, c := range cases {
		s := survey.Survey{Unit: units[c.Input.Unit], Sigma: r3.Vec{X: c.Input.Sigma, Y: c.Input.Sigma, Z: c.Input.Sigma}}
		for _, l := range []survey.Landmark{survey.BottomBracketLeft, survey.RearAxleLeft, survey.FrontAxleLeft, survey.HeadTubeTopLeft, survey.HeadTubeBottomLeft} {
			s.Trueness = append(s.Trueness, survey.Trueness{Pair: l, Sigma: 0.3, Counts: survey.CountsBoth})
		}
		if r := c.Input.Radii; r != nil {
			s.FrontRadius, s.RearRadius, s.RadiusSigma = r[0], r[1], c.Input.RadiusSigma
		} else {
			s.Up, s.UpSigma = vec(c.Input.Up), c.Input.UpSigma
		}
		for _, r := range c.Input.Readings {
			s.Readings = append(s.Readings, survey.Reading{Landmark: r.Landmark, At: vec(r.At)})
		}
		fix, err := s.Solve()
		require.NoError(t, err, "case %d", i)
		way := c.Expected.Way
		ways[way]++
		n := 0
		for site, at := range fix.Position.All() {
			want, ok := c.Expected.Sites[site]
			require.True(t, ok, "case %d: %v", i, site)
			var here trial.Worst
			here.See(at.X, want[0])
			here.See(at.Y, want[1])
			here.See(at.Z, want[2])
			assert.Less(t, float64(here), 1e-6, "case %d (%s): %v", i, way, site)
			*off[way] = max(*off[way], here)
			n++
		}
		assert.Len(t, c.Expected.Sites, n, "case %d", i)
		var a trial.Worst
		a.See(fix.Steer, c.Expected.Steer)
		if want := c.Expected.Tilt; want != nil {
			got, ok := fix.Position.Attitude(contact.SaddleReference)
			require.True(t, ok)
			a.See(got.Tilt, *want)
		}
		assert.Less(t, float64(a), 1e-6, "case %d: steer and tilt", i)
		angle = max(angle, a)
		if k := c.Expected.Covariance; k != nil {
			covariances++
			var coords []contact.Coordinate
			for _, s := range k.Sites {
				coords = append(coords, contact.Coordinate{Site: s, Axis: contact.AxisX}, contact.Coordinate{Site: s, Axis: contact.AxisY}, contact.Coordinate{Site: s, Axis: contact.AxisZ})
			}
			var here trial.Worst
			for a := range coords {
				for b := range coords {
					got, ok := fix.Covariance.At(coords[a], coords[b])
					require.True(t, ok)
					scale := math.Sqrt(k.Matrix[a][a] * k.Matrix[b][b])
					here.See(got/scale, k.Matrix[a][b]/scale)
				}
			}
			assert.Less(t, float64(here), 1e-6, "case %d: covariance", i)
			cov = max(cov, here)
		}
	}
	assert.Equal(t, map[string]int{"bundle": 12, "conditions": 12, "slopes": 6}, ways)
	assert.Equal(t, 6, covariances)
	for _, way := range []string{"bundle", "conditions", "slopes"} {
		t.Logf("oracle surveys by %s: %d cases, worst %.1e mm", way, ways[way], *off[way])
	}
	t.Logf("oracle surveys steer and tilt: %d cases, worst %.1e degrees", len(cases), angle)
	t.Logf("oracle surveys covariance: %d cases, worst %.1e of the variances", covariances, cov)
}
