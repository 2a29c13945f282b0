package design_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func of(d chart.Dimension) design.Subject { return design.Subject{Dimension: d} }

func set(s design.Setting) design.Subject { return design.Subject{Setting: s} }

func exactly(s design.Subject, v float64) design.Wish { return design.Wish{Subject: s, From: v, To: v} }

// drawn is a bike whose frame is drawn at random within what bicycles have.
func drawn(rng *rand.Rand) fitgeom.Build {
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	b := invented.Build()
	g := &b.Frame.Geometry
	g.Stack, g.Reach = u(480, 660), u(350, 480)
	g.HeadAngle, g.SeatAngle, g.SeatOffset = u(64, 75), u(70, 77), u(-10, 20)
	radius := u(310, 375)
	g.Axles = chart.Axles{Chainstay: u(400, 450), Drop: u(20, 80), ForkOffset: u(35, 60), FrontRadius: radius, RearRadius: radius + u(-8, 8)}
	b.Frame.SeatTubeTop = u(420, 560)
	b.Stem.Length, b.Stem.Angle = u(40, 130), u(-17, 17)
	b.Settings.Flipped = b.Stem.Flippable && rng.IntN(2) == 0
	b.Settings.Spacers = u(0, 30)
	b.Seatpost.Setback = u(0, 25)
	b.Settings.SeatpostExtension = u(140, 220)
	b.Settings.RailClamp = u(b.Saddle.RailsFrom, b.Saddle.RailsTo)
	b.Settings.SaddleTilt = u(-5, 5)
	b.Settings.BarRotation = u(-5, 5)
	return b
}

// problem is what asks for the frame of a bike: its position and its parts. Wishes are left
// to be added.
func problem(t *testing.T, b fitgeom.Build) design.Problem {
	p, err := b.Position()
	require.NoError(t, err)
	return design.Problem{
		Target: p,
		Front: region.FrontEnd{
			Up: b.Cap.Height + b.Settings.Spacers, Stem: b.Stem, Flipped: b.Settings.Flipped,
			Handlebar: b.Handlebar, Lever: b.Lever, BarRotation: b.Settings.BarRotation,
		},
		Cap: b.Cap.Height, MaxUnderStem: 60, Seatpost: b.Seatpost, Saddle: b.Saddle, RailClamp: b.Settings.RailClamp,
		RoomWanted: []fitgeom.RoomWish{},
	}
}

// A frame of which position and wishes were read off is found again, whichever of its
// numbers say what it is. The forward map is that of package fitgeom, the frame's numbers
// those of package chart, which also finds the frame behind the chart of the design; and
// package region has it at the same place.
func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 1))
	n := 100
	if trial.Long() {
		n = 1000
	}
	var itself, charted, placed trial.Worst
	for range n {
		b := drawn(rng)
		p := problem(t, b)
		if rng.IntN(2) == 0 {
			p.Target.Forget(contact.BarClamp) // it follows from the hands
		}
		p.Wishes = readOff(rng, b)
		d, err := p.Solve(t.Context())
		require.NoError(t, err)
		require.True(t, d.Holds(), "%v %v", p.Wishes, d.Changes)
		g := b.Frame.Geometry
		see(&itself, d.Geometry(), g)
		out, _, _ := d.Value(set(design.SeatpostExtension))
		itself.See(out, b.Settings.SeatpostExtension)

		solved, err := d.Chart(chart.Rounding{LengthStep: 1, AngleStep: 0.1}).Solve()
		require.NoError(t, err)
		require.Len(t, solved.Values, len(chart.Dimensions()))
		h, ok := solved.Geometry()
		require.True(t, ok)
		see(&charted, h, g)
		for i, e := range d.Chart(chart.Rounding{}).Entries {
			charted.See(solved.Values[i].Value, e.Value)
		}
		at, err := region.FrameNow(p.Target, d.Geometry().HeadAngle, d.Front())
		require.NoError(t, err)
		placed.See(at.Reach, g.Reach)
		placed.See(at.Stack, g.Stack)
		seat, err := region.NewSeat(p.Target, p.Saddle, g.SeatOffset, nil)
		require.NoError(t, err)
		lo, hi, ok := seat.Setbacks(g.SeatAngle)
		assert.True(t, ok && lo <= b.Seatpost.Setback && b.Seatpost.Setback <= hi)
	}
	t.Logf("design: %d frames came back to %.1e mm or degrees, by their charts to %.1e, and their places to %.1e", n, float64(itself), float64(charted), float64(placed))
	assert.Less(t, float64(max(itself, charted, placed)), 1e-6)
}

// readOff is wishes that say what a frame is, one of several ways.
func readOff(rng *rand.Rand, b fitgeom.Build) (all []design.Wish) {
	g, a := b.Frame.Geometry, b.Frame.Geometry.Axles
	base, _ := g.Wheelbase()
	trail, _ := g.Trail()
	height, _ := g.BottomBracketHeight()
	axle, _ := g.FrontAxle()
	pick := func(ws ...design.Wish) { all = append(all, ws[rng.IntN(len(ws))]) }
	pick(exactly(of(chart.HeadAngle), g.HeadAngle), exactly(of(chart.Wheelbase), base), exactly(of(chart.Reach), g.Reach),
		exactly(of(chart.FrontCentreHorizontal), axle.X), exactly(of(chart.FrontCentre), math.Hypot(axle.X, axle.Z)))
	pick(exactly(of(chart.Trail), trail), exactly(of(chart.ForkOffset), a.ForkOffset))
	pick(exactly(of(chart.Drop), a.Drop), exactly(of(chart.BottomBracketHeight), height))
	pick(exactly(of(chart.Chainstay), a.Chainstay), exactly(of(chart.RearCentre), math.Sqrt(a.Chainstay*a.Chainstay-a.Drop*a.Drop)))
	pick(exactly(of(chart.SeatTubeTop), b.Frame.SeatTubeTop), exactly(set(design.SeatpostExtension), b.Settings.SeatpostExtension))
	pick(exactly(of(chart.SeatAngle), g.SeatAngle), exactly(of(chart.SeatOffset), g.SeatOffset))
	return append(all, exactly(of(chart.FrontRadius), a.FrontRadius), exactly(of(chart.RearRadius), a.RearRadius))
}

// see looks at all numbers of a frame.
func see(w *trial.Worst, g, want chart.Geometry) {
	for i, v := range flat(g) {
		w.See(v, flat(want)[i])
	}
}

func flat(g chart.Geometry) [10]float64 {
	a := g.Axles
	return [...]float64{g.Stack, g.Reach, g.HeadAngle, g.SeatAngle, g.SeatOffset, a.Chainstay, a.Drop, a.ForkOffset, a.FrontRadius, a.RearRadius}
}
