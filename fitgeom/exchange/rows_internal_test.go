package exchange

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzRows reads any text row by row. Reference: encoding/csv, as strict as it can be.
func FuzzRows(f *testing.F) {
	f.Add("a,b\r\n\"c\"\"d\",\"e\nf\"\n# comment, \"\n\n,\n\"g\r\nh\",i\r")
	f.Add("\ufeffa\"b,c\nd\n\"e\"f\ng\n\"h\n\ni")
	f.Add("\"a\nb\"c\nd\n\"\"\n\"\"\"\",\"\"\",\"\n \"x\"\n\r\r\n\r")
	f.Add("#\n\"#\"\n\"\n#\n\",\n,#")
	f.Fuzz(func(t *testing.T, text string) {
		r := newRows(newSource(t.Context(), strings.NewReader(text), "table"), len(text)+1)
		r.notes = true
		c := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
		c.FieldsPerRecord, c.Comment = -1, '#'
		for {
			want, wrong := c.Read()
			flaw, err := r.read()
			if errors.Is(wrong, io.EOF) {
				require.ErrorIs(t, err, io.EOF)
				return
			}
			require.NoError(t, err)
			broken := new(csv.ParseError)
			if errors.As(wrong, &broken) {
				require.NotNil(t, flaw)
				require.Equal(t, broken.StartLine, r.line)
				continue
			}
			require.Nil(t, flaw)
			require.Equal(t, want, r.cells)
			line, _ := c.FieldPos(0)
			require.Equal(t, line, r.line)
		}
	})
}

// A row that is too long, or has too many cells, is passed over, whatever is in it.
func TestRowLimits(t *testing.T) {
	long := strings.Repeat("a", maxRow)
	for text, want := range map[string]string{
		long[1:] + "\nb":               "aaa, b, ",
		long + "\nb":                   "more than 16 KiB, b, ",
		"b\n" + long:                   "b, more than 16 KiB, ",
		"\"\n" + long[2:] + "\"\nb":    "\naa, b, ",
		"\"\n" + long + "\"\nb":        "more than 16 KiB, b, ",
		"#" + long + long + "\nb":      "b, ",
		strings.Repeat(",", 4) + "\nb": "5 cells, b, ",
		strings.Repeat(",", 5) + "\nb": "more, b, ",
	} {
		r := newRows(newSource(t.Context(), strings.NewReader(text), "table"), 5)
		r.notes = true
		var got strings.Builder
		for {
			flaw, err := r.read()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			switch n := len(r.cells); {
			case flaw != nil:
				got.WriteString(flaw.Value)
			case n > 5:
				got.WriteString("more")
			case n > 1:
				got.WriteString("5 cells")
			default:
				got.WriteString(r.cells[0][:min(3, len(r.cells[0]))])
			}
			got.WriteString(", ")
		}
		require.Equal(t, want, got.String(), "%.20q", text)
	}
}

func TestPile(t *testing.T) {
	for _, n := range []int{0, 1, 511, 512, 513, 100_000} {
		var p pile[int]
		var want []int
		for i := range n {
			require.Equal(t, i, p.len())
			p.add(i)
			want = append(want, i)
		}
		require.True(t, slices.Equal(want, p.list(nil)), "%d", n)
	}
}
