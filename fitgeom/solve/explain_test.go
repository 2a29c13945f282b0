package solve_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// One part of each kind and no play: what would free the build is plain arithmetic.
func TestExplain(t *testing.T) {
	b := invented.Build()
	b.Settings.BarRotation = 0
	shelf := invented.Shelf()
	shelf.Caps, shelf.Stems, shelf.Handlebars, shelf.Levers = shelf.Caps[:1], shelf.Stems[:1], shelf.Handlebars[:1], shelf.Levers[:1]
	shelf.Seatposts, shelf.Saddles, shelf.Cranks = shelf.Seatposts[:1], shelf.Saddles[:1], shelf.Cranks[:1]
	shelf.Stems[0].Flippable = false
	shelf.Handlebars[0].RotationRange = 0
	b.Stem, b.Handlebar = shelf.Stems[0], shelf.Handlebars[0]
	for name, c := range map[string]struct {
		far  func(*fitgeom.Build)
		want solve.Change
	}{
		// Less than the distance by d, what tolerances of 2 mm let go: with the rails
		// d back until X is 2 mm short, ρ = (2 + d cos 73.5°) / cos 1°, Z is 2 mm short
		// where d sin 73.5° - ρ sin 1° = 2, which gives d = 2.13334.
		"seatpost":  {func(b *fitgeom.Build) { b.Settings.SeatpostExtension = 262 }, solve.Change{Limit: fitgeom.LimitSeatpostUp, By: 12 - 2.13334}},
		"low":       {func(b *fitgeom.Build) { b.Settings.SeatpostExtension = 30 }, solve.Change{Limit: fitgeom.LimitSeatpostDown, By: 15 - 2.13334}},
		"handlebar": {func(b *fitgeom.Build) { b.Handlebar.Drop.Width = 460; b.Handlebar.Drop.DropsWidth = 480 }, solve.Change{Limit: fitgeom.LimitBarWider, By: 40 - 10}},
		"narrow":    {func(b *fitgeom.Build) { b.Handlebar.Drop.Width = 400 }, solve.Change{Limit: fitgeom.LimitBarNarrower, By: 20 - 10}},
		"crank":     {func(b *fitgeom.Build) { b.Crank.Length = 165 }, solve.Change{Limit: fitgeom.LimitCrankShorter, By: 7.5 - 1}},
	} {
		t.Run(name, func(t *testing.T) {
			far := b
			c.far(&far)
			p := solve.Problem{Target: invented.Position(far), Frame: invented.Road54(), Shelf: shelf, Limit: 1, Crank: fitgeom.KeepSaddle}
			r, err := p.Solve(t.Context())
			require.NoError(t, err, "not to hold is no error")
			require.False(t, r.Holds())
			o, err := p.Explain(t.Context(), r.Candidates[0])
			require.NoError(t, err)
			require.Len(t, o, 1)
			var found bool
			for _, a := range o[0].Alone {
				if a.Limit == c.want.Limit {
					found = true
					assert.InDelta(t, c.want.By, a.By, 1e-4)
				}
			}
			assert.True(t, found, "%v", o)
			require.NotEmpty(t, o[0].Together)
		})
	}
}

func TestTexts(t *testing.T) {
	up, down := solve.Change{Limit: fitgeom.LimitRotationUp, By: 2.5}, solve.Change{Limit: fitgeom.LimitStemLonger, By: 7}
	assert.Equal(t, "rotate the bar up by 2.5 degrees", up.String())
	assert.Equal(t, "stems: rotate the bar up by 2.5 degrees, or a longer stem by 7.0 mm", solve.Obstacle{Parts: part.Stems, Alone: []solve.Change{up, down}}.String())
	assert.Equal(t, "stems: together rotate the bar up by 2.5 degrees, a longer stem by 7.0 mm", solve.Obstacle{Parts: part.Stems, Together: []solve.Change{up, down}}.String())
	assert.Equal(t, "stems: nothing of this kind would do", solve.Obstacle{Parts: part.Stems}.String())
	assert.Equal(t, "seatpost_extension 12.0 mm (-3.0 to 15.0): saddle level", solve.Step{Name: "seatpost_extension", Sentences: []words.Sentence{words.Say(words.SaddleLevel)}, Value: 12, Unit: "mm", Low: -3, High: 15, Limited: true}.String())
}

// Pads that are wanted tilted by 20 degrees, on an aero bar that tilts to 5: by plain
// arithmetic the tolerance of 3 degrees leaves 12 to be found, and the tilt is named. Turned
// with the bar, pads and extensions stay where they are.
func TestExplainTilt(t *testing.T) {
	b := invented.Everything()
	b.Aero.PadForward, b.Aero.PadRise, b.Aero.Extension = part.Steps{From: -250, To: 250}, part.Steps{From: 0, To: 250, Step: 0.5}, part.Steps{From: 50, To: 600}
	b.Aero.Tilt = part.Steps{To: 5, Step: 5}
	shelf := invented.Shelf()
	shelf.Handlebars = []part.Handlebar{b.Handlebar}
	shelf.AeroBars, shelf.Pedals, shelf.CleatShims = []part.AeroBar{b.Aero}, []part.Pedal{b.Pedal}, []part.Spacer{{Height: 2, Count: 1}}
	target := invented.Position(b)
	for _, pad := range contact.PadLeft.Both() {
		target.SetAttitude(pad, contact.Attitude{Tilt: 20})
	}
	p := solve.Problem{Target: target, Frame: b.Frame, Shelf: shelf, Limit: 1}
	p.Keep = slices.DeleteFunc(fitgeom.DefaultKeep(target), func(k fitgeom.Keep) bool { return isExtension(k.Site) })
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.False(t, r.Holds())
	for _, d := range r.Candidates[0].Deviations {
		if isPad(d.Site) {
			assert.InDelta(t, -15, d.Turned.Tilt, 1e-9, "the aero bar is at its highest tilt")
			assert.Less(t, r3.Norm(d.Off), 2., "where it is wanted")
		}
	}
	all, err := p.Explain(t.Context(), r.Candidates[0])
	require.NoError(t, err)
	require.Len(t, all, 1)
	assert.Equal(t, []contact.Coordinate{{Site: contact.PadLeft, Axis: contact.AxisTilt}, {Site: contact.PadRight, Axis: contact.AxisTilt}}, all[0].Turned)
	require.Len(t, all[0].Alone, 1, all[0])
	assert.Equal(t, fitgeom.LimitAeroTiltUp, all[0].Alone[0].Limit)
	assert.InDelta(t, 12, all[0].Alone[0].By, 1e-6)
	assert.Equal(t, "caps, stems, handlebars, levers, aero bars (tilt of pad_left, tilt of pad_right): tilt the aero bar up by 12.0 degrees", all[0].String())
}

// Whatever is said to free a build does, on a shelf that goes that much further,
// and four fifths of it does not.
func TestExplainedChangesFreeExact(t *testing.T) {
	explainedChangesFree(t, 6, draws(28, 600), drawProblem)
}

// The same with stems and extensions that can be set.
func TestExplainedChangesFreeRenewed(t *testing.T) {
	explainedChangesFree(t, 8, draws(28, 600), func(rng *rand.Rand, kind string, disturb float64) (solve.Problem, fitgeom.Build) {
		return drawProblem(rng, kind+renewing, disturb)
	})
}

// The same where directions are off too.
func TestExplainedChangesFreeDirections(t *testing.T) {
	explainedChangesFree(t, 7, draws(28, 600), func(rng *rand.Rand, kind string, _ float64) (solve.Problem, fitgeom.Build) {
		p, b := drawDirected(rng, kind, 0)
		for _, k := range p.Keep {
			if a, ok := p.Target.Attitude(k.Site); ok && k.Site != contact.SaddleReference {
				by := pick(rng, 0, 0, 6*rng.NormFloat64())
				p.Target.SetAttitude(k.Site, contact.Attitude{Tilt: a.Tilt + pick(rng, 0, 12*rng.NormFloat64()), Yaw: a.Yaw + by, Roll: a.Roll + by/2})
			}
		}
		return p, b
	})
}

func explainedChangesFree(t *testing.T, seed uint64, rounds int, draw func(*rand.Rand, string, float64) (solve.Problem, fitgeom.Build)) {
	freed, tried, stuck := 0, 0, 0
	for round := range rounds {
		rng := rand.New(rand.NewPCG(seed, uint64(round)))
		p, _ := draw(rng, kindOf(round), 0)
		apart := float64(round % 3) // unlike hands, which no part can make good, now and then
		move := func() r3.Vec { return r3.Vec{X: 20 * rng.NormFloat64(), Z: 20 * rng.NormFloat64()} }
		saddle, front := move(), move()
		for s, v := range p.Target.All() {
			by := front
			if isSaddle(s) {
				by = saddle
			} else if isFoot(s) {
				by = r3.Vec{X: 3 * rng.NormFloat64(), Z: 3 * rng.NormFloat64()}
			}
			p.Target.Set(s, r3.Add(v, r3.Add(by, r3.Vec{X: apart * rng.NormFloat64(), Z: apart * rng.NormFloat64()})))
		}
		r, err := p.Solve(t.Context())
		if err != nil {
			continue // no parts that go together
		}
		for _, c := range r.Candidates[:1] {
			obstacles, err := p.Explain(t.Context(), c)
			require.NoError(t, err)
			if c.Holds() {
				assert.Empty(t, obstacles)
				continue
			}
			require.NotEmpty(t, obstacles)
			for _, o := range obstacles {
				if len(o.Together) == 0 {
					assert.Empty(t, o.Alone)
					stuck++
				}
				for _, change := range o.Alone {
					freed++
					for share, want := range map[float64]bool{1: true, 0.8: false} {
						if share < 1 && (change.Limit == fitgeom.LimitRotationUp || change.Limit == fitgeom.LimitRotationDown) && slices.ContainsFunc(o.Alone, func(b solve.Change) bool {
							return b.Limit != change.Limit && (b.Limit == fitgeom.LimitRotationUp || b.Limit == fitgeom.LimitRotationDown)
						}) {
							continue // a part has one range either way
						}
						judge := p
						if want {
							judge = loosely(p, 1e-6)
						}
						if holds, possible := holdsWith(t, judge, c.Build, o.Parts, []solve.Change{change}, share); possible {
							tried++
							assert.Equal(t, want, holds, "round %d, %v of %v, %v", round, share, change, o)
						}
					}
				}
				if len(o.Together) > 0 {
					if holds, possible := holdsWith(t, loosely(p, 1e-6*float64(len(o.Together))), c.Build, o.Parts, o.Together, 1); possible {
						assert.True(t, holds, "round %d, %v", round, o.Together)
					}
					if slices.ContainsFunc(o.Together, func(c solve.Change) bool { return rotates(c.Limit) }) {
						continue // a part has one range either way
					}
					if holds, possible := holdsWith(t, p, c.Build, o.Parts, o.Together, 0.98); possible {
						assert.False(t, holds, "round %d, a smaller sum than %v", round, o.Together)
					}
				}
			}
		}
		if t.Failed() {
			return
		}
	}
	t.Log(freed, "changes that free,", tried, "trials,", stuck, "groups that nothing frees")
	assert.Positive(t, freed)
}

// loosely is a problem with tolerances greater by what amounts may be inexact, of which one
// of 0.02 mm itself allows only a millionth.
func loosely(p solve.Problem, by float64) solve.Problem {
	p.Keep = slices.Clone(p.Keep)
	for i := range p.Keep {
		k := &p.Keep[i]
		for _, v := range [...]*float64{&k.Tolerance.X, &k.Tolerance.Y, &k.Tolerance.Z, &k.Turn.Tilt, &k.Turn.Yaw, &k.Turn.Roll} {
			if *v != 0 {
				*v += by
			}
		}
	}
	return p
}

// holdsWith reports whether the parts of a build, changed by a share of some
// changes, hold what is asked of a group; possible is false where such parts
// would not validate.
func holdsWith(t *testing.T, p solve.Problem, b fitgeom.Build, group part.Kinds, changes []solve.Change, share float64) (holds, possible bool) {
	t.Helper()
	front := group&part.Stems != 0
	f, opt := p.Frame, p
	opt.Bike, opt.Vary = fitgeom.Build{}, 0
	opt.Keep = nil
	for _, k := range p.Keep {
		if isFoot(k.Site) || isSaddle(k.Site) {
			if front {
				continue
			}
		} else if !front {
			continue
		}
		opt.Keep = append(opt.Keep, k)
	}
	if front {
		opt.Keep = append(opt.Keep, fitgeom.Keep{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 1000, Z: 1000}})
	}
	flipped := b.Settings.Flipped
	if a := b.Stem.Angles; flipped {
		b.Stem.Angle, b.Stem.Angles = -b.Stem.Angle, part.Steps{From: -a.Last(), To: -a.From, Step: a.Step}
	}
	b.Stem.Flippable = false
	spacers := p.Shelf.Spacers
	for _, c := range changes {
		by := c.By * share
		only := func(s *part.Steps, up bool) {
			all, _ := values(*s)
			v := all[len(all)-1] + by
			if !up {
				v = all[0] - by
			}
			*s = part.Steps{From: v, To: v}
		}
		lengthen := func(by float64) {
			if b.Handlebar.Stem != (part.Stem{}) {
				b.Handlebar.Stem.Length += by
			} else {
				b.Stem.Length += by
			}
		}
		widen := func(by float64) {
			switch {
			case b.Handlebar.Drop != part.DropBar{}:
				b.Handlebar.Drop.Width += by
				if b.Handlebar.Drop.DropsWidth != 0 {
					b.Handlebar.Drop.DropsWidth += by
				}
			case b.Handlebar.Flat != part.FlatBar{}:
				b.Handlebar.Flat.Width += by
			default:
				b.Handlebar.Base.Width += by
			}
		}
		switch c.Limit {
		case fitgeom.LimitSeatpostUp:
			b.Seatpost.Length += by
			if f.SeatpostDepth > 0 {
				f.SeatpostDepth += by
			}
			if b.Seatpost.MaxExtension > 0 {
				b.Seatpost.MaxExtension += by
			}
		case fitgeom.LimitSeatpostDown:
			b.Seatpost.MinExtension -= by
			if f.SeatpostDepth > 0 {
				f.SeatpostDepth += by
			}
		case fitgeom.LimitSaddleForward:
			b.Saddle.RailsTo += by
		case fitgeom.LimitSaddleBack:
			b.Saddle.RailsFrom -= by
		case fitgeom.LimitSpacersUp, fitgeom.LimitSpacersDown:
			if b.Stem.Quill != (part.Steps{}) {
				return false, false
			}
			// The head tube's top goes along the steerer to where the stem would be, with
			// nothing but the cap under it.
			stacks := fittingStacks(b, spacers)
			h := stacks[len(stacks)-1][0] + by
			if c.Limit == fitgeom.LimitSpacersDown {
				h = stacks[0][0] - by
			}
			sin, cos := math.Sincos(f.Geometry.HeadAngle * math.Pi / 180)
			f.Geometry.Reach -= h * cos
			f.Geometry.Stack += h * sin
			spacers = nil
			f.SteererCut = 0
		case fitgeom.LimitRotationUp, fitgeom.LimitRotationDown:
			b.Handlebar.RotationRange += by
		case fitgeom.LimitAeroTiltUp, fitgeom.LimitAeroTiltDown:
			only(&b.Aero.Tilt, c.Limit == fitgeom.LimitAeroTiltUp)
		case fitgeom.LimitPadsUp, fitgeom.LimitPadsDown:
			only(&b.Aero.PadRise, c.Limit == fitgeom.LimitPadsUp)
		case fitgeom.LimitPadsForward, fitgeom.LimitPadsBack:
			only(&b.Aero.PadForward, c.Limit == fitgeom.LimitPadsForward)
		case fitgeom.LimitPadsApart, fitgeom.LimitPadsTogether:
			only(&b.Aero.PadWidth, c.Limit == fitgeom.LimitPadsApart)
		case fitgeom.LimitExtensionsOut, fitgeom.LimitExtensionsIn:
			only(&b.Aero.Extension, c.Limit == fitgeom.LimitExtensionsOut)
		case fitgeom.LimitStemAngleUp, fitgeom.LimitStemAngleDown:
			if b.Stem.Angles == (part.Steps{}) {
				return false, false
			}
			only(&b.Stem.Angles, (c.Limit == fitgeom.LimitStemAngleUp) != flipped)
		case fitgeom.LimitQuillUp, fitgeom.LimitQuillDown:
			if b.Stem.Quill == (part.Steps{}) {
				return false, false
			}
			only(&b.Stem.Quill, c.Limit == fitgeom.LimitQuillUp)
		case fitgeom.LimitExtensionsApart, fitgeom.LimitExtensionsTogether:
			if b.Aero.ExtensionWidths == (part.Steps{}) {
				return false, false
			}
			only(&b.Aero.ExtensionWidths, c.Limit == fitgeom.LimitExtensionsApart)
		case fitgeom.LimitStemLonger:
			lengthen(by)
		case fitgeom.LimitStemShorter:
			lengthen(-by)
		case fitgeom.LimitBarWider:
			widen(by)
		case fitgeom.LimitBarNarrower:
			widen(-by)
		case fitgeom.LimitSetbackMore:
			b.Seatpost.Setback += by
		case fitgeom.LimitSetbackLess:
			b.Seatpost.Setback -= by
		case fitgeom.LimitCrankLonger, fitgeom.LimitCrankShorter:
			if c.Limit == fitgeom.LimitCrankShorter {
				by = -by
			}
			b.Crank.Length += by
			if b.Crank.RightLength != 0 {
				b.Crank.RightLength += by
			}
		case fitgeom.LimitCrankWider:
			b.Crank.QFactor += 2 * by
		case fitgeom.LimitCrankNarrower:
			b.Crank.QFactor -= 2 * by
		case fitgeom.LimitFootHigher, fitgeom.LimitFootLower:
			if len(p.Shelf.CleatShims) > 0 {
				return false, false // other shims would be chosen under the cleats
			}
			if c.Limit == fitgeom.LimitFootLower {
				by = -by
			}
			b.Pedal.FootHeight += by
			if b.Pedal.Right != (part.PedalSide{}) {
				b.Pedal.Right.FootHeight += by
			}
		case fitgeom.LimitFeetWider, fitgeom.LimitFeetNarrower:
			if c.Limit == fitgeom.LimitFeetNarrower {
				by = -by
			}
			b.Pedal.FootOffset += by
			if b.Pedal.Right != (part.PedalSide{}) {
				b.Pedal.Right.FootOffset += by
			}
		default:
			if c.Limit < fitgeom.LimitLeftCleatBack || c.Limit > fitgeom.LimitRightWedgeOuter {
				t.Fatal(c)
			}
			const perSide = fitgeom.LimitRightCleatBack - fitgeom.LimitLeftCleatBack
			at := (c.Limit - fitgeom.LimitLeftCleatBack) % perSide
			in := []*part.Steps{&b.Pedal.CleatBack, &b.Pedal.CleatIn, &b.Pedal.ToesOut, &b.Pedal.Wedge}[at/2]
			if in.Step != 0 {
				return false, false // a part has one range for both sides, and steps in it
			}
			if at%2 == 0 {
				in.To += by
			} else {
				in.From -= by
			}
		}
	}
	shelf := fitgeom.Shelf{
		Caps: []part.HeadsetCap{b.Cap}, Spacers: spacers, Handlebars: []part.Handlebar{b.Handlebar}, Seatposts: []part.Seatpost{b.Seatpost},
		Saddles: []part.Saddle{b.Saddle}, Cranks: []part.Crank{b.Crank}, Shims: p.Shelf.Shims, CleatShims: p.Shelf.CleatShims,
	}
	if b.Stem != (part.Stem{}) {
		shelf.Stems = []part.Stem{b.Stem}
	}
	if b.Lever != (part.Lever{}) {
		shelf.Levers = []part.Lever{b.Lever}
	}
	if b.Aero != (part.AeroBar{}) {
		shelf.AeroBars = []part.AeroBar{b.Aero}
	}
	if b.Pedal != (part.Pedal{}) {
		shelf.Pedals = []part.Pedal{b.Pedal}
	}
	opt.Frame, opt.Shelf = f, shelf
	r, err := opt.Solve(t.Context())
	return r.Holds(), err == nil
}
