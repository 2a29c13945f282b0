package design

import (
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/internal/enum"
)

// A Setting is a number of the parts on a frame, of how they are set, or of the room that
// they leave. The zero Setting is not valid.
type Setting uint8

// The settings, in mm and degrees. Those of the parts are what the [Problem] states, unless
// a [Wish] says otherwise.
const (
	// StemLength is the stem's, and StemAngle its angle as it is mounted, positive when the
	// bar is higher.
	StemLength Setting = iota + 1
	StemAngle
	// StemUp is the height of headset cap and spacers, as [region.FrontEnd] has it.
	StemUp
	// Setback is the seatpost's.
	Setback
	// RailClamp is from the saddle's nose back to where the rails are clamped.
	RailClamp
	// SeatpostExtension is from the seat tube's upper edge up to the rail clamp, along the seatpost.
	SeatpostExtension
	// HeadTubeAbove is how much of the head tube stands above the top tube, and SeatTubeAbove
	// of the seat tube, as [Tubes] has them.
	HeadTubeAbove
	SeatTubeAbove
	// HandsUp and HandsDown are how far the hands can be moved by more and by fewer spacers,
	// vertically. They go back and forward with the steerer on the way.
	HandsUp
	HandsDown
	// SaddleUp, SaddleDown, SaddleForward and SaddleBack are how far the saddle can be moved
	// straight that way with its own seatpost, on its rails.
	SaddleUp
	SaddleDown
	SaddleForward
	SaddleBack
)

// settingNames is the one table of the settings' names.
var settingNames = enum.New[Setting]("setting", []string{
	StemLength: "stem_length", StemAngle: "stem_angle", StemUp: "stem_up", Setback: "setback", RailClamp: "rail_clamp", SeatpostExtension: "seatpost_extension",
	HeadTubeAbove: "head_tube_above_top_tube", SeatTubeAbove: "seat_tube_above_top_tube",
	HandsUp: "hands_up", HandsDown: "hands_down",
	SaddleUp: "saddle_up", SaddleDown: "saddle_down", SaddleForward: "saddle_forward", SaddleBack: "saddle_back",
})

// Settings returns all settings, in the order of their constants.
func Settings() []Setting { return settingNames.All() }

// String returns the setting's name, such as "stem_length".
func (s Setting) String() string { return settingNames.String(s) }

// Unit returns "mm" or "degrees"; it is empty for an unknown number.
func (s Setting) Unit() string {
	switch {
	case !settingNames.Valid(s):
		return ""
	case s == StemAngle:
		return "degrees"
	default:
		return "mm"
	}
}

// ParseSetting returns the setting of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseSetting(name string) (Setting, error) { return settingNames.Parse(name) }

// MarshalText writes the setting's name; it fails for an unknown number.
func (s Setting) MarshalText() ([]byte, error) { return settingNames.Text(s) }

// UnmarshalText reads a name as [ParseSetting] does.
func (s *Setting) UnmarshalText(text []byte) error { return settingNames.Read(s, text) }

// A number is what a wish may be of: all dimensions, all settings, clearances, and the two
// limits that room of the saddle has each way.
type number uint8

const (
	firstSetting   = number(chart.Standover)
	firstClearance = firstSetting + number(SaddleBack)
	firstLimit     = firstClearance + number(clearance.StandoverRoom)
	numberCount    = firstLimit + 8
)

func ofDimension(d chart.Dimension) number { return number(d) - 1 }

func ofSetting(s Setting) number { return firstSetting + number(s) - 1 }

func ofClearance(q clearance.Quantity) number { return firstClearance + number(q) - 1 }

// limits returns what a number is the least of; for most it is itself.
func (n number) limits() []number {
	if n < ofSetting(SaddleUp) || n > ofSetting(SaddleBack) {
		return []number{n}
	}
	at := firstLimit + 2*(n-ofSetting(SaddleUp))
	return []number{at, at + 1}
}

// slow reports whether package clearance has to find a number.
func (n number) slow() bool {
	return n >= firstClearance && n < ofClearance(clearance.Standover)
}

// subject is what a number is called.
func (n number) subject() Subject {
	switch {
	case n < firstSetting:
		return Subject{Dimension: chart.Dimension(n + 1)}
	case n < firstClearance:
		return Subject{Setting: Setting(n - firstSetting + 1)}
	default:
		return Subject{Clearance: clearance.Quantity(n - firstClearance + 1)}
	}
}

// perUnit is how much one unit of a number counts, beside a mm: a tenth of a degree counts
// as much.
func (n number) perUnit() float64 {
	if n < firstLimit && n.subject().Unit() == "degrees" {
		return 10
	}
	return 1
}
