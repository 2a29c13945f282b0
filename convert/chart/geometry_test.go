package chart_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func worked() chart.Geometry {
	return chart.Geometry{
		Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5,
		Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
	}
}

// A worked example of the plane identities of a frame, computed once with
// coordinates in another language (no published frame with all of these
// numbers could be read; the identities are plane geometry).
func TestGeometryWorkedExample(t *testing.T) {
	g := worked()
	require.NoError(t, g.Validate())
	f, ok := g.FrontAxle()
	require.True(t, ok)
	r, _ := g.RearAxle()
	wheelbase, _ := g.Wheelbase()
	trail, _ := g.Trail()
	down, _ := g.SteererToAxle()
	height, _ := g.BottomBracketHeight()
	for _, c := range []struct {
		what      string
		want, got float64
	}{
		{"effective top tube", 550.879557, g.EffectiveTopTube()},
		{"front centre, level", 581.864163, f.X},
		{"front axle height", 70, f.Z},
		{"rear centre, level", -403.980198, r.X},
		{"wheelbase", 985.844360, wheelbase},
		{"head tube top to axle foot", 526.146841, down},
		{"trail", 56.892303, trail},
		{"bottom bracket height", 270, height},
	} {
		assert.InDelta(t, c.want, c.got, tolMM, c.what)
	}
}

func TestEffectiveTopTubeBothWays(t *testing.T) {
	g := worked()
	ett := g.EffectiveTopTube()
	reach, err := chart.VirtualTopTube{Stack: g.Stack, SeatAngle: g.SeatAngle, Effective: ett}.Reach()
	require.NoError(t, err)
	assert.InDelta(t, g.Reach, reach, tolMM)
}

// A seat tube whose axis passes 20 mm in front of the bottom bracket shortens
// the effective top tube by 20/sin(seat angle).
func TestSeatOffset(t *testing.T) {
	g := worked()
	through := g.EffectiveTopTube()
	g.SeatOffset = 20
	assert.InDelta(t, through-20.85897825, g.EffectiveTopTube(), tolMM) // 20/sin 73.5°
	foot := g.SeatFoot()
	up := g.SeatUp()
	assert.InDelta(t, 0, foot.X*up.X+foot.Z*up.Z, tolMM, "the foot is square to the axis")
}

func TestGeometryWithoutAxles(t *testing.T) {
	g := worked()
	g.Axles = chart.Axles{}
	require.NoError(t, g.Validate())
	_, ok := g.FrontAxle()
	assert.False(t, ok)
	_, ok = g.RearAxle()
	assert.False(t, ok)
	_, ok = g.Wheelbase()
	assert.False(t, ok)
	_, ok = g.Trail()
	assert.False(t, ok)
	_, ok = g.SteererToAxle()
	assert.False(t, ok)
	_, ok = g.BottomBracketHeight()
	assert.False(t, ok)
}

func TestGeometryFaults(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*chart.Geometry)
		path   string
		class  error
	}{
		"head angle of 7.3":      {func(g *chart.Geometry) { g.HeadAngle = 7.3 }, "head_angle_deg", contact.ErrRange},
		"stack in metres":        {func(g *chart.Geometry) { g.Stack = 0.56 }, "stack_mm", contact.ErrUnit},
		"no reach":               {func(g *chart.Geometry) { g.Reach = 0 }, "reach_mm", contact.ErrRange},
		"seat angle included":    {func(g *chart.Geometry) { g.SeatAngle = 106.5 }, "seat_angle_deg", contact.ErrRange},
		"half of the axles":      {func(g *chart.Geometry) { g.Axles.RearRadius = 0 }, "axles.rear_radius_mm", contact.ErrRange},
		"axles that cannot meet": {func(g *chart.Geometry) { g.HeadAngle, g.Axles.ForkOffset, g.Reach, g.Stack = 90, -100, 300, 500 }, "axles", contact.ErrConflict},
	} {
		g := worked()
		c.change(&g)
		err := g.Validate()
		require.ErrorIs(t, err, c.class, name)
		assert.Equal(t, c.path, contact.Faults(err)[0].Path, name)
	}
	assert.Len(t, contact.Faults(chart.Geometry{}.Validate()), 4, "all faults together")
}
