package fitgeom

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// saddles offers every post and saddle that suit, each with its best settings.
func (w *wish) saddles(r *ranking, frame *Frame, shelf *Shelf) {
	for pi := range shelf.Posts {
		post := &shelf.Posts[pi]
		if lo, hi := extension(frame, post); !fits(post.Diameter, frame.PostDiameter) || hi < lo {
			continue
		}
		for si := range shelf.Saddles {
			saddle := &shelf.Saddles[si]
			s := w.seat(frame, post, saddle)
			extend, rail := s.best()
			middle := math.Abs(rail - (saddle.RailsFrom+saddle.RailsTo)/2)
			o := option{
				order:    [8]int64{millionths(middle), int64(pi), int64(si)},
				settings: Settings{PostExtension: extend, RailClamp: rail, SaddleTilt: w.tilt},
				part:     [4]int{pi, si},
			}
			var out [3]placed
			for site, at := range s.sites {
				out[site] = placed{contact.Site(site), r3.Add(at, r3.Add(r3.Scale(extend, s.up), r3.Scale(rail, s.along)))}
			}
			r.add(w.judged(o, out[:]...))
		}
	}
}

// A seat is a saddle on a post, which two settings move: the post's extension
// along up, the rails' place in the clamp along the tilted saddle.
type seat struct {
	sites     [3]r3.Vec // with both settings at 0
	up, along r3.Vec
	lo, hi    [2]float64 // the settings' ranges

	// The cost is a form in the two settings that a virtual point gives: the
	// weights of all sites together, and how far off they are on average.
	weight, off r3.Vec
}

func (w *wish) seat(frame *Frame, post *Post, saddle *Saddle) seat {
	axis := postAxis(frame, post)
	sin, cos := num.Sincos(w.tilt)
	s := seat{up: axis.up, along: r3.Vec{X: cos, Z: sin}}
	s.lo[0], s.hi[0] = extension(frame, post)
	s.lo[1], s.hi[1] = saddle.RailsFrom, saddle.RailsTo
	for site, at := range saddleSites(saddle) {
		s.sites[site] = r3.Add(axis.foot, turned(at, sin, cos))
		want := &w.want[site]
		off := r3.Sub(s.sites[site], want.at)
		s.weight.X += want.weight.X
		s.weight.Z += want.weight.Z
		s.off.X += want.weight.X * off.X
		s.off.Z += want.weight.Z * off.Z
	}
	s.off.X /= s.weight.X
	s.off.Z /= s.weight.Z
	return s
}

// free returns the settings that would put the saddle where it is wanted if
// nothing limited them: two equations for two unknowns.
func (s *seat) free() (extend, rail float64) {
	det := s.up.X*s.along.Z - s.up.Z*s.along.X
	return (s.along.X*s.off.Z - s.along.Z*s.off.X) / det, (s.up.Z*s.off.X - s.up.X*s.off.Z) / det
}

// best returns the settings within their ranges with the least cost. The cost
// is convex, so that it is least at the free optimum or else on an edge.
func (s *seat) best() (extend, rail float64) {
	at := [2]float64{}
	at[0], at[1] = s.free()
	if at[0] >= s.lo[0] && at[0] <= s.hi[0] && at[1] >= s.lo[1] && at[1] <= s.hi[1] {
		return at[0], at[1]
	}
	way := [2]r3.Vec{s.up, s.along}
	least := math.Inf(1)
	for fixed := range 2 {
		free := 1 - fixed
		for _, v := range [2]float64{s.lo[fixed], s.hi[fixed]} {
			from := r3.Add(s.off, r3.Scale(v, way[fixed]))
			u := way[free]
			t := -(s.weight.X*from.X*u.X + s.weight.Z*from.Z*u.Z) / (s.weight.X*u.X*u.X + s.weight.Z*u.Z*u.Z)
			t = max(s.lo[free], min(s.hi[free], t))
			off := r3.Add(from, r3.Scale(t, u))
			if c := s.weight.X*off.X*off.X + s.weight.Z*off.Z*off.Z; c < least {
				least = c
				at[fixed], at[free] = v, t
			}
		}
	}
	return at[0], at[1]
}
