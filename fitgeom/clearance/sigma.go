package clearance

import (
	"math"
	"reflect"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
)

// An Uncertainty says how well the numbers of a [Bike] are known: standard uncertainties
// (JCGM 100:2008), of which follows Value.Sigma to first order. Geometry, Wheels and Bulk
// hold in place of each number its uncertainty, 0 for a number that is exact; their errors
// are independent. A number that is not stated has none. The zero Uncertainty says that all
// is exact.
//
// First order is good while errors are small against what is measured. It is not where
// something is barely met: ShoeSteering then changes fast.
type Uncertainty struct {
	// Position is the covariance of the contact points.
	Position contact.Covariance `json:"position,omitzero" zero:"exact" validate:"own"`
	Geometry chart.Geometry     `json:"geometry,omitzero" zero:"exact" validate:"own"`
	Wheels   chart.Wheels       `json:"wheels,omitzero" zero:"exact" validate:"own"`
	Bulk     Bulk               `json:"bulk,omitzero" zero:"exact" validate:"own"`
	// Inseam is that of the inseam.
	Inseam float64 `json:"inseam_mm,omitzero" range:"0 to 100"`
}

// A known is a number of a bike with its standard uncertainty.
type known struct {
	number func(*Bike) *float64
	sigma  float64
}

var (
	geometryColumns = field.Columns(reflect.TypeFor[chart.Geometry]())
	wheelsColumns   = field.Columns(reflect.TypeFor[chart.Wheels]())
	bulkColumns     = field.Columns(reflect.TypeFor[Bulk]())
)

func (u *Uncertainty) stated() bool {
	return u.Geometry != chart.Geometry{} || u.Wheels != chart.Wheels{} || u.Bulk != Bulk{} || u.Inseam != 0 || len(u.Position.Coordinates()) > 0
}

// each calls do for every number that is uncertain, with its path.
func (u *Uncertainty) each(do func(path string, c *field.Column, k known)) {
	for i := range geometryColumns {
		c := &geometryColumns[i]
		do("geometry."+c.Path, c, known{func(b *Bike) *float64 { return field.Number(&b.Geometry, c) }, *field.Number(&u.Geometry, c)})
	}
	for i := range wheelsColumns {
		c := &wheelsColumns[i]
		do("wheels."+c.Path, c, known{func(b *Bike) *float64 { return field.Number(&b.Wheels, c) }, *field.Number(&u.Wheels, c)})
	}
	for i := range bulkColumns {
		c := &bulkColumns[i]
		do("bulk."+c.Path, c, known{func(b *Bike) *float64 { return field.Number(&b.Bulk, c) }, *field.Number(&u.Bulk, c)})
	}
	do("inseam_mm", &field.Column{}, known{func(b *Bike) *float64 { return &b.Inseam }, u.Inseam})
}

func (u *Uncertainty) check(f *fault.List, b *Bike) {
	if !u.stated() {
		return
	}
	u.each(func(path string, c *field.Column, k known) {
		f.Range("uncertainty."+path, k.sigma, 0, 100, c.Unit)
		if v := *k.number(b); k.sigma != 0 && v == 0 && (c.Zero != "" || b.absent(path)) {
			f.Add(path, "", "the number whose uncertainty is stated", contact.ErrMissing)
		}
	})
	for _, c := range u.Position.Coordinates() {
		if _, ok := b.Position.Coordinate(c); !ok {
			f.Add("position.sites."+c.Site.String(), "", "the coordinate "+c.String()+", whose uncertainty is stated", contact.ErrMissing)
		}
	}
}

// absent reports whether a number is 0 since all that it is part of is not stated.
func (b *Bike) absent(path string) bool {
	o := &b.Bulk
	for _, part := range [...]struct {
		path string
		zero bool
	}{
		{"geometry.axles.", b.Geometry.Axles == chart.Axles{}},
		{"geometry.", b.Geometry == chart.Geometry{}},
		{"bulk.mudguard.", o.Mudguard == Mudguard{}},
		{"bulk.pedal.", o.Pedal == Pedal{}},
		{"bulk.shoe.", o.Shoe == Shoe{}},
		{"bulk.stay.", o.Stay == Stay{}},
		{"bulk.top_tube.", o.TopTube == TopTube{}},
		{"inseam", b.Inseam == 0},
	} {
		if part.zero && len(path) >= len(part.path) && path[:len(part.path)] == part.path {
			return true
		}
	}
	return false
}

// nudge is by how much numbers move for slopes, mm or degrees: small against what bends,
// and large against rounding.
const nudge = 0.01

// slopes returns how fast values change when something of the bike moves.
func (b *Bike) slopes(all []Value, move func(b *Bike, by float64)) []float64 {
	out := make([]float64, len(all))
	var bikes [2]Bike
	var ends [2]*space
	for i, by := range [...]float64{-nudge, nudge} {
		bikes[i] = *b
		move(&bikes[i], by)
		ends[i], _ = newSpace(&bikes[i]) // none where a number leaves its range
	}
	for i, v := range all {
		less, ok1 := ends[0].value(v.Quantity, v.Side)
		more, ok2 := ends[1].value(v.Quantity, v.Side)
		switch { // at its last touch a shoe misses the wheel on one side
		case ok1 && ok2:
			out[i] = (more.Value - less.Value) / (2 * nudge)
		case ok1:
			out[i] = (v.Value - less.Value) / nudge
		case ok2:
			out[i] = (more.Value - v.Value) / nudge
		}
	}
	return out
}

// spread sets the standard uncertainty of values.
func (b *Bike) spread(all []Value) error {
	u := &b.Uncertainty
	variance := make([]float64, len(all))
	u.each(func(_ string, _ *field.Column, k known) {
		if k.sigma == 0 {
			return
		}
		for i, s := range b.slopes(all, func(b *Bike, by float64) { *k.number(b) += by }) {
			variance[i] += s * s * k.sigma * k.sigma
		}
	})
	byPlace := make([][]contact.Derivative, len(all))
	for _, c := range u.Position.Coordinates() {
		for i, s := range b.slopes(all, func(b *Bike, by float64) { b.Position = b.Position.Shifted(c, by) }) {
			byPlace[i] = append(byPlace[i], contact.Derivative{Coordinate: c, By: s})
		}
	}
	for i := range all {
		v, err := u.Position.Between(byPlace[i], byPlace[i])
		if err != nil {
			return err
		}
		all[i].Sigma = math.Sqrt(max(0, variance[i]+v))
	}
	return nil
}
