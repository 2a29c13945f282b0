package norms

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"sync"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// A Norm is what a study says of one angle. It is data, and callers may have their own.
type Norm struct {
	Variable rider.Variable `json:"variable"`
	Where    Where          `json:"where"`
	Kind     Kind           `json:"kind"`
	// Low and High are the ends of a range, both within it. If they are equal they are a mean.
	Low  float64 `json:"low_deg" range:"-180 to 300"`
	High float64 `json:"high_deg" range:"-180 to 300"`
	// SD is the standard deviation of the people around a mean; zero: not stated, or a range.
	SD     float64 `json:"sd_deg,omitzero" range:"0 to 180"`
	Method Method  `json:"method"`
	// Study is the source, Cohort the people in it, Landmarks what the angle was taken between, in
	// words.
	Study     string `json:"study"`
	Cohort    string `json:"cohort"`
	Landmarks string `json:"landmarks"`
	// Seen says how the project has seen the number: in the document itself, in its abstract, or in
	// a secondary document that quotes it.
	Seen string `json:"seen"`
}

// String returns the norm as in "knee_flexion least 30 to 40 degrees, dynamic by camera_2d (…)".
func (n Norm) String() string {
	of := fmt.Sprintf("%g", n.Low)
	switch {
	case n.Low != n.High:
		of += fmt.Sprintf(" to %g", n.High)
	case n.SD != 0:
		of += fmt.Sprintf(" ± %g", n.SD)
	}
	return fmt.Sprintf("%v %v %s degrees, %v (%s)", n.Variable, n.Where, of, n.Method, n.Study)
}

var normFields = field.New[Norm]()

// Validate reports numbers that no name has ([contact.ErrUnknown]), angles that are out of range,
// and what contradicts itself ([contact.ErrConflict]): Low above High, and a range with a standard
// deviation.
func (n Norm) Validate() error {
	var f fault.List
	normFields.Check(&f, &n)
	named(&f, n.Variable, n.Where)
	f.In("", kindNames.Check("kind", n.Kind))
	f.In("method", n.Method.Validate())
	switch {
	case n.Low > n.High:
		f.Add("low_deg", num.Text(n.Low, "degrees"), "at most "+num.Text(n.High, "degrees")+", the high end", contact.ErrConflict)
	case n.Low < n.High && n.SD != 0:
		f.Add("sd_deg", num.Text(n.SD, "degrees"), "none beside a range", contact.ErrConflict)
	}
	return f.Err()
}

func named(f *fault.List, v rider.Variable, w Where) {
	if v.Unit() == "" {
		f.Add("variable", v.String(), "a variable of package rider", contact.ErrUnknown)
	}
	f.In("", whereNames.Check("where", w))
}

// A Reading is one angle of one rider, and how it was measured.
type Reading struct {
	Variable rider.Variable `json:"variable"`
	Where    Where          `json:"where"`
	// Value is the angle, as the variable counts.
	Value float64 `json:"value_deg" range:"-180 to 300"`
	// Sigma is its standard uncertainty; zero: exact.
	Sigma  float64 `json:"sigma_deg" range:"0 to 180"`
	Method Method  `json:"method"`
}

var readingFields = field.New[Reading]()

// Validate reports numbers that no name has ([contact.ErrUnknown]) and angles that are out of
// range.
func (r Reading) Validate() error {
	var f fault.List
	readingFields.Check(&f, &r)
	named(&f, r.Variable, r.Where)
	f.In("method", r.Method.Validate())
	return f.Err()
}

// is reports where the reading is not of what it is asked to be of.
func (r *Reading) is(f *fault.List, v rider.Variable, w Where, m Method, of string) {
	if r.Variable != v {
		f.Add("variable", r.Variable.String(), v.String()+" as "+of, contact.ErrConflict)
	}
	if r.Where != w {
		f.Add("where", r.Where.String(), w.String()+" as "+of, contact.ErrConflict)
	}
	if r.Method != m {
		f.Add("method", r.Method.String(), m.String()+" as "+of, contact.ErrConflict)
	}
}

// A Comparison is a reading beside a norm.
type Comparison struct {
	Norm    Norm
	Reading Reading
	// By is how far the reading is outside the norm: positive above High, negative below Low, 0
	// within. A mean reaches by SD to either side. Its Sigma is the reading's: By.Real tells
	// whether more than errors of measuring put the reading outside.
	By rider.Estimate
}

// Compare compares a reading with the norm. Faults are those of [Norm.Validate], with norm before
// the path, and of [Reading.Validate]; and [contact.ErrConflict] where variable, place of the stroke or
// method are not the norm's, naming both: methods do not mix, see [Correction.Apply].
func (n Norm) Compare(r Reading) (Comparison, error) {
	var f fault.List
	f.In("norm", n.Validate())
	f.In("", r.Validate())
	r.is(&f, n.Variable, n.Where, n.Method, "the norm")
	if err := f.Err(); err != nil {
		return Comparison{}, err
	}
	by := max(0, r.Value-(n.High+n.SD)) + min(0, r.Value-(n.Low-n.SD))
	return Comparison{n, r, rider.Estimate{Value: by, Sigma: r.Sigma}}, nil
}

// A Correction carries an angle from one method to another.
type Correction struct {
	Variable rider.Variable `json:"variable"`
	Where    Where          `json:"where"`
	From     Method         `json:"from"`
	To       Method         `json:"to"`
	// Add is what an angle by From lacks of one by To.
	Add float64 `json:"add_deg" range:"-90 to 90"`
	// SD is its standard deviation between people; zero: not stated, and counted as none.
	SD     float64 `json:"sd_deg,omitzero" range:"0 to 90"`
	Study  string  `json:"study"`
	Cohort string  `json:"cohort"`
	// Seen is as in [Norm].
	Seen string `json:"seen"`
}

var correctionFields = field.New[Correction]()

// Validate reports numbers that no name has ([contact.ErrUnknown]), angles that are out of range,
// and a correction from a method to itself ([contact.ErrConflict]).
func (c Correction) Validate() error {
	var f fault.List
	correctionFields.Check(&f, &c)
	named(&f, c.Variable, c.Where)
	f.In("from", c.From.Validate())
	f.In("to", c.To.Validate())
	if c.From == c.To {
		f.Add("to", c.To.String(), "a method other than that of from", contact.ErrConflict)
	}
	return f.Err()
}

// Apply returns what the reading is likely to be by the other method. Its Sigma grows by SD, as the
// root of the sum of squares. Faults are those of [Correction.Validate], with correction before the
// path, and of [Reading.Validate]; and [contact.ErrConflict] where the reading is not of the
// correction's variable, place of the stroke and From.
func (c Correction) Apply(r Reading) (Reading, error) {
	var f fault.List
	f.In("correction", c.Validate())
	f.In("", r.Validate())
	r.is(&f, c.Variable, c.Where, c.From, "the correction")
	if err := f.Err(); err != nil {
		return Reading{}, err
	}
	r.Value, r.Sigma, r.Method = r.Value+c.Add, math.Hypot(r.Sigma, c.SD), c.To
	return r, nil
}

//go:embed norms.json
var data []byte

// all is the data file, read once. The file is part of this package, and tested.
var all = sync.OnceValue(func() (all struct {
	Norms       []Norm
	Corrections []Correction
},
) {
	if err := json.Unmarshal(data, &all); err != nil {
		panic("norms.json: " + err.Error())
	}
	return all
})

// Norms returns the norms that the project knows, from the data file norms.json.
func Norms() []Norm { return slices.Clone(all().Norms) }

// Corrections returns the corrections that the project knows, from the same file.
func Corrections() []Correction { return slices.Clone(all().Corrections) }
