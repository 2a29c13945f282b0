// Package motion computes joint angles from observed points: from three points at a time,
// or from the markers of a recording, as a mean revolution of the crank with its
// uncertainty.
//
// Axes, units and signs are those of package contact. The angles mean what those of package
// contact/rider mean, which computes them from segment lengths instead. Points are only as
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
// A [Recording] holds the markers of a rider and of the bike. [Recording.OnBike] brings it
// to the axes of the bike. [Recording.Analyse] looks at what it is worth first: it names
// spikes, labels that were exchanged, markers that slipped and gaps with their frames, sets
// right or aside what it names, and fits the circle of the pedals. Then [Motion.Quality] says
// so, [Motion.Revolutions] has the revolutions, and [Motion.Curve] a measure over the crank
// angle of a side: knee, hip and ankle, trunk and arm, the path of the knee, and how the
// pelvis turns and moves. [Stat.Sub] compares left and right, and [Compare] two recordings.
// [NewLive] tells angles while the frames come in.
//
// # Joints in space
//
// [JointTurns] has the angles of a joint in three planes, of the axes of its segments
// ([PelvisAxes], [ThoraxAxes], [LegAxes], [ArmAxes]); [CentreOfRotation] has what two
// segments turn about, and [HipCentre] where a hip lies by the pelvis around it.
//
// # What the numbers stand on
//
// A [Curve] is harmonics of the revolution, fitted by least squares to all frames of all
// revolutions that were seen whole. Its extremes are those of the curve, so that noise does
// not widen them, and hold at a phone's 30 frames a second too. Revolutions are the sample:
// [Stat.Range95] says where the mean of many such revolutions lies. Every [Stat] has the
// number of revolutions and frames behind it. Places may be filtered before that
// ([Settings.CutOff]); [Filter.Both] says what happens at the ends.
//
// What is set aside is beside the frames around it by more than 18 mm and 8 times the
// marker's noise. An exchange is told by lengths between markers, a slip by lengths that
// change at once and for good by 6 mm or more: one that leaves all lengths to other markers
// as they are looks like another posture, and is not named.
//
// # Exactness
//
// Angles of three points are exact to rounding. Against simulated riders, with noise of 0.5
// to 5 mm, 25 to 250 frames a second and 60 to 120 revolutions a minute, extremes were right
// to 0.3 degrees in the mean. The angles do not show how far from the joint the skin or the
// hand put a point; [AngleSigma] gives the effect of such an error.
//
// # Cost
//
// A minute of 24 markers at 200 frames a second is analysed in about 40 ms, in the memory of
// the recording and at most half as much again; a curve takes about 5 ms. Each call returns within 5 ms of
// the end of its context.
//
// # Errors
//
// Faults are [*contact.Error]. All faults of an input are reported together.
//
// # Cautions
//
// An angle is not a diagnosis. Pain, numbness and their treatment are a matter for a
// clinician. Angles of a single camera at the side are not those in space, and angles of a
// recording are not those that a rider has at rest.
package motion
