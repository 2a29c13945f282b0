package contact_test

import (
	"encoding/json"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func TestPositionJSON(t *testing.T) {
	p := contact.New(map[contact.Site]r3.Vec{contact.BarClamp: {X: 480, Z: 640.25}})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1.5})
	text, err := json.Marshal(p)
	require.NoError(t, err)
	assert.JSONEq(t, `{"sites": {"bar_clamp": {"at_mm": [480, 0, 640.25]}, "saddle_reference": {"attitude": {"tilt_deg": -1.5}}}}`, string(text))
	var back contact.Position
	require.NoError(t, json.Unmarshal(text, &back))
	assert.True(t, p == back)

	text, err = json.Marshal(contact.Position{})
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &back))
	assert.True(t, back == contact.Position{}, "what was there is gone")
}

// What is not finite is refused, and what documents do not have: by class and path.
func TestPositionJSONFaults(t *testing.T) {
	_, err := json.Marshal(contact.New(map[contact.Site]r3.Vec{contact.HoodsLeft: {Y: math.NaN()}}))
	require.ErrorIs(t, err, contact.ErrRange)
	assert.Equal(t, "/sites/hoods_left/at_mm/1", contact.Faults(err)[0].Path)
	for text, class := range map[string]error{
		`{"sites": {"bell": {"at_mm": [1, 2, 3]}}}`:                       contact.ErrUnknown,
		`{"sites": {"bar_clamp": {"at_mm": [1, 2, 3], "colour": "red"}}}`: contact.ErrUnknown,
		`{}`: contact.ErrMissing,
	} {
		var p contact.Position
		err := json.Unmarshal([]byte(text), &p)
		assert.ErrorIs(t, err, class, text)
		assert.NotEmpty(t, contact.Faults(err), text)
		assert.True(t, p == contact.Position{}, text)
	}
}

func TestPropertyPositionJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := anyPosition(t), anyPosition(t)
		text, err := json.Marshal(p)
		require.NoError(t, err)
		var back contact.Position
		require.NoError(t, json.Unmarshal(text, &back))
		require.True(t, p == back, "%s", text)

		d := p.Sub(q)
		text, err = json.Marshal(d)
		require.NoError(t, err)
		var again contact.Difference
		require.NoError(t, json.Unmarshal(text, &again))
		require.True(t, d == again, "%s", text)
	})
}

func TestCovarianceJSON(t *testing.T) {
	c := coordinates(contact.HoodsLeft)[:2]
	cov, err := contact.NewCovariance(c, matrix([][]float64{{4}, {1, 9}}))
	require.NoError(t, err)
	text, err := json.Marshal(cov)
	require.NoError(t, err)
	assert.JSONEq(t, `{"coordinates": [{"site": "hoods_left", "axis": "x"}, {"site": "hoods_left", "axis": "y"}], "lower": [[4], [1, 9]]}`, string(text))
	var back contact.Covariance
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, cov, back)
	for _, bad := range []string{
		`{"coordinates": [{"site": "hoods_left", "axis": "x"}], "lower": []}`,
		`{"coordinates": [{"site": "hoods_left", "axis": "x"}], "lower": [[1, 2]]}`,
		`{"coordinates": [{"site": "hoods_left", "axis": "x"}], "lower": [[-1]]}`,
		`{"coordinates": [{"site": "hoods_left", "axis": "x"}, {"site": "hoods_left", "axis": "x"}], "lower": [[1], [0, 1]]}`,
	} {
		assert.ErrorIs(t, json.Unmarshal([]byte(bad), &back), contact.ErrConflict, bad)
		assert.Equal(t, cov, back, "what is not read is left alone")
	}
}

// Adding undoes subtracting, at the sites that both know.
func TestPropertyAdd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := anyPosition(t), anyPosition(t)
		got := q.Add(p.Sub(q))
		for _, s := range contact.Sites() {
			_, known := q.At(s)
			want, both := p.At(s)
			if v, ok := got.At(s); known && both {
				require.InDelta(t, 0, r3.Norm(r3.Sub(want, v)), 1e-9)
			} else {
				require.Equal(t, known, ok, "none is added")
				was, _ := q.At(s)
				require.Equal(t, was, v)
			}
			b, known := q.Attitude(s)
			a, both := p.Attitude(s)
			if v, ok := got.Attitude(s); known && both {
				require.InDelta(t, 0, math.Abs(a.Tilt-v.Tilt)+math.Abs(a.Yaw-v.Yaw)+math.Abs(a.Roll-v.Roll), 1e-9)
			} else {
				require.Equal(t, known, ok)
				require.Equal(t, b, v)
			}
		}
		require.True(t, q == q.Add(contact.Difference{}))
	})
}

func TestMoved(t *testing.T) {
	p := sound()
	q := p.Moved(r3.Vec{X: 3, Z: 5}, contact.SaddleReference, contact.SaddleNose, contact.ExtensionLeft, 0, 99)
	assert.True(t, p == sound(), "a value")
	v, _ := q.At(contact.SaddleReference)
	assert.Equal(t, r3.Vec{X: -207, Y: 1, Z: 725}, v)
	v, _ = q.At(contact.SaddleRear)
	assert.Equal(t, r3.Vec{X: -335, Z: 725}, v)
	_, ok := q.At(contact.ExtensionLeft)
	assert.False(t, ok, "what is not known stays so")
	require.NoError(t, q.Validate())
}

func TestPositionString(t *testing.T) {
	assert.Equal(t, "no site", contact.Position{}.String())
	p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -205.04, Z: 705}, contact.BarClamp: {X: 480, Y: math.Copysign(0, -1)}})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1, Roll: 0.26})
	p.SetAttitude(contact.HoodsLeft, contact.Attitude{Yaw: 3})
	assert.Equal(t, "saddle_reference (-205.0, 0.0, 705.0) tilt -1.0 roll 0.3, bar_clamp (480.0, 0.0, 0.0), hoods_left tilt 0.0 yaw 3.0", p.String())
}
