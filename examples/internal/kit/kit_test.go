package kit_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// example reads a file and a length.
func example(length *float64) *kit.Example {
	e := kit.New("try", func() (*page.Page, error) { return page.New("try", "Try"), nil })
	e.File("data", "data.json", "what is tried, JSON", []byte(`{"note":"ours"}`), func(string, []byte) error { return nil })
	e.Number(length, "length", 170, 100, 220, "mm", "how long it is")
	return e
}

// A flag is stated once, with a number in its range and its unit; nothing else is an argument.
func TestFlags(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a")
	require.NoError(t, os.WriteFile(file, nil, 0o666))
	for _, c := range [][2]string{
		{"-length 17", "-length: want 100 to 220 mm; it looks like centimetres"},
		{"-length 6.5", "-length: want 100 to 220 mm; it looks like inches"},
		{"-length 172,5", "-length: want 100 to 220 mm, with a decimal point and no comma"},
		{"-length 172.5mm", "-length: want 100 to 220 mm, as a number without its unit"},
		{"-length NaN", "-length: want 100 to 220 mm"},
		{"-length -170", "-length: want 100 to 220 mm"},
		{"-length 170 -length 175", "-length: want it once, and 170 was stated before"},
		{"-data=", "-data: want a name, and this is empty"},
		{"-data " + file + " -data b", "-data: want it once"},
		{"-data " + file + "x", "-data: open "},
		{"-data " + dir, "-data: read "},
		{"-o " + file, "-o " + file + ": want a folder, and this is a file"},
		{"a", `"a": want a flag before it, one of -data, -length, -o`},
		{"-longth 170", "not defined: -longth: want one of -data, -length, -o"},
		{"-length", "flag needs an argument: -length"},
	} {
		var length float64
		var out bytes.Buffer
		err := example(&length).Run(strings.Fields(c[0]), &out)
		assert.ErrorContains(t, err, c[1], c[0])
		assert.Zero(t, out.Len())
	}
}

// A page says of each input its file, its date and its note, and which numbers nobody stated.
func TestInputs(t *testing.T) {
	run := func(args ...string) string {
		var length float64
		var out bytes.Buffer
		require.NoError(t, example(&length).Run(args, &out))
		return out.String()
	}
	assert.Contains(t, run(), "| what is tried | data.json, beside the program | none | ours ")
	assert.Contains(t, run(), "How long it is, mm: 170, which nobody stated.")
	assert.Contains(t, run("-length", "175"), "How long it is, mm: 175, as the flag says.")
	file := filepath.Join(t.TempDir(), "theirs.json")
	for data, want := range map[string]string{
		`{"note":"theirs"}`: "| what is tried | theirs.json | changed 2026-05-04 | theirs ",
		`{"note":"theirs","meta":{"date":"2025-01-02"}}`: "| what is tried | theirs.json | 2025-01-02 | theirs ",
		`{"date":"2024-01-02","meta":7}`:                 "| what is tried | theirs.json | 2024-01-02 | – ",
		"no document":                                    "| what is tried | theirs.json | changed 2026-05-04 | – ",
	} {
		require.NoError(t, os.WriteFile(file, []byte(data), 0o666))
		day := time.Date(2026, 5, 4, 12, 0, 0, 0, time.Local)
		require.NoError(t, os.Chtimes(file, day, day))
		assert.Contains(t, strings.Join(strings.Fields(run("-data", file)), " "), want)
		assert.NotContains(t, run("-data", file), "invented")
	}
}
