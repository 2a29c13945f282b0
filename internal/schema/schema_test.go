package schema_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/schema"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const golden = "../../fitgeom/exchange/schema.v1.json"

// The file says what the types say.
func TestFile(t *testing.T) {
	got, err := schema.Generate("../..")
	require.NoError(t, err)
	require.True(t, json.Valid(got))
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(golden, got, 0o666))
		return // the package has the new one when it is built again
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")), "UPDATE_GOLDEN=1 go test ./internal/schema")
	require.Equal(t, string(want), string(exchange.Schema()))
}

// Lines are short, but for what cannot be broken.
func TestLines(t *testing.T) {
	for line := range strings.Lines(string(exchange.Schema())) {
		if !strings.Contains(line, `"description": `) && !strings.Contains(line, `"pattern": `) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), 121, line)
		}
	}
}
