package record

import (
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
)

// A Difference is what changed from one record to another.
type Difference struct {
	// Moves and Turns tell what moved and turned, and whether that is more than measuring
	// error: see [contact.Difference.Judge].
	Moves []contact.Move `json:"moves,omitempty"`
	Turns []contact.Turn `json:"turns,omitempty"`
	// Warnings is what else could explain a change, or hide one, in the order of subjects.
	Warnings []Warning `json:"warnings,omitempty"`
}

// A Warning is a reason not to take changes at their word.
type Warning struct {
	// Subject is what it is about.
	Subject Subject `json:"subject"`
	// Known says that it is known to be so, and not only that a record does not state it.
	Known bool `json:"known"`
	// Sites lists the sites concerned.
	Sites []contact.Site `json:"sites,omitempty"`
}

// A Subject is what a [Warning] is about. The zero Subject is not valid.
type Subject uint8

// The subjects.
const (
	// AboutSaddle to AboutWheels: the bike has another one, or a record does not state it.
	AboutSaddle Subject = iota + 1
	AboutHandlebar
	AboutLever
	AboutAero
	AboutCrank
	AboutPedal
	AboutWheels
	// AboutShoes: the rider wore others, or a record does not state them.
	AboutShoes
	// AboutWidth: the saddle reference was read, or is given, where the saddle has another
	// width. Where it is given at another and cannot be carried, the saddle has no moves.
	AboutWidth
	// AboutMethod to AboutSoftware: it was measured in another way.
	AboutMethod
	AboutInstrument
	AboutSoftware
	// AboutUncertainty: a record does not know how uncertain the sites are, so that nothing is
	// said of them.
	AboutUncertainty
	// AboutContradiction: readings of one of the records contradict one another.
	AboutContradiction
	// AboutPresence: only one of the records has the sites.
	AboutPresence
	// AboutOrder: the second record is the earlier one, or a date is not stated.
	AboutOrder

	subjectCount = int(AboutOrder) + 1
)

// subjects is the one table of subjects.
var subjects = [subjectCount]struct{ name, known, unknown string }{
	AboutSaddle:        {"saddle", "another saddle", "it is not stated whether the saddle is the same"},
	AboutHandlebar:     {"handlebar", "another handlebar", ""},
	AboutLever:         {"lever", "other levers", ""},
	AboutAero:          {"aero", "another aero bar", ""},
	AboutCrank:         {"crank", "other cranks", ""},
	AboutPedal:         {"pedal", "other pedals", "it is not stated whether the pedals are the same"},
	AboutWheels:        {"wheels", "other tyres, or another sag", ""},
	AboutShoes:         {"shoes", "other shoes", "it is not stated whether the shoes are the same"},
	AboutWidth:         {"reference_width", "the saddle reference is where the saddle has another width", ""},
	AboutMethod:        {"method", "measured by another method", ""},
	AboutInstrument:    {"instrument", "measured with another instrument", ""},
	AboutSoftware:      {"software", "worked out by another program", ""},
	AboutUncertainty:   {"uncertainty", "", "it is not known how uncertain they are, so nothing is said of them"},
	AboutContradiction: {"contradiction", "readings contradict one another", ""},
	AboutPresence:      {"presence", "in one of the records only", ""},
	AboutOrder:         {"order", "the second record is the earlier one", "a date is not stated"},
}

var subjectNames = func() *enum.Names[Subject] {
	names := make([]string, subjectCount)
	for i := range subjects {
		names[i] = subjects[i].name
	}
	return enum.New[Subject]("subject", names)
}()

// String returns the subject's name, such as "saddle".
func (s Subject) String() string { return subjectNames.String(s) }

// MarshalText writes the subject's name; it fails for an unknown number.
func (s Subject) MarshalText() ([]byte, error) { return subjectNames.Text(s) }

// UnmarshalText reads a name as [ParseSubject] does.
func (s *Subject) UnmarshalText(text []byte) error { return subjectNames.Read(s, text) }

// ParseSubject returns the subject of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseSubject(name string) (Subject, error) { return subjectNames.Parse(name) }

// String returns the warning in a few words, such as "another saddle: saddle_reference".
func (w Warning) String() string {
	if !subjectNames.Valid(w.Subject) {
		return w.Subject.String()
	}
	words := subjects[w.Subject].unknown
	if w.Known || words == "" {
		words = subjects[w.Subject].known
	}
	names := make([]string, len(w.Sites))
	for i, s := range w.Sites {
		names[i] = s.String()
	}
	if len(names) > 0 {
		words += ": " + strings.Join(names, ", ")
	}
	return words
}

// Compare returns what changed from one record to a later one, and which changes are real at
// a coverage such as 0.95 or 0.99, with the covariances of both. Where both say that the saddle
// is the same, what its nose and rear may differ from its top cancels, as in [survey.Compare].
// A saddle reference at another width is carried to that of the first record.
//
// Warnings name what makes a change something else than a change of position: another saddle
// or other shoes, another habit of measuring, what only one of them knows. They do not change
// what is judged.
//
// Faults are those of both records' Validate, under "before" and "after", and of
// [contact.Difference.Judge].
func Compare(before, after Record, coverage float64) (Difference, error) {
	var f fault.List
	f.In("before", before.validate(nil))
	f.In("after", after.validate(nil))
	if err := f.Err(); err != nil {
		return Difference{}, err
	}
	c := comparison{a: &before, b: &after}
	for _, s := range contact.Sites() {
		_, ok1 := before.Fix.Position.At(s)
		_, ok2 := after.Fix.Position.At(s)
		switch {
		case ok1 && ok2:
			c.both = append(c.both, s)
		case ok1 || ok2:
			c.one = append(c.one, s)
		}
	}
	d, err := c.judge(coverage)
	if err != nil {
		return Difference{}, err
	}
	c.parts()
	c.habits()
	judged := func(s contact.Site) bool {
		return slices.ContainsFunc(d.Moves, func(m contact.Move) bool { return m.Site == s })
	}
	silent := slices.DeleteFunc(slices.Clone(c.both), func(s contact.Site) bool { return judged(s) || c.lost && s == contact.SaddleReference })
	if len(silent) > 0 {
		c.warn(AboutUncertainty, false, silent)
	}
	c.warnIf(len(before.Fix.Suspects)+len(after.Fix.Suspects) > 0, AboutContradiction, nil)
	c.warnIf(len(c.one) > 0, AboutPresence, c.one)
	if none := (rules.Date{}); before.Date == none || after.Date == none {
		c.warn(AboutOrder, false, nil)
	}
	c.warnIf(after.Date.Before(before.Date) && after.Date != rules.Date{}, AboutOrder, nil)
	d.Warnings = c.warnings
	return d, nil
}

// A comparison is a Difference under construction.
type comparison struct {
	a, b      *Record
	both, one []contact.Site // in both of the positions, and in one alone
	lost      bool           // the saddle references are not of one width
	warnings  []Warning
}

func (c *comparison) warn(s Subject, known bool, sites []contact.Site) {
	c.warnings = append(c.warnings, Warning{Subject: s, Known: known, Sites: sites})
}

func (c *comparison) warnIf(so bool, s Subject, sites []contact.Site) {
	if so {
		c.warn(s, true, sites)
	}
}

// judge returns moves and turns.
func (c *comparison) judge(coverage float64) (d Difference, err error) {
	a, b := &c.a.Fix, &c.b.Fix
	none := part.Saddle{}
	same := c.a.Bike.Saddle != none && c.b.Bike.Saddle != none && sameParts(c.a.Bike.Saddle, c.b.Bike.Saddle)
	if same && c.a.width() == c.b.width() {
		d.Moves, d.Turns, err = survey.Compare(*a, *b, coverage)
		return d, err
	}
	after, covariance, wrong := c.b.carry(c.a.width())
	if wrong != nil {
		c.lost = true
		after, covariance = b.Position, b.Covariance
	}
	d.Moves, d.Turns, err = after.Sub(a.Position).Judge(a.Covariance.Add(covariance), coverage)
	if c.lost {
		d.Moves = slices.DeleteFunc(d.Moves, func(m contact.Move) bool { return m.Site == contact.SaddleReference })
	}
	return d, err
}

// of returns the sites of some groups that both positions have.
func (c *comparison) of(groups ...contact.Group) (all []contact.Site) {
	for _, s := range c.both {
		if slices.Contains(groups, s.Group()) {
			all = append(all, s)
		}
	}
	return all
}

// parts warns of other parts, where both positions have sites that these carry.
func (c *comparison) parts() {
	a, b := &c.a.Bike, &c.b.Bike
	saddle, hands, pads := c.of(contact.OnSaddle), c.of(contact.OnHandlebar), c.of(contact.OnAeroBar)
	pedals, feet := c.of(contact.OnPedals), c.of(contact.OnFeet)
	compareParts(c, AboutSaddle, a.Saddle, b.Saddle, saddle)
	compareParts(c, AboutHandlebar, a.Handlebar, b.Handlebar, hands)
	compareParts(c, AboutLever, a.Lever, b.Lever, hands)
	compareParts(c, AboutAero, a.Aero, b.Aero, pads)
	compareParts(c, AboutCrank, a.Crank, b.Crank, append(slices.Clone(pedals), feet...))
	compareParts(c, AboutPedal, a.Pedal, b.Pedal, feet)
	compareParts(c, AboutWheels, a.Wheels, b.Wheels, c.both)
	if x, y := c.a.Shoes, c.b.Shoes; (x != y || x == "") && len(feet) > 0 {
		c.warn(AboutShoes, x != "" && y != "", feet)
	}
}

// compareParts warns where parts are not the same. That one is not stated is said of what
// easily stays unsaid.
func compareParts[T comparable](c *comparison, s Subject, a, b T, sites []contact.Site) {
	var none T
	stated := a != none && b != none
	if len(sites) == 0 || stated && sameParts(a, b) || !stated && subjects[s].unknown == "" {
		return
	}
	c.warn(s, stated, sites)
}

// habits warns where the positions were not measured in the same way.
func (c *comparison) habits() {
	a, b := c.a, c.b
	read := func(r *Record) float64 {
		if r.Profile.Width != 0 {
			return r.Profile.Width
		}
		return r.width()
	}
	if s := c.of(contact.OnSaddle); len(s) > 0 {
		c.warnIf(c.lost || read(a) != read(b), AboutWidth, s)
	}
	p, q := &a.Provenance, &b.Provenance
	c.warnIf(p.Method != 0 && q.Method != 0 && p.Method != q.Method, AboutMethod, nil)
	c.warnIf(p.Instrument != "" && q.Instrument != "" && p.Instrument != q.Instrument, AboutInstrument, nil)
	c.warnIf(p.Software != "" && q.Software != "" && p.Software != q.Software, AboutSoftware, nil)
}
