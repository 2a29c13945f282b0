package rules_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func site(t *testing.T, p contact.Position, s contact.Site) r3.Vec {
	t.Helper()
	v, ok := p.At(s)
	require.True(t, ok, "%v is known", s)
	return v
}

// Figures of the worked example in the tests of convert/chart, by plain arithmetic.
func TestFigures(t *testing.T) {
	b := invented.Everything()
	b.Frame.SteererCut, b.Frame.MaxFrontRadius = 70, 350
	p := invented.Position(b)
	nose, pad, tip := site(t, p, contact.SaddleNose), site(t, p, contact.PadLeft), site(t, p, contact.ExtensionLeft)
	for f, want := range map[rules.Figure]float64{
		rules.NoseSetback: -nose.X, rules.SaddleSlope: 1, rules.SaddleLength: 270,
		// Stack 560, reach 385, 73°, chainstay 410, drop 70, offset 45, wheels 340: sections 2 and 10 of the project's list of check values.
		rules.BottomBracketHeight: 270, rules.FrontCentre: 581.864163, rules.RearCentre: 403.980198, rules.WheelDiameter: 680,
		// By sampled surfaces (testdata/oracle/clearance.py); the left foot stands 2 mm higher.
		rules.ShoeToWheel: 9.961031710, rules.ToeLevel: 103.729339863, rules.ToePlan: 98.783896861, rules.ToeParallel: 102.847160700,
		rules.PedalLean: 25.916366007, rules.HeelToStay: 16.960187474,
		rules.ExtensionReach: tip.X, rules.ExtensionRise: tip.Z - pad.Z,
		rules.StemAboveSteerer: 15 + 15 + 40 - 70, rules.FlareSide: (b.Handlebar.Drop.DropsWidth - b.Handlebar.Drop.Width) / 2, rules.SeatpostMark: 100 / 27.2, rules.FrontTyreRoom: 10,
	} {
		got, known, err := f.Of(b)
		require.NoError(t, err)
		assert.True(t, known, f)
		assert.InDelta(t, want, got, 2e-6, "%v", f)
	}
	for _, f := range []rules.Figure{rules.RearTyreRoom, rules.FlatBarWidth, rules.HandlebarWidth, rules.HoodsInside, rules.PadLength, rules.PadBreadth, 99} {
		_, known, err := f.Of(b)
		require.NoError(t, err)
		assert.False(t, known, f)
	}
	b.Wheels = chart.Wheels{FrontSag: 20, RearSag: 20}
	v, _, _ := rules.ToePlan.Of(b)
	assert.InDelta(t, 98.783897, v, 2e-6, "sag does not count")
	b.Wheels = chart.Wheels{FrontRadius: 350, RearRadius: 350}
	v, _, _ = rules.BottomBracketHeight.Of(b)
	assert.InDelta(t, 280, v, 1e-9)

	low, _, _ := rules.GripsAboveSaddle.Of(b)
	hood, saddle := site(t, invented.Position(b), contact.HoodsLeft), site(t, invented.Position(b), contact.SaddleReference)
	assert.InDelta(t, hood.Z-saddle.Z+(170-45)*math.Sin(73.5*math.Pi/180), low, 1e-6, "the post can go 125 mm further in")
}

func TestRules(t *testing.T) {
	b := invented.Everything()
	require.NotEmpty(t, rules.Rules())
	seen := map[string]bool{}
	for _, r := range rules.Rules() {
		assert.NotEmpty(t, r.Source)
		assert.NotEmpty(t, r.Edition)
		assert.NotEmpty(t, r.Seen)
		assert.False(t, seen[r.String()], r.String())
		seen[r.String()] = true
		assert.Less(t, r.Min, r.Max, r.String())
		assert.Equal(t, len(r.Disciplines) == 0, r.From == rules.Date{}, r.String())
		assert.True(t, r.Until == rules.Date{} || r.From.Before(r.Until), r.String())
		f, err := r.Check(b, rules.Rider{})
		require.NoError(t, err)
		if f.Known && r.Unless.Figure == 0 && !r.Below {
			assert.Equal(t, f.Value >= r.Min && f.Value <= r.Max, f.Kept, r.String())
		}
	}
	rule := rules.Rule{Bound: rules.Bound{Figure: rules.SaddleSlope, Min: math.Inf(-1), Max: 0.5}, Source: "a test", Edition: "today"}
	f, err := rule.Check(b, rules.Rider{})
	require.NoError(t, err)
	assert.Equal(t, rules.Finding{Rule: rule, Value: 1, Stated: true, Known: true, By: 0.5}, f)
	assert.Equal(t, "slope of the saddle 1.0 degrees: broken by 0.5 degrees", f.String())
	assert.Equal(t, "slope of the saddle at most 0.5 degrees (a test, today)", rule.String())
	_, err = rule.Check(fitgeom.Build{}, rules.Rider{})
	require.Error(t, err)
	_, err = rule.Check(b, rules.Rider{Height: 1.8})
	require.ErrorIs(t, err, contact.ErrUnit)
	assert.Equal(t, "rider.height_mm", contact.Faults(err)[0].Path)
}

// Who changes the rules that were returned changes nobody else's.
func TestRulesAreCopies(t *testing.T) {
	all := rules.Rules()
	first := all[0]
	all[0].Max = -1
	assert.Equal(t, first, rules.Rules()[0])
	all[len(all)-1].Disciplines[0] = rules.Track
	set := inForce(t, rules.TimeTrial, "2026-11-27")
	set.Rules[0].Disciplines[0] = rules.Track
	assert.Equal(t, rules.TimeTrial, rules.Rules()[len(all)-1].Disciplines[0])
	assert.Len(t, inForce(t, rules.TimeTrial, "2026-11-27").Rules, len(set.Rules))
}

func TestNames(t *testing.T) {
	assert.Equal(t, "figure(200)", rules.Figure(200).String())
	assert.Equal(t, "figure(200)", rules.Figure(200).Words())
	assert.Empty(t, rules.Figure(200).Unit())
	assert.Empty(t, rules.Figure(0).Unit())
	all := rules.Figures()
	require.Len(t, all, int(rules.PadBreadth-rules.NoseSetback)+1)
	words := map[string]bool{}
	for i, f := range all {
		assert.Equal(t, rules.NoseSetback+rules.Figure(i), f)
		assert.NotEmpty(t, f.Unit(), f)
		assert.False(t, words[f.Words()], f)
		words[f.Words()] = true
	}
	trial.Names(t, rules.ParseFigure, all...)
	trial.Names(t, rules.ParseDiscipline, rules.Disciplines()...)
}
