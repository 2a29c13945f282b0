package published_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	folder = "../../testdata/published"
	readme = folder + "/README.md"
	mark   = "<!-- `UPDATE_GOLDEN=1 go test ./internal/published` writes what follows -->\n"
)

func TestPublished(t *testing.T) {
	paths, err := filepath.Glob(folder + "/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	var table strings.Builder
	table.WriteString("\n| check | source | state | file |\n| --- | --- | --- | --- |\n")
	var total tally
	byState := map[string]int{}
	used := map[string]bool{}
	for _, path := range paths {
		name := filepath.Base(path)
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		blocks, faults := parse(name, string(text))
		var file tally
		for _, b := range blocks {
			if operations[b.operation].do == nil {
				continue // parse has told it
			}
			count, more := b.run()
			faults = append(faults, more...)
			file.add(count)
			byState[b.state] += count.checks()
			used[b.operation] = true
			fmt.Fprintf(&table, "| `%s`: %s | %s | %s | `%s` |\n", b.operation, count.text(), b.source, b.state, name)
		}
		for _, f := range faults {
			t.Error(f)
		}
		t.Logf("published %s: %d checks, worst %.2g of its tolerance (%s)", name, file.checks(), file.worst, file.worstAt)
		total.add(file)
	}
	t.Logf("published: %d checks, by state %v", total.checks(), byState)
	if t.Failed() {
		return
	}
	for name := range operations {
		assert.True(t, used[name], "no block names operation %s", name)
	}
	tableInReadme(t, table.String())
}

// text says how many checks there are, such as "3 values, 1 refused".
func (t *tally) text() string {
	var parts []string
	for _, k := range []struct {
		n         int
		one, more string
	}{{t.values, "value", "values"}, {t.differing, "that must differ", "that must differ"}, {t.failures, "refused", "refused"}} {
		switch k.n {
		case 0:
		case 1:
			parts = append(parts, "1 "+k.one)
		default:
			parts = append(parts, fmt.Sprintf("%d %s", k.n, k.more))
		}
	}
	return strings.Join(parts, ", ")
}

// tableInReadme compares the table with the one below the mark in the folder's README, or writes it there.
func tableInReadme(t *testing.T, want string) {
	text, err := os.ReadFile(readme)
	require.NoError(t, err)
	head, got, ok := strings.Cut(string(text), mark)
	require.True(t, ok, "%s does not have the mark of the table", readme)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if got != want {
			require.NoError(t, os.WriteFile(readme, []byte(head+mark+want), 0o666))
		}
		return
	}
	assert.Equal(t, want, got, "UPDATE_GOLDEN=1 go test ./internal/published writes it")
}
