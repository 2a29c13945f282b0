package design

import (
	"math"
	"slices"

	"example.com/fitgeom/internal/lp"
	"example.com/fitgeom/internal/work"
)

const (
	held = 1e-6 // by how much a wish may be missed that holds, mm or tenths of a degree
	dear = 1e4  // what a mm costs by which a wish is missed

	widest = 60.0 // the longest step, in the same units
)

// A demand is what a number shall be, and what a mm costs by which it is not.
type demand struct {
	at   number
	in   span
	cost float64
}

// A goal is a number that shall come near to a target, or, with a way, be low (1) or high
// (-1), and what a mm of that is worth.
type goal struct {
	at     number
	target float64
	cost   float64
	way    float64
}

// A course is a way from one frame to a better one: by linear programs, each around the
// frame that the last one found, within a radius in which they are true.
type course struct {
	s       *space
	box     [freeCount]span
	demands []demand
	later   []demand // what is looked at when the others have all: clearances, which take long
	goals   []goal
	whether bool // whether all that is asked is if there is a frame
	meter   *work.Meter
	solver  lp.Solver

	open  []int // the free numbers whose box leaves room
	slope [numberCount][freeCount]float64
	clear bool
	bent  view
	low   []float64 // of each step
	prog  lp.Program
	cells []float64
}

// moving is which of the free numbers a clearance can hang on: those that move an axle or
// turn the steering axis.
var moving = [freeCount]bool{
	vHead: true, vOffset: true, vDrop: true, vChainstay: true, vFront: true, vRear: true, vStem: true, vStemAngle: true,
}

// scaled is what a unit of a free number counts.
var scaled = func() (all [freeCount]float64) {
	for i, b := range basis {
		all[i] = b.is.perUnit()
	}
	return all
}()

// run goes on until no step makes the frame better. It returns by how much demands are
// missed together, mm, and whether the work was done.
func (c *course) run(x *free, at *view) (missed float64, ok bool) {
	c.open = c.open[:0]
	for i, b := range c.box {
		if x[i] = min(max(x[i], b.from), b.to); b.to > b.from {
			c.open = append(c.open, i)
		}
	}
	c.clear = false
	for _, d := range c.demands {
		c.clear = c.clear || d.at.slow()
	}
	for _, g := range c.goals {
		c.clear = c.clear || g.at.slow()
	}
	c.s.look(x, at, c.clear)
	merit := c.merit(at)
	radius, fresh := widest, false
	for range 100 {
		if len(c.open) == 0 || radius < 1e-9 {
			break
		}
		if !fresh {
			if !c.differentiate(x) {
				return 0, false
			}
			fresh = true
		}
		step, foreseen, ok := c.step(x, at, radius)
		if !ok {
			return 0, false
		}
		if !(merit-foreseen > 1e-9) || c.whether && c.told(at, merit, foreseen) {
			break
		}
		next, there, length := c.to(x, step)
		now := c.merit(&there)
		if !(now < merit) && c.bend(at, &there, step) {
			// What bends is known better now: once more around the same frame.
			if step, _, ok = c.step(x, &c.bent, radius); !ok {
				return 0, false
			}
			next, there, length = c.to(x, step)
			now = c.merit(&there)
		}
		if !(now < merit) {
			radius = min(radius, length) / 4
			continue
		}
		if merit-now > 0.7*(merit-foreseen) {
			radius = min(2*radius, widest)
		}
		*x, *at, merit, fresh = next, there, now, false
	}
	return c.missed(at), true
}

// to returns the frame after a step, and the step's longest part.
func (c *course) to(x *free, step []float64) (next free, there view, length float64) {
	next = *x
	for k, i := range c.open {
		next[i] = min(max(x[i]+step[k]/scaled[i], c.box[i].from), c.box[i].to)
		length = max(length, math.Abs(step[k]))
	}
	c.s.look(&next, &there, c.clear)
	return next, there, length
}

// bend sets what a frame's numbers would have to be for a step from there, in straight
// lines, to lead where it led; false where it led nowhere.
func (c *course) bend(at, there *view, step []float64) bool {
	c.bent = *at
	for n := range there.q {
		for k, i := range c.open {
			there.q[n] -= c.slope[n][i] * step[k]
		}
		c.bent.q[n] = there.q[n]
	}
	return !math.IsInf(c.merit(&c.bent), 1)
}

// told reports whether it is plain that a frame has all demands, or that none has.
func (c *course) told(at *view, merit, foreseen float64) bool {
	missed := c.missed(at)
	return missed <= held || missed > 1000*held && foreseen > 0.98*merit
}

// missed is by how much demands are missed together, mm.
func (c *course) missed(at *view) (sum float64) {
	for i := range c.demands {
		sum += c.demands[i].missed(at)
	}
	return sum
}

func (d *demand) missed(at *view) float64 {
	q := at.q[d.at]
	if math.IsNaN(q) {
		return 1e6
	}
	return max(0, d.in.from-q, q-d.in.to) * d.at.perUnit()
}

// merit is what all costs together.
func (c *course) merit(at *view) (sum float64) {
	for i := range c.demands {
		sum += c.demands[i].cost * c.demands[i].missed(at)
	}
	for _, g := range c.goals {
		off := at.q[g.at] - g.target
		if g.way == 0 {
			off = math.Abs(off)
		} else {
			off *= g.way
		}
		sum += g.cost * g.at.perUnit() * off
	}
	if math.IsNaN(sum) {
		return math.Inf(1)
	}
	return sum
}

// differentiate finds how fast numbers change with those that are open; false where the work
// has come to its end.
func (c *course) differentiate(x *free) bool {
	const nudge = 1e-3
	var less, more view
	for _, i := range c.open {
		h := nudge / scaled[i]
		a, b := *x, *x
		a[i] -= h
		b[i] += h
		clear := c.clear && moving[i]
		work := 20 // units, for both frames
		if clear {
			work += 600 * len(c.s.asked)
		}
		if !c.meter.Do(work) {
			return false
		}
		c.s.look(&a, &less, clear)
		c.s.look(&b, &more, clear)
		for n := range c.slope {
			if c.slope[n][i] = (more.q[n] - less.q[n]) / (2 * nudge); !(math.Abs(c.slope[n][i]) < 1e6) {
				c.slope[n][i] = 0
			}
		}
	}
	return true
}

// step returns the best step by the linear program around a frame, scaled, and the merit
// that it foresees.
func (c *course) step(x *free, at *view, radius float64) (step []float64, foreseen float64, ok bool) {
	n := len(c.open)
	columns := n + len(c.demands)
	for _, g := range c.goals {
		if g.way == 0 {
			columns++
		}
	}
	rows := n + 2*len(c.demands) + 2*(columns-n-len(c.demands))
	c.begin(columns, rows)
	p := &c.prog
	c.low = c.low[:0]
	for k, i := range c.open {
		low := max(-radius, (c.box[i].from-x[i])*scaled[i])
		high := min(radius, (c.box[i].to-x[i])*scaled[i])
		c.low = append(c.low, low)
		c.row(high - low)[k] = 1
	}
	fixed := 0.0 // of the merit
	for j := range c.demands {
		d := &c.demands[j]
		u := d.at.perUnit()
		p.Cost[n+j] = d.cost
		c.bound(d.at, 1, u*(d.in.to-at.q[d.at]), n+j)
		c.bound(d.at, -1, u*(at.q[d.at]-d.in.from), n+j)
	}
	column := n + len(c.demands)
	for _, g := range c.goals {
		u := g.at.perUnit()
		off := u * (at.q[g.at] - g.target)
		if g.way != 0 {
			fixed += g.cost * g.way * off
			for k, i := range c.open {
				by := g.cost * g.way * u * c.slope[g.at][i]
				p.Cost[k] += by
				fixed += by * c.low[k]
			}
			continue
		}
		p.Cost[column] = g.cost
		c.bound(g.at, 1, -off, column)
		c.bound(g.at, -1, off, column)
		column++
	}
	y, end := c.solver.Minimize(p)
	if end != lp.Optimal {
		return nil, 0, false
	}
	foreseen = fixed
	for k, v := range y {
		foreseen += p.Cost[k] * v
	}
	for k, low := range c.low {
		y[k] += low
	}
	return y[:n], foreseen, true
}

// bound adds that a number times a sign grows by at most so much, or else a column pays.
func (c *course) bound(at number, sign, most float64, pays int) {
	if math.IsNaN(most) || most > 1e5 {
		return
	}
	u := sign * at.perUnit()
	by := 0.0
	for k, i := range c.open {
		by += u * c.slope[at][i] * c.low[k]
	}
	row := c.row(max(most, -1e5) - by)
	for k, i := range c.open {
		row[k] = u * c.slope[at][i]
	}
	row[pays] = -1
}

// begin makes room for a program.
func (c *course) begin(columns, rows int) {
	if need := columns * (rows + 1); cap(c.cells) < need {
		c.cells = make([]float64, need)
	}
	c.cells = c.cells[:columns*(rows+1)]
	clear(c.cells)
	c.prog.Cost = c.cells[:columns]
	c.prog.Rows, c.prog.Right = c.prog.Rows[:0], c.prog.Right[:0]
}

// row adds a row to the program.
func (c *course) row(right float64) []float64 {
	n := len(c.prog.Cost)
	at := n * (1 + len(c.prog.Rows))
	row := c.cells[at : at+n : at+n]
	c.prog.Rows, c.prog.Right = append(c.prog.Rows, row), append(c.prog.Right, right)
	return row
}

// starts is where courses begin: at a usual frame, and at others that are far from it, since
// what turns can hold a hand or a saddle in more than one way.
var starts = func() (all []free) {
	for _, turned := range [...][3]float64{
		{72.5, 73.5, -6},
		{62, 64, -6},
		{80, 82, -6},
		{72.5, 60, -6},
		{72.5, 88, -6},
		{54, 73.5, -6},
		{88, 73.5, -6},
		{72.5, 73.5, 40},
		{72.5, 73.5, -45},
	} {
		var x free
		for j, b := range basis {
			x[j] = b.usual
		}
		x[vHead], x[vSeat], x[vStemAngle] = turned[0], turned[1], turned[2]
		all = append(all, x)
	}
	return all
}()

// begins returns the starts that differ within the boxes, and the first one once more, for
// when more is known of what has to be demanded.
func (c *course) begins() (all []free) {
	for _, x := range starts {
		for i, b := range c.box {
			x[i] = min(max(x[i], b.from), b.to)
		}
		if !slices.Contains(all, x) {
			all = append(all, x)
		}
	}
	return append(all, all[0])
}

// background is the dimensions and settings that follow from others, each within what
// bicycles have; rounding shall not leave them beyond.
var background = func() (all []demand) {
	for n := range ofSetting(HandsUp) {
		if r := ranges[n]; freeOf[n] == 0 {
			all = append(all, demand{n, span{r.from + held/2, r.to - held/2}, dear})
		}
	}
	return all
}()
