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
// Bounds rule out most frames without a search if charts are rounded and the bike stands on
// the chart's tyres without sag: a million rounded frames take some seconds. They do not know
// the room that a build leaves, so that every frame that holds is searched where the best ones
// are short of the room that is wanted. If pads or extensions are kept, more frames are
// searched; with other wheels all of them are. A search takes up to some milliseconds.
//
// Contexts and budgets work as in package solve: a ranking that was cut short has the best
// frames of those that were searched ([Ranking.Complete], [Ranking.Bound]). A ranking takes
// at most 16 MB of memory beside the problem and the index, and 8 bytes for each size.
//
// # Cautions
//
// A ranking compares geometry. It knows nothing of stock, prices or advice.
// Charts are nominal; measure before anything is bought or cut.
package rank
