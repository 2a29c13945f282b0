package trial

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A Misreading is an input in which one reading has a slip, as testdata/oracle/misread.py
// draws them.
type Misreading struct {
	Input, Slip, Design string
	Clean, Slipped      json.RawMessage
	Reading             int
	Before              float64
	// Oracle is what another program says of it, by enumeration.
	Oracle *[]struct {
		Reading int
		Slips   [][2]any
	}
}

// Misread is what a solver says of an input.
type Misread struct {
	Suspects []contact.Suspect
	Chi2     float64
	Err      error
}

// what a slip of one kind in one input came to.
type misreadTally struct {
	cases, refused, moved, named, alone, only, oracle, tied int
}

// Misreadings checks what is said of the inputs of a file. Of those whose slip moves the sum
// of squares by more than 30 it is named in 99.5 % at least; where two loops check each
// reading, the reading is the only one in 90 %; what an oracle has is said exactly; and of
// inputs without a slip 99.9 % have no suspects. It prints a line of a table for each kind.
func Misreadings(t *testing.T, name string, solve func(json.RawMessage) Misread) {
	file, err := os.Open(name)
	require.NoError(t, err)
	defer func() { assert.NoError(t, file.Close()) }()
	counts := map[string]*misreadTally{}
	var order []string
	for in := bufio.NewReaderSize(file, 1<<20); ; {
		line, err := in.ReadBytes('\n')
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		var d Misreading
		require.NoError(t, json.Unmarshal(line, &d))
		key := d.Input + " | " + d.Slip + " | " + d.Design
		c := counts[key]
		if c == nil {
			c = new(misreadTally)
			counts[key] = c
			order = append(order, key)
		}
		c.see(t, &d, solve)
	}
	for _, key := range order {
		c := counts[key]
		share := func(n int) string {
			if c.moved == 0 {
				return "-"
			}
			return fmt.Sprintf("%.2f", 100*float64(n)/float64(c.moved))
		}
		if strings.Contains(key, " none ") {
			t.Logf("misread: | %s | %d | | | %.2f not accused | | | |", key, c.cases, 100*float64(c.named)/float64(c.cases))
			assert.GreaterOrEqual(t, float64(c.named), 0.999*float64(c.cases), key)
			continue
		}
		t.Logf("misread: | %s | %d | %d | %d | %s | %s | %s | %d of %d |", key, c.cases, c.refused, c.moved, share(c.named), share(c.alone), share(c.only), c.tied, c.oracle)
		assert.GreaterOrEqual(t, float64(c.named), 0.995*float64(c.moved), key)
		assert.Equal(t, c.oracle, c.tied, "as the oracle: %s", key)
		if strings.HasSuffix(key, "twice") {
			assert.GreaterOrEqual(t, float64(c.alone), 0.9*float64(c.moved), key)
		}
	}
}

func (c *misreadTally) see(t *testing.T, d *Misreading, solve func(json.RawMessage) Misread) {
	c.cases++
	clean := solve(d.Clean)
	if d.Slip == "none" {
		if len(clean.Suspects) == 0 && clean.Err == nil {
			c.named++
		}
		return
	}
	got := solve(d.Slipped)
	at := fmt.Sprintf("[%d]", d.Reading)
	if fs := contact.Faults(got.Err); len(fs) > 0 && len(got.Suspects) == 0 {
		if fs[0].Class != contact.ErrConflict && strings.Contains(fs[0].Path, at) {
			c.refused++ // no bicycle has this number, and that is what is said
			return
		}
		t.Logf("%s %s %s: %v", d.Input, d.Slip, d.Design, got.Err)
	}
	of := slices.IndexFunc(got.Suspects, func(s contact.Suspect) bool { return s.Reading == d.Reading })
	if got.Chi2-clean.Chi2 > 30 {
		c.moved++
		if of >= 0 && slices.ContainsFunc(got.Suspects[of].Slips, func(s contact.Slip) bool {
			return s.Kind.String() == d.Slip && (s.Measured != "" || math.Abs(s.Value-d.Before) < 0.6)
		}) {
			c.named++
			if len(got.Suspects) == 1 {
				c.alone++
				if len(got.Suspects[0].Slips) == 1 {
					c.only++
				}
			}
		} else {
			t.Logf("%s %s %s: reading %d was %v: %v %v %v", d.Input, d.Slip, d.Design, d.Reading, d.Before, got.Suspects, got.Chi2, clean.Chi2)
		}
	}
	if d.Oracle != nil {
		c.oracle++
		if d.agrees(got.Suspects) {
			c.tied++
		} else {
			t.Logf("%s %s %s: oracle %v, got %v", d.Input, d.Slip, d.Design, *d.Oracle, got.Suspects)
		}
	}
}

// agrees reports whether suspects and slips of numbers are those of the oracle.
func (d *Misreading) agrees(all []contact.Suspect) bool {
	if len(all) != len(*d.Oracle) {
		return false
	}
	for i, o := range *d.Oracle {
		var want, got []string
		for _, s := range o.Slips {
			want = append(want, fmt.Sprintf("%v %.4f", s[0], s[1]))
		}
		for _, s := range all[i].Slips {
			if s.Measured == "" {
				got = append(got, fmt.Sprintf("%v %.4f", s.Kind, s.Value))
			}
		}
		slices.Sort(want)
		slices.Sort(got)
		if all[i].Reading != o.Reading || !slices.Equal(want, got) {
			return false
		}
	}
	return true
}
