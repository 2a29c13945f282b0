package search

import (
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// Solve finds the best builds of a problem that has been filled and checked, best
// first, and how many ways to put parts and spacers together were covered.
func Solve(p *Problem) (best []fitgeom.Candidate, combinations int, err error) {
	w := newWish(p)
	ch := chassisOf(&p.Frame, p.Wheels)
	// Twice the limit, since fewer than that many may have to be skipped below.
	counts := p.Bike != fitgeom.Build{}
	front := newShortlist(2*p.Limit, counts, p.Vary, frontKinds)
	newJob(w, p, &p.Frame, &ch, front).fronts()
	seat := newShortlist(2*p.Limit, counts, p.Vary, seatKinds)
	newJob(w, p, &p.Frame, &ch, seat).seats()
	var f fault.List
	for _, g := range []struct {
		name  string
		count int
	}{
		{"shelf.caps, stems, handlebars, levers and aero_bars", front.count},
		{"shelf.seatposts, saddles, cranks and pedals", seat.count},
	} {
		if g.count == 0 {
			f.Add(g.name, "none", "parts that fit the frame, one another and what is to be kept", contact.ErrMissing)
		}
	}
	if err := f.Err(); err != nil {
		return nil, 0, err
	}
	for _, b := range bestOf(front, seat, p.Limit) {
		best = append(best, w.candidate(p, &p.Frame, b))
	}
	return best, front.count * seat.count, nil
}

// candidate puts a build together and looks at it through the forward map.
func (w *wish) candidate(p *Problem, frame *fitgeom.Frame, found pairing) fitgeom.Candidate {
	f, s, shelf := found.front, found.seat, &p.Shelf
	b := fitgeom.Build{
		Frame: *frame, Wheels: p.Wheels,
		Cap: shelf.Caps[f.part[0]], Handlebar: shelf.Handlebars[f.part[2]], BarShim: f.shim,
		Seatpost: shelf.Seatposts[s.part[0]], SeatpostShim: s.shim, Saddle: shelf.Saddles[s.part[1]], Crank: shelf.Cranks[s.part[2]],
		Settings: f.settings,
		Stem:     part.Stem{}, Lever: part.Lever{}, Aero: part.AeroBar{}, Pedal: part.Pedal{}, // if there are any
	}
	if f.part[1] >= 0 {
		b.Stem = shelf.Stems[f.part[1]]
	}
	if f.part[3] >= 0 {
		b.Lever = shelf.Levers[f.part[3]]
	}
	if f.part[4] >= 0 {
		b.Aero = shelf.AeroBars[f.part[4]]
	}
	if len(shelf.Pedals) > 0 {
		b.Pedal = shelf.Pedals[s.part[3]]
	}
	t := &b.Settings
	t.SeatpostExtension, t.RailClamp, t.SaddleTilt = s.settings.SeatpostExtension, s.settings.RailClamp, s.settings.SaddleTilt
	t.LiftLeft, t.LiftRight = s.settings.LiftLeft, s.settings.LiftRight

	c := fitgeom.Candidate{
		Build:   b,
		Spacers: slices.Clone(f.pile.PiecesBelow), SpacersAbove: slices.Clone(f.pile.PiecesAbove),
		Buy: f.buy | s.buy, Deviations: make([]fitgeom.Deviation, 0, len(w.keep)),
	}
	position := rig.Position(&b)
	for _, k := range w.keep {
		at, _ := position.At(k.Site)
		want, _ := w.target.At(k.Site)
		if k.Site.Group() == contact.OnSaddle {
			want = r3.Add(want, s.shift)
		}
		c.Deviations = append(c.Deviations, fitgeom.Deviation{Keep: k, Off: r3.Sub(at, want)})
	}
	return c
}
