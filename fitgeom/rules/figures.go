package rules

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Figure is a number of a build that rules and standards limit. It is for information.
// The zero Figure is not valid.
type Figure uint8

// The figures, in mm unless stated otherwise. Figures of the wheels need the frame's
// axles, and count the tyres of the build's wheels; none counts sag. Where a drop bar's
// width in the drops is not stated, it counts as no wider there than at the levers; the width
// between outer edges needs its tube.
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
	HandlebarWidth                        // handlebar between its outer edges, where it is widest
	HoodsInside                           // between the inner faces of the hoods, where the hands rest
	FlareSide                             // drops wider than where the levers sit, on each side
	LeverTilt                             // hood's centre plane to that of the bend, either way, degrees
	ExtensionHeight                       // highest or lowest end of an extension above or below the middle of its pad
	PadSlope                              // slope of the forearm pads, either way, degrees
	PadLength                             // length of a forearm pad
	PadBreadth                            // breadth of a forearm pad

	figureCount = int(PadBreadth) + 1
)

// What a figure may depend on, one bit for each contact.Group, and one for wheels and axles.
const (
	onSaddle    uint8 = 1 << contact.OnSaddle
	onHandlebar uint8 = 1 << contact.OnHandlebar
	onAeroBar   uint8 = 1 << contact.OnAeroBar
	onWheels    uint8 = 1 << 7
	onCranks    uint8 = 1<<contact.OnPedals | 1<<contact.OnFeet
)

// figures is the one table of figures: with what they depend on.
var figures = [figureCount]struct {
	name, words, unit string
	on                uint8
}{
	NoseSetback:         {"nose_setback", "saddle nose behind the bottom bracket", "mm", onSaddle},
	SaddleSlope:         {"saddle_slope", "slope of the saddle", "degrees", onSaddle},
	SaddleLength:        {"saddle_length", "length of the saddle", "mm", onSaddle},
	BottomBracketHeight: {"bottom_bracket_height", "bottom bracket above the ground", "mm", onWheels},
	FrontCentre:         {"front_centre", "bottom bracket to front axle, horizontal", "mm", onWheels},
	RearCentre:          {"rear_centre", "bottom bracket to rear axle, horizontal", "mm", onWheels},
	WheelDiameter:       {"wheel_diameter", "diameter of the larger wheel", "mm", onWheels},
	ExtensionReach:      {"extension_reach", "extension tip in front of the bottom bracket", "mm", onHandlebar | onAeroBar},
	ExtensionRise:       {"extension_rise", "extension tip above the forearm pad", "mm", onAeroBar},
	FlatBarWidth:        {"flat_bar_width", "width of the flat bar", "mm", onHandlebar},
	GripsAboveSaddle:    {"grips_above_saddle", "hands above the lowest saddle", "mm", onHandlebar | onSaddle},
	StemAboveSteerer:    {"stem_above_steerer", "stem above the steerer", "mm", onHandlebar},
	SeatpostMark:        {"seatpost_mark", "seatpost below its mark", "diameters", onSaddle},
	FrontTyreRoom:       {"front_tyre_room", "room for the front tyre", "mm", onWheels},
	RearTyreRoom:        {"rear_tyre_room", "room for the rear tyre", "mm", onWheels},
	HandlebarWidth:      {"handlebar_width", "handlebar between its outer edges", "mm", onHandlebar},
	HoodsInside:         {"hoods_inside", "between the inner faces of the hoods", "mm", onHandlebar},
	FlareSide:           {"flare_side", "flare of the handlebar on each side", "mm", onHandlebar},
	LeverTilt:           {"lever_tilt", "lever out of the plane of the bend", "degrees", onHandlebar},
	ExtensionHeight:     {"extension_height", "extension’s ends above or below the forearm pad", "mm", onAeroBar},
	PadSlope:            {"pad_slope", "slope of the forearm pads", "degrees", onAeroBar},
	PadLength:           {"pad_length", "length of a forearm pad", "mm", onAeroBar},
	PadBreadth:          {"pad_breadth", "breadth of a forearm pad", "mm", onAeroBar},
}

// clearances is which figure is which clearance: of the side that has less.
var clearances = map[Figure]clearance.Quantity{
	ShoeToWheel: clearance.ShoeToWheel, ToeLevel: clearance.ToeLevel, ToePlan: clearance.ToePlan, ToeParallel: clearance.ToeParallel,
	PedalLean: clearance.PedalLean, HeelToStay: clearance.HeelToStay,
}

var figureNames = func() *enum.Names[Figure] {
	names := make([]string, figureCount)
	for f, q := range clearances {
		figures[f].name, figures[f].words, figures[f].unit, figures[f].on = q.String(), q.Words(), q.Unit(), onCranks|onWheels
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

// DependsOn reports whether the figure may change with what is on that part of the bike:
// cap, spacers, stem, handlebar and levers belong to [contact.OnHandlebar], seatpost and
// saddle to [contact.OnSaddle], cranks to [contact.OnPedals], pedals and cleats to
// [contact.OnFeet], each with its settings. With frame and wheels any figure may change.
func (f Figure) DependsOn(g contact.Group) bool {
	return figureNames.Valid(f) && g <= contact.OnFeet && figures[f].on>>g&1 != 0
}

// DependsOnWheels reports whether the figure may change with the wheels, their tyres or the
// frame's axles. Of the frame others depend on no more than the head tube and the steerer, where
// they depend on what is on the handlebar, and on the seat tube, where they depend on the saddle:
// with wheels on which the bike stands as the frame is drawn.
func (f Figure) DependsOnWheels() bool {
	return figureNames.Valid(f) && figures[f].on&onWheels != 0
}

// Of returns a figure of a build in its unit, and whether the build has it and states
// what it needs. Faults are those of [fitgeom.Build.Validate].
func (f Figure) Of(b fitgeom.Build) (float64, bool, error) {
	p, err := b.Position()
	if err != nil {
		return 0, false, err
	}
	v, _, ok := f.of(&b, &p)
	return v, ok, nil
}

// of is the figure with the side that it is of, where the sides may differ.
func (f Figure) of(b *fitgeom.Build, p *contact.Position) (v float64, side contact.Side, ok bool) {
	switch f {
	case ShoeToWheel, ToeLevel, ToePlan, ToeParallel, PedalLean, HeelToStay:
		v, side, ok = f.ofClearance(b, p)
	case WheelDiameter, BottomBracketHeight, FrontCentre, RearCentre:
		v, ok = f.ofWheels(b)
	case HandlebarWidth, HoodsInside, FlareSide, LeverTilt, FlatBarWidth, GripsAboveSaddle, StemAboveSteerer:
		v, ok = f.ofBar(b, p)
	case ExtensionReach, ExtensionRise, ExtensionHeight, PadSlope, PadLength, PadBreadth:
		v, ok = f.ofAero(b, p)
	case FrontTyreRoom:
		v, ok = b.FrontTyreRoom()
	case RearTyreRoom:
		v, ok = b.RearTyreRoom()
	case NoseSetback:
		var nose r3.Vec
		nose, ok = p.At(contact.SaddleNose)
		v = -nose.X
	case SaddleSlope:
		v, ok = math.Abs(b.Settings.SaddleTilt), true
	case SaddleLength:
		v, ok = b.Saddle.Length, true
	case SeatpostMark:
		v, ok = b.Seatpost.MinInsertion/b.Seatpost.Diameter, true
	}
	return v + 0, side, ok
}

// ofBar is the figures of handlebar, levers and stem.
func (f Figure) ofBar(b *fitgeom.Build, p *contact.Position) (float64, bool) {
	bar := &b.Handlebar
	isDrop := bar.Drop != part.DropBar{}
	switch f {
	case HandlebarWidth:
		switch {
		case isDrop:
			width := bar.Drop.Width
			if drops, ok := p.At(contact.DropsLeft); ok {
				width = max(width, 2*drops.Y)
			}
			return width + bar.Drop.Tube, bar.Drop.Tube != 0
		case bar.Flat != part.FlatBar{}:
			return bar.Flat.Width, true
		default:
			return bar.Base.Width + bar.Base.Tube, bar.Base.Tube != 0
		}
	case HoodsInside: // as convert.HoodsWidthInside
		hood, ok := p.At(contact.HoodsLeft)
		return 2*hood.Y - b.Lever.Breadth, ok && b.Lever.Breadth != 0
	case FlareSide:
		drops, ok := p.At(contact.DropsLeft)
		return math.Abs(drops.Y - bar.Drop.Width/2), ok
	case LeverTilt: // both planes lean with the bend, and meet in the tube's axis
		return math.Abs(b.Settings.LeverIn), isDrop
	case FlatBarWidth:
		return bar.Flat.Width, bar.Flat != part.FlatBar{}
	case GripsAboveSaddle:
		return gripsAboveSaddle(b, p), true
	default: // StemAboveSteerer
		return b.Cap.Height + b.Settings.Spacers + b.Carrier().Height - b.Frame.SteererCut, b.Frame.SteererCut != 0
	}
}

// ofAero is the figures of an aero bar, of which left and right lie alike.
func (f Figure) ofAero(b *fitgeom.Build, p *contact.Position) (float64, bool) {
	tip, ok := p.At(contact.ExtensionLeft)
	pad, _ := p.At(contact.PadLeft)
	switch f {
	case ExtensionReach:
		return tip.X, ok
	case ExtensionRise:
		return tip.Z - pad.Z, ok
	case ExtensionHeight:
		sin, cos := num.Sincos(b.Settings.AeroTilt)
		start := num.Turned(r3.Vec{X: -b.Settings.PadForward, Z: -b.Aero.ExtensionDrop}, sin, cos) // above the handlebar, from the pad
		return max(math.Abs(tip.Z-pad.Z), math.Abs(start.Z)), ok
	case PadSlope:
		turn, ok := p.Attitude(contact.PadLeft)
		return math.Abs(turn.Tilt), ok
	case PadLength:
		return b.Aero.PadLength, b.Aero.PadLength != 0
	default: // PadBreadth
		return b.Aero.PadBreadth, b.Aero.PadBreadth != 0
	}
}

// ofClearance is a clearance as standards measure it, without the rider's weight.
func (f Figure) ofClearance(b *fitgeom.Build, p *contact.Position) (float64, contact.Side, bool) {
	w := b.Wheels
	w.FrontSag, w.RearSag = 0, 0
	v, ok, err := clearance.Bike{Position: *p, Geometry: b.Frame.Geometry, Wheels: w, Bulk: b.Bulk}.Least(clearances[f])
	return v.Value, v.Side, ok && err == nil
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
func gripsAboveSaddle(b *fitgeom.Build, p *contact.Position) float64 {
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
