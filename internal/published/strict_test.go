package published_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const sound = `# A file that is as it should be.
operation trail
source by hand: without offset trail is the radius over tan(head angle)
state computed
tolerance 1e-9 mm
direction both
input head_angle=60 degrees fork_offset=0 mm radius=300 mm
expect trail=173.20508075688772 mm
`

// check reads and runs a file, and returns all faults.
func check(text string) (tally, []string) {
	var all tally
	blocks, faults := parse("f.txt", text)
	if faults != nil {
		return all, faults
	}
	for _, b := range blocks {
		t, f := b.run()
		all.add(t)
		faults = append(faults, f...)
	}
	return all, faults
}

func TestSound(t *testing.T) {
	got, faults := check(sound)
	assert.Empty(t, faults)
	assert.Equal(t, 2, got.values, "there and back")
	assert.Less(t, got.worst, 1.0)

	// 0.1732 m is 173.2 mm and the degrees are radians; a tolerance is in any unit of a length.
	got, faults = check(strings.NewReplacer("60 degrees", "1.0471975511965976 rad", "173.20508075688772 mm", "0.17320508075688772 m", "1e-9 mm", "1e-12 m").Replace(sound))
	assert.Empty(t, faults)
	assert.Equal(t, 2, got.values)

	// What fails and what differs is counted apart, and not tried backwards.
	got, faults = check(sound + "expect differs trail=0 mm\ninput head_angle=6 degrees fork_offset=0 mm radius=300 mm\nexpect failure range\n")
	assert.Empty(t, faults)
	assert.Equal(t, 2, got.values)
	assert.Equal(t, 1, got.differing)
	assert.Equal(t, 1, got.failures)
	assert.Equal(t, 4, got.checks())
	assert.Equal(t, "2 values, 1 that must differ, 1 refused", got.text())
}

// Each kind of fault, made in the sound file, is told with its place.
func TestStrict(t *testing.T) {
	for name, c := range map[string]struct{ old, with, want string }{
		"word":                      {"state computed", "mood computed", `f.txt:4: unknown word "mood"`},
		"no operation":              {"operation trail", "", `f.txt:3: "source" before the first operation`},
		"operation":                 {"operation trail", "operation tral", `f.txt:2: unknown operation "tral"`},
		"state":                     {"state computed", "state sene", `f.txt:4: unknown state "sene"`},
		"direction":                 {"direction both", "direction back", `f.txt:6: unknown direction "back"`},
		"empty source":              {"source by hand: without offset trail is the radius over tan(head angle)", "source", "f.txt:3: source says nothing"},
		"bar in source":             {"by hand", "by | hand", "f.txt:3: a source cannot have | in it"},
		"source twice":              {"state computed", "state computed\nsource again", "f.txt:5: source twice"},
		"state twice":               {"state computed", "state computed\nstate seen", "f.txt:5: state twice"},
		"no source":                 {"source by hand: without offset trail is the radius over tan(head angle)", "", "f.txt:2: missing source"},
		"no state":                  {"state computed", "", "f.txt:2: missing state"},
		"no direction":              {"direction both", "", "f.txt:2: missing direction"},
		"no tolerance":              {"tolerance 1e-9 mm", "", "f.txt:8: missing tolerance in mm"},
		"tolerance of another unit": {"1e-9 mm", "1e-9 degrees", "f.txt:8: missing tolerance in mm"},
		"tolerance not used":        {"tolerance 1e-9 mm", "tolerance 1e-9 mm\ntolerance 1 V", "f.txt:2: nothing uses the tolerance in V"},
		"tolerance twice":           {"tolerance 1e-9 mm", "tolerance 1e-9 mm\ntolerance 1 m", "f.txt:6: tolerance in mm twice"},
		"tolerance of zero":         {"1e-9 mm", "0 mm", `f.txt:5: tolerance "0 mm" is not a positive number with a unit`},
		"tolerance not a number":    {"1e-9 mm", "small mm", `f.txt:5: tolerance "small mm" is not a positive number with a unit`},
		"tolerance without unit":    {"1e-9 mm", "1e-9", `f.txt:5: tolerance "1e-9" is not a positive number with a unit`},
		"tolerance of text":         {"1e-9 mm", "1 text", `f.txt:5: tolerance "1 text" is not a positive number with a unit`},
		"head after input":          {"expect trail=173.20508075688772 mm", "expect trail=173.20508075688772 mm\ntolerance 1 degrees", "f.txt:9: tolerance after the first input"},
		"input twice":               {"radius=300 mm", "radius=300 mm radius=300 mm", "f.txt:7: input radius twice"},
		"input twice in two lines":  {"radius=300 mm", "radius=300 mm\ninput radius=300 mm", "f.txt:8: input radius twice"},
		"expect twice":              {"expect trail", "expect trail=173.20508075688772 mm\nexpect trail", "f.txt:9: expect trail twice"},
		"input not used":            {"radius=300 mm", "radius=300 mm colour=1 mm", "f.txt:7: trail: unused input colour"},
		"input missing":             {"fork_offset=0 mm ", "", "f.txt:7: trail: missing input fork_offset"},
		"input in another unit":     {"head_angle=60 degrees", "head_angle=60 mm", "f.txt:7: trail: input head_angle is in mm, not in degrees"},
		"input a list":              {"radius=300 mm", "radius=300,301 mm", "f.txt:7: trail: input radius is not one number"},
		"unknown unit":              {"radius=300 mm", "radius=300 furlongs", `f.txt:7: radius has the unknown unit "furlongs"`},
		"no unit":                   {"radius=300 mm", "radius=300", `f.txt:7: radius has the unknown unit ""`},
		"not a number":              {"radius=300 mm", "radius=big mm", `f.txt:7: radius has "big" for a number`},
		"not finite":                {"radius=300 mm", "radius=NaN mm", `f.txt:7: radius has "NaN" for a number`},
		"not a pair":                {"radius=300 mm", "radius", `f.txt:7: "radius" is not key=value unit`},
		"quote without end":         {"radius=300 mm", `radius="300 mm`, "f.txt:7: radius has a quote that does not end"},
		"empty input":               {"input head_angle=60 degrees fork_offset=0 mm radius=300 mm", "input", "f.txt:7: nothing said"},
		"expect before input":       {"direction both", "direction both\nexpect trail=1 mm", "f.txt:7: expect before the first input"},
		"no cases":                  {"input head_angle=60 degrees fork_offset=0 mm radius=300 mm\nexpect trail=173.20508075688772 mm\n", "", "f.txt:2: no cases"},
		"no expect":                 {"expect trail=173.20508075688772 mm\n", "", "f.txt:7: an input without expect"},
		"class":                     {"expect trail=173.20508075688772 mm", "expect failure badly", `f.txt:8: unknown class "badly"`},
		"failure after a value":     {"expect trail=173.20508075688772 mm", "expect trail=173.20508075688772 mm\nexpect failure range", "f.txt:9: a failure beside another expect"},
		"value after a failure":     {"expect trail=173.20508075688772 mm", "expect failure range\nexpect trail=173.20508075688772 mm", "f.txt:9: a failure beside another expect"},
		"does not fail":             {"tolerance 1e-9 mm\ndirection both\ninput head_angle=60 degrees fork_offset=0 mm radius=300 mm\nexpect trail=173.20508075688772 mm", "direction forward\ninput head_angle=60 degrees fork_offset=0 mm radius=300 mm\nexpect failure range", `f.txt:7: trail: failed with <nil>, not with "out of range"`},
		"fails":                     {"60 degrees", "6 degrees", "f.txt:8: trail: head_angle_deg 6 degrees: want 50 to 90 degrees"},
		"wrong value":               {"trail=173.20508075688772", "trail=173.20508077688772", "f.txt:8: trail: trail is off by"},
		"wrong way back":            {"trail=173.20508075688772", "trail=173.20508077688772", "f.txt:7: trail: fork_offset is off by"},
		"must differ":               {"expect trail", "expect differs trail", "f.txt:8: trail: trail is what it must not be, to 1e-09 mm"},
		"does not give":             {"expect trail=", "expect tail=", "f.txt:8: trail: it does not give tail"},
		"gives in another unit":     {"trail=173.20508075688772 mm", "trail=173 mm2\nexpect trail=173 mm", "f.txt:8: missing tolerance in mm2"},
		"gives one and not two":     {"trail=173.20508075688772 mm", "trail=173,174 mm", "f.txt:8: trail: trail has rows of 1, not of 2"},
		"gives one row and not two": {"trail=173.20508075688772 mm", "trail=173;174 mm", "f.txt:8: trail: trail has 1 rows, not 2"},
		"no inverse":                {"operation trail", "operation rollout_radius", "f.txt:2: operation rollout_radius has no inverse"},
		"fails the way back":        {"direction both\ninput head_angle=60 degrees fork_offset=0 mm radius=300 mm\nexpect trail", "direction inverse\ninput head_angle=60 degrees fork_offset=0 mm radius=300 mm\nexpect differs trail", "f.txt:8: a failure or a difference that the way back does not try"},
		"text for a number":         {"trail=173.20508075688772 mm", "trail=173 text", "f.txt:8: trail: trail is in mm, not in text"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, sound, c.old)
			_, faults := check(strings.Replace(sound, c.old, c.with, 1))
			assert.True(t, slices.ContainsFunc(faults, func(f string) bool { return strings.HasPrefix(f, c.want) }), "want %s\ngot %q", c.want, faults)
		})
	}
}

// A number that is not finite is never within a tolerance.
func TestNotFinite(t *testing.T) {
	want := quantity{rows: [][]float64{{1}}, unit: "mm"}
	off, why := apart(want, results{}.number("x", "mm", math.NaN()), "x")
	assert.Empty(t, why)
	assert.True(t, math.IsInf(off, 1))
}
