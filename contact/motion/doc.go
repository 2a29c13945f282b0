// Package motion computes joint angles from observed points: from three points at a time,
// or from the markers of a recording, revolution by revolution.
//
// Axes, units and signs are those of package contact. The variables are those of package
// contact/rider, which computes them from segment lengths instead. Points are only as
// good as the camera or the hand that placed them: skin moves over joints by a centimetre
// and more.
//
// # Three points
//
// [IncludedAngle] is 180 degrees for a straight limb and [FlexionAngle] is 0.
// [AngleSigma] is the uncertainty of both. A [View] is how points are taken: in space or
// from the side.
//
// # Recordings
//
// A [Recording] holds the markers of one leg. [Recording.Analyse] finds the revolutions
// of the crank. The [Motion] then gives each variable per revolution and at a crank
// angle, with its mean and spread, and the drift of the pelvis. Samples that were dropped
// keep their place and are marked as not seen. [Stat.Sub] compares left and right.
//
// # Exactness
//
// Angles of three points are exact to rounding. Between samples a recording is
// interpolated linearly, over at most 20 degrees of crank. The angles do not show how far
// from the joint the skin or the hand put a point; [AngleSigma] gives the effect of such
// an error.
//
// # Cost
//
// A minute of eight markers at 200 frames a second is analysed in about 10 ms, in the
// memory of the recording and half as much again; what is then asked of the [Motion] takes
// about 1 ms. Each call returns within 5 ms of the end of its context.
//
// # Errors
//
// Faults are [*contact.Error]. All faults of an input are reported together.
//
// # Cautions
//
// An angle is not a diagnosis. Pain, numbness and their treatment are a matter for a
// clinician.
package motion
