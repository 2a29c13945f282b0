package clearance

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A space is a bike that has been prepared: things where they are, as the bike stands.
type space struct {
	bulk   Bulk
	axles  bool // whether wheel, stance and stays are known
	wheel  wheel
	stance stance
	ground float64
	limbs  [3]limb // by side
	bike   *Bike
	chain  rider.Chain
	body   bool
}

// A limb is crank, pedal and shoe of one side, Y counted outwards.
type limb struct {
	known bool
	crank float64
	y     float64 // of the pedal's middle
	outer float64 // of the pedal's edge
	shoe  body
	stay  bar
	// The nearest that shoe and front wheel come, once it is asked for.
	near  meeting
	asked bool
}

// newSpace prepares a bike that has been checked. What may still be wrong is a body that
// lacks a contact point.
func newSpace(b *Bike) (*space, error) {
	s := &space{bulk: b.Bulk.Filled(), bike: b}
	front, rear, ok := b.Geometry.AxlesOn(b.Wheels)
	if s.axles = ok; ok {
		on := b.Wheels.On(b.Geometry)
		chassis := b.chassis()
		s.wheel = newWheel(front, &chassis, b.Geometry.Axles.ForkOffset, on.FrontRadius, &s.bulk)
		s.stance = stance{front, rear, s.wheel.rings[0], ring{on.RearRadius - s.bulk.RearTyre/2, s.bulk.RearTyre / 2}}
		s.ground = rear.Z - on.RearRadius
	}
	for _, side := range both {
		s.limbs[side] = s.limb(side, rear)
	}
	if b.hasBody() {
		chain, err := rider.NewChain(b.Body, b.Position)
		if err != nil {
			return nil, err
		}
		s.chain, s.body = chain, true
	}
	return s, nil
}

func (b *Bike) chassis() rig.Chassis {
	pitch, _ := b.Geometry.Pitch(b.Wheels)
	return rig.NewChassis(&b.Geometry, b.Bulk.TopTube.Seat, pitch)
}

// topTube returns the ends of the top tube's upper edge, as the bike stands.
func (b *Bike) topTube() (head, seat r3.Vec) {
	c := b.chassis()
	return r3.Sub(c.HeadTop, r3.Scale(b.Bulk.TopTube.Head, c.SteererUp)), c.SeatTop
}

func (s *space) limb(side contact.Side, rear r3.Vec) limb {
	p, o := &s.bike.Position, &s.bulk
	pedal, hasPedal := p.At(contact.PedalLeft.On(side))
	foot, hasFoot := p.At(contact.FootLeft.On(side))
	if !hasPedal && !hasFoot {
		return limb{}
	}
	pedal, foot = outwards(pedal, side), outwards(foot, side)
	l := limb{known: true, crank: pedal.X, y: foot.Y, outer: pedal.Y + o.Pedal.Outer}
	sole := r3.Vec{X: foot.X - pedal.X, Y: foot.Y, Z: foot.Z}
	if !hasFoot {
		sole = r3.Vec{Y: pedal.Y + o.Pedal.Middle, Z: o.Pedal.Sole}
		l.y = sole.Y
	}
	if !hasPedal {
		l.crank, sole.X = foot.X, 0
		l.outer = foot.Y + o.Pedal.Outer - o.Pedal.Middle
	}
	a, _ := p.Attitude(contact.FootLeft.On(side))
	if side == contact.Right {
		a.Yaw = -a.Yaw
	}
	l.shoe = newBody(&o.Shoe, sole, a)
	stay := &o.Stay
	l.stay = newBar(r3.Vec{Y: stay.AtBracket}, r3.Vec{X: rear.X, Y: stay.AtAxle, Z: rear.Z}, stay.Radius)
	return l
}

// value returns a quantity of a side that it has.
func (s *space) value(q Quantity, side contact.Side) (Value, bool) {
	if s == nil {
		return Value{}, false
	}
	m, ok := s.measure(q, side)
	if !ok || !num.Finite(m.value) {
		return Value{}, false
	}
	if q == ShoeSteering {
		m.value /= num.Rad
	}
	v := Value{Quantity: q, Side: side, Value: m.value}
	if quantities[q].centre {
		return v, true
	}
	v.Crank, v.Steering = num.Turn(m.crank/num.Rad), m.steering/num.Rad
	if side == contact.Left {
		v.Steering = 0 - v.Steering // the wheel's rear comes to the left when it points to the right
	}
	return v, true
}

func (s *space) measure(q Quantity, side contact.Side) (m meeting, ok bool) {
	l := &s.limbs[side]
	if q <= HeelToStay && !(s.axles && l.known) { // all of these are of feet and wheels
		return m, false
	}
	switch q {
	case ShoeToWheel:
		return s.gap(l), true
	case ShoeSteering:
		if s.gap(l).value > 0 {
			return m, false
		}
		return s.wheel.steered(&l.shoe, l.crank), true
	case ToeLevel:
		return s.wheel.toeLevel(l.y, l.crank)
	case ToePlan:
		return s.wheel.toePlan(l.y, l.crank)
	case ToeParallel:
		return s.wheel.toeParallel(l.y, l.crank)
	case PedalLean:
		m.value, ok = s.stance.lean(&s.bulk.Pedal, l.outer, l.crank)
		m.crank = math.Pi
		return m, ok
	case HeelToStay:
		return l.shoe.heel(&l.stay, l.crank), true
	case KneeToBar, KneeToPad, KneeToElbow:
		return s.knee(q, side)
	case Standover, StandoverRoom:
		return s.standover(q)
	}
	return m, false
}

func (s *space) gap(l *limb) meeting {
	if !l.asked {
		l.near, l.asked = s.wheel.gap(&l.shoe, l.crank), true
	}
	return l.near
}

func (s *space) knee(q Quantity, side contact.Side) (m meeting, ok bool) {
	if !s.body {
		return m, false
	}
	if _, err := s.chain.At(side, 0); err != nil {
		return m, false
	}
	o := &s.bulk
	k := knees{&s.chain, side, s.limbs[side].y}
	switch q {
	case KneeToBar:
		if bars := handlebar(&s.bike.Position, side, o.Bar); len(bars) > 0 {
			return k.toBar(bars, o.Knee), true
		}
	case KneeToPad:
		if pad, ok := s.bike.Position.At(contact.PadLeft.On(side)); ok {
			pad = outwards(pad, side)
			return k.toBar([]bar{newBar(pad, pad, o.Pad)}, o.Knee), true
		}
	default: // KneeToElbow
		if u, ok := s.chain.Upper(); ok {
			elbow := r3.Vec{X: u.Elbow.X, Y: k.y, Z: u.Elbow.Z}
			return k.toBar([]bar{newBar(elbow, elbow, o.Elbow)}, o.Knee), true
		}
	}
	return m, false
}

func (s *space) standover(q Quantity) (m meeting, ok bool) {
	b := s.bike
	if !s.axles || b.Bulk.TopTube == (TopTube{}) || q == StandoverRoom && b.Inseam == 0 {
		return m, false
	}
	head, seat := b.topTube()
	share := 0.0
	if wide := head.X - seat.X; wide > 0 {
		share = (b.Bulk.TopTube.At - seat.X) / wide
	}
	m.value = seat.Z + share*(head.Z-seat.Z) - s.ground
	if q == StandoverRoom {
		m.value = b.Inseam - m.value
	}
	return m, true
}
