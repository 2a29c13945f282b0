// Package rank finds the frames of a catalogue that hold a position best: for one
// problem over many frame sizes, exactly as package solve would on each of them.
//
// An [Index] prepares the sizes once. [Index.Rank] takes a [solve.Problem] without a
// frame and returns the best frames, each with its best build and, where that does
// not hold, what is in the way. [Index.Neighbours] tells why the next size loses,
// [Index.Sensitivities] how much the rounding of charts matters.
//
// # Cost
//
// Bounds show most frames to be worse than the best ones without a search: some 10 to
// 70 ns a frame where charts are rounded and the bike stands on the chart's tyres
// without sag. With pads or extensions among what is kept more frames are searched,
// and with other wheels all of them, at some 0.05 to 0.1 ms each and more.
//
// # Cautions
//
// A ranking compares geometry. It does not know what a shop has, costs or advises.
// Charts are nominal; measure before anything is bought or cut.
package rank
