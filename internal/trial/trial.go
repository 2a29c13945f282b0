// Package trial is what the tests of several packages share: how much they draw, the
// cases of oracles, and how they look for a fault.
package trial

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"math"
	"os"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Long reports whether tests are to draw as much as they can: FITGEOM_LONG is set.
func Long() bool { return os.Getenv("FITGEOM_LONG") != "" }

// Huge reports whether hostile inputs are to be as large as they may be: FITGEOM_HOSTILE is set, as
// it is in the lane hostile.
func Huge() bool { return os.Getenv("FITGEOM_HOSTILE") != "" }

// Rapid says how many inputs each property of a package is asked of: few, always
// the same ones for a seed; and if Long many, and others each time.
func Rapid(few, many, seed int) {
	if Long() {
		few, seed = many, 0
	}
	_ = flag.Set("rapid.checks", strconv.Itoa(few))
	_ = flag.Set("rapid.seed", strconv.Itoa(seed))
}

// Cases reads a file of testdata/oracle. They are written by the programs beside
// them, with general tools that share no code with this module.
func Cases[T any](t *testing.T, path string) []T {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	var doc struct {
		MadeWith string `json:"made_with"`
		Command  string `json:"command"`
		Cases    []T    `json:"cases"`
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&doc))
	require.NotEmpty(t, doc.Cases)
	return doc.Cases
}

// Worst keeps the largest of deviations, a NaN above all.
type Worst float64

// See looks at one more deviation.
func (w *Worst) See(got, want float64) {
	if d := math.Abs(got - want); !(d <= float64(*w)) {
		*w = Worst(d)
	}
}

// Point looks at the three coordinates of a point.
func (w *Worst) Point(got r3.Vec, want [3]float64) {
	w.See(got.X, want[0])
	w.See(got.Y, want[1])
	w.See(got.Z, want[2])
}

// ASite is what a fault wants in place of an unknown site, as "a name such as …".
func ASite() string {
	_, err := contact.ParseSite("")
	return contact.Faults(err)[0].Want
}

// FaultAt reports whether an error holds a fault of a class at a path.
func FaultAt(err error, path string, class error) bool {
	for _, f := range contact.Faults(err) {
		if f.Path == path && errors.Is(f, class) {
			return true
		}
	}
	return false
}

// Independent is a covariance of the coordinates of sites, without correlations.
func Independent(t *testing.T, sigma float64, sites ...contact.Site) contact.Covariance {
	t.Helper()
	var coords []contact.Coordinate
	for _, s := range sites {
		coords = append(coords, contact.Coordinate{Site: s, Axis: contact.AxisX}, contact.Coordinate{Site: s, Axis: contact.AxisY}, contact.Coordinate{Site: s, Axis: contact.AxisZ})
	}
	c, err := contact.NewCovariance(coords, func(i, j int) float64 {
		if i == j {
			return sigma * sigma
		}
		return 0
	})
	require.NoError(t, err)
	return c
}
