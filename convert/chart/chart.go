package chart

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/work"
)

// A Chart is what is printed for one size of a frame: some of its dimensions, rounded,
// and perhaps one of them wrong.
type Chart struct {
	// Entries lists the dimensions. If a dimension is stated twice, both values must
	// agree.
	Entries []Entry `json:"entries"`
	// Rounding is what lengths and angles are rounded to, such as 1 mm and 0.5 degrees;
	// neither may be 0.
	Rounding
	// SeatAngleHeight is the height above the bottom bracket at which the effective seat
	// angle is taken. Zero: at the stack.
	SeatAngleHeight float64 `json:"seat_angle_height_mm,omitzero" length:"300 to 900" zero:"at the stack"`
	// EqualWheels says that both wheels have the same radius, whatever it is.
	EqualWheels bool `json:"equal_wheels"`
	// SeatTubeCentred says that the seat tube's axis passes through the bottom bracket.
	SeatTubeCentred bool `json:"seat_tube_centred"`
}

// An Entry is one dimension as a chart has it.
type Entry struct {
	Dimension Dimension
	// Value is in mm or degrees.
	Value float64
	// Step is what this number is rounded to, as LengthStep. Zero: the chart's Rounding.
	Step float64
	// Sigma is the standard uncertainty of the number beside its rounding, as of one that
	// was measured: at most 20 mm or 2 degrees. Zero: rounding is all.
	Sigma float64
	// Together names the occasion of a number, such as "height gauge", if it shares an error
	// with other numbers: that of the gauge's foot. It is empty for a number with errors of
	// its own.
	Together string
	// Common is the standard uncertainty of the error that entries with the same Together
	// share, which makes the numbers of all of them larger or all smaller: at most 20 mm or
	// 2 degrees. It comes on top of Sigma. It is 0 where Together is empty.
	Common float64
}

// A Solution is what follows from a chart.
type Solution struct {
	// Values lists every dimension that the chart determines, in the order of their
	// constants.
	Values []Value `json:"values"`
	// Checks has one element for each of Chart.Entries, in their order.
	Checks []convert.Check `json:"checks,omitempty"`
	// Chi2, Redundant, Consistent and Suspects are as in [convert.Solution]; readings are
	// Chart.Entries. Among more than 250 entries no suspect is looked for.
	Chi2       float64           `json:"chi2"`
	Redundant  int               `json:"redundant"`
	Consistent bool              `json:"consistent"`
	Suspects   []contact.Suspect `json:"suspects,omitempty"`
	// Free lists what the chart leaves undetermined of the dimensions that it concerns.
	Free []Freedom `json:"free,omitempty"`
}

// A Value is a dimension that follows from a chart.
type Value struct {
	Dimension Dimension
	// Value is in mm or degrees, and Sigma its standard uncertainty from rounding and from
	// what the entries state.
	Value, Sigma float64
	// Effects is what one standard uncertainty of each error does to Value: of the error of
	// each entry's own, in their order, and then of each that entries share, in the order of
	// their first entries. Their squares add up to that of Sigma.
	Effects []float64
	// Doubtful says that the value stands on a contradiction. Its uncertainty is then not
	// known: Sigma is 0, and there are no Effects.
	Doubtful bool
}

// A Freedom is one way in which frames of the same chart may differ.
type Freedom struct {
	// Dimensions lists what changes together.
	Dimensions []Dimension `json:"dimensions"`
	// Settle lists dimensions that would settle it if stated.
	Settle []Dimension `json:"settle,omitempty"`
}

// String says what is open and what would settle it.
func (g Freedom) String() string { return lsq.Undetermined(g.Dimensions, "open", g.Settle) }

// Get returns a dimension in mm or degrees and its standard uncertainty, and whether the
// chart determines it. The uncertainty is 0 if the value is doubtful.
func (c Solution) Get(d Dimension) (value, sigma float64, ok bool) {
	for _, k := range c.Values {
		if k.Dimension == d {
			return k.Value, k.Sigma, true
		}
	}
	return 0, 0, false
}

// Geometry returns the frame's side view; false if the chart does not determine
// stack, reach and both angles with the seat tube's offset. Its axles are stated if
// the chart determines all that they need.
func (c Solution) Geometry() (Geometry, bool) {
	get := func(to *float64, d Dimension) bool {
		v, _, ok := c.Get(d)
		*to = v
		return ok
	}
	var g Geometry
	ok := get(&g.Stack, Stack)
	ok = get(&g.Reach, Reach) && ok
	ok = get(&g.HeadAngle, HeadAngle) && ok
	ok = get(&g.SeatAngle, SeatAngle) && ok
	ok = get(&g.SeatOffset, SeatOffset) && ok
	if !ok {
		return Geometry{}, false
	}
	var a Axles
	all := get(&a.Chainstay, Chainstay)
	all = get(&a.Drop, Drop) && all
	all = get(&a.ForkOffset, ForkOffset) && all
	all = get(&a.FrontRadius, FrontRadius) && all
	all = get(&a.RearRadius, RearRadius) && all
	if all {
		g.Axles = a
	}
	return g, true
}

// Validate reports what is wrong with the numbers of a chart one by one:
// [contact.ErrRange], or [contact.ErrUnit] where another unit explains it;
// [contact.ErrUnknown] for dimensions that do not exist; [contact.ErrMissing] for
// an empty chart and a rounding that is not given; [contact.ErrConflict] for a
// dimension with another value than the first that is stated; and more than 40 different
// Together.
func (c Chart) Validate() error { return c.validate(nil) }

func (c *Chart) validate(m *work.Meter) error {
	var f fault.List
	if len(c.Entries) == 0 {
		f.Add("entries", "", "at least one dimension", contact.ErrMissing)
	}
	for _, step := range [...]struct {
		path string
		v    float64
	}{{"length_step_mm", c.LengthStep}, {"angle_step_deg", c.AngleStep}} {
		if step.v == 0 {
			f.Add(step.path, "", "what numbers are rounded to", contact.ErrMissing)
		}
	}
	chartFields.Check(&f, c)
	var first [dimensionCount]*Entry // that states it
	shared := map[string]bool{"": true}
	for i := 0; i < len(c.Entries) && m.Do(1) && !f.Full(); i++ {
		shared[c.Entries[i].Together] = true
		if err := c.Entries[i].validate(&first); err != nil {
			f.In(fault.At("entries", i), err)
		}
	}
	if n := len(shared) - 1; n > mostShared {
		f.Add("entries", strconv.Itoa(n)+" different together", "at most "+strconv.Itoa(mostShared), contact.ErrRange)
	}
	return f.Err()
}

// mostShared is how many errors the entries of a chart may share.
const mostShared = 40

var chartFields = field.New[Chart]()

// validate reports the faults of an entry. First holds those before it, one for each
// dimension, and then this one too.
func (e *Entry) validate(first *[dimensionCount]*Entry) error {
	if err := dimensionNames.Check("dimension", e.Dimension); err != nil {
		return err
	}
	var f fault.List
	k, value, step, sigma, most := &dimensions[e.Dimension], "value_mm", "step_mm", "sigma_mm", 20.0
	if k.angle {
		value, step, sigma, most = "value_deg", "step_deg", "sigma_deg", 2
	}
	if !k.angle && k.lo > 0 {
		f.Length(value, e.Value, k.lo, k.hi)
	} else {
		f.Range(value, e.Value, k.lo, k.hi, e.Dimension.Unit())
	}
	f.Optional(step, e.Step, 0, most, e.Dimension.Unit())
	f.Optional(sigma, e.Sigma, 0, most, e.Dimension.Unit())
	f.Together(e.Together, e.Common, 0.001, most, e.Dimension.Unit())
	switch other := first[e.Dimension]; {
	case other == nil:
		first[e.Dimension] = e
	case other.Value != e.Value:
		f.Add(value, fmt.Sprintf("%v and %v", other.Value, e.Value), "one value for "+k.name, contact.ErrConflict)
	}
	return f.Err()
}

// Solve finds every dimension that follows from a chart, by weighted least squares, with
// its uncertainty from rounding. It tells how each stated one agrees with the others, and
// which could be wrong, by which usual slips, if they cannot all be true. Rounding counts
// as step/√12 (JCGM 100:2008, 4.3.7), and with the root of both squares where an entry
// states its Sigma. What entries share counts as one more unknown.
//
// A chart that contradicts itself or leaves something free is not an error: the Solution
// says so. Faults are those of [Chart.Validate], and [contact.ErrConflict] where no frame
// comes near the chart.
func (c Chart) Solve() (Solution, error) {
	if err := c.Validate(); err != nil {
		return Solution{}, err
	}
	p := newChartProblem(&c)
	fit := p.fit(p.start)
	if !fit.Converged {
		return Solution{}, &contact.Error{Path: "entries", Want: "dimensions that some frame comes near", Class: contact.ErrConflict}
	}
	v := fit.Verdict(p.sigma)
	wrong := p.wrong(fit)
	done := Solution{Chi2: v.Chi2, Redundant: v.Redundant, Consistent: v.Consistent && len(wrong.Suspects) == 0, Suspects: wrong.Suspects}
	for _, c := range v.Checks {
		done.Checks = append(done.Checks, convert.Check(c))
	}
	p.place(fit.X)
	for _, way := range fit.Free {
		done.Free = append(done.Free, p.gap(way))
	}
	row, effects := make([]float64, len(fit.X)), make([]float64, int(dimensionCount)*len(fit.R))
	for _, d := range Dimensions() {
		if v, known := p.value(&fit, d, row); known {
			var own []float64
			own, effects = effects[:len(fit.R):len(fit.R)], effects[len(fit.R):]
			k := Value{Dimension: d, Value: v, Doubtful: wrong.Doubtful(row)}
			if !k.Doubtful {
				k.Sigma, k.Effects = fit.Effects(own, row), own
			}
			done.Values = append(done.Values, k)
		}
	}
	return done, nil
}

// value returns a dimension, and whether the chart determines it, and fills in its
// derivatives by the unknowns.
func (p *chartProblem) value(fit *lsq.Fit, d Dimension, row []float64) (v float64, known bool) {
	clear(row)
	known = true
	v = p.side.value(d, func(k int, by float64) {
		switch n := p.number[k]; {
		case by == 0 || n == fixed:
		case n < 0:
			known = false
		default:
			row[n] += by
		}
	})
	// A dimension is known if no free direction changes it.
	for _, way := range fit.Free {
		change := 0.0
		for j, by := range row {
			change += by * way[j]
		}
		known = known && math.Abs(change) < 1e-6
	}
	return v, known
}

const (
	absent = -1 // no stated dimension speaks of the parameter
	fixed  = -2 // the chart says that it is 0
)

// A chartProblem is a chart as equations in the numbers of a side view.
type chartProblem struct {
	chart  *Chart
	side   side
	start  []float64
	sigma  []float64
	number [parameterCount]int // place of a parameter among the unknowns, absent or fixed
	common []int               // of each entry, the place of the error that it shares; -1: none
	errors []int               // the places of these
}

func newChartProblem(c *Chart) *chartProblem {
	p := &chartProblem{chart: c, start: make([]float64, 0, parameterCount), sigma: make([]float64, len(c.Entries))}
	p.side = newSide(usualFrame, c.SeatAngleHeight)
	for k := range p.number {
		p.number[k] = absent
	}
	if c.SeatTubeCentred {
		p.number[pSeatOffset] = fixed
	}
	var speaks [parameterCount]bool
	for i, s := range c.Entries {
		p.side.value(s.Dimension, func(k int, by float64) { speaks[k] = true })
		p.sigma[i] = c.sigma(i)
	}
	for k, v := range usualFrame {
		switch {
		case !speaks[k] || p.number[k] == fixed:
		case k == pRear && c.EqualWheels && p.number[pFront] >= 0:
			p.number[k] = p.number[pFront]
		default:
			p.number[k] = len(p.start)
			p.start = append(p.start, v)
		}
	}
	if c.EqualWheels { // what is said of one wheel is said of both
		n := max(p.number[pFront], p.number[pRear])
		p.number[pFront], p.number[pRear] = n, n
	}
	p.common, p.errors = lsq.Shared(&p.start, len(c.Entries), func(i int) string { return c.Entries[i].Together })
	return p
}

func (p *chartProblem) place(x []float64) {
	v := usualFrame
	for k, n := range p.number {
		if n >= 0 {
			v[k] = x[n]
		}
	}
	if p.chart.EqualWheels {
		v[pRear] = v[pFront]
	}
	p.side = newSide(v, p.chart.SeatAngleHeight)
}

func (p *chartProblem) model(x, r, jac []float64) {
	p.place(x)
	n := len(x)
	for i, s := range p.chart.Entries {
		row := jac[i*n : (i+1)*n]
		scale := 1 / p.sigma[i]
		v := p.side.value(s.Dimension, func(k int, by float64) {
			if m := p.number[k]; m >= 0 {
				row[m] += by * scale
			}
		})
		if e := p.common[i]; e >= 0 {
			v += s.Common * x[e]
			row[e] = s.Common * scale
		}
		r[i] = (v - s.Value) * scale
	}
	for i, e := range p.errors {
		k := len(p.chart.Entries) + i
		r[k], jac[k*n+e] = x[e], 1
	}
}

// gap describes a free direction and the dimensions that it would change.
func (p *chartProblem) gap(way []float64) Freedom {
	var g Freedom
	for k, n := range p.number {
		if n >= 0 && way[n] != 0 && !(k == pRear && n == p.number[pFront]) {
			g.Dimensions = append(g.Dimensions, parameterNames[k])
		}
	}
	for _, d := range Dimensions() {
		change, known := 0.0, true
		p.side.value(d, func(k int, by float64) {
			switch n := p.number[k]; {
			case by == 0 || n == fixed:
			case n < 0:
				known = false
			default:
				change += by * way[n]
			}
		})
		if known && math.Abs(change) > 1e-6 && !slices.ContainsFunc(p.chart.Entries, func(s Entry) bool { return s.Dimension == d }) {
			g.Settle = append(g.Settle, d)
		}
	}
	return g
}
