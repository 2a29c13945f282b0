package fitgeom_test

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(20, 1000, 5) }

// anyProblem draws a bike of any kind, a shelf and a target that is off by so many millimetres.
func anyProblem(t *rapid.T, disturb float64) problem {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 9))
	return drawProblem(rng, rapid.SampledFrom(bikeKinds).Draw(t, "kind"), disturb)
}

func positionOf(t require.TestingT, b fitgeom.Build) contact.Position {
	p, err := b.Position()
	require.NoError(t, err)
	return p
}

// moves is how one change of a build moves a site.
func moves(t require.TestingT, b fitgeom.Build, s contact.Site, change func(*fitgeom.Build)) r3.Vec {
	c := b
	change(&c)
	d, ok := positionOf(t, c).Sub(positionOf(t, b)).At(s)
	require.True(t, ok)
	return d
}

// What each setting does, whatever else the bike is like.
func TestPropertySettings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		b := invented.Everything()
		g := &b.Frame.Geometry
		g.Stack, g.Reach, g.HeadAngle, g.SeatAngle = f(500, 650), f(360, 450), f(66, 75), f(70, 77)
		b.Stem.Length, b.Stem.Angle = f(40, 140), f(-17, 17)
		b.Settings.Spacers, b.Settings.BarRotation, b.Settings.SaddleTilt, b.Settings.SeatpostExtension = f(0, 30), f(-8, 8), f(-5, 5), f(80, 200)
		by := f(1, 8)
		bar := []contact.Site{contact.BarClamp, contact.TopsLeft, contact.HoodsLeft, contact.DropsRight, contact.PadLeft, contact.ExtensionRight}
		saddle := []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear}
		near := func(want, got r3.Vec) { require.InDelta(t, 0, r3.Norm(r3.Sub(want, got)), 1e-9) }
		up := func(angle float64) r3.Vec {
			sin, cos := math.Sincos(angle * math.Pi / 180)
			return r3.Vec{X: -by * cos, Z: by * sin}
		}
		for _, s := range bar {
			near(up(g.HeadAngle), moves(t, b, s, func(b *fitgeom.Build) { b.Settings.Spacers += by })) // raises and draws back
			near(r3.Vec{}, moves(t, b, s, func(b *fitgeom.Build) { b.Settings.SeatpostExtension += by }))
			near(r3.Vec{X: by}, moves(t, b, s, func(b *fitgeom.Build) { b.Frame.Geometry.Reach += by }))
			near(r3.Vec{Z: by}, moves(t, b, s, func(b *fitgeom.Build) { b.Frame.Geometry.Stack += by }))
			pitch, err := chart.StemPitch(g.HeadAngle, b.Stem.Angle)
			require.NoError(t, err)
			longer := moves(t, b, s, func(b *fitgeom.Build) { b.Stem.Length += by })
			near(r3.Vec{X: -up(pitch).X, Z: up(pitch).Z}, longer)
			require.Greater(t, longer.X, 0., "a longer stem reaches further")
		}
		for _, s := range saddle {
			near(up(g.SeatAngle), moves(t, b, s, func(b *fitgeom.Build) { b.Settings.SeatpostExtension += by })) // raises and sets back
			near(r3.Vec{}, moves(t, b, s, func(b *fitgeom.Build) { b.Settings.Spacers += by }))
			rails := moves(t, b, s, func(b *fitgeom.Build) { b.Settings.RailClamp += by })
			require.InDelta(t, by, r3.Norm(rails), 1e-9)
			require.Greater(t, rails.X, 0., "more of the rails behind the clamp's nose end puts the saddle forward")
			more := moves(t, b, s, func(b *fitgeom.Build) { b.Seatpost.Setback += by })
			require.InDelta(t, 0, r3.Dot(more, up(g.SeatAngle)), 1e-9)
			require.Less(t, more.X, 0.)
		}
		require.Greater(t, moves(t, b, contact.HoodsLeft, func(b *fitgeom.Build) { b.Settings.BarRotation += by }).Z, 0., "positive when the hands go up")
		require.Greater(t, moves(t, b, contact.SaddleNose, func(b *fitgeom.Build) { b.Settings.SaddleTilt += by }).Z,
			moves(t, b, contact.SaddleRear, func(b *fitgeom.Build) { b.Settings.SaddleTilt += by }).Z, "nose-up")
		near(r3.Vec{X: by}, moves(t, b, contact.PedalRight, func(b *fitgeom.Build) { b.Crank.Length += by }))
		near(r3.Vec{Z: by}, moves(t, b, contact.FootLeft, func(b *fitgeom.Build) { b.Settings.LiftLeft += by }))
		near(r3.Vec{}, moves(t, b, contact.FootRight, func(b *fitgeom.Build) { b.Settings.LiftLeft += by }))

		// Two changes at once are both changes, in any order: steerer and post are straight.
		both := moves(t, b, contact.HoodsLeft, func(b *fitgeom.Build) { b.Settings.Spacers += by; b.Frame.Geometry.Reach += by })
		near(r3.Add(up(g.HeadAngle), r3.Vec{X: by}), both)
	})
}

// A build is as wide on either side, but for the shims under the cleats: exchanging
// these is looking into a mirror.
func TestPropertyMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyProblem(t, 5).from
		if b.Pedal == (part.Pedal{}) {
			b.Pedal = part.Pedal{FootHeight: 18, FootOffset: 55}
			b.Settings.LiftLeft = 3
		}
		c := b
		c.Settings.LiftLeft, c.Settings.LiftRight = b.Settings.LiftRight, b.Settings.LiftLeft
		require.Equal(t, positionOf(t, b).Mirror(), positionOf(t, c))
	})
}

// A position that a build on the shelf gives is found, with nothing left over; and
// what each candidate says it would give, it gives.
func TestPropertyReproduceFindsTheBuild(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t, 0)
		if slices.ContainsFunc(margins(p.from), func(m fitgeom.Margin) bool { return m.Room < 0 }) {
			return // it breaks a limit
		}
		p.opt.Grain = 0
		r, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		require.NoError(t, err)
		require.True(t, r.Holds())
		require.InDelta(t, 0, r.Candidates[0].Score, 1e-6)
		for _, c := range r.Candidates {
			require.NoError(t, fitgeom.Verify(p.target, p.frame, p.shelf, p.opt, c))
			_, far, _ := positionOf(t, c.Build).Sub(c.Position).Largest()
			require.InDelta(t, 0, far, 1e-9)
		}
		for _, res := range r.Candidates[0].Deviations {
			require.InDelta(t, 0, r3.Norm(asked(res)), 1e-5, res.Site)
		}
	})
}

// More on the shelf is never worse, and nor is more tolerance; what cannot be
// used changes nothing.
func TestPropertyReproduceMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t, 4)
		p.opt.Limit = 1
		p.opt.Bike = fitgeom.Build{}
		want, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		if err != nil {
			return // nothing on the shelf fits
		}
		best := want.Candidates[0]
		try := func(shelf fitgeom.Shelf, opt fitgeom.Options) fitgeom.Candidate {
			r, err := fitgeom.Reproduce(p.target, p.frame, shelf, opt)
			require.NoError(t, err)
			return r.Candidates[0]
		}
		grain := max(p.opt.Grain, 1e-8)
		notWorse := func(c fitgeom.Candidate, share float64) {
			require.True(t, c.Holds || !best.Holds)
			if c.Holds == best.Holds {
				require.LessOrEqual(t, math.Sqrt(c.Score), share*math.Sqrt(best.Score)+4*grain)
			}
		}
		more := p.shelf
		more.Seatposts = append(slices.Clone(p.shelf.Seatposts), part.Seatpost{Diameter: p.frame.SeatpostDiameter, Length: 400, Setback: 35, MinInsertion: 80, MinExtension: 40})
		more.Saddles = append(slices.Clone(p.shelf.Saddles), part.Saddle{Length: 255, Station: 120, Height: 46, RailsFrom: 90, RailsTo: 190})
		more.Stems = append(slices.Clone(p.shelf.Stems), part.Stem{Length: 85, Angle: 4, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true})
		notWorse(try(more, p.opt), 1)

		wide := p.opt
		wide.Keep = slices.Clone(p.opt.Keep)
		for i := range wide.Keep {
			wide.Keep[i].Tolerance = r3.Scale(2, wide.Keep[i].Tolerance)
		}
		if c := try(p.shelf, wide); best.Holds {
			require.True(t, c.Holds)
		}

		useless := p.shelf
		useless.Stems = append(slices.Clone(p.shelf.Stems), part.Stem{Length: 100, Height: 40, SteererDiameter: 31.8, BarDiameter: 31.8})
		useless.Seatposts = append(slices.Clone(p.shelf.Seatposts), part.Seatpost{Diameter: 35, Length: 400, MinInsertion: 80, MinExtension: 40})
		c := try(useless, p.opt)
		require.Equal(t, best.Build, c.Build)
		require.Equal(t, best.Score, c.Score)
	})
}

func shuffled[T any](t *rapid.T, all []T) []T {
	if len(all) < 2 {
		return all
	}
	return rapid.Permutation(all).Draw(t, "order")
}

// The order of the parts on the shelf decides between equal builds alone: score,
// and whether it holds, are the same.
func TestPropertyShelfOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t, 3)
		want, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		if err != nil {
			return // nothing on the shelf fits
		}
		s := p.shelf
		s.Caps, s.Spacers, s.Stems, s.Handlebars, s.Levers, s.AeroBars = shuffled(t, s.Caps), shuffled(t, s.Spacers), shuffled(t, s.Stems), shuffled(t, s.Handlebars), shuffled(t, s.Levers), shuffled(t, s.AeroBars)
		s.Seatposts, s.Saddles, s.Cranks, s.Pedals, s.CleatShims = shuffled(t, s.Seatposts), shuffled(t, s.Saddles), shuffled(t, s.Cranks), shuffled(t, s.Pedals), shuffled(t, s.CleatShims)
		opt := p.opt
		opt.Keep = shuffled(t, opt.Keep)
		got, err := fitgeom.Reproduce(p.target, p.frame, s, opt)
		require.NoError(t, err)
		require.Equal(t, want.Combinations, got.Combinations)
		require.Equal(t, want.Holds(), got.Holds())
		require.Len(t, got.Candidates, len(want.Candidates))
		if p.opt.Grain > 1e-6 {
			return // coarse scores: which of nearly equal builds is first is a matter of order
		}
		require.InDelta(t, math.Sqrt(want.Candidates[0].Score), math.Sqrt(got.Candidates[0].Score), 1e-6)
	})
}

// A catalogue in another order: the same frames with the same scores, since the
// order decides between equals alone. What Rank finds of a frame is what Reproduce
// finds of it.
func TestPropertyCatalogueOrder(t *testing.T) {
	shelf := chooseShelf()
	rapid.Check(t, func(t *rapid.T) {
		sizes := inventedSizes(24, rapid.SampledFrom([]float64{0.1, 0.5}).Draw(t, "angles"), rapid.Uint64().Draw(t, "seed"))
		target := riderAt(rapid.Uint64Range(0, 500).Draw(t, "rider"))
		opt := fitgeom.Options{Limit: 8}
		rank := func(sizes []fitgeom.Size) fitgeom.Ranking {
			x, err := fitgeom.NewIndex(sizes, shelf)
			require.NoError(t, err)
			require.Equal(t, len(sizes), x.Len())
			r, err := x.Rank(target, opt)
			require.NoError(t, err)
			return r
		}
		want, got := rank(sizes), rank(rapid.Permutation(sizes).Draw(t, "order"))
		for i, c := range want.Choices {
			d := got.Choices[i]
			require.Equal(t, c.Best.Holds, d.Best.Holds)
			require.InDelta(t, c.Best.Score, d.Best.Score, 1e-7)
			r, err := fitgeom.Reproduce(target, c.Size.Frame, shelf, fitgeom.Options{Limit: 1})
			if c.Fault != nil {
				require.Error(t, err)
				continue
			}
			require.NoError(t, err)
			require.Equal(t, r.Candidates[0], c.Best)
			require.Equal(t, sizes[c.Place].Frame, c.Size.Frame)
		}
		// The best of a part of the catalogue, in their order.
		half := rank(sizes[:12])
		next := 0
		for _, c := range want.Choices {
			if c.Place < 12 && next < len(half.Choices) {
				require.Equal(t, c.Place, half.Choices[next].Place)
				next++
			}
		}
	})
}

// Chance against dice: the target as it may truly have been, and how often the
// build is within tolerance of it. 400 throws are good to 4·√(0.25/400) = 0.1.
func TestPropertyChance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		b := invented.Build()
		target := positionOf(t, b)
		opt := fitgeom.Options{}
		r, err := fitgeom.Reproduce(target, b.Frame, invented.Shelf(), opt)
		require.NoError(t, err)
		c := r.Candidates[rapid.IntRange(0, len(r.Candidates)-1).Draw(t, "candidate")]
		sigma := rapid.Float64Range(0.1, 2).Draw(t, "sigma")
		var coords []contact.Coordinate
		for _, s := range contact.Sites() {
			for a := range contact.AxisTilt {
				coords = append(coords, contact.Coordinate{Site: s, Axis: a})
			}
		}
		coords = append(coords, contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt})
		cov := func(sigma float64) contact.Covariance {
			cov, err := contact.NewCovariance(coords, func(i, j int) float64 {
				switch {
				case i != j || coords[i].Site >= contact.PedalLeft || coords[i].Axis == contact.AxisTilt:
					return 0
				}
				return sigma * sigma
			})
			require.NoError(t, err)
			return cov
		}
		chance := func(sigma float64, chart fitgeom.Rounding) float64 {
			p, err := fitgeom.Chance(target, opt, c, cov(sigma), chart)
			require.NoError(t, err)
			require.True(t, p >= 0 && p <= 1)
			return p
		}
		p := chance(sigma, fitgeom.Rounding{})
		held := 0
		for range 400 {
			in := true
			for _, res := range c.Deviations {
				for _, v := range [][2]float64{{res.Off.X, res.Tolerance.X}, {res.Off.Y, res.Tolerance.Y}, {res.Off.Z, res.Tolerance.Z}} {
					e := rng.NormFloat64() * sigma
					if res.Site >= contact.PedalLeft {
						e = 0
					}
					in = in && (v[1] == 0 || math.Abs(v[0]+e) <= v[1])
				}
			}
			if in {
				held++
			}
		}
		require.InDelta(t, float64(held)/400, p, 0.1)
		if c.Holds {
			require.GreaterOrEqual(t, chance(sigma/2, fitgeom.Rounding{}), p-0.02, "surer readings")
			require.InDelta(t, 1, chance(0, fitgeom.Rounding{}), 1e-9)
		}
	})
}

// On the wheels that a frame was drawn with it stands as drawn, and sag in front
// and behind alike turns nothing.
func TestPropertyStance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t, 0)
		a := p.frame.Geometry.Axles
		pitch, err := p.frame.Pitch(chart.Wheels{FrontRadius: a.FrontRadius, RearRadius: a.RearRadius})
		require.NoError(t, err)
		require.InDelta(t, 0, pitch, 1e-9)
		front, rear := rapid.Float64Range(320, 360).Draw(t, "front"), rapid.Float64Range(320, 360).Draw(t, "rear")
		pitch, err = p.frame.Pitch(chart.Wheels{FrontRadius: front, RearRadius: rear})
		require.NoError(t, err)
		_, want, err := p.frame.Geometry.OnWheels(front, rear)
		require.NoError(t, err)
		require.InDelta(t, want, pitch, 1e-9)
		sunk, err := p.frame.Pitch(chart.Wheels{FrontSag: 20})
		require.NoError(t, err)
		require.Less(t, sunk, 0., "the nose goes down")
	})
}

// The steps of a set-up sheet are the measures of the candidate's position.
func TestPropertySetUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t, 0)
		r, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		require.NoError(t, err)
		c := r.Candidates[0]
		basis := convert.Basis{SeatAngle: 73, BottomBracketHeight: 270}
		ms := []convert.Measure{convert.SaddleHeight, convert.SaddleSetback, convert.SaddleHeightGround, convert.BarReach}
		steps, err := fitgeom.SetUp(c, basis, ms...)
		require.NoError(t, err)
		for _, m := range ms {
			want, err := m.Of(c.Position, basis)
			require.NoError(t, err)
			i := slices.IndexFunc(steps, func(s fitgeom.Step) bool { return s.Name == m.String() })
			require.GreaterOrEqual(t, i, 0)
			require.InDelta(t, want, steps[i].Value, 1e-9)
			require.True(t, steps[i].Verify)
		}
		for _, s := range steps {
			require.NotEmpty(t, s.Text)
			require.True(t, !c.Holds || !s.Limited || s.Low <= s.Value+1e-6 && s.Value <= s.High+1e-6, s.Name)
		}
	})
}

// Every reason there is for one frame to come before the next, told from the best
// builds of both by the order that the package documents.
func TestPropertyReasons(t *testing.T) {
	shelf := chooseShelf()
	shelf.Cranks = append(slices.Clone(shelf.Cranks), part.Crank{Name: "crank 160", Length: 160, QFactor: 146})
	place := func(c *fitgeom.Candidate) [5]int {
		b := &c.Build
		return [5]int{slices.Index(shelf.Caps, b.Cap), slices.Index(shelf.Stems, b.Stem), slices.Index(shelf.Handlebars, b.Handlebar), slices.Index(shelf.Levers, b.Lever), slices.Index(shelf.AeroBars, b.Aero)}
	}
	seat := func(c *fitgeom.Candidate) [3]int {
		b := &c.Build
		return [3]int{slices.Index(shelf.Seatposts, b.Seatpost), slices.Index(shelf.Saddles, b.Saddle), slices.Index(shelf.Cranks, b.Crank)}
	}
	expected := func(a, b *fitgeom.Choice, target contact.Position, opt fitgeom.Options) (fitgeom.Reason, float64) {
		c, d := &a.Best, &b.Best
		s, u := &c.Build.Settings, &d.Build.Settings
		buys := func(c *fitgeom.Candidate) float64 {
			if opt.Bike == (fitgeom.Build{}) {
				return 0
			}
			return float64(bits.OnesCount16(uint16(c.Buy)))
		}
		middle := func(c *fitgeom.Candidate) float64 {
			return math.Abs(c.Build.Settings.RailClamp - (c.Build.Saddle.RailsFrom+c.Build.Saddle.RailsTo)/2)
		}
		pedal, _ := target.At(contact.PedalLeft)
		longer := func(c *fitgeom.Candidate) float64 { return math.Abs(c.Build.Crank.Length - pedal.X) }
		switch {
		case (a.Fault != nil) != (b.Fault != nil):
			return fitgeom.ByFit, 0
		case c.Holds != d.Holds:
			return fitgeom.ByHolding, 0
		case buys(c) != buys(d):
			return fitgeom.ByPurchase, math.Abs(buys(c) - buys(d))
		case math.Abs(s.Spacers-u.Spacers) > 1e-6:
			return fitgeom.BySpacers, math.Abs(s.Spacers - u.Spacers)
		case s.Flipped != u.Flipped:
			return fitgeom.ByFlip, 0
		case math.Abs(math.Abs(s.BarRotation)-math.Abs(u.BarRotation)) > 1e-5:
			return fitgeom.ByRoll, math.Abs(math.Abs(s.BarRotation) - math.Abs(u.BarRotation))
		case place(c) != place(d):
			return fitgeom.ByShelf, 0
		case math.Abs(longer(c)-longer(d)) > 1e-5:
			return fitgeom.ByCrank, math.Abs(longer(c) - longer(d))
		case math.Abs(middle(c)-middle(d)) > 1e-5:
			return fitgeom.ByRails, math.Abs(middle(c) - middle(d))
		case seat(c) != seat(d):
			return fitgeom.ByShelf, 0
		}
		return fitgeom.ByPlace, 0
	}
	seen := map[fitgeom.Reason]int{}
	rapid.Check(t, func(t *rapid.T) {
		target := riderAt(rapid.Uint64Range(0, 500).Draw(t, "rider"))
		sizes := inventedSizes(1, 0.5, rapid.Uint64Range(0, 50).Draw(t, "seed"))
		for i := range 4 { // the next of a family, off by a little here or there
			next := sizes[i]
			next.Label, next.Frame.Name = next.Label+"+", next.Frame.Name+"+"
			g := &next.Frame.Geometry
			switch rapid.IntRange(0, 6).Draw(t, "change") {
			case 0:
				g.Reach++
			case 1:
				g.SeatAngle += 0.5
			case 2:
				g.Stack += 10
			case 3:
				g.HeadAngle += 0.5
			case 4:
				next.Frame.SeatpostDiameter = 30.9 // for which there is no post
			case 5:
				next.Frame.MaxUnderStem -= 20
			}
			g.Stack += 1e-3 // the next in stack
			sizes = append(sizes, next)
		}
		opt := fitgeom.Options{Grain: 10, Limit: len(sizes)} // scores count for nothing
		if rapid.Bool().Draw(t, "bike") {
			opt.Bike = invented.Build()
		}
		x, err := fitgeom.NewIndex(sizes, shelf)
		require.NoError(t, err)
		r, err := x.Rank(target, opt)
		require.NoError(t, err)
		of := map[int]*fitgeom.Choice{}
		for i := range r.Choices {
			of[r.Choices[i].Place] = &r.Choices[i]
		}
		for i := range sizes {
			near, err := x.Neighbours(target, opt, i)
			require.NoError(t, err)
			for _, n := range near {
				a, b := of[i], of[n.Choice.Place]
				if n.Reason == fitgeom.ByScore || a.Fault != nil && b.Fault != nil {
					continue // of builds that are far off the scores count, in steps of 10
				}
				want, by := expected(a, b, target, opt)
				require.Equal(t, want, n.Reason, "%v", n)
				require.InDelta(t, by, n.By, 2e-5, "%v", n)
				seen[n.Reason]++
			}
		}
	})
	for _, r := range []fitgeom.Reason{
		fitgeom.ByFit, fitgeom.ByHolding, fitgeom.ByPurchase, fitgeom.BySpacers, fitgeom.ByFlip, fitgeom.ByRoll, fitgeom.ByRails, fitgeom.ByShelf, fitgeom.ByPlace,
	} {
		assert.True(t, seen[r] > 0 || testing.Short(), r)
	}
}
