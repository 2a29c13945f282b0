// Package solve finds the parts and settings with which one frame reproduces a
// position, and what prevents it if none do.
//
// A [Problem] holds the question: the target, the frame, the parts that may be used,
// the sites to keep and how closely. Its methods give the answers:
//
//   - [Problem.Solve] finds the closest builds, each with its best settings;
//   - [Problem.Explain] says why a build does not hold the position and which smallest
//     changes would make it hold, as one [Obstacle] for each group of parts;
//   - [Problem.Verify] recomputes a candidate from its build alone;
//   - [Problem.Chance] gives the probability that a candidate is within tolerance, given
//     the errors of target and frame ([Errors]);
//   - [Problem.Room] says how far hands, saddle or pads of a candidate can still move with its
//     own parts, and [Problem.Reach] with any parts of the shelf;
//   - [Problem.Decide] says why one candidate comes before another;
//   - [SetUp] turns a candidate into the steps of a set-up sheet.
//
// # Objective
//
// Each kept site's deviation is divided by its tolerance, axis by axis and angle by angle,
// and its square is multiplied by a weight ([fitgeom.Keep]). For every way to combine parts
// and spacers and to mount the levers, Solve finds the best settings within all limits. For
// handlebar, aero bar and saddle separately it takes the settings with the smallest sum of
// squares among those within tolerance, or among all if none is. The saddle's tilt is the
// target's. Each cleat gets the shims that bring the foot closest to its target height, and
// is set so that each coordinate and angle of the foot comes closest to the target's.
// Settings that affect nothing stay at their minimum, rotation and cleats at 0.
//
// # Order
//
// A practitioner wants the build that holds the position in the middle of what usual parts can
// do, and a frame at its limit on the first day is the one that fitting is to prevent. So
// nothing decides by less than can be measured. Builds that hold the position come before those
// that do not, and are sorted by these rules, which depend on the input alone:
//
//  1. less shortfall of the room that is wanted (Problem.RoomWanted), in whole mm: the worst way
//     of the hands and that of the saddle, added; then all ways;
//  2. fewer parts to buy (Problem.Bike); two shims are two;
//  3. fewer points: steps from the middle of what is usual (Problem.Preference);
//  4. more room in the least of the ways that are wanted, in steps of 5 mm up to 30;
//  5. smaller sums of squares: those of handlebar, aero bar, saddle and feet, the root of each
//     rounded to Problem.Grain;
//  6. fewer spacers under the stem, stem not upside down, less rotation; then position on the
//     shelf: cap, stem, handlebar, levers, aero bar; levers less far along the bend, and turned
//     less;
//  7. crank length closer to the target's, rails clamped closer to their middle; then position on
//     the shelf: seatpost, saddle, cranks, pedals.
//
// Of builds that do not hold, the closest come first: rule 5, then 2, 3, 6 and 7. A candidate
// has what it was sorted by (Candidate.Merit), [Problem.Decide] tells what decides between two,
// and [Problem.Closest] asks for closeness alone.
//
// Room does not depend on how a build is set, but on its parts: it is that of all its settings
// and all spacers of the shelf.
//
// Of builds with the same parts of the kinds in Problem.Vary, only the first is a
// candidate. The answer is the same as that of a full enumeration of the shelf.
//
// # Rules
//
// A build that is known to break a rule of Problem.Rules does not hold, by whatever little, and
// stands among the others that do not hold, the closest first. So the builds that hold, and their
// order, are those of a full enumeration without those that break a rule.
//
// Settings go by rules as by tolerances where a rule limits how far forward extensions or the
// saddle's nose may be ([rules.ExtensionReach], [rules.NoseSetback]): the closest settings within
// both are taken. Where such a limit holds unless something on the other half of the bike is kept,
// the closest within the tolerances alone and the closest within the limit are both tried. An aero
// bar is set at each of its tilts and rises of the pads as close as can be, and of these the
// closest is taken that keeps the rules of the front end. Otherwise rules judge what closeness
// found. Room that sorts builds is that of the parts, rules or not; [Problem.Room] and
// [Problem.Reach] go by builds that hold, rules included, and chances by tolerances alone.
//
// Whether a rule is kept may not be known: a part does not state what the rule looks at, or it is
// for riders of some height and Problem.Rider has none. Then the build may hold, and the candidate
// says so, in Candidate.Rules and as a caution. Where no build holds, Explain says which rules are
// in the way, and by which build the position is held without them.
//
// # Limits of a rider
//
// Limits of joints (Problem.Limits) are asked as rules are: a build on which the rider is known to
// break one does not hold, one of which that is not known says so, and Explain says which is in the
// way. They judge the settings that closeness found. What a limit looks at is where saddle, feet and
// hands are on the build: the feet need cranks and pedals. That of knee or ankle is judged with the
// seat alone; one of hip, trunk, shoulder or elbow with the front end, too, so that each frame of a
// catalogue is searched by itself.
//
// # When the saddle moves
//
// Other cranks, or soles at another height above the pedals, move what is wanted of the
// saddle ([fitgeom.CrankPolicy]). A candidate says how far and why
// (Candidate.SaddleMoved); more than 5 mm is a caution.
//
// # When no build holds
//
// It is an answer, not an error, if no build holds the position. The candidates are then
// the closest builds. For each of the two groups of parts that is out of tolerance,
// Explain finds every single change that would suffice, and the smallest combination of
// changes.
//
// # Exactness
//
// Results of a search or a linear program agree to 1e-6 mm or degrees on all processors.
// [Problem.Chance] is accurate to about 0.003.
//
// # Cost
//
// Front end and seat do not affect each other. Solve searches caps × stems × handlebars
// × levers × aero bars × spacer heights separately from cranks × pedals × seatposts ×
// saddles, and keeps a few of each. Lower bounds rule out most front ends without a
// search: 1.3 million of them take some ten milliseconds if each kept site of the
// handlebar has the same tolerance horizontally and vertically and no direction is kept that
// the rotation changes. Other tolerances, such directions, and aero bars and levers with many
// steps, take much longer. Explain takes a millisecond or less for most
// builds, up to some tens of milliseconds for an aero bar with steps of ordinary size, and
// seconds for one with hundreds of them.
//
// What may take more than 10 ms takes a [context.Context] first. When it ends, the call
// returns within 5 ms, beside the check of the input, which takes 20 ns a part. The error
// wraps that of the context and says how far the search came. The work of each call is
// limited as well ([fitgeom.Budget]): at the end of Problem.Budget it returns an error of
// class [contact.ErrBudget] or, if asked, the best so far with a bound of what may be
// better ([Result.Complete], [Result.Bound]). Solve and Explain take at most 16 MB of memory
// beside the problem, and 200 bytes for each stem. So that they do, the spacers on a steerer
// that is cut may make at most 300,000 pairs of heights under and above the stem: those in
// steps of 0.5 mm make 90,000.
//
// # Cautions
//
// Every answer must be read together with its cautions ([fitgeom.Candidate.Cautions]).
package solve
