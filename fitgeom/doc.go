// Package fitgeom models a bicycle as a value: a frame, its parts and how they are
// set, the position that they give a rider, and how much adjustment is left.
//
// The module goes from points to numbers to bikes. Package contact has the points where
// rider and bike meet, package convert the numbers that people write down for them,
// convert/chart the numbers of a frame. This package has the bikes. Package fitgeom/solve
// finds builds that hold a position, fitgeom/rank orders the frames of a catalogue for
// it, fitgeom/rules checks a build against rules, fitgeom/region shows where a head tube
// may be, and fitgeom/clearance tells what hits what ([Build.Clearance]).
//
// Axes, units and signs are those of package contact: millimetres, degrees, X
// forward, Y left, Z up from the bottom bracket.
//
// # Model
//
// A [Build] is a [Frame] on its wheels ([chart.Wheels]), parts, and [Settings];
// [Build.Position] is the forward map. All of it is rigid geometry:
//
//	                    ____ hoods      head tube's top centre: (reach, stack)
//	saddle   clamp o---/----\           then up the steerer: cap, spacers, half
//	======        /  stem   |           of the stem's height; then along the stem
//	  o rails    o      ___/ drops      at 90° - head angle + stem angle.
//	  \         /
//	   \ seat- /  steerer               Seat tube's axis: up to its edge, then the
//	    \ post/                         seatpost's extension, then its setback square
//	     \   /                          to the axis; from the rails up to the
//	      o                             saddle, turned by its tilt.
//	bottom bracket
//
// A [part.Handlebar] has one of three shapes, each with the sites that it offers. Its
// rotation turns it about the clamp's centre; an aero bar ([part.AeroBar]) tilts about
// the same axis. What turns a site turns its direction too. Suspension that sags and other tyres turn the whole frame about the
// bottom bracket and change nothing else. Angles of settings (rotation, tilts) are
// relative to level ground.
//
// Parts whose diameters do not match do not fit together, unless a [part.Shim] makes them
// fit.
//
// # Fields
//
// Tags beside the fields give each number's name in documents, its unit (the end of that
// name), its range, and what zero means where 0 is also allowed. Validate reports all
// numbers out of these ranges together, and after that parts that do not fit together.
//
// # What is kept
//
// A [Keep] says which site matters and how closely; [DefaultKeep] is what is usually
// asked for. A [Deviation] is how far a build is off there, a [Candidate] a build that
// was found for a position. A [Margin] is the room before a [Limit].
//
// # Exactness
//
// Positions are exact to rounding, about 1e-12 mm, and margins with them. The model
// leaves out parts that bend, tyres that give and manufacturers' tolerances.
//
// # Errors
//
// Faults are [*contact.Error]. All faults of an input are reported together. Conflicts
// between parts are checked once the numbers of each make sense.
//
// # Cautions
//
// [Build.Cautions] lists what anyone who builds, checks or rides the bike should mind;
// [Caution] has them all. The manufacturers' instructions and a qualified mechanic come
// before anything that a program says. Pain is a matter for a clinician.
package fitgeom
