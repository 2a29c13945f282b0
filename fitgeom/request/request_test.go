package request_test

import (
	"encoding/json"
	"reflect"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// asked is a request for an invented rider's position on an invented frame.
func asked() request.Request {
	return request.Request{Target: request.Target{Position: invented.Position(invented.Build())}, Frame: invented.Road54(), Shelf: invented.Shelf()}
}

func TestWanted(t *testing.T) {
	trial.Names(t, request.ParseWanted, request.Builds, request.Obstacles, request.Steps, request.Ranking)
	r := asked()
	for want, ok := range map[request.Wanted]bool{request.Builds: true, request.Obstacles: true, request.Steps: true, request.Ranking: false} {
		r.Want = want
		_, err := r.Problem()
		assert.Equal(t, ok, err == nil, want)
	}
	r.Sizes, r.Frame = []fitgeom.Size{{Family: "road", Label: "54", Frame: r.Frame}}, fitgeom.Frame{}
	for want, ok := range map[request.Wanted]bool{request.Builds: true, request.Obstacles: false, request.Steps: false, request.Ranking: true} {
		r.Want = want
		_, err := r.Problem()
		assert.Equal(t, ok, err == nil, want)
	}
}

// What a request states is what the problem has, field by field.
func TestProblem(t *testing.T) {
	r := asked()
	p, err := r.Problem()
	require.NoError(t, err)
	assert.Equal(t, solve.Problem{Target: r.Target.Position, Frame: r.Frame, Shelf: r.Shelf}, p, "what is left out is left out")

	r.Keep = []fitgeom.Keep{{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 3, Z: 3}}}
	r.Crank, r.Wheels, r.Bike = fitgeom.KeepSaddle, chart.Wheels{FrontSag: 10}, request.Bike{Crank: r.Shelf.Cranks[0].Name}
	r.Vary, r.NoRoom, r.Preference = part.Stems, true, fitgeom.Preference{Nothing: true}
	r.Rules, r.Rider = request.Race{Discipline: rules.TimeTrial, On: rules.Date{Year: 2026, Month: 6, Day: 7}}, rules.Rider{Height: 1800}
	r.Grain, r.Limit, r.Work, r.Partial = 1, 3, 1000, true
	set, ok := rules.InForce(rules.TimeTrial, r.Rules.On)
	require.True(t, ok)
	p, err = r.Problem()
	require.NoError(t, err)
	assert.Equal(t, solve.Problem{
		Target: r.Target.Position, Frame: r.Frame, Shelf: r.Shelf, Keep: r.Keep, Crank: r.Crank, Wheels: r.Wheels, Bike: fitgeom.Build{Crank: r.Shelf.Cranks[0]},
		Vary: r.Vary, RoomWanted: []fitgeom.RoomWish{}, Preference: r.Preference, Rules: set, Rider: r.Rider, Grain: 1, Limit: 3,
		Budget: fitgeom.Budget{Work: 1000, Partial: true},
	}, p)

	r.Sizes, r.Frame = []fitgeom.Size{{Family: "road", Label: "54", Frame: r.Frame}}, fitgeom.Frame{}
	p, err = r.Problem()
	require.NoError(t, err)
	assert.Zero(t, p.Frame)
}

// A request has a member for everything that a problem has: one that comes later needs one.
func TestEveryFieldOfTheProblem(t *testing.T) {
	has := map[string]bool{"Workers": true} // which does not change the answer
	for f := range reflect.TypeFor[request.Request]().Fields() {
		has[f.Name] = true
	}
	has["Budget"] = has["Work"] && has["Partial"]
	for f := range reflect.TypeFor[solve.Problem]().Fields() {
		assert.True(t, has[f.Name], f.Name)
	}
}

// All that is wrong comes together, each under the name of its member.
func TestFaults(t *testing.T) {
	for name, c := range map[string]struct {
		change func(r *request.Request)
		want   []string
	}{
		"nothing": {func(r *request.Request) { *r = request.Request{} }, []string{
			"target missing: want a position, survey, tape_survey, sheet or fix", "frame missing: want a frame, or sizes of a catalogue", "shelf missing: want the parts that may be used",
		}},
		"two targets": {func(r *request.Request) {
			r.Target.Sheet.Entries = []convert.Entry{{Measure: convert.SaddleHeight, Value: 738}}
		}, []string{
			"target.sheet beside position: want one of the two",
		}},
		"frame and sizes": {func(r *request.Request) { r.Sizes = []fitgeom.Size{{Family: "a", Label: "b", Frame: r.Frame}} }, []string{"sizes beside a frame: want one of the two"}},
		"many": {func(r *request.Request) {
			r.Frame.Geometry.Stack, r.Limit, r.Grain = 55.6, 1001, -1
			r.Bike.Crank, r.Rules.Discipline = "crank 17", rules.Road
			r.NoRoom, r.RoomWanted = true, fitgeom.DefaultRoom()
			r.Keep = []fitgeom.Keep{{}}
		}, []string{
			"grain -1 tolerances: want 1e-08 to 10 tolerances", "limit 1001 builds or sizes: want 1 to 1000 builds or sizes",
			"frame.geometry.stack_mm 55.6 mm: want 300 to 800 mm; it looks like centimetres",
			`bike.crank "crank 17": want the name of a part on the shelf: "crank 172.5", "crank 165"`,
			"keep[0].site site(0): want a site of package contact", "keep[0].tolerance_mm missing: want one for a coordinate at least, or for an angle: nothing is asked for",
			"room_wanted beside no_room: want one of the two", "rules.on missing: want the day of the race",
		}},
		"a day without rules": {func(r *request.Request) {
			r.Rules = request.Race{Discipline: rules.Road, On: rules.Date{Year: 1950, Month: 1, Day: 1}}
		}, []string{"rules.on 1950-01-01: want a day on which rules of that race are known"}},
		"a site": {func(r *request.Request) { r.Target.Position.Forget(contact.HoodsLeft) }, []string{"target.position.sites.hoods_left missing: want it to be known"}},
		"no such answers": {func(r *request.Request) { r.Want, r.Crank, r.Vary = 99, 99, 1<<15 }, []string{
			"want number 99: want one of builds, obstacles, steps, ranking", "crank number 99: want one of keep_far_end, keep_saddle", "vary kind(15): want kinds of this package",
		}},
		"an empty fix": {func(r *request.Request) {
			r.Target = request.Target{Fix: survey.Fix{Steer: 1}}
		}, []string{"target.fix.position.sites missing: want at least one site"}},
		"two names": {func(r *request.Request) {
			r.Shelf.Stems = append(r.Shelf.Stems, r.Shelf.Stems[0])
			r.Bike.Stem = r.Shelf.Stems[0].Name
		}, []string{`bike.stem "stem 100 -6°": want a name that one part of the shelf has: 2 have it`}},
	} {
		t.Run(name, func(t *testing.T) {
			r := asked()
			c.change(&r)
			_, err := r.Problem()
			var got []string
			for _, f := range contact.Faults(err) {
				got = append(got, f.Error())
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// A bike is made of the parts that it names, wherever on the shelf they lie.
func TestBike(t *testing.T) {
	r, s, all := asked(), invented.Shelf(), invented.Everything()
	s.Shims = []part.Shim{{Name: "shim of the bar", Inner: 25.4, Outer: 31.8}, {Name: "shim of the post", Inner: 27.2, Outer: 31.6}}
	wide := invented.WholeRange()
	wide.Name = "aero wide"
	s.AeroBars, s.Pedals = []part.AeroBar{wide, all.Aero}, []part.Pedal{{Name: "pedal long", FootHeight: 18, FootOffset: 60}, all.Pedal}
	r.Shelf = s
	r.Bike = request.Bike{
		Cap: "cap 5", Stem: "stem 110 -17°", BarShim: "shim of the bar", Handlebar: "bar 400", Lever: "lever long", AeroBar: "aero", Seatpost: "post 31.6",
		SeatpostShim: "shim of the post", Saddle: "saddle 240", Crank: "crank 165", Pedal: "pedal",
	}
	p, err := r.Problem()
	require.NoError(t, err)
	assert.Equal(t, fitgeom.Build{
		Cap: s.Caps[1], Stem: s.Stems[1], BarShim: s.Shims[0], Handlebar: s.Handlebars[1], Lever: s.Levers[1], Aero: all.Aero, Seatpost: s.Seatposts[2],
		SeatpostShim: s.Shims[1], Saddle: s.Saddles[1], Crank: s.Cranks[1], Pedal: all.Pedal,
	}, p.Bike)
}

// Parts of any one kind are a shelf, so that a bike is asked for.
func TestShelf(t *testing.T) {
	for i := range reflect.TypeFor[fitgeom.Shelf]().NumField() {
		var r request.Request
		if list := reflect.ValueOf(&r.Shelf).Elem().Field(i); list.Kind() == reflect.Slice {
			list.Set(reflect.MakeSlice(list.Type(), 1, 1))
			assert.True(t, r.Bikes(), reflect.TypeFor[fitgeom.Shelf]().Field(i).Name)
		}
	}
	assert.False(t, request.Request{}.Bikes())
}

// What a request does not answer has no chance either, and the fault is the request's.
func TestChancesOfNothing(t *testing.T) {
	r := asked()
	r.Limit = 2000
	_, err := r.Chances(t.Context(), nil)
	assert.ErrorIs(t, err, contact.ErrRange)
}

// A sheet and a tape survey of the same position are the same request.
func TestTargets(t *testing.T) {
	at := invented.Position(invented.Build())
	direct, err := request.Target{Position: at}.Solve()
	require.NoError(t, err)
	assert.Equal(t, at, direct.Position)
	_, ok := direct.Covariance.Sigma(contact.SaddleReference)
	assert.False(t, ok, "nobody measured it")

	sheet, err := convert.NewSheet(at, convert.Basis{SeatAngle: 73, Mirrored: true}, convert.SaddleHeightVertical, convert.SaddleSetback, convert.SaddleTilt, convert.HoodsStack, convert.HoodsReach, convert.HoodsWidth)
	require.NoError(t, err)
	for i := range sheet.Entries {
		sheet.Entries[i].Sigma = 1
	}
	read, err := request.Target{Sheet: sheet}.Solve()
	require.NoError(t, err)
	for _, s := range []contact.Site{contact.SaddleReference, contact.HoodsLeft, contact.HoodsRight} {
		want, _ := at.At(s)
		got, ok := read.Position.At(s)
		require.True(t, ok, s)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(want, got)), 1e-6, s)
	}

	// A sign: the drop says up what stack says down. Both are named, with the slip.
	drop, err := convert.BarDropHoods.Of(at, convert.Basis{})
	require.NoError(t, err)
	sheet.Entries = append(sheet.Entries, convert.Entry{Measure: convert.BarDropHoods, Value: -drop, Sigma: 1})
	wrong, err := request.Target{Sheet: sheet}.Solve()
	require.NoError(t, err)
	assert.Contains(t, wrong.Findings, "bar_drop_hoods -28.5 contradicts the others; it would agree with this: sign reversed: 28.47821")

	_, err = request.Target{}.Solve()
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, err = request.Target{Survey: survey.Survey{FrontRadius: 340}}.Solve()
	assert.ErrorContains(t, err, "survey.")
}

// What is stated wins; names of parts go with their shelf.
func TestOver(t *testing.T) {
	under := asked()
	under.Bike.Crank, under.Limit, under.NoRoom = under.Shelf.Cranks[0].Name, 3, true
	assert.Equal(t, under, request.Request{}.Over(under))
	assert.Equal(t, under, under.Over(request.Request{Limit: 7}))

	mine := request.Request{Sizes: []fitgeom.Size{{}}, Limit: 1, RoomWanted: fitgeom.DefaultRoom()}
	got := mine.Over(under)
	assert.Zero(t, got.Frame, "sizes were asked for")
	assert.Equal(t, mine.Sizes, request.Request{Limit: 2}.Over(mine).Sizes, "no frame was")
	assert.Empty(t, under.Over(mine).Sizes, "a frame was")
	assert.Equal(t, 1, got.Limit)
	assert.False(t, got.NoRoom)
	assert.Equal(t, under.Bike, got.Bike)
	mine.Shelf = fitgeom.Shelf{Cranks: []part.Crank{{}}}
	assert.Zero(t, mine.Over(under).Bike, "names of another shelf")
}

// What is left out is told; what is stated is not.
func TestDefaults(t *testing.T) {
	r := asked()
	var members []string
	for _, d := range r.Defaults(r.Target.Position) {
		members = append(members, d.Member)
		assert.NotEmpty(t, d.Says)
	}
	assert.Equal(t, []string{"keep", "crank", "wheels", "bike", "room_wanted", "preference", "rules", "limits", "grain", "limit"}, members)
	assert.Contains(t, r.Defaults(r.Target.Position)[0].Says, "saddle reference forward ± 2 mm, up ± 2 mm; hoods left forward ± 2 mm, left ± 5 mm, up ± 2 mm")
	r.Keep, r.Limit, r.NoRoom = fitgeom.DefaultKeep(r.Target.Position), 3, true
	for _, d := range r.Defaults(r.Target.Position) {
		assert.NotContains(t, []string{"keep", "limit", "room_wanted"}, d.Member)
	}
}

// A request is the same after it was JSON.
func TestJSON(t *testing.T) {
	r := asked()
	text, err := json.Marshal(r)
	require.NoError(t, err)
	var back request.Request
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, r, back)
	_, err = json.Marshal(request.Solved{})
	assert.Error(t, err)
}
