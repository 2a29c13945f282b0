package solve_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// riding is a position with a crank length and the height of the soles.
func riding(saddle r3.Vec, crank, sole float64) contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: saddle, contact.HoodsLeft: {X: 560, Y: 209, Z: 655}, contact.HoodsRight: {X: 560, Y: -209, Z: 655},
		contact.FootLeft: {X: crank, Y: 125, Z: sole}, contact.FootRight: {X: crank, Y: -125, Z: sole},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})
	return p
}

// withPedals is a shelf with one crank, and pedals with soles at 18 mm.
func withPedals(crank float64) fitgeom.Shelf {
	s := invented.Shelf()
	s.Cranks = []part.Crank{{Length: crank, QFactor: 146}}
	s.Pedals = []part.Pedal{{FootHeight: 18, FootOffset: 55}}
	return s
}

// What is wanted of the saddle: by hand, its distance from the centre of the foot's circle
// grows by what the cranks are shorter, and it is as much lower as the soles.
func TestSaddleMoved(t *testing.T) {
	saddle := r3.Vec{X: -205, Z: 705}
	d := math.Hypot(205, 705-18)
	for name, c := range map[string]struct {
		crank, sole float64
		policy      fitgeom.CrankPolicy
		want        fitgeom.SaddleMove
		words       string
		caution     bool
	}{
		"the same":       {172.5, 18, fitgeom.KeepFarEnd, fitgeom.SaddleMove{}, "saddle wanted where the target has it", false},
		"shorter cranks": {170, 18, fitgeom.KeepFarEnd, fitgeom.SaddleMove{By: r3.Vec{X: -205 * 2.5 / d, Z: 687 * 2.5 / d}, Crank: -2.5}, "saddle wanted 2.4 mm higher, 0.7 mm further back than in the target: cranks 2.5 mm shorter", false},
		"far shorter":    {165, 18, fitgeom.KeepFarEnd, fitgeom.SaddleMove{By: r3.Vec{X: -205 * 7.5 / d, Z: 687 * 7.5 / d}, Crank: -7.5}, "saddle wanted 7.2 mm higher, 2.1 mm further back than in the target: cranks 7.5 mm shorter", true},
		"sole too high":  {172.5, 60, fitgeom.KeepFarEnd, fitgeom.SaddleMove{By: r3.Vec{Z: -42}, Foot: -42}, "saddle wanted 42.0 mm lower than in the target: soles 42.0 mm lower above the pedals", true},
		"kept":           {165, 60, fitgeom.KeepSaddle, fitgeom.SaddleMove{}, "saddle wanted where the target has it", false},
	} {
		p := solve.Problem{Target: riding(saddle, 172.5, c.sole), Frame: invented.Road54(), Shelf: withPedals(c.crank), Crank: c.policy}
		got := best(t, p)
		require.NoError(t, p.Verify(got), name)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(c.want.By, got.SaddleMoved.By)), 1e-9, name)
		got.SaddleMoved.By = c.want.By
		assert.Equal(t, c.want, got.SaddleMoved, name)
		assert.Equal(t, c.words, got.SaddleMoved.String(), name)
		all, err := got.Cautions()
		require.NoError(t, err)
		alone, err := got.Build.Cautions()
		require.NoError(t, err)
		if c.caution {
			alone = append(alone, fitgeom.CautionSaddleMoved)
		}
		assert.Equal(t, alone, all, name)
	}
	bad := fitgeom.Candidate{Build: invented.Build()}
	bad.Build.Crank.Length = 0
	_, err := bad.Cautions()
	assert.ErrorIs(t, err, contact.ErrRange)
}

// A saddle on the foot's circle: what is typed so is refused; and what no check of single
// numbers finds, a crank so much longer that the saddle would move through the circle's
// centre, by 170 mm where there are 160.
func TestSaddleThatCannotMove(t *testing.T) {
	_, err := solve.Problem{Target: riding(r3.Vec{Z: 705}, 172.5, 705), Frame: invented.Road54(), Shelf: withPedals(172.5)}.Solve(t.Context())
	assert.True(t, trial.FaultAt(err, "target.sites.foot_left.at_mm[2]", contact.ErrRange), err)

	p := solve.Problem{Target: riding(r3.Vec{Z: 300}, 50, 140), Frame: invented.Road54(), Shelf: withPedals(220)}
	_, err = p.Solve(t.Context())
	assert.True(t, trial.FaultAt(err, "target.sites.saddle_reference.at_mm", contact.ErrConflict), err)
	p.Shelf = withPedals(209) // 159 mm of 160
	got := best(t, p)
	require.NoError(t, p.Verify(got))
	assert.InDelta(t, 300-159-(140-18), 300+got.SaddleMoved.By.Z, 1e-9)
	assert.False(t, got.Holds())
	p.Crank, p.Shelf = fitgeom.KeepSaddle, withPedals(220)
	require.NoError(t, p.Verify(best(t, p)))
}

// Two shims, at handlebar and seatpost, are one kind of parts and two parts to buy.
func TestTwoShims(t *testing.T) {
	shelf := invented.Shelf()
	shelf.Handlebars, shelf.Seatposts = shelf.Handlebars[:1], shelf.Seatposts[:1]
	shelf.Handlebars[0].ClampDiameter = 25.4
	shelf.Stems = shelf.Stems[:1]
	shelf.Shims = []part.Shim{{Inner: 25.4, Outer: 31.8}, {Inner: 27.2, Outer: 30.9}}
	frame := invented.Road54()
	frame.SeatpostDiameter = 30.9
	p := solve.Problem{Target: invented.Position(invented.Build()), Frame: frame, Shelf: shelf}
	fresh := best(t, p)
	assert.Equal(t, 9, fresh.Purchases, "all kinds but aero bars and pedals, and a second shim")
	p.Bike = fresh.Build
	assert.Zero(t, best(t, p).Purchases)
	p.Bike.BarShim = part.Shim{}
	got := best(t, p)
	assert.Equal(t, part.Shims, got.Buy)
	assert.Equal(t, 1, got.Purchases)
	p.Bike.SeatpostShim = part.Shim{}
	got = best(t, p)
	assert.Equal(t, part.Shims, got.Buy)
	assert.Equal(t, 2, got.Purchases)
	require.NoError(t, p.Verify(got))
	got.Purchases = 1
	assert.True(t, trial.FaultAt(p.Verify(got), "purchases", contact.ErrConflict))
}
