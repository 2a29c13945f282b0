package browse

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.com/fitgeom/examples/internal/live"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// movable are the pages with something to move.
var movable = map[string]string{"reproduce": "bike", "timetrial": "bike", "trail": "bike", "choose": "head", "adjustable": "head", "crank": "body", "lesson": "body"}

// What a page answers in the browser, after each control was moved by keys, is what the
// library answers when it is called from Go with the same documents and where the controls
// then stand; the address keeps that, a page that is opened with it stands so at once, and
// reset leads back.
func TestMove(t *testing.T) {
	b, pages, _ := all(t)
	for name, kind := range movable {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if !slices.Contains([]string{"trail", "choose", "crank"}, name) && !trial.Long() {
				t.Skip("one page of each kind; FITGEOM_LONG=1 moves all")
			}
			p := b.open(t, 1200, false)
			url := address(t, filepath.Join(pages, name+".html"))
			p.to(t, url)
			wait(t, p, `document.querySelector('section.live').dataset.settled`)
			scene := begin(t, p, kind)
			first, err := scene.Now(t.Context(), live.ParseState(scene, ""))
			require.NoError(t, err)
			written, err := os.ReadFile(filepath.Join(pages, name+".html"))
			require.NoError(t, err)
			assert.Contains(t, string(written), first, "it is on show before the module answers")
			var shown float64
			p.eval(t, `performance.getEntriesByType('navigation')[0].domInteractive`, &shown)
			figure := func(p *tab, name string) float64 {
				var s string
				p.eval(t, `document.querySelector('section.live').dataset.`+name, &s)
				v, err := strconv.ParseFloat(s, 64)
				require.NoError(t, err)
				return v
			}
			// What moves a control as soon as there is one, waits the longest.
			hasty := b.open(t, 1200, false, `new MutationObserver((_, o) => {
				const c = document.querySelector('section.live[data-ready] input[type=range]');
				if (c) { o.disconnect(); c.value = +c.min + (c.max - c.min) * 0.4; c.dispatchEvent(new Event('input', {bubbles: true})); }
			}).observe(document, {subtree: true, childList: true, attributes: true})`)
			hasty.to(t, url)
			wait(t, hasty, `document.querySelector('section.live').dataset.settled`)
			waited := figure(hasty, "waited")
			hasty.to(t, "about:blank") // it would go on
			var now []float64
			var query strings.Builder
			for _, c := range scene.Controls() {
				var value, moves string
				id := kind + "-" + c.Name
				p.eval(t, `document.querySelector('section.live').dataset.moves || '0'`, &moves)
				p.eval(t, `(document.getElementById('`+id+`').focus(), document.activeElement.id)`, &value)
				require.Equal(t, id, value, "it can be focused")
				key := "ArrowRight"
				if c.At > (c.From+c.To)/2 || c.Choices != nil && c.At == c.To {
					key = "ArrowLeft"
				}
				p.press(t, key, 1)
				if c.From < c.To {
					wait(t, p, `document.querySelector('section.live').dataset.moves > `+moves)
				} // else there is one choice, and no key moves it
				p.eval(t, `document.getElementById('`+id+`').value`, &value)
				v, err := strconv.ParseFloat(value, 64)
				require.NoError(t, err)
				if c.From < c.To {
					assert.NotEqual(t, c.At, v, "%s: a key moves it", c.Name)
				}
				query.WriteString("&" + c.Name + "=" + value)
				state := live.ParseState(scene, query.String())
				assert.Equal(t, v, state[c.Name])
				want, err := scene.Now(t.Context(), state)
				require.NoError(t, err)
				same(t, p, want, ".now")
				now = append(now, figure(p, "now"))
			}
			wait(t, p, `!document.querySelector('.settled').classList.contains('old')`)
			want, err := scene.Settled(context.Background(), live.ParseState(scene, query.String()))
			require.NoError(t, err)
			same(t, p, want, ".settled")
			require.NotEmpty(t, now)
			begun := now[0] // the first move, once it was warm
			slices.Sort(now)
			t.Logf("pages: | %s | %.0f | %.0f | %.0f | %.0f | %.0f | %.1f | %.1f | %.1f | %.0f | %.0f |", name, shown, figure(p, "loaded"), figure(p, "ready"), figure(p, "first"),
				waited, begun, now[len(now)/2], now[len(now)-1], figure(p, "slow"), figure(p, "settled"))

			var hash, document string
			p.eval(t, `location.hash`, &hash)
			assert.NotContains(t, hash, "position")
			again := b.open(t, 390, true)
			again.to(t, url+hash)
			wait(t, again, `document.querySelector('section.live').dataset.settled`)
			same(t, again, want, ".settled")
			if shots := os.Getenv("FITGEOM_SCREENSHOTS"); shots != "" {
				save(t, p, name+"-moved.png", "Page.captureScreenshot", object{"captureBeyondViewport": true})
				save(t, again, name+"-moved-phone.png", "Page.captureScreenshot", object{"captureBeyondViewport": true})
			}
			var f found
			again.eval(t, script, &f)
			assert.Empty(t, f.Findings)

			p.eval(t, `(document.querySelector('.copy').focus(), '')`, &document)
			p.press(t, "Enter", 1)
			wait(t, p, `document.querySelector('.live textarea').value`)
			p.eval(t, `document.querySelector('.live textarea').value`, &document)
			data, err := scene.Document(live.ParseState(scene, query.String()))
			require.NoError(t, err)
			assert.Equal(t, string(data), document)
			p.eval(t, `(document.querySelector('.reset').focus(), '')`, &document)
			p.press(t, "Enter", 1)
			wait(t, p, `location.hash === ''`)
			want, err = scene.Now(t.Context(), live.ParseState(scene, ""))
			require.NoError(t, err)
			same(t, p, want, ".now")
			assert.Empty(t, p.heard(address(t, pages)))
		})
	}
}

// wait waits until an expression is true.
func wait(t *testing.T, p *tab, expression string) {
	t.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		var v bool
		if p.eval(t, "!!("+expression+")", &v); v {
			return
		}
	}
	t.Fatal("never: ", expression)
}

// begin begins the scene of a page in Go.
func begin(t *testing.T, p *tab, kind string) live.Scene {
	t.Helper()
	var docs map[string]string
	p.eval(t, `Object.fromEntries([...document.querySelectorAll('section.live script[data-name]')].map(d => [d.dataset.name, JSON.parse(d.textContent)]))`, &docs)
	all := live.Documents{}
	for name, text := range docs {
		all[name] = []byte(text)
	}
	scene, err := live.Begin(kind, all)
	require.NoError(t, err)
	return scene
}

// same compares what a page shows with HTML.
func same(t *testing.T, p *tab, html, where string) {
	t.Helper()
	var want, got string
	p.eval(t, `(() => { const d = document.createElement('div'); d.innerHTML = `+strconv.Quote(html)+`; return d.textContent; })()`, &want)
	p.eval(t, `document.querySelector('section.live `+where+`').textContent`, &got)
	assert.Equal(t, want, got)
}

// The module is one for all pages, small enough for a telephone, and has no html/template
// in it, nor what finds methods by reflection. It prints the ten largest packages.
func TestModule(t *testing.T) {
	_, pages, _ := all(t)
	run := func(more ...string) []byte {
		cmd := exec.CommandContext(t.Context(), "go", more...)
		cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
		return out
	}
	const module = "example.com/fitgeom/examples/internal/live/module"
	data, err := os.ReadFile(filepath.Join(pages, "fitgeom.wasm"))
	require.NoError(t, err)
	var b bytes.Buffer
	zip, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	require.NoError(t, err)
	_, err = zip.Write(data)
	require.NoError(t, err)
	require.NoError(t, zip.Close())
	t.Logf("module: | the module | %d | %d |", len(data), b.Len())
	assert.LessOrEqual(t, b.Len(), 2_500_000)
	type compiled struct {
		name string
		size int64
	}
	var largest []compiled
	for line := range strings.Lines(string(run("list", "-deps", "-export", "-f", "{{.ImportPath}} {{.Export}}", module))) {
		name, object, _ := strings.Cut(strings.TrimSpace(line), " ")
		assert.NotEqual(t, "html/template", name)
		if info, err := os.Stat(object); err == nil {
			largest = append(largest, compiled{name, info.Size()})
		}
	}
	slices.SortFunc(largest, func(a, b compiled) int { return cmp.Compare(b.size, a.size) })
	for _, one := range largest[:10] {
		t.Logf("module: | %s | %d | |", one.name, one.size)
	}
}
