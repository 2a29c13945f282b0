package live

import (
	"context"
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
	"gonum.org/v1/gonum/spatial/r3"
)

// head is where a head tube may be for a position that a person changes, and which frames
// of a catalogue have theirs there.
type head struct {
	target contact.Position
	kept
	shelf  fitgeom.Shelf
	sizes  []fitgeom.Size
	index  *rank.Index
	bounds region.Bounds
	// scales are those of an adjustable bike. None: what moves is said by itself.
	scales []Scale
	// regions are those of the target as it was, by tolerance: hands that move, move theirs.
	regions map[float64]region.Region
}

// newHead begins a scene from a position, a shelf of parts and sizes, and a request if it says
// what is kept of the position.
func newHead(docs Documents) (Scene, error) {
	var s head
	var err error
	if s.target, err = read[contact.Position](docs, "position"); err != nil {
		return nil, err
	}
	if s.shelf, err = read[fitgeom.Shelf](docs, "shelf"); err != nil {
		return nil, err
	}
	if s.sizes, err = catalogue(docs["catalogue"]); err != nil {
		return nil, err
	}
	if s.index, err = rank.NewIndex(context.Background(), s.sizes); err != nil {
		return nil, err
	}
	if s.kept, err = docs.kept(); err != nil {
		return nil, err
	}
	if data, ok := docs["scales"]; ok {
		if s.scales, err = ReadScales(data); err != nil {
			return nil, err
		}
	}
	from, to := HeadAngles(s.sizes)
	s.bounds, s.regions = Bounds(s.shelf, from, to), map[float64]region.Region{}
	return &s, s.bounds.Validate()
}

func (s *head) Controls() []Control {
	var names []string
	for _, m := range s.shelf.Stems {
		names = append(names, m.Name)
	}
	all := []Control{
		number("handsup", "hands moved up", "mm", -60, 60, 1, 0),
		number("handsforward", "hands moved forward", "mm", -60, 60, 1, 0),
		number("saddleup", "saddle moved up", "mm", -40, 40, 1, 0),
		number("saddleback", "saddle moved back", "mm", -40, 40, 1, 0),
	}
	if len(s.scales) > 0 {
		all = nil
		for i, c := range s.scales {
			marks := 60 / r3.Norm(c.PerMark)
			all = append(all, number(scale(i), c.Name, "", min(c.Then-marks, c.Now), max(c.Then+marks, c.Now), marks/60, c.Now))
		}
	}
	return append(all,
		choice("stem", "stem of the bike that the rider is on", len(s.shelf.Stems)/4, names...),
		number("spacers", "cap and spacers under it", "mm", 0, 60, 1, 30),
		number("angle", "its head angle", "°", 65, 76, 0.1, 73),
		number("tolerance", "tolerances, times what is asked", "×", 0.5, 4, 0.5, 1),
		number("room", "room wanted for the hands, up and down", "mm", 0, 30, 1, 10))
}

// scale is the name of the control of a scale.
func scale(i int) string { return fmt.Sprintf("scale%d", i+1) }

// by returns how far the controls move what is on the saddle and what is on the bar.
func (s *head) by(state State) map[contact.Group]r3.Vec {
	by := map[contact.Group]r3.Vec{
		contact.OnSaddle:    {X: -state["saddleback"], Z: state["saddleup"]},
		contact.OnHandlebar: {X: state["handsforward"], Z: state["handsup"]},
	}
	for i, c := range s.scales {
		by[c.Moves] = r3.Add(by[c.Moves], c.At(state[scale(i)]))
	}
	return by
}

// moved returns the position that the controls ask for.
func (s *head) moved(state State) contact.Position { return Moved(s.target, s.by(state)) }

// now returns the frame that the rider is on, whatever carries the position.
func (s *head) now(p contact.Position, state State) (region.HeadPlace, error) {
	a := region.FrontEnd{Up: state["spacers"], Stem: s.shelf.Stems[int(state["stem"])], Handlebar: s.bounds.Handlebar, Lever: s.bounds.Lever}
	a.StemAngle, a.Quill = a.Stem.Angles.From, a.Stem.Quill.From
	return region.FrameNow(p, state["angle"], a)
}

func (s *head) Now(ctx context.Context, state State) (string, error) {
	p := s.moved(state)
	now, err := s.now(p, state)
	if err != nil {
		return "", err
	}
	r, err := s.region(ctx, state["tolerance"])
	if err != nil {
		return "", err
	}
	hands := s.by(state)[contact.OnHandlebar]
	by := region.HeadPlace{Reach: hands.X, Stack: hands.Z}
	h := draw.Host{Region: r, Moved: by, HeadFrom: s.bounds.HeadFrom, HeadTo: s.bounds.HeadTo, Sizes: s.sizes, Now: now}
	count := 0
	for i := range s.sizes {
		g := s.sizes[i].Frame.Geometry
		h.Holds = append(h.Holds, r.Holds(region.HeadPlace{Reach: g.Reach - by.Reach, Stack: g.Stack - by.Stack}))
		if h.Holds[i] {
			count++
		}
	}
	f := draw.Region("live-head", 4.5, h)
	f.Caption = "Filled: frames with the top of their head tube in the region. Whether one holds the position at its own head angle and at the seat, the ranking tells."
	rows := [][]string{{"the head tube's top", "\treach, mm", "\tstack, mm"}, {"of the frame that the rider is on", right(now.Reach), right(now.Stack)}}
	if best, ok := r.Best(); ok {
		rows = append(rows, []string{"in the middle of what the parts can do", right(best.Reach + by.Reach), right(best.Stack + by.Stack)})
	}
	return said("%d of %d sizes have their head tube in the region.", count, len(s.sizes)) + figure(f) + table("Frames", rows), nil
}

// region returns the region of the target as it was.
func (s *head) region(ctx context.Context, tolerance float64) (region.Region, error) {
	if r, ok := s.regions[tolerance]; ok {
		return r, nil
	}
	r, err := region.New(ctx, s.target, s.bounds, loosened(s.target, s.Keep, tolerance))
	if err == nil {
		s.regions[tolerance] = r
	}
	return r, err
}

// Settled ranks the catalogue.
func (s *head) Settled(ctx context.Context, state State) (string, error) {
	p := s.moved(state)
	r, err := s.index.Rank(ctx, solve.Problem{Target: p, Shelf: s.shelf, Keep: loosened(p, s.Keep, state["tolerance"]), Crank: s.Crank, RoomWanted: wishes(state["room"]), Limit: 8})
	if err != nil {
		return "", err
	}
	rows := [][]string{{"place", "size", "\treach, mm", "\tstack, mm", "stem", "\tspacers, mm", "holds", "\tworst place, share of its tolerance"}}
	for i, c := range r.Choices {
		if c.Fault != nil {
			continue
		}
		g := c.Size.Frame.Geometry
		rows = append(rows, append([]string{fmt.Sprint(i + 1), c.Size.Family + " " + c.Size.Label, right(g.Reach), right(g.Stack)}, summary(c.Best)...))
	}
	return table("The first sizes of the ranking", rows), nil
}

func (s *head) Document(state State) ([]byte, error) {
	return written("position", s.moved(state))
}
