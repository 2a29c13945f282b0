package grid_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/fitgeom/examples/internal/grid"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func read(data string) (names []string, sum float64, err error) {
	err = grid.Read([]byte(data), "name,length_mm", func(row grid.Row) error {
		v, err := row.Number(1, 0, 1000, "mm")
		names, sum = append(names, row.Cells[0]), sum+v
		return err
	})
	return names, sum, err
}

func TestRead(t *testing.T) {
	names, sum, err := read("\ufeff# a remark\nname,length_mm\na,1.5\n\"b, too\", 2\n")
	require.NoError(t, err)
	assert.Equal(t, []string{"a", "b, too"}, names)
	assert.Equal(t, 3.5, sum)
	for data, want := range map[string]string{
		"":                              "line 1: empty: want the columns name,length_mm",
		"name;length_mm\na;1\n":         "line 1: want columns separated by commas",
		"name,length\na,1\n":            `line 1: "name,length": want the columns name,length_mm`,
		"length_mm,name\n1,a\n":         `line 1: "length_mm,name": want the columns`,
		"name,length_mm\n":              "line 2: missing: want a row",
		"name,length_mm\na,1,5\n":       "line 2: 3 cells: want 2, with a decimal point",
		"name,length_mm\na,\"1,5\"\n":   `line 2: length_mm "1,5": want a number of 0 to 1000 mm`,
		"name,length_mm\na,NaN\nb,-1\n": "line 2: length_mm \"NaN\": want a number of 0 to 1000 mm\nline 3: length_mm \"-1\"",
		"name,length_mm\na,\"1\n":       "line 2",
		"name,length_mm\n" + strings.Repeat("a,1\n", 101):      "line 102: want at most 100 rows",
		"name,length_mm\na," + strings.Repeat("9", 1e5) + "\n": "line 2: length_mm",
	} {
		_, _, err := read(data)
		require.ErrorContains(t, err, want)
		assert.Less(t, len(fmt.Sprint(err)), 1000)
	}
}
