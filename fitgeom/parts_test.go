package fitgeom_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// place is the forward map again, put together from rotations in space (gonum's,
// right-handed: a turn about Y by a positive angle is nose-down) and from the
// words of the documentation; the frame is pitched by trying until both tyres
// stand on level ground.
func place(t *testing.T, b fitgeom.Build) contact.Position {
	noseUp := func(v r3.Vec, deg float64) r3.Vec {
		return r3.NewRotation(-deg*math.Pi/180, r3.Vec{Y: 1}).Rotate(v)
	}
	g, s := b.Frame.Geometry, b.Settings
	pitch := 0.0
	if b.Wheels != (chart.Wheels{}) {
		front, _ := g.FrontAxle()
		rear, _ := g.RearAxle()
		front = r3.Add(front, noseUp(r3.Vec{X: b.Wheels.FrontSag}, 180-g.HeadAngle))
		rear.Z += b.Wheels.RearSag
		rf, rr := b.Wheels.FrontRadius, b.Wheels.RearRadius
		if rf == 0 {
			rf = g.Axles.FrontRadius
		}
		if rr == 0 {
			rr = g.Axles.RearRadius
		}
		lo, hi := -20.0, 20.0
		for range 80 { // the front tyre's lowest point above the rear one's grows with the pitch
			pitch = (lo + hi) / 2
			if noseUp(front, pitch).Z-rf > noseUp(rear, pitch).Z-rr {
				hi = pitch
			} else {
				lo = pitch
			}
		}
	}
	// X along a line at an angle from level at the front, as the bike stands.
	along := func(deg, by float64) r3.Vec { return noseUp(r3.Vec{X: by}, deg+pitch) }
	points := map[contact.Site]r3.Vec{}
	both := func(left contact.Site, from, at r3.Vec) {
		points[left] = r3.Add(from, at)
		points[left.On(contact.Right)] = r3.Add(from, r3.Vec{X: at.X, Y: -at.Y, Z: at.Z})
	}

	seat := 180 - g.SeatAngle // the direction up the seat tube
	clamp := r3.Add(along(seat, b.Frame.SeatTubeTop+s.SeatpostExtension-s.Lowered), r3.Add(along(seat-90, g.SeatOffset), along(seat+90, b.Seatpost.Setback)))
	saddle := func(x, z float64) r3.Vec {
		return r3.Add(clamp, noseUp(r3.Vec{X: s.RailClamp + x, Z: z}, s.SaddleTilt))
	}
	back := b.Saddle.Station
	if b.Saddle.ReferenceWidth != 0 {
		back += (80 - b.Saddle.ReferenceWidth) * b.Saddle.Widening
	}
	edge := b.Saddle.Height + b.Saddle.Dip
	points[contact.SaddleReference] = saddle(-back, b.Saddle.Height)
	points[contact.SaddleNose] = saddle(0, edge-b.Saddle.NoseDroop)
	points[contact.SaddleRear] = saddle(-b.Saddle.Length, edge-b.Saddle.RearDroop)

	stem, roll := b.Stem, s.BarRotation
	head := 180 - g.HeadAngle
	if b.Handlebar.Stem != (part.Stem{}) {
		stem = b.Handlebar.Stem
		roll = head + pitch - (180 - b.Handlebar.DrawnAt)
	}
	angle := stem.Angle
	if s.Flipped {
		angle = -angle
	}
	top := noseUp(r3.Vec{X: g.Reach, Z: g.Stack}, pitch)
	bar := r3.Add(top, r3.Add(along(head, b.Cap.Height+s.Spacers+stem.Height/2), along(head-90+angle, stem.Length)))
	points[contact.BarClamp] = bar
	switch {
	case b.Handlebar.Drop != part.DropBar{}:
		d := b.Handlebar.Drop
		lean := r3.NewRotation(d.Flare*math.Pi/180, r3.Vec{X: 1})
		hood := r3.Add(lean.Rotate(r3.Vec{X: d.Reach + b.Lever.Reach, Z: b.Lever.Rise}), r3.Vec{Y: d.Width / 2})
		both(contact.HoodsLeft, bar, noseUp(hood, roll))
		if d.TopsWidth > 0 {
			both(contact.TopsLeft, bar, r3.Vec{Y: d.TopsWidth / 2})
		}
		width := d.DropsWidth
		if d.Flare > 0 { // the side of the bend leans out by the flare
			width = d.Width + 2*r3.NewRotation(d.Flare*math.Pi/180, r3.Vec{X: 1}).Rotate(r3.Vec{Z: -d.Drop / math.Cos(d.Flare*math.Pi/180)}).Y
		}
		if width > 0 {
			both(contact.DropsLeft, bar, noseUp(r3.Vec{X: d.Reach - d.Hook, Y: width / 2, Z: -d.Drop}, roll))
		}
	case b.Handlebar.Flat != part.FlatBar{}:
		f := b.Handlebar.Flat
		// A tube to the left, bent up and then back, as long as the width demands.
		tube := r3.NewRotation(f.Upsweep*math.Pi/180, r3.Vec{X: 1}).Rotate(r3.Vec{Y: 1})
		tube = r3.NewRotation(f.Backsweep*math.Pi/180, r3.Vec{Z: 1}).Rotate(tube)
		from := r3.Vec{X: f.Forward, Y: f.Centre / 2, Z: f.Rise}
		length := (f.Width/2 - from.Y) / tube.Y
		both(contact.GripLeft, bar, noseUp(r3.Add(from, r3.Scale(length-f.Hand, tube)), roll))
	default:
		both(contact.GripLeft, bar, noseUp(r3.Vec{X: b.Handlebar.Base.Reach, Y: b.Handlebar.Base.Width / 2, Z: b.Handlebar.Base.Rise}, roll))
	}
	if a := b.Aero; a != (part.AeroBar{}) {
		both(contact.PadLeft, bar, noseUp(r3.Vec{X: s.PadForward, Y: s.PadWidth / 2, Z: s.PadRise}, s.AeroTilt))
		start := noseUp(r3.Vec{Z: s.PadRise - a.ExtensionDrop}, s.AeroTilt)
		both(contact.ExtensionLeft, bar, r3.Add(start, noseUp(r3.Vec{X: s.Extension, Y: a.ExtensionWidth / 2}, s.AeroTilt+a.ExtensionAngle)))
	}
	both(contact.PedalLeft, r3.Vec{}, r3.Vec{X: b.Crank.Length, Y: b.Crank.QFactor / 2})
	if b.Pedal != (part.Pedal{}) {
		y := b.Crank.QFactor/2 + b.Pedal.FootOffset
		points[contact.FootLeft] = r3.Vec{X: b.Crank.Length, Y: y, Z: b.Pedal.FootHeight + s.LiftLeft}
		points[contact.FootRight] = r3.Vec{X: b.Crank.Length, Y: -y, Z: b.Pedal.FootHeight + s.LiftRight}
	}
	return contact.New(points)
}

func TestForwardMapOfEveryKind(t *testing.T) {
	for round := range 140 {
		rng := rand.New(rand.NewPCG(8, uint64(round)))
		b := invented.Draw(rng, invented.BikeKinds[round%len(invented.BikeKinds)], false).Build
		if b.Seatpost.Travel > 0 {
			b.Settings.Lowered = b.Seatpost.Travel * rng.Float64()
		}
		if round%5 == 0 {
			b.Wheels = chart.Wheels{FrontSag: 40, RearSag: 50, FrontRadius: 355}
		}
		want, got := place(t, b), invented.Position(b)
		count := 0
		for s, v := range got.All() {
			w, known := want.At(s)
			require.True(t, known, "round %d, %v", round, s)
			near(t, w, v, tolMM, round, s)
			count++
		}
		for range want.All() {
			count--
		}
		require.Zero(t, count, "round %d: the same sites", round)
	}
}

// Pads face as the aero bar is turned, and extensions by the angle of their tubes more.
func TestFacingOfAeroBars(t *testing.T) {
	b := invented.Everything()
	b.Settings.AeroTilt, b.Aero.ExtensionAngle = 4, 12
	b.Aero.Tilt = part.Steps{To: 8, Step: 1}
	p := invented.Position(b)
	for site, want := range map[contact.Site]float64{contact.PadLeft: 4, contact.PadRight: 4, contact.ExtensionLeft: 16, contact.ExtensionRight: 16} {
		got, ok := p.Attitude(site)
		require.True(t, ok, "%v", site)
		assert.InDelta(t, want, got.Tilt, 1e-12, "%v", site)
	}
}

// A part of a shelf that is none is told, with its place; so is a kind that every bike needs.
func TestShelfFaults(t *testing.T) {
	s := invented.Shelf()
	require.NoError(t, s.Validate())
	s.Stems[2].Length, s.Saddles[1].Length = 5, 5
	s.Cranks = nil
	var paths []string
	for _, f := range contact.Faults(s.Validate()) {
		paths = append(paths, f.Path)
	}
	assert.Subset(t, paths, []string{"stems[2].length_mm", "saddles[1].length_mm", "cranks"})
	for _, path := range paths {
		assert.Regexp(t, `^(stems\[2\]|saddles\[1\]|cranks)`, path, "a part that is one")
	}
}

// Other tyres alone: the formula of the design, asin((rF′−rR′)/D) − asin((rF−rR)/D),
// and with equal wheels on both sides nothing turns.
func TestPitch(t *testing.T) {
	f := invented.Road54()
	got, ok := f.Geometry.Pitch(chart.Wheels{FrontRadius: 350, RearRadius: 335})
	require.True(t, ok)
	front, _ := f.Geometry.FrontAxle()
	rear, _ := f.Geometry.RearAxle()
	d := r3.Norm(r3.Sub(front, rear))
	assert.InDelta(t, math.Asin(15/d)*180/math.Pi, got, 1e-9, "positive: nose up")

	got, ok = f.Geometry.Pitch(chart.Wheels{FrontRadius: 350, RearRadius: 350})
	require.True(t, ok)
	assert.InDelta(t, 0, got, 1e-12)
	got, ok = f.Geometry.Pitch(chart.Wheels{FrontSag: 30})
	require.True(t, ok)
	assert.Less(t, got, 0.0, "a fork that sags turns the frame nose-down")
	got, ok = f.Geometry.Pitch(chart.Wheels{RearSag: 30})
	require.True(t, ok)
	assert.Greater(t, got, 0.0)
	require.NoError(t, f.ValidateOn(chart.Wheels{RearSag: 30}))

	f.Geometry.Axles = chart.Axles{}
	_, ok = f.Geometry.Pitch(chart.Wheels{RearSag: 30})
	require.False(t, ok)
	require.ErrorIs(t, f.ValidateOn(chart.Wheels{RearSag: 30}), contact.ErrMissing)
	_, ok = f.Geometry.Pitch(chart.Wheels{})
	require.True(t, ok)
	require.NoError(t, f.ValidateOn(chart.Wheels{}))
	require.ErrorIs(t, invented.Road54().ValidateOn(chart.Wheels{FrontRadius: 440, RearRadius: 110}), contact.ErrConflict)
	require.ErrorIs(t, invented.Road54().ValidateOn(chart.Wheels{FrontSag: math.NaN()}), contact.ErrRange)
}

func TestPartFaults(t *testing.T) {
	flat := part.Handlebar{ClampDiameter: 31.8, Flat: part.FlatBar{Width: 720, Centre: 100, Hand: 60}}
	onePiece := part.Handlebar{DrawnAt: 73, Stem: part.Stem{Length: 100, Height: 40, SteererDiameter: 28.6}, Base: part.BaseBar{Width: 400}}
	require.NoError(t, flat.Validate())
	require.NoError(t, onePiece.Validate())
	for name, c := range map[string]struct {
		err   error
		path  string
		class error
	}{
		"no shape":        {part.Handlebar{ClampDiameter: 31.8}.Validate(), "drop", contact.ErrConflict},
		"two shapes":      {part.Handlebar{ClampDiameter: 31.8, Flat: flat.Flat, Base: onePiece.Base}.Validate(), "drop", contact.ErrConflict},
		"one that rolls":  {func() error { b := onePiece; b.RotationRange = 5; return b.Validate() }(), "rotation_range_deg", contact.ErrRange},
		"far beyond":      {func() error { b := onePiece; b.RotationRange = 31; return b.Validate() }(), "rotation_range_deg", contact.ErrRange},
		"clamped, thick":  {func() error { b := onePiece; b.ClampDiameter = 46; return b.Validate() }(), "clamp_diameter_mm", contact.ErrRange},
		"not drawn":       {func() error { b := onePiece; b.DrawnAt = 0; return b.Validate() }(), "drawn_at_deg", contact.ErrRange},
		"its stem":        {func() error { b := onePiece; b.Stem.Length = 19; return b.Validate() }(), "stem.length_mm", contact.ErrRange},
		"drawn for none":  {func() error { b := flat; b.DrawnAt = 73; return b.Validate() }(), "stem.length_mm", contact.ErrRange},
		"width in cm":     {func() error { b := flat; b.Flat.Width = 72; return b.Validate() }(), "flat.width_mm", contact.ErrUnit},
		"base":            {func() error { b := onePiece; b.Base.Reach = -1; return b.Validate() }(), "base.reach_mm", contact.ErrRange},
		"two widths":      {part.DropBar{Width: 420, DropsWidth: 440, Flare: 12, Reach: 80, Drop: 120}.Validate(), "flare_deg", contact.ErrConflict},
		"NaN sweep":       {func() error { b := flat; b.Flat.Backsweep = math.NaN(); return b.Validate() }(), "flat.backsweep_deg", contact.ErrRange},
		"aero, no steps":  {func() error { a := invented.Everything().Aero; a.Tilt = part.Steps{To: 10}; return a.Validate() }(), "tilt_deg.step", contact.ErrRange},
		"aero, tiny step": {func() error { a := invented.Everything().Aero; a.PadForward.Step = 1e-6; return a.Validate() }(), "pad_forward_mm.step", contact.ErrRange},
		"aero, backwards": {func() error { a := invented.Everything().Aero; a.PadWidth.To = 10; return a.Validate() }(), "pad_width_mm.to", contact.ErrRange},
		"frame":           {fitgeom.Frame{}.Validate(), "geometry.stack_mm", contact.ErrRange},
		"pedal":           {part.Pedal{FootHeight: 100, FootOffset: 50}.Validate(), "foot_height_mm", contact.ErrRange},
		"saddle at 70 mm": {part.Saddle{Length: 270, Station: 120, ReferenceWidth: 70, Height: 48, RailsFrom: 110, RailsTo: 180}.Validate(), "widening", contact.ErrMissing},
		"saddle too wide": {part.Saddle{Length: 270, Station: 120, ReferenceWidth: 40, Widening: 5, Height: 48, RailsFrom: 110, RailsTo: 180}.Validate(), "widening", contact.ErrConflict},
		"shim":            {part.Shim{Inner: 31.6, Outer: 27.2}.Validate(), "outer_diameter_mm", contact.ErrRange},
		"rounding":        {chart.Rounding{LengthStep: -1}.Validate(), "length_step_mm", contact.ErrRange},
	} {
		t.Run(name, func(t *testing.T) {
			require.ErrorIs(t, c.err, c.class)
			all := contact.Faults(c.err)
			assert.Equal(t, c.path, all[0].Path)
			for _, f := range all[1:] {
				assert.NotEqual(t, c.path, f.Path, "told twice")
			}
		})
	}
}

// Parts and settings that do not go together.
func TestConflicts(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*fitgeom.Build)
		path   string
	}{
		"no lever":       {func(b *fitgeom.Build) { b.Lever = part.Lever{} }, "lever"},
		"needless lever": {func(b *fitgeom.Build) { b.Handlebar.Drop = part.DropBar{}; b.Handlebar.Base = part.BaseBar{Width: 400} }, "lever"},
		"aero":           {func(b *fitgeom.Build) { b.Handlebar.AeroDiameter = 0 }, "aero.bar_diameter_mm"},
		"no aero":        {func(b *fitgeom.Build) { b.Aero = part.AeroBar{} }, "settings.pad_rise_mm"},
		"lift":           {func(b *fitgeom.Build) { b.Pedal = part.Pedal{} }, "settings.lift_left_mm"},
		"lowered":        {func(b *fitgeom.Build) { b.Settings.Lowered = 10 }, "settings.lowered_mm"},
		"thin bar shim":  {func(b *fitgeom.Build) { b.BarShim = part.Shim{Inner: 25.4, Outer: 31.8} }, "bar_shim.inner_diameter_mm"},
		"post shim":      {func(b *fitgeom.Build) { b.SeatpostShim = part.Shim{Inner: 27.2, Outer: 30.9} }, "seatpost_shim.outer_diameter_mm"},
		"two stems": {func(b *fitgeom.Build) {
			b.Handlebar.Stem = b.Stem
			b.Handlebar.DrawnAt, b.Handlebar.ClampDiameter, b.Handlebar.RotationRange = 73, 0, 0
			b.Settings.BarRotation = 0
		}, "stem"},
		"one that is turned": {func(b *fitgeom.Build) {
			b.Handlebar.Stem = b.Stem
			b.Handlebar.DrawnAt, b.Handlebar.ClampDiameter, b.Handlebar.RotationRange = 73, 0, 0
			b.Stem = part.Stem{}
		}, "settings.bar_rotation_deg"},
	} {
		t.Run(name, func(t *testing.T) {
			b := invented.Everything()
			c.change(&b)
			err := b.Validate()
			require.ErrorIs(t, err, contact.ErrConflict)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%v", err)
		})
	}
}

// Limits by plain arithmetic.
func TestMarginsOfEveryKind(t *testing.T) {
	b := invented.Everything()
	b.Frame.SteererCut = 70
	b.Settings.Spacers, b.Settings.SpacersAbove = 10, 8
	got := map[fitgeom.Limit]float64{}
	for _, m := range invented.Margins(b) {
		got[m.Limit] = m.Room
	}
	assert.InDelta(t, 70+5-40-15-10, got[fitgeom.LimitSpacersUp], tolMM, "the stem 5 mm above the steerer at most")
	assert.InDelta(t, 15+10+40+8-70-2, got[fitgeom.LimitSpacersAbove], tolMM)
	assert.InDelta(t, 90-60, got[fitgeom.LimitPadsUp], tolMM)
	assert.InDelta(t, 60-40, got[fitgeom.LimitPadsDown], tolMM)
	assert.InDelta(t, 0+30, got[fitgeom.LimitPadsForward], tolMM)
	assert.InDelta(t, 330-290, got[fitgeom.LimitExtensionsOut], tolMM)
	assert.InDelta(t, 15-5, got[fitgeom.LimitAeroTiltUp], tolMM)
	b.Seatpost.MaxExtension = 180
	for _, m := range invented.Margins(b) {
		if m.Limit == fitgeom.LimitSeatpostUp {
			assert.InDelta(t, 10, m.Room, tolMM)
		}
	}
}

func TestPositionDoesNotAllocate(t *testing.T) {
	b := invented.Everything()
	var p contact.Position
	assert.Zero(t, testing.AllocsPerRun(100, func() { p, _ = b.Position() }))
	for _, s := range []contact.Site{contact.SaddleRear, contact.DropsRight, contact.PadLeft, contact.ExtensionRight, contact.FootLeft} {
		site(t, p, s)
	}
}
