package fitgeom_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// All sites of 120 builds, by 4x4 matrices of scipy.spatial.transform
// (testdata/oracle/builds.py).
func TestOracleBuilds(t *testing.T) {
	cases := trial.Cases[struct {
		Input    fitgeom.Build
		Expected struct {
			Pitch float64 `json:"pitch_deg"`
			Sites map[contact.Site][3]float64
		}
	}](t, "../testdata/oracle/builds.json")
	require.Len(t, cases, 120)
	var off, pitch trial.Worst
	for i, c := range cases {
		p, err := c.Input.Position()
		require.NoError(t, err, "case %d", i)
		n := 0
		for s, at := range p.All() {
			want, ok := c.Expected.Sites[s]
			require.True(t, ok, "case %d: %v", i, s)
			var here trial.Worst
			here.Point(at, want)
			off = max(off, here)
			assert.Less(t, float64(here), 1e-9, "case %d: %v", i, s)
			n++
		}
		assert.Len(t, c.Expected.Sites, n, "case %d", i)
		got, known := c.Input.Frame.Geometry.Pitch(c.Input.Wheels)
		require.True(t, known)
		pitch.See(got, c.Expected.Pitch)
		a, ok := p.Attitude(contact.SaddleReference)
		assert.True(t, ok)
		pitch.See(a.Tilt, c.Input.Settings.SaddleTilt)
	}
	assert.Less(t, float64(pitch), 1e-9)
	t.Logf("oracle builds: %d cases, worst %.1e mm", len(cases), off)
	t.Logf("oracle builds pitch: %d cases, worst %.1e degrees", len(cases), pitch)
}
