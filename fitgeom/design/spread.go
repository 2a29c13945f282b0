package design

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
)

// spread finds how all numbers hang on the position's coordinates that are uncertain. The
// frame stays where it is held: at ends of what is wished or in the middle of it.
func (d *Design) spread(c *course) error {
	coords := d.s.p.Covariance.Coordinates()
	if len(coords) == 0 {
		return nil
	}
	c.clear = len(d.s.asked) > 0
	if !c.differentiate(&d.x) {
		return c.meter.Err("before uncertainties were found")
	}
	hold := d.holds(c)
	d.byAll = make([][]contact.Derivative, numberCount)
	for _, at := range coords {
		by, ok := d.s.moved(at, &d.x, c.clear)
		if !ok {
			continue
		}
		step := hold.answer(&by)
		for n := range d.byAll {
			v := by[n]
			for k, i := range c.open {
				v += c.slope[n][i] * step[k]
			}
			if math.Abs(v) > 1e-8 { // less is rounding
				d.byAll[n] = append(d.byAll[n], contact.Derivative{Coordinate: at, By: v})
			}
		}
	}
	return nil
}

// moved returns how fast numbers of a frame change with a coordinate of the position; false
// where it cannot be moved.
func (s *space) moved(at contact.Coordinate, x *free, clearances bool) (by [numberCount]float64, ok bool) {
	const nudge = 1e-3
	var ends [2]view
	for i, h := range [...]float64{-nudge, nudge} {
		p := s.p
		p.Target = p.Target.Shifted(at, h)
		t, err := newSpace(&p)
		if err != nil {
			return by, false
		}
		t.look(x, &ends[i], clearances)
	}
	for n := range by {
		by[n] = (ends[1].q[n] - ends[0].q[n]) / (2 * nudge)
	}
	return by, true
}

// A hold is what holds a frame where it is: as many numbers as there are open ones. Each
// row is how a number changes with the open ones, less what other rows say of it.
type hold struct {
	rows []holdRow
	n    int
}

type holdRow struct {
	of    number // what is held; numberCount for an open number at the end of its box
	by    []float64
	from  []float64 // shares of the rows before it
	pivot int
}

// holds finds what holds a design: what is demanded exactly or just met, what is in the
// middle, and the ends of boxes.
func (d *Design) holds(c *course) *hold {
	const near = 1e-5
	h := &hold{n: len(c.open)}
	take := func(n number) {
		row := make([]float64, h.n)
		for k, i := range c.open {
			row[k] = c.slope[n][i] * n.perUnit()
		}
		h.add(n, row)
	}
	at := func(n number, end float64) bool { return math.Abs(d.view.q[n]-end)*n.perUnit() < near }
	for k, i := range c.open {
		if b := c.box[i]; (d.x[i]-b.from)*scaled[i] < near || (b.to-d.x[i])*scaled[i] < near {
			row := make([]float64, h.n)
			row[k] = 1
			h.add(numberCount, row)
		}
	}
	for _, demands := range [...][]demand{c.demands, background} {
		for _, w := range demands {
			if at(w.at, w.in.from) || at(w.at, w.in.to) {
				take(w.at)
			}
		}
	}
	for _, g := range c.goals {
		if at(g.at, g.target) {
			take(g.at)
		}
	}
	return h
}

// add adds a row unless others have all of it.
func (h *hold) add(of number, by []float64) {
	r := holdRow{of: of, by: by, pivot: -1}
	size := 0.0
	for _, v := range by {
		size = max(size, math.Abs(v))
	}
	for _, o := range h.rows {
		share := by[o.pivot] / o.by[o.pivot]
		for k := range by {
			by[k] -= share * o.by[k]
		}
		by[o.pivot] = 0
		r.from = append(r.from, share)
	}
	most := 0.0
	for k, v := range by {
		if math.Abs(v) > most {
			most, r.pivot = math.Abs(v), k
		}
	}
	if most > 1e-6*size && most > 1e-9 {
		h.rows = append(h.rows, r)
	}
}

// answer returns how the open numbers change so that what is held stays, if all numbers
// change so by themselves.
func (h *hold) answer(by *[numberCount]float64) []float64 {
	right := make([]float64, len(h.rows))
	for i, r := range h.rows {
		if r.of < numberCount {
			right[i] = -by[r.of] * r.of.perUnit()
		}
		for j, share := range r.from {
			right[i] -= share * right[j]
		}
	}
	step := make([]float64, h.n)
	for i := len(h.rows) - 1; i >= 0; i-- {
		r := &h.rows[i]
		v := right[i]
		for k, b := range r.by {
			if k != r.pivot {
				v -= b * step[k]
			}
		}
		step[r.pivot] = v / r.by[r.pivot]
	}
	return step
}

// sigma returns the standard uncertainty of a number.
func (d *Design) sigma(n number) float64 {
	v, _ := d.between(n, n)
	return math.Sqrt(max(0, v))
}

func (d *Design) between(n, m number) (float64, bool) {
	if d.byAll == nil {
		return 0, false
	}
	v, err := d.s.p.Covariance.Between(d.byAll[n], d.byAll[m])
	return v, err == nil
}

// Covariance returns the covariance of two dimensions, in their units, to first order, and
// whether it is known: the position is uncertain, and the frame holds. It makes a Design a
// [chart.Uncertain].
func (d Design) Covariance(e, f chart.Dimension) (float64, bool) {
	n, ok := Subject{Dimension: e}.number()
	m, also := Subject{Dimension: f}.number()
	if !ok || !also {
		return 0, false
	}
	return d.between(n, m)
}
