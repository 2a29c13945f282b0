// Package contact models where a rider and a bicycle meet, as points in one coordinate system fixed to the bicycle.
//
// It is the ground floor of fitgeom: package convert turns its points into the
// numbers that people write down, package fitgeom puts parts under them.
//
// # Axes
//
// These axes hold in the whole module. Where numbers have others, such as those
// of an instrument or of a part by itself, that is said.
//
//   - Origin: the centre of the bottom bracket, on the bike's mid-plane.
//   - X points forward, Y to the rider's left, Z up; right-handed (the axis
//     directions of ISO 8855 and REP-103).
//   - X is level when both tyres stand on the same level ground.
//   - Lengths are millimetres and angles are degrees, in every exported name.
//
// A worked point: (-207, 0, 700) lies on the mid-plane, 207 mm behind and
// 700 mm above the bottom bracket, where a saddle may be. A left hand on the
// hoods may be at (545, 210, 640): 545 mm in front, 210 mm to the left,
// 640 mm up.
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
// A [Site] names one place. Sites come as a left and a right one where a rider
// has two hands or feet; the two are independent, since riders and bars are not
// symmetric. What each site is, and is not, stands at its constant.
//
// Two saddles of different length are compared by [SaddleReference], the middle
// of the saddle where it is 80 mm wide (common practice, no source), never by
// their noses.
//
// # Zero values and unknown sites
//
// A zero [Position] knows no site. A site that was never set is unknown, which
// is not the same as (0, 0, 0): [Position.At] says so with its second result.
//
// # Comparing
//
// A Position is a value: copy it, compare it with ==, use it as a map key. To
// compare within a tolerance, look at the [Difference] of two.
//
// # Errors
//
// Input never panics. All packages of this module report faults as [*Error],
// which names the path, the value and the limit, and unwraps to one of the
// class variables ([ErrMissing], [ErrRange], …): errors.Is(err, ErrRange) tells
// whether there is one of that class. All the faults of an input are reported
// together, as far as they can be told: whether values go together may be asked
// only once each makes sense by itself. [Faults] lists them. What comes with an error
// besides is nothing to use, unless the function says otherwise.
//
// # Exactness and cost
//
// Nothing is rounded. A Position takes about a kilobyte, and setting, reading
// and comparing allocate nothing. Nothing in this module keeps a state of its
// own: functions, and values that nobody is changing, may be used by several
// goroutines at once.
//
// # Cautions
//
// A position is geometry, not medical advice: pain, numbness or an injury is a
// matter for a clinician. Points are as good as they were measured.
package contact
