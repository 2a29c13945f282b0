package survey_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// pointing is a bike of which hoods, pads and an extension were read with a point ahead and
// a point further out, and their directions: of hoods that lean in and point up and inwards,
// and of pads that point down. The directions are those of three turns, one after another.
func pointing() (bike, map[contact.Site]contact.Attitude) {
	b := aBike().withHeadTube()
	b.points[at(contact.PadLeft)], b.points[at(contact.PadRight)] = r3.Vec{X: 430, Y: 100, Z: 700}, r3.Vec{X: 430, Y: -100, Z: 700}
	want := map[contact.Site]contact.Attitude{}
	for s, turns := range map[contact.Site][3]float64{ // up, in and, on the left, the left side up
		contact.HoodsLeft: {14, 6, 11}, contact.HoodsRight: {13, 5, 12}, contact.PadLeft: {-8, 4, -5}, contact.PadRight: {-7, 3, -4}, contact.ExtensionRight: {20, 2, 0},
	} {
		side := 1.0
		if s.Side() == contact.Right {
			side = -1
		}
		turn := func(v r3.Vec) r3.Vec {
			v = r3.Rotate(v, side*turns[2]*rad, r3.Vec{X: 1})
			v = r3.Rotate(v, -turns[0]*rad, r3.Vec{Y: 1})
			return r3.Rotate(v, -side*turns[1]*rad, r3.Vec{Z: 1})
		}
		ahead, left := turn(r3.Vec{X: 1}), turn(r3.Vec{Y: 1})
		b.points[survey.Ahead(s)] = r3.Add(b.points[at(s)], r3.Scale(70, ahead))
		a := contact.Attitude{Tilt: math.Atan2(ahead.Z, ahead.X) / rad, Yaw: math.Atan2(ahead.Y, ahead.X) / rad}
		if s != contact.ExtensionRight {
			b.points[survey.Outer(s)] = r3.Add(b.points[at(s)], r3.Scale(side*30, left))
			a.Roll = math.Atan2(left.Z, left.Y) / rad
		}
		want[s] = a
	}
	for s, f := range soles {
		want[s] = f.on(b.points, s)
	}
	return b, want
}

// A sole is how a foot is on its pedal, and how far the pedal is tipped nose-up.
type sole struct {
	forward, out, up       float64 // of the crank's outer face
	toesOut, wedge, tipped float64
}

var soles = map[contact.Site]sole{contact.FootLeft: {9, 52, 21, 12, 3, 35}, contact.FootRight: {-4, 55, 26, -5, -2, -140}}

// on adds the points of a sole: level, with the crank forward, it is turned out, rolled about
// its own length, and then tipped with the pedal. It returns the foot's direction.
func (f sole) on(points map[survey.Landmark]r3.Vec, s contact.Site) contact.Attitude {
	side, pedal := 1.0, contact.PedalLeft
	if s.Side() == contact.Right {
		side, pedal = -1, contact.PedalRight
	}
	yaw := side * f.toesOut * rad
	ahead := r3.Rotate(r3.Vec{X: 1}, yaw, r3.Vec{Z: 1})
	left := r3.Rotate(r3.Rotate(r3.Vec{Y: 1}, yaw, r3.Vec{Z: 1}), -side*f.wedge*rad, ahead)
	at0 := r3.Vec{X: f.forward, Y: side * f.out, Z: f.up}
	for l, v := range map[survey.Landmark]r3.Vec{at(s): at0, survey.Ahead(s): r3.Add(at0, r3.Scale(90, ahead)), survey.Outer(s): r3.Add(at0, r3.Scale(side*45, left))} {
		points[l] = r3.Add(points[at(pedal)], r3.Rotate(v, -f.tipped*rad, r3.Vec{Y: 1}))
	}
	return contact.Attitude{Yaw: side * f.toesOut, Roll: math.Atan2(left.Z, left.Y) / rad}
}

// Directions come out as they are, whatever way the front wheel is turned.
func TestDirections(t *testing.T) {
	b, want := pointing()
	rng := rand.New(rand.NewPCG(7, 8))
	for _, steer := range []float64{0, 25} {
		fix, err := read(b.turned(steer), anywhere(rng), 2, 0, rng).Solve()
		require.NoError(t, err)
		for s, w := range want {
			a, ok := fix.Position.Attitude(s)
			require.True(t, ok, s)
			off := a.Less(w)
			assert.InDelta(t, 0, math.Abs(off.Tilt)+math.Abs(off.Yaw)+math.Abs(off.Roll), 1e-6, "%v at %v°", s, steer)
		}
		_, ok := fix.Position.Attitude(contact.DropsLeft)
		assert.False(t, ok)
		for s, f := range soles {
			crank, _ := fix.Position.At(map[contact.Side]contact.Site{contact.Left: contact.PedalLeft, contact.Right: contact.PedalRight}[s.Side()])
			foot, ok := fix.Position.At(s)
			require.True(t, ok)
			off := r3.Sub(foot, crank)
			assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Vec{X: f.forward, Y: math.Copysign(f.out, crank.Y), Z: f.up}, off)), 1e-6, "%v, with the crank forward and the sole level", s)
		}
	}
	// Of a pad, a point ahead alone tells no roll, and so no direction.
	delete(b.points, survey.Outer(contact.PadLeft))
	fix, err := read(b.turned(0), anywhere(rng), 2, 0, rng).Solve()
	require.NoError(t, err)
	_, ok := fix.Position.Attitude(contact.PadLeft)
	assert.False(t, ok)
	_, ok = fix.Position.Attitude(contact.PadRight)
	assert.True(t, ok)

	b.points[survey.Ahead(contact.HoodsLeft)] = r3.Add(b.points[at(contact.HoodsLeft)], r3.Vec{X: 3})
	_, err = read(b.turned(0), anywhere(rng), 2, 0, rng).Solve()
	require.ErrorIs(t, err, contact.ErrConflict)
	assert.Equal(t, "readings.hoods_left_ahead", contact.Faults(err)[0].Path)
	_, err = survey.TapeSurvey{Readings: []survey.TapeReading{{Kind: survey.Direct, From: survey.BottomBracket, To: survey.Ahead(contact.PadLeft), Value: 800, Sigma: 1}}}.Solve()
	require.ErrorIs(t, err, contact.ErrUnknown, "not for tapes")
	require.NoError(t, survey.TapeSurvey{Readings: []survey.TapeReading{{Kind: survey.Direct, From: survey.BottomBracket, To: survey.Mark("scratch_ahead"), Value: 800, Sigma: 1}}}.Validate(), "a mark of any name is")
}

// Their uncertainties are those of draws of the readings and of how true the frame is, to
// four standard errors.
func TestDirectionsMonteCarlo(t *testing.T) {
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}
	b, want := pointing()
	rng := rand.New(rand.NewPCG(9, 10))
	const draws, sigma = 500, 0.4
	sums := map[contact.Coordinate]float64{}
	var last survey.Fix
	for range draws {
		points := b.turned(0)
		untrue(points, rng)
		s := read(points, anywhere(rng), 2, sigma, rng)
		s.Sigma = r3.Vec{X: sigma, Y: sigma, Z: sigma}
		fix, err := s.Solve()
		require.NoError(t, err)
		for site, w := range want {
			a, ok := fix.Position.Attitude(site)
			require.True(t, ok)
			off := a.Less(w)
			for axis, v := range []float64{off.Tilt, off.Yaw, off.Roll} {
				sums[contact.Coordinate{Site: site, Axis: contact.AxisTilt + contact.Axis(axis)}] += v * v / draws
			}
		}
		for site, v := range soles {
			at, _ := fix.Position.At(site)
			length, y := 172.5, 73.0
			if site.Side() == contact.Right {
				length, y, v.out = 170, -75, -v.out
			}
			for axis, off := range []float64{at.X - length - v.forward, at.Y - y - v.out, at.Z - v.up} {
				sums[contact.Coordinate{Site: site, Axis: contact.Axis(axis)}] += off * off / draws
			}
		}
		last = fix
	}
	for c, square := range sums {
		v, ok := last.Covariance.At(c, c)
		if c.Site == contact.ExtensionRight && c.Axis == contact.AxisRoll || c.Site.Group() == contact.OnFeet && c.Axis == contact.AxisTilt {
			assert.False(t, ok, "an extension is round, and a sole tipped until it is level")
			continue
		}
		require.True(t, ok, c)
		assert.InEpsilon(t, math.Sqrt(square), math.Sqrt(v), 4*math.Sqrt(0.5/draws), c)
	}
}
