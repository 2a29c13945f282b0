package clearance_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(60, 5000, 1) }

// plain is a bike whose feet point straight ahead, on the worked example of geometry.txt.
func plain() clearance.Bike {
	return clearance.Bike{
		Position: contact.New(map[contact.Site]r3.Vec{
			contact.PedalLeft: {X: 172.5, Y: 73}, contact.PedalRight: {X: 172.5, Y: -73},
			contact.FootLeft: {X: 172.5, Y: 128, Z: 18}, contact.FootRight: {X: 172.5, Y: -128, Z: 18},
		}),
		Geometry: chart.Geometry{
			Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5,
			Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
		},
	}
}

// of returns a quantity that must be known.
func of(t require.TestingT, b clearance.Bike, q clearance.Quantity, side contact.Side) clearance.Value {
	v, ok, err := q.Of(b, side)
	require.NoError(t, err)
	require.True(t, ok, "%v %v", q, side)
	return v
}

// A fork without offset: whatever way the wheel is turned, it stays in a sphere around its
// axle, and every distance is one of plane or solid geometry.
func TestWithoutOffset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		b := plain()
		b.Geometry.Axles.ForkOffset = 0
		b.Geometry.Reach, b.Geometry.HeadAngle = f(400, 480), f(65, 85)
		radius, crank, y := f(300, 345), f(140, 180), f(100, 150)
		b.Geometry.Axles.FrontRadius, b.Geometry.Axles.RearRadius = radius, radius
		b.Position = contact.New(map[contact.Site]r3.Vec{contact.FootLeft: {X: crank, Y: y, Z: 20}})
		b.Bulk.Shoe = clearance.Shoe{Toe: f(90, 120), Heel: 200, ToeRadius: 40, BallRadius: 41, HeelRadius: 40, Axis: f(10, 40)}
		axle, _ := b.Geometry.FrontAxle()
		circle := math.Sqrt(radius*radius - y*y)

		straight := of(t, b, clearance.ToeParallel, contact.Left)
		require.InDelta(t, math.Hypot(axle.X, axle.Z)-circle-crank, straight.Value, 1e-7)
		require.InDelta(t, math.Atan2(axle.X, axle.Z)*180/math.Pi, straight.Crank, 1e-6, "the crank points at the axle")
		require.Negative(t, straight.Steering, "the wheel's rear comes to the left")
		plan := of(t, b, clearance.ToePlan, contact.Left)
		require.InDelta(t, axle.X-circle-crank, plan.Value, 1e-7)
		require.InDelta(t, 90, plan.Crank, 1e-9)
		require.InDelta(t, axle.X-math.Sqrt((crank+circle)*(crank+circle)-axle.Z*axle.Z), of(t, b, clearance.ToeLevel, contact.Left).Value, 1e-7)
		// The toe's ball is the nearest part of a shoe that points at the wheel.
		s := b.Bulk.Shoe
		toe := r3.Vec{X: s.Toe - s.ToeRadius, Y: y, Z: 20 + s.Axis}
		away := math.Hypot(axle.X-toe.X, axle.Z-toe.Z) - crank
		require.InDelta(t, math.Hypot(away, y)-s.ToeRadius-radius, of(t, b, clearance.ShoeToWheel, contact.Left).Value, 1e-7)
	})
}

// A bike on equal tyres leans over on them: (h − r) cos a − y sin a + r = 0, whose root is
// acos(−r/√((h−r)²+y²)) − atan2(y, h−r).
func TestLean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		b := plain()
		b.Geometry.Axles.Drop = f(-60, 100)
		r := f(5, 40)
		b.Bulk = clearance.Bulk{FrontTyre: 2 * r, RearTyre: 2 * r, Pedal: clearance.Pedal{Middle: 55, Outer: f(60, 130), Below: f(2, 30), Length: f(20, 120)}}
		h := 340 - b.Geometry.Axles.Drop - 172.5 - b.Bulk.Pedal.Below
		y := 73 + b.Bulk.Pedal.Outer
		want := math.Acos(-r/math.Hypot(h-r, y)) - math.Atan2(y, h-r)
		lean := of(t, b, clearance.PedalLean, contact.Right)
		require.InDelta(t, want*180/math.Pi, lean.Value, 1e-9)
		require.InDelta(t, 180, lean.Crank, 1e-9, "with its pedal down")
	})
}

// A stay that is parallel to a shoe: they pass at the width that is left.
func TestHeelBesideStay(t *testing.T) {
	b := plain()
	b.Bulk.Stay = clearance.Stay{AtBracket: 60, AtAxle: 60, Radius: 8}
	b.Bulk.Shoe = clearance.Shoe{Toe: 85, Heel: 205, ToeRadius: 30, BallRadius: 47, HeelRadius: 30, Axis: 30}
	assert.InDelta(t, 128-60-47-8, of(t, b, clearance.HeelToStay, contact.Left).Value, 1e-7)
	b.Bulk.Stay.AtBracket, b.Bulk.Stay.AtAxle = 90, 90
	assert.InDelta(t, 128-90-47-8, of(t, b, clearance.HeelToStay, contact.Left).Value, 1e-7, "an overlap is negative")
}

// A level top tube, and one that falls to the rear by a known slope.
func TestStandover(t *testing.T) {
	b := plain()
	b.Geometry.HeadAngle, b.Geometry.SeatAngle = 90, 90
	b.Bulk.TopTube = clearance.TopTube{Head: 60, Seat: 500, At: 100}
	b.Inseam = 820
	assert.InDelta(t, 500+270, of(t, b, clearance.Standover, contact.Centre).Value, 1e-9)
	assert.InDelta(t, 50, of(t, b, clearance.StandoverRoom, contact.Centre).Value, 1e-9)
	b.Uncertainty.Inseam = 3
	assert.InDelta(t, 3, of(t, b, clearance.StandoverRoom, contact.Centre).Sigma, 1e-6, "of the inseam alone")
	b.Uncertainty.Inseam = 0
	b.Bulk.TopTube.Seat = 400 // over a reach of 385
	assert.InDelta(t, 270+400+100*100/385., of(t, b, clearance.Standover, contact.Centre).Value, 1e-9)
	b.Bulk.TopTube.At = 400
	_, err := b.Values()
	assert.True(t, trial.FaultAt(err, "bulk.top_tube.at_mm", contact.ErrConflict), err)
}

// A bike and its mirror image; a frame with a longer reach; a wheel on which nothing depends
// but its radius; readings in their order.
func TestPropertyOfDistances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		b := plain()
		b.Geometry.HeadAngle, b.Geometry.Axles.ForkOffset, b.Geometry.Reach = f(64, 78), f(-30, 80), f(380, 420)
		b.Position.Set(contact.FootRight, r3.Vec{X: 172.5, Y: -f(105, 150), Z: f(0, 30)})
		b.Position.SetAttitude(contact.FootRight, contact.Attitude{Tilt: f(-20, 10), Yaw: f(-10, 10)})
		mirror := b
		mirror.Position = b.Position.Mirror()
		farther := b
		farther.Geometry.Reach += 10
		for _, q := range clearance.Quantities() {
			if q >= clearance.KneeToBar {
				break
			}
			v, ok, err := q.Of(b, contact.Right)
			require.NoError(t, err)
			m, ok2, err := q.Of(mirror, contact.Left)
			require.NoError(t, err)
			require.Equal(t, ok, ok2)
			require.InDelta(t, v.Value, m.Value, 1e-9)
			require.InDelta(t, v.Steering, -m.Steering, 1e-9)
			require.InDelta(t, v.Crank, m.Crank, 1e-9)
		}
		right := func(b clearance.Bike, q clearance.Quantity) float64 { return of(t, b, q, contact.Right).Value }
		for _, q := range []clearance.Quantity{clearance.ToeLevel, clearance.ToePlan} {
			require.InDelta(t, right(b, q)+10, right(farther, q), 1e-7, "a wheel that is farther forward")
		}
		require.LessOrEqual(t, right(b, clearance.ToePlan), right(b, clearance.ToeLevel)+1e-9)
		if level := right(b, clearance.ToeLevel); level > 0 { // a way out has no nearest direction
			require.LessOrEqual(t, right(b, clearance.ToeParallel), level+1e-9)
		}
		wide := b
		wide.Bulk.FrontTyre = 60
		require.InDelta(t, right(b, clearance.ShoeToWheel), right(wide, clearance.ShoeToWheel), 1e-9, "what is swept depends on the radius alone")
		guard := b
		guard.Bulk.Mudguard = clearance.Mudguard{Gap: 8, Width: 45}
		require.InDelta(t, right(b, clearance.ShoeToWheel)-8, right(guard, clearance.ShoeToWheel), 1e-9)
		if v, ok, _ := clearance.ShoeSteering.Of(guard, contact.Right); ok {
			w := of(t, wide, clearance.ShoeToWheel, contact.Right)
			require.LessOrEqual(t, v.Value, math.Abs(w.Steering)+1e-6, "they meet before the wheel points at the shoe")
		}
	})
}

// What is not stated is not known, and what is wrong is a fault.
func TestKnownAndWrong(t *testing.T) {
	values, err := clearance.Bike{}.Values()
	require.NoError(t, err)
	assert.Empty(t, values)
	b := plain()
	b.Geometry.Axles = chart.Axles{}
	values, err = b.Values()
	require.NoError(t, err)
	assert.Empty(t, values, "without axles there is no wheel")
	all, err := everything().Values()
	require.NoError(t, err)
	got := map[clearance.Quantity]int{}
	for _, v := range all {
		got[v.Quantity]++
	}
	assert.Len(t, got, len(clearance.Quantities()))
	assert.Equal(t, 1, got[clearance.Standover])
	assert.Equal(t, 2, got[clearance.KneeToElbow])
	for _, q := range []clearance.Quantity{0, 99, clearance.Standover} {
		_, ok, err := q.Of(everything(), contact.Left)
		require.NoError(t, err)
		assert.False(t, ok)
	}
	_, ok, err := clearance.ToeLevel.Of(everything(), contact.Centre)
	require.NoError(t, err)
	assert.False(t, ok)

	missing := everything()
	missing.Inseam, missing.Uncertainty.Inseam = 0, 1
	_, err = missing.Values()
	assert.True(t, trial.FaultAt(err, "inseam_mm", contact.ErrMissing), err)

	for path, change := range map[string]func(*clearance.Bike){
		"geometry.stack_mm":             func(b *clearance.Bike) { b.Geometry.Stack = 56 },
		"wheels":                        func(b *clearance.Bike) { b.Wheels.FrontRadius, b.Wheels.RearRadius = 450, 100 },
		"bulk.front_tyre_mm":            func(b *clearance.Bike) { b.Bulk.FrontTyre = 5 },
		"bulk.pedal.outer_mm":           func(b *clearance.Bike) { b.Bulk.Pedal.Outer = 30 },
		"bulk.shoe.ball_mm":             func(b *clearance.Bike) { b.Bulk.Shoe.Ball = 100 },
		"inseam_mm":                     func(b *clearance.Bike) { b.Inseam = 85 },
		"body.hip_up_mm":                func(b *clearance.Bike) { b.Body.HipUp = 0 },
		"position.sites.foot_left":      func(b *clearance.Bike) { b.Position.Forget(contact.FootLeft) },
		"uncertainty.geometry.reach_mm": func(b *clearance.Bike) { b.Uncertainty.Geometry.Reach = -1 },
		"uncertainty.inseam_mm":         func(b *clearance.Bike) { b.Uncertainty.Inseam = math.NaN() },
		"bulk.stay.at_axle_mm":          func(b *clearance.Bike) { b.Bulk.Stay = clearance.Stay{}; b.Uncertainty.Bulk.Stay.AtAxle = 1 },
		"bulk.mudguard.gap_mm":          func(b *clearance.Bike) { b.Bulk.Mudguard = clearance.Mudguard{}; b.Uncertainty.Bulk.Mudguard.Gap = 1 },
		"wheels.rear_radius_mm":         func(b *clearance.Bike) { b.Wheels = chart.Wheels{}; b.Uncertainty.Wheels.RearRadius = 1 },
		"position.sites.grip_left":      func(b *clearance.Bike) { b.Uncertainty.Position = trial.Independent(t, 1, contact.GripLeft) },
	} {
		b := everything()
		change(&b)
		_, err := b.Values()
		require.Error(t, err, path)
		found := false
		for _, f := range contact.Faults(err) {
			found = found || f.Path == path
		}
		assert.True(t, found, "%s: %v", path, err)
		assert.Equal(t, contact.Faults(err), contact.Faults(b.Validate()), path)
	}
}

// Standard uncertainties against the scatter of bikes whose numbers are drawn (JCGM 101).
func TestSigma(t *testing.T) {
	b := plain()
	b.Geometry.Reach = 350
	b.Bulk = clearance.Bulk{Shoe: clearance.Shoe{Toe: 95, Ball: 5, Heel: 200, ToeRadius: 32, BallRadius: 50, HeelRadius: 35, Axis: 35}}
	b.Uncertainty = clearance.Uncertainty{
		Position: trial.Independent(t, 1.5, contact.FootLeft, contact.FootRight),
		Geometry: chart.Geometry{Reach: 1, HeadAngle: 0.2, Axles: chart.Axles{ForkOffset: 1, Drop: 0.5}},
		Bulk:     clearance.Bulk{Shoe: clearance.Shoe{Toe: 2}},
	}
	stated, err := b.Values()
	require.NoError(t, err)
	d := rand.New(rand.NewPCG(19, 3))
	const draws = 3000
	sum, squares := map[int]float64{}, map[int]float64{}
	for range draws {
		c := b
		c.Uncertainty = clearance.Uncertainty{}
		for _, s := range []contact.Site{contact.FootLeft, contact.FootRight} {
			v, _ := c.Position.At(s)
			c.Position.Set(s, r3.Add(v, r3.Vec{X: 1.5 * d.NormFloat64(), Y: 1.5 * d.NormFloat64(), Z: 1.5 * d.NormFloat64()}))
		}
		c.Geometry.Reach += d.NormFloat64()
		c.Geometry.HeadAngle += 0.2 * d.NormFloat64()
		c.Geometry.Axles.ForkOffset += d.NormFloat64()
		c.Geometry.Axles.Drop += 0.5 * d.NormFloat64()
		c.Bulk.Shoe.Toe += 2 * d.NormFloat64()
		values, err := c.Values()
		require.NoError(t, err)
		require.Len(t, values, len(stated))
		for i, v := range values {
			by := v.Value - stated[i].Value
			sum[i] += by
			squares[i] += by * by
		}
	}
	for i, v := range stated {
		mean := sum[i] / draws
		scatter := math.Sqrt(squares[i]/draws - mean*mean)
		// Of 3000 draws the scatter is good to 1.3 %, one standard uncertainty.
		assert.InDelta(t, 1, v.Sigma/scatter, 0.05, "%v %v: %v", v.Quantity, v.Side, v.Sigma)
	}
	exact := plain()
	values, err := exact.Values()
	require.NoError(t, err)
	for _, v := range values {
		assert.Zero(t, v.Sigma)
	}
}

// A zero part is the usual one.
func TestFilled(t *testing.T) {
	b := plain()
	usual := b
	usual.Bulk = b.Bulk.Filled()
	require.NoError(t, usual.Bulk.Validate())
	assert.NotEqual(t, b.Bulk, usual.Bulk)
	assert.Equal(t, usual.Bulk, usual.Bulk.Filled())
	got, err := b.Values()
	require.NoError(t, err)
	want, err := usual.Values()
	require.NoError(t, err)
	assert.Equal(t, want, got)
	assert.Zero(t, usual.Bulk.Mudguard)
	assert.Zero(t, usual.Bulk.TopTube)
}

// The side with less room, and where both are alike the left one.
func TestLeast(t *testing.T) {
	b := plain()
	v, ok, err := b.Least(clearance.ToePlan)
	require.NoError(t, err)
	require.True(t, ok)
	assert.Equal(t, contact.Left, v.Side)
	b.Position.Set(contact.FootRight, r3.Vec{X: 172.5, Y: -110, Z: 18})
	v, _, err = b.Least(clearance.ToePlan)
	require.NoError(t, err)
	assert.Equal(t, contact.Right, v.Side)
	b.Position.Forget(contact.FootLeft)
	b.Position.Forget(contact.PedalLeft)
	w, _, err := b.Least(clearance.ToePlan)
	require.NoError(t, err)
	assert.Equal(t, v, w)
	_, ok, err = clearance.Bike{}.Least(clearance.ToePlan)
	require.NoError(t, err)
	assert.False(t, ok)
	b.Inseam = 20
	_, _, err = b.Least(clearance.ToePlan)
	assert.ErrorIs(t, err, contact.ErrUnit)
	b = plain()
	b.Bulk.TopTube = clearance.TopTube{Head: 60, Seat: 500, At: 100}
	v, ok, err = b.Least(clearance.Standover)
	require.NoError(t, err)
	require.True(t, ok)
	assert.Equal(t, contact.Centre, v.Side)
}

// Knee and elbow as seen from the side, by the chain's own joints at many crank angles.
func TestKneeToElbow(t *testing.T) {
	b := everything()
	b.Bulk.Knee, b.Bulk.Elbow = 50, 40
	chain, err := rider.NewChain(b.Body, b.Position)
	require.NoError(t, err)
	upper, ok := chain.Upper()
	require.True(t, ok)
	want := math.Inf(1)
	for i := range 36000 {
		p, err := chain.At(contact.Left, float64(i)/100)
		require.NoError(t, err)
		want = min(want, r3.Norm(r3.Sub(p.Knee, upper.Elbow)))
	}
	assert.InDelta(t, want-50-40, of(t, b, clearance.KneeToElbow, contact.Left).Value, 1e-4)
	b.Body.Upper = rider.Upper{}
	_, ok, err = clearance.KneeToElbow.Of(b, contact.Left)
	require.NoError(t, err)
	assert.False(t, ok)
	b.Body.Right = rider.Leg{}
	_, ok, err = clearance.KneeToBar.Of(b, contact.Right)
	require.NoError(t, err)
	assert.False(t, ok)
	b.Body.Left = rider.Leg{}
	_, _, err = clearance.KneeToBar.Of(b, contact.Left)
	assert.ErrorIs(t, err, contact.ErrMissing)
}
