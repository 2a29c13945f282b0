package fitgeom_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// The files of testdata/oracle are written by the programs beside them, with
// general tools that share no code with this module. oracle reads one of them.
func oracle[T any](t *testing.T, name string) []T {
	t.Helper()
	data, err := os.ReadFile("../testdata/oracle/" + name + ".json")
	require.NoError(t, err)
	var doc struct {
		MadeWith string `json:"made_with"`
		Command  string `json:"command"`
		Cases    []T    `json:"cases"`
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&doc))
	require.NotEmpty(t, doc.Cases)
	return doc.Cases
}

// worst keeps the largest of deviations, a NaN above all.
type worst float64

func (w *worst) see(got, want float64) {
	if d := math.Abs(got - want); !(d <= float64(*w)) {
		*w = worst(d)
	}
}

func (w *worst) point(got r3.Vec, want [3]float64) {
	w.see(got.X, want[0])
	w.see(got.Y, want[1])
	w.see(got.Z, want[2])
}

// All sites of 120 builds, by 4x4 matrices of scipy.spatial.transform
// (testdata/oracle/builds.py).
func TestOracleBuilds(t *testing.T) {
	cases := oracle[struct {
		Input    fitgeom.Build
		Expected struct {
			Pitch float64 `json:"pitch_deg"`
			Sites map[contact.Site][3]float64
		}
	}](t, "builds")
	require.Len(t, cases, 120)
	var off, pitch worst
	for i, c := range cases {
		p, err := c.Input.Position()
		require.NoError(t, err, "case %d", i)
		n := 0
		for s, at := range p.All() {
			want, ok := c.Expected.Sites[s]
			require.True(t, ok, "case %d: %v", i, s)
			var here worst
			here.point(at, want)
			off = max(off, here)
			assert.Less(t, float64(here), 1e-9, "case %d: %v", i, s)
			n++
		}
		assert.Len(t, c.Expected.Sites, n, "case %d", i)
		got, err := c.Input.Frame.Pitch(c.Input.Stance)
		require.NoError(t, err)
		pitch.see(got, c.Expected.Pitch)
		a, ok := p.Attitude(contact.SaddleReference)
		assert.True(t, ok)
		pitch.see(a.Tilt, c.Input.Settings.SaddleTilt)
	}
	assert.Less(t, float64(pitch), 1e-9)
	t.Logf("oracle builds: %d cases, worst %.1e mm", len(cases), off)
	t.Logf("oracle builds pitch: %d cases, worst %.1e degrees", len(cases), pitch)
}
