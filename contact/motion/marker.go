package motion

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
)

// A Marker says where on rider or bike a marker is. The zero Marker is not valid.
type Marker uint8

// The markers. A right one follows its left one.
const (
	// PedalLeft and PedalRight are at the outer end of the pedal spindle.
	PedalLeft Marker = iota + 1
	PedalRight
	// ToeLeft and ToeRight are on the shoe at the ball of the foot, HeelLeft and HeelRight
	// at the heel, all at the same height above the sole.
	ToeLeft
	ToeRight
	HeelLeft
	HeelRight
	// AnkleLeft, KneeLeft, HipLeft, ShoulderLeft, ElbowLeft and WristLeft, and those of the
	// right, are on the outside of the joints.
	AnkleLeft
	AnkleRight
	KneeLeft
	KneeRight
	HipLeft
	HipRight
	ShoulderLeft
	ShoulderRight
	ElbowLeft
	ElbowRight
	WristLeft
	WristRight
	// AnkleInnerLeft and KneeInnerLeft, and those of the right, are on the inside of the
	// joints. Angles in three planes need them.
	AnkleInnerLeft
	AnkleInnerRight
	KneeInnerLeft
	KneeInnerRight
	// ASISLeft and ASISRight are on the front of the pelvis, over the anterior superior
	// iliac spines.
	ASISLeft
	ASISRight
	// PSISLeft and PSISRight are on its rear, over the posterior superior iliac spines.
	PSISLeft
	PSISRight
	// Sacrum is between the latter, or anywhere on the pelvis if it is the only marker there.
	Sacrum
	// Neck is over the seventh cervical vertebra.
	Neck
	// Bike1 to Bike4 are anywhere on the frame.
	Bike1
	Bike2
	Bike3
	Bike4

	markerCount = int(Bike4) + 1
)

var markerNames = enum.New[Marker]("marker", []string{
	PedalLeft: "pedal_left", PedalRight: "pedal_right", ToeLeft: "toe_left", ToeRight: "toe_right", HeelLeft: "heel_left", HeelRight: "heel_right",
	AnkleLeft: "ankle_left", AnkleRight: "ankle_right", KneeLeft: "knee_left", KneeRight: "knee_right", HipLeft: "hip_left", HipRight: "hip_right",
	ShoulderLeft: "shoulder_left", ShoulderRight: "shoulder_right", ElbowLeft: "elbow_left", ElbowRight: "elbow_right",
	WristLeft: "wrist_left", WristRight: "wrist_right", AnkleInnerLeft: "ankle_inner_left", AnkleInnerRight: "ankle_inner_right",
	KneeInnerLeft: "knee_inner_left", KneeInnerRight: "knee_inner_right",
	ASISLeft: "asis_left", ASISRight: "asis_right", PSISLeft: "psis_left", PSISRight: "psis_right", Sacrum: "sacrum", Neck: "neck",
	Bike1: "bike_1", Bike2: "bike_2", Bike3: "bike_3", Bike4: "bike_4",
})

// String returns the marker's name, such as "knee_left".
func (m Marker) String() string { return markerNames.String(m) }

// MarshalText writes the marker's name; it fails for an unknown number.
func (m Marker) MarshalText() ([]byte, error) { return markerNames.Text(m) }

// UnmarshalText reads a name as [ParseMarker] does.
func (m *Marker) UnmarshalText(text []byte) error { return markerNames.Read(m, text) }

// ParseMarker returns the marker of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseMarker(name string) (Marker, error) { return markerNames.Parse(name) }

// Markers returns all markers, in the order of their numbers.
func Markers() []Marker { return markerNames.All() }

// On returns the marker of the other name on that side, such as KneeRight for KneeLeft
// and [contact.Right]; a marker without a side is itself.
func (m Marker) On(s contact.Side) Marker {
	if m == 0 || m >= Sacrum || s != contact.Left && s != contact.Right {
		return m
	}
	left := (m-1)&^1 + 1
	if s == contact.Right {
		return left + 1
	}
	return left
}

// Side returns the side that a marker is on; Centre for one without.
func (m Marker) Side() contact.Side {
	switch {
	case m == 0 || m >= Sacrum:
		return contact.Centre
	case m%2 == 1:
		return contact.Left
	}
	return contact.Right
}

// A link is two markers whose distance hardly changes, whatever the rider does.
type link struct{ a, b Marker }

// links is all of them: of a side with that of the other, and of the pelvis and the bike.
var links = makeLinks()

func makeLinks() (all []link) {
	all = append(all, link{centre, PedalLeft}, link{centre, PedalRight})
	for _, l := range []link{
		{HipLeft, KneeLeft},
		{KneeLeft, AnkleLeft},
		{AnkleLeft, ToeLeft},
		{AnkleLeft, HeelLeft},
		{ToeLeft, HeelLeft},
		{PedalLeft, ToeLeft},
		{PedalLeft, HeelLeft},
		{PedalLeft, AnkleLeft},
		{HipLeft, ShoulderLeft},
		{ShoulderLeft, ElbowLeft},
		{ElbowLeft, WristLeft},
		{HipLeft, ASISLeft},
		{HipLeft, PSISLeft},
		{HipLeft, Sacrum},
		{ShoulderLeft, Neck},
		{ASISLeft, PSISLeft},
		{ASISLeft, PSISRight},
		{ASISLeft, Sacrum},
		{PSISLeft, Sacrum},
		{KneeLeft, KneeInnerLeft},
		{AnkleLeft, AnkleInnerLeft},
		{KneeInnerLeft, AnkleInnerLeft},
		{AnkleInnerLeft, ToeLeft},
		{AnkleInnerLeft, HeelLeft},
		{HipLeft, KneeInnerLeft},
		{KneeInnerLeft, AnkleLeft},
	} {
		other := link{l.a.On(contact.Right), l.b.On(contact.Right)}
		if l.b == PSISRight {
			other.b = PSISLeft
		}
		all = append(all, l, other)
	}
	for _, m := range []Marker{HipLeft, ShoulderLeft, ASISLeft, PSISLeft} {
		all = append(all, link{m, m.On(contact.Right)})
	}
	for a := Bike1; a < Bike4; a++ {
		for b := a + 1; b <= Bike4; b++ {
			all = append(all, link{a, b})
		}
	}
	return all
}
