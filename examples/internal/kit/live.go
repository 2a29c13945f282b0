package kit

import (
	"bytes"
	"context"
	"errors"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
)

// Bike adds a build that people can set up by controls, against a position.
func Bike(p *page.Page, title string, target contact.Position, b fitgeom.Build, shelf fitgeom.Shelf) error {
	position, err := Doc[contact.Position]{Value: target}.JSON()
	build, errBuild := Doc[fitgeom.Build]{Value: b}.JSON()
	parts, errParts := Doc[fitgeom.Shelf]{Value: shelf}.JSON()
	if err := errors.Join(err, errBuild, errParts); err != nil {
		return err
	}
	p.Live("bike", title, map[string][]byte{"position": position, "build": build, "shelf": parts})
	return nil
}

// Head adds a position that people can move by controls, over the places where a head tube
// may be for it, and the frames of a catalogue.
func Head(p *page.Page, title string, target contact.Position, shelf fitgeom.Shelf, sizes []fitgeom.Size) error {
	position, err := Doc[contact.Position]{Value: target}.JSON()
	parts, errParts := Doc[fitgeom.Shelf]{Value: shelf}.JSON()
	var catalogue bytes.Buffer
	if err := errors.Join(err, errParts, exchange.WriteCatalogue(context.Background(), &catalogue, sizes)); err != nil {
		return err
	}
	p.Live("head", title, map[string][]byte{"position": position, "shelf": parts, "catalogue": catalogue.Bytes()})
	return nil
}
