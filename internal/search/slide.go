package search

import (
	"math"

	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A slide is a setting that moves sites along lines: the cost is
// a v² + 2 b v and a constant, and all is within tolerance from lo to hi.
type slide struct{ a, b, lo, hi float64 }

func newSlide() slide { return slide{lo: math.Inf(-1), hi: math.Inf(1)} }

// coordinate adds one that is off by off at v = 0 and goes by way for each unit of v.
func (s *slide) coordinate(off, way, tolerance, weight float64) {
	if tolerance == 0 {
		return
	}
	s.a += float64(weight * way * way)
	s.b += float64(weight * way * off)
	switch {
	case math.Abs(way) > 1e-12:
		one, other := (-tolerance-off)/way, (tolerance-off)/way
		s.lo, s.hi = max(s.lo, min(one, other)), min(s.hi, max(one, other))
	case num.Beyond(off, tolerance):
		s.lo, s.hi = math.Inf(1), math.Inf(-1)
	}
}

// site adds a site that moves in the mid-plane.
func (s *slide) site(w *wanted, from r3.Vec, way r3.Vec) {
	s.coordinate(from.X-w.at.X, way.X, w.tolerance.X, w.weight.X)
	s.coordinate(from.Z-w.at.Z, way.Z, w.tolerance.Z, w.weight.Z)
}

// atMost lets a coordinate be no more than given.
func (s *slide) atMost(from, way, most float64) {
	switch to := (most - from) / way; {
	case math.IsInf(most, 1):
	case way > 1e-12:
		s.hi = min(s.hi, to)
	case way < -1e-12:
		s.lo = max(s.lo, to)
	case from > most:
		s.lo, s.hi = math.Inf(1), math.Inf(-1)
	}
}

// best returns the value among steps with the least cost; and, if there is one,
// that of those at which all is within tolerance.
func (s *slide) best(steps *part.Steps) (least, holding float64, holds bool) {
	v := steps.From
	if s.a > 0 {
		v = -s.b / s.a
	}
	least, _ = steps.Nearest(v, math.Inf(-1), math.Inf(1))
	holding, holds = steps.Nearest(v, s.lo, s.hi)
	return least, holding, holds
}
