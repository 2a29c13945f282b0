package rider_test

import (
	"math"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestZeroValues(t *testing.T) {
	var c rider.Chain
	_, err := c.At(contact.Left, 0)
	assert.ErrorIs(t, err, contact.ErrMissing)
	assert.ErrorIs(t, c.Stroke(contact.Left, nil), contact.ErrMissing)
	_, err = c.FarEnd(contact.Right)
	assert.ErrorIs(t, err, contact.ErrMissing)
	for m := range rider.ElbowFlexion + 2 {
		_, err := c.Span(m, contact.Left)
		assert.Error(t, err, m)
	}
	_, ok := c.Upper()
	assert.False(t, ok)
	var b rider.Body
	assert.ErrorIs(t, b.Validate(), contact.ErrMissing)
	_, err = b.Compare(contact.Position{}, contact.Position{})
	assert.ErrorIs(t, err, contact.ErrMissing)
}

func TestNames(t *testing.T) {
	seen := map[string]bool{}
	add := func(s string) {
		assert.NotContains(t, s, "(")
		assert.False(t, seen[s], s)
		seen[s] = true
	}
	for m := rider.KneeFlexion; m <= rider.ElbowFlexion; m++ {
		add(m.String())
		assert.Equal(t, "degrees", m.Unit())
	}
	for s := rider.Thigh; s <= rider.Forearm; s++ {
		add(s.String())
	}
	add(motion.InSpace.String())
	add(motion.FromSide.String())
	add(rider.SolePitch.String())
	add(rider.Dorsiflexion.String())
	add(rider.KeepElbow.String())
	add(rider.KeepTrunk.String())
	for _, s := range []string{
		rider.Variable(99).String(), rider.Segment(99).String(), motion.View(99).String(),
		rider.AnkleAngle(99).String(), rider.UpperAngle(99).String(), rider.Table(99).String(),
	} {
		assert.Contains(t, s, "(99)")
	}
	assert.Empty(t, rider.Variable(99).Unit())
	assert.Empty(t, rider.Variable(0).Unit())

	trial.Names(t, rider.ParseVariable, rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion, rider.TrunkLean, rider.ShoulderFlexion, rider.ElbowFlexion)
	trial.Names(t, rider.ParseSegment, rider.Thigh, rider.Shank, rider.AnkleHeight, rider.Trunk, rider.UpperArm, rider.Forearm)
	trial.Names(t, rider.ParseTable, rider.DrillisContini, rider.ANSURMen, rider.ANSURWomen)
	trial.Names(t, rider.ParseAnkleAngle, rider.SolePitch, rider.Dorsiflexion)
	trial.Names(t, rider.ParseUpperAngle, rider.KeepElbow, rider.KeepTrunk)
}

func TestBadInput(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		change func(b *rider.Body, p *contact.Position)
		class  error
		path   string
	}{
		"zero thigh":   {func(b *rider.Body, _ *contact.Position) { b.Left.Thigh = 0 }, contact.ErrRange, "body.left.thigh_mm"},
		"thigh in cm":  {func(b *rider.Body, _ *contact.Position) { b.Left.Thigh = 42 }, contact.ErrUnit, "body.left.thigh_mm"},
		"NaN shank":    {func(b *rider.Body, _ *contact.Position) { b.Right.Shank = nan }, contact.ErrRange, "body.right.shank_mm"},
		"zero ankle":   {func(b *rider.Body, _ *contact.Position) { b.Left.AnkleHeight = 0 }, contact.ErrRange, "body.left.ankle_height_mm"},
		"zero foot":    {func(b *rider.Body, _ *contact.Position) { b.Left.AnkleBehind = 0 }, contact.ErrRange, "body.left.ankle_behind_mm"},
		"no ankle":     {func(b *rider.Body, _ *contact.Position) { b.Left.Ankle.Profile = nil }, contact.ErrMissing, "body.left.ankle.profile"},
		"NaN ankle":    {func(b *rider.Body, _ *contact.Position) { b.Left.Ankle.Profile = []float64{1, nan} }, contact.ErrRange, "body.left.ankle.profile_deg[1]"},
		"long profile": {func(b *rider.Body, _ *contact.Position) { b.Left.Ankle.Profile = make([]float64, 4000) }, contact.ErrRange, "body.left.ankle.profile"},
		"included ankle": {func(b *rider.Body, _ *contact.Position) {
			b.Left.Ankle = rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{100}}
		}, contact.ErrRange, "body.left.ankle.profile_deg[0]"},
		"ankle of a kind": {func(b *rider.Body, _ *contact.Position) { b.Left.Ankle.Given = 7 }, contact.ErrUnknown, "body.left.ankle.given"},
		"ankle of none":   {func(b *rider.Body, _ *contact.Position) { b.Left.Ankle.Given = 0 }, contact.ErrUnknown, "body.left.ankle.given"},
		"kind alone": {func(b *rider.Body, _ *contact.Position) {
			b.Right = rider.Leg{Ankle: rider.Ankle{Given: rider.Dorsiflexion}}
		}, contact.ErrRange, "body.right.thigh_mm"},
		"no hip":         {func(b *rider.Body, _ *contact.Position) { b.HipUp = 0 }, contact.ErrRange, "body.hip_up_mm"},
		"far hip":        {func(b *rider.Body, _ *contact.Position) { b.HipForward = inf }, contact.ErrRange, "body.hip_forward_mm"},
		"trunk in m":     {func(b *rider.Body, _ *contact.Position) { b.Upper.Trunk = 0.52 }, contact.ErrUnit, "body.upper.trunk_mm"},
		"zero forearm":   {func(b *rider.Body, _ *contact.Position) { b.Upper.Forearm = 0 }, contact.ErrRange, "body.upper.forearm_mm"},
		"wrist":          {func(b *rider.Body, _ *contact.Position) { b.Upper.WristUp = nan }, contact.ErrRange, "body.upper.wrist_up_mm"},
		"grip":           {func(b *rider.Body, _ *contact.Position) { b.Upper.Grip = contact.SaddleReference }, contact.ErrUnknown, "body.upper.grip"},
		"no such grip":   {func(b *rider.Body, _ *contact.Position) { b.Upper.Grip = 200 }, contact.ErrUnknown, "body.upper.grip"},
		"grip of none":   {func(b *rider.Body, _ *contact.Position) { b.Upper.Grip = 0 }, contact.ErrUnknown, "body.upper.grip"},
		"grip at clamp":  {func(b *rider.Body, _ *contact.Position) { b.Upper.Grip = contact.BarClamp }, contact.ErrUnknown, "body.upper.grip"},
		"grip at pedal":  {func(b *rider.Body, _ *contact.Position) { b.Upper.Grip = contact.PedalLeft }, contact.ErrUnknown, "body.upper.grip"},
		"included elbow": {func(b *rider.Body, _ *contact.Position) { b.Upper.Angle = 165 }, contact.ErrRange, "body.upper.angle_deg"},
		"keep":           {func(b *rider.Body, _ *contact.Position) { b.Upper.Keep = 9 }, contact.ErrUnknown, "body.upper.keep"},
		"keep none":      {func(b *rider.Body, _ *contact.Position) { b.Upper.Keep = 0 }, contact.ErrUnknown, "body.upper.keep"},
		"no drops":       {func(b *rider.Body, _ *contact.Position) { b.Upper.Grip = contact.DropsRight }, contact.ErrMissing, "position.sites.drops_right"},
		"no saddle":      {func(_ *rider.Body, p *contact.Position) { p.Forget(contact.SaddleReference) }, contact.ErrMissing, "position.sites.saddle_reference"},
		"no foot":        {func(_ *rider.Body, p *contact.Position) { p.Forget(contact.FootRight) }, contact.ErrMissing, "position.sites.foot_right"},
		"crank too long": {func(_ *rider.Body, p *contact.Position) { p.Set(contact.FootLeft, r3.Vec{X: 260, Y: 120, Z: 20}) }, contact.ErrRange, "position.sites.foot_left.at_mm"},
		"crank > leg":    {func(_ *rider.Body, p *contact.Position) { p.Set(contact.FootLeft, r3.Vec{X: 900, Y: 120, Z: 20}) }, contact.ErrUnit, "position.sites.foot_left.at_mm"},
		"NaN crank":      {func(_ *rider.Body, p *contact.Position) { p.Set(contact.FootLeft, r3.Vec{X: nan, Y: 120, Z: 20}) }, contact.ErrRange, "position.sites.foot_left.at_mm"},
		"saddle in m":    {func(_ *rider.Body, p *contact.Position) { p.Set(contact.SaddleReference, r3.Vec{X: -0.2, Z: 0.7}) }, contact.ErrUnit, "position.sites.saddle_reference.at_mm"},
	} {
		t.Run(name, func(t *testing.T) {
			b, p := invented.Rider()
			b.Right.Ankle.Profile = []float64{-10}
			c.change(&b, &p)
			_, err := rider.NewChain(b, p)
			require.ErrorIs(t, err, c.class)
			assert.Contains(t, contact.Faults(err)[0].Path, c.path)
			_, _, err = b.RaiseSaddle(p, contact.Left, 30, 74)
			assert.ErrorIs(t, err, c.class)
			_, _, err = b.CrankLength(p, contact.Left, 30)
			assert.ErrorIs(t, err, c.class)
			_, err = b.Compare(p, p)
			assert.ErrorIs(t, err, c.class)
			assert.Contains(t, contact.Faults(err)[0].Path, strings.Replace(c.path, "position.", "before.", 1))
		})
	}
	// All faults together.
	b, p := invented.Rider()
	b.Left.Thigh, b.Right.Shank, b.Upper.Trunk = 0, 0, 0
	p.Forget(contact.SaddleReference)
	_, err := rider.NewChain(b, p)
	assert.Len(t, contact.Faults(err), 4)
	_, _, err = b.RaiseSaddle(p, contact.Left, nan, nan)
	assert.Len(t, contact.Faults(err), 6)
	_, err = b.Compare(p, p)
	assert.Len(t, contact.Faults(err), 5, "the body's three once, the saddle of each position")
}

func TestBadArguments(t *testing.T) {
	b, p := invented.Rider()
	c := chain(t, b, p)
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := c.At(contact.Left, v)
		assert.ErrorIs(t, err, contact.ErrRange)
		_, _, err = b.RaiseSaddle(p, contact.Left, v, 74)
		assert.ErrorIs(t, err, contact.ErrRange)
		_, _, err = b.RaiseSaddle(p, contact.Left, 30, v)
		assert.ErrorIs(t, err, contact.ErrRange)
		_, _, err = b.CrankLength(p, contact.Left, v)
		assert.ErrorIs(t, err, contact.ErrRange)
	}
	_, err := c.At(contact.Centre, 0)
	assert.ErrorIs(t, err, contact.ErrMissing)
	assert.ErrorIs(t, c.Stroke(contact.Side(9), make([]rider.Posture, 3)), contact.ErrMissing)
	_, _, err = b.CrankLength(p, contact.Centre, 30)
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, _, err = b.CrankLength(p, contact.Left, 1)
	assert.NoError(t, err)
	_, _, err = b.CrankLength(p, contact.Left, 75) // 40 mm or so
	assert.ErrorIs(t, err, contact.ErrRange)
	_, _, err = b.CrankLength(p, contact.Left, 120) // none is so short
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, _, err = b.RaiseSaddle(p, contact.Left, 125, 74) // near the bottom bracket
	assert.ErrorIs(t, err, contact.ErrRange)
	assert.ErrorContains(t, err, "after.sites.saddle_reference.at_mm")
	_, _, err = b.RaiseSaddle(p, contact.Left, 150, 74)
	assert.ErrorIs(t, err, contact.ErrConflict)

	// A held joint does not let the leg go straight on the side where the knee
	// is in front.
	b.Left.Ankle = rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{0}}
	_, _, err = b.RaiseSaddle(p, contact.Left, 3, 74)
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, _, err = b.CrankLength(p, contact.Left, 3)
	assert.ErrorIs(t, err, contact.ErrConflict)
	assert.ErrorContains(t, err, "nearest")

	// A line that passes too far behind: a leg is too short for it at any height.
	b, p = invented.Rider()
	p.Set(contact.SaddleReference, r3.Vec{X: -900, Z: 500})
	p.Forget(contact.SaddleNose)
	p.Forget(contact.SaddleRear)
	_, _, err = b.RaiseSaddle(p, contact.Left, 30, 90)
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, _, err = b.CrankLength(p, contact.Left, 30)
	assert.Error(t, err)
}

// Shorter by 80 mm a leg does not reach: at the far end hip and ankle are 830
// mm apart and the leg is 780 mm long, at the top all is well.
func TestGap(t *testing.T) {
	b, p := over(390, 390, 830)
	c := chain(t, b, p)
	far, err := c.FarEnd(contact.Left)
	require.NoError(t, err)
	assert.InDelta(t, 50, far.Gap, 1e-9)
	assert.InDelta(t, 180, far.CrankAngle, 1e-6)
	assert.Zero(t, far.KneeFlexion)
	assert.InDelta(t, 780, r3.Norm(r3.Sub(far.Hip, far.Ankle)), 1e-9)
	top, err := c.At(contact.Left, 0)
	require.NoError(t, err)
	assert.Zero(t, top.Gap)
	s, err := c.Span(rider.KneeFlexion, contact.Left)
	require.NoError(t, err)
	assert.InDelta(t, 50, s.Gap, 1e-9)
	assert.InDelta(t, 180, s.GapAt, 1e-6)

	// Straight to the last digit is no gap.
	_, after, err := b.RaiseSaddle(p, contact.Left, 0, 90)
	require.NoError(t, err)
	far, err = chain(t, b, after).FarEnd(contact.Left)
	require.NoError(t, err)
	assert.Zero(t, far.Gap)
	assert.InDelta(t, 0, far.KneeFlexion, 1e-4)

	// Folded: thigh and shank differ by 300 mm, and the ankle comes within 200
	// mm of the hip.
	b, p = over(600, 300, 540)
	s, err = chain(t, b, p).Span(rider.KneeFlexion, contact.Left)
	require.NoError(t, err)
	assert.InDelta(t, -100, s.Gap, 1e-9)
	assert.InDelta(t, 180, s.Most, 1e-12)
	assert.InDelta(t, 0, s.GapAt, 1e-6)
}

// Every posture keeps the lengths of its segments, and three points tell the
// angles that it states.
func TestPosturesAreWhole(t *testing.T) {
	for _, ankle := range []rider.Ankle{
		{Given: rider.SolePitch, Profile: []float64{-20, -5, 0, -15, -25}},
		{Given: rider.Dorsiflexion, Profile: []float64{-20, -5, 0, -15, -25}},
		{Given: rider.Dorsiflexion, Profile: []float64{-8}},
	} {
		b, p := invented.Rider()
		p.Set(contact.SaddleReference, r3.Vec{X: -200, Z: 685})
		b.Left.Ankle, b.Right.Ankle = ankle, ankle
		c := chain(t, b, p)
		u, ok := c.Upper()
		require.True(t, ok)
		length := func(want float64, a, b r3.Vec) {
			t.Helper()
			assert.InDelta(t, want, r3.Norm(r3.Sub(a, b)), 1e-9)
		}
		length(510, u.Hip, u.Shoulder)
		length(320, u.Shoulder, u.Elbow)
		length(260, u.Elbow, u.Wrist)
		assert.InDelta(t, 540-30, u.Wrist.X, 1e-9)
		assert.InDelta(t, 660+40, u.Wrist.Z, 1e-9)
		assert.Less(t, u.Elbow.Z, (u.Shoulder.Z+u.Wrist.Z)/2, "elbows hang")
		angle := func(from, joint, to r3.Vec) float64 {
			v, err := motion.FlexionAngle(from, joint, to, motion.FromSide)
			require.NoError(t, err)
			return v
		}
		assert.InDelta(t, 20, angle(u.Shoulder, u.Elbow, u.Wrist), 1e-9)
		assert.InDelta(t, u.ShoulderFlexion, 180-angle(u.Hip, u.Shoulder, u.Elbow), 1e-9)
		stroke := make([]rider.Posture, 72)
		require.NoError(t, c.Stroke(contact.Right, stroke))
		for i, s := range stroke {
			assert.InDelta(t, float64(5*i), s.CrankAngle, 1e-12)
			length(408, s.Hip, s.Knee)
			length(416, s.Knee, s.Ankle)
			length(172.5, s.Pedal, r3.Vec{})
			length(math.Hypot(125, 73+20), s.Ankle, s.Pedal)
			assert.InDelta(t, angle(s.Hip, s.Knee, s.Ankle), s.KneeFlexion, 1e-9)
			assert.InDelta(t, angle(u.Shoulder, s.Hip, s.Knee), s.HipFlexion, 1e-9)
			sin, cos := math.Sincos(s.SolePitch * math.Pi / 180)
			toe := r3.Add(s.Ankle, r3.Vec{X: 100 * cos, Z: 100 * sin})
			assert.InDelta(t, 90-s.AnkleDorsiflexion, 180-angle(s.Knee, s.Ankle, toe), 1e-9)
			again, err := c.At(contact.Right, s.CrankAngle-720)
			require.NoError(t, err)
			assert.InDelta(t, s.KneeFlexion, again.KneeFlexion, 1e-9)
		}
	}
}

// What keeps what: with the elbow kept a lower bar lowers the trunk, with the
// trunk kept it straightens the arm.
func TestCompare(t *testing.T) {
	b, p := invented.Rider()
	lower := p
	for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
		v, _ := p.At(s)
		lower.Set(s, r3.Vec{X: v.X, Y: v.Y, Z: v.Z - 40})
	}
	find := func(all []rider.Comparison, m rider.Variable, side contact.Side) rider.Comparison {
		for _, c := range all {
			if c.Variable == m && c.Side == side {
				return c
			}
		}
		require.Fail(t, "none", "%v %v", m, side)
		return rider.Comparison{}
	}
	all, err := b.Compare(p, lower)
	require.NoError(t, err)
	assert.Len(t, all, 9)
	lean := find(all, rider.TrunkLean, contact.Centre)
	assert.Less(t, lean.After.Least, lean.Before.Least-2)
	assert.Zero(t, lean.After.Range())
	hip := find(all, rider.HipFlexion, contact.Right)
	assert.InDelta(t, lean.Before.Least-lean.After.Least, hip.After.Most-hip.Before.Most, 1e-9, "all of it goes into the hip")
	knee := find(all, rider.KneeFlexion, contact.Left)
	assert.Equal(t, knee.Before, knee.After)
	elbow := find(all, rider.ElbowFlexion, contact.Centre)
	assert.Equal(t, elbow.Before, elbow.After)

	b.Upper.Keep, b.Upper.Angle = rider.KeepTrunk, lean.Before.Least
	all, err = b.Compare(p, lower)
	require.NoError(t, err)
	elbow = find(all, rider.ElbowFlexion, contact.Centre)
	assert.InDelta(t, 20, elbow.Before.Least, 1e-9)
	assert.Less(t, elbow.After.Least, 20.)
	b.Upper.Angle = 90
	all, err = b.Compare(p, lower)
	require.NoError(t, err)
	elbow = find(all, rider.ElbowFlexion, contact.Centre)
	assert.Zero(t, elbow.After.Least)
	assert.Greater(t, elbow.After.Gap, elbow.Before.Gap, "sitting upright the arms are too short")

	// One leg alone, and no upper body.
	b.Left, b.Upper = rider.Leg{}, rider.Upper{}
	all, err = b.Compare(p, lower)
	require.NoError(t, err)
	assert.Len(t, all, 2)
}

// A mirrored position has the same angles on the other side.
func TestMirror(t *testing.T) {
	b, p := invented.Rider()
	b.Right.Thigh, b.Right.Ankle.Profile = 418, []float64{-10, -20}
	a := chain(t, b, p)
	b.Left, b.Right = b.Right, b.Left
	m := chain(t, b, p.Mirror())
	for _, of := range []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion, rider.ElbowFlexion} {
		left, err := a.Span(of, contact.Left)
		require.NoError(t, err)
		right, err := m.Span(of, contact.Right)
		require.NoError(t, err)
		assert.Empty(t, cmp.Diff(left, right, cmpopts.EquateApprox(0, 1e-9)))
	}
}

// A chain keeps its own copy of the profile.
func TestChainDoesNotChange(t *testing.T) {
	b, p := invented.Rider()
	b.Left.Ankle.Profile = []float64{-10, -20, -15}
	c := chain(t, b, p)
	before, err := c.At(contact.Left, 77)
	require.NoError(t, err)
	b.Left.Ankle.Profile[0] = 30
	after, err := c.At(contact.Left, 77)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}
