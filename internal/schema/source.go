package schema

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
)

const module = "example.com/fitgeom/"

// A source is the comments of this module's types.
type source struct {
	root  string
	types map[string]*typeSource // by import path and name
	read  map[string]bool        // import paths
	err   error
}

type typeSource struct {
	doc     string
	fields  map[string]string
	methods map[string]string
}

func newSource(root string) *source {
	return &source{root: root, types: map[string]*typeSource{}, read: map[string]bool{}}
}

// of returns the comments of a type. One that is not of this module has none.
func (s *source) of(t reflect.Type) *typeSource {
	pkg, ours := strings.CutPrefix(t.PkgPath(), module)
	if ours && !s.read[pkg] {
		s.read[pkg] = true
		if err := s.parse(pkg); err != nil {
			s.err = err
		}
	}
	return s.named(pkg, t.Name())
}

func (s *source) named(pkg, name string) *typeSource {
	key := pkg + "." + name
	if s.types[key] == nil {
		s.types[key] = &typeSource{fields: map[string]string{}, methods: map[string]string{}}
	}
	return s.types[key]
}

func (s *source) parse(pkg string) error {
	files, err := filepath.Glob(filepath.Join(s.root, filepath.FromSlash(pkg), "*.go"))
	if err != nil {
		return err
	}
	fset := token.NewFileSet()
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(fset, name, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		for _, d := range file.Decls {
			s.declare(pkg, d)
		}
	}
	return nil
}

func (s *source) declare(pkg string, d ast.Decl) {
	switch d := d.(type) {
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			t, ok := spec.(*ast.TypeSpec)
			if !ok {
				continue
			}
			to := s.named(pkg, t.Name.Name)
			if to.doc = t.Doc.Text(); to.doc == "" && len(d.Specs) == 1 {
				to.doc = d.Doc.Text()
			}
			if st, ok := t.Type.(*ast.StructType); ok {
				to.readFields(st)
			}
		}
	case *ast.FuncDecl:
		if d.Recv == nil {
			return
		}
		t := d.Recv.List[0].Type
		if star, ok := t.(*ast.StarExpr); ok {
			t = star.X
		}
		if id, ok := t.(*ast.Ident); ok {
			s.named(pkg, id.Name).methods[d.Name.Name] = d.Doc.Text()
		}
	}
}

// readFields keeps the comment above or behind each field. One without, whose name
// the last comment above it has, shares that.
func (t *typeSource) readFields(st *ast.StructType) {
	last := ""
	for _, f := range st.Fields.List {
		doc := f.Doc.Text()
		if doc != "" {
			last = doc
		} else {
			doc = f.Comment.Text()
			if doc != "" {
				doc = strings.ToUpper(doc[:1]) + doc[1:]
			}
		}
		for _, n := range f.Names {
			t.fields[n.Name] = doc
			if doc == "" && slices.Contains(word.FindAllString(last, -1), n.Name) {
				t.fields[n.Name] = last
			}
		}
	}
}

var (
	link     = regexp.MustCompile(`\[([A-Za-z.]+)\]`)
	word     = regexp.MustCompile(`\b(?:[a-z]+\.)?[A-Z][A-Za-z]+\b`)
	zeroes   = regexp.MustCompile(`(^|\. |; )Zero: [^.]*\.?`)
	spaces   = regexp.MustCompile(`\s+`)
	capitals = regexp.MustCompile(`[a-z][A-Z]`)
)

// sentence is the first sentence of a comment.
func sentence(doc string) string {
	doc = spaces.ReplaceAllString(strings.TrimSpace(doc), " ")
	if first, _, more := strings.Cut(doc, ". "); more {
		return first + "."
	}
	return doc
}

// prose puts a comment into the words of documents: Go's names become theirs, those of
// fields by names, those of constants by words.
func prose(doc string, names map[string]string, words map[string]bool) string {
	doc = spaces.ReplaceAllString(strings.TrimSpace(doc), " ")
	doc = link.ReplaceAllString(doc, "$1")
	return word.ReplaceAllStringFunc(doc, func(w string) string {
		if to, ok := names[w]; ok {
			return to
		}
		if to := snake(w); words[to] && (capitals.MatchString(w) || strings.Contains(w, ".")) {
			return to
		}
		return w
	})
}

// snake is a constant's name as enumerations have it: "hoods_left" of
// "contact.HoodsLeft".
func snake(name string) string {
	name = name[strings.LastIndexByte(name, '.')+1:]
	return strings.ToLower(capitals.ReplaceAllStringFunc(name, func(s string) string { return s[:1] + "_" + s[1:] }))
}
