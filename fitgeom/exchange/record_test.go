package exchange_test

import (
	"bytes"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A name in place of anything in the document of a record, or as the name of any member, is
// in no error.
func TestRecordErrorsHaveNoNames(t *testing.T) {
	const planted = "Xanthippe"
	data, err := os.ReadFile(filepath.Join(v1, "record.json"))
	require.NoError(t, err)
	doc := *must(decoded(t, data))
	found := 0
	try := func() {
		_, _, err := exchange.Read[record.Record](t.Context(), bytes.NewReader(text(t, doc)))
		if err != nil {
			found++
			assert.NotContains(t, err.Error(), planted)
		}
	}
	var walk func(v any, set func(any))
	walk = func(v any, set func(any)) {
		set(planted)
		try()
		set(v)
		switch v := v.(type) {
		case map[string]any:
			v[planted] = 1
			try()
			delete(v, planted)
			for name, old := range v {
				if name == "schema" {
					continue // what has another is no record
				}
				walk(old, func(to any) { v[name] = to })
			}
		case []any:
			for i := range min(len(v), 2) {
				walk(v[i], func(to any) { v[i] = to })
			}
		}
	}
	walk(doc, func(any) {})
	assert.Greater(t, found, 200)
}

func must(doc *any, _ map[string]any) *any { return doc }

// simulated is a record as somebody may have made it: of a rider of any size, known to
// within a millimetre or two, with much or little said.
func simulated(rng *rand.Rand) record.Record {
	d := dice{rng}
	bike := invented.Build()
	bike.Frame.Geometry.Stack, bike.Frame.Geometry.Reach = d.in(545, 580), d.in(378, 392)
	bike.Settings.Spacers, bike.Settings.SeatpostExtension = d.in(5, 30), d.in(150, 190)
	bike.Settings.RailClamp, bike.Settings.SaddleTilt = d.in(130, 165), d.in(-3, 0)
	p := invented.Position(bike)
	sigma := d.in(0.3, 2)
	var all []contact.Coordinate
	var by [][3]float64
	for s, at := range p.All() {
		p.Set(s, r3.Add(at, r3.Scale(sigma, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})))
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
			all = append(all, contact.Coordinate{Site: s, Axis: a})
			by = append(by, [3]float64{sigma * rng.Float64(), sigma * (rng.Float64() - 0.5), 0})
		}
	}
	r := record.Record{
		Date: rules.Date{Year: 2015 + d.IntN(11), Month: 1 + d.IntN(12), Day: 1 + d.IntN(28)},
		Fix:  survey.Fix{Position: p, Covariance: someCovariance(all, by)}, Shoes: d.name(),
		Provenance: record.Provenance{Method: record.ByTape, Instrument: d.name()},
		Personal:   record.Personal{Name: "rider " + strconv.Itoa(d.IntN(500)), Complaints: list(d, 2, d.name)},
	}
	if d.yes() {
		r.Bike = record.Bike(bike)
	}
	if d.yes() {
		r.Profile = contact.SaddleProfile{Widening: 1.8, Width: 70}
	}
	if d.IntN(3) == 0 { // the reference as another shop has it
		r.ReferenceWidth, r.Profile = 90, contact.SaddleProfile{Widening: d.in(1, 2), Width: 90}
	}
	return r
}

// Records that are written, read and reproduced on another frame give the answer that they
// give in memory, to the last digit, with the chance of every build. FITGEOM_RECORDS is how many;
// the answers' documents come back the same too.
func TestSimulatedRecords(t *testing.T) {
	n, err := strconv.Atoi(os.Getenv("FITGEOM_RECORDS"))
	if err != nil {
		n = 10
	}
	frame := invented.Road54()
	frame.Geometry.Stack, frame.Geometry.Reach, frame.Geometry.SeatAngle = 565, 387, 73
	problem := solve.Problem{Frame: frame, Shelf: invented.Shelf(), Limit: 2}
	known := solve.Errors{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}}
	holds, sure := 0, 0
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 500))
		r := simulated(rng)
		want, err := r.Reproduce(t.Context(), problem, known)
		require.NoError(t, err, seed)
		back := through(t, r)
		got, err := back.Reproduce(t.Context(), problem, known)
		require.NoError(t, err)
		require.Equal(t, want, got)
		require.Equal(t, want.Result.Candidates, through(t, want.Result.Candidates))
		left, err := through(t, r.Anonymous()).Reproduce(t.Context(), problem, known)
		require.NoError(t, err)
		require.Equal(t, want, left)
		steps, err := solve.SetUp(want.Result.Candidates[0], convert.Basis{})
		require.NoError(t, err)
		require.Equal(t, steps, through(t, steps))
		if want.Result.Holds() {
			holds++
		}
		if want.Chances[0] > 0.01 && want.Chances[0] < 0.99 {
			sure++
		}
	}
	t.Logf("%d records: the same answer of all; %d hold the position, %d with a chance between 0.01 and 0.99", n, holds, sure)
	assert.Positive(t, holds)
	assert.Positive(t, sure)
}

// through is a value that was written and read.
func through[T exchange.Content](t *testing.T, v T) T {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, exchange.Write(t.Context(), &b, v, ""))
	got, _, err := exchange.Read[T](t.Context(), &b)
	require.NoError(t, err)
	return got
}

// Answers of the library are documents, and read back as they were: fixes, solutions,
// completions, obstacles, rankings, regions and changes. What a Go program alone can ask of a
// fix or of a record is in their packages' tests.
func TestAnswersOfTheLibrary(t *testing.T) {
	same := func(want, got any) {
		t.Helper()
		require.Empty(t, cmp.Diff(want, got, cmpopts.EquateEmpty(), everything))
	}
	build := invented.Build()
	p := invented.Position(build)
	problem := solve.Problem{Target: p, Frame: invented.Road54(), Shelf: invented.Shelf(), Limit: 2}
	problem.Frame.Geometry.Stack = 640
	result, err := problem.Solve(t.Context())
	require.NoError(t, err)
	obstacles, err := problem.Explain(t.Context(), result.Candidates[0])
	require.NoError(t, err)
	require.NotEmpty(t, obstacles)
	same(obstacles, through(t, obstacles))

	odd := invented.Road54()
	odd.SeatpostDiameter, odd.Name = 22, "nothing fits"
	index, err := rank.NewIndex(t.Context(), []fitgeom.Size{{Family: "road", Label: "54", Frame: invented.Road54()}, {Family: "road", Label: "56", Frame: problem.Frame}, {Family: "odd", Label: "54", Frame: odd}})
	require.NoError(t, err)
	problem.Frame, problem.Limit = fitgeom.Frame{}, 3
	ranking, err := index.Rank(t.Context(), problem)
	require.NoError(t, err)
	require.Error(t, ranking.Choices[2].Fault)
	same(ranking, through(t, ranking))

	sheet, err := convert.NewSheet(p, convert.Basis{}, convert.SaddleHeight, convert.SaddleSetback, convert.BarDropHoods)
	require.NoError(t, err)
	for i := range sheet.Entries {
		sheet.Entries[i].Sigma = 1
	}
	solution, err := sheet.Solve()
	require.NoError(t, err)
	require.NotEmpty(t, solution.Free)
	same(solution, through(t, solution))
	completion, err := frozenChart.Solve()
	require.NoError(t, err)
	require.NotEmpty(t, completion.Values)
	same(completion, through(t, completion))

	at, err := region.New(t.Context(), p, region.Bounds{
		HeadFrom: 73, HeadTo: 73, StemLength: part.Steps{From: 90, To: 110}, StemAngle: part.Steps{From: -6, To: -6}, StemHeight: 40, Up: part.Steps{From: 15, To: 35},
		Handlebar: build.Handlebar, Lever: build.Lever,
	}, nil)
	require.NoError(t, err)
	require.NotEmpty(t, at.Outlines())
	same(at.Outlines(), through(t, at.Outlines()))

	wanted := newDice(4).designProblem()
	wanted.Wishes, wanted.Tubes, wanted.Covariance = nil, design.Tubes{}, trial.Independent(t, 1, contact.SaddleReference)
	found, err := wanted.Solve(t.Context())
	require.NoError(t, err)
	report := found.Report()
	require.True(t, report.Holds)
	require.Greater(t, len(report.Values), 40)
	same(report, through(t, report))
	wanted.Wishes = []design.Wish{{Subject: design.Subject{Dimension: chart.Stack}, From: math.Inf(-1), To: 350}}
	found, err = wanted.Solve(t.Context())
	require.NoError(t, err)
	require.NotEmpty(t, found.Report().Contradictions)
	same(found.Report(), through(t, found.Report()))

	rng := rand.New(rand.NewPCG(1, 500))
	changes, err := record.Compare(simulated(rng), simulated(rng), 0.95)
	require.NoError(t, err)
	require.NotEmpty(t, changes.Moves)
	require.NotEmpty(t, changes.Warnings)
	same(changes, through(t, changes))
}
