package convert

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
)

// A Measure is one number of a set-up sheet. The package documentation has the
// table of all measures; [Measure.Definition] gives the same as data.
//
// The zero Measure is not valid: a measure must be chosen.
type Measure uint8

// The measures. The package documentation says from where to where each goes.
const (
	SaddleHeight                 Measure = iota + 1 // direct, to the saddle reference
	SaddleHeightSeatTube                            // along the seat tube, to the saddle's top
	SaddleHeightVertical                            // vertical, to the saddle reference
	SaddleHeightNose                                // vertical, to the nose
	SaddleHeightGround                              // vertical from the ground, to the saddle reference
	SaddleHeightPedal                               // saddle reference to the pedal where it is farthest
	SaddleSetback                                   // saddle reference behind the bottom bracket
	SaddleSetbackNose                               // nose behind the bottom bracket
	SaddleTilt                                      // slope of the saddle
	SaddleLength                                    // nose to rear
	SaddleStation                                   // nose to the saddle reference
	BarDropClamp                                    // clamp centre below the saddle reference
	BarDropTops                                     // tops below the saddle reference
	BarDropHoods                                    // hoods below the saddle reference
	BarDropDrops                                    // drops below the saddle reference
	BarDropGrips                                    // grips below the saddle reference
	BarDropPads                                     // pads below the saddle reference
	BarDropClampHighest                             // clamp centre below the saddle's highest point
	BarDropHoodsHighest                             // hoods below the saddle's highest point
	BarDropGripsHighest                             // grips below the saddle's highest point
	ReachClamp                                      // saddle reference to clamp centre, direct
	ReachClampHorizontal                            // the same, horizontal
	ReachHoods                                      // saddle reference to hoods, direct
	ReachHoodsHorizontal                            // the same, horizontal
	ReachGrips                                      // saddle reference to grips, direct
	ReachGripsHorizontal                            // the same, horizontal
	ReachPadsHorizontal                             // saddle reference to pads, horizontal
	ReachNoseClamp                                  // nose to clamp centre, direct
	ReachNoseClampHorizontal                        // the same, horizontal
	ReachNoseHoods                                  // nose to hoods, direct
	ReachNoseHoodsHorizontal                        // the same, horizontal
	ReachNoseGrips                                  // nose to grips, direct
	ReachNoseGripsHorizontal                        // the same, horizontal
	ReachNosePadsHorizontal                         // nose to pads, horizontal
	ReachNoseExtensionHorizontal                    // nose to extension tip, horizontal
	BarStack                                        // clamp centre above the bottom bracket
	BarReach                                        // clamp centre in front of the bottom bracket
	TopsStack                                       // tops above the bottom bracket
	TopsReach                                       // tops in front of the bottom bracket
	HoodsStack                                      // hoods above the bottom bracket
	HoodsReach                                      // hoods in front of the bottom bracket
	DropsStack                                      // drops above the bottom bracket
	DropsReach                                      // drops in front of the bottom bracket
	GripStack                                       // grips above the bottom bracket
	GripReach                                       // grips in front of the bottom bracket
	PadStack                                        // pads above the bottom bracket
	PadReach                                        // pads in front of the bottom bracket
	ExtensionReach                                  // extension tip in front of the bottom bracket
	ExtensionLength                                 // pad to extension tip, horizontal
	ExtensionRise                                   // extension tip above the pad
	TopsWidth                                       // hand to hand on the tops
	HoodsWidth                                      // hood to hood
	DropsWidth                                      // drop to drop
	GripsWidth                                      // grip to grip
	PadsWidth                                       // pad to pad
	ExtensionsWidth                                 // extension to extension
	CrankLength                                     // bottom bracket to pedal
	QFactor                                         // crank face to crank face
	StanceWidth                                     // foot to foot
	FootHeight                                      // sole above the spindle
	SaddleHeightSole                                // saddle reference to the sole where it is farthest
	SaddleHeightRails                               // along the seat tube, to the saddle's rails
	SeatHeightGround                                // vertical from the ground, to the saddle's top on the seat tube's line
	SeatAngleEffective                              // angle of the line to the saddle reference
	SaddleEndsAngle                                 // slope of the line from rear to nose
	ReachRearClamp                                  // saddle rear to bar clamp, direct
	ReachRearClampHorizontal                        // the same, horizontal
	GripDistance                                    // bottom bracket to grips, in the side view
	GripAngle                                       // angle of that line
	BarStackToReach                                 // bar stack divided by bar reach
	HoodsWidthInside                                // between the hoods
	DropsWidthOutside                               // over the tubes at the drops
	GripsWidthOutside                               // over the bar's ends
	PadsWidthInside                                 // between the pads
	PadsWidthOutside                                // over the pads
	HoodTilt                                        // slope of the hoods
	PadTilt                                         // slope of the pads
	ExtensionTilt                                   // slope of the extensions
	StanceAngle                                     // toes out of straight ahead
	CleatSetback                                    // spindle behind the ball of the foot

	measureCount = int(CleatSetback) + 1
)

// A Definition says what a [Measure] is.
type Definition struct {
	// Name is the measure's name in files and errors, such as "saddle_height".
	Name string
	// From and To are where the measure starts and ends, in words.
	From, To string
	// Also is another common name; empty if there is none.
	Also string
	// Along is the direction in which it is taken: "direct", "horizontal", "vertical", …
	Along string
	// Positive says when the number is positive; empty for lengths that always are.
	Positive string
	// Unit is "mm", "degrees" or "ratio".
	Unit string
	// Needs lists the sites that must be known, the left one of a pair standing
	// for the pair.
	Needs []contact.Site
	// Tilt reports whether the tilt of the saddle must be known.
	Tilt bool
	// SeatAngle reports whether the measure needs Basis.SeatAngle.
	SeatAngle bool
	// Ground reports whether the measure needs Basis.BottomBracketHeight.
	Ground bool
	// Size is the member of Basis, as documents name it, that the measure needs besides,
	// such as "pad_breadth_mm"; empty if it needs none.
	Size string
	// Direction is the angle of a site's [contact.Attitude] that must be known, the left
	// one of a pair standing for the pair. The zero Coordinate: none.
	Direction contact.Coordinate
	// Pair reports whether both sides are needed, whatever side is requested.
	Pair bool
}

// measures holds every definition, and nothing else does. A test compares the table in the
// package documentation with it.
var measures = [measureCount]entry{
	SaddleHeight: measure("saddle_height", direct, bb, at(contact.SaddleReference), ""),
	SaddleHeightSeatTube: {kind: seatTube, sign: 1, Definition: Definition{
		Name: "saddle_height_seat_tube", From: bb.words(), To: "saddle top, where the line meets it", Along: alongs[seatTube], Unit: "mm",
		Needs: []contact.Site{contact.SaddleReference}, Tilt: true, SeatAngle: true,
	}},
	SaddleHeightVertical: measure("saddle_height_vertical", vertical, bb, at(contact.SaddleReference), "saddle higher"),
	SaddleHeightNose:     measure("saddle_height_nose", vertical, bb, at(contact.SaddleNose), "nose higher"),
	SaddleHeightGround: {kind: fromGround, sign: 1, b: at(contact.SaddleReference), Definition: Definition{
		Name: "saddle_height_ground", From: "ground", To: at(contact.SaddleReference).words(), Along: alongs[vertical], Unit: "mm",
		Needs: []contact.Site{contact.SaddleReference}, Ground: true,
	}},
	SaddleHeightPedal: {kind: pedalFar, sign: 1, Definition: Definition{
		Name: "saddle_height_pedal", From: at(contact.SaddleReference).words(), To: "pedal axis, farthest from it", Along: alongs[pedalFar], Unit: "mm",
		Needs: []contact.Site{contact.SaddleReference, contact.PedalLeft},
	}},
	SaddleSetback:     measure("saddle_setback", horizontal, bb, at(contact.SaddleReference), "saddle behind").negative(),
	SaddleSetbackNose: measure("saddle_setback_nose", horizontal, bb, at(contact.SaddleNose), "nose behind").negative(),
	SaddleTilt: {kind: tilt, sign: 1, Definition: Definition{
		Name: "saddle_tilt", From: "horizontal", To: "straight edge along the saddle", Along: alongs[tilt], Positive: "nose up", Unit: "degrees", Tilt: true,
	}},
	SaddleLength:                 measure("saddle_length", sideView, at(contact.SaddleNose), at(contact.SaddleRear), ""),
	SaddleStation:                measure("saddle_station", sideView, at(contact.SaddleNose), at(contact.SaddleReference), ""),
	BarDropClamp:                 lower("bar_drop_clamp", contact.BarClamp),
	BarDropTops:                  lower("bar_drop_tops", contact.TopsLeft),
	BarDropHoods:                 lower("bar_drop_hoods", contact.HoodsLeft),
	BarDropDrops:                 lower("bar_drop_drops", contact.DropsLeft),
	BarDropGrips:                 lower("bar_drop_grips", contact.GripLeft),
	BarDropPads:                  lower("bar_drop_pads", contact.PadLeft),
	BarDropClampHighest:          lowerThanHighest("bar_drop_clamp_highest", contact.BarClamp),
	BarDropHoodsHighest:          lowerThanHighest("bar_drop_hoods_highest", contact.HoodsLeft),
	BarDropGripsHighest:          lowerThanHighest("bar_drop_grips_highest", contact.GripLeft),
	ReachClamp:                   away("reach_clamp", contact.SaddleReference, contact.BarClamp),
	ReachClampHorizontal:         ahead("reach_clamp_horizontal", at(contact.SaddleReference), contact.BarClamp),
	ReachHoods:                   away("reach_hoods", contact.SaddleReference, contact.HoodsLeft),
	ReachHoodsHorizontal:         ahead("reach_hoods_horizontal", at(contact.SaddleReference), contact.HoodsLeft),
	ReachGrips:                   away("reach_grips", contact.SaddleReference, contact.GripLeft),
	ReachGripsHorizontal:         ahead("reach_grips_horizontal", at(contact.SaddleReference), contact.GripLeft),
	ReachPadsHorizontal:          ahead("reach_pads_horizontal", at(contact.SaddleReference), contact.PadLeft),
	ReachNoseClamp:               away("reach_nose_clamp", contact.SaddleNose, contact.BarClamp),
	ReachNoseClampHorizontal:     ahead("reach_nose_clamp_horizontal", at(contact.SaddleNose), contact.BarClamp),
	ReachNoseHoods:               away("reach_nose_hoods", contact.SaddleNose, contact.HoodsLeft),
	ReachNoseHoodsHorizontal:     ahead("reach_nose_hoods_horizontal", at(contact.SaddleNose), contact.HoodsLeft),
	ReachNoseGrips:               away("reach_nose_grips", contact.SaddleNose, contact.GripLeft),
	ReachNoseGripsHorizontal:     ahead("reach_nose_grips_horizontal", at(contact.SaddleNose), contact.GripLeft),
	ReachNosePadsHorizontal:      ahead("reach_nose_pads_horizontal", at(contact.SaddleNose), contact.PadLeft),
	ReachNoseExtensionHorizontal: ahead("reach_nose_extension_horizontal", at(contact.SaddleNose), contact.ExtensionLeft),
	BarStack:                     above("bar_stack", contact.BarClamp),
	BarReach:                     ahead("bar_reach", bb, contact.BarClamp),
	TopsStack:                    above("tops_stack", contact.TopsLeft),
	TopsReach:                    ahead("tops_reach", bb, contact.TopsLeft),
	HoodsStack:                   above("hoods_stack", contact.HoodsLeft),
	HoodsReach:                   ahead("hoods_reach", bb, contact.HoodsLeft),
	DropsStack:                   above("drops_stack", contact.DropsLeft),
	DropsReach:                   ahead("drops_reach", bb, contact.DropsLeft),
	GripStack:                    above("grip_stack", contact.GripLeft),
	GripReach:                    ahead("grip_reach", bb, contact.GripLeft),
	PadStack:                     above("pad_stack", contact.PadLeft),
	PadReach:                     ahead("pad_reach", bb, contact.PadLeft),
	ExtensionReach:               ahead("extension_reach", bb, contact.ExtensionLeft),
	ExtensionLength:              measure("extension_length", horizontal, at(contact.PadLeft), at(contact.ExtensionLeft), "tips in front"),
	ExtensionRise:                measure("extension_rise", vertical, at(contact.PadLeft), at(contact.ExtensionLeft), "tips higher"),
	TopsWidth:                    apart("tops_width", "right tops", "left tops", contact.TopsLeft),
	HoodsWidth:                   apart("hoods_width", "right hoods", "left hoods", contact.HoodsLeft),
	DropsWidth:                   apart("drops_width", "right drops", "left drops", contact.DropsLeft),
	GripsWidth:                   apart("grips_width", "right grip", "left grip", contact.GripLeft),
	PadsWidth:                    apart("pads_width", "right pad", "left pad", contact.PadLeft),
	ExtensionsWidth:              apart("extensions_width", "right extension tip", "left extension tip", contact.ExtensionLeft),
	CrankLength:                  measure("crank_length", horizontal, bb, at(contact.PedalLeft), "").as("side view"),
	QFactor:                      apart("q_factor", "outer face of the right crank at the pedal", "that of the left crank", contact.PedalLeft),
	StanceWidth:                  apart("stance_width", "middle of the right foot", "that of the left foot", contact.FootLeft),
	FootHeight:                   measure("foot_height", vertical, at(contact.PedalLeft), at(contact.FootLeft), "sole higher").fromSpindle(),
	SaddleHeightSole:             measure("saddle_height_sole", soleFar, at(contact.SaddleReference), at(contact.FootLeft), "").to("sole above the spindle, farthest from it", contact.PedalLeft),
	SaddleHeightRails: entry{kind: rails, sign: 1, Definition: Definition{
		Name: "saddle_height_rails", From: bb.words(), To: "saddle rails, where the line meets them", Along: alongs[rails], Unit: "mm",
		Needs: []contact.Site{contact.SaddleReference}, Tilt: true, SeatAngle: true,
	}}.with("rail_drop_mm", func(b *Basis) float64 { return b.RailDrop }, 0),
	SeatHeightGround: {kind: standing, sign: 1, Definition: Definition{
		Name: "seat_height_ground", From: "ground", To: "saddle top, where the seat tube's line meets it", Along: alongs[standing], Unit: "mm",
		Needs: []contact.Site{contact.SaddleReference}, Tilt: true, SeatAngle: true, Ground: true,
	}},
	SeatAngleEffective:       angle("seat_angle_effective", "horizontal behind the bottom bracket", "line from it to the saddle reference", bb, at(contact.SaddleReference), "").negative(),
	SaddleEndsAngle:          angle("saddle_ends_angle", "horizontal", "line from the saddle's rear to its nose", at(contact.SaddleRear), at(contact.SaddleNose), "nose up"),
	ReachRearClamp:           away("reach_rear_clamp", contact.SaddleRear, contact.BarClamp),
	ReachRearClampHorizontal: ahead("reach_rear_clamp_horizontal", at(contact.SaddleRear), contact.BarClamp),
	GripDistance:             measure("grip_distance", sideView, bb, at(contact.GripLeft), ""),
	GripAngle:                angle("grip_angle", "horizontal before the bottom bracket", "line from it to the grips", bb, at(contact.GripLeft), ""),
	BarStackToReach:          measure("bar_stack_to_reach", quotient, bb, at(contact.BarClamp), "").in("ratio"),
	HoodsWidthInside:         apart("hoods_width_inside", "inner face of the right hood", "that of the left hood", contact.HoodsLeft).with("hood_breadth_mm", hoodBreadth, -1),
	DropsWidthOutside:        apart("drops_width_outside", "outer face of the right drop's tube", "that of the left one", contact.DropsLeft).with("bar_tube_mm", barTube, 1),
	GripsWidthOutside:        apart("grips_width_outside", "bar's right end", "its left end", contact.GripLeft).with("grip_length_mm", gripLength, 1),
	PadsWidthInside:          apart("pads_width_inside", "inner edge of the right pad", "that of the left pad", contact.PadLeft).with("pad_breadth_mm", padBreadth, -1),
	PadsWidthOutside:         apart("pads_width_outside", "outer edge of the right pad", "that of the left pad", contact.PadLeft).with("pad_breadth_mm", padBreadth, 1),
	HoodTilt:                 direction("hood_tilt", "horizontal", "hoods, lengthwise", "front up", contact.HoodsLeft, contact.AxisTilt),
	PadTilt:                  direction("pad_tilt", "horizontal", "pads, lengthwise", "front up", contact.PadLeft, contact.AxisTilt),
	ExtensionTilt:            direction("extension_tilt", "horizontal", "extensions at their tips", "tips up", contact.ExtensionLeft, contact.AxisTilt),
	StanceAngle:              direction("stance_angle", "straight ahead", "foot, from heel to toe", "toes out", contact.FootLeft, contact.AxisYaw),
	CleatSetback:             measure("cleat_setback", horizontal, at(contact.PedalLeft), at(contact.FootLeft), "ball in front").to("ball of the foot"),
}

func hoodBreadth(b *Basis) float64 { return b.HoodBreadth }
func barTube(b *Basis) float64     { return b.BarTube }
func gripLength(b *Basis) float64  { return b.GripLength }
func padBreadth(b *Basis) float64  { return b.PadBreadth }

// angle makes an entry for the slope of the line from one end to another.
func angle(name, from, to string, a, b end, positive string) entry {
	e := measure(name, slope, a, b, positive).in("degrees")
	e.From, e.To = from, to
	return e
}

// direction makes an entry for an angle of the directions of a pair.
func direction(name, from, to, positive string, left contact.Site, axis contact.Axis) entry {
	e := entry{kind: turned, a: at(left), sign: 1, Definition: Definition{
		Name: name, From: from, To: to, Along: alongs[turned], Positive: positive, Unit: "degrees",
		Direction: contact.Coordinate{Site: left, Axis: axis},
	}}
	if axis == contact.AxisYaw {
		e.Along, e.sign = "seen from above", -1 // toes out is to the left on the left
	}
	return e
}

// in puts another unit into the definition.
func (e entry) in(unit string) entry {
	e.Unit = unit
	return e
}

// with makes the entry need a size of the basis, so many times of which a lateral measure
// is wider.
func (e entry) with(member string, size func(*Basis) float64, times float64) entry {
	e.Size, e.size, e.wide = member, size, times
	return e
}

// also has other common names of measures.
var also = map[Measure]string{
	SaddleHeight:         "seat height",
	SaddleHeightSeatTube: "seat height along the tube",
	SaddleHeightPedal:    "saddle to pedal",
	SaddleSetback:        "saddle fore-aft",
	SaddleSetbackNose:    "nose setback",
	SaddleTilt:           "saddle angle",
	BarDropClamp:         "saddle-to-bar drop",
	BarDropTops:          "saddle-to-bar drop",
	BarDropHoods:         "saddle-to-hoods drop",
	BarDropDrops:         "saddle-to-drops drop",
	BarDropGrips:         "saddle-to-bar drop",
	BarDropPads:          "pad drop",
	ReachClamp:           "saddle-to-bar reach",
	ReachHoods:           "saddle-to-hoods reach",
	ReachGrips:           "saddle-to-grips reach",
	ReachNoseClamp:       "nose to bar",
	ReachNoseHoods:       "nose to hoods",
	ReachNoseGrips:       "nose to grips",
	BarStack:             "handlebar stack",
	BarReach:             "handlebar reach",
	ExtensionReach:       "tip reach",
	HoodsWidth:           "hood-to-hood width",
	DropsWidth:           "width at the drops",
	GripsWidth:           "grip-to-grip width",
	PadsWidth:            "pad width",
	CrankLength:          "crank arm length",
	QFactor:              "tread",
	StanceWidth:          "stance",
	FootHeight:           "pedal stack height",
	SaddleHeightSole:     "saddle to sole",
	SaddleHeightRails:    "rails to bottom bracket",
	SeatHeightGround:     "seat height of the safety standards",
	SeatAngleEffective:   "seat angle of the position",
	ReachRearClamp:       "saddle rear to bar",
	GripDistance:         "bottom bracket to grips",
	BarStackToReach:      "stack-to-reach ratio",
	HoodsWidthInside:     "inner hood width",
	DropsWidthOutside:    "bar width outside to outside",
	GripsWidthOutside:    "bar width end to end",
	PadsWidthInside:      "inner pad width",
	PadsWidthOutside:     "outer pad width",
	StanceAngle:          "toe-out",
	CleatSetback:         "cleat fore-aft",
}

func init() {
	for m, words := range also {
		measures[m].Also = words
	}
}

// measureNames is the one table of the measures' names, made of their definitions.
var measureNames = func() *enum.Names[Measure] {
	names := make([]string, measureCount)
	for i := range measures {
		names[i] = measures[i].Name
	}
	return enum.New[Measure]("measure", names)
}()

// Measures returns all measures, in the order of their constants.
func Measures() []Measure { return measureNames.All() }

// Definition returns the measure's definition; the zero Definition for an unknown number.
func (m Measure) Definition() Definition {
	if !measureNames.Valid(m) {
		return Definition{}
	}
	d := measures[m].Definition
	d.Needs = append([]contact.Site(nil), d.Needs...)
	return d
}

// String returns the measure's name, such as "saddle_height".
func (m Measure) String() string { return measureNames.String(m) }

// ParseMeasure returns the measure of that name, as [Measure.String] writes it,
// or a [*contact.Error] of class [contact.ErrUnknown].
func ParseMeasure(name string) (Measure, error) { return measureNames.Parse(name) }

// MarshalText writes the measure's name. An unknown number gives a [*contact.Error] of
// class [contact.ErrUnknown].
func (m Measure) MarshalText() ([]byte, error) { return measureNames.Text(m) }

// UnmarshalText reads a name as [ParseMeasure] does.
func (m *Measure) UnmarshalText(text []byte) error { return measureNames.Read(m, text) }
