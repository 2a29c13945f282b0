package solve

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/search"
)

// A Problem is a position that is wanted on a frame, with what may be used for it.
// Target, Frame and Shelf are needed; of every other field the zero value is useful.
type Problem struct {
	// Target is the position. It must know every site in Keep, and the tilt of the saddle.
	Target contact.Position
	// Frame is the frame with its fork.
	Frame fitgeom.Frame
	// Shelf is the parts that may be used, those on the bike now included.
	Shelf fitgeom.Shelf
	// Keep lists the sites that matter and how closely. The saddle reference
	// must be among them. List here which hand positions to keep. Nil:
	// [fitgeom.DefaultKeep] of the target.
	Keep []fitgeom.Keep
	// Crank says what becomes of the saddle when the cranks or what lies between
	// pedal and foot are not the target's. Zero: [fitgeom.KeepFarEnd].
	Crank fitgeom.CrankPolicy
	// Wheels is what the bike stands on. Zero: as its frame is drawn.
	Wheels chart.Wheels
	// Bike is what is on the bike now. A part on the shelf that equals the one
	// there need not be bought, and builds that hold the position come in the
	// order of how many parts must be. Zero: there is no bike yet, and the
	// number does not count. Shims count, spacers do not.
	Bike fitgeom.Build
	// Vary is the kinds of parts in which the candidates differ from one
	// another: of builds that have the same parts of these kinds only the best
	// is returned. A stem upside down counts as another stem. Zero:
	// part.Stems | part.Handlebars | part.AeroBars.
	Vary part.Kinds
	// Grain is the step in which scores count when builds are compared, as a
	// share of the tolerances: with 0.1, say, fewer spacers and the like decide
	// between builds that are within a tenth of the tolerances of one another.
	// 1e-8 to 10. Zero: 1e-8, far below what a build can be set to and far above
	// rounding.
	Grain float64
	// Limit is how many candidates to return, 1 to 1000. Zero: 5.
	Limit int
}

// fill puts in what zero values stand for.
func (p *Problem) fill() { (*search.Problem)(p).Fill() }

// check reports what is wrong with all but frame and shelf.
func (p *Problem) check(f *fault.List) {
	f.In("target", p.Target.Validate())
	(*search.Problem)(p).Check(f)
}

// Validate reports everything that is wrong with the problem: what the Validate of
// its parts report; [contact.ErrMissing] for what the target does not know and for
// a kind of part of which the shelf has none; numbers out of the ranges stated at
// the fields; and wheels on which the frame cannot stand.
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
	// Candidates is the best builds, best first; never empty.
	Candidates []fitgeom.Candidate
	// Combinations is how many ways to put parts and spacers together were
	// covered, each with its best settings.
	Combinations int
}

// Holds reports whether at least one build holds the position.
func (r Result) Holds() bool { return len(r.Candidates) > 0 && r.Candidates[0].Holds() }

// Solve finds the builds of the frame and parts from the shelf that come nearest to
// the position, each with its best settings. It always answers: if no build
// holds the position, the candidates are the nearest ones, and [Problem.Explain]
// tells why one does not. The package documentation states objective and order.
//
// Faults are those of [Problem.Validate], and [contact.ErrMissing] for a kind of part
// none of which fits the frame or the other parts or offers what is to be kept.
func (p Problem) Solve() (Result, error) {
	p.fill()
	if err := p.validate(); err != nil {
		return Result{}, err
	}
	best, combinations, err := search.Solve((*search.Problem)(&p))
	if err != nil {
		return Result{}, err
	}
	return Result{Candidates: best, Combinations: combinations}, nil
}
