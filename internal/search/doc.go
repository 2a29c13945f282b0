// Package search finds the best builds of one frame and the best frames of a catalogue,
// for the packages solve and rank. It leaves out only what it can prove to be worse, so
// its answers are those of trying everything.
//
// # Words
//
// What is asked:
//
//   - A wish is the target and what is kept of it. A wanted is the same for one site:
//     where it should be and which way it should face, its tolerances, and what a squared
//     millimetre or degree costs.
//   - A verdict is what a part of a build costs, and whether it holds, that is, whether
//     all of it is within tolerance.
//   - A law is what a build must keep besides, such as rules of a race, to hold. A sight is
//     what it looks at.
//
// A build falls into two groups of parts that do not touch one another:
//
//   - The front end is cap, spacers, stem, handlebar, levers and aero bar. A cockpit is a
//     handlebar with its levers, mounted in one of their ways, and aero bar; a hand is a site
//     of it, which turns if a direction is asked for that the roll changes. A carried stem is a
//     stem one way up, or the stem of a one-piece bar and stem. A pile is some spacers
//     under the stem and some on top.
//   - The seat is seatpost, saddle, cranks, pedals and shims under the cleats, which go
//     together since cranks may move the saddle. A perch is a seatpost with a saddle. A
//     seat, in the code, is where the saddle's sites are on a perch, by its two settings.
//     Feet are cranks and pedals with shims under the cleats; a stroke is the path of the
//     foot, by which the saddle moves.
//   - An option is one way to put a group together, with its best settings. Its merit is
//     what it is sorted by; those of both groups add up. A kit is the parts of a front end
//     without their settings, on which the room depends that it leaves. A shortlist keeps the
//     best options of a group. A pairing is an option of each: a build.
//
// How an index is laid out:
//
//   - A record is a size of the catalogue. A seat part is what many records have in common at
//     that end, and a seating what the seats of it cost.
//   - A tree has the head tubes' tops and angles, as frames stand on their wheels, those together
//     that are near to one another, below a root for each kind of steerer. A node is some
//     records of it, alike if they have one front end.
//
// How frames are ranked:
//
//   - A question is one ranking in the making. A standing is all that a frame is sorted
//     by. A bound is the first part of a standing. It is found without a search, and the
//     frame can be no better. A task is some records that are still to be looked at, with
//     their bound.
//   - A form is what the place of a cockpit's clamp costs, with the bar rolled (rotated
//     in the stem) as well as possible. A box is a bound for that where there is no form.
//   - A bounder bounds what is below a root, each worker with one of its own; a race is what
//     workers share.
//   - A window is where a cockpit's clamp may be for it to hold: patches, each for some rolls, and
//     of these a span in each column. A view is a bar with levers
//     and an aero bar, in all ways to mount them, and a mate is a stem under it. A ladder is
//     the set of heights that caps and piles make; a rung is one of them, and a climb looks at all of
//     them. A spot is some head
//     tubes' tops close together. A lead is a mate that may give the best of a spot.
//   - A slide is a setting of an aero bar that moves sites along lines.
//
// # Units
//
// Lengths are mm and angles degrees, in the axes of package contact. The front end is
// searched in steerer coordinates: q across the steerer, forward, and a along it, up.
// Costs are squares of deviations over tolerances, each times its weight; where options
// are compared, their roots are rounded to the problem's grain, and costs are counted in
// squared grains, so that rounding errors decide nothing. Heights of spacers count in
// tenths of a mm.
//
// # One frame
//
// [Solve] makes a shortlist of each group and pairs them. A perch has a closed form: its
// cost is a square in two settings, least at the free optimum or on an edge. The front
// end has millions of options, most of which a few bounds rule out unseen: that of a
// cockpit, wherever a stem holds it; that of a stem, at any height; and then that of
// every pile. An option is settled (rolled, tilted and so on) only if the shortlist would
// admit one that costs no more than its bound.
//
// # All frames
//
// An [Index] keeps a tree of the front ends. [Index.Ask] begins a question, and [Question.Rank]
// looks at the nodes of the tree, the most promising first: it bounds the children of each, and
// searches front ends once it is down to them, until the next bound is worse than the last of
// the best frames. That is known soon, since a front end that may hold is searched as soon as it
// is met. A bound has what holds in it: how many parts must be bought, points, the room that is
// left up and down, and closeness; of what cannot hold it has closeness, parts and points. A
// child is no better than its parent, and most often as good by the same lead, which is tried
// first. On other wheels than its own each frame stands otherwise, so that the tree is made anew.
// [Decide] tells what the order of two standings hangs on. An [Extent] is all that a frame may be
// if its chart is rounded.
//
// # Laws
//
// Laws come in by one door (laws.add). One that looks at frame and wheels alone is asked of the
// frame; one that looks at a group is asked of each option of it that is within tolerance, before
// that becomes one that holds. A law changes what holds and nothing else, so that bounds stay
// bounds. Where one looks at both groups, the best front end and the best seat need not go
// together: then each front end that holds, if it could make one of the best builds with the best
// seat, is paired with the seats that hold, best first, until what they make is no better than
// what is kept (pairs). An index has one front end for many frames, and one seat: so frames are
// searched one by one if a law looks at both groups, or at a group and at more of the frame.
//
// # Work and memory
//
// Everything asks the meter of its wish before it goes on; once that has stopped, what is
// returned is of no use but for what is said of it. Of what there may be in any number
// only so much is kept at a time (many): cockpits and perches are searched lot by lot,
// and what was found of seats is searched again if it was forgotten.
//
// # Why the bounds hold
//
// Let site i of a cockpit lie at h from the clamp with the bar not rolled, be wanted at t,
// and weigh w. With the clamp at p and the bar rolled by R the cost is
//
//	Σ w |p + Rh - t|² = W |p - c|² + b,  W = Σ w,  c = Σ w(t - Rh) / W,
//
// in which b does not depend on p. The root of the cost, for a roll, is the length of a vector
// that changes by √W for each mm that p moves; the least over all rolls changes no faster. So
// what is within r of p costs no less than (√cost - r√W)². This is exact for sites that weigh as
// much forward as up. Where one does not, a form with the lesser of its two weights is a lower
// bound. Directions do not depend on p. What they cost whatever the roll is added (fixed).
//
// For a bar to hold at a roll between two, p lies in a rectangle: each site is within its
// tolerance of t less Rh, of which the extremes are known. A window is what such rectangles, which
// together have all rolls, leave open in each of its columns. With the target moved up by s the
// clamp is wanted higher by s, so that a clamp at (x, z) can hold what is moved if (x, z - s) is in
// the window; the room of a kit is no more than the whole mm that its places have without a break.
// Front ends at a spot are off by no more than half of the spot each way, and by what their head
// angle turns the farthest clamp; by that much a window is made wider, or p is taken to be off.
//
// All that holds is within tolerance at each site and so costs no more than the sum of
// the weights (asked): what costs more cannot hold, however it is set. The seat is no better
// than the cheapest feet on the post that is most usual, or than the best seat of the frame once
// that is searched. Whatever rounding may add to a bound is subtracted first.
package search
