package live

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
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
func ReadScales(data []byte) ([]Scale, error) {
	const most = 20
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment = '#'
	head, err := r.Read()
	if want := "scale,moves,way,mm_per_mark,then,now"; err != nil || strings.Join(head, ",") != want {
		return nil, errors.New("line 1: want " + want)
	}
	var all []Scale
	var faults []error
	for len(faults) < most {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			faults = append(faults, err)
			break
		}
		line, _ := r.FieldPos(0)
		fault := func(column int, want string) {
			faults = append(faults, fmt.Errorf("line %d: %s %q: want %s", line, head[column], row[column], want))
		}
		s := Scale{Name: row[0]}
		var ok bool
		if s.Moves, ok = moves[row[1]]; !ok {
			fault(1, "saddle or bar")
		}
		way, ok := ways[row[2]]
		if !ok {
			fault(2, "up, down, forward or back")
		}
		var numbers [3]float64
		for i := range numbers {
			v, err := strconv.ParseFloat(row[3+i], 64)
			if numbers[i] = v; err != nil || math.IsNaN(v) || math.Abs(v) > 1e5 || i == 0 && (v < 0.01 || v > 100) {
				fault(3+i, [...]string{"0.01 to 100 mm", "a number", "a number"}[i])
			}
		}
		s.PerMark, s.Then, s.Now = r3.Scale(numbers[0], way), numbers[1], numbers[2]
		if len(all) == most {
			return nil, fmt.Errorf("line %d: want at most %d scales", line, most)
		}
		all = append(all, s)
	}
	if len(faults) == 0 && len(all) == 0 {
		faults = append(faults, errors.New("no scales"))
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	return all, nil
}

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
