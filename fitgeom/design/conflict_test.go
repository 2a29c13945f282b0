package design_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wishing draws a problem whose wishes are drawn too, of all kinds of numbers of a front and
// a rear end. Many contradict.
func wishing(t *testing.T, rng *rand.Rand) design.Problem {
	b := drawn(rng)
	p := problem(t, b)
	p.MaxUnderStem = 40
	g := b.Frame.Geometry
	base, _ := g.Wheelbase()
	trail, _ := g.Trail()
	axle, _ := g.FrontAxle()
	u := rng.Float64
	around := func(s design.Subject, v, most, wide float64) {
		switch v += most * (2*u() - 1); rng.IntN(4) {
		case 0:
			p.Wishes = append(p.Wishes, exactly(s, v))
		case 1:
			p.Wishes = append(p.Wishes, design.Wish{Subject: s, From: v, To: math.Inf(1)})
		case 2:
			p.Wishes = append(p.Wishes, design.Wish{Subject: s, From: math.Inf(-1), To: v})
		default:
			p.Wishes = append(p.Wishes, design.Wish{Subject: s, From: v - wide*u(), To: v + wide*u()})
		}
	}
	a := g.Axles
	all := []func(){
		func() { around(of(chart.HeadAngle), g.HeadAngle, 1, 1) },
		func() { around(of(chart.Trail), trail, 10, 5) },
		func() { around(of(chart.ForkOffset), a.ForkOffset, 5, 5) },
		func() { around(of(chart.Drop), a.Drop, 5, 5) },
		func() { around(of(chart.BottomBracketHeight), a.RearRadius-a.Drop, 5, 5) },
		func() { around(of(chart.Chainstay), a.Chainstay, 10, 5) },
		func() { around(of(chart.Wheelbase), base, 15, 10) },
		func() { around(of(chart.FrontCentreHorizontal), axle.X, 15, 10) },
		func() { around(of(chart.Stack), g.Stack, 10, 10) },
		func() { around(of(chart.Reach), g.Reach, 10, 10) },
		func() { around(of(chart.HeadTube), 120, 50, 30) },
		func() { around(of(chart.AxleToCrown), 375, 10, 10) },
		func() { around(of(chart.FrontRadius), a.FrontRadius, 3, 3) },
		func() { around(of(chart.RearRadius), a.RearRadius, 3, 3) },
		func() { around(of(chart.SeatAngle), g.SeatAngle, 1, 1) },
		func() { around(of(chart.SeatOffset), g.SeatOffset, 5, 5) },
		func() { around(of(chart.SeatTubeTop), b.Frame.SeatTubeTop, 30, 10) },
		func() { around(of(chart.EffectiveTopTube), g.EffectiveTopTube(), 20, 10) },
		func() { around(set(design.SeatpostExtension), b.Settings.SeatpostExtension, 30, 20) },
		func() { around(set(design.StemUp), p.Front.Up, 15, 10) },
		func() { around(set(design.StemLength), b.Stem.Length, 5, 10) },
		func() { around(set(design.RailClamp), b.Settings.RailClamp, 10, 20) },
		func() { around(set(design.Setback), b.Seatpost.Setback, 5, 5) },
	}
	for _, k := range rng.Perm(len(all))[:6+rng.IntN(8)] {
		all[k]()
	}
	// What is out of the range of bicycles is no wish.
	p.Wishes = slices.DeleteFunc(p.Wishes, func(w design.Wish) bool { return w.Validate() != nil })
	return p
}

// loose is settings that parts do not settle any more.
func loose() (all []design.Wish) {
	for _, s := range [...]design.Setting{
		design.StemLength, design.StemAngle, design.StemUp, design.Setback, design.RailClamp, design.HeadTubeAbove, design.SeatTubeAbove,
	} {
		all = append(all, design.Wish{Subject: set(s), From: math.Inf(-1), To: math.Inf(1)})
	}
	return all
}

// alone is a problem with some wishes and no others: neither what parts are nor what they
// can do.
func alone(p design.Problem, wishes []design.Wish) design.Problem {
	p.Cap, p.MaxUnderStem = 0, 150
	p.Seatpost.MinExtension, p.Seatpost.MaxExtension, p.Seatpost.Length, p.Seatpost.MinInsertion = 0, 0, 600, 20
	p.Saddle.RailsFrom, p.Saddle.RailsTo = 40, 300
	p.Wishes = slices.Concat(wishes, loose())
	return p
}

// Wishes that are named as a contradiction are one, and none of them can be spared: without
// any one there is a frame for the others, which is looked at outside of the package; and
// for all of them there is none, as far as a search by least squares from some places
// tells. A single change of a wish, as it is named, leaves a frame; hardly less does not.
func TestContradictions(t *testing.T) {
	if testing.Short() {
		t.Skip("says the same on every processor")
	}
	n := 10
	if trial.Long() {
		n = 300
	}
	rng := rand.New(rand.NewPCG(21, 4))
	cases, changes, most, drawn, named, settling := 0, 0, 0, 0, 0, 0
	nearest := math.Inf(1)
	for cases < n {
		p := wishing(t, rng)
		drawn++
		d, err := p.Solve(t.Context())
		require.NoError(t, err)
		if d.Holds() {
			holds(t, p, d, p.Wishes)
			continue
		}
		require.NotEmpty(t, d.Changes)
		for _, c := range d.Contradictions {
			var set []design.Wish
			for _, i := range c.Wishes {
				set = append(set, d.Wishes[i])
			}
			most = max(most, len(set))
			whole, err := alone(p, set).Solve(t.Context())
			require.NoError(t, err)
			require.False(t, whole.Holds(), "%v", set)
			off := search(rng, &p, set)
			nearest = min(nearest, off)
			assert.Greater(t, off, 1e-4, "a frame for %v", set)
			for i := range set {
				rest := slices.Delete(slices.Clone(set), i, i+1)
				q := alone(p, rest)
				without, err := q.Solve(t.Context())
				require.NoError(t, err)
				require.True(t, without.Holds(), "%v without %v", set, set[i])
				holds(t, q, without, rest)
			}
			cases++
		}
		if len(d.Contradictions) > 1 {
			continue
		}
		named += len(d.Contradictions[0].Wishes)
		settling += len(d.Contradictions[0].Changes)
		together := 0.0
		for _, c := range d.Changes {
			together += cost(d, c)
		}
		for _, c := range d.Contradictions[0].Changes {
			assert.Less(t, together, cost(d, c)+1e-4, "one change costs less than all together")
			w := d.Wishes[c.Wish]
			if c.Wish >= len(p.Wishes) {
				continue // of a part
			}
			changes++
			try := func(share float64) bool {
				q := p
				q.Wishes = slices.Clone(p.Wishes)
				if v := &q.Wishes[c.Wish]; c.By > 0 {
					v.To = w.To + share*c.By
				} else {
					v.From = w.From + share*c.By
				}
				if q.Wishes[c.Wish].Validate() != nil {
					return share >= 1
				}
				e, err := q.Solve(t.Context())
				require.NoError(t, err)
				return e.Holds()
			}
			assert.True(t, try(1.000001), "%v by %v", w, c.By)
			assert.False(t, try(0.99), "%v by less than %v", w, c.By)
		}
	}
	t.Logf("design: %d contradictions in %d problems, of up to %d wishes, all minimal; no other search came nearer than %.2g; %d single changes are the least; where there is one contradiction, "+
		"%d of the %d wishes named settle the whole problem alone",
		cases, drawn, most, nearest, changes, settling, named)
}

// cost is how much a change counts.
func cost(d design.Design, c design.Change) float64 {
	if d.Wishes[c.Wish].Subject.Unit() == "degrees" {
		return 10 * math.Abs(c.By)
	}
	return math.Abs(c.By)
}

// search looks for a frame that has some wishes, by least squares of what is missed, and
// returns how near it comes: the root of the sum of squares. It knows the formulas of the
// side view anew, as README and package documentation have them.
func search(rng *rand.Rand, p *design.Problem, wishes []design.Wish) float64 {
	clamp, _ := p.Target.At(contact.BarClamp)
	saddle, _ := p.Target.At(contact.SaddleReference)
	a, _ := p.Target.Attitude(contact.SaddleReference)
	sinT, cosT := num.Sincos(a.Tilt)
	// The rail clamp, from the saddle's reference: along the rails from the nose, and down.
	behind, below := p.Saddle.Reference(), p.Saddle.Height
	box := [...][2]float64{
		{50, 90},
		{0, 150},
		{-100, 120},
		{250, 700},
		{0, 40},
		{-150, 150},
		{250, 600},
		{100, 450},
		{100, 450},
		{50, 90},
		{40, 300},
		{-100, 100},
		{200, 750},
		{20, 180},
		{-60, 60},
	}
	numbers := func(x []float64) map[design.Subject]float64 {
		sin, cos := num.Sincos(x[0])
		rise, run := num.Sincos(90 - x[0] + x[14])
		up := x[1] + p.Front.Stem.Height/2
		reach, stack := clamp.X-x[13]*run+up*cos, clamp.Z-x[13]*rise-up*sin
		axleZ := x[5] + x[7] - x[8]
		axleX := reach + ((stack-axleZ)*cos+x[2])/sin
		rear := math.Sqrt(math.Max(0, x[6]*x[6]-x[5]*x[5]))
		sinS, cosS := num.Sincos(x[9])
		// A point of the saddle, ahead of its nose and up in its own axes, turns with it.
		ahead, high := behind-x[10], -below
		railX, railZ := saddle.X+ahead*cosT-high*sinT, saddle.Z+ahead*sinT+high*cosT
		return map[design.Subject]float64{
			of(chart.HeadAngle): x[0], set(design.StemUp): x[1], of(chart.ForkOffset): x[2], of(chart.AxleToCrown): x[3], of(chart.LowerHeadset): x[4],
			of(chart.Drop): x[5], of(chart.Chainstay): x[6], of(chart.FrontRadius): x[7], of(chart.RearRadius): x[8], of(chart.SeatAngle): x[9],
			set(design.RailClamp): x[10], of(chart.SeatOffset): x[11], of(chart.SeatTubeTop): x[12], set(design.StemLength): x[13], set(design.StemAngle): x[14],
			of(chart.Stack): stack, of(chart.Reach): reach, of(chart.FrontCentreHorizontal): axleX, of(chart.Wheelbase): axleX + rear,
			of(chart.Trail): (x[7]*cos - x[2]) / sin, of(chart.BottomBracketHeight): x[8] - x[5],
			of(chart.HeadTube):         (stack-axleZ+x[2]*cos)/sin - x[4] - math.Sqrt(math.Max(0, x[3]*x[3]-x[2]*x[2])),
			of(chart.EffectiveTopTube): reach + (stack*cosS-x[11])/sinS,
			of(chart.RearCentre):       rear, of(chart.FrontCentre): math.Hypot(axleX, axleZ), of(chart.AxleToCrownSteerer): math.Sqrt(math.Max(0, x[3]*x[3]-x[2]*x[2])),
			of(chart.DropBelowAxles):      x[5] + (axleZ-x[5])*rear/(axleX+rear),
			of(chart.SeatAngleEffective):  num.Atan2(stack, (stack*cosS-x[11])/sinS),
			set(design.Setback):           x[11] - railX*sinS - railZ*cosS,
			set(design.SeatpostExtension): railZ*sinS - railX*cosS - x[12],
		}
	}
	missed := func(v, lo, hi float64) float64 { return math.Max(0, v-hi) - math.Max(0, lo-v) }
	// What bicycles have holds of every number, as package chart and the parts' fields say.
	wishes = slices.Clone(wishes)
	for _, d := range chart.Dimensions() {
		if lo, hi := d.Range(); d != chart.SeatTubeCentre && d != chart.TopTube && d != chart.Standover {
			wishes = append(wishes, design.Wish{Subject: of(d), From: lo, To: hi})
		}
	}
	wishes = append(wishes, design.Wish{Subject: set(design.Setback), From: -60, To: 80}, design.Wish{Subject: set(design.SeatpostExtension), From: 0, To: 580})
	m := len(wishes) + len(box)
	residuals := func(x, r []float64) {
		q := numbers(x)
		for i, w := range wishes {
			v, ok := q[w.Subject]
			if !ok {
				panic(w.Subject.String())
			}
			r[i] = missed(v, w.From, w.To)
		}
		for i, b := range box {
			r[len(wishes)+i] = missed(x[i], b[0], b[1])
		}
	}
	best, tries := math.Inf(1), 2
	if trial.Long() {
		tries = 20
	}
	for range tries {
		x := make([]float64, len(box))
		for i, b := range box {
			x[i] = b[0] + (b[1]-b[0])*rng.Float64()
		}
		fit := lsq.Solve(x, m, func(x, r, jac []float64) {
			residuals(x, r)
			if jac == nil {
				return
			}
			moved := make([]float64, m)
			for k := range x {
				y := slices.Clone(x)
				y[k] += 1e-5
				residuals(y, moved)
				for i := range r {
					jac[i*len(x)+k] = (moved[i] - r[i]) / 1e-5
				}
			}
		})
		if !math.IsNaN(fit.Chi2) {
			best = math.Min(best, math.Sqrt(fit.Chi2))
		}
	}
	return best
}
