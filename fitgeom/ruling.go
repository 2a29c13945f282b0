package fitgeom

import (
	"slices"

	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/field"
)

// A Ruling is what a rule, or a limit of the rider, says of a candidate that breaks it, or of which it
// is not known whether it keeps it. Package rules has rules, and more of what each says of a build.
type Ruling struct {
	// Place is the rule's place among those that were asked for, from 0. Limits of the rider come
	// after the rules.
	Place int `json:"place" range:"0 to 199" unit:"rules"`
	// Broken says that the build breaks the rule. Else it is not known: a part does not state what
	// the rule looks at, or nothing is known of the rider for whom the rule is.
	Broken bool `json:"broken"`
	// Rule is the rule in words, with its source.
	Rule string `json:"rule"`
	// Found is what was found, in words.
	Found string `json:"found"`
}

var rulingFields = field.New[Ruling]()

// Validate reports a place that is out of range.
func (r Ruling) Validate() error { return rulingFields.Validate(&r) }

// Sentence says what the rule says, as in "rule broken: slope of the saddle 10.0 degrees: broken by
// 1.0 degrees (slope of the saddle at most 9 degrees …)".
func (r Ruling) Sentence() words.Sentence {
	p := words.RuleNotKnown
	if r.Broken {
		p = words.RuleBroken
	}
	return words.Say(p, words.Argument{Name: "found", Text: r.Found}, words.Argument{Name: "rule", Text: r.Rule})
}

// breaksRule reports whether a rule is broken.
func (c *Candidate) breaksRule() bool {
	return slices.ContainsFunc(c.Rules, func(r Ruling) bool { return r.Broken })
}

// doubtsRule reports whether it is not known whether a rule is kept.
func (c *Candidate) doubtsRule() bool {
	return slices.ContainsFunc(c.Rules, func(r Ruling) bool { return !r.Broken })
}
