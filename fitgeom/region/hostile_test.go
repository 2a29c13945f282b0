package region_test

import (
	"context"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"gonum.org/v1/gonum/spatial/r3"
)

// hostileBounds is what nobody would ask for, unless it is to do harm or by mistake.
var hostileBounds = []struct {
	name      string
	tolerance float64
	change    func(*region.Bounds)
}{
	{"the widest region", 1000, func(b *region.Bounds) {
		b.HeadFrom, b.HeadTo = 50, 90
		b.StemLength, b.StemAngle, b.Up = part.Steps{From: 20, To: 180}, part.Steps{From: -60, To: 60}, part.Steps{To: 150}
	}},
	{"a region of 20 degrees by 20 mm", 20, func(b *region.Bounds) {
		b.HeadFrom, b.HeadTo = 60, 80
		b.StemLength, b.StemAngle, b.Up = part.Steps{From: 20, To: 180}, part.Steps{From: -60, To: 60}, part.Steps{To: 150}
	}},
	{"a region of 20,000 islands", 1, func(b *region.Bounds) {
		b.HeadFrom, b.HeadTo = 72, 72
		b.StemLength, b.StemAngle, b.Up = part.Steps{From: 20, To: 180, Step: 2}, part.Steps{From: -60, To: 60, Step: 5}, part.Steps{To: 150, Step: 32}
		b.Handlebar.RotationRange = 0
	}},
	{"hands anywhere within limits that the arms are near to wherever they are", 1000, func(b *region.Bounds) {
		b.HeadFrom, b.HeadTo = 50, 90
		b.StemLength, b.StemAngle, b.Up = part.Steps{From: 20, To: 180}, part.Steps{From: -60, To: 60}, part.Steps{To: 150}
		b.Limits.Body, _ = invented.Rider()
		b.Limits.Joints = []rider.Limit{
			{Variable: rider.TrunkLean, Bound: rider.AtLeast, Angle: 0},
			{Variable: rider.TrunkLean, Bound: rider.AtMost, Angle: 70},
			{Variable: rider.ShoulderFlexion, Bound: rider.AtLeast, Angle: 30},
			{Variable: rider.HipFlexion, Bound: rider.AtLeast, Angle: 20},
		}
	}},
}

// A region that was made to do harm is traced or refused with no more memory and work than
// the package states, and the call ends soon after its context. The budget is the usual
// one only if Long.
func TestHostile(t *testing.T) {
	if !trial.Huge() {
		t.Skip("takes some seconds; the lane hostile has it")
	}
	for _, c := range hostileBounds {
		t.Run(c.name, func(t *testing.T) {
			build := invented.Build()
			b := region.Bounds{StemHeight: 40, Flip: true, Handlebar: build.Handlebar, Lever: build.Lever}
			b.Handlebar.RotationRange = 30
			c.change(&b)
			b.Budget.Work = 5_000_000
			if trial.Long() {
				b.Budget.Work = 0
			}
			target := invented.Position(build)
			keep := []fitgeom.Keep{
				{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: c.tolerance, Z: c.tolerance}},
				{Site: contact.HoodsRight, Tolerance: r3.Vec{X: c.tolerance, Z: c.tolerance}},
			}
			trial.Hostile{Name: c.name, Live: 50_000_000, Do: func(ctx context.Context) (any, error) {
				return region.New(ctx, target, b, keep)
			}}.Run(t)
		})
	}
}
