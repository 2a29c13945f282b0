package answers_test

import (
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
)

// candidate prints all that a candidate says, but for its position.
func (o *out) candidate(key string, c *fitgeom.Candidate) {
	b, s := &c.Build, &c.Build.Settings
	o.names(key+".front", b.Frame.Name, b.Cap.Name, b.Stem.Name, b.BarShim.Name, b.Handlebar.Name, b.Lever.Name, b.Aero.Name)
	o.names(key+".seat", b.Seatpost.Name, b.SeatpostShim.Name, b.Saddle.Name, b.Crank.Name, b.Pedal.Name)
	o.floats(key+".stance", b.Wheels.FrontSag, b.Wheels.RearSag, b.Wheels.FrontRadius, b.Wheels.RearRadius)
	o.floats(key+".spacers", s.Spacers, s.SpacersAbove)
	o.floats(key+".roll", s.BarRotation)
	o.floats(key+".aero", s.AeroTilt, s.PadRise, s.PadForward, s.PadWidth, s.Extension)
	o.floats(key+".post", s.SeatpostExtension, s.Lowered)
	o.floats(key+".saddle", s.RailClamp, s.SaddleTilt)
	o.floats(key+".lift", s.LiftLeft, s.LiftRight)
	o.floats(key+".rings", c.Spacers...)
	o.floats(key+".rings.above", c.SpacersAbove...)
	o.flags(key+".holds", c.Holds(), s.Flipped)
	o.ints(key+".buy", int(c.Buy))
	o.floats(key+".score", c.Score())
	for _, r := range c.Deviations {
		o.vec(key+".off."+r.Site.String(), r.Off)
		o.vec(key+".tolerance."+r.Site.String(), r.Tolerance)
		o.flags(key+".within."+r.Site.String(), r.Within())
	}
	margins, _ := b.Margins()
	o.margins(key+".margin", margins)
	cautions, _ := b.Cautions()
	var all []int
	for _, k := range cautions {
		all = append(all, int(k)-1) // as they were counted once
	}
	o.ints(key+".cautions", all...)
	at, _ := b.Position()
	for _, d := range c.Deviations {
		if v, ok := d.Wanted(at); ok && d.Site.Group() == contact.OnSaddle {
			o.vec(key+".wanted."+d.Site.String(), v)
		}
	}
}

func (o *out) margins(key string, all []fitgeom.Margin) {
	for _, m := range all {
		o.floats(fmt.Sprintf("%s.%d", key, int(m.Limit)-1), m.Room)
	}
}

// obstacles prints why a build does not hold.
func (o *out) obstacles(key string, b *fitgeom.Build, all []solve.Obstacle) {
	o.ints(key, len(all))
	plain := b.Aero == (part.AeroBar{})
	for i, b := range all {
		at := fmt.Sprintf("%s.%d", key, i)
		o.ints(at+".parts", int(b.Parts))
		o.changes(at+".alone", b.Alone)
		if !o.coarse || plain { // of an aero bar's many ways rounding decides
			o.changes(at+".together", b.Together)
		}
	}
}

func (o *out) changes(key string, all []solve.Change) {
	o.ints(key, len(all))
	for i, c := range all {
		o.ints(fmt.Sprintf("%s.%d", key, i), int(c.Limit)-1)
		o.floats(fmt.Sprintf("%s.%d.by", key, i), c.By)
	}
}

// figures prints every figure of a build.
func (o *out) figures(key string, b fitgeom.Build) {
	for _, f := range rules.Figures() {
		v, ok, err := f.Of(b)
		at := fmt.Sprintf("%s.%d", key, int(f)-1)
		if !o.failed(at, err) {
			o.known(at, v, ok)
		}
	}
}

// steps prints the steps that set up a candidate.
func (o *out) steps(key string, c fitgeom.Candidate, b convert.Basis, ms []convert.Measure) {
	all, err := solve.SetUp(c, b, ms...)
	if o.failed(key, err) {
		return
	}
	for i, s := range all {
		at := fmt.Sprintf("%s.%d", key, i)
		o.words(at, s.Name)
		o.flags(at+".kind", s.Verify, s.Limited)
		o.floats(at+".value", s.Value)
		if s.Limited {
			o.floats(at+".limits", s.Low, s.High)
		}
	}
}
