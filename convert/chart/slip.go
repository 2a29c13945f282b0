package chart

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/blame"
	"example.com/fitgeom/internal/lsq"
)

// straight lists dimensions that are measured straight, and those of the same word that are
// measured level or along the steering axis.
var straight = [...][2]Dimension{
	{Chainstay, RearCentre}, {FrontCentre, FrontCentreHorizontal}, {AxleToCrown, AxleToCrownSteerer},
}

// changed returns the problem of a chart with other numbers in place of some.
func (c Chart) changed(changes []blame.Change) *chartProblem {
	c.Entries = append([]Entry(nil), c.Entries...)
	for _, k := range changes {
		if !k.Out {
			c.Entries[k.Reading].Value = k.Value
		}
	}
	p := newChartProblem(&c)
	for _, k := range changes {
		if k.Out {
			p.sigma[k.Reading] *= blame.Faint
		}
	}
	return p
}

func (p *chartProblem) fit(x []float64) lsq.Fit {
	return lsq.Solve(x, len(p.chart.Entries)+len(p.errors), p.model)
}

// wrong finds what could be wrong with a chart that contradicts itself.
func (p *chartProblem) wrong(fit lsq.Fit) blame.Answer {
	c := *p.chart
	from := func(x []float64, changes []blame.Change) lsq.Fit { return c.changed(changes).fit(x) }
	q := blame.Question{
		Value: make([]float64, len(c.Entries)), Sigma: p.sigma,
		Solve: func(out []int) blame.Trial {
			q := c.changed(blame.Out(out))
			return blame.Trial{Fits: []lsq.Fit{q.fit(q.start)}, From: from}
		},
		Values: func(i int) []contact.Slip {
			d := c.Entries[i].Dimension
			lo, hi := d.Range()
			return blame.Values(c.Entries[i].Value, d.Unit() == "degrees", lo, hi)
		},
		Others: func(i int) []blame.Other {
			d, ok := sameWord(c.Entries[i].Dimension)
			if !ok {
				return nil
			}
			slip := contact.Slip{Kind: contact.StraightForLevel, Value: c.Entries[i].Value, Measured: d.String()}
			return []blame.Other{{Slip: slip, Fit: func(out []int) lsq.Fit {
				other := c
				other.Entries = append([]Entry(nil), c.Entries...)
				other.Entries[i].Dimension = d
				q := other.changed(blame.Out(out))
				return q.fit(q.start)
			}}}
		},
	}
	for i, e := range c.Entries {
		q.Value[i] = e.Value
	}
	return q.Ask(blame.Trial{Fits: []lsq.Fit{fit}, From: from}, &fit)
}

// sameWord returns the dimension that is measured another way and goes by the same word.
func sameWord(d Dimension) (Dimension, bool) {
	for _, pair := range straight {
		for k := range pair {
			if pair[k] == d {
				return pair[1-k], true
			}
		}
	}
	return 0, false
}
