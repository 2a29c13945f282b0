package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// feet is cranks with pedals, and shims under the cleats.
type feet struct {
	verdict
	stroke Stroke
	lift   [2]float64
	cleat  [2]fitgeom.Cleat

	crank, pedal int // places on the shelf
	buy          part.Kinds
}

// feet judges cranks with pedals, with the shims that bring each foot nearest to its height
// and the cleats set so that nothing else is further off than it must be; false if feet are
// asked for and there are no pedals.
func (w *wish) feet(k *part.Crank, pedals []part.Pedal, pi int, lifts []float64) (feet, bool) {
	lengths := k.Lengths()
	f := feet{verdict: verdict{holds: true}, stroke: Stroke{Length: (lengths[0] + lengths[1]) / 2, Known: true}}
	for side, sign := range [2]float64{1, -1} {
		at := r3.Vec{X: lengths[side], Y: sign * k.QFactor / 2}
		f.judge(&w.want[contact.PedalLeft.Both()[side]], at)
		foot := &w.want[contact.FootLeft.Both()[side]]
		if len(pedals) == 0 {
			if foot.asked > 0 {
				return f, false
			}
			continue
		}
		p := &pedals[pi]
		sole := p.Sides()[side]
		if foot.tolerance.Z != 0 {
			off := math.Inf(1)
			for _, s := range lifts { // lowest first
				if o := math.Abs(sole.FootHeight + s - foot.at.Z); o < off-1e-9 {
					off, f.lift[side] = o, s
				}
			}
		}
		at.Y += sign * sole.FootOffset
		c := &f.cleat[side]
		c.Back = nearest(&p.CleatBack, foot.at.X-at.X, foot.tolerance.X)
		c.In = nearest(&p.CleatIn, sign*(foot.at.Y-at.Y), foot.tolerance.Y)
		c.ToesOut = nearest(&p.ToesOut, sign*foot.facing.Yaw, foot.turn.Yaw)
		c.Wedge = nearest(&p.Wedge, -sign*foot.facing.Roll, foot.turn.Roll)
		f.judge(foot, r3.Vec{X: at.X + c.Back, Y: at.Y + sign*c.In, Z: sole.FootHeight + f.lift[side]})
		f.face(foot, contact.Attitude{Yaw: sign * c.ToesOut, Roll: -sign * c.Wedge})
		f.stroke.Height += (sole.FootHeight + f.lift[side]) / 2
		f.stroke.Footed = true
	}
	return f, true
}

// nearest returns the value of a setting that is nearest to the wanted one, or to 0 where
// none is asked for.
func nearest(to *part.Steps, want, tolerance float64) float64 {
	if tolerance == 0 {
		want = 0
	}
	v, _ := to.Nearest(want, math.Inf(-1), math.Inf(1))
	return v
}
