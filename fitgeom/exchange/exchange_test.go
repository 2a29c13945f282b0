package exchange_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/trial"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A subject is what the tests do with one kind.
type subject struct {
	name string
	// random writes a value and returns the document, and again what is read of it.
	random func(t *testing.T, d dice) []byte
	// reread reads a document and writes what it says.
	reread func(data []byte) (string, error)
	// carry reads a document with all that it holds and writes it.
	carry func(data []byte, how exchange.Reading) (carried, error)
}

func subjectOf[T exchange.Content](name string, random func(dice) T) subject {
	return subject{
		name:  name,
		carry: carryOf[T],
		random: func(t *testing.T, d dice) []byte {
			v := random(d)
			note := d.name()
			var b bytes.Buffer
			require.NoError(t, exchange.Write(t.Context(), &b, v, note))
			got, said, err := exchange.Read[T](t.Context(), bytes.NewReader(b.Bytes()))
			require.NoError(t, err, b.String())
			require.Empty(t, cmp.Diff(v, got, cmpopts.EquateEmpty(), cmpopts.EquateErrors(), everything))
			require.Equal(t, note, said)
			return b.Bytes()
		},
		reread: func(data []byte) (string, error) {
			v, note, err := exchange.Read[T](context.Background(), bytes.NewReader(data))
			if err != nil {
				return "", err
			}
			var b bytes.Buffer
			if err := exchange.Write(context.Background(), &b, v, note); err != nil {
				return "", err
			}
			return b.String(), nil
		},
	}
}

var subjects = []subject{
	subjectOf("position", dice.position),
	subjectOf("positions", func(d dice) []contact.Position { return list(d, 3, d.position) }),
	subjectOf("body", dice.body),
	subjectOf("survey", dice.survey),
	subjectOf("tape_survey", dice.tape),
	subjectOf("photographs", dice.photographs),
	subjectOf("sheet", dice.sheet),
	subjectOf("chart", dice.chart),
	subjectOf("frame", dice.frame),
	subjectOf("frames", dice.sizes),
	subjectOf("shelf", dice.shelf),
	subjectOf("build", dice.build),
	subjectOf("results", dice.results),
	subjectOf("request", dice.request),
	subjectOf("faults", dice.faults),
}

// What is written is read back exactly, and written again to the same bytes.
func TestRoundTrip(t *testing.T) {
	n := uint64(50)
	switch {
	case trial.Long():
		n = 500
	case testing.Short():
		n = 20
	}
	for _, s := range everyKind {
		t.Run(s.name, func(t *testing.T) {
			for seed := range draws(&s, n) {
				doc := s.random(t, newDice(seed))
				require.True(t, json.Valid(doc))
				require.Equal(t, doc[len(doc)-1], byte('\n'))
				again, err := s.reread(doc)
				require.NoError(t, err)
				require.Equal(t, string(doc), again)
				schema, version, err := exchange.Kind(t.Context(), doc)
				require.NoError(t, err)
				assert.Equal(t, "fitgeom/"+s.name, schema)
				assert.Equal(t, "1.0", version)
			}
		})
	}
}

// golden compares with a file, or writes it if UPDATE_GOLDEN is set.
func golden(t *testing.T, name, got string) {
	t.Helper()
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(name, []byte(got), 0o666))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), got))
}

// All faults of a document together: those of the text, then those of the value.
func TestFaults(t *testing.T) {
	data, err := os.ReadFile("../../testdata/exchange/faulty.json")
	require.NoError(t, err)
	v, note, err := exchange.Read[fitgeom.Shelf](t.Context(), bytes.NewReader(data))
	require.Error(t, err)
	require.Equal(t, fitgeom.Shelf{}, v)
	require.Empty(t, note)
	golden(t, "../../testdata/exchange/faulty.txt", err.Error()+"\n")
}

// Faults of the value are found at their members.
func TestFaultsOfTheValue(t *testing.T) {
	read := func(name, old, new string) (string, string) {
		t.Helper()
		data, err := os.ReadFile(v1 + "/" + name + ".json")
		require.NoError(t, err)
		changed := strings.Replace(string(data), old, new, 1)
		require.NotEqual(t, string(data), changed)
		for _, s := range subjects {
			if s.name == name {
				if _, err = s.reread([]byte(changed)); err != nil {
					return changed, err.Error()
				}
			}
		}
		return changed, ""
	}
	for _, c := range []struct{ name, old, new, at, want string }{
		{"position", "[580, 212", "[3000, 212", "", "line %d: /sites/hoods_left/at_mm/0 3000 mm: want -400 to 1300 mm"},
		{"position", `"tilt_deg": 8`, `"tilt_deg": 98`, "", "line %d: /sites/hoods_left/attitude/tilt_deg 98 degrees: want -90 to 90 degrees"},
		{"positions", "[172.5, -74", "[172.5, 75", `"pedal_left"`, "line %d: /positions/0/sites/pedal_left/at_mm/1 74 mm: want it to the left of pedal_right at 75 mm (left and right swapped?)"},
		{"body", `"thigh_mm": 408`, `"thigh_mm": 40.8`, "", "line %d: /left/thigh_mm 40.8 mm: want 200 to 700 mm; it looks like centimetres"},
		{"body", "14.5, -3", "14.5, -73", "", "line %d: /right/ankle/profile_deg/2 -73 degrees: want -70 to 50 degrees"},
		{"body", "[12, 14.5, -3, -8]", "[]", "", "line %d: /right/ankle/profile_deg missing: want at least one angle"},
		{"body", `"hip_up_mm": 50`, `"hip_up_mm": 500`, "", "line %d: /hip_up_mm 500 mm: want 20 to 250 mm; it looks like millimetres taken for centimetres"},
		{"body", `"hoods_left"`, `"pedal_left"`, "", "line %d: /upper/grip pedal_left: want a site of the hands, such as hoods_left"},
		{"body", `"angle_deg": 20`, `"angle_deg": -20`, "", "line %d: /upper/angle_deg -20 degrees: want 0 to 150 degrees"},
		{"survey", `"hoods_left", "at": [30.43`, `"hoods_left", "at": [1e9`, "", "line %d: /readings/8/at/0 1e+09 cm: want -10000 to 10000 cm"},
		{"survey", `"hoods_left", "at": [30.43`, `"bell", "at": [1e9`, "", "line %d: /readings/8/landmark \"bell\": want a landmark such as rear_axle_left or hoods_right\nline %d: /readings/8/at/0 1e+09 cm: want -10000 to 10000 cm"},
		{"survey", `"mark_scratch"`, `"site(0)"`, "", `line %d: /readings/6/landmark "site(0)": want a landmark such as rear_axle_left or hoods_right`},
		{"survey", `"rear_axle_left"`, `"hoods_left"`, `"readings"`, "line %d: /readings missing: want at least one reading of rear_axle_left"},
		{"survey", "0.0016, 0.0001, 0]", "-1, 0.0001, 0]", "", "line %d: /covariance/0/0 -1 cm²: want more than 0, at most 25 cm²\nline %d: /covariance not positive definite: want a positive definite matrix"},
		{"tape_survey", `"value_mm": -66`, `"value_mm": 6000`, "", "line %d: /readings/1/value_mm 6000 mm: want -2000 to 2000 mm"},
		{"tape_survey", `"value_deg": -1.2`, `"value_mm": -1.2`, "", "line %d: /readings/4/value_mm unknown name: want value_deg, the unit of what it belongs to"},
		{"sheet", `"seat_angle_deg": 73.5`, `"seat_angle_deg": 7.35`, "", "line %d: /seat_angle_deg 7.35 degrees: want 50 to 90 degrees"},
		{"sheet", `"sigma_deg": 0.2`, `"sigma_deg": -0.2`, "", "line %d: /entries/1/sigma_deg -0.2 degrees: want 0 to 1.797693e+308 degrees"},
		{"chart", `"value_mm": 572`, `"value_mm": 0.572`, "", "line %d: /entries/0/value_mm 0.572 mm: want 300 to 800 mm; it looks like metres"},
		{"chart", `"step_deg": 0.5`, `"step_deg": 5`, "", "line %d: /entries/3/step_deg 5 degrees: want 0 to 2 degrees"},
		{"frame", `"bb_drop_mm": 72`, `"bb_drop_mm": 720`, "", "line %d: /geometry/axles/bb_drop_mm 720 mm: want -150 to 150 mm"},
		{"frames", `"label": "54"`, `"label": ""`, "", "line %d: /sizes/0/label missing: want a name"},
		{"shelf", `"outer_diameter_mm": 31.8`, `"outer_diameter_mm": 3`, "", "line %d: /shims/0/outer_diameter_mm 3 mm: want 20 to 45 mm; it looks like centimetres"},
		{"shelf", `"outer_diameter_mm": 31.8`, `"outer_diameter_mm": 25`, "", "line %d: /shims/0/outer_diameter_mm 25 mm: want 25.4 to 45 mm"},
		{"build", `"spacers_mm": 12.5`, `"spacers_mm": 1250`, "", "line %d: /settings/spacers_mm 1250 mm: want 0 to 150 mm"},
		{"results", `"tilt_deg": 17`, `"tilt_deg": "17"`, "", `line %d: /results/0/position/sites/extension_left/attitude/tilt_deg "17": want a number`},
		{"results", `[172.5, 73, 0]`, `[172.5, 73.01, 0]`, `"position"`, "line %d: /results/0/position another: want what follows from build and deviations"},
		{"results", `"tilt_deg": 17`, `"tilt_deg": 98`, `"position"`, "line %d: /results/0/position another: want what follows from build and deviations"},
		{"results", `"score": 0.2`, `"score": -0.4`, "", "line %d: /results/0/score another: want what follows from build and deviations"},
		{"results", `"weight": [4`, `"weight": [4000`, "", "line %d: /results/0/deviations/1/weight/0 4000 times: want 0.001 to 1000 times"},
		{"results", `"holds": false`, `"holds": true`, "", "line %d: /results/0/holds another: want what follows from build and deviations"},
		{"results", `"score": 0.2`, `"score": 1.4`, "", "line %d: /results/0/score another: want what follows from build and deviations"},
		{"results", `"room_deg": 8`, `"room_deg": 7`, `"margins"`, "line %d: /results/0/margins another: want what follows from build and deviations"},
		{"results", `"race_rules"`, `"tyre"`, `"cautions"`, "line %d: /results/0/cautions another: want what follows from build and deviations"},
		{"results", `"room_deg": 8`, `"room_mm": 8`, "", "line %d: /results/0/margins/7/room_mm unknown name: want room_deg, the unit of what it belongs to"},
		{"results", `"off_mm": [0.5`, `"off_mm": [1e999`, "", "line %d: /results/0/deviations/0/off_mm/0 1e999: want a finite number"},
		{"results", `"tolerance_mm": [5, 0,`, `"tolerance_mm": [5, 2000,`, "", "line %d: /results/0/deviations/0/tolerance_mm/1 2000 mm: want 0.001 to 1000 mm"},
		{"results", `"buy": "stems`, `"buy": "aero_bars`, "", `line %d: /results/0/buy "aero_bars, aero_bars": want each kind once`},
	} {
		changed, got := read(c.name, c.old, c.new)
		before, _, found := strings.Cut(changed, or(c.at, c.new))
		require.True(t, found)
		line := fmt.Sprint("line ", 1+strings.Count(before, "\n"))
		assert.Equal(t, strings.ReplaceAll(c.want, "line %d", line), got, "%s: %s", c.name, c.new)
	}
}

// Of a body, what is not known is left out: what stands there is known, and judged.
func TestBody(t *testing.T) {
	const (
		leg     = `{"thigh_mm":400,"shank_mm":400,"ankle_height_mm":70,"ankle_behind_mm":120,"ankle":{"given":"sole_pitch","profile_deg":[-20]}}`
		zeroLeg = `{"thigh_mm":0,"shank_mm":0,"ankle_height_mm":0,"ankle_behind_mm":0,"ankle":{"given":"sole_pitch","profile_deg":[]}}`
		upper   = `"trunk_mm":500,"upper_arm_mm":300,"forearm_mm":250,"grip":"hoods_left"`
	)
	for content, want := range map[string]string{
		`"left":` + leg:  "",
		`"right":` + leg: "",
		`"upper":{` + upper + `,"keep":"keep_trunk","angle_deg":-20}`: "/left missing: want at least one leg",
		`"left":` + leg + `,"right":` + zeroLeg: "/right/thigh_mm 0 mm: want 200 to 700 mm\n/right/shank_mm 0 mm: want 200 to 700 mm\n" +
			"/right/ankle_height_mm 0 mm: want 20 to 200 mm\n/right/ankle_behind_mm 0 mm: want 10 to 300 mm\n/right/ankle/profile_deg missing: want at least one angle",
		`"left":` + leg + `,"upper":{"trunk_mm":0,"upper_arm_mm":-0,"forearm_mm":0,"grip":"saddle_reference","keep":"keep_elbow","angle_deg":0}`: "/upper/trunk_mm 0 mm: want 300 to 800 mm\n" +
			"/upper/upper_arm_mm 0 mm: want 150 to 500 mm\n/upper/forearm_mm 0 mm: want 150 to 450 mm\n/upper/grip saddle_reference: want a site of the hands, such as hoods_left",
		// The angle is not judged by a word that nobody wrote.
		`"left":` + leg + `,"upper":{` + upper + `,"keep":"trunk","angle_deg":-20}`: `/upper/keep "trunk": want one of keep_elbow, keep_trunk`,
		`"left":` + leg + `,"upper":{` + upper + `,"angle_deg":-20}`:                "/upper/keep missing: want a string",
	} {
		text := `{"schema":"fitgeom/body","version":1,"hip_forward_mm":60,"hip_up_mm":50,` + content + `}`
		_, _, err := exchange.Read[rider.Body](t.Context(), strings.NewReader(text))
		if want == "" {
			require.NoError(t, err)
			continue
		}
		require.Error(t, err, content)
		assert.Equal(t, want, strings.ReplaceAll(err.Error(), "line 1: ", ""))
		assert.Error(t, validate(t, []byte(text)), "the schema takes %s", content)
	}

	var b bytes.Buffer
	body := frozenBody
	body.Left = rider.Leg{Ankle: rider.Ankle{Given: 7}}
	body.Right.Thigh = math.NaN()
	body.Upper.Keep = 255
	body.Upper.Grip = 200
	err := exchange.Write(t.Context(), &b, body, "")
	for _, want := range []string{
		"/left/ankle/given number 7: want one of sole_pitch, dorsiflexion", "/left/thigh_mm 0 mm: want 200 to 700 mm", "/right/thigh_mm NaN: want a finite number",
		"/upper/grip number 200: want " + trial.ASite(), "/upper/keep number 255: want one of keep_elbow, keep_trunk",
	} {
		assert.ErrorContains(t, err, want)
	}
	assert.Len(t, contact.Faults(err), 8)
	assert.EqualError(t, exchange.Write(t.Context(), &b, rider.Body{HipUp: 50}, ""), "/left missing: want at least one leg")
	assert.Zero(t, b.Len())
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// What cannot be read back is not written.
func TestWriteRefuses(t *testing.T) {
	var b bytes.Buffer
	p := frozenPosition
	p.Set(contact.HoodsLeft, r3.Vec{X: math.NaN(), Y: 212, Z: math.Inf(1)})
	err := exchange.Write(t.Context(), &b, p, "\xff")
	assert.EqualError(t, err, "/note \"\\xff\": want text in UTF-8\n/sites/hoods_left/at_mm/0 NaN: want a finite number\n/sites/hoods_left/at_mm/2 +Inf: want a finite number")
	c := frozenResults[0]
	c.Deviations = []fitgeom.Deviation{{Keep: fitgeom.Keep{Site: 99}}}
	c.Buy = 1 << 15
	c.Build.Frame.MaxUnderStem = 1000
	err = exchange.Write(t.Context(), &b, []fitgeom.Candidate{c}, "")
	for _, want := range []string{"/results/0/deviations/0/site number 99", "/results/0/buy kind(15): want kinds of this package", "/results/0/build/frame/max_under_stem_mm 1000 mm: want 0 to 150 mm"} {
		assert.ErrorContains(t, err, want)
	}
	err = exchange.Write(t.Context(), &b, survey.Survey{Unit: 9}, "")
	assert.ErrorContains(t, err, "/unit number 9: want one of mm, cm, m, in")
	assert.EqualError(t, exchange.Write(t.Context(), &b, make([]contact.Position, 100_001), ""), "/positions an array of 100001: want at most 100000")
	assert.Zero(t, b.Len())
	broken := errors.New("full")
	require.ErrorIs(t, exchange.Write(t.Context(), failing{broken}, frozenPosition, ""), broken)
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestKind(t *testing.T) {
	for text, want := range map[string]string{
		`{"schema": "a", "version": 3}`:                               "a 3.0 <nil>",
		`{"x": [{"schema": 1}], "version": 0, "schema": "", "rubbish`: " 0.0 <nil>",
		`{"version": 1}`:                "  /schema missing: want a string",
		`{"schema": 1, "version": 1.5}`: "  /schema 1: want a string\n/version 1.5: want \"1.0\" or another version, as major.minor",
		`[]`:                            "  /schema missing: want a string\n/version missing: want a string",
		``:                              "  /schema missing: want a string\n/version missing: want a string",
	} {
		schema, version, err := exchange.Kind(t.Context(), []byte(text))
		assert.Equal(t, want, fmt.Sprint(schema, " ", version, " ", err), text)
	}
}

func TestLimits(t *testing.T) {
	const head = `{"schema":"fitgeom/positions","version":1,`
	for name, c := range map[string]struct {
		r    io.Reader
		want string
	}{
		"too large":     {io.MultiReader(strings.NewReader(head), endless{}), "document more than 64 MiB: want at most that"},
		"too deep":      {strings.NewReader(head + `"positions":` + strings.Repeat("[", 1000)), "line 1: /positions/0 101 open brackets: want at most 100"},
		"many faults":   {strings.NewReader(head + `"positions":[` + strings.Repeat("{},", 2000) + "{}]}"), "line 1: /positions/1000/sites more faults: want at most 1000 with 256 KiB of text; no more are listed"},
		"many elements": {strings.NewReader(head + `"positions":[` + strings.Repeat(`{"sites":{}},`, 100_000) + `{"sites":{}}]}`), "line 1: /positions an array of 100001: want at most 100000"},
		"empty ones":    {strings.NewReader(head + `"positions":[` + strings.Repeat(`{"sites":{}},`, 50_000) + `{"sites":{}}]}`), "line 1: document arrays with next to nothing in each element: want elements that take at most 18 times the document's size and 8 MiB in memory"},
		"long number":   {strings.NewReader(head + `"positions":` + strings.Repeat("1", 1001) + "}"), "line 1: /positions a longer text or number: want texts of at most 256 KiB and numbers of at most 1000 digits"},
		"long note":     {strings.NewReader(head + `"note":"` + strings.Repeat("a", 256<<10+1) + `","positions":[]}`), "line 1: /note a longer text or number: want texts of at most 256 KiB and numbers of at most 1000 digits"},
		"long name":     {strings.NewReader(head + `"` + strings.Repeat("~", 100_000) + `":1,"positions":[]}`), "line 1: /" + strings.Repeat("~0", 30) + "… unknown name: want one of schema, version, note, positions"},
		"broken reader": {iotest.ErrReader(errors.New("unplugged")), "unplugged"},
		"all wrong":     {strings.NewReader(head + `"positions":[` + strings.Repeat(`{"sites":{"hoods_left":{"at_mm":[9e9,200,640]}}},`, 1999) + `{"sites":{}}]}`), "/positions/1000/sites/hoods_left/at_mm/0 more faults"},
		"text and all":  {strings.NewReader(head + `"more":1,"positions":[` + strings.Repeat("{\"sites\":{\"hoods_left\":{\"at_mm\":[9e9,200,640]}}},\n", 1999) + `{"sites":{}}]}`), "line 1000: /positions/999/sites/hoods_left/at_mm/0 more faults"},
	} {
		t.Run(name, func(t *testing.T) {
			_, _, err := exchange.Read[[]contact.Position](t.Context(), c.r)
			text := err.Error()
			assert.Contains(t, text[max(0, len(text)-500):], c.want)
			assert.LessOrEqual(t, len(contact.Faults(err)), 1001)
		})
	}
	var b bytes.Buffer
	require.NoError(t, exchange.Write(t.Context(), &b, frozenPosition, strings.Repeat("a", 256<<10)))
	_, note, err := exchange.Read[contact.Position](t.Context(), &b)
	require.NoError(t, err)
	assert.Len(t, note, 256<<10)
	assert.EqualError(t, exchange.Write(t.Context(), &b, frozenPosition, strings.Repeat("a", 256<<10+1)), "/note 262145 bytes: want at most 256 KiB")
	assert.ErrorContains(t, exchange.Write(t.Context(), &b, make([]contact.Position, 50_000), ""), "document arrays with next to nothing in each element")

	_, err = exchange.ReadCatalogue(t.Context(), endless{})
	require.EqualError(t, err, "table more than 64 MiB: want at most that")
}

// Half of a surrogate pair is no character; an integer is one however it is written, by
// JSON Schema 2020-12 too.
func TestTextsAndIntegers(t *testing.T) {
	const reading = `{"schema":"fitgeom/survey","version":1,"unit":"mm","sigma":[1,1,1],"up":[0,0,1],"readings":[{"landmark":"mark_X","at":[0,0,0]}]}`
	for _, half := range []string{`\ud800`, `\udbff`, `\udc00`, `\ud83d\ud83d`, `\udeb2\ud83d`} {
		_, _, err := exchange.Read[survey.Survey](t.Context(), strings.NewReader(strings.Replace(reading, "X", half, 1)))
		require.ErrorIs(t, err, contact.ErrConflict, half)
		assert.Contains(t, err.Error(), "/readings/0/landmark", half)
	}
	const shelf = `{"schema":"fitgeom/shelf","version":1.0,"note":"\ud83d\udeb2","caps":[],"spacers":[{"height_mm":5,"count":2}],"stems":[],"handlebars":[],"seatposts":[],"saddles":[],"cranks":[]}`
	for number, whole := range map[string]bool{"2": true, "2.0": true, "2e0": true, "20E-1": true, "0.2e+1": true, "2.5": false, "2e-1": false} {
		text := strings.Replace(shelf, `"count":2`, `"count":`+number, 1)
		_, _, err := exchange.Read[fitgeom.Shelf](t.Context(), strings.NewReader(text))
		refused := false
		for _, f := range contact.Faults(err) {
			assert.NotEqual(t, "/version", f.Path)
			refused = refused || f.Path == "/spacers/0/count"
		}
		assert.Equal(t, whole, !refused, number)
		assert.Equal(t, whole, !schemaSays(validate(t, []byte(text)), "/spacers/0/count"), number)
	}
	_, note, err := exchange.Read[contact.Position](t.Context(), strings.NewReader(`{"schema":"fitgeom/position","version":10e-1,"note":"\ud83d\udeb2","sites":{}}`))
	require.NoError(t, err)
	assert.Equal(t, "\U0001F6B2", note)
}

// schemaSays reports whether the schema finds a fault at a place.
func schemaSays(err error, pointer string) bool {
	return err != nil && strings.Contains(err.Error(), "at '"+pointer+"'")
}

// endless is spaces.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

func TestSheetFaults(t *testing.T) {
	s := convert.Sheet{Entries: []convert.Entry{
		{Measure: 255, Value: 1}, {Measure: convert.SaddleHeight, Side: 3, Value: math.Inf(1), Sigma: -1},
	}, Basis: convert.Basis{SeatAngle: 7}}
	var paths []string
	for _, f := range contact.Faults(s.Validate()) {
		paths = append(paths, f.Path)
	}
	assert.ElementsMatch(t, []string{"seat_angle_deg", "entries[0].measure", "entries[1].side", "entries[1].value_mm", "entries[1].sigma_mm"}, paths)
	assert.NoError(t, convert.Sheet{}.Validate())
}

// A reader that gives nothing for ever is left, and so is any once the context ends.
func TestReadersThatDoNotEnd(t *testing.T) {
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	for name, c := range map[string]struct {
		ctx  context.Context
		r    io.Reader
		want error
	}{
		"nothing":         {t.Context(), nothing{}, io.ErrNoProgress},
		"ended":           {ended, strings.NewReader("{}"), context.Canceled},
		"ended meanwhile": {&countdown{t.Context(), 50}, strings.NewReader("{" + strings.Repeat(" ", 1<<20)), context.Canceled},
	} {
		_, _, err := exchange.Read[fitgeom.Shelf](c.ctx, c.r)
		require.ErrorIs(t, err, c.want, name)
		require.Empty(t, contact.Faults(err), name)
	}
	for name, read := range map[string]func(ctx context.Context, r io.Reader) error{
		"catalogue": func(ctx context.Context, r io.Reader) error {
			_, err := exchange.ReadCatalogue(ctx, r)
			return err
		},
		"points": func(ctx context.Context, r io.Reader) error {
			_, err := exchange.ReadPoints[contact.Position](ctx, r)
			return err
		},
	} {
		require.ErrorIs(t, read(t.Context(), nothing{}), io.ErrNoProgress, name)
		require.ErrorIs(t, read(ended, strings.NewReader("a\n")), context.Canceled, name)
	}
	for name, err := range map[string]error{
		"write":     exchange.Write(ended, io.Discard, make([]contact.Position, 100), strings.Repeat("a", 1<<20)),
		"catalogue": exchange.WriteCatalogue(ended, io.Discard, catalogue(3, 1)),
		"points":    exchange.WritePoints(ended, io.Discard, frozenPosition),
		"readings":  exchange.WritePoints(ended, io.Discard, frozenSurvey.Readings[:1]),
	} {
		require.ErrorIs(t, err, context.Canceled, name)
	}
	_, _, err := exchange.Kind(ended, []byte(`{"schema":"a","version":1}`))
	require.ErrorIs(t, err, context.Canceled)
}

// nothing is a reader that gives neither bytes nor an error.
type nothing struct{}

func (nothing) Read([]byte) (int, error) { return 0, nil }

// A countdown is a context that ends once it was looked at so often.
type countdown struct {
	context.Context
	left int
}

func (c *countdown) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

// Wherever in its work it is when the context ends, reading and writing stop soon: they
// look at the context only a few times more.
func TestEndsAnywhere(t *testing.T) {
	all := make([]contact.Position, 600)
	for i := range all {
		all[i] = frozenPosition
	}
	sizes := catalogue(2000, 1)
	var doc, table, faulty bytes.Buffer
	require.NoError(t, exchange.Write(t.Context(), &doc, all, ""))
	require.NoError(t, exchange.WriteCatalogue(t.Context(), &table, sizes))
	faulty.WriteString(strings.ReplaceAll(doc.String(), "212", "-212")) // a point on the wrong side, which Validate finds
	for name, do := range map[string]func(ctx context.Context) error{
		"read": func(ctx context.Context) error {
			_, _, err := exchange.Read[[]contact.Position](ctx, bytes.NewReader(doc.Bytes()))
			return err
		},
		"faults": func(ctx context.Context) error {
			_, _, err := exchange.Read[[]contact.Position](ctx, bytes.NewReader(faulty.Bytes()))
			if len(contact.Faults(err)) > 0 {
				return nil
			}
			return err
		},
		"kind": func(ctx context.Context) error {
			_, _, err := exchange.Kind(ctx, append([]byte(`{"a":`), doc.Bytes()...))
			if len(contact.Faults(err)) > 0 {
				return nil
			}
			return err
		},
		"write":           func(ctx context.Context) error { return exchange.Write(ctx, io.Discard, all, "") },
		"write catalogue": func(ctx context.Context) error { return exchange.WriteCatalogue(ctx, io.Discard, sizes) },
		"catalogue": func(ctx context.Context) error {
			_, err := exchange.ReadCatalogue(ctx, bytes.NewReader(table.Bytes()))
			return err
		},
	} {
		t.Run(name, func(t *testing.T) {
			whole := &countdown{t.Context(), 1 << 30}
			require.NoError(t, do(whole))
			looks := 1<<30 - whole.left
			require.Greater(t, looks, 20)
			for k := range 20 {
				c := &countdown{t.Context(), k * (looks - 1) / 19}
				require.ErrorIs(t, do(c), context.Canceled, "after %d of %d looks", k*(looks-1)/19, looks)
				require.Greater(t, c.left, -10, "after %d of %d looks", k*(looks-1)/19, looks)
			}
		})
	}
}
