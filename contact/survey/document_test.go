package survey_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// reread writes a fix as JSON and reads it back.
func reread(t *testing.T, fix survey.Fix) (back survey.Fix) {
	t.Helper()
	text, err := json.Marshal(fix)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &back), string(text))
	again, err := json.Marshal(back)
	require.NoError(t, err)
	require.Equal(t, string(text), string(again))
	return back
}

// A fix comes back from its document with all that it tells, and two of them compare as
// those in memory do where these do not share a datum.
func TestFixDocument(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	var fixes, read [2]survey.Fix
	for i := range fixes {
		s := readAll(aBike().turned(3), anywhere(rng), 2, 0.3, rng)
		s.Readings = slices.DeleteFunc(s.Readings, func(r survey.Reading) bool { // so that nose and rear give the tilt
			return r.Landmark == survey.SaddleTopFront || r.Landmark == survey.SaddleTopRear
		})
		s.Up = r3.Vec{X: 0.1, Y: 0.2, Z: 1}
		fix, err := s.Solve()
		require.NoError(t, err)
		require.NoError(t, fix.Validate())
		fixes[i], read[i] = fix, reread(t, fix)
		require.NoError(t, read[i].Validate())
		assert.Equal(t, fix.Position, read[i].Position)
		assert.Empty(t, cmp.Diff(fix.Findings, read[i].Findings, cmpopts.EquateEmpty()))
		assert.Equal(t, fix.Residuals, read[i].Residuals)
		assert.Equal(t, fix.Ranges, read[i].Ranges)
		assert.Equal(t, []float64{fix.Steer, fix.SteerSigma}, []float64{read[i].Steer, read[i].SteerSigma})
		standing, ok := fix.Standing()
		require.True(t, ok)
		got, ok := read[i].Standing()
		require.True(t, ok)
		assert.Equal(t, standing, got)
		at, sigma, ok := fix.Mark(survey.RearAxleLeft)
		require.True(t, ok)
		gotAt, gotSigma, ok := read[i].Mark(survey.RearAxleLeft)
		require.True(t, ok)
		assert.Equal(t, [2]r3.Vec{at, sigma}, [2]r3.Vec{gotAt, gotSigma})
		_, ok = read[i].SideView()
		assert.False(t, ok)
		_, err = read[i].Locate(s.Readings)
		require.ErrorIs(t, err, contact.ErrMissing)
	}
	moves, turns, err := survey.Compare(fixes[0], fixes[1], 0.95)
	require.NoError(t, err)
	gotMoves, gotTurns, err := survey.Compare(read[0], read[1], 0.95)
	require.NoError(t, err)
	assert.Equal(t, moves, gotMoves)
	assert.Equal(t, turns, gotTurns)
	_, plain, err := fixes[1].Position.Sub(fixes[0].Position).Judge(fixes[0].Covariance.Add(fixes[1].Covariance), 0.95)
	require.NoError(t, err)
	require.Equal(t, turns[0].Site, plain[0].Site)
	assert.Less(t, turns[0].Sigma, 0.5*plain[0].Sigma, "what nose and rear may differ from the saddle's top cancels")
}

// What a fix cannot have is named, all together.
func TestFixValidate(t *testing.T) {
	require.NoError(t, survey.Fix{}.Validate())
	err := survey.Fix{
		Position: contact.New(map[contact.Site]r3.Vec{contact.HoodsLeft: {X: 9999, Z: 600}}),
		Ranges:   contact.Ranges{{Coordinate: contact.Coordinate{Site: contact.HoodsLeft}, Low: 2, High: 1}, {Low: math.NaN(), High: math.Inf(1), Assumed: 2}},
		Steer:    math.NaN(), SteerSigma: -1,
		Findings:  []survey.Finding{{Kind: survey.Crooked, Landmark: "bell"}, {Reading: -2}},
		Residuals: []survey.Residual{{Landmark: "mark_a", Sigma: r3.Vec{Y: -1}}},
		Suspects:  []contact.Suspect{{Reading: -1, Slips: []contact.Slip{{}}}},
	}.Validate()
	var got []string
	for _, f := range contact.Faults(err) {
		got = append(got, f.Path)
	}
	assert.Equal(t, []string{
		"position.sites.hoods_left.at_mm[0]", "ranges[1].coordinate.site", "ranges[1].low", "ranges[1].high", "ranges[1].assumed",
		"suspects[0].reading", "suspects[0].slips[0].kind", "steer_deg", "steer_sigma_deg", "findings[1].kind", "findings[1].reading",
		"residuals[0].sigma_mm[1]", "ranges[0].low", "findings[0].landmark",
	}, got)
}

// What a tape survey leaves free comes back with what would settle it, which has no value.
func TestFreeDocument(t *testing.T) {
	fix, err := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Horizontal, From: survey.BottomBracket, To: survey.At(contact.HoodsLeft), Value: 580, Sigma: 1},
	}}.Solve()
	require.NoError(t, err)
	require.NotEmpty(t, fix.Free)
	require.NotEmpty(t, fix.Free[0].Settle)
	require.NoError(t, fix.Validate())
	back := reread(t, fix)
	assert.Equal(t, fix.Free, back.Free)
	require.NoError(t, back.Validate())
}
