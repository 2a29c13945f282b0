package kit

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/solve"
)

// Beside is the files beside a program that asks for a bike. Frame or Catalogue is nil; a program
// that asks for no bike has neither, nor a Shelf.
type Beside struct {
	// Target is a document that tells a position, TargetName its file, and Wanted which position
	// that is, if not the one that is wanted. It is nil if the target is Read.
	Target     []byte
	TargetName string
	Wanted     string
	// Read is the survey that the file of the flag ReadBy has, if that is the target.
	Read      *survey.Survey
	ReadBy    string
	Frame     []byte
	Catalogue []byte
	Shelf     []byte
	Request   []byte
}

// An Asked is what is asked for, put together from all files.
type Asked struct {
	// Request is all of it, and Problem the same as a problem, if a bike is asked for.
	Request request.Request
	Problem solve.Problem
	// Solved is the position that is wanted, and what is known of it.
	Solved request.Solved
	// Left is what was wrong with the sizes that were left out.
	Left    []string
	example *Example
	target  string // the flag whose file has the target
	bare    bool   // that file is not a request, but what it has in one
	bike    bool   // a bike is asked for
}

// Asks has a request read: what -request says, the target of -target in whatever way it is
// known, -frame or -catalogue, and -shelf. A file that a flag names comes before what the
// request has, and that before what lies beside the program.
func Asks(e *Example, a *Asked, beside Beside) {
	a.target, a.bare, a.bike = "target", false, beside.Frame != nil || beside.Catalogue != nil
	var given, asked, under request.Request
	put := func(flag, name string, err error, to func(r *request.Request)) error {
		if e.beside(flag) {
			to(&under)
		} else {
			to(&given)
		}
		return Name(err, func(string) string { return name })
	}
	if beside.Read != nil {
		a.target, a.bare = beside.ReadBy, true
	} else {
		e.File("target", beside.TargetName, cmp.Or(beside.Wanted, "position that is wanted")+": a position, survey, tape survey, sheet or request, JSON", beside.Target, func(name string, data []byte) error {
			t, _, err := exchange.ReadTarget(context.Background(), bytes.NewReader(data))
			kind, _, _ := exchange.Kind(context.Background(), data)
			a.bare = kind != "fitgeom/request"
			return put("target", name, err, func(r *request.Request) { r.Target = t })
		})
	}
	if beside.Frame != nil {
		e.File("frame", "frame.json", "frame of the new bike, JSON", beside.Frame, func(name string, data []byte) error {
			f, _, err := exchange.Read[fitgeom.Frame](context.Background(), bytes.NewReader(data))
			return put("frame", name, err, func(r *request.Request) { r.Frame = f })
		})
	}
	if beside.Catalogue != nil {
		e.File("catalogue", "catalogue.csv", "sizes of frames, CSV", beside.Catalogue, func(name string, data []byte) error {
			sizes, left, err := Sizes(name, data)
			if err != nil {
				return err
			}
			a.Left = left
			return put("catalogue", name, nil, func(r *request.Request) { r.Sizes = sizes })
		})
	}
	if a.bike {
		e.File("shelf", "shelf.json", "parts that may be used, JSON", beside.Shelf, func(name string, data []byte) error {
			s, _, err := exchange.Read[fitgeom.Shelf](context.Background(), bytes.NewReader(data))
			return put("shelf", name, err, func(r *request.Request) { r.Shelf = s })
		})
	}
	e.File("request", "request.json", "what is asked: what is kept, room, rules, rider and whatever no other file says, JSON", beside.Request, func(name string, data []byte) (err error) {
		asked, _, err = exchange.Read[request.Request](context.Background(), bytes.NewReader(data))
		if err == nil && beside.Read != nil && asked.Target.Kind() != "" {
			err = &contact.Error{Path: "target", Value: asked.Target.Kind(), Want: "none, since the position is what -" + beside.ReadBy + " has", Class: contact.ErrConflict}
		}
		return Name(err, func(string) string { return name })
	})
	e.ready = append(e.ready, func() error {
		if beside.Read != nil {
			given.Target.Survey = *beside.Read
		}
		return a.together(e, given.Over(asked), under)
	})
	e.after = append(e.after, a.left)
}

// together puts the request together, and drops the files that nobody needs.
func (a *Asked) together(e *Example, stated, under request.Request) (err error) {
	bike := stated.Frame != (fitgeom.Frame{}) || len(stated.Sizes) > 0
	for flag, has := range map[string]bool{"target": stated.Target.Kind() != "", "frame": bike, "catalogue": bike, "shelf": len(stated.Shelf.Cranks) > 0} {
		if has && e.beside(flag) {
			e.drop(flag)
		}
	}
	a.Request, a.example = stated.Over(under), e
	if a.bike {
		a.Problem, err = a.Request.Problem()
	} else {
		err = a.Request.Validate()
	}
	if err == nil {
		a.Solved, err = a.Request.Target.Solve()
		err = Under("target", err)
	}
	return a.Name(err)
}

// Name puts before each fault of the request the file that its member came from, and leaves of
// its path what that file has.
func (a *Asked) Name(err error) error {
	var all []error
	for _, f := range contact.Faults(err) {
		one := *f
		member, flag := f.Path, f.Path
		if i := strings.IndexAny(member, ".["); i >= 0 {
			member, flag = member[:i], member[:i]
		}
		switch member {
		case "sizes":
			flag = "catalogue"
		case "target":
			flag = a.target
		}
		name, own := a.example.file(flag)
		switch {
		case !own:
			name, _ = a.example.file("request")
		case member == "sizes": // its rows are not numbered so
		case member != "target":
			one.Path = strings.TrimPrefix(one.Path, member+".")
		case a.bare:
			one.Path = strings.TrimPrefix(strings.TrimPrefix(one.Path, "target."), a.Request.Target.Kind()+".")
		}
		all = append(all, fmt.Errorf("%s: %w", name, &one))
	}
	return cmp.Or(errors.Join(all...), err)
}

// left adds what a request leaves to the library, in words, and the request as a document.
func (a *Asked) left(p *page.Page) error {
	var items []string
	if a.bike {
		for _, d := range a.Request.Defaults(a.Problem.Target) {
			items = append(items, fmt.Sprintf("%s: %s.", strings.ReplaceAll(d.Member, "_", " "), d.Says))
		}
	}
	if len(items) > 0 {
		p.P("No file states these, and what stands here is taken instead:")
		p.List(items...)
	}
	if !a.bike {
		return nil
	}
	asked := a.Request
	asked.Sizes = nil // a catalogue is a file of its own
	if a.example.Flags.Lookup("target") == nil {
		asked.Target = request.Target{} // as a survey of the page's own
	}
	return Give(p, "request", "all that was asked, which -request of every page that asks for a bike reads", asked)
}

// Sizes reads the sound sizes of a catalogue, and says what was wrong with the others. If there
// is none, that is an error.
func Sizes(name string, data []byte) (sizes []fitgeom.Size, left []string, err error) {
	sizes, err = exchange.ReadCatalogue(context.Background(), bytes.NewReader(data))
	if len(sizes) == 0 {
		if err == nil {
			err = errors.New("no sizes")
		}
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	for _, f := range contact.Faults(err) {
		left = append(left, fmt.Sprintf("%s: %v", name, f))
	}
	return sizes, left, nil
}

// Left adds which rows of a table were left out.
func Left(p *page.Page, rows []string) {
	if len(rows) > 0 {
		p.P("These rows were left out:")
		p.List(rows...)
	}
}

// Odd adds the numbers that hardly any position, body or frame has.
func Odd(p *page.Page, all ...contact.Oddity) {
	var items []string
	for _, f := range all {
		items = append(items, f.String())
	}
	Findings(p, items)
}

// Findings adds what a person should look at before anything is built.
func Findings(p *page.Page, all []string) {
	if len(all) > 0 {
		p.P("Look at this first:")
		p.List(all...)
	}
}
