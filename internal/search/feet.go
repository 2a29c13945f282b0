package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// feet is cranks with pedals, and shims under the cleats.
type feet struct {
	verdict
	stroke Stroke
	lift   [2]float64

	crank, pedal int // places on the shelf
	buy          part.Kinds
}

// feet judges cranks with pedals, with the shims that bring each foot nearest to its height;
// false if feet are asked for and there are no pedals.
func (w *wish) feet(k *part.Crank, pedals []part.Pedal, pi int, lifts []float64) (feet, bool) {
	f := feet{verdict: verdict{holds: true}, stroke: Stroke{Length: k.Length, Known: true}}
	for side, sign := range [2]float64{1, -1} {
		f.judge(&w.want[contact.PedalLeft.Both()[side]], r3.Vec{X: k.Length, Y: sign * k.QFactor / 2})
		foot := &w.want[contact.FootLeft.Both()[side]]
		if len(pedals) == 0 {
			if foot.asked > 0 {
				return f, false
			}
			continue
		}
		p := &pedals[pi]
		if foot.tolerance.Z != 0 {
			off := math.Inf(1)
			for _, s := range lifts { // lowest first
				if o := math.Abs(p.FootHeight + s - foot.at.Z); o < off-1e-9 {
					off, f.lift[side] = o, s
				}
			}
		}
		f.judge(foot, r3.Vec{X: k.Length, Y: sign * (k.QFactor/2 + p.FootOffset), Z: p.FootHeight + f.lift[side]})
		f.stroke.Height += (p.FootHeight + f.lift[side]) / 2
		f.stroke.Footed = true
	}
	return f, true
}
