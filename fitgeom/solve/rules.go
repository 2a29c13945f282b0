package solve

import (
	"strings"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
)

// A RuleCost is rules of a problem without which its position is held, the others kept.
type RuleCost struct {
	// Places is the places of these rules in Problem.Rules.
	Places []int
	// Best is the best build without these rules. Its Rules say by how much it breaks them.
	Best fitgeom.Candidate
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
	if len(p.Rules.Rules) == 0 || c.Holds() {
		return nil, nil
	}
	free, ok, err := p.under(m, rules.Set{})
	if !ok || err != nil {
		return nil, err
	}
	if _, ok, err := p.under(m, p.Rules); ok || err != nil {
		return nil, err
	}
	for i, r := range p.Rules.Rules {
		if applies, known := r.For(p.Rider); !applies || !known {
			continue
		}
		var others rules.Set
		others.Rules = append(append(others.Rules, p.Rules.Rules[:i]...), p.Rules.Rules[i+1:]...)
		c, ok, err := p.under(m, others)
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

// under returns the best build under some of the rules, with what all rules say of it, and whether
// it holds.
func (p *Problem) under(m *work.Meter, some rules.Set) (c fitgeom.Candidate, holds bool, err error) {
	q := search.Problem(*p)
	q.Rules, q.Limit, q.Budget = some, 1, fitgeom.Budget{}
	r, err := search.Solve(m, &q)
	if err != nil {
		return c, false, err
	}
	c = r.Candidates[0]
	holds = c.Holds()
	c.Rules = search.Rulings((*search.Problem)(p), &c.Build)
	return c, holds, nil
}
