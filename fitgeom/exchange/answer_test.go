package exchange_test

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func document[T exchange.Content](t testing.TB, v T) []byte {
	var b bytes.Buffer
	require.NoError(t, exchange.Write(t.Context(), &b, v, ""))
	return b.Bytes()
}

// asked is a request for an invented rider's position on an invented frame.
func asked() request.Request {
	return request.Request{Target: request.Target{Position: invented.Position(invented.Build())}, Frame: invented.Road54(), Shelf: invented.Shelf(), Limit: 2}
}

// What comes back is what the packages themselves say.
func TestAnswer(t *testing.T) {
	r := asked()
	p, err := r.Problem()
	require.NoError(t, err)
	want, err := p.Solve(t.Context())
	require.NoError(t, err)
	got, err := exchange.Answer(t.Context(), document(t, r))
	require.NoError(t, err)
	assert.Equal(t, string(document(t, want.Candidates)), string(got))

	r.Frame, r.Sizes = fitgeom.Frame{}, invented.Catalogue(30, func(*rand.Rand, *fitgeom.Frame) {})
	p, err = r.Problem()
	require.NoError(t, err)
	index, err := rank.NewIndex(t.Context(), r.Sizes)
	require.NoError(t, err)
	ranked, err := index.Rank(t.Context(), p)
	require.NoError(t, err)
	got, err = exchange.Answer(t.Context(), document(t, r))
	require.NoError(t, err)
	assert.Equal(t, string(document(t, []fitgeom.Candidate{ranked.Choices[0].Best, ranked.Choices[1].Best})), string(got))
}

// What is wanted comes back instead of builds, and only what there is to have.
func TestAnswerWanted(t *testing.T) {
	r := asked()
	r.Target.Position = moved(r.Target.Position)
	p, err := r.Problem()
	require.NoError(t, err)
	found, err := p.Solve(t.Context())
	require.NoError(t, err)
	best := found.Candidates[0]
	require.False(t, best.Holds())
	answered := func(r request.Request) string {
		got, err := exchange.Answer(t.Context(), document(t, r))
		require.NoError(t, err)
		return string(got)
	}
	r.Want = request.Obstacles
	obstacles, err := p.Explain(t.Context(), best)
	require.NoError(t, err)
	require.NotEmpty(t, obstacles)
	assert.Equal(t, string(document(t, obstacles)), answered(r))
	r.Want = request.Steps
	steps, err := solve.SetUp(best, convert.Basis{SeatAngle: r.Frame.Geometry.SeatAngle})
	require.NoError(t, err)
	assert.Equal(t, string(document(t, steps)), answered(r))

	r.Want = request.Ranking
	_, err = exchange.Answer(t.Context(), document(t, r))
	assert.ErrorContains(t, err, `/want ranking: want builds; obstacles or steps of one frame; a ranking of sizes`)
	r.Frame, r.Sizes = fitgeom.Frame{}, invented.Catalogue(30, func(*rand.Rand, *fitgeom.Frame) {})
	index, err := rank.NewIndex(t.Context(), r.Sizes)
	require.NoError(t, err)
	p.Frame = fitgeom.Frame{}
	ranked, err := index.Rank(t.Context(), p)
	require.NoError(t, err)
	assert.Equal(t, string(document(t, ranked)), answered(r))
}

// moved is a position with hands that no bar of the shelf reaches.
func moved(p contact.Position) contact.Position {
	for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight, contact.DropsLeft, contact.DropsRight, contact.TopsLeft, contact.TopsRight} {
		if at, ok := p.At(s); ok {
			at.Z += 150
			p.Set(s, at)
		}
	}
	return p
}

// A document that tells a position is answered with it.
func TestAnswerPosition(t *testing.T) {
	at := invented.Position(invented.Build())
	for _, doc := range [][]byte{document(t, at), document(t, request.Request{Target: request.Target{Position: at}})} {
		got, err := exchange.Answer(t.Context(), doc)
		require.NoError(t, err)
		assert.Equal(t, string(document(t, at)), string(got))
	}
}

// Faults come as a document, with pointers and lines of the request.
func TestAnswerFaults(t *testing.T) {
	sound := string(document(t, asked()))
	replace := func(old, new string) string {
		require.Contains(t, sound, old)
		return strings.Replace(sound, old, new, 1)
	}
	line := func(text, of string) int { return 1 + strings.Count(text[:strings.Index(text, of)], "\n") }
	lacking := asked()
	lacking.Target.Position.Forget(contact.HoodsLeft)
	noHoods := string(document(t, lacking))
	inches := replace(`"stack_mm": `, `"stack_mm": 0.`)
	empty := document(t, request.Request{Frame: invented.Road54()})
	for name, c := range map[string]struct {
		request string
		want    []contact.Error
	}{
		"nothing":       {"", []contact.Error{{Path: "document", Line: 1, Want: "a JSON object", Class: contact.ErrMissing}}},
		"other kind":    {string(document(t, invented.Shelf())), []contact.Error{{Path: "/schema", Line: 2, Value: `"fitgeom/shelf"`, Want: "a document that tells a position: fitgeom/position, survey, tape_survey, sheet, fix, record or request", Class: contact.ErrConflict}}},
		"a site":        {noHoods, []contact.Error{{Path: "/target/position/sites/hoods_left", Line: line(noHoods, `"sites"`), Want: "it to be known", Class: contact.ErrMissing}}},
		"not in mm":     {inches, []contact.Error{{Path: "/frame/geometry/stack_mm", Line: line(inches, `"stack_mm"`), Value: "0.56 mm", Want: "300 to 800 mm; it looks like metres", Class: contact.ErrUnit}}},
		"things amiss":  {string(empty), []contact.Error{{Path: "/target", Line: 1, Want: "a position, survey, tape_survey, sheet or fix", Class: contact.ErrMissing}, {Path: "/shelf", Line: 1, Want: "the parts that may be used", Class: contact.ErrMissing}}},
		"nowhere known": {replace(`"limit": 2`, `"limit": 2, "bike": {"crank": "crank 17"}`), nil},
	} {
		t.Run(name, func(t *testing.T) {
			response, err := exchange.Answer(t.Context(), []byte(c.request))
			require.Error(t, err)
			got, _, readErr := exchange.Read[[]contact.Error](t.Context(), bytes.NewReader(response))
			require.NoError(t, readErr)
			if c.want != nil {
				assert.Equal(t, c.want, got, "%s", response)
			}
			var same []contact.Error
			for _, f := range contact.Faults(err) {
				same = append(same, *f)
			}
			assert.Equal(t, same, got, "the error says the same")
			require.NoError(t, validate(t, response))
		})
	}
}

// When the context ends, that is the answer.
func TestAnswerEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	response, err := exchange.Answer(ctx, document(t, asked()))
	require.ErrorIs(t, err, context.Canceled)
	got, _, err := exchange.Read[[]contact.Error](t.Context(), bytes.NewReader(response))
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.ErrorIs(t, &got[0], contact.ErrBudget)
	assert.Equal(t, "more time", got[0].Want)
}

// A target is read from whatever tells one.
func TestReadTarget(t *testing.T) {
	for name, kind := range map[string]string{"position": "position", "survey": "survey", "tape_survey": "tape_survey", "sheet": "sheet", "request": "position"} {
		data, err := os.ReadFile(filepath.Join(v1, name+".json"))
		require.NoError(t, err)
		target, note, err := exchange.ReadTarget(t.Context(), bytes.NewReader(data))
		require.NoError(t, err)
		assert.Equal(t, kind, target.Kind())
		assert.Equal(t, frozenNote, note)
	}
	// A record has its position with its covariance, and so the chance of every build.
	rng := rand.New(rand.NewPCG(3, 500))
	kept := simulated(rng)
	for kept.ReferenceWidth == 0 {
		kept = simulated(rng)
	}
	ask := asked()
	var err error
	ask.Target, _, err = exchange.ReadTarget(t.Context(), bytes.NewReader(document(t, kept)))
	require.NoError(t, err)
	assert.Equal(t, "fix", ask.Target.Kind())
	p, err := ask.Problem()
	require.NoError(t, err)
	found, err := p.Solve(t.Context())
	require.NoError(t, err)
	chances, err := ask.Chances(t.Context(), found.Candidates)
	require.NoError(t, err)
	p.Target = contact.Position{}
	want, err := kept.Reproduce(t.Context(), p, solve.Errors{})
	require.NoError(t, err)
	assert.Equal(t, want.Result.Candidates, found.Candidates)
	assert.Equal(t, want.Chances, chances)
	assert.Positive(t, chances[0])
	assert.Equal(t, ask, through(t, ask))
	fixed, _, err := exchange.ReadTarget(t.Context(), bytes.NewReader(document(t, ask.Target.Fix)))
	require.NoError(t, err)
	assert.Equal(t, ask.Target, fixed)

	shelf, err := os.ReadFile(filepath.Join(v1, "shelf.json"))
	require.NoError(t, err)
	for text, want := range map[string]string{
		"{}":          "line 1: /schema missing: want a string\nline 1: /version missing: want a string\nline 1: /sites missing: want an object",
		string(shelf): `line 2: /schema "fitgeom/shelf": want a document that tells a position: fitgeom/position, survey, tape_survey, sheet, fix, record or request`,
	} {
		_, _, err := exchange.ReadTarget(t.Context(), strings.NewReader(text))
		assert.EqualError(t, err, want)
	}
}
