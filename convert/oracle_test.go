package convert_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Measures by vector algebra, and sheets as equations that were solved at 40
// digits (testdata/oracle/sheets.py).
func TestOracleSheets(t *testing.T) {
	type common struct {
		Sites     map[contact.Site][3]float64
		SeatAngle float64 `json:"seat_angle"`
		Height    float64 `json:"bb_height"`
	}
	cases := trial.Cases[struct {
		Measured *struct {
			common
			Tilt     float64
			Tilts    map[contact.Site]float64
			Yaws     map[contact.Site]float64
			Sizes    struct{ Rail, Hood, Tube, Grip, Pad float64 }
			Measures map[convert.Measure]map[string]float64
		}
		Solved *struct {
			common
			Readings []struct {
				Measure convert.Measure
				Side    string
				Value   float64
				Sigma   float64
			}
			Mirrored bool
			Tilt     *float64
			Sigmas   []struct {
				Site  contact.Site
				Axis  string
				Sigma float64
			}
			Chi2      float64
			Redundant int
		}
	}](t, "../testdata/oracle/sheets.json")
	sides := map[string]contact.Side{"centre": contact.Centre, "left": contact.Left, "right": contact.Right}
	var taken, found, angle, sigma trial.Worst
	var positions, sheets, others, free, likely int
	for i, c := range cases {
		if m := c.Measured; m != nil {
			positions++
			var p contact.Position
			for s, at := range m.Sites {
				p.Set(s, r3.Vec{X: at[0], Y: at[1], Z: at[2]})
			}
			p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: m.Tilt})
			for s, tilt := range m.Tilts {
				p.SetAttitude(s, contact.Attitude{Tilt: tilt})
			}
			for s, yaw := range m.Yaws {
				p.SetAttitude(s, contact.Attitude{Yaw: yaw})
			}
			assert.Len(t, m.Measures, len(convert.Measures()))
			for _, what := range convert.Measures() {
				for name, side := range sides {
					want, ok := m.Measures[what][name]
					require.True(t, ok, "%v", what)
					b := convert.Basis{
						SeatAngle: m.SeatAngle, BottomBracketHeight: m.Height, Side: side,
						RailDrop: m.Sizes.Rail, HoodBreadth: m.Sizes.Hood, BarTube: m.Sizes.Tube, GripLength: m.Sizes.Grip, PadBreadth: m.Sizes.Pad,
					}
					got, err := what.Of(p, b)
					require.NoError(t, err)
					var here trial.Worst
					here.See(got, want)
					assert.Less(t, float64(here), 1e-9, "case %d: %v %s", i, what, name)
					taken = max(taken, here)
				}
			}
		}
		k := c.Solved
		if k == nil {
			continue
		}
		sheets++
		var s []convert.Entry
		for _, r := range k.Readings {
			s = append(s, convert.Entry{Measure: r.Measure, Side: sides[r.Side], Value: r.Value, Sigma: r.Sigma})
		}
		sol, err := solve(s, convert.Basis{SeatAngle: k.SeatAngle, BottomBracketHeight: k.Height}, k.Mirrored)
		require.NoError(t, err, "case %d", i)
		// What the equations tell to no better than some 40 mm may be free: a range is not of
		// first order there.
		sigmas, wide := map[contact.Coordinate]float64{}, map[contact.Site]bool{}
		for _, want := range k.Sigmas {
			axis, err := contact.ParseAxis(want.Axis)
			require.NoError(t, err)
			sigmas[contact.Coordinate{Site: want.Site, Axis: axis}] = want.Sigma
		}
		for _, f := range sol.Free {
			for _, c := range f.Coordinates {
				assert.Greater(t, max(sigmas[c], sigmas[contact.Coordinate{Site: c.Site.On(contact.Left), Axis: c.Axis}]), 35., "case %d: %v", i, c)
				wide[c.Site] = true
			}
		}
		// A nose by its station lies above or below the reference: the equations
		// found one of the two, and it has to be among the answers.
		answer, other := sol.Position, false
		for _, o := range sol.Others {
			if at, ok := o.At(contact.SaddleNose); ok && math.Abs(at.Z-k.Sites[contact.SaddleNose][2]) < tolMM {
				answer, other = o, true
				others++
			}
		}
		n := 0
		for site, at := range answer.All() {
			n++
			want, ok := k.Sites[site]
			require.True(t, ok, "case %d: %v", i, site)
			var here trial.Worst
			here.See(at.X, want[0])
			here.See(at.Y, want[1])
			here.See(at.Z, want[2])
			assert.Less(t, float64(here), tolMM, "case %d: %v", i, site)
			found = max(found, here)
		}
		assert.Len(t, k.Sites, n+len(wide), "case %d", i)
		free += len(wide)
		if a, ok := sol.Position.Attitude(contact.SaddleReference); assert.Equal(t, k.Tilt != nil, ok, "case %d", i) && ok {
			angle.See(a.Tilt, *k.Tilt)
		}
		for _, want := range k.Sigmas {
			if other && want.Site == contact.SaddleNose || wide[want.Site] {
				continue // the covariance is that of Position
			}
			axis, err := contact.ParseAxis(want.Axis)
			require.NoError(t, err)
			if r, _ := sol.Ranges.At(contact.Coordinate{Site: want.Site, Axis: axis}); r.Likelihood {
				likely++ // where it is not of first order
				continue
			}
			got, ok := sol.Covariance.Sigma(want.Site)
			require.True(t, ok, "case %d: %v", i, want.Site)
			sigma.See(map[string]float64{"x": got.X, "y": got.Y, "z": got.Z}[want.Axis]/want.Sigma, 1)
		}
		assert.InDelta(t, k.Chi2, sol.Chi2, 1e-6*max(1, k.Chi2), "case %d", i)
		if len(wide) == 0 { // readings that tell what is free to no better than 100 mm are redundant
			assert.Equal(t, k.Redundant, sol.Redundant, "case %d", i)
		}
	}
	assert.Equal(t, 30, positions)
	assert.Equal(t, 60, sheets)
	assert.Equal(t, 3, others)
	assert.Less(t, free, 10, "sites")
	assert.Less(t, likely, 20, "coordinates")
	assert.Less(t, float64(angle), 1e-6)
	assert.Less(t, float64(sigma), 1e-6)
	t.Logf("oracle measures: %d cases, worst %.1e mm", positions, taken)
	t.Logf("oracle sheets: %d cases, worst %.1e mm", sheets, found)
	t.Logf("oracle sheets tilt: %d cases, worst %.1e degrees", sheets, angle)
	t.Logf("oracle sheets sigma: %d cases, worst %.1e of it", sheets, sigma)
}
