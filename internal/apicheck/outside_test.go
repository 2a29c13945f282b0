package apicheck

import (
	"bufio"
	"fmt"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"io"
	"maps"
	"net/http"
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

// A module outside this one embeds it as README says, beside the documents that README names.
// What is in it is built at once; and of all modules that this one names, its builds take in
// gonum alone.
func TestOutside(t *testing.T) {
	files, printed := readmePrograms(t)
	for _, name := range []string{"service/main.go", "batch/main.go", "browser/main.go", "browser/page.mjs"} {
		text, err := os.ReadFile(filepath.Join(root, "testdata/consumers", name))
		require.NoError(t, err)
		assert.Less(t, strings.Count(string(text), "\n"), 100, name)
		files[name] = string(text)
	}
	dir, run := outside(t, files)
	run("build", "-o", "bin/", "./...")
	for line := range strings.Lines(run("list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", "./...")) {
		assert.Contains(t, []string{"", "example.com/outside", module, "gonum.org/v1/gonum"}, strings.TrimSpace(line))
	}
	said := func(program string, args ...string) string {
		cmd := exec.Command(filepath.Join(dir, "bin", program), args...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
		return string(out)
	}
	for name, want := range printed {
		t.Run(name, func(t *testing.T) { assert.Equal(t, want, said(name, "position.json", "frame.json", "shelf.json")) })
	}

	// Three programs of the kinds that embed a library: a service, a batch, and a page's module. Each
	// was written from README and go doc, and is less than 100 lines long.
	t.Run("batch", func(t *testing.T) {
		assert.Equal(t, strings.Join([]string{
			"file,saddle_height_mm,saddle_setback_mm,bar_drop_hoods_mm,reach_hoods_mm,fault",
			"position.json,734.2,205.0,50.0,787.1,",
			"frame.json,,,,,\"line 2: /schema \"\"fitgeom/frame\"\": want \"\"fitgeom/position\"\"\"",
			"",
		}, "\n"), said("batch", "position.json", "frame.json"))
	})
	t.Run("service", func(t *testing.T) {
		catalogue, err := filepath.Abs(root + "/examples/choose/catalogue.csv")
		require.NoError(t, err)
		cmd := exec.Command(filepath.Join(dir, "bin/service"), catalogue, "shelf.json", "127.0.0.1:0")
		cmd.Dir = dir
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		t.Cleanup(func() { _, _ = cmd.Process.Kill(), cmd.Wait() })
		address, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(t, err)
		position, err := os.ReadFile(root + "/testdata/readme/position.json")
		require.NoError(t, err)
		status, answer := post(t, address, string(position))
		assert.Equal(t, http.StatusOK, status)
		assert.Equal(t, 3, strings.Count(answer, `"holds":true`), answer)
		status, answer = post(t, address, strings.Replace(string(position), "205, 0, 705", "20.5, 0, 70.5", 1))
		assert.Equal(t, http.StatusBadRequest, status)
		assert.Contains(t, answer, "it looks like centimetres")
	})
	t.Run("browser", func(t *testing.T) {
		if _, err := exec.LookPath("node"); err != nil {
			t.Skip("node is not installed")
		}
		build := exec.Command("go", "build", "-o", "module.wasm", "./browser")
		build.Dir, build.Env = dir, append(os.Environ(), "GOFLAGS=-mod=mod", "GOWORK=off", "GOOS=js", "GOARCH=wasm")
		out, err := build.CombinedOutput()
		require.NoError(t, err, "%s", out)
		page := exec.Command("node", "browser/page.mjs", filepath.Join(strings.TrimSpace(run("env", "GOROOT")), "lib/wasm/wasm_exec.js"), "module.wasm", "position.json")
		page.Dir = dir
		out, err = page.CombinedOutput()
		require.NoError(t, err, "%s", out)
		answers := strings.Split(string(out), "\n")
		assert.JSONEq(t, `{"numbers": {"saddle_setback": 205, "bar_drop_hoods": 50}}`, answers[0])
		assert.Contains(t, answers[1], "/version missing")
	})
}

// readmePrograms returns README's programs as files, and what they print, by the names of their
// folders.
func readmePrograms(t *testing.T) (files, printed map[string]string) {
	readme, err := os.ReadFile(root + "/README.md")
	require.NoError(t, err)
	files, printed = map[string]string{}, map[string]string{}
	for rest := string(readme); ; {
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
		name := fmt.Sprintf("readme%d", 1+len(printed))
		files[name+"/main.go"], printed[name] = program, want
		rest = after
	}
	assert.Len(t, printed, 2)

	// The lines at the top are of the first program.
	_, after, _ := strings.Cut(string(readme), "```\n")
	lines, after, _ := strings.Cut(after, "```\n")
	for line := range strings.Lines(lines) {
		assert.Contains(t, after, "\t"+line)
	}
	return files, printed
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
	_, run := outside(t, files)
	run("vet", "./...")
}

// post sends a body to a service, and returns what it says.
func post(t *testing.T, address, body string) (status int, answer string) {
	r, err := http.Post("http://"+strings.TrimSpace(address), "application/json", strings.NewReader(body))
	require.NoError(t, err)
	defer r.Body.Close()
	text, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	return r.StatusCode, string(text)
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

// outside puts programs into a module of their own that embeds this one as the README
// says, beside the documents that the README names, and returns its folder and what runs the go
// command there.
func outside(t *testing.T, files map[string]string) (dir string, run func(args ...string) string) {
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
	dir = t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(root+"/testdata/readme")))
	all := maps.Clone(files)
	all["go.mod"] = fmt.Sprintf("module example.com/outside\n\ngo 1.26\n\nrequire (\n\t%s v0.0.0\n\t%s\n)\n\nreplace %[1]s => %[3]s\n", module, gonum, here)
	all["go.sum"] = string(sum)
	for name, text := range all {
		require.NoError(t, os.MkdirAll(filepath.Join(dir, filepath.Dir(name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	return dir, func(args ...string) string {
		cmd := exec.Command("go", args...)
		cmd.Dir = dir
		// For this machine, also where the tests are built for another one.
		cmd.Env = append(os.Environ(), "GOFLAGS=-mod=mod", "GOWORK=off", "GOARCH=", "GOOS=", "CGO_ENABLED=0")
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "go %v: %s", args, out)
		return string(out)
	}
}
