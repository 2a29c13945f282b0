package clearance

import (
	"reflect"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// A Bike is a position on a frame, before anything is built, or a bike that is built. What
// is zero is not known or as its field says; a quantity that needs it is not known either.
type Bike struct {
	// Position is the contact points as the bike stands. A foot gives the crank's length,
	// the middle of the pedal, the height of the sole and, by its attitude, where the shoe
	// points (straight ahead and level, if it has none): the sole keeps that slope over the
	// turn of the crank. A pedal's thread by itself gives the crank's length and its outer
	// face.
	Position contact.Position `json:"position"`
	// Geometry is the frame; it must state its axles for what concerns wheels and stays.
	Geometry chart.Geometry `json:"geometry,omitzero" zero:"not known" validate:"own"`
	// Wheels is what the bike stands on.
	Wheels chart.Wheels `json:"wheels,omitzero" zero:"as the chart draws it"`
	// Bulk is how far things reach.
	Bulk Bulk `json:"bulk,omitzero" zero:"usual ones" validate:"own"`
	// Body is the rider's, for what concerns knees and elbows.
	Body rider.Body `json:"body,omitzero" zero:"not known" validate:"own"`
	// Inseam is the height of the crotch above the ground, in the shoes that are worn.
	Inseam float64 `json:"inseam_mm,omitzero" length:"300 to 1200" zero:"not known"`
	// Uncertainty is how well all of these are known.
	Uncertainty Uncertainty `json:"uncertainty,omitzero" zero:"exactly"`
}

// Validate reports what is wrong with each part of a bike, under its name, and what does
// not go together: wheels on which the frame cannot stand, a rider who stands before or
// behind the top tube, and an uncertainty of a number that is not stated.
func (b Bike) Validate() error {
	_, err := b.prepare()
	return err
}

// prepare checks a bike and makes its space.
func (b *Bike) prepare() (*space, error) {
	var f fault.List
	if b.check(&f); f.Len() > 0 {
		return nil, f.Err()
	}
	return newSpace(b)
}

func (b *Bike) check(f *fault.List) {
	bikeFields.Check(f, b)
	f.In("position", b.Position.Validate())
	if b.Geometry != (chart.Geometry{}) {
		f.In("geometry", b.Geometry.Validate())
	}
	f.In("bulk", b.Bulk.Validate())
	if b.hasBody() {
		f.In("body", b.Body.Validate())
	}
	b.Uncertainty.check(f, b)
	if f.Len() > 0 {
		return
	}
	f.In("", b.Wheels.ValidateOn(b.Geometry))
	if f.Len() > 0 || b.Bulk.TopTube == (TopTube{}) || b.Geometry.Axles == (chart.Axles{}) {
		return
	}
	head, seat := b.topTube()
	if at := b.Bulk.TopTube.At; !(at >= seat.X && at <= head.X) {
		f.Add("bulk.top_tube.at_mm", num.Text(at, "mm"), "a place over the tube, "+num.Span(seat.X, head.X, "mm"), contact.ErrConflict)
	}
}

var bikeFields = field.New[Bike]()

func (b *Bike) hasBody() bool { return !reflect.ValueOf(&b.Body).Elem().IsZero() }

// A Value is a clearance of a bike.
type Value struct {
	Quantity Quantity
	// Side is that of the shoe, the pedal or the knee.
	Side contact.Side
	// Value is in mm or degrees; Sigma its standard uncertainty, to first order, from
	// Bike.Uncertainty.
	Value, Sigma float64
	// Crank is the angle of the crank on that side at which it is least, 0 with the crank
	// at the top, 90 with it forward, to below 360 degrees. Steering is the angle of the
	// front wheel then, in degrees, positive to the left. Both are 0 where they have no
	// part.
	Crank, Steering float64
}

// Of returns a quantity of one side of a bike, and whether the bike states what it needs;
// ShoeSteering is there only if shoe and wheel meet. Standover and StandoverRoom are of
// [contact.Centre], all others of left or right. Faults are those of [Bike.Validate].
func (q Quantity) Of(b Bike, side contact.Side) (Value, bool, error) {
	s, err := b.prepare()
	if err != nil {
		return Value{}, false, err
	}
	if !quantityNames.Valid(q) || quantities[q].centre != (side == contact.Centre) || !side.Valid() {
		return Value{}, false, nil
	}
	v, ok := s.value(q, side)
	if !ok {
		return Value{}, false, nil
	}
	return b.stating(v)
}

// Least returns a quantity of the side on which it is least, the left one if they are
// equal, as [Quantity.Of] does.
func (b Bike) Least(q Quantity) (Value, bool, error) {
	if !quantityNames.Valid(q) || quantities[q].centre {
		return q.Of(b, contact.Centre)
	}
	s, err := b.prepare()
	if err != nil {
		return Value{}, false, err
	}
	v, ok := s.value(q, contact.Left)
	if w, other := s.value(q, contact.Right); other && (!ok || w.Value < v.Value) {
		v, ok = w, true
	}
	if !ok {
		return Value{}, false, nil
	}
	return b.stating(v)
}

// stating adds its uncertainty to a value.
func (b *Bike) stating(v Value) (Value, bool, error) {
	all := []Value{v}
	if b.Uncertainty.stated() {
		if err := b.spread(all); err != nil {
			return Value{}, false, err
		}
	}
	return all[0], true, nil
}

// Values returns every quantity that is known, in the order of the quantities, left before
// right. Faults are those of [Bike.Validate].
func (b Bike) Values() ([]Value, error) {
	s, err := b.prepare()
	if err != nil {
		return nil, err
	}
	all := make([]Value, 0, 2*quantityCount)
	for q := Quantity(1); int(q) < quantityCount; q++ {
		for _, side := range sides(q) {
			if v, ok := s.value(q, side); ok {
				all = append(all, v)
			}
		}
	}
	if b.Uncertainty.stated() {
		err = b.spread(all)
	}
	return all, err
}

var (
	both = []contact.Side{contact.Left, contact.Right}
	none = []contact.Side{contact.Centre}
)

func sides(q Quantity) []contact.Side {
	if quantities[q].centre {
		return none
	}
	return both
}
