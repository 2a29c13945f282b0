// Package rank finds the frames of a catalogue that hold a position best. The answer is
// the same as if package solve were used on every frame.
//
// An [Index] prepares the sizes once. [Index.Rank] takes a [solve.Problem] without a
// frame and returns the best frames, each with its best build; [Choice.Explain] says what
// prevents one that does not hold. [Index.Neighbours] says why the next size is worse, and
// [Index.Sensitivities] how much the rounding of charts matters.
//
// # Cost
//
// Bounds that know what is bought, what is usual, the room that is left and how near a frame
// comes rule out all but some tens of frames, on any kind of bike: a million sizes take some
// hundredths of a second if their charts are rounded, and some tenths if no two are alike, if
// nothing holds, or if the bike stands on other wheels. It takes longer where pads or extensions
// are kept, of which the bounds know less, and with rules that look at front end and seat
// together or at the wheels and what is near them.
//
// Contexts and budgets work as in package solve: a ranking that was cut short has the best
// frames of those that were searched ([Ranking.Complete], [Ranking.Bound]). A ranking takes
// at most 16 MB of memory for each worker beside the problem and the index; up to 200 bytes more for
// each size where bounds tell nothing of what holds, and 150 on other wheels.
//
// # Cautions
//
// A ranking compares geometry. It knows nothing of stock, prices or advice.
// Charts are nominal; measure before anything is bought or cut.
package rank
