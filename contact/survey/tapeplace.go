package survey

import (
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
	"gonum.org/v1/gonum/spatial/r3"
)

// A tapePlace is a place that a tape is held to.
type tapePlace struct {
	landmark Landmark
	site     contact.Site // 0 for what is none
	at       [3]int       // indexes of its coordinates in x; -1: it is 0
	usual    r3.Vec       // where it is looked for first
	across   float64      // how near to that it lies across the bike, for what is no site
}

// usualPlaces are where landmarks of frame and wheels are, by the beginnings of their
// names, on the left, and how near to that they lie across the bike as standard
// uncertainties. Common practice, no source; along and up good to a hand's breadth.
var usualPlaces = []struct {
	name   string
	at     r3.Vec
	across float64
}{
	{"bottom_bracket", r3.Vec{Y: 50}, 15},
	{"rear_axle", r3.Vec{X: -410, Y: 70, Z: 65}, 8},
	{"rear_dropout", r3.Vec{X: -410, Y: 66, Z: 65}, 8},
	{"rear_rim", r3.Vec{X: -410, Y: 13, Z: 360}, 5},
	{"front_axle", r3.Vec{X: 600, Y: 55, Z: 65}, 6},
	{"front_dropout", r3.Vec{X: 600, Y: 50, Z: 65}, 6},
	{"front_rim", r3.Vec{X: 600, Y: 13, Z: 360}, 5},
	{"head_tube_top", r3.Vec{X: 385, Y: 20, Z: 570}, 5},
	{"head_tube_bottom", r3.Vec{X: 430, Y: 22, Z: 430}, 5},
	{markPrefix, r3.Vec{X: 100, Y: 20, Z: 300}, 15},
}

// gather lists the places and what readings share, and reports whether a tilt was read.
func (p *tapeProblem) gather() (slope bool) {
	var all []Landmark
	for _, r := range p.t.Readings {
		slope = slope || r.Kind == Tilt
		for _, l := range [2]Landmark{r.From, r.To} {
			if l.taped() {
				all = append(all, l)
			}
			if l == Ground && p.ground < 0 {
				p.ground = p.unknown(-270)
			}
		}
	}
	slices.SortFunc(all, func(a, b Landmark) int {
		if x, y := order(a), order(b); x != y {
			return x - y
		}
		return strings.Compare(string(a), string(b))
	})
	all = slices.Compact(all)
	index := make(map[Landmark]int, len(all))
	for i, l := range all {
		index[l] = i
		p.places = append(p.places, p.newPlace(l))
	}
	for _, r := range p.t.Readings {
		ends := [2]int{-1, -1}
		for k, l := range [2]Landmark{r.From, r.To} {
			if i, ok := index[l]; ok {
				ends[k] = i
			}
		}
		p.ends = append(p.ends, ends)
	}
	p.common, p.errors = lsq.Shared(&p.start, len(p.t.Readings), func(i int) string { return p.t.Readings[i].Together })
	return slope
}

// order puts sites first, in their own order.
func order(l Landmark) int {
	if s, err := contact.ParseSite(string(l)); err == nil {
		return int(s)
	}
	return contact.SiteCount
}

// newPlace adds the unknown coordinates of a place.
func (p *tapeProblem) newPlace(l Landmark) tapePlace {
	k := tapePlace{landmark: l}
	if s, err := contact.ParseSite(string(l)); err == nil {
		k.site, k.usual = s, s.Usual()
	} else {
		for _, u := range usualPlaces {
			if strings.HasPrefix(string(l), u.name) {
				k.usual, k.across = u.at, u.across
				break
			}
		}
		switch {
		case strings.HasSuffix(string(l), "_right"):
			k.usual.Y *= -1
		case !strings.HasSuffix(string(l), "_left"): // a mark somewhere
			k.usual.Y, k.across = 0, 30
		}
	}
	k.at = [3]int{-1, -1, -1}
	axle := strings.HasPrefix(string(l), "bottom_bracket") // X and Z are 0: it is the origin's axis
	if !axle {
		k.at[0] = p.unknown(k.usual.X)
	}
	k.at[1] = p.unknown(k.usual.Y)
	if !axle && !(k.site != 0 && k.site.Group().Crank()) { // a pedal's Z is 0 by definition
		k.at[2] = p.unknown(k.usual.Z)
	}
	return k
}
