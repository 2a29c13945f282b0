package kit

import (
	"errors"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
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
