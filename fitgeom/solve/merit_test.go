package solve_test

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"github.com/stretchr/testify/require"
)

// The room by which builds are sorted is that of Problem.Room, which solves the problem anew for
// each mm.
func TestMeritIsRoom(t *testing.T) {
	seen := 0
	for round := range draws(24, 300) {
		rng := rand.New(rand.NewPCG(12, uint64(round)))
		p, _ := drawProblem(rng, kindOf(round), []float64{0, 1}[rng.IntN(2)])
		p.RoomWanted, p.Limit = nil, 1
		r, err := p.Solve(t.Context())
		if err != nil || !r.Holds() {
			continue
		}
		c := r.Candidates[0]
		short, sum, room := 0, 0, 0
		for _, w := range fitgeom.DefaultRoom() {
			is, err := p.Room(t.Context(), c, solve.Movement{Group: w.Group, Most: fitgeom.RoomMost, Gap: w.Gap})
			require.NoError(t, err)
			worst, least := 0, fitgeom.RoomMost
			for _, way := range [][2]int{{w.Up, is.Up.MM}, {w.Down, is.Down.MM}, {w.Forward, is.Forward.MM}, {w.Back, is.Back.MM}} {
				if way[0] > 0 {
					worst, sum, least = max(worst, way[0]-way[1]), sum+max(0, way[0]-way[1]), min(least, way[1])
				}
			}
			short, room = short+worst, room+least/fitgeom.RoomStep*fitgeom.RoomStep
		}
		require.Equal(t, fitgeom.Merit{Shortfall: short, ShortfallSum: sum, Preference: c.Merit.Preference, Room: room}, c.Merit, round)
		seen++
	}
	t.Log(seen, "of them hold")
	require.Positive(t, seen)
}
