package fitgeom_test

import (
	"slices"
	"testing"

	"example.com/fitgeom/fitgeom"
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
		"none":     {func(*fitgeom.Build) {}, nil},
		"tyre":     {func(b *fitgeom.Build) { b.Frame.MaxFrontRadius = 335 }, []fitgeom.Caution{fitgeom.CautionTyre}},
		"toe":      {func(b *fitgeom.Build) { b.Frame.Geometry.Reach -= 30 }, []fitgeom.Caution{fitgeom.CautionToeOverlap}},
		"shim":     {func(b *fitgeom.Build) { b.Frame.SeatpostDiameter = 30.9 }, []fitgeom.Caution{fitgeom.CautionShim}},
		"seatpost": {func(b *fitgeom.Build) { b.Settings.SeatpostExtension = 245 }, []fitgeom.Caution{fitgeom.CautionInsertion}},
		"stack":    {func(b *fitgeom.Build) { b.Settings.Spacers = 20; b.Frame.MaxUnderStem = 38 }, []fitgeom.Caution{fitgeom.CautionSteerer}},
		"rails":    {func(b *fitgeom.Build) { b.Settings.RailClamp = 112 }, []fitgeom.Caution{fitgeom.CautionRails}},
		"roll":     {func(b *fitgeom.Build) { b.Settings.BarRotation = -7 }, []fitgeom.Caution{fitgeom.CautionBarRotated}},
	} {
		t.Run(name, func(t *testing.T) {
			b := invented.Build()
			c.change(&b)
			shelf := invented.Shelf()
			shelf.Caps, shelf.Stems, shelf.Saddles = shelf.Caps[:1], shelf.Stems[:1], shelf.Saddles[:1]
			shelf.Seatposts, shelf.Shims = shelf.Seatposts[:1], []part.Shim{{Name: "shim", Inner: 27.2, Outer: 30.9}}
			if b.Frame.SeatpostDiameter == 30.9 {
				b.SeatpostShim = shelf.Shims[0]
			}
			r, err := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: shelf, Limit: 1}.Solve(t.Context())
			require.NoError(t, err)
			want := append(slices.Clone(always), c.want...)
			if name != "toe" { // the frame of all others leaves 73.6 mm, of 89
				want = append(want, fitgeom.CautionToeOverlap)
			}
			for _, b := range []fitgeom.Build{b, r.Candidates[0].Build} {
				got, err := b.Cautions()
				require.NoError(t, err)
				assert.Equal(t, want, got)
			}
		})
	}
}
