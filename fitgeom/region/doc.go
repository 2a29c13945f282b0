// Package region finds which frames could hold a position, independently of any
// catalogue: the reach and stack of the head tube ([New]), and the seat angle and
// setback ([NewSeat]). In the other direction, [FrameNow] finds the frame that a rider's
// present position amounts to.
//
// Axes, units and signs are those of package contact. A frame's place is the centre of
// the top of its head tube as a [HeadPlace]: reach forward and stack up from the bottom
// bracket, in mm.
//
//	stack   ┌───────┐        a frame in the region holds the position with
//	  ↑    /  × best │        parts within the bounds; Region.Place says how much
//	  │    └────────┘   ∘     more spacer or stem a frame outside would need
//	  └───────────→ reach
//
// # Exactness
//
// A region's edge is exact to 0.02 mm. A position is judged by the same tolerances as
// in package fitgeom/solve. The outline is traced on a grid of 0.5 mm, so its corners
// may be cut by up to 0.35 mm; see [Region].
//
// # Cost
//
// A region with a few steps takes a few milliseconds. The time grows with the product of
// the numbers of stem lengths, stem angles and heights, with the tolerances and with the
// range of head angles: a range of 20 degrees with tolerances of 20 mm takes seconds. The
// widest bounds that are allowed would take an hour; Bounds.Budget ends them before, with an
// error or with a part of the region ([Region.Complete]). [New] takes at most 50 MB of memory,
// and when its context ends it returns within 5 ms.
//
// # Errors
//
// Errors are [*contact.Error], which reports all faults of an input together. An empty
// region is a result, not an error.
//
// # Cautions
//
// A place in the region says nothing about a frame except its head tube. The
// manufacturers' limits on stems and spacers, and the judgement of a qualified mechanic,
// come first.
package region
