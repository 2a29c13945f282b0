package solve

import (
	"context"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
)

// A Problem asks how to reproduce a position on a frame with the parts of a shelf.
// Target, Frame and Shelf are required; every other field has a useful zero value.
type Problem struct {
	// Target is the position. It must have every site in Keep, and the tilt of the saddle.
	Target contact.Position
	// Frame is the frame with its fork.
	Frame fitgeom.Frame
	// Shelf holds the parts that may be used, including those on the bike now.
	Shelf fitgeom.Shelf
	// Keep lists the sites to keep, such as the hand positions, and how closely. The
	// saddle reference must be among them. Nil: [fitgeom.DefaultKeep] of the target.
	Keep []fitgeom.Keep
	// Crank says how the saddle moves if crank length or the height of the foot above
	// the pedal axis differs from the target's. Zero: [fitgeom.KeepFarEnd].
	Crank fitgeom.CrankPolicy
	// Wheels holds the wheels the bike stands on. Zero: it stands as the frame is drawn.
	Wheels chart.Wheels
	// Bike is the present build. A part on the shelf that equals the one on the bike
	// need not be bought, and builds are sorted by the number of parts to buy. Shims count
	// as parts, spacers do not. Zero: there is no bike yet, and the number of parts to buy is
	// ignored.
	Bike fitgeom.Build
	// Vary is the kinds of parts in which candidates differ: of builds with the same
	// parts of these kinds, only the best is returned. A stem upside down counts as a
	// different stem. Zero:
	// part.Stems | part.Handlebars | part.AeroBars.
	Vary part.Kinds
	// RoomWanted is how much room to move a build shall leave, one wish for a group. Builds that hold
	// the position are sorted by how much they are short of it before all else. Nil:
	// [fitgeom.DefaultRoom]. Empty, but not nil: none is wanted.
	RoomWanted []fitgeom.RoomWish
	// Preference is what is usual. Zero: [fitgeom.DefaultPreference] of what is kept.
	Preference fitgeom.Preference
	// Rules is what a build must keep besides: one that is known to break a rule does not
	// hold the position. Margins do not count, since they are for what measuring may be wrong. A
	// rule of which it is not known whether a build keeps it, since a part does not state what
	// it looks at or Rider not for whom it is, does not count either: the candidate says so
	// ([fitgeom.Candidate].Rules, [fitgeom.CautionRuleNotKnown]). Zero: there are no rules.
	Rules rules.Set
	// Rider is what the rules need to know of the rider. Zero: nothing is known.
	Rider rules.Rider
	// Limits is a rider's body and what its joints may do ([rider.Limits.Check]): a build on which
	// it is known to break a limit does not hold the position. What is not known does not count, as
	// with rules. Of what a candidate says (Candidate.Rules) limits come after the rules, with
	// places that go on from theirs. Zero: nothing is limited.
	Limits rider.Limits
	// Grain is the step to which distances ([fitgeom.Candidate.Distance]) are rounded before
	// builds are compared, as a fraction of the tolerances, so that nothing decides by less
	// than can be measured. Range 1e-8 to 10. Zero: 0.1.
	Grain float64
	// Limit is how many candidates to return, 1 to 1000. Zero: 5.
	Limit int
	// Workers is how many goroutines the ranking of a catalogue may use, up to 64; its answer is
	// the same for any number, unless the budget ends it, which they share evenly; and each takes
	// memory of its own. Other methods use one. Zero: 1.
	Workers int
	// Budget is how much work each method may do, and what comes at its end. Zero: enough
	// for any ordinary problem, and an error at the end.
	Budget fitgeom.Budget
}

// fill replaces zero values by the defaults they stand for.
func (p *Problem) fill() { (*search.Problem)(p).Fill() }

// check reports everything wrong with the problem except frame and shelf.
func (p *Problem) check(f *fault.List) {
	f.In("target", p.Target.Validate())
	(*search.Problem)(p).Check(f)
}

// Validate reports everything that is wrong with the problem: the errors of the Validate
// methods of its fields; [contact.ErrMissing] for a site or tilt that the target lacks
// and for a kind of part that the shelf lacks; numbers that are out of range; wheels on
// which the frame cannot stand; and [contact.ErrConflict] for cranks so much longer or
// shorter than the target's that [fitgeom.KeepFarEnd] has no place for the saddle.
func (p Problem) Validate() error {
	p.fill()
	return p.validate()
}

func (p *Problem) validate() error {
	var f fault.List
	p.check(&f)
	f.In("frame", p.Frame.Validate())
	f.In("shelf", p.Shelf.Validate())
	if f.Len() == 0 {
		f.In("", p.Frame.ValidateOn(p.Wheels))
	}
	return f.Err()
}

// A Result is the answer of [Problem.Solve].
type Result struct {
	// Candidates holds the best builds, best first. It is never empty.
	Candidates []fitgeom.Candidate `json:"candidates"`
	// Combinations is the number of combinations of parts and spacers that the search
	// covered.
	Combinations int `json:"combinations"`
	// Complete says that the search covered all of them. It can be false only if
	// Problem.Budget asks for a partial answer.
	Complete bool `json:"complete"`
	// Bound is a lower bound of the distance ([fitgeom.Candidate.Distance]) of everything that
	// was not covered; 0 if Complete. A build that holds the position has a distance of at most
	// the root of the sum of the weights of all kept coordinates.
	Bound float64 `json:"bound,omitzero"`
	// Findings is what is implausible about the problem ([Problem.Findings]). The answer
	// is true of what was given; a person should look at that first.
	Findings []contact.Oddity `json:"findings,omitempty"`
}

// Holds reports whether at least one build holds the position.
func (r Result) Holds() bool { return len(r.Candidates) > 0 && r.Candidates[0].Holds() }

// Solve finds the builds, from the frame and the parts on the shelf, that come closest to
// the position, each with its best settings. If no build holds the position, it returns
// the closest ones, and [Problem.Explain] says why one of them does not hold. The package
// documentation states objective and order.
//
// Errors are those of [Problem.Validate], and [contact.ErrMissing] for a kind of part of
// which none fits the frame and the other parts, or none offers the kept sites. If the
// context ends, the error wraps the context's; if Problem.Budget does, it is
// [contact.ErrBudget].
func (p Problem) Solve(ctx context.Context) (Result, error) {
	m := work.New(ctx, p.Budget.Work)
	if m.Stopped() {
		return Result{}, m.Err("before it began")
	}
	p.fill()
	if err := p.validate(); err != nil {
		return Result{}, err
	}
	r, err := search.Solve(m, (*search.Problem)(&p))
	if len(r.Candidates) == 0 {
		return Result{}, err
	}
	return Result{Candidates: r.Candidates, Combinations: r.Combinations, Complete: r.Complete, Bound: r.Bound, Findings: p.Findings()}, err
}

// Closest returns the problem with nothing that counts more than how close a build comes, but
// parts to buy: no room is wanted, nothing is usual, and the grain is the finest.
func (p Problem) Closest() Problem {
	p.RoomWanted, p.Preference, p.Grain = []fitgeom.RoomWish{}, fitgeom.Preference{Nothing: true}, 1e-8
	return p
}

// Decide returns what decides between two candidates of the problem, such as the first two of a
// [Result], and by how much, in the reason's unit. It does not tell which of them is better, nor
// does it check the problem.
func (p Problem) Decide(a, b fitgeom.Candidate) (fitgeom.Reason, float64) {
	p.fill()
	core := (*search.Problem)(&p)
	first, second := search.Weigh(core, &a), search.Weigh(core, &b)
	reason, by := search.Decide(&first, &second)
	if reason == fitgeom.ByCloseness {
		by = math.Abs(a.Distance() - b.Distance())
	}
	return reason, by
}

// Findings returns what is implausible about the target and the frame, and so about every
// answer to the problem: [contact.Position.Findings] and [chart.Geometry.Findings], and what of the
// target itself is beyond the limits of the rider.
func (p Problem) Findings() []contact.Oddity {
	var all []contact.Oddity
	for _, f := range p.Target.Findings() {
		all = append(all, f.In("target"))
	}
	all = append(all, p.beyondLimits()...)
	if p.Frame != (fitgeom.Frame{}) {
		for _, f := range p.Frame.Geometry.Findings() {
			all = append(all, f.In("frame.geometry"))
		}
	}
	return all
}
