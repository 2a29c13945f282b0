package solve_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// anyProblem draws a bike of any kind, a shelf and a target that is off by so many millimetres.
func anyProblem(t *rapid.T, disturb float64) (solve.Problem, fitgeom.Build) {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 9))
	return drawProblem(rng, rapid.SampledFrom(invented.BikeKinds).Draw(t, "kind"), disturb)
}

// A position that a build on the shelf gives is found, with nothing left over; and
// what each candidate says it would give, it gives.
func TestPropertySolveFindsTheBuild(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, from := anyProblem(t, 0)
		if slices.ContainsFunc(invented.Margins(from), func(m fitgeom.Margin) bool { return m.Room < 0 }) {
			return // it breaks a limit
		}
		r, err := p.Closest().Solve(t.Context())
		require.NoError(t, err)
		require.True(t, r.Holds())
		require.InDelta(t, 0, r.Candidates[0].Distance(), 1e-6)
		for _, c := range r.Candidates {
			require.NoError(t, p.Verify(c))
			build, target := invented.Position(c.Build), moved(p.Target, c.Build, p.Crank)
			for _, d := range c.Deviations {
				at, ok := d.Wanted(build)
				require.True(t, ok)
				want, _ := target.At(d.Site)
				require.InDelta(t, 0, r3.Norm(r3.Sub(want, at)), 1e-9)
			}
		}
		for _, res := range r.Candidates[0].Deviations {
			require.InDelta(t, 0, r3.Norm(asked(res)), 1e-5, res.Site)
		}
	})
}

// More on the shelf is never worse, and nor is more tolerance; what cannot be
// used changes nothing.
func TestPropertySolveMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, _ := anyProblem(t, 4)
		p = p.Closest()
		p.Limit = 1
		p.Bike = fitgeom.Build{}
		want, err := p.Solve(t.Context())
		if err != nil {
			return // nothing on the shelf fits
		}
		best := want.Candidates[0]
		try := func(shelf fitgeom.Shelf, keep []fitgeom.Keep) fitgeom.Candidate {
			p := p
			p.Shelf, p.Keep = shelf, keep
			r, err := p.Solve(t.Context())
			require.NoError(t, err)
			return r.Candidates[0]
		}
		grain := max(p.Grain, 1e-8)
		notWorse := func(c fitgeom.Candidate, share float64) {
			require.True(t, c.Holds() || !best.Holds())
			if c.Holds() == best.Holds() {
				require.LessOrEqual(t, math.Sqrt(c.Distance()), share*math.Sqrt(best.Distance())+4*grain)
			}
		}
		more := p.Shelf
		more.Seatposts = append(slices.Clone(p.Shelf.Seatposts), part.Seatpost{Diameter: p.Frame.SeatpostDiameter, Length: 400, Setback: 35, MinInsertion: 80, MinExtension: 40})
		more.Saddles = append(slices.Clone(p.Shelf.Saddles), part.Saddle{Length: 255, Station: 120, Height: 46, RailsFrom: 90, RailsTo: 190})
		more.Stems = append(slices.Clone(p.Shelf.Stems), part.Stem{Length: 85, Angle: 4, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true})
		notWorse(try(more, p.Keep), 1)

		wide := slices.Clone(p.Keep)
		for i := range wide {
			wide[i].Tolerance = r3.Scale(2, wide[i].Tolerance)
		}
		if c := try(p.Shelf, wide); best.Holds() {
			require.True(t, c.Holds())
		}

		useless := p.Shelf
		useless.Stems = append(slices.Clone(p.Shelf.Stems), part.Stem{Length: 100, Height: 40, SteererDiameter: 31.8, BarDiameter: 31.8})
		useless.Seatposts = append(slices.Clone(p.Shelf.Seatposts), part.Seatpost{Diameter: 35, Length: 400, MinInsertion: 80, MinExtension: 40})
		c := try(useless, p.Keep)
		require.Equal(t, best.Build, c.Build)
		require.Equal(t, best.Distance(), c.Distance())
	})
}

func shuffled[T any](t *rapid.T, all []T) []T {
	if len(all) < 2 {
		return all
	}
	return rapid.Permutation(all).Draw(t, "order")
}

// The order of the parts on the shelf decides between equal builds alone: score,
// and whether it holds, are the same.
func TestPropertyShelfOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, _ := anyProblem(t, 3)
		want, err := p.Solve(t.Context())
		if err != nil {
			return // nothing on the shelf fits
		}
		s := p.Shelf
		s.Caps, s.Spacers, s.Stems, s.Handlebars, s.Levers, s.AeroBars = shuffled(t, s.Caps), shuffled(t, s.Spacers), shuffled(t, s.Stems), shuffled(t, s.Handlebars), shuffled(t, s.Levers), shuffled(t, s.AeroBars)
		s.Seatposts, s.Saddles, s.Cranks, s.Pedals, s.CleatShims = shuffled(t, s.Seatposts), shuffled(t, s.Saddles), shuffled(t, s.Cranks), shuffled(t, s.Pedals), shuffled(t, s.CleatShims)
		other := p
		other.Shelf, other.Keep = s, shuffled(t, p.Keep)
		got, err := other.Solve(t.Context())
		require.NoError(t, err)
		require.Equal(t, want.Combinations, got.Combinations)
		require.Equal(t, want.Holds(), got.Holds())
		require.Len(t, got.Candidates, len(want.Candidates))
		if p.Grain > 1e-6 {
			return // coarse scores: which of nearly equal builds is first is a matter of order
		}
		require.InDelta(t, math.Sqrt(want.Candidates[0].Distance()), math.Sqrt(got.Candidates[0].Distance()), 1e-6)
	})
}

// Chance against dice: the target as it may truly have been, and how often the
// build is within tolerance of it. 400 throws are good to 4·√(0.25/400) = 0.1.
func TestPropertyChance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		problem := ordinary()
		r, err := problem.Solve(t.Context())
		require.NoError(t, err)
		c := r.Candidates[rapid.IntRange(0, len(r.Candidates)-1).Draw(t, "candidate")]
		sigma := rapid.Float64Range(0.1, 2).Draw(t, "sigma")
		var coords []contact.Coordinate
		for _, s := range contact.Sites() {
			for a := range contact.AxisTilt {
				coords = append(coords, contact.Coordinate{Site: s, Axis: a})
			}
		}
		coords = append(coords, contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt})
		cov := func(sigma float64) contact.Covariance {
			cov, err := contact.NewCovariance(coords, func(i, j int) float64 {
				switch {
				case i != j || coords[i].Site >= contact.PedalLeft || coords[i].Axis == contact.AxisTilt:
					return 0
				}
				return sigma * sigma
			})
			require.NoError(t, err)
			return cov
		}
		chance := func(sigma float64) float64 {
			p, err := problem.Chance(t.Context(), c, solve.Errors{Target: cov(sigma)})
			require.NoError(t, err)
			require.True(t, p >= 0 && p <= 1)
			return p
		}
		p := chance(sigma)
		held := 0
		for range 400 {
			in := true
			for _, res := range c.Deviations {
				for _, v := range [][2]float64{{res.Off.X, res.Tolerance.X}, {res.Off.Y, res.Tolerance.Y}, {res.Off.Z, res.Tolerance.Z}} {
					e := rng.NormFloat64() * sigma
					if res.Site >= contact.PedalLeft {
						e = 0
					}
					in = in && (v[1] == 0 || math.Abs(v[0]+e) <= v[1])
				}
			}
			if in {
				held++
			}
		}
		require.InDelta(t, float64(held)/400, p, 0.1)
		if c.Holds() {
			require.GreaterOrEqual(t, chance(sigma/2), p-0.02, "surer readings")
			require.InDelta(t, 1, chance(0), 1e-9)
		}
	})
}

// The steps of a set-up sheet are the measures of the candidate's position.
func TestPropertySetUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, _ := anyProblem(t, 0)
		r, err := p.Solve(t.Context())
		require.NoError(t, err)
		c := r.Candidates[0]
		basis := convert.Basis{SeatAngle: 73, BottomBracketHeight: 270}
		ms := []convert.Measure{convert.SaddleHeight, convert.SaddleSetback, convert.SaddleHeightGround, convert.BarReach}
		steps, err := solve.SetUp(c, basis, ms...)
		require.NoError(t, err)
		for _, m := range ms {
			want, err := m.Of(invented.Position(c.Build), basis)
			require.NoError(t, err)
			i := slices.IndexFunc(steps, func(s solve.Step) bool { return s.Name == m.String() })
			require.GreaterOrEqual(t, i, 0)
			require.InDelta(t, want, steps[i].Value, 1e-9)
			require.True(t, steps[i].Verify)
		}
		for _, s := range steps {
			require.NotEmpty(t, s.Text())
			require.True(t, !c.Holds() || !s.Limited || s.Low <= s.Value+1e-6 && s.Value <= s.High+1e-6, s.Name)
		}
	})
}
