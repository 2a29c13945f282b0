package apicheck

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "example.com/fitgeom"

// tools is what any package may import: small arithmetic and words, which know
// nothing of bicycles.
var tools = []string{"internal/enum", "internal/fault", "internal/field", "internal/lp", "internal/lsq", "internal/num", "internal/slip", "internal/strict", "internal/work"}

// layers says which packages of this module a package may import besides the tools,
// by the first entry that it is under. What ends in "/..." is a folder with all that
// is in it; anything else is one package. Imports go one way: up this table, and
// nothing imports what stands below it.
var layers = []struct {
	from string
	may  []string
}{
	{"internal/enum", nil},
	{"internal/fault", nil},
	{"internal/field", nil},
	{"internal/lp", nil},
	{"internal/lsq", nil},
	{"internal/num", nil},
	{"internal/slip", nil},
	{"internal/strict", nil},
	{"internal/work", nil},
	{"contact", nil},
	{"internal/blame", []string{"contact"}},
	{"internal/saddle", []string{"contact"}},
	{"internal/placed", []string{"contact"}},
	{"contact/survey", []string{"contact", "internal/blame", "internal/placed", "internal/saddle"}},
	{"contact/rider/calibrate", []string{"contact/...", "internal/blame"}},
	{"contact/survey/photo", []string{"contact", "contact/survey"}},
	{"contact/...", []string{"contact/..."}},
	{"convert", []string{"contact", "internal/blame", "internal/placed", "internal/saddle"}},
	{"convert/chart", []string{"contact", "internal/blame", "contact/survey", "convert"}},
	{"fitgeom/part", []string{"contact", "convert/..."}},
	{"fitgeom/words", nil},
	{"internal/rig", []string{"contact", "convert/...", "fitgeom/part"}},
	{"fitgeom/clearance", []string{"contact/...", "convert/...", "fitgeom/part", "internal/rig"}},
	{"fitgeom", []string{"contact", "convert/...", "fitgeom/part", "fitgeom/words", "internal/rig", "fitgeom/clearance"}},
	{"fitgeom/rules", []string{"contact", "convert/...", "fitgeom/part", "fitgeom", "internal/rig", "fitgeom/clearance"}},
	{"fitgeom/region", []string{"contact", "contact/rider", "convert/...", "fitgeom/part", "fitgeom", "internal/rig"}},
	{"internal/search", []string{"contact", "contact/rider", "convert/...", "fitgeom/part", "fitgeom", "internal/rig", "fitgeom/rules"}},
	{"fitgeom/solve", []string{"contact", "contact/rider", "convert/...", "fitgeom/part", "fitgeom/words", "fitgeom", "fitgeom/rules", "internal/rig", "internal/search"}},
	{"fitgeom/rank", []string{"contact", "convert/...", "fitgeom/part", "fitgeom", "internal/search", "fitgeom/solve"}},
	{"fitgeom/design", []string{"contact", "convert/...", "fitgeom/part", "fitgeom", "fitgeom/clearance", "fitgeom/region", "fitgeom/solve", "fitgeom/rank"}},
	{"fitgeom/record", []string{"contact", "contact/survey", "contact/rider", "convert/chart", "fitgeom/part", "fitgeom", "fitgeom/rules", "fitgeom/clearance", "fitgeom/solve"}},
	{"fitgeom/request", []string{"contact", "contact/survey", "contact/rider", "convert/...", "fitgeom/part", "fitgeom", "fitgeom/rules", "fitgeom/solve"}},
	{"fitgeom/exchange", []string{"contact/...", "convert/...", "fitgeom/..."}},
	{"internal/schema", []string{"contact/...", "convert/...", "fitgeom/..."}},
	{"internal/trial", []string{"contact"}},
	{"internal/wild", []string{"contact"}},
	{"internal/invented", []string{"contact/...", "convert/...", "fitgeom/...", "internal/wild"}},
	{"internal/schema", []string{"contact/...", "convert/...", "fitgeom/..."}},
}

// forTests lists packages that only tests and one another may import. They may import what
// tests do.
var forTests = []string{"internal/invented", "internal/schema", "internal/trial", "internal/wild"}

// pure lists what the public packages must not import: they open no files and no
// connections, and do not look at the clock or throw dice.
var pure = []string{"os", "net", "log", "time", "math/rand", "flag", "unsafe", "testing", "os/exec", "syscall"}

func TestLayersAndPurity(t *testing.T) {
	seen := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != root && (d.Name()[0] == '.' || d.Name() == "examples" || d.Name() == "testdata") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		require.NoError(t, err)
		rel, err := filepath.Rel(root, filepath.Dir(path))
		require.NoError(t, err)
		from := filepath.ToSlash(rel)
		for _, spec := range file.Imports {
			to, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			assert.Empty(t, forbidden(from, to), path)
			seen++
		}
		return nil
	})
	require.NoError(t, err)
	assert.Greater(t, seen, 100, "the walk found the packages")
}

// A package may import only what stands above it in the table.
func TestLayersGoOneWay(t *testing.T) {
	for i, l := range layers {
		for _, m := range l.may {
			found := m == l.from
			for _, above := range layers[:i] {
				found = found || in(above.from, m) || in(strings.TrimSuffix(m, "/..."), above.from)
			}
			assert.True(t, found, "%s: %s does not stand above it", l.from, m)
		}
	}
}

// forbidden says what is wrong with a package importing another, or "".
func forbidden(from, to string) string {
	if own, ok := strings.CutPrefix(to, module+"/"); ok {
		if slices.Contains(forTests, own) && !slices.Contains(forTests, from) {
			return from + " may not import " + own + ", which is for tests"
		}
		for _, l := range layers {
			if !in(from, l.from) {
				continue
			}
			if slices.Contains(tools, own) || slices.ContainsFunc(l.may, func(m string) bool { return in(own, m) }) {
				return ""
			}
			return from + " may not import " + own
		}
		return "no layer for " + from
	}
	if slices.Contains(forTests, from) {
		return ""
	}
	for _, p := range pure {
		if under(to, p) && !(from == "internal/field" && to == "unsafe") { // it walks structs by offsets
			return from + " may not import " + to
		}
	}
	if first, _, _ := strings.Cut(to, "/"); strings.Contains(first, ".") && !under(to, "gonum.org/v1/gonum") {
		return from + " may not import " + to
	}
	return ""
}

func under(path, prefix string) bool { return path == prefix || strings.HasPrefix(path, prefix+"/") }

// in reports whether a package is what an entry of layers names.
func in(path, entry string) bool {
	if folder, ok := strings.CutSuffix(entry, "/..."); ok {
		return under(path, folder)
	}
	return path == entry
}

func TestForbidden(t *testing.T) {
	for _, c := range []struct {
		from, to string
		ok       bool
	}{
		{"contact", module + "/internal/num", true},
		{"contact/survey", module + "/contact", true},
		{"contact", module + "/convert", false},
		{"convert", module + "/convert/chart", false},
		{"convert/chart", module + "/convert", true},
		{"convert/chart", module + "/contact/rider", false},
		{"convert", module + "/fitgeom", false},
		{"internal/fault", module + "/contact", false},
		{"internal/fault", module + "/internal/num", true},
		{"internal/strict", module + "/contact", false},
		{"contact", module + "/internal/strict", true},
		{"internal/lsq", module + "/convert", false},
		{"internal/rig", module + "/fitgeom", false},
		{"fitgeom", module + "/internal/rig", true},
		{"fitgeom", module + "/internal/search", false},
		{"fitgeom", module + "/examples/reproduce", false},
		{"fitgeom", module + "/fitgeom/part", true},
		{"fitgeom", module + "/fitgeom/exchange", false},
		{"fitgeom", module + "/fitgeom/solve", false},
		{"fitgeom/part", module + "/fitgeom", false},
		{"fitgeom/region", module + "/fitgeom", true},
		{"fitgeom/region", module + "/fitgeom/solve", false},
		{"fitgeom/rules", module + "/fitgeom/rank", false},
		{"internal/search", module + "/fitgeom/solve", false},
		{"fitgeom/solve", module + "/internal/search", true},
		{"fitgeom/solve", module + "/fitgeom/rank", false},
		{"fitgeom/rank", module + "/fitgeom/solve", true},
		{"fitgeom/rank", module + "/fitgeom/exchange", false},
		{"fitgeom/exchange", module + "/fitgeom/rank", true},
		{"fitgeom/new", module + "/contact", false},
		{"fitgeom", module + "/internal/invented", false},
		{"internal/strict", module + "/internal/trial", false},
		{"convert", module + "/internal/wild", false},
		{"internal/invented", module + "/internal/wild", true},
		{"internal/wild", module + "/internal/invented", false},
		{"internal/trial", module + "/convert", false},
		{"internal/trial", "testing", true},
		{"internal/fault", "testing", false},
		{"convert", "os", false},
		{"fitgeom", "net/http", false},
		{"contact", "math", true},
		{"contact", "math/rand/v2", false},
		{"convert", "gonum.org/v1/gonum/mat", true},
		{"convert", "github.com/stretchr/testify/assert", false},
	} {
		assert.Equal(t, c.ok, forbidden(c.from, c.to) == "", "%s imports %s", c.from, c.to)
	}
}
