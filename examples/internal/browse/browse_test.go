package browse

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

//go:embed check.js
var script string

const root = "../../.."

// found is what check.js found on a page.
type found struct {
	Findings []string
	Labels   int
	Figures  int
	Dark     bool
	Height   int
}

// shared is what all tests use: a browser, and a folder with all pages.
var shared struct {
	once    sync.Once
	browser *browser
	folder  string
	names   []string
	end     func()
	err     error
}

func TestMain(m *testing.M) {
	code := m.Run()
	if shared.end != nil {
		shared.end()
	}
	os.Exit(code)
}

// all returns a browser, the folder of all pages, and their names.
func all(t *testing.T) (b *browser, folder string, names []string) {
	t.Helper()
	must(t)
	shared.once.Do(func() { shared.err = share() })
	require.NoError(t, shared.err)
	return shared.browser, shared.folder, shared.names
}

func share() error {
	temp, err := os.MkdirTemp("", "pages")
	if err != nil {
		return err
	}
	shared.end = func() { _ = os.RemoveAll(temp) }
	bin, folder := filepath.Join(temp, "bin"), filepath.Join(temp, "pages")
	if err := os.Mkdir(bin, 0o777); err != nil {
		return err
	}
	build := exec.Command("go", "build", "-o", bin+string(filepath.Separator), "./examples/...")
	build.Dir = root
	if said, err := build.CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, said)
	}
	mains, err := filepath.Glob(root + "/examples/*/main.go")
	if err != nil {
		return err
	}
	for _, m := range mains {
		name := filepath.Base(filepath.Dir(m))
		if said, err := exec.Command(filepath.Join(bin, name), "-o", folder).CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w: %s", name, err, said)
		}
		shared.names = append(shared.names, name)
	}
	b, end, err := start()
	if err != nil {
		return err
	}
	shared.browser, shared.folder = b, folder
	shared.end = func() {
		end()
		_ = os.RemoveAll(temp)
	}
	return nil
}

// address returns the address of a file.
func address(t *testing.T, file string) string {
	t.Helper()
	path, err := filepath.Abs(file)
	require.NoError(t, err)
	return "file://" + filepath.ToSlash(path)
}

// look opens a page and returns what there is to see, once what can be moved has answered.
func look(t *testing.T, p *tab, file string) found {
	t.Helper()
	p.to(t, address(t, file))
	wait(t, p, `[...document.querySelectorAll('section.live')].every(s => s.dataset.settled)`)
	return see(t, p, file)
}

// see returns what check.js and the browser find of a page that is open, and what the rules
// of axe-core call serious if FITGEOM_AXE names its file.
func see(t *testing.T, p *tab, file string) found {
	t.Helper()
	var f found
	p.eval(t, script, &f)
	if axe := os.Getenv("FITGEOM_AXE"); axe != "" {
		rules, err := os.ReadFile(axe)
		require.NoError(t, err)
		p.do(t, "Runtime.evaluate", object{"expression": string(rules)})
		var serious []string
		p.eval(t, `axe.run().then(r => r.violations.filter(v => v.impact === 'serious' || v.impact === 'critical').map(v => v.id + ': ' + v.help + ': ' + v.nodes.slice(0, 3).map(n => n.html).join(' ')))`, &serious)
		f.Findings = append(f.Findings, serious...)
	}
	f.Findings = append(f.Findings, p.heard(address(t, filepath.Dir(file)))...)
	return f
}

// save saves what a browser sent as base64, if pictures are asked for.
func save(t *testing.T, p *tab, name, method string, params object) []byte {
	t.Helper()
	var r struct{ Data string }
	require.NoError(t, json.Unmarshal(p.do(t, method, params), &r))
	data, err := base64.StdEncoding.DecodeString(r.Data)
	require.NoError(t, err)
	if shots := os.Getenv("FITGEOM_SCREENSHOTS"); shots != "" {
		require.NoError(t, os.MkdirAll(shots, 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(shots, name), data, 0o666))
	}
	return data
}

var sheetOfPaper = regexp.MustCompile(`/Type\s*/Page\b`)

// papers is how many sheets of paper a page may take.
var papers = map[string]int{"day": 4, "day-sheet": 1, "reproduce-sheet": 1, "timetrial-sheet": 1, "trail-sheet": 1}

// Every page of every example, in light and in dark, on a desk and on a phone: no label
// leaves its figure, lies on another or is too faint, nothing is wider than the window,
// every control has a name, the console is silent, nothing outside the folder is asked for,
// and printed it takes no more paper than it may. With FITGEOM_SCREENSHOTS a person can
// look at them in that folder.
func TestPages(t *testing.T) {
	b, pages, names := all(t)
	require.GreaterOrEqual(t, len(names), 8)
	for _, name := range names {
		drawn, err := filepath.Glob(filepath.Join(root, "examples", name, "*.svg"))
		require.NoError(t, err)
		files, err := filepath.Glob(filepath.Join(pages, name+"*.html"))
		require.NoError(t, err)
		for _, file := range files {
			name := strings.TrimSuffix(filepath.Base(file), ".html")
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				p := b.open(t, 1200, false)
				for i, way := range ways {
					var f found
					if i == 0 {
						f = look(t, p, file)
					} else { // scripts do not ask which way it is, so that it need not be opened anew
						p.as(t, way.width, 900, way.dark)
						f = see(t, p, file)
					}
					assert.Empty(t, f.Findings, way.name)
					assert.Equal(t, way.dark, f.Dark)
					if !strings.HasSuffix(name, "-sheet") {
						assert.GreaterOrEqual(t, f.Figures, len(drawn))
					}
					if f.Figures > 0 {
						assert.Greater(t, f.Labels, 5)
					}
					if os.Getenv("FITGEOM_SCREENSHOTS") != "" {
						p.as(t, way.width, f.Height+10, way.dark)
						save(t, p, name+"-"+way.name+".png", "Page.captureScreenshot", object{})
					}
				}
				p.as(t, 1200, 900, false)
				pdf := save(t, p, name+".pdf", "Page.printToPDF", object{"preferCSSPageSize": true})
				if most, ok := papers[name]; ok {
					assert.LessOrEqual(t, len(sheetOfPaper.FindAll(pdf, -1)), most, "sheets of paper")
				}
			})
		}
	}
	t.Run("index", func(t *testing.T) {
		t.Parallel()
		for _, width := range []int{1200, 390} {
			p := b.open(t, width, false)
			assert.Empty(t, look(t, p, filepath.Join(pages, "index.html")).Findings)
			save(t, p, "index.png", "Page.captureScreenshot", object{})
		}
		data, err := os.ReadFile(filepath.Join(pages, "index.html"))
		require.NoError(t, err)
		assert.False(t, bytes.Contains(data, []byte("not written yet")))
	})
}

// ways are how a page is looked at.
var ways = []struct {
	name  string
	width int
	dark  bool
}{{"light", 1200, false}, {"dark", 1200, true}, {"phone", 390, false}, {"phone-dark", 390, true}}

// The check finds what it is there for.
func TestCheckFinds(t *testing.T) {
	b, _, _ := all(t)
	file := filepath.Join(t.TempDir(), "bad.html")
	require.NoError(t, os.WriteFile(file, []byte(`<!doctype html><html><head><style>html{background:#fff;color:#000} .paper{fill:#fff} .faint{fill:#ccc}</style></head><body>
<svg viewBox="0 0 200 100" width="200" height="100"><title id="x">x</title><rect class="paper" width="200" height="100"/>
<text x="10" y="30">first</text><text x="20" y="34">second</text><text x="180" y="80">leaves</text><text class="faint" x="10" y="80">faint</text></svg>
<svg viewBox="0 0 200 100" width="100" height="50"><title id="y">y</title><rect class="paper" width="200" height="100"/></svg>
<h2>bare</h2><input value="1"><p id="x">95 %%</p><img src="http://127.0.0.1:9/x.png" alt="x">
<div style="width:3000px">wide</div><script>console.error("said"); null.x</script></body></html>`), 0o666))
	said := strings.Join(look(t, b.open(t, 1200, false), file).Findings, "\n")
	for _, want := range []string{
		`x: "second" lies on "first"`, `x: "leaves" leaves the figure`, `x: "faint" is too faint`, "y: not at the size", "wider than the window", "said", "error: ", "log: ",
		"no link can lead to bare", "no label on <input", "two things are called x", "nobody should read", "asked for http://127.0.0.1:9/x.png",
	} {
		assert.Contains(t, said, want)
	}
}
