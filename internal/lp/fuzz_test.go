package lp_test

import (
	"math"
	"slices"
	"testing"

	"example.com/fitgeom/internal/lp"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/wild"
)

// wildProgram reads a program whose numbers are anything, and whose lengths mostly fit.
func wildProgram(s *wild.Source) lp.Program {
	var p lp.Program
	n := s.Int(7)
	for range n {
		p.Cost = append(p.Cost, s.Float(-5, 5))
	}
	for range s.Int(8) {
		length := n
		if s.Byte() == 255 {
			length = s.Int(9)
		}
		var row []float64
		for range length {
			row = append(row, s.Float(-5, 5))
		}
		p.Rows, p.Right = append(p.Rows, row), append(p.Right, s.Float(-2, 5))
	}
	if s.Byte() == 255 {
		p.Right = append(p.Right, s.Float(-2, 5))
	}
	return p
}

func bits(v []float64) (all []uint64) {
	for _, f := range v {
		all = append(all, math.Float64bits(f))
	}
	return all
}

// Any program ends, in an x that is finite or in none, and stays as it was.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte{2, 99, 10, 0, 99, 20, 0, 3, 0, 99, 200, 0, 99, 0, 0, 99, 160, 0, 0, 99, 0, 0, 99, 250, 0, 99, 99, 0, 0, 0, 9, 0, 0})
	f.Add([]byte{1, 0, 0, 1, 0, 0, 1, 0, 2})
	f.Add([]byte{1, 99, 0, 0, 2, 255, 8, 1, 2, 3, 4})
	f.Add([]byte{3, 0, 9, 0, 10, 0, 11, 2, 0, 0, 12, 0, 10, 0, 9, 0, 5, 0, 0, 6, 0, 5, 0, 6, 0, 5})
	f.Fuzz(func(t *testing.T, data []byte) {
		p := wildProgram(wild.From(data))
		before := lp.Program{Cost: slices.Clone(p.Cost), Right: slices.Clone(p.Right)}
		for _, row := range p.Rows {
			before.Rows = append(before.Rows, slices.Clone(row))
		}
		x, ok := p.Solve()
		switch {
		case ok && (len(x) != len(p.Cost) || !num.Finite(x...)):
			t.Fatalf("%v for %v", x, p)
		case !ok && x != nil:
			t.Fatalf("%v for %v, which has none", x, p)
		}
		same := slices.Equal(bits(before.Cost), bits(p.Cost)) && slices.Equal(bits(before.Right), bits(p.Right))
		for i := range p.Rows {
			same = same && slices.Equal(bits(before.Rows[i]), bits(p.Rows[i]))
		}
		if !same {
			t.Fatalf("%v became %v", before, p)
		}
		again, _ := p.Solve()
		if !slices.Equal(bits(x), bits(again)) {
			t.Fatalf("%v, then %v for %v", x, again, p)
		}
	})
}
