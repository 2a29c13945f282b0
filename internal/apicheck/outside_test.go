package apicheck

import (
	"fmt"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The README's programs, put into a module of their own that embeds this one as the
// README says, must print what the README says; and of all modules that this one
// names, their build takes in gonum alone.
func TestReadmeProgramsInAnotherModule(t *testing.T) {
	readme, err := os.ReadFile(root + "/README.md")
	require.NoError(t, err)
	programs := 0
	for rest := string(readme); ; programs++ {
		_, after, ok := strings.Cut(rest, "```go\n")
		if !ok {
			break
		}
		program, after, ok := strings.Cut(after, "```\n")
		require.True(t, ok)
		_, after, ok = strings.Cut(after, "It prints:\n\n```\n")
		require.True(t, ok)
		want, after, ok := strings.Cut(after, "```\n")
		require.True(t, ok)
		run := outside(t, map[string]string{"main.go": program})
		assert.Equal(t, want, run("run", ".", "position.json", "frame.json", "shelf.json"))
		gonumAlone(t, run)
		rest = after
	}
	assert.Equal(t, 2, programs)
}

// Every package has an Example that is a whole file, as people copy it: it needs public names
// alone, and builds in another module.
func TestWholeFileExamples(t *testing.T) {
	files := map[string]string{}
	for _, dir := range publicDirs(t) {
		whole := wholeFiles(t, dir)
		assert.NotEmpty(t, whole, "%s has no Example that is a whole file", dir)
		for name, text := range whole {
			files[path.Join(dir, strings.TrimSuffix(name, ".go"), name)] = text
		}
	}
	run := outside(t, files)
	run("vet", "./...")
}

// wholeFiles returns the Examples of a package that are whole files: with what they need beside a
// function, and without any other test.
func wholeFiles(t *testing.T, dir string) map[string]string {
	names, err := filepath.Glob(filepath.Join(root, dir, "*_test.go"))
	require.NoError(t, err)
	found := map[string]string{}
	for _, name := range names {
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		require.NoError(t, err)
		for _, example := range doc.Examples(f) {
			if _, whole := example.Code.(*ast.File); !whole {
				continue
			}
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			found[filepath.Base(name)] = string(text)
			for _, i := range f.Imports {
				assert.NotContains(t, i.Path.Value, "/internal/", "%s", name)
			}
		}
	}
	return found
}

// gonumAlone checks that a build takes in no module but this one and gonum.
func gonumAlone(t *testing.T, run func(args ...string) string) {
	for line := range strings.Lines(run("list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", "./...")) {
		assert.Contains(t, []string{"", "example.com/outside", module, "gonum.org/v1/gonum"}, strings.TrimSpace(line))
	}
}

// outside puts programs into a module of their own that embeds this one as the README
// says, beside the documents that the README names, and returns what runs the go
// command there.
func outside(t *testing.T, files map[string]string) func(args ...string) string {
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" || testing.Short() {
		t.Skip("needs the go command")
	}
	here, err := filepath.Abs(root)
	require.NoError(t, err)
	sum, err := os.ReadFile(root + "/go.sum")
	require.NoError(t, err)
	mod, err := os.ReadFile(root + "/go.mod")
	require.NoError(t, err)
	gonum := ""
	for line := range strings.Lines(string(mod)) {
		if strings.HasPrefix(line, "\tgonum.org/v1/gonum ") {
			gonum = strings.TrimSpace(line)
		}
	}
	require.NotEmpty(t, gonum)
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(root+"/testdata/readme")))
	all := maps.Clone(files)
	all["go.mod"] = fmt.Sprintf("module example.com/outside\n\ngo 1.26\n\nrequire (\n\t%s v0.0.0\n\t%s\n)\n\nreplace %[1]s => %[3]s\n", module, gonum, here)
	all["go.sum"] = string(sum)
	for name, text := range all {
		require.NoError(t, os.MkdirAll(filepath.Join(dir, filepath.Dir(name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	return func(args ...string) string {
		cmd := exec.Command("go", args...)
		cmd.Dir = dir
		// For this machine, also where the tests are built for another one.
		cmd.Env = append(os.Environ(), "GOFLAGS=-mod=mod", "GOWORK=off", "GOARCH=", "GOOS=", "CGO_ENABLED=0")
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "go %v: %s", args, out)
		return string(out)
	}
}
