package convert_test

import (
	"math/rand/v2"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A sheet and its solution that 8 goroutines use at once
// say what they say to one.
func TestConcurrent(t *testing.T) {
	p := everything(rand.New(rand.NewPCG(8, 8)), true)
	sheet, err := convert.NewSheet(p, basis, convert.Measures()...)
	require.NoError(t, err)
	sheet.Basis.Mirrored = true
	for i := range sheet.Entries {
		sheet.Entries[i].Sigma = 1 + float64(i%3)
	}
	sol, err := sheet.Solve()
	require.NoError(t, err)
	all := func() []any {
		again, err := sheet.Solve()
		with, err2 := convert.NewSheetWithSigma(sol.Position, sol.Covariance, basis, convert.SaddleHeight, convert.HoodsReach)
		c := contact.Coordinate{Site: contact.SaddleReference}
		x, _ := again.Covariance.At(c, c)
		return []any{again.Position, again.Checks, x, err, with, err2}
	}
	want := all()
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 5 {
				assert.Equal(t, want, all())
			}
		})
	}
	group.Wait()
}
