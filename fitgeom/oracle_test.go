package fitgeom_test

import (
	"encoding/json"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
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

// Saddle, hands and pads of 500 builds with parts that can be set or sink: adjustable and
// quill stems, suspension, seatposts offset forward, extensions as far apart as they are set,
// by 4x4 matrices of scipy.spatial.transform (testdata/oracle/parts.py).
func TestOracleParts(t *testing.T) {
	cases := trial.Cases[struct {
		Input    json.RawMessage
		Expected map[contact.Site][3]float64
	}](t, "../testdata/oracle/parts.json")
	require.Len(t, cases, 500)
	var first fitgeom.Build
	require.NoError(t, json.Unmarshal(cases[0].Input, &first))
	first = fitgeom.Build{Crank: first.Crank, Saddle: first.Saddle, Handlebar: first.Handlebar}
	var off trial.Worst
	for i, c := range cases {
		b := first
		require.NoError(t, json.Unmarshal(c.Input, &b))
		p, err := b.Position()
		require.NoError(t, err, "case %d", i)
		n := 0
		for s, at := range p.All() {
			off.Point(at, c.Expected[s])
			n++
		}
		require.Len(t, c.Expected, n, "case %d", i)
	}
	assert.Less(t, float64(off), 1e-9)
	t.Logf("oracle parts: %d cases, worst %.1e mm", len(cases), off)
}

// Hands and feet of 500 builds, and which way they lie: flared and swept bars, levers moved and
// turned, cleats, wedges, and cranks and pedals that differ from side to side, by 4x4 matrices
// of scipy.spatial.transform (testdata/oracle/directions.py). The mirrored build gives the
// mirrored position.
func TestOracleDirections(t *testing.T) {
	cases := trial.Cases[struct {
		Input    json.RawMessage
		Expected struct{ Sites, Faces map[contact.Site][3]float64 }
	}](t, "../testdata/oracle/directions.json")
	require.Len(t, cases, 500)
	var first fitgeom.Build
	require.NoError(t, json.Unmarshal(cases[0].Input, &first))
	first.Handlebar, first.Lever, first.Crank, first.Pedal = part.Handlebar{}, part.Lever{}, part.Crank{}, part.Pedal{}
	first.Settings = fitgeom.Settings{Spacers: first.Settings.Spacers, SeatpostExtension: first.Settings.SeatpostExtension, RailClamp: first.Settings.RailClamp}
	var off, turned trial.Worst
	for i, c := range cases {
		b := first
		require.NoError(t, json.Unmarshal(c.Input, &b))
		p, err := b.Position()
		require.NoError(t, err, "case %d", i)
		for s, want := range c.Expected.Sites {
			at, ok := p.At(s)
			require.True(t, ok, "case %d: %v", i, s)
			off.Point(at, want)
		}
		for s, want := range c.Expected.Faces {
			a, ok := p.Attitude(s)
			require.True(t, ok, "case %d: %v", i, s)
			turned.See(a.Tilt, want[0])
			turned.See(a.Yaw, want[1])
			turned.See(a.Roll, want[2])
		}
		mirrored, m := invented.Position(mirror(b)), p.Mirror()
		for _, s := range contact.Sites() {
			at, _ := mirrored.At(s)
			want, _ := m.At(s)
			near(t, want, at, 1e-12, i, s)
			is, _ := mirrored.Attitude(s)
			wants, _ := m.Attitude(s)
			assert.Equal(t, wants, is, "case %d: %v", i, s)
		}
	}
	assert.Less(t, float64(off), 1e-9)
	assert.Less(t, float64(turned), 1e-9)
	t.Logf("oracle directions: %d cases, worst %.1e mm and %.1e degrees", len(cases), off, turned)
}

// mirror is a build whose left and right have changed places.
func mirror(b fitgeom.Build) fitgeom.Build {
	s := &b.Settings
	s.LiftLeft, s.LiftRight, s.CleatLeft, s.CleatRight = s.LiftRight, s.LiftLeft, s.CleatRight, s.CleatLeft
	if k := &b.Crank; k.RightLength != 0 {
		k.Length, k.RightLength = k.RightLength, k.Length
	}
	if p := &b.Pedal; p.Right != (part.PedalSide{}) {
		left := part.PedalSide{FootHeight: p.FootHeight, FootOffset: p.FootOffset}
		p.FootHeight, p.FootOffset, p.Right = p.Right.FootHeight, p.Right.FootOffset, left
	}
	return b
}
