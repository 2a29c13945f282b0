package rank_test

import (
	"reflect"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Sizes of which every field of the frame is stated come back whole, so that what is
// told of a choice is told of the frame that was given: verification, obstacles and
// cautions, those of tyres among them.
func TestRankKeepsFrames(t *testing.T) {
	sizes := inventedSizes(8, 0.5, 5)
	for i := range sizes {
		f := &sizes[i].Frame
		sizes[i].Row = i + 2
		f.Geometry.SeatOffset = 2 + float64(i)
		f.SeatpostDiameter = 27.2
		f.SteererCut, f.SeatpostDepth = 70, 250+float64(i)
		f.SteererInterface, f.SeatpostInterface = "threaded 25.4", "blade"
		f.Assumed = fitgeom.Assumed{SteererDiameter: true}
		f.MaxFrontRadius, f.MaxRearRadius = 338+float64(i), 346-float64(i) // the tyres have 340
		for _, field := range reflect.ValueOf(f).Elem().Fields() {
			require.False(t, field.IsZero(), "every field is set")
		}
	}
	given := slices.Clone(sizes)
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	shelf := chooseShelf()
	round := shelf.Stems[0] // which fits none of them
	round.Length = 95
	for i := range shelf.Caps {
		shelf.Caps[i].SteererInterface = "threaded 25.4"
	}
	for i := range shelf.Stems {
		shelf.Stems[i].SteererInterface = "threaded 25.4"
	}
	for i := range shelf.Seatposts {
		shelf.Seatposts[i].Interface = "blade"
	}
	shelf.Stems = append(shelf.Stems, round)
	shelf.Spacers = append(shelf.Spacers, part.Spacer{Height: 2.5, Count: 2}) // covers the steerers
	for name, target := range map[string]contact.Position{"near": usual(3), "far": high(usual(3))} {
		for _, wheels := range []chart.Wheels{{}, {FrontRadius: 345, RearRadius: 338}} {
			p := solve.Problem{Target: target, Shelf: shelf, Wheels: wheels, Limit: len(sizes)}
			r, err := x.Rank(t.Context(), p)
			require.NoError(t, err)
			require.Len(t, r.Choices, len(sizes))
			large, held := 0, 0
			for _, c := range r.Choices {
				want := given[c.Place]
				require.Equal(t, want, c.Size, name)
				require.NoError(t, c.Fault, name)
				require.Equal(t, want.Frame, c.Best.Build.Frame, name)
				on := p
				on.Frame = want.Frame
				require.NoError(t, on.Verify(c.Best), name)
				obstacles, err := on.Explain(t.Context(), c.Best)
				require.NoError(t, err, name)
				mine, err := c.Explain(t.Context(), p)
				require.NoError(t, err, name)
				require.Equal(t, obstacles, mine, name)
				require.Equal(t, c.Best.Holds(), len(mine) == 0, name)

				front, rear := wheels.FrontRadius, wheels.RearRadius
				if wheels == (chart.Wheels{}) {
					front, rear = 340, 340 // as the frame is drawn
				}
				beyond := front > want.Frame.MaxFrontRadius || rear > want.Frame.MaxRearRadius
				cautions, err := c.Best.Build.Cautions()
				require.NoError(t, err)
				require.Equal(t, beyond, slices.Contains(cautions, fitgeom.CautionTyre), "%s: %v", name, want.Frame)
				if beyond {
					large++
				}
				if c.Holds() {
					held++
				}
			}
			assert.Positive(t, large, name)
			assert.Less(t, large, len(sizes), name)
			assert.Equal(t, name == "near", held > 0, "%d of %d hold", held, len(sizes))
		}
	}
	assert.Equal(t, given, sizes, "left as they were")
}
