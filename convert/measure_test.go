package convert_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const tolMM = 1e-6

// rider is an invented position with round coordinates, left and right unlike.
func rider() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -210, Y: 0, Z: 720},
		contact.SaddleNose:      {X: -60, Y: 0, Z: 720},
		contact.SaddleRear:      {X: -335, Y: 0, Z: 720},
		contact.BarClamp:        {X: 480, Y: 0, Z: 640},
		contact.TopsLeft:        {X: 481, Y: 120, Z: 641},
		contact.TopsRight:       {X: 479, Y: -120, Z: 639},
		contact.HoodsLeft:       {X: 600, Y: 210, Z: 660},
		contact.HoodsRight:      {X: 602, Y: -206, Z: 656},
		contact.DropsLeft:       {X: 530, Y: 220, Z: 520},
		contact.DropsRight:      {X: 530, Y: -220, Z: 516},
		contact.PedalLeft:       {X: 172.5, Y: 73},
		contact.PedalRight:      {X: 170, Y: -75},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: 0})
	return p
}

// Each expected number follows by hand from the coordinates of rider.
func TestMeasures(t *testing.T) {
	p := rider()
	b := convert.Basis{SeatAngle: 73.5}
	for m, want := range map[convert.Measure]float64{
		convert.SaddleHeight:             750, // 210² + 720² = 750²
		convert.SaddleHeightSeatTube:     720 / math.Sin(73.5*math.Pi/180),
		convert.SaddleHeightVertical:     720,
		convert.SaddleHeightPedal:        750 + 171.25,
		convert.SaddleSetback:            210,
		convert.SaddleSetbackNose:        60,
		convert.SaddleTilt:               0,
		convert.BarDropClamp:             80,
		convert.BarDropTops:              80,
		convert.BarDropHoods:             62,
		convert.BarDropDrops:             202,
		convert.ReachClamp:               math.Sqrt(690*690 + 80*80),
		convert.ReachClampHorizontal:     690,
		convert.ReachHoods:               math.Sqrt(811*811 + 2*2 + 62*62),
		convert.ReachHoodsHorizontal:     811,
		convert.ReachNoseClamp:           math.Sqrt(540*540 + 80*80),
		convert.ReachNoseClampHorizontal: 540,
		convert.ReachNoseHoods:           math.Sqrt(661*661 + 2*2 + 62*62),
		convert.ReachNoseHoodsHorizontal: 661,
		convert.BarStack:                 640,
		convert.BarReach:                 480,
		convert.HoodsWidth:               416,
		convert.DropsWidth:               440,
		convert.CrankLength:              171.25,
		convert.QFactor:                  148,
	} {
		got, err := m.Of(p, b)
		require.NoError(t, err, m)
		assert.InDelta(t, want, got, tolMM, m)
	}
}

func TestMeasureOneSide(t *testing.T) {
	p := rider()
	for side, want := range map[contact.Side]float64{contact.Left: 60, contact.Right: 64, contact.Centre: 62} {
		got, err := convert.BarDropHoods.Of(p, convert.Basis{Side: side})
		require.NoError(t, err)
		assert.InDelta(t, want, got, tolMM, side)
	}
	p.Forget(contact.HoodsRight)
	_, err := convert.BarDropHoods.Of(p, convert.Basis{Side: contact.Left})
	require.NoError(t, err)
	_, err = convert.HoodsWidth.Of(p, convert.Basis{Side: contact.Left})
	require.ErrorIs(t, err, contact.ErrMissing, "a width needs both sides")
}

// Sliding a saddle along its own top line leaves the tape's end along the seat
// tube where it is, since the tape ends at the saddle's top.
func TestSaddleHeightSeatTubeFollowsTop(t *testing.T) {
	const tilt = -3.0
	b := convert.Basis{SeatAngle: 74}
	var first float64
	for i, slide := range []float64{0, 12, -25} {
		p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {
			X: -200 + slide*math.Cos(tilt*math.Pi/180),
			Z: 700 + slide*math.Sin(tilt*math.Pi/180),
		}})
		p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: tilt})
		got, err := convert.SaddleHeightSeatTube.Of(p, b)
		require.NoError(t, err)
		if i == 0 {
			first = got
		}
		assert.InDelta(t, first, got, tolMM)
	}
	// A reference that lies on the seat tube's line is as far along it as it is away.
	sin, cos := math.Sincos(74 * math.Pi / 180)
	p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -730 * cos, Z: 730 * sin}})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: 4})
	got, err := convert.SaddleHeightSeatTube.Of(p, b)
	require.NoError(t, err)
	assert.InDelta(t, 730, got, tolMM)
}

func TestSheetReportsAllFaultsTogether(t *testing.T) {
	p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -210, Z: 720}})
	_, err := convert.NewSheet(p, convert.Basis{Side: 9}, convert.SaddleSetback, convert.SaddleHeightSeatTube, convert.HoodsWidth, convert.Measure(200))
	require.ErrorIs(t, err, contact.ErrMissing)
	require.ErrorIs(t, err, contact.ErrUnknown)
	var paths []string
	for _, f := range contact.Faults(err) {
		paths = append(paths, f.Path)
	}
	assert.Equal(t, []string{
		"basis.side",
		"saddle_height_seat_tube", "saddle_height_seat_tube",
		"hoods_width", "hoods_width",
		"sheet.measure",
	}, paths)
}

// A sheet that is not taken of a position: each entry by itself.
func TestSheetValidate(t *testing.T) {
	sound := convert.Sheet{
		Basis: convert.Basis{SeatAngle: 73.5, Side: contact.Left},
		Entries: []convert.Entry{
			{Measure: convert.SaddleHeight, Value: 735},
			{Measure: convert.BarDropHoods, Value: -12, Side: contact.Right, Sigma: 1},
			{Measure: convert.SaddleTilt, Value: 0},
		},
	}
	require.NoError(t, sound.Validate())
	require.NoError(t, convert.Sheet{}.Validate(), "no entry yet")
	bad := convert.Sheet{Basis: convert.Basis{BottomBracketHeight: 26.8}, Entries: []convert.Entry{
		{Value: 1},
		{Measure: convert.SaddleHeight, Value: math.NaN()},
		{Measure: convert.SaddleTilt, Value: math.Inf(1), Side: 7, Sigma: -1},
		{Measure: convert.SaddleSetback, Value: 200, Sigma: math.NaN()},
	}}
	var found []string
	for _, f := range contact.Faults(bad.Validate()) {
		found = append(found, f.Path+" "+f.Class.Error())
	}
	assert.Equal(t, []string{
		"bottom_bracket_height_mm wrong unit",
		"entries[0].measure unknown name",
		"entries[1].value_mm out of range",
		"entries[2].side unknown name", "entries[2].value_deg out of range", "entries[2].sigma_deg out of range",
		"entries[3].sigma_mm out of range",
	}, found)
}

func TestSheetRefusesUnsoundInput(t *testing.T) {
	p := rider()
	p.Set(contact.HoodsLeft, r3.Vec{X: math.NaN(), Y: 210, Z: 650})
	_, err := convert.SaddleSetback.Of(p, convert.Basis{})
	require.ErrorIs(t, err, contact.ErrRange)
	_, err = convert.SaddleSetback.Of(rider(), convert.Basis{SeatAngle: 7.35})
	require.ErrorIs(t, err, contact.ErrRange)
}

func TestMeasureNames(t *testing.T) {
	for _, m := range convert.Measures() {
		got, err := convert.ParseMeasure(m.String())
		require.NoError(t, err)
		assert.Equal(t, m, got)
	}
	_, err := convert.ParseMeasure("inseam")
	require.ErrorIs(t, err, contact.ErrUnknown)
	assert.Equal(t, convert.Definition{}, convert.Measure(200).Definition())
}

func TestSheetValue(t *testing.T) {
	s, err := convert.NewSheet(rider(), convert.Basis{}, convert.BarStack, convert.BarReach)
	require.NoError(t, err)
	v, ok := s.Value(convert.BarReach)
	assert.True(t, ok)
	assert.InDelta(t, 480, v, tolMM)
	_, ok = s.Value(convert.SaddleTilt)
	assert.False(t, ok)
}

// The package documentation must show the registry's own table.
func TestDocumentationListsAllMeasures(t *testing.T) {
	rows := [][]string{{"measure", "from", "to", "along", "positive when", "unit", "also called"}}
	for _, m := range convert.Measures() {
		d := m.Definition()
		positive := d.Positive
		if positive == "" {
			positive = "always"
		}
		rows = append(rows, []string{d.Name, d.From, d.To, d.Along, positive, d.Unit, d.Also})
	}
	width := make([]int, len(rows[0]))
	for _, r := range rows {
		for i, c := range r {
			width[i] = max(width[i], len(c))
		}
	}
	var table strings.Builder
	for _, r := range rows {
		var line strings.Builder
		line.WriteString("//\t")
		for i, c := range r {
			line.WriteString(fmt.Sprintf("%-*s  ", width[i], c))
		}
		table.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
	doc, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		head, rest, ok := strings.Cut(string(doc), "defined in one place:\n//\n")
		require.True(t, ok)
		_, tail, ok := strings.Cut(rest, "//\n// In the table")
		require.True(t, ok)
		require.NoError(t, os.WriteFile("doc.go", []byte(head+"defined in one place:\n//\n"+table.String()+"//\n// In the table"+tail), 0o666))
		return
	}
	assert.Contains(t, string(doc), table.String(), "UPDATE_GOLDEN=1 go test ./convert rewrites the table")
}

// The number past the last name has none, nor has zero.
func TestPastTheLast(t *testing.T) {
	past := convert.Measure(len(convert.Measures()) + 1)
	assert.NotContains(t, (past - 1).String(), "(")
	for _, m := range []convert.Measure{past, 0} {
		_, err := m.MarshalText()
		assert.ErrorIs(t, err, contact.ErrUnknown)
		assert.Equal(t, fmt.Sprintf("measure(%d)", uint8(m)), m.String())
		assert.Equal(t, convert.Definition{}, m.Definition())
		_, err = m.Of(rider(), convert.Basis{})
		assert.ErrorIs(t, err, contact.ErrUnknown)
		_, err = solve([]convert.Entry{{Measure: m, Value: 1, Sigma: 1}}, convert.Basis{}, false)
		assert.ErrorIs(t, err, contact.ErrUnknown)
	}
	trial.Names(t, convert.ParseMeasure, convert.Measures()...)
}

func TestMeasureWithoutBasis(t *testing.T) {
	_, err := convert.SaddleHeightGround.Of(rider(), convert.Basis{})
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, err = convert.SaddleHeightSeatTube.Of(rider(), convert.Basis{})
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, err = convert.NewSheetWithSigma(rider(), contact.Covariance{}, convert.Basis{}, convert.SaddleHeight)
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, err = convert.NewSheetWithSigma(rider(), contact.Covariance{}, convert.Basis{}, convert.SaddleHeightGround)
	assert.ErrorIs(t, err, contact.ErrMissing)
}

// The straight distance of two points that coincide has no slope.
func TestSlopesOfCoincidingPoints(t *testing.T) {
	p := rider()
	ref, _ := p.At(contact.SaddleReference)
	p.Set(contact.BarClamp, ref)
	slopes, err := convert.ReachClamp.Gradient(p, basis)
	require.NoError(t, err)
	assert.Empty(t, slopes)
}
