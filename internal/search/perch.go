package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/rig"
)

// A perch is a seatpost with a saddle that suit the frame.
type perch struct {
	seat         seat
	post, saddle int // places on the shelf
	shim         part.Shim
	buy          part.Kinds
}

// seats offers every crank and pedal with every perch, each with its best settings.
// They go together, since the cranks may move the saddle.
func (j job) seats() {
	lifts := Lifts(j.shelf.CleatShims)
	j.perches(func(perches []perch) bool {
		j.sitAll(perches, lifts)
		return !j.meter.Stopped()
	})
}

// sitAll offers every crank and pedal with some perches.
func (j job) sitAll(perches []perch, lifts []float64) {
	for ci := range j.shelf.Cranks {
		for pi := range max(1, len(j.shelf.Pedals)) {
			f, ok := j.feet(&j.shelf.Cranks[ci], j.shelf.Pedals, pi, lifts)
			if !ok {
				continue
			}
			if !j.meter.Do(5 + len(lifts)/8) {
				return
			}
			f.crank, f.pedal = ci, pi
			f.buy = bought(part.Cranks, j.shelf.Cranks[ci] == j.now.Crank)
			if len(j.shelf.Pedals) > 0 {
				f.buy |= bought(part.Pedals, j.shelf.Pedals[pi] == j.now.Pedal)
			}
			moved, _ := SaddleMoved(j.policy, j.want[contact.SaddleReference].at, j.stroke, f.stroke) // Check saw that it can
			for i := range perches {
				if !j.meter.Do(10 + len(j.list.all.all)/16) {
					return
				}
				j.sit(&perches[i], &f, moved)
			}
		}
	}
}

// perches makes every seatpost with every saddle that suit the frame, some at a time, and
// calls do with each lot until it returns false.
func (j job) perches(do func([]perch) bool) {
	var all []perch
	for pi := range j.shelf.Seatposts {
		post := &j.shelf.Seatposts[pi]
		shim, ok := shimFor(j.shelf, rig.Socket(post.Interface, post.Diameter), rig.Socket(j.frame.SeatpostInterface, j.frame.SeatpostDiameter), j.now.SeatpostShim)
		if lo, hi := j.frame.SeatpostRange(*post); !ok || hi < lo {
			continue
		}
		buy := bought(part.Seatposts, *post == j.now.Seatpost) | boughtShim(shim, j.now.SeatpostShim)
		for si := range j.shelf.Saddles {
			if len(all) == many.perches {
				if !do(all) {
					return
				}
				all = all[:0]
			}
			if !j.meter.Do(5) {
				return
			}
			saddle := &j.shelf.Saddles[si]
			if !post.Holds(*saddle) {
				continue
			}
			all = append(all, perch{j.newSeat(j.frame, j.ch, post, saddle), pi, si, shim, buy | bought(part.Saddles, *saddle == j.now.Saddle)})
		}
	}
	do(all)
}

// sit offers a perch with cranks and pedals that move the saddle by a shift.
func (j job) sit(h *perch, f *feet, moved fitgeom.SaddleMove) {
	longer := 0.0
	if j.stroke.Known {
		longer = math.Abs(f.stroke.Length - j.stroke.Length)
	}
	j.list.count++
	for choice := range j.list.choices(&j.laws.noses) {
		j.sitSo(h, f, moved, longer, choice)
	}
}

// sitSo offers them with the settings for one of the limits of the nose.
func (j job) sitSo(h *perch, f *feet, moved fitgeom.SaddleMove, longer float64, choice int) {
	extend, rail, v := h.seat.best(j.wish, moved.By, j.laws.noses.within(choice))
	middle := math.Abs(rail - (h.seat.lo[1]+h.seat.hi[1])/2)
	o := option{
		merit: merit{pref: j.pref.SeatPoints(&j.shelf.Seatposts[h.post], h.seat.lo[1], h.seat.hi[1], rail), cost: j.rounded(v.cost) + j.rounded(f.cost)},
		holds: v.holds && f.holds,
		buy:   f.buy | h.buy,
		order: [orderLength]int64{millionths(longer), millionths(middle), int64(h.post), int64(h.saddle), int64(f.crank), int64(f.pedal)},
		settings: fitgeom.Settings{
			SeatpostExtension: extend, RailClamp: rail, SaddleTilt: j.tilt,
			LiftLeft: f.lift[0], LiftRight: f.lift[1], CleatLeft: f.cleat[0], CleatRight: f.cleat[1],
		},
		part:  [5]int{h.post, h.saddle, f.crank, f.pedal},
		shim:  h.shim,
		moved: moved,
	}
	if h.shim != (part.Shim{}) {
		o.pref += j.pref.Shim
	}
	o.order[orderLength-1] = int64(choice)
	if !o.holds || !j.keepsLaws(&o, true) {
		j.list.keep(&o)
		return
	}
	j.list.weigh(&o, merit{room: j.mostRoom[1]}, func() merit { return j.sitRoom(h, f) })
}
