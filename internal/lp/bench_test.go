package lp_test

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/internal/lp"
)

// benchmarked returns programs of up to 15 columns and rows, of which all kinds end.
func benchmarked() (all []lp.Program) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 100 {
		all = append(all, dense(rng, 15))
	}
	return all
}

func BenchmarkSolve(b *testing.B) {
	all := benchmarked()
	b.ReportAllocs()
	for b.Loop() {
		for i := range all {
			all[i].Solve()
		}
	}
}

// BenchmarkGonum is the baseline of BenchmarkSolve: the same programs.
func BenchmarkGonum(b *testing.B) {
	var all []standard
	for _, p := range benchmarked() {
		all = append(all, standardOf(p))
	}
	b.ReportAllocs()
	for b.Loop() {
		for _, s := range all {
			_, _, _ = s.solve()
		}
	}
}
