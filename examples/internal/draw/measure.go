package draw

import (
	"math"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Line is a measure and where its line lies: a height for horizontal ones, a place
// forward for vertical ones, and a distance to the left of the way for all
// others, mm.
type Line struct {
	Measure convert.Measure
	At      float64
}

// Measure draws one measure of a position where it is taken, named and in whole mm;
// false for one that the side view cannot show.
func (v *View) Measure(p contact.Position, b convert.Basis, l Line) bool {
	d := l.Measure.Definition()
	val, err := l.Measure.Of(p, b)
	if err != nil || d.Unit != "mm" {
		return false
	}
	s := Words(l.Measure) + " " + strconv.FormatFloat(val, 'f', 0, 64)
	var ends [2]r3.Vec
	for i, name := range [2]string{d.From, d.To} {
		var ok bool
		if ends[i], ok = v.end(p, b, name); !ok {
			return false
		}
	}
	// Where the ground or the tape's own line is meant, the end lies under or over
	// the other one.
	switch d.Along {
	case "horizontal":
		v.Horizontal(ends[0], ends[1], l.At, s)
	case "vertical":
		v.Vertical(ends[0], ends[1], l.At, s)
	case "direct", "seat tube", "side view":
		if d.Along == "seat tube" {
			sin, cos := math.Sincos(b.SeatAngle * math.Pi / 180)
			ends[1] = r3.Vec{X: -val * cos, Z: val * sin}
		}
		if d.To == "pedal axis, farthest from it" { // in line with the bottom bracket
			c, _ := Middle(p, contact.PedalLeft)
			ends[1] = r3.Scale(-c.X/r3.Norm(ends[0]), ends[0])
		}
		v.Straight(ends[0], ends[1], l.At, s)
	default:
		return false
	}
	return true
}

func (v *View) end(p contact.Position, b convert.Basis, name string) (r3.Vec, bool) {
	switch name {
	case "bottom bracket centre":
		return r3.Vec{}, true
	case "ground":
		return r3.Vec{Z: -b.BottomBracketHeight}, b.BottomBracketHeight != 0
	case "saddle reference (80 mm wide)", "saddle top, where the line meets it":
		return p.At(contact.SaddleReference)
	case "saddle nose":
		return p.At(contact.SaddleNose)
	case "saddle's highest point":
		nose, ok := p.At(contact.SaddleNose)
		rear, okRear := p.At(contact.SaddleRear)
		if rear.Z > nose.Z {
			nose = rear
		}
		return nose, ok && okRear
	case "bar clamp centre":
		return p.At(contact.BarClamp)
	case "hoods":
		return Middle(p, contact.HoodsLeft)
	case "grips":
		return Middle(p, contact.GripLeft)
	case "pads":
		return Middle(p, contact.PadLeft)
	case "extension tips":
		return Middle(p, contact.ExtensionLeft)
	case "pedal axis", "pedal axis, farthest from it":
		return Middle(p, contact.PedalLeft)
	}
	return r3.Vec{}, false
}
