package request

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
)

// A Target is a position in one of the ways in which positions are known. At most one field
// is stated.
type Target struct {
	// Position is the contact points themselves.
	Position contact.Position `json:"position,omitzero" zero:"known otherwise" validate:"own"`
	// Survey is what an instrument read on a bike.
	Survey survey.Survey `json:"survey,omitzero" zero:"known otherwise" validate:"own"`
	// Tape is what tape, level and plumb line read on a bike.
	Tape survey.TapeSurvey `json:"tape_survey,omitzero" zero:"known otherwise" validate:"own"`
	// Sheet is measures that somebody stated.
	Sheet convert.Sheet `json:"sheet,omitzero" zero:"known otherwise" validate:"own"`
	// Fix is a position with its covariance, as photographs, another program or a record have
	// it. Its saddle reference is where the saddle is 80 mm wide.
	Fix survey.Fix `json:"fix,omitzero" zero:"known otherwise" validate:"own"`
}

// stated is what a target may be.
const stated = "a position, survey, tape_survey, sheet or fix"

// The ways, by the names that documents have.
const (
	position   = "position"
	surveyed   = "survey"
	tapeSurvey = "tape_survey"
	sheet      = "sheet"
	fixed      = "fix"
)

func (t *Target) stated() (all []string) {
	if t.Position != (contact.Position{}) {
		all = append(all, position)
	}
	for _, way := range []struct {
		name string
		is   any
	}{{surveyed, t.Survey}, {tapeSurvey, t.Tape}, {sheet, t.Sheet}, {fixed, t.Fix}} {
		if !strict.Blank(reflect.ValueOf(way.is)) {
			all = append(all, way.name)
		}
	}
	return all
}

// Kind tells in which way the position is known: "position", "survey", "tape_survey",
// "sheet" or "fix"; "" if none is stated.
func (t Target) Kind() string {
	if all := t.stated(); len(all) > 0 {
		return all[0]
	}
	return ""
}

// Validate reports the faults of what is stated, and [contact.ErrConflict] where more than
// one is.
func (t Target) Validate() error {
	var f fault.List
	all := t.stated()
	if len(all) > 1 {
		f.Add(all[1], "beside "+all[0], "one of the two", contact.ErrConflict)
	}
	for _, kind := range all {
		switch kind {
		case position:
			f.In(kind, t.Position.Validate())
		case surveyed:
			f.In(kind, t.Survey.Validate())
		case tapeSurvey:
			f.In(kind, t.Tape.Validate())
		case sheet:
			f.In(kind, t.Sheet.Validate())
		default:
			f.In(kind, t.Fix.Validate())
			if t.Fix.Position == (contact.Position{}) {
				f.Add(kind+".position.sites", "", "at least one site", contact.ErrMissing)
			}
		}
	}
	return f.Err()
}

// A Solved is the position of a target.
type Solved struct {
	Position contact.Position
	// Covariance is that of the position where readings tell it; the zero Covariance knows
	// nothing.
	Covariance contact.Covariance
	// Findings is what a person should look at before anything is built by the position, in
	// words: readings that do not fit, what is not determined, and what is implausible.
	Findings []string
}

// Solve returns the position of the target. Faults are those of [Target.Validate] and of the
// Solve method of what is stated, under its name, and [contact.ErrMissing] if nothing is. A
// sheet or a tape survey whose readings contradict one another has a position, and findings that say
// which readings could be wrong.
func (t Target) Solve() (Solved, error) {
	var f fault.List
	if f.In("", t.Validate()); f.Len() > 0 {
		return Solved{}, f.Err()
	}
	var s Solved
	switch kind := t.Kind(); kind {
	case position:
		s.Position = t.Position
	case surveyed:
		fix, err := t.Survey.Solve()
		f.In(kind, err)
		s.fix(&fix)
	case tapeSurvey:
		fix, err := t.Tape.Solve()
		f.In(kind, err)
		s.fix(&fix)
		s.suspects(fix.Suspects, func(i int) string { return t.Tape.Readings[i].String() })
	case sheet:
		found, err := t.Sheet.Solve()
		f.In(kind, err)
		s.Position, s.Covariance = found.Position, found.Covariance
		s.suspects(found.Suspects, func(i int) string {
			e := &t.Sheet.Entries[i]
			return e.Measure.String() + " " + strconv.FormatFloat(e.Value, 'f', 1, 64)
		})
		if !found.Consistent && len(found.Suspects) == 0 {
			s.say("the measures do not agree, and no single one of them explains it")
		}
		s.others(len(found.Others))
		for _, free := range found.Free {
			s.say(free.String())
		}
	case fixed:
		s.fix(&t.Fix)
		s.suspects(t.Fix.Suspects, func(i int) string { return "reading " + strconv.Itoa(i+1) })
	default:
		f.Add("", "", stated, contact.ErrMissing)
	}
	if f.Len() > 0 {
		return Solved{}, f.Err()
	}
	for _, odd := range s.Position.Findings() {
		s.say(odd.String())
	}
	return s, nil
}

func (s *Solved) say(text string) { s.Findings = append(s.Findings, text) }

func (s *Solved) fix(fix *survey.Fix) {
	s.Position, s.Covariance = fix.Position, fix.Covariance
	for _, found := range fix.Findings {
		s.say(found.String())
	}
	s.others(len(fix.Others))
	for _, free := range fix.Free {
		s.say(free.String())
	}
}

func (s *Solved) others(n int) {
	if n > 0 {
		s.say(fmt.Sprintf("%d other positions fit about as well", n))
	}
}

// suspects says which readings could be wrong, and by which slip.
func (s *Solved) suspects(all []contact.Suspect, name func(int) string) {
	for i := range all {
		text := name(all[i].Reading) + " contradicts the others"
		var slips []string
		for _, slip := range all[i].Slips {
			slips = append(slips, slip.String())
		}
		if len(slips) > 0 {
			text += "; it would agree with this: " + strings.Join(slips, ", or ")
		}
		s.say(text)
	}
}

// MarshalJSON writes the target as documents of package fitgeom/exchange have it.
func (t Target) MarshalJSON() ([]byte, error) { return strict.JSON(t) }

// UnmarshalJSON reads what MarshalJSON writes.
func (t *Target) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, t) }

// MarshalJSON refuses: [Solved] has no document. Its position has.
func (s Solved) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("request.Solved") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (s *Solved) UnmarshalJSON([]byte) error { return strict.NoDocument("request.Solved") }
