package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/blame"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/placed"
	"example.com/fitgeom/internal/saddle"
)

// How near to its usual height the ground lies, for slips of surveys that do not tell, mm.
// Common practice, no source.
const usualGround, usualGroundSigma = -270, 15

// changed returns a survey with other values in place of some.
func (t *TapeSurvey) changed(changes []blame.Change) *TapeSurvey {
	other := *t
	other.Readings = slices.Clone(t.Readings)
	for _, k := range changes {
		if r := &other.Readings[k.Reading]; k.Out {
			r.Sigma *= blame.Faint
		} else {
			r.Value = k.Value
		}
	}
	return &other
}

// wrong finds what could be wrong with readings that contradict one another.
func (p *tapeProblem) wrong(found *lsq.Search) blame.Answer {
	t := p.t
	q := blame.Question{
		Solve: func(out []int) blame.Trial {
			p := newTapeProblem(t.changed(blame.Out(out)))
			p.timid = true
			return p.trial(t, p.find())
		},
		Values: func(i int) []contact.Slip {
			lo, hi := t.Readings[i].Kind.span()
			return blame.Values(t.Readings[i].Value, t.Readings[i].Kind == Tilt, lo, hi)
		},
		Others: t.others,
	}
	for _, r := range t.Readings {
		q.Value, q.Sigma = append(q.Value, r.Value), append(q.Sigma, r.Sigma)
	}
	return q.Ask(p.trial(t, found), found.Best.Held(placed.Widest/2))
}

// trial is what a search has found for a survey in which some values were changed.
func (p *tapeProblem) trial(t *TapeSurvey, found *lsq.Search) blame.Trial {
	return blame.Trial{Fits: found.Fits(), From: func(x []float64, changes []blame.Change) lsq.Fit {
		again := *p
		again.t = t.changed(changes)
		return lsq.Solve(x, again.rows(), again.model)
	}}
}

// mistaken has places that are taken for one another.
var mistaken = map[Landmark]struct {
	kind  contact.SlipKind
	place Landmark
}{
	At(contact.SaddleReference): {contact.NoseForReference, At(contact.SaddleNose)},
	At(contact.SaddleNose):      {contact.NoseForReference, At(contact.SaddleReference)},
	BottomBracket:               {contact.GroundForBracket, Ground},
	Ground:                      {contact.GroundForBracket, BottomBracket},
}

// others lists what else a reading may have measured.
func (t *TapeSurvey) others(i int) (all []blame.Other) {
	add := func(kind contact.SlipKind, other TapeReading) {
		if other.validate() != nil {
			return
		}
		all = append(all, blame.Other{
			Slip: contact.Slip{Kind: kind, Value: other.Value, Measured: other.String()},
			Fit: func(out []int) lsq.Fit {
				changed := t.changed(blame.Out(out))
				changed.Readings[i] = other
				p := newTapeProblem(changed)
				p.timid = true
				p.guess(t)
				return p.find().Best
			},
		})
	}
	r := t.Readings[i]
	for _, end := range [...]bool{false, true} {
		moved := func(kind contact.SlipKind, to Landmark) {
			if other := r; end {
				other.To = to
				add(kind, other)
			} else {
				other.From = to
				add(kind, other)
			}
		}
		l := r.From
		if end {
			l = r.To
		}
		if other, ok := mistaken[l]; ok {
			moved(other.kind, other.place)
		}
		if name, ok := strings.CutSuffix(string(l), "_left"); ok {
			moved(contact.LeftForRight, Landmark(name+"_right"))
		} else if name, ok := strings.CutSuffix(string(l), "_right"); ok {
			moved(contact.LeftForRight, Landmark(name+"_left"))
		}
	}
	other := r
	switch {
	case r.Kind == Direct:
		for _, kind := range [...]TapeKind{Horizontal, Vertical} {
			for _, sign := range [...]float64{1, -1} { // whichever way it goes
				other.Kind, other.Value = kind, sign*r.Value
				add(contact.StraightForLevel, other)
			}
		}
	case r.Kind == Horizontal || r.Kind == Vertical:
		other.Kind, other.Value = Direct, math.Abs(r.Value)
		add(contact.StraightForLevel, other)
	}
	return all
}

// guess supposes the nose and the ground to be where they usually are, if only a slip speaks
// of them.
func (p *tapeProblem) guess(before *TapeSurvey) {
	speaks := func(l Landmark) bool {
		return slices.ContainsFunc(before.Readings, func(r TapeReading) bool { return r.From == l || r.To == l })
	}
	if p.ground >= 0 && !speaks(Ground) {
		p.lateral = append(p.lateral, lateral{p.ground, -1, usualGround, usualGroundSigma})
	}
	if p.saddle[saddle.Nose] >= 0 && p.saddle[saddle.Reference] >= 0 && !speaks(At(contact.SaddleNose)) && p.t.Saddle.NoseAhead == 0 {
		p.shape.SupposeNose()
	}
}

// contradiction reports the readings that could be wrong, if the readings do not agree.
func (p *tapeProblem) contradiction(fit *lsq.Fit, suspects []contact.Suspect) error {
	if agrees(fit) {
		return nil
	}
	var f fault.List
	add := func(i int, by float64, slips []contact.Slip) {
		r := &p.t.Readings[i]
		var want strings.Builder
		want.WriteString("agreement with the other readings")
		if math.Abs(by) <= 2000 { // else the others tell no value
			want.WriteString(", from which it differs by " + num.Text(by, r.Kind.unit()))
		}
		for k, s := range slips {
			want.WriteString([2]string{"; perhaps ", ", or "}[min(k, 1)] + s.String())
		}
		f.Add(fmt.Sprintf("readings[%d]", i), num.Text(r.Value, r.Kind.unit()), want.String(), contact.ErrConflict)
	}
	for _, c := range suspects {
		add(c.Reading, c.Against, c.Slips)
	}
	if f.Len() == 0 { // more than can be told apart
		most := 0.0
		fit = fit.Held(placed.Widest / 2)
		for i := range p.t.Readings {
			most = max(most, math.Abs(fit.Studentized(i)))
		}
		for i, r := range p.t.Readings {
			if s := fit.Studentized(i); s != 0 && math.Abs(s) >= 0.98*most {
				add(i, -s*s/fit.R[i]*r.Sigma, nil)
			}
		}
	}
	if f.Len() == 0 { // no reading is checked by others, or nothing could be computed
		f.Add("readings", "no position found", "readings that some position comes close to", contact.ErrConflict)
	}
	return f.Err()
}
