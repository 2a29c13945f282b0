package intervals_test

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
	"example.com/fitgeom/convert"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// A draw is one line of the programs: a bike as it is, and what was read on it.
type draw struct {
	Kind  string
	Input string
	Which int // a bike that is measured again and again; 0: of its own
	Tape  *survey.TapeSurvey
	Sheet *convert.Sheet
	At    map[string][3]float64
	// MonteCarlo is how wide the ranges of some coordinates are by a Monte Carlo of the
	// readings.
	MonteCarlo map[string]float64 `json:"monte_carlo"`
	// Degrees is the direction of the saddle.
	Degrees map[string]float64
}

// An answer is what the library says of a draw.
type answer struct {
	position contact.Position
	ranges   contact.Ranges
	free     map[contact.Coordinate]bool
	others   []contact.Position
}

func (d *draw) solve() (answer, error) {
	a := answer{free: map[contact.Coordinate]bool{}}
	switch {
	case d.Tape != nil:
		fix, err := d.Tape.Solve()
		if err != nil {
			return a, err
		}
		a.position, a.ranges, a.others = fix.Position, fix.Ranges, fix.Others
		for _, f := range fix.Free {
			for _, c := range f.Coordinates {
				if s, err := contact.ParseSite(string(c.Place)); err == nil {
					a.free[contact.Coordinate{Site: s, Axis: c.Axis}] = true
				}
			}
		}
	case d.Sheet != nil:
		sol, err := d.Sheet.Solve()
		if err != nil {
			return a, err
		}
		a.position, a.ranges, a.others = sol.Position, sol.Ranges, sol.Others
		for _, f := range sol.Free {
			for _, c := range f.Coordinates {
				a.free[c] = true
			}
		}
	}
	return a, nil
}

func number(p contact.Position, k contact.Coordinate) float64 {
	v, _ := p.At(k.Site)
	a, _ := p.Attitude(k.Site)
	return [...]float64{v.X, v.Y, v.Z, a.Tilt, a.Yaw, a.Roll}[k.Axis]
}

func (d *draw) truth(k contact.Coordinate) (float64, bool) {
	if k.Axis >= contact.AxisTilt {
		v, ok := d.Degrees[k.Axis.String()]
		return v, ok
	}
	v, ok := d.At[k.Site.String()]
	if d.Sheet != nil && k.Axis == contact.AxisY {
		// A sheet has half of the width, on both sides.
		left, right := d.At[k.Site.On(contact.Left).String()], d.At[k.Site.On(contact.Right).String()]
		return math.Copysign((left[1]-right[1])/2, v[1]), ok
	}
	return v[k.Axis], ok
}

// group names like coordinates.
func group(k contact.Coordinate) string {
	what := k.Axis.String()
	switch {
	case k.Axis == contact.AxisY:
		return "across"
	case k.Axis >= contact.AxisTilt:
		return what
	case k.Site == contact.SaddleReference:
		return "saddle " + what
	case k.Site.Group() == contact.OnSaddle:
		return "saddle's ends " + what
	case k.Site == contact.BarClamp:
		return "clamp " + what
	case k.Site.Group().Crank():
		return "pedals " + what
	default:
		return "hands " + what
	}
}

// A tally is of like coordinates of a kind of bike and an input.
type tally struct {
	draws           int // in which at least one of the coordinates has a range
	all, in, likely int // coordinates
	asked, free     int // coordinates that a Monte Carlo would put within 30 mm, and those that are free all the same
	widths          []float64
	ratios          []float64 // widths over those of a Monte Carlo
	again           map[string]*repeated
	last            *draw
}

// repeated is a coordinate of a bike that is measured again and again: how far off its
// answers are, and how wide its ranges.
type repeated struct{ off, widths []float64 }

type proof struct {
	cells map[string]*tally
	why   map[string]int
	draws int
}

func (p *proof) read(in io.Reader) error {
	lines := bufio.NewReaderSize(in, 1<<20)
	for {
		line, err := lines.ReadBytes('\n')
		if errors.Is(err, io.EOF) {
			return nil
		}
		var d draw
		if err := json.Unmarshal(line, &d); err != nil {
			return err
		}
		p.see(&d)
	}
}

func (p *proof) cell(d *draw, k contact.Coordinate) *tally {
	name := d.Input + " | " + d.Kind + " | " + group(k)
	c := p.cells[name]
	if c == nil {
		c = &tally{again: map[string]*repeated{}}
		p.cells[name] = c
	}
	return c
}

func (p *proof) see(d *draw) {
	p.draws++
	a, err := d.solve()
	if err != nil {
		f := contact.Faults(err)[0]
		path, _, _ := strings.Cut(f.Path, "[")
		p.why[d.Input+": "+path+": "+f.Want]++
		return
	}
	for k := range a.free {
		p.cell(d, k).settled(d, k, true)
	}
	for _, r := range a.ranges {
		want, ok := d.truth(r.Coordinate)
		if !ok || r.High == r.Low {
			continue
		}
		c := p.cell(d, r.Coordinate)
		c.settled(d, r.Coordinate, false)
		off, width := middle(a.position, r)-want, r.High-r.Low
		in := r.Low <= want && want <= r.High
		// Readings that tell of two positions say so, and either may be the one.
		seen := []contact.Range{r}
		for _, o := range a.others {
			// On the other side of a line a range is the other way round.
			x := number(o, r.Coordinate)
			q := contact.Range{Low: x - (r.High - middle(a.position, r)), High: x + (middle(a.position, r) - r.Low)}
			if _, ok := o.At(r.Coordinate.Site); !ok || slices.ContainsFunc(seen, func(k contact.Range) bool { return q.Low <= k.High && k.Low <= q.High }) {
				continue
			}
			seen = append(seen, q)
			width += q.High - q.Low
			if q.Low <= want && want <= q.High && !in {
				in, off = true, x-want
			}
		}
		if mc, ok := d.MonteCarlo[r.Coordinate.String()]; ok {
			c.ratios = append(c.ratios, width/mc)
		} else if d.Which > 0 {
			c.repeat(d, r, off)
		}
		if d.Which > 0 {
			continue
		}
		if c.last != d {
			c.last = d
			c.draws++
		}
		c.all++
		if in {
			c.in++
		}
		if r.Likelihood {
			c.likely++
		}
		c.widths = append(c.widths, r.High-r.Low)
	}
}

// settled counts a coordinate that is free, or not, if a Monte Carlo puts it within 30 mm:
// as far as there is none for it, all do.
func (c *tally) settled(d *draw, k contact.Coordinate, free bool) {
	if mc, ok := d.MonteCarlo[k.String()]; ok && mc > 60 {
		return
	}
	c.asked++
	if free {
		c.free++
	}
}

// middle is the most likely value of a coordinate; the middle of its range where the site
// is not in the position.
func middle(p contact.Position, r contact.Range) float64 {
	if _, ok := p.At(r.Coordinate.Site); ok {
		return number(p, r.Coordinate)
	}
	return (r.Low + r.High) / 2
}

func (c *tally) repeat(d *draw, r contact.Range, off float64) {
	name := fmt.Sprint(d.Which, r.Coordinate)
	if c.again[name] == nil {
		c.again[name] = new(repeated)
	}
	again := c.again[name]
	again.off = append(again.off, off)
	again.widths = append(again.widths, r.High-r.Low)
}

// ratio is the median of stated widths over the width that holds 95 % of a Monte Carlo: of
// the readings of a draw where there is one, and otherwise of what the answers are off for
// bikes that are measured again and again, all of them in terms of the median stated width.
func (c *tally) ratio() float64 {
	if len(c.ratios) > 0 {
		return median(c.ratios)
	}
	var off []float64
	for _, r := range c.again {
		width := median(r.widths)
		for _, v := range r.off {
			off = append(off, v/width)
		}
	}
	if len(off) < 100 {
		return math.NaN()
	}
	slices.Sort(off)
	n := float64(len(off) - 1)
	return 1 / (at(off, 0.975*n) - at(off, 0.025*n))
}

func median(all []float64) float64 {
	if len(all) == 0 {
		return math.NaN()
	}
	slices.Sort(all)
	return at(all, float64(len(all)-1)/2)
}

// at is a value between two of a sorted list.
func at(sorted []float64, i float64) float64 {
	k := min(int(i), len(sorted)-2)
	if k < 0 {
		return sorted[0]
	}
	return sorted[k] + (i-float64(k))*(sorted[k+1]-sorted[k])
}

// What `.ci/prove ranges` runs: FITGEOM_READINGS names a file that readings.py has written,
// and FITGEOM_TABLE the one for the table.
func TestRanges(t *testing.T) {
	name, table := os.Getenv("FITGEOM_READINGS"), os.Getenv("FITGEOM_TABLE")
	if name == "" {
		t.Skip("the draws are made by .ci/prove")
	}
	p := proof{cells: map[string]*tally{}, why: map[string]int{}}
	file, err := os.Open(name)
	require.NoError(t, err)
	defer file.Close()
	require.NoError(t, p.read(file))
	require.NoError(t, os.WriteFile(table, []byte(p.table(t)), 0o600))
}

// table writes a table and checks what it has to hold.
func (p *proof) table(t *testing.T) string {
	var b strings.Builder
	fmt.Fprintf(&b, "| input | kind of bike | coordinates | draws | in the 95 %% range | of the likelihood | free | width over Monte Carlo | median half-width |\n")
	fmt.Fprintf(&b, "| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n")
	for _, k := range slices.Sorted(maps.Keys(p.cells)) {
		c := p.cells[k]
		in, likely, ratio := float64(c.in)/float64(c.all), float64(c.likely)/float64(c.all), c.ratio()
		free := float64(c.free) / float64(max(1, c.asked))
		// Coordinates of one draw may go together, so that they count as one.
		least, most := 0.93, 0.975
		if likely > 0.5 {
			most = 0.985
		}
		beyond := distuv.UnitNormal.Quantile(1 - 1e-3/float64(2*len(p.cells)))
		mark := ""
		if n := float64(c.draws); in < least-beyond*math.Sqrt(least*(1-least)/n) || in > most+beyond*math.Sqrt(most*(1-most)/n) {
			mark = " !"
			assert.Fail(t, "coverage", "%s: %.1f %%", k, 100*in)
		} else if in < least || in > most {
			mark = " (by chance)"
		}
		assert.LessOrEqual(t, free, 0.01, k)
		wide := ""
		if !math.IsNaN(ratio) { // enough bikes that were measured again and again
			wide = fmt.Sprintf("%.2f", ratio)
			assert.LessOrEqual(t, ratio, 1.15, k)
		}
		fmt.Fprintf(&b, "| %s | %d | %.1f %%%s | %.1f %% | %.1f %% | %s | %.1f |\n", k, c.draws, 100*in, mark, 100*likely, 100*free, wide, median(c.widths)/2)
	}
	refused := 0
	for _, k := range slices.Sorted(maps.Keys(p.why)) {
		refused += p.why[k]
		t.Logf("%d refused: %s", p.why[k], k)
	}
	assert.Zero(t, refused)
	fmt.Fprintf(&b, "\nRefused: %d of %d.\n", refused, p.draws)
	return b.String() + "\n"
}
