package exchange_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/trial"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The schema is judged by a validator that is not ours,
// github.com/santhosh-tekuri/jsonschema (JSON Schema 2020-12). It needs no other file.
var compiled = sync.OnceValues(func() (*jsonschema.Schema, error) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(exchange.Schema()))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	c.UseLoader(alone{})
	c.AssertFormat()
	const id = "https://example.com/fitgeom/exchange/schema.v1.json"
	if doc.(map[string]any)["$id"] != id {
		return nil, errors.New("another $id")
	}
	if err := c.AddResource(id, doc); err != nil {
		return nil, err
	}
	return c.Compile(id)
})

// alone has no other file.
type alone struct{}

func (alone) Load(url string) (any, error) { return nil, errors.New("another file: " + url) }

// validate judges a document by the schema.
func validate(t *testing.T, data []byte) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	return judge(t, doc)
}

// judge is validate of a document that was decoded, with its numbers as they were written.
func judge(t *testing.T, doc any) error {
	t.Helper()
	schema, err := compiled()
	require.NoError(t, err)
	return schema.Validate(doc)
}

// Everything that is written is what the schema says.
func TestWrittenIsValid(t *testing.T) {
	if testing.Short() {
		t.Skip("what schemas say, which is the same on every processor")
	}
	n := uint64(30)
	if trial.Long() {
		n = 100
	}
	for _, s := range everyKind {
		t.Run(s.name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
			require.NoError(t, err)
			require.NoError(t, validate(t, data))
			for seed := range draws(&s, n) {
				doc := s.random(t, newDice(1000+seed))
				require.NoError(t, validate(t, doc), string(doc))
			}
		})
	}
}

// A mutant is a document with one thing changed.
type mutant struct {
	what string // "removed" and so on
	path string // of what was changed
	data []byte
}

// mutants changes a document in one place at a time: every member removed,
// renamed, null or of another type, every object with a member too many.
func mutants(t *testing.T, data []byte) (all []mutant) {
	var root any
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	require.NoError(t, d.Decode(&root))
	add := func(what, path string) {
		text, err := json.Marshal(root)
		require.NoError(t, err)
		all = append(all, mutant{what, path, text})
	}
	var walk func(v any, path string, set func(any))
	walk = func(v any, path string, set func(any)) {
		if path != "" {
			others := map[string]any{"null": nil, "object": map[string]any{}, "array": []any{}, "string": "?", "bool": true, "number": json.Number("12345")}
			switch v.(type) {
			case map[string]any:
				delete(others, "object")
			case []any:
				delete(others, "array")
			case string:
				delete(others, "string")
			case bool:
				delete(others, "bool")
			default:
				delete(others, "number")
			}
			for _, what := range slices.Sorted(maps.Keys(others)) {
				set(others[what])
				add(what, path)
			}
			set(v)
		}
		switch v := v.(type) {
		case map[string]any:
			v["surplus"] = json.Number("1")
			add("surplus", path+"/surplus")
			delete(v, "surplus")
			for _, name := range slices.Sorted(maps.Keys(v)) {
				old := v[name]
				delete(v, name)
				add("removed", path+"/"+name)
				v[name+"_"] = old
				add("renamed", path+"/"+name+"_")
				delete(v, name+"_")
				v[name] = old
				walk(old, path+"/"+name, func(to any) { v[name] = to })
			}
		case []any:
			for i := range v {
				walk(v[i], path+"/"+strconv.Itoa(i), func(to any) { v[i] = to })
			}
		}
	}
	walk(root, "", nil)
	return all
}

// neededByOthers is members that may be left out unless others of the fixtures are there.
var neededByOthers = map[string]bool{
	"/target/sites/saddle_reference":        true, // a frame is designed around it
	"/levers":                               true, // a drop bar on the shelf
	"/shelf/levers":                         true,
	"/frame/geometry/axles":                 true, // wheels
	"/results/0/build/frame/geometry/axles": true,
}

// holdOthers is kinds with readings, builds or frames in them, whose own kinds are tried.
var holdOthers = map[string]bool{"fix": true, "record": true, "records": true, "ranking": true, "obstacles": true}

var anyElement = regexp.MustCompile(`/\d+`)

// shapes is members of which a handlebar has exactly one.
var shapes = map[string]error{"drop": contact.ErrConflict, "flat": contact.ErrConflict, "base": contact.ErrConflict}

// subjectsOf is what a number of a design is of, one of three.
var subjectsOf = map[string]error{"dimension": contact.ErrUnknown, "setting": contact.ErrUnknown, "clearance": contact.ErrUnknown}

// What a document must not be is refused by the schema and by Read, which says
// where; what may be left out may be so by both.
func TestMutants(t *testing.T) {
	if testing.Short() {
		t.Skip("what schemas say, which is the same on every processor")
	}
	for _, s := range everyKind {
		if holdOthers[s.name] {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
			require.NoError(t, err)
			refused, optional, left := 0, 0, 0
			seen := map[string]bool{}
			for i, m := range mutants(t, data) {
				// Of what is tried in another element of its array, or in a document of its own
				// kind, a thirtieth; of other types a fifth, in turn.
				kind := m.what + " " + anyElement.ReplaceAllString(m.path, "/*")
				again := seen[kind] || elsewhere(s.name, m.path) || strings.HasPrefix(m.path, "/results/0/build/")
				typed := m.what != "surplus" && m.what != "removed" && m.what != "renamed" && m.what != "null"
				if seen[kind] = true; !trial.Long() && (again && i%30 != 0 || typed && i%5 != 0) {
					left++
					continue
				}
				invalid := validate(t, m.data)
				_, err := s.reread(m.data)
				faults := contact.Faults(err)
				at := slices.ContainsFunc(faults, func(f *contact.Error) bool {
					return f.Path == m.path && f.Line == 1
				})
				one := shapes[path.Base(m.path)]
				if !strings.Contains(m.path, "handlebar") {
					one = nil
				}
				if strings.HasPrefix(s.name, "design") && one == nil {
					one = subjectsOf[path.Base(m.path)]
				}
				if m.what == "removed" && one != nil {
					refused++
					assert.Error(t, invalid, m.path)
					assert.True(t, slices.ContainsFunc(faults, func(f *contact.Error) bool { return f.Path == path.Dir(m.path) && errors.Is(f, one) }), m.path)
					continue
				}
				if m.what == "removed" {
					if invalid == nil && neededByOthers[m.path] {
						assert.Error(t, err)
						continue
					}
					missing := at && slices.ContainsFunc(faults, func(f *contact.Error) bool { return f.Path == m.path && errors.Is(f, contact.ErrMissing) })
					assert.Equal(t, invalid != nil, missing, "%s %s: schema %v, Read %v", m.what, m.path, invalid, err)
					if invalid == nil {
						optional++
						continue
					}
				}
				refused++
				assert.Error(t, invalid, "%s %s: the schema takes it", m.what, m.path)
				assert.True(t, at, "%s %s: Read says %v", m.what, m.path, err)
			}
			assert.Greater(t, refused+left, 50)
			t.Logf("%d refused by both, %d members may be left out, %d are left to the full lane", refused, optional, left)
		})
	}
}

// Another kind of document and a later version are refused by both, with one fault that says so.
func TestAnotherKind(t *testing.T) {
	for _, s := range everyKind {
		data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
		require.NoError(t, err)
		said := `"fitgeom/other"`
		if s.name == "record" || s.name == "records" { // which repeats nothing that somebody wrote
			said = "another"
		}
		for old, c := range map[string]struct{ new, want string }{
			`"schema": "fitgeom/` + s.name + `"`: {`"schema": "fitgeom/other"`, `line 2: /schema ` + said + `: want "fitgeom/` + s.name + `"`},
			`"version": "1.0",`:                  {`"version": 0,`, "line 3: /version 0.0: want 1.0 or later"},
			`"version": "1.0"`:                   {`"more": 1, "version": "2.0"`, "line 3: /version 2.0: want at most 1.0, the newest that this library reads"},
		} {
			other := bytes.Replace(data, []byte(old), []byte(c.new), 1)
			require.NotEqual(t, data, other)
			require.Error(t, validate(t, other))
			_, err := s.reread(other)
			require.EqualError(t, err, c.want)
		}
	}
}
