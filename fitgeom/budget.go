package fitgeom

import "example.com/fitgeom/internal/work"

// DefaultWork is the work that a call may do if its [Budget] does not say.
const DefaultWork = work.Default

// A Budget says how much work a call may do, and what it returns if that is not enough.
//
// Work is counted, not timed, so that the same input with the same budget gives the same
// answer on every machine. A unit is one look at a combination of parts, at a frame of a
// catalogue, or at a piece of what is searched; a look that takes longer counts as
// several. A unit takes 0.01 to 0.1 µs on one core.
//
// The zero Budget allows DefaultWork and asks for an error at its end.
type Budget struct {
	// Work is how many units the call may do. Zero: [DefaultWork], 100 million, which takes
	// up to about 10 seconds; to rank a million sizes with rounded charts takes less than
	// a fifth of it, even if none of them holds. Negative: no limit.
	Work int
	// Partial asks for the best found so far when the budget or the context ends. When
	// the budget ends it comes without an error, when the context ends with the
	// context's; Complete is false in both cases. If nothing was found there is an error
	// anyway.
	Partial bool
}
