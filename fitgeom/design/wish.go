package design

import (
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// A Subject is what a wish or an answer is of: exactly one of the three. Lengths are mm and
// angles degrees.
type Subject struct {
	// Dimension is a number of the frame's chart.
	Dimension chart.Dimension `json:"dimension,omitzero"`
	// Setting is a number of the parts.
	Setting Setting `json:"setting,omitzero"`
	// Clearance is the lesser of both sides' clearances; one that a frame decides:
	// shoe_to_wheel, toe_level, toe_plan, toe_parallel, pedal_lean, heel_to_stay, standover
	// or standover_room.
	Clearance clearance.Quantity `json:"clearance,omitzero"`
}

// String returns the subject's name, such as "trail"; that of two or none says so.
func (s Subject) String() string {
	switch {
	case s.Dimension != 0 && s.Setting == 0 && s.Clearance == 0:
		return s.Dimension.String()
	case s.Dimension == 0 && s.Setting != 0 && s.Clearance == 0:
		return s.Setting.String()
	case s.Dimension == 0 && s.Setting == 0 && s.Clearance != 0:
		return s.Clearance.String()
	default:
		return fmt.Sprintf("subject(%d,%d,%d)", s.Dimension, s.Setting, s.Clearance)
	}
}

// Unit returns "mm" or "degrees"; it is empty for what is no subject.
func (s Subject) Unit() string {
	switch n, ok := s.number(); {
	case !ok:
		return ""
	case n < firstSetting:
		return s.Dimension.Unit()
	case n < firstClearance:
		return s.Setting.Unit()
	default:
		return s.Clearance.Unit()
	}
}

// number returns the number of a subject; false for what is no subject.
func (s Subject) number() (number, bool) {
	switch {
	case s.Dimension.Unit() != "" && s.Setting == 0 && s.Clearance == 0:
		return ofDimension(s.Dimension), true
	case s.Dimension == 0 && settingNames.Valid(s.Setting) && s.Clearance == 0:
		return ofSetting(s.Setting), true
	case s.Dimension == 0 && s.Setting == 0 && slices.Contains(framed[:], s.Clearance):
		return ofClearance(s.Clearance), true
	}
	return 0, false
}

// Validate reports a subject that is none, and a clearance that no frame decides
// ([contact.ErrUnknown]).
func (s Subject) Validate() error {
	if _, ok := s.number(); !ok {
		return fault.New("subject", s.String(), "one dimension, setting, or clearance that a frame decides", contact.ErrUnknown)
	}
	return nil
}

// framed is the clearances that a frame decides.
var framed = [...]clearance.Quantity{
	clearance.ShoeToWheel, clearance.ToeLevel, clearance.ToePlan, clearance.ToeParallel, clearance.PedalLean,
	clearance.HeelToStay, clearance.Standover, clearance.StandoverRoom,
}

// A Wish is what a number of the frame, of its parts or of its clearances shall be.
type Wish struct {
	Subject Subject
	// From and To are the ends of what will do; equal for a number that is wanted exactly.
	// From may be −Inf and To +Inf, for what has no limit that way.
	From, To float64
}

// String says what is wanted, such as "trail 55 to 60 mm".
func (w Wish) String() string {
	text := func(v float64) string { return num.Text(v, w.Subject.Unit()) }
	switch {
	case math.IsInf(w.From, -1) && math.IsInf(w.To, 1):
		return w.Subject.String() + " any"
	case w.From == w.To:
		return w.Subject.String() + " " + text(w.From)
	case math.IsInf(w.To, 1):
		return w.Subject.String() + " at least " + text(w.From)
	case math.IsInf(w.From, -1):
		return w.Subject.String() + " at most " + text(w.To)
	default:
		return w.Subject.String() + " " + num.Span(w.From, w.To, w.Subject.Unit())
	}
}

// Validate reports the faults of the subject, ends that are no numbers, out of the range of what bicycles have
// or the wrong way round ([contact.ErrRange]), and an upper end of the saddle's room.
func (w Wish) Validate() error {
	var f fault.List
	if err := w.Subject.Validate(); err != nil {
		return err
	}
	n, _ := w.Subject.number()
	unit := w.Subject.Unit()
	end := "_mm"
	if unit == "degrees" {
		end = "_deg"
	}
	r := ranges[n]
	switch {
	case !(w.From <= r.to) || math.IsInf(w.From, 1):
		f.Add("from"+end, num.Text(w.From, unit), "at most "+num.Text(r.to, unit), contact.ErrRange)
	case !(w.To >= r.from) || math.IsInf(w.To, -1):
		f.Add("to"+end, num.Text(w.To, unit), "at least "+num.Text(r.from, unit), contact.ErrRange)
	case !(w.From <= w.To):
		f.Add("to"+end, num.Text(w.To, unit), "at least "+num.Text(w.From, unit), contact.ErrRange)
	case len(n.limits()) > 1 && !math.IsInf(w.To, 1):
		f.Add("to"+end, num.Text(w.To, unit), "no upper end of the saddle's room", contact.ErrRange)
	}
	return f.Err()
}

// A span is the ends of what a number may be.
type span struct{ from, to float64 }

// meets returns what is in both.
func (s span) meets(t span) span { return span{max(s.from, t.from), min(s.to, t.to)} }

// ranges is what bicycles have, of all numbers. That of dimensions and of settings of parts
// limits every frame; that of room and clearances only what may be asked for.
var ranges = func() (all [numberCount]span) {
	for i := range all {
		all[i] = span{-1000, 1000}
	}
	for _, d := range chart.Dimensions() {
		r := &all[ofDimension(d)]
		r.from, r.to = d.Range()
	}
	for s, r := range map[Setting]span{
		StemLength: {20, 180}, StemAngle: {-60, 60}, StemUp: {0, 150}, Setback: {-60, 80}, RailClamp: {40, 300}, SeatpostExtension: {0, 580},
		HeadTubeAbove: {0, 150}, SeatTubeAbove: {0, 300},
	} {
		all[ofSetting(s)] = r
	}
	all[ofClearance(clearance.PedalLean)] = span{-90, 90}
	return all
}()
