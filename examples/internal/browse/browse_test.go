package browse

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

//go:embed check.js
var script string

const root = "../../.."

// browser returns the command of a browser. Without FITGEOM_BROWSER=must it skips
// the test, which takes half a minute; with it, it is never skipped.
func browser(t *testing.T) string {
	t.Helper()
	if os.Getenv("FITGEOM_BROWSER") != "must" {
		t.Skip("FITGEOM_BROWSER=must opens every page in a browser (Debian's chromium)")
	}
	for _, name := range []string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatal("no browser found: install Debian's chromium")
	return ""
}

// found is what check.js found on a page.
type found struct {
	Findings []string
	Labels   int
	Figures  int
	Dark     bool
	Height   int
}

var attribute = regexp.MustCompile(`data-found="([^"]*)"`)

// open opens a file in a browser that prefers dark or light, and returns what the
// browser wrote.
func open(t *testing.T, command, file string, dark bool, more ...string) (stdout, stderr string) {
	t.Helper()
	scheme := "1"
	if dark {
		scheme = "0"
	}
	path, err := filepath.Abs(file)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	args := append([]string{
		"--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking",
		"--hide-scrollbars", "--enable-logging=stderr", "--user-data-dir=" + t.TempDir(), "--blink-settings=preferredColorScheme=" + scheme,
	}, more...)
	cmd := exec.CommandContext(ctx, command, append(args, "file://"+filepath.ToSlash(path))...)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	require.NoError(t, cmd.Run(), "%s", &errs)
	return out.String(), errs.String()
}

// check opens a copy of a page with check.js in it.
func check(t *testing.T, command, page string, dark bool) found {
	t.Helper()
	data, err := os.ReadFile(page)
	require.NoError(t, err)
	before, after, ok := strings.Cut(string(data), "<head>")
	require.True(t, ok)
	file := filepath.Join(t.TempDir(), "copy.html")
	require.NoError(t, os.WriteFile(file, []byte(before+"<head><script>"+script+"</script>"+after), 0o666))
	dom, log := open(t, command, file, dark, "--window-size=1200,900", "--dump-dom")
	m := attribute.FindStringSubmatch(dom)
	require.NotNil(t, m, "the script did not run: %s", log)
	var f found
	require.NoError(t, json.Unmarshal([]byte(html.UnescapeString(m[1])), &f))
	for line := range strings.Lines(log) {
		if strings.Contains(line, "CONSOLE") {
			f.Findings = append(f.Findings, strings.TrimSpace(line))
		}
	}
	return f
}

// Every page of every example, in light and in dark: no label leaves its figure,
// lies on another or is too faint, nothing is wider than the window, and the
// console is silent. With FITGEOM_SCREENSHOTS a person can look at them in that
// folder.
func TestPages(t *testing.T) {
	command := browser(t)
	dir := t.TempDir()
	bin, pages := filepath.Join(dir, "bin"), filepath.Join(dir, "pages")
	require.NoError(t, os.Mkdir(bin, 0o777))
	build := exec.CommandContext(t.Context(), "go", "build", "-o", bin+string(filepath.Separator), "./examples/...")
	build.Dir = root
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s", out)
	mains, err := filepath.Glob(root + "/examples/*/main.go")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(mains), 8)
	shots := os.Getenv("FITGEOM_SCREENSHOTS")
	if shots != "" {
		shots, err = filepath.Abs(shots)
		require.NoError(t, err)
		require.NoError(t, os.MkdirAll(shots, 0o777))
	}
	for _, m := range mains {
		name := filepath.Base(filepath.Dir(m))
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out, err := exec.CommandContext(t.Context(), filepath.Join(bin, name), "-o", pages).CombinedOutput()
			require.NoError(t, err, "%s", out)
			page := filepath.Join(pages, name+".html")
			drawn, err := filepath.Glob(filepath.Join(filepath.Dir(m), "*.svg"))
			require.NoError(t, err)
			for _, dark := range []bool{false, true} {
				f := check(t, command, page, dark)
				assert.Empty(t, f.Findings)
				assert.Equal(t, dark, f.Dark)
				assert.Len(t, drawn, f.Figures)
				if len(drawn) > 0 {
					assert.Greater(t, f.Labels, 5)
				}
				if shots == "" {
					continue
				}
				scheme := map[bool]string{false: "light", true: "dark"}[dark]
				open(t, command, page, dark, fmt.Sprintf("--window-size=1200,%d", f.Height+10), "--screenshot="+filepath.Join(shots, name+"-"+scheme+".png"))
			}
			if shots != "" {
				open(t, command, page, false, "--no-pdf-header-footer", "--print-to-pdf="+filepath.Join(shots, name+".pdf"))
			}
		})
	}
}

// The check finds what it is there for.
func TestCheckFinds(t *testing.T) {
	command := browser(t)
	file := filepath.Join(t.TempDir(), "bad.html")
	require.NoError(t, os.WriteFile(file, []byte(`<!doctype html><html><head><style>html{background:#fff;color:#000} .paper{fill:#fff} .faint{fill:#ccc}</style></head><body>
<svg viewBox="0 0 200 100" width="200" height="100"><title id="x">x</title><rect class="paper" width="200" height="100"/>
<text x="10" y="30">first</text><text x="20" y="34">second</text><text x="180" y="80">leaves</text><text class="faint" x="10" y="80">faint</text></svg>
<svg viewBox="0 0 200 100" width="100" height="50"><title id="y">y</title><rect class="paper" width="200" height="100"/></svg>
<div style="width:3000px">wide</div><script>console.error("said"); null.x</script></body></html>`), 0o666))
	all := strings.Join(check(t, command, file, false).Findings, "\n")
	for _, want := range []string{
		`x: "second" lies on "first"`, `x: "leaves" leaves the figure`, `x: "faint" is too faint`, "y: not at the size", "wider than the window", "console: said", "error: ", "CONSOLE",
	} {
		assert.Contains(t, all, want)
	}
}
