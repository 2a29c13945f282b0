// Package part describes the parts of a bicycle that put a rider's contact points
// where they are: headset caps and spacers, stems, bars with levers, aero bars,
// posts, saddles, cranks, pedals, and the shims that make one fit another.
//
// Lengths are in mm, angles in degrees, axes and signs those of package contact.
// Each part is a value in its own axes, as its maker draws it:
//
//	part        origin                         level when
//	Bar         clamp's centre                 as its maker draws it
//	AeroBar     centre of the bar that it clamps   its tilt is 0
//	Lever       the drop bar's foremost point  the bar is level
//	Stem        steerer's axis, half its height    square to the steerer
//	Post        centre of the rail clamp       along the seat tube
//	Saddle      nose                           the line from rear edge to nose is level
//
// Package fitgeom puts them together. Every part has a Validate that reports all
// faults as *contact.Error: numbers out of the ranges that are stated at the
// fields, which are wide enough for every bicycle; no number is corrected in
// silence. A name is for people and tells nothing to the library.
//
// # Cautions
//
// That a part fits by these numbers does not make it safe. Makers' instructions
// (torques, least insertion, which parts may be combined) and a qualified
// mechanic come first.
package part
