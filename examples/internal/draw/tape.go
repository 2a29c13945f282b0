package draw

import (
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// PlaceOf returns where a fix has a place: a contact site, a landmark or the bottom bracket.
func PlaceOf(fix survey.Fix, l survey.Landmark) (r3.Vec, bool) {
	if l == survey.BottomBracket {
		return r3.Vec{}, true
	}
	if s, err := contact.ParseSite(string(l)); err == nil {
		return fix.Position.At(s)
	}
	at, _, ok := fix.Mark(l)
	return at, ok
}

// Reads returns what a tape, plumb line or rule reads between two places of a fix, of a bike
// that stands nose-up by so many degrees.
func Reads(r survey.TapeReading, fix survey.Fix, noseUp float64) float64 {
	from, _ := PlaceOf(fix, r.From)
	to, _ := PlaceOf(fix, r.To)
	d := pitched(r3.Sub(to, from), noseUp)
	switch r.Kind {
	case survey.Horizontal:
		return d.X
	case survey.Vertical:
		return d.Z
	case survey.Lateral:
		return to.Y - from.Y
	default:
		return r3.Norm(r3.Sub(to, from))
	}
}

// Taped draws the bike that a tape survey tells, and where tape and rule lay.
func Taped(name, title string, t survey.TapeSurvey, fix survey.Fix) *Figure {
	v := Side(name, title, Window{X0: -790, X1: 1010, Z0: -340, Z1: 900, Head: 64})
	rear, front, ground := 0., 0., 0.
	if side, ok := fix.SideView(); ok {
		front, rear = side.Numbers[8], side.Numbers[9]
	}
	v.Bike(fix, front, rear)
	v.Contacts("ghost", fix.Position)
	for _, r := range t.Readings {
		if r.From == survey.Ground && r.To == survey.BottomBracket {
			ground = r.Value
		}
	}
	if ground != 0 {
		v.Ground(ground)
	}
	told := map[survey.Landmark]bool{}
	for _, r := range t.Readings {
		to, ok := PlaceOf(fix, r.To)
		from, okFrom := PlaceOf(fix, r.From)
		if r.From == survey.Ground && ok {
			from, okFrom = r3.Sub(to, r3.Vec{Z: r.Value}), true
		}
		if !ok || !okFrom {
			continue
		}
		switch r.Kind {
		case survey.Direct:
			v.Line("move", from, to)
		case survey.Horizontal:
			v.Line("s2", r3.Vec{X: from.X, Z: to.Z}, to)
		case survey.Vertical:
			v.Line("s3", r3.Vec{X: to.X, Z: from.Z}, to)
		default:
			continue
		}
		for _, l := range [2]survey.Landmark{r.From, r.To} {
			told[l] = told[l] || l != survey.Ground && l != survey.BottomBracket
		}
	}
	done := map[Point]bool{}
	for _, l := range landmarks(t) {
		at, ok := PlaceOf(fix, l)
		p := v.At(at)
		near := Point{math.Round(p.X / 12), math.Round(p.Y / 12)}
		if !ok || !told[l] || done[near] {
			continue
		}
		done[near] = true
		v.Name("disc", at, sideless(l), "ne", "e", "n", "nw", "w")
	}
	v.Name("ring", r3.Vec{}, "bottom bracket", "s", "se", "sw", "n")
	v.Legend(44, [2]string{"move", "tape, straight"}, [2]string{"s2", "plumb lines: in front of"}, [2]string{"s3", "rule: above"}, [2]string{"faint", "the bike that they tell"})
	v.Desc = "Side view of the bike with a line for each reading: where the tape was held, and how far apart plumb lines or heights are."
	v.Caption = "From the right side, to scale, where the survey has each place. Readings across the bike are not seen from here. " +
		"Of tubes that were not read a dashed line says only about where they are."
	return v.Figure
}

// landmarks are the places that a survey reads, in their order.
func landmarks(t survey.TapeSurvey) []survey.Landmark {
	var all []survey.Landmark
	seen := map[survey.Landmark]bool{}
	for _, r := range t.Readings {
		for _, l := range [2]survey.Landmark{r.From, r.To} {
			if !seen[l] && l != "" {
				seen[l] = true
				all = append(all, l)
			}
		}
	}
	return all
}

// sideless is the name of a place in words, without its side, since the side view shows both
// in one place.
func sideless(l survey.Landmark) string {
	name := strings.ReplaceAll(string(l), "_", " ")
	return strings.TrimSuffix(strings.TrimSuffix(name, " left"), " right")
}
