// Package page is how the examples speak: a page of prose, lists, tables and
// figures, written as Markdown or as one HTML file that needs no other.
package page

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"example.com/fitgeom/examples/internal/draw"
)

// Page is what an example has said so far.
type Page struct {
	// Name is that of the example's folder.
	Name string
	// Title is the page's heading.
	Title  string
	blocks []block
	how    []block // the closing paragraph
	sheet  bool    // there is a table to tick off
	live   bool    // there is something to move
}

// New begins a page.
func New(name, title string) *Page { return &Page{Name: name, Title: title} }

type block struct {
	Kind   string // h, p, list, table, pre, fig, doc, live
	ID     string // of a heading
	Text   []span
	Items  [][]span
	Head   [][]span
	Rows   [][][]span
	Right  []bool // columns of numbers
	Tick   bool   // a box before each row
	Pre    string
	File   string // of a document, with Pre in it; the kind of a live scene
	Docs   map[string]string
	First  func() string // the first answer of a live scene, in HTML
	Figure *draw.Figure
}

// span is some text; of code, or with a link, or neither.
type span struct {
	S, Link string
	Code    bool
}

// spans takes prose apart: `code` and [links](address). What came as an argument
// cannot be either.
func spans(format string, args []any) []span {
	for i, a := range args {
		switch a := a.(type) {
		case string:
			args[i] = shield.Replace(a)
		case error:
			args[i] = shield.Replace(a.Error())
		case fmt.Stringer:
			args[i] = shield.Replace(a.String())
		}
	}
	s := format
	if len(args) > 0 {
		s = fmt.Sprintf(format, args...)
	}
	var all []span
	for len(s) > 0 {
		at := marked.FindStringSubmatchIndex(s)
		if at == nil {
			return append(all, span{S: unshield.Replace(s)})
		}
		if at[0] > 0 {
			all = append(all, span{S: unshield.Replace(s[:at[0]])})
		}
		if at[2] >= 0 {
			all = append(all, span{S: unshield.Replace(s[at[2]:at[3]]), Code: true})
		} else {
			all = append(all, span{S: unshield.Replace(s[at[4]:at[5]]), Link: s[at[6]:at[7]]})
		}
		s = s[at[1]:]
	}
	return all
}

var (
	marked   = regexp.MustCompile("`([^`]+)`|\\[([^\\]]+)\\]\\(([A-Za-z./#-]+)\\)")
	shield   = strings.NewReplacer("`", "\x01", "[", "\x02")
	unshield = strings.NewReplacer("\x01", "`", "\x02", "[")
)

// H adds a heading.
func (p *Page) H(format string, a ...any) { p.blocks = append(p.blocks, p.heading(format, a)) }

func (p *Page) heading(format string, a []any) block {
	text := spans(format, a)
	return block{Kind: "h", Text: text, ID: p.id(text)}
}

var apart = regexp.MustCompile(`[^a-z0-9]+`)

// id is what links to a heading end in: its words, without its number.
func (p *Page) id(text []span) string {
	var words strings.Builder
	for _, s := range text {
		words.WriteString(s.S)
	}
	id := strings.Trim(apart.ReplaceAllString(strings.ToLower(words.String()), "-"), "-0123456789")
	for _, b := range p.blocks {
		if b.ID == id {
			return fmt.Sprintf("%s-%d", id, len(p.blocks))
		}
	}
	return id
}

// P adds a paragraph, in which `code` and [words](address) may be marked.
func (p *Page) P(format string, a ...any) {
	p.blocks = append(p.blocks, block{Kind: "p", Text: spans(format, a)})
}

// How sets the closing paragraph for those who write programs: which names of the library
// the page stands on. It comes last, whatever is added after it: whoever reads all else need
// not know them.
func (p *Page) How(format string, a ...any) {
	p.how = []block{p.heading("How this was computed", nil), {Kind: "p", Text: spans(format, a)}}
}

// all returns the blocks in their order.
func (p *Page) all() []block { return slices.Concat(p.blocks, p.how) }

// List adds a list; an item is text as it is, without marks.
func (p *Page) List(items ...string) {
	if len(items) == 0 {
		return
	}
	b := block{Kind: "list"}
	for _, s := range items {
		b.Items = append(b.Items, []span{{S: s}})
	}
	p.blocks = append(p.blocks, b)
}

// Pre adds what a program printed.
func (p *Page) Pre(s string) {
	p.blocks = append(p.blocks, block{Kind: "pre", Pre: strings.TrimRight(s, "\n")})
}

var number = regexp.MustCompile(`^[+−-]?[0-9.]+( ?(%|°|mm))?$`)

// Table adds a table; the first row is its head. Text is as it is, without marks.
// Columns that hold numbers are set to the right.
func (p *Page) Table(rows ...[]string) {
	if len(rows) == 0 {
		return
	}
	b := block{Kind: "table"}
	width := 0
	for _, r := range rows {
		width = max(width, len(r))
	}
	for i, r := range rows {
		row := make([][]span, width)
		for k := range row {
			s := ""
			if k < len(r) {
				s = r[k]
			}
			row[k] = []span{{S: s}}
		}
		if i == 0 {
			b.Head = row
			continue
		}
		b.Rows = append(b.Rows, row)
	}
	b.Right = make([]bool, width)
	for k := range b.Right {
		numbers, others := 0, 0
		for _, r := range b.Rows {
			switch s := r[k][0].S; {
			case number.MatchString(s):
				numbers++
			case s != "" && s != "–" && s != "any":
				others++
			}
		}
		b.Right[k] = numbers > 0 && others == 0
	}
	p.blocks = append(p.blocks, b)
}

// Sheet adds a table of steps to be ticked off, one after another. Beside the page it
// is written as a page of its own too, which is printed on one sheet of paper.
func (p *Page) Sheet(rows ...[]string) {
	p.Table(rows...)
	p.blocks[len(p.blocks)-1].Tick, p.sheet = true, true
}

// Document adds a document: what the figure or the table before it shows. It is
// written beside the page, for other programs and pages to read.
func (p *Page) Document(file, what string, data []byte) {
	p.blocks = append(p.blocks, block{Kind: "doc", File: file, Text: []span{{S: what}}, Pre: string(data)})
}

// Figure adds a figure with its caption.
func (p *Page) Figure(f *draw.Figure) {
	p.blocks = append(p.blocks, block{Kind: "fig", Figure: f, Text: []span{{S: f.Caption}}})
}

// Draw adds a figure that could be drawn.
func (p *Page) Draw(f *draw.Figure, err error) error {
	if err == nil {
		p.Figure(f)
	}
	return err
}

// Figures returns the figures in their order.
func (p *Page) Figures() []*draw.Figure {
	var all []*draw.Figure
	for _, b := range p.blocks {
		if b.Figure != nil {
			all = append(all, b.Figure)
		}
	}
	return all
}

// Documents yields the documents by the names of their files.
func (p *Page) Documents(yield func(file string, data []byte) bool) {
	for _, b := range p.blocks {
		if b.Kind == "doc" && !yield(b.File, []byte(b.Pre)) {
			return
		}
	}
}

// Markdown returns the page as Markdown, which also reads well in a terminal.
func (p *Page) Markdown() string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n", escape(p.Title))
	for _, k := range p.all() {
		switch k.Kind {
		case "h":
			fmt.Fprintf(&b, "## %s\n\n", prose(k.Text))
		case "p":
			b.WriteString(wrap(lineStart.ReplaceAllString(prose(k.Text), `\$1`), "") + "\n")
		case "list":
			for _, i := range k.Items {
				b.WriteString("- " + strings.TrimLeft(wrap(prose(i), "  "), " "))
			}
			b.WriteByte('\n')
		case "pre":
			fmt.Fprintf(&b, "```\n%s\n```\n\n", strings.ReplaceAll(k.Pre, "```", "'''"))
		case "table":
			table(&b, k)
		case "fig":
			fmt.Fprintf(&b, "![%s](%s.svg)\n\n%s\n", escape(k.Figure.Title), k.Figure.Name, wrap(prose(k.Text), ""))
		}
	}
	return strings.TrimRight(b.String(), "\n") + "\n"
}

var (
	special   = regexp.MustCompile("[\\\\`*\\[\\]|~]|<[a-zA-Z/!?]|&[a-zA-Z#]|(^|[^\\pL\\pN])_|_($|[^\\pL\\pN])")
	lineStart = regexp.MustCompile(`^([#>+-]|[0-9]+[.)])`)
)

// escape keeps Markdown from seeing marks in a text.
func escape(s string) string {
	return special.ReplaceAllStringFunc(strings.Join(strings.Fields(s), " "), func(m string) string {
		if i := strings.IndexByte(m, '_'); i >= 0 {
			return m[:i] + `\` + m[i:]
		}
		return `\` + m
	})
}

func prose(text []span) string {
	var b strings.Builder
	for i, s := range text {
		e := s.S
		switch {
		case s.Code:
			e = "`" + e + "`"
		case s.Link != "":
			e = "[" + escape(e) + "](" + s.Link + ")"
		default:
			e = escape(e)
			// Blanks at the ends of a span separate it from its neighbours.
			if i > 0 && strings.HasPrefix(s.S, " ") {
				e = " " + e
			}
			if i < len(text)-1 && strings.HasSuffix(s.S, " ") && e != " " {
				e += " "
			}
		}
		b.WriteString(e)
	}
	return b.String()
}

// wrap breaks lines at 100 characters and indents them.
func wrap(s, indent string) string {
	var b strings.Builder
	at := 0
	for w := range strings.FieldsSeq(s) {
		n := utf8.RuneCountInString(w)
		switch {
		case at == 0:
			b.WriteString(indent)
			at = len(indent)
		case at+1+n > 100 && lineStart.FindString(w) == "":
			b.WriteString("\n" + indent)
			at = len(indent)
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(w)
		at += n
	}
	b.WriteByte('\n')
	return b.String()
}

// table pads cells, so that columns line up in a terminal too.
func table(b *strings.Builder, k block) {
	rows := [][]string{}
	widths := make([]int, len(k.Right))
	for _, r := range append([][][]span{k.Head}, k.Rows...) {
		cells := make([]string, len(r))
		for i, c := range r {
			cells[i] = prose(c)
			widths[i] = max(widths[i], utf8.RuneCountInString(cells[i]), 3)
		}
		rows = append(rows, cells)
	}
	for n, r := range rows {
		for i, c := range r {
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(c))
			if k.Right[i] {
				c = pad + c
			} else {
				c += pad
			}
			b.WriteString("| " + c + " ")
		}
		b.WriteString("|\n")
		if n > 0 {
			continue
		}
		for i, w := range widths {
			line := strings.Repeat("-", w+2)
			if k.Right[i] {
				line = line[1:] + ":"
			}
			b.WriteString("|" + line)
		}
		b.WriteString("|\n")
	}
	b.WriteByte('\n')
}

// patience is how long a step may take before a person is told of it.
const patience = time.Second

// Step does one step of the work and, if it takes over a second, says on
// progress that it is under way and when it is done.
func Step(progress io.Writer, what string, do func() error) error {
	begun, told := time.Now(), make(chan struct{})
	t := time.AfterFunc(patience, func() {
		defer close(told)
		fmt.Fprintf(progress, "%s …\n", what)
	})
	err := do()
	if !t.Stop() {
		<-told
		fmt.Fprintf(progress, "%s: %.1f s\n", what, time.Since(begun).Seconds())
	}
	return err
}
