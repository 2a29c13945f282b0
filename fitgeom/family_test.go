package fitgeom_test

import (
	"fmt"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// growing is a family of invented frames, as such grow: stack by 15 to 25 mm a size, reach
// by 6 to 10. Common practice, no source.
func growing(n int) (all []fitgeom.Size) {
	for i := range n {
		k := float64(i)
		all = append(all, fitgeom.Size{Family: "road", Label: fmt.Sprint(48 + 2*i), Frame: fitgeom.Frame{Geometry: chart.Geometry{
			Stack: 500 + 20*k - 0.5*k*k, Reach: 368 + 8*k, HeadAngle: 70.5 + 0.5*min(k, 5), SeatAngle: 75 - 0.4*k,
			Axles: chart.Axles{Chainstay: 408 + 2*max(0, k-3), Drop: 75 - 2*k, ForkOffset: 50 - 2*min(k, 3), FrontRadius: 338, RearRadius: 338},
		}}})
	}
	return all
}

func TestFamilyFindings(t *testing.T) {
	assert.Empty(t, fitgeom.FamilyFindings(nil))
	assert.Empty(t, fitgeom.FamilyFindings(growing(8)))
	for i := range 8 {
		other := growing(8)
		other[3].Family = "trail" // one of its own
		other = append(other, growing(4)...)
		for j := range other[8:] {
			other[8+j].Family = "few"
			other[8+j].Frame.Geometry.Stack += 50 * float64(j%2)
		}
		other[i].Frame.Geometry.Stack += 100
		other[i].Frame.Geometry.HeadAngle -= 9
		all := fitgeom.FamilyFindings(other)
		if i == 3 {
			assert.Empty(t, all)
			continue
		}
		require.Len(t, all, 2, "%v", all)
		assert.Equal(t, fmt.Sprintf("sizes[%d].frame.geometry.stack_mm", i), all[0].Path)
		assert.Equal(t, fmt.Sprintf("sizes[%d].frame.geometry.head_angle_deg", i), all[1].Path)
		assert.InDelta(t, 100, all[0].Value-(all[0].Least+all[0].Most)/2, 30)
		assert.Contains(t, all[0].String(), "stack of road")
	}
}
