package invented

import (
	"math/rand/v2"

	"example.com/fitgeom/fitgeom/part"
)

// Renew gives a drawn bike and its shelf parts that Draw does not draw: adjustable and
// quill stems, suspension, interfaces with a name, rails of a section, clamps of a span, and
// extensions whose width can be set. Some of the shelf do not go together.
func (p *Drawn) Renew(rng *rand.Rand) {
	p.renewSteerer(rng)
	p.renewSeat(rng)
	b, s := &p.Build, &p.Shelf
	for i := range s.AeroBars {
		switch a := &s.AeroBars[i]; rng.IntN(3) {
		case 0:
			a.ExtensionWidths = steps(rng, 80, 15, 4)
		case 1:
			a.ExtensionWidths = part.Steps{From: 80, To: 130}
		}
	}
	if len(s.AeroBars) > 0 {
		b.Aero = s.AeroBars[0]
		t := &b.Settings
		t.AeroTilt, t.PadRise, t.PadForward, t.PadWidth, t.Extension = b.Aero.Tilt.From, b.Aero.PadRise.From, b.Aero.PadForward.From, b.Aero.PadWidth.From, b.Aero.Extension.From
		t.ExtensionWidth = b.Aero.ExtensionWidths.From
	}
	p.Stackable = plantSpacers(rng, p)
}

// renewSteerer draws stems that can be set or that sink, on steerers with a thread too.
func (p *Drawn) renewSteerer(rng *rand.Rand) {
	b, s := &p.Build, &p.Shelf
	onePiece := b.Handlebar.OnePiece()
	threaded := !onePiece && rng.IntN(3) == 0
	for i := range s.Stems {
		stem := &s.Stems[i]
		if rng.IntN(2) == 0 {
			stem.Angles = steps(rng, -15, 10, 4)
		}
		if rng.IntN(3) == 0 {
			stem.Sag = 4 + 8*rng.Float64()
		}
		if threaded && (i == 0 || rng.IntN(2) == 0) {
			stem.SteererInterface, stem.Quill = "threaded 25.4", steps(rng, 20, 12, 4)
		}
	}
	if threaded {
		b.Frame.SteererInterface, b.Frame.SteererCut = "threaded 25.4", 0
		for i := range s.Caps {
			s.Caps[i].SteererInterface = "threaded 25.4"
		}
		b.Cap = s.Caps[0]
		b.Frame.MaxUnderStem = max(b.Frame.MaxUnderStem, b.Cap.Height)
	}
	if onePiece {
		return
	}
	if rng.IntN(4) == 0 && b.Handlebar.ClampDiameter != 25.4 { // the first stem and the first bar alone
		s.Stems[0].BarInterface, s.Handlebars[0].ClampInterface = "oval", "oval"
		b.Handlebar.ClampInterface = "oval"
	}
	b.Stem = s.Stems[0]
	t := &b.Settings
	t.Flipped, t.StemAngle, t.Quill = b.Stem.Flippable && rng.IntN(2) == 0, b.Stem.Angles.From, b.Stem.Quill.Last()
	if b.Stem.Angles == (part.Steps{}) {
		t.Flipped = t.Flipped && b.Stem.Angle != 0
	} else {
		t.Flipped = t.Flipped && t.StemAngle != 0
	}
}

// renewSeat draws posts that sink and are not round, rails and what clamps them.
func (p *Drawn) renewSeat(rng *rand.Rand) {
	b, s := &p.Build, &p.Shelf
	if rng.IntN(3) == 0 {
		b.Frame.SeatpostInterface, s.Seatposts[0].Interface = "blade", "blade"
		if rng.IntN(2) == 0 {
			s.Seatposts[len(s.Seatposts)-1].Interface = "blade"
		}
	}
	for i := range s.Seatposts {
		post := &s.Seatposts[i]
		if rng.IntN(3) == 0 {
			post.Sag = 5 + 15*rng.Float64()
		}
		post.ClampSpan = pick(rng, 0.0, 25, 46)
		if i > 0 {
			post.RailWidth, post.RailHeight = 7, pick(rng, 7.0, 9)
		}
	}
	for i := range s.Saddles {
		saddle := &s.Saddles[i]
		saddle.RailWidth, saddle.RailHeight, saddle.ClampSpan = pick(rng, 0.0, 7), pick(rng, 7.0, 9), pick(rng, 0.0, 36)
	}
	b.Seatpost, b.Saddle = s.Seatposts[0], s.Saddles[0]
	from, to := b.Saddle.Rails(b.Seatpost)
	b.Settings.RailClamp = from + (to-from)*rng.Float64()
}
