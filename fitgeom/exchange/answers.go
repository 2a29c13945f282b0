package exchange

import (
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// answerKindFor returns the kind of a type that is an answer, or a record.
func answerKindFor[T Content]() any {
	switch any((*T)(nil)).(type) {
	case *survey.Fix:
		return fixKind
	case *contact.Covariance:
		return covarianceKind
	case *record.Record:
		return recordKind
	case *record.History:
		return recordsKind
	case *record.Difference:
		return changesKind
	case *[]solve.Step:
		return stepsKind
	case *rank.Ranking:
		return rankingKind
	case *[]solve.Obstacle:
		return obstaclesKind
	case *convert.Solution:
		return solutionKind
	case *chart.Solution:
		return completionKind
	case *[]region.Outline:
		return regionKind
	case *design.Drawing:
		return drawingKind
	case *design.Problem:
		return designProblemKind
	case *design.Report:
		return designKind
	case *motion.Recording:
		return recordingKind
	case *motion.Report:
		return motionKind
	case *[]motion.Change:
		return motionChangesKind
	}
	return nil
}

// The kinds of answers, and of what asks for some. What their tags and names say is all that is checked of most of them:
// what is true of an answer, only the question tells.
var (
	fixKind        = single("fitgeom/fix", work.Validate[survey.Fix])
	covarianceKind = single("fitgeom/covariance", tagged[contact.Covariance])
	recordKind     = private(single("fitgeom/record", work.Validate[record.Record]))
	recordsKind    = private(newKind("fitgeom/records",
		func(h record.History) records { return records{h} },
		func(d records) record.History { return d.Records },
		func(m *work.Meter, d records) error { return work.Validate(m, d.Records) }))
	changesKind = single("fitgeom/changes", tagged[record.Difference])
	stepsKind   = newKind("fitgeom/steps",
		func(all []solve.Step) steps { return steps{all} },
		func(d steps) []solve.Step { return d.Steps }, tagged[steps])
	rankingKind   = single("fitgeom/ranking", tagged[rank.Ranking])
	obstaclesKind = newKind("fitgeom/obstacles",
		func(all []solve.Obstacle) obstacles { return obstacles{all} },
		func(d obstacles) []solve.Obstacle { return d.Obstacles }, tagged[obstacles])
	solutionKind   = single("fitgeom/solution", tagged[convert.Solution])
	completionKind = single("fitgeom/completion", tagged[chart.Solution])
	regionKind     = newKind("fitgeom/region",
		func(all []region.Outline) outlines { return outlines{all} },
		func(d outlines) []region.Outline { return d.Outlines }, tagged[outlines])
	drawingKind       = single("fitgeom/drawing", tagged[design.Drawing])
	designProblemKind = single("fitgeom/design_problem", wholeProblem)
	designKind        = single("fitgeom/design", tagged[design.Report])
	recordingKind     = single("fitgeom/recording", work.Validate[motion.Recording])
	motionKind        = single("fitgeom/motion", tagged[motion.Report])
	motionChangesKind = newKind("fitgeom/motion_changes",
		func(all []motion.Change) motionChanges { return motionChanges{all} },
		func(d motionChanges) []motion.Change { return d.Changes }, tagged[motionChanges])
)

// What documents have for lists of answers.
type (
	records struct {
		Records record.History `json:"records"`
	}
	steps struct {
		Steps []solve.Step `json:"steps"`
	}
	obstacles struct {
		Obstacles []solve.Obstacle `json:"obstacles"`
	}
	motionChanges struct {
		Changes []motion.Change `json:"changes"`
	}
	outlines struct {
		Outlines []region.Outline `json:"outlines"`
	}
)

// wholeProblem is what is wrong with a design problem, also with what of its parts does not
// matter to it.
func wholeProblem(m *work.Meter, p design.Problem) error {
	var f fault.List
	if f.In("front", p.Front.Validate()); f.Len() > 0 {
		return f.Err()
	}
	return work.Validate(m, p)
}

// private makes errors of a kind repeat nothing that somebody wrote, but for numbers: not a
// text in place of a name or of a number, nor the name of a member that there is not.
func private[T any](k *kind[T]) *kind[T] {
	k.private = true
	return k
}

// hush takes out of faults what somebody wrote, if the kind is private.
func (k *kind[T]) hush(found *fault.List, b *strict.Beside) {
	if !k.private {
		return
	}
	for _, f := range found.Faults() {
		number, _, _ := strings.Cut(f.Value, " ")
		if _, err := strconv.ParseFloat(number, 64); err != nil && f.Value != "" {
			f.Value = "another"
		}
		if f.Path != "" {
			f.Path = b.Known(f.Path)
		}
	}
}

// unmet is what a document needs and this library does not know, for an error.
func (k *kind[T]) unmet(needs []string, b *strict.Beside) string {
	const most = 20
	var all []string
	for i, n := range needs {
		if k.private && !b.Knows(n) {
			n = "another"
		}
		if i == most {
			all = append(all, "and "+strconv.Itoa(len(needs)-most)+" more")
			break
		}
		all = append(all, fault.Name(n))
	}
	return strings.Join(all, ", ")
}

// tagged returns what the tags beside the fields say against a value.
func tagged[T any](m *work.Meter, v T) error {
	var all fault.List
	strict.Check(m, &all, "", v)
	return all.Err()
}
