// Package kit is what the examples have in common: files in, numbers and rows of
// tables out.
package kit

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Doc is a document that an example reads.
type Doc[T exchange.Content] struct {
	Value T
	Note  string
	File  string // where it was read
}

// JSON writes the document.
func (d Doc[T]) JSON() ([]byte, error) {
	var b bytes.Buffer
	err := exchange.Write(context.Background(), &b, d.Value, d.Note)
	return b.Bytes(), err
}

// Name puts before each fault the file that its path belongs to.
func Name(err error, file func(path string) string) error {
	faults := contact.Faults(err)
	if len(faults) == 0 {
		return err
	}
	var all []error
	for _, f := range faults {
		all = append(all, fmt.Errorf("%s: %w", file(f.Path), f))
	}
	return errors.Join(all...)
}

// Under puts before the path of each fault the member that they are faults of.
func Under(member string, err error) error {
	var all []error
	for _, f := range contact.Faults(err) {
		one := *f
		one.Path = strings.TrimSuffix(member+"."+one.Path, ".")
		all = append(all, &one)
	}
	return cmp.Or(errors.Join(all...), err)
}

// Round returns a point as files have it, with so many decimals.
func Round(v r3.Vec, decimals int) r3.Vec {
	scale := math.Pow10(decimals)
	return r3.Vec{X: math.Round(v.X*scale) / scale, Y: math.Round(v.Y*scale) / scale, Z: math.Round(v.Z*scale) / scale}
}

// Fixed prints a number with so many decimals, and never -0.
func Fixed(v float64, decimals int) string { return draw.Fixed(v, decimals) }

// Signed is Fixed with a plus sign before numbers that are above 0 as printed.
func Signed(v float64, decimals int) string {
	s := Fixed(v, decimals)
	if v > 0 && strings.Trim(s, "0.") != "" {
		s = "+" + s
	}
	return s
}

// Degrees prints an angle with its uncertainty: "-1.5° ± 0.1°".
func Degrees(v, sigma float64) string { return Signed(v, 1) + "° ± " + Fixed(2*sigma, 1) + "°" }

// Give adds a document of what a page has found, for the next page and for other programs, with
// what reads it.
func Give[T exchange.Content](p *page.Page, name, what string, v T) error {
	data, err := Doc[T]{Value: v, Note: "computed by the page " + p.Name + " from the files that it names"}.JSON()
	if err == nil {
		p.Document(p.Name+"-"+name+".json", what, data)
	}
	return err
}

// GiveBuild adds a build, its frame and its position.
func GiveBuild(p *page.Page, b fitgeom.Build) error {
	at, err := b.Position()
	return errors.Join(err, Give(p, "build", "the build, as a document", b), Give(p, "frame", "its frame, which -frame of reproduce, timetrial and trail reads", b.Frame),
		Give(p, "built", "its position, which -target of every page that asks for a bike reads", at))
}
