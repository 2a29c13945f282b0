package live

import (
	"errors"
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/grid"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Scale is a scale of an adjustable bike. Whatever it reads, and wherever its zero is:
// what counts is how far it moved since the position was recorded.
type Scale struct {
	Name string
	// Moves is what it moves: the saddle or the bar.
	Moves contact.Group
	// PerMark is how far that moves for each 1 that the scale reads more, mm.
	PerMark r3.Vec
	// Then is what it read when the position was recorded, Now what it reads.
	Then, Now float64
}

var (
	moves = map[string]contact.Group{"saddle": contact.OnSaddle, "bar": contact.OnHandlebar}
	ways  = map[string]r3.Vec{"up": {Z: 1}, "down": {Z: -1}, "forward": {X: 1}, "back": {X: -1}}
)

// ReadScales reads scales from CSV: their name, what they move and which way when they read
// more, how many mm that is for each 1, what they read then and now. All faults come together,
// with their lines.
func ReadScales(data []byte) (all []Scale, err error) {
	lines := map[string]int{}
	err = grid.Read(data, "scale,moves,way,mm_per_mark,then,now", func(row grid.Row) error {
		var errs [6]error
		s := Scale{Name: row.Cells[0]}
		if first, twice := lines[s.Name]; twice {
			errs[0] = row.Fault(0, fmt.Sprintf("each scale once; the first is in line %d", first))
		}
		lines[s.Name] = row.Line
		var ok bool
		if s.Moves, ok = moves[row.Cells[1]]; !ok {
			errs[1] = row.Fault(1, "saddle or bar")
		}
		way, ok := ways[row.Cells[2]]
		if !ok {
			errs[2] = row.Fault(2, "up, down, forward or back")
		}
		var per float64
		per, errs[3] = row.Number(3, 0.01, 100, "mm")
		s.Then, errs[4] = row.Number(4, -1e5, 1e5, "marks")
		s.Now, errs[5] = row.Number(5, -1e5, 1e5, "marks")
		s.PerMark = r3.Scale(per, way)
		err := errors.Join(errs[:]...)
		if by := r3.Norm(s.At(s.Now)); err == nil && by > farthest {
			err = row.Fault(5, fmt.Sprintf("a number that moves the %s by at most %v mm, and this would by %.0f mm", row.Cells[1], float64(farthest), by))
		}
		all = append(all, s)
		return err
	})
	if err != nil {
		return nil, err
	}
	return all, nil
}

// farthest is how far a saddle or a bar can move on an adjustable bike, mm (common practice, no
// source).
const farthest = 300

// At returns how far what a scale moves has moved when it reads so much.
func (s Scale) At(reads float64) r3.Vec { return r3.Scale(reads-s.Then, s.PerMark) }

// Moved returns a position after each group has moved so far; an aero bar goes with the bar.
func Moved(p contact.Position, by map[contact.Group]r3.Vec) contact.Position {
	by[contact.OnAeroBar] = by[contact.OnHandlebar]
	all := p.All()
	for site, at := range all {
		p.Set(site, r3.Add(at, by[site.Group()]))
	}
	return p
}

// OnScales returns a position that was recorded when the scales read Then, as they read Now.
func OnScales(p contact.Position, scales []Scale) contact.Position {
	by := map[contact.Group]r3.Vec{}
	for _, s := range scales {
		by[s.Moves] = r3.Add(by[s.Moves], s.At(s.Now))
	}
	return Moved(p, by)
}
