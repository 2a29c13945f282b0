package exchange_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/trial"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// catalogue is sizes that differ.
func catalogue(n int, seed uint64) []fitgeom.Size {
	d := newDice(seed)
	all := make([]fitgeom.Size, n)
	for i := range all {
		all[i] = d.size(i)
	}
	return all
}

func table(t testing.TB, sizes []fitgeom.Size) string {
	var b bytes.Buffer
	require.NoError(t, exchange.WriteCatalogue(context.Background(), &b, sizes))
	return b.String()
}

// What is written is read: the numbers are those that went in.
func TestReadCatalogue(t *testing.T) {
	for seed := range uint64(20) {
		want := catalogue(int(seed), seed)
		got, err := exchange.ReadCatalogue(t.Context(), strings.NewReader(table(t, want)))
		require.NoError(t, err)
		for i := range want {
			want[i].Row = i + 2
		}
		require.Empty(t, cmp.Diff(want, got, cmpopts.EquateEmpty()))
	}
	// Columns in another order, an optional one left out, a comment, spaces.
	got, err := exchange.ReadCatalogue(t.Context(), strings.NewReader("\ufeffsize,family,reach_mm,stack_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm,seatpost_depth_mm\n# a comment\n54,\"road, all\", 385 ,560,73,73.5,28.6,55,500,27.2,\n"))
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.Equal(t, "road, all 54", got[0].Frame.Name)
	assert.Equal(t, 385.0, got[0].Frame.Geometry.Reach)
	assert.Equal(t, 3, got[0].Row)
}

// Of 100,000 rows three are broken: all three are reported with their rows, and
// the others can be used.
func TestBrokenRows(t *testing.T) {
	n := 100_000
	if testing.Short() || !trial.Long() {
		n = 10_000
	}
	rows := strings.SplitAfter(table(t, catalogue(n, 6)), "\n")
	columns := strings.Count(rows[0], ",") + 1
	rows[17] = strings.TrimSuffix(rows[17], "\n") + ",\n"
	rows[n/2] = "road x,54,abc,0.385" + strings.Repeat(",1", columns-4) + "\n"
	rows[n] = rows[n-1]
	got, err := exchange.ReadCatalogue(t.Context(), strings.NewReader(strings.Join(rows, "")))
	assert.Len(t, got, n-3)
	at := map[string]error{}
	for _, f := range contact.Faults(err) {
		row, _, _ := strings.Cut(f.Path, ".")
		at[row] = f.Class
	}
	assert.Equal(t, map[string]error{"row 18": contact.ErrConflict, fmt.Sprint("row ", n/2+1): contact.ErrRange, fmt.Sprint("row ", n+1): contact.ErrConflict}, at)
	assert.ErrorContains(t, err, fmt.Sprint("the first is row ", n))
	x, err := rank.NewIndex(t.Context(), got)
	require.NoError(t, err)
	assert.Equal(t, n-3, x.Len())
}

func TestBrokenCatalogues(t *testing.T) {
	const (
		head = "family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,chainstay_mm,bb_drop_mm,fork_offset_mm,front_radius_mm,rear_radius_mm,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm,seatpost_insertion_mm"
		row  = "road,54,560,385,73,73.5,410,70,45,340,340,28.6,55,500,27.2,80\n"
	)
	for name, c := range map[string]struct {
		text  string
		path  string
		class error
		sound int
	}{
		"empty":              {"", "catalogue", contact.ErrMissing, 0},
		"no column":          {strings.Replace(head, "reach_mm,", "", 1) + "\n" + row, "row 1.reach_mm", contact.ErrMissing, 0},
		"other column":       {"colour," + head + "\n", "row 1.colour", contact.ErrUnknown, 0},
		"column twice":       {"stack_mm," + head + "\n", "row 1.stack_mm", contact.ErrConflict, 0},
		"no family or size":  {"reach_mm\n1", "row 1.family", contact.ErrMissing, 0},
		"metres":             {head + "\n" + row + "road,1,0.56,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n", "row 3.stack_mm", contact.ErrUnit, 1},
		"not a number":       {head + "\n" + row + "road,1,NaN,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n", "row 3.stack_mm", contact.ErrRange, 1},
		"empty cell":         {head + "\nroad,1,,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n" + row, "row 2.stack_mm", contact.ErrMissing, 1},
		"no name":            {head + "\n,,560,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n" + row, "row 2.family", contact.ErrMissing, 1},
		"quote":              {head + "\nro\"ad,1,560,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n" + row, "row 2", contact.ErrConflict, 1},
		"quote in the first": {"\"family\n", "row 1", contact.ErrConflict, 0},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := exchange.ReadCatalogue(t.Context(), strings.NewReader(c.text))
			require.Error(t, err)
			assert.Len(t, got, c.sound)
			found := false
			for _, f := range contact.Faults(err) {
				found = found || f.Path == c.path && errors.Is(f, c.class)
			}
			assert.True(t, found, err)
		})
	}
	// A reader that fails.
	broken := errors.New("unplugged")
	got, err := exchange.ReadCatalogue(t.Context(), io.MultiReader(strings.NewReader(head+"\n"+row), iotest.ErrReader(broken)))
	require.ErrorIs(t, err, broken)
	assert.Len(t, got, 1)
	_, err = exchange.ReadCatalogue(t.Context(), iotest.ErrReader(broken))
	require.ErrorIs(t, err, broken)
}

func FuzzReadCatalogue(f *testing.F) {
	f.Add(table(f, catalogue(3, 1)))
	f.Add("family,size\n\"")
	f.Add("\ufefffamily,size,stack_mm\r\n# a\r\n\"a\"\"\",1,2\r\n")
	f.Fuzz(func(t *testing.T, text string) {
		spent := trial.Spending()
		sizes, err := exchange.ReadCatalogue(t.Context(), strings.NewReader(text))
		require.LessOrEqual(t, spent(), 20*len(text)+16<<20)
		for i := range sizes {
			require.NoError(t, sizes[i].Validate())
			require.Positive(t, sizes[i].Row)
		}
		for _, f := range rejected(t, err) {
			require.Positive(t, f.Line)
		}
		var b bytes.Buffer
		require.NoError(t, exchange.WriteCatalogue(t.Context(), &b, sizes))
		again, err := exchange.ReadCatalogue(t.Context(), &b)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(sizes, again, cmpopts.EquateEmpty(), cmpopts.IgnoreFields(fitgeom.Size{}, "Row")))
	})
}

// rejected returns the faults of an input that was refused, if it was: at least one, each with a path,
// and no more than can be read.
func rejected(t *testing.T, err error) []*contact.Error {
	faults := contact.Faults(err)
	require.Equal(t, err != nil, len(faults) > 0)
	require.LessOrEqual(t, len(faults), fault.MaxFaults+1)
	if err != nil {
		require.LessOrEqual(t, len(err.Error()), fault.MaxText+4096)
	}
	for _, f := range faults {
		require.NotEmpty(t, f.Path)
		require.NotEmpty(t, f.Want)
		require.Error(t, f.Class)
	}
	return faults
}

// The longest names that are taken are read back, even if they are quotes.
func TestLongNames(t *testing.T) {
	sizes := []fitgeom.Size{newDice(1).size(1)}
	s := &sizes[0]
	s.Family, s.Label = strings.Repeat(`"`, 2048), strings.Repeat(`"`, 2048)
	s.Frame.Name, s.Row = s.Family+" "+s.Label, 2
	got, err := exchange.ReadCatalogue(t.Context(), strings.NewReader(table(t, sizes)))
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(sizes, got))
	s.Label += `"`
	assert.ErrorContains(t, exchange.WriteCatalogue(t.Context(), io.Discard, sizes), "want a name of at most 2 KiB")
}

func TestWriteCatalogueRefuses(t *testing.T) {
	sizes := catalogue(3, 1)
	sizes[1].Family, sizes[1].Label = sizes[0].Family, sizes[0].Label
	sizes[2].Label = " a\nb"
	sizes[2].Frame.Geometry.Stack = 0.56
	var b bytes.Buffer
	err := exchange.WriteCatalogue(t.Context(), &b, sizes)
	assert.Zero(t, b.Len())
	var paths []string
	for _, f := range contact.Faults(err) {
		paths = append(paths, f.Path)
	}
	assert.Equal(t, []string{"sizes[1]", "sizes[2].frame.geometry.stack_mm", "sizes[2].label"}, paths)
}
