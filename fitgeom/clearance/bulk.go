package clearance

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// A Bulk is how far things reach beyond the points that name their places: tyres,
// mudguard, pedals, shoes, stays, joints. Whatever is zero is as its field says;
// [Bulk.Filled] has the numbers. Those of usual things are common practice, no source,
// where nothing else is said: measure what decides.
type Bulk struct {
	// FrontTyre and RearTyre are the widths of the tyres; their radii are those of the
	// wheels. A tyre is a torus: its section is a circle.
	FrontTyre float64 `json:"front_tyre_mm,omitzero" range:"10 to 150" zero:"28 mm"`
	RearTyre  float64 `json:"rear_tyre_mm,omitzero" range:"10 to 150" zero:"28 mm"`
	// Mudguard is that of the front wheel.
	Mudguard Mudguard `json:"mudguard,omitzero" zero:"none"`
	// Pedal and Shoe are the same left and right.
	Pedal Pedal `json:"pedal,omitzero" zero:"a usual one"`
	Shoe  Shoe  `json:"shoe,omitzero" zero:"a usual one"`
	// Stay is the chainstays, the same left and right.
	Stay    Stay    `json:"stay,omitzero" zero:"usual ones"`
	TopTube TopTube `json:"top_tube,omitzero" zero:"not stated"`
	// Bar is the radius of the handlebar with its tape or grips.
	Bar float64 `json:"bar_radius_mm,omitzero" range:"5 to 40" zero:"16 mm"`
	// Pad is how far a forearm pad with its holder reaches from the middle of its upper
	// surface.
	Pad float64 `json:"pad_radius_mm,omitzero" range:"5 to 120" zero:"45 mm"`
	// Knee and Elbow are how far these reach from the joint's centre, with clothes.
	Knee  float64 `json:"knee_radius_mm,omitzero" range:"20 to 120" zero:"65 mm"`
	Elbow float64 `json:"elbow_radius_mm,omitzero" range:"20 to 120" zero:"45 mm"`
}

// A Mudguard lies around the front tyre and turns with it. It counts as if it went all
// round the wheel, and so is a torus like the tyre: a toe meets its rear quarter, which
// every mudguard covers.
type Mudguard struct {
	// Gap is from the tyre's outer surface to the mudguard's, away from the axle.
	Gap   float64 `json:"gap_mm" range:"2 to 80"`
	Width float64 `json:"width_mm" range:"20 to 150"`
}

// A Pedal is how far a pedal reaches from its axle while it is level. Its section is a
// rectangle.
type Pedal struct {
	// Middle is from the crank's outer face out to the pedal's middle. Where the position
	// knows the foot, the middle is under the foot instead.
	Middle float64 `json:"middle_mm" range:"10 to 120"`
	// Outer is from the crank's outer face out to the pedal's outer edge.
	Outer float64 `json:"outer_mm" range:"20 to 200" atleast:"Middle"`
	// Below is from the axle's centre down to the pedal's lowest edge.
	Below float64 `json:"below_mm" range:"2 to 60"`
	// Length is from the pedal's rear to its front edge.
	Length float64 `json:"length_mm" range:"10 to 200"`
	// Sole is from the axle's centre up to the shoe's sole. It counts where the position
	// does not know the foot.
	Sole float64 `json:"sole_mm" range:"-20 to 80"`
}

// A Shoe is a convex body: the hull of three balls at toe, ball of the foot and heel, with
// their centres on one line along the shoe. That is a simplification. It makes distances
// exact and fast, and the shoe round where it is flat: it reaches lower at its rim than a
// sole does.
type Shoe struct {
	// Toe is from the pedal's axle forward along the shoe to its tip. All lengths along the
	// shoe count with the position's foot as far forward as its pedal; a foot that is further
	// forward takes the shoe with it.
	Toe float64 `json:"toe_mm" range:"20 to 250"`
	// Ball is from the pedal's axle forward along the shoe to where the shoe is widest.
	// Zero: the ball of the foot over the axle.
	Ball float64 `json:"ball_mm" range:"-100 to 150"`
	// Heel is from the pedal's axle back along the shoe to its rear end.
	Heel float64 `json:"heel_mm" range:"20 to 400"`
	// ToeRadius, BallRadius and HeelRadius are half of the shoe's width there.
	ToeRadius  float64 `json:"toe_radius_mm" range:"5 to 70"`
	BallRadius float64 `json:"ball_radius_mm" range:"5 to 90"`
	HeelRadius float64 `json:"heel_radius_mm" range:"5 to 70"`
	// Axis is how high the line of the centres lies above the sole.
	Axis float64 `json:"axis_mm" range:"0 to 100"`
}

// A Stay is a chainstay: straight and round, from beside the bottom bracket to beside the
// rear axle. Hub, derailleur and brake are not part of it.
type Stay struct {
	// AtBracket and AtAxle are from the bike's mid-plane out to the stay's centre, beside
	// the bottom bracket and beside the rear axle.
	AtBracket float64 `json:"at_bracket_mm" range:"10 to 120"`
	AtAxle    float64 `json:"at_axle_mm" range:"30 to 150"`
	// Radius is half of the stay's thickness, as seen from above.
	Radius float64 `json:"radius_mm" range:"3 to 40"`
}

// A TopTube is the upper edge of a top tube, straight from axis to axis, and where the
// rider stands over it.
type TopTube struct {
	// Head is from the head tube's top centre down the steering axis to the edge's height.
	Head float64 `json:"head_mm" range:"0 to 400"`
	// Seat is from the bottom bracket up the seat tube's axis to the edge's height, counted
	// as the frame's seat tube is.
	Seat float64 `json:"seat_mm" length:"100 to 750"`
	// At is how far in front of the bottom bracket the rider stands, as the bike stands on
	// the ground. Negative: behind.
	At float64 `json:"at_mm" range:"-300 to 500"`
}

// usual is what stands for zero. The shoe is one for a foot of 271 mm with 201 mm from heel
// to ball, the means of ANSUR II's men, with 15 mm of shoe in front and 10 mm behind it.
var usual = Bulk{
	FrontTyre: 28, RearTyre: 28,
	Pedal: Pedal{Middle: 55, Outer: 100, Below: 15, Length: 90, Sole: 15},
	Shoe:  Shoe{Toe: 85, Heel: 211, ToeRadius: 32, BallRadius: 50, HeelRadius: 35, Axis: 35},
	Stay:  Stay{AtBracket: 40, AtAxle: 68, Radius: 9},
	Bar:   16, Pad: 45, Knee: 65, Elbow: 45,
}

// Filled returns the bulk with usual numbers in place of what is zero, mudguard and top
// tube excepted.
func (o Bulk) Filled() Bulk {
	for _, f := range [...]struct {
		to *float64
		v  float64
	}{{&o.FrontTyre, usual.FrontTyre}, {&o.RearTyre, usual.RearTyre}, {&o.Bar, usual.Bar}, {&o.Pad, usual.Pad}, {&o.Knee, usual.Knee}, {&o.Elbow, usual.Elbow}} {
		if *f.to == 0 {
			*f.to = f.v
		}
	}
	if o.Pedal == (Pedal{}) {
		o.Pedal = usual.Pedal
	}
	if o.Shoe == (Shoe{}) {
		o.Shoe = usual.Shoe
	}
	if o.Stay == (Stay{}) {
		o.Stay = usual.Stay
	}
	return o
}

// Validate reports numbers that are out of the ranges stated at the fields, and a shoe
// whose toe, ball and heel do not lie one behind the other ([contact.ErrConflict]).
func (o Bulk) Validate() error {
	var f fault.List
	bulkFields.Check(&f, &o)
	if s := &o.Shoe; f.Len() == 0 && *s != (Shoe{}) {
		if toe := s.Toe - s.ToeRadius; s.Ball >= toe {
			f.Add("shoe.ball_mm", num.Text(s.Ball, "mm"), "it behind the toe's centre at "+num.Text(toe, "mm"), contact.ErrConflict)
		}
		if heel := s.HeelRadius - s.Heel; s.Ball <= heel {
			f.Add("shoe.ball_mm", num.Text(s.Ball, "mm"), "it in front of the heel's centre at "+num.Text(heel, "mm"), contact.ErrConflict)
		}
	}
	return f.Err()
}

var bulkFields = field.New[Bulk]()
