package chart_test

import (
	"testing"

	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
)

// Frames of every kind are usual, and what people exchange in them is not. Common practice,
// no source.
func TestFindings(t *testing.T) {
	wheels := func(chainstay, drop, offset, radius float64) chart.Axles {
		return chart.Axles{Chainstay: chainstay, Drop: drop, ForkOffset: offset, FrontRadius: radius, RearRadius: radius}
	}
	for name, g := range map[string]chart.Geometry{
		"road":         {Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5, Axles: wheels(410, 70, 45, 338)},
		"small road":   {Stack: 480, Reach: 360, HeadAngle: 70, SeatAngle: 75.5, Axles: wheels(408, 75, 50, 338)},
		"time trial":   {Stack: 500, Reach: 420, HeadAngle: 72.5, SeatAngle: 79, Axles: wheels(405, 75, 43, 335)},
		"track":        {Stack: 510, Reach: 400, HeadAngle: 75, SeatAngle: 74, Axles: wheels(390, 50, 35, 335)},
		"trail":        {Stack: 620, Reach: 480, HeadAngle: 64, SeatAngle: 77, Axles: wheels(435, 38, 44, 368)},
		"city":         {Stack: 640, Reach: 370, HeadAngle: 68, SeatAngle: 68, Axles: wheels(460, 60, 60, 350)},
		"small wheels": {Stack: 600, Reach: 380, HeadAngle: 72, SeatAngle: 72, Axles: wheels(400, -60, 35, 210)},
		"no axles":     {Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5},
	} {
		assert.NoError(t, g.Validate(), name)
		assert.Empty(t, g.Findings(), name)
		was := g
		g.Stack, g.Reach = g.Reach, g.Stack
		if g.Validate() == nil {
			assert.Contains(t, paths(g), "stack_mm", "%s: stack and reach exchanged", name)
		}
		g = was
		g.HeadAngle, g.SeatAngle = g.SeatAngle, g.HeadAngle
		if was.SeatAngle-was.HeadAngle > 5 {
			assert.Contains(t, paths(g), "head_angle_deg", "%s: angles exchanged", name)
		}
		g = was
		g.Axles.Drop *= -1
		if g.Axles != (chart.Axles{}) && g.Axles.Drop < -50 {
			assert.Contains(t, paths(g), "axles.bb_drop_mm", "%s: drop of the wrong sign", name)
		}
		g = was
		g.Axles.ForkOffset = -60
		if g.Axles.FrontRadius > 300 { // of a small wheel it cannot be seen
			assert.Contains(t, paths(g), "axles.fork_offset_mm", "%s: offset of the wrong sign: %v", name, g.Findings())
		}
	}
}

func paths(g chart.Geometry) (all []string) {
	for _, f := range g.Findings() {
		all = append(all, f.Path)
	}
	return all
}
