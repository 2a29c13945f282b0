package kit

import (
	"context"
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/fitgeom/words"
)

// PositionRows returns a position with its uncertainty, for a table.
func PositionRows(p contact.Position, c contact.Covariance) [][]string {
	rows := [][]string{{"site, mm from the bottom bracket", "forward", "±", "left", "±", "up", "±"}}
	for s, at := range p.All() {
		row := []string{draw.Words(s)}
		for axis, v := range [...]float64{at.X, at.Y, at.Z} {
			k := contact.Coordinate{Site: s, Axis: contact.Axis(axis)}
			sigma := "?" // it stands on a contradiction
			if square, ok := c.At(k, k); ok {
				sigma = Fixed(2*math.Sqrt(max(0, square)), 1)
			}
			row = append(row, Fixed(v, 1), sigma)
		}
		rows = append(rows, row)
	}
	return rows
}

// Tilt says how the saddle is tilted, if that is known.
func Tilt(p *page.Page, at contact.Position, c contact.Covariance) {
	a, ok := at.Attitude(contact.SaddleReference)
	if !ok {
		return
	}
	if u, known := c.AttitudeSigma(contact.SaddleReference); known {
		p.P("Saddle tilt: %s, positive nose-up.", Degrees(a.Tilt, u.Tilt))
		return
	}
	p.P("Saddle tilt: %s°, positive nose-up.", Signed(a.Tilt, 1))
}

// Stood says in words how a bike stood: the side to which it leaned, whether its nose
// was up or down, and the wheel to raise.
func Stood(s survey.Standing) (lean, nose, wheel string) {
	lean, nose, wheel = "right", "down", "front"
	if s.Lean < 0 {
		lean = "left"
	}
	if s.NoseUp > 0 {
		nose, wheel = "up", "rear"
	}
	return lean, nose, wheel
}

// DeviationRows returns how far off a build is and how far it may be, for a table.
func DeviationRows(all []fitgeom.Deviation) [][]string {
	rows := [][]string{{"site", "off by", "asked for, mm: forward", "left", "up", ""}}
	asked := func(tolerance float64) string {
		if tolerance == 0 {
			return "–"
		}
		return "± " + Fixed(tolerance, 1)
	}
	for _, d := range all {
		off := Off(d.Describe())
		if off == "" {
			off = "nothing"
		}
		note := ""
		if !d.Within() {
			note = "beyond tolerance"
		}
		t := d.Tolerance
		rows = append(rows, []string{draw.Words(d.Site), off, asked(t.X), asked(t.Y), asked(t.Z), note})
	}
	return rows
}

// Off says how far off a site is, beside its name.
func Off(said []words.Sentence) string {
	var off []string
	for _, s := range said {
		off = append(off, s.In(strings.TrimPrefix(s.Phrase.Template(), "{site} ")))
	}
	return strings.Join(off, ", ")
}

// parts returns what is said of a build, a list for each part.
func parts(b fitgeom.Build) (all [][]words.Sentence, err error) {
	said, err := b.Describe()
	for _, s := range said {
		if s.Phrase == words.Have || s.Phrase == words.HaveFlipped || len(all) == 0 {
			all = append(all, nil)
		}
		all[len(all)-1] = append(all[len(all)-1], s)
	}
	return all, err
}

// Describe adds a build in words, part by part, and how far off it is.
func Describe(p *page.Page, n int, c fitgeom.Candidate) error {
	all, err := parts(c.Build)
	if err != nil {
		return err
	}
	var items []string
	for _, said := range all {
		var texts []string
		for _, s := range said {
			texts = append(texts, s.String())
		}
		items = append(items, strings.Join(texts, "; "))
	}
	p.P("Build %d %s (score %s):", n, Holds(c), Fixed(c.Score(), 2))
	p.List(items...)
	for _, r := range c.Rules {
		if r.Broken {
			p.P("%s", r.Sentence())
		}
	}
	p.Table(DeviationRows(c.Deviations)...)
	return nil
}

// Holds says whether a build holds the position.
func Holds(c fitgeom.Candidate) string {
	if c.Holds() {
		return "holds the position"
	}
	return "does not hold the position"
}

// Yes says yes or no.
func Yes(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// Stem says which stem a build has and how it is mounted, for a column of stems.
func Stem(b fitgeom.Build) (string, error) {
	all, err := parts(b)
	for _, said := range all {
		one, _ := said[0].Argument("part")
		if one.Word != "stem" && one.Word != "one-piece_bar_and_stem" {
			continue
		}
		texts := []string{strings.ReplaceAll(said[0].Phrase.Template(), "{part}", one.Text)}
		for _, s := range said[1:] {
			texts = append(texts, s.String())
		}
		return strings.Join(texts, "; "), nil
	}
	return "", err
}

// Cautions adds the cautions of a candidate under their heading.
func Cautions(p *page.Page, heading string, c fitgeom.Candidate) error {
	all, err := c.Cautions()
	if err != nil {
		return err
	}
	var items []string
	for _, one := range all {
		words := one.Words()
		if one == fitgeom.CautionSaddleMoved {
			words += " Here: " + c.SaddleMoved.String() + "."
		}
		items = append(items, words)
	}
	at, err := c.Build.Position()
	if err != nil {
		return err
	}
	for _, f := range append(at.Findings(), c.Build.Frame.Geometry.Findings()...) {
		items = append(items, "Look again at "+f.String()+".")
	}
	p.H("%s", heading)
	p.List(items...)
	return nil
}

// Changes returns what would make a build hold, for a list.
func Changes(all []solve.Change) []string {
	var items []string
	for _, c := range all {
		items = append(items, c.String())
	}
	return items
}

// Nearest solves a problem and, if no build holds the position, shows the one that
// comes nearest and what is in its way.
func Nearest(p *page.Page, q solve.Problem, figure, title string) ([]solve.Obstacle, error) {
	r, err := q.Solve(context.Background())
	if err != nil {
		return nil, err
	}
	if r.Holds() {
		p.P("A build holds the position.")
		return nil, nil
	}
	nearest := r.Candidates[0]
	p.P("No build holds the position. This one comes nearest:")
	if err := Describe(p, 1, nearest); err != nil {
		return nil, err
	}
	if err := p.Draw(draw.Off(figure, title, q.Target, nearest)); err != nil {
		return nil, err
	}
	obstacles, err := q.Explain(context.Background(), nearest)
	for _, o := range obstacles {
		if len(o.Rules) > 0 {
			p.P("In the way of others: rules. %s", words.Text(o.Sentences()))
			continue
		}
		p.P("In the way: %s. Each of these changes would do by itself, with everything else set to suit it. Each goes beyond what these parts allow:", draw.Words(o.Parts))
		p.List(Changes(o.Alone)...)
	}
	return obstacles, err
}

// StepRows returns a set-up sheet, for a table.
func StepRows(steps []solve.Step) [][]string {
	rows := [][]string{{"do", "what", "value", "unit", "from", "to", "how"}}
	for _, s := range steps {
		name := strings.ReplaceAll(s.Name, "_", " ")
		if s.Side != contact.Centre {
			name += ", " + s.Side.String()
		}
		row := []string{"set", name, "", "", "", "", s.Text()}
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

// SetUp adds the steps that set up a build, and those that verify it.
func SetUp(p *page.Page, c fitgeom.Candidate) error {
	steps, err := solve.SetUp(c, convert.Basis{SeatAngle: c.Build.Frame.Geometry.SeatAngle})
	if err != nil {
		return err
	}
	p.Sheet(StepRows(steps)...)
	return nil
}

// MoveRows returns what moved between two sessions, for a table.
func MoveRows(moves []contact.Move) [][]string {
	rows := [][]string{{"site", "forward", "±", "left", "±", "up", "±", "distance", "by chance", "verdict"}}
	for _, m := range moves {
		distance := "–"
		if d, u, ok := m.Distance(); ok {
			distance = Fixed(d, 1) + " ± " + Fixed(2*u, 1)
		} else if low, high, err := m.DistanceInterval(0.95); err == nil { // first order is wrong so near to zero
			distance = Fixed(low, 1) + " to " + Fixed(high, 1)
		}
		rows = append(rows, []string{
			draw.Words(m.Site), Signed(m.By.X, 1), Fixed(2*m.Sigma.X, 1), Signed(m.By.Y, 1), Fixed(2*m.Sigma.Y, 1),
			Signed(m.By.Z, 1), Fixed(2*m.Sigma.Z, 1), distance, chance(m.Chance), Verdict(m.Real),
		})
	}
	return rows
}

// Turns says how far the saddle turned between two sessions.
func Turns(p *page.Page, turns []contact.Turn) {
	for _, t := range turns {
		p.P("Tilt of the saddle: %s, by chance %s: %s.", Degrees(t.By, t.Sigma), chance(t.Chance), Verdict(t.Real))
	}
}

// Verdict says whether a difference is real.
func Verdict(moved bool) string {
	if moved {
		return "moved"
	}
	return "within measuring error"
}

// chance prints how likely errors alone make a difference.
func chance(p float64) string {
	if p < 0.001 {
		return "< 0.1 %"
	}
	return Fixed(100*p, 1) + " %"
}
