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

// seats offers every crank and pedal with every seatpost and saddle that fit, each with
// its best settings. They are searched together, since the crank policy may move the
// saddle.
func (w *wish) seats(r *ranking, frame *fitgeom.Frame, ch *rig.Chassis, shelf *fitgeom.Shelf, now *fitgeom.Build) {
	var held []rider
	for pi := range shelf.Seatposts {
		post := &shelf.Seatposts[pi]
		shim, ok := shimFor(shelf, post.Diameter, frame.SeatpostDiameter, now.SeatpostShim)
		if lo, hi := frame.SeatpostRange(*post); !ok || hi < lo {
			continue
		}
		buy := bought(part.Seatposts, *post == now.Seatpost) | bought(part.Shims, shim == now.SeatpostShim || shim == part.Shim{})
		for si := range shelf.Saddles {
			saddle := &shelf.Saddles[si]
			held = append(held, rider{w.newSeat(frame, ch, post, saddle), pi, si, shim, buy | bought(part.Saddles, *saddle == now.Saddle)})
		}
	}
	lifts := Lifts(shelf.CleatShims)
	for ci := range shelf.Cranks {
		for pi := range max(1, len(shelf.Pedals)) {
			f, ok := w.feet(&shelf.Cranks[ci], shelf.Pedals, pi, lifts)
			if !ok {
				continue
			}
			buy := bought(part.Cranks, shelf.Cranks[ci] == now.Crank)
			if len(shelf.Pedals) > 0 {
				buy |= bought(part.Pedals, shelf.Pedals[pi] == now.Pedal)
			}
			longer := 0.0
			if w.stroke.Known {
				longer = math.Abs(shelf.Cranks[ci].Length - w.stroke.Length)
			}
			shift := SaddleShift(w.policy, w.want[contact.SaddleReference].at, w.stroke, f.stroke)
			for i := range held {
				h := &held[i]
				extend, rail, v := h.seat.best(w, shift)
				middle := math.Abs(rail - (h.seat.lo[1]+h.seat.hi[1])/2)
				r.add(&option{
					cost:  w.rounded(v.cost) + w.rounded(f.cost),
					holds: v.holds && f.holds,
					buy:   buy | h.buy,
					order: [orderLength]int64{millionths(longer), millionths(middle), int64(h.post), int64(h.saddle), int64(ci), int64(pi)},
					settings: fitgeom.Settings{
						SeatpostExtension: extend, RailClamp: rail, SaddleTilt: w.tilt,
						LiftLeft: f.lift[0], LiftRight: f.lift[1],
					},
					part:  [5]int{h.post, h.saddle, ci, pi},
					shim:  h.shim,
					shift: shift,
				})
			}
		}
	}
}

// A rider is a seatpost with a saddle that fit the frame.
type rider struct {
	seat         seat
	post, saddle int
	shim         part.Shim
	buy          part.Kinds
}

func bought(k part.Kinds, have bool) part.Kinds {
	if have {
		return 0
	}
	return k
}

// feet holds cranks with pedals and the shims under the cleats.
type feet struct {
	verdict
	stroke Stroke
	lift   [2]float64
}

func (w *wish) feet(k *part.Crank, pedals []part.Pedal, pi int, lifts []Pile) (feet, bool) {
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
				if o := math.Abs(p.FootHeight + s.Below - foot.at.Z); o < off-1e-9 {
					off, f.lift[side] = o, s.Below
				}
			}
		}
		f.judge(foot, r3.Vec{X: k.Length, Y: sign * (k.QFactor/2 + p.FootOffset), Z: p.FootHeight + f.lift[side]})
		f.stroke.Height += (p.FootHeight + f.lift[side]) / 2
		f.stroke.Footed = true
	}
	return f, true
}

// A seat is a saddle on a seatpost. Two settings move it: the seatpost's extension, along
// the seatpost, and the place of the clamp on the rails, along the tilted saddle.
type seat struct {
	sites  [3]part.Place // with both settings at 0
	way    [2]r3.Vec     // up the seatpost, forward along the rails
	lo, hi [2]float64

	// The cost is that of a single virtual point, up to a constant: the total weight of
	// all sites, and their weighted mean deviation.
	weight, off r3.Vec
}

func (w *wish) newSeat(frame *fitgeom.Frame, ch *rig.Chassis, post *part.Seatpost, saddle *part.Saddle) seat {
	sin, cos := num.Sincos(w.tilt)
	s := seat{way: [2]r3.Vec{ch.SeatUp, {X: cos, Z: sin}}}
	s.lo[0], s.hi[0] = frame.SeatpostRange(*post)
	s.lo[1], s.hi[1] = saddle.RailsFrom, saddle.RailsTo
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

func (s *seat) judge(w *wish, shift r3.Vec, v [2]float64) verdict {
	out := verdict{holds: true}
	for i := range s.sites {
		at := s.sites[i].At
		at.X += float64(v[0]*s.way[0].X) + float64(v[1]*s.way[1].X) - shift.X
		at.Z += float64(v[0]*s.way[0].Z) + float64(v[1]*s.way[1].Z) - shift.Z
		out.judge(&w.want[s.sites[i].Site], at)
	}
	return out
}

// best returns the settings of least cost within their ranges, among those that hold or
// among all if none do. The cost is convex, so it is least at the free optimum or, if that
// is out of range, on an edge.
func (s *seat) best(w *wish, shift r3.Vec) (extend, rail float64, v verdict) {
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
				t := -(s.weight.X*from.X*u.X + s.weight.Z*from.Z*u.Z) / (s.weight.X*u.X*u.X + s.weight.Z*u.Z*u.Z)
				t = max(s.lo[free], min(s.hi[free], t))
				o := r3.Add(from, r3.Scale(t, u))
				if c := s.weight.X*o.X*o.X + s.weight.Z*o.Z*o.Z; c < least {
					least = c
					at[fixed], at[free] = v, t
				}
			}
		}
	}
	v = s.judge(w, shift, at)
	if !v.holds && v.cost <= s.asked(w) {
		if in, ok := s.holding(w, shift); ok {
			at, v = in, s.judge(w, shift, in)
		}
	}
	return at[0], at[1], v
}

// asked returns an upper bound of the cost of settings that hold, with a leeway.
func (s *seat) asked(w *wish) float64 {
	n := 1e-3
	for i := range s.sites {
		n += w.want[s.sites[i].Site].asked
	}
	return n
}

// holding returns the settings of least cost among those that hold. The overall optimum
// does not hold, so they lie on the boundary of the ranges and tolerances: at the best
// point of one boundary line, or where two of these lines meet.
func (s *seat) holding(w *wish, shift r3.Vec) (at [2]float64, ok bool) {
	type line struct{ e, r, is float64 } // e·extension + r·rail = is
	var lines []line
	for i := range 2 {
		unit := [2]float64{}
		unit[i] = 1
		lines = append(lines, line{unit[0], unit[1], s.lo[i]}, line{unit[0], unit[1], s.hi[i]})
	}
	for i := range s.sites {
		from, want := s.sites[i].At, &w.want[s.sites[i].Site]
		for _, c := range [...]struct{ e, r, off, tolerance float64 }{
			{s.way[0].X, s.way[1].X, from.X - shift.X - want.at.X, want.tolerance.X},
			{s.way[0].Z, s.way[1].Z, from.Z - shift.Z - want.at.Z, want.tolerance.Z},
		} {
			if c.tolerance != 0 {
				lines = append(lines, line{c.e, c.r, -c.tolerance - c.off}, line{c.e, c.r, c.tolerance - c.off})
			}
		}
	}
	least := math.Inf(1)
	try := func(e, r float64) {
		const slack = 1e-9
		if !(e >= s.lo[0]-slack && e <= s.hi[0]+slack && r >= s.lo[1]-slack && r <= s.hi[1]+slack) {
			return
		}
		p := [2]float64{max(s.lo[0], min(s.hi[0], e)), max(s.lo[1], min(s.hi[1], r))}
		if v := s.judge(w, shift, p); v.holds && v.cost < least-1e-9 {
			least, at, ok = v.cost, p, true
		}
	}
	off := r3.Sub(s.off, shift)
	for i, l := range lines {
		// The point of least cost on the line, from its point closest to 0.
		n := float64(l.e*l.e) + float64(l.r*l.r)
		if n < 1e-12 {
			continue // a coordinate that the settings do not move
		}
		e0, r0 := l.e*l.is/n, l.r*l.is/n
		u := r3.Add(r3.Scale(-l.r, s.way[0]), r3.Scale(l.e, s.way[1]))
		from := r3.Add(off, r3.Add(r3.Scale(e0, s.way[0]), r3.Scale(r0, s.way[1])))
		t := -(s.weight.X*from.X*u.X + s.weight.Z*from.Z*u.Z) / (s.weight.X*u.X*u.X + s.weight.Z*u.Z*u.Z)
		try(e0-t*l.r, r0+t*l.e)
		for _, m := range lines[:i] {
			if det := float64(l.e*m.r) - float64(l.r*m.e); math.Abs(det) > 1e-9 {
				try((float64(l.is*m.r)-float64(l.r*m.is))/det, (float64(l.e*m.is)-float64(l.is*m.e))/det)
			}
		}
	}
	return at, ok
}
