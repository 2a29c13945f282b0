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
	"time"

	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom/exchange"
)

// An Example is a program that reads files and makes a page of them.
type Example struct {
	// Flags are the program's flags. One per file, -o, and whatever it adds.
	Flags *flag.FlagSet
	dir   *once
	files []file
	ready []func() error           // once all files are read
	after []func(*page.Page) error // at the end of the page
	build func() (*page.Page, error)
}

// file is what one flag names, or else what lies beside the program.
type file struct {
	flag, beside string
	usage        string
	data         []byte
	read         func(name string, data []byte) error
	name         *once
	changed      string // the day on which a file that the flag names was changed last
	dropped      bool   // nobody needs it
}

// New begins an example. Once its files are read, build makes the page.
func New(name string, build func() (*page.Page, error)) *Example {
	e := &Example{Flags: flag.NewFlagSet(name, flag.ContinueOnError), dir: &once{}, build: build}
	e.Flags.Var(e.dir, "o", "`FOLDER` for the page and its figures, instead of printing the page")
	e.Flags.SetOutput(io.Discard) // what is wrong is said once, and at the end
	return e
}

// File has a file read: the one that the flag names, or else the data that lie beside
// the program under the name of beside. Without data nothing is read if nobody names a file.
func (e *Example) File(flag, beside, usage string, data []byte, read func(name string, data []byte) error) {
	name := &once{}
	e.Flags.Var(name, flag, "`FILE`: "+usage)
	e.files = append(e.files, file{flag: flag, beside: beside, usage: usage, data: data, read: read, name: name})
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

// Together says that some files are of one bike: whoever names one of them names all, since those
// beside the program are of another bike, and no file twice.
func (e *Example) Together(flags ...string) {
	e.ready = append(e.ready, func() error {
		var named, not []string
		by := map[string]string{}
		for _, f := range flags {
			if e.beside(f) {
				not = append(not, "-"+f)
				continue
			}
			named = append(named, "-"+f)
			name, _ := e.file(f)
			if first, twice := by[filepath.Clean(name)]; twice {
				return fmt.Errorf("-%s %s: want another file than that of -%s", f, name, first)
			}
			by[filepath.Clean(name)] = f
		}
		if len(named) > 0 && len(not) > 0 {
			return fmt.Errorf("%s: want it beside %s, since it is of the same bike; what lies beside the program is of another", strings.Join(not, ", "), strings.Join(named, ", "))
		}
		return nil
	})
}

// Page reads the files and makes the page. Faults of all files come together.
func (e *Example) Page() (*page.Page, error) {
	var faults []error
	for i := range e.files {
		f := &e.files[i]
		if f.dropped = f.data == nil && f.name.text == ""; f.dropped {
			continue
		}
		if err := f.open(); err != nil {
			faults = append(faults, fmt.Errorf("-%s: %w", f.flag, err)) // it names the file
			continue
		}
		faults = append(faults, f.read(cmp.Or(f.name.text, f.beside), f.data))
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
	return p, e.inputs(p)
}

// open reads the file that the flag names, if it names one.
func (f *file) open() error {
	if f.name.text == "" {
		return nil
	}
	from, err := os.Open(f.name.text)
	if err != nil {
		return err
	}
	defer from.Close()
	info, err := from.Stat()
	if err != nil {
		return err
	}
	f.changed = info.ModTime().Format(time.DateOnly)
	f.data, err = io.ReadAll(io.LimitReader(from, exchange.MaxSize+1)) // whoever reads more says that it is too large
	return err
}

// inputs adds what the page was made from.
func (e *Example) inputs(p *page.Page) error {
	p.H("What this page was made from")
	rows := [][]string{{"what", "file", "date", "what the file says of itself"}}
	for i := range e.files {
		if f := &e.files[i]; !f.dropped {
			name, day, says := filepath.Base(f.name.text), "changed "+f.changed, "–"
			if f.name.text == "" {
				name, day, says = f.beside+", beside the program", "none", "invented data"
			}
			note, dated := head(f.data)
			what, _, _ := strings.Cut(f.usage, ":")
			if at := strings.LastIndex(what, ", "); at > 0 && strings.ToUpper(what[at:]) == what[at:] {
				what = what[:at] // its format
			}
			rows = append(rows, []string{what, name, cmp.Or(dated, day), cmp.Or(note, says)})
		}
	}
	p.Table(rows...)
	e.Flags.VisitAll(func(f *flag.Flag) {
		if _, ok := f.Value.(*number); !ok {
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
		if err := more(p); err != nil {
			return err
		}
	}
	return nil
}

// head is what a file says of itself: the note of a document, or the first line of a table if
// that is a remark; and its date, if it is a document that has one, or whose meta has.
func head(data []byte) (note, date string) {
	if first, _, _ := bytes.Cut(data, []byte("\n")); bytes.HasPrefix(first, []byte("#")) {
		return strings.TrimSpace(strings.TrimPrefix(string(first), "#")), ""
	}
	var members map[string]json.RawMessage
	if json.Unmarshal(data, &members) != nil {
		return "", "" // it is no document
	}
	text := func(members map[string]json.RawMessage, name string) (s string) {
		_ = json.Unmarshal(members[name], &s) // what is no text says nothing
		return s
	}
	var meta map[string]json.RawMessage
	_ = json.Unmarshal(members["meta"], &meta)
	return text(members, "note"), cmp.Or(text(members, "date"), text(meta, "date"))
}

// file returns the name of the file that was read for a flag, if it is one of a file that is
// needed.
func (e *Example) file(flag string) (name string, ok bool) {
	for i := range e.files {
		if f := &e.files[i]; f.flag == flag && !f.dropped {
			return cmp.Or(f.name.text, f.beside), true
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

// Belongs says that the file of a flag is of the same bike as that of another flag and may be left
// out: what lies beside the program for it is dropped if the other names a file, and whoever names
// one for it names both.
func (e *Example) Belongs(flag, other string) {
	e.ready = append(e.ready, func() error {
		switch {
		case e.beside(flag) && !e.beside(other):
			e.drop(flag)
		case !e.beside(flag) && e.beside(other):
			return fmt.Errorf("-%s: want it beside -%s, since it is of the same bike; what lies beside the program is of another", other, flag)
		}
		return nil
	})
}

// Counts reports whether the file of a flag is needed and was read.
func (e *Example) Counts(flag string) bool {
	_, ok := e.file(flag)
	return ok
}

// Run does the whole job, and writes only when all of it went well.
func (e *Example) Run(args []string, out io.Writer) error {
	switch err := e.Flags.Parse(args); {
	case errors.Is(err, flag.ErrHelp):
		return cmp.Or(e.help(out), err)
	case err != nil && strings.Contains(err.Error(), "not defined"):
		return fmt.Errorf("%w: want one of %s", err, e.names())
	case err != nil:
		return err
	}
	if info, err := os.Stat(e.dir.text); err == nil && !info.IsDir() {
		return fmt.Errorf("-o %s: want a folder, and this is a file", e.dir.text)
	}
	if e.Flags.NArg() > 0 {
		return fmt.Errorf("%q: want a flag before it, one of %s", e.Flags.Arg(0), e.names())
	}
	p, err := e.Page()
	if err != nil {
		return err
	}
	if e.dir.text == "" {
		return p.Write(out, "")
	}
	if err := os.MkdirAll(e.dir.text, 0o777); err != nil {
		return fmt.Errorf("-o %s: %w", e.dir.text, err)
	}
	return p.Write(out, e.dir.text)
}

// names lists the flags.
func (e *Example) names() string {
	var names []string
	e.Flags.VisitAll(func(f *flag.Flag) { names = append(names, "-"+f.Name) })
	return strings.Join(names, ", ")
}

// help says what the flags are.
func (e *Example) help(out io.Writer) error {
	_, err := fmt.Fprintf(out, "%s prints a page in Markdown. Each file that no flag names is one beside the program, whose data are invented.\n", e.Flags.Name())
	e.Flags.SetOutput(out)
	e.Flags.PrintDefaults()
	return err
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
