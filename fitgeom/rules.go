package fitgeom

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rigid"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Figure is a number of a build that rules and standards limit. It is for
// information: besides the cautions about tyres and toes nothing in this package
// looks at it. The zero Figure is [NoseSetback].
type Figure uint8

// The figures, in mm unless told otherwise. Figures of the wheels need the
// frame's axles, and count the tyres of the build's stance; none counts sag.
const (
	NoseSetback         Figure = iota // saddle's nose behind the bottom bracket, level
	SaddleSlope                       // slope of the saddle's line from rear edge to nose, either way, degrees
	SaddleLength                      // length of the saddle
	BottomBracketHeight               // bottom bracket above the ground
	FrontCentre                       // bottom bracket to front axle, level
	RearCentre                        // bottom bracket to rear axle, level
	WheelDiameter                     // of the larger wheel with its tyre
	ExtensionReach                    // tip of the foremost extension in front of the bottom bracket, level
	ExtensionRise                     // tip of an extension above the middle of its pad
	FlatBarWidth                      // flat bar from end to end
	GripsAboveSaddle                  // highest place of the hands above the saddle reference with the post fully in
	StemAboveSteerer                  // upper edge of the stem above that of a steerer that was cut
	PostMark                          // post below its mark, in diameters
	ToeClearance                      // pedal axis to front tyre, in the side view, wheel straight, where they come nearest
	FrontTyreRoom                     // largest radius that the fork's maker allows, less the tyre's
	RearTyreRoom                      // the same at the rear

	figureCount = int(RearTyreRoom) + 1
)

var figureTexts = [figureCount]struct{ text, unit string }{
	NoseSetback:         {"saddle nose behind the bottom bracket", "mm"},
	SaddleSlope:         {"slope of the saddle", "degrees"},
	SaddleLength:        {"length of the saddle", "mm"},
	BottomBracketHeight: {"bottom bracket above the ground", "mm"},
	FrontCentre:         {"bottom bracket to front axle, level", "mm"},
	RearCentre:          {"bottom bracket to rear axle, level", "mm"},
	WheelDiameter:       {"diameter of the larger wheel", "mm"},
	ExtensionReach:      {"extension tip in front of the bottom bracket", "mm"},
	ExtensionRise:       {"extension tip above the forearm pad", "mm"},
	FlatBarWidth:        {"width of the flat bar", "mm"},
	GripsAboveSaddle:    {"hands above the lowest saddle", "mm"},
	StemAboveSteerer:    {"stem above the steerer", "mm"},
	PostMark:            {"post below its mark", "diameters"},
	ToeClearance:        {"pedal axis to front tyre", "mm"},
	FrontTyreRoom:       {"room for the front tyre", "mm"},
	RearTyreRoom:        {"room for the rear tyre", "mm"},
}

// String says what the figure is, such as "extension tip above the forearm pad".
func (f Figure) String() string {
	if int(f) >= figureCount {
		return "figure?"
	}
	return figureTexts[f].text
}

// Unit returns "mm", "degrees" or "diameters".
func (f Figure) Unit() string {
	if int(f) >= figureCount {
		return ""
	}
	return figureTexts[f].unit
}

// Figure returns a figure of the build in its unit, and whether the build has or
// tells it. It fails only as [Build.Validate] does.
func (b Build) Figure(f Figure) (float64, bool, error) {
	if err := b.validate(); err != nil {
		return 0, false, err
	}
	v, ok := b.figure(f)
	return v + 0, ok, nil
}

func (b *Build) figure(f Figure) (float64, bool) {
	p := b.position()
	front, axles := b.Frame.Geometry.FrontAxle()
	rear, _ := b.Frame.Geometry.RearAxle()
	rf, rr := b.Frame.radii(b.Stance)
	switch f {
	case NoseSetback:
		nose, ok := p.At(contact.SaddleNose)
		return -nose.X, ok
	case SaddleSlope:
		return math.Abs(b.Settings.SaddleTilt), true
	case SaddleLength:
		return b.Saddle.Length, true
	case WheelDiameter:
		return 2 * max(rf, rr), axles
	case BottomBracketHeight, FrontCentre, RearCentre:
		// On level ground with its tyres, but without the rider's weight.
		s := b.Stance
		s.FrontSag, s.RearSag = 0, 0
		pitch, _, _ := b.Frame.standing(s)
		sin, cos := num.Sincos(pitch)
		front, rear = rigid.Turned(front, sin, cos), rigid.Turned(rear, sin, cos)
		return map[Figure]float64{BottomBracketHeight: rr - rear.Z, FrontCentre: front.X, RearCentre: -rear.X}[f], axles
	case ExtensionReach:
		tip, ok := p.At(contact.ExtensionLeft) // both lie alike
		return tip.X, ok
	case ExtensionRise:
		tip, ok := p.At(contact.ExtensionLeft)
		pad, _ := p.At(contact.PadLeft)
		return tip.Z - pad.Z, ok
	case FlatBarWidth:
		return b.Bar.Flat.Width, b.Bar.Flat != part.FlatBar{}
	case GripsAboveSaddle:
		low := *b
		low.Settings.PostExtension, _ = extension(&b.Frame, &b.Post)
		low.Settings.Lowered = b.Post.Travel
		lowest := low.position()
		saddle, _ := lowest.At(contact.SaddleReference)
		highest := math.Inf(-1)
		for s, v := range p.All() {
			if s >= contact.TopsLeft && s <= contact.GripRight {
				highest = max(highest, v.Z)
			}
		}
		return highest - saddle.Z, true
	case StemAboveSteerer:
		return b.Cap.Height + b.Settings.Spacers + b.stem().Height - b.Frame.SteererCut, b.Frame.SteererCut != 0
	case PostMark:
		return b.Post.MinInsertion / b.Post.Diameter, true
	case ToeClearance:
		return r3.Norm(front) - b.Crank.Length - rf, axles
	case FrontTyreRoom:
		return b.Frame.MaxFrontRadius - rf, axles && b.Frame.MaxFrontRadius != 0
	case RearTyreRoom:
		return b.Frame.MaxRearRadius - rr, axles && b.Frame.MaxRearRadius != 0
	}
	return 0, false
}

// A Rule is a limit that somebody has put down, with where and when. It is
// data: rules change, differ by discipline and country, and the organiser or the
// authority decides.
type Rule struct {
	Figure Figure
	// Min and Max bound the figure, in its unit; a bound that is not there is infinite.
	Min, Max float64
	// Source is the document and the place in it, and Edition the one that is quoted.
	Source, Edition string
	// Applies says to whom, in words; empty for everybody.
	Applies string
	// Seen says how the project has seen the text: the document itself, or a
	// secondary one that quotes it.
	Seen string
}

// String returns the rule as in "extension tip above the forearm pad at most 120 mm (…)".
func (r Rule) String() string {
	s := r.Figure.String()
	if !math.IsInf(r.Min, -1) {
		s += fmt.Sprintf(" at least %g %s", r.Min, r.Figure.Unit())
	}
	if !math.IsInf(r.Max, 1) {
		s += fmt.Sprintf(" at most %g %s", r.Max, r.Figure.Unit())
	}
	if r.Applies != "" {
		s += ", " + r.Applies
	}
	return s + " (" + r.Source + ", " + r.Edition + ")"
}

// Check returns the rule's figure of a build, and whether it is within the rule;
// known is false where the build does not have or tell the figure, and then
// within says nothing. It fails only as [Build.Validate] does.
func (r Rule) Check(b Build) (value float64, within, known bool, err error) {
	value, known, err = b.Figure(r.Figure)
	const leeway = 1e-9
	return value, known && value >= r.Min-leeway && value <= r.Max+leeway, known, err
}

// Rules returns the rules and standards whose wording or numbers the project
// has seen: a beginning, not a rule book, and of race rules several editions that
// exclude one another. What a caller must keep to is for the caller to add or
// to leave out.
func Rules() []Rule {
	none, inf := math.Inf(-1), math.Inf(1)
	const (
		itself = "the document itself"
		quoted = "a secondary document that quotes it"
		tbis   = "the Taiwanese edition, TBIS 4210-2:2018"
		race   = "UCI regulations, part 1, "
	)
	return []Rule{
		{FlatBarWidth, 350, 1000, "ISO 4210-2, 4.7.1", "2015", "", tbis},
		{GripsAboveSaddle, none, 400, "ISO 4210-2, 4.7.1", "2015", "", tbis},
		{StemAboveSteerer, none, 5, "ISO 4210-2, 4.7.4", "2015", "", tbis},
		{PostMark, 2, inf, "ISO 4210-2, 4.16.2", "2015", "round posts", quoted},
		{PostMark, 2, inf, "16 CFR 1512.15(b)", "edition not noted", "USA", itself},
		{ToeClearance, 100, inf, "JIS D 9301, 5.6.2 b)", "2019", "without foot retention", itself},
		{ToeClearance, 89, inf, "JIS D 9301, 5.6.2 b)", "2019", "with foot retention", itself},
		{ToeClearance, 89, inf, "16 CFR 1512.17(d)", "edition not noted", "USA, without foot retention, wheel turned any way", itself},
		{NoseSetback, 50, inf, race + "1.3.013", "in force 2014-01-01", "with exemptions", quoted},
		{SaddleSlope, none, 9, race + "1.3.014", "clarification guide of about 2016", "", quoted},
		{SaddleLength, 240, 300, race + "1.3.014", "clarification guide of about 2016", "with 5 mm tolerance", quoted},
		{BottomBracketHeight, 240, 300, race + "1.3.015", "German text from before 2009", "", quoted},
		{FrontCentre, 540, 650, race + "1.3.016", "German text from before 2009", "", quoted},
		{RearCentre, 350, 500, race + "1.3.016", "German text from before 2009", "", quoted},
		{WheelDiameter, 550, 700, race + "1.3.018", "German text from before 2009", "", quoted},
		{ExtensionReach, none, 750, race + "1.3.023", "2014", "800 mm with an exemption", quoted},
		{ExtensionReach, none, 800, race + "1.3.023", "about 2020 to 2022", "850 mm for morphological reasons", quoted},
		{ExtensionRise, none, 100, race + "1.3.023", "from 2023-01-01", "riders under 180.0 cm, “less than”", quoted},
		{ExtensionRise, none, 120, race + "1.3.023", "from 2023-01-01", "riders of 180.0 to 189.9 cm, “less than”", quoted},
		{ExtensionRise, none, 140, race + "1.3.023", "from 2023-01-01", "riders from 190.0 cm, “less than”", quoted},
	}
}
