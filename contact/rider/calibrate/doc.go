// Package calibrate finds a rider's body on a bike: segments, the hip's place over the
// saddle, the ankle over the crank circle and the foot on the pedal, each with its
// uncertainty, from a recording, from a tape, or from both.
//
// [Evidence] is what is known, [Evidence.Body] what follows from it: the [rider.Body] that package
// contact/rider computes with, and the covariance that its uncertainties need.
//
// # How
//
// A leg is folded between a hip that moves and a foot that turns on its pedal, as seen from
// the side, and compared with where markers were, at 24 places of the crank circle and in
// the mean of all revolutions. What is fitted, by least squares, is the body and with it
// what recordings are wrong by: how far each marker lies from its joint, and how skin slides
// over the bone with the first two harmonics of the stroke. The pelvis is in the fit: where
// its markers show that the hip rocks, the thigh does not take the blame. With both ASIS and
// both PSIS or the sacrum, Harrington's regression ([motion.HipCentre]) says where the hip's
// centre is in the pelvis, to some 8 mm in each direction.
//
// Markers may lie from a joint by 10 mm at the hip, 7 at the knee and 5 at the ankle, skin
// may slide by 5 mm along the thigh in the first harmonic, and toe and heel markers may be
// unlike in height by 2 degrees of sole (standard deviations; common practice, no source, of
// the size that published work reports for markers on skin); Evidence.Loose says that they
// are more or less. Such errors are alike in all revolutions: a longer recording does not
// make a body better known, a tape does.
//
// Trunk and arms are the distances between the hip that was found and the markers of
// shoulder, elbow and wrist, as seen from the side, in the mean of the circle; these markers
// may lie from their joints by 12, 8 and 6 mm.
//
// Tapes measure between bones, by [Quantity]. Tables of segments enter by a stature, with the
// spread of people around them.
//
// # What is not seen
//
// A knee that goes outwards shortens the thigh as seen from the side, by 1 to 3 mm. Crank,
// saddle and sole of the position are taken as exact: what they are wrong by belongs to the
// position's covariance. The spread of segments is of 29 people, and that of the hip over
// the saddle is not published that we know of.
//
// # Exactness
//
// Of 500 simulated riders with effects that the fit does not know, 97 of 100 lay in the 95 %
// range of the hip, whose coordinates were known to 5 mm; the thigh was known to 7 and came out 2.6
// short. With markers and skin off by half as much again, and Loose not told, 90 of 100 did.
//
// # Cost
//
// A leg takes some milliseconds after the recording was analysed.
//
// # Cautions
//
// Geometry says what a position asks of the joints, not what a body tolerates. Pain,
// numbness or an injury is a matter for a clinician.
//
// # Errors
//
// Faults are [*contact.Error]. All faults of an input are reported together.
package calibrate
