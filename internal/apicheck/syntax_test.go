package apicheck

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// library is where the library's code is.
var library = []string{"./contact/...", "./convert/...", "./fitgeom/...", "./internal/..."}

// How long things may be.
const (
	mostLines      = 80  // of a function
	mostParameters = 6   // of a function
	mostOfFile     = 500 // lines
)

// What the library's code, tests left aside, keeps to throughout: sites are names and
// not numbers, and nothing is too long to be read.
func TestSyntax(t *testing.T) {
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" {
		t.Skip("needs to run the go command")
	}
	packages, imp := list(t, library...)
	files := 0
	for _, p := range packages {
		fset := token.NewFileSet()
		var parsed []*ast.File
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			parsed = append(parsed, f)
			files++
		}
		if len(parsed) == 0 {
			continue // nothing but tests
		}
		info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
		_, err := (&types.Config{Importer: imp}).Check(p.ImportPath, fset, parsed, info)
		require.NoError(t, err)
		for _, f := range parsed {
			breaches := append(siteNumbers(p.ImportPath, f, info), tooLong(fset, f)...)
			for _, b := range breaches {
				at := fset.Position(b.at)
				t.Errorf("%s/%s:%d: %s", strings.TrimPrefix(p.ImportPath, module+"/"), filepath.Base(at.Filename), at.Line, b.what)
			}
		}
	}
	assert.Greater(t, files, 50, "the go command listed the packages")
}

// A breach is where something breaks a rule.
type breach struct {
	at   token.Pos
	what string
}

// ordering and arithmetic are the operators that make numbers of sites.
var (
	ordering   = []token.Token{token.LSS, token.LEQ, token.GTR, token.GEQ}
	arithmetic = []token.Token{
		token.ADD, token.SUB, token.MUL, token.QUO, token.REM, token.AND, token.OR, token.XOR, token.SHL, token.SHR, token.AND_NOT,
		token.ADD_ASSIGN, token.SUB_ASSIGN, token.MUL_ASSIGN, token.QUO_ASSIGN, token.REM_ASSIGN, token.AND_ASSIGN, token.OR_ASSIGN,
		token.XOR_ASSIGN, token.SHL_ASSIGN, token.SHR_ASSIGN, token.AND_NOT_ASSIGN, token.INC, token.DEC,
	}
)

// siteNumbers finds where a file of any package but contact compares sites for order
// or reckons with them.
func siteNumbers(pkg string, f *ast.File, info *types.Info) (all []breach) {
	if pkg == module+"/contact" {
		return nil
	}
	look := func(at token.Pos, op token.Token, operands ...ast.Expr) {
		if !slices.ContainsFunc(operands, func(e ast.Expr) bool { return isSite(info.TypeOf(e)) }) {
			return
		}
		switch {
		case slices.Contains(ordering, op):
			all = append(all, breach{at, "the order of sites (" + op.String() + ")"})
		case slices.Contains(arithmetic, op):
			all = append(all, breach{at, "arithmetic with sites (" + op.String() + ")"})
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BinaryExpr:
			look(n.OpPos, n.Op, n.X, n.Y)
		case *ast.UnaryExpr:
			if n.Op != token.AND { // an address
				look(n.OpPos, n.Op, n.X)
			}
		case *ast.IncDecStmt:
			look(n.TokPos, n.Tok, n.X)
		case *ast.AssignStmt:
			look(n.TokPos, n.Tok, n.Lhs...)
		}
		return true
	})
	return all
}

func isSite(t types.Type) bool {
	if t == nil {
		return false
	}
	named, ok := types.Unalias(t).(*types.Named)
	return ok && named.Obj().Name() == "Site" && named.Obj().Pkg() != nil && named.Obj().Pkg().Path() == module+"/contact"
}

// tooLong finds functions of too many lines or parameters, and tells if the file has
// too many lines.
func tooLong(fset *token.FileSet, f *ast.File) (all []breach) {
	if lines := fset.File(f.FileStart).LineCount(); lines > mostOfFile {
		all = append(all, breach{f.Package, fmt.Sprintf("a file of %d lines, more than %d", lines, mostOfFile)})
	}
	name := "" // of the declaration around
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			name = n.Name.Name
			if n.Recv != nil {
				name = receiver(n) + "." + name
			}
			if lines := fset.Position(n.End()).Line - fset.Position(n.Type.Func).Line + 1; lines > mostLines {
				all = append(all, breach{n.Pos(), fmt.Sprintf("%s has %d lines, more than %d", name, lines, mostLines)})
			}
			if k := n.Type.Params.NumFields(); k > mostParameters {
				all = append(all, breach{n.Pos(), fmt.Sprintf("%s has %d parameters, more than %d", name, k, mostParameters)})
			}
		case *ast.FuncLit:
			if k := n.Type.Params.NumFields(); k > mostParameters {
				all = append(all, breach{n.Pos(), fmt.Sprintf("a function in %s has %d parameters, more than %d", name, k, mostParameters)})
			}
		}
		return true
	})
	return all
}

// Every enumeration of a public package, which is a named integer type with
// constants, is written and read by names.
func TestEnumerations(t *testing.T) {
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" {
		t.Skip("needs to run the go command")
	}
	found := 0
	for _, p := range load(t, publicDirs(t)) {
		for _, e := range enumerations(p) {
			found++
			for _, lack := range lacks(e) {
				t.Errorf("%s.%s has no %s", strings.TrimPrefix(p.Path(), module+"/"), e.Obj().Name(), lack)
			}
		}
	}
	assert.Greater(t, found, 15)
}

// enumerations returns the exported named integer types of a package of which it
// declares constants.
func enumerations(p *types.Package) (all []*types.Named) {
	for _, name := range p.Scope().Names() {
		c, ok := p.Scope().Lookup(name).(*types.Const)
		if !ok {
			continue
		}
		n, ok := types.Unalias(c.Type()).(*types.Named)
		if !ok || n.Obj().Pkg() != p || !n.Obj().Exported() || slices.Contains(all, n) {
			continue
		}
		if b, ok := n.Underlying().(*types.Basic); ok && b.Info()&types.IsInteger != 0 {
			all = append(all, n)
		}
	}
	return all
}

// lacks tells what an enumeration does not have.
func lacks(n *types.Named) (all []string) {
	p := n.Obj().Pkg()
	str := func(t types.Type) string { return types.TypeString(t, types.RelativeTo(p)) }
	method := func(of types.Type, name, signature string) {
		s := types.NewMethodSet(of).Lookup(p, name)
		if s == nil || str(noNames(s.Type().(*types.Signature))) != signature {
			all = append(all, name+strings.TrimPrefix(signature, "func"))
		}
	}
	method(n, "String", "func() string")
	method(n, "MarshalText", "func() ([]byte, error)")
	method(types.NewPointer(n), "UnmarshalText", "func([]byte) error")
	name := n.Obj().Name()
	want := "func(string) (" + name + ", error)"
	f, ok := p.Scope().Lookup("Parse" + name).(*types.Func)
	if !ok || str(noNames(f.Signature())) != want {
		all = append(all, "Parse"+name+strings.TrimPrefix(want, "func"))
	}
	return all
}

// checked type-checks a package of one file, for what the rules find in it.
func checked(t *testing.T, pkg, source string, imp types.Importer) (*token.FileSet, *ast.File, *types.Info, *types.Package) {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, "p.go", source, parser.SkipObjectResolution)
	require.NoError(t, err)
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	p, err := (&types.Config{Importer: imp}).Check(pkg, fset, []*ast.File{f}, info)
	require.NoError(t, err)
	return fset, f, info, p
}

func TestSiteNumbers(t *testing.T) {
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" {
		t.Skip("needs to run the go command")
	}
	const source = `package p

import "example.com/fitgeom/contact"

type alias = contact.Site

func bad(s contact.Site, t alias) {
	_ = s < contact.BarClamp
	_ = contact.BarClamp >= s
	_ = s + 1
	_ = 2 * t
	_ = ^s
	s++
	s -= 2
	_ = contact.BarClamp + 1
	for i := contact.SaddleNose; i != contact.FootRight; i-- {
	}
	all := map[int]contact.Site{}
	all[3] += 1
}

func good(s contact.Site) bool {
	var at [contact.SiteCount]int
	at[s]++
	p := &s
	*p = contact.BarClamp
	i := int(s) + 1
	for k := 1; k < contact.SiteCount; k++ {
		_ = contact.Site(k)
	}
	return s == contact.BarClamp || s != 0 || i > 3 || contact.AxisX < contact.AxisY
}
`
	_, imp := list(t, "./contact")
	fset, f, info, _ := checked(t, module+"/p", source, imp)
	var found []string
	for _, b := range siteNumbers(module+"/p", f, info) {
		found = append(found, fmt.Sprintf("%d: %s", fset.Position(b.at).Line, b.what))
	}
	assert.Equal(t, []string{
		"8: the order of sites (<)", "9: the order of sites (>=)", "10: arithmetic with sites (+)", "11: arithmetic with sites (*)",
		"12: arithmetic with sites (^)", "13: arithmetic with sites (++)", "14: arithmetic with sites (-=)", "15: arithmetic with sites (+)",
		"16: arithmetic with sites (--)", "19: arithmetic with sites (+=)",
	}, found)
	assert.Empty(t, siteNumbers(module+"/contact", f, info), "which may")
}

func TestTooLong(t *testing.T) {
	const line = "\t_ = 0\n"
	source := "package p\n\n" +
		"func just(a, b, c int, d, e, f string) {\n" + strings.Repeat(line, mostLines-2) + "}\n\n" +
		"type y int\n\n// Its comment does not count.\nfunc (y) long() {\n" + strings.Repeat(line, mostLines-1) + "}\n\n" +
		"func many(a, b, c int, d, e, f, g string) {\n\t_ = func(int, int, int, int, int, int, bool) {}\n}\n"
	source += strings.Repeat("\n", mostOfFile-strings.Count(source, "\n")-1) + "var last int"
	find := func(source string) (found []string) {
		fset := token.NewFileSet()
		f, err := parser.ParseFile(fset, "p.go", source, parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, b := range tooLong(fset, f) {
			found = append(found, b.what)
		}
		return found
	}
	want := []string{"y.long has 81 lines, more than 80", "many has 7 parameters, more than 6", "a function in many has 7 parameters, more than 6"}
	assert.Equal(t, want, find(source))
	assert.Equal(t, append([]string{"a file of 501 lines, more than 500"}, want...), find(source+"\n"+"var more int"))
}

func TestLacks(t *testing.T) {
	const source = `package p

type Whole uint8

const First Whole = 1

func (Whole) String() string                { return "" }
func (Whole) MarshalText() ([]byte, error)  { return nil, nil }
func (*Whole) UnmarshalText(t []byte) error { return nil }
func ParseWhole(name string) (Whole, error) { return 0, nil }

type Nothing int

const One, Two Nothing = 1, 2

type Other uint16

const Some Other = 1

func (*Other) String() string             { return "" }
func (Other) MarshalText() string         { return "" }
func (Other) UnmarshalText([]byte) error  { return nil }
func ParseOther(name string) (uint8, error) { return 0, nil }

type Without int

type Text string

const T Text = "t"

type hidden int

const h hidden = 1

const plain = 1
`
	_, _, _, p := checked(t, module+"/p", source, nil)
	found := map[string][]string{}
	for _, e := range enumerations(p) {
		found[e.Obj().Name()] = lacks(e)
	}
	assert.Equal(t, map[string][]string{
		"Whole":   nil,
		"Nothing": {"String() string", "MarshalText() ([]byte, error)", "UnmarshalText([]byte) error", "ParseNothing(string) (Nothing, error)"},
		"Other":   {"String() string", "MarshalText() ([]byte, error)", "ParseOther(string) (Other, error)"},
	}, found)
}
