// Package rider tells what a change of contact points does to the body: the
// angles of hip, knee, ankle, trunk and arm over the stroke, from geometry. Package
// contact/motion takes them from recordings.
//
// # A body on a bike
//
// A [Body] is closed over the contact points of a contact.Position: from the
// saddle reference through hip, knee, ankle and sole to the pedal, all around
// the crank circle, and from the hip through trunk and arm to a grip.
// [NewChain] does that; [Chain.At] and [Chain.Stroke] give postures,
// [Chain.Span] the extremes of one revolution, [Chain.FarEnd] the place where
// the knee is least flexed. [Body.Compare] sets two positions side by side.
// [Body.RaiseSaddle] and [Body.CrankLength] are the way back: from a wanted
// flexion of the knee to where the saddle goes, or how long the crank is.
//
// All joints of the chain lie in one plane, seen from the side:
//
//	        shoulder
//	         o
//	        /  \            grip
//	trunk  /     o────────── o        lean of the trunk, slope of thigh and
//	      /    elbow                  sole: from level, positive up
//	 hip o___ thigh
//	          \___ o knee             crank angle: 0 with the pedal at the top,
//	              /                   90 with it level in front; each leg by its
//	             / shank              own crank
//	            /
//	     ankle o
//	 heel ──────────o── toe
//	          sole  :                 the spindle lies under the sole by
//	                o pedal           Z of contact.FootLeft or FootRight
//
// What geometry cannot tell the caller says, always: how the ankle works over
// the crank circle ([Ankle]), where the hip lies over the saddle
// (Body.HipForward, Body.HipUp), and whether it is the elbow or the trunk that
// stays as it is ([UpperAngle]). Nothing has a silent default.
//
// A leg that does not reach the pedal is a result: Posture.Gap and Span.Gap say by
// how much and where.
//
// # Flexion and included angle
//
// Two habits name the same joint by numbers that add up to 180 degrees. Every
// name here says which it is. Flexion is 0 in a straight joint: [KneeFlexion].
// The included angle is 180 in a straight joint: package contact/motion has both
// from three points, and from recordings. The ankle has dorsiflexion, 0 with the sole square to the
// shank and positive toe-up. [Variable] lists all.
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
// Postures are plane geometry: exact to rounding, about 1e-12 mm and, short of
// a straight knee, 1e-11 degrees. Extremes are exact likewise, and the crank
// angles where they are to 1e-6 degrees. A flexion that an inverse was asked
// for comes back within 1e-9 degrees. What the model supposes is another
// matter: rigid segments in one plane, hinges for joints, a pelvis that stays.
// With thigh and shank each known to 5 mm, a knee that is flexed by 30 degrees
// is known to about 4.
//
// # Cost
//
// A posture takes about 0.1 µs and Stroke allocates nothing. Span, FarEnd and
// the inverses search the crank circle, up to 0.1 ms.
//
// # Cautions
//
//   - Rules and tables give values to start from. They do not prescribe a position.
//   - Geometry says what a position asks of the joints, not what a body bears.
//     Pain, numbness or an injury is a matter for a clinician.
//   - Riders answer a new position with pelvis, spine and ankle. After a change,
//     measure again.
//
// # Errors
//
// Faults are [*contact.Error], all of an input together.
package rider
