package field_test

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"example.com/fitgeom/contact" // which tells what faults are as errors
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// thing has a field of every kind.
type thing struct {
	Name   string  `json:"name"`
	Length float64 `json:"length_mm" length:"20 to 180"`
	Angle  float64 `json:"angle_deg,omitzero" range:"-60 to 60"`
	Bore   float64 `json:"bore_mm,omitzero" range:"20 to 45" zero:"nowhere"`
	Any    float64 `json:"any"`
	Count  int     `json:"count" range:"1 to 20" unit:"pieces"`
	Spare  int     `json:"spare" range:"2 to 3" zero:"none"`
	Grid   float64 `json:"grid_mm" range:"1 to 60" grid:"0.1"`
	From   float64 `json:"from_mm" range:"40 to 300"`
	To     float64 `json:"to_mm" range:"40 to 300" atleast:"From"`
	Inner  float64 `json:"inner_mm" range:"0 to 300" atmost:"From"`
	All    steps   `json:"all_mm" range:"0 to 100" steps:"all"`
	Ends   steps   `json:"ends_deg,omitzero" range:"-50 to 50" steps:"ends"`
	At     r3.Vec  `json:"at_mm" range:"-9 to 9"`
	Weight r3.Vec  `json:"weight" range:"1 to 9" unit:"times" zero:"1"`
	Part   inner   `json:"part"`
	Maybe  inner   `json:"maybe,omitzero" zero:"none"`
	Alone  inner   `json:"alone" validate:"own"`
	Open   inline  `json:",inline"`
	Flag   bool
	Out    float64   `json:"-" range:"1 to 2"`
	Pieces []inner   `json:"pieces"`
	Many   []float64 `json:"many_mm" range:"1 to 60"`
	Free   []float64 `json:"free"`
	hidden float64
}

type steps struct{ From, To, Step float64 }

type inner struct {
	Wide float64 `json:"wide_mm" range:"1 to 2"`
	Deep deep    `json:"deep,omitzero" zero:"not stated"`
}

type deep struct {
	Drop float64  `json:"drop_mm" range:"-3 to 3"`
	Text string   `json:"text"`
	Kind uint8    `json:"kind"`
	Set  uint16   `json:"set"`
	Some []string `json:"some"`
	Yes  bool     `json:"yes"`
	Way  r3.Vec   `json:"way"`
	Pair [2]int   `json:"pair"`
}

type inline struct {
	Open float64 `json:"open_deg" range:"0 to 1"`
}

// sound is a thing without a fault.
func sound() thing {
	return thing{
		Length: 100, Count: 1, Grid: 2.3, From: 50, To: 50, Inner: 50, All: steps{0, 10, 5},
		Part: inner{Wide: 1}, Open: inline{1},
	}
}

var table = field.New[thing]()

func TestOf(t *testing.T) {
	all := field.Of(reflect.TypeFor[thing]())
	names := map[string]field.Field{}
	for _, f := range all {
		names[f.Go] = f
		assert.Equal(t, f.Go, reflect.TypeFor[thing]().Field(f.Index).Name)
		assert.Equal(t, f.Type, reflect.TypeFor[thing]().Field(f.Index).Type)
	}
	assert.Len(t, all, 23, "all exported ones but Out")
	of := func(name string) field.Field {
		f := names[name]
		f.Index, f.Type = 0, nil
		return f
	}
	assert.Equal(t, field.Field{Go: "Name", Name: "name"}, of("Name"))
	assert.Equal(t, field.Field{Go: "Length", Name: "length_mm", Unit: "mm", Lo: 20, Hi: 180, Bounds: true, Length: true}, of("Length"))
	assert.Equal(t, field.Field{Go: "Angle", Name: "angle_deg", Unit: "degrees", Lo: -60, Hi: 60, Bounds: true, Omit: true}, of("Angle"))
	assert.Equal(t, field.Field{Go: "Bore", Name: "bore_mm", Unit: "mm", Lo: 20, Hi: 45, Bounds: true, Omit: true, Zero: "nowhere"}, of("Bore"))
	assert.Equal(t, field.Field{Go: "Any", Name: "any"}, of("Any"))
	assert.Equal(t, field.Field{Go: "Count", Name: "count", Unit: "pieces", Lo: 1, Hi: 20, Bounds: true}, of("Count"))
	assert.Equal(t, field.Field{Go: "Grid", Name: "grid_mm", Unit: "mm", Lo: 1, Hi: 60, Bounds: true, Grid: 0.1}, of("Grid"))
	assert.Equal(t, field.Field{Go: "To", Name: "to_mm", Unit: "mm", Lo: 40, Hi: 300, Bounds: true, Than: "From"}, of("To"))
	assert.Equal(t, field.Field{Go: "Inner", Name: "inner_mm", Unit: "mm", Hi: 300, Bounds: true, Than: "From", Less: true}, of("Inner"))
	assert.Equal(t, field.Field{Go: "Ends", Name: "ends_deg", Unit: "degrees", Lo: -50, Hi: 50, Bounds: true, Omit: true, Steps: "ends"}, of("Ends"))
	assert.Equal(t, field.Field{Go: "Weight", Name: "weight", Unit: "times", Lo: 1, Hi: 9, Bounds: true, Zero: "1"}, of("Weight"))
	assert.Equal(t, field.Field{Go: "Alone", Name: "alone", Own: true}, of("Alone"))
	assert.Equal(t, field.Field{Go: "Open", Inline: true}, of("Open"))
	assert.Equal(t, field.Field{Go: "Flag", Name: "Flag"}, of("Flag"))
}

// A tag that makes no sense is found when the program starts.
func TestTagsThatMakeNoSense(t *testing.T) {
	for _, v := range []any{
		struct {
			A float64 `range:"1 to"`
		}{},
		struct {
			A float64 `range:"1-2"`
		}{},
		struct {
			A float64 `length:"2 to 1"`
		}{},
		struct {
			A float64 `range:"NaN to 1"`
		}{},
		struct {
			A float64 `range:"0 to 1" atleast:"B"`
		}{},
		struct {
			A float64 `range:"0 to 1" grid:"tenth"`
		}{},
	} {
		assert.Panics(t, func() { field.Of(reflect.TypeOf(v)) }, "%T", v)
	}
}

// An embedded struct whose type is exported has its members among those around it.
type around struct {
	Inline
	Own float64 `json:"own_mm"`
}

// Inline is exported.
type Inline struct {
	Open float64 `json:"open_deg" range:"0 to 1"`
}

func TestEmbedded(t *testing.T) {
	v := around{Inline: Inline{2}, Own: math.NaN()}
	assert.EqualError(t, field.New[around]().Validate(&v), "open_deg 2 degrees: want 0 to 1 degrees\nown_mm NaN: want a finite number")
	var paths []string
	for _, c := range field.Columns(reflect.TypeFor[around]()) {
		paths = append(paths, c.Path)
	}
	assert.Equal(t, []string{"open_deg", "own_mm"}, paths)
}

func TestCheckTakes(t *testing.T) {
	for name, change := range map[string]func(*thing){
		"nothing":         func(*thing) {},
		"ends of ranges":  func(v *thing) { v.Length, v.Angle, v.Bore, v.Count, v.Spare = 180, -60, 45, 20, 3 },
		"minus zero":      func(v *thing) { v.Bore = math.Copysign(0, -1) },
		"what has none":   func(v *thing) { v.Any, v.Out, v.hidden = -math.MaxFloat64, 99, math.NaN() },
		"vectors":         func(v *thing) { v.At, v.Weight = r3.Vec{X: 9, Y: -9}, r3.Vec{Y: 1, Z: 9} },
		"a group":         func(v *thing) { v.Maybe = inner{Wide: 1, Deep: deep{Drop: 3}} },
		"the own":         func(v *thing) { v.Alone = inner{Wide: 99} },
		"lists":           func(v *thing) { v.Pieces, v.Free = []inner{{Wide: 99}}, []float64{math.Inf(1)} },
		"no steps":        func(v *thing) { v.All, v.Ends = steps{100, 100, 0}, steps{-50, 50, 0} },
		"a whole step":    func(v *thing) { v.Grid = 59.9 },
		"ordered":         func(v *thing) { v.From, v.To, v.Inner = 300, 300, 0 },
		"absent by -0":    func(v *thing) { v.Maybe.Wide, v.Maybe.Deep.Way.Y = math.Copysign(0, -1), math.Copysign(0, -1) },
		"absent by text":  func(v *thing) { v.Maybe.Deep.Text = "abc"[:0] },
		"none but a name": func(v *thing) { v.Name = "x" },
	} {
		v := sound()
		change(&v)
		assert.NoError(t, table.Validate(&v), name)
	}
}

func TestCheckRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for want, change := range map[string]func(*thing){
		"length_mm 10 mm: want 20 to 180 mm; it looks like centimetres": func(v *thing) { v.Length = 10 },
		"length_mm 0 mm: want 20 to 180 mm":                             func(v *thing) { v.Length = 0 },
		"length_mm NaN mm: want 20 to 180 mm":                           func(v *thing) { v.Length = nan },
		"angle_deg 60.5 degrees: want -60 to 60 degrees":                func(v *thing) { v.Angle = 60.5 },
		"angle_deg +Inf degrees: want -60 to 60 degrees":                func(v *thing) { v.Angle = inf },
		"bore_mm 19 mm: want 20 to 45 mm":                               func(v *thing) { v.Bore = 19 },
		"any -Inf: want a finite number":                                func(v *thing) { v.Any = -inf },
		"any NaN: want a finite number":                                 func(v *thing) { v.Any = nan },
		"count 0 pieces: want 1 to 20 pieces":                           func(v *thing) { v.Count = 0 },
		"count 21 pieces: want 1 to 20 pieces":                          func(v *thing) { v.Count = 21 },
		"spare 1: want 2 to 3":                                          func(v *thing) { v.Spare = 1 },
		"grid_mm 2.35 mm: want a whole number of steps of 0.1 mm":       func(v *thing) { v.Grid = 2.35 },
		"grid_mm 61 mm: want 1 to 60 mm":                                func(v *thing) { v.Grid = 61 },
		"grid_mm NaN mm: want 1 to 60 mm":                               func(v *thing) { v.Grid = nan },
		"to_mm 49 mm: want 50 to 300 mm":                                func(v *thing) { v.To = 49 },
		"to_mm 301 mm: want 40 to 300 mm":                               func(v *thing) { v.To = 301 },
		"inner_mm 51 mm: want 0 to 50 mm":                               func(v *thing) { v.Inner = 51 },
		"inner_mm -1 mm: want 0 to 300 mm":                              func(v *thing) { v.Inner = -1 },
		"all_mm.from -1 mm: want 0 to 100 mm":                           func(v *thing) { v.All.From = -1 },
		"all_mm.to 101 mm: want 0 to 100 mm":                            func(v *thing) { v.All.To = 101 },
		"all_mm.step 0 mm: want 0.5 to 1000 mm":                         func(v *thing) { v.All.Step = 0 },
		"ends_deg.to 1 degrees: want 2 to 50 degrees":                   func(v *thing) { v.Ends = steps{2, 1, 0} },
		"ends_deg.step 0.1 degrees: want 0.5 to 1000 degrees":           func(v *thing) { v.Ends.Step = 0.1 },
		"at_mm[1] 9.5 mm: want -9 to 9 mm":                              func(v *thing) { v.At.Y = 9.5 },
		"weight[2] 0.5 times: want 1 to 9 times":                        func(v *thing) { v.Weight.Z = 0.5 },
		"part.wide_mm 3 mm: want 1 to 2 mm":                             func(v *thing) { v.Part.Wide = 3 },
		"part.deep.drop_mm 4 mm: want -3 to 3 mm":                       func(v *thing) { v.Part.Deep.Drop = 4 },
		"open_deg 2 degrees: want 0 to 1 degrees":                       func(v *thing) { v.Open.Open = 2 },
		"many_mm[1] 0.9 mm: want 1 to 60 mm":                            func(v *thing) { v.Many = []float64{1, 0.9, 60} },
		"many_mm[0] NaN mm: want 1 to 60 mm":                            func(v *thing) { v.Many = []float64{nan} },
		"maybe.deep.way[0] NaN: want a finite number":                   func(v *thing) { v.Maybe = inner{Wide: 1, Deep: deep{Way: r3.Vec{X: nan}}} },
		"maybe.wide_mm 0 mm: want 1 to 2 mm": func(v *thing) {
			v.Maybe.Deep.Drop = 1 // any member that is not zero says that the group is there
		},
	} {
		v := sound()
		change(&v)
		assert.EqualError(t, table.Validate(&v), want)
	}
	v := thing{}
	var l fault.List
	table.Check(&l, &v)
	var paths []string
	for _, f := range contact.Faults(l.Err()) {
		paths = append(paths, f.Path)
	}
	assert.ElementsMatch(t, []string{"length_mm", "count", "grid_mm", "from_mm", "to_mm", "part.wide_mm"}, paths, "all together")
}

// Whatever is not zero in a group says that it is there, be it of any type.
func TestGroups(t *testing.T) {
	for name, set := range map[string]func(*deep){
		"text": func(d *deep) { d.Text = "x" },
		"enum": func(d *deep) { d.Kind = 1 },
		"set":  func(d *deep) { d.Set = 1 << 12 },
		"list": func(d *deep) { d.Some = []string{} },
		"flag": func(d *deep) { d.Yes = true },
		"vec":  func(d *deep) { d.Way.Z = 1 },
		"pair": func(d *deep) { d.Pair[1] = 1 << 20 },
	} {
		v := sound()
		set(&v.Maybe.Deep)
		assert.EqualError(t, table.Validate(&v), "maybe.wide_mm 0 mm: want 1 to 2 mm", name)
	}
	small := struct {
		Maybe struct {
			Kind uint8   `json:"kind"`
			Set  [2]bool `json:"set"`
		} `json:"maybe" zero:"none"`
		Need struct {
			Far float64 `json:"far_mm" range:"1 to 2"`
			Set [3]bool `json:"set"`
		} `json:"need" zero:"none"`
	}{}
	tiny := field.New[struct {
		Maybe struct {
			Kind uint8   `json:"kind"`
			Set  [2]bool `json:"set"`
		} `json:"maybe" zero:"none"`
		Need struct {
			Far float64 `json:"far_mm" range:"1 to 2"`
			Set [3]bool `json:"set"`
		} `json:"need" zero:"none"`
	}]()
	require.NoError(t, tiny.Validate(&small))
	small.Maybe.Set[1] = true
	require.NoError(t, tiny.Validate(&small))
	small.Need.Set[2] = true
	require.EqualError(t, tiny.Validate(&small), "need.far_mm 0 mm: want 1 to 2 mm")
}

// The class of a fault tells a wrong unit from a wrong number.
func TestClasses(t *testing.T) {
	v := sound()
	v.Length = 10
	assert.ErrorIs(t, table.Validate(&v), contact.ErrUnit)
	v.Length = -10
	err := table.Validate(&v)
	assert.ErrorIs(t, err, contact.ErrRange)
	assert.False(t, errors.Is(err, contact.ErrUnit))
}

// Columns are all numbers, each where it is.
func TestColumns(t *testing.T) {
	all := field.Columns(reflect.TypeFor[thing]())
	v := sound()
	var paths []string
	for i := range all {
		c := &all[i]
		paths = append(paths, c.Path)
		*field.Number(&v, c) = float64(i + 1)
	}
	assert.Equal(t, []string{
		"length_mm", "angle_deg", "bore_mm", "any", "grid_mm", "from_mm", "to_mm", "inner_mm",
		"all_mm.From", "all_mm.To", "all_mm.Step", "ends_deg.From", "ends_deg.To", "ends_deg.Step",
		"at_mm.X", "at_mm.Y", "at_mm.Z", "weight.X", "weight.Y", "weight.Z",
		"part.wide_mm", "part.deep.drop_mm", "part.deep.way.X", "part.deep.way.Y", "part.deep.way.Z",
		"maybe.wide_mm", "maybe.deep.drop_mm", "maybe.deep.way.X", "maybe.deep.way.Y", "maybe.deep.way.Z",
		"alone.wide_mm", "alone.deep.drop_mm", "alone.deep.way.X", "alone.deep.way.Y", "alone.deep.way.Z", "open_deg",
	}, paths)
	assert.Equal(t, 1.0, v.Length)
	assert.Equal(t, steps{9, 10, 11}, v.All)
	assert.Equal(t, r3.Vec{X: 15, Y: 16, Z: 17}, v.At)
	assert.Equal(t, 22.0, v.Part.Deep.Drop)
	assert.Equal(t, 36.0, v.Open.Open)
}

// Whether a number is in its range goes by its bits, and by comparison where those do not tell:
// at the ends of ranges, next to them, and for what is no number, the answer is that of the
// comparison alone.
func TestEndsOfRanges(t *testing.T) {
	type ranges struct {
		Below  float64 `range:"-9 to -3"`
		To0    float64 `range:"-5 to 0"`
		Around float64 `range:"-4 to 7"`
		From0  float64 `range:"0 to 3"`
		Above  float64 `range:"2 to 5"`
		Or0    float64 `range:"2 to 5" zero:"none"`
		Only0  float64 `range:"0 to 0"`
		Any    float64
	}
	table := field.New[ranges]()
	for _, c := range field.Columns(reflect.TypeFor[ranges]()) {
		lo, hi := c.Lo, c.Hi
		if !c.Bounds {
			lo, hi = -math.MaxFloat64, math.MaxFloat64
		}
		nan := math.NaN()
		values := []float64{0, math.Copysign(0, -1), nan, math.Copysign(nan, -1), math.Float64frombits(1<<64 - 1), 1, -1}
		for _, v := range []float64{lo, hi, 0, -lo, -hi, math.MaxFloat64, -math.MaxFloat64} {
			values = append(values, v, math.Nextafter(v, math.Inf(1)), math.Nextafter(v, math.Inf(-1)))
		}
		for _, v := range values {
			x := ranges{Below: -3, Above: 2}
			*field.Number(&x, &c) = v
			want := v >= lo && v <= hi || c.Zero != "" && v == 0
			assert.Equal(t, want, table.Validate(&x) == nil, "%s %g", c.Path, v)
		}
	}
}
