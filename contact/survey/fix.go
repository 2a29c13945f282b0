package survey

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Fix is the result of a survey: where everything is, and how well that is known.
type Fix struct {
	// Position is the contact points in the axes of package contact, as they
	// are with the front wheel straight. The saddle's tilt and yaw are known if
	// both nose and rear were read; its roll, if both edges were read too, and
	// else 0.
	Position contact.Position
	// Covariance is that of all of Position's numbers.
	Covariance contact.Covariance
	// Steer is how far the front wheel was turned, in degrees, positive to the
	// left, and SteerSigma its standard uncertainty.
	Steer, SteerSigma float64
	// Findings is what a person should know about the readings.
	Findings []Finding
	// Residuals is how far each landmark that has a partner is from mirroring it.
	Residuals []Residual

	standing    Standing
	hasStanding bool
	datum       *datum
	marks       []mark
	rows        []row // of the coordinates, in the order of the covariance
}

// A Residual is how far a landmark is from the mirror of its partner, with the
// wheel straight; the partner's is the mirror of that. In a [Registration] it is how
// far a landmark is from where the other survey has it.
type Residual struct {
	Landmark Landmark
	// Off is how far, and Sigma its standard uncertainty, mm, in the bike's axes
	// (in a [Registration], those of the survey that was carried onto). What is
	// left at pairs of the frame is measuring error and how true the frame is.
	Off, Sigma r3.Vec
}

// A Standing is how a surveyed bike stood against gravity.
type Standing struct {
	// Lean is the bike's lean in degrees, positive to the right, and LeanSigma
	// its standard uncertainty.
	Lean, LeanSigma float64
	// NoseUp is the slope of the ground under both tyres in degrees, positive
	// when the front stands higher, and NoseUpSigma its standard uncertainty.
	NoseUp, NoseUpSigma float64
	// RaiseFront is by how much the front wheel must be raised to stand level,
	// in mm; negative: lower it, or raise the rear wheel.
	RaiseFront float64
}

// Standing returns how the bike stood; false if the survey did not say which way is up.
func (f Fix) Standing() (Standing, bool) { return f.standing, f.hasStanding }

type mark struct {
	landmark  Landmark
	at, sigma r3.Vec
}

// Mark returns where a mark of your own or a landmark of the frame is, in the
// axes of package contact, with the standard uncertainty of its coordinates, mm;
// false if it was not read. Contact sites are in Position.
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
// Besides the faults of [Survey.Validate] it reports [contact.ErrConflict] for
// readings of a landmark that disagree where none can be set aside, for
// landmarks of the frame that do not fit together, for left and right swapped (one pair, or
// all, which looks the same as left-handed axes of the instrument) and for landmarks
// that coincide or cannot be a bicycle's; [contact.ErrUnit] where another unit
// explains that; [contact.ErrRange] for readings that are too uncertain for a datum; and
// whatever contact.Position.Validate finds in the result.
func (s Survey) Solve() (Fix, error) {
	if err := s.Validate(); err != nil {
		return Fix{}, err
	}
	var f fault.List
	p, findings := gather(s.Readings, s.Unit, s.covariance(), &f)
	if err := f.Err(); err != nil {
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
	fix.mirrored(&p)
	if s.Up != (r3.Vec{}) {
		fix.stand(&s)
	}
	return fix, nil
}

// Locate places more readings of the same bike, by the same instrument, with the
// datum of f. Neither bike nor instrument must have moved since, and the front
// wheel must not have been turned. The datum's errors are then the same in both,
// and [Compare] takes that into account. Landmarks of the frame need not be read
// again; those that are do not change the datum.
//
// Faults are as of [Survey.Solve], and [contact.ErrMissing] for a fix that no survey made.
func (f Fix) Locate(readings []Reading) (Fix, error) {
	var faults fault.List
	d := f.datum
	if d == nil {
		faults.Add("fix", "", "one that came from Survey.Solve", contact.ErrMissing)
		return Fix{}, faults.Err()
	}
	validateReadings(&faults, readings, d.unit)
	if err := faults.Err(); err != nil {
		return Fix{}, err
	}
	p, findings := gather(readings, d.unit, d.instrument, &faults)
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
