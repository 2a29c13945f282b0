// Package motion takes joint angles from points that were seen: three at a time,
// or the markers of a recording, revolution by revolution.
//
// Axes, units and signs are those of package contact; a rider's measures are
// those of package contact/rider, which computes them from lengths of segments
// instead. Points are where a camera, or a hand with a pen, put them, and no
// better: skin moves over joints by a centimetre and more.
//
// # Three points
//
// [IncludedAngle] is 180 degrees for a straight limb and [FlexionAngle] 0;
// [AngleSigma] is the uncertainty of both. A [View] says whether points are
// taken in space or from the side.
//
// # Recordings
//
// A [Recording] holds the markers of one leg. [Recording.Analyse] finds the
// revolutions of the crank; the [Motion] then gives each measure per
// revolution, at a crank angle, with its mean and spread, and the drift of the
// pelvis. Samples that were dropped stay in their place and say so. [Stat.Sub]
// compares left and right.
//
// # Exactness
//
// Angles of three points are exact to rounding. Between samples a recording is
// taken to be straight, over no more than 20 degrees of crank. How far
// off skin and hand put the points, no angle tells; [AngleSigma] says what that does.
//
// # Cost
//
// A minute of eight markers at 200 frames a second is analysed in about 5 ms.
//
// # Errors
//
// Faults are [*contact.Error], all of an input together.
//
// # Cautions
//
// A number of degrees is no diagnosis. Pain, numbness and what to do about them
// are a clinician's matter.
package motion
