package rank_test

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	gocmp "github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// ranked is the order that Index.Rank documents, by Problem.Solve on every frame.
type ranked struct {
	place int
	class int
	key   []float64
	best  fitgeom.Candidate
}

// exhaustive follows the documentation of Rank and of the package ("Order"), and
// sees nothing but what Problem.Solve returns.
func exhaustive(t testing.TB, sizes []fitgeom.Size, p solve.Problem) []ranked {
	p.Limit = 1
	grain := p.Grain
	if grain == 0 {
		grain = 0.1
	}
	group := func(s contact.Site) int {
		switch {
		case s <= contact.SaddleRear:
			return 0
		case s >= contact.PedalLeft:
			return 1
		case s >= contact.PadLeft:
			return 2
		}
		return 3
	}
	var all []ranked
	for i := range sizes {
		p.Frame = sizes[i].Frame
		r, err := p.Solve(t.Context())
		if err != nil {
			all = append(all, ranked{place: i, class: 2})
			continue
		}
		c := r.Candidates[0]
		k := ranked{place: i, best: c}
		var groups [4]float64
		for _, res := range c.Deviations {
			for _, v := range [][2]float64{{res.Off.X, res.Tolerance.X}, {res.Off.Y, res.Tolerance.Y}, {res.Off.Z, res.Tolerance.Z}, {res.Turned.Tilt, res.Turn.Tilt}, {res.Turned.Yaw, res.Turn.Yaw}, {res.Turned.Roll, res.Turn.Roll}} {
				if v[1] != 0 {
					groups[group(res.Site)] += v[0] / v[1] * (v[0] / v[1])
				}
			}
		}
		cost, buys := 0.0, 0.0
		for _, g := range groups {
			n := math.Round(math.Sqrt(g) / grain)
			cost += n * n
		}
		if p.Bike != (fitgeom.Build{}) {
			buys = float64(c.Purchases)
		}
		m := c.Merit
		if c.Holds() {
			k.key = append(k.key, float64(m.Shortfall), float64(m.ShortfallSum), buys, float64(m.Preference), -float64(m.Room), cost)
		} else {
			k.class = 1
			k.key = append(k.key, cost, buys, float64(m.Preference))
		}
		all = append(all, k)
	}
	slices.SortFunc(all, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(a.class, b.class), slices.Compare(a.key, b.key), cmp.Compare(a.place, b.place))
	})
	return all
}

func sameRanking(t *testing.T, want []ranked, got rank.Ranking, limit int, fine bool) {
	t.Helper()
	require.Len(t, got.Choices, min(limit, len(want)))
	for i := range got.Choices {
		c, w := &got.Choices[i], &want[i]
		if fine && c.Place != w.place {
			// Of scores nearer than the reference can tell, either may come first.
			require.InDelta(t, w.best.Distance(), c.Best.Distance(), 3e-8, "rank %d", i)
			continue
		}
		if c.Place != w.place {
			t.Fatalf("rank %d: place %d, want %d\n got %v\nwant %v %v %v", i, c.Place, w.place, c.Best.Build.Settings, w.class, w.key, w.best.Build.Settings)
		}
		if w.class == 2 {
			require.Error(t, c.Fault)
			continue
		}
		if d := gocmp.Diff(w.best, c.Best, gocmp.AllowUnexported(contact.Position{})); d != "" {
			t.Fatal(d)
		}
	}
}

// The ranking is that of Problem.Solve on every frame, ties included: the
// catalogue has frames that are alike, and coarse grains make more ties.
func TestRankEqualsSolve(t *testing.T) {
	cases, frames := 24, 120
	if trial.Long() {
		cases, frames = 200, 20000
	}
	if testing.Short() {
		cases, frames = 2, 60
	}
	shelf := chooseShelf()
	sizes := inventedSizes(frames, 0.5, 1)
	for i := range frames / 10 { // twins under other names
		twin := sizes[7*i%len(sizes)]
		twin.Family = "twin " + strconv.Itoa(i)
		sizes = append(sizes, twin)
	}
	index, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	scored := 0
	for i := range cases {
		target := riderAt(uint64(i))
		p := solve.Problem{Target: target, Shelf: shelf, Limit: 50, Grain: []float64{0, 1e-3, 0.1, 0.5}[i%4]}
		switch i % 6 {
		case 1:
			p.Bike = invented.Build()
		case 2:
			p.Limit = 7
		case 3: // up weighs more than forward
			p.Keep = fitgeom.DefaultKeep(target)
			p.Keep[1].Tolerance = r3.Vec{X: 4, Y: 5, Z: 2}
			p.Keep[2].Tolerance = r3.Vec{X: 3, Y: 5, Z: 1}
		case 4:
			p.Keep = fitgeom.DefaultKeep(target)
			for _, s := range []contact.Site{contact.DropsLeft, contact.DropsRight} {
				if _, ok := target.At(s); ok {
					p.Keep = append(p.Keep, fitgeom.Keep{Site: s, Tolerance: r3.Vec{X: 3, Z: 3}})
				}
			}
		}
		if i == 0 && !trial.Long() {
			p.Limit = 1000 // all of them
		}
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			want := exhaustive(t, sizes, p)
			got, err := index.Rank(t.Context(), p)
			require.NoError(t, err)
			sameRanking(t, want, got, p.Limit, p.Grain == 0)
			scored += got.Scored
		})
	}
	t.Logf("searched %d front ends for %d rankings of %d frames", scored, cases, len(sizes))
}

// The same with directions: hoods of flared bars, which the rotation of the bar leans, and levers
// that can be moved and turned.
func TestRankEqualsSolveDirections(t *testing.T) {
	shelf := chooseShelf()
	for i := range shelf.Handlebars {
		d := &shelf.Handlebars[i].Drop
		d.Flare, d.DropsWidth = float64(8*i), 0
		d.BendRadius, d.LeverUp, d.LeverIn = 60, part.Steps{To: float64(6 * (i % 2)), Step: 6}, part.Steps{To: 5, Step: 5}
	}
	shelf.Levers[1].Slope = 8
	sizes := inventedSizes(60, 0.5, 3)
	index, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	for i := range 8 {
		target := riderAt(uint64(i))
		p := solve.Problem{Target: target, Shelf: shelf, Limit: 40, Grain: []float64{0, 0.1}[i%2], Keep: fitgeom.DefaultKeep(target)}
		for _, k := range []int{1, 2} {
			p.Keep[k].Turn = []fitgeom.TurnTolerance{{Tilt: 2, Roll: 6}, {Yaw: 2, Roll: 2, Weight: 3}, {Tilt: 4, Yaw: 3, Roll: 10}, {}}[(i+k)%4]
		}
		if i%3 == 0 {
			p.Keep[2].Tolerance = r3.Vec{X: 3, Z: 1}
		}
		want := exhaustive(t, sizes, p)
		got, err := index.Rank(t.Context(), p)
		require.NoError(t, err)
		sameRanking(t, want, got, p.Limit, p.Grain == 0)
	}
}

// Faulty sizes are reported, all together, and the others are ranked.
func TestIndexFaults(t *testing.T) {
	sizes := inventedSizes(10, 0.5, 2)
	sizes[3].Frame.Geometry.Reach = math.NaN()
	sizes[5].Family, sizes[5].Label = sizes[4].Family, sizes[4].Label
	sizes[7].Label = ""
	sizes[8].Row = 99
	sizes[8].Frame.SeatpostDiameter = 0
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NotNil(t, x)
	assert.Equal(t, 6, x.Len())
	assert.True(t, trial.FaultAt(err, "sizes[3].frame.geometry.reach_mm", contact.ErrRange), err)
	assert.True(t, trial.FaultAt(err, "sizes[5].label", contact.ErrConflict), err)
	assert.True(t, trial.FaultAt(err, "sizes[7].label", contact.ErrMissing), err)
	assert.True(t, trial.FaultAt(err, "row 99.frame.seatpost_diameter_mm", contact.ErrRange), err)
	assert.Len(t, contact.Faults(err), 4)
	r, err := x.Rank(t.Context(), solve.Problem{Target: usual(1), Shelf: invented.Shelf(), Limit: 100})
	require.NoError(t, err)
	require.Len(t, r.Choices, 6)
	for _, c := range r.Choices {
		assert.Equal(t, sizes[c.Place], c.Size)
	}

	x, err = rank.NewIndex(t.Context(), nil)
	assert.Nil(t, x)
	assert.True(t, trial.FaultAt(err, "sizes", contact.ErrMissing), err)
	x, err = rank.NewIndex(t.Context(), sizes[:1])
	require.NoError(t, err)
	bad := solve.Problem{Frame: sizes[0].Frame, Limit: -1}
	bad.Wheels.FrontSag = -1
	_, err = x.Rank(t.Context(), bad)
	assert.True(t, trial.FaultAt(err, "limit", contact.ErrRange), err)
	assert.True(t, trial.FaultAt(err, "target.sites.saddle_reference", contact.ErrMissing), err)
	assert.True(t, trial.FaultAt(err, "shelf.handlebars", contact.ErrMissing), err)
	assert.True(t, trial.FaultAt(err, "frame", contact.ErrConflict), err)
	assert.True(t, trial.FaultAt(err, "wheels.front_sag_mm", contact.ErrRange), err)
	for _, bad := range x.RankEach(t.Context(), slices.Values([]contact.Position{{}}), bad) {
		assert.Equal(t, err, bad)
	}
	r, err = (&rank.Index{}).Rank(t.Context(), solve.Problem{Target: usual(1), Shelf: invented.Shelf()})
	require.NoError(t, err)
	assert.Empty(t, r.Choices)
}

// A position that no frame holds gives the nearest frames and their limits; a
// frame on which nothing fits comes last, with its fault.
func TestRankUnreachable(t *testing.T) {
	sizes := inventedSizes(30, 0.5, 4)
	sizes[11].Frame.SeatpostDiameter = 44
	sizes[12].Frame.SteererDiameter = 44
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	p := solve.Problem{Target: high(usual(3)), Shelf: chooseShelf(), Limit: 30}
	r, err := x.Rank(t.Context(), p)
	require.NoError(t, err)
	require.Len(t, r.Choices, 30)
	for i, c := range r.Choices[:28] {
		require.False(t, c.Best.Holds())
		require.NoError(t, c.Fault)
		obstacles, err := c.Explain(t.Context(), p)
		require.NoError(t, err)
		require.NotEmpty(t, obstacles, i)
	}
	for i, place := range []int{11, 12} {
		c := r.Choices[28+i]
		assert.Equal(t, place, c.Place)
		assert.ErrorIs(t, c.Fault, contact.ErrMissing)
		assert.Equal(t, fitgeom.Candidate{}, c.Best)
		_, err := c.Explain(t.Context(), p)
		assert.ErrorIs(t, err, contact.ErrMissing)
	}
}

// On other wheels, and with parts that only bounds of other kinds suit (flat bars,
// aero bars, a bar in one piece with its stem, a steerer that was cut), the
// order is that of Problem.Solve as well.
func TestRankOtherParts(t *testing.T) {
	n := 40
	if testing.Short() {
		n = 12
	}
	sizes := inventedSizes(n, 0.5, 9)
	for i := range sizes {
		if i%3 == 0 {
			sizes[i].Frame.SteererCut = 75
			sizes[i].Frame.MaxUnderStem = 40
		}
	}
	shelf := chooseShelf()
	shelf.Stems = shelf.Stems[:3]
	shelf.Handlebars = append(shelf.Handlebars,
		part.Handlebar{Name: "flat 620", ClampDiameter: 31.8, RotationRange: 10, Flat: part.FlatBar{Width: 620, Centre: 60, Rise: 20, Backsweep: 8, Upsweep: 5, Hand: 60}},
		part.Handlebar{
			Name: "one piece", AeroDiameter: 31.8, Stem: part.Stem{Length: 110, Angle: -6, Height: 40, SteererDiameter: 28.6}, DrawnAt: 73,
			Drop: part.DropBar{Width: 420, DropsWidth: 440, Reach: 80, Drop: 125, Hook: 60},
		})
	shelf.Handlebars[0].AeroDiameter = 31.8
	aero := invented.Everything()
	shelf.AeroBars = []part.AeroBar{aero.Aero}
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	flat := invented.Build()
	flat.Handlebar, flat.Lever, flat.Settings.BarRotation = shelf.Handlebars[3], part.Lever{}, 3
	pads := invented.Position(aero)
	for _, s := range []contact.Site{contact.FootLeft, contact.FootRight} {
		pads.Forget(s)
	}
	for name, p := range map[string]solve.Problem{
		"drop":   {Target: usual(2), Limit: 9},
		"wheels": {Target: usual(2), Limit: 9, Wheels: chart.Wheels{FrontRadius: 345, FrontSag: 10}},
		"flat":   {Target: invented.Position(flat), Limit: 9, Grain: 1e-3},
		"aero":   {Target: pads, Limit: 6, Grain: 1e-3},
		"clamp": {Target: usual(4), Limit: 9, Keep: []fitgeom.Keep{
			{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}}, {Site: contact.BarClamp, Tolerance: r3.Vec{X: 3, Z: 3}},
		}},
		"height alone": {Target: usual(4), Limit: 9, Grain: 1e-3, Keep: []fitgeom.Keep{
			{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}}, {Site: contact.HoodsLeft, Tolerance: r3.Vec{Z: 3}},
		}},
	} {
		t.Run(name, func(t *testing.T) {
			p.Shelf = shelf
			got, err := x.Rank(t.Context(), p)
			require.NoError(t, err)
			sameRanking(t, exhaustive(t, sizes, p), got, p.Limit, p.Grain == 0)
		})
	}
}

// Riders are ranked one by one: who stops early asks for no more. Many may ask
// one index at a time.
func TestRankEach(t *testing.T) {
	x, err := rank.NewIndex(t.Context(), inventedSizes(60, 0.5, 8))
	require.NoError(t, err)
	asked := 0
	riders := func(yield func(contact.Position) bool) {
		for i := range 100 {
			asked++
			if !yield(usual(uint64(i))) {
				return
			}
		}
	}
	var alone []rank.Ranking
	for r, err := range x.RankEach(t.Context(), riders, solve.Problem{Shelf: chooseShelf()}) {
		require.NoError(t, err)
		if alone = append(alone, r); len(alone) == 6 {
			break
		}
	}
	assert.Equal(t, 6, asked)
	var all sync.WaitGroup
	for i := range alone {
		all.Go(func() {
			r, err := x.Rank(t.Context(), solve.Problem{Target: usual(uint64(i)), Shelf: chooseShelf()})
			assert.NoError(t, err)
			assert.Equal(t, alone[i], r)
		})
	}
	all.Wait()
	n := 0
	for _, err := range x.RankEach(t.Context(), nil, solve.Problem{Shelf: chooseShelf()}) {
		assert.ErrorIs(t, err, contact.ErrMissing)
		n++
	}
	assert.Equal(t, 1, n, "no sequence is told once")
	for _, err := range x.RankEach(t.Context(), slices.Values([]contact.Position{{}}), solve.Problem{Shelf: chooseShelf()}) {
		require.Error(t, err)
	}
}

// What decides between neighbours of a family is what the documented order says,
// by two runs of Problem.Solve; and neighbours are the next in stack.
func TestNeighbours(t *testing.T) {
	shelf := chooseShelf()
	sizes := inventedSizes(24, 0.5, 3)
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	reasons := map[fitgeom.Reason]int{}
	riders := uint64(5)
	if testing.Short() {
		riders = 2
	}
	for seed := range riders {
		target := riderAt(seed)
		p := solve.Problem{Target: target, Shelf: shelf, Grain: []float64{0, 0.2}[seed%2]}
		want := exhaustive(t, sizes, p)
		rankOf := func(place int) int {
			return slices.IndexFunc(want, func(r ranked) bool { return r.place == place })
		}
		for place := range sizes {
			all, err := x.Neighbours(t.Context(), p, place)
			require.NoError(t, err)
			require.NotEmpty(t, all)
			for _, n := range all {
				other := n.Choice.Place
				// The sizes of inventedSizes are in order.
				next := place - 1
				if n.Larger {
					next = place + 1
				}
				require.Equal(t, next, other)
				require.Equal(t, sizes[place].Family, n.Choice.Size.Family)
				require.Equal(t, rankOf(other) < rankOf(place), n.Better)
				a, b := want[rankOf(other)], want[rankOf(place)]
				reasons[n.Reason]++
				switch n.Reason {
				case fitgeom.ByHolding:
					require.NotEqual(t, a.best.Holds(), b.best.Holds())
				case fitgeom.ByCloseness:
					require.Equal(t, a.best.Holds(), b.best.Holds())
					require.InDelta(t, math.Abs(a.best.Distance()-b.best.Distance()), n.By, 1e-9)
				case fitgeom.ByPreference:
					require.InDelta(t, math.Abs(float64(a.best.Merit.Preference-b.best.Merit.Preference)), n.By, 1e-9)
				}
				require.Equal(t, a.class, b2i(!n.Choice.Holds())+b2i(n.Choice.Fault != nil))
			}
		}
	}
	assert.Positive(t, reasons[fitgeom.ByHolding])
	assert.Positive(t, reasons[fitgeom.ByCloseness])
	assert.Positive(t, reasons[fitgeom.ByPreference])
	_, err = x.Neighbours(t.Context(), solve.Problem{Shelf: shelf}, 99)
	assert.True(t, trial.FaultAt(err, "place", contact.ErrUnknown), err)
	assert.True(t, trial.FaultAt(err, "target.sites.saddle_reference", contact.ErrMissing), err)
	assert.Equal(t, "next size up, road 56: further from what is usual by 2 points", rank.Neighbour{
		Choice: rank.Choice{Size: fitgeom.Size{Family: "road", Label: "56"}}, Larger: true, Reason: fitgeom.ByPreference, By: 2,
	}.String())
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Without rounding nothing can change places. With it, each frame's scores are
// those of Problem.Solve on frames that are off by half a step.
func TestSensitivity(t *testing.T) {
	shelf := chooseShelf()
	sizes := inventedSizes(60, 0.5, 3)
	for _, same := range sizes[28:33] { // alike in all but the name, so that their places decide
		same.Label += " again"
		sizes = append(sizes, same)
	}
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	target := riderAt(1)
	p := solve.Problem{Target: target, Shelf: shelf, Limit: 6, Grain: 1e-3}
	ranked, err := x.Rank(t.Context(), p)
	require.NoError(t, err)
	exact, err := x.Sensitivities(t.Context(), p, chart.Rounding{})
	require.NoError(t, err)
	closer := 0
	for i, s := range exact {
		c := ranked.Choices[i]
		if i+1 < len(exact) && c.Reason == fitgeom.ByCloseness {
			closer++
			assert.InDelta(t, math.Abs(c.Best.Distance()-ranked.Choices[i+1].Best.Distance()), c.By, 1e-9)
		}
		assert.Equal(t, rank.Sensitivity{Place: c.Place, Least: c.Best.Distance(), Most: c.Best.Distance(), Always: c.Holds(), Ever: c.Holds(), First: i, Last: i}, s)
	}
	assert.Positive(t, closer)
	rough, err := x.Sensitivities(t.Context(), p, chart.Rounding{LengthStep: 5, AngleStep: 1})
	require.NoError(t, err)
	moved, sure := false, 0
	for i, s := range rough {
		sure += s.First - (len(rough) - 1 - s.Last)
		require.Equal(t, exact[i].Place, s.Place)
		least, most, always, ever := math.Inf(1), 0.0, true, false
		for way := range 81 {
			f := sizes[s.Place].Frame
			g := &f.Geometry
			g.Reach += 2.5 * float64(way%3-1)
			g.Stack += 2.5 * float64(way/3%3-1)
			g.HeadAngle += 0.5 * float64(way/9%3-1)
			g.SeatAngle += 0.5 * float64(way/27-1)
			on := p
			on.Frame = f
			r, err := on.Solve(t.Context())
			require.NoError(t, err)
			least, most = min(least, r.Candidates[0].Distance()), max(most, r.Candidates[0].Distance())
			always, ever = always && r.Holds(), ever || r.Holds()
		}
		assert.InDelta(t, least, s.Least, 1e-9)
		assert.InDelta(t, most, s.Most, 1e-9)
		assert.Equal(t, always, s.Always)
		assert.Equal(t, ever, s.Ever)
		assert.LessOrEqual(t, s.First, i)
		assert.GreaterOrEqual(t, s.Last, i)
		moved = moved || s.First != s.Last
	}
	assert.True(t, moved)
	assert.Zero(t, sure, "who is surely after one has that one surely before it")
	p.Target = contact.Position{}
	_, err = x.Sensitivities(t.Context(), p, chart.Rounding{LengthStep: -1})
	assert.True(t, trial.FaultAt(err, "rounding.length_step_mm", contact.ErrRange), err)
	assert.True(t, trial.FaultAt(err, "target.sites.saddle_reference", contact.ErrMissing), err)
}

func TestNeighboursOfNoPlace(t *testing.T) {
	x, err := rank.NewIndex(t.Context(), inventedSizes(3, 0.5, 1))
	require.NoError(t, err)
	for _, place := range []int{-1, 3, math.MinInt, math.MaxInt} {
		_, err := x.Neighbours(t.Context(), solve.Problem{Target: riderAt(1), Shelf: chooseShelf()}, place)
		assert.ErrorIs(t, err, contact.ErrUnknown, place)
	}
	all, err := x.Neighbours(t.Context(), solve.Problem{Target: riderAt(1), Shelf: chooseShelf()}, 2)
	require.NoError(t, err)
	assert.Len(t, all, 1)
	assert.Equal(t, "next size down, road 56: closer to the position by 0.125 tolerances", rank.Neighbour{
		Choice: rank.Choice{Size: fitgeom.Size{Family: "road", Label: "56"}}, Better: true, Reason: fitgeom.ByCloseness, By: 0.125,
	}.String())
}
