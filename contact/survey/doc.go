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
//   - the mid-plane from all left and right landmarks of frame and wheels, by weighted
//     least squares;
//   - the horizontal from the line between the axles and the radii of both tyres, or from
//     gravity if the bike stood on level ground;
//   - the origin from the bottom bracket.
//
// No frame is true. Each landmark of a pair is assumed to lie within 1 mm (rims: 1.5 mm)
// of the mirror image of the other, as a standard uncertainty (common practice, no
// source), and a [Trueness] states better. What is usual is more or less by a factor that
// is found from all such pairs together, starting from 1 and known to about a half. Of an
// axle's ends one may stick out further than the other by 15 mm: the line through them is
// square to the mid-plane, but the point midway does not lie on it, and does not count.
// So read more: dropouts, rims, head tube and marks on both sides of the frame. With
// nothing but the axles and the bottom bracket, hands are uncertain sideways by some 5 mm.
//
// The steering angle of a turned front wheel is found with the datum, and everything that
// turns with the wheel is given as it is with the wheel straight. This needs the steering
// axis. It comes from the head tube if that was read, whatever the fork. Otherwise it
// comes from usual values (71° ± 4° of head angle, 45 mm ± 8 mm of fork offset, and how
// wide that is counts as a guess too; common practice, no source). The further the wheel
// was turned, the more their uncertainty matters. The wheel turns about this axis, with
// the front axle where it was read. Conditions that share a landmark count as
// independent. With stated trueness the result differs from a full bundle adjustment of
// all readings by less than 1e-6 mm.
//
// # Directions
//
// Which way a hood, a pad or an extension points comes from more points on it ([Ahead],
// [Outer]), and which way the saddle does from its top, its ends and its edges. So do the
// soles of shoes on the pedals: where the toes point, and how far a wedge slopes the sole.
//
// # The frame
//
// The same readings tell the frame: [Fix.SideView], and chart.FromSurvey with the names of
// its dimensions. Its covariance with the contact points comes with it.
//
// # Tape and level
//
// A [TapeSurvey] holds distances, plumb-line offsets and slopes instead of points, between
// any two places. A distance says little of what it runs square to: where first order is
// not good to a tenth, the ranges of its [Fix] come from the likelihood itself, and what
// may lie anywhere is free. The saddle is one rigid body.
//
// # Uncertainty
//
// Uncertainties are standard uncertainties (one standard deviation, JCGM 100:2008). They
// are propagated to the result to first order, including the datum's own, as one
// covariance of all coordinates. A datum with an angle more uncertain than 3° is refused,
// since first order is not good enough there. Up to 1°, the stated uncertainties are right
// to 1 %, and up to there to 3 %. [Tape], [Level] and [Combine] give the uncertainties of common
// instruments.
//
// # What is wrong with a survey
//
// What makes the position wrong is an error. What a person should know, but the result
// already allows for, is a [Finding]: a reading that was set aside because the others of
// its landmark disagree with it, a landmark that was read once, a turned wheel, a crooked
// bar or saddle, an axle that does not sit in the middle, a frame that is out of true.
//
// Slips with all readings together are looked for first: axes that are left-handed, labels
// that were exchanged, up reversed, another unit. They are told from what every bike has
// in common: saddle, bar and head tube are above the axles, the rear axle is the one
// nearer the bottom bracket, hands are in front of the saddle.
//
// Where pairs of the frame contradict one another, each is left out in turn, its middle
// and its line apart. One whose absence explains the readings far better than that of any
// other is left out and named, with what else could explain it, though less likely so.
// Where several would, and the contradiction is plain, the survey is refused and all are
// named.
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
