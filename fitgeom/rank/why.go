package rank

import (
	"context"
	"fmt"
	"math"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
)

// A Reason is what decides which of two frames comes first. The zero Reason is not valid.
type Reason uint8

// The reasons, in the order in which [Index.Rank] compares frames. With Bike, and both
// frames holding the position, ByPurchase comes before ByScore.
const (
	ByFit      Reason = iota + 1 // parts of the shelf fit on only one of the two
	ByHolding                    // one of the two holds the position, the other does not
	ByScore                      // Candidate.Score is less, counted in Problem.Grain
	ByPurchase                   // fewer parts must be bought
	BySpacers                    // fewer spacers
	ByFlip                       // the stem is not upside down
	ByRotation                   // the handlebar is rotated less
	ByCrank                      // the cranks' length is closer to the target's
	ByRails                      // the rails are clamped closer to their middle
	ByShelf                      // parts that come first on the shelf
	ByPlace                      // equal in all of these: the place in the catalogue

	reasonCount = int(ByPlace) + 1
)

// Reasons have the numbers of the decisions.
var _ = [1]struct{}{}[ByPlace-Reason(search.ByPlace)]

// reasons is the one table of reasons.
var reasons = [reasonCount]struct{ name, better, worse, unit string }{
	ByFit:      {"fit", "parts fit", "no parts fit", ""},
	ByHolding:  {"holding", "holds the position", "does not hold the position", ""},
	ByScore:    {"score", "closer to the position", "further from the position", "tolerances"},
	ByPurchase: {"purchase", "fewer parts to buy", "more parts to buy", "parts"},
	BySpacers:  {"spacers", "fewer spacers", "more spacers", "mm"},
	ByFlip:     {"flip", "stem not upside down", "stem upside down", ""},
	ByRotation: {"rotation", "bar rotated less", "bar rotated more", "degrees"},
	ByCrank:    {"crank", "crank length closer to the target", "crank length further from the target", "mm"},
	ByRails:    {"rails", "rails clamped closer to their middle", "rails clamped further from their middle", "mm"},
	ByShelf:    {"shelf", "parts earlier on the shelf", "parts later on the shelf", ""},
	ByPlace:    {"place", "earlier in the catalogue", "later in the catalogue", ""},
}

var reasonNames = func() *enum.Names[Reason] {
	names := make([]string, reasonCount)
	for i := range reasons {
		names[i] = reasons[i].name
	}
	return enum.New[Reason]("reason", names)
}()

// String returns the reason's name, such as "spacers".
func (r Reason) String() string { return reasonNames.String(r) }

// MarshalText writes the reason's name; it fails for an unknown number.
func (r Reason) MarshalText() ([]byte, error) { return reasonNames.Text(r) }

// UnmarshalText reads a name as [ParseReason] does.
func (r *Reason) UnmarshalText(text []byte) error { return reasonNames.Read(r, text) }

// ParseReason returns the reason of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseReason(name string) (Reason, error) { return reasonNames.Parse(name) }

// Words says how the better of two frames is better, such as "fewer spacers", or how the
// other one is worse.
func (r Reason) Words(better bool) string {
	switch {
	case !reasonNames.Valid(r):
		return r.String()
	case better:
		return reasons[r].better
	default:
		return reasons[r].worse
	}
}

// Unit returns the unit of amounts beside the reason: "mm", "degrees",
// "tolerances" (of a score), "parts", or "" where there are no amounts.
func (r Reason) Unit() string {
	if !reasonNames.Valid(r) {
		return ""
	}
	return reasons[r].unit
}

// A Neighbour is the next size of a frame's family, and how the two compare.
type Neighbour struct {
	// Choice is the neighbour. If it does not hold, Choice.Explain says why.
	Choice Choice
	// Larger says that it is the next size up, and not the next size down. The sizes of
	// a family are sorted by stack, then by reach, then by place.
	Larger bool
	// Better says that the neighbour ranks before the frame.
	Better bool
	// Reason is what decides. By is the difference in it, in the reason's unit; 0 if it
	// has no amount.
	Reason Reason
	By     float64
}

// String says how the neighbour compares, as in "next size up, road 56: more spacers by
// 5.0 mm".
func (n Neighbour) String() string {
	way := "next size down"
	if n.Larger {
		way = "next size up"
	}
	s := fmt.Sprintf("%s, %s %s: %s", way, n.Choice.Size.Family, n.Choice.Size.Label, n.Reason.Words(n.Better))
	if u := n.Reason.Unit(); u != "" {
		decimals := 1
		if n.Reason == ByScore {
			decimals = 3
		}
		s += " by " + strconv.FormatFloat(n.By, 'f', decimals, 64) + " " + u
	}
	return s
}

// Neighbours compares a frame with the next sizes of its family, down and up, for a
// problem as in [Index.Rank]. It returns none, one or two. Place is that of Choice.Place.
// Faults are those of Rank, and [contact.ErrUnknown] for a place without a frame.
func (x *Index) Neighbours(ctx context.Context, p solve.Problem, place int) ([]Neighbour, error) {
	m := work.New(ctx, p.Budget.Work)
	if m.Stopped() {
		return nil, m.Err("before it began")
	}
	q, p, err := x.ask(m, p)
	var f fault.List
	f.In("", err)
	var size *fitgeom.Size
	ok := false
	if x.core != nil {
		size, ok = x.core.Size(place)
	}
	if !ok {
		f.Add("place", strconv.Itoa(place), "the place of a frame in the index", contact.ErrUnknown)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	self := q.Stand(place, &size.Frame)
	if m.Stopped() {
		return nil, m.Err("none of the frames searched")
	}
	family, at := x.core.Family(place)
	var all []Neighbour
	for _, other := range [2]int{at - 1, at + 1} {
		if other < 0 || other >= len(family) {
			continue
		}
		next, _ := x.core.Size(family[other])
		s := q.Stand(family[other], &next.Frame)
		n := Neighbour{Choice: x.choice(m, q, &p, &s), Larger: other > at, Better: s.Before(&self)}
		var by search.Decision
		by, n.By = search.Decide(&s, &self)
		n.Reason = Reason(by)
		if n.Reason == ByScore {
			mine := q.Candidate(&self, &size.Frame)
			n.By = math.Abs(n.Choice.Best.Score() - mine.Score())
		}
		all = append(all, n)
	}
	if m.Stopped() {
		return nil, m.Err("one frame searched")
	}
	return all, nil
}
