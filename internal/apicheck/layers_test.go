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

// layers says which packages of this module a package may import, by the first
// prefix that fits. Imports go one way.
var layers = []struct {
	prefix string
	may    []string
}{
	{"contact", []string{"contact", "internal"}},
	{"convert", []string{"contact", "internal"}},
	{"fitgeom/part", []string{"contact", "internal"}},
	{"fitgeom/region", []string{"contact", "fitgeom", "internal"}},
	{"fitgeom/exchange", []string{"contact", "convert", "fitgeom", "internal"}},
	{"fitgeom", []string{"contact", "convert", "fitgeom/part", "internal"}}, // and no other package in its folder
	{"internal/rigid", []string{"contact", "fitgeom/part", "internal"}},
	{"internal/invented", []string{"contact", "convert", "fitgeom"}},
	{"internal", []string{"contact", "internal"}},
}

// forTests lists packages that only tests may import. They may import what tests do.
var forTests = []string{"internal/invented", "internal/trial", "internal/wild"}

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

// forbidden says what is wrong with a package importing another, or "".
func forbidden(from, to string) string {
	if own, ok := strings.CutPrefix(to, module+"/"); ok {
		if slices.Contains(forTests, own) {
			return from + " may not import " + own + ", which is for tests"
		}
		for _, l := range layers {
			if !under(from, l.prefix) {
				continue
			}
			for _, m := range l.may {
				if under(own, m) {
					return ""
				}
			}
			return from + " may not import " + own
		}
		return "no layer for " + from
	}
	if slices.Contains(forTests, from) {
		return ""
	}
	for _, p := range pure {
		if under(to, p) {
			return from + " may not import " + to
		}
	}
	if first, _, _ := strings.Cut(to, "/"); strings.Contains(first, ".") && !under(to, "gonum.org/v1/gonum") {
		return from + " may not import " + to
	}
	return ""
}

func under(path, prefix string) bool { return path == prefix || strings.HasPrefix(path, prefix+"/") }

func TestForbidden(t *testing.T) {
	for _, c := range []struct {
		from, to string
		ok       bool
	}{
		{"contact", module + "/internal/num", true},
		{"contact/survey", module + "/contact", true},
		{"contact", module + "/convert", false},
		{"convert", module + "/fitgeom", false},
		{"internal/check", module + "/convert", false},
		{"fitgeom", module + "/examples/reproduce", false},
		{"fitgeom", module + "/fitgeom/part", true},
		{"fitgeom", module + "/fitgeom/exchange", false},
		{"fitgeom/region", module + "/fitgeom", true},
		{"fitgeom", module + "/internal/invented", false},
		{"internal/strict", module + "/internal/trial", false},
		{"convert", module + "/internal/wild", false},
		{"internal/trial", module + "/convert", false},
		{"internal/trial", "testing", true},
		{"internal/check", "testing", false},
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
