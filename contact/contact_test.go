package contact_test

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func sound() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -210, Y: 1, Z: 720},
		contact.SaddleNose:      {X: -60, Z: 718},
		contact.SaddleRear:      {X: -335, Z: 725},
		contact.HoodsLeft:       {X: 600, Y: 210, Z: 660},
		contact.HoodsRight:      {X: 602, Y: -206, Z: 656},
		contact.PedalLeft:       {X: 172.5, Y: 73},
		contact.FootLeft:        {X: 172.5, Y: 130, Z: 22},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -2, Yaw: 1, Roll: 0.5})
	return p
}

func TestZeroPositionKnowsNothing(t *testing.T) {
	var p contact.Position
	require.NoError(t, p.Validate())
	for _, s := range contact.Sites() {
		_, ok := p.At(s)
		assert.False(t, ok, s)
		_, ok = p.Attitude(s)
		assert.False(t, ok, s)
	}
	_, _, ok := p.Sub(p).Largest()
	assert.False(t, ok)
}

func TestUnknownIsNotOrigin(t *testing.T) {
	var p contact.Position
	p.Set(contact.BarClamp, r3.Vec{})
	_, ok := p.At(contact.BarClamp)
	assert.True(t, ok)
	assert.NotEqual(t, contact.Position{}, p)
	p.Forget(contact.BarClamp)
	assert.True(t, p == contact.Position{})
}

func TestPositionIsAValue(t *testing.T) {
	p := sound()
	q := p
	assert.True(t, p == q)
	assert.True(t, p.Equal(q))
	q.Set(contact.HoodsLeft, r3.Vec{X: 601, Y: 210, Z: 660})
	assert.False(t, p == q)
	assert.False(t, cmp.Equal(p, q))
	v, _ := p.At(contact.HoodsLeft)
	assert.Equal(t, 600.0, v.X)
	assert.NotEmpty(t, cmp.Diff(maps.Collect(p.All()), maps.Collect(q.All()), cmpopts.EquateApprox(0, 0.5)))
	assert.Empty(t, cmp.Diff(maps.Collect(p.All()), maps.Collect(q.All()), cmpopts.EquateApprox(0, 1.5)))
}

func TestDifference(t *testing.T) {
	p, q := sound(), sound()
	q.Forget(contact.SaddleNose)
	q.Set(contact.SaddleReference, r3.Vec{X: -213, Y: 1, Z: 724})
	q.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -3})
	d := q.Sub(p)
	v, ok := d.At(contact.SaddleReference)
	require.True(t, ok)
	assert.Equal(t, r3.Vec{X: -3, Z: 4}, v)
	a, ok := d.Attitude(contact.SaddleReference)
	require.True(t, ok)
	assert.Equal(t, contact.Attitude{Tilt: -1, Yaw: -1, Roll: -0.5}, a)
	_, ok = d.At(contact.SaddleNose)
	assert.False(t, ok, "only one of the two knows the nose")
	site, far, ok := d.Largest()
	require.True(t, ok)
	assert.Equal(t, contact.SaddleReference, site)
	assert.Equal(t, 5.0, far)
}

func TestMirror(t *testing.T) {
	p := sound()
	m := p.Mirror()
	l, ok := m.At(contact.HoodsLeft)
	require.True(t, ok)
	assert.Equal(t, r3.Vec{X: 602, Y: 206, Z: 656}, l)
	_, ok = m.At(contact.PedalLeft)
	assert.False(t, ok)
	a, _ := m.Attitude(contact.SaddleReference)
	assert.Equal(t, contact.Attitude{Tilt: -2, Yaw: -1, Roll: -0.5}, a)
	assert.True(t, p == m.Mirror())
	require.NoError(t, m.Validate())
}

func TestSiteNamesAndSides(t *testing.T) {
	for _, s := range contact.Sites() {
		got, err := contact.ParseSite(s.String())
		require.NoError(t, err)
		assert.Equal(t, s, got)
		text, err := s.MarshalText()
		require.NoError(t, err)
		var back contact.Site
		require.NoError(t, back.UnmarshalText(text))
		assert.Equal(t, s, back)
		switch s.Side() {
		case contact.Centre:
			assert.Equal(t, s, s.On(contact.Left))
		default:
			l, r := s.On(contact.Left), s.On(contact.Right)
			assert.Equal(t, contact.Left, l.Side())
			assert.Equal(t, contact.Right, r.Side())
			assert.Equal(t, s, s.On(s.Side()))
			assert.Equal(t, l.String()[:len(l.String())-len("_left")], r.String()[:len(r.String())-len("_right")])
		}
	}
	assert.Equal(t, contact.HoodsRight, contact.HoodsLeft.On(contact.Right))
	var s contact.Site
	for _, err := range []error{s.UnmarshalText([]byte("bell")), func() error { _, err := contact.Site(99).MarshalText(); return err }()} {
		require.ErrorIs(t, err, contact.ErrUnknown)
	}
	assert.Equal(t, "left", contact.Left.String())
	assert.Equal(t, "side(9)", contact.Side(9).String())
	assert.Equal(t, contact.Centre, contact.Site(99).Side())
}

// A site that does not exist, or was not chosen, must not panic anywhere, and
// must not go unnoticed.
func TestSiteThatDoesNotExist(t *testing.T) {
	for bad, name := range map[contact.Site]string{99: "site(99)", 0: "site(0)", contact.Site(contact.SiteCount): fmt.Sprintf("site(%d)", contact.SiteCount)} {
		var p contact.Position
		p.Set(bad, r3.Vec{X: 1})
		require.ErrorIs(t, p.Validate(), contact.ErrUnknown)
		p.SetAttitude(bad, contact.Attitude{})
		p.Forget(bad)
		_, ok := p.At(bad)
		assert.False(t, ok)
		_, ok = p.Attitude(bad)
		assert.False(t, ok)
		require.ErrorIs(t, p.Validate(), contact.ErrUnknown)
		assert.Equal(t, name, bad.String())
		assert.False(t, bad.Valid())
	}
}

func TestValidate(t *testing.T) {
	require.NoError(t, sound().Validate())
	nan := math.NaN()
	for name, c := range map[string]struct {
		change func(*contact.Position)
		class  error
		path   string
	}{
		"NaN":                 {func(p *contact.Position) { p.Set(contact.HoodsLeft, r3.Vec{X: 600, Y: nan}) }, contact.ErrRange, "sites.hoods_left.at_mm[1]"},
		"infinite":            {func(p *contact.Position) { p.Set(contact.TopsLeft, r3.Vec{Z: math.Inf(1)}) }, contact.ErrRange, "sites.tops_left.at_mm[2]"},
		"far away":            {func(p *contact.Position) { p.Set(contact.BarClamp, r3.Vec{X: 2000.1}) }, contact.ErrRange, "sites.bar_clamp.at_mm[0]"},
		"tilt":                {func(p *contact.Position) { p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: 91}) }, contact.ErrRange, "sites.saddle_reference.attitude.tilt_deg"},
		"yaw":                 {func(p *contact.Position) { p.SetAttitude(contact.HoodsLeft, contact.Attitude{Yaw: -181}) }, contact.ErrRange, "sites.hoods_left.attitude.yaw_deg"},
		"roll":                {func(p *contact.Position) { p.SetAttitude(contact.HoodsLeft, contact.Attitude{Roll: nan}) }, contact.ErrRange, "sites.hoods_left.attitude.roll_deg"},
		"metres":              {func(p *contact.Position) { p.Set(contact.SaddleReference, r3.Vec{X: -0.21, Z: 0.72}) }, contact.ErrUnit, "sites.saddle_reference.at_mm"},
		"inches":              {func(p *contact.Position) { p.Set(contact.SaddleReference, r3.Vec{X: -8.3, Z: 28.3}) }, contact.ErrUnit, "sites.saddle_reference.at_mm"},
		"centimetres":         {func(p *contact.Position) { p.Set(contact.PedalLeft, r3.Vec{X: 17.25, Y: 7.3}) }, contact.ErrUnit, "sites.pedal_left.at_mm[0]"},
		"saddle too near":     {func(p *contact.Position) { p.Set(contact.SaddleReference, r3.Vec{X: -70, Z: 200}) }, contact.ErrRange, "sites.saddle_reference.at_mm"},
		"saddle below":        {func(p *contact.Position) { p.Set(contact.SaddleReference, r3.Vec{X: -210, Z: -720}) }, contact.ErrConflict, "sites.saddle_reference.at_mm[2]"},
		"nose behind":         {func(p *contact.Position) { p.Set(contact.SaddleNose, r3.Vec{X: -211, Z: 720}) }, contact.ErrConflict, "sites.saddle_nose.at_mm[0]"},
		"rear in front":       {func(p *contact.Position) { p.Set(contact.SaddleRear, r3.Vec{X: -200, Z: 720}) }, contact.ErrConflict, "sites.saddle_reference.at_mm[0]"},
		"hoods swapped":       {func(p *contact.Position) { p.Set(contact.HoodsLeft, r3.Vec{X: 600, Y: -210, Z: 660}) }, contact.ErrConflict, "sites.hoods_left.at_mm[1]"},
		"one side, wrong one": {func(p *contact.Position) { p.Set(contact.DropsRight, r3.Vec{X: 540, Y: 200, Z: 520}) }, contact.ErrConflict, "sites.drops_right.at_mm[1]"},
		"hands in inches":     {func(p *contact.Position) { p.Set(contact.HoodsLeft, r3.Vec{X: 22.8, Y: 8.3, Z: 25.8}) }, contact.ErrUnit, "sites.hoods_left.at_mm[2]"},
		"sole at the crank":   {func(p *contact.Position) { p.Set(contact.FootLeft, r3.Vec{X: 172.5, Y: 125, Z: 705}) }, contact.ErrRange, "sites.foot_left.at_mm[2]"},
		"crank upright":       {func(p *contact.Position) { p.Set(contact.PedalLeft, r3.Vec{X: 60, Y: 75, Z: 160}) }, contact.ErrRange, "sites.pedal_left.at_mm[2]"},
		"hands behind":        {func(p *contact.Position) { p.Set(contact.BarClamp, r3.Vec{X: -301, Z: 620}) }, contact.ErrConflict, "sites.bar_clamp.at_mm[0]"},
		"setback as X":        {func(p *contact.Position) { p.Set(contact.SaddleReference, r3.Vec{X: 205, Z: 705}) }, contact.ErrRange, "sites.saddle_reference.at_mm[0]"},
		"X backwards": {func(p *contact.Position) {
			*p = contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: 195, Z: 720}, contact.HoodsLeft: {X: -41, Y: 205, Z: 640}})
		}, contact.ErrRange, "sites.saddle_reference.at_mm[0]"},
		"left pedal right": {func(p *contact.Position) { p.Set(contact.PedalLeft, r3.Vec{X: 170, Y: -75}) }, contact.ErrConflict, "sites.pedal_left.at_mm[1]"},
	} {
		p := sound()
		c.change(&p)
		err := p.Validate()
		require.ErrorIs(t, err, c.class, name)
		require.NotEmpty(t, contact.Faults(err), name)
		assert.Equal(t, c.path, contact.Faults(err)[0].Path, name)
		for range 3 {
			assert.Equal(t, err.Error(), p.Validate().Error(), "the same order each time")
		}
	}
}

func TestFaults(t *testing.T) {
	a := &contact.Error{Path: "a", Class: contact.ErrMissing}
	b := &contact.Error{Path: "b", Value: "7.3 degrees", Want: "50 to 90 degrees", Class: contact.ErrRange}
	err := fmt.Errorf("file: %w", errors.Join(a, errors.New("other"), fmt.Errorf("more: %w", b)))
	assert.Equal(t, []*contact.Error{a, b}, contact.Faults(err))
	assert.Nil(t, contact.Faults(nil))
	assert.Nil(t, contact.Faults(errors.New("other")))
	assert.Equal(t, "a missing", a.Error())
	assert.Equal(t, "b 7.3 degrees: want 50 to 90 degrees", b.Error())
	c := *b
	c.Line = 12
	assert.Equal(t, "line 12: b 7.3 degrees: want 50 to 90 degrees", c.Error())
	var e *contact.Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "a", e.Path)
}

// The ends of a range belong to it, and the number past the last name has none.
func TestEndsOfRanges(t *testing.T) {
	at := func(s contact.Site, v r3.Vec) contact.Position { return contact.New(map[contact.Site]r3.Vec{s: v}) }
	for _, c := range []struct {
		in, out contact.Position
	}{
		{at(contact.SaddleReference, r3.Vec{Z: 300}), at(contact.SaddleReference, r3.Vec{Z: math.Nextafter(300, 0)})},
		{at(contact.SaddleReference, r3.Vec{Z: 1300}), at(contact.SaddleReference, r3.Vec{Z: math.Nextafter(1300, 2000)})},
		{at(contact.PedalLeft, r3.Vec{X: 50}), at(contact.PedalLeft, r3.Vec{X: math.Nextafter(50, 0)})},
		{at(contact.PedalRight, r3.Vec{X: 250}), at(contact.PedalRight, r3.Vec{X: math.Nextafter(250, 300)})},
		// The level of a crank that is 3 degrees off.
		{at(contact.PedalLeft, r3.Vec{X: 170, Z: 170 * math.Sin(3*math.Pi/180)}), at(contact.PedalLeft, r3.Vec{X: 170, Z: 10.1})},
		{at(contact.PedalLeft, r3.Vec{X: 170, Z: -8.9}), at(contact.PedalLeft, r3.Vec{X: 170, Z: -500})},
		// A pedal's sole at -20 to 80 mm, on shims of up to 60 mm (fitgeom/part).
		{at(contact.FootLeft, r3.Vec{X: 170, Z: -20}), at(contact.FootLeft, r3.Vec{X: 170, Z: -20.1})},
		{at(contact.FootLeft, r3.Vec{X: 170, Z: 140}), at(contact.FootLeft, r3.Vec{X: 170, Z: 172.5})},
	} {
		assert.NoError(t, c.in.Validate())
		assert.ErrorIs(t, c.out.Validate(), contact.ErrRange)
	}
	for _, s := range contact.Sites() {
		lo, hi := s.Range()
		for i, c := range [...]func(*r3.Vec) *float64{
			func(v *r3.Vec) *float64 { return &v.X }, func(v *r3.Vec) *float64 { return &v.Y }, func(v *r3.Vec) *float64 { return &v.Z },
		} {
			for _, end := range []float64{*c(&lo) - 1, *c(&hi) + 1} {
				v := s.Usual()
				assert.True(t, *c(&v) >= *c(&lo) && *c(&v) <= *c(&hi), s)
				*c(&v) = end
				assert.NotEmpty(t, contact.Faults(at(s, v).Validate()), "%v %d %v", s, i, end)
			}
		}
	}
	lo, hi := contact.Site(200).Range()
	assert.Equal(t, [2]r3.Vec{}, [2]r3.Vec{lo, hi})
	beside := at(contact.HoodsLeft, r3.Vec{X: 500, Z: 600})
	beside.Set(contact.HoodsRight, r3.Vec{X: 500, Z: 600})
	assert.ErrorIs(t, beside.Validate(), contact.ErrConflict, "one place is not to the left of itself")
	level := at(contact.SaddleReference, r3.Vec{X: -200, Z: 700})
	level.Set(contact.SaddleNose, r3.Vec{X: -200, Z: 700})
	assert.ErrorIs(t, level.Validate(), contact.ErrConflict, "a nose is in front")
	assert.ErrorIs(t, at(contact.SaddleReference, r3.Vec{X: -500}).Validate(), contact.ErrConflict, "a saddle is above the bottom bracket")

	assert.Equal(t, "axis(6)", (contact.AxisRoll + 1).String())
	assert.Equal(t, fmt.Sprintf("site(%d)", contact.SiteCount), contact.Site(contact.SiteCount).String())
	assert.Equal(t, "site(0)", contact.Site(0).String())
	assert.Equal(t, "side(3)", (contact.Right + 1).String())

	// Of equal moves the first is the longest.
	p, q := at(contact.SaddleReference, r3.Vec{X: 3}), at(contact.SaddleReference, r3.Vec{})
	p.Set(contact.BarClamp, r3.Vec{Z: 3})
	q.Set(contact.BarClamp, r3.Vec{})
	s, far, ok := p.Sub(q).Largest()
	assert.True(t, ok)
	assert.Equal(t, 3., far)
	assert.Equal(t, contact.SaddleReference, s)
}
