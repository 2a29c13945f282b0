package design_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// The numbers were computed with numpy 1.24.2 from the intersection of two cylinders:
// √(R² − (r sin φ)²)/sin θ + r cos φ/tan θ.
func TestMitre(t *testing.T) {
	m := design.Mitre{Radius: 12.7, On: 16.2, Angle: 72}
	for i, want := range [...]float64{21.160168, 19.244216, 14.569564, 10.574908, 10.443084, 12.096943, 12.907208} {
		z, err := m.At(30 * float64(i))
		require.NoError(t, err)
		assert.InDelta(t, want, z, 5e-7)
	}
	m = design.Mitre{Radius: 14.3, On: 20, Angle: 90}
	for i, want := range [...]float64{20, 18.678263, 15.704538, 13.982489, 15.704538, 18.678263, 20} {
		z, err := m.At(30 * float64(i))
		require.NoError(t, err)
		assert.InDelta(t, want, z, 5e-7)
	}
	_, err := design.Mitre{Radius: 20, On: 14.3, Angle: 90}.At(90)
	assert.True(t, trial.FaultAt(err, "radius_mm", contact.ErrConflict), "%v", err)
	_, err = design.Mitre{Radius: 12, On: 14.3, Angle: 90, Offset: -3}.At(90)
	assert.True(t, trial.FaultAt(err, "radius_mm", contact.ErrConflict), "%v", err)
	_, err = design.Mitre{Radius: 12, On: 14.3, Angle: math.NaN()}.At(0)
	assert.True(t, trial.FaultAt(err, "angle_deg", contact.ErrRange), "%v", err)
	_, err = m.At(math.Inf(1))
	assert.True(t, trial.FaultAt(err, "around_deg", contact.ErrRange), "%v", err)
}

// Every point of a cut lies on both cylinders, wherever the tubes are: the cut's own formula
// is checked against distances from lines in space.
func TestMitreIsOnBoth(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 5))
	for range 200 {
		m := design.Mitre{Radius: 8 + 8*rng.Float64(), On: 25 + 10*rng.Float64(), Angle: 20 + 140*rng.Float64(), Offset: 8*rng.Float64() - 4}
		// The other tube's axis along Z, the cut tube's in the plane of X and Z, beside it.
		sin, cos := math.Sincos(m.Angle * math.Pi / 180)
		along, up, side := r3.Vec{X: sin, Z: cos}, r3.Vec{X: -cos, Z: sin}, r3.Vec{Y: 1}
		for around := 0.; around < 360; around += 15 {
			z, err := m.At(around)
			require.NoError(t, err)
			s, c := math.Sincos(around * math.Pi / 180)
			at := r3.Add(r3.Scale(z, along), r3.Add(r3.Scale(m.Radius*c, up), r3.Scale(m.Radius*s+m.Offset, side)))
			assert.InDelta(t, m.On, math.Hypot(at.X, at.Y), 1e-9)
		}
	}
}

// toLine is how far a point of the mid-plane lies from a line, positive on its left.
func toLine(p, from, to r3.Vec) float64 {
	d := r3.Unit(r3.Sub(to, from))
	v := r3.Sub(p, from)
	return d.X*v.Z - d.Z*v.X
}

// The edges of tubes, as points that are constructed from what is left of head and seat tube,
// lie on the tubes' outlines; and the axes cross where they are said to.
func TestDrawing(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 6))
	tubes := design.Tubes{Head: 44, Top: 28.6, Down: 38, Seat: 30, Shell: 42, AboveTop: 14, BelowDown: 9, SeatAbove: 40}
	for range 100 {
		b := drawn(rng)
		p := problem(t, b)
		p.Tubes = tubes
		p.StandAt = 60
		p.Inseam = 850
		p.Wishes = append(readOff(rng, b), design.Wish{Subject: design.Subject{Clearance: clearance.Standover}, From: 300, To: 1000},
			design.Wish{Subject: design.Subject{Clearance: clearance.StandoverRoom}, From: -500, To: math.Inf(1)})
		d, err := p.Solve(t.Context())
		require.NoError(t, err)
		w, err := d.Drawing()
		require.NoError(t, err)
		g := d.Geometry()
		up, seat := g.SteererUp(), g.SeatUp()

		// Lengths along the tubes are those of the chart.
		length := func(dim chart.Dimension, want float64) {
			v, _, ok := d.Get(dim)
			require.True(t, ok)
			assert.InDelta(t, want, v, 1e-9, "%v", dim)
		}
		length(chart.HeadTube, w.Head.Length())
		length(chart.SeatTubeTop, w.Seat.Length())
		length(chart.TopTube, w.Top.Length())
		length(chart.SeatTubeCentre, r3.Norm(r3.Sub(w.Top.From, w.Seat.From)))
		length(chart.AxleToCrown, r3.Norm(r3.Sub(w.Crown, w.Front)))

		// What is left of head and seat tube, on their surfaces.
		headEdge := r3.Sub(r3.Sub(w.Head.To, r3.Scale(tubes.AboveTop, up)), r3.Scale(tubes.Head/2, r3.Vec{X: up.Z, Z: -up.X}))
		seatEdge := r3.Add(r3.Sub(w.Seat.To, r3.Scale(tubes.SeatAbove, seat)), r3.Scale(tubes.Seat/2, r3.Vec{X: seat.Z, Z: -seat.X}))
		lowEdge := r3.Sub(r3.Add(w.Head.From, r3.Scale(tubes.BelowDown, up)), r3.Scale(tubes.Head/2, r3.Vec{X: up.Z, Z: -up.X}))
		assert.InDelta(t, tubes.Top/2, toLine(headEdge, w.Top.From, w.Top.To), 1e-9)
		assert.InDelta(t, tubes.Top/2, toLine(seatEdge, w.Top.From, w.Top.To), 1e-9)
		assert.InDelta(t, -tubes.Down/2, toLine(lowEdge, w.Down.From, w.Down.To), 1e-9)
		for _, at := range [...]r3.Vec{w.Top.To, w.Down.To, w.Crown} {
			assert.InDelta(t, 0, toLine(at, w.Head.From, w.Head.To), 1e-9)
		}
		assert.InDelta(t, 0, toLine(w.Top.From, w.Seat.From, w.Seat.To), 1e-9)
		assert.Zero(t, w.Down.From)

		// From cut to cut, by the formula for lengths at the edges, and by the edges' points.
		for _, line := range [...]struct{ around, side float64 }{{0, 1}, {180, -1}} {
			cut, err := w.Top.Cut(line.around)
			require.NoError(t, err)
			want := w.Top.Length()
			for _, m := range [...]design.Mitre{w.Top.AtFrom, w.Top.AtTo} {
				sin, cos := math.Sincos(m.Angle * math.Pi / 180)
				want -= m.On/sin + line.side*m.Radius*cos/sin
			}
			assert.InDelta(t, want, cut, 1e-9)
			if line.side > 0 {
				assert.InDelta(t, r3.Norm(r3.Sub(headEdge, seatEdge)), cut, 1e-9)
			}
		}

		// Standover is that of package clearance, for the same edge.
		edge := clearance.TopTube{Head: crossing(headEdge, seatEdge, w.Head.To, up), Seat: -crossing(headEdge, seatEdge, w.Seat.From, seat), At: p.StandAt}
		v, ok, err := clearance.Standover.Of(clearance.Bike{Position: p.Target, Geometry: g, Bulk: clearance.Bulk{TopTube: edge}}, contact.Centre)
		require.NoError(t, err)
		require.True(t, ok)
		length(chart.Standover, v.Value)
		room, _, ok := d.Value(design.Subject{Clearance: clearance.StandoverRoom})
		require.True(t, ok)
		assert.InDelta(t, p.Inseam-v.Value, room, 1e-9)
	}
}

// crossing is how far down an axis from a point a line crosses it.
func crossing(a, b, from, up r3.Vec) float64 {
	d := r3.Sub(b, a)
	v := r3.Sub(a, from)
	return -(v.X*d.Z - v.Z*d.X) / (up.X*d.Z - up.Z*d.X)
}

func TestTubesValidate(t *testing.T) {
	fat := design.Tubes{Head: 36, Top: 38, Down: 31.8, Seat: 28.6, Shell: 40}
	assert.True(t, trial.FaultAt(fat.Validate(), "top_mm", contact.ErrConflict))
	fat.Top = 0
	assert.True(t, trial.FaultAt(fat.Validate(), "top_mm", contact.ErrRange))
	empty, err := design.Design{}.Drawing()
	require.NoError(t, err)
	assert.Zero(t, empty)
}
