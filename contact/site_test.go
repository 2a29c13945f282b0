package contact_test

import (
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Every site has a name of its own, a group, a mate whose mate it is, and a usual
// place on its own side; no other number has any of these.
func TestSiteTable(t *testing.T) {
	sites := contact.Sites()
	require.Len(t, sites, contact.SiteCount-1)
	names := map[string]bool{}
	for i, s := range sites {
		assert.Equal(t, contact.Site(i+1), s, "in the order of their constants")
		assert.True(t, s.Valid(), s)
		name := s.String()
		assert.NotContains(t, name, "(")
		assert.False(t, names[name], name)
		names[name] = true
		_, err := s.Group().MarshalText()
		assert.NoError(t, err, s)

		mate := mirrored(s)
		assert.Equal(t, s, mirrored(mate), s)
		assert.Equal(t, s.Group(), mate.Group(), s)
		assert.Equal(t, s, s.On(contact.Centre), s)
		assert.Equal(t, s.Both(), mate.Both(), s)
		assert.Contains(t, s.Both(), s)
		at, there := s.Usual(), mate.Usual()
		assert.NotEqual(t, r3.Vec{}, at, s)
		assert.Equal(t, r3.Vec{X: at.X, Y: 0 - at.Y, Z: at.Z}, there, s)
		switch s.Side() {
		case contact.Centre:
			assert.Equal(t, s, mate, s)
			assert.Equal(t, [2]contact.Site{s, s}, s.Both())
			assert.Zero(t, at.Y, s)
		case contact.Left:
			assert.True(t, strings.HasSuffix(name, "_left"), name)
			assert.Equal(t, [2]contact.Site{s, mate}, s.Both())
			assert.Positive(t, at.Y, s)
		case contact.Right:
			assert.True(t, strings.HasSuffix(name, "_right"), name)
			assert.Negative(t, at.Y, s)
		}
	}
	for _, none := range []contact.Site{0, contact.Site(contact.SiteCount), 255} {
		assert.False(t, none.Valid())
		assert.Zero(t, none.Group())
		assert.Equal(t, contact.Centre, none.Side())
		assert.Equal(t, none, none.On(contact.Left))
		assert.Equal(t, r3.Vec{}, none.Usual())
		_, err := contact.ParseSite(none.String())
		assert.ErrorIs(t, err, contact.ErrUnknown)
	}
}

// The usual places are those of a position that validates.
func TestUsualPlacesValidate(t *testing.T) {
	var p contact.Position
	for _, s := range contact.Sites() {
		p.Set(s, s.Usual())
	}
	require.NoError(t, p.Validate())
	assert.True(t, p == p.Mirror(), "and are their own mirror image")
}

func TestSiteGroups(t *testing.T) {
	members := map[contact.Group]string{}
	for _, s := range contact.Sites() {
		members[s.Group()] += " " + s.String()
	}
	assert.Equal(t, map[contact.Group]string{
		contact.OnSaddle:    " saddle_reference saddle_nose saddle_rear",
		contact.OnHandlebar: " bar_clamp tops_left tops_right hoods_left hoods_right drops_left drops_right grip_left grip_right",
		contact.OnAeroBar:   " pad_left pad_right extension_left extension_right",
		contact.OnPedals:    " pedal_left pedal_right",
		contact.OnFeet:      " foot_left foot_right",
	}, members)
	for g := range members {
		assert.Equal(t, g == contact.OnHandlebar || g == contact.OnAeroBar, g.FrontEnd(), g)
		assert.Equal(t, g == contact.OnPedals || g == contact.OnFeet, g.Crank(), g)
	}
	assert.False(t, contact.Group(0).FrontEnd() || contact.Group(0).Crank())
}

// What a text stands for is written as that text, and nothing else is read.
func TestNamesBothWays(t *testing.T) {
	trial.Names(t, contact.ParseSite, contact.Sites()...)
	trial.Names(t, contact.ParseSide, contact.Centre, contact.Left, contact.Right)
	trial.Names(t, contact.ParseAxis, contact.AxisX, contact.AxisY, contact.AxisZ, contact.AxisTilt, contact.AxisYaw, contact.AxisRoll)
	trial.Names(t, contact.ParseGroup, contact.OnSaddle, contact.OnHandlebar, contact.OnAeroBar, contact.OnPedals, contact.OnFeet)
	assert.True(t, contact.Side(0).Valid())
	assert.False(t, (contact.Right + 1).Valid())
}

// A mirror image by the sites' names alone: left and right change places, lateral
// numbers their sign, and nothing else changes.
func TestPropertyMirrorByNames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPosition(t)
		var want contact.Position
		for _, s := range contact.Sites() {
			name := s.String()
			if kind, ok := strings.CutSuffix(name, "_left"); ok {
				name = kind + "_right"
			} else if kind, ok := strings.CutSuffix(name, "_right"); ok {
				name = kind + "_left"
			}
			to, err := contact.ParseSite(name)
			require.NoError(t, err)
			if v, ok := p.At(s); ok {
				want.Set(to, r3.Vec{X: v.X, Y: 0 - v.Y, Z: v.Z})
			}
			if a, ok := p.Attitude(s); ok {
				want.SetAttitude(to, contact.Attitude{Tilt: a.Tilt, Yaw: 0 - a.Yaw, Roll: 0 - a.Roll})
			}
		}
		got := p.Mirror()
		require.True(t, want == got, "%v", got)
		for _, s := range contact.Sites() { // and no zero with a sign
			v, _ := got.At(s)
			require.Equal(t, v, r3.Add(v, r3.Vec{}))
		}
	})
}
