package design

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Tube is a straight round tube in the mid-plane, by its axis.
type Tube struct {
	// From and To are the ends of the axis: where it crosses that of another tube, or where
	// the tube ends.
	From r3.Vec `json:"from_mm"`
	To   r3.Vec `json:"to_mm"`
	// Diameter is the outer one, mm.
	Diameter float64 `json:"diameter_mm"`
	// AtFrom and AtTo are how the ends are cut; zero for an end that is cut square, or not at
	// all. 0 degrees is the tube's upper line; on the bottom bracket's shell it is the left
	// line and 90 degrees the front line, since the shell lies across.
	AtFrom Mitre `json:"at_from,omitzero" zero:"square, or not cut"`
	AtTo   Mitre `json:"at_to,omitzero" zero:"square, or not cut"`
}

// Length returns the length of the axis from From to To, in mm.
func (t Tube) Length() float64 { return r3.Norm(r3.Sub(t.To, t.From)) }

// Cut returns the length of the tube along one of its lines, from cut to cut, in mm: at 0
// degrees its upper line, at 180 its lower one. Faults are those of [Mitre.At].
func (t Tube) Cut(around float64) (float64, error) {
	left := t.Length()
	for _, m := range [...]Mitre{t.AtFrom, t.AtTo} {
		if m == (Mitre{}) {
			continue
		}
		z, err := m.At(around)
		if err != nil {
			return 0, err
		}
		left -= z
	}
	return left, nil
}

// A Drawing is the tubes of a frame in the mid-plane. Stays, dropouts, bridges, butts and
// what welding or lugs need are not part of it.
type Drawing struct {
	// Head goes from its lower end to its top, Seat from beside the bottom bracket to its top,
	// Top from the seat tube and Down from the bottom bracket to the head tube.
	Head Tube `json:"head"`
	Seat Tube `json:"seat"`
	Top  Tube `json:"top"`
	Down Tube `json:"down"`
	// Rear and Front are the axles, and Crown is the fork's crown race on the steering axis.
	Rear  r3.Vec `json:"rear_mm"`
	Front r3.Vec `json:"front_mm"`
	Crown r3.Vec `json:"crown_mm"`
	// Between is what is left of the head tube's rear line between top tube and down tube, mm;
	// negative where these meet first, and have to be cut on each other too.
	Between float64 `json:"between_mm"`
}

// Drawing returns the tubes of the frame; the zero Drawing for the zero Design. It is plane
// geometry: a tube's edge meets the surface of a tube of radius R, as seen from the side,
// where its axis is r/sin θ + R/tan θ away along that tube's axis, r its own radius and θ
// the angle of both axes.
//
// It fails where a down tube of that thickness cannot reach the head tube
// ([contact.ErrConflict]), and where a frame is too odd for a mitre.
func (d Design) Drawing() (Drawing, error) {
	if d.s == nil {
		return Drawing{}, nil
	}
	v, t := d.view, &d.s.p.Tubes
	up, seatUp := v.g.SteererUp(), v.g.SeatUp()
	rearward := r3.Vec{X: -up.Z, Z: up.X}
	var out Drawing
	out.Rear, _ = v.g.RearAxle()
	out.Front, _ = v.g.FrontAxle()
	out.Crown = r3.Sub(v.bottom, r3.Scale(d.x[vLower], up))
	out.Head = Tube{From: v.bottom, To: v.g.HeadTop(), Diameter: t.Head}
	foot := v.g.SeatFoot()
	out.Seat = Tube{From: foot, To: r3.Add(foot, r3.Scale(d.x[vSeatTop], seatUp)), Diameter: t.Seat}
	out.Seat.AtFrom = Mitre{Radius: t.Seat / 2, On: t.Shell / 2, Angle: 90, Offset: d.x[vSeatOffset]}
	out.Top = Tube{From: v.seat, To: v.head, Diameter: t.Top}
	out.Top.AtFrom = Mitre{Radius: t.Top / 2, On: t.Seat / 2, Angle: between(seatUp, r3.Sub(v.head, v.seat))}
	out.Top.AtTo = Mitre{Radius: t.Top / 2, On: t.Head / 2, Angle: between(up, r3.Sub(v.seat, v.head))}

	// The down tube's lower edge meets the head tube's surface where its own is left below.
	edge := r3.Add(r3.Add(v.bottom, r3.Scale(t.BelowDown, up)), r3.Scale(t.Head/2, rearward))
	far := math.Hypot(edge.X, edge.Z)
	var f fault.List
	if !(far > t.Down) {
		f.Add("tubes.down_mm", num.Text(t.Down, "mm"), "a down tube that reaches the head tube", contact.ErrConflict)
		return Drawing{}, f.Err()
	}
	sin, cos := num.Sincos(num.Atan2(edge.Z, edge.X) + math.Asin(t.Down/2/far)/num.Rad)
	// Where the axis, out of the bottom bracket, crosses the steering axis.
	k := (v.bottom.Z*cos - v.bottom.X*sin) / (up.X*sin - up.Z*cos)
	out.Down = Tube{To: r3.Add(v.bottom, r3.Scale(k, up)), Diameter: t.Down}
	out.Down.AtFrom = Mitre{Radius: t.Down / 2, On: t.Shell / 2, Angle: 90}
	out.Down.AtTo = Mitre{Radius: t.Down / 2, On: t.Head / 2, Angle: between(up, r3.Scale(-1, out.Down.To))}
	for _, at := range [...]struct {
		name string
		m    Mitre
	}{
		{"top", out.Top.AtFrom}, {"top", out.Top.AtTo}, {"down", out.Down.AtTo},
	} {
		f.In(at.name, at.m.Validate())
	}
	if err := f.Err(); err != nil {
		return Drawing{}, err
	}
	out.Between = r3.Dot(r3.Sub(v.head, out.Down.To), up) + out.Top.AtTo.edge(-1) - out.Down.AtTo.edge(1)
	return out, nil
}

// edge is how far up the other tube's axis, from the crossing of both, the cut tube's upper
// edge (1) or its lower one (-1) meets the surface.
func (m *Mitre) edge(side float64) float64 {
	sin, cos := num.Sincos(m.Angle)
	return (m.On*cos + side*m.Radius) / sin
}

// between is the angle of two directions, in degrees.
func between(a, b r3.Vec) float64 {
	return num.Atan2(r3.Norm(r3.Cross(a, b)), r3.Dot(a, b))
}
