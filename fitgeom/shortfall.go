package fitgeom

import (
	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

// worthSaying is the least shortfall that is reported, mm: what a tape cannot show is noise.
const worthSaying = 0.05

// shortfalls says what keeps a candidate from holding: by how much each setting
// would have to go beyond its range, and each part be longer or wider, for the
// sites to be where they are wanted. Groups that hold have none.
func (w *wish) shortfalls(c *Candidate, t trio) []Shortfall {
	var all []Shortfall
	short := func(more, less Limit, by float64) {
		switch {
		case by > worthSaying:
			all = append(all, Shortfall{more, by})
		case by < -worthSaying:
			all = append(all, Shortfall{less, -by})
		}
	}
	b := &c.Build
	if !t.saddle.holds {
		s := w.seat(&b.Frame, &b.Post, &b.Saddle)
		extend, rail := s.free()
		short(PostUp, PostDown, extend-max(s.lo[0], min(s.hi[0], extend)))
		short(SaddleForward, SaddleBack, rail-max(s.lo[1], min(s.hi[1], rail)))
	}
	if !t.front.holds {
		need := w.missing(c, contact.BarClamp, contact.DropsRight)
		// The two ways to move the bar, up the steerer and along the stem, make up the need together.
		up, way := b.Frame.Geometry.SteererUp(), stemWay(&b.Frame, &b.Stem, b.Settings.Flipped)
		det := up.X*way.Z - up.Z*way.X
		short(SpacersUp, SpacersDown, (need.X*way.Z-need.Z*way.X)/det)
		short(StemLonger, StemShorter, (up.X*need.Z-up.Z*need.X)/det)
		short(BarWider, BarNarrower, 2*need.Y)
	}
	if !t.crank.holds {
		need := w.missing(c, contact.PedalLeft, contact.PedalRight)
		short(CrankLonger, CrankShorter, need.X)
	}
	return all
}

// missing returns how far the sites from first to last would have to move, on
// weighted average, with Y counted outwards. Directions in which all of them
// are within tolerance need no move: Y, and X together with Z.
func (w *wish) missing(c *Candidate, first, last contact.Site) r3.Vec {
	var sum, weight r3.Vec
	plane, across := false, false
	for _, r := range c.Residuals {
		if r.Site < first || r.Site > last {
			continue
		}
		want := &w.want[r.Site]
		out := r.Off.Y
		if r.Site.Side() == contact.Right {
			out = -out
		}
		sum = r3.Sub(sum, r3.Vec{X: want.weight.X * r.Off.X, Y: want.weight.Y * out, Z: want.weight.Z * r.Off.Z})
		weight = r3.Add(weight, want.weight)
		plane = plane || beyond(r.Off.X, want.tolerance.X) || beyond(r.Off.Z, want.tolerance.Z)
		across = across || beyond(r.Off.Y, want.tolerance.Y)
	}
	var need r3.Vec
	if plane {
		need.X, need.Z = ratio(sum.X, weight.X), ratio(sum.Z, weight.Z)
	}
	if across {
		need.Y = ratio(sum.Y, weight.Y)
	}
	return need
}

func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}
