package convert

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/blame"
	"example.com/fitgeom/internal/lsq"
)

// How high the bottom bracket usually is, for slips of sheets that do not tell, mm. Common
// practice, no source.
const usualBracket, usualBracketOff = 270, 15

// A twin is a measure that is taken for another one.
type twin struct {
	slip    contact.SlipKind
	measure Measure
}

// twins has those of each measure: what differs from it in one end or in its direction. What
// nobody calls by a name of its own is in unnamed, and its number is measureCount more than
// its place there.
var twins, unnamed = func() (all [measureCount][]twin, unnamed []entry) {
	for m := range measures[1:] {
		e := &measures[m+1]
		look := func(slip contact.SlipKind, k kind, a, b end) {
			of := entry{kind: k, a: a, b: b, sign: e.sign, Definition: e.Definition}
			for n := range measures[1:] {
				if o := &measures[n+1]; o.kind == of.kind && o.a == of.a && o.b == of.b && o.sign == of.sign {
					all[m+1] = append(all[m+1], twin{slip, Measure(n + 1)})
					return
				}
			}
			of.Along, of.Needs = alongs[k], nil
			for _, end := range [...]end{a, b} {
				if end.site != 0 {
					of.Needs = append(of.Needs, end.site)
				}
			}
			of.Name = of.Along + " from " + of.From + " to " + b.words()
			if a != e.a {
				of.Name = of.Along + " from " + a.words() + " to " + b.words()
			}
			all[m+1] = append(all[m+1], twin{slip, Measure(measureCount + len(unnamed))})
			unnamed = append(unnamed, of)
		}
		switch k := e.kind; {
		case k != direct && k != sideView && k != horizontal && k != vertical && k != fromGround:
			continue
		case k == direct:
			look(contact.StraightForLevel, horizontal, e.a, e.b)
			look(contact.StraightForLevel, vertical, e.a, e.b)
		case k == horizontal || k == vertical:
			look(contact.StraightForLevel, direct, e.a, e.b)
		}
		if a, ok := otherEnd(e.a); ok && a != e.b {
			look(contact.NoseForReference, e.kind, a, e.b)
		}
		if b, ok := otherEnd(e.b); ok && b != e.a {
			look(contact.NoseForReference, e.kind, e.a, b)
		}
	}
	return all, unnamed
}()

// otherEnd returns the nose for the reference of a saddle, and the other way round.
func otherEnd(e end) (end, bool) {
	switch {
	case e.site == contact.SaddleReference:
		return at(contact.SaddleNose), true
	case e.site == contact.SaddleNose:
		return at(contact.SaddleReference), true
	default:
		return e, false
	}
}

// definition returns the definition of a measure, of one without a name too.
func definition(m Measure) *entry {
	if int(m) >= measureCount {
		return &unnamed[int(m)-measureCount]
	}
	return &measures[m]
}

// changed returns a sheet with other numbers in place of some.
func (s Sheet) changed(changes []blame.Change) Sheet {
	s.Entries = append([]Entry(nil), s.Entries...)
	for _, k := range changes {
		if k.Out {
			s.Entries[k.Reading].Sigma *= blame.Faint
		} else {
			s.Entries[k.Reading].Value = k.Value
		}
	}
	return s
}

// wrong finds what could be wrong with a sheet that contradicts itself.
func (p *problem) wrong(s Sheet, found *lsq.Search, held *lsq.Fit) blame.Answer {
	q := blame.Question{
		Solve: func(out []int) blame.Trial {
			changed := s.changed(blame.Out(out))
			p := newProblem(changed)
			return p.trial(s, p.find())
		},
		Values: func(i int) []contact.Slip {
			e := s.Entries[i]
			lo, hi := e.Measure.Range()
			return blame.Values(e.Value, measures[e.Measure].Unit == "degrees", lo, hi)
		},
		Others: s.others,
	}
	for _, e := range s.Entries {
		q.Value, q.Sigma = append(q.Value, e.Value), append(q.Sigma, e.Sigma)
	}
	return q.Ask(p.trial(s, found), held)
}

// trial is what a search has found for a sheet in which some numbers were changed.
func (p *problem) trial(s Sheet, found *lsq.Search) blame.Trial {
	return blame.Trial{Fits: found.Fits(), From: func(x []float64, changes []blame.Change) lsq.Fit {
		again := *p
		again.sheet = s.changed(changes).Entries
		return lsq.Solve(x, again.rows(), again.model)
	}}
}

// others lists what else an entry may have measured.
func (s Sheet) others(i int) (all []blame.Other) {
	e := s.Entries[i]
	add := func(kind contact.SlipKind, measured string, change func(*Entry)) {
		all = append(all, blame.Other{
			Slip: contact.Slip{Kind: kind, Value: e.Value, Measured: measured},
			Fit: func(out []int) lsq.Fit {
				other := s.changed(blame.Out(out))
				change(&other.Entries[i])
				p := newProblem(other)
				p.guessNose(&s)
				return p.find().Best
			},
		})
	}
	for _, t := range twins[e.Measure] {
		if lo, hi := t.measure.Range(); e.Value >= lo && e.Value <= hi || int(t.measure) >= measureCount {
			add(t.slip, definition(t.measure).Name, func(e *Entry) { e.Measure = t.measure })
		}
	}
	height, off := s.Basis.BottomBracketHeight, 0.0
	if height == 0 {
		height, off = usualBracket, usualBracketOff
	}
	m := &measures[e.Measure]
	switch {
	case m.kind == vertical && m.a.origin && m.sign > 0:
		add(contact.GroundForBracket, "from the ground", func(e *Entry) { e.Value, e.Sigma = e.Value-height, math.Hypot(e.Sigma, off) })
	case m.kind == fromGround:
		add(contact.GroundForBracket, "from the bottom bracket", func(e *Entry) { e.Value += height })
	}
	if e.Side != contact.Centre && !m.Pair && !s.Basis.Mirrored {
		other := contact.Left
		if e.Side == contact.Left {
			other = contact.Right
		}
		add(contact.LeftForRight, SidedMeasure{e.Measure, other}.String(), func(e *Entry) { e.Side = other })
	}
	return all
}

// guessNose supposes the nose to be where it usually is, if only a slip speaks of it.
func (p *problem) guessNose(before *Sheet) {
	need := before.needs()
	if p.number[contact.SaddleNose][contact.AxisX] == 0 || need[contact.SaddleNose] || p.basis.Saddle.NoseAhead != 0 {
		return
	}
	p.saddle.SupposeNose()
	if p.tilt < 0 {
		p.points.setTilt(0) // as good as level, where nothing tells
	}
}
