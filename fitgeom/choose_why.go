package fitgeom

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
)

// A Reason is what decides which of two frames comes first. The zero Reason is
// [ByFit].
type Reason uint8

// The reasons, in the order in which [Index.Rank] asks (with Options.Bike, of
// frames that hold, ByPurchase comes before ByScore).
const (
	ByFit      Reason = iota // parts of the shelf fit on one of the two only
	ByHolding                // one of the two holds the position, the other does not
	ByScore                  // Candidate.Score is less, counted in Options.Grain
	ByPurchase               // fewer parts must be bought
	BySpacers                // fewer spacers
	ByFlip                   // the stem is not upside down
	ByRoll                   // the bar is turned less
	ByCrank                  // the crank's length is nearer to the target's
	ByRails                  // the rails are clamped nearer to their middle
	ByShelf                  // parts that come first on the shelf
	ByPlace                  // alike in all of that: the place in the catalogue

	reasonCount = int(ByPlace) + 1
)

var reasonTexts = [reasonCount]struct{ better, worse, unit string }{
	ByFit:      {"parts fit", "no parts fit", ""},
	ByHolding:  {"holds the position", "does not hold the position", ""},
	ByScore:    {"comes closer", "comes less close", "tolerances"},
	ByPurchase: {"fewer parts to buy", "more parts to buy", "parts"},
	BySpacers:  {"fewer spacers", "more spacers", "mm"},
	ByFlip:     {"stem not upside down", "stem upside down", ""},
	ByRoll:     {"bar turned less", "bar turned more", "degrees"},
	ByCrank:    {"crank nearer in length", "crank less near in length", "mm"},
	ByRails:    {"rails nearer their middle", "rails further from their middle", "mm"},
	ByShelf:    {"parts earlier on the shelf", "parts later on the shelf", ""},
	ByPlace:    {"earlier in the catalogue", "later in the catalogue", ""},
}

// String says what the better of two frames is better in, such as "fewer spacers".
func (r Reason) String() string {
	if int(r) >= reasonCount {
		return "reason?"
	}
	return reasonTexts[r].better
}

// Unit returns the unit of amounts beside the reason: "mm", "degrees",
// "tolerances" (of a score), "parts", or "" where there are no amounts.
func (r Reason) Unit() string {
	if int(r) >= reasonCount {
		return ""
	}
	return reasonTexts[r].unit
}

// A Neighbour is the next size of a frame's family, and how the two compare.
type Neighbour struct {
	// Choice is the neighbour. If it does not hold, its Obstacles say why.
	Choice Choice
	// Larger says that it is the next size up, and not the next size down. Sizes
	// of a family are in the order of stack, then of reach, then of place.
	Larger bool
	// Better says that the neighbour comes before the frame.
	Better bool
	// Reason is what decides, and By how much the worse of the two has more of
	// it, in the reason's unit; 0 if there is no amount.
	Reason Reason
	By     float64
}

// String says how the neighbour compares, as in "next size up, road 56: more spacers by 5.0 mm".
func (n Neighbour) String() string {
	way := "next size down"
	if n.Larger {
		way = "next size up"
	}
	text := n.Reason.String()
	if !n.Better && int(n.Reason) < reasonCount {
		text = reasonTexts[n.Reason].worse
	}
	s := fmt.Sprintf("%s, %s %s: %s", way, n.Choice.Size.Family, n.Choice.Size.Label, text)
	if u := n.Reason.Unit(); u != "" {
		decimals := 1
		if n.Reason == ByScore {
			decimals = 3
		}
		s += " by " + strconv.FormatFloat(n.By, 'f', decimals, 64) + " " + u
	}
	return s
}

// Neighbours compares a frame with the next sizes of its family, down and up, for
// a position: none, one or two. The frame is told by Choice.Place; the other
// arguments are those of [Index.Rank]. Faults are those of Rank and
// [contact.ErrUnknown] for a place at which the index has no frame.
func (x *Index) Neighbours(target contact.Position, opt Options, place int) ([]Neighbour, error) {
	q, err := x.question(target, opt)
	var f faults
	for _, e := range contact.Faults(err) {
		f.Add(e.Path, e.Value, e.Want, e.Class)
	}
	record, ok := x.record(place)
	if !ok {
		f.Add("place", strconv.Itoa(place), "the place of a frame in the index", contact.ErrUnknown)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	family := x.records[record].family
	sizes := x.byFamily[x.sizes[family]:x.sizes[family+1]]
	at := slices.Index(sizes, record)
	frame := x.size(record)
	self := q.alone(record, &frame.Frame)
	var all []Neighbour
	for _, other := range [2]int{at - 1, at + 1} {
		if other < 0 || other >= len(sizes) {
			continue
		}
		size := x.size(sizes[other])
		s := q.alone(sizes[other], &size.Frame)
		n := Neighbour{Choice: q.choice(&s), Larger: other > at, Better: s.compare(&self) < 0}
		n.Reason, n.By = decides(&s, &self)
		if n.Reason == ByScore {
			mine := q.choice(&self)
			n.By = math.Abs(n.Choice.Best.Score - mine.Best.Score)
		}
		all = append(all, n)
	}
	return all, nil
}

// decides returns what the order of two frames hangs on, and the difference.
func decides(a, b *standing) (Reason, float64) {
	off := func(x, y int64, unit float64) float64 { return math.Abs(float64(x-y)) / unit }
	cost, buys := a.cost != b.cost, a.buys != b.buys
	if a.class == holding && buys {
		cost = false
	}
	switch {
	case a.class != b.class && (a.class == unfit || b.class == unfit):
		return ByFit, 0
	case a.class != b.class:
		return ByHolding, 0
	case cost:
		return ByScore, 0
	case buys:
		return ByPurchase, math.Abs(float64(a.buys - b.buys))
	case a.spacers != b.spacers:
		return BySpacers, off(a.spacers, b.spacers, 1/tenth)
	case a.flipped != b.flipped:
		return ByFlip, 0
	case a.roll != b.roll:
		return ByRoll, off(a.roll, b.roll, 1e6)
	case a.front != b.front:
		return ByShelf, 0
	case a.seat[0] != b.seat[0]:
		return ByCrank, off(a.seat[0], b.seat[0], 1e6)
	case a.seat[1] != b.seat[1]:
		return ByRails, off(a.seat[1], b.seat[1], 1e6)
	case a.seat != b.seat:
		return ByShelf, 0
	}
	return ByPlace, 0
}

// Steadiness says how much of a frame's rank hangs on the rounding of its chart.
type Steadiness struct {
	// Place is the frame's place in the catalogue, as Choice.Place.
	Place int
	// Least and Most are the least and the greatest score that its best build had.
	Least, Most float64
	// Always and Ever say that it held the position in all ways that were tried, and in one at least.
	Always, Ever bool
	// First and Last are the ranks that it may have among the frames that were
	// ranked, from 0, when each of them may be as good or as bad as its chart allows.
	First, Last int
}

// Sensitivity ranks frames as [Index.Rank] does, with each as its chart has it,
// and then tells for the best of them, in order, how much the chart's rounding
// matters: reach, stack, head angle and seat angle are each taken as stated and
// as half a step more and less, in all 81 ways. Between these the score may be
// less, where a stem and spacers happen to suit better, so that this shows what
// rounding does, and is no bound. Frames that were not among the best are left out.
//
// Faults are those of Rank and of a rounding out of its range. Of a frame on which
// no parts fit, scores are 0.
func (x *Index) Sensitivity(target contact.Position, opt Options, chart Rounding) ([]Steadiness, error) {
	var f faults
	f.In("chart", chart.Validate())
	q, err := x.question(target, opt)
	for _, e := range contact.Faults(err) {
		f.Add(e.Path, e.Value, e.Want, e.Class)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	if q.opt.Stance != (Stance{}) {
		q.each()
	} else {
		q.search()
	}
	all := make([]Steadiness, len(q.best))
	ranges := make([]extent, len(q.best))
	for i := range q.best {
		s := &q.best[i]
		size := x.size(s.record)
		all[i] = Steadiness{Place: int(s.place), Least: math.Inf(1), Always: true}
		ranges[i] = extent{s.bound, s.bound}
		for way := range 81 {
			frame := size.Frame
			g := &frame.Geometry
			by := func(power int, step float64) float64 { return float64(way/power%3-1) * step / 2 }
			g.Reach += by(1, chart.LengthStep)
			g.Stack += by(3, chart.LengthStep)
			g.HeadAngle = max(50, min(90, g.HeadAngle+by(9, chart.AngleStep)))
			g.SeatAngle = max(50, min(90, g.SeatAngle+by(27, chart.AngleStep)))
			t := q.alone(s.record, &frame)
			all[i].Always = all[i].Always && t.class == holding
			all[i].Ever = all[i].Ever || t.class == holding
			score := 0.0
			if t.class != unfit {
				c := q.w.candidate(&frame, &x.shelf, q.opt.Stance, t.pairing)
				score = c.Score
			}
			all[i].Least, all[i].Most = min(all[i].Least, score), max(all[i].Most, score)
			r := &ranges[i]
			if t.bound.compare(&r.best) < 0 {
				r.best = t.bound
			}
			if t.bound.compare(&r.worst) > 0 {
				r.worst = t.bound
			}
		}
	}
	for i := range all {
		before, after := 0, 0
		for j := range all {
			if j == i {
				continue
			}
			if sure(&ranges[j], &ranges[i], j < i) {
				before++
			}
			if sure(&ranges[i], &ranges[j], i < j) {
				after++
			}
		}
		all[i].First, all[i].Last = before, len(all)-1-after
	}
	return all, nil
}

// An extent is what a frame may be at best and at worst.
type extent struct{ best, worst bound }

// sure reports whether a frame comes before another whatever they are; as
// ranked, where nothing that is compared here changes.
func sure(a, b *extent, ranked bool) bool {
	c := a.worst.compare(&b.best)
	return c < 0 || c == 0 && ranked && a.best == a.worst && b.best == b.worst
}
