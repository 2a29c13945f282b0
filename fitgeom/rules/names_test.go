package rules_test

import (
	"fmt"
	"slices"
	"testing"

	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/wild"
)

func FuzzNames(f *testing.F) {
	f.Add("saddle_slope", uint8(3))
	f.Add("time_trial", uint8(2))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		right(t, wild.Names(rules.ParseFigure, name, n))
		right(t, wild.Names(rules.ParseDiscipline, name, n))
		if d := rules.Discipline(n); slices.Contains(rules.Disciplines(), d) == (d.String() == fmt.Sprintf("discipline(%d)", n)) {
			t.Fatal(d)
		}
		figure := rules.Figure(n)
		if known := slices.Contains(rules.Figures(), figure); known != (figure.Unit() != "") || !known && figure.Words() != figure.String() {
			t.Fatal(figure)
		}
	})
}

func right(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
