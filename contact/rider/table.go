package rider

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
)

// A Segment is a length of the body that a [Table] may have as a fraction of stature. The
// zero Segment is not valid.
type Segment uint8

// The segments, as [Leg] and [Upper] have them.
const (
	Thigh Segment = iota + 1
	Shank
	AnkleHeight
	Trunk
	UpperArm
	Forearm

	segmentCount = int(Forearm) + 1
)

var segmentNames = enum.New[Segment]("segment", []string{Thigh: "thigh", Shank: "shank", AnkleHeight: "ankle_height", Trunk: "trunk", UpperArm: "upper_arm", Forearm: "forearm"})

// String returns the segment's name, such as "ankle_height".
func (s Segment) String() string { return segmentNames.String(s) }

// MarshalText writes the segment's name; it fails for an unknown number.
func (s Segment) MarshalText() ([]byte, error) { return segmentNames.Text(s) }

// UnmarshalText reads a name as [ParseSegment] does.
func (s *Segment) UnmarshalText(text []byte) error { return segmentNames.Read(s, text) }

// ParseSegment returns the segment of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseSegment(name string) (Segment, error) { return segmentNames.Parse(name) }

// A Table names a set of segment lengths as fractions of stature. The zero Table is not
// valid: a table must be chosen by name.
//
// A fraction is a mean over many people. Two of the same stature differ by
// centimetres; measured segments are better.
type Table uint8

// The tables. [Table.Source] and [Table.Bias] return the same for reports.
const (
	_ Table = iota
	// DrillisContini is R. Drillis, R. Contini (1966), Body segment parameters, as drawn
	// in D. A. Winter's Biomechanics and Motor Control of Human Movement; the numbers are
	// from a public note that quotes them. Trunk is from hip to shoulder height.
	//
	// Against the means of ANSUR II the thigh is 5 % longer, and the hip lies 17 mm
	// (men) or 11 mm (women) per 1000 mm of stature above the trochanter.
	DrillisContini
	// ANSURMen has the mean ratios to stature of 4082 men of the U.S. Army, ANSUR II
	// (2012), computed from its public data: trochanter to femoral epicondyle, epicondyle
	// to malleolus, malleolus to ground; for the arm the mean of acromion to radiale and
	// of radiale to stylion over the mean stature. It has no trunk.
	//
	// Its landmarks are bones under the skin and not centres of joints, and its
	// people are soldiers of one country.
	ANSURMen
	// ANSURWomen has the same of 1986 women, for the leg alone.
	ANSURWomen

	tableCount = int(ANSURWomen) + 1
)

// fractions are of stature; 0 is not known.
var fractions = [tableCount]struct {
	name, source, bias string
	of                 [segmentCount]float64
}{
	DrillisContini: {
		"drillis_contini",
		"Drillis and Contini (1966), as drawn in Winter's Biomechanics and Motor Control of Human Movement",
		"thigh 5 % longer than in ANSUR II, and hip 11 to 17 mm per 1000 mm of stature above its trochanter",
		[segmentCount]float64{
			Thigh: 0.530 - 0.285, Shank: 0.285 - 0.039, AnkleHeight: 0.039, Trunk: 0.818 - 0.530, UpperArm: 0.186, Forearm: 0.146,
		},
	},
	ANSURMen: {
		"ansur_men",
		"ANSUR II (2012), men, means computed from the public data",
		"between landmarks on bones, not centres of joints; soldiers of one country",
		[segmentCount]float64{Thigh: 0.2330, Shank: 0.2384, AnkleHeight: 0.0415, UpperArm: 335.24 / 1756.21, Forearm: 267.88 / 1756.21},
	},
	ANSURWomen: {
		"ansur_women",
		"ANSUR II (2012), women, means computed from the public data",
		"between landmarks on bones, not centres of joints; soldiers of one country",
		[segmentCount]float64{Thigh: 0.2329, Shank: 0.2475, AnkleHeight: 0.0385},
	},
}

var tableNames = enum.New[Table]("table", []string{DrillisContini: "drillis_contini", ANSURMen: "ansur_men", ANSURWomen: "ansur_women"})

// String returns the table's name, such as "ansur_men".
func (t Table) String() string { return tableNames.String(t) }

// MarshalText writes the table's name; it fails for an unknown number.
func (t Table) MarshalText() ([]byte, error) { return tableNames.Text(t) }

// UnmarshalText reads a name as [ParseTable] does.
func (t *Table) UnmarshalText(text []byte) error { return tableNames.Read(t, text) }

// ParseTable returns the table of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseTable(name string) (Table, error) { return tableNames.Parse(name) }

// Source returns where the table comes from, for reports of results that use it; "" for
// an unknown number.
func (t Table) Source() string {
	if !t.known() {
		return ""
	}
	return fractions[t].source
}

// Bias returns how the table is known to be wrong, for the same reports; "" for an
// unknown number.
func (t Table) Bias() string {
	if !t.known() {
		return ""
	}
	return fractions[t].bias
}

func (t Table) known() bool { return t > 0 && int(t) < tableCount }

// Length returns the mean length of a segment in mm for a stature (height
// without shoes) of 1000 to 2500 mm. Errors are [contact.ErrUnknown] for a
// table or a segment that does not exist, [contact.ErrMissing] for a segment
// that the table does not have, and [contact.ErrRange] or [contact.ErrUnit] for
// the stature.
func (t Table) Length(s Segment, stature float64) (float64, error) {
	var f fault.List
	f.Length("stature_mm", stature, 1000, 2500)
	switch {
	case !t.known():
		f.Add("table", "", "drillis_contini, ansur_men or ansur_women", contact.ErrUnknown)
	case !segmentNames.Valid(s):
		f.Add("segment", "", "a segment such as thigh", contact.ErrUnknown)
	case fractions[t].of[s] == 0:
		f.Add(t.String()+"."+s.String(), "", "a table that has it, or a measured length", contact.ErrMissing)
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return stature * fractions[t].of[s], nil
}
