package solve

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/search"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Change is how much further a limit would have to be, or another a part, than
// it is in a build.
type Change struct {
	Limit fitgeom.Limit
	// By is in the limit's unit, mm or degrees, and positive.
	By float64
}

// String returns the change as in "raise the seatpost by 12.0 mm".
func (c Change) String() string {
	return fmt.Sprintf("%s by %.1f %s", c.Limit.Words(), c.By, c.Limit.Unit())
}

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

// String returns the obstacle as in "seatposts, saddles, cranks, pedals: raise the
// seatpost by 12.0 mm, or slide the saddle back by 3.0 mm".
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
		return o.Parts.Words() + ": " + list(o.Alone, ", or ")
	case len(o.Together) > 0:
		return o.Parts.Words() + ": together " + list(o.Together, ", ")
	}
	return o.Parts.Words() + ": nothing of this kind would do"
}

// Explain tells why a candidate does not hold: which limits bind, by how much, and
// the smallest changes that would free it. It answers for the candidate's parts,
// with the shelf's spacers and the aero bar's steps wherever no change is needed
// there. A group that could hold with other settings is no obstacle, and a candidate
// that holds has none.
//
// Each amount is found by solving: the least relaxation with which all
// coordinates come within tolerance is a linear program with steps, once for the
// limit alone and again where the bar's rotation bends the lines, until it is exact
// to 1e-6 mm. Each result is checked against the forward map.
//
// Faults are those of [Problem.Verify].
func (p Problem) Explain(c fitgeom.Candidate) ([]Obstacle, error) {
	p.fill()
	if err := p.verify(c); err != nil {
		return nil, err
	}
	var all []Obstacle
	for _, front := range [2]bool{true, false} {
		e := explainer{target: p.Target, policy: p.Crank, build: c.Build}
		holds := true
		for i, k := range p.Keep {
			if k.Site.Group().FrontEnd() == front {
				e.keep = append(e.keep, k)
				holds = holds && c.Deviations[i].Within()
			}
		}
		if holds {
			continue
		}
		o := Obstacle{Parts: part.Seatposts | part.Saddles | part.Cranks | part.Pedals}
		if front {
			o.Parts = part.Caps | part.Stems | part.Handlebars | part.Levers | part.AeroBars
			e.frontKnobs(search.PilesOn(&p.Frame, p.Shelf.Spacers))
		} else {
			e.seatKnobs()
		}
		if e.obstacle(&o) {
			all = append(all, o)
		}
	}
	return all, nil
}

// obstacle finds the changes that would free a group; false if it needs none: it
// only stands where it is nearest, which is out of tolerance.
func (e *explainer) obstacle(o *Obstacle) bool {
	together, possible := e.solve(-1, false)
	if possible && len(together) == 0 {
		return false
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
	return true
}

func millionths(v float64) int64 { return int64(math.Round(v * 1e6)) }

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
	more, less fitgeom.Limit
	turn       func(b *fitgeom.Build, by float64)
	at, lo, hi float64   // where it is, and its range
	steps      []float64 // what it can be within its range, lowest first; nil for anything
	each       bool      // whether to try step by step
}

type explainer struct {
	target contact.Position
	policy fitgeom.CrankPolicy
	build  fitgeom.Build
	keep   []fitgeom.Keep
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
func (e *explainer) part(more, less fitgeom.Limit, turn func(b *fitgeom.Build, by float64)) {
	e.add(knob{more: more, less: less, turn: turn}, nil)
}

func (e *explainer) frontKnobs(all []search.Pile) {
	b := &e.build
	s := &b.Settings
	stem := b.Carrier()
	spacers := knob{more: fitgeom.LimitSpacersUp, less: fitgeom.LimitSpacersDown, turn: func(b *fitgeom.Build, by float64) { b.Settings.Spacers += by }, at: s.Spacers, each: true}
	for _, st := range search.Suiting(all, &b.Frame, &b.Cap, &stem) {
		spacers.steps = append(spacers.steps, st.Below)
	}
	spacers.lo, spacers.hi = spacers.steps[0], spacers.steps[len(spacers.steps)-1]
	e.add(spacers, nil)
	if b.Handlebar.OnePiece() {
		e.part(fitgeom.LimitStemLonger, fitgeom.LimitStemShorter, func(b *fitgeom.Build, by float64) { b.Handlebar.Stem.Length += by })
	} else {
		e.part(fitgeom.LimitStemLonger, fitgeom.LimitStemShorter, func(b *fitgeom.Build, by float64) { b.Stem.Length += by })
		e.add(knob{more: fitgeom.LimitRotationUp, less: fitgeom.LimitRotationDown, turn: func(b *fitgeom.Build, by float64) { b.Settings.BarRotation += by }, at: s.BarRotation, lo: -b.Handlebar.RotationRange, hi: b.Handlebar.RotationRange}, nil)
	}
	e.part(fitgeom.LimitBarWider, fitgeom.LimitBarNarrower, func(b *fitgeom.Build, by float64) {
		switch {
		case b.Handlebar.Drop != part.DropBar{}:
			b.Handlebar.Drop.Width += by
			if b.Handlebar.Drop.DropsWidth != 0 {
				b.Handlebar.Drop.DropsWidth += by
			}
		case b.Handlebar.Flat != part.FlatBar{}:
			b.Handlebar.Flat.Width += by
		default:
			b.Handlebar.Base.Width += by
		}
	})
	if a := &b.Aero; *a != (part.AeroBar{}) {
		aero := func(more, less fitgeom.Limit, at float64, st *part.Steps, turn func(b *fitgeom.Build, by float64)) {
			e.add(knob{more: more, less: less, turn: turn, at: at, lo: st.From, hi: st.Last(), each: more == fitgeom.LimitAeroTiltUp}, st)
		}
		aero(fitgeom.LimitAeroTiltUp, fitgeom.LimitAeroTiltDown, s.AeroTilt, &a.Tilt, func(b *fitgeom.Build, by float64) { b.Settings.AeroTilt += by })
		aero(fitgeom.LimitPadsUp, fitgeom.LimitPadsDown, s.PadRise, &a.PadRise, func(b *fitgeom.Build, by float64) { b.Settings.PadRise += by })
		aero(fitgeom.LimitPadsForward, fitgeom.LimitPadsBack, s.PadForward, &a.PadForward, func(b *fitgeom.Build, by float64) { b.Settings.PadForward += by })
		aero(fitgeom.LimitPadsApart, fitgeom.LimitPadsTogether, s.PadWidth, &a.PadWidth, func(b *fitgeom.Build, by float64) { b.Settings.PadWidth += by })
		aero(fitgeom.LimitExtensionsOut, fitgeom.LimitExtensionsIn, s.Extension, &a.Extension, func(b *fitgeom.Build, by float64) { b.Settings.Extension += by })
	}
}

func (e *explainer) seatKnobs() {
	b := &e.build
	s := &b.Settings
	lo, hi := b.Frame.SeatpostRange(b.Seatpost)
	e.add(knob{more: fitgeom.LimitSeatpostUp, less: fitgeom.LimitSeatpostDown, turn: func(b *fitgeom.Build, by float64) { b.Settings.SeatpostExtension += by }, at: s.SeatpostExtension, lo: lo, hi: hi}, nil)
	e.add(knob{more: fitgeom.LimitSaddleForward, less: fitgeom.LimitSaddleBack, turn: func(b *fitgeom.Build, by float64) { b.Settings.RailClamp += by }, at: s.RailClamp, lo: b.Saddle.RailsFrom, hi: b.Saddle.RailsTo}, nil)
	e.part(fitgeom.LimitSetbackMore, fitgeom.LimitSetbackLess, func(b *fitgeom.Build, by float64) { b.Seatpost.Setback += by })
	e.part(fitgeom.LimitCrankLonger, fitgeom.LimitCrankShorter, func(b *fitgeom.Build, by float64) { b.Crank.Length += by })
	e.part(fitgeom.LimitCrankWider, fitgeom.LimitCrankNarrower, func(b *fitgeom.Build, by float64) { b.Crank.QFactor += 2 * by })
	if b.Pedal != (part.Pedal{}) {
		e.part(fitgeom.LimitFootHigher, fitgeom.LimitFootLower, func(b *fitgeom.Build, by float64) { b.Pedal.FootHeight += by })
		e.part(fitgeom.LimitFeetWider, fitgeom.LimitFeetNarrower, func(b *fitgeom.Build, by float64) { b.Pedal.FootOffset += by })
	}
}

// offs appends how far every coordinate that is asked for is off, as a share of its tolerance.
func (e *explainer) offs(to []float64, b *fitgeom.Build) []float64 {
	p := rig.Position(b) // of parts that may be unlike any
	saddle, _ := e.target.At(contact.SaddleReference)
	shift := search.SaddleShift(e.policy, saddle, search.StrokeOf(&e.target), search.StrokeOf(&p))
	for _, k := range e.keep {
		at, _ := p.At(k.Site)
		want, _ := e.target.At(k.Site)
		if k.Site.Group() == contact.OnSaddle {
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
func (e *explainer) turned(by []float64) fitgeom.Build {
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
		if num.Beyond(o, 1) {
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
