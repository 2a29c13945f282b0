package fitgeom

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/rigid"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Change is how much further a limit would have to be, or another a part, than
// it is in a build.
type Change struct {
	Limit Limit
	// By is in the limit's unit, mm or degrees, and positive.
	By float64
}

// String returns the change as in "post further out by 12.0 mm".
func (c Change) String() string { return fmt.Sprintf("%v by %.1f %s", c.Limit, c.By, c.Limit.Unit()) }

// An Obstacle is why one group of parts of a build cannot hold a position.
type Obstacle struct {
	// Parts is the group: the front end, or seat, cranks and pedals.
	Parts part.Kinds
	// Alone is every change that would do by itself, with everything else set
	// as it then suits best, each the smallest that does; the smallest first, a
	// degree counting for 10 mm. Empty if no single change would do.
	Alone []Change
	// Together is the changes that would do together and add up to the least, a
	// degree counting for 10 mm. Empty if the sites cannot be brought where they are
	// wanted by any changes of this kind, such as hands wanted at unlike heights.
	Together []Change
}

// String returns the obstacle as in "post, saddle, cranks, pedals: post further
// out by 12.0 mm, or saddle further back on its rails by 3.0 mm".
func (o Obstacle) String() string {
	list := func(changes []Change, between string) string {
		var all []string
		for _, c := range changes {
			all = append(all, c.String())
		}
		return strings.Join(all, between)
	}
	switch {
	case len(o.Alone) > 0:
		return o.Parts.String() + ": " + list(o.Alone, ", or ")
	case len(o.Together) > 0:
		return o.Parts.String() + ": together " + list(o.Together, ", ")
	}
	return o.Parts.String() + ": nothing of this kind would do"
}

// Explain tells why a candidate of [Reproduce] does not hold: which limits bind, by
// how much, and the smallest changes that would free it. The arguments are those of Reproduce.
// It answers for the candidate's parts, with the shelf's spacers and the
// aero bar's steps wherever no change is needed there. A group that could hold
// with other settings is no obstacle, and a candidate that holds has none.
//
// Each amount is found by solving: the least relaxation with which all
// coordinates come within tolerance is a linear program with steps, once for the
// limit alone and again where the bar's roll bends the lines, until it is exact
// to 1e-6 mm. It is made sure on the forward map.
//
// Faults are those of [Verify].
func Explain(target contact.Position, frame Frame, shelf Shelf, opt Options, c Candidate) ([]Obstacle, error) {
	if err := Verify(target, frame, shelf, opt, c); err != nil {
		return nil, err
	}
	opt.fill(&target)
	var all []Obstacle
	for _, front := range [2]bool{true, false} {
		e := explainer{target: target, policy: opt.Crank, build: c.Build}
		holds := true
		for i, k := range opt.Keep {
			if isFront(k.Site) == front {
				e.keep = append(e.keep, k)
				holds = holds && c.Residuals[i].Within
			}
		}
		if holds {
			continue
		}
		o := Obstacle{Parts: part.Posts | part.Saddles | part.Cranks | part.Pedals}
		if front {
			o.Parts = part.Caps | part.Stems | part.Bars | part.Levers | part.AeroBars
			e.frontKnobs(shelf.stacksFor(&frame))
		} else {
			e.seatKnobs()
		}
		together, possible := e.solve(-1, false)
		if possible && len(together) == 0 {
			continue // it only stands where it is nearest, which is out of tolerance
		}
		o.Together = together
		for i := range e.knobs {
			for _, up := range [2]bool{true, false} {
				if by, ok := e.solve(i, up); ok {
					o.Alone = append(o.Alone, by...)
				}
			}
		}
		slices.SortStableFunc(o.Alone, func(a, b Change) int {
			return cmp.Compare(millionths(a.weight()), millionths(b.weight()))
		})
		all = append(all, o)
	}
	return all, nil
}

// isFront reports whether a site belongs to the front end.
func isFront(s contact.Site) bool { return s >= contact.BarClamp && s < contact.PedalLeft }

// degree is what a degree counts for, mm: a part that turns further is harder to
// come by than one that is longer.
const degree = 10

func (c Change) weight() float64 {
	if c.Limit.Unit() == "degrees" {
		return degree * c.By
	}
	return c.By
}

// A knob is a setting or a part's dimension that can be turned.
type knob struct {
	more, less Limit
	turn       func(b *Build, by float64)
	at, lo, hi float64   // where it is, and its range
	steps      []float64 // what it can be within its range, lowest first; nil for anything
	each       bool      // whether to try step by step
}

type explainer struct {
	target contact.Position
	policy CrankPolicy
	build  Build
	keep   []Keep
	knobs  []knob
}

func (e *explainer) add(k knob, steps *part.Steps) {
	if steps != nil && (steps.Step != 0 || steps.From == steps.To) {
		for i := range steps.Count() {
			k.steps = append(k.steps, steps.At(i))
		}
	}
	e.knobs = append(e.knobs, k)
}

// part adds a dimension of a part, which is what it is.
func (e *explainer) part(more, less Limit, turn func(b *Build, by float64)) {
	e.add(knob{more: more, less: less, turn: turn}, nil)
}

func (e *explainer) frontKnobs(all []stack) {
	b := &e.build
	s := &b.Settings
	stemHeight := b.stem().Height
	spacers := knob{more: SpacersUp, less: SpacersDown, turn: func(b *Build, by float64) { b.Settings.Spacers += by }, at: s.Spacers, each: true}
	for _, st := range suiting(all, &b.Frame, b.Cap.Height, stemHeight) {
		spacers.steps = append(spacers.steps, st.below)
	}
	spacers.lo, spacers.hi = spacers.steps[0], spacers.steps[len(spacers.steps)-1]
	e.add(spacers, nil)
	if b.Bar.OnePiece() {
		e.part(StemLonger, StemShorter, func(b *Build, by float64) { b.Bar.Stem.Length += by })
	} else {
		e.part(StemLonger, StemShorter, func(b *Build, by float64) { b.Stem.Length += by })
		e.add(knob{more: RollUp, less: RollDown, turn: func(b *Build, by float64) { b.Settings.BarRoll += by }, at: s.BarRoll, lo: -b.Bar.RollRange, hi: b.Bar.RollRange}, nil)
	}
	e.part(BarWider, BarNarrower, func(b *Build, by float64) {
		switch {
		case b.Bar.Drop != part.DropBar{}:
			b.Bar.Drop.Width += by
			if b.Bar.Drop.DropsWidth != 0 {
				b.Bar.Drop.DropsWidth += by
			}
		case b.Bar.Flat != part.FlatBar{}:
			b.Bar.Flat.Width += by
		default:
			b.Bar.Base.Width += by
		}
	})
	if a := &b.Aero; *a != (part.AeroBar{}) {
		aero := func(more, less Limit, at float64, st *part.Steps, turn func(b *Build, by float64)) {
			e.add(knob{more: more, less: less, turn: turn, at: at, lo: st.From, hi: st.Last(), each: more == AeroTiltUp}, st)
		}
		aero(AeroTiltUp, AeroTiltDown, s.AeroTilt, &a.Tilt, func(b *Build, by float64) { b.Settings.AeroTilt += by })
		aero(PadsUp, PadsDown, s.PadStack, &a.PadStack, func(b *Build, by float64) { b.Settings.PadStack += by })
		aero(PadsForward, PadsBack, s.PadReach, &a.PadReach, func(b *Build, by float64) { b.Settings.PadReach += by })
		aero(PadsApart, PadsTogether, s.PadWidth, &a.PadWidth, func(b *Build, by float64) { b.Settings.PadWidth += by })
		aero(ExtensionOut, ExtensionIn, s.Extension, &a.Extension, func(b *Build, by float64) { b.Settings.Extension += by })
	}
}

func (e *explainer) seatKnobs() {
	b := &e.build
	s := &b.Settings
	lo, hi := extension(&b.Frame, &b.Post)
	e.add(knob{more: PostUp, less: PostDown, turn: func(b *Build, by float64) { b.Settings.PostExtension += by }, at: s.PostExtension, lo: lo, hi: hi}, nil)
	e.add(knob{more: SaddleForward, less: SaddleBack, turn: func(b *Build, by float64) { b.Settings.RailClamp += by }, at: s.RailClamp, lo: b.Saddle.RailsFrom, hi: b.Saddle.RailsTo}, nil)
	e.part(SetbackMore, SetbackLess, func(b *Build, by float64) { b.Post.Setback += by })
	e.part(CrankLonger, CrankShorter, func(b *Build, by float64) { b.Crank.Length += by })
	e.part(CrankWider, CrankNarrower, func(b *Build, by float64) { b.Crank.QFactor += 2 * by })
	if b.Pedal != (part.Pedal{}) {
		e.part(FootHigher, FootLower, func(b *Build, by float64) { b.Pedal.Stack += by })
		e.part(StanceWider, StanceNarrower, func(b *Build, by float64) { b.Pedal.Stance += by })
	}
}

// offs appends how far every coordinate that is asked for is off, as a share of its tolerance.
func (e *explainer) offs(to []float64, b *Build) []float64 {
	p := b.position()
	saddle, _ := e.target.At(contact.SaddleReference)
	shift := e.policy.saddleShift(saddle, strokeOf(&e.target), strokeOf(&p))
	for _, k := range e.keep {
		at, _ := p.At(k.Site)
		want, _ := e.target.At(k.Site)
		if k.Site <= contact.SaddleRear {
			want = r3.Add(want, shift)
		}
		for _, c := range [...][2]float64{{at.X - want.X, k.Tolerance.X}, {at.Y - want.Y, k.Tolerance.Y}, {at.Z - want.Z, k.Tolerance.Z}} {
			if c[1] != 0 {
				to = append(to, c[0]/c[1])
			}
		}
	}
	return to
}

// tolerances returns those of the coordinates that offs tells, mm.
func (e *explainer) tolerances() (all []float64) {
	for _, k := range e.keep {
		for _, t := range [...]float64{k.Tolerance.X, k.Tolerance.Y, k.Tolerance.Z} {
			if t != 0 {
				all = append(all, t)
			}
		}
	}
	return all
}

// turned returns the build with every knob turned by so much.
func (e *explainer) turned(by []float64) Build {
	b := e.build
	for i := range e.knobs {
		e.knobs[i].turn(&b, by[i])
	}
	return b
}

// A cell is a piece of one knob's range, or of what lies beyond it. It may be
// left, over or under, as a change.
type cell struct {
	lo, hi      float64
	over, under bool
}

// piece is how many degrees the lines are nearly straight for: a site 350 mm
// away leaves them by 0.12 mm, half-way between the middle and an end.
const piece = 3

// cells returns the cells of a knob: each step by itself if it is one that is tried
// step by step, and pieces of what turns.
func (k *knob) cells(over, under bool) []cell {
	turns := k.more.Unit() == "degrees"
	if !turns && !k.each {
		return []cell{{k.lo, k.hi, over, under}}
	}
	var all []cell
	if k.each {
		for _, v := range k.steps {
			all = append(all, cell{lo: v, hi: v})
		}
	} else {
		n := max(1, math.Ceil((k.hi-k.lo)/piece))
		for i := range int(n) {
			all = append(all, cell{lo: k.lo + (k.hi-k.lo)*float64(i)/n, hi: k.lo + (k.hi-k.lo)*float64(i+1)/n})
		}
	}
	if !turns {
		if over {
			all = append(all, cell{k.hi, k.hi, true, false})
		}
		if under {
			all = append(all, cell{k.lo, k.lo, false, true})
		}
		return all
	}
	const most = 30 // degrees beyond the range
	for d := 0.0; d < most; d += piece {
		if over {
			all = append(all, cell{lo: k.hi + d, hi: k.hi + d + piece})
		}
		if under {
			all = append(all, cell{lo: k.lo - d - piece, hi: k.lo - d})
		}
	}
	return all
}

// change returns what it takes to have the knob at v, if that is beyond its range.
func (k *knob) change(v float64) (c Change, beyond bool) {
	switch {
	case v > k.hi+verifyMM:
		return Change{k.more, v - k.hi}, true
	case v < k.lo-verifyMM:
		return Change{k.less, k.lo - v}, true
	}
	return Change{}, false
}

// solve returns the least change of one knob beyond its range, up or down, with
// which everything can come within tolerance; or of all knobs together, for -1.
// There may be no such change, or none may be needed.
func (e *explainer) solve(only int, up bool) ([]Change, bool) {
	ranges := make([]cell, len(e.knobs))
	var best []Change
	least := math.Inf(1)
	var each func(i int, floor float64)
	each = func(i int, floor float64) {
		if floor > least {
			return
		}
		if i == len(e.knobs) {
			if all, cost, ok := e.within(ranges, least); ok && cost < least-1e-9 {
				best, least = all, cost
			}
			return
		}
		k := &e.knobs[i]
		for _, c := range k.cells(only < 0 || only == i && up, only < 0 || only == i && !up) {
			ranges[i] = c
			nearest, _ := k.change(max(c.lo, min(c.hi, (k.lo+k.hi)/2)))
			each(i+1, floor+nearest.weight())
		}
	}
	each(0, 0)
	return best, !math.IsInf(least, 1)
}

// within solves in cells, again and again where the lines bend; false if there
// is no answer that costs less than the limit.
func (e *explainer) within(ranges []cell, limit float64) ([]Change, float64, bool) {
	by := make([]float64, len(e.knobs))
	for i, c := range ranges {
		by[i] = (c.lo+c.hi)/2 - e.knobs[i].at
	}
	// What the first lines may be off by, in mm and in cost, and the second.
	bend := []float64{0.5, 0.02}
	for i := range 12 {
		l, b := e.linear(by, ranges), bend[min(i, 1)]
		if l.hopeless(limit+b, b) {
			return nil, 0, false
		}
		next, cost, ok := l.branch(40, math.Inf(1))
		if !ok {
			return nil, 0, false
		}
		if short := next[len(by)]; short > b || cost-short*shortfall > limit+b {
			return nil, 0, false
		}
		far := 0.0
		for k := range by {
			far = max(far, math.Abs(next[k]-by[k]))
		}
		by = next[:len(by)]
		if far < 1e-9 {
			break
		}
	}
	b := e.turned(by)
	for _, o := range e.offs(nil, &b) {
		if rigid.Beyond(o, 1) {
			return nil, 0, false // the lines bend too much
		}
	}
	var all []Change
	cost := 0.0
	for i := range e.knobs {
		if c, beyond := e.knobs[i].change(e.knobs[i].at + by[i]); beyond {
			all = append(all, c)
			cost += c.weight()
		}
	}
	return all, cost, true
}

// shortfall is what a millimetre out of tolerance costs: so much that it is
// never bought.
const shortfall = 1e4

// A linear is the problem near a place: offs there, and how they change with each knob.
type linear struct {
	knobs  []knob
	by     []float64
	offs   []float64
	slopes [][]float64 // by coordinate and knob
	ranges []cell

	tolerances []float64 // of the coordinates, mm
}

func (e *explainer) linear(by []float64, ranges []cell) *linear {
	b := e.turned(by)
	l := &linear{knobs: e.knobs, by: by, offs: e.offs(nil, &b), ranges: slices.Clone(ranges), tolerances: e.tolerances()}
	l.slopes = make([][]float64, len(l.offs))
	const h = 1e-3
	for i := range e.knobs {
		at := slices.Clone(by)
		at[i] += h
		more := e.turned(at)
		at[i] -= 2 * h
		less := e.turned(at)
		m, s := e.offs(nil, &more), e.offs(nil, &less)
		for k := range l.slopes {
			l.slopes[k] = append(l.slopes[k], (m[k]-s[k])/(2*h))
		}
	}
	return l
}

// hopeless reports whether some coordinate by itself cannot be brought within
// its tolerance and a little more, with changes that cost no more than a limit.
func (l *linear) hopeless(limit, more float64) bool {
	for c, off := range l.offs {
		lo, hi := off, off
		for i, s := range l.slopes[c] {
			k, r := &l.knobs[i], l.ranges[i]
			if r.over {
				r.hi += limit / Change{k.more, 1}.weight()
			}
			if r.under {
				r.lo -= limit / Change{k.less, 1}.weight()
			}
			if s == 0 {
				continue // an infinite range times nothing is nothing
			}
			a, b := s*(r.lo-k.at-l.by[i]), s*(r.hi-k.at-l.by[i])
			lo += min(a, b)
			hi += max(a, b)
		}
		if within := 1 + more/l.tolerances[c]; lo > within || hi < -within {
			return true
		}
	}
	return false
}

// branch solves with steps, if that costs less than the limit: as long as a knob
// stands between two steps, it is tried below and above, at most so many levels deep.
func (l *linear) branch(depth int, limit float64) ([]float64, float64, bool) {
	by, cost, ok := l.relaxed()
	if !ok || cost > limit-1e-9 {
		return nil, limit, false
	}
	for i := range l.knobs {
		k := &l.knobs[i]
		v := k.at + by[i]
		if k.each || k.steps == nil || v < k.lo-1e-7 || v > k.hi+1e-7 {
			continue
		}
		above := slices.IndexFunc(k.steps, func(s float64) bool { return s >= v-1e-7 })
		if above < 1 || k.steps[above] <= v+1e-7 || depth == 0 {
			continue
		}
		old := l.ranges[i]
		var best []float64
		for _, half := range [2]cell{{k.steps[above], old.hi, old.over, false}, {old.lo, k.steps[above-1], false, old.under}} {
			l.ranges[i] = half
			if b, c, found := l.branch(depth-1, limit); found {
				best, limit = b, c
			}
		}
		l.ranges[i] = old
		return best, limit, best != nil
	}
	return by, cost, true
}

// relaxed solves without steps. It returns by how much each knob is turned and
// last how far the worst coordinate stays out of tolerance, in mm.
//
// The unknowns are, for each knob with any play, how far it is above the lower end of
// its cell, and how far it leaves that over the upper end or under the lower one.
func (l *linear) relaxed() (by []float64, cost float64, ok bool) {
	n := len(l.knobs)
	above, over, under := make([]int, n), make([]int, n), make([]int, n)
	var p program
	column := func(cost float64) int {
		p.cost = append(p.cost, cost)
		return len(p.cost) - 1
	}
	short := column(shortfall)
	constant := 0.0
	for i := range l.knobs {
		k, c := &l.knobs[i], &l.ranges[i]
		above[i], over[i], under[i] = -1, -1, -1
		more, less := Change{k.more, 1}.weight(), Change{k.less, 1}.weight()
		slope := 0.0
		switch { // a cell beyond the range
		case c.lo >= k.hi && c.hi > k.hi:
			slope = more
			constant += more * (c.lo - k.hi)
		case c.hi <= k.lo && c.lo < k.lo:
			slope = -less
			constant += less * (k.lo - c.lo)
		}
		if c.hi > c.lo || c.over {
			above[i] = column(slope)
		}
		if c.over {
			over[i] = column(more)
		}
		if c.under {
			under[i] = column(less)
		}
	}
	width := len(p.cost)
	for i, c := range l.ranges {
		if above[i] < 0 {
			continue
		}
		row := make([]float64, width)
		row[above[i]] = 1
		if c.over {
			row[over[i]] = -1
		}
		p.rows = append(p.rows, row)
		p.right = append(p.right, c.hi-c.lo)
	}
	for c, off := range l.offs {
		more, less := make([]float64, width), make([]float64, width)
		base := off
		for i, s := range l.slopes[c] {
			base += s * (l.ranges[i].lo - l.knobs[i].at - l.by[i])
			if j := above[i]; j >= 0 {
				more[j], less[j] = s, -s
			}
			if j := under[i]; j >= 0 {
				more[j], less[j] = -s, s
			}
		}
		more[short], less[short] = -1/l.tolerances[c], -1/l.tolerances[c]
		p.rows = append(p.rows, more, less)
		p.right = append(p.right, 1-base, 1+base)
	}
	x, ok := p.solve()
	if !ok {
		return nil, 0, false
	}
	at := func(column int) float64 {
		if column < 0 {
			return 0
		}
		return x[column]
	}
	cost = constant
	for i, v := range x {
		cost += p.cost[i] * v
	}
	by = make([]float64, n+1)
	for i, c := range l.ranges {
		by[i] = c.lo + at(above[i]) - at(under[i]) - l.knobs[i].at
	}
	by[n] = x[short]
	return by, cost, true
}
