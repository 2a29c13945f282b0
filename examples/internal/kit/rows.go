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

// Changes is what would free a build, for a list.
func Changes(all []fitgeom.Change) []string {
	var items []string
	for _, c := range all {
		items = append(items, c.String())
	}
	return items
}

// StepRows is a set-up sheet, for a table.
func StepRows(steps []fitgeom.Step) [][]string {
	rows := [][]string{{"do", "what", "value", "unit", "from", "to", "how"}}
	for _, s := range steps {
		row := []string{"set", s.Name, "", "", "", "", s.Text}
		if s.Verify {
			row[0] = "verify"
		}
		if s.Unit != "" {
			row[2], row[3] = Fixed(s.Value, 1), s.Unit
		}
		if s.Limited {
			row[4], row[5] = Fixed(s.Low, 1), Fixed(s.High, 1)
		}
		rows = append(rows, row)
	}
	return rows
}
