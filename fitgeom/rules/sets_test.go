package rules_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func day(t *testing.T, text string) rules.Date {
	t.Helper()
	d, err := rules.ParseDate(text)
	require.NoError(t, err)
	return d
}

func inForce(t *testing.T, d rules.Discipline, on string) rules.Set {
	t.Helper()
	set, ok := rules.InForce(d, day(t, on))
	require.True(t, ok, "%v on %s", d, on)
	return set
}

// limits is the bounds of a figure in a set.
func limits(s rules.Set, f rules.Figure) (all []string) {
	for _, r := range s.Rules {
		if r.Figure == f {
			all = append(all, fmt.Sprintf("%g to %g", r.Min, r.Max))
		}
	}
	return all
}

// stated is a build that states what all figures but that of flat bars need.
func stated() fitgeom.Build {
	b := invented.Everything()
	b.Frame.SteererCut, b.Frame.MaxFrontRadius, b.Frame.MaxRearRadius = 70, 350, 350
	b.Handlebar.Drop.DropsWidth, b.Handlebar.Drop.Flare, b.Handlebar.Drop.Tube, b.Lever.Breadth = 0, 12, 24, 36
	b.Aero.PadLength, b.Aero.PadBreadth = 120, 90
	return b
}

// Of the frame and the wheels a figure changes with nothing but what it is said to: the wheels and
// the axles, or else the head tube, if it depends on the bar, and the seat tube, if it depends on
// the saddle. So do the axles' own figures.
func TestDependsOnWheels(t *testing.T) {
	seat := func(f rules.Figure) bool { return f.DependsOn(contact.OnSaddle) }
	front := func(f rules.Figure) bool { return f.DependsOn(contact.OnHandlebar) || f.DependsOn(contact.OnAeroBar) }
	wheels := rules.Figure.DependsOnWheels
	found := map[rules.Figure]bool{}
	for _, c := range []struct {
		change func(b *fitgeom.Build)
		may    func(f rules.Figure) bool
	}{
		{func(b *fitgeom.Build) { b.Frame.Geometry.Axles.Chainstay += 7 }, wheels},
		{func(b *fitgeom.Build) { b.Frame.Geometry.Axles.Drop += 7 }, wheels},
		{func(b *fitgeom.Build) { b.Frame.Geometry.Axles.ForkOffset += 7 }, wheels},
		{func(b *fitgeom.Build) {
			b.Frame.Geometry.Axles.FrontRadius += 3
			b.Frame.Geometry.Axles.RearRadius += 3
		}, wheels},
		{func(b *fitgeom.Build) { b.Frame.MaxFrontRadius += 3; b.Frame.MaxRearRadius += 3 }, wheels},
		{func(b *fitgeom.Build) { b.Wheels = chart.Wheels{FrontRadius: 345, RearRadius: 345} }, wheels},
		{func(b *fitgeom.Build) { b.Frame.Geometry.SeatAngle++; b.Frame.Geometry.SeatOffset += 3 }, seat},
		{func(b *fitgeom.Build) { b.Frame.SeatTubeTop += 9; b.Frame.SeatpostInsertion += 30 }, seat},
		{func(b *fitgeom.Build) { b.Frame.Geometry.Reach += 5 }, func(f rules.Figure) bool { return front(f) || wheels(f) }},
		{func(b *fitgeom.Build) { b.Frame.Geometry.HeadAngle++ }, func(f rules.Figure) bool { return front(f) || wheels(f) }},
		{func(b *fitgeom.Build) { b.Frame.SteererCut += 2; b.Frame.MaxUnderStem += 2 }, front},
	} {
		was, b := stated(), stated()
		c.change(&b)
		for _, f := range rules.Figures() {
			v, known, err := f.Of(was)
			require.NoError(t, err)
			w, still, err := f.Of(b)
			require.NoError(t, err)
			if known != still || math.Abs(v-w) > 1e-9 {
				assert.True(t, c.may(f), f)
				found[f] = found[f] || wheels(f)
			}
		}
	}
	for _, f := range rules.Figures() {
		if f != rules.HeelToStay && f != rules.PedalLean { // stated() has no stays
			assert.Equal(t, wheels(f), found[f], f)
		}
	}
}

// Of widths and directions, by plain arithmetic from the parts.
func TestFiguresOfBars(t *testing.T) {
	b := stated()
	b.Settings.LeverIn = -7
	b.Settings.AeroTilt = 5
	wider := b.Handlebar.Drop.Drop * math.Tan(12*math.Pi/180) // a bend that leans by 12° about a line level with the clamp
	start := 30*math.Sin(5*math.Pi/180) - 30*math.Cos(5*math.Pi/180)
	p := invented.Position(b)
	pad, tip := site(t, p, contact.PadLeft), site(t, p, contact.ExtensionLeft)
	require.Greater(t, tip.Z-pad.Z, -start)
	for f, want := range map[rules.Figure]float64{
		rules.HandlebarWidth: b.Handlebar.Drop.Width + 2*wider + 24, rules.FlareSide: wider, rules.LeverTilt: 7,
		rules.ExtensionHeight: tip.Z - pad.Z, rules.PadSlope: 5, rules.PadLength: 120, rules.PadBreadth: 90,
	} {
		got, known, err := f.Of(b)
		require.NoError(t, err)
		assert.True(t, known, f)
		assert.InDelta(t, want, got, 1e-9, "%v", f)
	}
	// The same numbers as of sheets.
	inside, err := convert.HoodsWidthInside.Of(p, convert.Basis{HoodBreadth: 36})
	require.NoError(t, err)
	outside, err := convert.DropsWidthOutside.Of(p, convert.Basis{BarTube: 24})
	require.NoError(t, err)
	got, _, _ := rules.HoodsInside.Of(b)
	assert.InDelta(t, inside, got, 1e-9)
	got, _, _ = rules.HandlebarWidth.Of(b)
	assert.InDelta(t, outside, got, 1e-9)

	b.Settings.Extension, b.Settings.PadRise = 50, 40 // so short that its lower end counts, at the handlebar
	b.Aero.ExtensionAngle = 0
	got, _, _ = rules.ExtensionHeight.Of(b)
	assert.InDelta(t, -start, got, 1e-9)

	b.Handlebar.Drop.Flare = 0 // no wider below than at the levers, as far as it says
	got, known, _ := rules.HandlebarWidth.Of(b)
	assert.True(t, known)
	assert.InDelta(t, b.Handlebar.Drop.Width+24, got, 1e-9)
	_, known, _ = rules.FlareSide.Of(b)
	assert.False(t, known)

	b.Lever, b.Settings.LeverIn = part.Lever{}, 0
	b.Handlebar.Drop, b.Handlebar.Flat = part.DropBar{}, part.FlatBar{Width: 720, Hand: 60}
	got, known, err = rules.HandlebarWidth.Of(b)
	require.NoError(t, err)
	assert.True(t, known)
	assert.Equal(t, 720.0, got)
	b.Handlebar.Flat, b.Handlebar.Base = part.FlatBar{}, part.BaseBar{Width: 400, Tube: 25}
	got, _, _ = rules.HandlebarWidth.Of(b)
	assert.Equal(t, 425.0, got)
	_, known, _ = rules.LeverTilt.Of(b)
	assert.False(t, known)
}

// What a figure is said to depend on is what changes it.
func TestDependsOn(t *testing.T) {
	changes := map[contact.Group][]func(b *fitgeom.Build){
		contact.OnSaddle: {
			func(b *fitgeom.Build) { b.Settings.SaddleTilt = 3 },
			func(b *fitgeom.Build) { b.Settings.SeatpostExtension += 10; b.Settings.RailClamp += 10 },
			func(b *fitgeom.Build) { b.Saddle.Length += 10; b.Saddle.Height += 5 },
			func(b *fitgeom.Build) { b.Seatpost.MinInsertion -= 5; b.Seatpost.MinExtension += 3 },
		},
		contact.OnHandlebar: {
			func(b *fitgeom.Build) { b.Settings.Spacers += 5; b.Stem.Length += 10 },
			func(b *fitgeom.Build) {
				b.Handlebar.Drop.Width -= 20
				b.Handlebar.Drop.Flare = 5
				b.Settings.LeverIn = 4
			},
			func(b *fitgeom.Build) {
				b.Lever, b.Handlebar.Drop, b.Handlebar.Flat = part.Lever{}, part.DropBar{}, part.FlatBar{Width: 720, Hand: 60}
			},
		},
		contact.OnAeroBar: {
			func(b *fitgeom.Build) { b.Settings.AeroTilt = 10; b.Settings.Extension += 20 },
			func(b *fitgeom.Build) { b.Aero.PadLength -= 10; b.Aero.PadBreadth -= 10 },
		},
		contact.OnPedals: {func(b *fitgeom.Build) { b.Crank.Length += 2.5; b.Crank.QFactor += 10 }},
		contact.OnFeet: {func(b *fitgeom.Build) {
			b.Pedal.FootHeight += 5
			b.Pedal.FootOffset += 5
			b.Settings.CleatLeft.Back = 10
		}},
	}
	changed := map[rules.Figure]map[contact.Group]bool{}
	for g, all := range changes {
		for _, change := range all {
			was, b := stated(), stated()
			change(&b)
			for _, f := range rules.Figures() {
				v, known, err := f.Of(was)
				require.NoError(t, err)
				w, still, err := f.Of(b)
				require.NoError(t, err)
				if known != still || math.Abs(v-w) > 1e-9 {
					assert.True(t, f.DependsOn(g), "%v: %v", f, g)
					if changed[f] == nil {
						changed[f] = map[contact.Group]bool{}
					}
					changed[f][g] = true
				}
			}
		}
	}
	for _, f := range rules.Figures() {
		for g := range changes {
			assert.Equal(t, f.DependsOn(g), changed[f][g] || g.Crank() && (changed[f][contact.OnPedals] || changed[f][contact.OnFeet]), "%v: %v", f, g)
		}
	}
	assert.False(t, rules.Figure(0).DependsOn(contact.OnSaddle))
	assert.False(t, rules.Figure(0).DependsOnWheels())
	assert.False(t, rules.NoseSetback.DependsOn(99))
	pair := rules.Rule{Bound: rules.Bound{Figure: rules.ExtensionReach}, Unless: rules.Bound{Figure: rules.NoseSetback}}
	assert.True(t, pair.DependsOn(contact.OnSaddle))
	assert.True(t, pair.DependsOn(contact.OnAeroBar))
	assert.False(t, pair.DependsOn(contact.OnFeet))
}

// Each edition as the documents that Source and Seen name have it; dates by these too.
func TestInForce(t *testing.T) {
	inf := "+Inf"
	for _, c := range []struct {
		discipline rules.Discipline
		on         string
		figure     rules.Figure
		want       []string
	}{
		{rules.Road, "2022-12-31", rules.HandlebarWidth, []string{"-Inf to 500"}},
		{rules.Road, "2025-12-31", rules.HandlebarWidth, []string{"-Inf to 500", "350 to " + inf}},
		{rules.Road, "2026-01-01", rules.HandlebarWidth, []string{"-Inf to 500", "400 to " + inf}},
		{rules.Road, "2025-12-31", rules.HoodsInside, nil},
		{rules.Road, "2026-01-01", rules.HoodsInside, []string{"280 to " + inf}},
		{rules.Road, "2026-01-01", rules.FlareSide, []string{"-Inf to 65"}},
		{rules.Road, "2026-01-01", rules.LeverTilt, []string{"-Inf to 10"}},
		{rules.Track, "2026-12-31", rules.FlareSide, nil},
		{rules.Track, "2027-01-01", rules.FlareSide, []string{"-Inf to 80"}},
		{rules.Track, "2027-01-01", rules.HandlebarWidth, []string{"-Inf to 500", "350 to " + inf}},
		{rules.Road, "2015-12-31", rules.SaddleSlope, []string{"-Inf to 2.5"}},
		{rules.Road, "2016-01-01", rules.SaddleSlope, []string{"-Inf to 9"}},
		{rules.TimeTrial, "2019-12-31", rules.ExtensionReach, []string{"-Inf to 750"}},
		{rules.TimeTrial, "2022-12-31", rules.ExtensionReach, []string{"-Inf to 800"}},
		{rules.TimeTrial, "2023-01-01", rules.ExtensionReach, []string{"-Inf to 750", "-Inf to 800", "-Inf to 830", "-Inf to 850"}},
		{rules.TimeTrial, "2023-01-01", rules.ExtensionHeight, []string{"-Inf to 100", "-Inf to 120", "-Inf to 140"}},
		{rules.TimeTrial, "2023-01-01", rules.NoseSetback, []string{"0 to " + inf}},
		{rules.TrackSprint, "2023-01-01", rules.NoseSetback, []string{"0 to " + inf}},
		{rules.Road, "2023-01-01", rules.NoseSetback, []string{"50 to " + inf}},
	} {
		assert.Equal(t, c.want, limits(inForce(t, c.discipline, c.on), c.figure), "%v %v on %s", c.discipline, c.figure, c.on)
	}
	set := inForce(t, rules.Track, "2026-11-27")
	assert.Equal(t, day(t, "2027-01-01"), set.Until)
	assert.Equal(t, day(t, "2016-01-01"), set.From)
	assert.True(t, inForce(t, rules.Track, "2027-01-01").Until == rules.Date{})
	for _, d := range []rules.Discipline{0, rules.Road, 99} {
		set, ok := rules.InForce(d, day(t, "1990-01-01"))
		assert.False(t, ok)
		assert.Empty(t, set)
	}
	// Whoever looks a set up sees which numbers nobody has looked up.
	var remembered []float64
	for _, r := range inForce(t, rules.TimeTrial, "2026-11-27").Rules {
		if r.Seen == "from memory" {
			remembered = append(remembered, r.Max)
		}
	}
	assert.Equal(t, []float64{830, 850}, remembered)
}

// A set says rightly from when and until when it is in force: another one ends where it begins,
// and within these days nothing changes.
func TestSetsFollowOneAnother(t *testing.T) {
	months := func(yield func(rules.Date) bool) {
		for m := range 12 * 22 {
			if !yield(rules.Date{Year: 2008 + m/12, Month: 1 + m%12, Day: 1}) { // rules begin with months
				return
			}
		}
	}
	for _, d := range rules.Disciplines() {
		var last rules.Set
		editions := 0
		for on := range months {
			set, ok := rules.InForce(d, on)
			assert.Equal(t, !on.Before(rules.Date{Year: 2009, Month: 1, Day: 1}), ok, "%v on %v", d, on)
			if on == last.Until || editions == 0 && ok {
				assert.Equal(t, on, set.From)
				assert.NotEqual(t, last.Rules, set.Rules, "%v on %v", d, on)
				editions++
			} else {
				assert.Equal(t, last, set, "%v on %v", d, on)
			}
			last = set
		}
		assert.Greater(t, editions, 3)
		assert.Equal(t, rules.Date{}, last.Until)
	}
}

// A build of a time trial that keeps all of its rules, so that each is looked at.
func BenchmarkBreaks(b *testing.B) {
	set, _ := rules.InForce(rules.TimeTrial, rules.Date{Year: 2026, Month: 6, Day: 7})
	build := stated()
	build.Saddle.Length, build.Settings.RailClamp, build.Settings.Extension = 270, 120, 250
	p := invented.Position(build)
	b.ReportAllocs()
	broken := false
	for b.Loop() {
		broken = set.Breaks(&build, &p, rules.Rider{Height: 1950})
	}
	if broken {
		b.Fatal(set.Check(build, rules.Rider{Height: 1950}))
	}
}

// aero is a time-trial build whose saddle's nose and extension tips are at the given
// distances behind and in front of the bottom bracket.
func aero(t *testing.T, setback, reach float64) fitgeom.Build {
	t.Helper()
	b := stated()
	b.Settings.AeroTilt, b.Aero.ExtensionAngle = 0, 0
	for figure, move := range map[rules.Figure]func(by float64){
		rules.NoseSetback:    func(by float64) { b.Settings.RailClamp -= by },
		rules.ExtensionReach: func(by float64) { b.Settings.Extension += by },
	} {
		want := map[rules.Figure]float64{rules.NoseSetback: setback, rules.ExtensionReach: reach}[figure]
		b.Settings.SaddleTilt = 0
		v, _, err := figure.Of(b)
		require.NoError(t, err)
		move(want - v)
		v, _, err = figure.Of(b)
		require.NoError(t, err)
		require.InDelta(t, want, v, 1e-9, figure)
	}
	return b
}

// Saddle and reach are judged together, as two readers of the guide of 2023 have it: 750 mm,
// and more, by height, only with the saddle at least 50 mm behind.
func TestSaddleAndReach(t *testing.T) {
	set := inForce(t, rules.TimeTrial, "2026-11-27")
	tall := rules.Rider{Height: 1850}
	find := func(b fitgeom.Build, r rules.Rider) (reach []rules.Finding) {
		all, err := set.Check(b, r)
		require.NoError(t, err)
		p := invented.Position(b)
		assert.Equal(t, slices.ContainsFunc(all, func(f rules.Finding) bool { return f.Known && !f.Kept }), set.Breaks(&b, &p, r))
		for _, f := range all {
			if f.Rule.Figure == rules.ExtensionReach {
				reach = append(reach, f)
			}
		}
		return reach
	}
	found := find(aero(t, 51, 820), tall)
	require.Len(t, found, 2, "of the classes only that of the rider")
	assert.True(t, found[0].Known && found[0].Kept, found[0])
	assert.InDelta(t, 70, found[0].By, 1e-9)
	assert.InDelta(t, 51, found[0].Other, 1e-9)
	assert.True(t, found[1].Known && found[1].Kept, found[1])
	assert.Equal(t, 830.0, found[1].Rule.Max)

	found = find(aero(t, 49, 820), tall)
	assert.True(t, found[0].Known && !found[0].Kept, found[0])
	assert.InDelta(t, 70, found[0].By, 1e-9)
	assert.InDelta(t, -1, found[0].OtherBy, 1e-9)
	assert.Equal(t, "extension tip in front of the bottom bracket 820.0 mm: broken by 70.0 mm", found[0].String())
	assert.True(t, found[1].Kept)

	found = find(aero(t, 49, 750), tall)
	assert.True(t, found[0].Kept && found[1].Kept, "750 mm is for every saddle")
	found = find(aero(t, 60, 820), rules.Rider{Height: 1799.9})
	assert.True(t, found[0].Kept)
	assert.InDelta(t, 20, found[1].By, 1e-9)

	found = find(aero(t, 60, 700), rules.Rider{})
	require.Len(t, found, 4)
	for i, f := range found {
		assert.Equal(t, i == 0, f.Known, "whose height is not known: %v", f)
	}
	applies, known := found[3].Rule.For(rules.Rider{Height: 1900})
	assert.True(t, applies && known)
	applies, known = found[3].Rule.For(rules.Rider{Height: 1899})
	assert.True(t, !applies && known)
	f, err := found[3].Rule.Check(aero(t, 60, 900), tall)
	require.NoError(t, err)
	assert.True(t, f.Known && f.Kept, "a rule for others")
}

// Limits that a figure must be less than, and margins of checks.
func TestBelowAndMargin(t *testing.T) {
	b := stated()
	rise, _, err := rules.ExtensionHeight.Of(b)
	require.NoError(t, err)
	judge := func(r rules.Rule) (kept, tolerated bool, by float64) {
		f, err := r.Check(b, rules.Rider{})
		require.NoError(t, err)
		require.True(t, f.Known)
		return f.Kept, f.Tolerated(), f.By
	}
	rule := rules.Rule{Bound: rules.Bound{Figure: rules.ExtensionHeight, Min: math.Inf(-1), Max: rise}}
	kept, _, _ := judge(rule)
	assert.True(t, kept)
	rule.Below = true
	kept, tolerated, by := judge(rule)
	assert.False(t, kept || tolerated)
	assert.Zero(t, by)
	for _, c := range []struct {
		tilt, by        float64
		kept, tolerated bool
	}{{-9, 0, true, true}, {9.5, 0.5, false, true}, {-10, 1, false, true}, {10.1, 1.1, false, false}} {
		b.Settings.SaddleTilt = c.tilt
		for _, r := range inForce(t, rules.Road, "2016-01-01").Rules {
			if r.Figure == rules.SaddleSlope {
				kept, tolerated, by = judge(r)
				assert.Equal(t, []any{c.kept, c.tolerated}, []any{kept, tolerated}, c)
				assert.InDelta(t, c.by, by, 1e-9)
			}
		}
	}
	least := rules.Rule{Bound: rules.Bound{Figure: rules.SaddleLength, Min: 300, Max: math.Inf(1)}}
	_, _, by = judge(least)
	assert.Equal(t, -30.0, by, "negative below Min")

	// A side is named where the sides may differ: the left foot stands 2 mm higher.
	lean := rules.Rule{Bound: rules.Bound{Figure: rules.ShoeToWheel, Min: 50, Max: math.Inf(1)}}
	f, err := lean.Check(b, rules.Rider{})
	require.NoError(t, err)
	assert.NotEqual(t, contact.Centre, f.Side)

	// Nothing is known to be broken of what is not stated, unless another bound keeps it.
	plain := invented.Everything()
	hoods := rules.Rule{Bound: rules.Bound{Figure: rules.HoodsInside, Min: 280, Max: math.Inf(1)}}
	f, err = hoods.Check(plain, rules.Rider{})
	require.NoError(t, err)
	assert.False(t, f.Known || f.Stated)
	assert.Equal(t, "between the inner faces of the hoods: not known", f.String())
	hoods.Unless = rules.Bound{Figure: rules.SaddleLength, Max: 300}
	f, err = hoods.Check(plain, rules.Rider{})
	require.NoError(t, err)
	assert.True(t, f.Known && f.Kept)
	hoods.Unless.Max = 200
	f, err = hoods.Check(plain, rules.Rider{})
	require.NoError(t, err)
	assert.False(t, f.Known)
	p := invented.Position(plain)
	assert.False(t, rules.Set{Rules: []rules.Rule{hoods}}.Breaks(&plain, &p, rules.Rider{}))
}

// Dates as the Gregorian calendar has them.
func TestDates(t *testing.T) {
	for _, text := range []string{"2026-01-01", "2024-02-29", "2000-02-29", "0001-12-31", "9999-12-31", ""} {
		d := day(t, text)
		assert.Equal(t, text, d.String())
		require.NoError(t, d.Validate())
	}
	for _, text := range []string{"2026-02-29", "1900-02-29", "2026-13-01", "2026-00-01", "2026-01-00", "2026-04-31", "26-01-01", "2026-1-1", "2026-01-01 ", "+026-01-01", "today", "0000-01-01"} {
		_, err := rules.ParseDate(text)
		assert.ErrorIs(t, err, contact.ErrRange, text)
	}
	order := []string{"", "2025-12-31", "2026-01-01", "2026-01-02", "2026-02-01"}
	for i, a := range order {
		for j, b := range order {
			assert.Equal(t, i < j, day(t, a).Before(day(t, b)), "%s %s", a, b)
		}
	}
	_, err := rules.Date{Year: 2026, Month: 99, Day: 1}.MarshalText()
	require.Error(t, err)
}
