package solve

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A seat is seatpost, saddle, cranks and pedals of a build. Everything that can be changed
// about them moves every site along a straight line, and so it does with the crank policy.
type seat struct {
	remedy
	p     *Problem
	build *fitgeom.Build
	turn  []func(b *fitgeom.Build, by float64) // by knob
}

func newSeat(m *work.Meter, p *Problem, b *fitgeom.Build) *seat {
	s := &seat{remedy: remedy{meter: m}, p: p, build: b}
	s.list()
	all, _ := s.offs(b)
	for k, turn := range s.turn {
		more := *b
		turn(&more, 1)
		offs, _ := s.offs(&more)
		for i := range offs {
			all[i].by[k] = offs[i].at - all[i].at
		}
	}
	s.rows = func(*[knobMost]cell, *values) []row { return all }
	return s
}

// list sets up the knobs. Their values are differences from the build.
func (s *seat) list() {
	b, at := s.build, &s.build.Settings
	add := func(more, less fitgeom.Limit, lo, hi float64, turn func(b *fitgeom.Build, by float64)) {
		s.add(knob{more: more, less: less, lo: lo, hi: hi}, turn)
	}
	lo, hi := b.Frame.SeatpostRange(b.Seatpost)
	add(fitgeom.LimitSeatpostUp, fitgeom.LimitSeatpostDown, lo-at.SeatpostExtension, hi-at.SeatpostExtension, func(b *fitgeom.Build, by float64) { b.Settings.SeatpostExtension += by })
	from, to := b.Saddle.Rails(b.Seatpost)
	add(fitgeom.LimitSaddleForward, fitgeom.LimitSaddleBack, from-at.RailClamp, to-at.RailClamp, func(b *fitgeom.Build, by float64) { b.Settings.RailClamp += by })
	add(fitgeom.LimitSetbackMore, fitgeom.LimitSetbackLess, 0, 0, func(b *fitgeom.Build, by float64) { b.Seatpost.Setback += by })
	add(fitgeom.LimitCrankLonger, fitgeom.LimitCrankShorter, 0, 0, lengthen)
	add(fitgeom.LimitCrankWider, fitgeom.LimitCrankNarrower, 0, 0, func(b *fitgeom.Build, by float64) { b.Crank.QFactor += 2 * by })
	if b.Pedal != (part.Pedal{}) {
		add(fitgeom.LimitFootHigher, fitgeom.LimitFootLower, 0, 0, func(b *fitgeom.Build, by float64) { resize(&b.Pedal, by, 0) })
		add(fitgeom.LimitFeetWider, fitgeom.LimitFeetNarrower, 0, 0, func(b *fitgeom.Build, by float64) { resize(&b.Pedal, 0, by) })
		s.cleats()
	}
}

func (s *seat) add(k knob, turn func(b *fitgeom.Build, by float64)) {
	s.knobs = append(s.knobs, k)
	s.turn = append(s.turn, turn)
}

// lengthen makes both cranks longer, and resize both feet higher and further out.
func lengthen(b *fitgeom.Build, by float64) {
	k := &b.Crank
	k.Length += by
	if k.RightLength != 0 {
		k.RightLength += by
	}
}

func resize(p *part.Pedal, up, out float64) {
	p.FootHeight += up
	p.FootOffset += out
	if r := &p.Right; *r != (part.PedalSide{}) {
		r.FootHeight += up
		r.FootOffset += out
	}
}

// cleats adds the settings of cleats that can be moved, and those of angles that are asked
// for.
func (s *seat) cleats() {
	p := &s.build.Pedal
	var asked [contact.SiteCount]fitgeom.TurnTolerance
	for _, k := range s.p.Keep {
		asked[k.Site] = k.Turn
	}
	const perSide = fitgeom.LimitRightCleatBack - fitgeom.LimitLeftCleatBack
	for side := range 2 {
		turn, from := asked[contact.FootLeft.Both()[side]], fitgeom.Limit(side)*perSide
		for _, k := range [...]struct {
			at         func(c *fitgeom.Cleat) *float64
			in         part.Steps
			asked      bool
			more, less fitgeom.Limit
		}{
			{func(c *fitgeom.Cleat) *float64 { return &c.Back }, p.CleatBack, false, fitgeom.LimitLeftCleatBack, fitgeom.LimitLeftCleatForward},
			{func(c *fitgeom.Cleat) *float64 { return &c.In }, p.CleatIn, false, fitgeom.LimitLeftCleatIn, fitgeom.LimitLeftCleatOut},
			{func(c *fitgeom.Cleat) *float64 { return &c.ToesOut }, p.ToesOut, turn.Yaw != 0, fitgeom.LimitLeftToesOut, fitgeom.LimitLeftToesIn},
			{func(c *fitgeom.Cleat) *float64 { return &c.Wedge }, p.Wedge, turn.Roll != 0, fitgeom.LimitLeftWedgeInner, fitgeom.LimitLeftWedgeOuter},
		} {
			if k.in == (part.Steps{}) && !k.asked {
				continue
			}
			at := func(b *fitgeom.Build) *float64 {
				return k.at([2]*fitgeom.Cleat{&b.Settings.CleatLeft, &b.Settings.CleatRight}[side])
			}
			v := *at(s.build)
			to := knob{more: k.more + from, less: k.less + from, lo: k.in.From - v, hi: k.in.Last() - v, linear: true}
			for i := 0; !steady(k.in) && i < k.in.Count(); i++ {
				to.steps = append(to.steps, k.in.At(i)-v)
			}
			s.add(to, func(b *fitgeom.Build, by float64) { *at(b) += by })
		}
	}
}

// offs returns how far a build is off each coordinate that is asked of its seat and feet;
// false if the crank policy has no place for the saddle.
func (s *seat) offs(b *fitgeom.Build) (all []row, ok bool) {
	at := rig.Position(b) // unchecked: no real part may have these dimensions
	target := &s.p.Target
	saddle, _ := target.At(contact.SaddleReference)
	moved, ok := search.SaddleMoved(s.p.Crank, saddle, search.StrokeOf(target), search.StrokeOf(&at))
	for _, k := range s.p.Keep {
		if k.Site.Group().FrontEnd() {
			continue
		}
		off, _ := at.At(k.Site)
		want, _ := target.At(k.Site)
		off = r3.Sub(off, want)
		if k.Site.Group() == contact.OnSaddle {
			off = r3.Sub(off, moved.By)
		}
		for _, c := range [...][2]float64{{off.X, k.Tolerance.X}, {off.Y, k.Tolerance.Y}, {off.Z, k.Tolerance.Z}} {
			if c[1] != 0 {
				all = append(all, row{at: c[0], in: about(0, c[1])})
			}
		}
		is, _ := at.Attitude(k.Site)
		facing, _ := target.Attitude(k.Site)
		turned := k.Turn.TurnedFrom(facing, is)
		for _, c := range [...][2]float64{{turned.Tilt, k.Turn.Tilt}, {turned.Yaw, k.Turn.Yaw}, {turned.Roll, k.Turn.Roll}} {
			if c[1] != 0 {
				all = append(all, row{at: c[0], in: about(0, c[1])})
			}
		}
	}
	return all, ok
}

// changed returns the smallest changes of one knob alone, up or down, or with -1 of all,
// with which everything holds; false if none do.
func (s *seat) changed(only int, up bool) (all []Change, ok bool) {
	s.least = math.Inf(1)
	if s.search(only, up); math.IsInf(s.least, 1) {
		return nil, false
	}
	b := *s.build
	for k, turn := range s.turn {
		turn(&b, s.best[k])
	}
	_, ok = s.offs(&b)
	return s.changes(), ok
}

// obstacle finds the changes that would make the seat hold. It returns true if none are
// needed.
func (s *seat) obstacle(o *Obstacle) bool {
	o.Parts = part.Seatposts | part.Saddles | part.Cranks | part.Pedals
	all, ok := s.changed(-1, false)
	if !ok {
		return false
	}
	if o.Together = all; len(all) == 0 {
		return true
	}
	for i := range s.knobs {
		for _, up := range [2]bool{true, false} {
			if one, ok := s.changed(i, up); ok {
				o.Alone = append(o.Alone, one...)
			}
		}
	}
	return false
}
