package chart

import (
	"example.com/fitgeom/internal/enum"
)

// A Dimension is one number of a frame's geometry chart. Where people mean different
// things by one word, each has a Dimension of its own. The zero Dimension is not valid: a
// dimension must be chosen.
type Dimension uint8

// The dimensions. Lengths are mm and angles degrees; all are in the side view, with the
// bike on level ground on the wheels of the chart.
const (
	Stack                 Dimension = iota + 1 // head tube's top centre above the bottom bracket
	Reach                                      // head tube's top centre in front of the bottom bracket
	EffectiveTopTube                           // head tube's top centre back to the seat tube's axis, horizontal
	HeadAngle                                  // steering axis from the horizontal
	SeatAngle                                  // seat tube's axis from the horizontal
	SeatAngleEffective                         // line from bottom bracket to the seat tube's axis at Chart.SeatAngleHeight, from the horizontal
	SeatOffset                                 // seat tube's axis in front of the bottom bracket, square to it
	HeadTube                                   // head tube's length
	LowerHeadset                               // lower headset: head tube's lower end to the fork's crown race, along the axis
	AxleToCrown                                // crown race to front axle, direct
	AxleToCrownSteerer                         // crown race to the point of the steering axis closest to the front axle, along the axis
	ForkOffset                                 // front axle in front of the steering axis, square to it
	Drop                                       // bottom bracket below the rear axle
	DropBelowAxles                             // bottom bracket below the line from axle to axle, vertical
	BottomBracketHeight                        // bottom bracket above the ground
	Chainstay                                  // bottom bracket to rear axle, direct
	RearCentre                                 // bottom bracket to rear axle, horizontal
	FrontCentre                                // bottom bracket to front axle, direct
	FrontCentreHorizontal                      // bottom bracket to front axle, horizontal
	Wheelbase                                  // axle to axle, horizontal
	Trail                                      // front tyre's contact behind the steering axis, on the ground
	FrontRadius                                // front wheel with its tyre
	RearRadius                                 // rear wheel with its tyre
	SeatTubeTop                                // seat tube, bottom bracket's centre to its upper edge, along its axis
	SeatTubeCentre                             // seat tube, bottom bracket's centre to the top tube's centre line, along its axis
	TopTube                                    // top tube, centre to centre along it
	Standover                                  // top tube above the ground, where the chart takes it

	dimensionCount = int(Standover) + 1
)

var dimensions = [dimensionCount]struct {
	name   string
	angle  bool
	lo, hi float64
}{
	Stack:                 {"stack", false, stackMin, stackMax},
	Reach:                 {"reach", false, reachMin, reachMax},
	EffectiveTopTube:      {"effective_top_tube", false, 300, 1000},
	HeadAngle:             {"head_angle", true, headAngleMin, headAngleMax},
	SeatAngle:             {"seat_angle", true, seatAngleMin, seatAngleMax},
	SeatAngleEffective:    {"seat_angle_effective", true, seatAngleMin, seatAngleMax},
	SeatOffset:            {"seat_offset", false, -100, 100},
	HeadTube:              {"head_tube", false, 50, 400},
	LowerHeadset:          {"lower_headset", false, 0, 40},
	AxleToCrown:           {"axle_to_crown", false, 250, 700},
	AxleToCrownSteerer:    {"axle_to_crown_steerer", false, 250, 700},
	ForkOffset:            {"fork_offset", false, offsetMin, offsetMax},
	Drop:                  {"drop", false, -150, 150},
	DropBelowAxles:        {"drop_below_axles", false, -150, 150},
	BottomBracketHeight:   {"bottom_bracket_height", false, 150, 450},
	Chainstay:             {"chainstay", false, 250, 600},
	RearCentre:            {"rear_centre", false, 250, 600},
	FrontCentre:           {"front_centre", false, 400, 1100},
	FrontCentreHorizontal: {"front_centre_horizontal", false, 400, 1100},
	Wheelbase:             {"wheelbase", false, 700, 1700},
	Trail:                 {"trail", false, -300, 500},
	FrontRadius:           {"front_radius", false, radiusMin, radiusMax},
	RearRadius:            {"rear_radius", false, radiusMin, radiusMax},
	SeatTubeTop:           {"seat_tube_top", false, 200, 750},
	SeatTubeCentre:        {"seat_tube_centre", false, 200, 750},
	TopTube:               {"top_tube", false, 300, 1000},
	Standover:             {"standover", false, 300, 1000},
}

// dimensionNames is the one table of the dimensions' names.
var dimensionNames = func() *enum.Names[Dimension] {
	names := make([]string, dimensionCount)
	for i := range dimensions {
		names[i] = dimensions[i].name
	}
	return enum.New[Dimension]("dimension", names)
}()

// Dimensions returns all dimensions, in the order of their constants.
func Dimensions() []Dimension { return dimensionNames.All() }

// String returns the dimension's name in files and errors, such as "head_tube".
func (d Dimension) String() string { return dimensionNames.String(d) }

// Unit returns "mm" or "degrees"; it is empty for an unknown number.
func (d Dimension) Unit() string {
	switch {
	case !dimensionNames.Valid(d):
		return ""
	case dimensions[d].angle:
		return "degrees"
	default:
		return "mm"
	}
}

// Range returns the least and the greatest value that a chart may state, in the
// dimension's unit; wide enough for every kind of bicycle. Both are 0 for an unknown
// number.
func (d Dimension) Range() (lo, hi float64) {
	if !dimensionNames.Valid(d) {
		return 0, 0
	}
	return dimensions[d].lo, dimensions[d].hi
}

// ParseDimension returns the dimension of that name, as [Dimension.String]
// writes it, or a [*contact.Error] of class [contact.ErrUnknown].
func ParseDimension(name string) (Dimension, error) { return dimensionNames.Parse(name) }

// MarshalText writes the dimension's name. An unknown number gives a [*contact.Error] of
// class [contact.ErrUnknown].
func (d Dimension) MarshalText() ([]byte, error) { return dimensionNames.Text(d) }

// UnmarshalText reads a name as [ParseDimension] does.
func (d *Dimension) UnmarshalText(text []byte) error { return dimensionNames.Read(d, text) }
