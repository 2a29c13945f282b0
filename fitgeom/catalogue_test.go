package fitgeom_test

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// table writes sizes as ReadCatalogue reads them.
func table(sizes []fitgeom.Size) string {
	var b strings.Builder
	b.WriteString("family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,chainstay_mm,bb_drop_mm,fork_offset_mm,front_radius_mm,rear_radius_mm,steerer_diameter_mm,max_stack_mm,seat_tube_top_mm,post_diameter_mm,post_insertion_mm\n")
	for _, s := range sizes {
		f := s.Frame
		g := f.Geometry
		a := g.Axles
		b.WriteString(s.Family + "," + s.Label)
		for _, v := range []float64{g.Stack, g.Reach, g.HeadAngle, g.SeatAngle, a.Chainstay, a.Drop, a.ForkOffset, a.FrontRadius, a.RearRadius, f.SteererDiameter, f.MaxStack, f.SeatTubeTop, f.PostDiameter, f.PostInsertion} {
			b.WriteString("," + strconv.FormatFloat(v, 'g', -1, 64))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// What is written is read: the numbers are those that went in.
func TestReadCatalogue(t *testing.T) {
	want := inventedSizes(40, 0.1, 5)
	got, err := fitgeom.ReadCatalogue(strings.NewReader(table(want)))
	require.NoError(t, err)
	for i := range want {
		want[i].Row = i + 2
	}
	assert.Equal(t, want, got)
	// Columns in another order, an optional one left out, a comment, spaces.
	got, err = fitgeom.ReadCatalogue(strings.NewReader("\ufeffsize,family,reach_mm,stack_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_stack_mm,seat_tube_top_mm,post_diameter_mm,post_depth_mm\n# a comment\n54,\"road, all\", 385 ,560,73,73.5,28.6,55,500,27.2,\n"))
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
	if testing.Short() || !long() {
		n = 10_000
	}
	sizes := inventedSizes(n, 0.5, 6)
	rows := strings.SplitAfter(table(sizes), "\n")
	rows[17] = strings.Replace(rows[17], ",", ",,", 1)
	rows[n/2] = "road x,54,abc,0.385" + strings.Repeat(",1", 12) + "\n"
	rows[n] = rows[n-1]
	got, err := fitgeom.ReadCatalogue(strings.NewReader(strings.Join(rows, "")))
	assert.Len(t, got, n-3)
	at := map[string]error{}
	for _, f := range contact.Faults(err) {
		row, _, _ := strings.Cut(f.Path, ".")
		at[row] = f.Class
	}
	assert.Equal(t, map[string]error{"row 18": contact.ErrConflict, fmt.Sprint("row ", n/2+1): contact.ErrRange, fmt.Sprint("row ", n+1): contact.ErrConflict}, at)
	assert.ErrorContains(t, err, fmt.Sprint("the first is row ", n))
	x, err := fitgeom.NewIndex(got, invented.Shelf())
	require.NoError(t, err)
	assert.Equal(t, n-3, x.Len())
}

func TestBrokenCatalogues(t *testing.T) {
	head, row, _ := strings.Cut(table(inventedSizes(1, 0.5, 1)), "\n")
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
		"metres":             {head + "\n" + row + "road,1,0.56,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n", "row 3.frame.geometry.stack", contact.ErrUnit, 1},
		"not a number":       {head + "\n" + row + "road,1,NaN,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n", "row 3.frame.geometry.stack", contact.ErrRange, 1},
		"empty cell":         {head + "\nroad,1,,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n" + row, "row 2.stack_mm", contact.ErrMissing, 1},
		"no name":            {head + "\n,,560,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n" + row, "row 2.family", contact.ErrMissing, 1},
		"quote":              {head + "\nro\"ad,1,560,385,73,73,410,70,45,340,340,28.6,55,500,27.2,80\n" + row, "row 2", contact.ErrConflict, 1},
		"quote in the first": {"\"family\n", "row 1", contact.ErrConflict, 0},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := fitgeom.ReadCatalogue(strings.NewReader(c.text))
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
	got, err := fitgeom.ReadCatalogue(io.MultiReader(strings.NewReader(head+"\n"+row), iotest.ErrReader(broken)))
	require.ErrorIs(t, err, broken)
	assert.Len(t, got, 1)
	_, err = fitgeom.ReadCatalogue(iotest.ErrReader(broken))
	require.ErrorIs(t, err, broken)
}

func FuzzReadCatalogue(f *testing.F) {
	f.Add(table(inventedSizes(3, 0.5, 1)))
	f.Add("family,size\n\"")
	f.Fuzz(func(t *testing.T, text string) {
		sizes, err := fitgeom.ReadCatalogue(strings.NewReader(text))
		for i := range sizes {
			require.NoError(t, sizes[i].Validate())
		}
		if err != nil {
			require.NotEmpty(t, contact.Faults(err))
		}
	})
}
