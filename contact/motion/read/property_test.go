package read_test

import (
	"testing"

	"example.com/fitgeom/contact/motion/read"
	"example.com/fitgeom/internal/trial"
	"example.com/fitgeom/testdata/oracle/rides"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(40, 2000, 1) }

// Points of any number, frames, labels and encoding come back.
func TestPropertyC3D(t *testing.T) {
	rapid.Check(t, func(check *rapid.T) {
		points, frames := rapid.IntRange(1, 12).Draw(check, "points"), rapid.IntRange(1, 9).Draw(check, "frames")
		w := rides.Writer{
			Kind: rapid.SampledFrom([]rides.Processor{rides.Intel, rides.DEC, rides.MIPS}).Draw(check, "processor"), Real: rapid.Bool().Draw(check, "real"),
			Scale: 0.25, Rate: rapid.SampledFrom([]float64{25, 29.97, 100, 250}).Draw(check, "rate"), Unit: "mm", Extra: rapid.IntRange(0, 40).Draw(check, "analogue"),
			First: rapid.IntRange(1, 100_000).Draw(check, "first"), Residual: rapid.IntRange(0, 127).Draw(check, "residual"),
		}
		names, at, seen := make([]string, points), make([][]rides.V, points), make([][]bool, points)
		for k := range points {
			names[k] = rapid.StringMatching(`[A-Z][A-Za-z0-9:_]{0,16}`).Draw(check, "name")
			for range frames {
				v := func() float64 { return 0.25 * float64(rapid.IntRange(-32_768, 32_767).Draw(check, "coordinate")) }
				at[k], seen[k] = append(at[k], rides.V{v(), v(), v()}), append(seen[k], rapid.Bool().Draw(check, "seen"))
			}
		}
		f, err := read.C3D(t.Context(), w.Write(names, at, seen))
		require.NoError(check, err)
		require.Equal(check, names, f.Labels)
		require.Equal(check, w.First, f.First)
		require.Equal(check, frames, f.Stated)
		for k := range points {
			for i, s := range f.Points[k] {
				require.Equal(check, seen[k][i], s.Seen)
				if s.Seen {
					require.Equal(check, at[k][i], rides.V{s.At.X, s.At.Y, s.At.Z})
				}
			}
		}
	})
}
