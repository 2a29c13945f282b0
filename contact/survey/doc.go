// Package survey turns an instrument's readings of a bicycle into contact points
// in the axes of package contact, with their uncertainty.
//
// # Points
//
// A [Survey] holds points that a measuring arm or a camera system read. The
// instrument may stand anywhere and its axes may point anywhere, as long as they
// are right-handed; the bike may lean, need not stand level, and its front wheel
// may be turned. What ties the two together, the datum, comes from the bike:
//
//   - the mid-plane from all left and right landmarks of the frame (axles, bottom
//     bracket, head tube, your own), by weighted least squares, each taken to be
//     true to 0.3 mm (common practice, no source);
//   - level from the line between the axles and the radii of both tyres, or from
//     gravity if the bike stood on level ground;
//   - the origin from the bottom bracket.
//
// A turned front wheel is found with the datum, and everything that turns with it
// is given as it is with the wheel straight. That takes the steering axis: from
// the head tube if it was read, or else from what bikes have (71° ± 4° of head angle,
// 45 mm ± 8 mm of fork offset; common practice, no source), whose uncertainty
// counts for the more the further the wheel was turned. Where the head tube was
// read what bikes have still counts, but weakly. The wheel turns about that axis
// with the front axle where it was read; conditions that share a landmark count as
// independent. Of a full adjustment of all readings that differs by some 0.00001 mm.
//
// # Tape and level
//
// A [TapeSurvey] holds distances, plumb-line offsets and slopes instead of points.
//
// # Uncertainty
//
// Uncertainties are standard uncertainties (one standard deviation, JCGM
// 100:2008). They go through to the result to first order, with the datum's own
// share, as one covariance of all coordinates. A datum of which an angle is more
// uncertain than 1° is refused: there, first order is not good enough. Up to
// there the stated uncertainties are right to 1 %.
// [Tape], [Level] and [Combine] give the uncertainties of common instruments.
//
// # What is wrong with a survey
//
// What makes the position wrong is an error; what a person should know, but the
// result takes care of, is a [Finding]: a reading that was set aside because the others
// of its landmark disagree, a landmark that was read once, a turned wheel, a
// crooked bar or saddle.
//
// # Two sessions
//
// [Compare] tells what moved between two surveys of the same bike, and what only
// seems to. [Fix.Locate] places more readings by a datum that is known already, so that
// its errors cancel in the comparison. [Register] carries one instrument's axes
// onto another's by landmarks that both read.
//
// # Errors
//
// Faults are [*contact.Error], all of an input together.
//
// # Cost
//
// A survey of twenty landmarks, each read some times, is solved in one or two
// milliseconds.
//
// # Cautions
//
// A result is as good as the readings and the stated uncertainties: what is wrong
// in every reading alike, such as a tip of the wrong length, shows nowhere.
package survey
