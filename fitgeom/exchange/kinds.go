package exchange

import (
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
)

// kindFor returns the kind of a type.
func kindFor[T Content]() *kind[T] {
	var k any
	switch any((*T)(nil)).(type) {
	case *contact.Position:
		k = positionKind
	case *[]contact.Position:
		k = positionsKind
	case *rider.Body:
		k = bodyKind
	case *survey.Survey:
		k = surveyKind
	case *survey.TapeSurvey:
		k = tapeKind
	case *convert.Sheet:
		k = sheetKind
	case *chart.Chart:
		k = chartKind
	case *fitgeom.Frame:
		k = frameKind
	case *[]fitgeom.Size:
		k = framesKind
	case *fitgeom.Shelf:
		k = shelfKind
	case *fitgeom.Build:
		k = buildKind
	case *[]fitgeom.Candidate:
		k = resultsKind
	}
	return k.(*kind[T])
}

// The kinds. The fields of a type say what documents have for it.
var (
	positionKind = single("fitgeom/position", contact.Position.Validate)
	bodyKind     = single("fitgeom/body", rider.Body.Validate)
	surveyKind   = single("fitgeom/survey", survey.Survey.Validate)
	tapeKind     = single("fitgeom/tape_survey", survey.TapeSurvey.Validate)
	sheetKind    = single("fitgeom/sheet", convert.Sheet.Validate)
	chartKind    = single("fitgeom/chart", validateChart)
	frameKind    = single("fitgeom/frame", fitgeom.Frame.Validate)
	shelfKind    = single("fitgeom/shelf", fitgeom.Shelf.Validate)
	buildKind    = single("fitgeom/build", fitgeom.Build.Validate)

	positionsKind = newKind("fitgeom/positions",
		func(all []contact.Position) positions { return positions{all} },
		func(d positions) []contact.Position { return d.Positions },
		func(d positions) error { return each("positions", d.Positions, contact.Position.Validate) })
	framesKind = newKind("fitgeom/frames",
		func(all []fitgeom.Size) sizes { return sizes{all} },
		func(d sizes) []fitgeom.Size { return d.Sizes },
		func(d sizes) error { return each("sizes", d.Sizes, fitgeom.Size.Validate) })
	resultsKind = newKind("fitgeom/results",
		func(all []fitgeom.Candidate) results { return results{all} },
		func(d results) []fitgeom.Candidate { return d.Results },
		func(d results) error { return each("results", d.Results, fitgeom.Candidate.Validate) })
)

// What documents have for a list.
type (
	positions struct {
		Positions []contact.Position `json:"positions"`
	}
	sizes struct {
		Sizes []fitgeom.Size `json:"sizes"`
	}
	results struct {
		Results []fitgeom.Candidate `json:"results"`
	}
)

// each returns the faults of every element under its path.
func each[E any](name string, all []E, validate func(E) error) error {
	var f fault.List
	for i := range all {
		if err := validate(all[i]); err != nil {
			f.In(fault.At(name, i), err)
		}
	}
	return f.Err()
}

// mostEntries is how many numbers a chart may have: each is compared with each.
const mostEntries = 1000

func validateChart(c chart.Chart) error {
	if n := len(c.Entries); n > mostEntries {
		return fault.New("entries", strconv.Itoa(n)+" dimensions", "at most "+strconv.Itoa(mostEntries), contact.ErrRange)
	}
	return c.Validate()
}
