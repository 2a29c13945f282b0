package exchange_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(40, 3000, 1) }

func TestMain(m *testing.M) { trial.Main(m) }

func anyDice(t *rapid.T) dice { return newDice(rapid.Uint64().Draw(t, "seed")) }

// written is a document as Write writes it.
func written[T exchange.Content](t *rapid.T, v T, note string) string {
	var b bytes.Buffer
	require.NoError(t, exchange.Write(context.Background(), &b, v, note))
	return b.String()
}

// again writes what was read of what was written.
func again[T exchange.Content](t *rapid.T, name string, v T) {
	note := rapid.StringMatching(`[a-z é"\\<]{0,12}`).Draw(t, "note")
	text := written(t, v, note)
	schema, version, err := exchange.Kind(context.Background(), []byte(text))
	require.NoError(t, err)
	require.Equal(t, "1.0", version)
	back, n, err := exchange.Read[T](context.Background(), strings.NewReader(text))
	require.NoError(t, err, name)
	require.Equal(t, note, n)
	require.Equal(t, text, written(t, back, n), name)

	// Spaces between the tokens count for nothing, and no other kind takes it.
	spaced := strings.ReplaceAll(text, "\n", "\r\n\t ")
	same, _, err := exchange.Read[T](context.Background(), strings.NewReader(spaced))
	require.NoError(t, err)
	require.Equal(t, text, written(t, same, n))
	if _, ok := any(v).(fitgeom.Frame); !ok {
		_, _, err = exchange.Read[fitgeom.Frame](context.Background(), strings.NewReader(text))
		require.ErrorIs(t, err, contact.ErrConflict, schema)
	}
}

// Write of what Read makes of what Write wrote is the same text.
func TestPropertyWriteReadWrite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDice(t)
		again(t, "position", d.position())
		again(t, "body", d.body())
		again(t, "survey", d.survey())
		again(t, "tape", d.tape())
		again(t, "sheet", d.sheet())
		again(t, "chart", d.chart())
		again(t, "frame", d.frame())
		again(t, "sizes", d.sizes())
		again(t, "shelf", d.shelf())
		again(t, "build", d.build())
		again(t, "results", d.results())
		again(t, "positions", []contact.Position{d.position(), d.position()})
	})
}

// A table whose rows or columns stand in another order holds the same, in that order.
func TestPropertyCatalogueOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sizes := catalogue(rapid.IntRange(1, 12).Draw(t, "n"), rapid.Uint64().Draw(t, "seed"))
		var b bytes.Buffer
		require.NoError(t, exchange.WriteCatalogue(t.Context(), &b, sizes))
		want, err := exchange.ReadCatalogue(t.Context(), strings.NewReader(b.String()))
		require.NoError(t, err)
		require.Len(t, want, len(sizes))
		var c bytes.Buffer
		require.NoError(t, exchange.WriteCatalogue(t.Context(), &c, want))
		require.Equal(t, b.String(), c.String())

		cells, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		rows := rapid.Permutation(indexes(len(sizes))).Draw(t, "rows")
		columns := rapid.Permutation(indexes(len(cells[0]))).Draw(t, "columns")
		var text strings.Builder
		table := csv.NewWriter(&text)
		table.UseCRLF = true
		for i := range cells {
			from := cells[0]
			if i > 0 {
				from = cells[1+rows[i-1]]
			}
			var row []string
			for _, k := range columns {
				row = append(row, from[k])
			}
			require.NoError(t, table.Write(row))
		}
		table.Flush()
		got, err := exchange.ReadCatalogue(t.Context(), strings.NewReader(text.String()))
		require.NoError(t, err)
		require.Len(t, got, len(want))
		for i, s := range got {
			w := want[rows[i]]
			s.Row, w.Row = 0, 0
			require.Equal(t, w, s)
		}
	})
}

func indexes(n int) (all []int) {
	for i := range n {
		all = append(all, i)
	}
	return all
}

// Points come back as they were, whatever the order of the rows.
func TestPropertyPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDice(t)
		p := d.position()
		var plain contact.Position
		for s, v := range p.All() {
			plain.Set(s, v)
		}
		var b bytes.Buffer
		require.NoError(t, exchange.WritePoints(t.Context(), &b, plain))
		lines := strings.SplitAfter(b.String(), "\n")
		lines = lines[:len(lines)-1]
		text := lines[0]
		if len(lines) > 2 {
			text += strings.Join(rapid.Permutation(lines[1:]).Draw(t, "rows"), "")
		} else {
			text = b.String()
		}
		back, err := exchange.ReadPoints[contact.Position](t.Context(), strings.NewReader(text))
		require.NoError(t, err)
		require.Equal(t, plain, back)

		readings := d.survey().Readings
		b.Reset()
		if err := exchange.WritePoints(t.Context(), &b, readings); err != nil {
			return // a name that no table takes
		}
		got, err := exchange.ReadPoints[[]survey.Reading](t.Context(), strings.NewReader(b.String()))
		require.NoError(t, err)
		require.Equal(t, readings, got)
	})
}

// What a document holds is worth as much as the value itself: a sheet that was
// written and read is solved to the same position.
func TestPropertyReadIsAsGood(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyDice(t).chart()
		back, _, err := exchange.Read[chart.Chart](t.Context(), strings.NewReader(written(t, c, "")))
		require.NoError(t, err)
		want, err := c.Solve()
		got, err2 := back.Solve()
		require.Equal(t, err, err2)
		require.Equal(t, want, got)
	})
}
