package fitgeom

import "fmt"

// A Limit is a way in which a bike cannot be adjusted any further. The zero
// Limit is [PostUp].
type Limit uint8

// The limits. Each names what would have to move, and which way.
const (
	PostUp        Limit = iota // post further out: the insertion that post and frame demand
	PostDown                   // post further in
	SaddleForward              // saddle further forward on its rails
	SaddleBack                 // saddle further back on its rails
	SpacersUp                  // more spacers: the stack that the steerer allows
	SpacersDown                // fewer spacers
	RollUp                     // bar turned up further in the stem
	RollDown                   // bar turned down further in the stem
	StemLonger                 // a longer stem than any that suits
	StemShorter                // a shorter stem than any that suits
	BarWider                   // a wider bar
	BarNarrower                // a narrower bar
	CrankLonger                // a longer crank
	CrankShorter               // a shorter crank

	limitCount = int(CrankShorter) + 1
)

var limitTexts = [limitCount]struct{ text, unit string }{
	PostUp:        {"post further out", "mm"},
	PostDown:      {"post further in", "mm"},
	SaddleForward: {"saddle further forward on its rails", "mm"},
	SaddleBack:    {"saddle further back on its rails", "mm"},
	SpacersUp:     {"more spacers", "mm"},
	SpacersDown:   {"fewer spacers, or a lower head tube", "mm"},
	RollUp:        {"bar turned up", "degrees"},
	RollDown:      {"bar turned down", "degrees"},
	StemLonger:    {"longer stem", "mm"},
	StemShorter:   {"shorter stem", "mm"},
	BarWider:      {"wider bar", "mm"},
	BarNarrower:   {"narrower bar", "mm"},
	CrankLonger:   {"longer crank", "mm"},
	CrankShorter:  {"shorter crank", "mm"},
}

// String says what would have to move, such as "post further out".
func (l Limit) String() string {
	if int(l) >= limitCount {
		return "limit?"
	}
	return limitTexts[l].text
}

// Unit returns "mm" or "degrees", the unit of amounts beside the limit.
func (l Limit) Unit() string {
	if int(l) >= limitCount {
		return ""
	}
	return limitTexts[l].unit
}

// A Margin is the room left before a limit.
type Margin struct {
	Limit Limit
	// Room is in the limit's unit, mm or degrees; negative when the build is beyond the limit.
	Room float64
}

// String returns the margin as in "post further out: 42.0 mm".
func (m Margin) String() string { return fmt.Sprintf("%v: %.1f %s", m.Limit, m.Room, m.Limit.Unit()) }

// A Shortfall is how much further a candidate would have to go than it does to
// hold a position. Several are meant together.
type Shortfall struct {
	Limit Limit
	// By is in the limit's unit, mm or degrees, and positive.
	By float64
}

// String returns the shortfall as in "post further out by 12.0 mm".
func (s Shortfall) String() string {
	return fmt.Sprintf("%v by %.1f %s", s.Limit, s.By, s.Limit.Unit())
}

// Margins returns the room that the build's settings leave before every limit of
// its parts, from [PostUp] to [RollDown]. A negative room means that the build
// breaks the limit. It fails only as [Build.Validate] does.
//
// The post must be inserted as far as its own mark and the frame demand,
// whichever is more.
func (b Build) Margins() ([]Margin, error) {
	if err := b.Validate(); err != nil {
		return nil, err
	}
	return b.margins(), nil
}

func (b *Build) margins() []Margin {
	s := &b.Settings
	lo, hi := extension(&b.Frame, &b.Post)
	return []Margin{
		{PostUp, hi - s.PostExtension},
		{PostDown, s.PostExtension - lo},
		{SaddleForward, b.Saddle.RailsTo - s.RailClamp},
		{SaddleBack, s.RailClamp - b.Saddle.RailsFrom},
		{SpacersUp, b.Frame.MaxStack - b.Cap.Height - s.Spacers},
		{SpacersDown, s.Spacers},
		{RollUp, b.Bar.RollRange - s.BarRoll},
		{RollDown, b.Bar.RollRange + s.BarRoll},
	}
}

// extension is the range of a post in a frame, from fully in to as far out as
// its insertion allows. The range is empty (hi < lo) if the post does not suit.
func extension(f *Frame, p *Post) (lo, hi float64) {
	lo = p.MinExtension
	if f.PostDepth != 0 {
		lo = max(lo, p.Length-f.PostDepth)
	}
	return lo, p.Length - max(p.MinInsertion, f.PostInsertion)
}
