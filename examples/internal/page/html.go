package page

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"html/template"
	"net/url"
	"strings"

	"example.com/fitgeom/examples/internal/draw"
)

var (
	//go:embed page.html.tmpl
	text string
	//go:embed page.css
	style string
)

var tmpl = template.Must(template.New("page").Funcs(template.FuncMap{
	"svg":   func(f *draw.Figure) template.HTML { return template.HTML(f.Inline()) }, // it escapes
	"style": func() template.CSS { return template.CSS(draw.Style + style) },
	"page": func(link string) string {
		return strings.TrimPrefix(strings.Replace(link, "/README.md", ".html", 1), "../")
	},
	"first": func(b block) template.HTML { return template.HTML(b.First()) }, // it escapes too
	"look":  look,
	"wraps": func(cell []span) bool { return draw.Wraps(prose(cell)) },
	"csv":   asCSV,
}).Parse(text))

// look returns how a table is set: "wide" of many columns, in smaller letters; "long" of so
// many words that a phone should rather scroll it than break them into columns of words.
func look(b block) string {
	if len(b.Right) > 7 {
		return "wide"
	}
	for _, r := range b.Rows {
		letters := 0
		for _, c := range r {
			letters += len(c[0].S)
		}
		if letters > 70 {
			return "long"
		}
	}
	return ""
}

// asCSV returns a table as an address that holds it.
func asCSV(b block) (template.URL, error) {
	var s strings.Builder
	w := csv.NewWriter(&s)
	for _, r := range append([][][]span{b.Head}, b.Rows...) {
		var row []string
		for _, c := range r {
			row = append(row, c[0].S)
		}
		if err := w.Write(row); err != nil {
			return "", err
		}
	}
	w.Flush()
	return template.URL("data:text/csv;charset=utf-8," + url.PathEscape(s.String())), w.Error()
}

// HTML returns the page as one file.
// Scenes to move are left out: Write has them.
func (p *Page) HTML() ([]byte, error) { return p.execute("page", Pages, false) }

// execute fills in one of the templates: "page", "sheet" or "index".
func (p *Page) execute(name string, all []Entry, live bool) ([]byte, error) {
	before, next := neighbours(p.Name)
	var b bytes.Buffer
	err := tmpl.ExecuteTemplate(&b, name, struct {
		*Page
		Blocks       []block
		Before, Next *Entry
		Sheet, Live  bool
		All          []Entry
	}{p, p.all(), before, next, p.sheet, live, all})
	return b.Bytes(), err
}
