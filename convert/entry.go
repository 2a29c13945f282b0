package convert

import "example.com/fitgeom/contact"

// A kind is a way to get a number from points.
type kind uint8

const (
	direct kind = iota
	sideView
	horizontal
	vertical
	lateral
	seatTube
	tilt
	pedalFar
	fromGround
	fromHighest
	soleFar
	rails
	standing
	slope
	quotient
	turned
)

var alongs = [...]string{
	direct: "direct", sideView: "side view", horizontal: "horizontal", vertical: "vertical", lateral: "lateral",
	seatTube: "seat tube", tilt: "side view", pedalFar: "side view", fromGround: "vertical", fromHighest: "vertical",
	soleFar: "side view", rails: "seat tube", standing: "vertical", slope: "side view", quotient: "vertical by horizontal", turned: "side view",
}

// An end is where a measure starts or ends: a site, or the bottom bracket.
type end struct {
	site   contact.Site
	origin bool
}

type entry struct {
	Definition
	kind kind
	a, b end
	sign float64
	size func(*Basis) float64 // what Definition.Size names
	wide float64              // how many times the size is added to a lateral measure
}

// at is the end at a site, and bb the one at the bottom bracket.
func at(s contact.Site) end { return end{site: s} }

var bb = end{origin: true}

// words says where an end is.
func (e end) words() string {
	if e.origin {
		return "bottom bracket centre"
	}
	switch e.site {
	case contact.SaddleReference:
		return "saddle reference (80 mm wide)"
	case contact.SaddleNose:
		return "saddle nose"
	case contact.SaddleRear:
		return "saddle rear"
	case contact.BarClamp:
		return "bar clamp centre"
	case contact.TopsLeft:
		return "tops"
	case contact.HoodsLeft:
		return "hoods"
	case contact.DropsLeft:
		return "drops"
	case contact.GripLeft:
		return "grips"
	case contact.PadLeft:
		return "pads"
	case contact.ExtensionLeft:
		return "extension tips"
	case contact.FootLeft:
		return "sole of the shoe"
	default:
		return "pedal axis"
	}
}

// measure makes a registry entry from one end to another.
func measure(name string, k kind, a, b end, positive string) entry {
	e := entry{kind: k, a: a, b: b, sign: 1, Definition: Definition{
		Name: name, From: a.words(), To: b.words(), Along: alongs[k], Positive: positive, Unit: "mm",
	}}
	for _, end := range [2]end{a, b} {
		if !end.origin {
			e.Needs = append(e.Needs, end.site)
		}
	}
	return e
}

// negative reverses the sign.
func (e entry) negative() entry {
	e.sign = -1
	return e
}

func lower(name string, to contact.Site) entry {
	return measure(name, vertical, at(contact.SaddleReference), at(to), "bar lower").negative()
}

func lowerThanHighest(name string, to contact.Site) entry {
	e := measure(name, fromHighest, at(contact.SaddleReference), at(to), "bar lower").negative()
	e.From = "saddle's highest point"
	e.Needs = []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear, to}
	return e
}

func ahead(name string, from end, to contact.Site) entry {
	return measure(name, horizontal, from, at(to), "bar in front")
}

func away(name string, from, to contact.Site) entry {
	return measure(name, direct, at(from), at(to), "")
}

func above(name string, to contact.Site) entry {
	return measure(name, vertical, bb, at(to), "bar higher")
}

func apart(name, from, to string, left contact.Site) entry {
	return entry{kind: lateral, a: at(left), sign: 1, Definition: Definition{
		Name: name, From: from, To: to, Along: alongs[lateral], Unit: "mm", Needs: []contact.Site{left}, Pair: true,
	}}
}

// as puts another direction into the definition: a horizontal crank that points forward
// is as long as it reaches.
func (e entry) as(along string) entry {
	e.Along = along
	return e
}

// fromSpindle makes an entry count from the bottom bracket and need no pedal: the height of
// a foot site counts from the spindle by itself.
func (e entry) fromSpindle() entry {
	e.Needs, e.a = e.Needs[1:], bb
	return e
}

// to puts other words into the definition, and more that it needs.
func (e entry) to(words string, needs ...contact.Site) entry {
	e.To, e.Needs = words, append(e.Needs, needs...)
	return e
}
