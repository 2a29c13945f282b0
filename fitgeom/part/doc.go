// Package part describes the parts of a bicycle that put a rider's contact points
// where they are: headset caps and spacers, stems, bars with levers, aero bars,
// posts, saddles, cranks, pedals, and the shims that make one fit another.
//
// Lengths are in mm, angles in degrees, axes and signs those of package contact.
// Each part is a value in its own axes, as its maker draws it:
//
//	part       numbers count from                       level is
//	Stem       the steerer's axis, half the clamp up    square to the steerer
//	Bar        the clamp's centre                       as its maker draws it
//	Lever      the drop bar's foremost point            as on a level bar
//	AeroBar    the centre of the bar that it clamps     at tilt 0
//	Post       its lower end                            (along the seat tube)
//	Saddle     its nose, and the rails' centre line     the line from rear edge to nose
//	Crank      the bottom bracket's centre              (any angle)
//	Pedal      the spindle's centre                     as the ground
//
// Package fitgeom puts them together. Parts are values: compare them with ==. A
// name is for people and tells nothing to the library, but it counts in ==. Tags are
// the names in documents of package fitgeom/exchange, which checks what it reads.
//
// # Errors
//
// Every part has a Validate that reports all faults together as [*contact.Error]:
// numbers out of the ranges that are stated at the fields, which are wide enough
// for every bicycle. No number is corrected in silence. A part is not asked for more
// than its own numbers: whether two fit one another, package fitgeom tells.
//
// # Cautions
//
// That a part fits by these numbers does not make it safe. Makers' instructions
// (torques, least insertion, which parts may be combined) and a qualified
// mechanic come first.
package part
