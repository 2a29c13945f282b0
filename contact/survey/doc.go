// Package survey turns an instrument's readings of a bicycle into contact points in the
// axes of package contact, with their uncertainty.
//
// # Points
//
// A [Survey] holds points read by a measuring arm or a camera system. The instrument may
// stand anywhere and its axes may point anywhere, as long as they are right-handed. The
// bike may lean and need not stand level, and its front wheel may be turned. The datum,
// which relates the instrument's axes to the bike's, comes from the bike:
//
//   - the mid-plane from all left and right landmarks of the frame (axles, bottom
//     bracket, head tube, your own), by weighted least squares, each assumed to be true
//     to 0.3 mm (common practice, no source);
//   - the horizontal from the line between the axles and the radii of both tyres, or from
//     gravity if the bike stood on level ground;
//   - the origin from the bottom bracket.
//
// The steering angle of a turned front wheel is found with the datum, and everything that
// turns with the wheel is given as it is with the wheel straight. This needs the steering
// axis. It comes from the head tube if that was read, and otherwise from usual values
// (71° ± 4° of head angle, 45 mm ± 8 mm of fork offset; common practice, no source). The
// further the wheel was turned, the more their uncertainty matters. If the head tube was
// read, the usual values still enter as a weak prior. The wheel turns about this axis,
// with the front axle where it was read. Conditions that share a landmark are treated as
// independent. The result differs from a full bundle adjustment of all readings by about
// 0.00001 mm.
//
// # Tape and level
//
// A [TapeSurvey] holds distances, plumb-line offsets and slopes instead of points.
//
// # Uncertainty
//
// Uncertainties are standard uncertainties (one standard deviation, JCGM 100:2008). They
// are propagated to the result to first order, including the datum's own, as one
// covariance of all coordinates. A datum with an angle more uncertain than 1° is refused,
// since first order is not good enough there. Below that, the stated uncertainties are
// right to 1 %. [Tape], [Level] and [Combine] give the uncertainties of common
// instruments.
//
// # What is wrong with a survey
//
// What makes the position wrong is an error. What a person should know, but the result
// already allows for, is a [Finding]: a reading that was set aside because the others of
// its landmark disagree with it, a landmark that was read once, a turned wheel, a crooked
// bar or saddle.
//
// # Two sessions
//
// [Compare] reports what moved between two surveys of the same bike, and whether the move
// is more than measuring error. [Fix.Locate] places more readings with a known datum, so
// that the datum's errors cancel in the comparison. [Register] carries the axes of one
// instrument onto those of another, by landmarks that both read.
//
// # Errors
//
// Faults are [*contact.Error]. All faults of an input are reported together.
//
// # Cost
//
// A survey of twenty landmarks, each read several times, is solved in one or two
// milliseconds.
//
// # Cautions
//
// A result is only as good as the readings and their stated uncertainties. A systematic
// error, such as a wrong tip length, cannot be detected.
package survey
