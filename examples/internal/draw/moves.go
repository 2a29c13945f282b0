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

// Sessions is what moved between two surveys.
type Sessions struct {
	Survey        survey.Survey // the first, for its bike
	Before, After survey.Fix
	Moves         []contact.Move
	Coverage      float64
}

// Moves draws where each site went between two sessions, and how sure that is, over
// the bike of the first.
func Moves(name, title string, s Sessions) *Figure {
	v := Side(name, title, Window{X0: -790, X1: 980, Z0: -330, Z1: 900, Head: 84})
	v.Bike(s.Before, s.Survey.FrontRadius, s.Survey.RearRadius)
	v.Contacts("ghost", s.Before.Position)
	longest := 0.
	for _, m := range s.Moves {
		longest = max(longest, InSide(m.By))
	}
	magnified := v.Magnification(longest, 100)
	both := s.Before.Covariance.Add(s.After.Covariance)
	// The shadow of the ellipsoid in which the true move lies with the coverage.
	k := math.Sqrt(distuv.ChiSquared{K: 3}.Quantile(s.Coverage))
	type tip struct {
		move contact.Move
		at   Point
	}
	var tips []tip
	for _, m := range s.Moves {
		at, _ := s.Before.Position.At(m.Site)
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
		at, _ := s.Before.Position.At(t.move.Site)
		v.Dot("ring", v.At(at), 3.5)
		v.Arrow("move", v.At(at), t.at)
	}
	for _, t := range tips {
		name := Words(t.move.Site)
		if t.move.Real {
			name += ": moved"
		}
		class, ways := "", []string{"se", "s", "e"}
		if t.move.Real {
			class, ways = "bold", []string{"n", "ne", "nw"}
		}
		v.Label(t.at, name, class, ways...)
	}
	v.Legend(44, [2]string{"dot:ring", "where it was"}, [2]string{"arrow:move", "where it went, drawn " + strconv.FormatFloat(magnified, 'f', -1, 64) + " times as far"},
		[2]string{"area:cloud", fmt.Sprintf("where it may be, at %s %%, as much magnified", fixed(100*s.Coverage))})
	v.Desc = "Side view of saddle and bar with an arrow from where each site was to where it went, and round its end the ellipse of its uncertainty."
	v.Caption = "An ellipse that does not contain the ring where the site was shows a real difference. One that contains it proves nothing by itself: sites also move sideways, and the table counts all three directions."
	return v.Figure
}

// Ellipse draws where an uncertain point of the side view is, k standard
// deviations wide and magnified, round a place in px. The covariances are those
// of X, of Z and between them, mm².
func (v *View) Ellipse(c Point, xx, xz, zz, k, magnified float64) {
	// Axes of the ellipse: of two alike it does not matter which.
	mean, half := (xx+zz)/2, math.Hypot((xx-zz)/2, xz)
	turn := math.Atan2(2*xz, xx-zz) / 2
	a, b := math.Sqrt(max(mean+half, 0)), math.Sqrt(max(mean-half, 0))
	sinT, cosT := math.Sincos(turn)
	const n = 48
	points := make([]Point, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		x, z := a*cos*cosT-b*sin*sinT, a*cos*sinT+b*sin*cosT
		points[i] = Point{tenth(c.X + v.Scale*magnified*k*x), tenth(c.Y - v.Scale*magnified*k*z)}
	}
	v.Area("cloud", points)
	for i := range points {
		v.avoid("cloud", points[i], points[(i+1)%n])
	}
}
