package rider_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What people exchange or mistype, in a body whose segments are those of a table (0.245, 0.246,
// 0.288, 0.186 and 0.146 of a stature of 1750 mm: Drillis and Contini 1966, as the package has it).
func TestBodyFindings(t *testing.T) {
	ankle := rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}}
	leg := rider.Leg{Thigh: 429, Shank: 431, AnkleHeight: 70, AnkleBehind: 120, Ankle: ankle}
	sound := rider.Body{Left: leg, Right: leg, HipForward: 60, HipUp: 50, Upper: rider.Upper{Trunk: 504, UpperArm: 326, Forearm: 256, WristBack: 30, WristUp: 40, Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 15}}
	require.NoError(t, sound.Validate())
	assert.Empty(t, sound.Findings())
	assert.Empty(t, rider.Body{}.Findings(), "what is not valid has faults instead")
	for name, c := range map[string]struct {
		do   func(*rider.Body)
		path []string
	}{
		"forearm and upper arm exchanged": {func(b *rider.Body) { b.Upper.Forearm, b.Upper.UpperArm = 326, 256 }, []string{"upper.forearm_mm"}},
		"digits of one thigh":             {func(b *rider.Body) { b.Left.Thigh = 492 }, []string{"left.thigh_mm"}},
		"a shank and trunk exchanged":     {func(b *rider.Body) { b.Left.Shank, b.Right.Shank, b.Upper.Trunk = 330, 330, 700 }, []string{"upper.trunk_mm", "upper.trunk_mm"}},
		"shank to the ground":             {func(b *rider.Body) { b.Left.Shank, b.Right.Shank = 600, 600 }, []string{"left.thigh_mm", "right.thigh_mm"}},
		"one leg alone":                   {func(b *rider.Body) { b.Left, b.Right.Shank = rider.Leg{}, 600 }, []string{"right.thigh_mm"}},
	} {
		b := sound
		c.do(&b)
		require.NoError(t, b.Validate(), name)
		var paths []string
		for _, f := range b.Findings() {
			paths = append(paths, f.Path)
			assert.True(t, f.Value < f.Least || f.Value > f.Most, f)
		}
		assert.Equal(t, c.path, paths, name)
	}
}
