package region

import (
	"context"
	"math"
	"slices"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A Room is how far the hands can move from the target, each way by itself, in mm: every
// whole mm up to that is held, with any stem and spacers of the bounds. It is the Reach of
// package fitgeom/solve without a gap, for all frames at once.
type Room struct {
	// Up and Down are vertical, Forward and Back horizontal, 0 to 100 mm.
	Up, Down, Forward, Back int
}

// Room returns how far the hands can move on a frame with the top of its head tube at a place,
// up to so many mm, 100 at most. It returns false if the place is not in the region.
func (r Region) Room(at HeadPlace, most int) (Room, bool) {
	if !r.Holds(at) {
		return Room{}, false
	}
	var room Room
	for _, w := range room.ways() {
		for *w.mm < min(most, maxRoom) && r.tree.holds(r.place(at).plus(w.by(*w.mm+1))) {
			*w.mm++
		}
	}
	return room, true
}

// maxRoom is how far hands are followed, mm.
const maxRoom = 100

// A way is how far something moves, and where the place of the frame goes meanwhile, as the
// hands see it.
type way struct {
	mm *int
	to vec
}

func (r *Room) ways() [4]way {
	return [...]way{{&r.Up, vec{0, -1}}, {&r.Down, vec{0, 1}}, {&r.Forward, vec{-1, 0}}, {&r.Back, vec{1, 0}}}
}

func (w *way) by(mm int) vec { return vec{w.to.x * float64(mm), w.to.z * float64(mm)} }

// AtLeast returns the outlines of the places whose [Region.Room] is as much or more: level
// lines inside the region's own. It is their edge to 0.000001 mm. A stretch has the stem and
// spacers that hold the hands at the end of the room that the places beyond lack.
//
// Errors are [contact.ErrRange] for a room of less than 0 or more than 100 mm one way. If the
// context ends, the error wraps the context's. It is [contact.ErrBudget] for more than some
// 100,000 straight parts.
func (r Region) AtLeast(ctx context.Context, room Room) ([]Outline, error) {
	var f fault.List
	for i, name := range [...]string{"up", "down", "forward", "back"} {
		f.Range("room."+name, float64(*room.ways()[i].mm), 0, maxRoom, "mm")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	l := leveller{Region: &r, m: work.New(ctx, work.Default)}
	for _, o := range r.outlines {
		l.of = append(l.of, o.Stretches...)
	}
	// The farthest first, since they leave out most.
	l.moves = []vec{{}}
	for far := maxRoom; far > 0; far-- {
		for _, w := range room.ways() {
			if *w.mm >= far {
				l.moves = append(l.moves, w.by(far))
			}
		}
	}
	slices.Reverse(l.moves[1:])
	slices.Reverse(l.moves)
	var edges []stretch
	for k := range l.moves {
		for i := range r.lines.all {
			for _, t := range l.left(i, k) {
				s, by := r.lines.all[i], l.moves[k]
				edges = append(edges, stretch{s.a.on(s.b, t[0]).less(by), s.a.on(s.b, t[1]).less(by), int32(i), int32(k)})
			}
		}
	}
	var all []Outline
	for _, way := range loops(l.m, edges) {
		o := Outline{Hole: around(way) < 0}
		for _, s := range way {
			o.Places = append(o.Places, r.at(s.a))
			o.Stretches = append(o.Stretches, l.stretch(&s))
		}
		all = append(all, o)
	}
	if l.m.Stopped() {
		return nil, l.m.Err("level lines not found")
	}
	return all, nil
}

// A leveller finds the places that are in a region wherever they are moved.
type leveller struct {
	*Region
	m     *work.Meter
	of    []Stretch // of the lines
	moves []vec
	cuts  []float64
}

// left returns what parts of a line of the edge are in the region, moved back from one move
// and on by each of the others. Of lines that lie on one another, the first move has it.
func (l *leveller) left(i, k int) [][2]float64 {
	s := l.lines.all[i]
	long := s.a.to(s.b)
	if !(long > nigh) {
		return nil
	}
	out := vec{(s.b.z - s.a.z) / long, (s.a.x - s.b.x) / long}
	left := [][2]float64{{0, 1}}
	for other := range l.moves {
		if other == k {
			continue
		}
		if len(left) == 0 || !l.m.Do(10) {
			return nil
		}
		by, side := l.moves[other].less(l.moves[k]), nigh
		if other > k {
			side = -nigh
		}
		l.meets(line{s.a.plus(by), s.b.plus(by)}, long)
		var next [][2]float64
		for _, t := range left {
			from := t[0]
			for _, to := range append(l.cuts, t[1]) {
				if to = min(to, t[1]); !((to-from)*long > nigh) {
					continue
				}
				mid := s.a.on(s.b, (from+to)/2).plus(by)
				if l.tree.holds(vec{mid.x + float64(side*out.x), mid.z + float64(side*out.z)}) {
					if n := len(next); n > 0 && next[n-1][1] == from {
						next[n-1][1] = to
					} else {
						next = append(next, [2]float64{from, to})
					}
				}
				from = to
			}
		}
		left = next
	}
	return left
}

// nigh is how close lines are that lie on one another, mm.
const nigh = 1e-7

// meets finds where a line meets those of the edge, in order: crosses them, or has an end of
// them on it.
func (l *leveller) meets(s line, long float64) {
	l.cuts = l.cuts[:0]
	around := box{vec{min(s.a.x, s.b.x), min(s.a.z, s.b.z)}, vec{max(s.a.x, s.b.x), max(s.a.z, s.b.z)}}.by(nigh)
	l.lines.each(around.meets, func(i int) {
		f := l.lines.all[i]
		p, q := cross(s.a, s.b, f.a)/long, cross(s.a, s.b, f.b)/long
		for _, end := range [...]struct{ off, at float64 }{{p, along(s, f.a, long)}, {q, along(s, f.b, long)}} {
			if math.Abs(end.off) <= nigh && end.at > 0 && end.at < 1 {
				l.cuts = append(l.cuts, end.at)
			}
		}
		if (p > 0) != (q > 0) && math.Abs(p-q) > nigh {
			if t := along(s, f.a.on(f.b, p/(p-q)), long); t > 0 && t < 1 {
				l.cuts = append(l.cuts, t)
			}
		}
	})
	l.m.Do(len(l.cuts) * 4)
	slices.Sort(l.cuts)
}

// along is at what share of a line a place is.
func along(s line, v vec, long float64) float64 {
	return v.less(s.a).dot(s.b.less(s.a)) / (long * long)
}

// stretch returns what makes a part of a line.
func (l *leveller) stretch(s *stretch) Stretch {
	of, line, by := l.of[s.piece], l.lines.all[s.piece], l.moves[s.plane]
	long := line.a.to(line.b)
	share := func(v vec) float64 { return max(0, min(1, along(line, v.plus(by), long))) }
	return Stretch{of.From.on(of.To, share(s.a)), of.From.on(of.To, share(s.b))}
}
