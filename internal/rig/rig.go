// Package rig computes where parts are on a frame. It holds the only forward map of front
// end and seat, on plain numbers, for packages that search with it.
package rig

import (
	"hash/fnv"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Chassis holds the places on a frame, as it stands, on which parts are mounted.
type Chassis struct {
	HeadTop, SteererUp r3.Vec
	HeadAngle          float64
	SeatTop, SeatUp    r3.Vec // the seat tube's upper edge, and up its axis
}

// Position is the forward map of a *fitgeom.Build, which package fitgeom sets. It
// does not check the build, since some packages vary builds beyond what parts allow.
var Position func(build any) contact.Position

// A Setting is a number in the settings of a *fitgeom.Build that can be set within a range.
type Setting struct {
	Name  string   // without its unit, such as "pad_rise"
	Value *float64 // in the build
	Range part.Steps
	Side  contact.Side // of a cleat
	Say   uint8        // the words.Phrase for a set-up sheet; 0 where that says more
	Unit  string       // "mm" or "degrees"
	Path  string       // of the name in documents, where it is another
}

// Member returns the setting's name in documents.
func (s *Setting) Member() string {
	name := s.Name
	if s.Path != "" {
		name = s.Path
	}
	if s.Unit == "degrees" {
		return name + "_deg"
	}
	return name + "_mm"
}

// Settings returns the settings of a *fitgeom.Build, in the order of their limits. Package
// fitgeom sets it.
var Settings func(build any) []Setting

// NewChassis returns the chassis of a frame that its wheels pitch by an angle in degrees.
func NewChassis(g *chart.Geometry, seatTubeTop, pitch float64) (c Chassis) {
	c.HeadTop, c.SteererUp, c.HeadAngle = g.HeadTop(), g.SteererUp(), g.HeadAngle
	seat := g.SeatUp()
	// The tube passes in front of the bottom bracket, square to its axis.
	c.SeatTop = r3.Vec{X: float64(g.SeatOffset*seat.Z) + float64(seatTubeTop*seat.X), Z: float64(seatTubeTop*seat.Z) - float64(g.SeatOffset*seat.X)}
	c.SeatUp = seat
	if pitch != 0 {
		sin, cos := num.Sincos(pitch)
		c.HeadAngle -= pitch
		c.HeadTop, c.SteererUp = num.Turned(c.HeadTop, sin, cos), num.Turned(c.SteererUp, sin, cos)
		c.SeatTop, c.SeatUp = num.Turned(c.SeatTop, sin, cos), num.Turned(c.SeatUp, sin, cos)
	}
	return c
}

// Steerer returns a point in steerer coordinates: q square to the steerer, forward, and a
// along it, up.
func (c *Chassis) Steerer(v r3.Vec) (q, a float64) {
	u := c.SteererUp
	return float64(v.X*u.Z) - float64(v.Z*u.X), float64(v.X*u.X) + float64(v.Z*u.Z)
}

// Plane returns the point with the steerer coordinates q and a, in the mid-plane.
func (c *Chassis) Plane(q, a float64) r3.Vec {
	u := c.SteererUp
	return r3.Vec{X: float64(q*u.Z) + float64(a*u.X), Z: float64(a*u.Z) - float64(q*u.X)}
}

// RailClamp returns the centre of a seatpost's rail clamp, which lies behind the seatpost's
// axis by its setback, and sinks along it by its sag.
func (c *Chassis) RailClamp(p *part.Seatpost, extension float64) r3.Vec {
	extension -= p.Sag
	return r3.Vec{
		X: c.SeatTop.X + float64(extension*c.SeatUp.X) - float64(p.Setback*c.SeatUp.Z),
		Z: c.SeatTop.Z + float64(extension*c.SeatUp.Z) + float64(p.Setback*c.SeatUp.X),
	}
}

// Socket returns the number by which parts that meet there fit: their diameter, or one that
// stands for the name of their interface, beyond all diameters.
func Socket(name string, diameter float64) float64 {
	if name == "" {
		return diameter
	}
	h := fnv.New64a()
	h.Write([]byte(name))
	return 1e3 + float64(h.Sum64()>>12)
}

// A StemSet is how a stem is set.
type StemSet struct {
	Flipped      bool
	Angle, Quill float64 // of one that can be set
}

// A Mount is where a stem holds the handlebar: with its lower edge on the head tube's
// top, and from there up the steerer.
type Mount struct{ Foot r3.Vec }

// Mount puts a stem on the steerer.
func (c *Chassis) Mount(s *part.Stem, set StemSet) Mount {
	way := c.along(s, set)
	up := s.Height / 2
	if s.Quill != (part.Steps{}) {
		up = set.Quill
	}
	up -= s.Sag
	return Mount{r3.Vec{
		X: c.HeadTop.X + float64(up*c.SteererUp.X) + float64(s.Length*way.X),
		Z: c.HeadTop.Z + float64(up*c.SteererUp.Z) + float64(s.Length*way.Z),
	}}
}

// Clamp returns the bar clamp's centre with the stem's lower edge at the distance up, along
// the steerer, from the head tube's top.
func (c *Chassis) Clamp(m *Mount, up float64) r3.Vec {
	return r3.Vec{X: m.Foot.X + float64(up*c.SteererUp.X), Z: m.Foot.Z + float64(up*c.SteererUp.Z)}
}

// along returns the unit vector along a mounted stem, to the handlebar.
func (c *Chassis) along(s *part.Stem, set StemSet) r3.Vec {
	angle := s.Angle
	if s.Angles != (part.Steps{}) {
		angle = set.Angle
	}
	if set.Flipped {
		angle = -angle
	}
	sin, cos := num.Sincos(90 - c.HeadAngle + angle)
	return r3.Vec{X: cos, Z: sin}
}

// Facing returns the direction of what lies forward and left in a part, as [part.Place] has
// it, if the part is turned nose-up by an angle, of which it has sine and cosine.
func Facing(f, l *r3.Vec, turned, sin, cos float64) contact.Attitude {
	a := contact.Attitude{Tilt: turned}
	if f.Z != 0 {
		a.Tilt += num.Atan2(f.Z, f.X)
	}
	if f.Y != 0 {
		a.Yaw = num.Atan2(f.Y, float64(f.X*cos)-float64(f.Z*sin))
	}
	if l.X != 0 || l.Z != 0 {
		a.Roll = num.Atan2(float64(l.X*sin)+float64(l.Z*cos), l.Y)
	}
	return a
}

// Mounts calls do with each way to mount levers on a bar, until it returns false.
func Mounts(bar *part.Handlebar, do func(part.LeverMount) bool) bool {
	d := &bar.Drop
	for i := range d.LeverUp.Count() {
		for j := range d.LeverIn.Count() {
			if !do(part.LeverMount{Up: d.LeverUp.At(i), In: d.LeverIn.At(j)}) {
				return false
			}
		}
	}
	return true
}

// Held returns what of some ranges, apart and in order, of angles by which a part is turned
// nose-up leaves each angle of [Facing] within its tolerance of a wanted one.
func Held(all [][2]float64, f, l *r3.Vec, wanted, tolerance contact.Attitude) (out [][2]float64) {
	holds := func(deg float64) bool {
		sin, cos := num.Sincos(deg)
		off := Facing(f, l, deg, sin, cos).Less(wanted)
		return !num.Beyond(off.Tilt, tolerance.Tilt) && !num.Beyond(off.Yaw, tolerance.Yaw) && !num.Beyond(off.Roll, tolerance.Roll)
	}
	for _, s := range all {
		edges := append(make([]float64, 0, 16), s[0], s[1])
		Stops(f, l, wanted, tolerance, func(deg float64) {
			for deg += 360 * math.Ceil((s[0]-deg)/360); deg < s[1]; deg += 360 {
				edges = append(edges, deg)
			}
		})
		slices.Sort(edges)
		open := false // whether the last one is to go on
		for i, hi := range edges[1:] {
			lo := edges[i]
			in := holds((lo + hi) / 2)
			switch {
			case in && open:
				out[len(out)-1][1] = hi
			case in:
				out = append(out, [2]float64{lo, hi})
			}
			open = in
		}
	}
	return out
}

// Stops calls add with the angles, not all within a turn, by which a part must be turned
// nose-up so that an angle of [Facing] is off a wanted one by just its tolerance. Angles with
// tolerance 0 do not count.
func Stops(f, l *r3.Vec, wanted, tolerance contact.Attitude, add func(deg float64)) {
	ahead, across := num.Atan2(f.Z, f.X), num.Atan2(l.Z, l.X)
	for _, sign := range [2]float64{1, -1} {
		if t := tolerance.Tilt; t != 0 {
			add(wanted.Tilt + sign*t - ahead)
		}
		if t := tolerance.Yaw; t != 0 && f.Y != 0 {
			// The yaw tells how much of forward is left along the bike.
			sin, cos := num.Sincos(wanted.Yaw + sign*t)
			if r := f.Y * cos / sin / math.Hypot(f.X, f.Z); math.Abs(r) <= 1 {
				a := math.Acos(r) / num.Rad
				add(a - ahead)
				add(-a - ahead)
			}
		}
		if t := tolerance.Roll; t != 0 && (l.X != 0 || l.Z != 0) {
			// And the roll how much of left is up.
			sin, cos := num.Sincos(wanted.Roll + sign*t)
			if r := l.Y * sin / cos / math.Hypot(l.X, l.Z); math.Abs(r) <= 1 {
				a := math.Asin(r) / num.Rad
				add(a - across)
				add(180 - a - across)
			}
		}
	}
}

// Fits reports whether two nominal diameters are the same. Steps between
// nominal diameters are 0.1 mm or more, so anything nearer is rounding.
func Fits(a, b float64) bool { return a-b < 0.05 && b-a < 0.05 }
