package words_test

import (
	"regexp"
	"testing"

	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/trial"
	"example.com/fitgeom/internal/wild"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Another language needs the arguments alone, in whatever order its template has them.
func TestAnotherLanguage(t *testing.T) {
	s := words.Say(words.TooLow, words.Word("site", "hoods_left"), words.Number("by", 5.64, "mm"))
	assert.Equal(t, "hoods left 5.6 mm too low", s.String())
	assert.Equal(t, "um 5.6 mm zu tief: hoods left", s.In("um {by} zu tief: {site}"))
	by, ok := s.Argument("by")
	require.True(t, ok)
	assert.Equal(t, words.Argument{Name: "by", Value: 5.64, Unit: "mm"}, by)
	_, ok = s.Argument("angle")
	assert.False(t, ok)
	assert.Equal(t, "{angle} {", s.In("{angle} {"))
	assert.Empty(t, words.Sentence{}.String())
}

func TestWords(t *testing.T) {
	flipped := words.Say(words.HaveFlipped, words.Part("part", "stem", "stem 100 −6°"))
	assert.Equal(t, `stem "stem 100 −6°", upside down`, flipped.String())
	assert.Equal(t, "one-piece bar and stem", words.Part("part", "one-piece_bar_and_stem", "").String())
	assert.Equal(t, "-2°", words.Number("by", -2.01, "degrees").String())
	assert.Equal(t, "0 mm", words.Number("by", -0.01, "mm").String())
	assert.Equal(t, "10 + 5 mm", words.Argument{Name: "spacers", Text: "10 + 5 mm"}.String())
	assert.Equal(t, "saddle level no spacers under the stem", words.Text([]words.Sentence{words.Say(words.SaddleLevel), words.Say(words.NoSpacers)}))
}

// Each phrase has a template whose braces match, and a name.
func TestPhrases(t *testing.T) {
	hole := regexp.MustCompile(`\{[a-z]+\}`)
	for _, p := range words.Phrases() {
		assert.NotEmpty(t, p.Template(), "%v", p)
		assert.NotContains(t, hole.ReplaceAllString(p.Template(), ""), "{", "%v", p)
		assert.NotContains(t, hole.ReplaceAllString(p.Template(), ""), "}", "%v", p)
	}
	trial.Names(t, words.ParsePhrase, words.Phrases()...)
	assert.Empty(t, words.Phrase(0).Template())
	assert.Empty(t, words.Phrase(250).Template())
}

// Whatever a template is.
func FuzzSentence(f *testing.F) {
	f.Add("{by} too {low", "by", uint8(3), 1.5)
	f.Add("}{{x}", "x", uint8(200), -0.04)
	f.Fuzz(func(t *testing.T, template, name string, n uint8, v float64) {
		s := words.Say(words.Phrase(n), words.Number(name, v, "mm"), words.Part("part", name, template), words.Word("word", name))
		_ = s.In(template) + s.String() + words.Text([]words.Sentence{s, {}})
		_, _ = s.Argument(name)
		_ = words.Phrases()[int(n)%len(words.Phrases())].Template() + words.Phrase(n).Template()
		if err := wild.Names(words.ParsePhrase, name, n); err != nil {
			t.Fatal(err)
		}
	})
}
