package survey_test

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// relabel gives every reading another label.
func relabel(s *survey.Survey, as func(string) string) {
	for i, r := range s.Readings {
		s.Readings[i].Landmark = survey.Landmark(as(string(r.Landmark)))
	}
}

// other exchanges two words of labels that contain a third one.
func other(of, a, b string) func(*survey.Survey) {
	return func(s *survey.Survey) {
		relabel(s, func(l string) string {
			switch {
			case !strings.Contains(l, of) || strings.Contains(l, "top") && a == "_nose": // which has a front
			case strings.Contains(l, a):
				return strings.Replace(l, a, b, 1)
			case strings.Contains(l, b):
				return strings.Replace(l, b, a, 1)
			}
			return l
		})
	}
}

func inUnit(u survey.Unit, mm float64) func(*survey.Survey) {
	return func(s *survey.Survey) {
		for i := range s.Readings {
			s.Readings[i].At = r3.Scale(1/mm, s.Readings[i].At)
		}
		s.Unit, s.Sigma = u, r3.Scale(1/mm, s.Sigma)
	}
}

// mirroredBy turns an axis of the instrument round, so that all axes are left-handed.
func mirroredBy(x, y, z float64) func(*survey.Survey) {
	turn := func(v r3.Vec) r3.Vec { return r3.Vec{X: x * v.X, Y: y * v.Y, Z: z * v.Z} }
	return func(s *survey.Survey) {
		s.Up = turn(s.Up)
		for i := range s.Readings {
			s.Readings[i].At = turn(s.Readings[i].At)
		}
	}
}

func both(a, b func(*survey.Survey)) func(*survey.Survey) {
	return func(s *survey.Survey) { a(s); b(s) }
}

// A gross is something that is wrong with all readings together, and what is to be said.
type gross struct {
	name string
	do   func(*survey.Survey)
	want []string // the paths of all faults, the first one's words behind
}

func grosses() []gross {
	sides := other("", "_left", "_right")
	all := []gross{
		{"nothing", func(*survey.Survey) {}, nil},
		{"left-handed axes: x", mirroredBy(-1, 1, 1), []string{"readings", "left-handed"}},
		{"left-handed axes: y", mirroredBy(1, -1, 1), []string{"readings", "left-handed"}},
		{"left-handed axes: z", mirroredBy(1, 1, -1), []string{"readings", "left-handed"}},
		{"all labels", sides, []string{"readings", "in all labels"}},
		{"all labels, left-handed axes", both(sides, mirroredBy(1, -1, 1)), nil}, // which is a bicycle
		{"front and rear", func(s *survey.Survey) {
			relabel(s, func(l string) string {
				for _, k := range []string{"axle", "dropout", "rim"} {
					l = strings.NewReplacer("rear_"+k, "front_"+k, "front_"+k, "rear_"+k).Replace(l)
				}
				return l
			})
		}, []string{"readings.front_axle", "front and rear not exchanged (axle, dropout, rim)"}},
		{"front and rear axle alone", other("axle", "front", "rear"), []string{"readings.front_axle", "front and rear not exchanged (axle)"}},
		{"ends of the head tube", other("head_tube", "top", "bottom"), []string{"readings.head_tube_top", "below head_tube_bottom"}},
		{"ends of the saddle's top", other("saddle_top", "_front", "_rear"), []string{"readings.saddle_top_front", "the saddle's top not exchanged"}},
		{"ends of the saddle", other("saddle_", "_nose", "_rear"), []string{"readings.saddle_nose", "nose and rear not exchanged"}},
		{"up reversed", func(s *survey.Survey) { s.Up = r3.Scale(-1, s.Up) }, []string{"up", "reversed"}},
		{"all labels, up reversed", both(sides, func(s *survey.Survey) { s.Up = r3.Scale(-1, s.Up) }), []string{"readings", "left-handed", "up"}},
		{"all labels, ends of the head tube", both(sides, other("head_tube", "top", "bottom")), []string{"readings", "left-handed", "readings.head_tube_top"}},
		{"all labels, ends of the saddle", both(sides, other("saddle_", "_nose", "_rear")), []string{"readings", "left-handed", "readings.saddle_nose"}},
		{"all labels, front and rear axle", both(sides, other("axle", "front", "rear")), []string{"readings", "left-handed", "readings.front_axle"}},
		{"all labels but the hoods'", both(sides, other("hoods", "_left", "_right")), []string{"readings", "left-handed", "readings.hoods_left"}},
		{"cm taken for mm", inUnit(survey.Millimetre, 10), []string{"unit", "cm"}},
		{"m taken for mm", inUnit(survey.Millimetre, 1000), []string{"unit", "m: then"}},
		{"in taken for mm", inUnit(survey.Millimetre, 25.4), []string{"unit", "in: then"}},
		{"mm taken for cm", inUnit(survey.Centimetre, 1), []string{"unit", "mm"}},
		{"mm taken for m", inUnit(survey.Metre, 1), []string{"unit", "mm"}},
		{"mm taken for in", inUnit(survey.Inch, 1), []string{"unit", "mm"}},
		{"in taken for m, all labels", both(sides, inUnit(survey.Metre, 25.4)), []string{"unit", "in: then", "readings"}},
	}
	for _, k := range []string{
		"bottom_bracket", "rear_axle", "front_axle", "head_tube_top", "head_tube_bottom", "rear_dropout", "front_dropout", "rear_rim", "front_rim",
		"mark_seat_tube", "saddle_edge", "tops", "hoods", "drops", "pedal",
	} {
		all = append(all, gross{"pair " + k, other(k, "_left", "_right"), []string{"readings." + k + "_left", "left and right not exchanged"}})
	}
	return append(all, gross{"pairs hoods and pedal", both(other("hoods", "_left", "_right"), other("pedal", "_left", "_right")), []string{"readings.hoods_left", "left and right not exchanged", "readings.pedal_left"}})
}

// Whatever is wrong with all readings together is named as such and nothing else is; and
// of a survey in which nothing is wrong, nothing. The list is what `go test -v` prints.
func TestGross(t *testing.T) {
	rng := rand.New(rand.NewPCG(91, 92))
	for _, g := range grosses() {
		for _, head := range []bool{false, true} {
			for _, up := range []bool{false, true} {
				for _, sigma := range []float64{0, 0.5, 2} {
					if head || !strings.Contains(g.name, "head_tube") && !strings.Contains(g.name, "head tube") {
						if up || !strings.Contains(g.name, "up reversed") {
							t.Logf("%s, head tube read %v, up given %v, noise %v mm: %s", g.name, head, up, sigma, tryGross(t, g, head, up, sigma, rng))
						}
					}
				}
			}
		}
	}
}

func tryGross(t *testing.T, g gross, head, up bool, sigma float64, rng *rand.Rand) string {
	b := aBike().withWheels()
	if head {
		b = b.withHeadTube()
	}
	steer := []float64{0, -20, 9}[rng.IntN(3)]
	s := read(b.turned(steer), anywhere(rng), 3, sigma, rng)
	s.Sigma = r3.Vec{X: max(sigma, 0.1), Y: max(sigma, 0.1), Z: max(sigma, 0.1)}
	if !up {
		s.Up = r3.Vec{}
	}
	g.do(&s)
	_, err := s.Solve()
	if g.want == nil {
		require.NoError(t, err, g.name)
		return "nothing said"
	}
	require.Error(t, err, g.name)
	faults := contact.Faults(err)
	assert.Contains(t, faults[0].Error(), g.want[1], g.name)
	var paths []string
	for _, f := range faults {
		paths = append(paths, f.Path)
		assert.ErrorIs(t, f, map[bool]error{true: contact.ErrUnit, false: contact.ErrConflict}[f.Path == "unit"])
	}
	assert.Equal(t, slices.Concat(g.want[:1], g.want[2:]), paths, "%s: %v", g.name, err)
	return err.Error()
}

// What the pairs of a survey say of left and right, where they are divided.
func TestGrossTies(t *testing.T) {
	rng := rand.New(rand.NewPCG(93, 94))
	frame := []string{"bottom_bracket_", "rear_axle_", "front_axle_"}
	few := func(more ...string) survey.Survey {
		s := read(aBike().turned(0), anywhere(rng), 2, 0, rng)
		s.Readings = slices.DeleteFunc(s.Readings, func(r survey.Reading) bool {
			return !slices.ContainsFunc(append(frame, more...), func(name string) bool { return strings.HasPrefix(string(r.Landmark), name) })
		})
		return s
	}
	// Two of three pairs, or left-handed axes and the third.
	s := few("saddle_nose", "saddle_rear", "bar_clamp")
	both(other("rear_axle", "_left", "_right"), other("front_axle", "_left", "_right"))(&s)
	_, err := s.Solve()
	require.Len(t, contact.Faults(err), 1)
	assert.EqualError(t, err, "readings that disagree about what is left: exchanged are rear_axle, front_axle, or as well left-handed axes (or all labels exchanged), bottom_bracket: want left and right not exchanged")

	// Nothing shows what is up, so that a mirror image cannot be told.
	s = few()
	s.Up = r3.Vec{}
	_, err = s.Solve()
	require.NoError(t, err)
	other("", "_left", "_right")(&s)
	_, err = s.Solve()
	require.NoError(t, err)
	other("rear_axle", "_left", "_right")(&s)
	_, err = s.Solve()
	require.Len(t, contact.Faults(err), 1)
	assert.Equal(t, "readings.rear_axle_left", contact.Faults(err)[0].Path)
	s = few("pedal_")
	s.Up = r3.Vec{}
	both(other("rear_axle", "_left", "_right"), other("pedal", "_left", "_right"))(&s)
	_, err = s.Solve()
	require.Len(t, contact.Faults(err), 1)
	assert.Contains(t, err.Error(), "exchanged are bottom_bracket, front_axle, or as well rear_axle, pedal")

	// But the upward direction shows it.
	s = few()
	other("", "_left", "_right")(&s)
	_, err = s.Solve()
	require.Len(t, contact.Faults(err), 1)
	assert.Contains(t, err.Error(), "left-handed")
}

// Readings that were added are judged alike.
func TestGrossLocate(t *testing.T) {
	rng := rand.New(rand.NewPCG(95, 96))
	b, from := aBike().withHeadTube(), anywhere(rng)
	fix, err := read(b.turned(0), from, 2, 0.3, rng).Solve()
	require.NoError(t, err)
	for _, g := range []struct {
		do   func(*survey.Survey)
		path string
	}{
		{other("saddle_edge", "_left", "_right"), "readings.saddle_edge_left"},
		{other("saddle_", "_nose", "_rear"), "readings.saddle_nose"},
		{other("head_tube", "top", "bottom"), "readings.head_tube_top"},
		{other("hoods", "_left", "_right"), "readings.hoods_left"},
	} {
		s := read(b.turned(0), from, 2, 0.3, rng)
		_, err = fix.Locate(s.Readings)
		require.NoError(t, err)
		g.do(&s)
		_, err = fix.Locate(s.Readings)
		require.Len(t, contact.Faults(err), 1)
		assert.Equal(t, g.path, contact.Faults(err)[0].Path)
	}
}

// What `.ci/prove slips` runs of points: FITGEOM_SLIPS names the files that slips.py
// wrote. Each slip is named first and alone, and no clean survey is accused.
func TestSlips(t *testing.T) {
	names := strings.Fields(os.Getenv("FITGEOM_SLIPS"))
	if len(names) == 0 {
		t.Skip("the cases are made by .ci/prove")
	}
	paths := map[string]string{
		"left_handed": "readings", "all_labels": "readings", "front_and_rear": "readings.front_axle", "front_and_rear_axle": "readings.front_axle",
		"head_tube_ends": "readings.head_tube_top", "saddle_ends": "readings.saddle_nose", "up_reversed": "up", "unit": "unit",
	}
	type count struct{ all, named, alone int }
	counts := map[string]*count{}
	var order []string
	for _, name := range names {
		file, err := os.Open(name)
		require.NoError(t, err)
		for in := bufio.NewReaderSize(file, 1<<20); ; {
			line, err := in.ReadBytes('\n')
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			var d struct {
				Slip, Pair string
				Survey     survey.Survey
			}
			require.NoError(t, json.Unmarshal(line, &d))
			c := counts[d.Slip]
			if c == nil {
				c = new(count)
				counts[d.Slip] = c
				order = append(order, d.Slip)
			}
			c.all++
			_, err = d.Survey.Solve()
			faults := contact.Faults(err)
			want := paths[d.Slip]
			if d.Pair != "" {
				want = "readings." + d.Pair + "_left"
			}
			if want == "" && err == nil || err != nil && faults[0].Path == want {
				c.named++
				if len(faults) < 2 {
					c.alone++
				}
			} else {
				t.Logf("%s %s: %v", d.Slip, d.Pair, err)
			}
		}
		require.NoError(t, file.Close())
	}
	for _, slip := range order {
		c := counts[slip]
		fmt.Printf("slips: | points | %s | %d | %.2f | %.2f |\n", slip, c.all, 100*float64(c.named)/float64(c.all), 100*float64(c.alone)/float64(c.all))
		least := 0.995
		if slip == "none" {
			least = 0.999
		}
		assert.GreaterOrEqual(t, float64(c.named), least*float64(c.all), slip)
		assert.GreaterOrEqual(t, float64(c.alone), 0.9*float64(c.all), slip)
	}
}
