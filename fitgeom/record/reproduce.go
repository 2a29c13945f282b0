package record

import (
	"context"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
)

// A Reproduction is the answer to how a recorded position is had on another frame.
type Reproduction struct {
	Result solve.Result `json:"result"`
	// Chances has for each of the result's candidates the probability, 0 to 1, that it has
	// the rider's true position within the tolerances: how well the record knew it counts.
	Chances []float64 `json:"chances" range:"0 to 1"`
}

// Reproduce solves a problem for the recorded position, and carries the record's uncertainty
// into the chance of every build. The problem's Target and Target of the errors must be zero,
// since the record has them.
//
// Faults are those of [Record.Target], of [solve.Problem.Solve] and of [solve.Problem.Chance],
// such as [contact.ErrMissing] for a kept coordinate whose uncertainty the record does not
// know; and [contact.ErrConflict] for a target of the problem. If the context ends, the error
// wraps the context's.
func (r Record) Reproduce(ctx context.Context, p solve.Problem, e solve.Errors) (Reproduction, error) {
	var f fault.List
	if p.Target != (contact.Position{}) {
		f.Add("problem.target", "one", "that of the record", contact.ErrConflict)
	}
	if len(e.Target.Coordinates()) != 0 {
		f.Add("errors.target", "one", "that of the record", contact.ErrConflict)
	}
	target, covariance, err := r.Target()
	f.In("record", err)
	if err := f.Err(); err != nil {
		return Reproduction{}, err
	}
	p.Target, e.Target = target, covariance
	result, err := p.Solve(ctx)
	if err != nil {
		return Reproduction{}, err
	}
	answer := Reproduction{Result: result, Chances: make([]float64, len(result.Candidates))}
	for i, c := range result.Candidates {
		if answer.Chances[i], err = p.Chance(ctx, c, e); err != nil {
			return Reproduction{}, err
		}
	}
	return answer, nil
}
