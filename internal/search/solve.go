package search

import (
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Result is the answer of Solve. It has the fields of solve.Result, in the same order.
type Result struct {
	Candidates   []fitgeom.Candidate
	Combinations int
	Complete     bool
	Bound        float64
}

// Solve finds the best builds of a problem that has been filled and checked. If the meter
// stops it, the best so far are a result only if the problem's budget asks for them.
func Solve(m *work.Meter, p *Problem) (Result, error) {
	w := newWish(m, p)
	ch := ChassisOf(&p.Frame, p.Wheels)
	// Twice the limit, since fewer than that many may have to be skipped below.
	counts := p.Bike != fitgeom.Build{}
	seat := newShortlist(2*p.Limit, counts, p.Vary, seatKinds)
	newJob(w, p, &p.Frame, &ch, seat).seats()
	barred := w.breaks(w.laws.frame, &p.Frame, pairing{})
	front := newShortlist(2*p.Limit, counts, p.Vary, frontKinds)
	front.enough = len(seat.holding.all) > 0 && !barred
	front.pairs = newPairs(newJob(w, p, &p.Frame, &ch, nil), p.Limit, nil)
	open := 0.0
	if !m.Stopped() {
		var err error
		if open, err = newJob(w, p, &p.Frame, &ch, front).fronts(); err != nil {
			return Result{}, err
		}
	}
	if front.pairs != nil && !m.Stopped() && !front.pairs.rest(nil) {
		open = 0
	}
	if !m.Stopped() {
		if err := found(front, seat); err != nil {
			return Result{}, err
		}
	}
	ok, err := m.Answer(p.Budget.Partial && len(front.all.all) > 0 && len(seat.all.all) > 0,
		fmt.Sprintf("%d front ends and %d seats looked at", front.count, seat.count))
	if !ok {
		return Result{}, err
	}
	r := Result{Combinations: front.count * seat.count, Complete: !m.Stopped()}
	if !r.Complete {
		// The seats were all looked at, since otherwise there would be no front ends.
		r.Bound = w.score(max(0, open) + w.least(seat.all.list()[0].cost, 2))
	}
	for _, b := range bestOf(front, seat, p.Limit, barred) {
		r.Candidates = append(r.Candidates, w.candidate(&p.Frame, b))
	}
	return r, err
}

// found reports a group of parts of which none fit.
func found(front, seat *shortlist) error {
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
	return f.Err()
}

// build puts a build together, or the part of one of which there are options.
func (w *wish) build(frame *fitgeom.Frame, found pairing) fitgeom.Build {
	b := fitgeom.Build{
		Bulk:  new(fitgeom.Build).Bulk, // the usual one
		Frame: *frame, Wheels: w.problem.Wheels,
		// What options have.
		Cap: part.HeadsetCap{}, Stem: part.Stem{}, BarShim: part.Shim{}, Handlebar: part.Handlebar{}, Lever: part.Lever{}, Aero: part.AeroBar{},
		Seatpost: part.Seatpost{}, SeatpostShim: part.Shim{}, Saddle: part.Saddle{}, Crank: part.Crank{}, Pedal: part.Pedal{}, Settings: fitgeom.Settings{},
	}
	if found.front != nil {
		w.buildFront(&b, found.front)
	}
	if found.seat != nil {
		w.buildSeat(&b, found.seat)
	}
	return b
}

func (w *wish) buildFront(b *fitgeom.Build, f *option) {
	shelf := &w.problem.Shelf
	b.Cap, b.Handlebar, b.BarShim, b.Settings = shelf.Caps[f.part[0]], shelf.Handlebars[f.part[2]], f.shim, f.settings
	if f.part[1] >= 0 {
		b.Stem = shelf.Stems[f.part[1]]
	}
	if f.part[3] >= 0 {
		b.Lever = shelf.Levers[f.part[3]]
	}
	if f.part[4] >= 0 {
		b.Aero = shelf.AeroBars[f.part[4]]
	}
}

func (w *wish) buildSeat(b *fitgeom.Build, s *option) {
	shelf := &w.problem.Shelf
	b.Seatpost, b.SeatpostShim, b.Saddle, b.Crank = shelf.Seatposts[s.part[0]], s.shim, shelf.Saddles[s.part[1]], shelf.Cranks[s.part[2]]
	if len(shelf.Pedals) > 0 {
		b.Pedal = shelf.Pedals[s.part[3]]
	}
	t := &b.Settings
	t.SeatpostExtension, t.RailClamp, t.SaddleTilt = s.settings.SeatpostExtension, s.settings.RailClamp, s.settings.SaddleTilt
	t.LiftLeft, t.LiftRight = s.settings.LiftLeft, s.settings.LiftRight
	t.CleatLeft, t.CleatRight = s.settings.CleatLeft, s.settings.CleatRight
}

// candidate puts a build together and looks at it through the forward map.
func (w *wish) candidate(frame *fitgeom.Frame, found pairing) fitgeom.Candidate {
	f, s, b := found.front, found.seat, w.build(frame, found)
	under, above := f.pile.Pieces()
	m := found.merit()
	c := fitgeom.Candidate{
		Build: b, Spacers: under, SpacersAbove: above,
		Buy: f.buy | s.buy, Purchases: purchases(f.buy) + purchases(s.buy), SaddleMoved: s.moved,
		Merit:      fitgeom.Merit{Shortfall: m.short, ShortfallSum: m.sum, Preference: m.pref, Room: m.room},
		Deviations: make([]fitgeom.Deviation, 0, len(w.keep)), Rules: Rulings(w.problem, &b),
	}
	position := rig.Position(&b)
	for _, k := range w.keep {
		at, _ := position.At(k.Site)
		want, _ := w.target.At(k.Site)
		if k.Site.Group() == contact.OnSaddle {
			want = r3.Add(want, s.moved.By)
		}
		is, _ := position.Attitude(k.Site)
		facing, _ := w.target.Attitude(k.Site)
		c.Deviations = append(c.Deviations, fitgeom.Deviation{Keep: k, Off: r3.Sub(at, want), Turned: k.Turn.TurnedFrom(facing, is)})
	}
	if !c.Holds() {
		c.Merit = fitgeom.Merit{Preference: m.pref} // room of one group alone tells nothing
	}
	return c
}
