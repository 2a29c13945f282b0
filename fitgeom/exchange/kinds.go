package exchange

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
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
	case *photo.Survey:
		k = photographsKind
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
	case *request.Request:
		k = requestKind
	case *[]contact.Error:
		k = faultsKind
	default:
		k = answerKindFor[T]()
	}
	return k.(*kind[T])
}

// The kinds. The fields of a type say what documents have for it.
var (
	positionKind    = single("fitgeom/position", work.Validate[contact.Position])
	bodyKind        = single("fitgeom/body", work.Validate[rider.Body])
	surveyKind      = single("fitgeom/survey", work.Validate[survey.Survey])
	tapeKind        = single("fitgeom/tape_survey", work.Validate[survey.TapeSurvey])
	photographsKind = single("fitgeom/photographs", work.Validate[photo.Survey])
	sheetKind       = single("fitgeom/sheet", work.Validate[convert.Sheet])
	chartKind       = single("fitgeom/chart", work.Validate[chart.Chart])
	frameKind       = single("fitgeom/frame", work.Validate[fitgeom.Frame])
	shelfKind       = single("fitgeom/shelf", work.Validate[fitgeom.Shelf])
	buildKind       = single("fitgeom/build", work.Validate[fitgeom.Build])
	requestKind     = single("fitgeom/request", work.Validate[request.Request])

	positionsKind = newKind("fitgeom/positions",
		func(all []contact.Position) positions { return positions{all} },
		func(d positions) []contact.Position { return d.Positions },
		func(m *work.Meter, d positions) error { return each(m, "positions", d.Positions) })
	framesKind = newKind("fitgeom/frames",
		func(all []fitgeom.Size) sizes { return sizes{all} },
		func(d sizes) []fitgeom.Size { return d.Sizes },
		func(m *work.Meter, d sizes) error { return each(m, "sizes", d.Sizes) })
	resultsKind = newKind("fitgeom/results",
		func(all []fitgeom.Candidate) results { return results{all} },
		func(d results) []fitgeom.Candidate { return d.Results },
		func(m *work.Meter, d results) error { return each(m, "results", d.Results) })
	faultsKind = newKind("fitgeom/faults",
		func(all []contact.Error) faults { return faults{all} },
		func(d faults) []contact.Error { return d.Faults },
		func(_ *work.Meter, d faults) error { return d.validate() })
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
	faults struct {
		Faults []contact.Error `json:"faults"`
	}
)

// each returns the faults of every element under its path.
func each[E interface{ Validate() error }](m *work.Meter, name string, all []E) error {
	var f fault.List
	for i := 0; i < len(all) && m.Do(10) && !f.Full(); i++ {
		if err := all[i].Validate(); err != nil {
			f.In(fault.At(name, i), err)
		}
	}
	return f.Err()
}

// validate reports lines that no document has.
func (d faults) validate() error {
	var f fault.List
	for i := range d.Faults {
		f.Optional(fault.At("faults", i)+".line", float64(d.Faults[i].Line), 1, MaxSize, "lines")
	}
	return f.Err()
}
