package rules

import (
	_ "embed"
	"encoding/json"
	"math"
	"slices"
	"sync"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
)

// A Discipline is a kind of race with rules of its own for bicycles. The zero Discipline is
// not valid.
type Discipline uint8

// The disciplines.
const (
	Road        Discipline = iota + 1 // mass starts on the road and in cyclo-cross
	TimeTrial                         // time trials on the road
	Track                             // mass starts on the track
	TrackSprint                       // sprint, keirin and the like on the track
)

var disciplineNames = enum.New[Discipline]("discipline", []string{Road: "road", TimeTrial: "time_trial", Track: "track", TrackSprint: "track_sprint"})

// Disciplines returns all disciplines, in the order of their constants.
func Disciplines() []Discipline { return disciplineNames.All() }

// String returns the discipline's name, such as "time_trial".
func (d Discipline) String() string { return disciplineNames.String(d) }

// MarshalText writes the discipline's name; it fails for an unknown number.
func (d Discipline) MarshalText() ([]byte, error) { return disciplineNames.Text(d) }

// UnmarshalText reads a name as [ParseDiscipline] does.
func (d *Discipline) UnmarshalText(text []byte) error { return disciplineNames.Read(d, text) }

// ParseDiscipline returns the discipline of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseDiscipline(name string) (Discipline, error) { return disciplineNames.Parse(name) }

// A Set is rules that hold together: an edition for a discipline, as [InForce] selects it,
// or the caller's own. The zero Set has no rules.
type Set struct {
	// Discipline is 0 for a set of the caller's own that has none.
	Discipline Discipline
	// From is since when these rules, and no others that the project knows, have been in
	// force, and Until when the next change that it knows takes effect; zero if it knows none.
	From, Until Date
	Rules       []Rule
}

// InForce returns the race rules that the project knows for a discipline on a day. It returns
// false if it knows none. The organiser or the authority decides: of each rule Edition says
// how old the text is that was quoted, and Seen how it was seen. A rule stays until the
// project knows one in its place.
func InForce(d Discipline, on Date) (Set, bool) {
	s := Set{Discipline: d}
	for _, r := range all() {
		if !slices.Contains(r.Disciplines, d) {
			continue
		}
		for _, change := range [...]Date{r.From, r.Until} {
			switch {
			case change == (Date{}):
			case on.Before(change):
				if s.Until == (Date{}) || change.Before(s.Until) {
					s.Until = change
				}
			case s.From.Before(change):
				s.From = change
			}
		}
		if !on.Before(r.From) && (r.Until == (Date{}) || on.Before(r.Until)) {
			s.Rules = append(s.Rules, r.clone())
		}
	}
	if len(s.Rules) == 0 {
		return Set{}, false
	}
	return s, true
}

// MostRules is how many rules a set may have where builds are searched by it.
const MostRules = 100

// Validate reports more than [MostRules] rules, rules of unknown figures ([contact.ErrUnknown]), and limits, margins and
// heights of riders that are no numbers of their kind: a limit may be infinite, and a rule
// without a figure in Unless has none there.
func (s Set) Validate() error {
	var f fault.List
	f.Range("rules", float64(len(s.Rules)), 0, MostRules, "rules")
	for i := range min(len(s.Rules), MostRules) {
		r := &s.Rules[i]
		path := fault.At("rules", i)
		r.Bound.check(&f, path)
		if r.Unless.Figure != 0 {
			r.Unless.check(&f, path+".unless")
		}
		f.Range(path+".margin", r.Margin, 0, most, r.Figure.Unit())
		f.Range(path+".rider_from_mm", r.RiderFrom, 0, most, "mm")
		f.Range(path+".rider_to_mm", r.RiderTo, 0, most, "mm")
	}
	return f.Err()
}

// most is more than any figure or rider has.
const most = 1e6

func (b *Bound) check(f *fault.List, path string) {
	if !figureNames.Valid(b.Figure) {
		f.Add(path+".figure", b.Figure.String(), "a figure of this package", contact.ErrUnknown)
	}
	for _, l := range [...]struct {
		name  string
		limit float64
	}{{"min", b.Min}, {"max", b.Max}} {
		if !math.IsInf(l.limit, 0) {
			f.Range(path+"."+l.name, l.limit, -most, most, b.Figure.Unit())
		}
	}
}

// Check returns what each rule of the set that is for the rider says of the build, and of
// those of which it is not known whether they are for the rider, too. Faults are those of
// [fitgeom.Build.Validate] and [Rider.Validate].
func (s Set) Check(b fitgeom.Build, rider Rider) ([]Finding, error) {
	found, err := s.check(&b, rider)
	return slices.DeleteFunc(found, func(f Finding) bool {
		applies, known := f.Rule.isFor(rider)
		return known && !applies
	}), err
}

// check is Check of all rules.
func (s *Set) check(b *fitgeom.Build, rider Rider) ([]Finding, error) {
	var c fault.List
	p, err := b.Position()
	c.In("", err)
	c.In("rider", rider.Validate())
	if err := c.Err(); err != nil {
		return nil, err
	}
	found := make([]Finding, len(s.Rules))
	for i := range s.Rules {
		found[i].Rule = s.Rules[i]
		s.Rules[i].judge(&found[i], b, &p, rider)
	}
	return found, nil
}

// Breaks reports whether a build is known to break a rule of the set, whatever the rule's
// margin. It is for solvers that judge many builds: it ends at the first rule that is
// broken, and checks neither the build nor p, which is the build's position, nor the rider.
func (s Set) Breaks(b *fitgeom.Build, p *contact.Position, rider Rider) bool {
	for i := range s.Rules {
		var f Finding
		if s.Rules[i].judge(&f, b, p, rider); f.Known && !f.Kept {
			return true
		}
	}
	return false
}

//go:embed rules.json
var data []byte

// A row is a rule in the data file. Dates are as in 2026-01-01.
type row struct {
	bound
	Below                                   bool
	Margin                                  float64
	Unless                                  *bound
	RiderFrom                               float64 `json:"rider_from_mm"`
	RiderTo                                 float64 `json:"rider_to_mm"`
	Disciplines                             []Discipline
	From, Until                             Date
	Source, Edition, Applies, Reading, Seen string
}

// A bound is a [Bound] of which limits may be missing.
type bound struct {
	Figure   Figure
	Min, Max *float64
}

func (b *bound) bound() Bound {
	if b == nil {
		return Bound{}
	}
	to := Bound{Figure: b.Figure, Min: math.Inf(-1), Max: math.Inf(1)}
	if b.Min != nil {
		to.Min = *b.Min
	}
	if b.Max != nil {
		to.Max = *b.Max
	}
	return to
}

// all is the rules of the data file, read once. The file is part of this package, and
// tested.
var all = sync.OnceValue(func() []Rule {
	var rows []row
	if err := json.Unmarshal(data, &rows); err != nil {
		panic("rules.json: " + err.Error())
	}
	var all []Rule
	for _, r := range rows {
		all = append(all, Rule{
			Bound: r.bound.bound(), Below: r.Below, Margin: r.Margin, Unless: r.Unless.bound(), RiderFrom: r.RiderFrom, RiderTo: r.RiderTo,
			Disciplines: r.Disciplines, From: r.From, Until: r.Until,
			Source: r.Source, Edition: r.Edition, Applies: r.Applies, Reading: r.Reading, Seen: r.Seen,
		})
	}
	return all
})

func (r Rule) clone() Rule {
	r.Disciplines = slices.Clone(r.Disciplines)
	return r
}

// Rules returns the rules and standards that the project knows, from the data file
// rules.json, of all editions. It is a beginning, not a rule book: add what is missing.
// Those of a race are what [InForce] selects.
func Rules() []Rule {
	rules := slices.Clone(all())
	for i := range rules {
		rules[i] = rules[i].clone()
	}
	return rules
}
