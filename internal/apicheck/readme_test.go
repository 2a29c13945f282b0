package apicheck

import (
	"os"
	"os/exec"
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
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" || testing.Short() {
		t.Skip("needs the go command")
	}
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
		run := outside(t, program)
		assert.Equal(t, want, run("run", ".", "position.json", "frame.json", "shelf.json"))
		for line := range strings.Lines(run("list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")) {
			assert.Contains(t, []string{"", "example.com/outside", module, "gonum.org/v1/gonum"}, strings.TrimSpace(line))
		}
		rest = after
	}
	assert.Equal(t, 2, programs)
}

// outside puts a program into a module of its own that embeds this one as the README
// says, beside the documents that the README names, and returns what runs the go
// command there.
func outside(t *testing.T, program string) func(args ...string) string {
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
	for name, text := range map[string]string{
		"go.mod": "module example.com/outside\n\ngo 1.26\n\nrequire (\n\t" + module + " v0.0.0\n\t" + gonum + "\n)\n\nreplace " + module + " => " + here + "\n",
		"go.sum": string(sum), "main.go": program,
	} {
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
