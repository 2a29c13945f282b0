package draw

import (
	"fmt"
	"strings"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

// Contacts draws what a position knows: the saddle as a line through its three
// points, cranks level, and a line from the bar's clamp to where it is held.
func (v *View) Contacts(class string, p contact.Position) {
	saddle, ok := p.At(contact.SaddleReference)
	nose, okNose := p.At(contact.SaddleNose)
	rear, okRear := p.At(contact.SaddleRear)
	if ok && okNose && okRear {
		v.Line(class, rear, saddle, nose)
	}
	if pedal, ok := Middle(p, contact.PedalLeft); ok {
		v.Line(class, r3.Scale(-1, pedal), pedal)
		if class != "ghost" {
			v.Circle("ext", v.At(r3.Vec{}), v.Scale*pedal.X)
		}
	}
	if clamp, ok := p.At(contact.BarClamp); ok {
		if at, ok := Middle(p, contact.GripLeft); ok {
			v.Line(class, clamp, at)
		}
		pad, ok := Middle(p, contact.PadLeft)
		tip, okTip := Middle(p, contact.ExtensionLeft)
		if ok && okTip {
			v.Line("ext", clamp, pad)
			v.Line(class, pad, tip)
		}
		if class == "ghost" {
			v.Hands(class, p)
		}
	}
}

// Hands draws a line from the bar's clamp to the hoods, where nothing tells how the
// bar is bent.
func (v *View) Hands(class string, p contact.Position) {
	clamp, ok := p.At(contact.BarClamp)
	if at, okHoods := Middle(p, contact.HoodsLeft); ok && okHoods {
		v.Line(class, clamp, at)
	}
}

// NameContacts puts dots and names on the contact points that a position knows,
// left and right as one where the side view shows one.
func (v *View) NameContacts(p contact.Position) {
	for _, c := range []struct {
		site contact.Site
		mark string
		ways []string
	}{
		{contact.SaddleReference, "square", []string{"nw", "n"}},
		{contact.BarClamp, "ring", []string{"nw", "n"}},
		{contact.TopsLeft, "disc", []string{"n"}},
		{contact.HoodsLeft, "disc", []string{"ne", "e"}},
		{contact.DropsLeft, "disc", []string{"e", "se"}},
		{contact.GripLeft, "disc", []string{"ne", "e"}},
		{contact.PadLeft, "disc", []string{"nw", "n"}},
		{contact.ExtensionLeft, "disc", []string{"e", "ne"}},
		{contact.PedalLeft, "disc", []string{"e", "se"}},
	} {
		at, ok := Middle(p, c.site)
		if !ok {
			continue
		}
		v.Name(c.mark, at, plain[c.site], c.ways...)
	}
	v.Name("ring", r3.Vec{}, "bottom bracket", "s", "se", "sw", "n")
}

var plain = map[contact.Site]string{
	contact.SaddleReference: "saddle reference",
	contact.BarClamp:        "bar clamp",
	contact.TopsLeft:        "tops",
	contact.HoodsLeft:       "hoods",
	contact.DropsLeft:       "drops",
	contact.GripLeft:        "grips",
	contact.PadLeft:         "pads",
	contact.ExtensionLeft:   "extension tips",
	contact.PedalLeft:       "pedal",
}

// Middle returns the middle between left and right of a pair, or a site of the
// mid-plane; false if one of them is not known.
func Middle(p contact.Position, s contact.Site) (r3.Vec, bool) {
	l, ok := p.At(s.On(contact.Left))
	r, okRight := p.At(s.On(contact.Right))
	return r3.Scale(0.5, r3.Add(l, r)), ok && okRight
}

// Words returns a name in words: "hoods left".
func Words(name fmt.Stringer) string { return strings.ReplaceAll(name.String(), "_", " ") }
