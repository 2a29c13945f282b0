package norms_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/rider/norms"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(100, 2000, 1) }

var (
	flat  = norms.Method{Pose: norms.Dynamic, Instrument: norms.Camera2D}
	space = norms.Method{Pose: norms.Dynamic, Instrument: norms.Cameras3D}
	still = norms.Method{Pose: norms.Static, Instrument: norms.Camera2D}
	hand  = norms.Method{Pose: norms.Static, Instrument: norms.Goniometer}
)

type key struct {
	of    rider.Variable
	where norms.Where
	kind  norms.Kind
	by    norms.Method
}

// The numbers as they stand in the abstracts.
func TestNorms(t *testing.T) {
	want := map[key][3]float64{
		// BMC Musculoskelet. Disord. 22, 1044 (2021): "ROMs were … 43.9° (hip), 75.2° (knee), and 26.9° (ankle)".
		{rider.HipFlexion, norms.Range, norms.Observed, space}:        {43.9, 43.9},
		{rider.KneeFlexion, norms.Range, norms.Observed, space}:       {75.2, 75.2},
		{rider.AnkleDorsiflexion, norms.Range, norms.Observed, space}: {26.9, 26.9},
		// Ericson, Nisell and Németh (1988): hip 38, knee 66 from 46 to 112, ankle 24 from 2 plantar to 22 dorsi.
		{rider.HipFlexion, norms.Range, norms.Observed, flat}:        {38, 38},
		{rider.KneeFlexion, norms.Range, norms.Observed, flat}:       {66, 66},
		{rider.KneeFlexion, norms.Most, norms.Observed, flat}:        {112, 112},
		{rider.AnkleDorsiflexion, norms.Range, norms.Observed, flat}: {24, 24},
		{rider.AnkleDorsiflexion, norms.Least, norms.Observed, flat}: {-2, -2},
		{rider.AnkleDorsiflexion, norms.Most, norms.Observed, flat}:  {22, 22},
		// J. Sci. Cycling, doi:10.28985/0620.jsc.03, quotes 30 to 40; article 892 of the same journal 33 to 43.
		{rider.KneeFlexion, norms.Least, norms.Advised, flat}:  {30, 40},
		{rider.KneeFlexion, norms.Least, norms.Advised, space}: {33, 43},
		// Holmes, as Peveler and others (2005) quote it.
		{rider.KneeFlexion, norms.Lowest, norms.Advised, hand}: {25, 35},
	}
	two := map[float64]float64{46: 0, 38: 4.5} // of one key: Ericson's least, and 38 with a coefficient of variation of 11.8 % in doi:10.28985/0620.jsc.03
	seen := map[string]bool{}
	for _, n := range norms.Norms() {
		require.NoError(t, n.Validate(), n)
		for _, text := range []string{n.Study, n.Cohort, n.Landmarks, n.Seen} {
			assert.NotEmpty(t, text, n)
		}
		assert.False(t, seen[n.String()], n)
		seen[n.String()] = true
		k := key{n.Variable, n.Where, n.Kind, n.Method}
		if k == (key{rider.KneeFlexion, norms.Least, norms.Observed, flat}) {
			sd, ok := two[n.Low]
			require.True(t, ok && n.High == n.Low, n)
			assert.InDelta(t, sd, n.SD, 0)
			delete(two, n.Low)
			continue
		}
		require.Contains(t, want, k, n)
		assert.Equal(t, want[k], [3]float64{n.Low, n.High, n.SD}, n)
		delete(want, k)
	}
	assert.Empty(t, want)
	assert.Empty(t, two)
	assert.InDelta(t, 4.5, 38*0.118, 0.05)
}

// The numbers as they stand in the abstracts.
func TestCorrections(t *testing.T) {
	all := norms.Corrections()
	require.Len(t, all, 2)
	for i, want := range []norms.Correction{
		{From: flat, To: space, Add: 2.2},        // J. Sports Sci. 32, 940–946: "adding 2.2 degrees"
		{From: still, To: flat, Add: 8.2, SD: 5}, // Bini and Hume: "smaller knee angle (8.2 ± 5°) … for static angles" at 6 o'clock
	} {
		c := all[i]
		require.NoError(t, c.Validate())
		assert.NotEmpty(t, c.Study+c.Cohort)
		assert.NotEmpty(t, c.Seen)
		want.Variable, want.Where, want.Study, want.Cohort, want.Seen = rider.KneeFlexion, norms.Lowest, c.Study, c.Cohort, c.Seen
		assert.Equal(t, want, c)
	}
	got, err := all[1].Apply(norms.Reading{Variable: rider.KneeFlexion, Where: norms.Lowest, Value: 26, Sigma: 12, Method: still})
	require.NoError(t, err)
	assert.Equal(t, norms.Reading{Variable: rider.KneeFlexion, Where: norms.Lowest, Value: 34.2, Sigma: 13, Method: flat}, got)
}

// Who changes what was returned changes nobody else's.
func TestCopies(t *testing.T) {
	norms.Norms()[0].Low, norms.Corrections()[0].Add = 1, 1
	assert.NotEqual(t, 1.0, norms.Norms()[0].Low)
	assert.NotEqual(t, 1.0, norms.Corrections()[0].Add)
}

func TestMethodsDoNotMix(t *testing.T) {
	n := norms.Norm{Variable: rider.KneeFlexion, Where: norms.Lowest, Kind: norms.Advised, Low: 25, High: 35, Method: hand, Study: "a test"}
	r := norms.Reading{Variable: rider.KneeFlexion, Where: norms.Lowest, Value: 30, Method: flat}
	_, err := n.Compare(r)
	require.ErrorIs(t, err, contact.ErrConflict)
	require.EqualError(t, err, "method dynamic by camera_2d: want static by goniometer as the norm")
	_, err = norms.Corrections()[1].Apply(r)
	require.EqualError(t, err, "method dynamic by camera_2d: want static by camera_2d as the correction")
	_, err = n.Compare(norms.Reading{Variable: rider.HipFlexion, Where: norms.Least, Value: 30, Method: flat})
	for i, path := range []string{"variable", "where", "method"} {
		require.Len(t, contact.Faults(err), 3)
		assert.Equal(t, path, contact.Faults(err)[i].Path)
	}
	assert.Equal(t, "knee_flexion pedal_lowest 25 to 35 degrees, static by goniometer (a test)", n.String())
	n.High, n.SD = 25, 3
	assert.Equal(t, "knee_flexion pedal_lowest 25 ± 3 degrees, static by goniometer (a test)", n.String())
}

func TestFaults(t *testing.T) {
	good := norms.Norms()[0]
	one := norms.Reading{Variable: good.Variable, Where: good.Where, Value: 40, Sigma: 1, Method: good.Method}
	for path, spoil := range map[string]func(n *norms.Norm, r *norms.Reading, c *norms.Correction){
		"variable":            func(_ *norms.Norm, r *norms.Reading, _ *norms.Correction) { r.Variable = 0 },
		"where":               func(_ *norms.Norm, r *norms.Reading, _ *norms.Correction) { r.Where = 9 },
		"value_deg":           func(_ *norms.Norm, r *norms.Reading, _ *norms.Correction) { r.Value = math.NaN() },
		"sigma_deg":           func(_ *norms.Norm, r *norms.Reading, _ *norms.Correction) { r.Sigma = -1 },
		"method.pose":         func(_ *norms.Norm, r *norms.Reading, _ *norms.Correction) { r.Method.Pose = 0 },
		"norm.kind":           func(n *norms.Norm, _ *norms.Reading, _ *norms.Correction) { n.Kind = 0 },
		"norm.low_deg":        func(n *norms.Norm, _ *norms.Reading, _ *norms.Correction) { n.Low = n.High + 1 },
		"norm.high_deg":       func(n *norms.Norm, _ *norms.Reading, _ *norms.Correction) { n.High = math.Inf(1) },
		"norm.sd_deg":         func(n *norms.Norm, _ *norms.Reading, _ *norms.Correction) { n.High, n.SD = n.High+1, 1 },
		"correction.to":       func(_ *norms.Norm, _ *norms.Reading, c *norms.Correction) { c.To = c.From },
		"correction.add_deg":  func(_ *norms.Norm, _ *norms.Reading, c *norms.Correction) { c.Add = 1000 },
		"correction.variable": func(_ *norms.Norm, _ *norms.Reading, c *norms.Correction) { c.Variable = 99 },
	} {
		n, r, c := good, one, norms.Corrections()[0]
		spoil(&n, &r, &c)
		_, err := n.Compare(r)
		_, err2 := c.Apply(r)
		var paths []string
		for _, e := range append(contact.Faults(err), contact.Faults(err2)...) {
			paths = append(paths, e.Path)
		}
		assert.Contains(t, paths, path)
	}
}

// A reading outside is By from the norm's edge, and a correction shifts a reading as it would shift
// the norm the other way.
func TestCompareProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom(norms.Norms()).Draw(t, "norm")
		r := norms.Reading{
			Variable: n.Variable, Where: n.Where, Method: n.Method,
			Value: rapid.Float64Range(-90, 200).Draw(t, "value"), Sigma: rapid.Float64Range(0.1, 9).Draw(t, "sigma"),
		}
		got, err := n.Compare(r)
		require.NoError(t, err)
		low, high := n.Low-n.SD, n.High+n.SD
		switch by := got.By.Value; {
		case r.Value > high:
			assert.InDelta(t, high, r.Value-by, 1e-9)
			assert.Positive(t, by)
		case r.Value < low:
			assert.InDelta(t, low, r.Value-by, 1e-9)
			assert.Negative(t, by)
		default:
			assert.Zero(t, by)
		}
		is, err := got.By.Real(0.95)
		require.NoError(t, err)
		assert.Equal(t, math.Abs(got.By.Value) > 1.959963984540054*r.Sigma, is, "the normal distribution's 97.5 % point")

		c := norms.Correction{Variable: n.Variable, Where: n.Where, From: hand, To: n.Method, Add: rapid.Float64Range(-20, 20).Draw(t, "add"), SD: rapid.Float64Range(0, 5).Draw(t, "sd")}
		if c.From == c.To {
			c.From = still
		}
		r.Method = c.From
		_, err = n.Compare(r)
		require.ErrorIs(t, err, contact.ErrConflict)
		carried, err := c.Apply(r)
		require.NoError(t, err)
		after, err := n.Compare(carried)
		require.NoError(t, err)
		n.Low, n.High, n.Method = n.Low-c.Add, n.High-c.Add, c.From
		before, err := n.Compare(r)
		require.NoError(t, err)
		assert.InDelta(t, before.By.Value, after.By.Value, 1e-9)
		assert.GreaterOrEqual(t, carried.Sigma, r.Sigma)
	})
}

func TestNames(t *testing.T) {
	trial.Names(t, norms.ParseWhere, norms.Least, norms.Most, norms.Range, norms.Lowest)
	trial.Names(t, norms.ParseKind, norms.Observed, norms.Advised)
	trial.Names(t, norms.ParsePose, norms.Static, norms.Dynamic)
	trial.Names(t, norms.ParseInstrument, norms.Goniometer, norms.Electrogoniometer, norms.Camera2D, norms.Cameras3D)
}
