package apicheck

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	root   = "../.."
	golden = root + "/testdata/api.txt"
)

// publicFiles returns the Go files of every public package by folder, as in
// "./contact/survey". It opens each folder itself, so that the go command's test
// cache sees a change.
func publicFiles(t *testing.T) map[string][]string {
	files := map[string][]string{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() {
			private := slices.Contains([]string{"internal", "examples", "testdata"}, name) || name[0] == '.' || name[0] == '_'
			if private && path != root {
				return fs.SkipDir
			}
			return nil
		}
		if strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go") {
			dir, err := filepath.Rel(root, filepath.Dir(path))
			if err != nil {
				return err
			}
			dir = "./" + filepath.ToSlash(dir)
			files[dir] = append(files[dir], path)
		}
		return nil
	})
	require.NoError(t, err)
	require.NotEmpty(t, files)
	return files
}

func publicDirs(t *testing.T) []string { return slices.Sorted(maps.Keys(publicFiles(t))) }

func TestAPI(t *testing.T) {
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" {
		t.Skip("needs to run the go command")
	}
	got := listing(t, publicDirs(t))
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(golden, []byte(strings.Join(got, "\n")+"\n"), 0o666))
		return
	}
	b, err := os.ReadFile(golden)
	require.NoError(t, err)
	want := strings.Split(strings.TrimSuffix(string(b), "\n"), "\n")
	for _, l := range want {
		if !slices.Contains(got, l) {
			t.Errorf("removed or changed: %s", l)
		}
	}
	for _, l := range got {
		if !slices.Contains(want, l) {
			t.Errorf("added (UPDATE_GOLDEN=1 go test ./internal/apicheck): %s", l)
		}
	}
}

// listing returns one line for each exported thing of the packages, sorted.
func listing(t *testing.T, dirs []string) []string {
	var lines []string
	for _, p := range load(t, dirs) {
		lines = append(lines, api(p)...)
	}
	slices.Sort(lines)
	return lines
}

// A listed is what the go command says of a package.
type listed struct {
	ImportPath, Dir, Export string
	GoFiles                 []string
	DepOnly                 bool
}

// list returns the packages in folders of this module, and what imports them and
// whatever they need, as the compiler sees it.
func list(t *testing.T, dirs ...string) ([]listed, types.Importer) {
	cmd := exec.Command("go", append([]string{"list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles,DepOnly"}, dirs...)...)
	cmd.Dir = root
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())

	var packages []listed
	export := map[string]string{}
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		err := dec.Decode(&p)
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		export[p.ImportPath] = p.Export
		if !p.DepOnly {
			packages = append(packages, p)
		}
	}
	return packages, importer.ForCompiler(token.NewFileSet(), "gc", func(path string) (io.ReadCloser, error) {
		return os.Open(export[path])
	})
}

// load returns the packages in folders of this module, as the compiler sees them.
func load(t *testing.T, dirs []string) []*types.Package {
	var packages []*types.Package
	all, imp := list(t, dirs...)
	for _, l := range all {
		p, err := imp.Import(l.ImportPath)
		require.NoError(t, err)
		packages = append(packages, p)
	}
	return packages
}

// api lists a package. Types of other packages have their full path.
func api(p *types.Package) []string {
	var lines []string
	add := func(f string, a ...any) { lines = append(lines, "pkg "+p.Path()+", "+fmt.Sprintf(f, a...)) }
	str := func(t types.Type) string { return types.TypeString(t, types.RelativeTo(p)) }
	signature := func(s *types.Signature) string { return strings.TrimPrefix(str(noNames(s)), "func") }
	for _, name := range p.Scope().Names() {
		o := p.Scope().Lookup(name)
		if !o.Exported() {
			continue
		}
		switch o := o.(type) {
		case *types.Const:
			v := o.Val().ExactString()
			if o.Val().Kind() == constant.Float {
				v = o.Val().String()
			}
			add("const %s %s = %s", name, str(o.Type()), v)
		case *types.Var:
			add("var %s %s", name, str(o.Type()))
		case *types.Func:
			add("func %s%s", name, signature(o.Signature()))
		case *types.TypeName:
			if a, ok := o.Type().(*types.Alias); ok {
				add("type %s = %s", name, str(a.Rhs()))
				continue
			}
			switch u := o.Type().Underlying().(type) {
			case *types.Struct:
				add("type %s struct", str(o.Type()))
				for i := range u.NumFields() {
					f, tag := u.Field(i), u.Tag(i)
					if tag != "" {
						tag = " `" + tag + "`"
					}
					if f.Exported() {
						add("type %s struct, %s %s%s", name, f.Name(), str(f.Type()), tag)
					}
				}
				if !types.Comparable(u) {
					add("type %s struct, not comparable", name)
				}
			case *types.Interface:
				add("type %s interface", str(o.Type()))
				sealed := false
				for m := range u.Methods() {
					if m.Exported() {
						add("type %s interface, %s%s", name, m.Name(), signature(m.Signature()))
					}
					sealed = sealed || !m.Exported()
				}
				if sealed {
					add("type %s interface, unexported methods", name)
				}
				continue
			default:
				add("type %s %s", str(o.Type()), str(u))
			}
			byValue := types.NewMethodSet(o.Type())
			for s := range types.NewMethodSet(types.NewPointer(o.Type())).Methods() {
				recv := name
				if byValue.Lookup(p, s.Obj().Name()) == nil {
					recv = "*" + name
				}
				if s.Obj().Exported() {
					add("method (%s) %s%s", recv, s.Obj().Name(), signature(s.Type().(*types.Signature)))
				}
			}
		}
	}
	return lines
}

// noNames strips the names of parameters and results: changing them breaks no
// caller. Generic functions keep theirs.
func noNames(s *types.Signature) *types.Signature {
	if s.TypeParams().Len() > 0 {
		return s
	}
	strip := func(t *types.Tuple) *types.Tuple {
		var vs []*types.Var
		for v := range t.Variables() {
			vs = append(vs, types.NewParam(token.NoPos, v.Pkg(), "", v.Type()))
		}
		return types.NewTuple(vs...)
	}
	return types.NewSignatureType(nil, nil, nil, strip(s.Params()), strip(s.Results()), s.Variadic())
}

func TestDocumented(t *testing.T) {
	for dir, paths := range publicFiles(t) {
		fset := token.NewFileSet()
		packageDoc := false
		for _, path := range paths {
			file, err := parser.ParseFile(fset, path, nil, parser.ParseComments)
			require.NoError(t, err)
			packageDoc = packageDoc || file.Doc != nil
			for _, id := range undocumented(fset, file) {
				t.Errorf("%v: %s has no doc comment", fset.Position(id.Pos()), id.Name)
			}
		}
		assert.True(t, packageDoc, "%s has no package comment", dir)
	}
}

// undocumented returns the exported names of a file that no comment explains.
// The comment of a group of constants or variables covers all of the group.
func undocumented(fset *token.FileSet, file *ast.File) []*ast.Ident {
	var bad []*ast.Ident
	check := func(ok bool, ids ...*ast.Ident) {
		for _, id := range ids {
			if id.IsExported() && !ok {
				bad = append(bad, id)
			}
		}
	}
	for _, decl := range file.Decls {
		switch decl := decl.(type) {
		case *ast.FuncDecl:
			if decl.Recv == nil || ast.IsExported(receiver(decl)) {
				check(decl.Doc != nil, decl.Name)
			}
		case *ast.GenDecl:
			for _, spec := range decl.Specs {
				switch spec := spec.(type) {
				case *ast.ValueSpec:
					check(decl.Doc != nil || spec.Doc != nil || spec.Comment != nil, spec.Names...)
				case *ast.TypeSpec:
					alone := !decl.Lparen.IsValid()
					check(spec.Doc != nil || spec.Comment != nil || alone && decl.Doc != nil, spec.Name)
					if !spec.Name.IsExported() {
						continue
					}
					switch typ := spec.Type.(type) {
					case *ast.StructType:
						members(fset, file, typ.Fields, check)
					case *ast.InterfaceType:
						members(fset, file, typ.Methods, check)
					}
				}
			}
		}
	}
	return bad
}

// members checks the fields of a struct or the methods of an interface. A
// comment also covers the lines that follow its own without a gap. Names that
// say it all need none: Name, and fields of an exported type of this module,
// which has its own comment, such as Site contact.Site.
func members(fset *token.FileSet, file *ast.File, list *ast.FieldList, check func(bool, ...*ast.Ident)) {
	covered, end := false, 0 // whether the line above is covered, and its number
	for _, f := range list.List {
		documented := f.Doc != nil || f.Comment != nil
		covered = documented || covered && fset.Position(f.Pos()).Line == end+1
		end = fset.Position(f.End()).Line
		for _, id := range f.Names {
			check(covered || id.Name == "Name" || ours(file, f.Type), id)
		}
	}
}

// ours reports whether a type, or what it is a list of or points to, is an
// exported type of this module.
func ours(file *ast.File, typ ast.Expr) bool {
	switch typ := typ.(type) {
	case *ast.ArrayType:
		return ours(file, typ.Elt)
	case *ast.StarExpr:
		return ours(file, typ.X)
	case *ast.Ident:
		return typ.IsExported()
	case *ast.SelectorExpr:
		return slices.ContainsFunc(file.Imports, func(s *ast.ImportSpec) bool {
			path := strings.Trim(s.Path.Value, `"`)
			return strings.HasPrefix(path, "example.com/fitgeom/") && strings.HasSuffix(path, "/"+types.ExprString(typ.X))
		})
	default:
		return false
	}
}

// receiver is the name of the type that a method belongs to.
func receiver(f *ast.FuncDecl) string {
	typ := f.Recv.List[0].Type
	if star, ok := typ.(*ast.StarExpr); ok {
		typ = star.X
	}
	name, _, _ := strings.Cut(types.ExprString(typ), "[")
	return name
}

func TestUndocumented(t *testing.T) {
	const source = `package p

import (
	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

const BadConst = 1

// A group.
const (
	Const1 = 1
	Const2 = 2
)

var (
	// Var has a comment.
	Var1, Var2 int
	Var3 int // so has this
	BadVar int
)

func BadFunc() {}
func unexported() {}

type BadType int

func (BadType) BadMethod() {}
func (*BadType) BadPointerMethod() {}
func (unseen) Method() {}
func (*generic[T]) Method() {}
func (*BadGeneric[T]) BadGenericMethod() {}

// A group of types, each of which needs its own.
type (
	BadGrouped int
	// Grouped has it.
	Grouped int
)

// Struct is a struct.
type Struct struct {
	BadField float64
	Name string
	Site contact.Site
	Sites []*contact.Site
	BadVec r3.Vec
	Group []Grouped

	// A and B have a comment.
	A, B float64
	C float64
	D float64 // so has D
	E float64

	BadAfterGap float64
	hidden int
}

// Interface is an interface.
type Interface interface {
	BadInterfaceMethod()
	// Good is good.
	Good()
}
`
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, "p.go", source, parser.ParseComments)
	require.NoError(t, err)
	var bad []string
	for _, id := range undocumented(fset, file) {
		bad = append(bad, id.Name)
	}
	assert.Equal(t, []string{
		"BadConst", "BadVar", "BadFunc", "BadType", "BadMethod", "BadPointerMethod", "BadGenericMethod",
		"BadGrouped", "BadField", "BadVec", "BadAfterGap", "BadInterfaceMethod",
	}, bad)
}

// What the table of old names calls new is there.
func TestRenamed(t *testing.T) {
	api, err := os.ReadFile(golden)
	require.NoError(t, err)
	there := map[string]bool{}
	for line := range strings.Lines(string(api)) {
		path, said, _ := strings.Cut(strings.TrimPrefix(line, "pkg "), ", ")
		if words := strings.FieldsFunc(said, func(r rune) bool { return strings.ContainsRune(" ([\n", r) }); slices.Contains([]string{"const", "func", "type"}, words[0]) {
			there[filepath.Base(path)+"."+words[1]] = true
		}
	}
	table, err := os.ReadFile(root + "/testdata/renamed.md")
	require.NoError(t, err)
	rows := 0
	for line := range strings.Lines(string(table)) {
		cells := strings.Split(line, "|")
		if len(cells) != 4 || strings.Contains(line, "---") || cells[2] == " now " {
			continue
		}
		rows++
		for _, name := range regexp.MustCompile(`[a-z]+\.[A-Z]\w+`).FindAllString(cells[2], -1) {
			assert.True(t, there[name], "%s is gone, which was %s", name, cells[1])
		}
	}
	assert.Greater(t, rows, 150)
}
