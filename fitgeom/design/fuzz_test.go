package design_test

import (
	"context"
	"math"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

// A design for a position, parts and wishes of any numbers.
func FuzzDesign(f *testing.F) {
	f.Add([]byte{}, uint8(1))
	f.Add([]byte("\x03\x01\x00\x20\x30\x40\x02\x00\x10\x50\x60\x01\x11\x22\x33\x44\x55\x66\x77"), uint8(3))
	f.Add([]byte("\x05\x00\x02\x00\x05\x00\x0b\x08\x08\x00\x0c\x30\x30\x00\x00\x01\x02\x03\x04"), uint8(12))
	index, err := rank.NewIndex(context.Background(), []fitgeom.Size{{Family: "road", Label: "54", Frame: invented.Road54()}})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte, seed uint8) {
		s := wild.From(data)
		p := invention()
		p.Target = s.Position(p.Target)
		sane := func(err error) {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
		}
		for range s.Int(6) {
			w := design.Wish{Subject: subject(s), From: s.Float(-100, 700)}
			w.To = w.From + s.Float(0, 50)
			if s.Int(4) == 0 {
				w.To = math.Inf(1)
			}
			_ = w.String() + w.Subject.Unit()
			sane(wild.Proper(w.Validate()))
			if w.Validate() == nil || s.Int(8) == 0 {
				p.Wishes = append(p.Wishes, w)
			}
		}
		if len(data) > 0 && seed%3 == 0 {
			s.Spoil(&p)
		}
		p.Budget = fitgeom.Budget{Work: 3_000_000}
		sane(wild.Proper(p.Validate()))
		d, err := p.Solve(t.Context())
		sane(wild.Proper(err))
		if err != nil {
			d = design.Design{}
		}
		if d.Holds() != (err == nil && len(d.Contradictions) == 0) {
			t.Fatal(d.Holds(), err)
		}
		sane(wild.Sound(d.Geometry(), d.Front().Up, d.Front().Stem.Length, d.Front().Stem.Angle, d.Front().StemAngle, d.Contradictions, d.Changes))
		sane(wild.JSON(p, data))
		for _, v := range d.Report().Values {
			sane(wild.JSON(v, data))
		}
		sane(wild.Sound(d.Chart(chart.Rounding{LengthStep: 1, AngleStep: 0.1}).Entries))
		for _, w := range d.Wishes {
			v, sigma, ok := d.Value(w.Subject)
			sane(wild.Sound(v, sigma))
			if ok && d.Holds() && (v < w.From-1e-5 || v > w.To+1e-5) {
				t.Fatal(w, v)
			}
		}
		v, sigma, _ := d.Get(chart.Stack)
		both, _ := d.Covariance(chart.Stack, chart.Reach)
		sane(wild.Sound(v, sigma, both))
		sane(wild.JSON(d, data))
		w, err := d.Drawing()
		sane(wild.Check(err, w))
		for _, tube := range [...]design.Tube{w.Head, w.Seat, w.Top, w.Down} {
			around := s.Float(-400, 400)
			length, err := tube.Cut(around)
			sane(wild.Check(err, length, tube.Length()))
			at, err := tube.AtTo.At(around)
			sane(wild.Check(err, at))
			sane(wild.Proper(tube.AtTo.Validate()))
		}
		sane(wild.Proper(p.Tubes.Validate()))
		if seed%5 != 0 {
			return
		}
		ranges, err := p.Ranges(t.Context())
		sane(wild.Proper(err))
		for _, r := range ranges {
			sane(wild.Sound(r.From, r.To))
			if v, _, ok := d.Value(r.Subject); d.Holds() && (!ok || v < r.From-1e-5 || v > r.To+1e-5) {
				t.Fatal(r, v)
			}
		}
		near, err := d.Nearest(t.Context(), index, solve.Problem{Shelf: invented.Shelf()})
		sane(wild.Proper(err))
		for _, n := range near {
			sane(wild.Sound(n.Off))
		}
	})
}

func subject(s *wild.Source) (of design.Subject) {
	switch s.Int(7) {
	case 0:
		of.Setting = design.Setting(s.Int(len(design.Settings()) + 2))
	case 1:
		of.Clearance = clearance.Quantity(s.Byte() % 14)
	case 2:
		of.Dimension, of.Setting = chart.Stack, design.StemUp
	default:
		of.Dimension = chart.Dimension(s.Int(len(chart.Dimensions()) + 2))
	}
	_ = of.String()
	return of
}

func FuzzNames(f *testing.F) {
	f.Add("stem_length", uint8(1))
	f.Add("saddle_back", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		if err := wild.Names(design.ParseSetting, name, n); err != nil {
			t.Fatal(err)
		}
		_ = design.Setting(n).Unit()
	})
}
