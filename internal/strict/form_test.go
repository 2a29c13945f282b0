package strict_test

import (
	"math"
	"reflect"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A span has no tags: documents have another type for it.
type span struct {
	Angle bool
	Size  float64
	Marks []float64
}

type spanForm struct {
	Kind  string    `json:"kind"`
	MM    *float64  `json:"size_mm,omitzero"`
	Deg   *float64  `json:"size_deg,omitzero"`
	Marks []float64 `json:"marks"`
}

func init() {
	strict.Register(
		func(s span) spanForm {
			f := spanForm{Kind: "mm", Marks: s.Marks}
			if s.Angle {
				f.Kind = "degrees"
			}
			f.MM, f.Deg = strict.In(s.Size, f.Kind)
			return f
		},
		func(d spanForm) (span, error) {
			var f fault.List
			s := span{Angle: d.Kind == "degrees", Marks: d.Marks}
			s.Size = strict.Amount(&f, "size", d.Kind, d.MM, d.Deg, true)
			for i, m := range d.Marks {
				f.Range(fault.At("marks", i), m, 0, 9, "")
			}
			if len(d.Marks) > 3 {
				f.Add("", "too many", "3 marks", fault.ErrConflict)
			}
			return s, f.Err()
		},
	)
}

type spans struct {
	First span            `json:"first"`
	More  []span          `json:"more"`
	Named map[string]span `json:"named,omitzero"`
	Other *span           `json:"other,omitzero"`
}

func TestForm(t *testing.T) {
	in := spans{
		First: span{Size: 2}, More: []span{{Angle: true, Size: -1.5, Marks: []float64{1, 2}}, {}},
		Named: map[string]span{"a": {Size: 1}}, Other: &span{Size: 3},
	}
	text, err := strict.Marshal(in)
	require.NoError(t, err)
	assert.Equal(t, `{
  "first": {"kind": "mm", "size_mm": 2, "marks": []},
  "more": [
    {"kind": "degrees", "size_deg": -1.5, "marks": [1, 2]},
    {"kind": "mm", "size_mm": 0, "marks": []}
  ],
  "named": {"a": {"kind": "mm", "size_mm": 1, "marks": []}},
  "other": {"kind": "mm", "size_mm": 3, "marks": []}
}
`, string(text))
	var out spans
	require.NoError(t, strict.Unmarshal(text, &out))
	assert.Equal(t, in, out)

	typ, ok := strict.Form(reflect.TypeFor[span]())
	assert.True(t, ok)
	assert.Equal(t, reflect.TypeFor[spanForm](), typ)
	typ, ok = strict.Form(reflect.TypeFor[spans]())
	assert.False(t, ok)
	assert.Equal(t, reflect.TypeFor[spans](), typ)
}

// A fault of a form stands at its member, whose pointer and line it has; one of the
// whole at the form. Where the text is wrong nothing is said of what follows from it.
func TestFaultsOfForms(t *testing.T) {
	err := strict.Unmarshal([]byte(`{
  "first": {
    "kind": "mm",
    "marks": [
      10,
      2],
    "size_deg": 3
  },
  "more": [{"kind": "degrees", "size_deg": 1, "marks": [1, 2,
     3, -4]}, {"kind": "mm",
     "marks": []},
     {"kind": "degrees", "size_mm": "1", "marks": [99]}, 7, {"size_mm": 1, "marks": [], "kind": "mm", "x": 0}],
  "other": null
}`), new(spans))
	assert.EqualError(t, err, `line 7: /first/size_deg unknown name: want size_mm, the unit of what it belongs to
line 5: /first/marks/0 10: want 0 to 9
line 10: /more/0/marks/3 -4: want 0 to 9
line 9: /more/0 too many: want 3 marks
line 10: /more/1/size_mm missing: want a number
line 12: /more/2/size_mm "1": want a number
line 12: /more/3 7: want an object
line 12: /more/4/x unknown name: want one of kind, size_mm, size_deg, marks
line 13: /other null: want an object`)
}

// What could be read of a form stays, faults or not.
func TestDecodeForm(t *testing.T) {
	var got spans
	faults, whole := strict.Decode(nil, []byte(`{"first": {"kind": "degrees", "size_deg": "x", "marks": [1]}, "more": [{"kind": "degrees", "size_mm": 1, "marks": [2]}]}`), &got)
	assert.True(t, whole)
	assert.Equal(t, 2, faults.Len())
	assert.Equal(t, spans{First: span{Angle: true, Marks: []float64{1}}, More: []span{{Angle: true, Marks: []float64{2}}}}, got)
}

// What may be left out does not say the same with zeros in it.
func TestZeros(t *testing.T) {
	type pair struct {
		A float64 `json:"a"`
		B float64 `json:"b,omitzero"`
	}
	type options struct {
		B float64 `json:"b,omitzero"`
	}
	type holder struct {
		Maybe pair    `json:"maybe,omitzero" zero:"not stated"`
		Plain pair    `json:"plain,omitzero"`
		Some  options `json:"some,omitzero" zero:"none"`
		Must  pair    `json:"must" zero:"none"`
		Form  span    `json:"form,omitzero" zero:"no span"`
	}
	var got holder
	err := strict.Unmarshal([]byte(`{"maybe": {"a": -0}, "plain": {"a": 0}, "some": {}, "must": {"a": 0}, "form": {"kind": "mm", "size_mm": 0, "marks": []}}`), &got)
	assert.EqualError(t, err, "line 1: /maybe all 0: want numbers; left out, it says: not stated\nline 1: /form all 0: want numbers; left out, it says: no span")
	require.NoError(t, strict.Unmarshal([]byte(`{"maybe": {"a": 0, "b": 1}, "must": {"a": 0}}`), &got))
	assert.Equal(t, holder{Maybe: pair{B: 1}}, got)
	err = strict.Unmarshal([]byte(`{"maybe": {}, "must": {"a": 0}}`), &got)
	assert.EqualError(t, err, "line 1: /maybe/a missing: want a number")
}

type points struct {
	At   r3.Vec    `json:"at_mm"`
	Also *r3.Vec   `json:"also_mm,omitzero"`
	Many []r3.Vec  `json:"many_mm,omitempty"`
	Left [2]r3.Vec `json:"left_mm,omitzero"`
}

// A vector is three numbers.
func TestVectors(t *testing.T) {
	in := points{At: r3.Vec{X: 1, Y: -2.5, Z: math.Copysign(0, -1)}, Also: &r3.Vec{Z: 3}, Many: []r3.Vec{{}, {X: 1}}, Left: [2]r3.Vec{{Y: 1}, {}}}
	text, err := strict.Marshal(in)
	require.NoError(t, err)
	assert.Equal(t, `{
  "at_mm": [1, -2.5, 0],
  "also_mm": [0, 0, 3],
  "many_mm": [[0, 0, 0], [1, 0, 0]],
  "left_mm": [[0, 1, 0], [0, 0, 0]]
}
`, string(text))
	var out points
	require.NoError(t, strict.Unmarshal(text, &out))
	assert.Equal(t, in, out)
	err = strict.Unmarshal([]byte(`{"at_mm": [1, 2], "also_mm": [1, 2, 3, 4], "many_mm": [[1, "2", 1e999], {"X": 1}], "left_mm": [[1, 2, 3]]}`), &out)
	assert.EqualError(t, err, `line 1: /at_mm an array of 2: want an array of 3
line 1: /also_mm an array of 4: want an array of 3
line 1: /many_mm/0/1 "2": want a number
line 1: /many_mm/0/2 1e999: want a finite number
line 1: /many_mm/1 an object: want an array of 3
line 1: /left_mm an array of 1: want an array of 2`)
	in.At.Y = math.Inf(1)
	_, err = strict.Marshal(in)
	assert.EqualError(t, err, "/at_mm/1 +Inf: want a finite number")
}

// A document is a head with the members of its content, which may be of a type that
// documents have another for.
func TestDocument(t *testing.T) {
	head, b := strict.Head{Schema: "a/b", Version: strict.Version{Major: 3, Minor: 4}, Note: "n"}, new(strict.Beside)
	want := span{Angle: true, Size: 4, Marks: []float64{1}}
	text, faults := strict.WriteDocument(nil, head, want, b)
	require.Zero(t, faults.Len())
	assert.Equal(t, "{\n  \"schema\": \"a/b\",\n  \"version\": \"3.4\",\n  \"note\": \"n\",\n  \"kind\": \"degrees\",\n  \"size_deg\": 4,\n  \"marks\": [1]\n}\n", string(text))
	var got span
	read, faults, whole := strict.ReadDocument(nil, text, &got, 0, b)
	assert.Equal(t, head, read)
	assert.Zero(t, faults.Len())
	assert.True(t, whole)
	assert.Equal(t, want, got)

	in := spans{First: want}
	text, faults = strict.WriteDocument(nil, strict.Head{Schema: "c"}, in, b)
	require.Zero(t, faults.Len())
	var out spans
	read, faults, whole = strict.ReadDocument(nil, text, &out, 0, b)
	assert.Equal(t, strict.Head{Schema: "c"}, read)
	assert.Zero(t, faults.Len())
	assert.True(t, whole)
	assert.Equal(t, in, out)

	_, faults = strict.WriteDocument(nil, strict.Head{Note: "\xff"}, span{Size: math.NaN()}, b)
	assert.EqualError(t, faults.Err(), "/note \"\\xff\": want text in UTF-8\n/size_mm NaN: want a finite number")
	got = span{}
	_, faults, whole = strict.ReadDocument(nil, []byte("{\"schema\": \"a\", \"version\": 1,\n\"kind\": \"mm\", \"size_deg\": 1, \"marks\": [1,\n10, 2, 3]}"), &got, 0, b)
	assert.True(t, whole)
	assert.EqualError(t, faults.Err(), "line 2: /size_deg unknown name: want size_mm, the unit of what it belongs to\nline 3: /marks/1 10: want 0 to 9\nline 1: document too many: want 3 marks")
	assert.Equal(t, span{Marks: []float64{1, 10, 2, 3}}, got)
	_, faults, whole = strict.ReadDocument(nil, []byte(`{"version": 1.5, "kind": "mm", "marks": [10]`), new(span), 0, b)
	assert.False(t, whole)
	assert.EqualError(t, faults.Err(), "line 1: /version 1.5: want \"1.0\" or another version, as major.minor\nline 1: document end of the text at column 45: want well-formed JSON")
}

func TestAmount(t *testing.T) {
	one := 1.0
	for _, c := range []struct {
		unit    string
		mm, deg *float64
		need    bool
		want    float64
		fault   string
	}{
		{"mm", &one, nil, true, 1, ""},
		{"degrees", nil, &one, true, 1, ""},
		{"mm", nil, nil, true, 0, "v_mm missing: want a number"},
		{"degrees", nil, nil, true, 0, "v_deg missing: want a number"},
		{"mm", nil, nil, false, 0, ""},
		{"mm", nil, &one, true, 0, "v_deg unknown name: want v_mm, the unit of what it belongs to"},
		{"degrees", &one, nil, false, 0, "v_mm unknown name: want v_deg, the unit of what it belongs to"},
		{"mm", &one, &one, true, 1, "v_deg unknown name: want v_mm, the unit of what it belongs to"},
		{"", &one, &one, true, 0, ""},
	} {
		var f fault.List
		assert.Equal(t, c.want, strict.Amount(&f, "v", c.unit, c.mm, c.deg, c.need))
		if c.fault == "" {
			assert.NoError(t, f.Err())
		} else {
			assert.EqualError(t, f.Err(), c.fault)
		}
	}
	mm, deg := strict.In(2, "degrees")
	assert.Nil(t, mm)
	assert.Equal(t, 2.0, *deg)
	mm, deg = strict.In(2, "mm")
	assert.Nil(t, deg)
	assert.Equal(t, 2.0, *mm)
}

// Names that have numbers stand in the order of these.
func TestOrderOfKeys(t *testing.T) {
	text, err := strict.Marshal(map[contact.Site]int{contact.SaddleNose: 1, contact.FootRight: 3, contact.HoodsLeft: 2})
	require.NoError(t, err)
	assert.Equal(t, "{\n  \"saddle_nose\": 1,\n  \"hoods_left\": 2,\n  \"foot_right\": 3\n}\n", string(text))
	_, err = strict.Marshal(map[contact.Site]int{0: 1})
	assert.EqualError(t, err, "document none: want "+trial.ASite())
}
