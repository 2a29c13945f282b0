package fitgeom_test

import (
	"math"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	gocmp "github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const tolMM = 1e-6

func near(t *testing.T, want, got r3.Vec, tol float64, msg ...any) {
	t.Helper()
	if d := r3.Norm(r3.Sub(want, got)); !(d <= tol) {
		t.Errorf("want %v, got %v (%.3g apart) %v", want, got, d, msg)
	}
}

func site(t *testing.T, p contact.Position, s contact.Site) r3.Vec {
	t.Helper()
	v, ok := p.At(s)
	require.True(t, ok, "%v is known", s)
	return v
}

// The plane geometry of a stem on a steerer, derived apart from this code and
// checked with coordinates: a worked example of identities, not a publication.
func TestClampOfWorkedExample(t *testing.T) {
	for _, c := range []struct {
		spacers, length, angle float64
		want                   r3.Vec
	}{
		{30, 110, -6, r3.Vec{X: 478.360405, Z: 628.804227}},
		{0, 110, -17, r3.Vec{X: 489.152566, Z: 579.126095}},
		{20, 100, 6, r3.Vec{X: 465.355617, Z: 637.325303}},
		{30, 100, -17, r3.Vec{X: 470.381415, Z: 607.815238}},
	} {
		b := invented.Build()
		b.Cap.Height = 0
		b.Stem.Length, b.Stem.Angle, b.Stem.Height = c.length, c.angle, 40
		b.Settings.Spacers = c.spacers
		near(t, c.want, site(t, invented.Position(b), contact.BarClamp), tolMM, c)
	}
}

// Common practice, no source: a -17° stem lies level on a 73° head angle, and a
// spacer moves the bar along the steerer.
func TestStemAndSpacersAt73(t *testing.T) {
	b := invented.Build()
	b.Stem.Angle = -17
	foot := b
	foot.Stem.Length = 100
	b.Stem.Length = 150
	long, short := site(t, invented.Position(b), contact.BarClamp), site(t, invented.Position(foot), contact.BarClamp)
	near(t, r3.Vec{X: 50}, r3.Sub(long, short), tolMM, "level")

	more := b
	more.Settings.Spacers += 10
	sin, cos := math.Sincos(73 * math.Pi / 180)
	near(t, r3.Vec{X: -10 * cos, Z: 10 * sin}, r3.Sub(site(t, invented.Position(more), contact.BarClamp), long), tolMM)
}

// The saddle point of the worked example: 730 mm up a seat tube of 73.5°, and
// from there to the first stem's clamp.
func TestSaddleOfWorkedExample(t *testing.T) {
	b := invented.Build()
	b.Seatpost.Setback = 0
	b.Seatpost.Length = 450
	b.Settings.SaddleTilt = 90 - 73.5 // square to the post, whose line the stack of the saddle continues
	b.Settings.RailClamp = b.Saddle.Station
	b.Settings.SeatpostExtension = 730 - 500 - b.Saddle.Height
	p := invented.Position(b)
	want := r3.Vec{X: -207.331202, Z: 699.938406}
	near(t, want, site(t, p, contact.SaddleReference), tolMM)

	b.Cap.Height, b.Settings.Spacers = 0, 30
	b.Stem.Length, b.Stem.Angle, b.Stem.Height = 110, -6, 40
	to := r3.Sub(site(t, invented.Position(b), contact.BarClamp), want)
	near(t, r3.Vec{X: 685.691607, Z: -71.134179}, to, 2*tolMM)
	assert.InDelta(t, 689.371490, r3.Norm(to), 2*tolMM)
}

// What each setting and part does to the contact points, by plain reasoning.
func TestForwardMap(t *testing.T) {
	b := invented.Build()
	p := invented.Position(b)

	for _, s := range []contact.Site{
		contact.SaddleReference, contact.SaddleNose, contact.SaddleRear, contact.BarClamp, contact.TopsLeft, contact.TopsRight,
		contact.HoodsLeft, contact.HoodsRight, contact.DropsLeft, contact.DropsRight, contact.PedalLeft, contact.PedalRight,
	} {
		site(t, p, s)
	}
	assert.Equal(t, p, p.Mirror(), "a build is symmetric")
	near(t, r3.Vec{X: 172.5, Y: 73}, site(t, p, contact.PedalLeft), 0)
	a, ok := p.Attitude(contact.SaddleReference)
	assert.True(t, ok)
	assert.Equal(t, contact.Attitude{Tilt: -1}, a)

	nose, rear := site(t, p, contact.SaddleNose), site(t, p, contact.SaddleRear)
	assert.InDelta(t, 270, r3.Norm(r3.Sub(nose, rear)), tolMM)
	assert.InDelta(t, -1, math.Atan2(nose.Z-rear.Z, nose.X-rear.X)*180/math.Pi, tolMM)

	level := b
	level.Settings.BarRotation = 0
	clamp := site(t, invented.Position(level), contact.BarClamp)
	near(t, r3.Vec{X: 115, Y: 210, Z: 25}, r3.Sub(site(t, invented.Position(level), contact.HoodsLeft), clamp), tolMM)
	near(t, r3.Vec{X: 20, Y: 220, Z: -125}, r3.Sub(site(t, invented.Position(level), contact.DropsLeft), clamp), tolMM)
	near(t, r3.Vec{Y: -100}, r3.Sub(site(t, invented.Position(level), contact.TopsRight), clamp), tolMM)
	assert.Greater(t, site(t, p, contact.HoodsLeft).Z, site(t, invented.Position(level), contact.HoodsLeft).Z, "positive roll lifts the hoods")

	move := func(change func(*fitgeom.Build)) contact.Difference {
		c := b
		change(&c)
		return invented.Position(c).Sub(p)
	}
	d := move(func(b *fitgeom.Build) { b.Settings.RailClamp += 10 })
	v, _ := d.At(contact.SaddleReference)
	near(t, r3.Vec{X: 10 * math.Cos(math.Pi/180), Z: -10 * math.Sin(math.Pi/180)}, v, tolMM, "along the tilted rails, forward")
	v, _ = d.At(contact.HoodsLeft)
	assert.Zero(t, v)

	d = move(func(b *fitgeom.Build) { b.Settings.SeatpostExtension += 10 })
	v, _ = d.At(contact.SaddleNose)
	sin, cos := math.Sincos(73.5 * math.Pi / 180)
	near(t, r3.Vec{X: -10 * cos, Z: 10 * sin}, v, tolMM, "along the seat tube")

	d = move(func(b *fitgeom.Build) { b.Seatpost.Setback += 10 })
	v, _ = d.At(contact.SaddleRear)
	near(t, r3.Vec{X: -10 * sin, Z: -10 * cos}, v, tolMM, "square to the post, back")

	d = move(func(b *fitgeom.Build) { b.Frame.Geometry.SeatOffset += 10 })
	v, _ = d.At(contact.SaddleReference)
	near(t, r3.Vec{X: 10 * sin, Z: 10 * cos}, v, tolMM, "seat tube that passes in front of the bottom bracket")

	flipped := b
	flipped.Settings.Flipped = true
	same := b
	same.Stem.Angle = 6
	assert.Equal(t, invented.Position(same), invented.Position(flipped), "a -6° stem upside down is a +6° stem")

	bare := b
	bare.Handlebar.Drop.TopsWidth, bare.Handlebar.Drop.DropsWidth = 0, 0
	for _, s := range []contact.Site{contact.TopsLeft, contact.DropsRight} {
		_, ok := invented.Position(bare).At(s)
		assert.False(t, ok, "%v is not offered", s)
	}
}

func TestMargins(t *testing.T) {
	b := invented.Build()
	got, err := b.Margins()
	require.NoError(t, err)
	want := []fitgeom.Margin{
		{Limit: fitgeom.LimitSeatpostUp, Room: 350 - 100 - 170},
		{Limit: fitgeom.LimitSeatpostDown, Room: 170 - 45},
		{Limit: fitgeom.LimitSaddleForward, Room: 180 - 150},
		{Limit: fitgeom.LimitSaddleBack, Room: 150 - 110},
		{Limit: fitgeom.LimitSpacersUp, Room: 55 - 15 - 15},
		{Limit: fitgeom.LimitSpacersDown, Room: 15},
		{Limit: fitgeom.LimitRotationUp, Room: 8 - 2},
		{Limit: fitgeom.LimitRotationDown, Room: 8 + 2},
	}
	if d := gocmp.Diff(want, got); d != "" {
		t.Error(d)
	}

	b.Seatpost.MinInsertion = 60 // now the frame's 80 mm count
	b.Frame.SeatpostDepth = 200  // the post stands on the bottom at 150 mm
	b.Settings.SeatpostExtension = 275
	got, err = b.Margins()
	require.NoError(t, err)
	assert.Equal(t, fitgeom.Margin{Limit: fitgeom.LimitSeatpostUp, Room: -5}, got[0], "beyond the limit")
	assert.Equal(t, fitgeom.Margin{Limit: fitgeom.LimitSeatpostDown, Room: 125}, got[1])
	assert.Equal(t, "raise the seatpost: -5.0 mm", got[0].String())
}

func TestBuildFaults(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*fitgeom.Build)
		path   string
		class  error
	}{
		"head angle":     {func(b *fitgeom.Build) { b.Frame.Geometry.HeadAngle = 7.3 }, "frame.geometry.head_angle_deg", contact.ErrRange},
		"stack in cm":    {func(b *fitgeom.Build) { b.Frame.Geometry.Stack = 56 }, "frame.geometry.stack_mm", contact.ErrUnit},
		"stem in inches": {func(b *fitgeom.Build) { b.Stem.Length = 4 }, "stem.length_mm", contact.ErrUnit},
		"no cap":         {func(b *fitgeom.Build) { b.Cap = part.HeadsetCap{} }, "cap.steerer_diameter_mm", contact.ErrRange},
		"NaN roll":       {func(b *fitgeom.Build) { b.Settings.BarRotation = math.NaN() }, "settings.bar_rotation_deg", contact.ErrRange},
		"post extension": {func(b *fitgeom.Build) { b.Settings.SeatpostExtension = math.Inf(1) }, "settings.seatpost_extension_mm", contact.ErrRange},
		"cap":            {func(b *fitgeom.Build) { b.Cap.SteererDiameter = 25.4 }, "cap.steerer_diameter_mm", contact.ErrConflict},
		"stem":           {func(b *fitgeom.Build) { b.Stem.SteererDiameter = 25.4 }, "stem.steerer_diameter_mm", contact.ErrConflict},
		"handlebar":      {func(b *fitgeom.Build) { b.Handlebar.ClampDiameter = 25.4 }, "handlebar.clamp_diameter_mm", contact.ErrConflict},
		"seatpost":       {func(b *fitgeom.Build) { b.Seatpost.Diameter = 31.6 }, "seatpost.diameter_mm", contact.ErrConflict},
		"flipped":        {func(b *fitgeom.Build) { b.Stem.Flippable = false; b.Settings.Flipped = true }, "settings.flipped", contact.ErrConflict},
		"rails":          {func(b *fitgeom.Build) { b.Saddle.RailsTo = b.Saddle.RailsFrom - 1 }, "saddle.rails_to_mm", contact.ErrRange},
		"lever":          {func(b *fitgeom.Build) { b.Lever.Rise = 200 }, "lever.rise_mm", contact.ErrRange},
		"crank":          {func(b *fitgeom.Build) { b.Crank.Length = 17.25 }, "crank.length_mm", contact.ErrUnit},
	} {
		t.Run(name, func(t *testing.T) {
			b := invented.Build()
			c.change(&b)
			p, err := b.Position()
			require.ErrorIs(t, err, c.class)
			require.Len(t, contact.Faults(err), 1)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path)
			assert.Equal(t, contact.Position{}, p)
			_, err = b.Margins()
			require.ErrorIs(t, err, c.class)
		})
	}

	_, err := fitgeom.Build{}.Position()
	paths := map[string]bool{}
	for _, f := range contact.Faults(err) {
		root, _, _ := strings.Cut(f.Path, ".")
		paths[root] = true
	}
	for _, kind := range []string{"frame", "cap", "stem", "handlebar", "seatpost", "saddle", "crank"} {
		assert.True(t, paths[kind], "the zero build has no %s", kind)
	}
}

func TestNames(t *testing.T) {
	assert.Equal(t, "limit(200)", fitgeom.Limit(200).String())
	assert.Equal(t, "caution(200)", fitgeom.Caution(200).String())
	assert.Equal(t, "policy(200)", fitgeom.CrankPolicy(200).String())
	assert.Equal(t, "limit(200)", fitgeom.Limit(200).Words())
	assert.Equal(t, "caution(200)", fitgeom.Caution(200).Words())
	assert.Empty(t, fitgeom.Limit(200).Unit())
	assert.Empty(t, fitgeom.Limit(0).Unit())
	assert.Equal(t, "keep_far_end", fitgeom.KeepFarEnd.String())
	assert.Equal(t, "keep_saddle", fitgeom.KeepSaddle.String())
	trial.Names(t, fitgeom.ParseCrankPolicy, fitgeom.KeepFarEnd, fitgeom.KeepSaddle)
	words := map[string]bool{}
	var limits []fitgeom.Limit
	for l := fitgeom.LimitSeatpostUp; l <= fitgeom.LimitExtensionsTogether; l++ {
		assert.NotEmpty(t, l.Unit(), l)
		assert.False(t, words[l.Words()], l)
		words[l.Words()] = true
		limits = append(limits, l)
	}
	trial.Names(t, fitgeom.ParseLimit, limits...)
	var cautions []fitgeom.Caution
	for c := fitgeom.CautionManufacturer; c <= fitgeom.CautionAssumed; c++ {
		assert.NotEmpty(t, c.Words(), c)
		assert.False(t, words[c.Words()], c)
		words[c.Words()] = true
		cautions = append(cautions, c)
	}
	trial.Names(t, fitgeom.ParseCaution, cautions...)
}

func TestFaultsOfOnePieces(t *testing.T) {
	b := invented.Build()
	b.Handlebar.DrawnAt, b.Handlebar.ClampDiameter, b.Handlebar.RotationRange = 73, 0, 0
	b.Handlebar.Stem = part.Stem{Length: 100, Angle: -8, Height: 40, SteererDiameter: 28.6}
	b.Stem, b.Settings.BarRotation = part.Stem{}, 0
	require.NoError(t, b.Validate())
	b.BarShim = part.Shim{Inner: 25.4, Outer: 31.8}
	require.ErrorIs(t, b.Validate(), contact.ErrConflict)
	assert.Equal(t, "bar_shim", contact.Faults(b.Validate())[0].Path)
}

// What a tired person types: stack and reach exchanged, a steerer in inches. A long reach
// is none of these.
func TestFramesOfTiredPeople(t *testing.T) {
	f := invented.Road54()
	f.Geometry.Stack, f.Geometry.Reach = f.Geometry.Reach, f.Geometry.Stack
	assert.True(t, trial.FaultAt(f.Validate(), "geometry.reach_mm", contact.ErrConflict), f.Validate())
	f.Geometry.Stack, f.Geometry.Reach = 480, 520
	require.NoError(t, f.Validate())
	f.SteererDiameter = 1.125
	assert.True(t, trial.FaultAt(f.Validate(), "steerer_diameter_mm", contact.ErrUnit), f.Validate())
	assert.ErrorContains(t, f.Validate(), "inches")
	b := invented.Build()
	b.Seatpost.Diameter = 2.72
	assert.True(t, trial.FaultAt(b.Validate(), "seatpost.diameter_mm", contact.ErrUnit), b.Validate())
}
