package rider

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
)

// A Moving is what moves in a [Region]. The zero Moving is not valid.
type Moving uint8

// What moves.
const (
	// SaddlePlace is the saddle: setback back, height up.
	SaddlePlace Moving = iota + 1
	// BarPlace is the hands: reach forward, drop down.
	BarPlace
)

var movingNames = enum.New[Moving]("moving", []string{SaddlePlace: "saddle_place", BarPlace: "bar_place"})

// String returns the name, such as "saddle_place".
func (m Moving) String() string { return movingNames.String(m) }

// MarshalText writes the name; it fails for an unknown number.
func (m Moving) MarshalText() ([]byte, error) { return movingNames.Text(m) }

// UnmarshalText reads a name as [ParseMoving] does.
func (m *Moving) UnmarshalText(text []byte) error { return movingNames.Read(m, text) }

// ParseMoving returns what moves by that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseMoving(name string) (Moving, error) { return movingNames.Parse(name) }

// A Window is the places that a [Region] looks at, in mm from where the position is.
type Window struct {
	// Moving says what moves.
	Moving Moving
	// AlongFrom and AlongTo are how far the saddle goes back, or, for [BarPlace], the hands go
	// forward: -500 to 500 mm. Both zero: -100 to 100.
	AlongFrom, AlongTo float64
	// HeightFrom and HeightTo are how far the saddle goes up, or the hands go down: -500 to 500 mm. Both
	// zero: -100 to 100.
	HeightFrom, HeightTo float64
	// Step is how far apart the columns of a region are, 0.5 to 50 mm. Zero: 2 mm.
	Step float64
}

func (w *Window) check(f *fault.List) {
	f.In("window", movingNames.Check("moving", w.Moving))
	window(f, "window.along", &w.AlongFrom, &w.AlongTo)
	window(f, "window.height", &w.HeightFrom, &w.HeightTo)
	if w.Step == 0 {
		w.Step = 2
	}
	f.Range("window.step_mm", w.Step, 0.5, 50, "mm")
}

// ways are the two that make the window.
func (w *Window) ways() (along, height Way) {
	if w.Moving == BarPlace {
		return Way{Adjustment: BarReach}, Way{Adjustment: BarDrop}
	}
	return Way{Adjustment: SaddleSetback}, Way{Adjustment: SaddleHeight, LineAngle: 90}
}

// A Column is the allowed heights at one place along a [Window].
type Column struct {
	// Along is how far the saddle is back, or the hands are forward, mm.
	Along float64
	// Heights are the allowed changes of height, in their order: saddle up, or hands down.
	Heights []Interval
}

// A Region is all places of a window at which a position keeps all limits. It is made by
// [Limits.Region], does not change, and is safe for concurrent use. The zero Region is empty.
type Region struct {
	window  Window
	paddock *paddock
	columns []Column
}

// Region finds all places of the saddle, or of the hands, at which a position keeps all limits. All
// else stays. Exactness and errors are those of [Limits.Range], with window in place of way. If the
// context ends, the error wraps the context's.
func (l Limits) Region(ctx context.Context, p contact.Position, w Window) (Region, error) {
	var f fault.List
	f.In("", l.Validate())
	f.In("position", p.Validate())
	w.check(&f)
	if err := f.Err(); err != nil {
		return Region{}, err
	}
	_, height := w.ways()
	r := Region{window: w, paddock: l.paddock(&p, height.motion())}
	n := int(math.Ceil((w.AlongTo-w.AlongFrom)/w.Step - 1e-9))
	for i := range n + 1 {
		if err := ctx.Err(); err != nil {
			return Region{}, fmt.Errorf("rider: region: %w", err)
		}
		along := min(w.AlongFrom+w.Step*float64(i), w.AlongTo)
		r.columns = append(r.columns, Column{along, r.at(along)})
	}
	return r, nil
}

// at returns the heights of any column.
func (r *Region) at(along float64) []Interval {
	way, _ := r.window.ways()
	m := way.motion()
	return r.paddock.line(nil, m.hip.plus(m.wrist).times(along), r.window.HeightFrom, r.window.HeightTo)
}

// Columns returns the columns, from AlongFrom to AlongTo. The caller must not modify them.
func (r Region) Columns() []Column { return r.columns }

// At returns the allowed heights at any place along the window, and whether it is within it.
func (r Region) At(along float64) ([]Interval, bool) {
	if r.paddock == nil || !(along >= r.window.AlongFrom && along <= r.window.AlongTo) {
		return nil, false
	}
	return r.at(along), true
}

// Holds reports whether a place is in the region: exactly, wherever the columns are.
func (r Region) Holds(along, height float64) bool {
	all, _ := r.At(along)
	i := sort.Search(len(all), func(i int) bool { return all[i].To.At >= height })
	return i < len(all) && height >= all[i].From.At
}

// Empty reports whether no column has an allowed height.
func (r Region) Empty() bool {
	return !slices.ContainsFunc(r.columns, func(c Column) bool { return len(c.Heights) > 0 })
}

// Area returns the area of the region, in mm², by the columns (trapezia between them).
func (r Region) Area() float64 {
	sum, last := 0., 0.
	for i := range r.columns {
		length := 0.
		for _, in := range r.columns[i].Heights {
			length += in.Length()
		}
		if i > 0 {
			sum += (length + last) / 2 * (r.columns[i].Along - r.columns[i-1].Along)
		}
		last = length
	}
	return sum
}
