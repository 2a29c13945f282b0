package page

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
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
		`<td class="n">`, "<td>&lt;b&gt;</td>", "<pre>x &lt; y</pre>", `<svg class="fg"`, "<figcaption>A caption.</figcaption>",
	} {
		assert.Contains(t, s, want)
	}
	assert.NotRegexp(t, `src=|@import|url\(|href="http`, s, "nothing is fetched")
}

func TestWrite(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	var b bytes.Buffer
	require.NoError(t, sample().Write(&b, dir))
	assert.Equal(t, filepath.Join(dir, "sample.html")+"\n"+filepath.Join(dir, "sample-fig.svg")+"\n", b.String())
	for _, name := range []string{"sample.html", "sample-fig.svg"} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.NotEmpty(t, data)
	}
	assert.Error(t, sample().Write(&b, "page.go"))
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
