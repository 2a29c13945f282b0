package contact

import (
	"example.com/fitgeom/internal/enum"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Site is one place where the rider meets the bike, or that people measure to.
//
// The zero Site is not valid: a site must be chosen.
type Site uint8

// The sites of a bike. Each is a point in the axes of this package, in mm.
const (
	// SaddleReference is the middle of the saddle's top surface where the saddle is
	// [ReferenceWidth] wide. It is the only point by which saddles of different length can
	// be compared. Its [Attitude] is the saddle's: Tilt is the slope that a level shows, of
	// a straight edge that lies lengthwise on the saddle's highest points, front and rear.
	SaddleReference Site = iota + 1
	// SaddleNose is the saddle's foremost point. It says little about where
	// the rider sits unless the saddle stays the same.
	SaddleNose
	// SaddleRear is the saddle's rearmost point.
	SaddleRear
	// BarClamp is the centre of the handlebar where the stem clamps it. The rider does
	// not touch it, but people measure to it.
	BarClamp
	// TopsLeft and TopsRight are the centre of the handlebar's tube under the hand, on
	// the straight part of a drop bar.
	TopsLeft
	TopsRight
	// HoodsLeft and HoodsRight are where the web of the thumb rests on the
	// lever's hood, behind its raised end. Their [Attitude] is the hood's: Yaw is where the
	// lever points, Roll how far it leans.
	HoodsLeft
	HoodsRight
	// DropsLeft and DropsRight are the centre of the handlebar's tube under the hand, in
	// the lower part of a drop bar.
	DropsLeft
	DropsRight
	// GripLeft and GripRight are the centre of the grip of a flat bar or of a
	// base bar (under an aero bar), half-way along the grip. Their [Attitude] is that of
	// someone who looks straight ahead across a grip that goes across, or along one that
	// reaches forward: a swept-back left grip has a positive Yaw, and one that rises outwards
	// a positive Roll. Those of tops are like that.
	GripLeft
	GripRight
	// PadLeft and PadRight are the middle of the upper surface of a forearm pad.
	PadLeft
	PadRight
	// ExtensionLeft and ExtensionRight are the foremost point of an aero extension.
	ExtensionLeft
	ExtensionRight
	// PedalLeft and PedalRight are the centre of the pedal's thread at the crank's outer
	// face, with that crank horizontal and pointing forward: X is the crank length, Y
	// half of the Q factor (negative on the right), Z is 0 to a few millimetres.
	PedalLeft
	PedalRight
	// FootLeft and FootRight are the sole of the shoe under the ball of the foot, in the
	// middle of the foot's width, with that crank horizontal and pointing forward: X is
	// the crank length, and more by how far the ball of the foot is in front of the spindle,
	// Y half of the stance width (negative on the right), Z the height of the sole above the
	// centre of the spindle. Their [Attitude] is the foot's: Yaw where the toes point, Roll
	// the slope that a wedge gives the sole.
	FootLeft
	FootRight
)

// ReferenceWidth is how wide a saddle is at its reference, mm. Common practice, no source.
const ReferenceWidth = 80

// SiteCount is one more than the last Site: an array of this length can be indexed by any
// site.
const SiteCount = int(FootRight) + 1

// A Group is the part of the bike to which sites belong. The zero Group is not valid.
type Group uint8

// The groups of sites.
const (
	OnSaddle    Group = iota + 1 // reference, nose and rear of the saddle
	OnHandlebar                  // clamp, tops, hoods, drops, grips
	OnAeroBar                    // pads and extensions
	OnPedals                     // the pedals' threads
	OnFeet                       // the soles
)

// groups is the one table of groups. Where its sites may be is far beyond any adult's
// bike, but for the heights of pedals and soles, which are small.
var groups = [...]struct {
	name   string
	lo, hi r3.Vec
}{
	OnSaddle:    {"saddle", r3.Vec{X: -1300, Y: -100, Z: 200}, r3.Vec{X: 400, Y: 100, Z: 1400}},
	OnHandlebar: {"handlebar", r3.Vec{X: -400, Y: -600, Z: 200}, r3.Vec{X: 1300, Y: 600, Z: 1500}},
	OnAeroBar:   {"aero_bar", r3.Vec{X: -400, Y: -400, Z: 200}, r3.Vec{X: 1700, Y: 400, Z: 1800}},
	OnPedals:    {"pedals", r3.Vec{X: 50, Y: -200, Z: -10}, r3.Vec{X: 250, Y: 200, Z: 10}},
	OnFeet:      {"feet", r3.Vec{X: 50, Y: -300, Z: -20}, r3.Vec{X: 250, Y: 300, Z: 140}},
}

var groupNames = func() *enum.Names[Group] {
	names := make([]string, len(groups))
	for i, g := range groups {
		names[i] = g.name
	}
	return enum.New[Group]("group", names)
}()

// FrontEnd reports whether the group turns with the steering: handlebar and aero bar.
func (g Group) FrontEnd() bool { return g == OnHandlebar || g == OnAeroBar }

// Crank reports whether the group turns with the cranks: pedals and feet.
func (g Group) Crank() bool { return g == OnPedals || g == OnFeet }

// String returns the group's name, such as "handlebar".
func (g Group) String() string { return groupNames.String(g) }

// MarshalText writes the group's name; it fails for an unknown number.
func (g Group) MarshalText() ([]byte, error) { return groupNames.Text(g) }

// UnmarshalText reads a name as [ParseGroup] does.
func (g *Group) UnmarshalText(text []byte) error { return groupNames.Read(g, text) }

// ParseGroup returns the group of that name, or an [*Error] of class [ErrUnknown].
func ParseGroup(name string) (Group, error) { return groupNames.Parse(name) }

// sites is the one table of sites. Usual places are common practice, no source, and good
// to a hand's breadth. Two that a direct distance connects are at different heights:
// otherwise the distance would not tell up from down.
var sites = [SiteCount]struct {
	name  string
	group Group
	side  Side
	mate  Site
	usual r3.Vec
}{
	SaddleReference: {"saddle_reference", OnSaddle, Centre, SaddleReference, r3.Vec{X: -200, Z: 700}},
	SaddleNose:      {"saddle_nose", OnSaddle, Centre, SaddleNose, r3.Vec{X: -60, Z: 694}},
	SaddleRear:      {"saddle_rear", OnSaddle, Centre, SaddleRear, r3.Vec{X: -330, Z: 709}},
	BarClamp:        {"bar_clamp", OnHandlebar, Centre, BarClamp, r3.Vec{X: 460, Z: 620}},
	TopsLeft:        {"tops_left", OnHandlebar, Left, TopsRight, r3.Vec{X: 460, Y: 100, Z: 620}},
	TopsRight:       {"tops_right", OnHandlebar, Right, TopsLeft, r3.Vec{X: 460, Y: -100, Z: 620}},
	HoodsLeft:       {"hoods_left", OnHandlebar, Left, HoodsRight, r3.Vec{X: 570, Y: 210, Z: 640}},
	HoodsRight:      {"hoods_right", OnHandlebar, Right, HoodsLeft, r3.Vec{X: 570, Y: -210, Z: 640}},
	DropsLeft:       {"drops_left", OnHandlebar, Left, DropsRight, r3.Vec{X: 490, Y: 215, Z: 500}},
	DropsRight:      {"drops_right", OnHandlebar, Right, DropsLeft, r3.Vec{X: 490, Y: -215, Z: 500}},
	GripLeft:        {"grip_left", OnHandlebar, Left, GripRight, r3.Vec{X: 460, Y: 350, Z: 640}},
	GripRight:       {"grip_right", OnHandlebar, Right, GripLeft, r3.Vec{X: 460, Y: -350, Z: 640}},
	PadLeft:         {"pad_left", OnAeroBar, Left, PadRight, r3.Vec{X: 380, Y: 90, Z: 680}},
	PadRight:        {"pad_right", OnAeroBar, Right, PadLeft, r3.Vec{X: 380, Y: -90, Z: 680}},
	ExtensionLeft:   {"extension_left", OnAeroBar, Left, ExtensionRight, r3.Vec{X: 700, Y: 50, Z: 700}},
	ExtensionRight:  {"extension_right", OnAeroBar, Right, ExtensionLeft, r3.Vec{X: 700, Y: -50, Z: 700}},
	PedalLeft:       {"pedal_left", OnPedals, Left, PedalRight, r3.Vec{X: 172, Y: 74}},
	PedalRight:      {"pedal_right", OnPedals, Right, PedalLeft, r3.Vec{X: 172, Y: -74}},
	FootLeft:        {"foot_left", OnFeet, Left, FootRight, r3.Vec{X: 172, Y: 120, Z: 20}},
	FootRight:       {"foot_right", OnFeet, Right, FootLeft, r3.Vec{X: 172, Y: -120, Z: 20}},
}

var siteNames = func() *enum.Names[Site] {
	names := make([]string, SiteCount)
	for i, s := range sites {
		names[i] = s.name
	}
	return enum.New[Site]("site", names)
}()

// Sites returns every site, in the order of their constants.
func Sites() []Site { return siteNames.All() }

// String returns the site's name as files and errors write it, such as "hoods_left".
func (s Site) String() string { return siteNames.String(s) }

// MarshalText writes the site's name. An unknown number gives an [*Error] of class
// [ErrUnknown].
func (s Site) MarshalText() ([]byte, error) { return siteNames.Text(s) }

// UnmarshalText reads a name as [ParseSite] does.
func (s *Site) UnmarshalText(text []byte) error { return siteNames.Read(s, text) }

// ParseSite returns the site of that name, as [Site.String] writes it, or an
// [*Error] of class [ErrUnknown].
func ParseSite(name string) (Site, error) { return siteNames.Parse(name) }

// Valid reports whether s is a site of this package.
func (s Site) Valid() bool { return s != 0 && int(s) < SiteCount }

// Group returns the part of the bike that the site belongs to; 0 for an unknown number.
func (s Site) Group() Group {
	if !s.Valid() {
		return 0
	}
	return sites[s].group
}

// Side returns the side of the bike that the site belongs to: [Left], [Right],
// or [Centre] for the sites of saddle and clamp.
func (s Site) Side() Side {
	if !s.Valid() {
		return Centre
	}
	return sites[s].side
}

// On returns the site of the same kind on the given side: HoodsLeft.On(Right) and
// HoodsRight.On(Right) are HoodsRight. A site on the mid-plane, and any site asked for
// [Centre], is returned as it is.
func (s Site) On(side Side) Site {
	if side == Centre || !s.Valid() || sites[s].side == side {
		return s
	}
	return sites[s].mate
}

// Both returns the left and the right site of the same kind; for a site on the mid-plane,
// that site twice.
func (s Site) Both() [2]Site { return [2]Site{s.On(Left), s.On(Right)} }

// Usual returns a typical place of the site, in mm, for a solver to start from; the zero
// vector for an unknown number. Common practice, no source; good to about 100 mm.
func (s Site) Usual() r3.Vec {
	if !s.Valid() {
		return r3.Vec{}
	}
	return sites[s].usual
}

// Range returns the limits of the site's coordinates, in mm: [Position.Validate] refuses
// a point beyond them. Both are zero for an unknown number.
func (s Site) Range() (lo, hi r3.Vec) {
	g := groups[s.Group()]
	if s == SaddleReference {
		g.hi.X = 100 // beyond, a setback was taken for a coordinate
	}
	return g.lo, g.hi
}

// A Side is the left or right of the bike as the rider sees it, or its middle.
type Side uint8

// The sides. The zero Side is [Centre].
const (
	Centre Side = iota
	Left
	Right
)

var sideNames = enum.New[Side]("side", []string{"centre", "left", "right"})

// String returns "centre", "left" or "right".
func (s Side) String() string { return sideNames.String(s) }

// MarshalText writes the side's name; it fails for an unknown number.
func (s Side) MarshalText() ([]byte, error) { return sideNames.Text(s) }

// UnmarshalText reads a name as [ParseSide] does.
func (s *Side) UnmarshalText(text []byte) error { return sideNames.Read(s, text) }

// ParseSide returns the side of that name, or an [*Error] of class [ErrUnknown].
func ParseSide(name string) (Side, error) { return sideNames.Parse(name) }

// Valid reports whether s is one of the three sides.
func (s Side) Valid() bool { return sideNames.Valid(s) }
