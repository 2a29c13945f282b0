package survey_test

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// As many landmarks and readings as there may be are solved, and one more is refused.
func TestMost(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 2))
	s := read(aBike().turned(0), anywhere(rng), 3, 0.1, rng)
	seen := map[survey.Landmark]bool{}
	for _, r := range s.Readings {
		seen[r.Landmark] = true
	}
	for i := len(seen); i < 200; i++ {
		s.Readings = append(s.Readings, survey.Reading{Landmark: survey.Mark(strconv.Itoa(i)), At: r3.Vec{X: float64(i)}})
	}
	fix, err := s.Solve()
	require.NoError(t, err)
	s.Readings = append(s.Readings, s.Readings[0]) // the same again is not one more
	require.NoError(t, s.Validate())
	s.Readings = append(s.Readings, survey.Reading{Landmark: survey.Mark("one more")})
	err = s.Validate()
	assert.True(t, trial.FaultAt(err, "readings", contact.ErrRange), err)
	assert.Len(t, contact.Faults(err), 1)
	_, err = fix.Locate(s.Readings)
	assert.True(t, trial.FaultAt(err, "readings", contact.ErrRange), err)

	up := survey.TapeReading{Kind: survey.Vertical, From: survey.BottomBracket, To: survey.At(contact.BarClamp), Value: 640, Sigma: 1}
	ahead := survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: survey.At(contact.BarClamp), Value: 480, Sigma: 1}
	tape := survey.TapeSurvey{Readings: append(slices.Repeat([]survey.TapeReading{up}, 100), slices.Repeat([]survey.TapeReading{ahead}, 100)...)}
	_, err = tape.Solve()
	require.NoError(t, err)
	tape.Readings = append(tape.Readings, up)
	_, err = tape.Solve()
	assert.True(t, trial.FaultAt(err, "readings", contact.ErrRange), err)
}
