package contact

import "strconv"

// A Site is one place where the rider meets the bike, or that people measure to.
//
// The zero Site is [SaddleReference].
type Site uint8

// The sites of a bike. Each is a point in the axes of this package, in mm.
const (
	// SaddleReference is the middle of the saddle's top surface at the station
	// where the saddle is 80 mm wide (common practice, no source). It is the
	// only point that compares saddles of different length. Its [Attitude] is
	// the saddle's: Tilt is the slope of the line from the rear edge to the
	// nose, seen from the side.
	SaddleReference Site = iota
	// SaddleNose is the saddle's foremost point. It says little about where
	// the rider sits unless the saddle stays the same.
	SaddleNose
	// SaddleRear is the saddle's rearmost point.
	SaddleRear
	// BarClamp is the centre of the bar where the stem holds it. It is not
	// touched, but it is what people measure to.
	BarClamp
	// TopsLeft and TopsRight are the centre of the bar's tube under the hand,
	// on the straight part of a drop bar.
	TopsLeft
	TopsRight
	// HoodsLeft and HoodsRight are where the web of the thumb rests on the
	// lever's hood, behind its raised end.
	HoodsLeft
	HoodsRight
	// DropsLeft and DropsRight are the centre of the bar's tube under the
	// hand, in the lower part of a drop bar.
	DropsLeft
	DropsRight
	// GripLeft and GripRight are the centre of the grip of a flat bar or of a
	// base bar (under an aero bar), half-way along the grip.
	GripLeft
	GripRight
	// PadLeft and PadRight are the middle of the upper surface of a forearm pad.
	PadLeft
	PadRight
	// ExtensionLeft and ExtensionRight are the foremost point of an aero extension.
	ExtensionLeft
	ExtensionRight
	// PedalLeft and PedalRight are the centre of the pedal's thread at the
	// crank's outer face, with that crank level and pointing forward: X is the
	// crank length, Y half of the Q factor (negative on the right), Z is 0.
	PedalLeft
	PedalRight
	// FootLeft and FootRight are the sole of the shoe above the pedal's spindle,
	// in the middle of the foot's width, with that crank level and pointing
	// forward: X is the crank length, Y half of the stance (negative on the
	// right), Z the height of the sole above the centre of the spindle.
	FootLeft
	FootRight

	siteCount = int(FootRight) + 1
)

var siteNames = [siteCount]string{
	SaddleReference: "saddle_reference",
	SaddleNose:      "saddle_nose",
	SaddleRear:      "saddle_rear",
	BarClamp:        "bar_clamp",
	TopsLeft:        "tops_left",
	TopsRight:       "tops_right",
	HoodsLeft:       "hoods_left",
	HoodsRight:      "hoods_right",
	DropsLeft:       "drops_left",
	DropsRight:      "drops_right",
	GripLeft:        "grip_left",
	GripRight:       "grip_right",
	PadLeft:         "pad_left",
	PadRight:        "pad_right",
	ExtensionLeft:   "extension_left",
	ExtensionRight:  "extension_right",
	PedalLeft:       "pedal_left",
	PedalRight:      "pedal_right",
	FootLeft:        "foot_left",
	FootRight:       "foot_right",
}

// Sites returns every site, in the order of their constants.
func Sites() []Site {
	all := make([]Site, siteCount)
	for i := range all {
		all[i] = Site(i)
	}
	return all
}

// String returns the site's name as files and errors write it, such as "hoods_left".
func (s Site) String() string {
	if !s.valid() {
		return "site?"
	}
	return siteNames[s]
}

// ParseSite returns the site of that name, as [Site.String] writes it, or an
// [*Error] of class [ErrUnknown].
func ParseSite(name string) (Site, error) {
	for i, n := range siteNames {
		if n == name {
			return Site(i), nil
		}
	}
	return 0, &Error{Path: "site", Value: strconv.Quote(name), Want: "a name such as saddle_reference or hoods_left", Class: ErrUnknown}
}

// Side returns the side of the bike that the site belongs to: [Left], [Right],
// or [Centre] for the sites of saddle and clamp.
func (s Site) Side() Side {
	switch {
	case s < TopsLeft || !s.valid():
		return Centre
	case (s-TopsLeft)%2 == 0:
		return Left
	default:
		return Right
	}
}

// On returns the site of the same kind on the other side if the site is not on
// that side already: HoodsLeft.On(Right) is HoodsRight. A site on the mid-plane,
// and any site asked for [Centre], is returned as it is.
func (s Site) On(side Side) Site {
	switch {
	case s.Side() == Left && side == Right:
		return s + 1
	case s.Side() == Right && side == Left:
		return s - 1
	default:
		return s
	}
}

// MarshalText writes the site's name. A number that is no site gives an [*Error] of class [ErrUnknown].
func (s Site) MarshalText() ([]byte, error) {
	if !s.valid() {
		return nil, errUnknownSite
	}
	return []byte(siteNames[s]), nil
}

// UnmarshalText reads a name as [ParseSite] does.
func (s *Site) UnmarshalText(text []byte) error {
	site, err := ParseSite(string(text))
	if err != nil {
		return err
	}
	*s = site
	return nil
}

func (s Site) valid() bool { return int(s) < siteCount }

// A Side is the left or right of the bike as the rider sees it, or its middle.
type Side uint8

// The sides. The zero Side is [Centre].
const (
	Centre Side = iota
	Left
	Right
)

// String returns "centre", "left" or "right".
func (s Side) String() string {
	switch s {
	case Centre:
		return "centre"
	case Left:
		return "left"
	case Right:
		return "right"
	default:
		return "side?"
	}
}
