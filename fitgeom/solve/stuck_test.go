package solve_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// stuckKinds is the kinds of bikes that stuck knows. Of those that are renewed the stem is
// a quill stem, or its angle can be set, or both, and so can the width of extensions.
var stuckKinds = []string{"road", "flat bar with dropper", "aero", "road" + renewing, "flat bar with dropper" + renewing, "aero" + renewing}

// stuck draws a problem with one part of each kind on the shelf and steps of ordinary
// size, and a position that is off what these parts give, in most cases too far.
func stuck(rng *rand.Rand, kind string) solve.Problem {
	kind, renewed := strings.CutSuffix(kind, renewing)
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	f := invented.Road54()
	g := &f.Geometry
	g.Stack, g.Reach, g.HeadAngle, g.SeatAngle = in(500, 640), in(370, 450), in(64, 75), in(70, 79)
	f.MaxUnderStem, f.SeatpostInsertion = in(25, 60), 80
	s := fitgeom.Shelf{
		Caps:      []part.HeadsetCap{{Height: pick(rng, 5.0, 8, 15), SteererDiameter: 28.6}},
		Spacers:   []part.Spacer{{Height: 2.5, Count: 1}, {Height: 5, Count: 2}, {Height: 10, Count: 2}, {Height: 20, Count: 1}},
		Stems:     []part.Stem{{Length: in(40, 130), Angle: pick(rng, -17.0, -10, -6, 0, 8), Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8}},
		Seatposts: []part.Seatpost{{Diameter: 27.2, Length: 350, Setback: pick(rng, 0.0, 15, 25), MinInsertion: 100, MinExtension: 45}},
		Saddles:   []part.Saddle{{Length: 260, Station: in(95, 130), Height: 46, Dip: 4, RailsFrom: 100, RailsTo: 165}},
		Cranks:    []part.Crank{{Length: pick(rng, 165.0, 170, 172.5), QFactor: 146}},
	}
	b := fitgeom.Build{Frame: f, Cap: s.Caps[0], Stem: s.Stems[0], Settings: fitgeom.Settings{
		Spacers: pick(rng, 0.0, 5, 10), SeatpostExtension: in(60, 240), RailClamp: in(100, 165), SaddleTilt: in(-3, 1),
	}}
	t := &b.Settings
	switch kind {
	case "road":
		s.Levers = []part.Lever{{Reach: in(30, 50), Rise: in(10, 40)}}
		s.Handlebars = []part.Handlebar{{ClampDiameter: 31.8, RotationRange: in(5, 30), Drop: part.DropBar{Width: 420, DropsWidth: 440, TopsWidth: 200, Reach: in(68, 85), Drop: 125, Hook: 60}}}
		b.Lever = s.Levers[0]
	case "flat bar with dropper":
		s.Seatposts = []part.Seatpost{{Diameter: 27.2, Length: 440, MinInsertion: 110, MinExtension: 190, Travel: 125}}
		s.Handlebars = []part.Handlebar{{ClampDiameter: 31.8, RotationRange: in(5, 20), Flat: part.FlatBar{Width: in(700, 800), Centre: 120, Rise: in(0, 40), Backsweep: in(5, 12), Upsweep: in(2, 6), Hand: 65}}}
		t.SeatpostExtension = in(190, 330)
	case "aero":
		s.Handlebars = []part.Handlebar{{ClampDiameter: 31.8, AeroDiameter: 31.8, RotationRange: in(3, 10), Base: part.BaseBar{Width: 400, Reach: in(140, 180), Rise: -30}}}
		s.AeroBars = []part.AeroBar{{
			BarDiameter: 31.8, Tilt: part.Steps{To: 15, Step: 3}, PadRise: part.Steps{From: 30, To: 100, Step: 5}, PadForward: part.Steps{From: -60, To: 10},
			PadWidth: part.Steps{From: 160, To: 240, Step: 10}, Extension: part.Steps{From: 230, To: 330}, ExtensionDrop: 30, ExtensionAngle: pick(rng, 0.0, 8, 15), ExtensionWidth: 110,
		}}
		a := &s.AeroBars[0]
		b.Aero = *a
		t.AeroTilt, t.PadRise, t.PadForward, t.PadWidth, t.Extension = a.Tilt.At(rng.IntN(6)), a.PadRise.At(rng.IntN(15)), in(-60, 10), a.PadWidth.At(rng.IntN(9)), in(230, 330)
	}
	if rng.IntN(2) == 0 {
		s.Pedals = []part.Pedal{{FootHeight: 18, FootOffset: 55}}
		b.Pedal = s.Pedals[0]
	}
	if renewed {
		stuckStem(rng, &s, &b)
		f = b.Frame
	}
	b.Handlebar, b.Seatpost, b.Saddle, b.Crank = s.Handlebars[0], s.Seatposts[0], s.Saddles[0], s.Cranks[0]
	t.BarRotation = b.Handlebar.RotationRange * in(-1, 1)
	target := invented.Position(b)
	far := pick(rng, 5.0, 15, 40, 80)
	hands, saddle := r3.Vec{X: far * rng.NormFloat64(), Z: far * rng.NormFloat64()}, r3.Vec{X: far * rng.NormFloat64(), Z: far * rng.NormFloat64()}
	wider := max(-40, pick(rng, 0.0, 0, 3, 20)*rng.NormFloat64())
	foot := r3.Vec{X: pick(rng, 0.0, 2, 5) * rng.NormFloat64(), Z: pick(rng, 0.0, 2, 5) * rng.NormFloat64()}
	own := pick(rng, 0.0, 0.5, 2) // of each site
	p := solve.Problem{Frame: f, Shelf: s, Limit: 1, Crank: pick(rng, fitgeom.KeepFarEnd, fitgeom.KeepSaddle)}
	for site, at := range target.All() {
		by := hands
		switch {
		case isFoot(site):
			by = foot
		case isSaddle(site):
			by = saddle
		}
		at = r3.Add(at, by)
		if at.Y > 0 {
			at.Y += wider
		} else if at.Y < 0 {
			at.Y -= wider
		}
		at = r3.Add(at, r3.Vec{X: own * rng.NormFloat64(), Z: own * rng.NormFloat64()})
		if site.Group() == contact.OnPedals {
			at.Z = 0 // cranks are level
		}
		target.Set(site, at)
	}
	if target.Validate() != nil { // where no bike goes
		if renewed {
			kind += renewing
		}
		return stuck(rng, kind)
	}
	p.Target = target
	tolerances(rng, &p)
	return p
}

// stuckStem gives a shelf and a build on it a stem and extensions that can be set.
func stuckStem(rng *rand.Rand, s *fitgeom.Shelf, b *fitgeom.Build) {
	stem, t := &s.Stems[0], &b.Settings
	stem.Flippable = rng.IntN(2) == 0
	what := rng.IntN(3)
	if what > 0 {
		stem.Angles = part.Steps{From: -20, To: pick(rng, -20.0, 10, 25), Step: pick(rng, 2.5, 10, 30)}
		t.StemAngle = stem.Angles.At(rng.IntN(stem.Angles.Count()))
	}
	if what < 2 {
		const thread = "threaded 25.4"
		b.Frame.SteererInterface, s.Caps[0].SteererInterface, stem.SteererInterface = thread, thread, thread
		stem.Quill = part.Steps{From: 20, To: 60, Step: pick(rng, 5.0, 10)}
		t.Spacers, t.Quill = 0, stem.Quill.At(rng.IntN(stem.Quill.Count()))
	}
	for i := range s.AeroBars {
		s.AeroBars[i].ExtensionWidths = pick(rng, part.Steps{From: 100, To: 140}, part.Steps{From: 100, To: 140, Step: 20})
		b.Aero, t.ExtensionWidth = s.AeroBars[i], pick(rng, 100.0, 120, 140)
	}
	b.Cap, b.Stem = s.Caps[0], s.Stems[0]
}

// tolerances draws which sites are kept, and how closely.
func tolerances(rng *rand.Rand, p *solve.Problem) {
	within := pick(rng, 0.1, 0.5, 2, 5, 10)
	for _, k := range fitgeom.DefaultKeep(p.Target) {
		if k.Site != contact.SaddleReference && k.Site.Group().FrontEnd() && rng.IntN(8) == 0 {
			continue
		}
		k.Tolerance = r3.Scale(within/2, k.Tolerance)
		if rng.IntN(8) == 0 && k.Site != contact.SaddleReference {
			k.Tolerance.X = 0
		}
		if k.Tolerance != (r3.Vec{}) {
			p.Keep = append(p.Keep, k)
		}
	}
	if rng.IntN(4) == 0 {
		p.Keep = append(p.Keep, fitgeom.Keep{Site: contact.SaddleNose, Tolerance: r3.Vec{X: 5 * within, Z: 2 * within}})
	}
	for _, site := range []contact.Site{contact.DropsLeft, contact.DropsRight, contact.TopsRight} {
		if _, ok := p.Target.At(site); ok && rng.IntN(3) == 0 {
			p.Keep = append(p.Keep, fitgeom.Keep{Site: site, Tolerance: r3.Vec{X: 2 * within, Z: pick(rng, 0, 2*within)}})
		}
	}
	if rng.IntN(4) == 0 {
		p.Keep = append(p.Keep, fitgeom.Keep{Site: contact.BarClamp, Tolerance: r3.Vec{X: 10 * within, Z: 10 * within}})
	}
}

// strictly is a problem with tolerances that are smaller by the allowance for rounding
// that is made when a build is judged.
func strictly(p solve.Problem) solve.Problem {
	p.Keep = slices.Clone(p.Keep)
	for i := range p.Keep {
		p.Keep[i].Tolerance = r3.Scale(1/(1+num.Leeway), p.Keep[i].Tolerance)
	}
	return p
}

// rotates reports whether a limit is one that a bar's range of rotation has both ways.
func rotates(l fitgeom.Limit) bool {
	return l == fitgeom.LimitRotationUp || l == fitgeom.LimitRotationDown
}

// A change that is said to be the smallest that frees a build by itself is: parts that go
// that much further are put on the shelf, and bisection finds how much further they must
// go for Solve to hold. What no change is said to free, none of many frees.
//
// Solve allows a millionth of each tolerance for rounding. With tolerances smaller by that
// it needs at least what is needed, and with the tolerances themselves at most that.
func TestExplainIsLeast(t *testing.T) {
	var worst trial.Worst
	want, checked, open, others, widest := draws(200, 4000), 0, 0, 0, 0.0
	for round := 0; checked < want; round++ {
		kind := stuckKinds[round%len(stuckKinds)]
		p := stuck(rand.New(rand.NewPCG(31, uint64(round))), kind)
		r, err := p.Solve(t.Context())
		require.NoError(t, err)
		c := r.Candidates[0]
		obstacles, err := p.Explain(t.Context(), c)
		require.NoError(t, err)
		strict := strictly(p)
		for _, o := range obstacles {
			said := map[fitgeom.Limit]bool{}
			for _, change := range o.Alone {
				if rotates(change.Limit) && (said[fitgeom.LimitRotationUp] || said[fitgeom.LimitRotationDown]) {
					continue // a part has one range either way, and the smaller change comes first
				}
				said[change.Limit] = true
				if _, possible := holdsWith(t, p, c.Build, o.Parts, []solve.Change{change}, 1); !possible {
					continue // no such part can be described
				}
				checked++
				least := threshold(t, &p, &c.Build, o.Parts, change, 0, 20)
				most := threshold(t, &strict, &c.Build, o.Parts, change, least, 1)
				by := least
				if math.Abs(most-change.By) < math.Abs(least-change.By) {
					by = most
				}
				if math.Abs(by-change.By) > 1e-6 && least < change.By && change.By < most {
					open++
					widest = max(widest, most-least)
					continue
				}
				worst.See(by, change.By)
				require.InDelta(t, by, change.By, 1e-6, "round %d, %s: %v", round, kind, change)
			}
			if round%16 == 0 {
				others += freesNothing(t, &p, &c.Build, o.Parts, said, round)
			}
		}
	}
	t.Logf("%d single changes: bisection on Solve differs by at most %.1e, or for %d lies on both sides, at most %.1e apart; of %d limits that are said to free nothing none does", checked, float64(worst), open, widest, others)
}

// threshold is the smallest of n changes of a limit with which Solve holds, up to a little
// more than the one that is said to do and more than one that is known not to, and from
// there bisection.
func threshold(t *testing.T, p *solve.Problem, b *fitgeom.Build, group part.Kinds, said solve.Change, out float64, n int) float64 {
	t.Helper()
	holds := func(by float64) bool {
		holds, _ := holdsWith(t, *p, *b, group, []solve.Change{{Limit: said.Limit, By: by}}, 1)
		return holds
	}
	var tries []float64
	for i := 1; i < n; i++ {
		tries = append(tries, said.By*float64(i)/float64(n))
	}
	for _, by := range append(tries, said.By, said.By+1e-6, said.By+1e-5, said.By+1e-4, said.By+1e-3) {
		if by > out && holds(by) {
			in, _ := num.Bisect(by, out, 28, holds)
			return in
		}
		out = max(out, by)
	}
	return math.Inf(1)
}

// freesNothing counts the limits of a group beside those that are said to free it, and
// tries changes of each.
func freesNothing(t *testing.T, p *solve.Problem, b *fitgeom.Build, group part.Kinds, said map[fitgeom.Limit]bool, round int) (tried int) {
	t.Helper()
	for l := fitgeom.LimitSeatpostUp; l <= fitgeom.LimitExtensionsTogether; l++ {
		front := l >= fitgeom.LimitSpacersUp && l <= fitgeom.LimitBarNarrower || l >= fitgeom.LimitStemAngleUp
		if l > fitgeom.LimitFeetNarrower && !front {
			continue // of levers and cleats
		}
		if said[l] || front != (group&part.Stems != 0) || l == fitgeom.LimitSpacersAbove || rotates(l) && (said[fitgeom.LimitRotationUp] || said[fitgeom.LimitRotationDown]) {
			continue
		}
		for by := 0.5; by < 25; by *= 1.5 {
			holds, _ := holdsWith(t, *p, *b, group, []solve.Change{{Limit: l, By: by}}, 1)
			require.False(t, holds, "round %d: %v by %v frees it", round, l, by)
		}
		tried++
	}
	return tried
}

// Explain stops at whatever it is when its context or its budget ends, and says so; with
// enough of either the answer is that without an end.
func TestExplainStops(t *testing.T) {
	for round := range 6 {
		p := stuck(rand.New(rand.NewPCG(43, uint64(round))), "aero")
		r, err := p.Solve(t.Context())
		require.NoError(t, err)
		want, err := p.Explain(t.Context(), r.Candidates[0])
		require.NoError(t, err)
		stopped := 0
		for looks := 1; ; looks *= 2 {
			ctx := trial.NewEnding(t.Context(), looks)
			got, err := p.Explain(ctx, r.Candidates[0])
			if err == nil {
				require.Equal(t, want, got)
				break
			}
			require.ErrorIs(t, err, context.Canceled)
			require.EqualValues(t, -1, ctx.Looks.Load(), "nothing is looked at after the end")
			stopped++
		}
		for p.Budget.Work = 100; ; p.Budget.Work *= 4 {
			got, err := p.Explain(t.Context(), r.Candidates[0])
			if err == nil {
				require.Equal(t, want, got)
				break
			}
			require.ErrorIs(t, err, contact.ErrBudget)
			stopped++
		}
		require.True(t, stopped > 0 || len(want) == 0)
	}
}
