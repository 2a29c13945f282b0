// Package golden is what the tests of the examples have in common: it compares what
// they write with the files beside them, gives them bad files, and invents surveys.
package golden

import (
	"context"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/request"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// File compares with a file, or writes it if UPDATE_GOLDEN is set.
func File(t *testing.T, name, got string) {
	t.Helper()
	compare(t, name, got, func(s string) string { return s })
}

// Page compares an example's page with README.md and its figures with the files
// beside that, and checks that labels do not overlap.
func Page(t *testing.T, e *kit.Example) {
	t.Helper()
	p := Text(t, e)
	require.NotEmpty(t, p.Figures(), "a page has a figure")
	for _, f := range p.Figures() {
		assert.Empty(t, f.Faults(), f.Name)
		assert.NotEmpty(t, f.Desc, f.Name)
		assert.NotEmpty(t, f.Caption, f.Name)
		svg := f.SVG()
		clean(t, f.Name, svg)
		SVG(t, f.Name+".svg", svg)
	}
}

// Text compares an example's page with README.md, whatever figures it has.
func Text(t *testing.T, e *kit.Example) *page.Page {
	t.Helper()
	p, err := e.Page()
	require.NoError(t, err)
	md := p.Markdown()
	clean(t, "README.md", md)
	File(t, "README.md", md)
	html, err := p.HTML()
	require.NoError(t, err)
	clean(t, "HTML", string(html))
	for file, data := range p.Documents {
		sound(t, file, data)
		assert.Contains(t, string(html), `href="`+file+`"`)
	}
	assert.NotContains(t, string(html), "ZgotmplZ", "something was not let through by html/template")
	return p
}

// sound: what a page gives away is read by what reads its kind.
func sound(t *testing.T, file string, data []byte) {
	t.Helper()
	kind, _, err := exchange.Kind(context.Background(), data)
	require.NoError(t, err, file)
	switch kind {
	case "fitgeom/position":
		_ = Read[contact.Position](t, data)
	case "fitgeom/fix":
		_ = Read[survey.Fix](t, data)
	case "fitgeom/build":
		_ = Read[fitgeom.Build](t, data)
	case "fitgeom/frame":
		_ = Read[fitgeom.Frame](t, data)
	case "fitgeom/request":
		_ = Read[request.Request](t, data)
	case "fitgeom/design_problem":
		_ = Read[design.Problem](t, data)
	case "fitgeom/design":
		_ = Read[design.Report](t, data)
	case "fitgeom/motion":
		_ = Read[motion.Report](t, data)
	case "fitgeom/motion_changes":
		_ = Read[[]motion.Change](t, data)
	default:
		t.Fatal(file + ": " + kind)
	}
}

// clean: nothing that a reader should not see.
func clean(t *testing.T, name, s string) {
	t.Helper()
	assert.NotRegexp(t, `NaN|[+-]Inf\b|%[!%]|(^|[^\d.])-0(\.0+)?\b[^.]`, s, name)
}

// Document compares an embedded document with what it was invented as, or writes it
// if UPDATE_GOLDEN is set.
func Document[T exchange.Content](t *testing.T, name string, data *[]byte, v T, note string) {
	t.Helper()
	want, err := kit.Doc[T]{Value: v, Note: note}.JSON()
	require.NoError(t, err)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		*data = want
	}
	File(t, name, string(want))
	assert.Equal(t, string(want), string(*data), "embedded")
}

var decimal = regexp.MustCompile(`-?\d+(\.\d+)?`)

// SVG compares a drawing: numbers may differ by the last digit, which a
// processor may round the other way; all else may not.
func SVG(t *testing.T, name, got string) {
	t.Helper()
	want := ""
	if data, err := os.ReadFile(name); err == nil {
		want = string(data)
	}
	compare(t, name, got, func(got string) string {
		a, b := decimal.FindAllString(got, -1), decimal.FindAllString(want, -1)
		if len(a) != len(b) || decimal.ReplaceAllString(got, "#") != decimal.ReplaceAllString(want, "#") {
			return got
		}
		for i := range a {
			x, _ := strconv.ParseFloat(a[i], 64)
			y, _ := strconv.ParseFloat(b[i], 64)
			if math.Abs(x-y) > 0.11 {
				return got
			}
		}
		return want
	})
}

func compare(t *testing.T, name, got string, same func(string) string) {
	t.Helper()
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(name, []byte(got), 0o666))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(same(got), "\n")); d != "" {
		t.Fatal(name + ": " + d)
	}
}
