package draw

import (
	"fmt"
	"math"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// Moves draws where each site went between two sessions, and how sure that is, over
// the bike of the first.
func Moves(name, title string, s survey.Survey, before, after survey.Fix, moves []contact.Move, coverage float64) *Figure {
	v := Side(name, title, 0.5, -790, 980, -330, 900, 84)
	v.Bike(before, s)
	v.Contacts("ghost", before.Position)
	longest := 0.
	for _, m := range moves {
		longest = max(longest, InSide(m.By))
	}
	magnified := v.Magnification(longest, 100)
	both := before.Covariance.Add(after.Covariance)
	// The shadow of the ellipsoid in which the true move lies with the coverage.
	k := math.Sqrt(distuv.ChiSquared{K: 3}.Quantile(coverage))
	type tip struct {
		move contact.Move
		at   Point
	}
	var tips []tip
	for _, m := range moves {
		at, _ := before.Position.At(m.Site)
		x, z := contact.Coordinate{Site: m.Site, Axis: contact.AxisX}, contact.Coordinate{Site: m.Site, Axis: contact.AxisZ}
		xx, _ := both.At(x, x)
		xz, _ := both.At(x, z)
		zz, _ := both.At(z, z)
		if zz < 1e-9 { // a pedal's height, which is 0 by definition
			continue
		}
		c := v.At(r3.Add(at, r3.Scale(magnified, m.By)))
		v.Ellipse(c, xx, xz, zz, k, magnified)
		tips = append(tips, tip{m, c})
	}
	for _, t := range tips {
		at, _ := before.Position.At(t.move.Site)
		v.Dot("ring", v.At(at), 3.5)
		v.Arrow("move", v.At(at), t.at)
	}
	for _, t := range tips {
		s := Name(t.move.Site)
		if t.move.Real {
			s += ": moved"
		}
		class, ways := "", []string{"se", "s", "e"}
		if t.move.Real {
			class, ways = "bold", []string{"n", "ne", "nw"}
		}
		v.Label(t.at, s, class, ways...)
	}
	v.Legend(44, [2]string{"dot:ring", "where it was"}, [2]string{"arrow:move", "where it went, drawn " + strconv.FormatFloat(magnified, 'f', -1, 64) + " times as far"},
		[2]string{"area:cloud", fmt.Sprintf("where it may be, at %s %%, as much magnified", fixed(100*coverage))})
	v.Desc = "Side view of saddle and bar with an arrow from where each site was to where it went, and round its end the ellipse of its uncertainty."
	v.Caption = "An ellipse that leaves out the ring where the site was: that difference is real. One that holds it proves nothing by itself, since sites also move sideways; the table counts all three directions."
	return v.Figure
}
