package fitgeom

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/words"
)

// Describe says the build in words: part by part in the order of work, and of each how it
// is mounted, with all that is not as usual: upside down, rolled, shimmed, raised on one
// side, on a steerer that is cut. Lengths and angles are those of [Settings]. Faults are
// those of [Build.Validate].
func (b Build) Describe() ([]words.Sentence, error) {
	if err := b.validate(); err != nil {
		return nil, err
	}
	d := describer{b: &b}
	d.feet()
	d.seat()
	d.front()
	d.aero()
	return d.all, nil
}

type describer struct {
	b   *Build
	all []words.Sentence
}

func (d *describer) say(p words.Phrase, arguments ...words.Argument) {
	d.all = append(d.all, words.Say(p, arguments...))
}

// have says that there is a part.
func (d *describer) have(p words.Phrase, kind, name string) { d.say(p, words.Part("part", kind, name)) }

// mm says a phrase of a length.
func (d *describer) mm(p words.Phrase, v float64) { d.say(p, words.Number("by", v, "mm")) }

// turned says one of two phrases of an angle, or neither where it is none to a tenth.
func (d *describer) turned(up, down words.Phrase, v float64) { d.off(up, down, v, "degrees") }

// off says one of two phrases of a number and what it is about, or neither where it is 0 to
// a tenth.
func (d *describer) off(more, less words.Phrase, v float64, unit string, about ...words.Argument) {
	if v < 0 {
		more, v = less, -v
	}
	if v >= 0.05 {
		d.say(more, append(about, words.Number("by", v, unit))...)
	}
}

func (d *describer) feet() {
	b, s := d.b, &d.b.Settings
	d.have(words.Have, "cranks", b.Crank.Name)
	if b.Pedal != (part.Pedal{}) {
		d.have(words.Have, "pedals", b.Pedal.Name)
	}
	d.foot(contact.Left, s.LiftLeft, &s.CleatLeft)
	d.foot(contact.Right, s.LiftRight, &s.CleatRight)
}

func (d *describer) foot(side contact.Side, lift float64, c *Cleat) {
	at := words.Word("side", side.String())
	d.off(words.FootRaised, words.FootRaised, lift, "mm", at)
	d.off(words.CleatBack, words.CleatForward, c.Back, "mm", at)
	d.off(words.CleatIn, words.CleatOut, c.In, "mm", at)
	d.off(words.ToesOut, words.ToesIn, c.ToesOut, "degrees", at)
	d.off(words.WedgeInner, words.WedgeOuter, c.Wedge, "degrees", at)
}

func (d *describer) seat() {
	b, s := d.b, &d.b.Settings
	d.have(words.Have, "seatpost", b.Seatpost.Name)
	if b.SeatpostShim != (part.Shim{}) {
		d.have(words.BetweenSeatpostAndFrame, "shim", b.SeatpostShim.Name)
	}
	d.mm(words.SeatpostOut, s.SeatpostExtension)
	if s.Lowered != 0 {
		d.mm(words.SeatpostLowered, s.Lowered)
	}
	d.off(words.Sinks, words.Sinks, b.Seatpost.Sag, "mm", words.Word("part", "seatpost"))
	d.have(words.Have, "saddle", b.Saddle.Name)
	d.mm(words.RailsHeld, s.RailClamp)
	if math.Abs(s.SaddleTilt) < 0.05 {
		d.say(words.SaddleLevel)
	}
	d.turned(words.SaddleNoseUp, words.SaddleNoseDown, s.SaddleTilt)
}

func (d *describer) front() {
	b, s := d.b, &d.b.Settings
	d.have(words.Have, "cap", b.Cap.Name)
	if b.Frame.SteererCut != 0 {
		d.mm(words.SteererIsCut, b.Frame.SteererCut)
	}
	if s.Spacers == 0 {
		d.say(words.NoSpacers)
	} else {
		d.mm(words.SpacersUnder, s.Spacers)
	}
	have := words.Have
	if s.Flipped {
		have = words.HaveFlipped
	}
	if b.Handlebar.OnePiece() {
		d.have(have, "one-piece_bar_and_stem", b.Handlebar.Name)
	} else {
		d.have(have, "stem", b.Stem.Name)
	}
	if b.Stem.Angles != (part.Steps{}) {
		d.turned(words.StemRises, words.StemDrops, s.StemAngle)
	}
	if b.Stem.Quill != (part.Steps{}) {
		d.mm(words.QuillOut, s.Quill)
	}
	d.off(words.Sinks, words.Sinks, b.stem().Sag, "mm", words.Word("part", "stem"))
	if s.SpacersAbove != 0 {
		d.mm(words.SpacersOnTop, s.SpacersAbove)
	}
	if !b.Handlebar.OnePiece() {
		d.have(words.Have, "bar", b.Handlebar.Name)
		if b.BarShim != (part.Shim{}) {
			d.have(words.BetweenBarAndStem, "shim", b.BarShim.Name)
		}
		d.turned(words.BarRolledUp, words.BarRolledDown, s.BarRotation)
	}
	if b.Lever != (part.Lever{}) {
		d.have(words.Have, "levers", b.Lever.Name)
		d.off(words.LeversUp, words.LeversDown, s.LeverUp, "mm")
		d.turned(words.LeversIn, words.LeversOut, s.LeverIn)
	}
}

func (d *describer) aero() {
	b, s := d.b, &d.b.Settings
	if b.Aero == (part.AeroBar{}) {
		return
	}
	d.have(words.Have, "aero_bar", b.Aero.Name)
	d.turned(words.AeroBarUp, words.AeroBarDown, s.AeroTilt)
	where := words.PadsBefore
	if s.PadForward < 0 {
		where = words.PadsBehind
	}
	d.say(where, words.Number("rise", s.PadRise, "mm"), words.Number("by", math.Abs(s.PadForward), "mm"), words.Number("width", s.PadWidth, "mm"))
	d.mm(words.ExtensionsOut, s.Extension)
	if b.Aero.ExtensionWidths != (part.Steps{}) {
		d.mm(words.ExtensionsApart, s.ExtensionWidth)
	}
}

// Describe says how far off the site is, coordinate by coordinate and then angle by angle,
// as in "hoods left 5.6 mm too low": each that was asked for, and that is not 0 to a tenth.
// The argument "tolerance" is how far off it may be.
func (d Deviation) Describe() []words.Sentence {
	across := [3][2]words.Phrase{{words.TooFarLeft, words.TooFarRight}, {words.TurnedLeft, words.TurnedRight}, {words.LeftHigh, words.RightHigh}}
	sign := 1.0
	if side := d.Site.Side(); side != contact.Centre {
		across = [3][2]words.Phrase{{words.TooFarOut, words.TooFarIn}, {words.TurnedOut, words.TurnedIn}, {words.OuterEdgeHigh, words.InnerEdgeHigh}}
		if side == contact.Right {
			sign = -1
		}
	}
	say := describer{}
	for _, c := range [...]struct {
		off, tolerance float64
		unit           string
		phrases        [2]words.Phrase
	}{
		{d.Off.Z, d.Tolerance.Z, "mm", [2]words.Phrase{words.TooHigh, words.TooLow}},
		{d.Off.X, d.Tolerance.X, "mm", [2]words.Phrase{words.TooFarForward, words.TooFarBack}},
		{sign * d.Off.Y, d.Tolerance.Y, "mm", across[0]},
		{d.Turned.Tilt, d.Turn.Tilt, "degrees", [2]words.Phrase{words.TiltedUp, words.TiltedDown}},
		{sign * d.Turned.Yaw, d.Turn.Yaw, "degrees", across[1]},
		{sign * d.Turned.Roll, d.Turn.Roll, "degrees", across[2]},
	} {
		if c.tolerance != 0 {
			say.off(c.phrases[0], c.phrases[1], c.off, c.unit, words.Word("site", d.Site.String()), words.Number("tolerance", c.tolerance, c.unit))
		}
	}
	return say.all
}
