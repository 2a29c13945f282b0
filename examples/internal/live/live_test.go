package live

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/solve"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// file reads a file that lies beside an example.
func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile("../../" + name)
	require.NoError(t, err)
	return data
}

// trail returns documents of the example trail for a scene of a bike, but for its build, and
// the problem that builds solve.
func trail(t testing.TB) (Documents, solve.Problem) {
	t.Helper()
	docs := Documents{"position": file(t, "trail/position.json"), "shelf": file(t, "trail/shelf.json")}
	target, err := read[contact.Position](docs, "position")
	require.NoError(t, err)
	shelf, err := read[fitgeom.Shelf](docs, "shelf")
	require.NoError(t, err)
	frame, err := read[fitgeom.Frame](Documents{"frame": file(t, "trail/frame.json")}, "frame")
	require.NoError(t, err)
	return docs, solve.Problem{Target: target, Frame: frame, Shelf: shelf}
}

// choose returns documents of the example choose for a scene of a head tube.
func choose(t testing.TB) Documents {
	t.Helper()
	sizes, err := exchange.ReadCatalogue(t.Context(), bytes.NewReader(file(t, "choose/catalogue.csv")))
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, exchange.WriteCatalogue(t.Context(), &b, sizes))
	return Documents{"position": file(t, "choose/position.json"), "shelf": file(t, "choose/shelf.json"), "catalogue": b.Bytes()}
}

// keeping returns a request that says what is kept.
func keeping(t testing.TB, keep []fitgeom.Keep) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, exchange.Write(t.Context(), &b, request.Request{Keep: keep}, ""))
	return b.Bytes()
}

// start begins the scene of each kind from what the examples read.
func start(t testing.TB, kind string) Scene {
	t.Helper()
	var docs Documents
	if kind == "head" {
		docs = choose(t)
	} else if kind == "body" {
		docs = Documents{"position": file(t, "crank/position.json"), "body": file(t, "crank/body.json")}
	} else {
		var p solve.Problem
		docs, p = trail(t)
		r, err := p.Solve(t.Context())
		require.NoError(t, err)
		docs["build"], err = written("build", r.Candidates[0].Build)
		require.NoError(t, err)
	}
	s, err := Begin(kind, docs)
	require.NoError(t, err)
	return s
}

// Whatever a control is set to, there is an answer or an error in words, and the answer is
// sound as XML, with no number that is none.
func TestEveryControl(t *testing.T) {
	for kind := range scenes {
		s := start(t, kind)
		names := map[string]bool{}
		for _, c := range s.Controls() {
			assert.False(t, names[c.Name], c.Name)
			names[c.Name] = true
			assert.NotEmpty(t, c.Label)
			assert.GreaterOrEqual(t, c.At, c.From, c.Name)
			assert.LessOrEqual(t, c.At, c.To, c.Name)
			for _, v := range []float64{c.From, c.To} {
				html, err := s.Now(t.Context(), ParseState(s, fmt.Sprintf("%s=%v", c.Name, v)))
				if err != nil {
					assert.NotEmpty(t, err.Error())
					continue
				}
				assert.NotRegexp(t, `NaN|Inf|-0\.0\b`, html)
				d := xml.NewDecoder(strings.NewReader("<div>" + html + "</div>"))
				for err = nil; err == nil; {
					_, err = d.Token()
				}
				assert.ErrorIs(t, err, io.EOF, "%s %v", c.Name, v)
			}
		}
		var controls []map[string]any
		require.NoError(t, json.Unmarshal([]byte(JSON(s)), &controls))
		assert.Len(t, controls, len(s.Controls()))
		html, err := s.Settled(t.Context(), ParseState(s, ""))
		require.NoError(t, err)
		assert.Contains(t, html, map[string]string{"head": "<td>yes</td>", "bike": "worst place", "body": ""}[kind])
		ended, cancel := context.WithCancel(t.Context())
		cancel()
		_, err = s.Settled(ended, ParseState(s, ""))
		assert.ErrorIs(t, err, context.Canceled)
	}
}

// What is no control, or out of its range, is left out.
func TestParseState(t *testing.T) {
	s := start(t, "bike")
	first := ParseState(s, "")
	for _, bad := range []string{"nothing=1", "spacers", "spacers=", "spacers=NaN", "spacers=-1", "spacers=1e9", "stem=0.5", "stem=-1", "&&==&", "rider=anna"} {
		assert.Equal(t, first, ParseState(s, bad), bad)
	}
	assert.InDelta(t, 5, ParseState(s, "stem=1&spacers=5")["spacers"], 0)
}

// What package exchange writes for a page is read as that package reads it, and what comes out
// is what it writes.
func TestAsExchange(t *testing.T) {
	docs := choose(t)
	got, err := catalogue(docs["catalogue"])
	require.NoError(t, err)
	want, err := exchange.ReadCatalogue(t.Context(), bytes.NewReader(docs["catalogue"]))
	require.NoError(t, err)
	assert.Equal(t, want, got)
	for _, bad := range []string{"", "family,size\na", "family,seat\na,1", "family,stack_mm\na,b", `a"b`} {
		_, err := catalogue([]byte(bad))
		assert.Error(t, err, bad)
	}
	for _, kind := range []string{"bike", "head"} {
		s := start(t, kind)
		data, err := s.Document(ParseState(s, ""))
		require.NoError(t, err)
		var b bytes.Buffer
		const note = "as the controls of the page were set"
		if kind == "bike" {
			v, said, err := exchange.Read[fitgeom.Build](t.Context(), bytes.NewReader(data))
			require.NoError(t, err)
			assert.Equal(t, note, said)
			require.NoError(t, exchange.Write(t.Context(), &b, v, note))
		} else {
			v, said, err := exchange.Read[contact.Position](t.Context(), bytes.NewReader(data))
			require.NoError(t, err)
			assert.Equal(t, note, said)
			require.NoError(t, exchange.Write(t.Context(), &b, v, note))
		}
		assert.Equal(t, b.String(), string(data))
	}
}

// Frames are judged by the tolerances of the request: what is asked twice as loosely is what
// the control for it makes of what is usual.
func TestHeadKeeps(t *testing.T) {
	docs := choose(t)
	usual, err := Begin("head", docs)
	require.NoError(t, err)
	docs["request"] = keeping(t, loosened(usual.(*head).target, nil, 2))
	loose, err := Begin("head", docs)
	require.NoError(t, err)
	by := func(s Scene, query string) (all [2]string) {
		state := ParseState(s, query)
		all[0], err = s.Now(t.Context(), state)
		require.NoError(t, err)
		all[1], err = s.Settled(t.Context(), state)
		require.NoError(t, err)
		return all
	}
	assert.Equal(t, by(usual, "tolerance=2"), by(loose, ""))
	assert.NotEqual(t, by(usual, ""), by(loose, ""))
}

// A choice that is lost is told, not guessed.
func TestBeginRefuses(t *testing.T) {
	for kind, docs := range map[string]Documents{"nothing": {}, "bike": {"position": []byte("{}")}, "head": {"position": file(t, "choose/position.json"), "shelf": []byte("[")}} {
		_, err := Begin(kind, docs)
		assert.Error(t, err)
	}
}

var cell = regexp.MustCompile(`<td>([^<]*)</td><td class="n">([^<]*)</td>`)

// cells returns the first number of each row by its name.
func cells(html string) map[string]float64 {
	all := map[string]float64{}
	for _, m := range cell.FindAllStringSubmatch(html, -1) {
		if v, err := strconv.ParseFloat(m[2], 64); err == nil {
			if _, ok := all[m[1]]; !ok {
				all[m[1]] = v
			}
		}
	}
	return all
}

// The measures of a bike are those of the build that comes out as a document.
func TestBikeIsItsDocument(t *testing.T) {
	s := start(t, "bike")
	state := ParseState(s, "stem=1&spacers=10&front=360&rearsag=20")
	html, err := s.Now(t.Context(), state)
	require.NoError(t, err)
	data, err := s.Document(state)
	require.NoError(t, err)
	b, _, err := exchange.Read[fitgeom.Build](t.Context(), strings.NewReader(string(data)))
	require.NoError(t, err)
	p, err := b.Position()
	require.NoError(t, err)
	rows := cells(html)
	for name, m := range map[string]convert.Measure{"saddle height": convert.SaddleHeight, "bar stack": convert.BarStack, "reach grips": convert.ReachGrips} {
		v, err := m.Of(p, convert.Basis{})
		require.NoError(t, err)
		assert.InDelta(t, v, rows[name], 0.051, name)
	}
}

// The best build that the page shows stands within what was asked, at the wanted place of the
// saddle with its cranks, and comes first once nothing moves.
func TestBikeBegins(t *testing.T) {
	docs, p := trail(t)
	asked, _, err := exchange.Read[request.Request](t.Context(), bytes.NewReader(file(t, "trail/request.json")))
	require.NoError(t, err)
	p.Keep, p.Wheels = asked.Keep, asked.Wheels
	docs["request"] = keeping(t, p.Keep)
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	best := r.Candidates[0]
	require.NotZero(t, best.SaddleMoved.Crank)
	docs["build"], err = written("build", best.Build)
	require.NoError(t, err)
	s, err := Begin("bike", docs)
	require.NoError(t, err)
	html, err := s.Now(t.Context(), ParseState(s, ""))
	require.NoError(t, err)
	assert.Contains(t, html, "Every place is within its tolerance")
	html, err = s.Settled(t.Context(), ParseState(s, ""))
	require.NoError(t, err)
	assert.Contains(t, html, draw.Fixed(best.Score(), 2))
}

// Hands that are moved move the frame that the rider is on as far, at the same front end.
func TestHeadFollowsHands(t *testing.T) {
	s := start(t, "head")
	place := func(query string) region.HeadPlace {
		at, err := s.(*head).now(s.(*head).moved(ParseState(s, query)), ParseState(s, query))
		require.NoError(t, err)
		return at
	}
	a, b := place(""), place("handsup=12&handsforward=-7")
	assert.InDelta(t, -7, b.Reach-a.Reach, 1e-9)
	assert.InDelta(t, 12, b.Stack-a.Stack, 1e-9)
	// The region that is moved is that of the position that is moved.
	h := s.(*head)
	state := ParseState(s, "handsup=12&handsforward=-7")
	r, err := h.region(t.Context(), 1)
	require.NoError(t, err)
	moved, err := region.New(t.Context(), h.moved(state), h.bounds, loosened(h.moved(state), nil, 1))
	require.NoError(t, err)
	was, ok := r.Best()
	is, okMoved := moved.Best()
	assert.True(t, ok && okMoved)
	assert.InDelta(t, was.Reach-7, is.Reach, 0.01)
	assert.InDelta(t, was.Stack+12, is.Stack, 0.01)
	assert.InDelta(t, r.Area(), moved.Area(), 0.01*r.Area())
	if _, err := s.Now(t.Context(), ParseState(s, "handsup=60&handsforward=60&angle=65&spacers=0")); err != nil {
		var fault *contact.Error
		assert.True(t, errors.As(err, &fault))
	}
}

// A scale says the same with another zero, another unit and the other sense.
func TestScales(t *testing.T) {
	head := "scale,moves,way,mm_per_mark,then,now\n"
	p, err := read[contact.Position](Documents{"position": file(t, "adjustable/position.json")}, "position")
	require.NoError(t, err)
	on := func(text string) contact.Position {
		all, err := ReadScales([]byte(head + text))
		require.NoError(t, err)
		return OnScales(p, all)
	}
	want := on("a,saddle,up,1,400,412\nb,bar,forward,1,10,4\n")
	assert.Equal(t, want, on("a,saddle,down,10,100.2,99\nb,bar,back,0.5,-6,6\n"))
	assert.Equal(t, want, on("b,bar,forward,1,10,4\na,saddle,up,1,400,405\na2,saddle,up,1,0,7\n"))
	was, _ := p.At(contact.HoodsLeft)
	is, _ := want.At(contact.HoodsLeft)
	assert.InDelta(t, was.X-6, is.X, 1e-9)
	for text, fault := range map[string]string{
		"a,seat,up,1,0,0\n": `line 2: moves "seat"`, "a,bar,left,1,0,0\n": `way "left"`, "a,bar,up,0,0,0\n": "0.01 to 100", "a,bar,up,1,NaN,0\n": "then", "a,bar,up,1,0\n": "5 cells: want 6", "": "missing: want a row",
		"a,bar,up,1,0,0\na,bar,up,1,0,0\n": "line 3: scale \"a\": want each scale once; the first is in line 2",
		"a,bar,up,1,0,301\n":               "line 2: now \"301\": want a number that moves the bar by at most 300 mm",
	} {
		_, err := ReadScales([]byte(head + text))
		assert.ErrorContains(t, err, fault)
	}
	_, err = ReadScales([]byte("a,b\n"))
	assert.ErrorContains(t, err, "line 1")
}

func BenchmarkNow(b *testing.B) {
	for kind := range scenes {
		s := start(b, kind)
		b.Run(kind, func(b *testing.B) {
			for b.Loop() {
				_, err := s.Now(b.Context(), ParseState(s, ""))
				require.NoError(b, err)
			}
		})
		b.Run(kind+" settled", func(b *testing.B) {
			for b.Loop() {
				_, err := s.Settled(b.Context(), ParseState(s, ""))
				require.NoError(b, err)
			}
		})
	}
}
