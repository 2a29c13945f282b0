package golden

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
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
		cut := Put(t, data[:min(100, len(data))])
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
	// With no Old, New is all of the file.
	Flag     string
	Data     []byte
	Old, New string
	// Exchanged is whether New becomes Old as well.
	Exchanged bool
	// Args are more arguments, or all.
	Args []string
	// Want is what the error says: the slip, and the member or the argument.
	Want string
	// Told is what the page says, where the slip may be no slip.
	Told string
}

func (s Slip) args(t *testing.T) []string {
	switch {
	case s.Flag == "":
		return s.Args
	case s.Old == "":
		return append([]string{"-" + s.Flag, Put(t, []byte(s.New))}, s.Args...)
	}
	require.Contains(t, string(s.Data), s.Old)
	pairs := []string{s.Old, s.New}
	if s.Exchanged {
		require.Contains(t, string(s.Data), s.New)
		pairs = append(pairs, s.New, s.Old)
	}
	return append([]string{"-" + s.Flag, Put(t, []byte(strings.NewReplacer(pairs...).Replace(string(s.Data))))}, s.Args...)
}

// Slips makes each slip by itself; each is refused, and the error names it, or the page does.
func Slips(t *testing.T, example func() *kit.Example, all []Slip) {
	assert.GreaterOrEqual(t, len(all), 10)
	for _, s := range all {
		if s.Told == "" {
			_ = Refused(t, example(), s.Want, s.args(t)...)
			continue
		}
		var b bytes.Buffer
		if assert.NoError(t, example().Run(s.args(t), &b), s.Told) {
			words := strings.Join(strings.Fields(strings.ReplaceAll(b.String(), `\`, "")), " ") // less the marks of Markdown
			assert.True(t, strings.Contains(words, s.Told), s.Told)
		}
	}
}
