package read_test

import (
	"context"
	"strings"
	"testing"

	"example.com/fitgeom/contact/motion/read"
	"example.com/fitgeom/internal/trial"
	"example.com/fitgeom/testdata/oracle/rides"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Files that say more than they have, and that are nothing but faults, take no more memory
// than the package states.
func TestHostile(t *testing.T) {
	size := 4 << 20
	if trial.Long() {
		size = 40 << 20
	}
	w := rides.Writer{Kind: rides.MIPS, Scale: 0.1, Rate: 50, Unit: "mm", Stated: 65_000}
	small := w.Write([]string{"a"}, [][]rides.V{{{}}}, [][]bool{{true}})
	whole := append(small, make([]byte, size)...)
	infinite := rides.Writer{Kind: rides.Intel, Real: true, Scale: 1, Rate: 50, Unit: "mm", Stated: 65_000}
	bad := append(infinite.Write([]string{"a"}, [][]rides.V{{{}}}, [][]bool{{true}}), strings.Repeat("\x00\x00\x80\x7f", size/4)...)
	records := append([]byte(nil), small[:516]...)
	records = append(records, strings.Repeat("\x01\x01a\x05\x00\x02\x00\x00\x00", size/9)...)
	const mib = 1 << 20
	for name, data := range map[string][]byte{"a C3D file of one point": whole, "a C3D file of infinite points": bad, "a C3D file of parameters": records} {
		_ = trial.Hostile{Name: name, Input: len(data), Live: 8*len(data) + mib, Do: func(ctx context.Context) (any, error) {
			return read.C3D(ctx, data)
		}}.Run(t)
	}
	head := "time_s,knee_left_x_mm,knee_left_z_mm"
	for name, text := range map[string]string{
		"a table of empty cells":      head + strings.Repeat(",a", 900) + "\n" + strings.Repeat(strings.Repeat(",", 902)+"\n", size/903),
		"a table of empty lines":      head + "\n" + strings.Repeat("\n", size),
		"a table of bad numbers":      head + "\n" + strings.Repeat("a,b,c\n", size/6),
		"a table of one line":         head + "\n" + strings.Repeat("1", size),
		"a table whose head is a lot": strings.Repeat("a,", size/2) + "\n",
	} {
		err := trial.Hostile{Name: name, Input: len(text), Live: 20*len(text) + mib, Do: func(ctx context.Context) (any, error) {
			return read.Table(ctx, []byte(text), read.Format{})
		}}.Run(t)
		require.Error(t, err, name)
	}
	var rows strings.Builder
	rows.WriteString(head + "\n")
	for i := 0; rows.Len() < size; i++ {
		rows.WriteString(strings.Repeat("1", 1+i/100_000%2) + "e" + strings.Repeat("0", 1) + ",,\n")
	}
	_, err := read.Table(t.Context(), []byte(rows.String()), read.Format{})
	assert.Error(t, err, "times that stand still")
}
