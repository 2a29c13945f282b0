package kit

import (
	"bytes"
	"context"
	"errors"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/live"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/solve"
)

// scene adds a scene with its first answer. What has none says why when it is asked.
func scene(p *page.Page, kind, title string, docs live.Documents) {
	p.Live(kind, title, docs, func() string {
		s, err := live.Begin(kind, docs)
		if err != nil {
			return ""
		}
		now, _ := s.Now(context.Background(), live.ParseState(s, ""))
		return now
	})
}

// documents are what a scene has of a problem: the position, the parts, and what is kept.
func documents(asked solve.Problem) (live.Documents, error) {
	position, err := Doc[contact.Position]{Value: asked.Target}.JSON()
	parts, errParts := Doc[fitgeom.Shelf]{Value: asked.Shelf}.JSON()
	kept, errKept := Doc[request.Request]{Value: request.Request{Keep: asked.Keep, Crank: asked.Crank}}.JSON()
	return live.Documents{"position": position, "shelf": parts, "request": kept}, errors.Join(err, errParts, errKept)
}

// Bike adds a build that people can set up by controls, against the position that was asked
// for and what is kept of it.
func Bike(p *page.Page, title string, asked solve.Problem, b fitgeom.Build) error {
	docs, err := documents(asked)
	build, errBuild := Doc[fitgeom.Build]{Value: b}.JSON()
	if err := errors.Join(err, errBuild); err != nil {
		return err
	}
	docs["build"] = build
	scene(p, "bike", title, docs)
	return nil
}

// Head adds a position that people can move by controls, over the places where a head tube
// may be for it, and the frames of a catalogue. With scales of an adjustable bike, as CSV, it
// is these that are moved.
func Head(p *page.Page, title string, asked solve.Problem, sizes []fitgeom.Size, scales []byte) error {
	docs, err := documents(asked)
	var catalogue bytes.Buffer
	if err := errors.Join(err, exchange.WriteCatalogue(context.Background(), &catalogue, sizes)); err != nil {
		return err
	}
	docs["catalogue"] = catalogue.Bytes()
	if scales != nil {
		docs["scales"] = scales
	}
	scene(p, "head", title, docs)
	return nil
}

// Rider adds a rider whose saddle, hands and cranks people can move by controls.
func Rider(p *page.Page, title string, body rider.Body, target contact.Position) error {
	whose, err := Doc[rider.Body]{Value: body}.JSON()
	position, errPosition := Doc[contact.Position]{Value: target}.JSON()
	if err := errors.Join(err, errPosition); err != nil {
		return err
	}
	scene(p, "body", title, live.Documents{"body": whose, "position": position})
	return nil
}
