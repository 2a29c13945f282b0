package motion

import (
	"context"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A Path is where a marker is over the crank angle of a side: a curve for each coordinate,
// in mm. Their Of is 0. Y is the zero Curve in a flat recording.
type Path struct {
	// Marker is what it is of.
	Marker Marker `json:"marker"`
	X      Curve  `json:"x"`
	Y      Curve  `json:"y,omitzero" zero:"not seen by a single camera at the side"`
	Z      Curve  `json:"z"`
}

// Paths returns where markers are over the crank angle of a side, all of the revolutions in
// which all of them were seen.
//
// Faults are [contact.ErrMissing] for no markers, for markers that the recording does not
// have and if no revolution with enough frames is left, and [contact.ErrUnknown] for a
// marker or side that does not exist. If the context ends, the error wraps the context's.
func (m Motion) Paths(ctx context.Context, side contact.Side, markers ...Marker) ([]Path, error) {
	w := work.New(ctx, -1)
	var f fault.List
	checkSide(&f, side)
	if len(markers) == 0 {
		f.Add("markers", "", "at least one marker", contact.ErrMissing)
	}
	for i, k := range markers {
		switch {
		case !markerNames.Valid(k):
			f.Add(fault.At("markers", i), k.String(), "a marker of package motion", contact.ErrUnknown)
		case m.tracks[k] == nil:
			f.Add(k.String(), "", "the samples of this marker", contact.ErrMissing)
		}
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	axes := []int{0, 1, 2}
	if m.flat {
		axes = []int{0, 2}
	}
	var lines [][]float64
	for _, k := range markers {
		for _, axis := range axes {
			line := work.Make[float64](w, len(m.times))
			for i := range line {
				if !w.Do(1) {
					return nil, m.stopped(w)
				}
				line[i] = coordinate(m.tracks[k][i], axis)
			}
			lines = append(lines, line)
		}
	}
	all, err := m.curves(w, markers[0].String(), side, lines...)
	if err != nil {
		return nil, err
	}
	paths := make([]Path, len(markers))
	for i, k := range markers {
		paths[i].Marker = k
		for j, axis := range axes {
			*[]*Curve{&paths[i].X, &paths[i].Y, &paths[i].Z}[axis] = all[i*len(axes)+j]
		}
	}
	return paths, nil
}
