package kit

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom/exchange"
)

// An Example is a program that reads files and makes a page of them.
type Example struct {
	// Flags are the program's flags. One per file, -o, and whatever it adds.
	Flags *flag.FlagSet
	dir   *string
	files []file
	ready []func() error     // once all files are read
	after []func(*page.Page) // at the end of the page
	build func() (*page.Page, error)
}

// file is what one flag names, or else what lies beside the program.
type file struct {
	flag, beside string
	data         []byte
	read         func(name string, data []byte) error
	name         *string
	dropped      bool // nobody needs it
}

// New begins an example. Once its files are read, build makes the page.
func New(name string, build func() (*page.Page, error)) *Example {
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	dir := flags.String("o", "", "folder for the page and its figures, instead of printing the page")
	return &Example{Flags: flags, dir: dir, build: build}
}

// File has a file read: the one that the flag names, or else the data that lie beside
// the program under the name of beside.
func (e *Example) File(flag, beside, usage string, data []byte, read func(name string, data []byte) error) {
	e.files = append(e.files, file{flag, beside, data, read, e.Flags.String(flag, "", usage), false})
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
		doc.File = name
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
	for i := range e.files {
		f := &e.files[i]
		if *f.name != "" {
			var err error
			if f.data, err = os.ReadFile(*f.name); err != nil {
				faults = append(faults, err) // it names the file
				continue
			}
		}
		faults = append(faults, f.read(cmp.Or(*f.name, f.beside), f.data))
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	for _, check := range e.ready {
		if err := check(); err != nil {
			return nil, err
		}
	}
	p, err := e.build()
	if err != nil {
		return nil, err
	}
	e.inputs(p)
	return p, nil
}

// inputs adds what the page was made from.
func (e *Example) inputs(p *page.Page) {
	p.H("What this page was made from")
	rows := [][]string{{"what", "file", "what the file says of itself"}}
	for i := range e.files {
		if f := &e.files[i]; !f.dropped {
			name, says := filepath.Base(*f.name), "–"
			if *f.name == "" {
				name, says = f.beside+", beside the program", "invented data"
			}
			what, _, _ := strings.Cut(e.Flags.Lookup(f.flag).Usage, ":")
			rows = append(rows, []string{strings.TrimSuffix(strings.TrimSuffix(what, ", JSON"), ", CSV"), name, cmp.Or(note(f.data), says)})
		}
	}
	p.Table(rows...)
	e.Flags.VisitAll(func(f *flag.Flag) {
		if _, ok := e.file(f.Name); ok || f.Name == "o" {
			return
		}
		stated := ""
		e.Flags.Visit(func(g *flag.Flag) {
			if g == f {
				stated = ", as the flag says"
			}
		})
		p.P("%s: %s%s.", strings.ToUpper(f.Usage[:1])+f.Usage[1:], f.Value, cmp.Or(stated, ", which nobody stated"))
	})
	for _, more := range e.after {
		more(p)
	}
}

// note is what a file says of itself: the note of a document, or the first line of a table if it
// is a remark.
func note(data []byte) string {
	if first, _, _ := bytes.Cut(data, []byte("\n")); bytes.HasPrefix(first, []byte("#")) {
		return strings.TrimSpace(strings.TrimPrefix(string(first), "#"))
	}
	var head struct {
		Note string `json:"note"`
	}
	if json.Unmarshal(data, &head) != nil {
		return "" // it is no document
	}
	return head.Note
}

// file returns the name of the file that was read for a flag, if it is one of a file that is
// needed.
func (e *Example) file(flag string) (name string, ok bool) {
	for i := range e.files {
		if f := &e.files[i]; f.flag == flag && !f.dropped {
			return cmp.Or(*f.name, f.beside), true
		}
	}
	return "", false
}

// beside reports whether a flag names no file, so that what lies beside the program counts.
func (e *Example) beside(flag string) bool {
	f := e.Flags.Lookup(flag)
	return f != nil && f.Value.String() == ""
}

// drop says that nobody needs the file of a flag.
func (e *Example) drop(flag string) {
	for i := range e.files {
		if e.files[i].flag == flag {
			e.files[i].dropped = true
		}
	}
}

// Run does the whole job, and writes only when all of it went well.
func (e *Example) Run(args []string, out io.Writer) error {
	if err := e.Flags.Parse(args); err != nil {
		return err
	}
	if e.Flags.NArg() > 0 {
		var names []string
		e.Flags.VisitAll(func(f *flag.Flag) { names = append(names, "-"+f.Name) })
		return fmt.Errorf("%q: want a flag before it, one of %s", e.Flags.Arg(0), strings.Join(names, ", "))
	}
	p, err := e.Page()
	if err != nil {
		return err
	}
	return p.Write(out, *e.dir)
}

// Main runs the example as a program.
func (e *Example) Main() {
	err := e.Run(os.Args[1:], os.Stdout)
	if errors.Is(err, flag.ErrHelp) {
		return // it is printed
	}
	if err != nil {
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
