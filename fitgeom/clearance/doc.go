// Package clearance tells what hits what on a bike, and by how much it does not: shoe and
// front wheel, pedal and ground, heel and chainstay, knee and handlebar, crotch and top
// tube.
//
// A [Bike] is a position on a frame, before anything is built, and as much as is known of
// what surrounds the points: a [Bulk] of tyres, mudguard, pedals and shoes, a rider's body.
// [Bike.Values] has every [Quantity] that follows, of both sides, with its uncertainty if
// that of the numbers is stated. Package fitgeom makes a Bike of a build; its cautions, and
// the figures of fitgeom/rules, are these quantities and no others.
//
// Lengths are mm and angles degrees, axes those of package contact. The frame is held as it
// stands with the wheel straight: while the bike is steered, it pitches by less than a
// degree, and shoe and wheel with it.
//
// # What turns and what stays
//
// The front wheel is a torus, filled within, that turns about the steering axis; shoes go
// round with the cranks. All crank angles and all steering angles count, and the least is
// the answer, with the angles at which it is found. A shoe keeps its slope over the turn of
// the crank. Riders who drop or lift their heels have more room or less.
//
// # Standards
//
// 16 CFR 1512.17(d): “Bicycles not equipped with positive foot-retaining devices (such as
// toe clips) shall have at least 89 mm (3 1/2 in) clearance between the pedal and the front
// tire or fender (when turned to any position). The clearance shall be measured forward and
// parallel to the longitudinal axis of the bicycle from the center of either pedal to the
// arc swept by the tire or fender, whichever results in the least clearance.” The steering
// axis leans, so that a wheel that is turned sweeps no arc in a level plane: [ToeLevel] takes
// what it sweeps at the pedal's level, [ToePlan] what is seen from above. The difference
// between front centre, crank and wheel's radius is neither.
//
// JIS D 9301:2019, 5.6.2 b), which follows ISO 4210-2, 4.13.2 (not read), has 100 mm, and 89
// mm with foot retention, from the centre of either pedal to the arc of tyre or mudguard
// that leaves less, parallel to the bicycle's centre plane and forward (read in Japanese on
// a test house's page): [ToeLevel] if that is straight forward, [ToeParallel] if it is the
// shortest way in that plane.
//
// 16 CFR 1512.17(c): “With the pedal horizontal and the pedal crank in its lowest position
// and any training wheels removed, it shall be possible to tilt the bicycle at least 25°
// from the vertical without the pedal or any other part (other than tires) contacting the
// ground plane.” [PedalLean] is of the pedal.
//
// No standard was found that words the others.
//
// # Exactness and cost
//
// Distances are exact to about 1e-8 mm and steering angles to 1e-6 degrees, for the bodies
// that are described. All quantities of a position on a frame take a few tens of
// microseconds, some more with a rider's body, and twice that for every number that is
// uncertain. Memory is that of the answer.
//
// # Cautions
//
// Shoes, tyres and frames differ from their simple bodies by millimetres, frames flex, and
// riders move. A clearance of a centimetre on paper is to be tried: at walking pace, with
// the shoes that will be worn. Standards change and differ by country; the authority
// decides.
package clearance
