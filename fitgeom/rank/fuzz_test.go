package rank_test

import (
	"reflect"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

// A small catalogue and shelf of any numbers, ranked for a position of any.
func FuzzIndex(f *testing.F) {
	f.Add([]byte{}, 0)
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"), 3)
	f.Add([]byte("\x03\x01\x60\x12\x03\x02\x70\x12\x05\x03\x00\x10\x40\x00\x01\x02\x02\x05\x00\x00\x01"), -1)
	f.Fuzz(func(t *testing.T, data []byte, place int) {
		s := wild.From(data)
		in := struct {
			Sizes   []fitgeom.Size
			Problem solve.Problem
			Chart   chart.Rounding
		}{Sizes: inventedSizes(3, 0.5, 1), Chart: chart.Rounding{LengthStep: 1, AngleStep: 0.5}}
		target := s.Position(riderAt(uint64(s.Byte())))
		shelf := invented.Shelf()
		shelf.Caps, shelf.Stems, shelf.Handlebars, shelf.Levers = shelf.Caps[:1], shelf.Stems[:2], shelf.Handlebars[:1], shelf.Levers[:1]
		in.Problem = solve.Problem{Target: target, Shelf: shelf, Keep: fitgeom.DefaultKeep(target), Limit: 1}
		s.Spoil(&in)
		if s.Byte()%4 == 1 {
			in.Problem.Rules, _ = rules.InForce(rules.Discipline(s.Int(5)), rules.Date{Year: 2026, Month: 6, Day: 7})
			in.Problem.Rider.Height = s.Float(1600, 2000)
		}
		if s.Byte()%8 != 0 {
			in.Problem.Frame = fitgeom.Frame{} // the index has the frames
		}
		for _, c := range in.Sizes {
			wild.Must(t, c.Validate())
		}
		wild.Must(t, in.Problem.Shelf.Validate())
		wild.Must(t, in.Chart.Validate())
		x, err := rank.NewIndex(t.Context(), in.Sizes)
		if wild.Must(t, err); x == nil {
			return
		}
		if x.Len() > len(in.Sizes) {
			t.Fatal(x.Len())
		}
		r, err := x.Rank(t.Context(), in.Problem)
		wild.Must(t, err, r)
		if m := rank.Merge(in.Problem, r); len(m.Choices) != len(r.Choices) {
			t.Fatal("another ranking")
		}
		if len(r.Choices) > 0 {
			why, err := r.Choices[0].Explain(t.Context(), in.Problem)
			wild.Must(t, err, why)
			if c := r.Choices[0]; c.Holds() != (c.Fault == nil && c.Best.Holds()) || c.Reason != 0 && c.Why() == "" {
				t.Fatal(c)
			}
		}
		switch s.Byte() % 32 { // one of them: each takes long
		case 0:
			steady, err := x.Sensitivities(t.Context(), in.Problem, in.Chart)
			wild.Must(t, err, steady)
		case 1, 2, 3:
			near, err := x.Neighbours(t.Context(), in.Problem, place)
			wild.Must(t, err, near)
			for _, n := range near {
				_ = n.String() + n.Reason.Unit()
			}
		case 4, 5, 6:
			for again, err := range x.RankEach(t.Context(), slices.Values([]contact.Position{target}), in.Problem) {
				if wild.Must(t, err); !reflect.DeepEqual(again.Choices, r.Choices) {
					t.Fatal("another ranking")
				}
			}
		}
	})
}
