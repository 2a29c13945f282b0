package region_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Regions with corners that were worked out at 40 digits, and others that were
// painted on a grid (testdata/oracle/regions.py).
func TestOracleRegions(t *testing.T) {
	cases := trial.Cases[struct {
		Input struct {
			Bounds struct {
				HeadFrom   float64 `json:"head_from"`
				HeadTo     float64 `json:"head_to"`
				Flip       bool
				StemHeight float64    `json:"stem_height"`
				StemLength part.Steps `json:"stem_length"`
				StemAngle  part.Steps `json:"stem_angle"`
				Up         part.Steps
				Bar        part.Handlebar `json:"handlebar"`
				Lever      part.Lever
			}
			Target map[contact.Site][3]float64
			Keep   []struct {
				Site      contact.Site
				Tolerance [3]float64
			}
		}
		Expected struct {
			Corners         [][2]float64
			Area            float64
			AreaError       float64 `json:"area_error"`
			Inside, Outside [][2]float64
		}
	}](t, "../../testdata/oracle/regions.json")
	require.Len(t, cases, 8)

	// What the package states: places are told to 0.02 mm.
	const told = 0.02
	vec := func(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }
	at := func(p [2]float64) region.HeadPlace { return region.HeadPlace{Reach: p[0], Stack: p[1]} }
	var edges, share float64
	exact, places := 0, 0
	for i, c := range cases {
		b := c.Input.Bounds
		var target contact.Position
		for s, v := range c.Input.Target {
			target.Set(s, vec(v))
		}
		var keep []fitgeom.Keep
		for _, k := range c.Input.Keep {
			keep = append(keep, fitgeom.Keep{Site: k.Site, Tolerance: vec(k.Tolerance)})
		}
		r, err := region.New(t.Context(), target, region.Bounds{
			HeadFrom: b.HeadFrom, HeadTo: b.HeadTo, Flip: b.Flip, StemHeight: b.StemHeight, StemLength: b.StemLength, StemAngle: b.StemAngle, Up: b.Up, Handlebar: b.Bar, Lever: b.Lever,
		}, keep)
		require.NoError(t, err, "case %d", i)
		within := c.Expected.AreaError + 1e-4*c.Expected.Area
		assert.InDelta(t, c.Expected.Area, r.Area(), within, "case %d: area", i)
		share = max(share, math.Abs(r.Area()-c.Expected.Area)/within)

		// Through the middle of each edge, square to it, and through each corner,
		// the region ends where it should.
		n := len(c.Expected.Corners)
		if n > 0 {
			exact++
		}
		crossing := func(p, in [2]float64) float64 {
			lo, hi := -1., 1. // outside and inside
			place := func(s float64) region.HeadPlace { return at([2]float64{p[0] + s*in[0], p[1] + s*in[1]}) }
			require.True(t, r.Holds(place(hi)), "case %d", i)
			require.False(t, r.Holds(place(lo)), "case %d", i)
			for hi-lo > 1e-9 {
				if mid := (lo + hi) / 2; r.Holds(place(mid)) {
					hi = mid
				} else {
					lo = mid
				}
			}
			return math.Abs(hi)
		}
		for j, p := range c.Expected.Corners { // against the clock
			q, o := c.Expected.Corners[(j+1)%n], c.Expected.Corners[(j+n-1)%n]
			length := math.Hypot(q[0]-p[0], q[1]-p[1])
			inward := [2]float64{-(q[1] - p[1]) / length, (q[0] - p[0]) / length}
			before := math.Hypot(p[0]-o[0], p[1]-o[1])
			other := [2]float64{-(p[1] - o[1]) / before, (p[0] - o[0]) / before}
			edges = max(edges, crossing([2]float64{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}, inward))
			edges = max(edges, crossing(p, [2]float64{inward[0] + other[0], inward[1] + other[1]}))
		}
		for _, p := range c.Expected.Inside {
			places++
			assert.True(t, r.Holds(at(p)), "case %d: %v", i, p)
		}
		for _, p := range c.Expected.Outside {
			places++
			assert.False(t, r.Holds(at(p)), "case %d: %v", i, p)
		}
	}
	assert.Equal(t, 3, exact)
	assert.Equal(t, 1200, places)
	assert.LessOrEqual(t, edges, told)
	t.Logf("oracle regions edges: %d cases, worst %.1e mm", exact, edges)
	t.Logf("oracle regions area: %d cases, worst %.2f of the stated error", len(cases), share)
	t.Logf("oracle regions places: %d places in %d cases, none on the other side", places, len(cases)-exact)
}
