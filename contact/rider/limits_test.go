package rider_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var everyVariable = []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion, rider.TrunkLean, rider.ShoulderFlexion, rider.ElbowFlexion}

// limited draws a rider, a position, and limits that are near to what the position asks.
func limited(r *rand.Rand) (rider.Limits, contact.Position) {
	b, p := invented.Rider()
	given := []rider.AnkleAngle{rider.SolePitch, rider.Dorsiflexion}[r.IntN(2)]
	profile := make([]float64, []int{1, 1, 4, 12}[r.IntN(4)])
	for i := range profile {
		profile[i] = -18 + 9*r.Float64()
		if given == rider.Dorsiflexion {
			profile[i] += 10
		}
	}
	thigh, shank := 400+40*r.Float64(), 400+40*r.Float64()
	for _, l := range []*rider.Leg{&b.Left, &b.Right} {
		l.Thigh, l.Shank = thigh+6*r.Float64(), shank+6*r.Float64()
		l.Ankle = rider.Ankle{Given: given, Profile: profile}
	}
	if r.IntN(2) == 0 {
		b.Upper.Keep, b.Upper.Angle = rider.KeepTrunk, 35+15*r.Float64()
	}
	l := rider.Limits{Body: b}
	c, err := rider.NewChain(b, p)
	if err != nil {
		panic(err)
	}
	for _, v := range everyVariable {
		for _, bound := range []rider.Bound{rider.AtLeast, rider.AtMost} {
			if r.IntN(3) == 0 {
				continue
			}
			side := contact.Side(r.IntN(3))
			asked := side
			if v >= rider.TrunkLean {
				asked, side = contact.Centre, contact.Centre
			} else if side == contact.Centre {
				asked = contact.Left
			}
			s, err := c.Span(v, asked)
			if err != nil {
				panic(err)
			}
			one := rider.Limit{Variable: v, Side: side, Bound: bound, Angle: s.Least - 2 - 8*r.Float64()}
			if bound == rider.AtMost {
				one.Angle = s.Most + 2 + 8*r.Float64()
			}
			broken := r.IntN(8) == 0 && side == contact.Centre && !slices.ContainsFunc(l.Joints, func(o rider.Limit) bool { return o.Variable == v })
			if broken {
				one.Angle += 12 * map[rider.Bound]float64{rider.AtLeast: 1, rider.AtMost: -1}[bound] // broken here
			}
			from, to := v.Range()
			one.Angle = min(max(one.Angle, from), to)
			l.Joints = append(l.Joints, one)
			if broken {
				break
			}
		}
	}
	far := rider.Way{Adjustment: []rider.Adjustment{rider.SaddleHeight, rider.BarReach}[r.IntN(2)]}
	if r.IntN(4) == 0 { // a limb does not reach here
		p, err = far.Moved(p, 100+50*r.Float64())
		if err != nil {
			panic(err)
		}
	}
	return l, p
}

// kept judges limits by postures every half degree of the crank, of which some may tell already. It is not
// sure where a limit is closer than these tell.
func kept(l rider.Limits, c rider.Chain, all []rider.Posture) (ok, sure bool) {
	if ok, sure = keptAt(l, c, all[:2*24]); ok {
		ok, sure = keptAt(l, c, all)
	}
	return ok, sure
}

// keptAt judges limits by as many postures of each leg as there is room for.
func keptAt(l rider.Limits, c rider.Chain, all []rider.Posture) (ok, sure bool) {
	const near = 0.01 // degrees, and mm of a gap
	worst := math.Inf(-1)
	var posed [2]bool
	upper, _ := c.Upper()
	arms := func() { worst = max(worst, 1e3*math.Abs(upper.Gap)) }
	for _, one := range l.Joints {
		sign := 1.
		if one.Bound == rider.AtLeast {
			sign = -1
		}
		beyond := func(v float64) { worst = max(worst, sign*(v-one.Angle)) }
		switch one.Variable {
		case rider.TrunkLean:
			beyond(upper.TrunkLean)
			arms()
			continue
		case rider.ShoulderFlexion:
			beyond(upper.ShoulderFlexion)
			arms()
			continue
		case rider.ElbowFlexion:
			beyond(upper.ElbowFlexion)
			arms()
			continue
		}
		if one.Variable == rider.HipFlexion && l.Body.Upper.Keep == rider.KeepElbow {
			arms()
		}
		for i, side := range []contact.Side{contact.Left, contact.Right} {
			if one.Side != contact.Centre && one.Side != side {
				continue
			}
			all := all[len(all)/2*i:][:len(all)/2]
			if !posed[i] {
				posed[i] = c.Stroke(side, all) == nil
			}
			if !posed[i] {
				continue
			}
			for i := range all {
				p := &all[i]
				worst = max(worst, 1e3*math.Abs(p.Gap))
				switch one.Variable {
				case rider.KneeFlexion:
					beyond(p.KneeFlexion)
				case rider.HipFlexion:
					beyond(p.HipFlexion)
				case rider.AnkleDorsiflexion:
					beyond(p.AnkleDorsiflexion)
				}
			}
		}
	}
	return worst <= 0, worst > 0 || worst < -near
}

// exactly judges limits by the spans of the chain.
func exactly(l rider.Limits, c rider.Chain) bool {
	for _, one := range l.Joints {
		for _, side := range []contact.Side{contact.Left, contact.Right} {
			if one.Side != contact.Centre && one.Side != side {
				continue
			}
			s, err := c.Span(one.Variable, side)
			if err != nil {
				continue
			}
			upper, _ := c.Upper()
			if s.Gap != 0 || one.Variable == rider.HipFlexion && l.Body.Upper.Keep == rider.KeepElbow && upper.Gap != 0 ||
				one.Bound == rider.AtLeast && s.Least < one.Angle || one.Bound == rider.AtMost && s.Most > one.Angle {
				return false
			}
		}
	}
	return true
}

// edge is how near an interval's end must be for a place to be on the wrong side of it.
const edge = 1e-6

// in reports whether a place is in one of some intervals, and how far it is from the nearest end.
func in(all []rider.Interval, at float64) (ok bool, far float64) {
	far = math.Inf(1)
	for _, i := range all {
		ok = ok || at >= i.From.At && at <= i.To.At
		far = min(far, math.Abs(at-i.From.At), math.Abs(at-i.To.At))
	}
	return ok, far
}

// right checks one place against postures of the chain.
func right(t require.TestingT, l rider.Limits, q contact.Position, found []rider.Interval, at float64, all []rider.Posture) {
	if q.Validate() != nil || l.Body.Validate() != nil {
		return
	}
	c, err := rider.NewChain(l.Body, q)
	require.NoError(t, err)
	got, far := in(found, at)
	want, sure := kept(l, c, all)
	if far < 0.1 && !sure || want != got {
		want = exactly(l, c)
	}
	if want != got {
		require.LessOrEqual(t, far, edge, "at %v: %v, want %v in %v", at, got, want, found)
	}
}

// riders is how many riders are drawn, and how far apart the places of a grid are. FITGEOM_LIMITED is
// the number, or that and the first one, from 0, as in 100:40.
func riders() (first, n int, step float64) {
	if s := os.Getenv("FITGEOM_LIMITED"); s != "" {
		many, from, _ := strings.Cut(s, ":")
		n, _ = strconv.Atoi(many)
		first, _ = strconv.Atoi(from)
		return first, n, 1
	}
	return 0, 6, 20
}

// Oracle: postures of the chain at each place of a grid and each half degree of the crank.
func TestRangeAgainstGrid(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	first, n, step := riders()
	all := make([]rider.Posture, 2*720)
	found := 0
	for i := range n {
		l, p := limited(r)
		if i < first {
			continue
		}
		for f := rider.SaddleHeight; f <= rider.CleatChange; f++ {
			w := rider.Way{Adjustment: f, LineAngle: 73}
			got, err := l.Range(p, w)
			require.NoError(t, err)
			for by := -100.; by <= 100; by += step {
				q, err := w.Moved(p, by)
				require.NoError(t, err)
				then := l
				then.Body, err = w.MovedBody(l.Body, by)
				require.NoError(t, err)
				right(t, then, q, got, by, all)
			}
			for _, one := range got {
				found++
				for _, e := range []rider.Edge{one.From, one.To} {
					tight(t, l, p, w, e)
				}
			}
		}
	}
	assert.NotZero(t, found)
	t.Logf("limits: ranges of %d riders, six changes from -100 to 100 mm: %d intervals, no place on the wrong side but within %g mm of an end", n-first, found, edge)
}

// tight checks that the limit that an edge names is just kept there, where it is so on the stroke.
func tight(t *testing.T, l rider.Limits, p contact.Position, w rider.Way, e rider.Edge) {
	if e.Place < 0 {
		return
	}
	q, err := w.Moved(p, e.At)
	require.NoError(t, err)
	l.Body, err = w.MovedBody(l.Body, e.At)
	require.NoError(t, err)
	verdicts, err := l.Check(q)
	require.NoError(t, err)
	for _, v := range verdicts {
		if v.Place == e.Place && v.Side == e.Side && v.Gap == 0 {
			assert.InDelta(t, 0, v.By, 1e-5, "%v", v)
		}
	}
}

// Oracle: the same of regions.
func TestRegionAgainstGrid(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	first, n, step := riders()
	all := make([]rider.Posture, 2*720)
	held, places := 0, 0
	for i := range n {
		l, p := limited(r)
		if i < first {
			continue
		}
		for _, m := range []rider.Moving{rider.SaddlePlace, rider.BarPlace} {
			along, height := rider.Way{Adjustment: rider.SaddleSetback}, rider.Way{Adjustment: rider.SaddleHeight}
			if m == rider.BarPlace {
				along, height = rider.Way{Adjustment: rider.BarReach}, rider.Way{Adjustment: rider.BarDrop}
			}
			region, err := l.Region(t.Context(), p, rider.Window{Moving: m, AlongFrom: -60, AlongTo: 60, HeightFrom: -60, HeightTo: 60, Step: step})
			require.NoError(t, err)
			for _, c := range region.Columns() {
				q, err := along.Moved(p, c.Along)
				require.NoError(t, err)
				for up := -60.; up <= 60; up += step {
					q, err := height.Moved(q, up)
					require.NoError(t, err)
					right(t, l, q, c.Heights, up, all)
					places++
					if region.Holds(c.Along, up) {
						held++
					}
				}
			}
		}
	}
	assert.NotZero(t, held)
	t.Logf("limits: regions of %d riders, saddle and hands: of %d places %d are inside, none is on the wrong side but within %g mm of the edge", n-first, places, held, edge)
}

func TestLimitsValidate(t *testing.T) {
	b, p := invented.Rider()
	knee := rider.Limit{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: 25}
	require.NoError(t, rider.Limits{}.Validate())
	require.NoError(t, rider.Limits{Body: b, Joints: []rider.Limit{knee}}.Validate())
	err := rider.Limits{Body: b, Joints: []rider.Limit{
		{},
		{Variable: rider.TrunkLean, Side: contact.Left, Bound: rider.AtMost, Angle: 40},
		{Variable: rider.KneeFlexion, Side: 9, Bound: rider.AtMost, Angle: 400},
		knee,
		{Variable: rider.KneeFlexion, Side: contact.Right, Bound: rider.AtMost, Angle: 20},
	}}.Validate()
	var paths []string
	for _, f := range contact.Faults(err) {
		paths = append(paths, f.Path)
	}
	assert.Equal(t, []string{"joints[0].variable", "joints[0].bound", "joints[1].side", "joints[2].angle_deg", "joints[2].side", "joints[4].angle_deg"}, paths)
	_, err = rider.Limits{Joints: []rider.Limit{knee}}.Check(p)
	require.ErrorIs(t, err, contact.ErrMissing)
	_, err = rider.Limits{Joints: make([]rider.Limit, 101), Body: b}.Range(p, rider.Way{Adjustment: rider.BarDrop})
	require.ErrorIs(t, err, contact.ErrRange)
	_, err = rider.Limits{}.Range(p, rider.Way{})
	require.ErrorIs(t, err, contact.ErrUnknown)
	_, err = rider.Limits{}.Region(t.Context(), p, rider.Window{})
	require.ErrorIs(t, err, contact.ErrUnknown)
}

// What the position does not know is neither kept nor broken, and limits nothing.
func TestLimitsNotKnown(t *testing.T) {
	b, p := invented.Rider()
	l := rider.Limits{Body: b, Joints: []rider.Limit{
		{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: 60},
		{Variable: rider.TrunkLean, Bound: rider.AtMost, Angle: 60},
	}}
	for _, s := range []contact.Site{contact.FootLeft, contact.FootRight} {
		p.Forget(s)
	}
	all, err := l.Check(p)
	require.NoError(t, err)
	require.Len(t, all, 3)
	assert.False(t, all[0].Known || all[1].Known)
	assert.False(t, all[0].Kept() || all[0].Broken())
	assert.True(t, all[2].Kept())
	assert.False(t, l.Breaks(p))
	got, err := l.Range(p, rider.Way{Adjustment: rider.SaddleHeight})
	require.NoError(t, err)
	require.NotEmpty(t, got)
	assert.Equal(t, rider.Open, got[0].To.Place)
}

// Identity: with the least flexion of both legs as the limit the saddle goes as high as RaiseSaddle
// puts it, and cranks are as long as CrankLength makes them.
func TestRangeIsTheInverse(t *testing.T) {
	b, p := invented.Rider()
	l := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.KneeFlexion, Side: contact.Left, Bound: rider.AtLeast, Angle: 30}}}
	by, _, err := b.RaiseSaddle(p, contact.Left, 30, 73.5)
	require.NoError(t, err)
	got, err := l.Range(p, rider.Way{Adjustment: rider.SaddleHeight, LineAngle: 73.5})
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.InDelta(t, by, got[0].To.At, 1e-8)
	length, _, err := b.CrankLength(p, contact.Left, 30)
	require.NoError(t, err)
	got, err = l.Range(p, rider.Way{Adjustment: rider.CrankChange})
	require.NoError(t, err)
	assert.InDelta(t, length-172.5, got[len(got)-1].To.At, 1e-8)
}

func TestLimitsDocument(t *testing.T) {
	b, _ := invented.Rider()
	l := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.HipFlexion, Side: contact.Right, Bound: rider.AtMost, Angle: 110, Source: "passive, lying"}}}
	text, err := json.Marshal(l)
	require.NoError(t, err)
	var back rider.Limits
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, l, back)
}
