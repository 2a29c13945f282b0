package rules_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

// Figures and rules, those of the package and others, of a build of any numbers.
func FuzzFigures(f *testing.F) {
	invented.FuzzBuild(f, func(t *testing.T, s *wild.Source, b fitgeom.Build) {
		stating := b
		stating.Handlebar.Drop.Tube, stating.Lever.Breadth, stating.Aero.PadLength, stating.Aero.PadBreadth = 24, 36, 120, 90
		for f := range rules.PadBreadth + 2 {
			v, _, err := f.Of(b)
			wild.Must(t, err, v)
			v, _, err = f.Of(stating)
			wild.Must(t, err, v)
		}
		rider := rules.Rider{Height: s.Float(1500, 2000)}
		_ = rider.Validate()
		day := rules.Date{Year: 2010 + s.Int(20), Month: s.Int(14), Day: s.Int(33)}
		if text, err := day.MarshalText(); (err == nil) != (day.Validate() == nil) || err == nil && day.String() != string(text) {
			t.Fatal(day)
		}
		if d, err := rules.ParseDate(s.Text(12)); err != nil && d != (rules.Date{}) || day.Before(d) && d.Before(day) {
			t.Fatal(d)
		}
		set, _ := rules.InForce(rules.Discipline(s.Int(6)), day)
		bound := rules.Bound{Figure: rules.Figure(s.Byte()), Min: s.Float(0, 100), Max: s.Float(0, 100)}
		set.Rules = append(set.Rules, rules.Rules()...)
		set.Rules = append(set.Rules, rules.Rule{
			Bound: bound, Unless: rules.Bound{Figure: rules.Figure(s.Byte()), Max: s.Float(0, 100)}, Margin: s.Float(0, 10), RiderTo: s.Float(1500, 2000),
		})
		_ = set.Validate()
		found, err := set.Check(b, rider)
		wild.Must(t, err)
		p, wrong := b.Position()
		broken := false
		for _, f := range found {
			wild.Must(t, err, f.Value, f.Other)
			broken = broken || f.Known && !f.Kept
			if f.Kept && !f.Tolerated() && f.Known || len(f.String()) == 0 {
				t.Fatal(f)
			}
			if applies, known := f.Rule.For(rider); known && !applies {
				t.Fatal(f)
			}
		}
		if breaks := set.Breaks(&b, &p, rider); wrong == nil && err == nil && breaks != broken {
			t.Fatal(found)
		}
		odd := set.Rules[len(set.Rules)-1]
		f, err := odd.Check(b, rider)
		wild.Must(t, err, f.Value)
		_ = odd.String() + bound.String() + bound.Figure.Unit() + bound.Figure.String() + bound.Figure.Words()
		if g := contact.Group(s.Int(8)); bound.Figure.DependsOn(g) && !odd.DependsOn(g) || bound.Figure.DependsOnWheels() && !odd.DependsOnWheels() {
			t.Fatal(odd, g)
		}
	})
}
