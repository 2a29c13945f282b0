package fitgeom

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Result is the answer of [Reproduce].
type Result struct {
	// Candidates is the best builds, best first; never empty.
	Candidates []Candidate
	// Combinations is how many ways to put parts and spacers together were
	// covered, each with its best settings.
	Combinations int
}

// Holds reports whether at least one build holds the position.
func (r Result) Holds() bool { return len(r.Candidates) > 0 && r.Candidates[0].Holds }

// A Candidate is one build with its best settings for the position.
type Candidate struct {
	Build Build
	// Spacers and SpacersAbove are the height of each spacer under and on top of
	// the stem in mm, tallest first.
	Spacers, SpacersAbove []float64
	// Buy is the kinds of parts that differ from those of Options.Bike.
	Buy part.Kinds
	// Position is Build.Position().
	Position contact.Position
	// Wanted is the target, with the saddle where Options.Crank has it for this
	// build's cranks.
	Wanted contact.Position
	// Holds says that every coordinate that was asked for is within its tolerance.
	Holds bool
	// Score is the root of the sum of squares of all residuals, each divided
	// by its tolerance and counted by its weight. 0 is a perfect match.
	Score float64
	// Residuals is how far off each kept site is, in the order of Options.Keep.
	Residuals []Residual
	// Margins is Build.Margins().
	Margins []Margin
	// Cautions concern whoever builds and rides this.
	Cautions []Caution
}

// A Residual is how far a build is off at one site.
type Residual struct {
	Site contact.Site
	// Off is the build's point less the wanted one, mm.
	Off r3.Vec
	// Tolerance is that of Options.Keep, mm.
	Tolerance r3.Vec
	// Within says that every coordinate that was asked for is within its tolerance.
	Within bool
}

// Reproduce finds the builds of a frame and parts from a shelf that come nearest
// to a position, each with its best settings. It always answers: if no build
// holds the position, the candidates are the nearest ones, and [Explain] tells
// why one does not. The package documentation states objective and order.
//
// The target must know every site in opt.Keep, and the tilt of the saddle.
// Faults are [contact.ErrMissing] for what it does not know, for a kind of part
// of which the shelf has none and for a kind none of which fits the frame or
// the other parts or offers what is to be kept; and whatever the inputs' own
// Validate reports.
func Reproduce(target contact.Position, frame Frame, shelf Shelf, opt Options) (Result, error) {
	opt.fill(&target)
	var f faults
	f.In("target", target.Validate())
	f.In("frame", frame.validate())
	f.In("shelf", shelf.Validate())
	opt.check(&f, &target)
	if f.Err() == nil {
		frame.checkStance(&f, opt.Stance)
	}
	if err := f.Err(); err != nil {
		return Result{}, err
	}

	w := newWish(&target, &opt)
	ch := newChassis(&frame, &opt.Stance)
	// Twice the limit, since fewer than that many may have to be skipped below.
	counts := opt.Bike != Build{}
	front := newRanking(2*opt.Limit, counts, opt.Vary, [5]part.Kinds{part.Caps, part.Stems, part.Bars, part.Levers, part.AeroBars})
	w.fronts(front, &frame, &ch, &shelf, &opt.Bike)
	seat := newRanking(2*opt.Limit, counts, opt.Vary, [5]part.Kinds{part.Posts, part.Saddles, part.Cranks, part.Pedals})
	w.seats(seat, &frame, &ch, &shelf, &opt.Bike)
	for _, g := range []struct {
		name  string
		count int
	}{
		{"shelf.caps, stems, bars, levers and aero_bars", front.count},
		{"shelf.posts, saddles, cranks and pedals", seat.count},
	} {
		if g.count == 0 {
			f.Add(g.name, "none", "parts that fit the frame, one another and what is to be kept", contact.ErrMissing)
		}
	}
	if err := f.Err(); err != nil {
		return Result{}, err
	}

	best := merge(front.holding, seat.holding, opt.Limit, true)
	if len(best) < opt.Limit { // then they are all that hold
		seen := map[[2][6]int]bool{}
		for _, p := range best {
			seen[p.key()] = true
		}
		for _, p := range merge(front.all, seat.all, 2*opt.Limit, false) {
			if len(best) < opt.Limit && !seen[p.key()] {
				best = append(best, p)
			}
		}
	}
	r := Result{Combinations: front.count * seat.count}
	for _, p := range best {
		r.Candidates = append(r.Candidates, w.candidate(&frame, &shelf, opt.Stance, p))
	}
	return r, nil
}

// candidate puts a build together and looks at it through the forward map.
func (w *wish) candidate(frame *Frame, shelf *Shelf, stance Stance, p pairing) Candidate {
	f, s := p.front, p.seat
	b := Build{
		Frame: *frame, Stance: stance,
		Cap: shelf.Caps[f.part[0]], Bar: shelf.Bars[f.part[2]], BarShim: f.shim,
		Post: shelf.Posts[s.part[0]], PostShim: s.shim, Saddle: shelf.Saddles[s.part[1]], Crank: shelf.Cranks[s.part[2]],
		Settings: f.settings,
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
	t.PostExtension, t.RailClamp, t.SaddleTilt = s.settings.PostExtension, s.settings.RailClamp, s.settings.SaddleTilt
	t.LiftLeft, t.LiftRight = s.settings.LiftLeft, s.settings.LiftRight

	c := Candidate{
		Build:   b,
		Spacers: slices.Clone(f.stack.piecesBelow), SpacersAbove: slices.Clone(f.stack.piecesAbove),
		Buy:      f.buy | s.buy,
		Position: b.position(),
		Wanted:   w.target,
		Holds:    p.holds(),
		Margins:  b.margins(),
	}
	for site := contact.SaddleReference; site <= contact.SaddleRear; site++ {
		if at, ok := w.target.At(site); ok {
			c.Wanted.Set(site, r3.Add(at, s.shift))
		}
	}
	cost := 0.0
	for _, k := range w.keep {
		at, _ := c.Position.At(k.Site)
		want, _ := c.Wanted.At(k.Site)
		v, wish := verdict{holds: true}, k.wanted(want)
		v.judge(&wish, at)
		cost += v.cost
		c.Residuals = append(c.Residuals, Residual{Site: k.Site, Off: r3.Sub(at, want), Tolerance: k.Tolerance, Within: v.holds})
	}
	c.Score = math.Sqrt(cost)
	c.Cautions = cautions(&b, c.Margins)
	return c
}
