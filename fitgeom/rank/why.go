package rank

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
)

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
	Reason fitgeom.Reason
	By     float64
}

// String says how the neighbour compares, as in "next size up, road 56: further from what is
// usual by 2 points".
func (n Neighbour) String() string {
	way := "next size down"
	if n.Larger {
		way = "next size up"
	}
	return fmt.Sprintf("%s, %s %s: %s", way, n.Choice.Size.Family, n.Choice.Size.Label, why(n.Reason, n.Better, n.By))
}

// why says how one of two frames is better or worse.
func why(r fitgeom.Reason, better bool, by float64) string {
	u := r.Unit()
	if u == "" {
		return r.Words(better)
	}
	decimals := 0
	if r == fitgeom.ByCloseness {
		decimals = 3
	} else if by == 1 {
		u = strings.TrimSuffix(u, "s")
	}
	return r.Words(better) + " by " + strconv.FormatFloat(by, 'f', decimals, 64) + " " + u
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
		n.Reason, n.By = search.Decide(&s, &self)
		if n.Reason == fitgeom.ByCloseness {
			mine := q.Candidate(&self, &size.Frame)
			n.By = math.Abs(n.Choice.Best.Distance() - mine.Distance())
		}
		all = append(all, n)
	}
	if m.Stopped() {
		return nil, m.Err("one frame searched")
	}
	return all, nil
}
