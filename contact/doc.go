// Package contact models the points where a rider and a bicycle meet, in one coordinate
// system that is fixed to the bicycle.
//
// All other packages build on it: package convert turns its points into the numbers that
// people write down, and package fitgeom finds the parts that put them there.
//
// # Axes
//
// These axes hold in the whole module. Where numbers have other axes, such as those of an
// instrument or of a single part, the documentation says so.
//
//   - Origin: the centre of the bottom bracket, on the bike's mid-plane.
//   - X points forward, Y to the rider's left, Z up; right-handed (the axis
//     directions of ISO 8855 and REP-103).
//   - X is horizontal when both tyres stand on the same level ground.
//   - Lengths are millimetres and angles are degrees, in every exported name.
//
// Example: the point (-207, 0, 700) lies on the mid-plane, 207 mm behind and 700 mm above
// the bottom bracket, where a saddle may be. A left hand on the hoods may be at (545,
// 210, 640): 545 mm in front, 210 mm to the left, 640 mm up.
//
//	  rear   reference  nose             hoods
//	    o──────────o─────o           ____o
//	               :          clamp o     \
//	               :                       |   bar
//	   Z           :                 o____/
//	   ▲           :                 drops
//	   │
//	   o──► X                 seen from the bike's right side:
//	bottom bracket            Y points away from you, to the rider's left
//
// # Sites
//
// A [Site] names one place. Sites of hands and feet come in pairs, left and right. The
// two are independent, since riders and handlebars are not symmetric. Each constant says
// what the site is, and what it is not.
//
// Compare saddles of different length by [SaddleReference], the middle of the saddle
// where it is 80 mm wide (common practice, no source), never by their noses.
//
// # Zero values and unknown sites
//
// A zero [Position] knows no site. A site that was never set is unknown, which is not the
// same as (0, 0, 0): [Position.At] reports it in its second result.
//
// # Comparing
//
// A Position is a value: copy it, compare it with ==, use it as a map key. To compare
// within a tolerance, use the [Difference] of two.
//
// # Errors
//
// No input makes the library panic. All packages of this module report faults as
// [*Error], which names the path, the value and the limit, and unwraps to one of the
// class variables ([ErrMissing], [ErrRange], …): errors.Is(err, ErrRange) reports whether
// err holds a fault of that class. All faults of an input are reported together;
// consistency between values is checked only after each value has passed its own check.
// [Faults] lists the faults that an error holds. Ignore any other result returned with an
// error, unless the function says otherwise.
//
// # Exactness and cost
//
// Nothing is rounded. A Position takes about a kilobyte, and setting, reading and
// comparing allocate nothing. The module keeps no state. Functions are safe for
// concurrent use, and so are values that nothing is changing.
//
// # Cautions
//
// A position is geometry, not medical advice: pain, numbness or an injury is a matter for
// a clinician. Points are only as good as their measurement.
package contact
