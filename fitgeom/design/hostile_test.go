package design_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/internal/trial"
)

// Problems that were made to take long end soon after their context, and take no more memory
// than the package states. The budget is the usual one only if Long.
func TestHostile(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 8))
	p := invention()
	p.Wishes = nil
	for len(p.Wishes) < 90 {
		d := chart.Dimensions()[rng.IntN(len(chart.Dimensions()))]
		lo, hi := d.Range()
		v := lo + (hi-lo)*rng.Float64()
		p.Wishes = append(p.Wishes, exactly(of(d), v))
	}
	for _, q := range [...]clearance.Quantity{clearance.ShoeToWheel, clearance.ToeLevel, clearance.ToePlan, clearance.ToeParallel, clearance.PedalLean, clearance.HeelToStay} {
		p.Wishes = append(p.Wishes, exactly(design.Subject{Clearance: q}, 20))
	}
	free := invention()
	free.Wishes = loose()
	free.RoomWanted = []fitgeom.RoomWish{}
	for _, q := range [...]clearance.Quantity{clearance.ShoeToWheel, clearance.ToeLevel, clearance.ToePlan, clearance.ToeParallel, clearance.PedalLean, clearance.HeelToStay} {
		free.Wishes = append(free.Wishes, design.Wish{Subject: design.Subject{Clearance: q}, From: 20, To: math.Inf(1)})
	}
	for _, c := range []struct {
		name string
		p    design.Problem
		all  bool
	}{{"ninety wishes that contradict", p, false}, {"nothing wished but clearances", free, true}} {
		t.Run(c.name, func(t *testing.T) {
			c.p.Budget.Work = 3_000_000
			if trial.Long() {
				c.p.Budget.Work = 0
			}
			trial.Hostile{Name: c.name, Live: 4_000_000, Do: func(ctx context.Context) (any, error) {
				if c.all {
					return c.p.Ranges(ctx)
				}
				return c.p.Solve(ctx)
			}}.Run(t)
		})
	}
}
