package kit

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
)

// ResidualRows is how far off a build is, for a table.
func ResidualRows(all []fitgeom.Deviation) [][]string {
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

// MoveRows is what moved between two sessions, for a table.
func MoveRows(moves []contact.Move) [][]string {
	rows := [][]string{{"site", "forward", "±", "left", "±", "up", "±", "distance", "by chance", "verdict"}}
	for _, m := range moves {
		distance := "–" // first order does not tell it so near to zero
		if d, u, ok := m.Distance(); ok {
			distance = Fixed(d, 1) + " ± " + Fixed(2*u, 1)
		}
		rows = append(rows, []string{
			m.Site.String(), Signed(m.By.X, 1), Fixed(2*m.Sigma.X, 1), Signed(m.By.Y, 1), Fixed(2*m.Sigma.Y, 1),
			Signed(m.By.Z, 1), Fixed(2*m.Sigma.Z, 1), distance, Chance(m.Chance), Verdict(m.Real),
		})
	}
	return rows
}

// Verdict says whether a difference is real.
func Verdict(moved bool) string {
	if moved {
		return "moved"
	}
	return "within measuring error"
}

// Chance prints how likely errors alone make a difference.
func Chance(p float64) string {
	if p < 0.001 {
		return "< 0.1 %"
	}
	return Fixed(100*p, 1) + " %"
}
