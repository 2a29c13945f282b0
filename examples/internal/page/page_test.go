package page

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"example.com/fitgeom/examples/internal/draw"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func sample() *Page {
	p := New("sample", "A <page>")
	p.H("1. What %s says", "`x`")
	p.P("See `Solve` and [the other](../other/README.md): %s, %v.", "<script>alert(1)</script> `no code` [no](link)", errors.New("a|b_c _d_"))
	p.P("- no list")
	p.Table([]string{"site", "up", ""}, []string{"saddle_rear", "+1.5", "a|b"}, []string{"bar", "–", "<b>"})
	p.List("first <i>", "second")
	p.Pre("x < y\n")
	f := &draw.Figure{Name: "sample-fig", Title: "Title", Desc: "Desc", Caption: "A caption.", W: 100, H: 50}
	p.Figure(f)
	p.Document("sample-fig.json", "what <it> shows", []byte("{}"))
	p.Sheet([]string{"do", "what"}, []string{"set", "spacers, 1 & 2"})
	return p
}

func TestMarkdown(t *testing.T) {
	assert.Equal(t, `# A \<page>

## 1. What \`+"`x\\`"+` says

See `+"`Solve`"+` and [the other](../other/README.md): \<script>alert(1)\</script> \`+"`no code\\`"+`
\[no\](link), a\|b_c \_d\_.

\- no list

| site        |   up |      |
|-------------|-----:|------|
| saddle_rear | +1.5 | a\|b |
| bar         |    – | \<b> |

- first \<i>
- second

`+"```\nx < y\n```"+`

![Title](sample-fig.svg)

A caption.

| do  | what           |
|-----|----------------|
| set | spacers, 1 & 2 |
`, sample().Markdown())
}

func TestHTML(t *testing.T) {
	html, err := sample().HTML()
	require.NoError(t, err)
	s := string(html)
	assert.NotContains(t, s, "<script>")
	assert.NotContains(t, s, "<i>")
	for _, want := range []string{
		"<title>A &lt;page&gt;</title>", "<code>Solve</code>", `<a href="other.html">the other</a>`, "`no code` [no](link)",
		`<td class="n">`, "<td>&lt;b&gt;</td>", "x &lt; y</pre>", `<svg class="fg"`, "<figcaption>A caption. <a ",
		`<h2 id="what-x-says"><a href="#what-x-says">`, `href="sample-fig.json" download>what &lt;it&gt; shows: `, `<input type="checkbox" aria-label="done: set spacers, 1 &amp; 2">`,
		`href="data:text/csv;charset=utf-8,do%2Cwhat%0Aset%2C%22spacers%2C%201%20&amp;%202%22%0A"`,
	} {
		assert.Contains(t, s, want)
	}
	assert.NotRegexp(t, `src=|@import|url\(|href="http`, s, "nothing is fetched")
}

func TestWrite(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	var b bytes.Buffer
	require.NoError(t, sample().Write(&b, dir))
	written := []string{"sample.html", "sample-sheet.html", "sample-fig.svg", "sample-fig.json", "index.html"}
	var want strings.Builder
	for _, name := range written {
		want.WriteString(filepath.Join(dir, name) + "\n")
		data, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.NotEmpty(t, data)
	}
	assert.Equal(t, want.String(), b.String())
	assert.Error(t, sample().Write(&b, "page.go"))
}

// No link of any page leads nowhere, whichever pages are written, and the index says which are.
func TestFolder(t *testing.T) {
	dir := t.TempDir()
	p := sample()
	p.Name = Pages[2].Name
	require.NoError(t, p.Write(io.Discard, dir))
	files, err := filepath.Glob(filepath.Join(dir, "*.html"))
	require.NoError(t, err)
	assert.Len(t, files, len(Pages)+2)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`href="([^":#]+)"`).FindAllStringSubmatch(string(data), -1) {
			if m[1] != "other.html" {
				assert.FileExists(t, filepath.Join(dir, m[1]), "%s", file)
			}
		}
		switch filepath.Base(file) {
		case "index.html":
			assert.Equal(t, len(Pages)-1, strings.Count(string(data), "(not written yet)"))
		case Pages[2].Name + ".html", Pages[2].Name + "-sheet.html":
		default:
			assert.Contains(t, string(data), "go run ./examples/"+strings.TrimSuffix(filepath.Base(file), ".html"))
		}
	}
}

// Where the library cannot be built for a browser the page has nothing to move, and that
// is said; in a terminal there never is.
func TestNothingToMove(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	p, dir := sample(), t.TempDir()
	before := p.Markdown()
	p.Live("bike", "To move", map[string][]byte{"position": []byte("{}")}, func() string { return "<p>as it was</p>" })
	assert.Equal(t, before, p.Markdown())
	var b bytes.Buffer
	require.NoError(t, p.Write(&b, dir))
	assert.Contains(t, b.String(), "sample.html has nothing to move, since the library could not be built for a browser: ")
	data, err := os.ReadFile(filepath.Join(dir, "sample.html"))
	require.NoError(t, err)
	assert.NotContains(t, string(data), "To move")
	assert.NotContains(t, string(data), "fitgeom.js")
	html, err := p.execute("page", Pages, true)
	require.NoError(t, err)
	assert.Contains(t, string(html), `data-name="position">"{}"</script>`)
	assert.Contains(t, string(html), `<script async src="fitgeom.js">`)
	assert.Contains(t, string(html), `<div class="now"><p>as it was</p></div>`)
}

// The index lists the examples that there are, as README does.
func TestPages(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	mains, err := filepath.Glob("../../*/main.go")
	require.NoError(t, err)
	assert.Len(t, Pages, len(mains))
	for _, e := range Pages {
		assert.Contains(t, string(readme), "| ["+e.Name+"](examples/"+e.Name+"/README.md) | "+e.Shows+" |")
	}
}

func TestStep(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var b bytes.Buffer
		require.NoError(t, Step(&b, "quick", func() error { time.Sleep(900 * time.Millisecond); return nil }))
		assert.Empty(t, b.String())
		assert.ErrorContains(t, Step(&b, "slow", func() error { time.Sleep(2500 * time.Millisecond); return errors.New("no") }), "no")
		assert.Equal(t, "slow …\nslow: 2.5 s\n", b.String())
	})
}
