package fitgeom_test

import (
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Cautions of builds as they are, and of the builds that are found for their positions.
func TestCautions(t *testing.T) {
	always := []fitgeom.Caution{fitgeom.CautionManufacturer, fitgeom.CautionMechanic, fitgeom.CautionClinician, fitgeom.CautionRaceRules}
	for name, c := range map[string]struct {
		change func(*fitgeom.Build)
		want   []fitgeom.Caution
	}{
		"none":  {func(*fitgeom.Build) {}, nil},
		"tyre":  {func(b *fitgeom.Build) { b.Frame.MaxFrontRadius = 335 }, []fitgeom.Caution{fitgeom.CautionTyre}},
		"rear":  {func(b *fitgeom.Build) { b.Frame.MaxRearRadius = 335 }, []fitgeom.Caution{fitgeom.CautionTyre}},
		"roomy": {func(b *fitgeom.Build) { b.Frame.MaxFrontRadius, b.Frame.MaxRearRadius = 345, 345 }, nil},
		// By sampled surfaces (testdata/oracle/clearance.py), a usual shoe keeps 24.0 mm with the
		// reach of all others, 10.1 mm with 15 mm less; the pedals meet the ground at 25.9° with cranks
		// of 172.5 mm, at 23.8° with 180 mm, which bring the shoe nearer to 17.0 mm.
		"toe":      {func(b *fitgeom.Build) { b.Frame.Geometry.Reach -= 15 }, []fitgeom.Caution{fitgeom.CautionToeOverlap}},
		"strike":   {func(b *fitgeom.Build) { b.Crank.Length = 180 }, []fitgeom.Caution{fitgeom.CautionToeOverlap, fitgeom.CautionPedalStrike}},
		"shim":     {func(b *fitgeom.Build) { b.Frame.SeatpostDiameter = 30.9 }, []fitgeom.Caution{fitgeom.CautionShim}},
		"seatpost": {func(b *fitgeom.Build) { b.Settings.SeatpostExtension = 245 }, []fitgeom.Caution{fitgeom.CautionInsertion}},
		"stack":    {func(b *fitgeom.Build) { b.Settings.Spacers = 20; b.Frame.MaxUnderStem = 38 }, []fitgeom.Caution{fitgeom.CautionSteerer}},
		"rails":    {func(b *fitgeom.Build) { b.Settings.RailClamp = 112 }, []fitgeom.Caution{fitgeom.CautionRails}},
		"roll":     {func(b *fitgeom.Build) { b.Settings.BarRotation = -7 }, []fitgeom.Caution{fitgeom.CautionBarRotated}},
	} {
		t.Run(name, func(t *testing.T) {
			b := invented.Build()
			b.Frame.Geometry.Reach += 15
			c.change(&b)
			shelf := invented.Shelf()
			shelf.Caps, shelf.Stems, shelf.Saddles = shelf.Caps[:1], shelf.Stems[:1], shelf.Saddles[:1]
			shelf.Cranks = []part.Crank{b.Crank}
			shelf.Seatposts, shelf.Shims = shelf.Seatposts[:1], []part.Shim{{Name: "shim", Inner: 27.2, Outer: 30.9}}
			if b.Frame.SeatpostDiameter == 30.9 {
				b.SeatpostShim = shelf.Shims[0]
			}
			r, err := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: shelf, Limit: 1}.Closest().Solve(t.Context())
			require.NoError(t, err)
			want := append(slices.Clone(always), c.want...)
			for _, b := range []fitgeom.Build{b, r.Candidates[0].Build} {
				got, err := b.Cautions()
				require.NoError(t, err)
				assert.Equal(t, want, got)
			}
		})
	}
}

// What a build states of its shoes, pedals and stays decides. From stays that are farther out
// the usual shoe keeps 7.5 mm (testdata/oracle/clearance.py), and 4.5 mm of thicker ones.
func TestCautionsByBulk(t *testing.T) {
	b := invented.Build()
	b.Frame.Geometry.Reach += 15
	has := func(c fitgeom.Caution) bool {
		all, err := b.Cautions()
		require.NoError(t, err)
		return slices.Contains(all, c)
	}
	assert.False(t, has(fitgeom.CautionToeOverlap))
	b.Bulk.Shoe = clearance.Shoe{Toe: 90, Heel: 206, ToeRadius: 32, BallRadius: 50, HeelRadius: 35, Axis: 35}
	assert.True(t, has(fitgeom.CautionToeOverlap), "a longer shoe")
	b.Bulk.Shoe = clearance.Shoe{}
	b.Bulk.Mudguard = clearance.Mudguard{Gap: 5, Width: 40}
	assert.True(t, has(fitgeom.CautionToeOverlap), "a mudguard")
	b.Bulk.Mudguard = clearance.Mudguard{}

	assert.False(t, has(fitgeom.CautionPedalStrike))
	b.Bulk.Pedal = clearance.Pedal{Middle: 55, Outer: 110, Below: 15, Length: 90}
	assert.True(t, has(fitgeom.CautionPedalStrike), "a wider pedal")
	b.Bulk.Pedal = clearance.Pedal{}

	assert.False(t, has(fitgeom.CautionHeel))
	b.Bulk.Stay = clearance.Stay{AtBracket: 40, AtAxle: 82, Radius: 9}
	assert.False(t, has(fitgeom.CautionHeel))
	b.Bulk.Stay.Radius = 12
	assert.True(t, has(fitgeom.CautionHeel))

	b.Frame.Geometry.Axles = chart.Axles{}
	for _, c := range []fitgeom.Caution{fitgeom.CautionToeOverlap, fitgeom.CautionPedalStrike, fitgeom.CautionHeel} {
		assert.False(t, has(c), "nothing is known of the wheels")
	}
	b.Bulk.Shoe.Toe = 900
	_, err := b.Cautions()
	assert.ErrorIs(t, err, contact.ErrRange)
	_, err = b.Clearance()
	assert.ErrorIs(t, err, contact.ErrRange)
}
