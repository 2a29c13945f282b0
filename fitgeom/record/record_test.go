package record_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// covariance is that of independent errors of some mm, and of tenths of a degree.
func covariance(p contact.Position, sigma float64) contact.Covariance {
	var all []contact.Coordinate
	for s := range p.All() {
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
			all = append(all, contact.Coordinate{Site: s, Axis: a})
		}
		if _, ok := p.Attitude(s); ok {
			all = append(all, contact.Coordinate{Site: s, Axis: contact.AxisTilt})
		}
	}
	c, err := contact.NewCovariance(all, func(i, j int) float64 {
		switch {
		case i != j:
			return 0
		case all[i].Axis == contact.AxisTilt:
			return 0.04
		}
		return sigma * sigma
	})
	if err != nil {
		panic(err)
	}
	return c
}

// aBike is the bike of the tests as a record has it.
func aBike() record.Bike {
	b := record.Bike(invented.Everything())
	b.Bulk = clearance.Bulk{Bar: 16, Knee: 60}
	return b
}

// aRecord knows everything.
func aRecord() record.Record {
	p := invented.Position(invented.Everything())
	body, _ := invented.Rider()
	return record.Record{
		Date: rules.Date{Year: 2026, Month: 5, Day: 17},
		Fix: survey.Fix{
			Position: p, Covariance: covariance(p, 1), Ranges: covariance(p, 1).Ranges(p), Steer: 1.5,
			Findings:  []survey.Finding{{Kind: survey.ReadOnce, Landmark: survey.Mark("scratch"), Reading: -1}},
			Residuals: []survey.Residual{{Landmark: survey.RearAxleLeft, Off: r3.Vec{X: 1}, Sigma: r3.Vec{X: 1, Y: 1, Z: 1}}},
			Free:      []survey.Freedom{{Coordinates: []survey.PlaceCoordinate{{Place: survey.Mark("scratch"), Axis: contact.AxisY}}}},
			Suspects:  []contact.Suspect{{Reading: 3, Against: 9, Sigma: 2, Slips: []contact.Slip{{Kind: contact.SignReversed, Value: 3, Measured: "height"}}}},
		},
		ReferenceWidth: 80, Profile: contact.SaddleProfile{NoseAhead: 140, RearBehind: 130, Sigma: 1, Width: 70, Widening: 1.8},
		Bike: aBike(), Shoes: "shoe 43",
		Provenance: record.Provenance{Method: record.ByInstrument, Instrument: "arm", Software: "program 3"},
		Cautions:   []fitgeom.Caution{fitgeom.CautionClinician, fitgeom.CautionInsertion},
		Personal: record.Personal{
			Name: "rider 7", MeasuredBy: "fitter 2", Goals: []string{"four hours"}, Complaints: []string{"left hand numb"}, Notes: []string{"seen"},
			Rules: rules.Rider{Height: 1780}, Limits: rider.Limits{Body: body, Joints: []rider.Limit{{Variable: rider.KneeFlexion, Side: contact.Left, Bound: rider.AtLeast, Angle: 25, Source: "lying"}, {Variable: rider.KneeFlexion, Bound: rider.AtMost, Angle: 120, Source: "lying"}}},
		},
	}
}

func TestFixtures(t *testing.T) {
	require.NoError(t, aRecord().Validate())
	build, ok := aBike().Build()
	require.True(t, ok)
	require.NoError(t, build.Validate())
	for i, v := 0, reflect.ValueOf(aRecord()); i < v.NumField(); i++ {
		assert.False(t, v.Field(i).IsZero(), "%s is not stated", v.Type().Field(i).Name)
	}
	_, ok = record.Bike{Saddle: aBike().Saddle}.Build()
	assert.False(t, ok)
}

// leaves calls a function with every number and text within a value, by its path.
func leaves(v reflect.Value, path string, do func(path string, v reflect.Value)) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				leaves(v.Field(i), path+"."+v.Type().Field(i).Name, do)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			leaves(v.Index(i), fmt.Sprintf("%s[%d]", path, i), do)
		}
	case reflect.String, reflect.Float64, reflect.Int:
		do(path, v)
	}
}

const planted = "Xanthippe"

// withNames is a record with a name in everything that can hold a text, as it is and with what
// a landmark needs.
func withNames() record.Record {
	r := aRecord()
	f := &r.Bike.Frame
	f.SteererInterface, f.SeatpostInterface = planted+" steerer", planted+" post"
	for _, to := range []*string{&r.Bike.Cap.SteererInterface, &r.Bike.Stem.SteererInterface} {
		*to = f.SteererInterface
	}
	r.Bike.Seatpost.Interface = f.SeatpostInterface
	leaves(reflect.ValueOf(&r).Elem(), "", func(path string, v reflect.Value) {
		switch {
		case v.Kind() != reflect.String || v.String() == "" || strings.HasSuffix(path, "Interface"): // what is not there has no name
		case v.Type() == reflect.TypeFor[survey.Landmark]():
			v.SetString("mark_" + planted)
		default:
			v.SetString(v.String() + " " + planted)
		}
	})
	return r
}

// A name that stands in every text of a record stands in nothing that is left of it.
func TestAnonymous(t *testing.T) {
	r := withNames()
	require.NoError(t, r.Validate())
	text, err := json.Marshal(r)
	require.NoError(t, err)
	require.Greater(t, strings.Count(string(text), planted), 25)

	left := r.Anonymous()
	require.NoError(t, left.Validate())
	text, err = json.Marshal(left)
	require.NoError(t, err)
	assert.NotContains(t, string(text), planted)
	assert.NotContains(t, fmt.Sprintf("%v %+v %#v", left, left, left), planted)
	assert.NotContains(t, string(text), "2026", "the day tells too")
	assert.Equal(t, r.Fix.Position, left.Fix.Position)
	assert.Equal(t, r.Fix.Covariance, left.Fix.Covariance)
	assert.Equal(t, record.Personal{}, left.Personal)
	assert.Equal(t, left.Bike.Frame.SteererInterface, left.Bike.Stem.SteererInterface, "what went together still does")
	assert.NotEqual(t, left.Bike.Frame.SteererInterface, left.Bike.Frame.SeatpostInterface)
	assert.Zero(t, left.Bike.Bulk.Knee)
	build, ok := left.Bike.Build()
	require.True(t, ok)
	require.NoError(t, build.Validate())
	was, _ := r.Bike.Build()
	assert.Equal(t, invented.Position(was), invented.Position(build))
	assert.Equal(t, left, left.Anonymous())
}

// Package fmt does not print what is personal.
func TestPrinted(t *testing.T) {
	r := record.Record{Fix: aRecord().Fix, Personal: withNames().Personal}
	for _, verb := range []string{"%v", "%+v", "%#v", "%s"} {
		assert.NotContains(t, fmt.Sprintf(verb, r), planted, verb)
	}
}

// Whatever number is wrong, no error repeats a text of the record.
func TestErrorsHaveNoNames(t *testing.T) {
	r := withNames()
	found, tried := 0, 0
	say := func(path string, err error) {
		if err == nil {
			return
		}
		found++
		assert.NotContains(t, err.Error(), planted, path)
	}
	leaves(reflect.ValueOf(&r).Elem(), "", func(path string, v reflect.Value) {
		if strings.Contains(path, ".Ranges[") && !strings.Contains(path, ".Ranges[1]") {
			return // one is like another
		}
		old := reflect.New(v.Type()).Elem()
		old.Set(v)
		defer v.Set(old)
		switch v.Kind() {
		case reflect.String:
			v.SetString("another " + planted)
		case reflect.Float64:
			v.SetFloat(math.NaN())
			say(path, r.Validate())
			v.SetFloat(old.Float() + 1e6)
		case reflect.Int:
			v.SetInt(-1e6)
		}
		err := r.Validate()
		say(path, err)
		if tried++; tried%20 == 0 {
			_, err2 := record.Compare(r, r, 0.95)
			say(path, err2)
			assert.Equal(t, err == nil, err2 == nil, path)
		}
	})
	assert.Greater(t, found, 400)
	_, err := r.Reproduce(t.Context(), solve.Problem{Frame: invented.Road54(), Shelf: fitgeom.Shelf{}}, solve.Errors{})
	require.Error(t, err)
	say("problem", err)
}

func TestValidate(t *testing.T) {
	p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -208, Z: 706}})
	for want, r := range map[string]record.Record{
		"": {Fix: survey.Fix{Position: p}},
		"fix.position.sites missing: want at least one site":                                                {},
		"reference_width_mm 30 mm: want 40 to 140 mm":                                                       {Fix: survey.Fix{Position: p}, ReferenceWidth: 30},
		"provenance.method number 99: want one of instrument, tape, photographs, sheet, settings, fit_bike": {Fix: survey.Fix{Position: p}, Provenance: record.Provenance{Method: 99}},
		"cautions[1] none: want a name such as manufacturer or steerer":                                     {Fix: survey.Fix{Position: p}, Cautions: []fitgeom.Caution{1, 0}},
		"date 2026-02-30: want a day of the calendar as in 2026-01-01":                                      {Fix: survey.Fix{Position: p}, Date: rules.Date{Year: 2026, Month: 2, Day: 30}},
		"bike.saddle.length_mm 27 mm: want 180 to 340 mm; it looks like centimetres": {
			Fix: survey.Fix{Position: p}, Bike: record.Bike{Saddle: part.Saddle{Length: 27, Station: 14, Height: 47, RailsFrom: 115, RailsTo: 185}},
		},
		"personal.height_mm 178 mm: want 500 to 2500 mm; it looks like centimetres":                        {Fix: survey.Fix{Position: p}, Personal: record.Personal{Rules: rules.Rider{Height: 178}}},
		"personal.limits.body.left.thigh_mm 0 mm: want 200 to 700 mm":                                      {Fix: survey.Fix{Position: p}, Personal: record.Personal{Limits: rider.Limits{Body: rider.Body{HipUp: 50, Left: rider.Leg{Shank: 400, AnkleHeight: 70, AnkleBehind: 120, Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{0}}}}}}},
		"saddle_profile.widening missing: want to be known, since the reference was read at another width": {Fix: survey.Fix{Position: p}, Profile: contact.SaddleProfile{Width: 70}},
	} {
		got := ""
		if err := r.Validate(); err != nil {
			got, _, _ = strings.Cut(err.Error(), "\n")
		}
		assert.Equal(t, want, got)
	}
}

// drawn is a record whose position has the errors that its covariance states.
func drawn(rng *rand.Rand, truth contact.Position, sigma float64) record.Record {
	p := truth
	for s, at := range truth.All() {
		p.Set(s, r3.Add(at, r3.Vec{X: sigma * rng.NormFloat64(), Y: sigma * rng.NormFloat64(), Z: sigma * rng.NormFloat64()}))
		if a, ok := truth.Attitude(s); ok {
			a.Tilt += 0.2 * rng.NormFloat64()
			p.SetAttitude(s, a)
		}
	}
	return record.Record{Fix: survey.Fix{Position: p, Covariance: covariance(p, sigma)}}
}

// Of what did not move one in twenty seems to at 95 %, and of what moved by as much as errors
// allow to be seen all do: 6 standard uncertainties of a difference along one axis are beyond
// the 95 % quantile of chi-squared with 3 degrees, 7.81 (standard tables), by 2.8 times.
func TestCompareIsTrue(t *testing.T) {
	rng := rand.New(rand.NewPCG(24, 1))
	truth := invented.Position(invented.Build())
	moved := truth
	at, _ := truth.At(contact.HoodsLeft)
	moved.Set(contact.HoodsLeft, r3.Add(at, r3.Vec{Z: 6 * math.Sqrt(2)}))
	still, false1, seen := 0, 0, 0
	for range 150 {
		d, err := record.Compare(drawn(rng, truth, 1), drawn(rng, moved, 1), 0.95)
		require.NoError(t, err)
		for _, m := range d.Moves {
			switch {
			case m.Site == contact.HoodsLeft && m.Real:
				seen++
			case m.Site != contact.HoodsLeft:
				still++
				if m.Real {
					false1++
				}
			}
		}
	}
	share := float64(false1) / float64(still)
	t.Logf("%d of %d that stood still seem to have moved (%.3f); %d of 150 that moved do", false1, still, share, seen)
	assert.InDelta(t, 0.05, share, 4*math.Sqrt(0.05*0.95/float64(still)))
	assert.GreaterOrEqual(t, seen, 147)
}

func TestWarnings(t *testing.T) {
	say := func(change func(a, b *record.Record)) string {
		a, b := aRecord(), aRecord()
		a.Fix.Suspects, b.Fix.Suspects = nil, nil
		change(&a, &b)
		d, err := record.Compare(a, b, 0.95)
		require.NoError(t, err)
		var all []string
		for _, w := range d.Warnings {
			all = append(all, w.String())
		}
		return strings.Join(all, "; ")
	}
	feet, saddle := "foot_left, foot_right", "saddle_reference, saddle_nose, saddle_rear"
	for want, change := range map[string]func(a, b *record.Record){
		"":                           func(_, _ *record.Record) {},
		"another saddle: " + saddle:  func(_, b *record.Record) { b.Bike.Saddle.Name = "saddle 271" },
		"another saddle:  " + saddle: func(_, b *record.Record) { b.Bike.Saddle.Name = ""; b.Bike.Saddle.Station += 5 },
		"it is not stated whether the saddle is the same: " + saddle: func(a, _ *record.Record) { a.Bike.Saddle = part.Saddle{} },
		"other shoes: " + feet: func(_, b *record.Record) { b.Shoes = "shoe 44" },
		"it is not stated whether the shoes are the same: " + feet: func(a, b *record.Record) { a.Shoes, b.Shoes = "", "" },
		"other pedals: " + feet:                          func(_, b *record.Record) { b.Bike.Pedal.FootHeight++ },
		"other cranks: pedal_left, pedal_right, " + feet: func(_, b *record.Record) { b.Bike.Crank.Length = 170 },
		"other levers: bar_clamp, tops_left, tops_right, hoods_left, hoods_right, drops_left, drops_right": func(_, b *record.Record) { b.Bike.Lever.Reach = 30 },
		"another aero bar: pad_left, pad_right, extension_left, extension_right":                           func(_, b *record.Record) { b.Bike.Aero.ExtensionDrop = 20 },
		"the saddle reference is where the saddle has another width: " + saddle:                            func(a, _ *record.Record) { a.Profile.Width = 80 },
		"measured by another method; measured with another instrument; worked out by another program": func(_, b *record.Record) {
			b.Provenance = record.Provenance{Method: record.ByTape, Instrument: "tape", Software: "program 4"}
		},
		"readings contradict one another":       func(a, _ *record.Record) { a.Fix.Suspects = aRecord().Fix.Suspects },
		"the second record is the earlier one":  func(_, b *record.Record) { b.Date.Year-- },
		"a date is not stated":                  func(_, b *record.Record) { b.Date = rules.Date{} },
		"in one of the records only: bar_clamp": func(_, b *record.Record) { b.Fix.Position.Forget(contact.BarClamp) },
		"it is not known how uncertain they are, so nothing is said of them: bar_clamp": func(_, b *record.Record) {
			p := b.Fix.Position
			p.Forget(contact.BarClamp)
			b.Fix.Covariance = covariance(p, 1)
		},
	} {
		assert.Equal(t, strings.Replace(want, ":  ", ": ", 1), say(change))
	}
	assert.Equal(t, "readings contradict one another", say(func(_, b *record.Record) { b.Fix.Suspects = aRecord().Fix.Suspects }), "those of the second")
	wheels := say(func(a, b *record.Record) {
		a.Bike.Wheels = chart.Wheels{FrontRadius: 340, RearRadius: 340}
		b.Bike.Wheels = chart.Wheels{FrontRadius: 346, RearRadius: 346}
	})
	assert.True(t, strings.HasPrefix(wheels, "other tyres, or another sag: saddle_reference"), wheels)
	parsed, err := record.ParseSubject("reference_width")
	require.NoError(t, err)
	assert.Equal(t, record.AboutWidth, parsed)
	assert.Equal(t, "subject(0)", record.Warning{}.String())
}

// A saddle reference where the saddle is 10 mm wider lies 1.8 mm further back along the
// saddle, if it widens a millimetre every 1.8 mm: by hand.
func TestWidths(t *testing.T) {
	at80 := aRecord()
	at90 := at80
	at90.ReferenceWidth = 90
	p := at90.Fix.Position
	ref, _ := p.At(contact.SaddleReference)
	a, _ := p.Attitude(contact.SaddleReference)
	sin, cos := math.Sincos(a.Tilt * math.Pi / 180)
	p.Set(contact.SaddleReference, r3.Sub(ref, r3.Vec{X: 18 * cos, Z: 18 * sin}))
	at90.Fix.Position = p
	d, err := record.Compare(at80, at90, 0.95)
	require.NoError(t, err)
	require.Equal(t, contact.SaddleReference, d.Moves[0].Site)
	assert.InDelta(t, 0, r3.Norm(d.Moves[0].By), 1e-9)
	got, _, err := at90.Target()
	require.NoError(t, err)
	gotRef, _ := got.At(contact.SaddleReference)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(ref, gotRef)), 1e-9)

	unknown := at90
	unknown.Profile = contact.SaddleProfile{}
	d, err = record.Compare(at80, unknown, 0.95)
	require.NoError(t, err)
	assert.NotEqual(t, contact.SaddleReference, d.Moves[0].Site, "nothing is said of it")
	assert.Contains(t, fmt.Sprint(d.Warnings), "the saddle reference is where the saddle has another width")
	_, _, err = unknown.Target()
	require.ErrorIs(t, err, contact.ErrMissing)
	d, err = record.Compare(unknown, unknown, 0.95)
	require.NoError(t, err)
	assert.Equal(t, contact.SaddleReference, d.Moves[0].Site, "both by one habit")
}

// What nose and rear may differ from the saddle's top cancels where the saddle is known to be
// the same, as survey.Compare has it, and nowhere else.
func TestSameSaddle(t *testing.T) {
	var fix survey.Fix
	text := `{"position": {"sites": {"saddle_reference": {"at_mm": [-208, 0, 706], "attitude": {"tilt_deg": -1}}}},
		"covariance": {"coordinates": [{"site": "saddle_reference", "axis": "tilt"}], "lower": [[3.25]]}, "profile_tilt_deg": 1.8}`
	require.NoError(t, json.Unmarshal([]byte(text), &fix))
	same := record.Record{Fix: fix, Bike: record.Bike{Saddle: aBike().Saddle}}
	other, unsaid := same, same
	other.Bike.Saddle.Name, unsaid.Bike.Saddle = "saddle 271", part.Saddle{}
	for _, c := range []struct {
		b    record.Record
		want float64
	}{
		{same, math.Sqrt(2 * (3.25 - 1.8*1.8))}, // two errors of 0.1 degrees beside it
		{other, math.Sqrt(2 * 3.25)},
		{unsaid, math.Sqrt(2 * 3.25)},
	} {
		d, err := record.Compare(same, c.b, 0.95)
		require.NoError(t, err)
		require.Len(t, d.Turns, 1)
		assert.InDelta(t, c.want, d.Turns[0].Sigma, 1e-9)
	}
}

func TestHistory(t *testing.T) {
	day := func(year, month, day int) rules.Date { return rules.Date{Year: year, Month: month, Day: day} }
	rng := rand.New(rand.NewPCG(24, 2))
	truth := invented.Position(invented.Build())
	var h record.History
	for i, on := range []rules.Date{day(2024, 3, 1), day(2020, 1, 1), day(2024, 3, 1), day(2022, 12, 31)} {
		r := drawn(rng, truth, 1)
		r.Date, r.Shoes = on, fmt.Sprint(i)
		h = h.Add(r)
	}
	require.NoError(t, h.Validate())
	var order strings.Builder
	for _, r := range h {
		order.WriteString(r.Shoes)
	}
	assert.Equal(t, "1302", order.String())
	for on, want := range map[rules.Date]string{day(2019, 12, 31): "", day(2020, 1, 1): "1", day(2024, 2, 29): "3", day(2024, 3, 1): "2", day(2030, 1, 1): "2"} {
		r, ok := h.On(on)
		assert.Equal(t, want != "", ok)
		assert.Equal(t, want, r.Shoes)
	}
	all, err := h.Changes(0.99)
	require.NoError(t, err)
	require.Len(t, all, 3)
	want, err := record.Compare(h[1], h[2], 0.99)
	require.NoError(t, err)
	assert.Equal(t, want, all[1])

	h[0], h[2].Date = h[3], rules.Date{}
	assert.EqualError(t, h.Validate(), "records[1].date 2022-12-31: want no earlier than the record before, 2024-03-01\nrecords[2].date missing: want a date, as in 2026-01-01")
	_, err = h.Changes(0.99)
	require.Error(t, err)
	_, err = record.History{drawn(rng, truth, 1)}.Changes(2)
	require.Error(t, err)
}
