package exchange_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// carried is what is read of a document and written again, whatever its kind.
type carried struct {
	value          any
	text           string
	needs, unknown []string
	items          int
}

// plain is a document as any reader of JSON has it.
func plain(t *testing.T, data []byte) (v map[string]any) {
	t.Helper()
	require.NoError(t, json.Unmarshal(data, &v), string(data))
	return v
}

// keyed are the members whose own members are keys.
var keyed = map[string]bool{"sites": true, "features": true, "markers": true}

// objects calls do with every object of a document that has members of its own, by its
// pattern; those whose members are keys are passed over.
func objects(v any, path string, do func(o map[string]any, path string)) {
	switch v := v.(type) {
	case map[string]any:
		keys := keyed[path[1+strings.LastIndexByte(path, '/'):]]
		if !keys {
			do(v, path)
		}
		for _, k := range slices.Sorted(maps.Keys(v)) {
			next := path + "/" + k
			if keys {
				next = path + "/*"
			}
			if k != "meta" && k != "new" {
				objects(v[k], next, do)
			}
		}
	case []any:
		for _, e := range v {
			objects(e, path+"/*", do)
		}
	}
}

func text(t *testing.T, v any) []byte {
	t.Helper()
	data, err := json.Marshal(v)
	require.NoError(t, err)
	return data
}

// Documents of the first kind, whose version is the number 1, say the same.
func TestFirstVersion(t *testing.T) {
	for _, s := range everyKind {
		data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
		require.NoError(t, err)
		for _, version := range []string{`1`, `1.0`, `10e-1`} {
			old := bytes.Replace(data, []byte(`"version": "1.0"`), []byte(`"version": `+version), 1)
			require.NotEqual(t, data, old)
			require.NoError(t, validate(t, old))
			again, err := s.reread(old)
			require.NoError(t, err)
			was, err := s.reread(data)
			require.NoError(t, err)
			require.Equal(t, was, again)
		}
	}
}

// Every object of every kind of document can have an id and anything else of its
// writer's: all is written back, and the value is as without.
func TestEveryItem(t *testing.T) {
	for _, s := range everyKind {
		t.Run(s.name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
			require.NoError(t, err)
			without, err := s.carry(data, exchange.Reading{})
			require.NoError(t, err)
			doc, n := plain(t, data), 0
			objects(doc, "", func(o map[string]any, path string) {
				n++
				o["id"] = fmt.Sprintf("key %d", n)
				if n%2 == 0 {
					o["meta"] = map[string]any{"sku": float64(n), "of": []any{path, nil, map[string]any{}}}
				}
			})
			with := text(t, doc)
			require.NoError(t, validate(t, with))
			got, err := s.carry(with, exchange.Reading{Strict: true})
			require.NoError(t, err)
			assert.Equal(t, n-1, got.items, "and the document's own")
			same(t, without.value, got.value)
			require.Empty(t, cmp.Diff(doc, plain(t, []byte(got.text))))
			again, err := s.carry([]byte(got.text), exchange.Reading{})
			require.NoError(t, err)
			require.Equal(t, got.text, again.text)
			_, err = s.reread(with)
			require.NoError(t, err, "by those who want the value alone")
		})
	}
}

// What a later minor version might add: members of every kind in any object.
func later(r *rand.Rand) any {
	return []any{
		1.5, "text", true, nil, []any{}, []any{1.0, "a", []any{}}, map[string]any{"deep": map[string]any{"x_mm": 1.0}},
	}[r.IntN(7)]
}

// A document of a later minor version is read with all that is new in it kept and
// reported; written, it is as it was. What it needs and is not known keeps from computing.
func TestLaterMinor(t *testing.T) {
	n := 30
	if testing.Short() {
		n = 3
	}
	for _, s := range everyKind {
		t.Run(s.name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
			require.NoError(t, err)
			without, err := s.carry(data, exchange.Reading{})
			require.NoError(t, err)
			for seed := range draws(&s, uint64(n)) {
				r := rand.New(rand.NewPCG(seed, 24))
				doc, added := plain(t, data), map[string]bool{}
				doc["version"] = fmt.Sprintf("1.%d", 1+r.IntN(20))
				add := func(o map[string]any, path string) {
					o["new"], added[path+"/new"] = later(r), true
				}
				objects(doc, "", func(o map[string]any, path string) {
					if r.IntN(3) == 0 {
						add(o, path)
					}
					if r.IntN(3) == 0 {
						o["meta"] = map[string]any{"a": later(r)}
					}
				})
				add(doc, "")
				all := slices.Sorted(maps.Keys(added))

				newer := text(t, doc)
				require.NoError(t, validate(t, newer), "the schema is open for it")
				got, err := s.carry(newer, exchange.Reading{})
				require.NoError(t, err)
				same(t, without.value, got.value)
				require.Empty(t, cmp.Diff(doc, plain(t, []byte(got.text))), "nothing is lost")
				require.Equal(t, all, slices.Sorted(slices.Values(got.unknown)))
				require.Empty(t, got.needs)
				_, err = s.carry(newer, exchange.Reading{Strict: true})
				require.ErrorContains(t, err, "/version "+doc["version"].(string)+": want at most 1.0")

				needed := all[r.IntN(len(all))]
				doc["needs"] = []any{needed, "/schema"} // and one that every version knows
				needing := text(t, doc)
				_, err = s.reread(needing)
				require.ErrorIs(t, err, contact.ErrUnknown)
				said := needed
				if strings.HasSuffix(t.Name(), "/record") || strings.HasSuffix(t.Name(), "/records") {
					said = "another" // which may tell who the rider is
				}
				require.ErrorContains(t, err, "line 1: /needs "+said+": want")
				got, err = s.carry(needing, exchange.Reading{Carry: true})
				require.NoError(t, err)
				require.Equal(t, []string{needed}, got.needs)
				same(t, without.value, got.value)
				require.Empty(t, cmp.Diff(doc, plain(t, []byte(got.text))))
			}
		})
	}
}

// In a version that is known every member is, so that a slip is found.
func TestKnownVersionIsClosed(t *testing.T) {
	for doc, want := range map[string]string{
		`{"schema":"fitgeom/position","version":"1.0","sites":{},"needs":["/new"]}`:  "line 1: /needs unknown name: want a document of version 1.1",
		`{"schema":"fitgeom/position","version":"1.0","sites":{},"new":1}`:           "line 1: /new unknown name: want one of schema, version, note, sites",
		`{"schema":"fitgeom/position","version":"1.1","sites":{},"needs":["/new"]}`:  "line 1: /needs /new: want members and names that version 1.0 has; without them the rest means something else, and is only to be shown and handed on",
		`{"schema":"fitgeom/position","version":"1.1","sites":{},"needs":[1]}`:       "line 1: /needs/0 1: want a string",
		`{"schema":"fitgeom/position","version":"1.1","sites":{},"a":1,"a":2}`:       "line 1: /a 2: want each member once",
		`{"schema":"fitgeom/position","version":"1.01","sites":{}}`:                  `line 1: /version "1.01": want "1.0" or another version, as major.minor`,
		`{"schema":"fitgeom/position","version":"1","sites":{}}`:                     `line 1: /version "1": want "1.0" or another version, as major.minor`,
		`{"schema":"fitgeom/position","version":1.5,"sites":{}}`:                     `line 1: /version 1.5: want "1.0" or another version, as major.minor`,
		`{"schema":"fitgeom/position","version":"1.0","sites":{},"id":""}`:           "line 1: /id 0 characters: want a text of 1 to 200 characters",
		`{"schema":"fitgeom/position","version":"1.0","sites":{},"id":7}`:            "line 1: /id 7: want a text of 1 to 200 characters",
		`{"schema":"fitgeom/position","version":"1.0","sites":{},"meta":null}`:       "line 1: /meta null: want a JSON object",
		`{"schema":"fitgeom/position","version":"1.0","sites":{},"meta":[]}`:         "line 1: /meta an array: want a JSON object",
		`{"schema":"fitgeom/position","version":"1.0","id":"a","id":"b","sites":{}}`: `line 1: /id "b": want each member once`,
		`{"schema":"fitgeom/position","version":"1.0","sites":{"bell":{}}}`:          "",
	} {
		_, _, err := exchange.Read[contact.Position](t.Context(), strings.NewReader(doc))
		if want != "" {
			assert.EqualError(t, err, want)
		}
		assert.Error(t, err, doc)
		if strings.Contains(doc, `"1.0"`) && !strings.Contains(doc, `"id":"b"`) { // of two members a validator sees one
			assert.Error(t, validate(t, []byte(doc)), doc)
		}
	}
}

const landmarks = `{"landmark":"bottom_bracket_left","at":[0,34,0]},{"landmark":"bottom_bracket_right","at":[0,-34,0]},{"landmark":"rear_axle_left","at":[-400,60,70]},` +
	`{"landmark":"rear_axle_right","at":[-400,-60,70]},{"landmark":"front_axle_left","at":[590,50,70]},{"landmark":"front_axle_right","at":[590,-50,70]},`

// Names that a later version may have added: what they stand for is kept whole, and
// nobody computes with the rest by accident.
func TestLaterNames(t *testing.T) {
	tests := map[string]struct {
		subject, doc  string
		need, unknown string // patterns
	}{
		"a site":              {"position", `{"schema":"fitgeom/position","version":"1.4","sites":{"saddle_reference":{"at_mm":[-200,0,700]},"bell":{"at_mm":[1,2,3]}}}`, "", "/sites/*"},
		"a measure":           {"sheet", `{"schema":"fitgeom/sheet","version":"1.4","mirrored":false,"entries":[{"measure":"saddle_height","value_mm":700},{"id":"7","measure":"bell_height","value_mm":900,"ring":true}]}`, "/entries/*/measure", "/entries/*/ring"},
		"a landmark":          {"survey", `{"schema":"fitgeom/survey","version":"1.4","unit":"mm","sigma":[1,1,1],"up":[0,0,1],"readings":[` + landmarks + `{"landmark":"bell","at":[1,2,3]}]}`, "/readings/*/landmark", ""},
		"a unit":              {"survey", `{"schema":"fitgeom/survey","version":"1.4","unit":"ell","sigma":[1,1,1],"up":[0,0,1],"readings":[` + landmarks + `{"landmark":"mark_a","at":[0,0,0]}]}`, "/unit", ""},
		"an end of a reading": {"tape_survey", `{"schema":"fitgeom/tape_survey","version":"1.4","readings":[{"kind":"direct","from":"bottom_bracket","to":"bell","value_mm":700,"sigma_mm":1}]}`, "/readings/*/to", ""},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			s := subjects[slices.IndexFunc(subjects, func(s subject) bool { return s.name == tt.subject })]
			got, err := s.carry([]byte(tt.doc), exchange.Reading{Carry: true})
			require.NoError(t, err)
			require.Empty(t, cmp.Diff(plain(t, []byte(tt.doc)), plain(t, []byte(got.text))))
			again, err := s.carry([]byte(got.text), exchange.Reading{Carry: true})
			require.NoError(t, err)
			require.Equal(t, got.text, again.text)
			assert.Equal(t, tt.unknown, strings.Join(got.unknown, " "))
			assert.Equal(t, tt.need, strings.Join(got.needs, " "))
			_, err = s.reread([]byte(tt.doc))
			if tt.need == "" {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, tt.need+": want")
				require.ErrorIs(t, err, contact.ErrUnknown)
			}
			_, err = s.reread(bytes.Replace([]byte(tt.doc), []byte(`"1.4"`), []byte(`"1.0"`), 1))
			require.ErrorIs(t, err, contact.ErrUnknown, "no version has it that is known")
		})
	}
}

// A value that was changed is written changed, with what was beside it where it was.
func TestChangedAndCarried(t *testing.T) {
	const doc = `{"schema":"fitgeom/frames","version":"1.3","id":"list","new":1,"sizes":[
		{"id":"a","family":"road","label":"54","frame":` + frame54 + `},
		{"id":"b","family":"road","label":"56","colour":"red","frame":` + frame54 + `}]}`
	d, err := exchange.ReadDocument[[]fitgeom.Size](t.Context(), strings.NewReader(doc), exchange.Reading{})
	require.NoError(t, err)
	assert.Equal(t, "list", d.ID)
	assert.Equal(t, "b", d.Items["/sizes/1"].ID)
	assert.Equal(t, []string{"/new", "/sizes/*/colour"}, d.Unknown)
	d.Value[1].Frame.Geometry.Stack = 575
	d.Items["/sizes/0"] = exchange.Item{ID: "c", Meta: json.RawMessage("{\n\"sku\" : 12345678901234567890 }")}
	var b bytes.Buffer
	require.NoError(t, exchange.WriteDocument(t.Context(), &b, d))
	for _, want := range []string{`"version": "1.3"`, `"stack_mm": 575`, `"id": "c"`, `"meta": {"sku":12345678901234567890}`, `"colour": "red"`, `"new": 1`} {
		assert.Contains(t, b.String(), want)
	}

	// One is taken out: the other's item would go to nothing.
	d.Value = d.Value[:1]
	b.Reset()
	err = exchange.WriteDocument(t.Context(), &b, d)
	assert.EqualError(t, err, "/sizes/1 contradiction: want an object of the value; what belongs to it would be lost")
	assert.ErrorIs(t, err, contact.ErrConflict)
	assert.Zero(t, b.Len())
	delete(d.Items, "/sizes/1")
	require.NoError(t, exchange.WriteDocument(t.Context(), &b, d))
	assert.Contains(t, b.String(), `"version": "1.3"`, "which has a member of it")

	// With nothing of a later version in it, it is one that older readers take.
	d, err = exchange.ReadDocument[[]fitgeom.Size](t.Context(), strings.NewReader(strings.ReplaceAll(strings.ReplaceAll(doc, `"new":1,`, ""), `"colour":"red",`, "")), exchange.Reading{})
	require.NoError(t, err)
	assert.Equal(t, "1.3", d.Version)
	b.Reset()
	require.NoError(t, exchange.WriteDocument(t.Context(), &b, d))
	assert.Contains(t, b.String(), `"version": "1.0"`)
}

const frame54 = `{"name":"road 54","geometry":{"stack_mm":556,"reach_mm":382,"head_angle_deg":73,"seat_angle_deg":73.5},"steerer_diameter_mm":28.6,"max_under_stem_mm":45,"seat_tube_top_mm":505,"seatpost_diameter_mm":27.2,"seatpost_insertion_mm":80}`

// What could not be read is not written.
func TestBadItems(t *testing.T) {
	position := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -200, Z: 700}})
	deep := json.RawMessage(`{"a":` + strings.Repeat("[", 97) + strings.Repeat("]", 97) + `}`)
	for name, tt := range map[string]struct {
		d    exchange.Document[contact.Position]
		want string
	}{
		"long id":       {exchange.Document[contact.Position]{ID: strings.Repeat("ü", 201)}, "/id 201 characters: want a text of 1 to 200 characters"},
		"no UTF-8":      {exchange.Document[contact.Position]{ID: "\xff"}, `/id "\xff": want text in UTF-8`},
		"no JSON":       {exchange.Document[contact.Position]{Meta: json.RawMessage("{")}, "/meta contradiction: want a JSON object"},
		"no object":     {exchange.Document[contact.Position]{Meta: json.RawMessage("[]")}, "/meta contradiction: want a JSON object"},
		"two of them":   {exchange.Document[contact.Position]{Meta: json.RawMessage("{}{}")}, "/meta contradiction: want a JSON object"},
		"meta no UTF-8": {exchange.Document[contact.Position]{Meta: json.RawMessage("{\"a\":\"\xff\"}")}, "/meta contradiction: want a JSON object"},
		"nowhere":       {exchange.Document[contact.Position]{Items: map[string]exchange.Item{"/sites/bell": {ID: "a"}}}, "/sites/bell contradiction: want an object of the value; what belongs to it would be lost"},
		"too deep":      {exchange.Document[contact.Position]{Value: position, Items: map[string]exchange.Item{"/sites/saddle_reference": {Meta: deep}}}, "document 101 open brackets: want at most 100"},
	} {
		var b bytes.Buffer
		assert.EqualError(t, exchange.WriteDocument(t.Context(), &b, tt.d), tt.want, name)
		assert.Zero(t, b.Len())
	}
	var b bytes.Buffer
	require.NoError(t, exchange.WriteDocument(t.Context(), &b, exchange.Document[contact.Position]{Value: position, Meta: deep}))
	_, err := exchange.ReadDocument[contact.Position](t.Context(), &b, exchange.Reading{})
	require.NoError(t, err)
}

// A byte order mark, as some programs put it before a text, is taken.
func TestByteOrderMark(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(v1, "sheet.json"))
	require.NoError(t, err)
	marked := append([]byte("\ufeff"), data...)
	schema, version, err := exchange.Kind(t.Context(), marked)
	require.NoError(t, err)
	assert.Equal(t, "fitgeom/sheet 1.0", schema+" "+version)
	v, note, err := exchange.Read[convert.Sheet](t.Context(), bytes.NewReader(marked))
	require.NoError(t, err)
	assert.Equal(t, frozenNote, note)
	require.Empty(t, cmp.Diff(frozenSheet, v, cmpopts.EquateEmpty()))
	_, _, err = exchange.Read[convert.Sheet](t.Context(), strings.NewReader("\ufeff\ufeff"+string(data)))
	require.True(t, errors.Is(err, contact.ErrConflict))
}
