// Package rider computes, from geometry, what contact points and a change of them ask of
// the body: the angles of hip, knee, ankle, trunk and arm over the stroke. Package
// contact/motion takes these angles from recordings.
//
// # A body on a bike
//
// A [Body] is put on the contact points of a [contact.Position]: from the saddle
// reference through hip, knee, ankle and sole to the pedal, all around the crank circle,
// and from the hip through trunk and arm to a grip. [NewChain] does that; [Chain.At] and
// [Chain.Stroke] give postures, [Chain.Span] the extremes of one revolution,
// [Chain.FarEnd] the place where the knee is least flexed. [Body.Compare] compares two
// positions. [Body.RaiseSaddle] and [Body.CrankLength] are the inverse: for a wanted knee
// flexion they find where the saddle goes, or how long the crank is.
//
// All joints of the chain lie in one plane, seen from the side:
//
//	        shoulder
//	         o
//	        /  \            grip
//	trunk  /     o────────── o        lean of the trunk, slope of thigh and
//	      /    elbow                  sole: from horizontal, positive up
//	 hip o___ thigh
//	          \___ o knee             crank angle: 0 with the pedal at the top,
//	              /                   90 with it in front; each leg by its
//	             / shank              own crank
//	            /
//	     ankle o
//	 heel ──────────o── toe
//	          sole  :                 the spindle lies under the sole by
//	                o pedal           Z of contact.FootLeft or FootRight
//
// The caller has to state what geometry cannot tell: how the ankle works over the crank
// circle ([Ankle]), where the hip lies over the saddle (Body.HipForward, Body.HipUp), and
// whether the elbow or the trunk keeps its angle ([UpperAngle]). None of these has a
// default.
//
// A leg that does not reach the pedal is a result, not an error: Posture.Gap and Span.Gap
// say by how much, and Span.GapAt where.
//
// # Limits of a rider
//
// [Limits] is a body and what its joints may do, as somebody found it: each [Limit] is the least
// or the most of one variable over the stroke. [Limits.Check] judges a position. The inverse tells
// where saddle and hands may be: [Limits.Range] by intervals of one change, such as the saddle's
// height, and [Limits.Region] by places of the saddle or of the hands; each end says which
// limit is just kept there. [Limits.Hands] has where the hands may be as polygons.
//
// [Limits.Frees] says which small change of crank, cleats or bar frees most.
//
// # Another bike, and legs that differ
//
// [Body.OtherBike] turns a rider about the bottom bracket, as from road to time trial, with all
// joints as they are: saddle and hands follow, and what cannot be kept is told. [Body.ShareOut]
// shares a difference of the legs' lengths out over shim, cleat, crank and saddle by a rule of the
// caller's, and tells what each does to both knees.
//
// # Flexion and included angle
//
// Two conventions describe the same joint by numbers that add up to 180 degrees. Every
// name here says which one it uses. Flexion is 0 in a straight joint: [KneeFlexion]. The
// included angle is 180 in a straight joint. Package contact/motion computes both, from
// three points and from recordings. The ankle has dorsiflexion, 0 with the sole square to
// the shank and positive toe-up. [Variable] lists them all.
//
// # Starting values
//
// [StartByInseam109], [StartByInseam883], [StartByLeastFlexion] and
// [StartByMostFlexion] are published rules for a saddle height to start from.
// Some end at the pedal and some at the bottom bracket; the types
// [SaddleToPedal] and [SaddleToBottomBracket] keep these apart. A [Table] has
// mean segment lengths by stature.
//
// # Exactness
//
// Postures are plane geometry: exact to rounding, about 1e-12 mm and, short of a straight
// knee, 1e-11 degrees. Extremes are as exact, and their crank angles are good to 1e-6
// degrees. An inverse gives the wanted flexion within 1e-9 degrees. The model's
// assumptions are another matter: rigid segments in one plane, hinges for joints, a
// pelvis that does not move. With thigh and shank each known to 5 mm, a knee that is
// flexed by 30 degrees is known to about 4.
//
// # Uncertainty
//
// [Slopes] say how much an angle, its extremes ([Chain.SpanSlopes]), the sole
// ([Chain.SoleSlopes]), the knee over the spindle ([Chain.KneeOverSpindleSlopes]) or the answer of an
// inverse ([Body.SaddleSlopes], [Body.CrankSlopes]) changes with each coordinate of the
// position and each number of the body. With the covariance of a position, such as a
// survey states it, and of a body ([Covariance]), they give a standard uncertainty.
// [Body.Changes] is a comparison with uncertainties; [Estimate.Real] tells a change that is
// more than they explain. Errors of the body are alike before and after, so that a change
// is known far better than an angle.
//
// # Cost
//
// A posture takes about 0.1 µs and Stroke allocates nothing. Span, FarEnd and
// the inverses search the crank circle, up to 0.1 ms.
//
// A [Region] of the saddle takes about 10 ms, one of the hands less than 1.
//
// # Cautions
//
//   - Rules and tables give values to start from. They do not prescribe a position.
//   - Geometry says what a position asks of the joints, not what a body tolerates. Pain,
//     numbness or an injury is a matter for a clinician.
//   - Limits are what their source found of one rider, on one day and by one method. Joints that are
//     within them may hurt. The word of a clinician comes first.
//   - Riders adapt to a new position with pelvis, spine and ankle. After a change,
//     measure again.
//
// # Errors
//
// Faults are [*contact.Error]. All faults of an input are reported together.
package rider
