package design

import (
	"context"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
)

// A Near is a size of a catalogue beside a design.
type Near struct {
	Choice rank.Choice
	// Off is by how much the size's numbers are more than the design's, for those that the
	// size states, in the order of the dimensions.
	Off []Offset
}

// An Offset is by how much a number is more than another, mm or degrees.
type Offset struct {
	Dimension chart.Dimension
	// By is the difference.
	By float64
}

// Nearest returns the sizes of a catalogue that do for the position what the design does, in
// the order of [rank.Index.Rank], with how they differ from it. The problem has the shelf
// and all else that package rank asks for; its target and, unless it states its own, the
// room that is wanted are those of the design. Errors are those of Rank, and
// [contact.ErrMissing] for the zero Design.
func (d Design) Nearest(ctx context.Context, x *rank.Index, p solve.Problem) ([]Near, error) {
	if d.s == nil {
		return nil, fault.New("design", "", "a design with a frame", contact.ErrMissing)
	}
	p.Target = d.s.p.Target
	if p.RoomWanted == nil {
		p.RoomWanted = d.s.p.RoomWanted
	}
	r, err := x.Rank(ctx, p)
	if err != nil {
		return nil, err
	}
	all := make([]Near, len(r.Choices))
	for i, c := range r.Choices {
		all[i] = Near{c, d.beside(c)}
	}
	return all, nil
}

// beside is how a size differs.
func (d *Design) beside(c rank.Choice) (off []Offset) {
	g := &c.Size.Frame.Geometry
	add := func(dim chart.Dimension, is float64) {
		off = append(off, Offset{dim, is - d.view.q[ofDimension(dim)]})
	}
	add(chart.Stack, g.Stack)
	add(chart.Reach, g.Reach)
	add(chart.EffectiveTopTube, g.EffectiveTopTube())
	add(chart.HeadAngle, g.HeadAngle)
	add(chart.SeatAngle, g.SeatAngle)
	add(chart.SeatOffset, g.SeatOffset)
	if h, err := g.Handling(chart.Wheels{}); err == nil {
		add(chart.ForkOffset, g.Axles.ForkOffset)
		add(chart.Drop, g.Axles.Drop)
		add(chart.BottomBracketHeight, h.BottomBracketHeight)
		add(chart.Chainstay, g.Axles.Chainstay)
		add(chart.FrontCentreHorizontal, h.FrontCentre)
		add(chart.Wheelbase, h.Wheelbase)
		add(chart.Trail, h.Trail)
	}
	add(chart.SeatTubeTop, c.Size.Frame.SeatTubeTop)
	return off
}
