package published_test

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// The operations of frames, wheels and stems.

func steering(a *args) chart.Steering {
	return chart.Steering{HeadAngle: a.degrees("head_angle"), ForkOffset: a.mm("fork_offset"), Radius: a.mm("radius")}
}

func trail(a *args) (results, error) {
	v, err := steering(a).Trail()
	return one("trail", "mm", v, err)
}

func forkOffset(a *args) (results, error) {
	s, err := chart.Steering{HeadAngle: a.degrees("head_angle"), Radius: a.mm("radius")}.WithTrail(a.mm("trail"))
	return one("fork_offset", "mm", s.ForkOffset, err)
}

// wheelFlopFactor is of the steering that has that trail with the benchmark's wheel;
// any other would do.
func wheelFlopFactor(a *args) (results, error) {
	s, err := chart.Steering{HeadAngle: a.degrees("head_angle"), Radius: 350}.WithTrail(a.mm("trail"))
	if err != nil {
		return nil, err
	}
	v, err := s.WheelFlopFactor()
	return one("factor", "mm", v, err)
}

func mechanicalTrail(a *args) (results, error) {
	v, err := steering(a).MechanicalTrail()
	return one("trail", "mm", v, err)
}

func sink(a *args) (results, error) {
	s, err := steering(a).Sink(a.degrees("angle"))
	return results{}.number("frame", "mm", s.Frame).number("axle", "mm", s.Axle), err
}

// pedalLean is of a pedal whose edge is so far out and so high, on a bike with a bottom
// bracket at 270 mm.
func pedalLean(a *args) (results, error) {
	crank, tyre := 170., 2*a.mm("tyre_radius")
	b := clearance.Bike{
		Position: contact.New(map[contact.Site]r3.Vec{contact.PedalLeft: {X: crank, Y: 75}}),
		Geometry: theGeometry(),
		Bulk: clearance.Bulk{
			FrontTyre: tyre, RearTyre: tyre,
			Pedal: clearance.Pedal{Middle: 50, Outer: a.mm("edge") - 75, Below: 270 - crank - a.mm("height"), Length: 80, Sole: 15},
		},
	}
	v, _, err := clearance.PedalLean.Of(b, contact.Left)
	return one("lean", "degrees", v.Value, err)
}

func steeringAxisCut(a *args) (results, error) {
	v, err := steering(a).AxisCut()
	return one("ratio", "1", v, err)
}

// axisOffsets completes a chart and measures from the steering axis to the
// axles: d1 to the rear, d3 to the front, and d2 between the feet along the axis.
func axisOffsets(a *args) (results, error) {
	done, err := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}, Entries: []chart.Entry{
		{Dimension: chart.HeadAngle, Value: a.degrees("head_angle")},
		{Dimension: chart.Wheelbase, Value: a.mm("wheelbase")},
		{Dimension: chart.Trail, Value: a.mm("trail")},
		{Dimension: chart.FrontRadius, Value: a.mm("front_radius")},
		{Dimension: chart.RearRadius, Value: a.mm("rear_radius")},
		// Any frame between these wheels will do.
		{Dimension: chart.Stack, Value: 560},
		{Dimension: chart.SeatAngle, Value: 73},
		{Dimension: chart.SeatOffset, Value: 0},
		{Dimension: chart.Chainstay, Value: 430},
		{Dimension: chart.Drop, Value: 20},
	}}.Solve()
	if err != nil {
		return nil, err
	}
	g, ok := done.Geometry()
	front, ok2 := g.FrontAxle()
	rear, _ := g.RearAxle()
	if !ok || !ok2 {
		a.faults = append(a.faults, "the chart is not complete")
		return nil, nil
	}
	up := g.SteererUp()
	forward := r3.Vec{X: up.Z, Z: -up.X}
	return results{}.
		number("d1", "mm", r3.Dot(r3.Sub(g.HeadTop(), rear), forward)).
		number("d2", "mm", r3.Dot(r3.Sub(rear, front), up)).
		number("d3", "mm", r3.Dot(r3.Sub(front, g.HeadTop()), forward)), nil
}

// tiltOnWheels draws a frame on equal wheels, from its axle distances, and stands
// it on others.
func tiltOnWheels(a *args) (results, error) {
	toRear, toFront, along := a.mm("rear_to_axis"), a.mm("axis_to_front"), a.mm("along")
	tilt := math.Atan2(along, toRear+toFront)
	sin, cos := math.Cos(tilt), math.Sin(tilt) // of the head angle
	const stack, drop, rearCentre = 560, 60, 440
	frontCentre := math.Hypot(toRear+toFront, along) - rearCentre
	g := chart.Geometry{
		Stack: stack, Reach: frontCentre - ((stack-drop)*cos+toFront)/sin, HeadAngle: 90 - tilt*180/math.Pi, SeatAngle: 73,
		Axles: chart.Axles{Chainstay: math.Hypot(rearCentre, drop), Drop: drop, ForkOffset: toFront, FrontRadius: 300, RearRadius: 300},
	}
	h, err := g.OnWheels(chart.Wheels{FrontRadius: a.mm("front_radius"), RearRadius: a.mm("rear_radius")})
	return one("tilt", "degrees", 90-h.HeadAngle, err)
}

func rolloutRadius(a *args) (results, error) {
	v, err := chart.RolloutRadius(a.mm("distance"), a.number("turns", "turns"))
	return one("radius", "mm", v, err)
}

// frameChart takes dimensions by their names, and sigma_NAME for how uncertain one is.
func frameChart(a *args) (results, error) {
	c := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}}
	for _, d := range chart.Dimensions() {
		if key := d.String(); a.has(key) {
			c.Entries = append(c.Entries, chart.Entry{
				Dimension: d, Value: a.number(key, d.Unit()), Step: a.or("sigma_"+key, d.Unit(), 0) * math.Sqrt(12),
			})
		}
	}
	c.EqualWheels = a.has("equal_wheels") && a.text("equal_wheels") == "yes"
	c.SeatTubeCentred = a.has("seat_tube_centred") && a.text("seat_tube_centred") == "yes"
	done, err := c.Solve()
	if err != nil {
		return nil, err
	}
	r := results{}
	for _, k := range done.Values {
		r.number(k.Dimension.String(), k.Dimension.Unit(), k.Value).number("sigma_"+k.Dimension.String(), k.Dimension.Unit(), k.Sigma)
	}
	return r, nil
}

// tyre also gives the rollout of the nominal radius.
func tyre(a *args) (results, error) {
	t, err := chart.ParseTyre(a.text("marking"))
	if err != nil {
		return nil, err
	}
	radius, err := t.Radius()
	return results{}.text("iso", t.String()).number("width", "mm", t.Width).number("bead_seat", "mm", t.BeadSeat).
		number("radius", "mm", radius).number("rollout", "mm", 2*math.Pi*radius), err
}

func beadSeat(a *args) (results, error) {
	d, err := chart.BeadSeat(a.text("name"))
	return one("diameter", "mm", d, err)
}

func inches(a *args) (results, error) {
	v, err := chart.Inches(a.text("length"))
	return one("length", "mm", v, err)
}

func geometry(a *args) (results, error) {
	g := chart.Geometry{
		Stack: a.mm("stack"), Reach: a.mm("reach"), HeadAngle: a.degrees("head_angle"), SeatAngle: a.degrees("seat_angle"),
		Axles: chart.Axles{
			Chainstay: a.mm("chainstay"), Drop: a.mm("drop"), ForkOffset: a.mm("fork_offset"), FrontRadius: a.mm("radius"), RearRadius: a.mm("radius"),
		},
	}
	if err := g.Validate(); err != nil {
		return nil, err
	}
	front, _ := g.FrontAxle()
	rear, _ := g.RearAxle()
	wheelbase, _ := g.Wheelbase()
	trail, _ := g.Trail()
	axial, _ := g.SteererToAxle()
	height, _ := g.BottomBracketHeight()
	return results{}.
		number("front_axle", "mm", front.X, front.Z).number("rear_axle", "mm", rear.X, rear.Z).
		number("front_centre", "mm", r3.Norm(front)).number("wheelbase", "mm", wheelbase).number("trail", "mm", trail).
		number("steerer_to_axle", "mm", axial).number("bottom_bracket_height", "mm", height).
		number("effective_top_tube", "mm", g.EffectiveTopTube()), nil
}

func effectiveTopTube(a *args) (results, error) {
	g := theGeometry()
	g.Stack, g.Reach, g.SeatAngle = a.mm("stack"), a.mm("reach"), a.degrees("seat_angle")
	return one("effective_top_tube", "mm", g.EffectiveTopTube(), g.Validate())
}

func reachBack(a *args) (results, error) {
	v, err := chart.VirtualTopTube{Stack: a.mm("stack"), SeatAngle: a.degrees("seat_angle"), Effective: a.mm("effective_top_tube")}.Reach()
	return one("reach", "mm", v, err)
}

// stemPitch is the slope of the way that a stem carries the bar, of whatever length.
func stemPitch(a *args) (results, error) {
	o, err := part.Stem{Length: 100, Angle: a.degrees("stem_angle")}.Offset(a.degrees("head_angle"))
	return one("pitch", "degrees", math.Atan2(o.Rise, o.Run)*180/math.Pi, err)
}

func stemAngleBack(a *args) (results, error) {
	sin, cos := math.Sincos(a.degrees("pitch") * math.Pi / 180)
	s, err := part.StemOffset{HeadAngle: a.degrees("head_angle"), Rise: 100 * sin, Run: 100 * cos}.Stem()
	return one("stem_angle", "degrees", s.Angle, err)
}

func stemRiseRun(a *args) (results, error) {
	o, err := part.Stem{Length: a.mm("length"), Angle: a.degrees("stem_angle")}.Offset(a.degrees("head_angle"))
	return results{}.number("rise", "mm", o.Rise).number("run", "mm", o.Run), err
}

func stemBack(a *args) (results, error) {
	s, err := part.StemOffset{HeadAngle: a.degrees("head_angle"), Rise: a.mm("rise"), Run: a.mm("run")}.Stem()
	return results{}.number("length", "mm", s.Length).number("stem_angle", "degrees", s.Angle), err
}

// barClamp builds the worked example with a stem whose steerer clamp is 40 mm high.
func barClamp(a *args) (results, error) {
	b := theBuild()
	b.Settings.Spacers, b.Stem.Length, b.Stem.Angle = a.mm("spacers"), a.mm("stem_length"), a.degrees("stem_angle")
	p, err := b.Position()
	clamp, _ := p.At(contact.BarClamp)
	return results{}.number("clamp", "mm", clamp.X, clamp.Z), err
}

// seatPoint is a point up the seat tube's line; back, its height along that line.
func seatPoint(a *args) (results, error) {
	g := theGeometry()
	g.SeatAngle = a.degrees("seat_angle")
	v := r3.Add(g.SeatFoot(), r3.Scale(a.mm("along"), g.SeatUp()))
	return results{}.number("point", "mm", v.X, v.Z), g.Validate()
}

func seatPointBack(a *args) (results, error) {
	at := a.list("point", "mm")
	p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: at[0], Z: at[1]}})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{}) // a level saddle
	v, err := convert.SaddleHeightSeatTube.Of(p, convert.Basis{SeatAngle: a.degrees("seat_angle")})
	return one("along", "mm", v, err)
}

// seatTurn is how far a point up the seat tube's line moves when the line turns.
func seatTurn(a *args) (results, error) {
	at := func(angle float64) (r3.Vec, error) {
		p, err := chart.SeatPointAt(700, angle)
		return r3.Unit(r3.Vec{X: -p.Setback, Z: p.Height}), err
	}
	angle, turn := a.degrees("seat_angle"), a.degrees("turn")
	p, err := at(angle)
	if err != nil {
		return nil, err
	}
	q, err := at(angle + turn)
	return one("moves", "mm", a.mm("along")*r3.Norm(r3.Sub(p, q)), err)
}

// barFromSaddle gives what a tape would read from the saddle reference to the clamp.
func barFromSaddle(a *args) (results, error) {
	saddle, clamp := a.list("saddle", "mm"), a.list("clamp", "mm")
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: saddle[0], Z: saddle[1]}, contact.BarClamp: {X: clamp[0], Z: clamp[1]},
	})
	r := results{}
	for key, m := range map[string]convert.Measure{"level": convert.ReachClampHorizontal, "straight": convert.ReachClamp, "drop": convert.BarDropClamp} {
		v, err := m.Of(p, convert.Basis{})
		if err != nil {
			return nil, err
		}
		r.number(key, "mm", v)
	}
	return r, nil
}
