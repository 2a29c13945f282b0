package fitgeom

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Build is a bike put together: a frame, a part of each kind, and how they are set.
type Build struct {
	Frame    Frame      // with its fork
	Cap      HeadsetCap // on the head tube, under the spacers
	Stem     Stem
	Bar      DropBar
	Lever    Lever // the same left and right
	Post     Post
	Saddle   Saddle
	Crank    Crank // left and right
	Settings Settings
}

// Settings is what can be adjusted on a [Build]. The zero value has no spacers
// and a level bar, but no sensible post: set it.
type Settings struct {
	// Spacers is the height of all spacers between headset cap and stem, 0 to 150 mm.
	Spacers float64
	// Flipped says that the stem is mounted upside down.
	Flipped bool
	// BarRoll is how far the bar is turned in the stem from how its maker draws
	// it, positive when the hoods go up, -45 to 45 degrees.
	BarRoll float64
	// PostExtension is from the seat tube's upper edge up to the centre of the
	// rail clamp, along the post, 0 to 600 mm.
	PostExtension float64
	// RailClamp is from the saddle's nose back to the centre of the rail clamp,
	// along the rails, 0 to 340 mm. More of it puts the saddle further forward.
	RailClamp float64
	// SaddleTilt is the slope of the line from the saddle's rear edge to its
	// nose, positive nose-up, -45 to 45 degrees.
	SaddleTilt float64
}

// Validate reports numbers that are out of the ranges stated at the fields, and
// parts that do not go together ([contact.ErrConflict]). Whether the settings
// stay within the parts' limits is told by [Build.Margins].
func (b Build) Validate() error {
	var c check.Faults
	c.In("frame", b.Frame.Validate())
	c.In("cap", b.Cap.Validate())
	c.In("stem", b.Stem.Validate())
	c.In("bar", b.Bar.Validate())
	c.In("lever", b.Lever.Validate())
	c.In("post", b.Post.Validate())
	c.In("saddle", b.Saddle.Validate())
	c.In("crank", b.Crank.Validate())
	s := b.Settings
	c.Range("settings.spacers", s.Spacers, 0, 150, "mm")
	c.Range("settings.bar_roll", s.BarRoll, -45, 45, "degrees")
	c.Range("settings.post_extension", s.PostExtension, 0, 600, "mm")
	c.Range("settings.rail_clamp", s.RailClamp, 0, 340, "mm")
	c.Range("settings.saddle_tilt", s.SaddleTilt, -45, 45, "degrees")
	if c.Err() != nil {
		return c.Err()
	}
	match := func(path string, a, b float64, other string) {
		if !fits(a, b) {
			c.Add(path, num.Text(a, "mm"), num.Text(b, "mm")+" as "+other, contact.ErrConflict)
		}
	}
	match("cap.steerer_diameter", b.Cap.SteererDiameter, b.Frame.SteererDiameter, "the frame has")
	match("stem.steerer_diameter", b.Stem.SteererDiameter, b.Frame.SteererDiameter, "the frame has")
	match("bar.clamp_diameter", b.Bar.ClampDiameter, b.Stem.BarDiameter, "the stem holds")
	match("post.diameter", b.Post.Diameter, b.Frame.PostDiameter, "the frame takes")
	if s.Flipped && !b.Stem.Flippable {
		c.Add("settings.flipped", "yes", "a stem that may be mounted upside down", contact.ErrConflict)
	}
	return c.Err()
}

// fits reports whether two nominal diameters are the same. Steps between
// nominal diameters are 0.1 mm or more, so anything nearer is rounding.
func fits(a, b float64) bool { return a-b < 0.05 && b-a < 0.05 }

// Position returns where the build puts every contact point, in the axes of
// package contact: saddle (reference with its tilt, nose, rear), bar clamp, tops
// and drops where the bar states them, hoods, and pedals. It is exact to
// rounding, and fails only as [Build.Validate] does.
func (b Build) Position() (contact.Position, error) {
	if err := b.Validate(); err != nil {
		return contact.Position{}, err
	}
	return b.position(), nil
}

func (b *Build) position() contact.Position {
	var p contact.Position
	s := &b.Settings

	post := postAxis(&b.Frame, &b.Post)
	sin, cos := num.Sincos(s.SaddleTilt)
	for site, at := range saddleSites(&b.Saddle) {
		held := turned(r3.Vec{X: at.X + s.RailClamp, Z: at.Z}, sin, cos)
		p.Set(contact.Site(site), r3.Add(r3.Add(post.foot, r3.Scale(s.PostExtension, post.up)), held))
	}
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: s.SaddleTilt})

	clamp := clampCentre(&b.Frame, &b.Cap, &b.Stem, s.Spacers, s.Flipped)
	p.Set(contact.BarClamp, clamp)
	sin, cos = num.Sincos(s.BarRoll)
	for _, h := range barSites(&b.Bar, &b.Lever) {
		if h.offered {
			at := r3.Add(clamp, turned(h.at, sin, cos))
			p.Set(h.left, at)
			at.Y = -at.Y
			p.Set(h.left.On(contact.Right), at)
		}
	}

	p.Set(contact.PedalLeft, r3.Vec{X: b.Crank.Length, Y: b.Crank.QFactor / 2})
	p.Set(contact.PedalRight, r3.Vec{X: b.Crank.Length, Y: -b.Crank.QFactor / 2})
	return p
}

// turned turns v nose-up by an angle.
func turned(v r3.Vec, sin, cos float64) r3.Vec {
	return r3.Vec{X: v.X*cos - v.Z*sin, Y: v.Y, Z: v.X*sin + v.Z*cos}
}

// clampCentre is the centre of the bar where the stem holds it.
func clampCentre(f *Frame, h *HeadsetCap, s *Stem, spacers float64, flipped bool) r3.Vec {
	foot := r3.Add(f.Geometry.HeadTop(), r3.Scale(h.Height+spacers+s.Height/2, f.Geometry.SteererUp()))
	return r3.Add(foot, r3.Scale(s.Length, stemWay(f, s, flipped)))
}

// stemWay is the unit vector along a mounted stem, to the bar.
func stemWay(f *Frame, s *Stem, flipped bool) r3.Vec {
	angle := s.Angle
	if flipped {
		angle = -angle
	}
	sin, cos := num.Sincos(90 - f.Geometry.HeadAngle + angle)
	return r3.Vec{X: cos, Z: sin}
}

// A barSite is a left hand's place on a level bar, from the clamp's centre.
type barSite struct {
	left    contact.Site
	at      r3.Vec
	offered bool
}

func barSites(b *DropBar, l *Lever) [3]barSite {
	return [3]barSite{
		{contact.TopsLeft, r3.Vec{Y: b.TopsWidth / 2}, b.TopsWidth != 0},
		{contact.HoodsLeft, r3.Vec{X: b.Reach + l.Reach, Y: b.Width / 2, Z: l.Rise}, true},
		{contact.DropsLeft, r3.Vec{X: b.Reach - b.Hook, Y: b.DropsWidth / 2, Z: -b.Drop}, b.DropsWidth != 0},
	}
}

// saddleSites is the three sites of a level saddle, from the rail clamp's
// centre if that held the rails below the nose.
func saddleSites(s *Saddle) [3]r3.Vec {
	return [3]r3.Vec{
		contact.SaddleReference: {X: -s.Station, Z: s.Stack},
		contact.SaddleNose:      {Z: s.Stack + s.Dip},
		contact.SaddleRear:      {X: -s.Length, Z: s.Stack + s.Dip},
	}
}

// An axis is where the rail clamp's centre is with the post not extended at
// all, and the way it goes when it is.
type axis struct{ foot, up r3.Vec }

func postAxis(f *Frame, p *Post) axis {
	up := f.Geometry.SeatUp()
	behind := r3.Vec{X: -up.Z, Z: up.X}
	foot := r3.Add(f.Geometry.SeatFoot(), r3.Scale(f.SeatTubeTop, up))
	return axis{foot: r3.Add(foot, r3.Scale(p.Setback, behind)), up: up}
}
