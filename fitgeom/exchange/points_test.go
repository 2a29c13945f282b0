package exchange_test

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/trial"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestPoints(t *testing.T) {
	for seed := range uint64(100) {
		p := newDice(seed).position()
		var b bytes.Buffer
		require.NoError(t, exchange.WritePoints(t.Context(), &b, p))
		got, err := exchange.ReadPoints[contact.Position](t.Context(), &b)
		require.NoError(t, err)
		want := contact.Position{}
		for s, at := range p.All() {
			want.Set(s, at)
		}
		require.Equal(t, want, got)

		readings := newDice(seed).survey().Readings
		b.Reset()
		require.NoError(t, exchange.WritePoints(t.Context(), &b, readings))
		again, err := exchange.ReadPoints[[]survey.Reading](t.Context(), &b)
		require.NoError(t, err)
		require.Equal(t, readings, again)
	}
	got, err := exchange.ReadPoints[contact.Position](t.Context(), strings.NewReader("\ufeffz_mm,name,x_mm,y_mm\r\n# a comment\r\n\"640.50\", hoods_left ,545,+2.1e2\r\n"))
	require.NoError(t, err)
	assert.Equal(t, contact.New(map[contact.Site]r3.Vec{contact.HoodsLeft: {X: 545, Y: 210, Z: 640.5}}), got)
}

func TestBrokenPoints(t *testing.T) {
	const head = "name,x_mm,y_mm,z_mm\n"
	for name, c := range map[string]struct {
		text string
		want []string
	}{
		"empty":        {"", []string{"line 1: points missing: want a row that names the columns"}},
		"columns":      {"name,x_mm,y_mm,x_mm,colour\n", []string{"line 1: row 1.x_mm contradiction: want each column once", "line 1: row 1.colour unknown name: want one of name, x_mm, y_mm, z_mm", "line 1: row 1.z_mm missing: want the column"}},
		"semicolons":   {"name;x_mm;y_mm;z_mm\n", []string{"line 1: row 1.name;x_mm;y_mm;z_mm unknown name: want columns separated by commas", "line 1: row 1.name missing: want the column", "line 1: row 1.x_mm missing: want the column", "line 1: row 1.y_mm missing: want the column", "line 1: row 1.z_mm missing: want the column"}},
		"site":         {head + "bell,1,2,3\n", []string{`line 2: row 2.name "bell": want ` + trial.ASite()}},
		"numbers":      {head + "hoods_left,NaN,,0x1p4\n", []string{`line 2: row 2.x_mm "NaN": want a number with a decimal point`, "line 2: row 2.y_mm missing: want a number", `line 2: row 2.z_mm "0x1p4": want a number with a decimal point`}},
		"comma":        {head + "hoods_left,545,5,210,640\n", []string{"line 2: row 2 5 cells: want 4 as in the first row; decimals have a point, not a comma"}},
		"twice":        {head + "hoods_left,545,210,640\n\nhoods_left,545,210,640\n", []string{"line 4: row 4.name hoods_left: want each site once; the first is row 2"}},
		"no position":  {head + "hoods_right,545,210,640\npedal_left,0.17,75,0\n", []string{"line 3: row 3.x_mm 0.17 mm: want 50 to 250 mm, the crank length; it looks like metres", "line 2: row 2.y_mm 210 mm: want a right site at a negative Y (left and right swapped?)"}},
		"quotes":       {head + "a\"b,1,2,3\n", []string{`line 2: row 2 contradiction: want quotes around all of a cell, and two for each within it`}},
		"first quotes": {"a\"b", []string{`line 1: row 1 contradiction: want a row that names the columns: quotes around all of a cell, and two for each within it`}},
		"CR":           {"name,x_mm,y_mm,z_mm\rhoods_left,545,210,640\r", []string{"line 1: row 1 a line end of CR: want lines that end in LF or CRLF, not in CR alone"}},
		"CR, comment":  {"# points\rname,x_mm,y_mm,z_mm\rhoods_left,545,210,640\r", []string{"line 1: row 1 a line end of CR: want lines that end in LF or CRLF, not in CR alone"}},
		"CR, long":     {"name,x_mm,y_mm,z_mm\r" + strings.Repeat("hoods_left,545,210,640\r", 1000), []string{"line 1: row 1 a line end of CR: want lines that end in LF or CRLF, not in CR alone"}},
		"CR between":   {head + "hoods_left,545,210,640\rhoods_right,545,-210,640\r\n", []string{"line 2: row 2 7 cells: want lines that end in LF or CRLF, not in CR alone"}},
		"many columns": {strings.Repeat("name,", 50) + "\n", []string{"line 1: row 1 more than 40 cells: want one of name, x_mm, y_mm, z_mm"}},
		"many cells":   {head + strings.Repeat("1,", 5000) + "\n", []string{"line 2: row 2 more than 40 cells: want 4 as in the first row; decimals have a point, not a comma"}},
		"long row":     {head + strings.Repeat("1", 20_000) + ",1,2,3\nhoods_left,545,210,640\n", []string{"line 2: row 2 more than 16 KiB: want a row of at most that"}},
		"not UTF-8":    {head + "\xff,1,2,3\n", []string{"line 2: row 2.name \"\ufffd\": want " + trial.ASite()}},
	} {
		_, err := exchange.ReadPoints[contact.Position](t.Context(), strings.NewReader(c.text))
		assert.EqualError(t, err, strings.Join(c.want, "\n"), name)
	}
	_, err := exchange.ReadPoints[[]survey.Reading](t.Context(), strings.NewReader(head+"hoods_left,1,2,3\nbell,1,2,3\nhoods_left,1e9,2,-1e9\n"))
	assert.EqualError(t, err, "line 3: row 3.name \"bell\": want a landmark such as rear_axle_left or hoods_right\nline 4: row 4.x_mm 1e+09 mm: want -100000 to 100000 mm\nline 4: row 4.z_mm -1e+09 mm: want -100000 to 100000 mm")
	_, err = exchange.ReadPoints[[]survey.Reading](t.Context(), strings.NewReader(head+"\"mark_a\nb\",1,2,3\n\"mark_\xff\",1,2,3\n"))
	assert.EqualError(t, err, "line 2: row 2.name \"mark_a\\nb\": want a name in one line\nline 4: row 4.name \"mark_\\xff\": want text in UTF-8")
	_, err = exchange.ReadPoints[[]survey.Reading](t.Context(), strings.NewReader(head+"mark_"+strings.Repeat("a", 2044)+",1,2,3\n"))
	assert.EqualError(t, err, "line 2: row 2.name \"mark_"+strings.Repeat("a", 55)+"…\": want a name of at most 2 KiB")
	broken := errors.New("unplugged")
	_, err = exchange.ReadPoints[contact.Position](t.Context(), iotest.ErrReader(broken))
	require.ErrorIs(t, err, broken)
}

func TestWritePointsRefuses(t *testing.T) {
	var b bytes.Buffer
	err := exchange.WritePoints(t.Context(), &b, contact.New(map[contact.Site]r3.Vec{contact.HoodsLeft: {X: 3000, Z: 600}}))
	assert.EqualError(t, err, "sites.hoods_left.at_mm[0] 3000 mm: want -400 to 1300 mm")
	err = exchange.WritePoints(t.Context(), &b, []survey.Reading{{Landmark: "bell"}, {Landmark: survey.Mark(" a\nb")}})
	assert.EqualError(t, err, "readings[0].landmark \"bell\": want a landmark such as rear_axle_left or hoods_right\nreadings[1].landmark mark_ a\nb: want a name in one line")
	assert.Zero(t, b.Len())
}

func FuzzReadPoints(f *testing.F) {
	f.Add("name,x_mm,y_mm,z_mm\nhoods_left,545,210,640\n", true)
	f.Add("\ufeffz_mm,name,x_mm,y_mm\r\n# a\r\n\"640.50\",\"mark_#\"\"\",545,+2.1e2\r\n", false)
	f.Fuzz(func(t *testing.T, text string, position bool) {
		if position {
			fuzzPoints[contact.Position](t, text)
		} else {
			fuzzPoints[[]survey.Reading](t, text)
		}
	})
}

func fuzzPoints[T exchange.Points](t *testing.T, text string) {
	v, err := exchange.ReadPoints[T](t.Context(), strings.NewReader(text))
	for _, f := range rejected(t, err) {
		require.Positive(t, f.Line)
	}
	if err != nil {
		return
	}
	var b bytes.Buffer
	require.NoError(t, exchange.WritePoints(t.Context(), &b, v))
	again, err := exchange.ReadPoints[T](t.Context(), &b)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(v, again, cmpopts.EquateEmpty()))
}

// There is one zero.
func TestPointsWithoutMinusZero(t *testing.T) {
	p, err := exchange.ReadPoints[contact.Position](t.Context(), strings.NewReader("name,x_mm,y_mm,z_mm\nbar_clamp,400,-0,600\n"))
	require.NoError(t, err)
	at, ok := p.At(contact.BarClamp)
	require.True(t, ok)
	require.False(t, math.Signbit(at.Y))
}
