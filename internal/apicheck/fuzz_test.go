package apicheck

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// notFuzzed lists what no fuzz target of its package calls, with the reason.
var notFuzzed = map[string]string{
	"contact.All":                  "internal/wild calls it",
	"contact.Coordinates":          "internal/wild calls it",
	"contact.Error":                "a text of what internal/wild looks at",
	"contact.Faults":               "takes what others return; internal/wild looks at that",
	"contact.Forget":               "internal/wild calls it",
	"contact.MarshalJSON":          "internal/wild calls it",
	"contact.Set":                  "internal/wild calls it",
	"contact.UnmarshalJSON":        "internal/wild calls it",
	"contact.Unwrap":               "a field",
	"contact/motion.MarshalJSON":   "refuses",
	"contact/motion.MarshalText":   "internal/wild calls it",
	"contact/motion.UnmarshalJSON": "refuses",
	"contact/motion.UnmarshalText": "internal/wild calls it",
	"contact/rider.MarshalJSON":    "internal/wild calls it",
	"contact/rider.MarshalText":    "internal/wild calls it",
	"contact/rider.UnmarshalJSON":  "internal/wild calls it",
	"contact/rider.UnmarshalText":  "internal/wild calls it",
	"contact/survey.MarshalJSON":   "internal/wild calls it",
	"contact/survey.MarshalText":   "internal/wild calls it",
	"contact/survey.UnmarshalJSON": "internal/wild calls it",
	"contact/survey.UnmarshalText": "internal/wild calls it",
	"convert.MarshalJSON":          "internal/wild calls it",
	"convert.UnmarshalJSON":        "internal/wild calls it",
	"convert/chart.Dimensions":     "takes nothing",
	"convert/chart.MarshalJSON":    "internal/wild calls it",
	"convert/chart.UnmarshalJSON":  "internal/wild calls it",
	"fitgeom.MarshalJSON":          "internal/wild calls it",
	"fitgeom.MarshalText":          "internal/wild calls it",
	"fitgeom.UnmarshalJSON":        "internal/wild calls it",
	"fitgeom.UnmarshalText":        "internal/wild calls it",
	"fitgeom/exchange.Schema":      "takes nothing",
	"fitgeom/rank.MarshalJSON":     "refuses",
	"fitgeom/rank.MarshalText":     "internal/wild calls it",
	"fitgeom/rank.UnmarshalJSON":   "refuses",
	"fitgeom/rank.UnmarshalText":   "internal/wild calls it",
	"fitgeom/region.MarshalJSON":   "refuses",
	"fitgeom/region.UnmarshalJSON": "refuses",
	"fitgeom/rules.Figures":        "takes nothing",
	"fitgeom/rules.MarshalText":    "internal/wild calls it",
	"fitgeom/rules.UnmarshalText":  "internal/wild calls it",
}

// Every exported function and method that can be given numbers, text or bytes, in
// its receiver or its arguments, is called by a fuzz target of its package or by a
// helper of one. It is told by its name alone.
func TestFuzzTargetsCallAll(t *testing.T) {
	used := map[string]bool{}
	for dir, files := range publicFiles(t) {
		tests, err := filepath.Glob(filepath.Join(root, dir, "*_test.go"))
		require.NoError(t, err)
		calls := called(t, tests)
		for _, f := range files {
			file, err := parser.ParseFile(token.NewFileSet(), f, nil, 0)
			require.NoError(t, err)
			for _, d := range file.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok || !fn.Name.IsExported() || fn.Recv != nil && !exportedReceiver(fn) {
					continue
				}
				if name := strings.TrimPrefix(dir, "./") + "." + fn.Name.Name; notFuzzed[name] != "" {
					used[name] = true
				} else {
					assert.True(t, calls[fn.Name.Name], "no fuzz target of %s calls %s; call it, or say in notFuzzed why not", dir, fn.Name.Name)
				}
			}
		}
	}
	for name := range notFuzzed {
		assert.True(t, used[name], "%s is not there any more", name)
	}
}

func exportedReceiver(fn *ast.FuncDecl) bool {
	of := fn.Recv.List[0].Type
	if star, ok := of.(*ast.StarExpr); ok {
		of = star.X
	}
	name, ok := of.(*ast.Ident)
	return !ok || name.IsExported()
}

// called collects the names that the fuzz targets in some files call, and those
// that functions of these files call which targets call.
func called(t *testing.T, tests []string) map[string]bool {
	bodies := map[string]*ast.BlockStmt{}
	var todo []string
	for _, path := range tests {
		src, err := os.ReadFile(path)
		require.NoError(t, err)
		file, err := parser.ParseFile(token.NewFileSet(), path, src, 0)
		require.NoError(t, err)
		for _, d := range file.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok {
				bodies[fn.Name.Name] = fn.Body
				if strings.HasPrefix(fn.Name.Name, "Fuzz") {
					todo = append(todo, fn.Name.Name)
				}
			}
		}
	}
	calls := map[string]bool{}
	for len(todo) > 0 {
		body := bodies[todo[0]]
		todo = todo[1:]
		ast.Inspect(body, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.SelectorExpr:
				calls[n.Sel.Name] = true
			case *ast.Ident:
				if bodies[n.Name] != nil && !calls["\x00"+n.Name] {
					calls["\x00"+n.Name] = true
					todo = append(todo, n.Name)
				}
			}
			return true
		})
	}
	return calls
}
