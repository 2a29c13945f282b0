// Package fitgeom puts bicycle parts under a rider's contact points: what
// position a build gives, which builds give a position, and what is in the way
// if none does.
//
// Axes, units and signs are those of package contact: millimetres, degrees, X
// forward, Y left, Z up from the bottom bracket.
//
// # Model
//
// A [Build] is a [Frame] as it stands ([Stance]), parts, and [Settings];
// [Build.Position] is the forward map. All of it is rigid geometry:
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
// A [part.Bar] has one of three shapes, each with the sites that it offers, turned
// about the clamp's centre by the bar's roll; an aero bar ([part.AeroBar]) is tilted
// about the same axis. Suspension that sags and other tyres turn the whole frame about the
// bottom bracket, and nothing else. Directions of settings (roll, tilts) are
// against level ground.
//
// Parts of which a diameter does not match are no candidates, unless a [part.Shim]
// makes them fit.
//
// # Objective
//
// Each kept site's residual is divided by its tolerance, axis by axis, and its
// square counted by a weight ([Keep]).
// For every way to combine parts and spacers, [Reproduce] finds the best settings
// within all limits: of bar, aero bar and saddle each, of those settings with
// which it holds (every coordinate within its tolerance) the ones with the least
// sum of squares; and if there are none, the ones with the least sum of squares
// of all. The saddle's tilt is the target's, cleats get the shims that bring each
// foot nearest to its height, and a setting that nothing depends on stays as low
// as it can be, a roll at 0.
//
// # Order
//
// Candidates come in this order, which depends on nothing but the input:
//
//  1. builds that hold the position before those that do not;
//  2. of those that hold, fewer parts to buy (Options.Bike);
//  3. lesser sums of squares: the scores of bar, aero bar, saddle and feet, each
//     rounded to Options.Grain, so that rounding does not decide;
//  4. of those that do not hold, fewer parts to buy;
//  5. less spacers under the stem, stem not upside down, less roll;
//  6. place on the shelf: cap, stem, bar, levers, aero bar;
//  7. crank length nearer to the target's, rails nearer their middle;
//  8. place on the shelf: post, saddle, crank, pedals.
//
// Of builds that have the same parts of the kinds in Options.Vary only the first
// is a candidate. The answer equals full enumeration of the shelf.
//
// # Reading a failure
//
// When no build holds the position, that is an answer and not an error: the
// candidates are the nearest builds. [Explain] finds, for each of the two groups
// of parts that do not hold, every single change that would free it and the least
// changes that would do so together, as an [Obstacle]. [Verify] recomputes any
// candidate from its build alone.
//
// # Exactness
//
// Positions are exact to rounding, about 1e-12 mm, and amounts before a limit with
// them. What a search or a linear program finds is the same to 1e-6 mm on every
// processor, and [Chance] is good to 0.003. What the model leaves out is another
// matter: parts that bend, tyres that give, makers' tolerances.
//
// # Cost
//
// Front end and seat do not touch one another: Reproduce searches caps × stems ×
// bars × levers × aero bars × spacer heights, and cranks × pedals × posts ×
// saddles, and keeps a few of each. Lower bounds leave out most front ends
// unseen; 1.3 million of them take a little over a millisecond where each kept
// site of the bar has one tolerance forward and up, and longer otherwise. Memory
// grows with the shelf and not with the combinations. Explain takes milliseconds
// and up to some tenths of a second. Index.Rank bounds a frame in some 10 to 70 ns
// and searches only a few of a million.
//
// # Errors
//
// Faults are [*contact.Error], all of an input together; whether parts go together is
// asked once the numbers of each make sense.
//
// # Cautions
//
// Each [Candidate] carries its cautions, as [Caution] lists them. Makers'
// instructions and a qualified mechanic come before anything that a program says; pain is a clinician's matter. [Rules] are
// data for those who ask, not a rule book.
package fitgeom
