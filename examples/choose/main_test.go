package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/solve"

	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/request"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// generate writes a catalogue of 400 invented sizes, in 57 families.
func generate() []byte {
	rng := rand.New(rand.NewPCG(6, 400))
	var b bytes.Buffer
	b.WriteString("# Invented: no such frames exist. Written by the test of examples/choose.\n")
	b.WriteString("family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm,seatpost_insertion_mm\n")
	for n := 0; n < 400; {
		stack, reach := 500+45*rng.Float64(), 365+22*rng.Float64()
		head, seat := 71.5+rng.Float64(), 74+rng.Float64()
		family := fmt.Sprintf("road %c%c", 'a'+n/7/26, 'a'+n/7%26)
		diameter := []float64{27.2, 31.6}[rng.IntN(2)]
		most := []float64{35, 40, 50}[rng.IntN(3)]
		for size := range 7 {
			if n == 400 {
				break
			}
			s := float64(size)
			fmt.Fprintf(&b, "%s,%d,%.0f,%.0f,%.1f,%.1f,28.6,%.0f,%.0f,%.1f,80\n", family, 48+2*size,
				stack+19*s+3*rng.Float64(), reach+5*s+3*rng.Float64(), head+0.3*s, seat-0.25*s, most, 440+20*s, diameter)
			n++
		}
	}
	return b.Bytes()
}

func TestFilesAreAsInvented(t *testing.T) {
	if os.Getenv("UPDATE_GOLDEN") != "" {
		catalogue = generate()
	}
	golden.File(t, "catalogue.csv", string(generate()))
	const note = "Invented data: no such rider or part exists."
	golden.Document(t, "position.json", &positionJSON, invented(), note)
	golden.Document(t, "shelf.json", &shelfJSON, shelf(), note)
	golden.Document(t, "request.json", &requestJSON, request.Request{Limit: 10}, "Invented: no such rider asked for this.")
	sizes, err := exchange.ReadCatalogue(t.Context(), bytes.NewReader(generate()))
	require.NoError(t, err)
	assert.Len(t, sizes, 400)
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

// What the program says is what Solve says of each frame alone: no frame that holds leaves
// more of the room that is wanted than the first, or as much and is nearer to what is usual;
// every frame that holds lies in the region; and all of the table leave 10 mm up and down.
func TestAnswer(t *testing.T) {
	sizes, err := exchange.ReadCatalogue(t.Context(), bytes.NewReader(catalogue))
	require.NoError(t, err)
	a, err := answer(sizes, solve.Problem{Target: invented(), Shelf: shelf(), Limit: 10}, chart.Rounding{LengthStep: 1, AngleStep: 0.1})
	require.NoError(t, err)
	first := a.winner().Best
	require.True(t, first.Holds())
	golden.FollowSheet(t, first)
	for _, c := range a.ranked.Choices {
		q := a.problem
		q.Frame = c.Size.Frame
		room, err := q.Room(t.Context(), c.Best, solve.Movement{Gap: gap})
		require.NoError(t, err)
		require.GreaterOrEqual(t, min(room.Up.MM, room.Down.MM), 10, c.Size.Label)
	}
	q := a.problem
	q.Limit = 1
	for i, s := range sizes {
		if !a.holds[i] {
			continue
		}
		g := s.Frame.Geometry
		require.True(t, a.region.Holds(region.HeadPlace{Reach: g.Reach, Stack: g.Stack}), s.Frame.Name)
		q.Frame = s.Frame
		r, err := q.Solve(t.Context())
		require.NoError(t, err)
		c := r.Candidates[0]
		m := c.Merit
		require.Positive(t, 1+slices.Compare([]int{m.Shortfall, m.ShortfallSum, m.Preference, -m.Room},
			[]int{first.Merit.Shortfall, first.Merit.ShortfallSum, first.Merit.Preference, -first.Merit.Room}), s.Frame.Name)
	}
}

func TestBadInput(t *testing.T) {
	rows := strings.SplitAfter(string(generate()), "\n")
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"empty":     {[]string{"-catalogue", golden.Put(t, nil)}, "missing"},
		"header":    {[]string{"-catalogue", golden.Put(t, []byte(rows[0]+rows[1]))}, "no sizes"},
		"no flag":   {[]string{"-catalog", "x"}, "not defined"},
		"no folder": {[]string{"-o", filepath.Join("main.go", "nowhere")}, "main.go"},
	} {
		t.Run(name, func(t *testing.T) { _ = golden.Refused(t, example(), c.want, c.args...) })
	}
	// Broken rows are told, and the others ranked.
	rows[9] = "road x,50,0.5,380,73,73,28.6,40,500,27.2,80\n"
	var b bytes.Buffer
	require.NoError(t, example().Run([]string{"-catalogue", golden.Put(t, []byte(strings.Join(rows, "")))}, &b))
	assert.Contains(t, b.String(), "row 10.stack_mm")
	assert.Contains(t, b.String(), "metres")
	assert.Contains(t, b.String(), "The best of 399 sizes")
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }

// Ten slips of a tired person: the message names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"position.json"}, Want: `"position.json": want a flag before it`},
		{Args: []string{"-catalogue", "shelf.json"}, Want: "shelf.json: line 1"},
		{Args: []string{"-target", "catalogue.csv"}, Want: "catalogue.csv: line 1"},
		{Flag: "catalogue", Data: catalogue, Old: "stack_mm", New: "stack", Want: "stack"},
		{Flag: "catalogue", Data: catalogue, Old: ",", New: ";", Want: "commas"},
		{Flag: "target", Data: positionJSON, Old: `"hoods_right"`, New: `"hood_right"`, Want: "/sites/hood_right"},
		{Flag: "target", Data: positionJSON, Old: `"tilt_deg"`, New: `"tilt"`, Want: "/attitude/tilt unknown name"},
		{Flag: "shelf", Data: shelfJSON, Old: `"cranks"`, New: `"crank"`, Want: "/crank unknown name"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 10`, New: `"limit": ten`, Want: "well-formed JSON"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 10`, New: `"limit": 10, "keep": [{"site": "saddle", "tolerance_mm": [2, 0, 2]}]`, Want: `/keep/0/site "saddle"`},
		{Flag: "request", Data: requestJSON, Old: `fitgeom/request`, New: `fitgeom/requests`, Want: `/schema "fitgeom/requests": want "fitgeom/request"`},
	})
}
