package rules

import (
	"fmt"
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/field"
)

// A Bound is the limits of a figure. The zero Bound limits nothing.
type Bound struct {
	Figure Figure
	// Min and Max are the limits of the figure, in its unit; a missing one is infinite.
	Min, Max float64
}

// A Rule is a published limit, with its source and its date. It is data: rules change,
// differ by discipline and country, and the organiser or the authority decides.
type Rule struct {
	Bound
	// Below says that the figure must be less than Max, and Max itself is too much.
	Below bool
	// Margin is by how much checks let the figure be beyond its limit, for what measuring
	// may be wrong. It does not change the limit.
	Margin float64
	// Unless is a bound of another figure within which this rule is kept whatever its own
	// figure: the two are judged together. The zero Bound: there is none.
	Unless Bound
	// RiderFrom and RiderTo are for whom the rule is, by the rider's height in mm: from the
	// first, up to less than the second. Zero: no such end.
	RiderFrom, RiderTo float64
	// Disciplines are those that a race rule is for; none for standards of products.
	Disciplines []Discipline
	// From is the first day on which the project knows a race rule to have been in force,
	// and Until the first on which it no longer was. A zero Until: none is known.
	From, Until Date
	// Source is the document and the place in it, and Edition the one that is quoted.
	Source, Edition string
	// Applies says to what or whom the rule applies, in words, besides riders and disciplines;
	// empty for all.
	Applies string
	// Reading says how a text is read that can be read in several ways; empty for others.
	Reading string
	// Seen says how the project has seen the number: in the document itself, in a
	// secondary one that quotes it, or not at all: "from memory".
	Seen string
}

// String returns the bound as in "extension tip above the forearm pad at most 120 mm".
func (b Bound) String() string { return b.text("at most") }

func (b Bound) text(most string) string {
	var s strings.Builder
	s.WriteString(b.Figure.Words())
	if !math.IsInf(b.Min, -1) {
		fmt.Fprintf(&s, " at least %g %s", b.Min, b.Figure.Unit())
	}
	if !math.IsInf(b.Max, 1) {
		if !math.IsInf(b.Min, -1) {
			s.WriteString(" and")
		}
		fmt.Fprintf(&s, " %s %g %s", most, b.Max, b.Figure.Unit())
	}
	return s.String()
}

// String returns the rule as in "slope of the saddle at most 9 degrees (…)".
func (r Rule) String() string {
	most := "at most"
	if r.Below {
		most = "less than"
	}
	var s strings.Builder
	s.WriteString(r.Bound.text(most))
	if r.Unless.Figure != 0 {
		s.WriteString(" unless " + r.Unless.String())
	}
	if r.Margin != 0 {
		fmt.Fprintf(&s, ", with a margin of %g %s", r.Margin, r.Figure.Unit())
	}
	for _, more := range [...]string{r.riders(), r.Applies, r.Reading} {
		if more != "" {
			s.WriteString(", " + more)
		}
	}
	return s.String() + " (" + r.Source + ", " + r.Edition + ")"
}

// riders says in words for whom the rule is.
func (r *Rule) riders() string {
	switch from, to := r.RiderFrom/10, r.RiderTo/10; {
	case from != 0 && to != 0:
		return fmt.Sprintf("riders from %.1f to less than %.1f cm", from, to)
	case from != 0:
		return fmt.Sprintf("riders from %.1f cm", from)
	case to != 0:
		return fmt.Sprintf("riders under %.1f cm", to)
	}
	return ""
}

// A Rider is what rules need to know of a rider. The zero Rider is one of whom nothing is
// known.
type Rider struct {
	// Height is the rider's height, standing without shoes.
	Height float64 `json:"height_mm,omitzero" length:"500 to 2500" zero:"not known"`
}

var riderFields = field.New[Rider]()

// Validate reports a height that is out of range.
func (r Rider) Validate() error { return riderFields.Validate(&r) }

// For reports whether the rule is for a rider, and whether that is known; ignore the first
// where it is not.
func (r Rule) For(rider Rider) (applies, known bool) { return r.isFor(rider) }

func (r *Rule) isFor(rider Rider) (applies, known bool) {
	if r.RiderFrom == 0 && r.RiderTo == 0 {
		return true, true
	}
	h := rider.Height
	return h >= r.RiderFrom && (r.RiderTo == 0 || h < r.RiderTo), h != 0
}

// DependsOn reports whether the rule looks at what is on that part of the bike: see
// [Figure.DependsOn].
func (r Rule) DependsOn(g contact.Group) bool {
	return r.Figure.DependsOn(g) || r.Unless.Figure.DependsOn(g)
}

// DependsOnWheels reports whether the rule looks at wheels or axles: see
// [Figure.DependsOnWheels].
func (r Rule) DependsOnWheels() bool {
	return r.Figure.DependsOnWheels() || r.Unless.Figure.DependsOnWheels()
}

// A Finding is what a rule says of a build.
type Finding struct {
	Rule Rule
	// Value is the rule's figure, and Stated whether the build has it and states what it
	// needs; ignore Value where it does not.
	Value  float64
	Stated bool
	// Side is the side of which Value is, where the sides may differ: the worse one.
	Side contact.Side
	// Known tells whether it is known that the rule is kept, and Kept whether it is; ignore
	// Kept where it is not known.
	Known, Kept bool
	// By is how far Value is beyond its limit, in the figure's unit: positive above Max,
	// negative below Min. It is 0 within the limits, and for a figure that must be less than
	// Max and equals it.
	By float64
	// Other is the figure of Rule.Unless, OtherStated whether the build states it, and OtherBy
	// how far it is beyond its limit. They are zero where the rule has no such figure.
	Other       float64
	OtherStated bool
	OtherBy     float64
}

// Tolerated reports whether checks let the build pass: the rule is kept, or broken by no
// more than its margin.
func (f Finding) Tolerated() bool {
	return f.Known && (f.Kept || f.Rule.Margin != 0 && math.Abs(f.By) <= f.Rule.Margin+leeway)
}

// String returns the finding as in "extension tip in front of the bottom bracket 820.0 mm:
// broken by 70.0 mm".
func (f Finding) String() string {
	s := f.Rule.Figure.Words()
	if f.Stated {
		s += fmt.Sprintf(" %.1f %s", f.Value, f.Rule.Figure.Unit())
	}
	switch {
	case !f.Known:
		return s + ": not known"
	case f.Kept:
		return s + ": kept"
	case f.Tolerated():
		return s + fmt.Sprintf(": broken by %.1f %s, within the margin", math.Abs(f.By), f.Rule.Figure.Unit())
	default:
		return s + fmt.Sprintf(": broken by %.1f %s", math.Abs(f.By), f.Rule.Figure.Unit())
	}
}

// Check returns what the rule says of a rider's build. A rule that is not for the rider is
// kept. Faults are those of [fitgeom.Build.Validate] and [Rider.Validate].
func (r Rule) Check(b fitgeom.Build, rider Rider) (Finding, error) {
	one := Set{Rules: []Rule{r}}
	all, err := one.check(&b, rider)
	if err != nil {
		return Finding{Rule: r}, err
	}
	return all[0], nil
}

// leeway keeps rounding from deciding.
const leeway = 1e-9

// beyond is how far a value is beyond the bound: 0 within.
func (b *Bound) beyond(v float64) float64 {
	switch {
	case v > b.Max+leeway:
		return v - b.Max
	case v < b.Min-leeway:
		return v - b.Min
	}
	return 0
}

// judge is the one place where a rule is judged: it fills in a finding, which is empty, but
// for its rule.
func (r *Rule) judge(f *Finding, b *fitgeom.Build, p *contact.Position, rider Rider) {
	applies, known := r.isFor(rider)
	within := false
	if f.Value, f.Side, f.Stated = r.Figure.of(b, p); f.Stated {
		f.By = r.beyond(f.Value)
		within = f.By == 0 && !(r.Below && f.Value >= r.Max-leeway)
	}
	f.Known, f.Kept = f.Stated, within
	if r.Unless.Figure != 0 {
		if f.Other, _, f.OtherStated = r.Unless.Figure.of(b, p); f.OtherStated {
			f.OtherBy = r.Unless.beyond(f.Other)
		}
		f.Kept = within || f.OtherStated && f.OtherBy == 0
		f.Known = f.Kept || f.Stated && f.OtherStated
	}
	switch {
	case !known:
		f.Known, f.Kept = false, false
	case !applies:
		f.Known, f.Kept = true, true
	}
}
