package kit

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
)

// An Example is a program that reads files and makes a page of them.
type Example struct {
	// Flags are the program's flags. One per file, -o, and whatever it adds.
	Flags *flag.FlagSet
	dir   *string
	files []file
	build func() (*page.Page, error)
}

// file is what one flag names, or else what lies beside the program.
type file struct {
	flag, beside string
	data         []byte
	read         func(name string, data []byte) error
	name         *string
}

// New begins an example. Once its files are read, build makes the page.
func New(name string, build func() (*page.Page, error)) *Example {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	dir := flags.String("o", "", "folder for the page and its figures, instead of printing the page")
	return &Example{Flags: flags, dir: dir, build: build}
}

// Rebuild begins an example that puts a position on another bike. The data are those of
// position.json, frame.json and shelf.json beside the program.
func Rebuild(name string, position, frame, shelf []byte, build func(contact.Position, fitgeom.Frame, fitgeom.Shelf) (*page.Page, error)) *Example {
	var (
		target Doc[contact.Position]
		on     Doc[fitgeom.Frame]
		with   Doc[fitgeom.Shelf]
	)
	e := New(name, func() (*page.Page, error) { return build(target.Value, on.Value, with.Value) })
	JSON(e, &target, "position", "position on the old bike", position)
	JSON(e, &on, "frame", "frame of the new bike", frame)
	JSON(e, &with, "shelf", "parts that may be used", shelf)
	return e
}

// File has a file read: the one that the flag names, or else the data that lie beside
// the program under the name of beside.
func (e *Example) File(flag, beside, usage string, data []byte, read func(name string, data []byte) error) {
	e.files = append(e.files, file{flag, beside, data, read, e.Flags.String(flag, "", usage)})
}

// JSON has a document read: the one that the flag names, or else FLAG.json.
func JSON[T exchange.Content](e *Example, doc *Doc[T], flag, usage string, data []byte) {
	load(e, doc, flag, usage, data, func() error { return nil })
}

// Solved has a document read and solved.
func Solved[T interface {
	exchange.Content
	Solve() (S, error)
}, S any](e *Example, doc *Doc[T], solution *S, flag, usage string, data []byte,
) {
	load(e, doc, flag, usage, data, func() (err error) {
		*solution, err = doc.Value.Solve()
		return err
	})
}

// load has a document read and then checked. Every fault names the file.
func load[T exchange.Content](e *Example, doc *Doc[T], flag, usage string, data []byte, check func() error) {
	e.File(flag, flag+".json", usage+", JSON", data, func(name string, data []byte) (err error) {
		doc.File, doc.Beside = name, e.Flags.Lookup(flag).Value.String() == ""
		doc.Value, doc.Note, err = exchange.Read[T](context.Background(), bytes.NewReader(data))
		if err == nil {
			err = check()
		}
		return Name(err, func(string) string { return name })
	})
}

// Page reads the files and makes the page. Faults of all files come together.
func (e *Example) Page() (*page.Page, error) {
	var faults []error
	for _, f := range e.files {
		data := f.data
		if *f.name != "" {
			var err error
			if data, err = os.ReadFile(*f.name); err != nil {
				faults = append(faults, err) // it names the file
				continue
			}
		}
		faults = append(faults, f.read(cmp.Or(*f.name, f.beside), data))
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	return e.build()
}

// Run does the whole job, and writes only when all of it went well.
func (e *Example) Run(args []string, out io.Writer) error {
	if err := e.Flags.Parse(args); err != nil {
		return err
	}
	p, err := e.Page()
	if err != nil {
		return err
	}
	return p.Write(out, *e.dir)
}

// Main runs the example as a program.
func (e *Example) Main() {
	if err := e.Run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// Files yields the flags that name files, each with what lies beside the program.
func (e *Example) Files(yield func(flag string, beside []byte) bool) {
	for _, f := range e.files {
		if !yield(f.flag, f.data) {
			return
		}
	}
}
