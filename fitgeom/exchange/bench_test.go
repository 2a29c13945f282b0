package exchange_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/stretchr/testify/require"
)

// The yardsticks are the standard library's readers, which let pass what these
// do not: encoding/csv with ReuseRecord and strconv.ParseFloat of every number, and
// encoding/json into the same structs.

var benchCatalogue = sync.OnceValue(func() string {
	var b bytes.Buffer
	if err := exchange.WriteCatalogue(context.Background(), &b, catalogue(100_000, 1)); err != nil {
		panic(err)
	}
	return b.String()
})

func BenchmarkReadCatalogue(b *testing.B) {
	text := benchCatalogue()
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		sizes, err := exchange.ReadCatalogue(b.Context(), strings.NewReader(text))
		require.NoError(b, err)
		require.Len(b, sizes, 100_000)
	}
}

func BenchmarkBareCSV(b *testing.B) {
	text := benchCatalogue()
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		in := csv.NewReader(strings.NewReader(text))
		in.ReuseRecord = true
		_, err := in.Read()
		require.NoError(b, err)
		rows, sum := 0, 0.0
		for {
			row, err := in.Read()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(b, err)
			for _, cell := range row[2:] {
				if cell == "" {
					continue
				}
				v, err := strconv.ParseFloat(cell, 64)
				require.NoError(b, err)
				sum += v
			}
			rows++
		}
		require.Equal(b, 100_000, rows)
	}
}

// benchPositions is 10,000 positions of every site that a survey may know.
var benchPositions = sync.OnceValue(func() []byte {
	d := newDice(1)
	all := make([]contact.Position, 10_000)
	for i := range all {
		all[i] = d.position()
	}
	var b bytes.Buffer
	if err := exchange.Write(context.Background(), &b, all, ""); err != nil {
		panic(err)
	}
	return b.Bytes()
})

func BenchmarkReadPositions(b *testing.B) {
	data := benchPositions()
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		got, _, err := exchange.Read[[]contact.Position](b.Context(), bytes.NewReader(data))
		require.NoError(b, err)
		require.Len(b, got, 10_000)
	}
}

// barePositions is what a document of positions has.
type barePositions struct {
	Schema    string `json:"schema"`
	Version   string `json:"version"`
	Positions []struct {
		Sites map[contact.Site]struct {
			At       *[3]float64       `json:"at_mm"`
			Attitude *contact.Attitude `json:"attitude"`
		} `json:"sites"`
	} `json:"positions"`
}

func BenchmarkBareJSON(b *testing.B) {
	data := benchPositions()
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		var got barePositions
		require.NoError(b, json.Unmarshal(data, &got))
		require.Len(b, got.Positions, 10_000)
	}
}

func BenchmarkWritePositions(b *testing.B) {
	all, _, err := exchange.Read[[]contact.Position](b.Context(), bytes.NewReader(benchPositions()))
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		require.NoError(b, exchange.Write(b.Context(), io.Discard, all, ""))
	}
}

// Each ten times the size: the cost is to grow as much.
func BenchmarkHostile(b *testing.B) {
	const head = `{"schema":"fitgeom/positions","version":"1.0","positions":[`
	for _, n := range []int{5_000, 50_000} {
		for name, item := range map[string]string{
			"wrong values": `{"sites":{"hoods_left":{"at_mm":[9e9,0,0]}}},`,
			"wrong kinds":  `[],`,
		} {
			text := head + strings.Repeat(item, n) + `{"sites":{}}]}`
			b.Run(fmt.Sprint(name, " ", n), func(b *testing.B) {
				for b.Loop() {
					_, _, err := exchange.Read[[]contact.Position](b.Context(), strings.NewReader(text))
					require.Error(b, err)
				}
			})
		}
	}
}
