package golden

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/fitgeom/words"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// FollowSheet sets up a build's parts as its set-up sheet is read, step by step and with the
// numbers as they are printed, and takes every measure of the sheet: each lies where the
// sheet says, on its side, and if the build holds the position, within what is allowed. It
// returns the steps.
func FollowSheet(t *testing.T, c fitgeom.Candidate) []solve.Step {
	t.Helper()
	basis := convert.Basis{SeatAngle: c.Build.Frame.Geometry.SeatAngle}
	steps, err := solve.SetUp(c, basis)
	require.NoError(t, err)
	b := c.Build
	b.Settings = fitgeom.Settings{}
	s := &b.Settings
	settings := map[string]*float64{
		"spacers": &s.Spacers, "spacers_above": &s.SpacersAbove, "bar_rotation": &s.BarRotation,
		"aero_tilt": &s.AeroTilt, "pad_rise": &s.PadRise, "pad_forward": &s.PadForward, "pad_width": &s.PadWidth, "extension": &s.Extension,
		"seatpost_extension": &s.SeatpostExtension, "rail_clamp": &s.RailClamp, "saddle_tilt": &s.SaddleTilt,
		"lift_left": &s.LiftLeft, "lift_right": &s.LiftRight,
	}
	verified := 0
	for _, step := range steps {
		read := math.Round(step.Value*10) / 10
		if to, ok := settings[step.Name]; ok && !step.Verify {
			*to = read
		}
		for _, say := range step.Sentences {
			s.Flipped = s.Flipped || say.Phrase == words.PutStemFlipped
			if a, ok := say.Argument("spacers"); ok {
				sum := 0.0
				for one := range strings.SplitSeq(strings.TrimSuffix(a.Text, " mm"), " + ") {
					v, err := strconv.ParseFloat(one, 64)
					require.NoError(t, err)
					sum += v
				}
				assert.InDelta(t, sum, step.Value, 0.05, "the spacers that are named")
			}
		}
		if !step.Verify {
			continue
		}
		verified++
		m, err := convert.ParseMeasure(step.Name)
		require.NoError(t, err)
		p, err := b.Position()
		require.NoError(t, err)
		on := basis
		on.Side = step.Side
		v, err := m.Of(p, on)
		require.NoError(t, err)
		assert.InDelta(t, step.Value, v, 0.3, "%v: what is printed is rounded", step)
		if step.Limited && c.Holds() {
			assert.GreaterOrEqual(t, v, step.Low-0.05, step)
			assert.LessOrEqual(t, v, step.High+0.05, step)
		}
		on.Side = contact.Left
		l, errL := m.Of(p, on)
		on.Side = contact.Right
		r, errR := m.Of(p, on)
		if step.Side == contact.Centre && step.Limited && errL == nil && errR == nil {
			assert.LessOrEqual(t, math.Abs(l-r), (step.High-step.Low)/2+0.05, "%v: no side is averaged away", step)
		}
	}
	assert.Positive(t, verified)
	return steps
}
