package rules_test

import (
	"testing"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

// Figures and rules, those of the package and others, of a build of any numbers.
func FuzzFigures(f *testing.F) {
	invented.FuzzBuild(f, func(t *testing.T, s *wild.Source, b fitgeom.Build) {
		for f := range rules.HeelToStay + 2 {
			v, _, err := f.Of(b)
			wild.Must(t, err, v)
		}
		for _, r := range rules.Rules() {
			v, _, _, err := r.Check(b)
			wild.Must(t, err, v)
		}
		odd := rules.Rule{Figure: rules.Figure(s.Byte()), Min: s.Float(0, 100), Max: s.Float(0, 100)}
		v, _, _, err := odd.Check(b)
		wild.Must(t, err, v)
		_ = odd.String() + rules.Figure(s.Byte()).Unit() + rules.Figure(s.Byte()).String() + rules.Figure(s.Byte()).Words()
	})
}
