package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A seat is a saddle on a post, which two settings move: the post's extension
// along up, the rails' place in the clamp along the tilted saddle.
type seat struct {
	sites  [3]part.Place // with both settings at 0
	way    [2]r3.Vec     // up the post, forward along the rails
	lo, hi [2]float64

	// The cost is a form in the two settings that a virtual point gives: the
	// weights of all sites together, and how far off they are on average.
	weight, off r3.Vec
}

func (w *wish) newSeat(frame *fitgeom.Frame, ch *rig.Chassis, post *part.Seatpost, saddle *part.Saddle) seat {
	sin, cos := num.Sincos(w.tilt)
	s := seat{way: [2]r3.Vec{ch.SeatUp, {X: cos, Z: sin}}}
	s.lo[0], s.hi[0] = frame.SeatpostRange(*post)
	s.lo[1], s.hi[1] = saddle.Rails(*post)
	foot := ch.RailClamp(post, 0)
	for i, p := range saddle.Places() {
		p.At = r3.Add(foot, num.Turned(p.At, sin, cos))
		s.sites[i] = p
		want := &w.want[p.Site]
		off := r3.Sub(p.At, want.at)
		s.weight.X += want.weight.X
		s.weight.Z += want.weight.Z
		s.off.X += float64(want.weight.X * off.X)
		s.off.Z += float64(want.weight.Z * off.Z)
	}
	s.off.X /= s.weight.X
	s.off.Z /= s.weight.Z
	return s
}

// judge judges the settings. What holds has the nose no further forward than most.
func (s *seat) judge(w *wish, shift r3.Vec, v [2]float64, most float64) verdict {
	out := verdict{holds: true}
	for i := range s.sites {
		at := s.sites[i].At
		at.X += float64(v[0]*s.way[0].X) + float64(v[1]*s.way[1].X) - shift.X
		at.Z += float64(v[0]*s.way[0].Z) + float64(v[1]*s.way[1].Z) - shift.Z
		out.judge(&w.want[s.sites[i].Site], at)
		if s.sites[i].Site == contact.SaddleNose && at.X+shift.X > most {
			out.holds = false
		}
	}
	out.face(&w.want[contact.SaddleReference], contact.Attitude{Tilt: w.tilt})
	return out
}

// best returns the settings within their ranges with the least cost, of those
// that hold if there are any, with the nose no further forward than most. The cost is convex, so that it is least at the
// free optimum or else on an edge.
func (s *seat) best(w *wish, shift r3.Vec, most float64) (extend, rail float64, v verdict) {
	off := r3.Sub(s.off, shift)
	up, along := s.way[0], s.way[1]
	det := float64(up.X*along.Z) - float64(up.Z*along.X)
	at := [2]float64{(float64(along.X*off.Z) - float64(along.Z*off.X)) / det, (float64(up.Z*off.X) - float64(up.X*off.Z)) / det}
	if !(at[0] >= s.lo[0] && at[0] <= s.hi[0] && at[1] >= s.lo[1] && at[1] <= s.hi[1]) {
		least := math.Inf(1)
		for fixed := range 2 {
			free := 1 - fixed
			for _, v := range [2]float64{s.lo[fixed], s.hi[fixed]} {
				from := r3.Add(off, r3.Scale(v, s.way[fixed]))
				u := s.way[free]
				t := max(s.lo[free], min(s.hi[free], s.least(from, u)))
				o := r3.Add(from, r3.Scale(t, u))
				if c := s.weight.X*o.X*o.X + s.weight.Z*o.Z*o.Z; c < least {
					least = c
					at[fixed], at[free] = v, t
				}
			}
		}
	}
	v = s.judge(w, shift, at, most)
	if !v.holds && v.cost <= s.asked(w) {
		if in, ok := s.holding(w, shift, most); ok {
			at, v = in, s.judge(w, shift, in, most)
		}
	}
	return at[0], at[1], v
}

// least is how far along u the cost is least, from where the sites are off by so much on average.
func (s *seat) least(from, u r3.Vec) float64 {
	return -(s.weight.X*from.X*u.X + s.weight.Z*from.Z*u.Z) / (s.weight.X*u.X*u.X + s.weight.Z*u.Z*u.Z)
}

// asked is the most that settings that hold can cost, with a leeway.
func (s *seat) asked(w *wish) float64 {
	n := 1e-3
	for i := range s.sites {
		n += w.want[s.sites[i].Site].asked
	}
	return n
}

// holding returns the settings with the least cost of those that hold. They lie
// on an edge of what is allowed, since the best ones of all do not hold: on one
// line of the ranges and tolerances at its best, or where two such lines meet.
func (s *seat) holding(w *wish, shift r3.Vec, most float64) (at [2]float64, ok bool) {
	least := math.Inf(1)
	try := func(e, r float64) {
		const slack = 1e-9
		if !(e >= s.lo[0]-slack && e <= s.hi[0]+slack && r >= s.lo[1]-slack && r <= s.hi[1]+slack) {
			return
		}
		p := [2]float64{max(s.lo[0], min(s.hi[0], e)), max(s.lo[1], min(s.hi[1], r))}
		if v := s.judge(w, shift, p, most); v.holds && v.cost < least-1e-9 {
			least, at, ok = v.cost, p, true
		}
	}
	off := r3.Sub(s.off, shift)
	lines := s.lines(w, shift, most)
	for i, l := range lines {
		// From the line's point nearest to 0, along it, to where the cost is least.
		n := float64(l.e*l.e) + float64(l.r*l.r)
		if n < 1e-12 {
			continue // a coordinate that the settings do not move
		}
		e0, r0 := l.e*l.is/n, l.r*l.is/n
		u := r3.Add(r3.Scale(-l.r, s.way[0]), r3.Scale(l.e, s.way[1]))
		from := r3.Add(off, r3.Add(r3.Scale(e0, s.way[0]), r3.Scale(r0, s.way[1])))
		t := s.least(from, u)
		try(e0-t*l.r, r0+t*l.e)
		for _, m := range lines[:i] {
			if det := float64(l.e*m.r) - float64(l.r*m.e); math.Abs(det) > 1e-9 {
				try((float64(l.is*m.r)-float64(l.r*m.is))/det, (float64(l.e*m.is)-float64(l.is*m.e))/det)
			}
		}
	}
	return at, ok
}

// A line is where e·extension + r·rail = is.
type line struct{ e, r, is float64 }

// lines returns the ends of the settings' ranges, of the sites' tolerances and of where the nose
// may be.
func (s *seat) lines(w *wish, shift r3.Vec, most float64) (all []line) {
	for i := range 2 {
		unit := [2]float64{}
		unit[i] = 1
		all = append(all, line{unit[0], unit[1], s.lo[i]}, line{unit[0], unit[1], s.hi[i]})
	}
	for i := range s.sites {
		if s.sites[i].Site == contact.SaddleNose && !math.IsInf(most, 1) {
			all = append(all, line{s.way[0].X, s.way[1].X, most - just - s.sites[i].At.X})
		}
		from, want := s.sites[i].At, &w.want[s.sites[i].Site]
		for _, c := range [...]struct{ e, r, off, tolerance float64 }{
			{s.way[0].X, s.way[1].X, from.X - shift.X - want.at.X, want.tolerance.X},
			{s.way[0].Z, s.way[1].Z, from.Z - shift.Z - want.at.Z, want.tolerance.Z},
		} {
			if c.tolerance != 0 {
				all = append(all, line{c.e, c.r, -c.tolerance - c.off}, line{c.e, c.r, c.tolerance - c.off})
			}
		}
	}
	return all
}
