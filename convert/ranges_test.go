package convert_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// nearlyLevel is a sheet in which the height of bar and hands hangs on distances that are
// about as long as their level parts.
func nearlyLevel(rng *rand.Rand) []convert.Entry {
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	sheet := []convert.Entry{
		{Measure: convert.SaddleHeight, Value: u(700, 760)},
		{Measure: convert.SaddleSetback, Value: u(150, 230)},
		{Measure: convert.SaddleTilt, Value: u(-3, 3)},
		{Measure: convert.SaddleSetbackNose, Value: u(20, 80)},
	}
	for _, m := range [][2]convert.Measure{
		{convert.ReachClampHorizontal, convert.ReachClamp},
		{convert.ReachHoodsHorizontal, convert.ReachHoods},
		{convert.ReachNoseGripsHorizontal, convert.ReachNoseGrips},
	} {
		if level := u(500, 700); rng.IntN(3) > 0 {
			sheet = append(sheet, convert.Entry{Measure: m[0], Value: level}, convert.Entry{Measure: m[1], Value: level + u(-1, 8)})
		}
	}
	for i := range sheet {
		sheet[i].Sigma = u(0.3, 2)
	}
	return sheet
}

// The same sheet, read where the saddle is 70 mm wide and where it is 80 mm wide.
func TestSheetAtAnotherWidth(t *testing.T) {
	sheet := convert.Sheet{Entries: []convert.Entry{
		{Measure: convert.SaddleHeightVertical, Value: 700, Sigma: 1}, {Measure: convert.SaddleSetback, Value: 200, Sigma: 1}, {Measure: convert.SaddleTilt, Value: 0, Sigma: 0.3},
	}}
	at80, err := sheet.Solve()
	require.NoError(t, err)
	sheet.Basis.Saddle = contact.SaddleProfile{Width: 70, Widening: 0.9}
	sheet.Entries[1].Value -= 9
	at70, err := sheet.Solve()
	require.NoError(t, err)
	a, _ := at80.Position.At(contact.SaddleReference)
	b, _ := at70.Position.At(contact.SaddleReference)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(a, b)), 1e-9)
	x := contact.Coordinate{Site: contact.SaddleReference}
	want, _ := at80.Ranges.At(x)
	got, _ := at70.Ranges.At(x)
	assert.InDelta(t, want.Low, got.Low, 1e-9)
	assert.InDelta(t, want.High, got.High, 1e-9)

	sheet.Entries = sheet.Entries[:2]
	_, err = sheet.Solve()
	require.ErrorIs(t, err, contact.ErrMissing, "no tilt")
}

// Another reading that agrees makes no range wider by more than 2 %, and frees nothing.
func TestPropertyReadingsOnlyHelp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		mirrored := rapid.Bool().Draw(t, "mirrored")
		p := everything(rng, mirrored)
		sheet := lot(rng, t, p, mirrored)
		if rapid.Bool().Draw(t, "level") {
			sheet = nearlyLevel(rng)
		}
		if len(sheet) == 0 {
			return
		}
		noise := rapid.SampledFrom([]float64{0, 0.7}).Draw(t, "noise")
		for i := range sheet {
			sheet[i].Value += noise * sheet[i].Sigma * rng.NormFloat64()
			if d := sheet[i].Measure.Definition(); d.Positive == "" && d.Unit == "mm" {
				sheet[i].Value = math.Abs(sheet[i].Value)
			}
		}
		before, err := solve(sheet, basis, mirrored)
		require.NoError(t, err)
		if !before.Consistent {
			return
		}
		// A measure of what is known, with the value that the sheet gives it.
		more := rapid.SampledFrom(convert.Measures()).Draw(t, "measure")
		b := basis
		b.Side = contact.Side(rapid.IntRange(0, 2).Draw(t, "side"))
		value, err := more.Of(before.Position, b)
		if err != nil {
			return
		}
		sheet = append(sheet, convert.Entry{Measure: more, Side: b.Side, Value: value, Sigma: rapid.Float64Range(0.3, 30).Draw(t, "sigma")})
		after, err := solve(sheet, basis, mirrored)
		require.NoError(t, err)
		for _, r := range before.Ranges {
			q, ok := after.Ranges.At(r.Coordinate)
			require.True(t, ok, "%v is free\n%v\n%v", r.Coordinate, sheet, after.Free)
			require.LessOrEqual(t, q.High-q.Low, 1.02*(r.High-r.Low)+1e-6, "%v\n%v\n%v", r, q, sheet)
		}
	})
}

// The six numbers of nearly every shop card. The nose is 140 mm in front of the reference
// and about 140·sin 1° below it; where it lies higher or lower by 6 mm, the bar lies
// further forward or back by 6·(72/535).
func TestShopCard(t *testing.T) {
	card := []convert.Entry{
		{Measure: convert.SaddleHeight, Value: 735, Sigma: 1},
		{Measure: convert.SaddleSetback, Value: 205, Sigma: 1},
		{Measure: convert.SaddleSetbackNose, Value: 65, Sigma: 1},
		{Measure: convert.ReachNoseClamp, Value: 540, Sigma: 1},
		{Measure: convert.BarDropClamp, Value: 75, Sigma: 1},
		{Measure: convert.SaddleTilt, Value: -1, Sigma: 0.3},
	}
	sol, err := solve(card, convert.Basis{}, false)
	require.NoError(t, err)
	assert.Empty(t, sol.Free)
	height := math.Sqrt(735*735 - 205*205)
	drop := 75 - 140*math.Tan(math.Pi/180) // from the nose
	for axis, want := range map[contact.Axis]float64{
		contact.AxisX: -65 + math.Sqrt(540*540-drop*drop),
		contact.AxisZ: height - 75,
	} {
		r, ok := sol.Ranges.At(contact.Coordinate{Site: contact.BarClamp, Axis: axis})
		require.True(t, ok)
		assert.InDelta(t, want, (r.Low+r.High)/2, 0.1)
		assert.Less(t, (r.High-r.Low)/2/1.96, 2., "to two millimetres")
		assert.Greater(t, (r.High-r.Low)/2/1.96, 1., "which is what was read")
	}
	x, _ := sol.Ranges.At(contact.Coordinate{Site: contact.BarClamp, Axis: contact.AxisX})
	// By hand: 1 mm of each of two readings along, and across 6 mm and the drop's 1 mm.
	slope := drop / math.Sqrt(540*540-drop*drop)
	along, shape := math.Hypot(1, 540/math.Sqrt(540*540-drop*drop)), 6*slope
	assert.InDelta(t, shape*shape/(shape*shape+along*along), x.Assumed, 0.01)

	// With its profile nothing is assumed, and the bar is known better.
	known, err := solve(card, convert.Basis{Saddle: contact.SaddleProfile{NoseAhead: 140, RearBehind: 130, NoseAbove: -8}}, false)
	require.NoError(t, err)
	better, _ := known.Ranges.At(contact.Coordinate{Site: contact.BarClamp, Axis: contact.AxisX})
	assert.Zero(t, better.Assumed)
	assert.Less(t, better.High-better.Low, x.High-x.Low)
	assert.InDelta(t, (x.Low+x.High)/2+8*slope, (better.Low+better.High)/2, 0.5, "from a nose 8 mm lower")
}
