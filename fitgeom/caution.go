package fitgeom

import "example.com/fitgeom/fitgeom/part"

// A Caution is something that whoever builds, checks or rides a bike should
// mind. The zero Caution is [MakersFirst].
type Caution uint8

// The cautions. [Caution.String] has the text.
const (
	MakersFirst   Caution = iota // goes with every build
	Mechanic                     // goes with every build
	Clinician                    // goes with every build
	RaceRules                    // goes with every build
	NearInsertion                // less than 10 mm before the post's least insertion
	NearStack                    // less than 5 mm before the steerer's highest stack
	RailsAtEnd                   // less than 3 mm before an end of the rails
	BarRolled                    // bar turned by more than 5 degrees
	ShimFitted                   // a shim between post and frame, or bar and stem
	TyreTooLarge                 // a tyre larger than its frame's or fork's maker allows
	ToeNearTyre                  // pedal axis less than 89 mm from the front tyre

	cautionCount = int(ToeNearTyre) + 1
)

// Where the conditional cautions begin. Common practice, no source.
const (
	nearInsertion = 10 // mm
	nearStack     = 5  // mm
	railsAtEnd    = 3  // mm
	barRolled     = 5  // degrees
)

// toeNearTyre is what JIS D 9301:2019, 5.6.2 b), asks for with foot retention, and
// more without, mm.
const toeNearTyre = 89

var cautionTexts = [cautionCount]string{
	MakersFirst:   "The instructions of the makers of frame, fork and parts come first: clamp diameters, torques, spacers, insertion.",
	Mechanic:      "Have the bike put together and checked by a qualified mechanic before it is ridden.",
	Clinician:     "Pain, numbness or an injury is a matter for a clinician. A position is geometry, not medical advice.",
	RaceRules:     "Race rules change, and the organiser decides.",
	NearInsertion: "The post is close to its least insertion. Never ride with less; find the mark and measure.",
	NearStack:     "Cap and spacers are close to what the steerer allows. Ask the fork's maker, and check how much steerer the stem clamps.",
	RailsAtEnd:    "The rails are clamped close to their end. Keep the clamp within the marks on the rails.",
	BarRolled:     "The bar is turned far from how its maker draws it. Check that levers and brakes can be reached and worked where the hands are.",
	ShimFitted:    "A shim lies where something is clamped. Makers of both parts must allow it; it must be as long as the clamp and the least insertion.",
	TyreTooLarge:  "A tyre is larger than frame or fork allow. It may touch them.",
	ToeNearTyre:   "Toe and front tyre may touch when the wheel is turned. Try it at walking pace, with the shoes that will be worn.",
}

// String returns the caution's text, a sentence or two.
func (c Caution) String() string {
	if int(c) >= cautionCount {
		return "caution?"
	}
	return cautionTexts[c]
}

func cautions(b *Build, margins []Margin) []Caution {
	all := []Caution{MakersFirst, Mechanic, Clinician, RaceRules}
	rails := false
	for _, m := range margins {
		switch {
		case m.Limit == PostUp && m.Room < nearInsertion:
			all = append(all, NearInsertion)
		case m.Limit == SpacersUp && m.Room < nearStack:
			all = append(all, NearStack)
		case (m.Limit == SaddleForward || m.Limit == SaddleBack) && m.Room < railsAtEnd:
			rails = true
		}
	}
	if rails {
		all = append(all, RailsAtEnd)
	}
	if r := b.Settings.BarRoll; r > barRolled || r < -barRolled {
		all = append(all, BarRolled)
	}
	if b.BarShim != (part.Shim{}) || b.PostShim != (part.Shim{}) {
		all = append(all, ShimFitted)
	}
	front, ok1 := b.figure(FrontTyreRoom)
	rear, ok2 := b.figure(RearTyreRoom)
	if ok1 && front < 0 || ok2 && rear < 0 {
		all = append(all, TyreTooLarge)
	}
	if toe, ok := b.figure(ToeClearance); ok && toe < toeNearTyre {
		all = append(all, ToeNearTyre)
	}
	return all
}
