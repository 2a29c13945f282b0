package rank

import (
	"context"
	"fmt"
	"iter"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
)

// An Index is a catalogue of frame sizes, prepared to rank them for any number of
// problems. It does not change once it is made and is safe for concurrent use.
// [NewIndex] makes it; the zero Index has no frames, and ranks none.
type Index struct{ core *search.Index }

// NewIndex prepares a catalogue of sizes. The index refers to them: they must not change
// while it is in use. It takes about 50 bytes a frame, and up to 170 if they are spaced to do harm;
// while it is made up to 500. If the context ends it returns no index,
// and an error that wraps the context's.
//
// The index holds the sound sizes. All faults are reported together, each with a path
// such as "row 17.frame.geometry.reach_mm" for a size with a Row and "sizes[16].frame..."
// for others; the caller decides whether to go on. If a size is given twice, the first is
// used ([contact.ErrConflict]). The index is nil if no size is sound
// ([contact.ErrMissing]).
func NewIndex(ctx context.Context, sizes []fitgeom.Size) (*Index, error) {
	core, err := search.NewIndex(ctx, sizes)
	if core == nil {
		return nil, err
	}
	return &Index{core}, err
}

// Len returns how many frames there are.
func (x *Index) Len() int {
	if x.core == nil {
		return 0
	}
	return x.core.Len()
}

// A Choice is one frame of a [Ranking] with its best build.
type Choice struct {
	// Place is the frame's place in the sizes that [NewIndex] was given, from 0.
	Place int
	// Shard is which of the rankings that [Merge] was given has the choice, from 0; 0 without it.
	Shard int
	// Size is the frame with its names.
	Size fitgeom.Size
	// Best is the frame's best build for the position, the first that
	// [solve.Problem.Solve] gives. It is the zero Candidate if Fault is not nil.
	Best fitgeom.Candidate
	// Reason is what decides between the choice and the next one of a ranking, and By the
	// difference in it, in the reason's unit; zero for the last one.
	Reason fitgeom.Reason
	By     float64
	// Fault is the error of [solve.Problem.Solve] for a frame on which no parts of the
	// shelf fit, or which cannot stand on the problem's wheels; else nil.
	Fault error
}

// Why says how the choice is better than the next one of its ranking, as in "nearer to what is
// usual by 2 points"; "" for the last one.
func (c Choice) Why() string {
	if c.Reason == 0 {
		return ""
	}
	return why(c.Reason, true, c.By)
}

// Holds reports whether the frame holds the position.
func (c Choice) Holds() bool { return c.Fault == nil && c.Best.Holds() }

// Explain returns what prevents the frame from holding the position of the problem that
// was ranked: what [solve.Problem.Explain] does for the choice's frame and Best. There
// are none for a choice that holds. Errors are those of Problem.Explain, and the choice's
// Fault if it has one.
func (c Choice) Explain(ctx context.Context, p solve.Problem) ([]solve.Obstacle, error) {
	if c.Fault != nil {
		return nil, c.Fault
	}
	p.Frame = c.Size.Frame
	return p.Explain(ctx, c.Best)
}

// A Ranking is the best frames of an index for one problem.
type Ranking struct {
	// Choices is the frames, best first.
	Choices []Choice `json:"choices"`
	// Tied is how many of the choices, from the first, stand equal: nothing tells them apart but
	// their place in the catalogue.
	Tied int `json:"tied" range:"0 to 1e9" unit:"choices"`
	// Scored is how many front ends were searched as [solve.Problem.Solve] does. All
	// others were ruled out by a bound. Workers may search some more, now these and now those.
	Scored int `json:"scored"`
	// Complete says that every frame was searched or ruled out. It can be false only if
	// Problem.Budget asks for a partial answer.
	Complete bool `json:"complete"`
	// Bound is a lower bound of the distance of every frame that was not searched and may
	// belong among the choices, or before them; 0 if Complete.
	Bound float64 `json:"bound,omitzero"`
	// Findings is what is implausible about the target ([solve.Problem.Findings]). Those
	// of a frame are [chart.Geometry.Findings] of its Size.
	Findings []contact.Oddity `json:"findings,omitempty"`
}

// hasty is how many choices a ranking has whose context has ended.
const hasty = 100

// Rank returns the Limit best frames for a problem (all, if there are fewer), as if
// [solve.Problem.Solve] were run on every frame and the frames were sorted by their
// first candidates:
//
//  1. frames that hold the position, with the problem's rules kept, before those that do not, and
//     those before frames on which no parts fit;
//  2. in the order of candidates that package solve states, but for the place on the shelf;
//  3. frames that are equal in all of these in the order of the catalogue (Ranking.Tied).
//
// The problem's Frame must be zero, since the index has the frames. Limit counts frames,
// and Vary does not matter.
//
// If no frame holds the position, Rank returns the closest frames; [Choice.Explain] says
// what prevents them. Faults are those of [solve.Problem.Validate] for all but the frame, and
// [contact.ErrConflict] for a frame that is not zero. If the context ends, the error wraps
// the context's; if Problem.Budget does, it is [contact.ErrBudget]. A ranking that was cut
// short has only frames that were searched to their end, and at the end of the context no
// more than 100 of them.
//
// With other Wheels than their own the frames stand otherwise, and it first takes 150 bytes and
// about half a microsecond for each.
func (x *Index) Rank(ctx context.Context, p solve.Problem) (Ranking, error) {
	m := work.New(ctx, p.Budget.Work)
	if m.Stopped() {
		return Ranking{}, m.Err("before it began")
	}
	q, p, err := x.ask(m, p)
	if err != nil {
		return Ranking{}, err
	}
	best, open := q.Rank()
	r := Ranking{Scored: q.Scored, Bound: open, Choices: make([]Choice, 0, len(best)), Findings: p.Findings()}
	for i := range best {
		if m.Ended() && (!p.Budget.Partial || i == hasty) {
			break // a thousand would take long
		}
		c := x.choice(m, q, &p, &best[i])
		if c.Fault != nil && m.Stopped() {
			break // it may be the meter's
		}
		r.Choices = append(r.Choices, c)
	}
	r.reasons(best)
	r.Complete = !m.Stopped()
	ok, err := m.Answer(p.Budget.Partial && len(r.Choices) > 0, fmt.Sprintf("%d front ends searched", q.Scored))
	if !ok {
		return Ranking{}, err
	}
	return r, err
}

// reasons tells of each choice what decides between it and the next one.
func (r *Ranking) reasons(best []search.Standing) {
	equal := true
	for i := range r.Choices {
		c := &r.Choices[i]
		if equal {
			r.Tied++
		}
		if i+1 < len(r.Choices) {
			c.Reason, c.By = search.Decide(&best[i], &best[i+1])
			if c.Reason == fitgeom.ByCloseness {
				c.By = math.Abs(c.Best.Distance() - r.Choices[i+1].Best.Distance())
			}
			equal = equal && c.Reason == fitgeom.ByPlace
		}
	}
}

// Merge puts rankings of shards of a catalogue together, for the same problem but for its Frame: what
// [Index.Rank] would return for all sizes, those of the first shard first. Limit is that of the
// problem, of which nothing is checked. A Place is that in its own shard ([Choice.Shard]).
func Merge(p solve.Problem, shards ...Ranking) Ranking {
	s := search.Problem(p)
	s.Fill()
	type entry struct {
		choice   Choice
		standing search.Standing
	}
	var all []entry
	m := Ranking{Complete: true, Bound: math.Inf(1)} //exhaustruct:ignore
	for i := range shards {
		r := &shards[i]
		m.Scored += r.Scored
		m.Complete = m.Complete && r.Complete
		if !r.Complete {
			m.Bound = min(m.Bound, r.Bound)
		}
		if len(m.Findings) == 0 {
			m.Findings = r.Findings
		}
		for _, c := range r.Choices {
			c.Shard, c.Reason, c.By = i, 0, 0
			standing := search.Unfit()
			if c.Fault == nil {
				standing = search.Weigh(&s, &c.Best)
			}
			all = append(all, entry{c, standing})
		}
	}
	slices.SortStableFunc(all, func(a, b entry) int {
		switch {
		case a.standing.Before(&b.standing):
			return -1
		case b.standing.Before(&a.standing):
			return 1
		}
		return 0
	})
	if m.Complete {
		m.Bound = 0
	}
	all = all[:max(0, min(len(all), s.Limit))]
	best := make([]search.Standing, len(all))
	for i := range all {
		m.Choices, best[i] = append(m.Choices, all[i].choice), all[i].standing
	}
	m.reasons(best)
	return m
}

// RankEach ranks the index for one target after another and yields each answer as soon as
// it is found. The caller may show progress, and may stop: nothing is ranked ahead. Each
// comes with the faults that [Index.Rank] has for it, and a faulty target does not end it;
// the end of the context does. The problem's own target is ignored.
func (x *Index) RankEach(ctx context.Context, targets iter.Seq[contact.Position], p solve.Problem) iter.Seq2[Ranking, error] {
	return func(yield func(Ranking, error) bool) {
		if targets == nil {
			yield(Ranking{}, &contact.Error{Path: "targets", Want: "a sequence of positions", Class: contact.ErrMissing})
			return
		}
		for p.Target = range targets {
			if !yield(x.Rank(ctx, p)) || ctx.Err() != nil {
				return
			}
		}
	}
}

// ask checks a problem without a frame and prepares its question.
func (x *Index) ask(m *work.Meter, p solve.Problem) (*search.Question, solve.Problem, error) {
	s := search.Problem(p)
	s.Fill()
	var f fault.List
	f.In("target", s.Target.Validate())
	f.In("shelf", s.Shelf.Validate())
	s.Check(&f)
	f.In("wheels", s.Wheels.Validate())
	if s.Frame != (fitgeom.Frame{}) {
		f.Add("frame", strconv.Quote(s.Frame.Name), "none: the index has the frames", contact.ErrConflict)
	}
	if err := f.Err(); err != nil {
		return nil, p, err
	}
	core := x.core
	if core == nil {
		core = new(search.Index)
	}
	return core.Ask(m, &s), solve.Problem(s), nil
}

// choice makes a choice of where a frame stands. If the meter stops it, its fault is
// not to be used.
func (x *Index) choice(m *work.Meter, q *search.Question, p *solve.Problem, s *search.Standing) Choice {
	size, _ := x.core.Size(s.Place())
	c := Choice{Place: s.Place(), Size: *size}
	if s.Fits() {
		c.Best = q.Candidate(s, &size.Frame)
		return c
	}
	c.Fault = size.Frame.ValidateOn(p.Wheels)
	if c.Fault == nil {
		on := search.Problem(*p)
		on.Frame = size.Frame
		_, c.Fault = search.Solve(m, &on)
	}
	return c
}
