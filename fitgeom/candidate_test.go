package fitgeom_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Deviations by plain arithmetic: a coordinate without a tolerance does not count,
// and a weight of 0 is 1.
func TestDeviation(t *testing.T) {
	keep := fitgeom.Keep{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 2, Z: 4}, Weight: r3.Vec{Z: 9}}
	assert.Equal(t, r3.Vec{X: 1, Y: 1, Z: 9}, keep.Weights())
	assert.Equal(t, r3.Vec{X: 0.25, Z: 9. / 16}, keep.Price())
	d := fitgeom.Deviation{Keep: keep, Off: r3.Vec{X: 1, Y: 100, Z: -2}}
	assert.True(t, d.Within())
	assert.InDelta(t, 0.25+9*0.25, d.Cost(), 1e-12)
	build := contact.New(map[contact.Site]r3.Vec{contact.HoodsLeft: {X: 540, Y: 210, Z: 650}})
	at, ok := d.Wanted(build)
	assert.True(t, ok)
	assert.Equal(t, r3.Vec{X: 539, Y: 110, Z: 652}, at)
	_, ok = d.Wanted(contact.Position{})
	assert.False(t, ok)

	far := d
	far.Off.Z = -4.1
	assert.False(t, far.Within())
	assert.True(t, fitgeom.Candidate{Deviations: []fitgeom.Deviation{d, d}}.Holds())
	assert.False(t, fitgeom.Candidate{Deviations: []fitgeom.Deviation{d, far}}.Holds())
	assert.InDelta(t, math.Sqrt(5), fitgeom.Candidate{Deviations: []fitgeom.Deviation{d, d}}.Distance(), 1e-12)
	unknown := d
	unknown.Off.X = math.NaN()
	assert.False(t, unknown.Within(), "NaN is not within")
	assert.False(t, fitgeom.Candidate{Deviations: []fitgeom.Deviation{d, unknown}}.Holds())
	for _, off := range []float64{math.NaN(), math.Inf(1), 10001, -10001} {
		unknown.Off = r3.Vec{Y: off}
		assert.True(t, trial.FaultAt(unknown.Validate(), "off_mm[1]", contact.ErrRange), off)
		assert.True(t, trial.FaultAt(fitgeom.Candidate{Build: invented.Build(), Deviations: []fitgeom.Deviation{d, unknown}}.Validate(), "deviations[1].off_mm[1]", contact.ErrRange), off)
	}
	require.NoError(t, d.Validate())
	assert.True(t, trial.FaultAt(fitgeom.Deviation{Keep: fitgeom.Keep{Site: 200}}.Validate(), "site", contact.ErrUnknown))
	assert.Zero(t, fitgeom.Candidate{}.Score())
	assert.False(t, fitgeom.Candidate{}.Holds(), "nothing was asked for")
}

// What is kept unless told otherwise, as its documentation has it.
func TestDefaultKeep(t *testing.T) {
	sites := func(p contact.Position) (all []contact.Site) {
		for _, k := range fitgeom.DefaultKeep(p) {
			all = append(all, k.Site)
		}
		return all
	}
	p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -200, Z: 700}})
	assert.Equal(t, []contact.Site{contact.SaddleReference, contact.HoodsLeft, contact.HoodsRight}, sites(p), "hoods are asked for if nothing is known")
	p.Set(contact.PadRight, r3.Vec{X: 400, Y: -100, Z: 650})
	assert.Equal(t, []contact.Site{contact.SaddleReference, contact.PadLeft, contact.PadRight}, sites(p), "both sides, if one is known")
	p.Set(contact.HoodsLeft, r3.Vec{X: 540, Y: 210, Z: 650})
	p.Set(contact.PedalRight, r3.Vec{X: 172.5, Y: -73})
	assert.Equal(t, []contact.Site{contact.SaddleReference, contact.PadLeft, contact.PadRight, contact.HoodsLeft, contact.HoodsRight, contact.PedalRight}, sites(p))
}
