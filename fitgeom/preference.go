package fitgeom

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
)

// A Usual is the usual range of something on a bike. A build is the better the nearer to the
// middle it is, counted in whole steps. The zero Usual does not count.
type Usual struct {
	// From and To are the ends of the range, in the unit of what it is of.
	From float64 `json:"from" range:"-1000 to 1000"`
	To   float64 `json:"to" range:"-1000 to 1000" atleast:"From"`
	// Step is the least difference that counts, such as 10 mm of a stem.
	Step float64 `json:"step" range:"0.1 to 1000"`
}

// Steps returns how many whole steps a value is from the middle of the range, the nearest
// number of them and at most 10,000; 0 for the zero Usual.
func (u Usual) Steps(v float64) int {
	if u.Step == 0 {
		return 0
	}
	off := math.Round(math.Abs(v-(u.From+u.To)/2)*1e6) / 1e6 // so that rounding decides nothing
	n := math.Round(off / u.Step)
	if !(n <= 10_000) {
		return 10_000
	}
	return int(n)
}

// A Preference is what is usual on a kind of bike. A build costs one point for each step from
// the middle of a usual range, and those stated for what is done only where it must be. Of
// builds that are as good otherwise the one with fewer points comes first. The zero Preference
// stands for [DefaultPreference].
type Preference struct {
	// Nothing says that nothing is usual, and no build costs a point. The other fields do not
	// matter then.
	Nothing bool `json:"nothing,omitzero"`
	// StemLength is in mm, StemAngle as the stem is mounted, in degrees.
	StemLength Usual `json:"stem_length_mm,omitzero" zero:"does not count"`
	StemAngle  Usual `json:"stem_angle_deg,omitzero" zero:"does not count"`
	// Spacers is under the stem, in mm.
	Spacers Usual `json:"spacers_mm,omitzero" zero:"does not count"`
	// Rotation is that of the handlebar, in degrees.
	Rotation Usual `json:"bar_rotation_deg,omitzero" zero:"does not count"`
	// Setback is the seatpost's, in mm.
	Setback Usual `json:"setback_mm,omitzero" zero:"does not count"`
	// Rails is how far behind their middle the rails are clamped, in mm: a larger value has
	// the saddle further forward.
	Rails Usual `json:"rails_mm,omitzero" zero:"does not count"`
	// Flipped is the points of a stem mounted upside down, and Shim those of each shim of
	// handlebar and seatpost.
	Flipped int `json:"flipped" range:"0 to 100" unit:"points"`
	Shim    int `json:"shim" range:"0 to 100" unit:"points"`
}

var preferenceFields = field.New[Preference]()

// Validate reports numbers that are out of range.
func (p Preference) Validate() error {
	var f fault.List
	preferenceFields.Check(&f, &p)
	return f.Err()
}

// DefaultPreference returns what is usual on the kind of bike that a position is of: on one
// with aero bars if pads or extensions are kept, with a flat bar if grips are, and else with a
// drop bar. Common practice, no source:
//
//	                drop bar     flat bar     aero bar
//	stem length     80 to 120    50 to 90     70 to 110   steps of 10 mm
//	stem angle      -12 to 0     -12 to 12    -17 to 5    steps of 6 degrees
//	spacers         0 to 30      0 to 30      0 to 30     steps of 5 mm
//	bar rotation    -4 to 4      -4 to 4      -4 to 4     steps of 2 degrees
//	setback         0 to 20      0 to 20      -10 to 10   steps of 10 mm
//	rails           -15 to 15    -15 to 15    -15 to 15   steps of 5 mm
//
// A stem upside down and each shim cost a point more.
func DefaultPreference(keep []Keep) Preference {
	p := Preference{
		StemLength: Usual{80, 120, 10}, StemAngle: Usual{-12, 0, 6}, Spacers: Usual{0, 30, 5}, Rotation: Usual{-4, 4, 2},
		Setback: Usual{0, 20, 10}, Rails: Usual{-15, 15, 5}, Flipped: 1, Shim: 1,
	}
	aero, flat := false, false
	for _, k := range keep {
		aero = aero || k.Site.Group() == contact.OnAeroBar
		flat = flat || k.Site.On(contact.Left) == contact.GripLeft
	}
	switch {
	case aero:
		p.StemLength, p.StemAngle, p.Setback = Usual{70, 110, 10}, Usual{-17, 5, 6}, Usual{-10, 10, 10}
	case flat:
		p.StemLength, p.StemAngle = Usual{50, 90, 10}, Usual{-12, 12, 6}
	}
	return p
}

// StemPoints returns the points of a stem with the spacers under it, which those of quill stems
// never have, without the handlebar's rotation. Angle is that of an adjustable stem; of others
// it does not matter.
func (p *Preference) StemPoints(s *part.Stem, angle, spacers float64, flipped bool) int {
	if s.Angles == (part.Steps{}) {
		angle = s.Angle
	}
	n := p.StemLength.Steps(s.Length)
	if s.Quill == (part.Steps{}) {
		n += p.Spacers.Steps(spacers)
	}
	if flipped {
		n += p.Flipped
		angle = -angle
	}
	return n + p.StemAngle.Steps(angle)
}

// SeatPoints returns the points of a seatpost and of a saddle on it, whose rails may be
// clamped between two ends and are clamped at a place.
func (p *Preference) SeatPoints(post *part.Seatpost, from, to, clamp float64) int {
	return p.Setback.Steps(post.Setback) + p.Rails.Steps(clamp-(from+to)/2)
}

// Of returns the points of a build. They tell nothing of a build that is not sound
// ([Build.Validate]).
func (p Preference) Of(b Build) int {
	if p.Nothing {
		return 0
	}
	s := &b.Settings
	n := p.StemPoints(b.stem(), s.StemAngle, s.Spacers, s.Flipped) + p.Rotation.Steps(s.BarRotation)
	from, to := b.Saddle.Rails(b.Seatpost)
	n += p.SeatPoints(&b.Seatpost, from, to, s.RailClamp)
	for _, shim := range [...]part.Shim{b.BarShim, b.SeatpostShim} {
		if shim != (part.Shim{}) {
			n += p.Shim
		}
	}
	return n
}

// A RoomWish is how far something shall be able to move after the bike is built, each way by
// itself, with the build's own parts and the spacers of the shelf. Every whole mm up to that
// shall be held.
type RoomWish struct {
	// Group is what moves: the saddle ([contact.OnSaddle]), the hands with all that is on the
	// bar ([contact.OnHandlebar]), or pads and extensions alone ([contact.OnAeroBar]).
	Group contact.Group `json:"group"`
	// Up, Down, Forward and Back are how far, in mm.
	Up      int `json:"up_mm" range:"0 to 30" unit:"mm"`
	Down    int `json:"down_mm" range:"0 to 30" unit:"mm"`
	Forward int `json:"forward_mm" range:"0 to 30" unit:"mm"`
	Back    int `json:"back_mm" range:"0 to 30" unit:"mm"`
	// Gap is how far beyond its tolerance a coordinate may be on the way, where spacers or
	// other steps leave some, in mm.
	Gap float64 `json:"gap_mm" range:"0 to 10"`
}

var roomWishFields = field.New[RoomWish]()

// Validate reports numbers that are out of range, and a group that does not move.
func (r RoomWish) Validate() error {
	var f fault.List
	roomWishFields.Check(&f, &r)
	if r.Group != contact.OnSaddle && !r.Group.FrontEnd() {
		f.Add("group", r.Group.String(), "saddle, handlebar or aero_bar", contact.ErrConflict)
	}
	return f.Err()
}

// DefaultRoom returns the room that is wanted unless a problem states otherwise: of the hands
// 10 mm up and down, and of the saddle 10 mm each way, with gaps of 1 mm. How far the hands
// can go forward and back is a matter of the stem. Common practice, no source.
func DefaultRoom() []RoomWish {
	return []RoomWish{
		{Group: contact.OnHandlebar, Up: 10, Down: 10, Forward: 0, Back: 0, Gap: 1},
		{Group: contact.OnSaddle, Up: 10, Down: 10, Forward: 10, Back: 10, Gap: 1},
	}
}

// RoomStep and RoomMost are how the least room of a build counts, in mm: in whole steps up to
// the most.
const (
	RoomStep = 5
	RoomMost = 30
)

// A Merit is what builds that hold a position are sorted by, before how close they come.
type Merit struct {
	// Shortfall is by how much the room of the build is less than wanted, in whole mm: the
	// worst of all ways of the hands and that of the saddle, added. ShortfallSum is the sum of
	// all ways. These and Room are 0 for a build that does not hold.
	Shortfall    int `json:"shortfall_mm" range:"0 to 200" unit:"mm"`
	ShortfallSum int `json:"shortfall_sum_mm" range:"0 to 1000" unit:"mm"`
	// Preference is the points of the build ([Preference.Of]).
	Preference int `json:"preference" range:"0 to 1000000" unit:"points"`
	// Room is the least room of the build, of the ways that are wanted: that of the hands and
	// that of the saddle added, each in whole steps of 5 mm up to 30.
	Room int `json:"room_mm" range:"0 to 200" unit:"mm"`
}
