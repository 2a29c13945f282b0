package kit

import (
	"context"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
)

// SizeName names a size: "road 54".
func SizeName(s fitgeom.Size) string { return s.Family + " " + s.Label }

// Holding returns for each size whether it holds a position, and how many do.
func Holding(p solve.Problem, sizes []fitgeom.Size) (holds []bool, count int) {
	holds = make([]bool, len(sizes))
	p.Limit = 1
	for i := range sizes {
		p.Frame = sizes[i].Frame
		r, err := p.Solve(context.Background())
		if holds[i] = err == nil && r.Holds(); holds[i] { // an error: no part fits
			count++
		}
	}
	return holds, count
}
