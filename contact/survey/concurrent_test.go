package survey_test

import (
	"math/rand/v2"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A fix, a survey and a registration that 8 goroutines use at once say what they
// say to one.
func TestConcurrent(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	s := read(aBike().turned(0), anywhere(rng), 3, 0.1, rng)
	fix, err := s.Solve()
	require.NoError(t, err)
	reg, err := survey.Register(s, s)
	require.NoError(t, err)
	all := func() []any {
		same, err := s.Solve()
		again, err2 := fix.Locate(s.Readings)
		moves, turns, err3 := survey.Compare(fix, again, 0.95)
		stands, _ := fix.Standing()
		at, sigma, _ := fix.Mark(survey.Mark("seat_tube_left"))
		at2, _ := fix.Position.At(contact.HoodsLeft)
		return []any{same.Position, same.Residuals, err, err2, moves, turns, err3, stands, at, sigma, at2, reg.Covariance(r3.Vec{X: 300}), reg.Motion.Apply(r3.Vec{Z: 700})}
	}
	want := all()
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 3 {
				assert.Equal(t, want, all())
			}
		})
	}
	group.Wait()
}
