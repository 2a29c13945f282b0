// Package region finds which frames could hold a position, independently of any
// catalogue: the reach and stack of the head tube ([New]), and the seat angle and
// setback ([NewSeat]). In the other direction, [FrameNow] finds the frame that a rider's
// present position amounts to. [Region.AtLeast] draws where hands can still move.
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
// A region is exact to 0.02 mm: the arcs along which handlebar and stem turn are replaced by
// chords. Its outlines are the edge of just these pieces, computed and not sampled, to
// 0.000001 mm; each straight part of them says which stem makes it ([Stretch]). A position is
// judged by the same tolerances as in package fitgeom/solve.
//
// # Limits of a rider
//
// With Bounds.Limits a region has the places at which the hands are within tolerance and keep
// what the rider's joints may do, with saddle and feet where the target has them. A bar may be
// rotated for that; package fitgeom/solve rotates it to where it comes closest, and so holds less
// where bars can be rotated. In [Region.Room] and [Region.AtLeast] the hands keep the limits before they
// move, and afterwards they are not asked. [NewSeat] knows no limits: where the saddle may be is
// for [rider.Limits.Region].
//
// # Cost
//
// A region with a few steps takes some milliseconds, one of all usual stems and spacers at a
// range of head angles up to a second, and the widest bounds that are allowed some seconds.
// The time grows with the product of the numbers of stem lengths, stem angles and heights and
// with the length of the edge. Bounds.Budget ends [New] before with an error or with a part of
// the region ([Region.Complete]). New takes at most 50 MB of memory, and when its context ends
// it returns within 5 ms. [Region.Holds] takes less than a microsecond, [Region.Place] a few.
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
