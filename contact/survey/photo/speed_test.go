package photo_test

import (
	"testing"

	"example.com/fitgeom/testdata/oracle/photographs"
	"github.com/stretchr/testify/require"
)

// Five photographs of 25 points.
func BenchmarkSolve(b *testing.B) {
	s := drawn(photographs.New(3, photographs.Options{Kind: "road", Count: 5, Sigma: 1.5}), 1.5)
	for b.Loop() {
		_, err := s.Solve(b.Context())
		require.NoError(b, err)
	}
}

// Five photographs in which something is wrong, each of the slips in turn.
func BenchmarkContradicted(b *testing.B) {
	for _, slip := range slips {
		s, _ := slip.plant(1)
		b.Run(slip.name, func(b *testing.B) {
			for b.Loop() {
				_, _ = s.Solve(b.Context())
			}
		})
	}
}
