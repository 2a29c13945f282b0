// Package record keeps a position for the day on which it is needed again: with its
// uncertainty and date, the bike and the shoes that it belongs to, how it was measured, and
// what the rider said. It tells which changes between two records are real, and puts a
// recorded position onto another frame with the chance that every build has it.
//
// A [Record] needs a position and nothing else. A survey gives it with its covariance:
//
//	fix, err := survey.Solve()
//	r := record.Record{Date: day, Fix: fix, Bike: record.Bike{Saddle: saddle}, Shoes: "shoe 43"}
//
// and any other position is record.Record{Fix: survey.Fix{Position: p, Covariance: c}}.
//
// # What is true years later
//
// A number means what it meant when it was measured as long as the saddle, the shoes and the
// habit of measuring are the same. [Compare] judges every move by both covariances, and says
// beside it what else could explain it ([Warning]): another saddle, a reference where the
// saddle has another width, other shoes or pedals, another method. It does not guess by how
// much. Of many sites some seem to have moved by chance alone: at a coverage of 0.95, one in
// 20 of those that did not.
//
// # What is personal
//
// All that tells who the rider is, or is about the rider's health, is one member
// ([Record.Personal]): a program that must not have it drops that. [Record.Anonymous] leaves
// position, uncertainty and bike, without a name or a date. No error repeats a text of a
// record, and package fmt does not print the member.
//
// # Cost
//
// Compare takes less than a millisecond. [Record.Reproduce] takes what [solve.Problem.Solve]
// takes, and some milliseconds for the chance of each candidate.
//
// # Cautions
//
// A position is geometry, not medical advice. What is written of pain or numbness here is a
// note for people: no computation looks at it, and it is a matter for a clinician. A bike
// that is set up by an old record is checked as a new one is: what package fitgeom says of
// manufacturers and mechanics holds here too. The rider may have changed since.
package record
