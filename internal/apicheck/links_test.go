package apicheck

import (
	"go/ast"
	"go/doc"
	"go/doc/comment"
	"go/parser"
	"go/token"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestDocLinks is that every [Name] in a comment leads to something: what does not is shown with its brackets.
func TestDocLinks(t *testing.T) {
	docs, names := map[string]*doc.Package{}, map[string]bool{} // by import path; "path.Name" and "path.Type.Name"
	fields := map[string][]string{}                             // comments inside of declarations, which go/doc does not have
	fset := token.NewFileSet()
	for dir, files := range publicFiles(t) {
		at := path.Join(module, dir)
		var parsed []*ast.File
		for _, f := range files {
			p, err := parser.ParseFile(fset, f, nil, parser.ParseComments)
			require.NoError(t, err)
			parsed = append(parsed, p)
			ast.Inspect(p, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.FuncDecl:
					return false
				case *ast.Field:
					fields[at] = append(fields[at], n.Doc.Text(), n.Comment.Text())
				case *ast.ValueSpec:
					fields[at] = append(fields[at], n.Doc.Text(), n.Comment.Text())
				case *ast.TypeSpec:
					s, ok := n.Type.(*ast.StructType)
					if !ok {
						break
					}
					for _, f := range s.Fields.List {
						for _, name := range f.Names {
							names[at+"."+n.Name.Name+"."+name.Name] = true
						}
					}
				}
				return true
			})
		}
		d, err := doc.NewFromFiles(fset, parsed, at)
		require.NoError(t, err)
		docs[at] = d
		for _, kind := range [][]*doc.Value{d.Consts, d.Vars} {
			for _, v := range kind {
				for _, name := range v.Names {
					names[at+"."+name] = true
				}
			}
		}
		for _, f := range d.Funcs {
			names[at+"."+f.Name] = true
		}
		for _, y := range d.Types {
			names[at+"."+y.Name] = true
			for _, v := range append(y.Consts, y.Vars...) {
				for _, name := range v.Names {
					names[at+"."+name] = true
				}
			}
			for _, f := range y.Funcs {
				names[at+"."+f.Name] = true
			}
			for _, m := range y.Methods {
				names[at+"."+y.Name+"."+m.Name] = true
			}
		}
	}
	for at, d := range docs {
		texts := append([]string{d.Doc}, fields[at]...)
		for _, f := range d.Funcs {
			texts = append(texts, f.Doc)
		}
		for _, kind := range [][]*doc.Value{d.Consts, d.Vars} {
			for _, v := range kind {
				texts = append(texts, v.Doc)
			}
		}
		for _, y := range d.Types {
			texts = append(texts, y.Doc)
			for _, v := range append(y.Consts, y.Vars...) {
				texts = append(texts, v.Doc)
			}
			for _, f := range append(y.Funcs, y.Methods...) {
				texts = append(texts, f.Doc)
			}
		}
		links := 0
		for _, text := range texts {
			p := d.Parser()
			c := p.Parse(text)
			for _, e := range textOf(c.Content) {
				switch e := e.(type) {
				case comment.Plain:
					if open := unlinked.FindString(string(e)); open != "" {
						t.Errorf("%s: %s is no link, in %.80q", at, open, text)
					}
				case *comment.DocLink:
					links++
					to := e.ImportPath
					if to == "" {
						to = at
					}
					name := strings.TrimPrefix(e.Recv+"."+e.Name, ".")
					if strings.HasPrefix(to, module) && name != "" && !names[to+"."+name] {
						t.Errorf("%s: %s.%s does not exist, in %.80q", at, to, name, text)
					}
				}
			}
		}
		require.Positive(t, links, at)
	}
}

var unlinked = regexp.MustCompile(`\[\*?[A-Za-z]\w*(\.\w+)*\]`)

// textOf returns the pieces of running text, and not what is indented.
func textOf(blocks []comment.Block) (all []comment.Text) {
	for _, b := range blocks {
		switch b := b.(type) {
		case *comment.Paragraph:
			all = append(all, b.Text...)
		case *comment.Heading:
			all = append(all, b.Text...)
		case *comment.List:
			for _, i := range b.Items {
				all = append(all, textOf(i.Content)...)
			}
		}
	}
	return all
}

// README's table of questions has every package, and leads to what shows it: a page that
// imports one of the row's packages, or an Example of one.
func TestQuestions(t *testing.T) {
	readme, err := os.ReadFile(root + "/README.md")
	require.NoError(t, err)
	_, table, ok := strings.Cut(string(readme), "| I want to … | package | see |\n| --- | --- | --- |\n")
	require.True(t, ok)
	table, _, _ = strings.Cut(table, "\n\n")
	row := regexp.MustCompile("^\\| [^|]+ \\| ((?:`[a-z/]+`(?:, )?)+) \\| \\[[^]]+\\]\\(([^)]+)\\) \\|$")
	shown := map[string]bool{}
	for line := range strings.Lines(table) {
		cells := row.FindStringSubmatch(strings.TrimSpace(line))
		require.NotNil(t, cells, line)
		packages := strings.Split(strings.ReplaceAll(cells[1], "`", ""), ", ")
		for _, p := range packages {
			shown["./"+p] = true
		}
		_, err := os.Stat(path.Join(root, cells[2]))
		require.NoError(t, err, line)
		if dir := path.Dir(cells[2]); strings.HasPrefix(dir, "examples/") {
			files, err := filepath.Glob(path.Join(root, dir, "*.go"))
			require.NoError(t, err)
			var all strings.Builder
			for _, f := range files {
				text, err := os.ReadFile(f)
				require.NoError(t, err)
				all.Write(text)
			}
			require.True(t, slices.ContainsFunc(packages, func(p string) bool { return strings.Contains(all.String(), module+"/"+p+`"`) }), line)
		} else {
			require.Contains(t, packages, dir, line)
		}
	}
	for _, dir := range publicDirs(t) {
		require.True(t, shown[dir], "no row has %s", dir)
	}
}
