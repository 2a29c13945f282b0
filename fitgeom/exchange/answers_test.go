package exchange_test

import (
	"bytes"
	"context"
	"encoding"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
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
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/invented"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// answers are the kinds whose values are drawn by their tags.
var answers = []subject{
	answerOf("fix", dice.fix),
	answerOf("covariance", dice.covariance),
	answerOf("record", dice.record),
	answerOf("records", func(d dice) record.History {
		var h record.History
		for _, r := range list(d, 3, d.record) {
			r.Date = rules.Date{Year: 2020 + d.IntN(9), Month: 1 + d.IntN(12), Day: 1 + d.IntN(28)}
			h = h.Add(r)
		}
		return h
	}),
	answerOf("changes", tagged[record.Difference]),
	answerOf("steps", tagged[[]solve.Step]),
	answerOf("ranking", tagged[rank.Ranking]),
	answerOf("obstacles", tagged[[]solve.Obstacle]),
	answerOf("solution", tagged[convert.Solution]),
	answerOf("completion", tagged[chart.Solution]),
	answerOf("region", tagged[[]region.Outline]),
	answerOf("drawing", tagged[design.Drawing]),
	answerOf("design_problem", dice.designProblem),
	answerOf("design", tagged[design.Report]),
	answerOf("recording", dice.recording),
	answerOf("motion", tagged[motion.Report]),
	answerOf("motion_changes", tagged[[]motion.Change]),
}

// everyKind is all kinds.
var everyKind = slices.Concat(subjects, answers)

// draws is how often something is tried with a kind: a tenth of it with answers, whose values
// are alike.
func draws(s *subject, n uint64) uint64 {
	if slices.ContainsFunc(answers, func(a subject) bool { return a.name == s.name }) {
		return max(3, n/10)
	}
	return n
}

// same compares values that were read. A crank angle that is not known is NaN.
func same(t *testing.T, want, got any) {
	t.Helper()
	require.Empty(t, cmp.Diff(want, got, cmpopts.EquateNaNs(), everything))
}

var everything = cmp.Exporter(func(reflect.Type) bool { return true })

func answerOf[T exchange.Content](name string, random func(dice) T) subject {
	s := subjectOf(name, random)
	s.random = func(t *testing.T, d dice) []byte {
		v := random(d)
		var b bytes.Buffer
		require.NoError(t, exchange.Write(t.Context(), &b, v, d.name()))
		got, _, err := exchange.Read[T](t.Context(), bytes.NewReader(b.Bytes()))
		require.NoError(t, err, b.String())
		require.Empty(t, cmp.Diff(v, got, cmpopts.EquateEmpty(), cmpopts.EquateNaNs(), everything))
		return b.Bytes()
	}
	return s
}

// tagged is a value of anything that its tags allow.
func tagged[T any](d dice) (v T) {
	d.fill(reflect.ValueOf(&v).Elem(), nil)
	return v
}

// fill draws what tags and names say, and of types that check more what they take.
func (d dice) fill(v reflect.Value, f *field.Field) {
	if d.special(v) {
		return
	}
	if _, ok := v.Interface().(encoding.TextMarshaler); ok {
		if f != nil && f.Omit && d.yes() {
			return
		}
		for {
			v.SetUint(d.Uint64N(1 << min(v.Type().Bits(), 7)))
			if e, ok := v.Interface().(encoding.TextMarshaler); ok && named(e) {
				break
			}
		}
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		if f != nil && f.Zero != "" && d.yes() {
			return
		}
		if v.Type() == reflect.TypeFor[r3.Vec]() {
			for i := range 3 {
				d.fill(v.Field(i), f)
			}
			return
		}
		all := field.Of(v.Type())
		for i := range all {
			d.fill(v.Field(all[i].Index), &all[i])
		}
	case reflect.Slice:
		n := d.IntN(3)
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			d.fill(v.Index(i), nil)
			if k := v.Index(i).Kind(); k == reflect.Float64 || k == reflect.Int {
				d.fill(v.Index(i), f)
			}
		}
	case reflect.Float64:
		v.SetFloat(d.in(-1000, 1000))
		if f != nil && f.Bounds {
			v.SetFloat(d.in(f.Lo, min(f.Hi, 1000)))
		}
	case reflect.Int:
		v.SetInt(int64(d.IntN(1000)))
	case reflect.String:
		v.SetString(d.name())
	case reflect.Bool:
		v.SetBool(d.yes())
	default:
		panic("a field of type " + v.Type().String())
	}
}

func named(e encoding.TextMarshaler) bool {
	_, err := e.MarshalText()
	return err == nil
}

// special draws a value of a type that says more than its tags.
func (d dice) special(v reflect.Value) bool {
	switch to := v.Addr().Interface().(type) {
	case *contact.Position:
		*to = d.position()
	case *contact.Covariance:
		*to = d.covariance()
	case *contact.Range:
		*to = contact.Range{Coordinate: d.coordinate(), Low: d.in(-9, 0), High: d.in(0, 9), Likelihood: d.yes(), Assumed: d.in(0, 1)}
	case *contact.Move:
		*to = d.move()
	case *chart.Value:
		*to = chart.Value{Dimension: chart.Dimensions()[d.IntN(20)], Value: d.in(1, 90), Sigma: d.maybe(0, 9), Effects: list(d, 3, func() float64 { return d.in(-1, 1) }), Doubtful: d.yes()}
	case *solve.Change:
		*to = solve.Change{Limit: fitgeom.LimitStemLonger + fitgeom.Limit(d.IntN(5)), By: d.in(0, 100)}
	case *survey.TapeReading:
		*to = d.tape().Readings[0]
	case *survey.Landmark:
		*to = []survey.Landmark{survey.RearAxleLeft, survey.At(contact.HoodsLeft), survey.Mark("a.b[2]/~ é")}[d.IntN(3)]
	case *fitgeom.Candidate:
		for all := d.results(); ; all = d.results() {
			if len(all) > 0 {
				*to = all[0]
				break
			}
		}
	case *fitgeom.Size:
		*to = d.size(1)
	case *rank.Choice:
		*to = rank.Choice{Place: d.IntN(9), Size: d.size(2), Reason: fitgeom.ByRoom, By: d.in(0, 9)}
		if d.yes() {
			to.Fault = errors.Join(&contact.Error{Path: "shelf.posts", Value: "none", Want: "one", Class: contact.ErrMissing})
		} else {
			d.fill(reflect.ValueOf(&to.Best).Elem(), nil)
		}
	case *design.Wish:
		*to = d.wish()
	case *design.Range:
		*to = design.Range(d.wish())
	case *design.Value:
		*to = design.Value{Subject: d.wish().Subject, Value: d.in(-100, 100), Sigma: d.maybe(0, 9)}
	case *region.FrontEnd:
		*to = d.designProblem().Front
	case *chart.Geometry:
		*to = d.frame().Geometry
	case *motion.Curve:
		*to = d.curve()
	case *motion.Path:
		*to = motion.Path{Marker: motion.KneeLeft, X: d.curve(), Z: d.curve()}
		if d.yes() {
			to.Y = d.curve()
		}
	case *contact.Error:
		*to = contact.Error{Path: d.name(), Value: d.name(), Want: d.name(), Class: contact.ErrRange}
	case *design.Mitre:
		if d.yes() {
			*to = design.Mitre{Radius: d.in(1, 15), On: d.in(20, 30), Angle: d.in(30, 150), Offset: d.in(-4, 4)}
		}
	default:
		return false
	}
	return true
}

func (d dice) coordinate() contact.Coordinate {
	return contact.Coordinate{Site: contact.Sites()[d.IntN(len(contact.Sites()))], Axis: contact.Axis(d.IntN(6))}
}

// covariance is that of a few errors that coordinates share, and of one of each alone.
func (d dice) covariance() contact.Covariance {
	known := map[contact.Coordinate]bool{}
	var all []contact.Coordinate
	var by [][3]float64
	for range d.IntN(8) {
		if c := d.coordinate(); !known[c] {
			known[c] = true
			all, by = append(all, c), append(by, [3]float64{d.in(-2, 2), d.in(-2, 2), d.in(-1, 1)})
		}
	}
	return someCovariance(all, by)
}

func someCovariance(all []contact.Coordinate, by [][3]float64) contact.Covariance {
	c, err := contact.NewCovariance(all, func(i, j int) float64 {
		sum := 0.0
		for k := range by[i] {
			sum += by[i][k] * by[j][k]
		}
		if i == j {
			sum += 0.5
		}
		return sum
	})
	if err != nil {
		panic(err)
	}
	return c
}

func (d dice) move() contact.Move {
	var all []contact.Coordinate
	for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
		all = append(all, contact.Coordinate{Site: contact.DropsLeft, Axis: a})
	}
	c := someCovariance(all, [][3]float64{{d.in(-1, 1)}, {0, d.in(-1, 1)}, {d.in(-1, 1), 0, 1}})
	moves, _, err := contact.New(map[contact.Site]r3.Vec{contact.DropsLeft: d.vec(9)}).Sub(contact.New(map[contact.Site]r3.Vec{contact.DropsLeft: {}})).Judge(c, 0.95)
	if err != nil {
		panic(err)
	}
	return moves[0]
}

func (d dice) fix() survey.Fix {
	f := survey.Fix{
		Position: d.position(), Covariance: d.covariance(), Ranges: tagged[contact.Ranges](d), Free: tagged[[]survey.Freedom](d),
		Suspects: tagged[[]contact.Suspect](d), Steer: d.in(-90, 90), SteerSigma: d.maybe(0, 9), Findings: tagged[[]survey.Finding](d), Residuals: tagged[[]survey.Residual](d),
	}
	for range d.IntN(2) {
		f.Others = append(f.Others, d.position())
	}
	return f
}

func (d dice) record() record.Record {
	r := record.Record{
		Fix: d.fix(), ReferenceWidth: d.maybe(40, 140), Profile: d.saddleProfile(), Shoes: d.name(), Provenance: tagged[record.Provenance](d),
		Cautions: tagged[[]fitgeom.Caution](d),
		Personal: record.Personal{
			Name: d.name(), MeasuredBy: d.name(), Goals: list(d, 2, d.name), Complaints: list(d, 2, d.name), Notes: list(d, 2, d.name),
			Rules: rules.Rider{Height: d.maybe(500, 2500)},
		},
	}
	r.Fix.Position.Set(contact.SaddleReference, r3.Vec{X: d.in(-300, -200), Y: d.in(-5, 5), Z: d.in(500, 800)})
	switch d.IntN(3) {
	case 0:
		r.Bike = record.Bike(d.build())
	case 1:
		r.Bike.Saddle, r.Bike.Frame = d.saddle(), d.frame()
	}
	if d.yes() {
		r.Personal.Limits = rider.Limits{Body: d.body(), Joints: []rider.Limit{{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: d.in(0, 40), Source: d.name()}}}
	}
	return r
}

// wish is of one of a few numbers, with both ends, one or none.
func (d dice) wish() design.Wish {
	w := []design.Wish{
		{Subject: design.Subject{Dimension: chart.Trail}, From: d.in(50, 55), To: d.in(55, 60)},
		{Subject: design.Subject{Dimension: chart.HeadAngle}, From: d.in(70, 72), To: d.in(72, 74)},
		{Subject: design.Subject{Setting: design.StemAngle}, From: d.in(-10, 0), To: d.in(0, 10)},
		{Subject: design.Subject{Setting: design.StemLength}, From: d.in(80, 100), To: d.in(100, 120)},
		{Subject: design.Subject{Clearance: clearance.ToeLevel}, From: d.in(80, 90), To: d.in(90, 100)},
	}[d.IntN(5)]
	if d.IntN(3) == 0 {
		w.From = math.Inf(-1)
	}
	if d.IntN(3) == 0 {
		w.To = math.Inf(1)
	}
	return w
}

func (d dice) designProblem() design.Problem {
	b := invented.Build()
	p := design.Problem{
		Target: invented.Position(b), Front: region.FrontEnd{Up: b.Cap.Height + b.Settings.Spacers, Stem: b.Stem, Handlebar: b.Handlebar, Lever: b.Lever},
		Cap: b.Cap.Height, MaxUnderStem: d.maybe(100, 150), Seatpost: b.Seatpost, Saddle: b.Saddle, RailClamp: d.maybe(40, 300), StandAt: d.maybe(-300, 500),
		Inseam: d.maybe(300, 1200), Wishes: list(d, 4, d.wish),
	}
	p.Front.Mount, p.Front.BarRotation, p.Front.Stem.Name = part.LeverMount{Up: d.maybe(-40, 40), In: d.maybe(-30, 30)}, d.maybe(-45, 45), d.name()
	switch d.IntN(4) {
	case 0:
		p.RoomWanted = []fitgeom.RoomWish{}
	case 1:
		p.RoomWanted = []fitgeom.RoomWish{{Group: contact.OnSaddle, Up: 1 + d.IntN(30), Gap: d.maybe(0, 10)}}
	case 2:
		p.Front.Stem.Angles, p.Front.Stem.Quill = part.Steps{From: -10, To: 10, Step: 5}, part.Steps{From: 20, To: 80, Step: 10}
		p.Front.StemAngle, p.Front.Quill, p.Front.Flipped = 5, 30, d.yes()
	}
	if d.yes() {
		p.Tubes = design.Tubes{Head: d.in(40, 50), Top: d.in(20, 28), Down: d.in(20, 38), Seat: d.in(28, 35), Shell: 40, AboveTop: d.in(0, 30), BelowDown: d.in(0, 30), SeatAbove: d.in(0, 50)}
		p.Bulk = frozenBulk
		known := contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisX}
		p.Covariance = someCovariance([]contact.Coordinate{known}, [][3]float64{{d.in(1, 2)}})
	}
	return p
}

func (d dice) recording() motion.Recording {
	r := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}, Crank: d.maybe(150, 180), Flat: d.yes()}
	at := d.in(-10, 10)
	for range 1 + d.IntN(5) {
		r.Times = append(r.Times, at)
		at += d.in(0.001, 0.1)
	}
	for range 1 + d.IntN(3) {
		var all []motion.Sample
		for range r.Times {
			s := motion.Sample{At: d.vec(9000), Seen: true}
			if d.IntN(3) == 0 {
				s = motion.Sample{}
			}
			all = append(all, s)
		}
		r.Markers[motion.Markers()[d.IntN(len(motion.Markers()))]] = all
	}
	if d.yes() {
		for range r.Times {
			r.Phase = append(r.Phase, []float64{d.in(-1000, 1000), math.NaN()}[d.IntN(2)])
		}
	}
	return r
}

// curve is of any harmonics. Only a motion makes curves, or a document.
func (d dice) curve() (c motion.Curve) {
	harmonics := 1 + d.IntN(3)
	var revolutions []any
	for i := range 1 + d.IntN(3) {
		coefficients := make([]float64, 2*harmonics+1)
		for k := range coefficients {
			coefficients[k] = d.in(-90, 90)
		}
		revolutions = append(revolutions, map[string]any{"revolution": i, "minute": d.in(0, 9), "coefficients": coefficients})
	}
	text, err := json.Marshal(map[string]any{
		"measure": motion.Measures()[d.IntN(10)], "side": contact.Left, "view": motion.FromSide, "flat": d.yes(),
		"harmonics": harmonics, "frames": d.IntN(100), "revolutions": revolutions,
	})
	if err != nil {
		panic(err)
	}
	if err := json.Unmarshal(text, &c); err != nil {
		panic(err)
	}
	return c
}

// Every document of an answer that was ever written can be read, and says the same.
func TestAnswersOfVersion1(t *testing.T) {
	for _, s := range answers {
		t.Run(s.name, func(t *testing.T) {
			file := filepath.Join(v1, s.name+".json")
			if os.Getenv("UPDATE_GOLDEN") != "" {
				if _, err := os.Stat(file); err != nil { // those that are there stay
					require.NoError(t, os.WriteFile(file, richest(t, s), 0o666))
				}
			}
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			again, err := s.reread(data)
			require.NoError(t, err)
			assert.Equal(t, rounded(string(data)), rounded(again), "what is written, as long as 1 is the newest version")
		})
	}
}

// richest is of some documents that are drawn the one with most members for its size.
func richest(t *testing.T, s subject) (best []byte) {
	most := 0
	for seed := range uint64(300) {
		doc, seen := s.random(t, newDice(seed)), map[string]bool{}
		objects(plain(t, doc), "", func(o map[string]any, path string) {
			for name := range o {
				seen[path+"/"+name] = true
			}
		})
		if n := 200*len(seen) - len(doc); len(doc) < 9000 && (best == nil || n > most) {
			best, most = doc, n
		}
	}
	return best
}

// answerTypes is what the documents of answers are of.
var answerTypes = map[string]reflect.Type{
	"fix": typeOf(survey.Fix{}), "covariance": typeOf(contact.Covariance{}), "record": typeOf(record.Record{}), "records": listOf[record.Record]("records"),
	"changes": typeOf(record.Difference{}), "steps": listOf[solve.Step]("steps"), "ranking": typeOf(rank.Ranking{}), "obstacles": listOf[solve.Obstacle]("obstacles"),
	"solution": typeOf(convert.Solution{}), "completion": typeOf(chart.Solution{}), "region": listOf[region.Outline]("outlines"), "drawing": typeOf(design.Drawing{}),
	"design_problem": typeOf(design.Problem{}), "design": typeOf(design.Report{}), "recording": typeOf(motion.Recording{}), "motion": typeOf(motion.Report{}), "motion_changes": listOf[motion.Change]("changes"),
}

// typeOfKind is what documents of a kind are of.
func typeOfKind(name string) reflect.Type {
	if t := documentTypes[name]; t != nil {
		return t
	}
	return answerTypes[name]
}

// Numbers of answers that have a range: just out of it both the schema and Read refuse them.
func TestAnswerRanges(t *testing.T) {
	for _, s := range answers {
		data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
		require.NoError(t, err)
		doc, root := decoded(t, data)
		tried, seen := 0, map[string]bool{}
		leaves(answerTypes[s.name], nil, root, leaf{}, func(l leaf) {
			for _, own := range []string{"/bike/", "/best/", "/size/", "/body/", "/settle/", "/sites/", "/seatpost/", "/saddle/", "/stem/", "/handlebar/", "/lever/", "/geometry/"} { // which documents of their own are tried with
				if strings.Contains(l.pattern, own) {
					return
				}
			}
			if lo, hi, bounded := limits(l, root); bounded && l.field != nil && l.field.Bounds && lo > -1e9 && hi < 1e9 && !seen[l.pattern] {
				seen[l.pattern] = true
				tried += tryNumber(t, &s, doc, l, map[string]bool{})
			}
		})
		t.Logf("%s: %d trials of %d numbers", s.name, tried, len(seen))
	}
}

// What a reader that is stopped gives is an error, of every kind.
func TestAnswersEndWithTheirContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, _, err := exchange.Read[record.Record](ctx, bytes.NewReader(nil))
	require.ErrorIs(t, err, context.Canceled)
	require.ErrorIs(t, exchange.Write(ctx, &bytes.Buffer{}, []solve.Step{}, ""), context.Canceled)
}
