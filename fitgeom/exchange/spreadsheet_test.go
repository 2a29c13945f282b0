package exchange_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const tables = "../../testdata/tables"

// wantTable is what stands beside a table: what whoever made it would have read in it,
// written down before there was a reader.
type wantTable struct {
	Refused   string              `json:"refused"`
	Comma     string              `json:"comma"`
	Decimal   string              `json:"decimal"`
	HeaderRow int                 `json:"header_row"`
	Columns   map[string]string   `json:"columns"`
	Sizes     []map[string]any    `json:"sizes"`
	Meta      []map[string]string `json:"meta"`
	NotStated []string            `json:"not_stated"`
	Faults    []string            `json:"faults"`
}

// Thirty tables as spreadsheets save them: 26 are read, and the others are refused in one
// line that says what to do.
func TestSpreadsheets(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(tables, "*.csv"))
	require.NoError(t, err)
	require.Len(t, files, 30)
	read, refused := 0, 0
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".csv"), func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			beside, err := os.ReadFile(strings.TrimSuffix(file, ".csv") + ".json")
			require.NoError(t, err)
			var want wantTable
			require.NoError(t, json.Unmarshal(beside, &want))
			doc, found, err := exchange.ReadSpreadsheet(t.Context(), bytes.NewReader(data), exchange.Dialect{Columns: want.Columns})
			if want.Refused != "" {
				refused++
				require.Empty(t, doc.Value)
				require.Len(t, contact.Faults(err), 1)
				require.Contains(t, err.Error(), want.Refused)
				return
			}
			read++
			var faults []string
			for _, f := range contact.Faults(err) {
				faults = append(faults, f.Path)
			}
			require.Equal(t, want.Faults, faults, "%v", err)
			assert.Equal(t, want.Comma, string(found.Comma))
			if found.Decimal != 0 {
				assert.Equal(t, want.Decimal, string(found.Decimal))
			}
			assert.Equal(t, want.HeaderRow, found.HeaderRow)
			require.Len(t, doc.Value, len(want.Sizes))
			for i, w := range want.Sizes {
				assert.Equal(t, w, stated(t, doc.Value[i]))
				var notStated []string
				all := asMap(t, doc.Value[i].Frame.Assumed)
				for _, name := range want.NotStated {
					notStated = append(notStated, strings.TrimSuffix(name, "_mm"))
				}
				require.Len(t, all, len(notStated))
				for _, name := range notStated {
					assert.Equal(t, true, all[name], name)
				}
				if want.Meta != nil {
					var meta map[string]string
					require.NoError(t, json.Unmarshal(doc.Items["/sizes/"+strconv.Itoa(i)].Meta, &meta))
					assert.Equal(t, want.Meta[i], meta)
				} else {
					assert.Empty(t, doc.Items)
				}
			}
			var b bytes.Buffer
			require.NoError(t, exchange.WriteDocument(t.Context(), &b, doc))
			require.NoError(t, validate(t, b.Bytes()))
			back, err := exchange.ReadDocument[[]fitgeom.Size](t.Context(), &b, exchange.Reading{Strict: true})
			require.NoError(t, err)
			require.Len(t, back.Items, len(doc.Items))
		})
	}
	assert.Equal(t, "26 read, 4 refused", fmt.Sprintf("%d read, %d refused", read, refused))
}

func asMap(t *testing.T, v any) (m map[string]any) {
	data, err := json.Marshal(v)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &m))
	return m
}

// stated is a size as a table states it: one level of names, without what is assumed.
func stated(t *testing.T, s fitgeom.Size) map[string]any {
	all := map[string]any{"family": s.Family, "label": s.Label}
	frame := asMap(t, s.Frame)
	assumed, _ := frame["assumed"].(map[string]any)
	var flat func(m map[string]any)
	flat = func(m map[string]any) {
		for name, v := range m {
			if in, ok := v.(map[string]any); ok {
				flat(in)
			} else if assumed[strings.TrimSuffix(name, "_mm")] == nil && v != 0.0 && name != "name" {
				all[name] = v
			}
		}
	}
	delete(frame, "assumed")
	flat(frame)
	return all
}

// What can be told is told, and one cause is one fault.
func TestSpreadsheetDialect(t *testing.T) {
	const head = "family;size;stack;reach;head angle;seat angle\n"
	read := func(text string, d exchange.Dialect) ([]fitgeom.Size, error) {
		doc, _, err := exchange.ReadSpreadsheet(t.Context(), strings.NewReader(text), d)
		return doc.Value, err
	}
	for name, tt := range map[string]struct {
		text string
		d    exchange.Dialect
		want string
	}{
		"nothing":          {"", exchange.Dialect{}, "line 1: catalogue missing: want a row that names the columns, such as family, size, stack_mm and reach_mm; Dialect.Columns maps other names"},
		"no reach":         {"family;size;stack;head angle;seat angle\nroad;54;556;73;73\n", exchange.Dialect{}, "line 1: row 1.reach_mm missing: want the column; Dialect.Columns maps other names"},
		"twice":            {"family;size;stack;Stack (mm);reach;head angle;seat angle\n", exchange.Dialect{}, "line 1: row 1.stack_mm contradiction: want each column once"},
		"unit":             {"family;size;stack (deg);reach;head angle;seat angle\n", exchange.Dialect{}, `line 1: row 1.stack_mm "stack (deg)": want a unit of what the column holds`},
		"two marks":        {head + "road;54;556,5;382.5;73;73\n", exchange.Dialect{}, `line 2: row 2.reach_mm "382.5": want decimals behind ',', which is the table's decimal mark (Dialect.Decimal)`},
		"mark":             {head + "road;54;556,5;382;73;73\n", exchange.Dialect{Decimal: '.'}, `line 2: row 2.stack_mm "556,5": want decimals behind '.', which is the table's decimal mark (Dialect.Decimal)`},
		"no comment":       {head + "#1;54;k.A.;382,5;73;73\n", exchange.Dialect{}, `line 2: row 2.stack_mm "k.A.": want a number with a decimal point`},
		"shifted":          {"family,size,stack,reach,head angle,seat angle,chainstay\nroad,54,556,5,382,73\n", exchange.Dialect{}, "line 2: row 2 6 cells: want 7 as in row 1, since decimals with a comma"},
		"angle in mm":      {head + ";;mm;mm;mm;°\nroad;54;556;382;73;73\n", exchange.Dialect{}, `line 2: row 2.head_angle_deg "mm": want a unit of what the column holds, and the one in its name`},
		"another unit":     {"family;size;stack (cm);reach;head angle;seat angle\n;;mm;mm;°;°\nroad;54;55.6;382;73;73\n", exchange.Dialect{}, `line 2: row 2.stack_mm "mm": want a unit`},
		"stated 0":         {"family;size;stack;reach;head angle;seat angle;steerer diameter\nroad;54;556;382;73;73;0\n", exchange.Dialect{}, "line 2: row 2.steerer_diameter_mm 0 mm: want"},
		"separator":        {head, exchange.Dialect{Comma: 'x'}, `line 0: row 0 'x': want cells that ',', ';' or a tab separates`},
		"mapped elsewhere": {head, exchange.Dialect{Columns: map[string]string{"a": "b"}}, "line 1: row 1.b unknown name: want a column that catalogues have"},
		"axles in part":    {"family;size;stack;reach;head angle;seat angle;chainstay;bb drop;fork offset;front radius;rear radius\nroad;54;556;382;73;73;;70;45;336;336\n", exchange.Dialect{}, "line 2: row 2.chainstay_mm missing: want a number, as the others of the axles are stated; all of them or none"},
	} {
		sizes, err := read(tt.text, tt.d)
		assert.Empty(t, sizes, name)
		assert.Len(t, contact.Faults(err), 1, name)
		assert.ErrorContains(t, err, strings.TrimPrefix(tt.want, "line 0: row 0 "), name)
	}

	// A bad row ends no table, a stated 0 is stated, and each column is kept.
	doc, found, err := exchange.ReadSpreadsheet(t.Context(), strings.NewReader("family;size;stack;reach;head angle;seat angle;max under stem;note;note\n"+
		"road;\"5\"4;556;382;73;73;;;\n#1;54;556,5;382;73;73;0;a;b\n"), exchange.Dialect{})
	require.ErrorContains(t, err, "line 2: row 2")
	require.Len(t, contact.Faults(err), 1)
	require.Len(t, doc.Value, 1)
	assert.Equal(t, "#1", doc.Value[0].Family)
	assert.Zero(t, doc.Value[0].Frame.MaxUnderStem)
	assert.False(t, doc.Value[0].Frame.Assumed.MaxUnderStem)
	assert.Equal(t, ',', found.Decimal)
	assert.JSONEq(t, `{"note":"a","note 2":"b"}`, string(doc.Items["/sizes/0"].Meta))

	sizes, err := read("size;stack;reach;head angle;seat angle\n54;556;382;73;73,5\n", exchange.Dialect{Family: "road", Assume: fitgeom.Frame{SeatpostDiameter: 31.6}})
	require.NoError(t, err)
	require.Len(t, sizes, 1)
	f := sizes[0].Frame
	assert.Equal(t, "road 54", f.Name)
	assert.Equal(t, []float64{28.6, 40, 500, 31.6}, []float64{f.SteererDiameter, f.MaxUnderStem, f.SeatTubeTop, f.SeatpostDiameter})
	assert.Equal(t, fitgeom.Assumed{SteererDiameter: true, MaxUnderStem: true, SeatTubeTop: true, SeatpostDiameter: true}, f.Assumed)
	build := frozenBuild
	for _, is := range []bool{false, true} { // a result says what its frame's chart did not
		build.Frame.Assumed.MaxUnderStem = is
		cautions, err := build.Cautions()
		require.NoError(t, err)
		assert.Equal(t, is, slices.Contains(cautions, fitgeom.CautionAssumed))
	}
	assert.ErrorContains(t, exchange.WriteCatalogue(t.Context(), new(bytes.Buffer), sizes), "sizes[0].frame.assumed")
}

// FuzzSpreadsheet reads any text as a spreadsheet: what it takes are sound sizes.
func FuzzSpreadsheet(f *testing.F) {
	files, err := filepath.Glob(filepath.Join(tables, "*.csv"))
	require.NoError(f, err)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(f, err)
		f.Add(data, true)
	}
	f.Fuzz(func(t *testing.T, data []byte, found bool) {
		d := exchange.Dialect{Family: "road"}
		if !found {
			d = exchange.Dialect{Comma: ';', Decimal: ',', HeaderRow: 1, Columns: map[string]string{"a": "stack_mm"}}
		}
		spent := trial.Spending()
		doc, _, err := exchange.ReadSpreadsheet(t.Context(), bytes.NewReader(data), d)
		require.LessOrEqual(t, spent(), 40*len(data)+32<<20)
		rejected(t, err)
		for _, s := range doc.Value {
			require.NoError(t, s.Validate())
		}
		var b bytes.Buffer
		require.NoError(t, exchange.WriteDocument(t.Context(), &b, doc))
	})
}
