// Package region tells where the parts of a frame may be for a position, whatever
// frames there are: the reach and stack of the head tube ([New]), the seat angle
// and setback ([NewSeat]), and, backwards, the frame that a rider is on now
// ([FrameNow]).
//
// Axes, units and signs are those of package contact. A frame's place is the
// centre of its head tube's top as a [HeadPlace]: reach forward and stack up from
// the bottom bracket, in mm.
//
//	stack   ┌───────┐        a frame in the region holds the position with
//	  ↑    /  × best │        parts within the bounds; Region.Place tells how
//	  │    └────────┘   ∘     much more spacer or stem one outside would take
//	  └───────────→ reach
//
// # Exactness
//
// What a region holds is told to 0.02 mm, and judged as package fitgeom/solve judges
// it, with the same tolerances. Its outline is drawn through a grid of 0.5 mm, so
// that corners of it are cut by up to 0.35 mm; [Region] says more.
//
// # Cost
//
// A region with a few steps takes some milliseconds, and grows with the product
// of the steps of stem length, stem angle and height, with the tolerances and with
// the range of head angles: 20 degrees of it and 20 mm of tolerance take seconds,
// and the widest that are allowed many minutes.
//
// # Errors
//
// Faults are [*contact.Error], all of an input together. An empty region is a
// result and not an error.
//
// # Cautions
//
// A place in the region says nothing of a frame but its head tube: makers'
// limits on stems and spacers, and a qualified mechanic, come first.
package region
