package apicheck

import (
	"bytes"
	"fmt"
	"go/format"
	"go/types"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// frozen is the folder of the APIs that were promised: vN.M.txt lists what
// version N.M.0 exports, and vN.M.go is a program that uses all of it.
const frozen = root + "/testdata/api"

// What a release promised is never removed or changed within its major version,
// and UPDATE_GOLDEN does not touch it. FREEZE_API=v1.1 writes the files of a new one.
func TestFrozenAPI(t *testing.T) {
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" {
		t.Skip("needs to run the go command")
	}
	got := listing(t, publicDirs(t))
	if version := os.Getenv("FREEZE_API"); version != "" {
		require.Regexp(t, `^v\d+\.\d+$`, version)
		require.NoError(t, os.MkdirAll(frozen, 0o777))
		name := filepath.Join(frozen, version)
		require.NoError(t, os.WriteFile(name+".txt", []byte(strings.Join(got, "\n")+"\n"), 0o666))
		require.NoError(t, os.WriteFile(name+".go", uses(t, load(t, publicDirs(t))), 0o666))
	}
	files, err := filepath.Glob(frozen + "/v*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		for l := range strings.Lines(string(b)) {
			if l = strings.TrimSuffix(l, "\n"); !slices.Contains(got, l) {
				t.Errorf("%s promised: %s", filepath.Base(name), l)
			}
		}
	}
}

// An outside module that uses all that was promised, by type, compiles; and of all
// modules that this one names, its build takes in gonum alone.
func TestFrozenAPICompiles(t *testing.T) {
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" || testing.Short() {
		t.Skip("needs the go command")
	}
	files, err := filepath.Glob(frozen + "/v*.go")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		program, err := os.ReadFile(name)
		require.NoError(t, err)
		run := outside(t, string(program), "")
		run("vet", ".")
		for line := range strings.Lines(run("list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")) {
			assert.Contains(t, []string{"", "example.com/outside", module, "gonum.org/v1/gonum"}, strings.TrimSpace(line))
		}
	}
}

// uses writes a program that takes every exported thing of the packages as what it is now.
func uses(t *testing.T, packages []*types.Package) []byte {
	var b bytes.Buffer
	names := map[string]string{} // of imports, by path
	str := func(ty types.Type) string {
		return types.TypeString(ty, func(p *types.Package) string {
			names[p.Path()] = p.Name()
			return p.Name()
		})
	}
	for _, p := range packages {
		names[p.Path()] = p.Name()
		fmt.Fprintf(&b, "\n// Package %s.\nvar (\n", p.Path())
		for _, name := range p.Scope().Names() {
			o := p.Scope().Lookup(name)
			if !o.Exported() {
				continue
			}
			at := p.Name() + "." + name
			switch o := o.(type) {
			case *types.Const:
				fmt.Fprintf(&b, "\t_ %s = %s\n", str(types.Default(o.Type())), at)
			case *types.Var:
				fmt.Fprintf(&b, "\t_ %s = %s\n", str(o.Type()), at)
			case *types.Func:
				s := o.Signature()
				if s.TypeParams().Len() == 0 {
					fmt.Fprintf(&b, "\t_ %s = %s\n", str(noNames(s)), at)
					continue
				}
				// Of a generic function, the first type that it takes.
				arg := s.TypeParams().At(0).Constraint().Underlying().(*types.Interface).EmbeddedType(0).(*types.Union).Term(0).Type()
				one, err := types.Instantiate(nil, s, []types.Type{arg}, false)
				require.NoError(t, err)
				fmt.Fprintf(&b, "\t_ %s = %s[%s]\n", str(noNames(one.(*types.Signature))), at, str(arg))
			case *types.TypeName:
				if s, ok := o.Type().Underlying().(*types.Struct); ok {
					for f := range s.Fields() {
						if f.Exported() {
							fmt.Fprintf(&b, "\t_ %s = %s{}.%s\n", str(f.Type()), at, f.Name())
						}
					}
				}
				if types.IsInterface(o.Type()) {
					continue
				}
				byValue := types.NewMethodSet(o.Type())
				for m := range types.NewMethodSet(types.NewPointer(o.Type())).Methods() {
					recv, of := at, at
					if byValue.Lookup(p, m.Obj().Name()) == nil {
						recv, of = "*"+at, "(*"+at+")"
					}
					if m.Obj().Exported() {
						fmt.Fprintf(&b, "\t_ %s = %s.%s\n", "func("+recv+func() string {
							s := strings.TrimPrefix(str(noNames(m.Type().(*types.Signature))), "func(")
							if strings.HasPrefix(s, ")") {
								return s
							}
							return ", " + s
						}(), of, m.Obj().Name())
					}
				}
			}
		}
		b.WriteString(")\n")
	}
	var head bytes.Buffer
	head.WriteString("// Written by FREEZE_API: uses all of the API as it was frozen. Never edit it.\npackage main\n\nimport (\n")
	paths := slices.Sorted(maps.Keys(names))
	for _, ours := range []bool{false, true} { // the standard library first
		for _, path := range paths {
			if strings.Contains(path, ".") == ours {
				fmt.Fprintf(&head, "\t%q\n", path)
			}
		}
		head.WriteString("\n")
	}
	head.WriteString(")\n\nfunc main() {}\n")
	src, err := format.Source(append(head.Bytes(), b.Bytes()...))
	require.NoError(t, err)
	return src
}
