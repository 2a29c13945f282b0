package rider_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A golden is one case of testdata/rider.json; rider.py beside it wrote them
// with scipy.
type golden struct {
	Thigh, Shank, Height, Behind float64
	Given                        string
	Profile                      []float64
	Crank, Stack                 float64
	HipForward                   float64 `json:"hip_forward"`
	HipUp                        float64 `json:"hip_up"`
	CrankAngle                   float64 `json:"crank_angle"`
	Saddle                       [2]float64
	Posture                      struct {
		Knee, Ankle  [2]float64
		KneeFlexion  float64 `json:"knee_flexion"`
		Dorsiflexion float64
		SolePitch    float64 `json:"sole_pitch"`
		ThighPitch   float64 `json:"thigh_pitch"`
	}
	FarFlexion float64 `json:"far_flexion"`
	FarAngle   float64 `json:"far_angle"`
	Upper      struct {
		Trunk           float64
		UpperArm        float64 `json:"upper_arm"`
		Forearm         float64
		WristBack       float64 `json:"wrist_back"`
		WristUp         float64 `json:"wrist_up"`
		Keep            string
		Grip            [2]float64
		Angle           float64
		Shoulder, Elbow [2]float64
		TrunkLean       float64 `json:"trunk_lean"`
		ElbowFlexion    float64 `json:"elbow_flexion"`
		ShoulderFlexion float64 `json:"shoulder_flexion"`
	}
	Want, Line  float64
	Raise       float64
	CrankWanted float64 `json:"crank_wanted"`
}

func (g *golden) body() (rider.Body, contact.Position) {
	given, keep := rider.SolePitch, rider.KeepElbow
	if g.Given == rider.Dorsiflexion.String() {
		given = rider.Dorsiflexion
	}
	if g.Upper.Keep == rider.KeepTrunk.String() {
		keep = rider.KeepTrunk
	}
	leg := rider.Leg{
		Thigh: g.Thigh, Shank: g.Shank, AnkleHeight: g.Height, AnkleBehind: g.Behind,
		Ankle: rider.Ankle{Given: given, Profile: g.Profile},
	}
	b := rider.Body{
		Right: leg, HipForward: g.HipForward, HipUp: g.HipUp,
		Upper: rider.Upper{
			Trunk: g.Upper.Trunk, UpperArm: g.Upper.UpperArm, Forearm: g.Upper.Forearm,
			WristBack: g.Upper.WristBack, WristUp: g.Upper.WristUp,
			Grip: contact.HoodsLeft, Keep: keep, Angle: g.Upper.Angle,
		},
	}
	return b, contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: g.Saddle[0], Z: g.Saddle[1]},
		contact.HoodsLeft:       {X: g.Upper.Grip[0] + 5, Y: 200, Z: g.Upper.Grip[1] - 3},
		contact.HoodsRight:      {X: g.Upper.Grip[0] - 5, Y: -200, Z: g.Upper.Grip[1] + 3},
		contact.FootRight:       {X: g.Crank, Y: -125, Z: g.Stack},
	})
}

// Postures, far ends and inverses as scipy's root finders see them: equations of
// lengths and angles, no triangles.
func TestAgainstScipy(t *testing.T) {
	const tolMM, tolDeg = 1e-6, 1e-6
	data, err := os.ReadFile("../../testdata/rider.json")
	require.NoError(t, err)
	var doc struct{ Cases []golden }
	require.NoError(t, json.Unmarshal(data, &doc))
	require.Len(t, doc.Cases, 50)
	worst := 0.
	within := func(want, got, tol float64, msg ...any) {
		t.Helper()
		worst = max(worst, math.Abs(want-got)/tol)
		assert.InDelta(t, want, got, tol, msg...)
	}
	at := func(want [2]float64, got r3.Vec, msg ...any) {
		t.Helper()
		within(want[0], got.X, tolMM, msg...)
		within(want[1], got.Z, tolMM, msg...)
		assert.Zero(t, got.Y)
	}
	for i, g := range doc.Cases {
		b, p := g.body()
		c := chain(t, b, p)
		got, err := c.At(contact.Right, g.CrankAngle)
		require.NoError(t, err)
		at(g.Posture.Knee, got.Knee, i, "knee")
		at(g.Posture.Ankle, got.Ankle, i, "ankle")
		within(g.Posture.KneeFlexion, got.KneeFlexion, tolDeg, i)
		within(g.Posture.Dorsiflexion, got.AnkleDorsiflexion, tolDeg, i)
		within(g.Posture.SolePitch, got.SolePitch, tolDeg, i)
		within(g.Posture.ThighPitch, got.ThighPitch, tolDeg, i)
		assert.Zero(t, got.Gap)

		far, err := c.FarEnd(contact.Right)
		require.NoError(t, err)
		within(g.FarFlexion, far.KneeFlexion, tolDeg, i)
		assert.InDelta(t, g.FarAngle, far.CrankAngle, 1e-3, "minimize_scalar tells the place of a minimum no better")

		u, ok := c.Upper()
		require.True(t, ok)
		at(g.Upper.Shoulder, u.Shoulder, i, "shoulder")
		at(g.Upper.Elbow, u.Elbow, i, "elbow")
		within(g.Upper.TrunkLean, u.TrunkLean, tolDeg, i)
		within(g.Upper.ElbowFlexion, u.ElbowFlexion, tolDeg, i)
		within(g.Upper.ShoulderFlexion, u.ShoulderFlexion, tolDeg, i)
		assert.Zero(t, u.Gap)
		// Hip flexion from the golden's slopes of trunk and thigh, by hand.
		within(180-(g.Upper.TrunkLean-g.Posture.ThighPitch), got.HipFlexion, tolDeg, i)
		assert.True(t, got.HipKnown)

		by, after, err := b.RaiseSaddle(p, contact.Right, g.Want, g.Line)
		require.NoError(t, err, i)
		within(g.Raise, by, tolMM, i)
		s, _ := after.At(contact.SaddleReference)
		within(g.Saddle[1]+g.Raise*math.Sin(g.Line*math.Pi/180), s.Z, tolMM, i)
		within(g.Saddle[0]-g.Raise*math.Cos(g.Line*math.Pi/180), s.X, tolMM, i)
		length, _, err := b.CrankLength(p, contact.Right, g.Want)
		require.NoError(t, err, i)
		within(g.CrankWanted, length, tolMM, i)
	}
	t.Logf("worst deviation: %.2g of the tolerance", worst)
}
