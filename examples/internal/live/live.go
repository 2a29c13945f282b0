package live

import (
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/strict"
)

// A Control is something that a person can set.
type Control struct {
	Name  string // in the address of the page
	Label string
	Unit  string
	// From, To and Step are its numbers; of a choice, 0, the last and 1.
	From, To, Step float64
	// At is where it stands at first.
	At float64
	// Choices are the names of what can be chosen. None: it is a number.
	Choices []string
}

// number returns a control of a number, which stands at one of its steps.
func number(name, label, unit string, from, to, step, at float64) Control {
	return Control{Name: name, Label: label, Unit: unit, From: from, To: to, Step: step, At: min(max(at, from), to)}
}

// choice returns a control of some choices.
func choice(name, label string, at int, choices ...string) Control {
	return Control{Name: name, Label: label, To: float64(len(choices) - 1), Step: 1, At: float64(at), Choices: choices}
}

// A State is where controls stand, by name.
type State map[string]float64

// A Scene is something with controls.
type Scene interface {
	// Controls lists the controls.
	Controls() []Control
	// Now answers at once, while a control moves, in HTML.
	Now(context.Context, State) (string, error)
	// Settled answers what takes longer, once nothing moves, in HTML.
	Settled(context.Context, State) (string, error)
	// Document returns what the state makes, for other programs.
	Document(State) ([]byte, error)
}

// A Documents is what a scene starts from: documents by what they are.
type Documents map[string][]byte

// scenes begins each kind of scene.
var scenes = map[string]func(Documents) (Scene, error){
	"bike": newBike,
	"body": newBody,
	"head": newHead,
}

// Begin begins a scene of a kind.
func Begin(kind string, docs Documents) (Scene, error) {
	begin, ok := scenes[kind]
	if !ok {
		return nil, errors.New("no scene is called " + strconv.Quote(kind))
	}
	return begin(docs)
}

// read reads one of the documents, which package exchange wrote for the page. That package
// reads them too, but it knows all kinds, and with it the module is larger by a sixth and
// begins later.
func read[T any](docs Documents, name string) (v T, err error) {
	_, faults, _ := strict.ReadDocument(nil, docs[name], &v, 0, &strict.Beside{})
	err = faults.Err()
	if one, ok := any(v).(interface{ Validate() error }); ok && err == nil {
		err = one.Validate()
	}
	if err != nil {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return v, err
}

// catalogue reads the sizes that package exchange wrote as a table for the page: a cell is empty,
// a text, or a number of the frame.
func catalogue(data []byte) (all []fitgeom.Size, err error) {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, cmp.Or(err, io.ErrUnexpectedEOF)
	}
	numbers := map[string]*field.Column{}
	columns := field.Columns(reflect.TypeFor[fitgeom.Frame]())
	for i := range columns {
		numbers[columns[i].Name] = &columns[i]
	}
	for line, row := range rows[1:] {
		s := fitgeom.Size{Row: line + 2}
		texts := map[string]*string{"family": &s.Family, "size": &s.Label, "steerer_interface": &s.Frame.SteererInterface, "seatpost_interface": &s.Frame.SeatpostInterface}
		for i, name := range rows[0] {
			if text, ok := texts[name]; ok {
				*text = row[i]
			} else if row[i] != "" {
				c, ok := numbers[name]
				if !ok {
					return nil, errors.New("catalogue: no column is called " + strconv.Quote(name))
				}
				if *field.Number(&s.Frame, c), err = strconv.ParseFloat(row[i], 64); err != nil {
					return nil, err
				}
			}
		}
		s.Frame.Name = s.Family + " " + s.Label
		all = append(all, s)
	}
	return all, nil
}

// kept is what a request says of a position: what is kept of it (none: what is usual), and
// what other cranks do to the saddle.
type kept struct {
	Keep  []fitgeom.Keep      `json:"keep,omitempty"`
	Crank fitgeom.CrankPolicy `json:"crank,omitzero"`
}

// kept is what a request that says nothing else asks for, if there is one.
func (d Documents) kept() (k kept, err error) {
	if _, ok := d["request"]; ok {
		k, err = read[kept](d, "request")
	}
	return k, err
}

// written returns a document of a kind, as package exchange writes it.
func written[T interface{ Validate() error }](kind string, v T) ([]byte, error) {
	head := strict.Head{Schema: "fitgeom/" + kind, Version: strict.Version{Major: 1}, Note: "as the controls of the page were set"}
	data, faults := strict.WriteDocument(nil, head, v, &strict.Beside{})
	return data, cmp.Or(faults.Err(), v.Validate())
}

// ParseState reads a state as addresses have it: "spacers=20&stem=2". What is no control
// or out of its range is left out: the control stands where it stands at first.
func ParseState(s Scene, text string) State {
	state, controls := State{}, s.Controls()
	for _, c := range controls {
		state[c.Name] = c.At
	}
	for pair := range strings.SplitSeq(text, "&") {
		name, value, _ := strings.Cut(pair, "=")
		i := slices.IndexFunc(controls, func(c Control) bool { return c.Name == name })
		v, err := strconv.ParseFloat(value, 64)
		if i >= 0 && err == nil && v >= controls[i].From && v <= controls[i].To && (controls[i].Choices == nil || v == math.Trunc(v)) {
			state[name] = v
		}
	}
	return state
}

// JSON returns the controls of a scene for a page.
func JSON(s Scene) string {
	var b strings.Builder
	quote := func(name, v string) { fmt.Fprintf(&b, `"%s":%s,`, name, quoted(v)) }
	b.WriteByte('[')
	for i, c := range s.Controls() {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteByte('{')
		quote("name", c.Name)
		quote("label", c.Label)
		quote("unit", c.Unit)
		b.WriteString(`"choices":[`)
		for k, name := range c.Choices {
			if k > 0 {
				b.WriteByte(',')
			}
			b.WriteString(quoted(name))
		}
		fmt.Fprintf(&b, `],"from":%v,"to":%v,"step":%v,"at":%v}`, c.From, c.To, c.Step, c.At)
	}
	b.WriteByte(']')
	return b.String()
}

// quoted quotes a text as JSON has it.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		if r == '"' || r == '\\' {
			b.WriteByte('\\')
		}
		if r >= ' ' {
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// table returns a table in HTML. The first row is its head; a cell that starts with a tab
// is set to the right.
func table(caption string, rows [][]string) string {
	var b strings.Builder
	b.WriteString(`<div class="scroll" role="group" tabindex="0" aria-label="` + draw.Escape(caption) + `"><table><caption>` + draw.Escape(caption) + "</caption><thead>")
	for i, r := range rows {
		cell := "td"
		if i == 0 {
			cell = "th"
		}
		b.WriteString("<tr>")
		for _, c := range r {
			c, right := strings.CutPrefix(c, "\t")
			class := ""
			switch {
			case right:
				class = ` class="n"`
			case draw.Wraps(c):
				class = ` class="w"`
			}
			b.WriteString("<" + cell + class + ">" + draw.Escape(c) + "</" + cell + ">")
		}
		b.WriteString("</tr>\n")
		if i == 0 {
			b.WriteString("</thead><tbody>")
		}
	}
	b.WriteString("</tbody></table></div>\n")
	return b.String()
}

// right returns a number for a table.
func right(v float64) string { return "\t" + draw.Fixed(v, 1) }

// signed is right with a sign.
func signed(v float64) string {
	s := draw.Fixed(v, 1)
	if v > 0 && s != "0.0" {
		s = "+" + s
	}
	return "\t" + s
}

// figure returns a figure in HTML.
func figure(f *draw.Figure) string {
	return `<figure><div class="scroll" role="group" aria-label="figure" tabindex="0">` + f.Inline() + "</div><figcaption>" + draw.Escape(f.Caption) + "</figcaption></figure>\n"
}

// said returns a sentence in HTML, which is read out when it changes.
func said(format string, a ...any) string {
	return "<p>" + draw.Escape(fmt.Sprintf(format, a...)) + "</p>\n"
}
