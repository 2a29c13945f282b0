// Package fitgeom puts bicycle parts under a rider's contact points: what
// position a build gives, and which build gives a position.
//
// Axes, units and signs are those of package contact: millimetres, degrees, X
// forward, Y left, Z up from the bottom bracket.
//
// # Model
//
// A [Build] is a [Frame], one part of each kind, and [Settings]; Build.Position
// is the forward map. All of it is rigid geometry in the side view, with the
// bars' and cranks' widths to the sides:
//
//	                    ____ hoods      head tube's top centre: (reach, stack)
//	saddle   clamp o---/----\           then up the steerer: cap, spacers, half
//	======        /  stem   |           of the stem's height; then along the stem
//	  o rails    o      ___/ drops      at 90° - head angle + stem angle.
//	  \         /
//	   \ post  /  steerer               Seat tube's axis: up to its edge, then the
//	    \     /                         post's extension, then its setback square
//	     \   /                          to the axis; from the rails up to the
//	      o                             saddle, turned by its tilt.
//	bottom bracket
//
// [Reproduce] goes the other way. Parts of which a diameter does not match are
// no candidates.
//
// # Objective
//
// Each kept site's residual is divided by its tolerance, axis by axis
// ([Keep]). For every way to combine parts and spacers, Reproduce finds the
// settings (post extension, rail position, bar roll) with the least sum of
// squares, within all limits; the saddle's tilt is the target's. Post and rails
// are solved in closed form, the roll by its derivative.
//
// # Order
//
// Candidates come in this order, which depends on nothing but the input:
//
//  1. builds that hold the position, every coordinate within its tolerance,
//     before those that do not;
//  2. lesser sums of squares first, where each group of parts (front end, saddle
//     and post, crank) is rounded to a millionth of a squared tolerance, so
//     that rounding does not decide;
//  3. fewer millimetres of spacers, stem not flipped, less roll;
//  4. place on the shelf: cap, stem, bar, lever;
//  5. rails nearer their middle; place on the shelf: post, saddle, crank.
//
// The answer equals full enumeration of the shelf.
//
// # Reading a failure
//
// When no build holds the position, that is an answer and not an error: the
// candidates are the nearest builds, each with its [Shortfall]s. The shortfalls
// of saddle and post are what the settings lack; those of the front end are how
// much more spacer and stem, together, would bring the sites of the bar to
// where they are wanted on average. What no move of the parts could make good,
// such as two hoods wanted at unlike heights, is in the residuals alone.
//
// # Cost
//
// The parts of the front end, of the seat and the cranks do not touch one
// another: Reproduce weighs caps × stems × bars × levers × spacer heights, plus
// posts × saddles, plus cranks, and keeps a few of each. A front end takes about
// half a microsecond.
//
// # Errors
//
// Faults are [*contact.Error], all of an input together.
//
// # Cautions
//
// Candidates carry [Caution]s. Makers' instructions and a qualified mechanic come
// before anything that a program says; pain is a clinician's matter.
package fitgeom
