package kit

import (
	"cmp"
	"errors"
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/page"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Ridden is whose joints are looked at, in which position.
type Ridden struct {
	Body  rider.Body
	Asked Asked
	doc   Doc[rider.Body]
	// onPedals: where the feet are is not known, and is taken to be where the pedals are.
	onPedals bool
}

// Rides has a rider's body read, and a request for the position; what the request says of the
// body comes before the file beside the program. The body must suit the position.
func Rides(e *Example, r *Ridden, wanted string, body, target []byte) {
	JSON(e, &r.doc, "body", "the rider's body", body)
	Asks(e, &r.Asked, Beside{Target: target, TargetName: "position.json", Wanted: wanted})
	e.ready = append(e.ready, func() error {
		r.Body = r.doc.Value
		if b := r.Asked.Request.Limits.Body; b.HipUp != 0 && e.beside("body") {
			r.Body = b
			e.drop("body")
		}
		r.onPedals = stand(&r.Asked.Solved.Position)
		_, err := rider.NewChain(r.Body, r.Asked.Solved.Position)
		return r.name(err)
	})
	e.after = append(e.after, func(p *page.Page) error {
		if r.onPedals {
			p.P("Where the feet are is not known. They are taken to be over the spindles of the pedals, %v mm outside of the cranks and with the soles %v mm above (common practice, no source).", over.Y, over.Z)
		}
		if len(r.Asked.Request.Limits.Joints) > 0 {
			p.P("The request limits joints. This page does not look at that.")
		}
		return nil
	})
}

// over is where a left foot is from its pedal if nothing says so.
var over = r3.Sub(contact.FootLeft.Usual(), contact.PedalLeft.Usual())

// stand puts the feet on the pedals if neither is known, and reports whether it did. A position
// with one of them has lost the other.
func stand(p *contact.Position) (assumed bool) {
	for _, foot := range [...]contact.Site{contact.FootLeft, contact.FootRight} {
		if _, known := p.At(foot); known {
			return false
		}
	}
	for pedal, foot := range map[contact.Site]contact.Site{contact.PedalLeft: contact.FootLeft, contact.PedalRight: contact.FootRight} {
		if at, ok := p.At(pedal); ok {
			p.Set(foot, r3.Add(at, r3.Vec{X: over.X, Y: math.Copysign(over.Y, at.Y), Z: over.Z}))
			assumed = true
		}
	}
	return assumed
}

// Odd adds what a person should look at first: of the position, and of the body.
func (r *Ridden) Odd(p *page.Page) {
	all := r.Asked.Solved.Findings
	for _, f := range r.Body.Findings() {
		all = append(all, f.In("body").String())
	}
	Findings(p, all)
}

// name puts before each fault of body and position the file that it came from.
func (r *Ridden) name(err error) error {
	var all []error
	for _, f := range contact.Faults(err) {
		one := *f
		if rest, ok := strings.CutPrefix(one.Path, "position."); ok {
			one.Path = "target." + r.Asked.Request.Target.Kind() + "." + rest
		} else if name, own := r.Asked.example.file("body"); own {
			one.Path = strings.TrimPrefix(one.Path, "body.")
			all = append(all, Name(&one, func(string) string { return name }))
			continue
		} else {
			one.Path = "limits." + one.Path
		}
		all = append(all, r.Asked.Name(&one))
	}
	return cmp.Or(errors.Join(all...), err)
}
