package survey

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Fix is the result of a survey: the positions of all landmarks, with their
// uncertainty.
type Fix struct {
	// Position is the contact points in the axes of package contact, as they are with the
	// front wheel straight. The saddle's tilt is that of its top, front and rear, if both
	// were read. If not, it is that of the line through nose and rear, less what the
	// survey's SaddleProfile says of them, or ± 6 mm for each. Its yaw is that of this line.
	// Its roll is known if both edges were read too, and is 0 otherwise. Sites of the front end
	// have directions where [Ahead] and [Outer] were read, and feet are known where these were.
	// They are as they are with the crank pointing forward and the sole level lengthwise.
	Position contact.Position
	// Ranges is where each coordinate lies with a probability of 95 %: what to use of one
	// coordinate by itself. Those of a tape survey are of all that the readings tell, also
	// of sites that are not in Position since another coordinate is free.
	Ranges contact.Ranges
	// Covariance is the covariance of all numbers of Position, to first order: what to use
	// of several together.
	Covariance contact.Covariance
	// Free lists what the readings of a tape survey leave undetermined. Surveys of points
	// leave nothing.
	Free []Freedom
	// Others lists other positions that fit the readings of a tape survey equally well, or
	// about as well and more than 100 mm away, since distances may not determine on which
	// side of a line a place lies. Up to 100 mm away, Ranges reach as far as that.
	Others []contact.Position
	// Suspects lists every reading of a tape survey that could be the wrong one where
	// readings contradict one another, with every usual slip that explains it, as sheets
	// have them (convert.Solution). A coordinate that would move without one of them has no
	// range and no covariance.
	Suspects []contact.Suspect
	// Steer is the angle by which the front wheel was turned, in degrees, positive to the
	// left. SteerSigma is its standard uncertainty, in degrees.
	Steer, SteerSigma float64
	// Findings holds what a person should know about the readings.
	Findings []Finding
	// Residuals holds, for each landmark that has a partner, its distance from the
	// partner's mirror image.
	Residuals []Residual

	standing    Standing
	hasStanding bool
	datum       *datum
	side        *sideSource // of a survey; nil after Locate
	taped       *tapeSide   // of a tape survey
	marks       []mark
	droop       float64 // how much nose and rear may differ from the saddle's top, if they give the tilt, degrees; 0 once the reference was carried by it
	rows        []row   // of the coordinates, in the order of the covariance
}

// A Residual is the offset of a landmark from the mirror image of its partner, with the
// wheel straight. The partner's Off has the same Y and the opposite X and Z. In a
// [Registration] it is the offset of a landmark from its place in the other survey.
type Residual struct {
	Landmark Landmark `json:"landmark"`
	// Off is the offset and Sigma its standard uncertainty, mm, in the bike's axes (in a
	// [Registration], in the axes of the survey that was carried onto). For pairs of the
	// frame, Off contains measuring error and the asymmetry of the frame.
	Off   r3.Vec `json:"off_mm"`
	Sigma r3.Vec `json:"sigma_mm" range:"0 to 1e9"`
}

// A Standing describes how a surveyed bike stood relative to gravity.
type Standing struct {
	// Lean is the bike's lean in degrees, positive to the right. LeanSigma is its
	// standard uncertainty, in degrees.
	Lean      float64 `json:"lean_deg" range:"-180 to 180"`
	LeanSigma float64 `json:"lean_sigma_deg" range:"0 to 1e9"`
	// NoseUp is the slope of the ground under both tyres in degrees, positive when the
	// front stands higher. NoseUpSigma is its standard uncertainty, in degrees.
	NoseUp      float64 `json:"nose_up_deg" range:"-90 to 90"`
	NoseUpSigma float64 `json:"nose_up_sigma_deg" range:"0 to 1e9"`
	// RaiseFront and RaiseRear are the heights in mm by which to raise the front or the
	// rear wheel so that the bike stands level. One of them is 0.
	RaiseFront float64 `json:"raise_front_mm" range:"0 to 1e9"`
	RaiseRear  float64 `json:"raise_rear_mm" range:"0 to 1e9"`
}

// String returns how the bike stood and which wheel to raise, in a short sentence.
func (s Standing) String() string {
	side, nose := "right", "down"
	if s.Lean < 0 {
		side = "left"
	}
	if s.NoseUp > 0 {
		nose = "up"
	}
	raise := "raise neither wheel"
	switch front, rear := math.Round(s.RaiseFront), math.Round(s.RaiseRear); {
	case front > 0:
		raise = fmt.Sprintf("raise the front wheel by %.0f mm", front)
	case rear > 0:
		raise = fmt.Sprintf("raise the rear wheel by %.0f mm", rear)
	}
	return fmt.Sprintf("leaned %.1f degrees to the %s, stood %.1f degrees nose-%s: %s", math.Abs(s.Lean), side, math.Abs(s.NoseUp), nose, raise)
}

// Standing returns how the bike stood. It returns false if the survey did not state the
// upward direction.
func (f Fix) Standing() (Standing, bool) { return f.standing, f.hasStanding }

type mark struct {
	landmark  Landmark
	at, sigma r3.Vec
}

// Mark returns the place of one of your own marks or of a landmark of the frame, in the
// axes of package contact, and the standard uncertainty of its coordinates, mm. It
// returns false if the landmark was not read, or stands on a contradiction of a tape survey.
// Contact sites are in Position.
func (f Fix) Mark(l Landmark) (at, sigma r3.Vec, ok bool) {
	for _, m := range f.marks {
		if m.landmark == l {
			return m.at, m.sigma, true
		}
	}
	return r3.Vec{}, r3.Vec{}, false
}

// Solve finds the datum and gives every landmark in the axes of package contact.
//
// Besides the faults of [Survey.Validate] it reports:
//
//   - [contact.ErrUnit] where all distances are those of a bicycle in another unit;
//   - [contact.ErrConflict] for what is wrong with all readings together, before any
//     reading is blamed: left-handed axes of the instrument or left and right exchanged in
//     all labels, which look the same; left and right exchanged in one pair (the edges of
//     the saddle too); front and rear, ends of the head tube or of the saddle exchanged; up
//     reversed;
//   - [contact.ErrConflict] for readings of a landmark that disagree where none can be
//     set aside, for pairs of the frame that contradict one another where it does not
//     show which one is wrong (each is named), and for landmarks that coincide or cannot
//     be those of a bicycle;
//   - [contact.ErrRange] for readings that are too uncertain for a datum;
//   - whatever contact.Position.Validate finds in the result.
func (s Survey) Solve() (Fix, error) {
	if err := s.Validate(); err != nil {
		return Fix{}, s.inOtherUnit(err)
	}
	p, findings, err := gather(s.Readings, s.Unit, s.covariance())
	if err := exchanged(&s, p, err); err != nil {
		return Fix{}, err
	}
	d, more, err := newDatum(&s, &p)
	if err != nil {
		return Fix{}, err
	}
	fix, err := d.locate(&p, true)
	if err != nil {
		return Fix{}, err
	}
	fix.Findings = append(findings, more...)
	fix.side = &sideSource{points: p, front: s.FrontRadius, rear: s.RearRadius, sigma: s.RadiusSigma}
	fix.mirrored(&p)
	if s.Up != (r3.Vec{}) {
		fix.stand(&s)
	}
	return fix, nil
}

// Locate places more readings of the same bike, by the same instrument, with the datum of
// f. Neither the bike nor the instrument may have moved since, and the front wheel may
// not have been turned. The datum's errors are then the same in both fixes, and [Compare]
// takes that into account. Landmarks of the frame need not be read again; reading them
// again does not change the datum.
//
// Faults are those of [Survey.Solve], and [contact.ErrMissing] for a fix that does not
// come from [Survey.Solve].
func (f Fix) Locate(readings []Reading) (Fix, error) {
	var faults fault.List
	d := f.datum
	if d == nil || d.joint != nil {
		faults.Add("fix", "", "one that came from Survey.Solve", contact.ErrMissing)
		return Fix{}, faults.Err()
	}
	validateReadings(nil, &faults, readings, d.unit)
	if err := faults.Err(); err != nil {
		return Fix{}, err
	}
	p, findings, err := gather(readings, d.unit, d.instrument)
	r := d.rough(&p)
	_, wrong := r.sided()
	swapped(wrong, &faults)
	r.ends(&faults)
	faults.In("", err)
	if err := faults.Err(); err != nil {
		return Fix{}, err
	}
	fix, err := d.locate(&p, false)
	if err != nil {
		return Fix{}, err
	}
	fix.Findings = findings
	return fix, nil
}
