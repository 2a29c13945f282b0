// Package design turns the question round: not which frame holds a position, but which
// frame should be built for it. From a position, the parts that the rider shall have and
// wishes, it finds every dimension of a frame's chart, its tubes and how they are cut; what
// is still free; and which wishes contradict.
//
// Lengths are millimetres and angles degrees, axes those of package contact. The frame
// stands as it is drawn: on the wheels that are wished, without sag.
//
// A [Problem] has the position, the parts and a list of wishes. A [Wish] is a range for one
// [Subject]: a dimension of the chart, a [Setting] of the parts, or a clearance. Parts are
// wishes too: a stem of 100 mm is wished exactly, unless something else is said. So is room
// to move, which is what most wishes are for.
//
//	[Problem.Solve]    a frame that has all wishes, in the middle of them, or the one that
//	                   misses them by the least, with what contradicts
//	[Problem.Ranges]   how far each number can still go
//	[Design.Drawing]   axes of the tubes, and mitres
//	[Design.Nearest]   the sizes of a catalogue that come next
//
// # How hands and saddle bind a frame
//
// The steering axis passes the bar's clamp at the length of the stem, and so the head angle
// alone says where it runs: spacers only move the head tube along it. Wheel, fork and trail
// then say where the front axle is. On the other side, the seat tube's axis passes the rail
// clamp at the setback. Stack and reach follow.
//
//	trail            (R cos θ − offset) / sin θ            R: the front wheel's radius
//	front axle       stands so far in front of the bottom bracket that wheel and shoe pass:
//	                 a larger trail at one head angle brings it back by as much
//	head tube        (stack − axle + offset · cos θ) / sin θ − lower headset − √(fork² − offset²)
//
// # Contradictions
//
// A [Contradiction] is minimal: without any one of its wishes there is a frame for the
// others. Several are disjoint, and others may show once these are settled. A [Change] says
// by how much a wish has to give. What bicycles have ([chart.Dimension.Range], and the like
// of settings) limits every frame and is never named.
//
// # Exactness and cost
//
// Numbers are exact to 1e-6 mm, and mostly to rounding. A frame is found by linear programs,
// each around the last frame, from several beginnings; that none is found is a search and no
// proof, and so are ends of ranges. A design takes about a millisecond, one whose wishes
// contradict and all ranges some tens of milliseconds, and seconds where next to nothing is
// wished. Calls that may take long take a context, and a budget; memory is less than 4 MB.
//
// # Errors
//
// Errors are [*contact.Error], which reports all faults of an input together. That wishes
// contradict is an answer of Solve, and no error.
//
// # Cautions
//
// This is geometry. It knows nothing of tubing, strength, stiffness, joints or heat. A frame
// builder decides whether a frame can be built so and be ridden; makers' instructions for
// forks, headsets, tubes and parts come first; and test standards, such as ISO 4210 for
// frames and forks, are met by tests and not by drawings. A position that pain brought about
// is a matter for a clinician.
package design
