package apicheck

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// frozen has the lines of the API that 1.0 promises. Nothing writes it again: what was
// promised stays, and later minor versions add files of their own.
const frozen = root + "/testdata/api/v1.0.txt"

// promised are the packages whose API stays as it is. Those that are not among them may
// change within version 1, each time with a line of the changelog; so may what a promised
// package says in their words.
var promised = []string{
	"contact", "contact/survey", "convert", "convert/chart", "fitgeom", "fitgeom/exchange",
	"fitgeom/part", "fitgeom/rank", "fitgeom/region", "fitgeom/solve",
}

// promise returns the lines that 1.0 promises, of those that list the API.
func promise(lines []string) []string {
	word := regexp.MustCompile(regexp.QuoteMeta(module) + `/[a-z0-9/]+`)
	var kept []string
	for _, l := range lines {
		if !slices.ContainsFunc(word.FindAllString(l, -1), func(path string) bool {
			return !slices.Contains(promised, strings.TrimPrefix(path, module+"/"))
		}) {
			kept = append(kept, l)
		}
	}
	return kept
}

// broken returns what breaks those who compile against the promised lines: lines that are
// gone, and lines that take something away from a type that was promised.
func broken(promised, now []string) []string {
	var bad []string
	for _, l := range promised {
		if !slices.Contains(now, l) {
			bad = append(bad, l)
		}
	}
	takes := regexp.MustCompile(`^(pkg \S+, type \w+ )(struct, not comparable|interface, .*)$`)
	for _, l := range now {
		m := takes.FindStringSubmatch(l)
		if m != nil && !slices.Contains(promised, l) && slices.ContainsFunc(promised, func(old string) bool { return strings.HasPrefix(old, m[1]) }) {
			bad = append(bad, l)
		}
	}
	return bad
}

func linesOf(t *testing.T, path string) []string {
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return strings.Split(strings.TrimSuffix(string(b), "\n"), "\n")
}

func TestFrozen(t *testing.T) {
	now := linesOf(t, golden) // which TestAPI keeps true
	if _, err := os.Stat(frozen); os.IsNotExist(err) && os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.MkdirAll(filepath.Dir(frozen), 0o777))
		require.NoError(t, os.WriteFile(frozen, []byte(strings.Join(promise(now), "\n")+"\n"), 0o666))
	}
	then := linesOf(t, frozen)
	assert.Empty(t, broken(then, now), "promised in 1.0, and removed or changed; a type may not lose what it can do either")
	for _, p := range promised {
		assert.True(t, slices.ContainsFunc(then, func(l string) bool { return strings.HasPrefix(l, "pkg "+module+"/"+p+", ") }), "nothing of %s is promised", p)
	}
}

// README says which packages are promised.
func TestPromised(t *testing.T) {
	b, err := os.ReadFile(root + "/README.md")
	require.NoError(t, err)
	_, after, ok := strings.Cut(string(b), "\n## What is promised\n")
	require.True(t, ok)
	line, _, _ := strings.Cut(after, "\n\n- ")
	var said []string
	for _, m := range regexp.MustCompile("`([a-z/]+)`").FindAllStringSubmatch(line, -1) {
		said = append(said, m[1])
	}
	slices.Sort(said)
	assert.Equal(t, promised, said)
}

func TestBroken(t *testing.T) {
	const p = "pkg example.com/fitgeom/contact, "
	then := []string{
		p + "const A Site = 1", p + "func F(float64) error", p + "type I interface", p + "type I interface, M()",
		p + "type S struct", p + "type S struct, X float64 `json:\"x\"`",
	}
	change := func(from, to string) []string {
		now := slices.Clone(then)
		if i := slices.Index(now, from); i >= 0 {
			now = slices.Delete(now, i, i+1)
		}
		if to != "" {
			now = append(now, to)
		}
		return broken(then, now)
	}
	for _, c := range []struct{ from, to string }{
		{p + "const A Site = 1", p + "const A Site = 2"},
		{p + "func F(float64) error", ""},
		{p + "func F(float64) error", p + "func F(float64, int) error"},
		{p + "type S struct, X float64 `json:\"x\"`", p + "type S struct, X float64"},
		{"", p + "type S struct, not comparable"},
		{"", p + "type I interface, N()"},
		{"", p + "type I interface, unexported methods"},
	} {
		assert.Len(t, change(c.from, c.to), 1, "%q → %q", c.from, c.to)
	}
	for _, to := range []string{
		p + "type S struct, Y float64", p + "func G()", p + "method (S) N()", p + "type T struct", p + "type T struct, not comparable",
		p + "type J interface, N()",
	} {
		assert.Empty(t, change("", to), to)
	}

	assert.Equal(t, then, promise(append(slices.Clone(then),
		p+"type S struct, Limits example.com/fitgeom/contact/rider.Limits", "pkg example.com/fitgeom/contact/rider, func F()")))
}
