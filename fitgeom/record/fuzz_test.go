package record_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/wild"
)

// Records some of whose numbers are anything, against one that is sound.
func FuzzRecord(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"))
	f.Add([]byte("\x03\x00\x60\x12\x03\x00\x70\x12\x05\x00\x00\x10\x40\x00\x01\x02"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		good, r := aRecord(), aRecord()
		r.Date = rules.Date{Year: 2010 + s.Int(20), Month: 1 + s.Int(12), Day: 1 + s.Int(29)}
		s.Spoil(&r)
		if s.Byte()%2 == 0 {
			r.Fix.Position, r.Fix.Covariance = wildPosition(s), contact.Covariance{}
		}
		err := r.Validate()
		wild.Must(t, err)
		build, ok := r.Bike.Build()
		if wrong := r.Bike.Validate(); err == nil && (wrong != nil || ok && build.Validate() != nil) {
			t.Fatal(wrong)
		}
		if err == nil {
			text, wrong := json.Marshal(r)
			var back record.Record
			if wrong != nil || json.Unmarshal(text, &back) != nil || back.Validate() != nil {
				t.Fatal(wrong, string(text))
			}
		}
		if left := r.Anonymous(); err == nil && left.Validate() != nil || fmt.Sprint(left.Personal) != "personal" {
			t.Fatal(left.Validate())
		}
		r.Personal.Format(printer{}, 'v')
		p, c, wrong := r.Target()
		wild.Must(t, wrong)
		if wrong == nil && (p.Validate() != nil || len(c.Coordinates()) != len(r.Fix.Covariance.Coordinates())) {
			t.Fatal(p)
		}
		d, wrong := record.Compare(good, r, s.Float(0, 1))
		wild.Must(t, wrong)
		for _, m := range d.Moves {
			wild.Must(t, wrong, m.By.X, m.Sigma.Y, m.Chance)
		}
		for _, w := range d.Warnings {
			if got, wrong := record.ParseSubject(w.Subject.String()); wrong != nil || got != w.Subject || w.String() == "" {
				t.Fatal(w)
			}
		}
		_, _ = record.ParseMethod(s.Text(9))
		_ = record.Method(s.Byte()).String() + record.Subject(s.Byte()).String()
		h := record.History{}.Add(good).Add(r)
		wild.Must(t, h.Validate())
		_, wrong = h.Changes(0.95)
		wild.Must(t, wrong)
		if last, ok := h.On(rules.Date{Year: 9999, Month: 12, Day: 31}); !ok || last.Validate() != nil && err == nil {
			t.Fatal(h)
		}
		problem := another()
		problem.Limit = 1
		_, wrong = r.Reproduce(t.Context(), problem, solve.Errors{})
		wild.Must(t, wrong)
	})
}

// printer is a fmt.State that nobody reads.
type printer struct{ fmt.State }

func (printer) Write(b []byte) (int, error) { return len(b), nil }

func wildPosition(s *wild.Source) (p contact.Position) {
	for _, site := range contact.Sites() {
		if s.Byte()%3 == 0 {
			p.Set(site, s.Vec(-300, 700))
		}
	}
	return p
}
