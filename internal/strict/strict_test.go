package strict_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/strict"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// document has a field of every kind.
type document struct {
	Title  string                      `json:"title"`
	Count  int                         `json:"count"`
	Small  int8                        `json:"small,omitempty"`
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
	"title": "a\u0020\"b\"", "count": -2, "small": 127, "height_mm": 71.25, "flip": true,
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
		Title: `a "b"`, Count: -2, Small: 127, Height: 71.25, Flip: true,
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
	assert.Equal(t, document{Stems: []stem{}, Named: map[string]stem{}}, got)
}

func TestFaultsLeaveTheTargetAlone(t *testing.T) {
	got := document{Title: "old"}
	require.Error(t, strict.Unmarshal([]byte(`{"title": "new"}`), &got))
	assert.Equal(t, document{Title: "old"}, got)
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
	names := "one of title, count, small, height_mm, flip, at_mm, stems, pairs, named, points, main, site, word, Plain"
	for name, tt := range map[string]struct {
		json, path, value, want string
		class                   error
	}{
		"unknown member":             {with("hieght_mm", "1"), "hieght_mm", "", names, contact.ErrUnknown},
		"unknown member in an array": {with("stems", `[{"length_mm": 1}, {"length_mm": 1, "clamp": 2}]`), "stems[1].clamp", "", "one of length_mm, angle_deg", contact.ErrUnknown},
		"unknown name is odd":        {with("a b", "1"), `["a b"]`, "", names, contact.ErrUnknown},
		"wrong case":                 {with("main", `{"length_mm": 1, "Angle_Deg": 1}`), "main.Angle_Deg", "", "angle_deg", contact.ErrUnknown},
		"field left out by its tag":  {with("Out", "1"), "Out", "", names, contact.ErrUnknown},
		"unexported field":           {with("hidden", "1"), "hidden", "", names, contact.ErrUnknown},
		"missing member":             {with("stems", `[{}]`), "stems[0].length_mm", "", "a number", contact.ErrMissing},
		"missing member in a map":    {with("named", `{"a.b": {}}`), `named["a.b"].length_mm`, "", "a number", contact.ErrMissing},
		"null for a number":          {with("height_mm", "null"), "height_mm", "null", "a number", contact.ErrMissing},
		"null for a pointer":         {with("main", "null"), "main", "null", "an object", contact.ErrMissing},
		"null for a text":            {with("word", "null"), "word", "null", "a string", contact.ErrMissing},
		"null in an array":           {with("stems", "[null]"), "stems[0]", "null", "an object", contact.ErrMissing},
		"null in a map":              {with("named", `{"a": null}`), "named.a", "null", "an object", contact.ErrMissing},
		"member stated twice":        {with("main", `{"length_mm": 1, "length_mm": 2}`), "main.length_mm", "2", "each member once", contact.ErrConflict},
		"member spelt in two ways":   {with("main", `{"length_mm": 1, "length\u005fmm": 2}`), "main.length_mm", "2", "each member once", contact.ErrConflict},
		"key of a map stated twice":  {with("named", `{"é": {"length_mm": 1}, "é": {"length_mm": 1}}`), "named.é", "an object", "each member once", contact.ErrConflict},
		"string for a number":        {with("height_mm", `"71"`), "height_mm", `"71"`, "a number", contact.ErrRange},
		"number for a string":        {with("title", "1.50"), "title", "1.50", "a string", contact.ErrRange},
		"number for a bool":          {with("flip", "1"), "flip", "1", "true or false", contact.ErrRange},
		"number for a text":          {with("site", "1"), "site", "1", "a string", contact.ErrRange},
		"bool for an integer":        {with("count", "true"), "count", "true", "a whole number", contact.ErrRange},
		"array for an object":        {with("main", "[1]"), "main", "an array", "an object", contact.ErrRange},
		"object for an array":        {with("stems", "{}"), "stems", "an object", "an array", contact.ErrRange},
		"array for a map":            {with("named", "[]"), "named", "an array", "an object", contact.ErrRange},
		"number beyond float64":      {with("height_mm", "-1e309"), "height_mm", "-1e309", "a finite number", contact.ErrRange},
		"fraction for an integer":    {with("count", "1.0"), "count", "1.0", "a whole number", contact.ErrRange},
		"exponent for an integer":    {with("count", "1e3"), "count", "1e3", "a whole number", contact.ErrRange},
		"integer beyond int":         {with("count", "9223372036854775808"), "count", "9223372036854775808", "a whole number of at most 64 bits", contact.ErrRange},
		"integer beyond int8":        {with("small", "128"), "small", "128", "a whole number of at most 8 bits", contact.ErrRange},
		"array too short":            {with("at_mm", "[1, 2]"), "at_mm", "an array of 2", "an array of 3", contact.ErrRange},
		"array too long":             {with("pairs", "[[1, 2], [1, 2, 3]]"), "pairs[1]", "an array of 3", "an array of 2", contact.ErrRange},
		"text of an unknown name":    {with("site", `"hood"`), "site", `"hood"`, "a name such as saddle_reference or hoods_left", contact.ErrUnknown},
		"key of an unknown name":     {with("points", `{"hood": [1, 2, 3]}`), "points.hood", `"hood"`, "a name such as saddle_reference or hoods_left", contact.ErrUnknown},
		"text that its type refuses": {with("word", `""`), "word", `""`, "a text that can be read (" + assert.AnError.Error() + ")", contact.ErrRange},
		"long text is cut":           {with("count", `"`+strings.Repeat("ü", 1000)+`"`), "count", `"` + strings.Repeat("ü", 40) + `…"`, "a whole number", contact.ErrRange},
		"document is null":           {"null", "document", "null", "an object", contact.ErrMissing},
		"document is an array":       {"[]", "document", "an array", "an object", contact.ErrRange},
		"no document":                {" \n", "document", "", "a JSON object", contact.ErrMissing},
		"second document":            {least + "\n{}", "line 2, column 1", `"{}"`, "nothing after the document", contact.ErrConflict},
		"rubbish after the document": {least + " // é", "line 1, column 115", `"// é"`, "nothing after the document", contact.ErrConflict},
		"bracket too many":           {least + "}", "line 1, column 114", `"}"`, "nothing after the document", contact.ErrConflict},
		"document is cut off":        {"{\n\t\"title\": \"é", "line 2, column 13", "end of the text", "well-formed JSON", contact.ErrConflict},
		"number is cut off":          {"-", "line 1, column 2", "end of the text", "well-formed JSON", contact.ErrConflict},
		"comma before the end":       {"{\"title\": \"é\",\n}", "line 2, column 1", "'}'", "well-formed JSON", contact.ErrConflict},
		"comma is missing":           {"{\"é\": 1 \"b\": 2}", "line 1, column 9", `'"'`, "well-formed JSON", contact.ErrConflict},
		"character beyond ASCII":     {"{\"é\": é}", "line 1, column 7", "'é'", "well-formed JSON", contact.ErrConflict},
		"comment":                    {"// a\n{}", "line 1, column 1", "'/'", "well-formed JSON", contact.ErrConflict},
		"leading zero":               {`{"count": 01}`, "line 1, column 12", "'1'", "well-formed JSON", contact.ErrConflict},
		"NaN":                        {`{"height_mm": NaN}`, "line 1, column 15", "'N'", "well-formed JSON", contact.ErrConflict},
		"hexadecimal number":         {`{"height_mm": 0x1p4}`, "line 1, column 16", "'x'", "well-formed JSON", contact.ErrConflict},
		"line break in a string":     {"{\"title\": \"a\nb\"}", "line 1, column 13", `'\n'`, "well-formed JSON", contact.ErrConflict},
		"byte-order mark":            {"\ufeff" + least, "line 1, column 1", `'\ufeff'`, "well-formed JSON", contact.ErrConflict},
		"not UTF-8":                  {"{\n\"é\xff\": 1}", "line 2, column 3", "byte 0xFF", "text in UTF-8", contact.ErrConflict},
		"too deep, unknown":          {with("x", strings.Repeat("[", 100)+strings.Repeat("]", 100)), "line 1, column 217", "101 open brackets", "at most 100", contact.ErrRange},
		"very deep":                  {strings.Repeat("[", 1e6), "line 1, column 101", "101 open brackets", "at most 100", contact.ErrRange},
	} {
		t.Run(name, func(t *testing.T) {
			var got document
			err := strict.Unmarshal([]byte(tt.json), &got)
			require.Error(t, err)
			assert.Equal(t, []*contact.Error{{Path: tt.path, Value: tt.value, Want: tt.want, Class: tt.class}}, contact.Faults(err))
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
		`line 7, column 4 "x": want nothing after the document`,
		`title null: want a string`,
		`count 1.5: want a whole number`,
		`count 2: want each member once`,
		`Flip unknown name: want flip`,
		`at_mm[1] "2": want a number`,
		`at_mm[2] 1e999: want a finite number`,
		`stems[1].angle_deg "x": want a number`,
		`stems[1].more unknown name: want one of length_mm, angle_deg`,
		`stems[1].length_mm missing: want a number`,
		`stems[2] 3: want an object`,
		`named.a.length_mm false: want a number`,
		`site "nose": want a name such as saddle_reference or hoods_left`,
		`height_mm missing: want a number`,
		`flip missing: want true or false`,
	}, "\n"))
}

func TestFieldOfUnreadableTypePanics(t *testing.T) {
	assert.Panics(t, func() { _ = strict.Unmarshal([]byte(`{"A": 1}`), new(struct{ A any })) })
	assert.Panics(t, func() { _ = strict.Unmarshal([]byte(`{}`), new(struct{ A func() })) })
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
		if err := strict.Unmarshal(data, &got); err != nil {
			faults := contact.Faults(err)
			require.NotEmpty(t, faults)
			for _, e := range faults {
				require.NotEmpty(t, e.Path)
				require.NotEmpty(t, e.Want)
				require.Error(t, e.Class)
			}
			require.Equal(t, old, got)
			return
		}
		dec := json.NewDecoder(bytes.NewReader(data))
		dec.DisallowUnknownFields()
		var want document
		require.NoError(t, dec.Decode(&want))
		require.Equal(t, want, got)
	})
}
