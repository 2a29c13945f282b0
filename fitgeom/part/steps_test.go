package part_test

import (
	"math"
	"testing"

	"example.com/fitgeom/fitgeom/part"
	"github.com/stretchr/testify/assert"
)

// Nothing is nearest to what is no number: found by fuzzing.
func TestNearestToNoNumber(t *testing.T) {
	nan := math.NaN()
	for _, s := range []part.Steps{{From: -62.353515625, To: 56.4697265625}, {From: 0, To: 10}, {From: 0, To: 10, Step: 5}, {}} {
		for _, at := range [][3]float64{{nan, 0, 10}, {0, nan, 10}, {0, 0, nan}, {nan, nan, nan}, {0, -62.353515625, nan}} {
			v, ok := s.Nearest(at[0], at[1], at[2])
			assert.False(t, ok, "%v %v: %v", s, at, v)
		}
		assert.False(t, s.Has(nan))
		assert.False(t, s.Has(math.Inf(1)))
	}
}

// Steps that Validate refuses have no values, and no numbers that make no sense.
func TestStepsThatAreNone(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, s := range []part.Steps{
		{From: 10, To: 0, Step: 1},
		{From: 10, To: 0},
		{From: 0, To: 10, Step: -1},
		{From: 10, To: 0, Step: -1},
		{From: nan, To: 1, Step: 1},
		{From: 0, To: nan, Step: 1},
		{From: 0, To: 1, Step: nan},
		{From: nan, To: nan},
		{From: 0, To: nan},
		{From: -inf, To: inf, Step: 1},
		{From: inf, To: inf},
		{From: -inf, To: inf},
		{From: 0, To: 1, Step: inf},
		{From: 0, To: 1e300, Step: 1},
		{From: 0, To: 10, Step: 5e-324},
	} {
		assert.LessOrEqual(t, s.Count(), 1, "%v", s)
		assert.GreaterOrEqual(t, s.Count(), 0, "%v", s)
		v, ok := s.Nearest(5, -inf, inf)
		assert.False(t, ok, "%v: %v", s, v)
		assert.False(t, s.Has(0), "%v", s)
		assert.False(t, s.Has(s.From), "%v", s)
	}
	assert.Equal(t, 10.0, part.Steps{From: 0, To: 10, Step: -3}.Last())
	assert.Equal(t, 9.0, part.Steps{From: 0, To: 10, Step: 3}.Last())
}
