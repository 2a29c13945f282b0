package exchange_test

import (
	"bytes"
	"context"
	"io"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
)

// hostile is how large hostile documents are: if Huge nearly as large as they may be.
func hostile() int {
	if trial.Huge() {
		return 62 << 20
	}
	return 1 << 20
}

// A document or table that was made to do harm is read or refused with at most 20 times
// its size and 16 MiB of memory in use, with faults that can be read, and its reading ends
// soon after its context.
func TestHostile(t *testing.T) {
	for _, c := range hostileInputs {
		t.Run(c.name, func(t *testing.T) {
			text := c.text(hostile())
			h := trial.Hostile{Name: c.name, Input: len(text), Live: 20*len(text) + 16<<20}
			h.Do = func(ctx context.Context) (any, error) { return c.read(ctx, strings.NewReader(text)) }
			require.Equal(t, c.sound, h.Run(t) == nil, "whether it is read")
		})
	}
}

type hostileInput struct {
	name  string
	sound bool // whether it is read without a fault
	read  func(ctx context.Context, r io.Reader) (any, error)
	text  func(size int) string
}

func reads[T exchange.Content](ctx context.Context, r io.Reader) (any, error) {
	v, _, err := exchange.Read[T](ctx, r)
	return v, err
}

func readsPoints[T exchange.Points](ctx context.Context, r io.Reader) (any, error) {
	return exchange.ReadPoints[T](ctx, r)
}

func readsCatalogue(ctx context.Context, r io.Reader) (any, error) {
	return exchange.ReadCatalogue(ctx, r)
}

// times repeats a text between two others up to the size.
func times(before, text, after string) func(size int) string {
	return func(size int) string { return trial.Repeat(before, text, after, size) }
}

// often repeats a text so often, or up to the size.
func often(n int, before, text, after string) func(size int) string {
	return func(size int) string {
		return trial.Repeat(before, text, after, min(size, len(before)+n*len(text)+len(after)))
	}
}

const (
	positionHead  = `{"schema":"fitgeom/position","version":1,`
	positionsHead = `{"schema":"fitgeom/positions","version":1,`
	shelfHead     = `{"schema":"fitgeom/shelf","version":1,`
	pointsHead    = "name,x_mm,y_mm,z_mm\n"
	sizesHead     = "family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm,seatpost_insertion_mm\n"
	most          = 99_999 // of an array
)

var hostileInputs = []hostileInput{
	// Documents: names, depth, commas.
	{"members of a long unknown site", false, reads[contact.Position], times(positionHead+`"sites":{"`+strings.Repeat("x", 250_000)+`":{`, `"0":0,`, `"1":1}}}`)},
	{"a name of 60 MiB", false, reads[contact.Position], times(positionHead+`"`, "x", `":1}`)},
	{"long unknown names", false, reads[contact.Position], times(positionHead, `"`+strings.Repeat("/~", 500)+`":1,`, `"sites":{}}`)},
	{"a name with escapes", false, reads[contact.Position], times(positionHead+`"sites":{`, `"`+strings.Repeat(`\u0041`, 40_000)+`":{},`, `"a":{}}}`)},
	{"brackets alone", false, reads[[]contact.Position], times(positionsHead+`"positions":`, "[", "")},
	{"deep in an unknown member", false, reads[[]contact.Position], times(positionsHead+`"more":[`, strings.Repeat("[", 90)+strings.Repeat("]", 90)+",", `0],"positions":[]}`)},
	{"commas alone", false, reads[[]contact.Position], times(positionsHead+`"positions":[`, ",", `]}`)},
	{"zeros for positions", false, reads[[]contact.Position], times(positionsHead+`"positions":[`, "0,", `0]}`)},
	{"spaces", true, reads[[]contact.Position], times(positionsHead+`"positions":[`, " ", `]}`)},
	{"line ends", false, reads[[]contact.Position], times(positionsHead, "\n", `"more":1,"positions":[]}`)},
	{"a note of 60 MiB", false, reads[[]contact.Position], times(positionsHead+`"note":"`, "n", `","positions":[]}`)},
	{"a note again and again", false, reads[[]contact.Position], times(positionsHead, `"note":"",`, `"positions":[]}`)},
	{"an unknown member again and again", false, reads[[]contact.Position], times(positionsHead, `"a":1,`, `"positions":[]}`)},
	{"a number of 60 MiB", false, reads[[]contact.Position], times(positionsHead+`"positions":`, "1", `}`)},
	{"a text that does not end", false, reads[[]contact.Position], times(positionsHead+`"more":"`, `\n`, ``)},
	{"the kind behind 60 MiB", false, reads[[]contact.Position], times(`{"more":[`, "1e5,", `0],"schema":"fitgeom/positions","version":1,"positions":[]}`)},
	{"no UTF-8 at the end", false, reads[[]contact.Position], times(positionsHead+`"positions":[`, `{"sites":{}}, `, "\xff]}")},
	{"half a pair at the end", false, reads[[]contact.Position], times(positionsHead+`"more":[`, `"\ud83d\udeb2",`, `"\ud83d"],"positions":[]}`)},

	// Documents: many of a kind.
	{"as many empty positions as may be", false, reads[[]contact.Position], often(most, positionsHead+`"positions":[`, `{"sites":{}},`, `{"sites":{}}]}`)},
	{"60 MiB of empty positions", false, reads[[]contact.Position], times(positionsHead+`"positions":[`, `{"sites":{}},`, `{"sites":{}}]}`)},
	{"positions of two sites", true, reads[[]contact.Position], often(most, positionsHead+`"positions":[`, `{"sites":{"hoods_left":{"at_mm":[500,9,600]},"bar_clamp":{"at_mm":[400,0,600]}}},`, `{"sites":{}}]}`)},
	{"positions of a far site", false, reads[[]contact.Position], often(30_000, positionsHead+`"positions":[`, `{"sites":{"hoods_left":{"at_mm":[9e9,9,600]}}},`, `{"sites":{}}]}`)},
	{"empty candidates", false, reads[[]fitgeom.Candidate], times(`{"schema":"fitgeom/results","version":1,"results":[`, "{},", `{}]}`)},
	{"candidates of a real size", true, reads[[]fitgeom.Candidate], manyCandidates},
	{"stems of no length", false, reads[fitgeom.Shelf], often(most, shelfHead+`"stems":[`, `{"name":"","length_mm":0,"angle_deg":0,"height_mm":0,"steerer_diameter_mm":0,"bar_diameter_mm":0},`, `{}]}`)},
	{"stems of no length in a whole shelf", false, reads[fitgeom.Shelf], func(size int) string { return manyParts(size, `"length_mm": 100`, `"length_mm": 0`) }},
	{"a hundred thousand equal parts of each kind", true, reads[fitgeom.Shelf], func(size int) string { return manyParts(size, "", "") }},
	{"a survey of equal readings", true, reads[survey.Survey], manyReadings},
	{"a tape survey of equal readings", false, reads[survey.TapeSurvey], often(most, `{"schema":"fitgeom/tape_survey","version":1,"readings":[`, `{"kind":"direct","from":"bottom_bracket","to":"bar_clamp","value_mm":1,"sigma_mm":1},`, `{"kind":"tilt","value_deg":1,"sigma_deg":1}]}`)},
	{"a sheet of equal entries", false, reads[convert.Sheet], often(most, `{"schema":"fitgeom/sheet","version":1,"mirrored":false,"entries":[`, `{"measure":"saddle_height","value_mm":1,"sigma_mm":1},`, `{"measure":"saddle_height","value_mm":2}]}`)},
	{"a chart of one dimension", false, reads[chart.Chart], often(most/2, `{"schema":"fitgeom/chart","version":1,"length_step_mm":1,"angle_step_deg":1,"entries":[`, `{"dimension":"stack","value_mm":500},{"dimension":"stack","value_mm":501},`, `{"dimension":"stack","value_mm":500}]}`)},
	{"a profile of zeros", false, reads[rider.Body], times(`{"schema":"fitgeom/body","version":1,"left":{"thigh_mm":400,"shank_mm":400,"ankle_height_mm":70,"ankle_behind_mm":120,"ankle":{"given":"sole_pitch","profile_deg":[`, "0,", `0]}},"hip_forward_mm":0,"hip_up_mm":60}`)},

	// Tables.
	{"a first row of commas", false, readsCatalogue, times("", ",", "\n")},
	{"a first row of names", false, readsPoints[contact.Position], times("name", ",x_mm", "\n")},
	{"CR for line ends, sizes", false, readsCatalogue, times(strings.ReplaceAll(sizesHead, "\n", "\r"), "road,54,560,385,73,73,28.6,55,500,27.2,80\r", "")},
	{"CR for line ends, points", false, readsPoints[[]survey.Reading], times(strings.ReplaceAll(pointsHead, "\n", "\r"), "mark_a,1,2,3\r", "")},
	{"CR for some line ends", false, readsPoints[[]survey.Reading], times(pointsHead, "mark_a,1,2,3\r", "")},
	{"a row of commas", false, readsPoints[contact.Position], times(pointsHead, ",", "\n")},
	{"rows of commas", false, readsCatalogue, times(sizesHead, strings.Repeat(",", 16_000)+"\n", "\n")},
	{"unknown landmarks", false, readsPoints[[]survey.Reading], times(pointsHead, "a,1,2,3\n", "")},
	{"the same site", false, readsPoints[contact.Position], times(pointsHead, "hoods_left,1,2,3\n", "")},
	{"short readings", true, readsPoints[[]survey.Reading], times(pointsHead, "mark_a,0,0,0\n", "")},
	{"sizes in short rows", true, readsCatalogue, manySizes},
	{"sizes with a fault each", false, readsCatalogue, times(sizesHead, "a,1,,385,73,73,28.6,55,500,27.2,80\n", "")},
	{"a size again and again", false, readsCatalogue, times(sizesHead, "a,1,560,385,73,73,28.6,55,500,27.2,80\n", "")},
	{"a quote that is not closed", false, readsCatalogue, times(sizesHead+`"`, "a,1,560\n", "")},
	{"quotes alone", false, readsCatalogue, times(sizesHead, `"`, "\n")},
	{"cells in quotes over lines", false, readsCatalogue, times(sizesHead, "\"\n\",", "\n")},
	{"a comment of 60 MiB", true, readsCatalogue, times(sizesHead+"#", "c", "\n")},
	{"empty lines", true, readsCatalogue, times(sizesHead, "\r\n", "\n")},
}

// manyParts is a shelf with each part as often as an array may be long and the size allows.
func manyParts(size int, old, with string) string {
	b := bytes.NewBufferString(shelfHead)
	for i, kind := range []struct{ name, part string }{
		{"caps", `{"name": "", "height_mm": 8, "steerer_diameter_mm": 28.6},`},
		{"spacers", `{"height_mm": 1, "count": 1},`},
		{"stems", `{"name": "", "length_mm": 100, "angle_deg": -6, "height_mm": 40, "steerer_diameter_mm": 28.6, "bar_diameter_mm": 31.8, "flippable": false},`},
		{"handlebars", `{"name": "", "clamp_diameter_mm": 31.8, "flat": {"width_mm": 760, "centre_mm": 120, "rise_mm": 20, "forward_mm": 0, "backsweep_deg": 8, "upsweep_deg": 5, "hand_mm": 65}},`},
		{"seatposts", `{"name": "", "diameter_mm": 27.2, "length_mm": 350, "setback_mm": 20, "min_insertion_mm": 100, "min_extension_mm": 45},`},
		{"saddles", `{"name": "", "length_mm": 275, "station_mm": 145, "height_mm": 47, "rails_from_mm": 115, "rails_to_mm": 185},`},
		{"cranks", `{"name": "", "length_mm": 172.5, "q_factor_mm": 146},`},
		{"shims", `{"name": "", "inner_diameter_mm": 25.4, "outer_diameter_mm": 31.8},`},
		{"cleat_shims", `{"height_mm": 1, "count": 1},`},
	} {
		if i > 0 {
			b.WriteString(",\n")
		}
		part := strings.ReplaceAll(kind.part, old, with)
		if old == "" {
			part = kind.part
		}
		b.WriteString(`"` + kind.name + `": [` + strings.Repeat(part, min(most, size/9/len(part))) + strings.TrimSuffix(part, ",") + "]")
	}
	return b.String() + "}"
}

func manyReadings(size int) string {
	s := frozenSurvey
	s.Readings = s.Readings[:6]
	var b bytes.Buffer
	if err := exchange.Write(context.Background(), &b, s, ""); err != nil {
		panic(err)
	}
	head := strings.TrimSuffix(strings.TrimSpace(b.String()), "\n  ]\n}") + ",\n"
	return often(most-6, head, `{"landmark":"mark_a","at":[0,0,0]},`, `{"landmark":"mark_a","at":[0,0,0]}]}`)(size)
}

func manyCandidates(size int) string {
	var b bytes.Buffer
	if err := exchange.Write(context.Background(), &b, frozenResults, ""); err != nil {
		panic(err)
	}
	head, rest, _ := strings.Cut(b.String(), "[")
	one := strings.TrimSuffix(strings.TrimSpace(rest), "\n  ]\n}")
	return trial.Repeat(head+"[", one+",", one+"]}", size)
}

func manySizes(size int) string {
	b := bytes.NewBufferString(strings.TrimSuffix(sizesHead, ",seatpost_insertion_mm\n") + "\n")
	for i := 0; b.Len() < size; i++ {
		b.WriteString("a,")
		b.WriteString(strconv.FormatInt(int64(i), 36))
		b.WriteString(",500,400,70,70,25,0,500,25\n")
	}
	return b.String()
}
