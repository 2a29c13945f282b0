package browse

import (
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What one page gives away the next one reads.
func TestFeeds(t *testing.T) {
	_, pages, _ := all(t)
	for _, next := range [][3]string{
		{"reproduce", "-target", "day-evening.json"},
		{"reproduce", "-target", "survey-position.json"},
		{"reproduce", "-target", "photograph-position.json"},
		{"reproduce", "-target", "tape-position.json"},
		{"reproduce", "-target", "translate-position.json"},
		{"choose", "-target", "day-built.json"},
		{"adjustable", "-target", "adjustable-position.json"},
		{"lesson", "-target", "crank-position.json"},
		{"crank", "-target", "lesson-position.json"},
		{"crank", "-target", "reproduce-built.json"},
		{"trail", "-target", "trail-built.json"},
		{"reproduce", "-frame", "choose-frame.json"},
		{"timetrial", "-frame", "timetrial-frame.json"},
		{"timetrial", "-request", "timetrial-request.json"},
		{"trail", "-request", "trail-request.json"},
		{"reproduce", "-request", "reproduce-request.json"},
		{"choose", "-request", "choose-request.json"},
		{"adjustable", "-request", "adjustable-request.json"},
		{"day", "-request", "day-request.json"},
	} {
		program := filepath.Join(filepath.Dir(pages), "bin", next[0])
		said, err := exec.CommandContext(t.Context(), program, next[1], filepath.Join(pages, next[2])).CombinedOutput()
		if assert.NoError(t, err, "%v: %s", next, said) {
			assert.Contains(t, string(said), next[2], "the page names its file")
		}
	}
}
