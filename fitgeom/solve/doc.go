// Package solve answers what a fitter asks of one frame: which parts and settings
// reproduce a position, and what is in the way if none do.
//
// A [Problem] is everything that is asked: the target, the frame, the parts that may
// be used, what is kept and how closely. Its methods are the answers:
//
//   - [Problem.Solve] finds the builds that come nearest, each with its best settings;
//   - [Problem.Explain] tells why a build does not hold, and the least changes that would
//     free it, as an [Obstacle] for each group of parts;
//   - [Problem.Verify] recomputes a candidate from its build alone;
//   - [Problem.Chance] is the probability that a candidate is within tolerance, with
//     the errors of survey and chart;
//   - [SetUp] turns a candidate into the steps of a set-up sheet.
//
// # Objective
//
// Each kept site's deviation is divided by its tolerance, axis by axis, and its
// square counted by a weight ([fitgeom.Keep]). For every way to combine parts and
// spacers, Solve finds the best settings within all limits. For handlebar, aero bar
// and saddle separately it takes the settings with the smallest sum of squares among
// those within tolerance, or among all if none is. The saddle's tilt is the target's.
// Cleats get the shims that bring each foot nearest to its height. Settings that affect
// nothing stay at their minimum, rotation at 0.
//
// # Order
//
// Candidates come in this order, which depends on nothing but the input:
//
//  1. builds that hold the position before those that do not;
//  2. of those that hold, fewer parts to buy (Problem.Bike);
//  3. smaller sums of squares: the scores of handlebar, aero bar, saddle and feet, each
//     rounded to Problem.Grain, so that rounding does not decide;
//  4. of those that do not hold, fewer parts to buy;
//  5. fewer spacers under the stem, stem not upside down, less rotation;
//  6. place on the shelf: cap, stem, handlebar, levers, aero bar;
//  7. cranks nearer to the target's in length, rails clamped nearer their middle;
//  8. place on the shelf: seatpost, saddle, cranks, pedals.
//
// Of builds that have the same parts of the kinds in Problem.Vary only the first
// is a candidate. The answer equals full enumeration of the shelf.
//
// # Reading a failure
//
// That no build holds the position is an answer and not an error: the candidates are
// the nearest builds, and Explain finds, for each of the two groups of parts that do
// not hold, every single change that would free it and the least changes that would
// do so together.
//
// # Exactness
//
// What a search or a linear program finds is the same to 1e-6 mm on every processor,
// and [Problem.Chance] is good to 0.003.
//
// # Cost
//
// Front end and seat do not affect one another: Solve searches caps × stems ×
// handlebars × levers × aero bars × spacer heights, and cranks × pedals × seatposts ×
// saddles, and keeps a few of each. Lower bounds leave out most front ends unseen: 1.3
// million of them take a little over a millisecond where each kept site of the handlebar
// has one tolerance forward and up. Unlike tolerances and aero bars with many steps take
// much longer, up to minutes. Memory grows with the shelf and not with the
// combinations. Explain takes milliseconds for road shelves, seconds for aero bars with
// many steps.
//
// # Cautions
//
// The cautions of a build ([fitgeom.Build.Cautions]) go with every answer.
package solve
