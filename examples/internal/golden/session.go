package golden

import (
	"bytes"
	"context"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Landmark is where something is on an invented bike, in the bike's own axes.
type Landmark struct {
	Name survey.Landmark
	At   r3.Vec
}

// A Session is how an arm reads an invented bike.
type Session struct {
	// FrontRadius, RearRadius and RadiusSigma are as in [survey.Survey], mm.
	FrontRadius, RearRadius, RadiusSigma float64
	// Lean (to the right) and NoseUp are how the bike stands, degrees.
	Lean, NoseUp float64
	// Arm and Origin are how the arm's axes are turned, and where the bottom bracket
	// lies in them.
	Arm    r3.Rotation
	Origin r3.Vec
	// Sigma is the noise along each axis, mm.
	Sigma float64
	// Times is how often each landmark is read, and Decimals how many are kept.
	Times, Decimals int
	// Seed makes the noise.
	Seed [2]uint64
}

// Read reads the bike, landmark after landmark, and so several times.
func (s Session) Read(bike []Landmark) survey.Survey {
	const rad = math.Pi / 180
	rng := rand.New(rand.NewPCG(s.Seed[0], s.Seed[1]))
	d := survey.Survey{
		Sigma: r3.Vec{X: s.Sigma, Y: s.Sigma, Z: s.Sigma}, FrontRadius: s.FrontRadius, RearRadius: s.RearRadius, RadiusSigma: s.RadiusSigma,
		Up: kit.Round(s.Arm.Rotate(r3.Vec{Z: 1}), 5),
	}
	for range s.Times {
		for _, l := range bike {
			v := r3.Rotate(l.At, s.Lean*rad, r3.Vec{X: 1})
			v = r3.Rotate(v, -s.NoseUp*rad, r3.Vec{Y: 1})
			noise := r3.Scale(s.Sigma, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			d.Readings = append(d.Readings, survey.Reading{Landmark: l.Name, At: kit.Round(r3.Add(r3.Add(s.Arm.Rotate(v), s.Origin), noise), s.Decimals)})
		}
	}
	return d
}

// Survey compares an embedded survey with what it was invented as, or writes it if
// UPDATE_GOLDEN is set. Numbers are kept to a step.
func Survey(t *testing.T, name string, data *[]byte, want kit.Doc[survey.Survey], step float64) {
	t.Helper()
	if os.Getenv("UPDATE_GOLDEN") != "" {
		var err error
		*data, err = want.JSON()
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(name, *data, 0o666))
	}
	got, note, err := exchange.Read[survey.Survey](context.Background(), bytes.NewReader(*data))
	require.NoError(t, err)
	assert.Equal(t, want.Note, note)
	// A processor may round the last decimal the other way.
	near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1.1*step })
	if d := cmp.Diff(want.Value, got, near); d != "" {
		t.Fatal(name + ": " + d)
	}
}

// Moved checks that two fixes differ by what was done between them, and that every
// difference is judged as what it is.
func Moved(t *testing.T, before, after survey.Fix, coverage float64, done map[contact.Site]r3.Vec) ([]contact.Move, []contact.Turn) {
	t.Helper()
	moves, turns, err := survey.Compare(before, after, coverage)
	require.NoError(t, err)
	for _, m := range moves {
		want := done[m.Site]
		assert.Equal(t, want != r3.Vec{}, m.Real, "%v moved by %v ± %v", m.Site, m.By, m.Sigma)
		off := r3.Sub(m.By, want)
		assert.LessOrEqual(t, math.Abs(off.X), 3*m.Sigma.X, m.Site)
		assert.LessOrEqual(t, math.Abs(off.Y), 3*m.Sigma.Y, m.Site)
		assert.LessOrEqual(t, math.Abs(off.Z), 3*m.Sigma.Z+1e-9, m.Site)
	}
	return moves, turns
}
