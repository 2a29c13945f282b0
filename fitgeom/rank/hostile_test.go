package rank_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func roundedFrame(rng *rand.Rand, f *fitgeom.Frame) {
	f.Geometry.Stack, f.Geometry.Reach = 480+float64(rng.IntN(180)), 350+float64(rng.IntN(80))
	f.Geometry.HeadAngle, f.Geometry.SeatAngle = 68+float64(rng.IntN(12))/2, 70+float64(rng.IntN(12))/2
}

func unroundedFrame(rng *rand.Rand, f *fitgeom.Frame) {
	f.Geometry.Stack, f.Geometry.Reach = 480+180*rng.Float64(), 350+80*rng.Float64()
	f.Geometry.HeadAngle, f.Geometry.SeatAngle = 68+6*rng.Float64(), 70+6*rng.Float64()
}

func unroundedSeat(rng *rand.Rand, f *fitgeom.Frame) {
	roundedFrame(rng, f)
	f.Geometry.SeatAngle, f.SeatTubeTop = 70+6*rng.Float64(), 450+100*rng.Float64()
}

// hostileSizes is how many sizes the hostile catalogues have.
const hostileSizes = 200_000

// hostileRankings is what nobody would ask for, unless it is to do harm or by mistake.
var hostileRankings = []struct {
	name   string
	frame  func(*rand.Rand, *fitgeom.Frame)
	change func(*solve.Problem)
}{
	{"200,000 sizes, angles not rounded", unroundedFrame, func(p *solve.Problem) {
		p.Shelf.Stems, p.Shelf.Handlebars = invented.Stems(80), invented.Bars(30)
	}},
	{"200,000 sizes by grains of 10", roundedFrame, func(p *solve.Problem) {
		p.Shelf.Stems, p.Shelf.Handlebars = invented.Stems(80), invented.Bars(30)
		p.Grain = 10
	}},
	{"200,000 sizes on other wheels", roundedFrame, func(p *solve.Problem) {
		p.Wheels = chart.Wheels{FrontRadius: 345, RearRadius: 338}
	}},
	{"200,000 sizes by 10,000 stems and 1,000 bars", roundedFrame, func(p *solve.Problem) {
		p.Shelf.Stems, p.Shelf.Handlebars = invented.Stems(10_000), invented.Bars(1000)
	}},
	{"200,000 seat tubes out of reach, 1,000 wanted", unroundedSeat, func(p *solve.Problem) {
		at, _ := p.Target.At(contact.SaddleReference)
		p.Target.Set(contact.SaddleReference, r3.Vec{X: at.X - 130, Z: at.Z})
		p.Limit = 1000
	}},
}

// A ranking that was made to do harm is answered or refused with no more memory and work
// than the package states, and the call ends soon after its context. The budget is the
// usual one only if Long.
func TestHostile(t *testing.T) {
	if !trial.Huge() {
		t.Skip("takes some seconds; the lane hostile has it")
	}
	budget := fitgeom.Budget{Work: 3_000_000}
	if trial.Long() {
		budget.Work = 0
	}
	for _, c := range hostileRankings {
		t.Run(c.name, func(t *testing.T) {
			spent := trial.Spending()
			sizes := invented.Catalogue(hostileSizes, c.frame)
			p := solve.Problem{Target: invented.Position(invented.Build()), Shelf: invented.Shelf(), Budget: budget}
			c.change(&p)
			h := trial.Hostile{Name: c.name, Input: spent(), Live: 16_000_000 + 200*len(p.Shelf.Stems) + 8*hostileSizes}
			if p.Wheels != (chart.Wheels{}) {
				h.Live += 150 * hostileSizes
			}
			x, err := rank.NewIndex(t.Context(), sizes)
			require.NoError(t, err)
			h.Do = func(ctx context.Context) (any, error) { return x.Rank(ctx, p) }
			h.Run(t)
		})
	}
	spent := trial.Spending()
	sizes := invented.Catalogue(hostileSizes, unroundedFrame)
	trial.Hostile{Name: "an index of 200,000 sizes, angles not rounded", Input: spent(), Live: 500 * hostileSizes, Do: func(ctx context.Context) (any, error) {
		return rank.NewIndex(ctx, sizes)
	}}.Run(t)
	x, err := rank.NewIndex(t.Context(), invented.Catalogue(2000, roundedFrame))
	require.NoError(t, err)
	p := solve.Problem{Target: invented.Position(invented.Build()), Shelf: invented.Shelf(), Limit: 1000, Budget: budget}
	trial.Hostile{Name: "1,000 frames in 81 variations", Live: 16_000_000 + 8*2000, Do: func(ctx context.Context) (any, error) {
		return x.Sensitivities(ctx, p, chart.Rounding{LengthStep: 1, AngleStep: 1})
	}}.Run(t)
}
