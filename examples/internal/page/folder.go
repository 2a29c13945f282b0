package page

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
)

// An Entry is a page of the index.
type Entry struct {
	// Name is that of the example's folder.
	Name string
	// Shows is what there is to see on it.
	Shows string
	// Written says that the page is in the folder for which the index is made.
	Written bool
}

// Pages are the pages of all examples, in the order in which they are best read.
var Pages = []Entry{
	{Name: "day", Shows: "a whole fitting day: level the bike, record, compare, choose a frame, rebuild, hand over, check"},
	{Name: "reproduce", Shows: "from a survey of one bike to the set-up sheet of another: the best builds, their deviations and their room"},
	{Name: "survey", Shows: "two sessions on one bike: what moved, and what only seems to"},
	{Name: "photograph", Shows: "contact points from one photograph and from five, beside a tape and the truth, and which photograph more helps most"},
	{Name: "tape", Shows: "a survey with nothing but tape and level: what it tells, beside the truth, and which one more reading helps most"},
	{Name: "translate", Shows: "a set-up sheet in three conventions, and the misprint in a frame's chart"},
	{Name: "choose", Shows: "which of 400 frame sizes can hold this position, and where a head tube may be"},
	{Name: "adjustable", Shows: "which frame a rider on an adjustable bike is on at this moment, from its scales, and the nearest sizes"},
	{Name: "design", Shows: "which frame to build where no size holds: the drawing, what is free, what contradicts"},
	{Name: "timetrial", Shows: "an aero position on another bike, with its chance to be within tolerance"},
	{Name: "trail", Shows: "a bike that sags, with shorter cranks; what an impossible case would take"},
	{Name: "stroke", Shows: "a rider in motion before and after a change: what the recordings are worth, and which changes are real"},
	{Name: "crank", Shows: "what shorter cranks do to a rider's joints"},
	{Name: "lesson", Shows: "what saddle height, setback, drop, reach and cranks do to a rider: six experiments with a question each, and the answers"},
}

// neighbours returns the pages before and after one.
func neighbours(name string) (before, next *Entry) {
	i := slices.IndexFunc(Pages, func(e Entry) bool { return e.Name == name })
	if i > 0 {
		before = &Pages[i-1]
	}
	if i >= 0 && i+1 < len(Pages) {
		next = &Pages[i+1]
	}
	return before, next
}

// Write prints the page as Markdown, or, with a folder, writes NAME.html there with its
// figures, its documents and the index of all pages, and prints what it wrote. If there is
// something to move, fitgeom.js goes beside it, which all pages share.
func (p *Page) Write(out io.Writer, dir string) error {
	if dir == "" {
		_, err := io.WriteString(out, p.Markdown())
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	live := p.live
	if live {
		if err := module(dir); err != nil {
			live = false
			if _, err := fmt.Fprintf(out, "%s.html has nothing to move, since the library could not be built for a browser: %v\n", p.Name, err); err != nil {
				return err
			}
		}
	}
	html, err := p.execute("page", Pages, live)
	if err != nil {
		return err
	}
	write := func(name string, data []byte) error {
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, data, 0o666); err != nil {
			return err
		}
		_, err := fmt.Fprintln(out, file)
		return err
	}
	if err := write(p.Name+".html", html); err != nil {
		return err
	}
	if p.sheet {
		if html, err = p.execute("sheet", nil, false); err != nil {
			return err
		}
		if err := write(p.Name+"-sheet.html", html); err != nil {
			return err
		}
	}
	for _, b := range p.blocks {
		switch b.Kind {
		case "fig":
			err = write(b.Figure.Name+".svg", []byte(b.Figure.SVG()))
		case "doc":
			err = write(b.File, []byte(b.Pre))
		}
		if err != nil {
			return err
		}
	}
	html, err = index(dir)
	if err != nil {
		return err
	}
	return write("index.html", html)
}

// absent begins a file in place of a page that is not written yet.
const absent = "<!-- not written yet -->\n"

// index returns the index of the pages in a folder. In place of a page that is not there
// yet it puts one that says how to have it written, so that no link leads nowhere.
func index(dir string) ([]byte, error) {
	all := slices.Clone(Pages)
	for i := range all {
		file := filepath.Join(dir, all[i].Name+".html")
		data, err := os.ReadFile(file)
		if all[i].Written = err == nil && !bytes.HasPrefix(data, []byte(absent)); all[i].Written {
			continue
		}
		p := New(all[i].Name, "Not written yet")
		p.P("This page is not in this folder yet. `go run ./examples/%s -o FOLDER` writes it.", all[i].Name)
		html, err := p.HTML()
		if err != nil {
			return nil, err
		}
		if err := os.WriteFile(file, append([]byte(absent), html...), 0o666); err != nil {
			return nil, err
		}
	}
	return New("index", "Bicycle fit geometry, page by page").execute("index", all, false)
}
