package live

import (
	"math"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
)

// HeadAngles returns the least and the greatest head angle of some sizes.
func HeadAngles(sizes []fitgeom.Size) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for i := range sizes {
		from, to = min(from, sizes[i].Frame.Geometry.HeadAngle), max(to, sizes[i].Frame.Geometry.HeadAngle)
	}
	return from, to
}

// Bounds returns what the shelf can put on a head tube, with its first bar and levers.
func Bounds(s fitgeom.Shelf, from, to float64) region.Bounds {
	b := region.Bounds{
		HeadFrom: from, HeadTo: to, StemHeight: s.Stems[0].Height, Handlebar: s.Handlebars[0],
		StemLength: part.Steps{From: math.Inf(1), To: math.Inf(-1), Step: 10}, StemAngle: part.Steps{From: math.Inf(1), To: math.Inf(-1)},
	}
	if len(s.Levers) > 0 {
		b.Lever = s.Levers[0]
	}
	for _, m := range s.Stems {
		b.StemLength.From, b.StemLength.To = min(b.StemLength.From, m.Length), max(b.StemLength.To, m.Length)
		b.StemAngle.From, b.StemAngle.To = min(b.StemAngle.From, m.Angle), max(b.StemAngle.To, m.Angle)
		b.Flip = b.Flip || m.Flippable
	}
	b.StemAngle.Step = max(b.StemAngle.To-b.StemAngle.From, 1)
	low, all := math.Inf(1), 0.
	for _, c := range s.Caps {
		low = min(low, c.Height)
	}
	b.Up.Step = 5
	for _, sp := range s.Spacers {
		all += sp.Height * float64(sp.Count)
		b.Up.Step = min(b.Up.Step, sp.Height)
	}
	b.Up.From, b.Up.To = low, low+all
	return b
}
