package rides

import (
	"fmt"
	"strings"
)

// Table is the ride as CSV: seconds, and millimetres to one decimal, empty where a marker was not
// seen.
func (r *Ride) Table() string {
	var b strings.Builder
	b.WriteString("time_s")
	for _, name := range r.Names {
		fmt.Fprintf(&b, ",%s_x_mm,%s_y_mm,%s_z_mm", name, name, name)
	}
	for i, at := range r.Times {
		fmt.Fprintf(&b, "\n%.4f", at)
		for k := range r.Names {
			if v := r.At[k][i]; r.Seen[k][i] {
				fmt.Fprintf(&b, ",%.1f,%.1f,%.1f", v[0], v[1], v[2])
			} else {
				b.WriteString(",,,")
			}
		}
	}
	return b.String() + "\n"
}
