package fitgeom_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// One part of each kind and no play: what would free the build is plain arithmetic.
func TestExplain(t *testing.T) {
	b := invented.Build()
	b.Settings.BarRoll = 0
	shelf := invented.Shelf()
	shelf.Caps, shelf.Stems, shelf.Bars, shelf.Levers = shelf.Caps[:1], shelf.Stems[:1], shelf.Bars[:1], shelf.Levers[:1]
	shelf.Posts, shelf.Saddles, shelf.Cranks = shelf.Posts[:1], shelf.Saddles[:1], shelf.Cranks[:1]
	shelf.Stems[0].Flippable = false
	shelf.Bars[0].RollRange = 0
	b.Stem, b.Bar = shelf.Stems[0], shelf.Bars[0]
	for name, c := range map[string]struct {
		far  func(*fitgeom.Build)
		want fitgeom.Change
	}{
		// Less than the distance by d, what tolerances of 2 mm let go: with the rails
		// d back until X is 2 mm short, ρ = (2 + d cos 73.5°) / cos 1°, Z is 2 mm short
		// where d sin 73.5° - ρ sin 1° = 2, which gives d = 2.13334.
		"post":   {func(b *fitgeom.Build) { b.Settings.PostExtension = 262 }, fitgeom.Change{Limit: fitgeom.PostUp, By: 12 - 2.13334}},
		"low":    {func(b *fitgeom.Build) { b.Settings.PostExtension = 30 }, fitgeom.Change{Limit: fitgeom.PostDown, By: 15 - 2.13334}},
		"bar":    {func(b *fitgeom.Build) { b.Bar.Drop.Width = 460; b.Bar.Drop.DropsWidth = 480 }, fitgeom.Change{Limit: fitgeom.BarWider, By: 40 - 10}},
		"narrow": {func(b *fitgeom.Build) { b.Bar.Drop.Width = 400 }, fitgeom.Change{Limit: fitgeom.BarNarrower, By: 20 - 10}},
		"crank":  {func(b *fitgeom.Build) { b.Crank.Length = 165 }, fitgeom.Change{Limit: fitgeom.CrankShorter, By: 7.5 - 1}},
	} {
		t.Run(name, func(t *testing.T) {
			far := b
			c.far(&far)
			opt := fitgeom.Options{Limit: 1, Crank: fitgeom.KeepSaddle}
			target := invented.Position(far)
			r, err := fitgeom.Reproduce(target, invented.Road54(), shelf, opt)
			require.NoError(t, err, "not to hold is no error")
			require.False(t, r.Holds())
			o, err := fitgeom.Explain(target, invented.Road54(), shelf, opt, r.Candidates[0])
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

// Whatever is said to free a build does, on a shelf that goes that much further,
// and four fifths of it does not.
func TestExplainedChangesFreeExact(t *testing.T) {
	freed, tried, stuck := 0, 0, 0
	for round := range draws(28, 600) {
		rng := rand.New(rand.NewPCG(6, uint64(round)))
		p := drawProblem(rng, bikeKinds[round%len(bikeKinds)], 0)
		apart := float64(round % 3) // unlike hands, which no part can make good, now and then
		move := func() r3.Vec { return r3.Vec{X: 20 * rng.NormFloat64(), Z: 20 * rng.NormFloat64()} }
		saddle, front := move(), move()
		for s, v := range p.target.All() {
			by := front
			if isSaddle(s) {
				by = saddle
			} else if isFoot(s) {
				by = r3.Vec{X: 3 * rng.NormFloat64(), Z: 3 * rng.NormFloat64()}
			}
			p.target.Set(s, r3.Add(v, r3.Add(by, r3.Vec{X: apart * rng.NormFloat64(), Z: apart * rng.NormFloat64()})))
		}
		r, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		if err != nil {
			continue // no parts that go together
		}
		for _, c := range r.Candidates[:1] {
			obstacles, err := fitgeom.Explain(p.target, p.frame, p.shelf, p.opt, c)
			require.NoError(t, err)
			if c.Holds {
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
						if share < 1 && (change.Limit == fitgeom.RollUp || change.Limit == fitgeom.RollDown) && slices.ContainsFunc(o.Alone, func(b fitgeom.Change) bool {
							return b.Limit != change.Limit && (b.Limit == fitgeom.RollUp || b.Limit == fitgeom.RollDown)
						}) {
							continue // a part has one range either way
						}
						if holds, possible := holdsWith(t, p, c.Build, o.Parts, []fitgeom.Change{change}, share); possible {
							tried++
							assert.Equal(t, want, holds, "round %d, %v of %v, %v", round, share, change, o)
						}
					}
				}
				if len(o.Together) > 0 {
					if holds, possible := holdsWith(t, p, c.Build, o.Parts, o.Together, 1); possible {
						assert.True(t, holds, "round %d, %v", round, o.Together)
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

// holdsWith reports whether the parts of a build, changed by a share of some
// changes, hold what is asked of a group; possible is false where such parts
// would not validate.
func holdsWith(t *testing.T, p problem, b fitgeom.Build, group part.Kinds, changes []fitgeom.Change, share float64) (holds, possible bool) {
	t.Helper()
	front := group&part.Stems != 0
	f, opt := p.frame, p.opt
	opt.Bike, opt.Vary = fitgeom.Build{}, 0
	opt.Keep = nil
	for _, k := range p.opt.Keep {
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
	if b.Settings.Flipped {
		b.Stem.Angle = -b.Stem.Angle
	}
	b.Stem.Flippable = false
	spacers := p.shelf.Spacers
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
			if b.Bar.Stem != (part.Stem{}) {
				b.Bar.Stem.Length += by
			} else {
				b.Stem.Length += by
			}
		}
		widen := func(by float64) {
			switch {
			case b.Bar.Drop != part.DropBar{}:
				b.Bar.Drop.Width += by
				if b.Bar.Drop.DropsWidth != 0 {
					b.Bar.Drop.DropsWidth += by
				}
			case b.Bar.Flat != part.FlatBar{}:
				b.Bar.Flat.Width += by
			default:
				b.Bar.Base.Width += by
			}
		}
		switch c.Limit {
		case fitgeom.PostUp:
			b.Post.Length += by
			if f.PostDepth > 0 {
				f.PostDepth += by
			}
			if b.Post.MaxExtension > 0 {
				b.Post.MaxExtension += by
			}
		case fitgeom.PostDown:
			b.Post.MinExtension -= by
			if f.PostDepth > 0 {
				f.PostDepth += by
			}
		case fitgeom.SaddleForward:
			b.Saddle.RailsTo += by
		case fitgeom.SaddleBack:
			b.Saddle.RailsFrom -= by
		case fitgeom.SpacersUp, fitgeom.SpacersDown:
			stacks := fittingStacks(b, spacers)
			if c.Limit == fitgeom.SpacersDown {
				if stacks[0][0] != 0 {
					return false, false
				}
				b.Cap.Height -= by
				spacers = nil
			} else {
				b.Cap.Height += by
				f.MaxStack += by
				spacers = nil
				if h := stacks[len(stacks)-1][0]; h > 0 {
					spacers = []part.Spacer{{Height: h, Count: 1}}
				}
			}
			f.SteererCut = 0
		case fitgeom.RollUp, fitgeom.RollDown:
			b.Bar.RollRange += by
		case fitgeom.AeroTiltUp, fitgeom.AeroTiltDown:
			only(&b.Aero.Tilt, c.Limit == fitgeom.AeroTiltUp)
		case fitgeom.PadsUp, fitgeom.PadsDown:
			only(&b.Aero.PadStack, c.Limit == fitgeom.PadsUp)
		case fitgeom.PadsForward, fitgeom.PadsBack:
			only(&b.Aero.PadReach, c.Limit == fitgeom.PadsForward)
		case fitgeom.PadsApart, fitgeom.PadsTogether:
			only(&b.Aero.PadWidth, c.Limit == fitgeom.PadsApart)
		case fitgeom.ExtensionOut, fitgeom.ExtensionIn:
			only(&b.Aero.Extension, c.Limit == fitgeom.ExtensionOut)
		case fitgeom.StemLonger:
			lengthen(by)
		case fitgeom.StemShorter:
			lengthen(-by)
		case fitgeom.BarWider:
			widen(by)
		case fitgeom.BarNarrower:
			widen(-by)
		case fitgeom.SetbackMore:
			b.Post.Setback += by
		case fitgeom.SetbackLess:
			b.Post.Setback -= by
		case fitgeom.CrankLonger:
			b.Crank.Length += by
		case fitgeom.CrankShorter:
			b.Crank.Length -= by
		case fitgeom.CrankWider:
			b.Crank.QFactor += 2 * by
		case fitgeom.CrankNarrower:
			b.Crank.QFactor -= 2 * by
		case fitgeom.FootHigher, fitgeom.FootLower:
			if len(p.shelf.CleatShims) > 0 {
				return false, false // other shims would be chosen under the cleats
			}
			b.Pedal.Stack += by
			if c.Limit == fitgeom.FootLower {
				b.Pedal.Stack -= 2 * by
			}
		case fitgeom.StanceWider:
			b.Pedal.Stance += by
		case fitgeom.StanceNarrower:
			b.Pedal.Stance -= by
		default:
			t.Fatal(c)
		}
	}
	shelf := fitgeom.Shelf{
		Caps: []part.HeadsetCap{b.Cap}, Spacers: spacers, Bars: []part.Bar{b.Bar}, Posts: []part.Post{b.Post},
		Saddles: []part.Saddle{b.Saddle}, Cranks: []part.Crank{b.Crank}, Shims: p.shelf.Shims, CleatShims: p.shelf.CleatShims,
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
	r, err := fitgeom.Reproduce(p.target, f, shelf, opt)
	return r.Holds(), err == nil
}
