package fitgeom

import "example.com/fitgeom/internal/work"

// DefaultWork is the work that a call may do if its [Budget] does not say.
const DefaultWork = work.Default

// A Budget says how much work a call may do, and what comes if that is not enough.
//
// Work is counted, not timed, so that the same input with the same budget gives the same
// answer on every machine. It is counted in units: one look at a way to put parts
// together, at a frame of a catalogue, or at a piece of what is searched; looks that take
// longer count as several. A unit takes 0.02 to 0.1 µs on one core.
//
// The zero Budget allows DefaultWork and asks for an error at its end.
type Budget struct {
	// Work is how many units the call may do. Zero: [DefaultWork], which takes up to 10
	// seconds and is some hundred times what shelves and catalogues of real size take.
	// Negative: no end.
	Work int
	// Partial asks for the best that was found when the budget or the context ended. At
	// the end of the budget it comes without an error, at that of the context with it;
	// its field Complete is then false. If nothing was found it is an error all the same.
	Partial bool
}
