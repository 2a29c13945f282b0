package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A wish holds the wanted place of each site of a build.
type wish struct {
	target contact.Position
	keep   []fitgeom.Keep
	grain  float64
	tilt   float64
	stroke Stroke
	policy fitgeom.CrankPolicy
	want   [contact.SiteCount]wanted
}

// wanted is the place wanted for a site, with the cost per square millimetre along each
// axis: its weight over the square of its tolerance, or 0.
type wanted struct {
	at, tolerance, weight r3.Vec
	asked                 float64 // the total cost with all coordinates at their tolerances
}

func newWish(p *Problem) *wish {
	w := &wish{target: p.Target, keep: p.Keep, grain: p.Grain, stroke: StrokeOf(&p.Target), policy: p.Crank}
	a, _ := p.Target.Attitude(contact.SaddleReference)
	w.tilt = a.Tilt
	for _, k := range p.Keep {
		at, _ := p.Target.At(k.Site)
		w.want[k.Site] = newWanted(k, at)
	}
	return w
}

func newWanted(k fitgeom.Keep, at r3.Vec) wanted {
	w := wanted{at: at, tolerance: k.Tolerance, weight: k.Price()}
	weights := k.Weights()
	for _, c := range [...][2]float64{{k.Tolerance.X, weights.X}, {k.Tolerance.Y, weights.Y}, {k.Tolerance.Z, weights.Z}} {
		if c[0] != 0 {
			w.asked += c[1]
		}
	}
	return w
}

// asked reports whether a left site or its right one is kept.
func (w *wish) asked(left contact.Site) bool {
	return w.want[left].asked+w.want[left.On(contact.Right)].asked > 0
}

// A verdict says how close something is to the wish: the sum of the squared deviations,
// each over its tolerance and weighted, and whether all are within tolerance.
type verdict struct {
	cost  float64
	holds bool
}

// judge adds a site at a place.
func (v *verdict) judge(w *wanted, at r3.Vec) {
	v.coordinate(at.X-w.at.X, w.tolerance.X, w.weight.X)
	v.coordinate(at.Y-w.at.Y, w.tolerance.Y, w.weight.Y)
	v.coordinate(at.Z-w.at.Z, w.tolerance.Z, w.weight.Z)
}

func (v *verdict) coordinate(off, tolerance, weight float64) {
	if tolerance != 0 {
		v.cost += float64(weight * off * off)
		v.holds = v.holds && !num.Beyond(off, tolerance)
	}
}

// rounded returns a cost whose root is rounded to grains, in squared grains. It is the same
// on every processor, whatever the last digits of the cost.
func (w *wish) rounded(cost float64) float64 {
	n := math.Round(math.Sqrt(cost) / w.grain)
	return float64(n * n)
}

func millionths(v float64) int64 { return int64(math.Round(v * 1e6)) }
func yes(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

// A fit is the cost of a setting v that moves sites along lines: a v² + 2 b v plus a
// constant. All sites are within tolerance for v from lo to hi.
type fit struct{ a, b, lo, hi float64 }

func newFit() fit { return fit{lo: math.Inf(-1), hi: math.Inf(1)} }

// coordinate adds a coordinate that deviates by off at v = 0 and moves by way per unit of v.
func (f *fit) coordinate(off, way, tolerance, weight float64) {
	if tolerance == 0 {
		return
	}
	f.a += float64(weight * way * way)
	f.b += float64(weight * way * off)
	switch {
	case math.Abs(way) > 1e-12:
		one, other := (-tolerance-off)/way, (tolerance-off)/way
		f.lo, f.hi = max(f.lo, min(one, other)), min(f.hi, max(one, other))
	case num.Beyond(off, tolerance):
		f.lo, f.hi = math.Inf(1), math.Inf(-1)
	}
}

// site adds a site that moves in the mid-plane.
func (f *fit) site(w *wanted, from r3.Vec, way r3.Vec) {
	f.coordinate(from.X-w.at.X, way.X, w.tolerance.X, w.weight.X)
	f.coordinate(from.Z-w.at.Z, way.Z, w.tolerance.Z, w.weight.Z)
}

// best returns the step of least cost and, if there is one, the step of least cost with all
// sites within tolerance.
func (f *fit) best(s *part.Steps) (least, holding float64, holds bool) {
	v := s.From
	if f.a > 0 {
		v = -f.b / f.a
	}
	least, _ = s.Nearest(v, math.Inf(-1), math.Inf(1))
	holding, holds = s.Nearest(v, f.lo, f.hi)
	return least, holding, holds
}
