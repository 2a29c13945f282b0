package solve

import (
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
)

// A RuleCost is rules of a problem, or limits of its rider, without which its position is held, the
// others kept.
type RuleCost struct {
	// Places is the places of these rules in Problem.Rules; those of limits in Problem.Limits go on
	// from there.
	Places []int `json:"places" range:"0 to 1e6"`
	// Best is the best build without these rules. Its Rules say by how much it breaks them.
	Best fitgeom.Candidate `json:"best"`
}

// Sentence says which rules these are.
func (r RuleCost) Sentence() words.Sentence {
	var all []string
	for _, b := range r.Best.Rules {
		if b.Broken {
			all = append(all, b.Rule)
		}
	}
	if len(all) == 1 {
		return words.Say(words.WithoutRule, words.Argument{Name: "rule", Text: all[0]})
	}
	return words.Say(words.WithoutRules, words.Argument{Name: "rules", Text: strings.Join(all, "; ")})
}

// rulesCost finds what the rules of a problem cost that no build holds: each rule that is enough
// to leave out by itself, or if none is those that the best build without any breaks. There is
// nothing to tell where a build holds, or where none would without rules.
func (p *Problem) rulesCost(m *work.Meter, c *fitgeom.Candidate) (all []RuleCost, err error) {
	n := len(p.Rules.Rules)
	if n+len(p.Limits.Joints) == 0 || c.Holds() {
		return nil, nil
	}
	free, ok, err := p.under(m, nil, nil)
	if !ok || err != nil {
		return nil, err
	}
	if _, ok, err := p.under(m, p.Rules.Rules, p.Limits.Joints); ok || err != nil {
		return nil, err
	}
	for i := range n + len(p.Limits.Joints) {
		others, joints := p.Rules.Rules, p.Limits.Joints
		if i >= n {
			joints = slices.Concat(joints[:i-n], joints[i-n+1:])
		} else {
			if applies, known := others[i].For(p.Rider); !applies || !known {
				continue
			}
			others = slices.Concat(others[:i], others[i+1:])
		}
		c, ok, err := p.under(m, others, joints)
		if err != nil {
			return nil, err
		}
		if ok {
			all = append(all, RuleCost{[]int{i}, c})
		}
	}
	if len(all) > 0 {
		return all, nil
	}
	cost := RuleCost{Best: free}
	for _, r := range free.Rules {
		if r.Broken {
			cost.Places = append(cost.Places, r.Place)
		}
	}
	return []RuleCost{cost}, nil
}

// under returns the best build under some of the rules and limits, with what all of them say of it,
// and whether it holds.
func (p *Problem) under(m *work.Meter, some []rules.Rule, joints []rider.Limit) (c fitgeom.Candidate, holds bool, err error) {
	q := search.Problem(*p)
	q.Rules.Rules, q.Limits.Joints, q.Limit, q.Budget = some, joints, 1, fitgeom.Budget{}
	r, err := search.Solve(m, &q)
	if err != nil {
		return c, false, err
	}
	c = r.Candidates[0]
	holds = c.Holds()
	c.Rules = search.Rulings((*search.Problem)(p), &c.Build)
	return c, holds, nil
}

// beyondLimits returns what of the target is beyond the limits of the rider.
func (p *Problem) beyondLimits() (all []contact.Oddity) {
	if len(p.Limits.Joints) == 0 {
		return nil
	}
	verdicts, err := p.Limits.Check(p.Target)
	if err != nil {
		return nil // Validate reports that
	}
	for _, v := range verdicts {
		if !v.Broken() || v.Gap != 0 {
			continue
		}
		o := contact.Oddity{Path: fault.At("limits.joints", v.Place), What: v.Limit.Variable.String() + " of the target", Value: v.Value, Least: -180, Most: 300, Unit: "degrees", Source: "limit of the rider"}
		if v.Limit.Bound == rider.AtLeast {
			o.Least = v.Limit.Angle
		} else {
			o.Most = v.Limit.Angle
		}
		all = append(all, o)
	}
	return all
}
