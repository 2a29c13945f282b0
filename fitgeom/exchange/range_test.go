package exchange_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// noRange is the numbers of documents that may be any finite number, and why.
var noRange = map[string]string{
	"survey /up/*":                          "a direction of any length",
	"survey /covariance/*/*":                "beside the diagonal: how errors go together, which the whole matrix tells",
	"sheet /entries/*/value_mm":             "what somebody stated, be it wrong: Solve judges it",
	"sheet /entries/*/value":                "what somebody stated, be it wrong: Solve judges it",
	"sheet /entries/*/value_deg":            "what somebody stated, be it wrong: Solve judges it",
	"results /results/*/margins/*/room_mm":  "follows from the build, and must",
	"results /results/*/margins/*/room_deg": "follows from the build, and must",
}

// noMost is the numbers that may be as large as they like, and why.
var noMost = map[string]string{
	"sheet /entries/*/sigma":     "what somebody is not sure of, be it everything",
	"sheet /entries/*/sigma_mm":  "what somebody is not sure of, be it everything",
	"sheet /entries/*/sigma_deg": "what somebody is not sure of, be it everything",
	"results /results/*/score":   "a build may be as far off as it likes",
}

// never is the numbers that no document has, and why.
var never = map[string]string{
	"results /results/*/position/sites/*/attitude/yaw_deg":  "parts are mounted straight",
	"results /results/*/position/sites/*/attitude/roll_deg": "parts are mounted upright",
}

// A leaf is a number of a document.
type leaf struct {
	pointer, pattern string // of the pattern, elements and sites are *
	field            *field.Field
	integer          bool
	around           map[string]any // the object that the number is in
}

// leaves finds the numbers of a document by the tables of its types.
func leaves(t reflect.Type, f *field.Field, v any, l leaf, found func(leaf)) {
	if v == nil {
		return // left out
	}
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	t, _ = strict.Form(t)
	to := func(name, pattern string) leaf {
		return leaf{pointer: l.pointer + "/" + name, pattern: l.pattern + "/" + pattern, around: l.around}
	}
	switch v := v.(type) {
	case json.Number:
		l.field, l.integer = f, t.Kind() == reflect.Int
		found(l)
	case []any:
		elem := reflect.TypeFor[float64]()
		if t != reflect.TypeFor[r3.Vec]() {
			elem = t.Elem()
		}
		for i := range v {
			leaves(elem, f, v[i], to(strconv.Itoa(i), "*"), found)
		}
	case map[string]any:
		if t.Kind() == reflect.Map {
			for _, name := range slices.Sorted(maps.Keys(v)) {
				leaves(t.Elem(), nil, v[name], to(name, "*"), found)
			}
			return
		}
		l.around = v
		for _, k := range field.Of(t) {
			switch {
			case k.Inline:
				leaves(k.Type, nil, v, l, found)
			case f != nil && f.Steps != "" && k.Name != "step": // whose ends have the range of the field
				leaves(k.Type, f, v[k.Name], to(k.Name, k.Name), found)
			default:
				leaves(k.Type, &k, v[k.Name], to(k.Name, k.Name), found)
			}
		}
	}
}

// patterns are the numbers that documents of a type may have.
func patterns(t reflect.Type, at string, all map[string]bool) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	t, _ = strict.Form(t)
	switch {
	case t == reflect.TypeFor[rules.Date](): // a text
	case t.Kind() == reflect.Float64 || t.Kind() == reflect.Int:
		all[at] = true
	case t == reflect.TypeFor[r3.Vec]():
		all[at+"/*"] = true
	case t.Kind() == reflect.Slice || t.Kind() == reflect.Array || t.Kind() == reflect.Map:
		patterns(t.Elem(), at+"/*", all)
	case t.Kind() == reflect.Struct:
		for _, k := range field.Of(t) {
			if k.Inline {
				patterns(k.Type, at, all)
			} else {
				patterns(k.Type, at+"/"+k.Name, all)
			}
		}
	}
}

// limits is what a number may be: what its table says, or the rule that hangs on
// other members.
func limits(l leaf, root map[string]any) (lo, hi float64, bounded bool) {
	inUnit := func(most float64, power int) float64 {
		mm := map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4}[root["unit"].(string)]
		one := most / mm
		if power == 2 {
			return one * one
		}
		return one
	}
	const tiny = math.SmallestNonzeroFloat64
	is := func(name string) bool { return strings.HasSuffix(l.pattern, name) }
	at := func(name, value string) bool { return l.around[name] == value }
	switch {
	case is("/sites/*/at_mm/*"):
		way := strings.Split(l.pointer, "/")
		site, err := contact.ParseSite(way[len(way)-3])
		lo, hi := site.Range()
		axis := int(l.pointer[len(l.pointer)-1] - '0')
		return [...]float64{lo.X, lo.Y, lo.Z}[axis], [...]float64{hi.X, hi.Y, hi.Z}[axis], err == nil
	case is("/readings/*/at/*"):
		return -inUnit(1e5, 1), inUnit(1e5, 1), true
	case is("/sigma/*"):
		return tiny, inUnit(50, 1), true
	case is("/covariance/*/*"):
		i, j := l.pointer[len(l.pointer)-3], l.pointer[len(l.pointer)-1]
		return tiny, inUnit(50, 2), i == j
	case is("/value_mm") && at("kind", "direct"):
		return 0, 2000, true
	case is("/value_mm") && l.around["dimension"] != nil, is("/value_deg") && l.around["dimension"] != nil:
		d, err := chart.ParseDimension(l.around["dimension"].(string))
		lo, hi = d.Range()
		return lo, hi, err == nil
	case is("/length_step_mm"):
		return tiny, 20, true
	case is("/angle_step_deg"):
		return tiny, 2, true
	case is("/profile_deg/*") && at("given", "dorsiflexion"):
		return -70, 50, true
	case is("/profile_deg/*"):
		return -90, 60, true
	case is("/upper/angle_deg") && at("keep", "keep_trunk"):
		return -20, 120, true
	case is("/upper/angle_deg"):
		return 0, 150, true
	case is("/joints/*/angle_deg"):
		v, err := rider.ParseVariable(l.around["variable"].(string))
		lo, hi := v.Range()
		return lo, hi, err == nil
	case l.field != nil && l.field.Go == "Step" && is("/step") && !l.field.Bounds:
		return 0.5, 1000, true
	case l.field == nil:
		return 0, 0, false
	}
	return l.field.Lo, l.field.Hi, l.field.Bounds
}

// trials are numbers just out of a range and just within it. The table says the ends.
func trials(l leaf, lo, hi float64) (out, in []string) {
	text := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	if l.integer {
		below := lo - 1
		if l.field.Zero != "" && below == 0 { // which says something of its own
			below = -1
		}
		return []string{text(below), text(hi + 1)}, []string{text(lo), text(lo + 1), text(hi - 1), text(hi)}
	}
	step := func(v float64) float64 { return 1e-9 * max(1, math.Abs(v)) }
	out, in = []string{text(lo - step(lo))}, []string{text(lo), text(lo + step(lo))}
	if lo == math.SmallestNonzeroFloat64 {
		out = append(out, "0")
	}
	if hi == math.MaxFloat64 {
		return out, append(in, text(hi))
	}
	return append(out, text(hi+step(hi))), append(in, text(hi), text(hi-step(hi)))
}

// full is documents that have every number between them, of each kind. Where one
// number bounds another, the one that comes first is at its least.
func full(t *testing.T) map[string][][]byte {
	all := map[string][][]byte{}
	for _, s := range subjects {
		if s.name != "shelf" && s.name != "build" && s.name != "results" && s.name != "request" {
			data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
			require.NoError(t, err)
			all[s.name] = append(all[s.name], data)
		}
	}
	for _, unit := range []survey.Unit{survey.Millimetre, survey.Centimetre, survey.Metre, survey.Inch} {
		s := frozenSurvey
		s.Unit, s.Readings = unit, slices.Clone(s.Readings)
		s.Saddle = contact.SaddleProfile{NoseAhead: 140, RearBehind: 125, NoseAbove: -9, RearAbove: -2, Sigma: 1, Width: 80, Widening: 1}
		s.Trueness = []survey.Trueness{{Pair: survey.RearAxleLeft, Sigma: 1, Counts: survey.CountsBoth}}
		for i := range s.Readings {
			s.Readings[i].At = r3.Scale(0.1, s.Readings[i].At)
		}
		addFull(t, all, "survey", s)
		s.Covariance, s.Sigma = [3][3]float64{}, r3.Vec{X: 0.01, Y: 0.01, Z: 0.01}
		addFull(t, all, "survey", s)
	}
	profile := contact.SaddleProfile{NoseAhead: 140, RearBehind: 130, NoseAbove: -8, RearAbove: 3, Sigma: 1, Width: 80, Widening: 1}
	tape := frozenTape
	tape.Saddle, tape.Readings = profile, slices.Clone(tape.Readings)
	for i := range tape.Readings {
		r := &tape.Readings[i]
		r.Together, r.Common = "one mark", r.Sigma/2
	}
	addFull(t, all, "tape_survey", tape)
	addFull(t, all, "photographs", frozenPhotographs)
	c, sheet := frozenChart, frozenSheet
	for i, d := range chart.Dimensions() {
		lo, hi := d.Range()
		c.Entries = append(c.Entries[:i:i], chart.Entry{Dimension: d, Value: (lo + hi) / 2, Step: 1, Sigma: 1, Together: "height gauge", Common: 1})
	}
	for i, m := range convert.Measures() {
		sheet.Entries = append(sheet.Entries[:i:i], convert.Entry{Measure: m, Value: 1, Sigma: 1})
	}
	addFull(t, all, "chart", c)
	sheet.Basis.Saddle = profile
	sheet.Basis.RailDrop, sheet.Basis.HoodBreadth, sheet.Basis.BarTube, sheet.Basis.GripLength, sheet.Basis.PadBreadth = 47, 36, 24, 128, 82
	addFull(t, all, "sheet", sheet)
	upper := frozenBody
	upper.Upper.Keep = 2
	addFull(t, all, "body", upper)

	least := frozenSaddle
	least.RailsFrom, least.ReferenceWidth, least.Widening, least.NoseDroop, least.RearDroop = 40, 80, 1, 15, 5
	aero := frozenAero
	aero.Tilt.From, aero.PadRise.From, aero.PadForward, aero.PadWidth.From, aero.Extension.From = -30, 0, part.Steps{From: -250, To: 40, Step: 1}, 60, 50
	aero.ExtensionWidths, aero.PadLength, aero.PadBreadth = part.Steps{To: 400, Step: 5}, 120, 90
	least.ClampSpan, least.RailWidth, least.RailHeight = 36, 7, 9
	flared := part.DropBar{
		Width: 420, Flare: 8, TopsWidth: 600, TopsCentre: 20, TopsRise: 10, TopsBacksweep: 5, TopsUpsweep: 2, Reach: 80, Drop: 128, Hook: 60,
		BendRadius: 60, BendBelow: 50, LeverUp: part.Steps{From: -40, To: 40, Step: 5}, LeverIn: part.Steps{From: -30, To: 30, Step: 5}, Tube: 24,
	}
	shelf := frozenShelf
	shelf.AeroBars, shelf.Saddles = []part.AeroBar{aero}, []part.Saddle{least}
	shelf.Handlebars = append(slices.Clone(shelf.Handlebars), part.Handlebar{Name: "flared", ClampDiameter: 31.8, Drop: flared})
	shelf.Shims = []part.Shim{{Inner: 20, Outer: 31.8}}
	shelf.Handlebars[2].Base.Slope, shelf.Handlebars[2].Base.Tube = 5, 20
	for i := range shelf.Handlebars {
		if b := &shelf.Handlebars[i]; b.OnePiece() {
			b.Stem.Sag = 5
		}
	}
	shelf.Stems, shelf.Seatposts = slices.Clone(shelf.Stems), slices.Clone(shelf.Seatposts)
	fullStem(&shelf.Stems[0])
	fullPost(&shelf.Seatposts[0])
	shelf.Levers, shelf.Cranks, shelf.Pedals = []part.Lever{fullLever(frozenBuild.Lever)}, []part.Crank{fullCrank(frozenBuild.Crank)}, []part.Pedal{fullPedal(frozenBuild.Pedal)}
	addFull(t, all, "shelf", shelf)
	ask := frozenRequest
	for _, u := range []*fitgeom.Usual{
		&ask.Preference.StemLength, &ask.Preference.StemAngle, &ask.Preference.Spacers, &ask.Preference.Rotation, &ask.Preference.Setback, &ask.Preference.Rails,
	} {
		u.From = -1000
	}
	addFull(t, all, "request", ask)

	for _, b := range fullBuilds(aero, least, flared) {
		addFull(t, all, "build", b)
		addFull(t, all, "results", []fitgeom.Candidate{{Build: b, Spacers: []float64{5}, SpacersAbove: []float64{5}, SaddleMoved: frozenResults[0].SaddleMoved, Merit: frozenResults[0].Merit, Deviations: fullDeviations(), Rules: frozenResults[0].Rules}})
	}
	return all
}

func fullStem(s *part.Stem) {
	s.Angles, s.Quill, s.Sag = part.Steps{From: -60, To: 60, Step: 5}, part.Steps{To: 250, Step: 5}, 5
}

func fullPost(p *part.Seatpost) {
	p.Sag, p.RailWidth, p.RailHeight, p.ClampSpan = 10, 7, 9, 40
}

func fullLever(l part.Lever) part.Lever {
	l.Offset, l.Slope, l.Breadth = 3, 8, 36
	return l
}

func fullCrank(k part.Crank) part.Crank {
	k.RightLength = 165
	return k
}

func fullPedal(p part.Pedal) part.Pedal {
	p.Right = part.PedalSide{FootHeight: 22, FootOffset: 57}
	p.CleatBack, p.CleatIn = part.Steps{From: -40, To: 80, Step: 1}, part.Steps{From: -20, To: 20, Step: 1}
	p.ToesOut, p.Wedge = part.Steps{From: -30, To: 30, Step: 1}, part.Steps{From: -15, To: 15, Step: 1}
	return p
}

// fullDeviations asks for directions too.
func fullDeviations() []fitgeom.Deviation {
	all := slices.Clone(frozenResults[0].Deviations)
	for i := range all {
		all[i].Turn = fitgeom.TurnTolerance{Tilt: 2, Yaw: 3, Roll: 4, Weight: 0.5}
		all[i].Turned = fitgeom.Turned{Tilt: 1, Yaw: -1, Roll: 0.5}
	}
	return all
}

// frozenBulk is all that surrounds the points of a build.
var frozenBulk = clearance.Bulk{
	FrontTyre: 32, RearTyre: 35, Mudguard: clearance.Mudguard{Gap: 12, Width: 50},
	Pedal:   clearance.Pedal{Middle: 20, Outer: 95, Below: 12, Length: 80, Sole: 14},
	Shoe:    clearance.Shoe{Toe: 95, Ball: 5, Heel: 200, ToeRadius: 30, BallRadius: 48, HeelRadius: 34, Axis: 30},
	Stay:    clearance.Stay{AtBracket: 42, AtAxle: 70, Radius: 9},
	TopTube: clearance.TopTube{Head: 40, Seat: 480, At: 60}, Bar: 16, Pad: 40, Knee: 60, Elbow: 45,
}

// fullBuilds is builds with all numbers between them.
func fullBuilds(aero part.AeroBar, saddle part.Saddle, flared part.DropBar) []fitgeom.Build {
	base := frozenBuild
	base.Aero, base.Saddle, base.Seatpost.MaxExtension = aero, saddle, 260
	base.BarShim.Inner, base.SeatpostShim.Inner, base.Handlebar.ClampDiameter, base.Seatpost.Diameter = 20, 20, 20, 20
	base.Bulk = frozenBulk
	fullPost(&base.Seatpost)
	base.Settings.ExtensionWidth = 100
	base.Crank, base.Pedal = fullCrank(base.Crank), fullPedal(base.Pedal)
	base.Settings.CleatLeft = fitgeom.Cleat{Back: 10, In: 2, ToesOut: 5, Wedge: 3}
	base.Settings.CleatRight = fitgeom.Cleat{Back: 12, In: -2, ToesOut: -4, Wedge: -2}
	drop, flat, piece := base, base, base
	fullStem(&drop.Stem)
	drop.Settings.StemAngle, drop.Settings.Quill = 5, 40
	drop.Handlebar.Drop, drop.Lever = flared, fullLever(drop.Lever)
	drop.Settings.LeverUp, drop.Settings.LeverIn = 5, 10
	for _, b := range []*fitgeom.Build{&flat, &piece} {
		b.Handlebar.Drop, b.Lever, b.Settings.BarRotation = part.DropBar{}, part.Lever{}, 0
	}
	flat.Handlebar.Flat = frozenShelf.Handlebars[1].Flat
	piece.Handlebar.Base, piece.Handlebar.Stem, piece.Handlebar.DrawnAt = frozenShelf.Handlebars[2].Base, frozenShelf.Handlebars[2].Stem, 73
	piece.Handlebar.Base.Slope, piece.Handlebar.Base.Tube, piece.Handlebar.Stem.Sag = 5, 20, 5
	piece.Handlebar.ClampDiameter, piece.Handlebar.RotationRange, piece.Stem, piece.BarShim, piece.Settings.Flipped = 0, 0, part.Stem{}, part.Shim{}, false
	return []fitgeom.Build{base, drop, flat, piece}
}

func addFull[T exchange.Content](t *testing.T, all map[string][][]byte, name string, v T) {
	var b bytes.Buffer
	require.NoError(t, exchange.Write(t.Context(), &b, v, ""))
	all[name] = append(all[name], b.Bytes())
}

// documentTypes is what the documents of each kind hold.
var documentTypes = map[string]reflect.Type{
	"position": reflect.TypeFor[contact.Position](), "positions": listOf[contact.Position]("positions"),
	"body": typeOf(frozenBody), "survey": typeOf(frozenSurvey), "tape_survey": typeOf(frozenTape), "photographs": typeOf(frozenPhotographs), "sheet": typeOf(frozenSheet),
	"chart": typeOf(frozenChart), "frame": typeOf(frozenFrame), "frames": listOf[fitgeom.Size]("sizes"), "shelf": typeOf(frozenShelf),
	"build": typeOf(frozenBuild), "results": listOf[fitgeom.Candidate]("results"),
	"request": typeOf(frozenRequest), "faults": listOf[contact.Error]("faults"),
}

func typeOf(v any) reflect.Type { return reflect.TypeOf(v) }

func listOf[T any](name string) reflect.Type {
	return reflect.StructOf([]reflect.StructField{{Name: "List", Type: reflect.TypeFor[[]T](), Tag: reflect.StructTag(fmt.Sprintf(`json:"%s"`, name))}})
}

// Every number of every kind of document: just out of its range both the schema and
// Read refuse it, and within neither finds anything wrong with its size.
func TestRanges(t *testing.T) {
	documents := full(t)
	listed := map[string]bool{}
	for _, s := range subjects {
		t.Run(s.name, func(t *testing.T) {
			wanted, seen, tried := map[string]bool{}, map[string]bool{}, 0
			patterns(documentTypes[s.name], "", wanted)
			maps.DeleteFunc(wanted, func(name string, _ bool) bool { return elsewhere(s.name, name) })
			maps.DeleteFunc(wanted, func(name string, _ bool) bool { return never[s.name+" "+name] != "" })
			for _, data := range documents[s.name] {
				doc, root := decoded(t, data)
				leaves(documentTypes[s.name], nil, root, leaf{}, func(l leaf) {
					if elsewhere(s.name, l.pattern) {
						return
					}
					// What several builds or candidates have is tried in one of them, and of numbers of
					// builds, all of which are tried in documents of their own, results have a tenth.
					again := seen[l.pattern] && (s.name == "build" || s.name == "results")
					of := s.name == "results" && strings.Contains(l.pattern, "/build/") && len(seen)%10 != 0
					if seen[l.pattern] = true; trial.Long() || !again && !of {
						tried += tryNumber(t, &s, doc, l, listed)
					}
				})
			}
			never := slices.DeleteFunc(missing(wanted, seen), func(s string) bool { // of a stem in one piece with its bar
				return strings.Contains(s, "handlebar") && (strings.Contains(s, "/stem/angles_deg") || strings.Contains(s, "/stem/quill_mm"))
			})
			assert.Empty(t, never, "no document has it")
			t.Logf("%d numbers, %d trials", len(seen), tried)
		})
	}
	for _, list := range []map[string]string{noRange, noMost} {
		for name := range list {
			assert.True(t, listed[name], "%s has a range", name)
		}
	}
}

// elsewhere reports whether a number of a request is one of a document of its own kind, where
// it is tried.
func elsewhere(kind, pattern string) bool {
	return kind == "request" && slices.ContainsFunc([]string{"/target/", "/frame/", "/sizes/", "/shelf/", "/limits/body/"}, func(in string) bool { return strings.HasPrefix(pattern, in) })
}

func missing(wanted, seen map[string]bool) (all []string) {
	for name := range wanted {
		if !seen[name] {
			all = append(all, name)
		}
	}
	slices.Sort(all)
	return all
}

// decoded is a document whose numbers can be changed.
func decoded(t *testing.T, data []byte) (*any, map[string]any) {
	var doc any
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	require.NoError(t, d.Decode(&doc))
	return &doc, doc.(map[string]any)
}

// tryNumber tries a number of a document, and returns how often.
func tryNumber(t *testing.T, s *subject, doc *any, l leaf, listed map[string]bool) int {
	name := s.name + " " + l.pattern
	lo, hi, bounded := limits(l, (*doc).(map[string]any))
	if !bounded {
		assert.Contains(t, noRange, name, "a number without a range")
		listed[name] = true
		return 0
	}
	if hi == math.MaxFloat64 {
		assert.Contains(t, noMost, name, "a number without an end")
		listed[name] = true
	}
	try := func(number string) (schema, read error) {
		old := set(*doc, l.pointer, json.Number(number))
		text, err := json.Marshal(*doc)
		require.NoError(t, err)
		schema = judge(t, *doc)
		set(*doc, l.pointer, old)
		_, read = s.reread(text)
		return schema, read
	}
	out, in := trials(l, lo, hi)
	for _, number := range out {
		schema, read := try(number)
		assert.Error(t, schema, "%s: the schema takes %s", l.pointer, number)
		assert.True(t, faultAround(read, l.pointer), "%s: Read says of %s: %v", l.pointer, number, read)
	}
	for _, number := range in {
		schema, read := try(number)
		assert.NoError(t, schema, "%s: %s", l.pointer, number)
		for _, f := range contact.Faults(read) {
			wrong := f.Path == l.pointer && (errors.Is(f, contact.ErrRange) || errors.Is(f, contact.ErrUnit))
			assert.False(t, wrong, "%s: Read says of %s: %v", l.pointer, number, f)
		}
	}
	return len(out) + len(in)
}

// faultAround reports whether there is a fault of a number, or of what must follow
// from others and has the number in it.
func faultAround(err error, pointer string) bool {
	return slices.ContainsFunc(contact.Faults(err), func(f *contact.Error) bool {
		follows := errors.Is(f, contact.ErrConflict) && strings.HasPrefix(pointer, f.Path) && strings.HasPrefix(pointer, "/results/")
		point := strings.HasSuffix(f.Path, "/at_mm") && strings.HasPrefix(pointer, f.Path+"/") // too near to the bottom bracket
		return follows || (point || f.Path == pointer) && !errors.Is(f, contact.ErrConflict)
	})
}

// set changes a value in a document, and returns the one before.
func set(doc any, pointer string, to any) (old any) {
	way := strings.Split(pointer[1:], "/")
	for i, name := range way {
		last := i == len(way)-1
		switch v := doc.(type) {
		case map[string]any:
			if doc = v[name]; last {
				v[name] = to
			}
		case []any:
			k, err := strconv.Atoi(name)
			if err != nil {
				panic(err)
			}
			if doc = v[k]; last {
				v[k] = to
			}
		}
	}
	return doc
}
