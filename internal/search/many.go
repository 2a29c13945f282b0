package search

// many is how much is kept at a time of what there may be of in any number, such as ways
// to put parts together, so that memory is bounded. The answers are the same with other
// numbers; these are beyond what shelves and catalogues of real size have.
var many = struct {
	cockpits int // laid out; they are searched lot by lot
	perches  int // the same
	kept     int // piles that suit a stem and a cap; others are found again for every cockpit
	mated    int // bars on stems that are bounded; if there are more, each frame is searched
	bounders int // kinds of steerers that are bounded; each frame with another is searched
	seatings int // what seat parts cost; others are searched again, 170 bytes each
	seats    int // the best seats of seat parts; the same, 1 kB each
	paired   int // seats that front ends are paired with; they are paired lot by lot
}{4096, 4096, 100_000, 40_000, 32, 1 << 13, 1 << 11, 1 << 11}
