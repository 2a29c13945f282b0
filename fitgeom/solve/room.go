package solve

import (
	"context"
	"fmt"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/search"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Movement is what may have to move after the bike is built, and how far.
type Movement struct {
	// Group is what moves: the saddle ([contact.OnSaddle]), the hands with all that is on the
	// bar ([contact.OnHandlebar], or zero), or pads and extensions alone
	// ([contact.OnAeroBar]).
	Group contact.Group
	// Most is how far it is followed, 1 to 100 mm. Zero: 30.
	Most int
	// Gap is how far beyond its tolerance a coordinate may be on the way, 0 to 10 mm, where
	// spacers or other steps leave some. Zero: not at all.
	Gap float64
}

// A Room is how far something can move, each way by itself, and still be held.
type Room struct {
	Up, Down, Forward, Back Extent
}

// An Extent is how far something can move one way.
type Extent struct {
	// MM is how far: every whole mm up to that is held.
	MM int
	// Open says that it was followed no further, and not that it ends.
	Open bool
	// Gap is the widest gap on the way, in mm: by how much more than its tolerance a
	// coordinate of the closest build is off there.
	Gap float64
	// Purchases is the most parts that have to be bought on the way. It is 0 for the room of
	// a build, which has its own.
	Purchases int
	// Ends says what prevents one mm more. It is empty if Open.
	Ends []Obstacle
}

// String returns the extent in a few words, such as "12 mm".
func (e Extent) String() string {
	if e.Open {
		return fmt.Sprintf("at least %d mm", e.MM)
	}
	return fmt.Sprintf("%d mm", e.MM)
}

// String returns the room in words: "up 12 mm, down 3 mm, forward 8 mm, back at least 30 mm".
func (r Room) String() string {
	var all []string
	for _, w := range r.ways() {
		all = append(all, w.name+" "+w.extent.String())
	}
	return strings.Join(all, ", ")
}

// Least is the least of the four, in mm.
func (r Room) Least() int { return min(r.Up.MM, r.Down.MM, r.Forward.MM, r.Back.MM) }

// A way is a direction in which something moves.
type way struct {
	name   string
	by     r3.Vec
	extent *Extent
}

func (r *Room) ways() [4]way {
	return [...]way{
		{"up", r3.Vec{Z: 1}, &r.Up},
		{"down", r3.Vec{Z: -1}, &r.Down},
		{"forward", r3.Vec{X: 1}, &r.Forward},
		{"back", r3.Vec{X: -1}, &r.Back},
	}
}

// Room returns how far hands, saddle or pads of a candidate can move with its own parts: with
// other spacers of the shelf, bar and stem turned, rails and seatpost moved, pads and
// extensions set anew. The cranks stay. More parts or wider limits never make it less.
//
// A frame at its limit on the first day has no room for a rider who changes. Errors are those
// of [Problem.Solve], of the candidate's build, and of numbers of the movement that are out of
// range.
func (p Problem) Room(ctx context.Context, c fitgeom.Candidate, m Movement) (Room, error) {
	var f fault.List
	f.In("build", c.Build.Validate())
	if err := f.Err(); err != nil {
		return Room{}, err
	}
	p.Shelf = own(&c.Build, &p.Shelf)
	p.Bike = fitgeom.Build{}
	return p.Reach(ctx, m)
}

// Reach returns how far hands, saddle or pads can move on the problem's frame with any parts of
// its shelf. Errors are those of [Problem.Room].
func (p Problem) Reach(ctx context.Context, m Movement) (Room, error) {
	if m.Group == 0 {
		m.Group = contact.OnHandlebar
	}
	if m.Most == 0 {
		m.Most = 30
	}
	var f fault.List
	f.Range("most", float64(m.Most), 1, 100, "mm")
	f.Range("gap_mm", m.Gap, 0, 10, "mm")
	if m.Group != contact.OnSaddle && !m.Group.FrontEnd() {
		f.Add("group", m.Group.String(), "saddle, handlebar or aero_bar", contact.ErrConflict)
	}
	p.fill()
	f.In("", p.validate())
	if err := f.Err(); err != nil {
		return Room{}, err
	}
	p = p.Closest()
	p.Limit = 1
	var room Room
	for _, w := range room.ways() {
		if err := p.follow(ctx, &m, &w); err != nil {
			return Room{}, err
		}
	}
	return room, nil
}

// follow finds how far a movement goes one way.
func (p *Problem) follow(ctx context.Context, m *Movement, w *way) error {
	for at := 0; ; at++ {
		moved := *p
		moved.Target = m.moved(p.Target, r3.Scale(float64(at), w.by))
		if moved.Target.Validate() != nil {
			w.extent.Open = true // where no bike goes
			return nil
		}
		c, gap, err := moved.within(ctx, m.Gap)
		if err != nil {
			return err
		}
		if !c.Holds() {
			w.extent.Ends, err = moved.Explain(ctx, c)
			return err
		}
		w.extent.MM, w.extent.Gap, w.extent.Purchases = at, max(w.extent.Gap, gap), max(w.extent.Purchases, c.Purchases)
		if at == m.Most {
			w.extent.Open = true
			return nil
		}
	}
}

// within returns the closest build, and by how much more than its tolerance it is off if it
// holds only with a gap.
func (p *Problem) within(ctx context.Context, most float64) (c fitgeom.Candidate, gap float64, err error) {
	r, err := p.Solve(ctx)
	if err != nil || r.Holds() || most == 0 {
		return first(r), 0, err
	}
	wider := *p
	wider.Keep = make([]fitgeom.Keep, len(p.Keep))
	for i, k := range p.Keep {
		wider.Keep[i] = search.Widened(k, most)
	}
	s, err := wider.Solve(ctx)
	if err != nil || !s.Holds() {
		return first(r), 0, err
	}
	c = first(s)
	for i, k := range p.Keep {
		off := c.Deviations[i].Off
		for _, v := range [...][2]float64{{off.X, k.Tolerance.X}, {off.Y, k.Tolerance.Y}, {off.Z, k.Tolerance.Z}} {
			if v[1] != 0 {
				gap = max(gap, v[0]-v[1], -v[0]-v[1])
			}
		}
	}
	return c, gap, nil
}

func first(r Result) (c fitgeom.Candidate) {
	if len(r.Candidates) > 0 {
		c = r.Candidates[0]
	}
	return c
}

// moved returns a position with what moves by so much.
func (m *Movement) moved(p contact.Position, by r3.Vec) contact.Position {
	q := p
	for s, v := range p.All() {
		if g := s.Group(); g == m.Group || m.Group == contact.OnHandlebar && g == contact.OnAeroBar {
			q.Set(s, r3.Add(v, by))
		}
	}
	return q
}

// own returns a shelf with the parts of a build, and the spacers of another shelf.
func own(b *fitgeom.Build, from *fitgeom.Shelf) fitgeom.Shelf {
	s := fitgeom.Shelf{
		Caps: one(b.Cap), Spacers: from.Spacers, Stems: one(b.Stem), Handlebars: one(b.Handlebar), Levers: one(b.Lever), AeroBars: one(b.Aero),
		Seatposts: one(b.Seatpost), Saddles: one(b.Saddle), Cranks: one(b.Crank), Pedals: one(b.Pedal), Shims: one(b.BarShim), CleatShims: from.CleatShims,
	}
	if b.SeatpostShim != b.BarShim {
		s.Shims = append(s.Shims, one(b.SeatpostShim)...)
	}
	return s
}

// one returns a list of a part, empty if there is none.
func one[P comparable](p P) []P {
	var none P
	if p == none {
		return nil
	}
	return []P{p}
}
