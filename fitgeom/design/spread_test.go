package design_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The position's uncertainty in the drawing, by Monte Carlo (JCGM 101:2008): positions are
// drawn around the one that was stated, each gets its own frame, and their dimensions scatter
// as stated: of 400 draws to within four standard uncertainties of a standard deviation, 14 %.
func TestSpread(t *testing.T) {
	if testing.Short() {
		t.Skip("says the same on every processor")
	}
	const draws = 400
	rng := rand.New(rand.NewPCG(21, 7))
	cases := 1
	if trial.Long() {
		cases = 10
	}
	for range cases {
		b := drawn(rng)
		p := problem(t, b)
		p.Target.Forget(contact.BarClamp)
		sites := []contact.Site{contact.HoodsLeft, contact.HoodsRight, contact.SaddleReference}
		p.Covariance = trial.Independent(t, 0.5, sites...)
		g := b.Frame.Geometry
		trail, _ := g.Trail()
		p.Wishes = []design.Wish{
			{Subject: of(chart.HeadAngle), From: g.HeadAngle - 0.5, To: g.HeadAngle + 0.5},
			{Subject: of(chart.Trail), From: trail - 3, To: trail + 3},
			{Subject: of(chart.Chainstay), From: 410, To: 420},
			{Subject: design.Subject{Clearance: clearance.ToeLevel}, From: 20, To: math.Inf(1)},
			exactly(of(chart.Drop), 70), exactly(of(chart.SeatTubeTop), b.Frame.SeatTubeTop),
			exactly(of(chart.FrontRadius), 340), exactly(of(chart.RearRadius), 340),
		}
		d, err := p.Solve(t.Context())
		require.NoError(t, err)
		require.True(t, d.Holds())
		subjects := []design.Subject{
			of(chart.Stack), of(chart.Reach), of(chart.SeatAngle), of(chart.EffectiveTopTube), of(chart.HeadTube), of(chart.Wheelbase),
			of(chart.TopTube), of(chart.Standover), set(design.SeatpostExtension),
			{Clearance: clearance.ToeLevel},
		}
		sum, square := make([]float64, len(subjects)), make([]float64, len(subjects))
		q := p
		q.Covariance = contact.Covariance{}
		for range draws {
			q.Target = p.Target
			for _, c := range p.Covariance.Coordinates() {
				q.Target = q.Target.Shifted(c, 0.5*rng.NormFloat64())
			}
			e, err := q.Solve(t.Context())
			require.NoError(t, err)
			for i, s := range subjects {
				v, _, _ := e.Value(s)
				w, _, _ := d.Value(s)
				sum[i] += v - w
				square[i] += (v - w) * (v - w)
			}
		}
		for i, s := range subjects {
			_, sigma, ok := d.Value(s)
			require.True(t, ok)
			mean := sum[i] / draws
			seen := math.Sqrt(square[i]/draws - mean*mean)
			if sigma < 1e-6 {
				assert.Less(t, seen, 1e-6, "%v", s)
				continue
			}
			assert.InDelta(t, 1, seen/sigma, 0.14+0.02, "%v: %v, seen %v", s, sigma, seen)
		}
		// Together: what is exact has none, and stack and reach err with the hands.
		v, ok := d.Covariance(chart.Stack, chart.Stack)
		require.True(t, ok)
		_, sigma, _ := d.Get(chart.Stack)
		assert.InDelta(t, sigma*sigma, v, 1e-12)
		_, ok = d.Covariance(0, chart.Stack)
		assert.False(t, ok)
	}
}
