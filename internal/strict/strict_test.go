package strict_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/trial"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// document has a field of every kind.
type document struct {
	Title  string                      `json:"title"`
	Count  int                         `json:"count"`
	Height float64                     `json:"height_mm"`
	Flip   bool                        `json:"flip"`
	At     [3]float64                  `json:"at_mm"`
	Stems  []stem                      `json:"stems"`
	Pairs  [][2]int                    `json:"pairs,omitzero"`
	Named  map[string]stem             `json:"named"`
	Points map[contact.Site][3]float64 `json:"points,omitzero"`
	Main   *stem                       `json:"main,omitzero"`
	Site   contact.Site                `json:"site"`
	Word   word                        `json:"word,omitzero"`
	Plain  string                      `json:",omitzero"`
	Out    any                         `json:"-"`
	hidden any
}

type stem struct {
	Length float64 `json:"length_mm"`
	Angle  float64 `json:"angle_deg,omitzero"`
}

// word is a text type whose errors are not those of this module.
type word string

func (w *word) UnmarshalText(b []byte) error {
	*w = word(b)
	if len(b) == 0 {
		return assert.AnError
	}
	return nil
}

const sound = `{
	"title": "a\u0020\"b\"", "count": -2, "height_mm": 71.25, "flip": true,
	"at_mm": [1, 2e1, -0.5],
	"stems": [{"length_mm": 100}, {"length_mm": 110, "angle_deg": -6}],
	"pairs": [[1, 2], [3, 4]],
	"named": {"": {"length_mm": 1}, "a.b": {"length_mm": 2}},
	"points": {"hoods_left": [600, 210, 660]},
	"main": {"length_mm": 120},
	"site": "saddle_nose", "word": "w", "Plain": "p"
}
`

// least has the members that must be there, and nothing in them.
const least = `{"title":"","count":0,"height_mm":0,"flip":false,"at_mm":[0,0,0],"stems":[],"named":{},"site":"saddle_reference"}`

func TestUnmarshal(t *testing.T) {
	var got document
	require.NoError(t, strict.Unmarshal([]byte(sound), &got))
	assert.Equal(t, document{
		Title: `a "b"`, Count: -2, Height: 71.25, Flip: true,
		At:     [3]float64{1, 20, -0.5},
		Stems:  []stem{{Length: 100}, {Length: 110, Angle: -6}},
		Pairs:  [][2]int{{1, 2}, {3, 4}},
		Named:  map[string]stem{"": {Length: 1}, "a.b": {Length: 2}},
		Points: map[contact.Site][3]float64{contact.HoodsLeft: {600, 210, 660}},
		Main:   &stem{Length: 120},
		Site:   contact.SaddleNose, Word: "w", Plain: "p",
	}, got)
}

func TestDocumentReplacesAll(t *testing.T) {
	got := document{Title: "old", Main: &stem{}, Pairs: [][2]int{{1, 2}}, Out: 1, hidden: 2}
	require.NoError(t, strict.Unmarshal([]byte(least), &got))
	assert.Equal(t, document{Named: map[string]stem{}, Site: contact.SaddleReference}, got)
}

func TestFaultsLeaveTheTargetAlone(t *testing.T) {
	got := document{Title: "old"}
	require.Error(t, strict.Unmarshal([]byte(`{"title": "new"}`), &got))
	assert.Equal(t, document{Title: "old"}, got)
}

func TestDecode(t *testing.T) {
	var got document
	faults, whole := strict.Decode(nil, []byte(`{"title": "a", "count": "b", "height_mm": 1.5} x`), &got)
	assert.True(t, whole)
	assert.Equal(t, 7, faults.Len())
	assert.Equal(t, document{Title: "a", Height: 1.5}, got)
	for _, text := range []string{"", "\xff", `{"title": "a"`, strings.Repeat("[", 101)} {
		faults, whole = strict.Decode(nil, []byte(text), new(document))
		assert.False(t, whole, text)
		assert.NotZero(t, faults.Len(), text)
	}
}

func TestMinusZeroIsZero(t *testing.T) {
	var got document
	require.NoError(t, strict.Unmarshal([]byte(with("height_mm", "-0.0")), &got))
	out, err := json.Marshal(got.Height)
	require.NoError(t, err)
	assert.Equal(t, "0", string(out))
}

// with is the least document with one member's value changed or added.
func with(name, value string) string {
	var members map[string]json.RawMessage
	if err := json.Unmarshal([]byte(least), &members); err != nil {
		panic(err)
	}
	members[name] = json.RawMessage(value)
	out, err := json.Marshal(members)
	if err != nil {
		panic(err)
	}
	return string(out)
}

func TestFaultyMembers(t *testing.T) {
	names := "one of title, count, height_mm, flip, at_mm, stems, pairs, named, points, main, site, word, Plain"
	for name, tt := range map[string]struct {
		json, path, value, want string
		class                   error
		line                    int
	}{
		"unknown member":             {with("hieght_mm", "1"), "/hieght_mm", "", names, contact.ErrUnknown, 1},
		"unknown member in an array": {with("stems", `[{"length_mm": 1}, {"length_mm": 1, "clamp": 2}]`), "/stems/1/clamp", "", "one of length_mm, angle_deg", contact.ErrUnknown, 1},
		"unknown name is odd":        {with("a b", "1"), "/a b", "", names, contact.ErrUnknown, 1},
		"wrong case":                 {with("main", `{"length_mm": 1, "Angle_Deg": 1}`), "/main/Angle_Deg", "", "angle_deg", contact.ErrUnknown, 1},
		"field left out by its tag":  {with("Out", "1"), "/Out", "", names, contact.ErrUnknown, 1},
		"unexported field":           {with("hidden", "1"), "/hidden", "", names, contact.ErrUnknown, 1},
		"missing member":             {with("stems", `[{}]`), "/stems/0/length_mm", "", "a number", contact.ErrMissing, 1},
		"missing member in a map":    {with("named", `{"a.b": {}}`), "/named/a.b/length_mm", "", "a number", contact.ErrMissing, 1},
		"null for a number":          {with("height_mm", "null"), "/height_mm", "null", "a number", contact.ErrMissing, 1},
		"null for a pointer":         {with("main", "null"), "/main", "null", "an object", contact.ErrMissing, 1},
		"null for a text":            {with("word", "null"), "/word", "null", "a string", contact.ErrMissing, 1},
		"null in an array":           {with("stems", "[null]"), "/stems/0", "null", "an object", contact.ErrMissing, 1},
		"null in a map":              {with("named", `{"a": null}`), "/named/a", "null", "an object", contact.ErrMissing, 1},
		"member stated twice":        {with("main", `{"length_mm": 1, "length_mm": 2}`), "/main/length_mm", "2", "each member once", contact.ErrConflict, 1},
		"member spelt in two ways":   {with("main", `{"length_mm": 1, "length\u005fmm": 2}`), "/main/length_mm", "2", "each member once", contact.ErrConflict, 1},
		"key of a map stated twice":  {with("named", `{"é": {"length_mm": 1}, "é": {"length_mm": 1}}`), "/named/é", "an object", "each member once", contact.ErrConflict, 1},
		"string for a number":        {with("height_mm", `"71"`), "/height_mm", `"71"`, "a number", contact.ErrRange, 1},
		"number for a string":        {with("title", "1.50"), "/title", "1.50", "a string", contact.ErrRange, 1},
		"number for a bool":          {with("flip", "1"), "/flip", "1", "true or false", contact.ErrRange, 1},
		"number for a text":          {with("site", "1"), "/site", "1", "a string", contact.ErrRange, 1},
		"bool for an integer":        {with("count", "true"), "/count", "true", "a whole number", contact.ErrRange, 1},
		"array for an object":        {with("main", "[1]"), "/main", "an array", "an object", contact.ErrRange, 1},
		"object for an array":        {with("stems", "{}"), "/stems", "an object", "an array", contact.ErrRange, 1},
		"array for a map":            {with("named", "[]"), "/named", "an array", "an object", contact.ErrRange, 1},
		"number beyond float64":      {with("height_mm", "-1e309"), "/height_mm", "-1e309", "a finite number", contact.ErrRange, 1},
		"fraction for an integer":    {with("count", "1.5"), "/count", "1.5", "a whole number", contact.ErrRange, 1},
		"fraction by an exponent":    {with("count", "15e-1"), "/count", "15e-1", "a whole number", contact.ErrRange, 1},
		"next to nothing":            {with("count", "1e-99999999999999999999"), "/count", "1e-99999999999999999999", "a whole number", contact.ErrRange, 1},
		"integer beyond all":         {with("count", "1e99999999999999999999"), "/count", "1e99999999999999999999", fmt.Sprintf("a whole number of at most %d bits", strconv.IntSize), contact.ErrRange, 1},
		"long number":                {with("height_mm", strings.Repeat("1", 1e6)), "/height_mm", "a longer text or number", "texts of at most 256 KiB and numbers of at most 1000 digits", contact.ErrRange, 1},
		"long text":                  {with("title", `"`+strings.Repeat("a", strict.MaxText+1)+`"`), "/title", "a longer text or number", "texts of at most 256 KiB and numbers of at most 1000 digits", contact.ErrRange, 1},
		"long name":                  {with(strings.Repeat("a", 1000), "1"), "/" + strings.Repeat("a", 60) + "…", "", "one of title, count, height_mm, flip, at_mm, stems, pairs, named, points, main, site, word, Plain", contact.ErrUnknown, 1},
		"first half of a pair":       {with("title", `"a\ud800b"`), "/title", `\ud800`, "both halves of a surrogate pair", contact.ErrConflict, 1},
		"first half twice":           {with("title", `"\uD83D\uD83D\uDEB2"`), "/title", `\uD83D`, "both halves of a surrogate pair", contact.ErrConflict, 1},
		"second half of a pair":      {with("title", `"\uDEB2"`), "/title", `\uDEB2`, "both halves of a surrogate pair", contact.ErrConflict, 1},
		"half of a pair in a name":   {with("x", `{"\udbff":1}`), "/x", `\udbff`, "both halves of a surrogate pair", contact.ErrConflict, 1},
		"half a pair in an unknown":  {with("x", `["\udbffx"]`), "/x", `\udbff`, "both halves of a surrogate pair", contact.ErrConflict, 1},
		"integer beyond int":         {with("count", "9223372036854775808"), "/count", "9223372036854775808", fmt.Sprintf("a whole number of at most %d bits", strconv.IntSize), contact.ErrRange, 1},
		"array too short":            {with("at_mm", "[1, 2]"), "/at_mm", "an array of 2", "an array of 3", contact.ErrRange, 1},
		"decimal commas":             {strings.Replace(with("at_mm", "[7]"), "[7]", "[1,5, 2, 3,25]", 1), "/at_mm", "an array of 5", "an array of 3, with decimal points in place of commas in numbers", contact.ErrRange, 1},
		"array too long":             {with("pairs", "[[1, 2], [1, 2, 3]]"), "/pairs/1", "an array of 3", "an array of 2", contact.ErrRange, 1},
		"text of an unknown name":    {with("site", `"hood"`), "/site", `"hood"`, trial.ASite(), contact.ErrUnknown, 1},
		"key of an unknown name":     {with("points", `{"hood": [1, 2, 3]}`), "/points/hood", `"hood"`, trial.ASite(), contact.ErrUnknown, 1},
		"text that its type refuses": {with("word", `""`), "/word", `""`, "a text that can be read (" + assert.AnError.Error() + ")", contact.ErrRange, 1},
		"long text is cut":           {with("count", `"`+strings.Repeat("ü", 1000)+`"`), "/count", `"` + strings.Repeat("ü", 60) + `…"`, "a whole number", contact.ErrRange, 1},
		"document is null":           {"null", "document", "null", "an object", contact.ErrMissing, 1},
		"document is an array":       {"[]", "document", "an array", "an object", contact.ErrRange, 1},
		"no document":                {" \n", "document", "", "a JSON object", contact.ErrMissing, 1},
		"second document":            {least + "\n{}", "document", `"{}"`, "nothing after the document", contact.ErrConflict, 2},
		"rubbish after the document": {least + " // é", "document", `"// é"`, "nothing after the document", contact.ErrConflict, 1},
		"bracket too many":           {least + "}", "document", `"}"`, "nothing after the document", contact.ErrConflict, 1},
		"document is cut off":        {"{\n\t\"title\": \"é", "/title", "end of the text at column 13", "well-formed JSON", contact.ErrConflict, 2},
		"number is cut off":          {"-", "document", "end of the text at column 2", "well-formed JSON", contact.ErrConflict, 1},
		"comma before the end":       {"{\"title\": \"é\",\n}", "document", "'}' at column 1", "well-formed JSON", contact.ErrConflict, 2},
		"comma is missing":           {"{\"é\": 1 \"b\": 2}", "document", `'"' at column 9`, "well-formed JSON", contact.ErrConflict, 1},
		"character beyond ASCII":     {"{\"é\": é}", "/é", "'é' at column 7", "well-formed JSON", contact.ErrConflict, 1},
		"comment":                    {"// a\n{}", "document", "'/' at column 1", "well-formed JSON", contact.ErrConflict, 1},
		"leading zero":               {`{"count": 01}`, "document", "'1' at column 12", "well-formed JSON", contact.ErrConflict, 1},
		"decimal comma":              {`{"height_mm": -172,5}`, "/height_mm", "-172,5", "well-formed JSON, with a decimal point in place of the comma", contact.ErrConflict, 1},
		"comma and a digit":          {`{"height_mm": 172, 5}`, "document", "'5' at column 20", "well-formed JSON", contact.ErrConflict, 1},
		"decimal comma, unknown":     {`{"height_mm": 1, "x": {"y": 172,5}}`, "/x", "'5' at column 33", "well-formed JSON", contact.ErrConflict, 1},
		"NaN":                        {`{"height_mm": NaN}`, "/height_mm", "'N' at column 15", "well-formed JSON", contact.ErrConflict, 1},
		"hexadecimal number":         {`{"height_mm": 0x1p4}`, "document", "'x' at column 16", "well-formed JSON", contact.ErrConflict, 1},
		"line break in a string":     {"{\"title\": \"a\nb\"}", "/title", `'\n' at column 13`, "well-formed JSON", contact.ErrConflict, 1},
		"byte-order mark":            {"\ufeff" + least, "document", `'\ufeff' at column 1`, "well-formed JSON", contact.ErrConflict, 1},
		"not UTF-8":                  {"{\n\"é\xff\": 1}", "document", "byte 0xFF", "text in UTF-8", contact.ErrConflict, 2},
		"too deep, unknown":          {with("x", strings.Repeat("[", 100)+strings.Repeat("]", 100)), "/x", "101 open brackets", "at most 100", contact.ErrRange, 1},
		"very deep":                  {strings.Repeat("[", 1e6), "document", "101 open brackets", "at most 100", contact.ErrRange, 1},
	} {
		t.Run(name, func(t *testing.T) {
			var got document
			err := strict.Unmarshal([]byte(tt.json), &got)
			require.Error(t, err)
			faults := contact.Faults(err)
			if strings.HasPrefix(tt.want, "well-formed JSON") {
				faults = faults[len(faults)-1:] // faults of what comes before are found too
			}
			assert.Equal(t, []*contact.Error{{Path: tt.path, Value: tt.value, Want: tt.want, Class: tt.class, Line: tt.line}}, faults)
			assert.ErrorIs(t, err, tt.class)
		})
	}
}

func TestDepthThatIsAllowed(t *testing.T) {
	inText := with("title", `"`+strings.Repeat(`\"[{`, 200)+`"`)
	require.NoError(t, strict.Unmarshal([]byte(inText), new(document)))
	beside := with("stems", "["+strings.Repeat(`{"length_mm":1},`, 200)+`{"length_mm":1}]`)
	require.NoError(t, strict.Unmarshal([]byte(beside), new(document)))

	err := strict.Unmarshal([]byte(with("x", strings.Repeat("[", 99)+strings.Repeat("]", 99))), new(document))
	assert.ErrorIs(t, err, contact.ErrUnknown)
	assert.NotErrorIs(t, err, contact.ErrRange)
}

func TestAllFaultsTogether(t *testing.T) {
	err := strict.Unmarshal([]byte(`{
		"title": null, "count": 1.5, "count": 2, "Flip": true,
		"at_mm": [1, "2", 1e999],
		"stems": [{"length_mm": 1}, {"angle_deg": "x", "more": [1, 2]}, 3],
		"named": {"a": {"length_mm": false}},
		"site": "nose"
	} x`), new(document))
	assert.EqualError(t, err, strings.Join([]string{
		`line 2: /title null: want a string`,
		`line 2: /count 1.5: want a whole number`,
		`line 2: /count 2: want each member once`,
		`line 2: /Flip unknown name: want flip`,
		`line 3: /at_mm/1 "2": want a number`,
		`line 3: /at_mm/2 1e999: want a finite number`,
		`line 4: /stems/1/angle_deg "x": want a number`,
		`line 4: /stems/1/more unknown name: want one of length_mm, angle_deg`,
		`line 4: /stems/1/length_mm missing: want a number`,
		`line 4: /stems/2 3: want an object`,
		`line 5: /named/a/length_mm false: want a number`,
		`line 6: /site "nose": want ` + trial.ASite(),
		`line 1: /height_mm missing: want a number`,
		`line 1: /flip missing: want true or false`,
		`line 7: document "x": want nothing after the document`,
	}, "\n"))
}

func TestFieldOfUnreadableTypePanics(t *testing.T) {
	assert.Panics(t, func() { _ = strict.Unmarshal([]byte(`{"A": 1}`), new(struct{ A any })) })
	assert.Panics(t, func() { _ = strict.Unmarshal([]byte(`{}`), new(struct{ A func() })) })
	assert.Panics(t, func() { _ = strict.Unmarshal([]byte(`{}`), new(struct{ A int8 })) })
	assert.Panics(t, func() { _ = strict.Unmarshal([]byte(`{}`), new(struct{ A float32 })) })
}

type inside struct {
	Kind  string `json:"kind"`
	Stem  stem   `json:",inline"`
	Other *stem  `json:"other,omitzero"`
}

func TestInline(t *testing.T) {
	in := inside{Kind: "a\"\\\n\t\x01é\u2028", Stem: stem{Length: 100, Angle: -6}}
	text, err := strict.Marshal(in)
	require.NoError(t, err)
	assert.Equal(t, "{\n  \"kind\": \"a\\\"\\\\\\n\\t\\u0001é\u2028\",\n  \"length_mm\": 100,\n  \"angle_deg\": -6\n}\n", string(text))
	var out inside
	require.NoError(t, strict.Unmarshal(text, &out))
	assert.Equal(t, in, out)
}

// Short things stand in one line, long ones do not; maps are in the order of their keys.
func TestMarshal(t *testing.T) {
	d := document{
		Title: "t", Height: 1e-7, At: [3]float64{math.Copysign(0, -1), 0.1, 1e21}, Stems: []stem{{Length: 1.0 / 3}, {Length: 2, Angle: -6}},
		Named:  map[string]stem{strings.Repeat("b", 30): {}, strings.Repeat("a", 60): {}},
		Points: map[contact.Site][3]float64{contact.PedalLeft: {}, contact.BarClamp: {}}, Site: contact.SaddleReference,
	}
	text, err := strict.Marshal(d)
	require.NoError(t, err)
	assert.Equal(t, `{
  "title": "t",
  "count": 0,
  "height_mm": 1e-07,
  "flip": false,
  "at_mm": [0, 0.1, 1e+21],
  "stems": [{"length_mm": 0.3333333333333333}, {"length_mm": 2, "angle_deg": -6}],
  "named": {
    "`+strings.Repeat("a", 60)+`": {"length_mm": 0},
    "`+strings.Repeat("b", 30)+`": {"length_mm": 0}
  },
  "points": {"bar_clamp": [0, 0, 0], "pedal_left": [0, 0, 0]},
  "site": "saddle_reference"
}
`, string(text))
	d.Height, d.Stems[1].Angle, d.Title, d.Site = math.NaN(), math.Inf(-1), "\xff", 99
	_, err = strict.Marshal(d)
	assert.EqualError(t, err, "/title \"\\xff\": want text in UTF-8\n/height_mm NaN: want a finite number\n/stems/1/angle_deg -Inf: want a finite number\n/site number 99: want "+trial.ASite())
}

func TestMember(t *testing.T) {
	for text, want := range map[string]string{
		`{"a": 1}`:                              "1",
		` {"b": [{"a": 2}], "a": "x", "a": 3, `: `"x"`,
		`{"\u0061": {}}`:                        "{}",
		`{"b": 1}`:                              "",
		`{"b": 1 "a": 2}`:                       "",
		`[]`:                                    "",
		``:                                      "",
		`{"a": tru}`:                            "",
	} {
		got, ok := strict.Member(nil, []byte(text), "a")
		assert.Equal(t, want, string(got), text)
		assert.Equal(t, want != "", ok, text)
	}
}

func TestLocate(t *testing.T) {
	text := []byte(`{
	"stems": [
		{"length_mm": 1},
		{"angle_deg": 2,
		"length_mm": [1,
			2]}
	],
	"a/b": {"x": 1, "x_mm": 2}
}`)
	paths := []string{"stems[1].length_mm", "stems[1].length_mm[1]", "stems[1].length", "stems[1].angle_deg.deep", "stems[0].width", "stems[7]", "none.more", "a/b.x", "a/b.x_mm", "a/b[0]"}
	assert.Equal(t, []strict.Place{
		{Path: "/stems/1/length_mm", Line: 5},
		{Path: "/stems/1/length_mm/1", Line: 6},
		{Path: "/stems/1", Line: 4, Rest: "length"}, // a name is the whole of it
		{Path: "/stems/1/angle_deg", Line: 4, Rest: "deep"},
		{Path: "/stems/0", Line: 3, Rest: "width"},
		{Path: "/stems", Line: 2, Rest: "7"},
		{Path: "document", Line: 1, Rest: "none.more"},
		{Path: "/a~1b/x", Line: 8},
		{Path: "/a~1b/x_mm", Line: 8},
		{Path: "/a~1b", Line: 8, Rest: "0"},
	}, strict.Locate(nil, text, paths))
}

// The reference is encoding/json with everything strict that it has. What passes
// here must pass there and mean the same; what fails must say where and why.
func FuzzUnmarshal(f *testing.F) {
	f.Add([]byte(sound))
	f.Add([]byte(least))
	f.Add([]byte(with("title", `"\ud800\uffff\n"`)))
	f.Add([]byte(with("stems", `[{"length_mm":1,"length_mm":-0}]`)))
	f.Add([]byte(with("points", `{"hoods_left":[1,2,3],"x":null}`)))
	f.Add([]byte(`{"height_mm":1e999,"count":1e0,"at_mm":[1,2],"flip":"`))
	f.Add([]byte("{\"é\":\xff}"))
	f.Add([]byte(strings.Repeat(`{"main":[`, 60)))
	f.Add([]byte(least + "]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		old := document{Title: "old"}
		got := old
		spent := trial.Spending()
		err := strict.Unmarshal(data, &got)
		require.LessOrEqual(t, spent(), 20*len(data)+16<<20)
		if err != nil {
			faults := contact.Faults(err)
			require.NotEmpty(t, faults)
			require.LessOrEqual(t, len(faults), fault.MaxFaults+1)
			require.LessOrEqual(t, len(err.Error()), fault.MaxText+4096)
			for _, e := range faults {
				require.NotEmpty(t, e.Path)
				require.NotEmpty(t, e.Want)
				require.Error(t, e.Class)
				require.Positive(t, e.Line)
			}
			require.Equal(t, old, got)
			return
		}
		dec := json.NewDecoder(bytes.NewReader(plainNumbers(t, data)))
		dec.DisallowUnknownFields()
		var want document
		require.NoError(t, dec.Decode(&want))
		require.Empty(t, cmp.Diff(want, got, cmpopts.EquateEmpty(), cmp.AllowUnexported(document{}), cmpopts.IgnoreFields(document{}, "hidden")))
		// What is written is read back, and is what encoding/json reads too.
		text, err := strict.Marshal(got)
		require.NoError(t, err)
		require.True(t, json.Valid(text))
		var again document
		require.NoError(t, strict.Unmarshal(text, &again), string(text))
		require.Empty(t, cmp.Diff(got, again, cmpopts.EquateEmpty(), cmp.AllowUnexported(document{})))
	})
}

// plainNumbers writes whole numbers in digits alone, as encoding/json wants them.
func plainNumbers(t *testing.T, data []byte) []byte {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	var v any
	require.NoError(t, dec.Decode(&v))
	var plain func(v any) any
	plain = func(v any) any {
		switch v := v.(type) {
		case map[string]any:
			for k := range v {
				v[k] = plain(v[k])
			}
		case []any:
			for i := range v {
				v[i] = plain(v[i])
			}
		case json.Number:
			// Numbers of a larger exponent are in no document, but as 0.
			if _, e, _ := strings.Cut(strings.ToLower(v.String()), "e"); len(e) > 4 {
				return v
			}
			if r, ok := new(big.Rat).SetString(v.String()); ok && r.IsInt() {
				return json.Number(r.Num().String())
			}
		}
		return v
	}
	text, err := json.Marshal(plain(v))
	require.NoError(t, err)
	return text
}
