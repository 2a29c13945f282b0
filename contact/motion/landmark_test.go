package motion_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Hips move with the pelvis and mirror each other; where they lie in it is in
// testdata/published.
func TestPropertyHipCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		left, right := r3.Vec{Y: f(60, 200)}, r3.Vec{Y: -f(60, 200)}
		rear, leg := r3.Vec{X: -f(100, 250), Y: f(-30, 30), Z: f(-50, 50)}, f(600, 1100)
		by := motion.HipRegression(rapid.IntRange(0, 2).Draw(t, "rule"))
		at, err := motion.HipCentre(left, right, rear, leg, contact.Left, by)
		require.NoError(t, err)
		whole := r3.NewRotation(f(-3, 3), r3.Vec{X: 1, Y: f(-2, 2), Z: 0.4}).Rotate
		shift := r3.Vec{X: f(-900, 900), Y: f(-900, 900), Z: f(-900, 900)}
		move := func(v r3.Vec) r3.Vec { return r3.Add(shift, whole(v)) }
		moved, err := motion.HipCentre(move(left), move(right), move(rear), leg, contact.Left, by)
		require.NoError(t, err)
		require.InDelta(t, 0, r3.Norm(r3.Sub(move(at), moved)), 1e-9)
		mirror := func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X, Y: -v.Y, Z: v.Z} }
		other, err := motion.HipCentre(mirror(right), mirror(left), mirror(rear), leg, contact.Right, by)
		require.NoError(t, err)
		require.InDelta(t, 0, r3.Norm(r3.Sub(mirror(at), other)), 1e-9)
	})
}

func TestHipCentreFaults(t *testing.T) {
	left, right, rear := r3.Vec{Y: 125}, r3.Vec{Y: -125}, r3.Vec{X: -160}
	for name, bad := range map[string]struct {
		scale, leg float64
		side       contact.Side
		by         motion.HipRegression
		class      error
	}{
		"centimetres":  {0.1, 0, contact.Left, motion.Harrington, contact.ErrRange},
		"leg in metre": {1, 0.9, contact.Left, motion.Bell, contact.ErrRange},
		"leg NaN":      {1, math.NaN(), contact.Left, motion.Bell, contact.ErrRange},
		"no leg":       {1, 0, contact.Left, motion.HarringtonLeg, contact.ErrMissing},
		"no side":      {1, 0, contact.Centre, motion.Bell, contact.ErrUnknown},
		"no rule":      {1, 0, contact.Left, 3, contact.ErrUnknown},
		"one point":    {0, 0, contact.Left, motion.Bell, contact.ErrConflict},
		"no number":    {math.Inf(1), 0, contact.Left, motion.Bell, contact.ErrRange},
	} {
		at, err := motion.HipCentre(r3.Scale(bad.scale, left), r3.Scale(bad.scale, right), r3.Scale(bad.scale, rear), bad.leg, bad.side, bad.by)
		assert.ErrorIs(t, err, bad.class, name)
		assert.Zero(t, at, name)
	}
	_, err := motion.HipCentre(left, right, rear, -1, contact.Centre, 9)
	assert.Len(t, contact.Faults(err), 3)
}

// Markers of a trunk and of an arm that were placed in axes of a composed rotation give
// these axes and angles back to 1e-9 degrees, on both sides.
func TestPropertyArm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		// Of the right side, in the directions of the ISB; the left side's are mirrored.
		flexion, inward, pronation := f(-170, 170), f(-80, 80), f(-170, 170)
		whole := r3.NewRotation(f(-3, 3), r3.Vec{X: 1, Y: f(-2, 2), Z: 0.4}).Rotate
		lower := func(v r3.Vec) r3.Vec {
			return whole(about(iz, flexion)(about(ix, inward)(about(iy, pronation)(v))))
		}
		side, out := contact.Right, 1.0
		if rapid.Bool().Draw(t, "left") {
			side, out = contact.Left, -1
		}
		at := func(turn func(r3.Vec) r3.Vec, x, y, z float64) r3.Vec {
			v := turn(r3.Vec{X: x, Y: y, Z: z})
			return r3.Vec{X: v.X, Y: -out * v.Z, Z: v.Y}
		}
		// Its own Z is along the arm, and its sides lie in the plane across, slantingly too.
		slant := f(-20, 20)
		upper, err := motion.ArmAxes(true, at(whole, 0, f(150, 400), 0), at(whole, 0, slant, 35), at(whole, 0, -slant, -35), side)
		require.NoError(t, err)
		fore, err := motion.ArmAxes(false, at(lower, 0, 250, 0), at(lower, 0, slant, f(20, 60)), at(lower, 0, 0, 0), side)
		require.NoError(t, err)
		require.InDelta(t, 0, r3.Norm(r3.Sub(at(whole, 1, 0, 0), upper.X)), 1e-12)
		require.InDelta(t, 0, r3.Norm(r3.Sub(at(lower, 0, 1, 0), fore.Z)), 1e-12)
		elbow, err := motion.JointTurns(upper, fore, side)
		require.NoError(t, err)
		require.InDelta(t, flexion, elbow.Forward, 1e-9)
		require.InDelta(t, inward, elbow.Inward, 1e-9)
		require.InDelta(t, pronation, elbow.Rotation, 1e-9)

		// The lower points' middle is 200 mm below that of the upper ones, along Z.
		up, low, half := f(-30, 30), f(-30, 30), f(40, 90)
		ij, c7 := at(whole, half, up, 0), at(whole, -half, -up, 0)
		px, t8 := at(whole, half, low-200, 0), at(whole, -half, -low-200, 0)
		thorax, err := motion.ThoraxAxes(ij, px, c7, t8)
		require.NoError(t, err)
		left := at(whole, 0, 0, -out)
		for _, pair := range [][2]r3.Vec{{at(whole, 1, 0, 0), thorax.X}, {left, thorax.Y}, {at(whole, 0, 1, 0), thorax.Z}} {
			require.InDelta(t, 0, r3.Norm(r3.Sub(pair[0], pair[1])), 1e-12)
		}
	})
}

func TestTrunkAndArmFaults(t *testing.T) {
	_, err := motion.ThoraxAxes(r3.Vec{Z: 4}, r3.Vec{Z: 1}, r3.Vec{Z: 3}, r3.Vec{})
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = motion.ThoraxAxes(r3.Vec{Z: math.NaN()}, r3.Vec{X: 1e5}, r3.Vec{Y: math.Inf(1)}, r3.Vec{X: -1e5})
	assert.Len(t, contact.Faults(err), 4)
	assert.ErrorIs(t, err, contact.ErrRange)
	_, err = motion.ArmAxes(false, r3.Vec{}, r3.Vec{X: 9}, r3.Vec{X: 2}, contact.Left)
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = motion.ArmAxes(true, r3.Vec{X: 1e5}, r3.Vec{X: 9}, r3.Vec{X: 2}, contact.Centre)
	assert.Len(t, contact.Faults(err), 2)
}

// By hand: an elbow that is bent squarely with the thumb up is halfway from palm up to palm
// down; its wrist further out by 25 mm in 250 is an outward carrying angle of atan 0.1.
func TestElbow(t *testing.T) {
	for side, out := range map[contact.Side]float64{contact.Left: 1, contact.Right: -1} {
		upper, err := motion.ArmAxes(true, r3.Vec{Z: 300}, r3.Vec{Y: out * 35}, r3.Vec{Y: -out * 35}, side)
		require.NoError(t, err)
		fore, err := motion.ArmAxes(false, r3.Vec{}, r3.Vec{X: 250, Y: out * 25, Z: 50}, r3.Vec{X: 250, Y: out * 25}, side)
		require.NoError(t, err)
		elbow, err := motion.JointTurns(upper, fore, side)
		require.NoError(t, err)
		assert.InDelta(t, 90, elbow.Forward, 1e-9)
		assert.InDelta(t, -math.Atan(0.1)*180/math.Pi, elbow.Inward, 1e-9)
		assert.InDelta(t, 90, elbow.Rotation, 1e-9)
	}
}
