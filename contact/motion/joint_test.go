package motion_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/testdata/oracle/rides"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// axes are those that come of a rotation, by its three columns, in the directions of the
// ISB (X forward, Y up, Z to the right).
func isb(turn func(r3.Vec) r3.Vec) motion.Axes {
	at := func(x, y, z float64) r3.Vec { // of the ISB, in the library's directions
		v := turn(r3.Vec{X: x, Y: y, Z: z})
		return r3.Vec{X: v.X, Y: -v.Z, Z: v.Y}
	}
	return motion.Axes{X: at(1, 0, 0), Y: at(0, 0, -1), Z: at(0, 1, 0)}
}

func about(axis r3.Vec, deg float64) func(r3.Vec) r3.Vec {
	return r3.NewRotation(deg*math.Pi/180, axis).Rotate
}

var (
	ix, iy, iz = r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	itself     = func(v r3.Vec) r3.Vec { return v }
)

// Rz(−60)·Rx(5)·Ry(−8) in the axes of the ISB, of which Grood and Suntay's angles are the
// Cardan angles Z, X′, Y″: a knee that is flexed by 60 degrees.
func TestJointTurns(t *testing.T) {
	lower := isb(func(v r3.Vec) r3.Vec { return about(iz, -60)(about(ix, 5)(about(iy, -8)(v))) })
	right, err := motion.JointTurns(isb(itself), lower, contact.Right)
	require.NoError(t, err)
	assert.InDelta(t, -60, right.Forward, 1e-9)
	assert.InDelta(t, 5, right.Inward, 1e-9)
	assert.InDelta(t, -8, right.Rotation, 1e-9)
	// The left leg's mirror image has the same angles.
	mirror := func(a motion.Axes) motion.Axes {
		m := func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X, Y: -v.Y, Z: v.Z} }
		return motion.Axes{X: m(a.X), Y: r3.Scale(-1, m(a.Y)), Z: m(a.Z)}
	}
	left, err := motion.JointTurns(mirror(isb(itself)), mirror(lower), contact.Left)
	require.NoError(t, err)
	assert.InDelta(t, right.Forward, left.Forward, 1e-9)
	assert.InDelta(t, right.Inward, left.Inward, 1e-9)
	assert.InDelta(t, right.Rotation, left.Rotation, 1e-9)

	_, err = motion.JointTurns(isb(itself), isb(about(ix, 89)), contact.Right)
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = motion.JointTurns(isb(itself), motion.Axes{}, contact.Right)
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = motion.JointTurns(isb(itself), isb(itself), contact.Centre)
	assert.ErrorIs(t, err, contact.ErrUnknown)
}

// Composed rotations come back to 1e-9 degrees, however the upper segment lies.
func TestPropertyJointTurns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "angle") }
		a, b, c := f(-170, 170), f(-80, 80), f(-170, 170)
		whole := r3.NewRotation(f(-3, 3), r3.Vec{X: 1, Y: f(-2, 2), Z: 0.4}).Rotate
		upper := isb(whole)
		lower := isb(func(v r3.Vec) r3.Vec { return whole(about(iz, a)(about(ix, b)(about(iy, c)(v)))) })
		got, err := motion.JointTurns(upper, lower, contact.Right)
		require.NoError(t, err)
		require.InDelta(t, a, got.Forward, 1e-9)
		require.InDelta(t, b, got.Inward, 1e-9)
		require.InDelta(t, c, got.Rotation, 1e-9)
	})
}

// Axes of points, by hand: a thigh that hangs down with the knee's epicondyles across, and a
// shank whose ankle is turned outwards.
func TestSegmentAxes(t *testing.T) {
	for side, out := range map[contact.Side]float64{contact.Left: 1, contact.Right: -1} {
		thigh, err := motion.LegAxes(true, r3.Vec{X: 0, Y: out * 90, Z: 900}, r3.Vec{Y: out * 150, Z: 500}, r3.Vec{Y: out * 50, Z: 480}, side)
		require.NoError(t, err)
		up := r3.Unit(r3.Vec{Y: out * -10, Z: 410})
		assert.InDelta(t, 0, r3.Norm(r3.Sub(up, thigh.Z)), 1e-12)
		assert.InDelta(t, 1, thigh.X.X, 1e-12)
		assert.Positive(t, thigh.Y.Y)
		shank, err := motion.LegAxes(false, r3.Vec{Y: out * 100, Z: 490}, r3.Vec{X: -20, Y: out * 140, Z: 80}, r3.Vec{X: 20, Y: out * 60, Z: 80}, side)
		require.NoError(t, err)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Unit(r3.Vec{X: -out * 40, Y: 80}), shank.Y)), 1e-12)
		// The ankle is turned outwards by atan(40/80) against the knee, but of the thigh's Y.
		turns, err := motion.JointTurns(thigh, shank, side)
		require.NoError(t, err)
		assert.InDelta(t, -26.565, turns.Rotation, 0.5)
	}
	_, err := motion.PelvisAxes(r3.Vec{}, r3.Vec{X: 1}, r3.Vec{X: 2})
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = motion.LegAxes(true, r3.Vec{}, r3.Vec{X: 9}, r3.Vec{X: 2}, contact.Left)
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = motion.LegAxes(true, r3.Vec{X: 1e5}, r3.Vec{X: 9}, r3.Vec{X: 2}, contact.Centre)
	assert.Len(t, contact.Faults(err), 2)
}

// poses are those of a case that was computed with another program (Python 3.11, numpy
// 1.24.2), by the equations of Ehrig et al. (2006): an upper segment that moves, and a lower
// one that turns about a point of it.
func poses(joint [][3]float64) (upper, lower []motion.Pose) {
	body := [][3]float64{{}, {3, -2, 1}, {-4, 5, 2}, {2, 2, -6}, {5, -3, 4}, {-2, 4, -5}, {1, -5, 3}, {4, 1, 2}}
	turn := func(a [3]float64) func(r3.Vec) r3.Vec {
		return func(v r3.Vec) r3.Vec { return about(ix, a[0])(about(iy, a[1])(about(iz, a[2])(v))) }
	}
	for i := range body {
		u, j := turn(body[i]), turn(joint[i])
		l := func(v r3.Vec) r3.Vec { return u(j(v)) }
		at := r3.Scale(float64(i), r3.Vec{X: 10, Y: -5, Z: 3})
		centre := r3.Add(at, u(r3.Vec{X: 90, Y: -60, Z: -70}))
		upper = append(upper, motion.Pose{Origin: at, Axes: motion.Axes{X: u(ix), Y: u(iy), Z: u(iz)}})
		lower = append(lower, motion.Pose{Origin: r3.Sub(centre, l(r3.Vec{X: 15, Y: 5, Z: 210})), Axes: motion.Axes{X: l(ix), Y: l(iy), Z: l(iz)}})
	}
	return upper, lower
}

func TestCentreOfRotation(t *testing.T) {
	upper, lower := poses([][3]float64{{}, {20, 0, 0}, {0, 25, 0}, {-15, 10, 0}, {10, -20, 15}, {-20, -10, -15}, {15, 20, 30}, {5, -25, -30}})
	r, err := motion.CentreOfRotation(upper, lower)
	require.NoError(t, err)
	assert.False(t, r.Hinge)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Vec{X: 90, Y: -60, Z: -70}, r.InUpper)), 1e-10)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Vec{X: 15, Y: 5, Z: 210}, r.InLower)), 1e-10)
	assert.InDelta(t, 0, r.Off, 1e-10)
	assert.InDeltaSlice(t, []float64{3.9537, 3.9218, 3.9049, 0.8668, 0.7869, 0.6068}, r.Singular[:], 5e-5)

	hinge := make([][3]float64, 8)
	for i := range hinge {
		hinge[i][2] = 10 * float64(i)
	}
	r, err = motion.CentreOfRotation(poses(hinge))
	require.NoError(t, err)
	assert.True(t, r.Hinge, "a point is refused")
	assert.Zero(t, r.InUpper)
	assert.InDelta(t, 1, math.Abs(r.Axis.Z), 1e-9)
	assert.InDelta(t, 0, r.Singular[5], 1e-9)

	_, err = motion.CentreOfRotation(upper[:2], lower)
	assert.Len(t, contact.Faults(err), 2)
	upper[0].Axes.X.X = math.NaN()
	_, err = motion.CentreOfRotation(upper, lower)
	assert.ErrorIs(t, err, contact.ErrConflict)
}

// Of curves that hardly change there is no coefficient; others are in testdata/published.
func TestMultipleCorrelation(t *testing.T) {
	_, common, ok, err := motion.MultipleCorrelation([][]float64{{1, 1, 1.1}, {9, 9, 9}})
	require.NoError(t, err)
	assert.False(t, ok)
	assert.Negative(t, common)
	for class, bad := range map[error][][]float64{
		contact.ErrMissing: {{1, 2}}, contact.ErrConflict: {{1, 2}, {1}}, contact.ErrRange: {{1, 2}, {1, math.NaN()}},
	} {
		_, _, _, err = motion.MultipleCorrelation(bad)
		assert.ErrorIs(t, err, class)
	}
	_, _, _, err = motion.MultipleCorrelation([][]float64{{1, 1}, {1, 1}})
	assert.ErrorIs(t, err, contact.ErrMissing)
}

// What symmetry in per cent does not tell; the rest is in testdata/published.
func TestSymmetry(t *testing.T) {
	_, ok := motion.SymmetryIndex(-2.5, 2)
	assert.False(t, ok, "−1800 % says nothing")
	v, ok := motion.SymmetryAngle(-2.5, 2)
	assert.True(t, ok)
	assert.InDelta(t, (45+math.Atan(1.25)*180/math.Pi-180)/90*100, v, 1e-9, "by hand: −92.9553")
	_, ok = motion.SymmetryAngle(0, 0)
	assert.False(t, ok)
	v, ok = motion.SymmetryAngle(3, 0)
	assert.True(t, ok)
	assert.InDelta(t, -50, v, 1e-9)
}

// Of two simulated recordings of one rider nothing is real; of one with the saddle 8 mm up
// knee and hip are, and by what is true of the markers.
func TestCompare(t *testing.T) {
	curves := func(seed uint64, saddle float64) (all []motion.Curve, d *rides.Ride) {
		d = rides.New(rides.Plan{Seed: 5, Seconds: 20, Rate: 50, Cadence: 90, Noise: 1, Saddle: saddle, Again: seed})
		m := analyse(t, recording(t, d), motion.InSpace)
		for _, of := range asked {
			all = append(all, curve(t, m, of, contact.Left))
		}
		return all, d
	}
	features := []motion.Feature{motion.LeastOf, motion.MostOf, motion.RangeOf, motion.MeanOf, motion.AtTop, motion.AtBottom}
	before, was := curves(1, 0)
	after, is := curves(2, 8)
	again, _ := curves(3, 0)
	changes, err := motion.Compare(before, again, 0, features...)
	require.NoError(t, err)
	require.Len(t, changes, len(asked)*len(features))
	for _, c := range changes {
		assert.False(t, c.Real, "%+v", c)
		assert.True(t, c.Low <= c.By && c.By <= c.High)
	}
	changes, err = motion.Compare(before, after, 0, features...)
	require.NoError(t, err)
	real := map[motion.Measure]bool{}
	for _, c := range changes {
		real[c.Of] = real[c.Of] || c.Real
		if c.Of == motion.KneeFlexion && c.Feature == motion.LeastOf {
			truth := is.Least["knee_flexion_left"] - was.Least["knee_flexion_left"]
			assert.Less(t, truth, -2.)
			assert.InDelta(t, truth, c.By, 1.5)
			assert.True(t, c.Real)
		}
	}
	assert.True(t, real[motion.KneeFlexion] && real[motion.HipFlexion] && real[motion.PelvisUp])
	assert.False(t, real[motion.PelvisObliquity])
	changes, err = motion.Compare(before, after, 20, features...)
	require.NoError(t, err)
	for _, c := range changes {
		assert.False(t, c.Real, "markers that were put on again")
	}

	_, err = motion.Compare(before, after[1:], 0, motion.LeastOf)
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = motion.Compare(before[:1], after[1:2], 0, motion.LeastOf)
	assert.ErrorIs(t, err, contact.ErrConflict)
	side, _ := recording(t, was), 0
	side.Flat = true
	flat := curve(t, analyse(t, side, motion.FromSide), motion.KneeFlexion, contact.Left)
	_, err = motion.Compare(before[:1], []motion.Curve{flat}, 0, motion.LeastOf)
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = motion.Compare([]motion.Curve{{}}, []motion.Curve{{}}, -1, motion.LeastOf)
	assert.Len(t, contact.Faults(err), 2)
	_, err = motion.Compare(before[:1], after[:1], 0, 99)
	assert.ErrorIs(t, err, contact.ErrUnknown)
	_, err = motion.Curve{}.Feature(motion.MostOf)
	assert.ErrorIs(t, err, contact.ErrMissing)
}

// A knee whose inner markers lie straight across is neither bent sideways nor turned; an
// inner ankle that is 40 mm further forward turns the shank by about atan(40/80) outwards.
func TestKneeInSpace(t *testing.T) {
	for side, out := range map[contact.Side]float64{contact.Left: 1, contact.Right: -1} {
		r := ride{side: side, seconds: 3, rate: 100, cadence: 90}.record(t, fresh(14))
		beside := func(inner, of motion.Marker, by r3.Vec) {
			r.Markers[inner.On(side)] = nil
			for _, s := range r.Markers[of.On(side)] {
				r.Markers[inner.On(side)] = append(r.Markers[inner.On(side)], motion.Sample{At: r3.Add(s.At, by), Seen: true})
			}
		}
		beside(motion.KneeInnerLeft, motion.KneeLeft, r3.Vec{Y: -out * 80}) // hip 100, knee 140 and 60, ankle 120 and 80
		beside(motion.AnkleInnerLeft, motion.AnkleLeft, r3.Vec{Y: -out * 40})
		m := analyse(t, r, motion.InSpace)
		for _, of := range []motion.Measure{motion.KneeInward, motion.KneeRotation} {
			assert.InDelta(t, 0, curve(t, m, of, side).Range().Mean, 1e-6)
			assert.InDelta(t, 0, curve(t, m, of, side).Mean().Mean, 1e-6)
		}
		beside(motion.AnkleInnerLeft, motion.AnkleLeft, r3.Vec{X: 20, Y: -out * 40})
		turned := at(t, curve(t, analyse(t, r, motion.InSpace), motion.KneeRotation, side), 180).Mean
		assert.InDelta(t, -26.6, turned, 3)
	}
}

// Revolutions of one curve, by hand: all alike without noise, and with 2 mm of it 0.4 degrees
// apart (a knee of 400 mm segments).
func TestRepeatability(t *testing.T) {
	for noise, apart := range map[float64]float64{0: 0, 2: 0.25} {
		r := ride{side: contact.Left, seconds: 8, rate: 100, cadence: 90, noise: noise}.record(t, fresh(15))
		by, coefficient, ok := curve(t, analyse(t, r, motion.FromSide), motion.KneeFlexion, contact.Left).Repeatability()
		assert.True(t, ok)
		assert.InDelta(t, apart, by, 0.1)
		assert.Greater(t, coefficient, 0.999)
	}
	r := ride{side: contact.Left, seconds: 8, rate: 100, cadence: 90, noise: 2}.record(t, fresh(15))
	_, coefficient, ok := curve(t, analyse(t, r, motion.FromSide), motion.TrunkLean, contact.Left).Repeatability()
	assert.True(t, !ok || coefficient < 0.9, "a trunk that does not move has no pattern")
	_, _, ok = motion.Curve{}.Repeatability()
	assert.False(t, ok)
}
