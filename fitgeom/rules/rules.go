package rules

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/rig"
)

// A Figure is a number of a build that rules and standards limit. It is for information.
// The zero Figure is not valid.
type Figure uint8

// The figures, in mm unless stated otherwise. Figures of the wheels need the frame's
// axles, and count the tyres of the build's wheels; none counts sag.
const (
	NoseSetback         Figure = iota + 1 // saddle's nose behind the bottom bracket, horizontal
	SaddleSlope                           // slope of a straight edge on the saddle's top, either way, degrees
	SaddleLength                          // length of the saddle
	BottomBracketHeight                   // bottom bracket above the ground
	FrontCentre                           // bottom bracket to front axle, horizontal
	RearCentre                            // bottom bracket to rear axle, horizontal
	WheelDiameter                         // of the larger wheel with its tyre
	ExtensionReach                        // tip of the foremost extension in front of the bottom bracket, horizontal
	ExtensionRise                         // tip of an extension above the middle of its pad
	FlatBarWidth                          // flat bar from end to end
	GripsAboveSaddle                      // highest place of the hands above the saddle reference with the seatpost fully in
	StemAboveSteerer                      // upper edge of the stem above that of a steerer that was cut
	SeatpostMark                          // seatpost below its mark, in diameters
	ToeLevel                              // pedal's centre to the front wheel's arc, at its level: clearance.ToeLevel
	FrontTyreRoom                         // largest radius that the fork's manufacturer allows, less the tyre's
	RearTyreRoom                          // the same at the rear
	ToePlan                               // ToeLevel in plan view: clearance.ToePlan
	ToeParallel                           // ToeLevel parallel to the mid-plane: clearance.ToeParallel
	ShoeToWheel                           // shoe to front tyre or mudguard, wheel turned any way: clearance.ShoeToWheel
	PedalLean                             // lean at which the pedal meets the ground: clearance.PedalLean, degrees
	HeelToStay                            // shoe to chainstay: clearance.HeelToStay

	figureCount = int(HeelToStay) + 1
)

// figures is the one table of figures.
var figures = [figureCount]struct{ name, words, unit string }{
	NoseSetback:         {"nose_setback", "saddle nose behind the bottom bracket", "mm"},
	SaddleSlope:         {"saddle_slope", "slope of the saddle", "degrees"},
	SaddleLength:        {"saddle_length", "length of the saddle", "mm"},
	BottomBracketHeight: {"bottom_bracket_height", "bottom bracket above the ground", "mm"},
	FrontCentre:         {"front_centre", "bottom bracket to front axle, horizontal", "mm"},
	RearCentre:          {"rear_centre", "bottom bracket to rear axle, horizontal", "mm"},
	WheelDiameter:       {"wheel_diameter", "diameter of the larger wheel", "mm"},
	ExtensionReach:      {"extension_reach", "extension tip in front of the bottom bracket", "mm"},
	ExtensionRise:       {"extension_rise", "extension tip above the forearm pad", "mm"},
	FlatBarWidth:        {"flat_bar_width", "width of the flat bar", "mm"},
	GripsAboveSaddle:    {"grips_above_saddle", "hands above the lowest saddle", "mm"},
	StemAboveSteerer:    {"stem_above_steerer", "stem above the steerer", "mm"},
	SeatpostMark:        {"seatpost_mark", "seatpost below its mark", "diameters"},
	FrontTyreRoom:       {"front_tyre_room", "room for the front tyre", "mm"},
	RearTyreRoom:        {"rear_tyre_room", "room for the rear tyre", "mm"},
}

// clearances is which figure is which clearance: of the side that has less.
var clearances = map[Figure]clearance.Quantity{
	ShoeToWheel: clearance.ShoeToWheel, ToeLevel: clearance.ToeLevel, ToePlan: clearance.ToePlan, ToeParallel: clearance.ToeParallel,
	PedalLean: clearance.PedalLean, HeelToStay: clearance.HeelToStay,
}

var figureNames = func() *enum.Names[Figure] {
	names := make([]string, figureCount)
	for f, q := range clearances {
		figures[f].name, figures[f].words, figures[f].unit = q.String(), q.Words(), q.Unit()
	}
	for i := range figures {
		names[i] = figures[i].name
	}
	return enum.New[Figure]("figure", names)
}()

// Figures returns all figures, in the order of their constants.
func Figures() []Figure { return figureNames.All() }

// String returns the figure's name, such as "extension_rise".
func (f Figure) String() string { return figureNames.String(f) }

// MarshalText writes the figure's name; it fails for an unknown number.
func (f Figure) MarshalText() ([]byte, error) { return figureNames.Text(f) }

// UnmarshalText reads a name as [ParseFigure] does.
func (f *Figure) UnmarshalText(text []byte) error { return figureNames.Read(f, text) }

// ParseFigure returns the figure of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseFigure(name string) (Figure, error) { return figureNames.Parse(name) }

// Words says what the figure is, such as "extension tip above the forearm pad".
func (f Figure) Words() string {
	if !figureNames.Valid(f) {
		return f.String()
	}
	return figures[f].words
}

// Unit returns "mm", "degrees" or "diameters"; "" for an unknown number.
func (f Figure) Unit() string {
	if !figureNames.Valid(f) {
		return ""
	}
	return figures[f].unit
}

// Of returns a figure of a build in its unit, and whether the build has it and states
// what it needs. Faults are those of [fitgeom.Build.Validate].
func (f Figure) Of(b fitgeom.Build) (float64, bool, error) {
	p, err := b.Position()
	if err != nil {
		return 0, false, err
	}
	v, ok := f.of(&b, p)
	return v + 0, ok, nil
}

func (f Figure) of(b *fitgeom.Build, p contact.Position) (float64, bool) {
	switch f {
	case NoseSetback:
		nose, ok := p.At(contact.SaddleNose)
		return -nose.X, ok
	case SaddleSlope:
		return math.Abs(b.Settings.SaddleTilt), true
	case SaddleLength:
		return b.Saddle.Length, true
	case WheelDiameter, BottomBracketHeight, FrontCentre, RearCentre:
		return f.ofWheels(b)
	case ExtensionReach:
		tip, ok := p.At(contact.ExtensionLeft) // both lie alike
		return tip.X, ok
	case ExtensionRise:
		tip, ok := p.At(contact.ExtensionLeft)
		pad, _ := p.At(contact.PadLeft)
		return tip.Z - pad.Z, ok
	case FlatBarWidth:
		return b.Handlebar.Flat.Width, b.Handlebar.Flat != part.FlatBar{}
	case GripsAboveSaddle:
		return gripsAboveSaddle(b, p), true
	case StemAboveSteerer:
		return b.Cap.Height + b.Settings.Spacers + b.Carrier().Height - b.Frame.SteererCut, b.Frame.SteererCut != 0
	case SeatpostMark:
		return b.Seatpost.MinInsertion / b.Seatpost.Diameter, true
	case ShoeToWheel, ToeLevel, ToePlan, ToeParallel, PedalLean, HeelToStay:
		return f.ofClearance(b, p)
	case FrontTyreRoom:
		return b.FrontTyreRoom()
	case RearTyreRoom:
		return b.RearTyreRoom()
	}
	return 0, false
}

// ofClearance is a clearance as standards measure it, without the rider's weight.
func (f Figure) ofClearance(b *fitgeom.Build, p contact.Position) (float64, bool) {
	w := b.Wheels
	w.FrontSag, w.RearSag = 0, 0
	v, ok, err := clearance.Bike{Position: p, Geometry: b.Frame.Geometry, Wheels: w, Bulk: b.Bulk}.Least(clearances[f])
	return v.Value, ok && err == nil
}

// ofWheels is the figures of wheels on level ground with their tyres, but without the
// rider's weight.
func (f Figure) ofWheels(b *fitgeom.Build) (float64, bool) {
	g := b.Frame.Geometry
	w := b.Wheels.On(g)
	w.FrontSag, w.RearSag = 0, 0
	front, rear, ok := g.AxlesOn(w)
	if !ok {
		return 0, false
	}
	if f == WheelDiameter {
		return 2 * max(w.FrontRadius, w.RearRadius), true
	}
	switch f {
	case BottomBracketHeight:
		return w.RearRadius - rear.Z, true
	case FrontCentre:
		return front.X, true
	default: // RearCentre
		return -rear.X, true
	}
}

// gripsAboveSaddle is how far the highest place of the hands lies above the saddle
// with the seatpost fully in.
func gripsAboveSaddle(b *fitgeom.Build, p contact.Position) float64 {
	low := *b
	low.Settings.SeatpostExtension, _ = b.Frame.SeatpostRange(b.Seatpost)
	low.Settings.Lowered = b.Seatpost.Travel
	lowest := rig.Position(&low)
	saddle, _ := lowest.At(contact.SaddleReference)
	highest := math.Inf(-1)
	for s, v := range p.All() {
		if s.Group() == contact.OnHandlebar && s.Side() != contact.Centre {
			highest = max(highest, v.Z)
		}
	}
	return highest - saddle.Z
}

// A Rule is a published limit, with its source and its date. It is data: rules change,
// differ by discipline and country, and the organiser or the authority decides.
type Rule struct {
	Figure Figure
	// Min and Max are the limits of the figure, in its unit; a missing one is infinite.
	Min, Max float64
	// Source is the document and the place in it, and Edition the one that is quoted.
	Source, Edition string
	// Applies says to whom the rule applies, in words; empty for everybody.
	Applies string
	// Reading says how a text is read that can be read in several ways; empty for others.
	Reading string
	// Seen says how the project has seen the text: the document itself, or a
	// secondary one that quotes it.
	Seen string
}

// String returns the rule as in "extension tip above the forearm pad at most 120 mm (…)".
func (r Rule) String() string {
	var s strings.Builder
	s.WriteString(r.Figure.Words())
	if !math.IsInf(r.Min, -1) {
		s.WriteString(fmt.Sprintf(" at least %g %s", r.Min, r.Figure.Unit()))
	}
	if !math.IsInf(r.Max, 1) {
		s.WriteString(fmt.Sprintf(" at most %g %s", r.Max, r.Figure.Unit()))
	}
	for _, more := range [...]string{r.Applies, r.Reading} {
		if more != "" {
			s.WriteString(", " + more)
		}
	}
	return s.String() + " (" + r.Source + ", " + r.Edition + ")"
}

// Check returns the rule's figure of a build, and whether it is within the rule; known is
// false if the build does not have or state the figure; ignore within then. Faults are
// those of [fitgeom.Build.Validate].
func (r Rule) Check(b fitgeom.Build) (value float64, within, known bool, err error) {
	value, known, err = r.Figure.Of(b)
	const leeway = 1e-9
	return value, known && value >= r.Min-leeway && value <= r.Max+leeway, known, err
}

//go:embed rules.json
var data []byte

// all is the rules of the data file, read once.
var all = sync.OnceValue(func() []Rule {
	var rows []struct {
		Figure                                  Figure
		Min, Max                                *float64
		Source, Edition, Applies, Reading, Seen string
	}
	if err := json.Unmarshal(data, &rows); err != nil {
		panic("rules.json: " + err.Error()) // it is part of this package, and tested
	}
	var all []Rule
	for _, r := range rows {
		rule := Rule{Figure: r.Figure, Min: math.Inf(-1), Max: math.Inf(1), Source: r.Source, Edition: r.Edition, Applies: r.Applies, Reading: r.Reading, Seen: r.Seen}
		if r.Min != nil {
			rule.Min = *r.Min
		}
		if r.Max != nil {
			rule.Max = *r.Max
		}
		all = append(all, rule)
	}
	return all
})

// Rules returns the rules and standards whose wording or numbers the project has seen,
// from the data file rules.json. It is a beginning, not a rule book. Of some race rules
// it has several editions, of which at most one is in force: choose those that apply, and
// add what is missing.
func Rules() []Rule { return slices.Clone(all()) }
