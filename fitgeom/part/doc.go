// Package part describes the parts of a bicycle that put a rider's contact points where
// they are: headset caps and spacers, stems, handlebars with levers, aero bars,
// seatposts, saddles, cranks, pedals, and the shims that make one fit another.
//
// Lengths are in mm, angles in degrees, axes and signs those of package contact. Each
// part is a value in its own axes, as its manufacturer draws it. For a handlebar that is
// its nominal position:
//
//	part       numbers count from                        what is horizontal
//	Stem       the steerer's axis, halfway up the clamp  square to the steerer
//	Handlebar  the clamp's centre                        as in the nominal position
//	Lever      the drop bar's foremost point             as on a handlebar in its nominal position
//	AeroBar    the centre of the handlebar's clamp       as at tilt 0
//	Seatpost   its lower end                             (along the seat tube)
//	Saddle     its nose, and the rails' centre line      a straight edge along its top
//	Crank      the bottom bracket's centre               (any angle)
//	Pedal      the spindle's centre                      as the ground
//
// Package fitgeom puts them together. Parts are values: compare them with ==. A Name is
// for people; the library ignores it, but it counts in ==. Field tags state the names in
// documents, the units and the ranges.
//
// # Errors
//
// Every part has a Validate that reports all faults together as [*contact.Error]: numbers
// out of the ranges that their fields state, which are wide enough for every bicycle. No
// number is corrected in silence. A part's Validate checks its own numbers only; package
// fitgeom checks whether parts fit one another.
//
// # Cautions
//
// That a part fits by these numbers does not make it safe. Manufacturers' instructions
// (torques, minimum insertion, which parts may be combined) and a qualified mechanic come
// first.
package part
