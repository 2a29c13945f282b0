package fitgeom

import (
	"fmt"

	"example.com/fitgeom/fitgeom/part"
)

// A Limit is a way in which a bike cannot be adjusted any further, or a dimension
// in which a part would have to be another. The zero Limit is [PostUp].
type Limit uint8

// The limits. Each names what would have to move or to be other, and which way.
const (
	PostUp         Limit = iota // post further out: the insertion that post and frame demand
	PostDown                    // post further in
	SaddleForward               // saddle further forward on its rails
	SaddleBack                  // saddle further back on its rails
	SpacersUp                   // more spacers: the stack that the steerer allows
	SpacersDown                 // fewer spacers
	SpacersAbove                // more spacers on top of the stem, to cover the steerer
	RollUp                      // bar turned up further in the stem
	RollDown                    // bar turned down further in the stem
	AeroTiltUp                  // aero bar tilted up further
	AeroTiltDown                // aero bar tilted down further
	PadsUp                      // pads higher on the aero bar
	PadsDown                    // pads lower on the aero bar
	PadsForward                 // pads further forward on the aero bar
	PadsBack                    // pads further back on the aero bar
	PadsApart                   // pads further apart
	PadsTogether                // pads closer together
	ExtensionOut                // extensions further out
	ExtensionIn                 // extensions further in
	StemLonger                  // a longer stem
	StemShorter                 // a shorter stem
	BarWider                    // a wider bar
	BarNarrower                 // a narrower bar
	SetbackMore                 // a post with more setback
	SetbackLess                 // a post with less setback, or one that reaches forward
	CrankLonger                 // a longer crank
	CrankShorter                // a shorter crank
	CrankWider                  // a wider crank
	CrankNarrower               // a narrower crank
	FootHigher                  // thicker pedals, soles or shims under the cleats
	FootLower                   // thinner pedals, soles or shims
	StanceWider                 // pedals that set the feet wider
	StanceNarrower              // pedals that set the feet narrower

	limitCount = int(StanceNarrower) + 1
)

var limitTexts = [limitCount]struct{ text, unit string }{
	PostUp:         {"post further out", "mm"},
	PostDown:       {"post further in", "mm"},
	SaddleForward:  {"saddle further forward on its rails", "mm"},
	SaddleBack:     {"saddle further back on its rails", "mm"},
	SpacersUp:      {"more spacers", "mm"},
	SpacersDown:    {"fewer spacers, or a lower head tube", "mm"},
	SpacersAbove:   {"more spacers on the stem", "mm"},
	RollUp:         {"bar turned up", "degrees"},
	RollDown:       {"bar turned down", "degrees"},
	AeroTiltUp:     {"aero bar tilted up", "degrees"},
	AeroTiltDown:   {"aero bar tilted down", "degrees"},
	PadsUp:         {"pads higher", "mm"},
	PadsDown:       {"pads lower", "mm"},
	PadsForward:    {"pads further forward", "mm"},
	PadsBack:       {"pads further back", "mm"},
	PadsApart:      {"pads further apart", "mm"},
	PadsTogether:   {"pads closer together", "mm"},
	ExtensionOut:   {"extensions further out", "mm"},
	ExtensionIn:    {"extensions further in", "mm"},
	StemLonger:     {"longer stem", "mm"},
	StemShorter:    {"shorter stem", "mm"},
	BarWider:       {"wider bar", "mm"},
	BarNarrower:    {"narrower bar", "mm"},
	SetbackMore:    {"post with more setback", "mm"},
	SetbackLess:    {"post with less setback", "mm"},
	CrankLonger:    {"longer crank", "mm"},
	CrankShorter:   {"shorter crank", "mm"},
	CrankWider:     {"wider crank", "mm"},
	CrankNarrower:  {"narrower crank", "mm"},
	FootHigher:     {"foot higher above the pedal", "mm"},
	FootLower:      {"foot lower above the pedal", "mm"},
	StanceWider:    {"feet wider on the pedals", "mm"},
	StanceNarrower: {"feet narrower on the pedals", "mm"},
}

// String says what would have to move or to be other, such as "post further out".
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
func (m Margin) String() string { return fmt.Sprintf("%v: %.1f %s", m.Limit, m.Room+0, m.Limit.Unit()) }

// Margins returns the room that the build's settings leave before every limit of
// its parts, in the order of the limits' constants; those of an aero bar, of a
// steerer that was cut and of a bar that can be turned only where there is one. A
// negative room means that the build breaks the limit. It fails only as
// [Build.Validate] does.
//
// The post must be inserted as far as its own mark and the frame demand,
// whichever is more.
func (b Build) Margins() ([]Margin, error) {
	if err := b.validate(); err != nil {
		return nil, err
	}
	return b.margins(), nil
}

func (b *Build) margins() []Margin {
	s := &b.Settings
	lo, hi := extension(&b.Frame, &b.Post)
	stemHeight := b.stem().Height
	all := append(
		make([]Margin, 0, 20),
		Margin{PostUp, hi - s.PostExtension},
		Margin{PostDown, s.PostExtension - lo},
		Margin{SaddleForward, b.Saddle.RailsTo - s.RailClamp},
		Margin{SaddleBack, s.RailClamp - b.Saddle.RailsFrom},
		Margin{SpacersUp, spacerRoom(&b.Frame, b.Cap.Height, stemHeight) - s.Spacers},
		Margin{SpacersDown, s.Spacers},
	)
	if cut := b.Frame.SteererCut; cut != 0 {
		all = append(all, Margin{SpacersAbove, b.Cap.Height + s.Spacers + stemHeight + s.SpacersAbove - cut - preloadRoom})
	}
	if !b.Bar.OnePiece() {
		all = append(all, Margin{RollUp, b.Bar.RollRange - s.BarRoll}, Margin{RollDown, b.Bar.RollRange + s.BarRoll})
	}
	if a := &b.Aero; *a != (part.AeroBar{}) {
		for _, m := range [...]struct {
			up, down Limit
			steps    part.Steps
			at       float64
		}{
			{AeroTiltUp, AeroTiltDown, a.Tilt, s.AeroTilt},
			{PadsUp, PadsDown, a.PadStack, s.PadStack},
			{PadsForward, PadsBack, a.PadReach, s.PadReach},
			{PadsApart, PadsTogether, a.PadWidth, s.PadWidth},
			{ExtensionOut, ExtensionIn, a.Extension, s.Extension},
		} {
			all = append(all, Margin{m.up, m.steps.Last() - m.at}, Margin{m.down, m.at - m.steps.From})
		}
	}
	return all
}

// stem is the stem that carries the bar, a part of its own or of the bar.
func (b *Build) stem() *part.Stem {
	if b.Bar.OnePiece() {
		return &b.Bar.Stem
	}
	return &b.Stem
}

// extension is the range of a post in a frame, from fully in to as far out as
// its insertion allows. The range is empty (hi < lo) if the post does not suit.
func extension(f *Frame, p *part.Post) (lo, hi float64) {
	lo = p.MinExtension
	if f.PostDepth != 0 {
		lo = max(lo, p.Length-f.PostDepth)
	}
	hi = p.Length - max(p.MinInsertion, f.PostInsertion)
	if p.MaxExtension != 0 {
		hi = min(hi, p.MaxExtension)
	}
	return lo, hi
}
