package fault_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A list ends after so many faults, or so much text, with one fault that says where.
func TestListEnds(t *testing.T) {
	for name, c := range map[string]struct{ value, want, listed int }{
		"many":     {1, 1, fault.MaxFaults},
		"long":     {1900, 0, fault.MaxText / (1900 + 64)},
		"too long": {1 << 20, 1 << 20, fault.MaxText / (4000 + 64)},
	} {
		var l, whole fault.List
		value, want := strings.Repeat("v", c.value), strings.Repeat("w", c.want)
		for i := range 3000 {
			assert.Equal(t, i, l.Len(), name)
			l.Add(fmt.Sprint("v", i), value, want, fault.ErrMissing)
		}
		assert.True(t, l.Full(), name)
		all := contact.Faults(l.Err())
		assert.InDelta(t, c.listed, len(all)-1, 5, name)
		last := all[len(all)-1]
		assert.Equal(t, &contact.Error{Path: fmt.Sprint("v", len(all)-1), Value: "more faults", Want: "at most 1000 with 256 KiB of text; no more are listed", Class: contact.ErrRange}, last, name)
		assert.LessOrEqual(t, len(l.Err().Error()), fault.MaxText+4096, name)

		// Under another name it ends with the same words, and only once.
		whole.Add("first", "", "a name", fault.ErrMissing)
		whole.In("part", l.Err())
		whole.In("other", l.Err())
		whole.Add("last", "", "a name", fault.ErrMissing)
		all = contact.Faults(whole.Err())
		ends := 0
		for _, f := range all {
			if strings.Contains(f.Want, "no more") {
				ends++
			}
		}
		assert.Equal(t, 1, ends, name)
		assert.True(t, strings.HasPrefix(all[len(all)-1].Path, "part.v"), name)
		assert.LessOrEqual(t, len(all), fault.MaxFaults+1)
		assert.LessOrEqual(t, len(whole.Err().Error()), fault.MaxText+4096, name)
	}
	var l fault.List
	for range fault.MaxFaults {
		l.Add("v", "", "", fault.ErrMissing)
	}
	assert.False(t, l.Full())
	assert.Len(t, contact.Faults(l.Err()), fault.MaxFaults)
}

// Names and texts are cut where they are long, between two characters.
func TestShort(t *testing.T) {
	a, u := strings.Repeat("a", 70), strings.Repeat("ü", 70)
	for path, want := range map[string]string{
		"frame.geometry.head_angle_deg":                         "frame.geometry.head_angle_deg",
		"readings[12345].landmark.and.many.more.names.in.a.row": "readings[12345].landmark.and.many.more.names.in.a.row",
		"/" + a + "/b":                  "/" + a[:60] + "…/b",
		"sites." + u + "[0]":            "sites." + u[:120] + "…[0]",
		"/" + a[:59] + "~0" + a + "/b":  "/" + a[:59] + "…/b",
		"/" + a[:58] + "~0" + a + "/~1": "/" + a[:58] + "~0…/~1",
		"row 1." + a:                    "row 1." + a[:60] + "…",
		a:                               a[:60] + "…",
	} {
		f := contact.Faults(fault.New(path, "", "", fault.ErrUnknown))[0]
		assert.Equal(t, want, f.Path)
		again := contact.Faults(fault.New(f.Path, "", "", fault.ErrUnknown))[0]
		assert.Equal(t, want, again.Path, "cut again")
	}
	long := strings.Repeat("€", 10_000)
	f := contact.Faults(fault.New(strings.Repeat("/a", 10_000), long, "b"+long, fault.ErrUnknown))[0]
	for _, s := range []string{f.Path, f.Value, f.Want} {
		assert.True(t, utf8.ValidString(s))
		assert.LessOrEqual(t, len(s), 2003)
		assert.Greater(t, len(s), 1990)
		assert.True(t, strings.HasSuffix(s, "…"))
	}
	assert.Equal(t, u[:120]+"…", fault.Name(u))
	assert.Equal(t, []byte(u[:120]+"…"), fault.Name([]byte(u)))
	assert.Equal(t, u[:120], fault.Name(u[:120]))
}

// A list costs nothing while there are no faults.
func TestSoundCostsNothing(t *testing.T) {
	require.Zero(t, testing.AllocsPerRun(100, func() {
		var l fault.List
		l.Range("v", 1, 0, 2, "mm")
		l.In("part", nil)
		if l.Err() != nil || l.Full() {
			t.Error("a fault")
		}
	}))
}
