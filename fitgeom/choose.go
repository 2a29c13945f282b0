package fitgeom

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
)

// A Choice is one frame of a [Ranked] with its best build.
type Choice struct {
	// Place is the frame's place in the sizes that [NewIndex] was given, from 0.
	Place int
	// Size is the frame with its names.
	Size Size
	// Best is the frame's best build for the position, the first that
	// [Reproduce] gives: Best.Holds says whether it holds, Best.Margins the room
	// that is left both ways. It is the zero Candidate if Fault is not nil.
	Best Candidate
	// Obstacles is what [Explain] tells of Best if it does not hold: the limits
	// that bind, with their amounts. The first change of each that would do
	// alone is the smallest.
	Obstacles []Obstacle
	// Fault is the error of [Reproduce] for a frame on which no parts of the
	// shelf fit, or which cannot stand as Options.Stance has it; else nil.
	Fault error
}

// A Ranked is the best frames of an index for one position.
type Ranked struct {
	// Choices is the frames, best first.
	Choices []Choice
	// Scored is how many front ends had to be searched by [Reproduce]'s method.
	// All others were shown to be worse by a bound.
	Scored int
}

// Rank returns the Options.Limit best frames for a position (all, if there are
// fewer), as if [Reproduce] were run on every frame and the frames were sorted
// by their first candidates:
//
//  1. frames that hold the position before those that do not, and those before
//     frames on which no parts fit;
//  2. in the order of candidates that the package documentation states (with
//     Options.Bike, of frames that hold, first those for which fewer parts must
//     be bought);
//  3. frames that are alike in all of that in the order of the catalogue.
//
// All fields of Options mean what they mean to Reproduce, but Limit counts
// frames, and Vary does not matter. With a coarse Grain the order is decided by
// spacers, stem and roll among frames that are nearly equally close.
//
// A position that no frame can hold gives the nearest frames, each with its
// Obstacles. Faults are those of Reproduce for the target and the options.
//
// The work is least where frames share head angles, stacks and reaches, as rounded
// charts do. With pads or extensions among what is kept it is more, since bounds leave
// them out; and with a Stance every frame is searched.
func (x *Index) Rank(target contact.Position, opt Options) (Ranked, error) {
	q, err := x.question(target, opt)
	if err != nil {
		return Ranked{}, err
	}
	if q.opt.Stance != (Stance{}) {
		q.each()
	} else {
		q.search()
	}
	r := Ranked{Scored: q.scored}
	for i := range q.best {
		r.Choices = append(r.Choices, q.choice(&q.best[i]))
	}
	return r, nil
}

// RankEach ranks the index for one position after another and yields each answer
// as it is found, so that the caller can show progress, and stop: nothing is
// ranked ahead. Each comes with the faults that [Index.Rank] has for it, and a faulty
// position does not end it.
func (x *Index) RankEach(targets iter.Seq[contact.Position], opt Options) iter.Seq2[Ranked, error] {
	return func(yield func(Ranked, error) bool) {
		for t := range targets {
			if !yield(x.Rank(t, opt)) {
				return
			}
		}
	}
}

// A standing is what a frame is sorted by. Its first numbers can be bounded.
type standing struct {
	bound
	front, seat [orderLength]int64
	place       uint32
	record      uint32
	pairing     pairing // nil for a frame on which no parts fit
}

// A bound is the beginning of a standing.
type bound struct {
	class uint8 // 0: holds; 1: does not; 2: no parts fit
	buys  int
	cost  float64
	// Of the front end.
	spacers, flipped, roll int64
}

const (
	holding = iota
	failing
	unfit
)

func (a *bound) compare(b *bound) int {
	if a.class != b.class {
		return cmp.Compare(a.class, b.class)
	}
	cost, buys := cmp.Compare(a.cost, b.cost), cmp.Compare(a.buys, b.buys)
	if a.class == holding {
		cost, buys = buys, cost
	}
	if cost != 0 {
		return cost
	}
	if buys != 0 {
		return buys
	}
	return cmp.Or(cmp.Compare(a.spacers, b.spacers), cmp.Compare(a.flipped, b.flipped), cmp.Compare(a.roll, b.roll))
}

func (a *standing) compare(b *standing) int {
	return cmp.Or(a.bound.compare(&b.bound), slices.Compare(a.front[:], b.front[:]), slices.Compare(a.seat[:], b.seat[:]), cmp.Compare(a.place, b.place))
}

// A question is one ranking in the making.
type question struct {
	x      *Index
	opt    Options
	w      *wish
	counts bool
	best   []standing // best first, at most opt.Limit
	scored int

	seats    []*[2]*option // by seat: the best of all, the best that holds; empty if nothing fits
	seatCost float64       // what every seat costs at least
	seatBuys int
	noSeat   bool // it is known that no seat holds
	// What the seats of each point cost at least, once they are weighed.
	pointSeats []float64
	whole      contact.Position
}

func (x *Index) question(target contact.Position, opt Options) (*question, error) {
	opt.fill(&target)
	var f faults
	f.In("target", target.Validate())
	opt.check(&f, &target)
	f.In("stance", opt.Stance.Validate())
	if err := f.Err(); err != nil {
		return nil, err
	}
	opt.Keep = slices.Clone(opt.Keep)
	q := &question{x: x, opt: opt, w: newWish(&target, &opt), counts: opt.Bike != Build{}, whole: target}
	q.seats = make([]*[2]*option, len(x.seats))
	q.floors()
	return q, nil
}

// floors finds what cranks and pedals cost on every frame, and how many parts of
// the seat must be bought on every frame.
func (q *question) floors() {
	s, now := &q.x.shelf, &q.opt.Bike
	var lifts []stack
	for _, l := range stacks(s.CleatShims, 60, 0) {
		if l.below <= 60 {
			lifts = append(lifts, l)
		}
	}
	least := math.Inf(1)
	for ci := range s.Cranks {
		for pi := range max(1, len(s.Pedals)) {
			if f, ok := q.w.feet(&s.Cranks[ci], s.Pedals, pi, lifts); ok {
				least = min(least, q.w.rounded(f.cost))
			}
		}
	}
	if !math.IsInf(least, 1) {
		q.seatCost = least
	}
	if !q.counts {
		return
	}
	for _, have := range [...]bool{
		slices.Contains(s.Posts, now.Post), slices.Contains(s.Saddles, now.Saddle), slices.Contains(s.Cranks, now.Crank),
		len(s.Pedals) == 0 || slices.Contains(s.Pedals, now.Pedal),
	} {
		if !have {
			q.seatBuys++
		}
	}
}

// each searches every frame.
func (q *question) each() {
	for i := range q.x.records {
		size := q.x.size(uint32(i))
		q.offer(q.alone(uint32(i), &size.Frame))
	}
}

// front returns the best front end of a frame, and the best that holds.
func (q *question) front(frame *Frame) *[2]*option {
	q.scored++
	ch := newChassis(frame, &q.opt.Stance)
	r := newRanking(1, q.counts, q.opt.Vary, [5]part.Kinds{part.Caps, part.Stems, part.Bars, part.Levers, part.AeroBars})
	q.w.fronts(r, frame, &ch, &q.x.shelf, &q.opt.Bike)
	return leaders(r)
}

// seat does the same for the seat.
func (q *question) seat(frame *Frame) *[2]*option {
	ch := newChassis(frame, &q.opt.Stance)
	r := newRanking(1, q.counts, q.opt.Vary, [5]part.Kinds{part.Posts, part.Saddles, part.Cranks, part.Pedals})
	q.w.seats(r, frame, &ch, &q.x.shelf, &q.opt.Bike)
	return leaders(r)
}

func leaders(r *ranking) *[2]*option {
	l := new([2]*option)
	if len(r.all) > 0 {
		l[0] = &r.all[0]
	}
	if len(r.holding) > 0 {
		l[1] = &r.holding[0]
	}
	return l
}

// stand tells where a frame stands, by its best front ends and seats.
func (q *question) stand(record uint32, front, seat *[2]*option) standing {
	s := standing{bound: bound{class: unfit}, place: q.x.records[record].place, record: record}
	if front == nil || seat == nil || front[0] == nil || seat[0] == nil {
		return s
	}
	s.class = failing
	s.pairing = pairing{front[0], seat[0]}
	if front[1] != nil && seat[1] != nil {
		s.class = holding
		s.pairing = pairing{front[1], seat[1]}
	}
	f, t := s.pairing.front, s.pairing.seat
	s.cost, s.buys = float64(f.cost+t.cost), f.buys+t.buys
	s.front, s.seat = f.order, t.order
	s.spacers, s.flipped, s.roll = f.order[0], f.order[1], f.order[2]
	return s
}

// alone tells where a frame stands by a search of its own.
func (q *question) alone(record uint32, frame *Frame) standing {
	var f faults
	if frame.checkStance(&f, q.opt.Stance); f.Err() != nil {
		return q.stand(record, nil, nil)
	}
	return q.stand(record, q.front(frame), q.seat(frame))
}

// offer puts a frame among the best if it belongs there.
func (q *question) offer(s standing) {
	if len(q.best) == q.opt.Limit && s.compare(&q.best[len(q.best)-1]) >= 0 {
		return
	}
	at, _ := slices.BinarySearchFunc(q.best, &s, func(a standing, b *standing) int { return a.compare(b) })
	if len(q.best) == q.opt.Limit {
		q.best = q.best[:len(q.best)-1]
	}
	q.best = slices.Insert(q.best, at, s)
}

// choice makes a choice of a standing.
func (q *question) choice(s *standing) Choice {
	c := Choice{Place: int(s.place), Size: q.x.size(s.record)}
	if s.class == unfit {
		_, c.Fault = Reproduce(q.whole, c.Size.Frame, q.x.shelf, q.opt)
		return c
	}
	c.Best = q.w.candidate(&c.Size.Frame, &q.x.shelf, q.opt.Stance, s.pairing)
	if !c.Best.Holds {
		// The candidate is sound, so that Explain does not fail.
		c.Obstacles, _ = Explain(q.whole, c.Size.Frame, q.x.shelf, q.opt, c.Best)
	}
	return c
}
