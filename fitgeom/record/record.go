package record

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// A Record is a position as it was on a day: how well it is known, on which bike, how it was
// measured, and what the rider said. Only the position is required; whatever else is zero is
// not stated.
type Record struct {
	// Date is the day of the measurement.
	Date rules.Date `json:"date,omitzero"`
	// Fix is the position with its uncertainty and what was found: a survey's, or one put
	// together of a position and a covariance that come from elsewhere.
	Fix survey.Fix `json:"fix" validate:"own"`
	// ReferenceWidth is how wide the saddle is at the saddle reference of Fix.Position. A
	// survey's fix has it where the saddle is 80 mm wide, wherever it was read.
	ReferenceWidth float64 `json:"reference_width_mm,omitzero" range:"40 to 140" zero:"80 mm"`
	// Profile is the shape of the saddle. Its Width is where the reference was read.
	Profile contact.SaddleProfile `json:"saddle_profile,omitzero" zero:"not known" validate:"own"`
	// Bike is the bike that the position was measured on.
	Bike Bike `json:"bike,omitzero" zero:"not stated" validate:"own"`
	// Shoes names the shoes with their cleats, such as "shoe 43".
	Shoes string `json:"shoes,omitempty"`
	// Provenance is where the numbers come from.
	Provenance Provenance `json:"provenance,omitzero" zero:"not stated" validate:"own"`
	// Cautions is what the rider was told to mind.
	Cautions []fitgeom.Caution `json:"cautions,omitempty"`
	// Personal is all that tells who the rider is, or of the rider's health.
	Personal Personal `json:"personal,omitzero" zero:"not stated" validate:"own"`
}

// A Provenance is how a position was measured.
type Provenance struct {
	// Method is what was done.
	Method Method `json:"method,omitzero" zero:"not stated"`
	// Instrument names what it was done with, such as "arm 3" or "tape and level".
	Instrument string `json:"instrument,omitempty"`
	// Software names the program that made numbers of the readings, with its version.
	Software string `json:"software,omitempty"`
}

// A Method is a way to measure a position. The zero Method is not stated.
type Method uint8

// The methods.
const (
	ByInstrument  Method = iota + 1 // points were read in space
	ByTape                          // distances and angles were read with tape and level
	ByPhotographs                   // points were read from photographs
	BySheet                         // it was worked out from a set-up sheet
	BySettings                      // it was worked out from parts and their settings
	ByFitBike                       // it was read from the scales of an adjustable bike
)

var methodNames = enum.New[Method]("method", []string{
	ByInstrument: "instrument", ByTape: "tape", ByPhotographs: "photographs", BySheet: "sheet", BySettings: "settings", ByFitBike: "fit_bike",
})

// String returns the method's name, such as "tape".
func (m Method) String() string { return methodNames.String(m) }

// MarshalText writes the method's name; it fails for an unknown number.
func (m Method) MarshalText() ([]byte, error) { return methodNames.Text(m) }

// UnmarshalText reads a name as [ParseMethod] does.
func (m *Method) UnmarshalText(text []byte) error { return methodNames.Read(m, text) }

// ParseMethod returns the method of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseMethod(name string) (Method, error) { return methodNames.Parse(name) }

// A Personal is what a record knows of the rider: interview and assessment, in the rider's
// words or the fitter's. [Record.Anonymous] leaves all of it out, and package fmt does not print
// it.
type Personal struct {
	// Name is who the rider is: a name, or a key of your own.
	Name string `json:"name,omitempty"`
	// MeasuredBy is who measured.
	MeasuredBy string `json:"measured_by,omitempty"`
	// Goals is what the rider wants, Complaints what hurts or is numb, and Notes whatever else
	// was said or seen.
	Goals      []string `json:"goals,omitempty"`
	Complaints []string `json:"complaints,omitempty"`
	Notes      []string `json:"notes,omitempty"`
	// Rules is what race rules ask of the rider.
	Rules rules.Rider `json:",inline" validate:"own"`
	// Limits is the rider's body, and what its joints may do as somebody found.
	Limits rider.Limits `json:"limits,omitzero" zero:"not known" validate:"own"`
}

// Validate reports what is wrong with the rider's height, body and limits.
func (p Personal) Validate() error {
	var f fault.List
	f.In("", p.Rules.Validate())
	p.Limits.Joints = slices.Clone(p.Limits.Joints)
	for i := range p.Limits.Joints {
		p.Limits.Joints[i].Source = "" // which errors would repeat
	}
	f.In("limits", p.Limits.Validate())
	return f.Err()
}

// Format writes "personal" in place of what is known, for every verb.
func (p Personal) Format(s fmt.State, _ rune) {
	fmt.Fprint(s, "personal") // what it returns is the printer's own business
}

// Anonymous returns what no longer tells who the rider is: the position with its uncertainty,
// and the bike with its saddle, without names. What a document has around a record, its id,
// note and meta, is the caller's to leave out.
func (r Record) Anonymous() Record {
	return Record{
		Fix:            survey.Fix{Position: r.Fix.Position, Ranges: r.Fix.Ranges, Covariance: r.Fix.Covariance},
		ReferenceWidth: r.ReferenceWidth, Profile: r.Profile, Bike: r.Bike.anonymous(),
	}
}

// Target returns the position with the saddle reference where the saddle is 80 mm wide, as
// all packages have it, and its covariance.
//
// Faults are those of Validate, and [contact.ErrMissing] where the reference is at another
// width and Profile does not state how the saddle widens, or the saddle's tilt is not known.
func (r Record) Target() (contact.Position, contact.Covariance, error) {
	if err := r.validate(nil); err != nil {
		return contact.Position{}, contact.Covariance{}, err
	}
	return r.carry(contact.ReferenceWidth)
}

func (r *Record) width() float64 { return cmp.Or(r.ReferenceWidth, contact.ReferenceWidth) }

// carry returns position and covariance with the reference where the saddle is so wide.
func (r *Record) carry(width float64) (contact.Position, contact.Covariance, error) {
	var f fault.List
	if r.width() != width && r.Profile.Widening == 0 {
		f.Add("saddle_profile.widening", "", "to be known, since the saddle reference is where the saddle is "+num.Text(r.width(), "mm")+" wide", contact.ErrMissing)
		return contact.Position{}, contact.Covariance{}, f.Err()
	}
	from := r.Profile
	from.Width = r.width()
	p, c, err := r.Fix.Position, r.Fix.Covariance, error(nil)
	if from.Width != width {
		p, c, err = from.Carry(p, c, width)
	}
	f.In("fix", err)
	return p, c, f.Err()
}

// Validate reports what is wrong with the record: the faults of the fix, of what the bike is
// stated to have and of the body, and numbers out of range. No error repeats what somebody
// wrote.
func (r Record) Validate() error { return r.validate(nil) }

func (r *Record) validate(m *work.Meter) error {
	var all fault.List
	strict.Check(m, &all, "", *r)
	if r.Fix.Position == (contact.Position{}) {
		all.Add("fix.position.sites", "", "at least one site", contact.ErrMissing)
	}
	return all.Err()
}

func init() { work.Validator(func(m *work.Meter, r Record) error { return r.validate(m) }) }

// MarshalJSON writes the record as documents of package fitgeom/exchange have it, with all
// that is personal in it; [Record.Anonymous] has none.
func (r Record) MarshalJSON() ([]byte, error) { return strict.JSON(r) }

// UnmarshalJSON reads what MarshalJSON writes.
func (r *Record) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, r) }

// MarshalJSON fails: what is personal is written with its record only.
func (p Personal) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("record.Personal") }

// UnmarshalJSON fails as MarshalJSON does.
func (p *Personal) UnmarshalJSON([]byte) error { return strict.NoDocument("record.Personal") }
