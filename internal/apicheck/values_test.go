package apicheck

import (
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"math/rand/v2"
	"path"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/motion/read"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/rider/calibrate"
	"example.com/fitgeom/contact/rider/norms"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/fitgeom/words"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// structs is every exported struct type of the public packages, as a value.
var structs = []any{
	contact.Attitude{},
	contact.Coordinate{},
	contact.Covariance{},
	contact.Derivative{},
	contact.Difference{},
	contact.Oddity{},
	contact.Error{},
	contact.Move{},
	contact.Position{},
	contact.Range{},
	contact.SaddleProfile{},
	contact.Slip{},
	contact.Suspect{},
	contact.Turn{},
	motion.Axes{},
	motion.Change{},
	motion.Circle{},
	motion.Crank{},
	motion.Curve{},
	motion.Extreme{},
	motion.Filter{},
	motion.Finding{},
	motion.Live{},
	motion.LiveSettings{},
	motion.MarkerQuality{},
	motion.Motion{},
	motion.Now{},
	motion.Path{},
	motion.Pose{},
	motion.Quality{},
	motion.Recording{},
	motion.Report{},
	motion.Revolution{},
	motion.Rotation{},
	motion.Sample{},
	motion.Settings{},
	motion.Stat{},
	motion.Turns{},
	read.File{},
	read.Format{},
	calibrate.Evidence{},
	calibrate.Reading{},
	calibrate.Result{},
	norms.Comparison{},
	norms.Correction{},
	norms.Method{},
	norms.Norm{},
	norms.Reading{},
	rider.Ankle{},
	rider.Answer{},
	rider.Body{},
	rider.Column{},
	rider.Edge{},
	rider.Freed{},
	rider.Interval{},
	rider.Limit{},
	rider.Limits{},
	rider.OtherBike{},
	rider.Share{},
	rider.ShareStep{},
	rider.SharedOut{},
	rider.Turned{},
	rider.Region{},
	rider.Verdict{},
	rider.Way{},
	rider.Window{},
	rider.Chain{},
	rider.Change{},
	rider.Comparison{},
	rider.Covariance{},
	rider.Derivative{},
	rider.Estimate{},
	rider.Leg{},
	rider.Number{},
	rider.Posture{},
	rider.SaddleToBottomBracket{},
	rider.SaddleToPedal{},
	rider.Slopes{},
	rider.Span{},
	rider.Uncertainty{},
	rider.Upper{},
	rider.UpperPosture{},
	survey.Finding{},
	survey.Fix{},
	survey.Freedom{},
	photo.Camera{},
	photo.Distance{},
	photo.Finding{},
	photo.Forecast{},
	photo.Mark{},
	photo.Photograph{},
	photo.Place{},
	photo.Plan{},
	photo.Result{},
	photo.Sideways{},
	photo.Survey{},
	photo.View{},
	survey.PlaceCoordinate{},
	survey.Placing{},
	survey.Reading{},
	survey.Registration{},
	survey.Residual{},
	survey.RigidMotion{},
	survey.SideView{},
	survey.Standing{},
	survey.Survey{},
	survey.TapeReading{},
	survey.TapeSurvey{},
	survey.Trueness{},
	survey.Uncertainty{},
	convert.Basis{},
	convert.Check{},
	convert.Definition{},
	convert.Entry{},
	convert.Freedom{},
	convert.Sheet{},
	convert.SidedMeasure{},
	convert.Solution{},
	chart.Axles{},
	chart.Chart{},
	chart.Entry{},
	chart.Freedom{},
	chart.Geometry{},
	chart.Handling{},
	chart.Rounding{},
	chart.SeatPoint{},
	chart.Sink{},
	chart.Solution{},
	chart.Surveyed{},
	chart.Steering{},
	chart.Tyre{},
	chart.Value{},
	chart.VirtualTopTube{},
	chart.Wheels{},
	clearance.Bike{},
	clearance.Bulk{},
	clearance.Mudguard{},
	clearance.Pedal{},
	clearance.Shoe{},
	clearance.Stay{},
	clearance.TopTube{},
	clearance.Uncertainty{},
	clearance.Value{},
	exchange.Dialect{},
	exchange.Document[contact.Position]{},
	exchange.Item{},
	exchange.Reading{},
	fitgeom.Budget{},
	fitgeom.Assumed{},
	fitgeom.Build{},
	fitgeom.Candidate{},
	fitgeom.Deviation{},
	fitgeom.Frame{},
	fitgeom.Keep{},
	fitgeom.Cleat{},
	fitgeom.Turned{},
	fitgeom.TurnTolerance{},
	fitgeom.Margin{},
	fitgeom.Merit{},
	fitgeom.Preference{},
	fitgeom.RoomWish{},
	fitgeom.Ruling{},
	fitgeom.Usual{},
	fitgeom.SaddleMove{},
	fitgeom.Settings{},
	fitgeom.Shelf{},
	fitgeom.Size{},
	part.AeroBar{},
	part.BaseBar{},
	part.Crank{},
	part.DropBar{},
	part.FlatBar{},
	part.Handlebar{},
	part.HeadsetCap{},
	part.Lever{},
	part.Pedal{},
	part.PedalSide{},
	part.LeverMount{},
	part.Place{},
	part.Saddle{},
	part.Seatpost{},
	part.Shim{},
	part.Spacer{},
	part.Stem{},
	part.StemOffset{},
	part.Steps{},
	design.Change{},
	design.Contradiction{},
	design.Design{},
	design.Drawing{},
	design.Mitre{},
	design.Near{},
	design.Offset{},
	design.Problem{},
	design.Range{},
	design.Report{},
	design.Subject{},
	design.Tube{},
	design.Tubes{},
	design.Value{},
	design.Wish{},
	rank.Choice{},
	rank.Index{},
	rank.Neighbour{},
	rank.Ranking{},
	rank.Sensitivity{},
	request.Bike{},
	request.Default{},
	request.Race{},
	request.Request{},
	request.Solved{},
	request.Target{},
	record.Bike{},
	record.Difference{},
	record.Personal{},
	record.Provenance{},
	record.Record{},
	record.Reproduction{},
	record.Warning{},
	region.Bounds{},
	region.FrontEnd{},
	region.HeadPlace{},
	region.Outline{},
	region.Placement{},
	region.Region{},
	region.Room{},
	region.Seat{},
	region.Setting{},
	region.Stretch{},
	rules.Bound{},
	rules.Date{},
	rules.Finding{},
	rules.Rider{},
	rules.Rule{},
	rules.Set{},
	solve.Change{},
	solve.Errors{},
	solve.Extent{},
	solve.Movement{},
	solve.Obstacle{},
	solve.Problem{},
	solve.Result{},
	solve.Room{},
	solve.RuleCost{},
	solve.Step{},
	words.Argument{},
	words.Sentence{},
}

// refusing is the types that have no document: what they know cannot be seen, or is an
// error. Those that hold one of them have none either.
var refusing = []any{
	record.Personal{},
	exchange.Document[contact.Position]{},
	exchange.Item{},
	motion.Live{},
	motion.Motion{},
	rider.Chain{},
	rider.Region{},
	survey.Registration{},
	survey.RigidMotion{},
	rank.Index{},
	region.Region{},
	request.Solved{},
	solve.Errors{},
	region.Seat{},
	design.Design{},
}

var holdRefusing = []any{calibrate.Evidence{}}

func isOne(t reflect.Type, of []any) bool {
	return slices.ContainsFunc(of, func(v any) bool { return reflect.TypeOf(v) == t })
}

func structName(t reflect.Type) string {
	name, _, _ := strings.Cut(t.Name(), "[") // without the types of its parameters
	return path.Base(t.PkgPath()) + "." + name
}

// The list has all.
func TestStructs(t *testing.T) {
	var listed, declared []string
	for _, v := range structs {
		listed = append(listed, structName(reflect.TypeOf(v)))
	}
	for dir, files := range publicFiles(t) {
		for _, name := range files {
			file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
			require.NoError(t, err)
			ast.Inspect(file, func(n ast.Node) bool {
				if s, ok := n.(*ast.TypeSpec); ok && s.Name.IsExported() {
					if _, ok := s.Type.(*ast.StructType); ok {
						declared = append(declared, path.Base(dir)+"."+s.Name.Name)
					}
				}
				_, in := n.(*ast.FuncDecl)
				return !in
			})
		}
	}
	assert.ElementsMatch(t, declared, listed)
}

// random fills a value with anything that its types can be: what is not exported it
// makes as its package does, or leaves.
func random(d *rand.Rand, v reflect.Value) {
	switch to := v.Addr().Interface().(type) {
	case *contact.Position:
		*to = randomPosition(d)
		return
	case *contact.Difference:
		*to = randomPosition(d).Sub(randomPosition(d))
		return
	case *contact.Covariance:
		*to = randomCovariance(d)
		return
	case *rank.Choice:
		random(d, reflect.ValueOf(&to.Size).Elem())
		to.Place, to.Shard, to.Reason, to.By = d.IntN(9), d.IntN(2), fitgeom.ByRoom, d.Float64()
		if d.IntN(2) == 0 {
			to.Fault = errors.Join(&contact.Error{Path: "a", Want: "b", Class: contact.ErrRange}, &contact.Error{Path: "c", Class: contact.ErrMissing})
			return
		}
		random(d, reflect.ValueOf(&to.Best).Elem())
		return
	case *motion.Sample:
		if *to = (motion.Sample{Seen: d.IntN(2) == 0}); to.Seen {
			random(d, reflect.ValueOf(&to.At).Elem())
		}
		return
	case *motion.Curve: // which only a motion makes, or a document
		text := fmt.Sprintf(`{"side":"left","view":"from_side","harmonics":1,"frames":9,"revolutions":[{"revolution":%d,"minute":0.5,"coefficients":[%d,2,-3.5]}]}`, d.IntN(9), d.IntN(90))
		if err := to.UnmarshalJSON([]byte(text)); err != nil {
			panic(err)
		}
		return
	case *design.Subject:
		*to = []design.Subject{{Dimension: chart.HeadAngle}, {Dimension: chart.Trail}, {Setting: design.StemUp}, {Clearance: clearance.PedalLean}}[d.IntN(4)]
		return
	case *contact.Move:
		*to = randomMove(d)
		return
	case *rider.Covariance:
		*to = randomBodyCovariance(d)
		return
	case *contact.Error:
		classes := []error{nil, contact.ErrMissing, contact.ErrRange, contact.ErrUnit, contact.ErrConflict, contact.ErrUnknown}
		*to = contact.Error{Path: "a", Line: d.IntN(3), Value: []string{"", "b"}[d.IntN(2)], Want: "c", Class: classes[d.IntN(len(classes))]}
		return
	case *rules.Date:
		*to = rules.Date{Year: 1 + d.IntN(9999), Month: 1 + d.IntN(12), Day: 1 + d.IntN(28)}
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() && v.Type().Field(i).Tag.Get("json") != "-" {
				random(d, v.Field(i))
			}
		}
	case reflect.Slice:
		if n := d.IntN(3); n > 0 {
			v.Set(reflect.MakeSlice(v.Type(), n, n))
		}
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			random(d, v.Index(i))
		}
	case reflect.Map:
		if d.IntN(2) == 0 {
			v.Set(reflect.MakeMap(v.Type()))
			key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
			random(d, key)
			random(d, value)
			v.SetMapIndex(key, value)
		}
	case reflect.Float64:
		some := []float64{0, 1, d.NormFloat64(), 1000 * d.NormFloat64()}
		if d.IntN(300) == 0 {
			some = []float64{math.MaxFloat64, -math.SmallestNonzeroFloat64}
		}
		v.SetFloat(some[d.IntN(len(some))])
	case reflect.Int, reflect.Int32:
		v.SetInt(int64(d.IntN(2000) - 1000))
	case reflect.Bool:
		v.SetBool(d.IntN(2) == 0)
	case reflect.String:
		v.SetString([]string{"", "a", "é\"\\\n\u2028<&>", "name 54"}[d.IntN(4)])
	case reflect.Uint8, reflect.Uint16:
		v.SetUint(spellings(d, v.Type()))
	case reflect.Interface: // an error
		v.Set(reflect.ValueOf(contact.ErrRange))
	default:
		panic("a field of type " + v.Type().String())
	}
}

// spellings returns the number of one of an enumeration's names.
func spellings(d *rand.Rand, t reflect.Type) uint64 {
	for {
		v := reflect.New(t).Elem()
		v.SetUint(d.Uint64N(1 << t.Bits()))
		m, ok := v.Interface().(encoding.TextMarshaler)
		if !ok {
			panic("numbers without names: " + t.String())
		}
		if _, err := m.MarshalText(); err == nil {
			return v.Uint()
		}
	}
}

func randomPosition(d *rand.Rand) (p contact.Position) {
	for _, s := range contact.Sites() {
		if d.IntN(2) == 0 {
			p.Set(s, r3.Vec{X: d.NormFloat64(), Y: 1e4 * d.NormFloat64(), Z: 1})
		}
		if d.IntN(3) == 0 {
			p.SetAttitude(s, contact.Attitude{Tilt: d.NormFloat64(), Roll: float64(d.IntN(2))})
		}
	}
	return p
}

func randomMove(d *rand.Rand) contact.Move {
	place := func() contact.Position {
		return contact.New(map[contact.Site]r3.Vec{contact.HoodsLeft: {X: d.NormFloat64(), Y: d.NormFloat64(), Z: d.NormFloat64()}})
	}
	var all []contact.Coordinate
	for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
		all = append(all, contact.Coordinate{Site: contact.HoodsLeft, Axis: a})
	}
	c, err := contact.NewCovariance(all, func(i, j int) float64 { return []float64{1 + d.Float64(), 0.2, 0.1}[i-j] })
	if err != nil {
		panic(err)
	}
	moves, _, err := place().Sub(place()).Judge(c, 0.95)
	if err != nil {
		panic(err)
	}
	return moves[0]
}

func randomCovariance(d *rand.Rand) contact.Covariance {
	var all []contact.Coordinate
	for _, s := range contact.Sites()[:d.IntN(4)] {
		all = append(all, contact.Coordinate{Site: s, Axis: contact.AxisY}, contact.Coordinate{Site: s, Axis: contact.AxisTilt})
	}
	c, err := contact.NewCovariance(all, func(i, j int) float64 {
		if i == j {
			return 1 + d.Float64()
		}
		return 0.01 * d.NormFloat64()
	})
	if err != nil {
		panic(err)
	}
	return c
}

func randomBodyCovariance(d *rand.Rand) rider.Covariance {
	all := []rider.Number{{Of: rider.BodyHipUp}, {Of: rider.BodyThigh, Side: contact.Left}, {Of: rider.BodyThigh, Side: contact.Right}}[:d.IntN(4)]
	c, err := rider.NewCovariance(all, func(i, j int) float64 {
		if i == j {
			return 1 + d.Float64()
		}
		return 0.01 * d.NormFloat64()
	})
	if err != nil {
		panic(err)
	}
	return c
}

// Every value comes back from JSON as it was, or cannot be written: nothing is left
// out in silence.
func TestValuesInJSON(t *testing.T) {
	for _, zero := range structs {
		typ := reflect.TypeOf(zero)
		t.Run(structName(typ), func(t *testing.T) {
			if hidden(typ) {
				own := typ.Implements(reflect.TypeFor[json.Marshaler]()) && reflect.PointerTo(typ).Implements(reflect.TypeFor[json.Unmarshaler]())
				require.True(t, own, "it has what encoding/json does not see")
			}
			if isOne(typ, refusing) {
				_, err := json.Marshal(zero)
				require.ErrorIs(t, err, contact.ErrUnknown)
				require.ErrorIs(t, json.Unmarshal([]byte("{}"), reflect.New(typ).Interface()), contact.ErrUnknown)
				return
			}
			written, d := 0, rand.New(rand.NewPCG(1, 2))
			refuses := isOne(typ, holdRefusing)
			// Of what has many numbers more is drawn, since one that is too large is enough to spoil it.
			for n := 0; n < 40 || n < 300 && !refuses && written <= 30; n++ {
				written += backFromJSON(t, d, typ)
			}
			if refuses {
				require.Less(t, written, 40, "what holds one that refuses was always written")
			} else {
				require.Greater(t, written, 30, "hardly any value was written")
			}
		})
	}
}

// backFromJSON writes a random value of a type and reads it back, and returns 1 if it
// could be written.
func backFromJSON(t *testing.T, d *rand.Rand, typ reflect.Type) int {
	v, back := reflect.New(typ), reflect.New(typ)
	random(d, v.Elem())
	text, err := json.Marshal(v.Interface())
	if err != nil {
		return 0
	}
	if !v.Elem().IsZero() {
		require.NotEqual(t, "{}", string(text))
	}
	require.NoError(t, json.Unmarshal(text, back.Interface()), string(text))
	require.Empty(t, cmp.Diff(v.Interface(), back.Interface(), cmpopts.EquateEmpty(), everything), string(text))
	return 1
}

var everything = cmp.Exporter(func(reflect.Type) bool { return true })

// hidden reports whether a struct has fields that are not exported.
func hidden(t reflect.Type) bool {
	for field := range t.Fields() {
		if !field.IsExported() {
			return true
		}
	}
	return false
}
