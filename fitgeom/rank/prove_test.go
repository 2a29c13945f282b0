package rank_test

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A setting is a way to ask for a ranking.
type setting struct {
	name  string
	sizes func(n int, seed uint64) []fitgeom.Size
	ask   func(rng *rand.Rand, p *solve.Problem)
}

func wholeSizes(n int, seed uint64) []fitgeom.Size { return inventedSizes(n, 0.5, seed) }

// oddSizes is sizes of which no two are alike, some with cut steerers.
func oddSizes(n int, seed uint64) []fitgeom.Size {
	sizes := inventedSizes(n, 0.5, seed)
	rng := rand.New(rand.NewPCG(seed, 21))
	for i := range sizes {
		f := &sizes[i].Frame
		f.Geometry.Stack, f.Geometry.Reach = f.Geometry.Stack+rng.Float64(), f.Geometry.Reach+rng.Float64()
		f.Geometry.HeadAngle, f.Geometry.SeatAngle = f.Geometry.HeadAngle+rng.Float64()/2, f.Geometry.SeatAngle+rng.Float64()/2
		if rng.IntN(3) == 0 {
			f.SteererCut = 50 + 30*rng.Float64()
		}
	}
	return sizes
}

// manySteerers is sizes with steerers that all differ a little, and fit the same stems.
func manySteerers(n int, seed uint64) []fitgeom.Size {
	sizes := inventedSizes(n, 0.5, seed)
	for i := range sizes {
		sizes[i].Frame.SteererDiameter += 0.0002 * float64(i)
	}
	return sizes
}

// settings is the ways in which catalogues are asked.
var settings = []setting{
	{"whole", wholeSizes, func(*rand.Rand, *solve.Problem) {}},
	{"unlike, some steerers cut", oddSizes, func(*rand.Rand, *solve.Problem) {}},
	{"other wheels", oddSizes, func(rng *rand.Rand, p *solve.Problem) {
		p.Wheels = chart.Wheels{FrontRadius: 330 + 20*rng.Float64(), RearRadius: 340, FrontSag: 20 * rng.Float64()}
	}},
	{"nothing holds", wholeSizes, func(_ *rand.Rand, p *solve.Problem) { p.Target = high(p.Target) }},
	{"one coordinate or none", wholeSizes, func(rng *rand.Rand, p *solve.Problem) {
		p.Keep = fitgeom.DefaultKeep(p.Target)[:1]
		if n := rng.IntN(3); n > 0 {
			p.Keep = append(p.Keep, fitgeom.Keep{Site: contact.HoodsLeft, Tolerance: []r3.Vec{{X: 2}, {Z: 2}}[n-1]})
		}
	}},
	{"other things usual, many steerers", manySteerers, func(rng *rand.Rand, p *solve.Problem) {
		p.Target = usual(rng.Uint64N(100))
		p.Preference = fitgeom.DefaultPreference(fitgeom.DefaultKeep(p.Target))
		p.Preference.Rails = fitgeom.Usual{From: 10, To: 20, Step: 1}
		p.Preference.Nothing = rng.IntN(2) == 0
		p.Limit = 1 + rng.IntN(4)
	}},
	{"coarse grains", wholeSizes, func(rng *rand.Rand, p *solve.Problem) { p.Grain = []float64{0.5, 2, 10}[rng.IntN(3)] }},
	{"pads", wholeSizes, func(rng *rand.Rand, p *solve.Problem) {
		p.Shelf, p.Target = aeroShelf(), onPads(float64(rng.IntN(80)))
		p.Shelf.Stems, p.Shelf.Handlebars = p.Shelf.Stems[rng.IntN(30):][:12], p.Shelf.Handlebars[:3]
	}},
	{"everything", oddSizes, func(rng *rand.Rand, p *solve.Problem) {
		p.Bike, p.Shelf, p.Vary = invented.Build(), ruledShelf(), part.AllKinds
		p.Rules, _ = rules.InForce(rules.Road, rules.Date{Year: 2026, Month: 6, Day: 7})
		p.Keep = fitgeom.DefaultKeep(p.Target)
		p.Keep[1].Turn = fitgeom.TurnTolerance{Tilt: 4, Yaw: 8, Roll: 8}
		p.Keep[2].Tolerance.Z = 1 + rng.Float64()
		if rng.IntN(2) == 0 {
			p.Wheels = chart.Wheels{FrontRadius: 345, RearRadius: 338}
		}
		for _, g := range []contact.Group{contact.OnHandlebar, contact.OnSaddle} {
			p.RoomWanted = append(p.RoomWanted, fitgeom.RoomWish{Group: g, Up: rng.IntN(20), Down: rng.IntN(20), Forward: rng.IntN(5), Back: rng.IntN(5), Gap: rng.Float64()})
		}
	}},
}

// Every way to ask gives what Problem.Solve gives on every frame, frame by frame: that some
// front ends are never searched, and others in another order, changes nothing. FITGEOM_RANKINGS
// is how many rankings there are of each, and FITGEOM_FRAMES how many sizes each has, 200 unless
// stated.
func TestRankings(t *testing.T) {
	rankings, frames := 4, 40
	if s := os.Getenv("FITGEOM_RANKINGS"); s != "" {
		var err error
		rankings, err = strconv.Atoi(s)
		require.NoError(t, err)
		frames = 200
	}
	if s := os.Getenv("FITGEOM_FRAMES"); s != "" {
		var err error
		frames, err = strconv.Atoi(s)
		require.NoError(t, err)
	}
	for _, s := range settings {
		t.Run(s.name, func(t *testing.T) {
			if rankings > 4 {
				t.Parallel()
			}
			held, searched := 0, 0
			for i := range rankings {
				seed := uint64(i)
				rng := rand.New(rand.NewPCG(seed, 22))
				sizes := s.sizes(frames, seed)
				p := solve.Problem{Target: riderAt(seed), Shelf: chooseShelf(), Limit: 20}
				s.ask(rng, &p)
				x, err := rank.NewIndex(t.Context(), sizes)
				require.NoError(t, err)
				want := exhaustive(t, sizes, p)
				got, err := x.Rank(t.Context(), p)
				require.NoError(t, err)
				sameRanking(t, want, got, p.Limit, false)
				searched += got.Scored
				for _, w := range want {
					if w.class == 0 {
						held++
					}
				}
			}
			t.Logf("rank: | %s | %d | %d | %d | %d |", s.name, rankings, frames, held, searched)
		})
	}
}
