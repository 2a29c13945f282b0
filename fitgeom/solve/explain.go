package solve

import (
	"cmp"
	"context"
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
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Change is the amount by which a limit or a part dimension of a build would have to
// change.
type Change struct {
	Limit fitgeom.Limit
	// By is in the limit's unit, mm or degrees, and positive.
	By float64
}

// String returns the change in words, such as "raise the seatpost by 12.0 mm".
func (c Change) String() string {
	return fmt.Sprintf("%s by %.1f %s", c.Limit.Words(), c.By, c.Limit.Unit())
}

// An Obstacle is the reason why one group of parts of a build cannot hold a position.
type Obstacle struct {
	// Parts is the group: the front end, or seat, cranks and pedals.
	Parts part.Kinds
	// Alone lists every change that would suffice by itself, with all other settings
	// chosen to suit it. Each is as small as possible. The smallest comes first, where
	// 1 degree counts as 10 mm. It is empty if no single change would suffice.
	Alone []Change
	// Together lists the changes that would suffice in combination and have the
	// smallest sum, where 1 degree counts as 10 mm. It is empty if no such changes
	// bring the sites into tolerance, for example with hands at different heights.
	Together []Change
}

// String returns the obstacle in words, such as "seatposts, saddles, cranks, pedals: raise the
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

// Explain says why a candidate does not hold the position: which limits prevent it, and
// the smallest changes that would make it hold. It considers the candidate's own parts.
// Spacers come from the shelf and the aero bar keeps to its steps, except where the
// change is in these. A group that could hold with other settings is no obstacle. A
// candidate that holds has no obstacles.
//
// The smallest change that brings all coordinates within tolerance is the solution of a
// linear program in which some settings have steps. Rotations are not linear, so the
// program is solved repeatedly until the amounts are exact to 1e-6 mm. Each result is
// checked against the forward map.
//
// Errors are those of [Problem.Verify]. If the context has ended, the error wraps the
// context's.
func (p Problem) Explain(ctx context.Context, c fitgeom.Candidate) ([]Obstacle, error) {
	m := work.New(ctx, p.Budget.Work)
	if m.Stopped() {
		return nil, m.Err("before it began")
	}
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

// obstacle finds the changes that would make a group hold. It returns false if none are
// needed: the group could hold, but its settings of least cost are out of tolerance.
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

// degree is the length, in mm, that counts the same as a degree: a part with a larger
// range of angles is harder to find than a longer one.
const degree = 10

func (c Change) weight() float64 {
	if c.Limit.Unit() == "degrees" {
		return degree * c.By
	}
	return c.By
}

// A knob is a setting or a part dimension that Explain may change.
type knob struct {
	more, less fitgeom.Limit
	turn       func(b *fitgeom.Build, by float64)
	at, lo, hi float64   // its value, and its range
	steps      []float64 // its possible values within the range, lowest first; nil for any
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

// part adds a part dimension, which has no range: every change of it counts.
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

// moved returns how far the crank policy moves the saddle; false if it cannot.
func (e *explainer) moved(p *contact.Position) (fitgeom.SaddleMove, bool) {
	saddle, _ := e.target.At(contact.SaddleReference)
	return search.SaddleMoved(e.policy, saddle, search.StrokeOf(&e.target), search.StrokeOf(p))
}

// offs appends the deviation of every kept coordinate, as a multiple of its tolerance.
func (e *explainer) offs(to []float64, b *fitgeom.Build) []float64 {
	p := rig.Position(b) // unchecked: no real part may have these dimensions
	moved, _ := e.moved(&p)
	for _, k := range e.keep {
		at, _ := p.At(k.Site)
		want, _ := e.target.At(k.Site)
		if k.Site.Group() == contact.OnSaddle {
			want = r3.Add(want, moved.By)
		}
		for _, c := range [...][2]float64{{at.X - want.X, k.Tolerance.X}, {at.Y - want.Y, k.Tolerance.Y}, {at.Z - want.Z, k.Tolerance.Z}} {
			if c[1] != 0 {
				to = append(to, c[0]/c[1])
			}
		}
	}
	return to
}

// tolerances returns the tolerances of the coordinates in offs, in mm and in their order.
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

// turned returns the build with every knob changed by the given amount.
func (e *explainer) turned(by []float64) fitgeom.Build {
	b := e.build
	for i := range e.knobs {
		e.knobs[i].turn(&b, by[i])
	}
	return b
}

// A cell is a part of one knob's range, or of the values beyond it. Over and under say
// that the knob may leave it upwards or downwards, which counts as a change.
type cell struct {
	lo, hi      float64
	over, under bool
}

// piece is the length in degrees of an arc that counts as nearly straight: halfway
// between its middle and an end, a site 350 mm away is off the tangent by 0.12 mm.
const piece = 3

// cells returns the cells of a knob: each step by itself if its steps are tried one by
// one, short pieces if it is an angle, and otherwise the whole range.
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

// change returns the change that setting the knob to v requires; false if v is within
// its range.
func (k *knob) change(v float64) (c Change, beyond bool) {
	switch {
	case v > k.hi+verifyMM:
		return Change{k.more, v - k.hi}, true
	case v < k.lo-verifyMM:
		return Change{k.less, k.lo - v}, true
	}
	return Change{}, false
}

// solve returns the smallest change of one knob beyond its range, up or down, with which
// everything can come within tolerance; with only = -1, the cheapest changes of all knobs
// together. The list is empty if no change is needed; it returns false if no change
// suffices.
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

// within solves with each knob in its cell, repeatedly since rotations are not linear. It
// returns false if there is no answer that costs less than the limit.
func (e *explainer) within(ranges []cell, limit float64) ([]Change, float64, bool) {
	by := make([]float64, len(e.knobs))
	for i, c := range ranges {
		by[i] = (c.lo+c.hi)/2 - e.knobs[i].at
	}
	// The allowance for curvature, in mm and in cost: first round, later rounds.
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
	p := rig.Position(&b)
	if _, ok := e.moved(&p); !ok {
		return nil, 0, false
	}
	for _, o := range e.offs(nil, &b) {
		if num.Beyond(o, 1) {
			return nil, 0, false // linearization did not converge
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
