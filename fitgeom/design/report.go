package design

import (
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/region"
)

// A Report is what a [Design] tells, as plain values that documents have.
type Report struct {
	// Holds reports whether the frame has all that was asked for.
	Holds bool `json:"holds"`
	// Wishes, Contradictions and Changes are those of the design.
	Wishes         []Wish          `json:"wishes"`
	Contradictions []Contradiction `json:"contradictions,omitempty"`
	Changes        []Change        `json:"changes,omitempty"`
	// Geometry is the frame's side view, and Front the front end on it.
	Geometry chart.Geometry  `json:"geometry"`
	Front    region.FrontEnd `json:"front"`
	// Values holds all numbers of the frame and of its parts, and those of its clearances
	// that were wished for.
	Values []Value `json:"values"`
	// Drawing is the frame's tubes.
	Drawing Drawing `json:"drawing,omitzero" zero:"tubes do not meet so"`
	// Ranges is what is still free, if [Problem.Ranges] was asked.
	Ranges []Range `json:"ranges,omitempty"`
}

// A Value is a number of a design.
type Value struct {
	Subject Subject
	// Value is the number, and Sigma its standard uncertainty as [Design.Value] has it, mm or
	// degrees.
	Value, Sigma float64
}

// Report returns all that the design tells; the zero Report of the zero Design.
func (d Design) Report() Report {
	if d.s == nil {
		return Report{}
	}
	r := Report{Holds: d.Holds(), Wishes: d.Wishes, Contradictions: d.Contradictions, Changes: d.Changes, Geometry: d.Geometry(), Front: d.Front()}
	for n := range firstLimit {
		of := n.subject()
		if v, sigma, ok := d.Value(of); ok {
			r.Values = append(r.Values, Value{of, v, sigma})
		}
	}
	if drawing, err := d.Drawing(); err == nil {
		r.Drawing = drawing
	}
	return r
}
