package kit

import "example.com/fitgeom/fitgeom"

// ResidualRows is how far off a build is, for a table.
func ResidualRows(all []fitgeom.Residual) [][]string {
	rows := [][]string{{"off by, mm", "forward", "left", "up", ""}}
	for _, r := range all {
		note := ""
		if !r.Within {
			note = "beyond tolerance"
		}
		rows = append(rows, []string{r.Site.String(), Signed(r.Off.X, 1), Signed(r.Off.Y, 1), Signed(r.Off.Z, 1), note})
	}
	return rows
}

// Cautions is a candidate's cautions, for a list.
func Cautions(all []fitgeom.Caution) []string {
	var items []string
	for _, c := range all {
		items = append(items, c.String())
	}
	return items
}
