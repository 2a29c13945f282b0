package rider_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

type oraclePosture struct {
	CrankAngle      float64 `json:"crank_angle"`
	Knee, Ankle     [2]float64
	KneeFlexion     float64 `json:"knee_flexion"`
	HipFlexion      float64 `json:"hip_flexion"`
	Dorsiflexion    float64
	SolePitch       float64 `json:"sole_pitch"`
	ThighPitch      float64 `json:"thigh_pitch"`
	Gap             float64
	Shoulder, Elbow [2]float64
	TrunkLean       float64 `json:"trunk_lean"`
	ElbowFlexion    float64 `json:"elbow_flexion"`
	ShoulderFlexion float64 `json:"shoulder_flexion"`
}

// turn is see for an angle, of which whole turns do not count.
func turn(w *trial.Worst, got, want float64) { w.See(math.Remainder(got-want, 360), 0) }

func point(w *trial.Worst, got r3.Vec, want [2]float64) {
	w.See(got.X, want[0])
	w.See(got.Z, want[1])
	w.See(got.Y, 0)
}

// Postures, spans and gaps of sixty bodies, half of which do not reach, as
// numerical searches for the nearest closure find them (testdata/oracle/linkage.py).
func TestOracleLinkage(t *testing.T) {
	cases := trial.Cases[struct {
		Saddle     [2]float64
		HipForward float64 `json:"hip_forward"`
		HipUp      float64 `json:"hip_up"`
		Trouble    string
		Upper      struct {
			Trunk, Forearm, Angle float64
			UpperArm              float64 `json:"upper_arm"`
			WristBack             float64 `json:"wrist_back"`
			WristUp               float64 `json:"wrist_up"`
			Keep                  string
			Grip, Wrist           [2]float64
			Expected              oraclePosture
		}
		Legs map[string]struct {
			Thigh, Shank, Height, Behind float64
			Given                        string
			Profile                      []float64
			Crank, Stack                 float64
			Postures                     []oraclePosture
			Span                         map[string]float64
		}
	}](t, "../../testdata/oracle/linkage.json")
	require.Len(t, cases, 60)

	var joints, angles, gaps, spans trial.Worst
	var short, long int
	count := func(gap float64) {
		switch {
		case gap > 0:
			short++
		case gap < 0:
			long++
		}
	}
	check := func(total *trial.Worst, here trial.Worst, limit float64, what ...any) {
		t.Helper()
		assert.Less(t, float64(here), limit, what...)
		*total = max(*total, here)
	}
	for i, c := range cases {
		u := c.Upper
		keep := rider.KeepElbow
		if u.Keep == rider.KeepTrunk.String() {
			keep = rider.KeepTrunk
		}
		b := rider.Body{HipForward: c.HipForward, HipUp: c.HipUp, Upper: rider.Upper{
			Trunk: u.Trunk, UpperArm: u.UpperArm, Forearm: u.Forearm, WristBack: u.WristBack, WristUp: u.WristUp,
			Grip: contact.GripLeft, Keep: keep, Angle: u.Angle,
		}}
		p := contact.New(map[contact.Site]r3.Vec{
			contact.SaddleReference: {X: c.Saddle[0], Z: c.Saddle[1]},
			contact.GripLeft:        {X: u.Grip[0] + 7, Y: 300, Z: u.Grip[1] - 4},
			contact.GripRight:       {X: u.Grip[0] - 7, Y: -310, Z: u.Grip[1] + 4},
		})
		for name, l := range c.Legs {
			given := rider.SolePitch
			if l.Given == rider.Dorsiflexion.String() {
				given = rider.Dorsiflexion
			}
			leg := rider.Leg{Thigh: l.Thigh, Shank: l.Shank, AnkleHeight: l.Height, AnkleBehind: l.Behind, Ankle: rider.Ankle{Given: given, Profile: l.Profile}}
			if name == "left" {
				b.Left = leg
				p.Set(contact.FootLeft, r3.Vec{X: l.Crank, Y: 125, Z: l.Stack})
			} else {
				b.Right = leg
				p.Set(contact.FootRight, r3.Vec{X: l.Crank, Y: -125, Z: l.Stack})
			}
		}
		chain, err := rider.NewChain(b, p)
		require.NoError(t, err, "case %d", i)

		got, ok := chain.Upper()
		require.True(t, ok)
		var joint, angle, gap trial.Worst
		point(&joint, got.Shoulder, u.Expected.Shoulder)
		point(&joint, got.Elbow, u.Expected.Elbow)
		turn(&angle, got.TrunkLean, u.Expected.TrunkLean)
		turn(&angle, got.ElbowFlexion, u.Expected.ElbowFlexion)
		turn(&angle, math.Abs(got.ShoulderFlexion), u.Expected.ShoulderFlexion)
		gap.See(got.Gap, u.Expected.Gap)
		count(u.Expected.Gap)
		check(&joints, joint, 1e-6, "case %d (%s): arm", i, c.Trouble)
		check(&angles, angle, 1e-6, "case %d (%s): arm", i, c.Trouble)
		check(&gaps, gap, 1e-6, "case %d (%s): arm", i, c.Trouble)

		for name, side := range map[string]contact.Side{"left": contact.Left, "right": contact.Right} {
			l := c.Legs[name]
			for _, want := range l.Postures {
				got, err := chain.At(side, want.CrankAngle)
				require.NoError(t, err)
				var joint, angle, gap trial.Worst
				point(&joint, got.Knee, want.Knee)
				point(&joint, got.Ankle, want.Ankle)
				turn(&angle, got.KneeFlexion, want.KneeFlexion)
				turn(&angle, got.HipFlexion, want.HipFlexion)
				turn(&angle, got.AnkleDorsiflexion, want.Dorsiflexion)
				turn(&angle, got.SolePitch, want.SolePitch)
				turn(&angle, got.ThighPitch, want.ThighPitch)
				gap.See(got.Gap, want.Gap)
				count(want.Gap)
				check(&joints, joint, 1e-6, "case %d (%s): %s leg at %v", i, c.Trouble, name, want.CrankAngle)
				check(&angles, angle, 1e-6, "case %d (%s): %s leg at %v", i, c.Trouble, name, want.CrankAngle)
				check(&gaps, gap, 1e-6, "case %d (%s): %s leg at %v", i, c.Trouble, name, want.CrankAngle)
			}
			for _, m := range []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion} {
				got, err := chain.Span(m, side)
				require.NoError(t, err)
				least, most := l.Span[m.String()+"_least"], l.Span[m.String()+"_most"]
				switch {
				case l.Span["gap"] == 0:
					var span trial.Worst
					turn(&span, got.Least, least)
					turn(&span, got.Most, most)
					check(&spans, span, 1e-6, "case %d (%s): %v of %s leg", i, c.Trouble, m, name)
				case m != rider.AnkleDorsiflexion: // that of a folded leg goes round
					// Of a leg that does not reach, the oracle has single postures only.
					assert.LessOrEqual(t, got.Least, least+1e-6, "case %d (%s): %v of %s leg", i, c.Trouble, m, name)
					assert.GreaterOrEqual(t, got.Most, most-1e-6, "case %d (%s): %v of %s leg", i, c.Trouble, m, name)
					assert.InDelta(t, got.Least, least, 5, "case %d (%s): %v of %s leg", i, c.Trouble, m, name)
					assert.InDelta(t, got.Most, most, 5, "case %d (%s): %v of %s leg", i, c.Trouble, m, name)
				}
				var gap trial.Worst
				gap.See(got.Gap, l.Span["gap"])
				check(&gaps, gap, 1e-6, "case %d (%s): span of %s leg", i, c.Trouble, name)
			}
		}
	}
	assert.Greater(t, short, 40)
	assert.Greater(t, long, 20)
	t.Logf("oracle linkage joints: %d cases, worst %.1e mm", len(cases), joints)
	t.Logf("oracle linkage angles: %d cases, worst %.1e degrees", len(cases), angles)
	t.Logf("oracle linkage spans: %d cases, worst %.1e degrees", len(cases), spans)
	t.Logf("oracle linkage gaps: %d cases (%d limbs too short, %d too long), worst %.1e mm", len(cases), short, long, gaps)
}
