package chart_test

import (
	"math"
	"strconv"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Every function that has an inverse is undone by it.
func TestPropertyInverses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		is := func(want float64) func(float64, error) {
			return func(got float64, err error) {
				require.NoError(t, err)
				require.InDelta(t, want, got, 1e-9)
			}
		}
		num := func(v float64, err error) float64 { require.NoError(t, err); return v }
		head, seat := f(60, 85), f(65, 85)

		offset, radius := f(20, 60), f(150, 400)
		s := steering(head, offset, radius)
		trail := num(s.Trail())
		with, err := steering(head, 0, radius).WithTrail(trail)
		is(offset)(with.ForkOffset, err)
		require.Equal(t, steering(head, with.ForkOffset, radius), with)
		require.Greater(t, trail, num(steering(head+0.5, offset, radius).Trail()), "a steeper head has less trail")
		require.Greater(t, trail, num(steering(head, offset+1, radius).Trail()))
		flop := num(s.WheelFlopFactor())
		require.InDelta(t, trail*math.Sin(2*head*math.Pi/180)/2, flop, 1e-9)
		cut := num(s.AxisCut())
		require.InDelta(t, trail*math.Tan(head*math.Pi/180), cut*radius, 1e-7, "the axis climbs from the ground to the upright through the axle")

		stack, reach := f(450, 700), f(330, 500)
		top := chart.Geometry{Stack: stack, Reach: reach, SeatAngle: seat}.EffectiveTopTube()
		is(reach)(chart.VirtualTopTube{Stack: stack, SeatAngle: seat, Effective: top}.Reach())
		at, err := chart.SeatPointAt(f(300, 900), seat)
		require.NoError(t, err)
		is(seat)(at.SeatAngle())
		at, err = chart.SeatPointAt(stack, seat)
		require.NoError(t, err)
		require.InDelta(t, top, reach+at.Setback, 1e-9)

		turns := f(0.1, 20)
		is(radius)(chart.RolloutRadius(2*math.Pi*radius*turns, turns))
	})
}

// What is written as a marking or in inches reads back.
func TestPropertyMarkings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tyre := chart.Tyre{Width: float64(rapid.IntRange(10, 150).Draw(t, "width")), BeadSeat: float64(rapid.IntRange(150, 700).Draw(t, "bead seat"))}
		back, err := chart.ParseTyre(tyre.String())
		require.NoError(t, err)
		require.Equal(t, tyre, back)
		radius, err := tyre.Radius()
		require.NoError(t, err)
		tyre.Width++
		if wider, err := tyre.Radius(); err == nil {
			require.Greater(t, wider, radius)
		}

		whole, top, bottom := rapid.IntRange(0, 84).Draw(t, "whole"), rapid.IntRange(0, 31).Draw(t, "top"), rapid.SampledFrom([]int{2, 4, 8, 16, 32}).Draw(t, "bottom")
		fraction := strconv.Itoa(top) + "/" + strconv.Itoa(bottom)
		v, err := chart.Inches(strconv.Itoa(whole) + " " + fraction)
		require.NoError(t, err)
		w, err := chart.Inches(strconv.Itoa(whole) + "-" + fraction + "\"")
		require.NoError(t, err)
		require.Equal(t, v, w)
		w, err = chart.Inches(strconv.FormatFloat(float64(whole)+float64(top)/float64(bottom), 'f', -1, 64))
		require.NoError(t, err)
		require.InDelta(t, v, w, 1e-9)
	})
}

func init() { trial.Rapid(40, 2000, 1) }

func anyGeometry(t *rapid.T) chart.Geometry {
	f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
	return chart.Geometry{
		Stack: f(480, 680), Reach: f(350, 500), HeadAngle: f(64, 76), SeatAngle: f(68, 80), SeatOffset: rapid.SampledFrom([]float64{0, 15, -8}).Draw(t, "seat offset"),
		Axles: chart.Axles{Chainstay: f(390, 460), Drop: f(-20, 85), ForkOffset: f(35, 60), FrontRadius: f(300, 380), RearRadius: f(300, 380)},
	}
}

// From wheels to wheels the way does not matter, and the way back leads home.
func TestPropertyOnWheels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGeometry(t)
		f := func() float64 { return rapid.Float64Range(300, 380).Draw(t, "radius") }
		front, rear := f(), f()
		on := func(g chart.Geometry, front, rear float64) (chart.Geometry, float64) {
			w := chart.Wheels{FrontRadius: front, RearRadius: rear}
			require.NoError(t, w.ValidateOn(g))
			h, err := g.OnWheels(w)
			require.NoError(t, err)
			pitch, ok := g.Pitch(w)
			require.True(t, ok)
			return h, pitch
		}
		by, rise := on(g, f(), f())
		want, pitch := on(g, front, rear)
		got, more := on(by, front, rear)
		require.InDelta(t, pitch, rise+more, 1e-9)
		near := func(want, got chart.Geometry) {
			for _, v := range [][2]float64{
				{want.Stack, got.Stack},
				{want.Reach, got.Reach},
				{want.HeadAngle, got.HeadAngle},
				{want.SeatAngle, got.SeatAngle},
				{want.SeatOffset, got.SeatOffset},
				{want.Axles.Drop, got.Axles.Drop},
				{want.Axles.Chainstay, got.Axles.Chainstay},
				{want.Axles.ForkOffset, got.Axles.ForkOffset},
				{want.Axles.FrontRadius, got.Axles.FrontRadius},
				{want.Axles.RearRadius, got.Axles.RearRadius},
			} {
				require.InDelta(t, v[0], v[1], 1e-8)
			}
		}
		near(want, got)
		home, _ := on(got, g.Axles.FrontRadius, g.Axles.RearRadius)
		near(g, home)
		higher, nose := on(g, g.Axles.FrontRadius+5, g.Axles.RearRadius)
		require.Greater(t, nose, 0., "a larger front wheel lifts the nose")
		require.Less(t, higher.HeadAngle, g.HeadAngle)
	})
}

// What a chart finds of a frame is what the frame's geometry says, whatever of it
// the chart states and in whatever order.
func TestPropertyChartAgreesWithGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyGeometry(t)
		is := func(v float64, ok bool) float64 { require.True(t, ok); return v }
		front, _ := g.FrontAxle()
		rear, _ := g.RearAxle()
		bb, wheelbase, trail := is(g.BottomBracketHeight()), is(g.Wheelbase()), is(g.Trail())
		known := map[chart.Dimension]float64{
			chart.Stack: g.Stack, chart.Reach: g.Reach, chart.HeadAngle: g.HeadAngle, chart.SeatAngle: g.SeatAngle, chart.SeatOffset: g.SeatOffset,
			chart.Chainstay: g.Axles.Chainstay, chart.Drop: g.Axles.Drop, chart.ForkOffset: g.Axles.ForkOffset,
			chart.FrontRadius: g.Axles.FrontRadius, chart.RearRadius: g.Axles.RearRadius, chart.EffectiveTopTube: g.EffectiveTopTube(),
			chart.FrontCentre: r3.Norm(front), chart.FrontCentreHorizontal: front.X, chart.RearCentre: -rear.X, chart.Wheelbase: wheelbase,
			chart.Trail: trail, chart.BottomBracketHeight: bb,
		}
		same, err := steering(g.HeadAngle, g.Axles.ForkOffset, g.Axles.FrontRadius).Trail()
		require.NoError(t, err)
		require.InDelta(t, same, trail, 1e-9)

		either := func(d ...chart.Dimension) chart.Dimension { return rapid.SampledFrom(d).Draw(t, "entries") }
		c := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}}
		for _, d := range []chart.Dimension{
			chart.Stack, either(chart.Reach, chart.EffectiveTopTube), chart.HeadAngle, chart.SeatAngle, chart.SeatOffset,
			either(chart.Chainstay, chart.RearCentre), either(chart.Drop, chart.BottomBracketHeight),
			either(chart.ForkOffset, chart.Trail, chart.Wheelbase, chart.FrontCentreHorizontal, chart.FrontCentre), chart.FrontRadius, chart.RearRadius,
		} {
			c.Entries = append(c.Entries, chart.Entry{Dimension: d, Value: known[d]})
		}
		c.Entries = rapid.Permutation(c.Entries).Draw(t, "order")
		done, err := c.Solve()
		require.NoError(t, err)
		require.True(t, done.Consistent)
		for d, want := range known {
			got, sigma, ok := done.Get(d)
			require.True(t, ok, d)
			require.InDelta(t, want, got, 1e-6, d)
			require.GreaterOrEqual(t, sigma, 0.)
		}
		back, ok := done.Geometry()
		require.True(t, ok)
		require.InDelta(t, g.Axles.ForkOffset, back.Axles.ForkOffset, 1e-6)
		down, _ := g.SteererToAxle()
		down2, _ := back.SteererToAxle()
		require.InDelta(t, down, down2, 1e-6)

		// A second look at all that came out changes nothing.
		again := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}}
		for _, v := range done.Values {
			again.Entries = append(again.Entries, chart.Entry{Dimension: v.Dimension, Value: v.Value})
		}
		twice, err := again.Solve()
		require.NoError(t, err)
		require.InDelta(t, 0, twice.Chi2, 1e-6)
		for _, v := range done.Values {
			got, sigma, ok := twice.Get(v.Dimension)
			require.True(t, ok)
			require.InDelta(t, v.Value, got, 1e-6, v.Dimension)
			require.LessOrEqual(t, sigma, v.Sigma+1e-6, "more is stated, so that more is known")
		}
	})
}
