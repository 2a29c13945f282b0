package golden

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Refused runs an example with arguments that it must refuse, with an error that
// contains some text and with nothing written, and returns the error.
func Refused(t *testing.T, e *kit.Example, want string, args ...string) error {
	t.Helper()
	var b bytes.Buffer
	err := e.Run(args, &b)
	assert.ErrorContains(t, err, want)
	assert.Zero(t, b.Len(), "nothing is written")
	return err
}

// BadFiles gives each flag of an example a file that ends after 100 bytes and one that does
// not exist.
func BadFiles(t *testing.T, example func() *kit.Example) {
	for flag, data := range example().Files {
		cut := Put(t, data[:100])
		_ = Refused(t, example(), cut, "-"+flag, cut)
		nowhere := filepath.Join(t.TempDir(), "nowhere")
		_ = Refused(t, example(), nowhere, "-"+flag, nowhere)
	}
}

// Put writes a file and returns its name.
func Put(t *testing.T, data []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "put")
	require.NoError(t, os.WriteFile(file, data, 0o666))
	return file
}

// PutDocument writes a document and returns its name.
func PutDocument[T exchange.Content](t *testing.T, v T) string {
	t.Helper()
	data, err := kit.Doc[T]{Value: v}.JSON()
	require.NoError(t, err)
	return Put(t, data)
}

// Edited writes a file in which one text is replaced wherever it stands, and returns
// its name.
func Edited(t *testing.T, data []byte, old, new string) string {
	t.Helper()
	require.Contains(t, string(data), old)
	return Put(t, bytes.ReplaceAll(data, []byte(old), []byte(new)))
}

// Line says in which line of a document a text stands first: "line 5".
func Line(t *testing.T, data []byte, text string) string {
	t.Helper()
	before, _, ok := bytes.Cut(data, []byte(text))
	require.True(t, ok, text)
	return fmt.Sprintf("line %d", 1+bytes.Count(before, []byte("\n")))
}

// Read reads a document that is sound.
func Read[T exchange.Content](t *testing.T, data []byte) T {
	t.Helper()
	v, _, err := exchange.Read[T](context.Background(), bytes.NewReader(data))
	require.NoError(t, err)
	return v
}

// A Slip is what a tired person does: one text for another in a file, or other arguments.
type Slip struct {
	// Flag names the file, Data is what it has, and Old becomes New in it, wherever it stands.
	Flag     string
	Data     []byte
	Old, New string
	// Args are the arguments, if no file is changed.
	Args []string
	// Want is what the error says: the slip, and the member or the argument.
	Want string
}

// Slips makes each slip by itself; each is refused, and the error names it.
func Slips(t *testing.T, example func() *kit.Example, all []Slip) {
	assert.GreaterOrEqual(t, len(all), 10)
	for _, s := range all {
		args := s.Args
		if s.Flag != "" {
			args = []string{"-" + s.Flag, Edited(t, s.Data, s.Old, s.New)}
		}
		_ = Refused(t, example(), s.Want, args...)
	}
}
