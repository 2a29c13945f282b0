package exchange_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/field"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A filler gives every field a value of its own that its table takes.
type filler struct {
	n    int
	used map[float64]bool
}

// number returns a number from about the middle of a range that no field has yet.
func (f *filler) number(k *field.Field) float64 {
	lo, hi, grid := 0.0, 100.0, 0.001
	if k != nil && k.Bounds {
		lo, hi = k.Lo, k.Hi
	}
	if k != nil && k.Grid != 0 {
		grid = k.Grid
	}
	f.n++
	for v := lo + (hi-lo)*(0.4+0.001*float64(f.n)); ; v += grid {
		v = math.Round(v/grid) * grid
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'f', 3, 64), 64)
		if v != 0 && !f.used[v] {
			f.used[v] = true
			return v
		}
	}
}

func (f *filler) fill(v reflect.Value, k *field.Field) {
	switch t := v.Type(); {
	case t == reflect.TypeFor[r3.Vec]():
		v.Set(reflect.ValueOf(r3.Vec{X: f.number(k), Y: f.number(k), Z: f.number(k)}))
	case k != nil && k.Steps != "":
		from := f.number(k)
		v.Set(reflect.ValueOf(part.Steps{From: from, To: f.number(k), Step: f.number(&field.Field{Bounds: true, Lo: 1, Hi: 10})}))
	case t == reflect.TypeFor[contact.Site]():
		f.n++
		all := contact.Sites()
		v.Set(reflect.ValueOf(all[f.n%len(all)]))
	case t == reflect.TypeFor[part.Kinds]():
		v.Set(reflect.ValueOf(part.Stems | part.Pedals))
	case t.Kind() == reflect.Struct:
		for _, k := range field.Of(t) {
			f.fill(v.Field(k.Index), &k)
		}
	case t.Kind() == reflect.Slice:
		v.Set(reflect.MakeSlice(t, 2, 2))
		for i := range v.Len() {
			f.fill(v.Index(i), nil)
		}
	case t.Kind() == reflect.Float64:
		v.SetFloat(f.number(k))
	case t.Kind() == reflect.Int:
		f.n++
		v.SetInt(int64(k.Lo) + 1 + int64(f.n)%int64(k.Hi-k.Lo))
	case t.Kind() == reflect.String:
		f.n++
		v.SetString(fmt.Sprintf("text %d", f.n))
	case t.Kind() == reflect.Bool:
		v.SetBool(true)
	default:
		panic("a field of type " + t.String())
	}
}

// filled is a value of which every field is set.
func filled[T any]() (v T) {
	f := filler{used: map[float64]bool{}}
	f.fill(reflect.ValueOf(&v).Elem(), nil)
	return v
}

// ends are the fields of a value that hold something themselves, by their paths, and
// whether they are set.
func ends(v reflect.Value, path string, set map[string]bool) {
	switch {
	case v.Kind() == reflect.Struct && v.Type() != reflect.TypeFor[r3.Vec]():
		for _, k := range field.Of(v.Type()) {
			ends(v.Field(k.Index), path+"."+k.Go, set)
		}
	case v.Kind() == reflect.Slice:
		set[path] = set[path] || v.Len() > 0
		for i := range v.Len() {
			ends(v.Index(i), path+"[]", set)
		}
	default:
		set[path] = set[path] || !v.IsZero()
	}
}

// numbersOf are the numbers of a value, those of vectors one by one.
func numbersOf(v reflect.Value, all map[float64]int) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && f.Tag.Get("json") != "-" {
				numbersOf(v.Field(i), all)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			numbersOf(v.Index(i), all)
		}
	case reflect.Float64:
		all[v.Float()]++
	case reflect.Int:
		all[float64(v.Int())]++
	}
}

// numbersIn are the numbers of a document.
func numbersIn(t *testing.T, v any, all map[float64]int) {
	switch v := v.(type) {
	case map[string]any:
		for _, e := range v {
			numbersIn(t, e, all)
		}
	case []any:
		for _, e := range v {
			numbersIn(t, e, all)
		}
	case json.Number:
		n, err := v.Float64()
		require.NoError(t, err)
		all[n]++
	}
}

// backByJSON writes a value with encoding/json and finds each of its numbers in the
// text, and all of it when that is read.
func backByJSON[T any](t *testing.T, v T) {
	text, err := json.Marshal(v)
	require.NoError(t, err)
	has, in := map[float64]int{}, map[float64]int{}
	numbersOf(reflect.ValueOf(v), has)
	doc, _ := decoded(t, text)
	numbersIn(t, *doc, in)
	for n, times := range has {
		if n != 0 { // or it may be left out
			assert.GreaterOrEqual(t, in[n], times, "%v of %T", n, v)
		}
	}
	var back T
	require.NoError(t, json.Unmarshal(text, &back))
	require.Equal(t, v, back)
}

// backByExchange does the same with documents.
func backByExchange[T exchange.Content](t *testing.T, v T, set map[string]bool) {
	var b bytes.Buffer
	require.NoError(t, exchange.Write(t.Context(), &b, v, "note"))
	text := b.Bytes()
	has, in := map[float64]int{}, map[float64]int{}
	numbersOf(reflect.ValueOf(v), has)
	doc, _ := decoded(t, text)
	numbersIn(t, *doc, in)
	for n, times := range has {
		if n != 0 { // or it may be left out
			assert.GreaterOrEqual(t, in[n], times, "%v of %T", n, v)
		}
	}
	require.NoError(t, validate(t, text))
	back, note, err := exchange.Read[T](t.Context(), bytes.NewReader(text))
	require.NoError(t, err)
	require.Equal(t, "note", note)
	require.Equal(t, v, back)
	ends(reflect.ValueOf(back), "", set)
}

func allSet(t *testing.T, set map[string]bool) {
	assert.Greater(t, len(set), 10)
	for path, is := range set {
		if strings.Contains(path, "Handlebar") && (strings.Contains(path, ".Stem.Angles") || strings.Contains(path, ".Stem.Quill")) {
			continue // which a stem in one piece with its bar does not have
		}
		assert.True(t, is, "%s is nowhere set", path)
	}
}

// shapesOf is a handlebar in each of its shapes, held by a stem or in one piece with it.
func shapesOf(h part.Handlebar) []part.Handlebar {
	held, piece := h, h
	held.Stem, held.DrawnAt = part.Stem{}, 0
	piece.ClampDiameter, piece.RotationRange = 0, 0
	piece.Stem.Angles, piece.Stem.Quill = part.Steps{}, part.Steps{}
	wide, flared, flat := held, held, held
	wide.Flat, wide.Base, wide.Drop.Flare = part.FlatBar{}, part.BaseBar{}, 0
	flared.Flat, flared.Base, flared.Drop.DropsWidth = part.FlatBar{}, part.BaseBar{}, 0
	flat.Drop, flat.Base = part.DropBar{}, part.BaseBar{}
	piece.Drop, piece.Flat = part.DropBar{}, part.FlatBar{}
	return []part.Handlebar{wide, flared, flat, piece}
}

// soundBuilds is a build with every field set as builds that can be: the diameters
// are those of the neighbours, and the bar has one shape.
func soundBuilds(b fitgeom.Build) (all []fitgeom.Build) {
	b.Cap.SteererDiameter, b.Stem.SteererDiameter, b.Handlebar.Stem.SteererDiameter = b.Frame.SteererDiameter, b.Frame.SteererDiameter, b.Frame.SteererDiameter
	b.Cap.SteererInterface, b.Stem.SteererInterface, b.Handlebar.Stem.SteererInterface = b.Frame.SteererInterface, b.Frame.SteererInterface, b.Frame.SteererInterface
	b.Saddle.RailWidth, b.Saddle.RailHeight, b.Saddle.ClampSpan = b.Seatpost.RailWidth, b.Seatpost.RailHeight, b.Seatpost.ClampSpan
	b.BarShim.Inner, b.BarShim.Outer = b.Handlebar.ClampDiameter, b.Stem.BarDiameter
	b.SeatpostShim.Inner, b.SeatpostShim.Outer = b.Seatpost.Diameter, b.Frame.SeatpostDiameter
	if b.BarShim.Outer < b.BarShim.Inner {
		b.Stem.BarDiameter, b.BarShim.Outer = 44.5, 44.5
	}
	if b.SeatpostShim.Outer < b.SeatpostShim.Inner {
		b.Frame.SeatpostDiameter, b.SeatpostShim.Outer = 44.75, 44.75
	}
	b.Aero.BarDiameter = b.Handlebar.AeroDiameter
	b.Settings.Lowered = b.Seatpost.Travel - 1.125
	for _, h := range shapesOf(b.Handlebar) {
		one := b
		one.Handlebar = h
		if h.OnePiece() {
			one.Stem, one.BarShim, one.Settings.Flipped, one.Settings.BarRotation = part.Stem{}, part.Shim{}, false, 0
			one.Settings.StemAngle, one.Settings.Quill = 0, 0
			one.SeatpostShim = part.Shim{} // as where the parts have the same interface
			one.Seatpost.Interface, one.Handlebar.ClampInterface = one.Frame.SeatpostInterface, ""
		} else {
			one.Seatpost.Interface, one.Frame.SeatpostInterface = "", "" // a shim is round
			one.Stem.BarInterface, one.Handlebar.ClampInterface = "", ""
		}
		if h.Base != (part.BaseBar{}) || h.Flat != (part.FlatBar{}) { // one without shims
			one.BarShim, one.SeatpostShim = part.Shim{}, part.Shim{}
			one.Seatpost.Interface, one.Frame.SeatpostInterface = "one", "one"
			if !h.OnePiece() {
				one.Stem.BarInterface, one.Handlebar.ClampInterface = "two", "two"
			}
		}
		if h.Drop == (part.DropBar{}) {
			one.Lever = part.Lever{}
			one.Settings.LeverUp, one.Settings.LeverIn = 0, 0
		}
		all = append(all, one)
	}
	return all
}

// What is written of every field is there again. Fields that come later are found by
// their tables.
func TestEveryField(t *testing.T) {
	t.Run("frame", func(t *testing.T) {
		set := map[string]bool{}
		backByJSON(t, filled[fitgeom.Frame]())
		backByExchange(t, filled[fitgeom.Frame](), set)
		allSet(t, set)
	})
	t.Run("shelf", func(t *testing.T) {
		set := map[string]bool{}
		s := filled[fitgeom.Shelf]()
		backByJSON(t, s)
		s.Handlebars = shapesOf(s.Handlebars[0])
		backByExchange(t, s, set)
		allSet(t, set)
	})
	t.Run("build", func(t *testing.T) {
		set := map[string]bool{}
		backByJSON(t, filled[fitgeom.Build]())
		for _, b := range soundBuilds(filled[fitgeom.Build]()) {
			backByExchange(t, b, set)
		}
		allSet(t, set)
	})
	t.Run("candidate", func(t *testing.T) {
		set := map[string]bool{}
		c := filled[fitgeom.Candidate]()
		backByJSON(t, c)
		c.Spacers, c.SpacersAbove = []float64{5.2, 5.3}, []float64{5.4, 5.5}
		for _, b := range soundBuilds(c.Build) {
			c.Build = b
			backByJSON(t, c)
			backByExchange(t, []fitgeom.Candidate{c}, set)
		}
		allSet(t, set)
	})
}

// A table has every number of a frame in a column of its own.
func TestEveryColumn(t *testing.T) {
	s := fitgeom.Size{Family: "road", Label: "54", Frame: filled[fitgeom.Frame]()}
	s.Frame.Name, s.Frame.Assumed = "road 54", fitgeom.Assumed{}
	var b bytes.Buffer
	require.NoError(t, exchange.WriteCatalogue(t.Context(), &b, []fitgeom.Size{s}))
	rows, err := csv.NewReader(bytes.NewReader(b.Bytes())).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 2)
	cells := map[string]string{}
	for i, name := range rows[0] {
		cells[name] = rows[1][i]
	}
	all := field.Columns(reflect.TypeFor[fitgeom.Frame]())
	require.Len(t, cells, 2+len(all)+2, "with the names of two interfaces")
	assert.Equal(t, s.Frame.SteererInterface, cells["steerer_interface"])
	assert.Equal(t, s.Frame.SeatpostInterface, cells["seatpost_interface"])
	has := map[float64]int{}
	numbersOf(reflect.ValueOf(s.Frame), has)
	require.Len(t, has, len(all), "every number has its own column")
	for i := range all {
		v := *field.Number(&s.Frame, &all[i])
		assert.Contains(t, has, v)
		assert.Equal(t, strconv.FormatFloat(v, 'g', -1, 64), cells[all[i].Name], all[i].Name)
	}
	back, err := exchange.ReadCatalogue(t.Context(), &b)
	require.NoError(t, err)
	s.Row = 2
	require.Equal(t, []fitgeom.Size{s}, back)
}
