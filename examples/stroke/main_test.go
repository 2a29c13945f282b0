package main

import (
	"bytes"
	"strings"
	"testing"

	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/testdata/oracle/rides"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ride is a simulated rider with the saddle so much higher, whose recording has a fault.
func ride(again uint64, saddle float64, fault string) *rides.Ride {
	return rides.New(rides.Plan{Seed: 54, Again: again, Seconds: 14, Rate: 30, Cadence: 88, Noise: 1.5, Gaps: true, Fault: fault, Rock: 5, Saddle: saddle, Late: 160})
}

// The recordings are what a simulator makes, in two formats, by a writer that shares no code
// with what reads them.
func TestData(t *testing.T) {
	before, after := ride(1, 0, "exchange"), ride(2, 8, "spike")
	w := rides.Writer{Kind: rides.Intel, Scale: 0.1, Rate: 30, Unit: "mm", First: 1}
	golden.File(t, "before.c3d", string(w.Write(before.Names, before.At, before.Seen)))
	golden.File(t, "after.csv", after.Table())
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

// What was planted is named, and what the saddle did is real by as much as is true of the
// markers.
func TestSaysWhatIsTrue(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, example().Run(nil, &out))
	text := strings.Join(strings.Fields(out.String()), " ")
	before, after := ride(1, 0, "exchange"), ride(2, 8, "spike")
	for _, f := range []rides.Fault{before.Faults[0], after.Faults[0]} {
		for _, name := range f.Names {
			assert.Contains(t, text, strings.ReplaceAll(name, "_", " "), name)
		}
	}
	assert.Contains(t, text, "exchange of")
	assert.Contains(t, text, "spike of")
	truth := after.Least["knee_flexion_left"] - before.Least["knee_flexion_left"]
	assert.Less(t, truth, -2.)
	assert.Contains(t, text, "knee flexion, left; ")
	assert.NotContains(t, text[strings.Index(text, "Real changes are of"):], "pelvis obliquity")
}

func TestBadInput(t *testing.T) {
	cut := golden.Put(t, beforeC3D[:1000])
	_ = golden.Refused(t, example(), cut+": byte 1000", "-before", cut)
	word := golden.Edited(t, afterCSV, "\n0.0333,", "\nsoon,")
	_ = golden.Refused(t, example(), word+": line 3: time_s \"soon\"", "-after", word)
	lacks := golden.Edited(t, afterCSV, "bike_2_x_mm", "bike_2_u_mm")
	_ = golden.Refused(t, example(), lacks+": line 1: bike_2", "-after", lacks)
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
