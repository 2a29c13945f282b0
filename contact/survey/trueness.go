package survey

import (
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/work"
)

// A pair is a left and a right landmark that are mirror images.
type pair struct{ left, right Landmark }

// A framePair is a pair of the frame and what is usual of it.
type framePair struct {
	pair
	steers       bool    // turns with the front wheel
	stays        bool    // is the same place in every session
	line, middle bool    // what of it counts
	usual        float64 // how true each landmark is, as a standard uncertainty, mm
}

// Usual trueness of frames, as a standard uncertainty of each landmark along each axis.
// Of one frame all of it is more or less by a factor, whose logarithm has the standard
// deviation usualSpread. Common practice, no source.
const (
	usualTrue   = 1   // mm
	usualRim    = 1.5 // mm: wheels are out of dish and sit askew
	usualSpread = 0.5
)

// framePairs are the pairs of the frame. The datum needs the first three.
var framePairs = [...]framePair{
	{pair{BottomBracketLeft, BottomBracketRight}, false, true, true, true, usualTrue},
	{pair{RearAxleLeft, RearAxleRight}, false, true, true, false, usualTrue},
	{pair{FrontAxleLeft, FrontAxleRight}, true, true, true, false, usualTrue},
	{pair{HeadTubeTopLeft, HeadTubeTopRight}, false, true, true, true, usualTrue},
	{pair{HeadTubeBottomLeft, HeadTubeBottomRight}, false, true, true, true, usualTrue},
	{pair{RearDropoutLeft, RearDropoutRight}, false, true, true, true, usualTrue},
	{pair{FrontDropoutLeft, FrontDropoutRight}, true, true, true, true, usualTrue},
	{pair{RearRimLeft, RearRimRight}, false, false, false, true, usualRim},
	{pair{FrontRimLeft, FrontRimRight}, true, false, false, true, usualRim},
}

// Indexes in framePairs. Those below needed are also indexes in the pairs of a datum.
const (
	bottomBracket = iota
	rearAxle
	frontAxle
	needed
	headTubeTop  = needed
	headTubeFoot = needed + 1
)

// turnsFront holds the landmarks that are no sites and turn with the front wheel.
var turnsFront = func() map[Landmark]bool {
	m := map[Landmark]bool{}
	for i := range framePairs {
		if p := &framePairs[i]; p.steers {
			m[p.left], m[p.right] = true, true
		}
	}
	for _, s := range contact.Sites() {
		if pointed(s) {
			m[Ahead(s)], m[Outer(s)] = true, true
		}
	}
	return m
}()

// name returns the pair's name in errors.
func (p *pair) name() string { return strings.TrimSuffix(string(p.left), "_left") }

// A Counting is what of a pair of landmarks counts for the mid-plane. The zero Counting
// is [CountsAsUsual].
type Counting uint8

// What of a pair counts.
const (
	// CountsAsUsual: of rear and front axle the line, of rims the middle, of all others
	// both.
	CountsAsUsual Counting = iota
	// CountsLine: the line from right to left is square to the mid-plane.
	CountsLine
	// CountsMiddle: the point midway lies on the mid-plane.
	CountsMiddle
	// CountsBoth: the line and the middle. It suits an axle whose ends stick out equally.
	CountsBoth
)

var countingNames = enum.New[Counting]("counting", []string{CountsAsUsual: "as_usual", CountsLine: "line", CountsMiddle: "middle", CountsBoth: "both"})

// String returns the name, such as "line".
func (c Counting) String() string { return countingNames.String(c) }

// MarshalText writes the name; it fails for an unknown number.
func (c Counting) MarshalText() ([]byte, error) { return countingNames.Text(c) }

// UnmarshalText reads a name as [ParseCounting] does.
func (c *Counting) UnmarshalText(text []byte) error { return countingNames.Read(c, text) }

// ParseCounting returns the Counting of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseCounting(name string) (Counting, error) { return countingNames.Parse(name) }

// A Trueness states how well a pair of landmarks of one frame mirror each other.
type Trueness struct {
	// Pair is the left landmark of the pair, which stands for both: one of the frame or
	// the wheels, or a mark of your own whose name ends in "_left".
	Pair Landmark `json:"pair"`
	// Sigma is how far each of the two is from where the mirror image of the other would
	// have it, along each axis, as a standard uncertainty: a half of it squared for the
	// middle, twice it squared for the line. Zero stands for what is usual: 1 mm, and of
	// rims 1.5 mm, more or less as the readings of all such pairs show.
	Sigma float64 `json:"sigma_mm,omitzero" range:"0 to 20" zero:"not stated"`
	// Counts is what of the pair counts for the mid-plane.
	Counts Counting `json:"counts,omitzero"`
}

var truenessFields = field.New[Trueness]()

// canCount reports whether a landmark can stand for a pair of the frame.
func (l Landmark) canCount() bool {
	for i := range framePairs {
		if framePairs[i].left == l {
			return true
		}
	}
	return strings.HasPrefix(string(l), markPrefix) && strings.HasSuffix(string(l), "_left")
}

// validateTrueness checks what is stated of pairs, each once.
func validateTrueness(m *work.Meter, f *fault.List, all []Trueness) {
	seen := map[Landmark]bool{}
	for i := 0; i < len(all) && m.Do(1) && !f.Full(); i++ {
		t := &all[i]
		var own fault.List
		if !t.Pair.canCount() {
			own.Add("pair", short(t.Pair), "the left landmark of a pair of the frame, such as rear_axle_left", contact.ErrUnknown)
		}
		if seen[t.Pair] {
			own.Add("pair", short(t.Pair), "each pair once", contact.ErrConflict)
		}
		seen[t.Pair] = true
		truenessFields.Check(&own, t)
		own.In("", countingNames.Check("counts", t.Counts))
		if err := own.Err(); err != nil {
			f.In(fault.At("trueness", i), err)
		}
	}
}
