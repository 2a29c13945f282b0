package region

import (
	"iter"
	"math"

	"example.com/fitgeom/internal/num"
)

// A Setting is a stem on a head tube.
type Setting struct {
	// HeadAngle is that of the frame, degrees.
	HeadAngle float64 `json:"head_angle_deg"`
	// StemLength and StemAngle are the stem's, mm and degrees, and Flipped says that it is
	// mounted upside down.
	StemLength float64 `json:"stem_length_mm"`
	StemAngle  float64 `json:"stem_angle_deg"`
	Flipped    bool    `json:"flipped,omitzero"`
	// Up is the height of headset cap and spacers, mm.
	Up float64 `json:"up_mm"`
}

// A Stretch is the settings that make a straight part of an outline: nothing else within
// the bounds reaches beyond. From one end of it to the other they change evenly, if they do.
type Stretch struct {
	From Setting `json:"from"`
	To   Setting `json:"to"`
}

// on is the setting at a share of the way to another.
func (s Setting) on(t Setting, share float64) Setting {
	between := func(a, b float64) float64 { return a + float64((b-a)*share) }
	s.HeadAngle, s.Up = between(s.HeadAngle, t.HeadAngle), between(s.Up, t.Up)
	s.StemLength, s.StemAngle = between(s.StemLength, t.StemLength), between(s.StemAngle, t.StemAngle)
	return s
}

// A bracket is the short ranges of settings, or single ones, of a piece's offset.
type bracket struct {
	head, length, angle, up span
	flipped                 bool
}

// corner is one of the 16 settings at the ends of the ranges.
func (r *bracket) corner(i int) Setting {
	return Setting{HeadAngle: r.head[i&1], StemLength: r.length[i>>1&1], StemAngle: r.angle[i>>2&1], Flipped: r.flipped, Up: r.up[i>>3&1]}
}

// corners are the numbers of those that are not the same as one before: where both ends of a
// range are one, each has its like.
func (r *bracket) corners() iter.Seq[int] {
	twice := 0
	for k, s := range [...]span{r.head, r.length, r.angle, r.up} {
		if s[0] == s[1] {
			twice |= 1 << k
		}
	}
	return func(yield func(int) bool) {
		for i := range 16 {
			if i&twice == 0 && !yield(i) {
				return
			}
		}
	}
}

// place is where the head tube's top is from the bar clamp.
func (b *Bounds) place(s Setting) vec {
	if s.Flipped {
		s.StemAngle = 0 - s.StemAngle
	}
	d := b.offset(s.HeadAngle, s.StemLength, s.StemAngle, s.Up)
	return vec{0 - d.x, 0 - d.z}
}

// at is the setting that has a corner of an offset.
func (b *Bounds) at(r *bracket, v vec) Setting {
	best, least := Setting{}, math.Inf(1)
	for i := range r.corners() {
		s := r.corner(i)
		if d := v.to(b.place(s)); d < least {
			best, least = s, d
		}
	}
	return best
}

// stretch returns what makes a part of an edge of a piece, from a to b.
func (g *grower) stretch(bounds *Bounds, s *stretch, a, b vec) Stretch {
	p := &g.tree.pieces[s.piece]
	e, r, o := &p.planes[s.plane], &g.brackets[p.offset], g.offsets[p.offset]
	from := bounds.at(r, o[e.from])
	if e.from == e.to {
		return Stretch{from, from}
	}
	to := bounds.at(r, o[e.to])
	// The edge lies between its corners as those are that no other corner is beyond.
	along := vec{0 - e.n.z, e.n.x}
	lo, hi := p.span(g.pieces, e)
	share := func(v vec) float64 { return max(0, min(1, (along.dot(v)-lo)/(hi-lo))) }
	return Stretch{from.on(to, share(a)), from.on(to, share(b))}
}

// span is from where to where an edge of a piece goes along its line.
func (p *piece) span(of *pieces, e *plane) (lo, hi float64) {
	along := vec{0 - e.n.z, e.n.x}
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range appendSum(nil, of.clamps[p.clamp], of.offsets[p.offset]) {
		if num.Beyond(e.c-e.n.dot(v.vec), 1e-9) {
			continue
		}
		lo, hi = min(lo, along.dot(v.vec)), max(hi, along.dot(v.vec))
	}
	return lo, hi
}
