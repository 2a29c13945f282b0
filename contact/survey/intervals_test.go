package survey_test

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A draw is one line of testdata/oracle/points.py: a bike as it is, and what was read.
type draw struct {
	Kind    string
	Steer   float64
	Survey  survey.Survey
	At      map[string][3]float64
	Degrees map[string]float64
	Gross   []int // the readings that are wrong
	Frame   map[survey.Landmark][3]float64
}

// A cell is like coordinates of one kind of bike: how far each is off, over its stated
// standard uncertainty.
type cell []float64

// A proof is what came of the draws of one seed.
type proof struct {
	draws, refused int
	cells          map[string]cell
	blamed, right  map[survey.FindingKind]int
}

func (p *proof) see(d *draw) error {
	p.draws++
	fix, err := d.Survey.Solve()
	if err != nil {
		p.refused++
		return err
	}
	for _, c := range fix.Covariance.Coordinates() {
		v, _ := fix.Covariance.At(c, c)
		if v == 0 {
			continue
		}
		want, group := d.Degrees[c.Axis.String()], "directions"
		if c.Axis < contact.AxisTilt {
			want = d.At[c.Site.String()][c.Axis]
			group = c.Site.Group().String() + map[bool]string{true: ", across", false: ", forward and up"}[c.Axis == contact.AxisY]
		}
		key := d.Kind + " | " + group
		p.cells[key] = append(p.cells[key], math.Abs(number(fix.Position, c)-want)/math.Sqrt(v))
	}
	for _, f := range fix.Findings {
		ok := true
		l, r := d.Frame[f.Landmark], d.Frame[right(f.Landmark)]
		switch f.Kind {
		case survey.SetAside:
			ok = slices.Contains(d.Gross, f.Reading)
		case survey.WheelTurned:
			ok = math.Abs(d.Steer) > 0.3
		case survey.OffCentre: // by 1 mm or more, to the side that is said
			ok = (l[1]+r[1])/2*f.Amount > math.Abs(f.Amount)
		case survey.Askew: // by more than two sides of a bad frame
			ok = math.Hypot(l[0]-r[0], l[2]-r[2]) > 3
		default:
			continue
		}
		p.blamed[f.Kind]++
		if ok {
			p.right[f.Kind]++
		}
	}
	return nil
}

// What `.ci/prove intervals` runs: FITGEOM_POINTS names the files that points.py wrote,
// one a seed. Of all cells 93 to 97.5 % lie in their 95 % intervals, no survey is refused,
// and of what is blamed 95 % is to blame.
func TestIntervals(t *testing.T) {
	names := strings.Fields(os.Getenv("FITGEOM_POINTS"))
	if len(names) == 0 {
		t.Skip("the draws are made by .ci/prove")
	}
	for _, name := range names {
		p := proof{cells: map[string]cell{}, blamed: map[survey.FindingKind]int{}, right: map[survey.FindingKind]int{}}
		file, err := os.Open(name)
		require.NoError(t, err)
		for in := bufio.NewReaderSize(file, 1<<20); ; {
			line, err := in.ReadBytes('\n')
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			var d draw
			require.NoError(t, json.Unmarshal(line, &d))
			if err := p.see(&d); err != nil {
				t.Logf("refused: %v", err)
			}
		}
		require.NoError(t, file.Close())
		assert.Zero(t, p.refused)
		for _, key := range slices.Sorted(maps.Keys(p.cells)) {
			c := p.cells[key]
			slices.Sort(c)
			in, _ := slices.BinarySearch(c, 1.959964)
			n := len(c)
			share := 100 * float64(in) / float64(n)
			// How much wider all of them are than would do for 95 %.
			fmt.Printf("points: | %s | %d | %.1f | %.2f |\n", key, n, share, 1.959964/c[n*95/100])
			assert.True(t, share >= 93 && share <= 97.5, "%s: %.2f %%", key, share)
		}
		blamed, right := 0, 0
		for _, k := range slices.Sorted(maps.Keys(p.blamed)) {
			fmt.Printf("points: | blame: %v | %d | %.1f | |\n", k, p.blamed[k], 100*float64(p.right[k])/float64(p.blamed[k]))
			blamed, right = blamed+p.blamed[k], right+p.right[k]
		}
		fmt.Printf("points: | refused | %d | %d | |\n", p.draws, p.refused)
		assert.GreaterOrEqual(t, float64(right), 0.95*float64(blamed))
	}
}
