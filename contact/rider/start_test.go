package rider_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The two inseam rules agree where 1.09·I − crank = 0.883·I, which is at
// crank/0.207 by hand.
func TestInseamRulesCross(t *testing.T) {
	for crank, inseam := range map[float64]float64{165: 797.1, 170: 821.3, 172.5: 833.3, 175: 845.4} {
		a, err := rider.StartByInseam109(inseam)
		require.NoError(t, err)
		b, err := rider.StartByInseam883(inseam)
		require.NoError(t, err)
		below, err := a.ToBottomBracket(crank)
		require.NoError(t, err)
		assert.InDelta(t, b.Height, below.Height, 0.05*0.207)
		up, err := b.ToPedal(crank)
		require.NoError(t, err)
		assert.InDelta(t, a.Height, up.Height, 0.05*0.207)
		// A longer leg: the rule to the pedal is the higher.
		a, err = rider.StartByInseam109(inseam + 10)
		require.NoError(t, err)
		b, err = rider.StartByInseam883(inseam + 10)
		require.NoError(t, err)
		up, err = b.ToPedal(crank)
		require.NoError(t, err)
		assert.InDelta(t, 2.07, a.Height-up.Height, 0.011)
	}
}

// Inseam 830 mm, by hand from the published coefficients: 109 % 904.7, 0.883
// and a crank of 170 mm 902.89; the regression of Gatti et al. (2021, abstract)
// with a seat tube of 73°.
func TestStartingValues(t *testing.T) {
	const inseam = 830
	a, err := rider.StartByInseam109(inseam)
	require.NoError(t, err)
	assert.InDelta(t, 904.7, a.Height, 1e-9)
	b, err := rider.StartByInseam883(inseam)
	require.NoError(t, err)
	assert.InDelta(t, 732.89, b.Height, 1e-9)
	for flexion, want := range map[float64]float64{25: 911.47, 30: 906.47, 35: 901.47} {
		c, err := rider.StartByLeastFlexion(inseam, 73, flexion)
		require.NoError(t, err)
		assert.InDelta(t, want, c.Height, 1e-9)
	}
	// 41.63 + 0.78·83 − 0.25·110 + 0.002·83·73 = 90.988 cm by hand.
	d, err := rider.StartByMostFlexion(inseam, 73, 110)
	require.NoError(t, err)
	assert.InDelta(t, 909.88, d.Height, 1e-9)
}

func TestStartingValuesBadInput(t *testing.T) {
	_, err := rider.StartByInseam109(83)
	assert.ErrorIs(t, err, contact.ErrUnit)
	assert.ErrorContains(t, err, "centimetres")
	_, err = rider.StartByInseam883(0)
	assert.ErrorIs(t, err, contact.ErrRange)
	_, err = rider.StartByLeastFlexion(0.83, 155, 150) // metres, and included angles for flexion
	assert.Len(t, contact.Faults(err), 3)
	_, err = rider.StartByMostFlexion(830, 73, 30)
	assert.ErrorIs(t, err, contact.ErrRange)
	_, err = rider.SaddleToPedal{Height: 900}.ToBottomBracket(17)
	assert.ErrorIs(t, err, contact.ErrUnit)
	_, err = rider.SaddleToBottomBracket{}.ToPedal(170)
	assert.ErrorIs(t, err, contact.ErrRange)
}

// Drillis and Contini's fractions after a public note: heights of hip 0.530,
// knee 0.285, ankle 0.039 and shoulder 0.818, thigh 0.245, shank 0.246. The
// bias against ANSUR II, computed from its public data: thigh 5 % longer, hip
// 17 mm per 1000 higher than the trochanter of men, 11 mm than that of women.
func TestTables(t *testing.T) {
	length := func(table rider.Table, s rider.Segment) float64 {
		t.Helper()
		l, err := table.Length(s, 1750)
		require.NoError(t, err)
		return l / 1750
	}
	dc, men, women := rider.DrillisContini, rider.ANSURMen, rider.ANSURWomen
	for s, want := range map[rider.Segment]float64{
		rider.Thigh: 0.245, rider.Shank: 0.246, rider.AnkleHeight: 0.039, rider.UpperArm: 0.186, rider.Forearm: 0.146, rider.Trunk: 0.288,
	} {
		assert.InDelta(t, want, length(dc, s), 1e-12, s)
	}
	assert.InDelta(t, 1.05, length(dc, rider.Thigh)/length(men, rider.Thigh), 0.002)
	assert.InDelta(t, 1.05, length(dc, rider.Thigh)/length(women, rider.Thigh), 0.003)
	hip := func(table rider.Table) float64 {
		return length(table, rider.Thigh) + length(table, rider.Shank) + length(table, rider.AnkleHeight)
	}
	assert.InDelta(t, 0.5128, hip(men), 2e-4, "trochanter height over stature, men")
	assert.InDelta(t, 0.5190, hip(women), 2e-4, "trochanter height over stature, women")
	assert.InDelta(t, 0.017, hip(dc)-hip(men), 5e-4)
	assert.InDelta(t, 0.011, hip(dc)-hip(women), 5e-4)
	// Means of the ANSUR II sample of men, mm.
	arm, err := men.Length(rider.UpperArm, 1756.21)
	require.NoError(t, err)
	assert.InDelta(t, 335.24, arm, 1e-9)

	for _, table := range []rider.Table{dc, men, women} {
		assert.NotEmpty(t, table.Source())
		assert.NotEmpty(t, table.Bias())
		assert.NotContains(t, table.String(), "(")
	}
	var none rider.Table
	_, err = none.Length(rider.Thigh, 1750)
	assert.ErrorIs(t, err, contact.ErrUnknown)
	assert.Equal(t, "table(0)", none.String())
	assert.Empty(t, none.Source()+none.Bias()+rider.Table(9).Bias())
	_, err = women.Length(rider.Trunk, 1750)
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, err = dc.Length(0, 1750)
	assert.ErrorIs(t, err, contact.ErrUnknown, "no segment was chosen")
	_, err = dc.Length(rider.Segment(9), 1.75)
	assert.ErrorIs(t, err, contact.ErrUnknown)
	assert.ErrorIs(t, err, contact.ErrUnit)
}
