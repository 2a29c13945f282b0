package convert

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Measure is one number of a set-up sheet. The package documentation has the
// table of all measures; [Measure.Definition] gives the same as data.
//
// The zero Measure is [SaddleHeight].
type Measure uint8

// The measures. From where to where each goes stands in the package documentation.
const (
	SaddleHeight         Measure = iota // straight, to the saddle reference
	SaddleHeightSeatTube                // along the seat tube, to the saddle's top
	SaddleHeightVertical                // upright, to the saddle reference
	SaddleHeightPedal                   // saddle reference to pedal, far end of its stroke
	SaddleSetback                       // saddle reference behind the bottom bracket
	SaddleSetbackNose                   // nose behind the bottom bracket
	SaddleTilt                          // slope of the saddle
	BarDropClamp                        // clamp centre below the saddle reference
	BarDropTops                         // tops below the saddle reference
	BarDropHoods                        // hoods below the saddle reference
	BarDropDrops                        // drops below the saddle reference
	ReachClamp                          // saddle reference to clamp centre, straight
	ReachClampLevel                     // the same, level
	ReachHoods                          // saddle reference to hoods, straight
	ReachHoodsLevel                     // the same, level
	ReachNoseClamp                      // nose to clamp centre, straight
	ReachNoseClampLevel                 // the same, level
	ReachNoseHoods                      // nose to hoods, straight
	ReachNoseHoodsLevel                 // the same, level
	BarStack                            // clamp centre above the bottom bracket
	BarReach                            // clamp centre in front of the bottom bracket
	HoodsWidth                          // hood to hood
	DropsWidth                          // drop to drop
	CrankLength                         // bottom bracket to pedal
	QFactor                             // crank face to crank face

	measureCount = int(QFactor) + 1
)

// A Definition says what a [Measure] is.
type Definition struct {
	// Name is the measure's name in files and errors, such as "saddle_height".
	Name string
	// From and To are where the measure starts and ends, in words.
	From, To string
	// Along is the direction in which it is taken: "straight", "level", "upright", …
	Along string
	// Positive says when the number is positive; empty for lengths that always are.
	Positive string
	// Unit is "mm" or "degrees".
	Unit string
	// Needs lists the sites that must be known, the left one of a pair standing
	// for the pair. For SaddleTilt the attitude is needed.
	Needs []contact.Site
	// SeatAngle reports whether the measure needs Basis.SeatAngle.
	SeatAngle bool
}

// A Basis is what a [Measure] needs to know besides the position. Its zero
// value reads paired sites at their midpoint and knows no seat tube.
type Basis struct {
	// SeatAngle is the angle of the line through the bottom bracket that
	// measures "along the seat tube" follow, from level at the rear, 50 to 90
	// degrees. Zero: not known, and measures that need it are refused.
	SeatAngle float64
	// Side says where sites that come in pairs are read: contact.Centre at the
	// midpoint of left and right, contact.Left or contact.Right at that one.
	Side contact.Side
}

// Validate reports a seat angle outside 50 to 90 degrees or a side that does not exist.
func (b Basis) Validate() error {
	var f check.Faults
	f.Optional("seat_angle", b.SeatAngle, 50, 90, "degrees")
	if b.Side > contact.Right {
		f.Add("side", "", "centre, left or right", contact.ErrUnknown)
	}
	return f.Err()
}

// sites reads points of a position that are known to be there.
type sites struct {
	p *contact.Position
	b Basis
}

// at returns a site; one of a pair as the basis has it.
func (s sites) at(site contact.Site) r3.Vec {
	if s.b.Side == contact.Centre {
		l, _ := s.p.At(site)
		r, _ := s.p.At(site.On(contact.Right))
		return r3.Scale(0.5, r3.Add(l, r))
	}
	v, _ := s.p.At(site.On(s.b.Side))
	return v
}

// apart returns how far the left site of a pair lies to the left of the right one.
func (s sites) apart(left contact.Site) float64 {
	l, _ := s.p.At(left)
	r, _ := s.p.At(left.On(contact.Right))
	return l.Y - r.Y
}

func (s sites) straight(from, to contact.Site) float64 { return r3.Norm(r3.Sub(s.at(to), s.at(from))) }
func (s sites) level(from, to contact.Site) float64    { return s.at(to).X - s.at(from).X }
func (s sites) drop(to contact.Site) float64           { return s.at(contact.SaddleReference).Z - s.at(to).Z }

type entry struct {
	Definition
	of func(sites) float64
	// pair marks widths, which need both sides whatever the basis says.
	pair bool
}

const (
	bb        = "bottom bracket centre"
	reference = "saddle reference (80 mm wide)"
	nose      = "saddle nose"
	clamp     = "bar clamp centre"
)

// measures is the one home of every definition; the table in the package
// documentation is compared with it by a test.
var measures = [measureCount]entry{
	SaddleHeight: {
		Definition: Definition{Name: "saddle_height", From: bb, To: reference, Along: "straight", Unit: "mm", Needs: []contact.Site{contact.SaddleReference}},
		of:         func(s sites) float64 { return r3.Norm(s.at(contact.SaddleReference)) },
	},
	SaddleHeightSeatTube: {
		Definition: Definition{Name: "saddle_height_seat_tube", From: bb, To: "saddle top, where the line meets it", Along: "seat tube", Unit: "mm", Needs: []contact.Site{contact.SaddleReference}, SeatAngle: true},
		of:         saddleHeightSeatTube,
	},
	SaddleHeightVertical: {
		Definition: Definition{Name: "saddle_height_vertical", From: bb, To: reference, Along: "upright", Positive: "saddle higher", Unit: "mm", Needs: []contact.Site{contact.SaddleReference}},
		of:         func(s sites) float64 { return s.at(contact.SaddleReference).Z },
	},
	SaddleHeightPedal: {
		Definition: Definition{Name: "saddle_height_pedal", From: reference, To: "pedal axis, farthest from it", Along: "side view", Unit: "mm", Needs: []contact.Site{contact.SaddleReference, contact.PedalLeft}},
		of: func(s sites) float64 {
			r := s.at(contact.SaddleReference)
			return math.Hypot(r.X, r.Z) + s.at(contact.PedalLeft).X
		},
	},
	SaddleSetback: {
		Definition: Definition{Name: "saddle_setback", From: bb, To: reference, Along: "level", Positive: "saddle behind", Unit: "mm", Needs: []contact.Site{contact.SaddleReference}},
		of:         func(s sites) float64 { return 0 - s.at(contact.SaddleReference).X },
	},
	SaddleSetbackNose: {
		Definition: Definition{Name: "saddle_setback_nose", From: bb, To: nose, Along: "level", Positive: "nose behind", Unit: "mm", Needs: []contact.Site{contact.SaddleNose}},
		of:         func(s sites) float64 { return 0 - s.at(contact.SaddleNose).X },
	},
	SaddleTilt: {
		Definition: Definition{Name: "saddle_tilt", From: "level", To: "line from saddle rear to nose", Along: "side view", Positive: "nose up", Unit: "degrees", Needs: []contact.Site{contact.SaddleReference}},
		of:         func(s sites) float64 { a, _ := s.p.Attitude(contact.SaddleReference); return a.Tilt },
	},
	BarDropClamp:        dropTo("bar_drop_clamp", clamp, contact.BarClamp),
	BarDropTops:         dropTo("bar_drop_tops", "tops", contact.TopsLeft),
	BarDropHoods:        dropTo("bar_drop_hoods", "hoods", contact.HoodsLeft),
	BarDropDrops:        dropTo("bar_drop_drops", "drops", contact.DropsLeft),
	ReachClamp:          straight("reach_clamp", reference, clamp, contact.SaddleReference, contact.BarClamp),
	ReachClampLevel:     level("reach_clamp_level", reference, clamp, contact.SaddleReference, contact.BarClamp),
	ReachHoods:          straight("reach_hoods", reference, "hoods", contact.SaddleReference, contact.HoodsLeft),
	ReachHoodsLevel:     level("reach_hoods_level", reference, "hoods", contact.SaddleReference, contact.HoodsLeft),
	ReachNoseClamp:      straight("reach_nose_clamp", nose, clamp, contact.SaddleNose, contact.BarClamp),
	ReachNoseClampLevel: level("reach_nose_clamp_level", nose, clamp, contact.SaddleNose, contact.BarClamp),
	ReachNoseHoods:      straight("reach_nose_hoods", nose, "hoods", contact.SaddleNose, contact.HoodsLeft),
	ReachNoseHoodsLevel: level("reach_nose_hoods_level", nose, "hoods", contact.SaddleNose, contact.HoodsLeft),
	BarStack: {
		Definition: Definition{Name: "bar_stack", From: bb, To: clamp, Along: "upright", Positive: "bar higher", Unit: "mm", Needs: []contact.Site{contact.BarClamp}},
		of:         func(s sites) float64 { return s.at(contact.BarClamp).Z },
	},
	BarReach: {
		Definition: Definition{Name: "bar_reach", From: bb, To: clamp, Along: "level", Positive: "bar in front", Unit: "mm", Needs: []contact.Site{contact.BarClamp}},
		of:         func(s sites) float64 { return s.at(contact.BarClamp).X },
	},
	HoodsWidth: width("hoods_width", "right hoods", "left hoods", contact.HoodsLeft),
	DropsWidth: width("drops_width", "right drops", "left drops", contact.DropsLeft),
	CrankLength: {
		Definition: Definition{Name: "crank_length", From: bb, To: "pedal axis", Along: "side view", Unit: "mm", Needs: []contact.Site{contact.PedalLeft}},
		of:         func(s sites) float64 { return s.at(contact.PedalLeft).X },
	},
	QFactor: width("q_factor", "outer face of the right crank at the pedal", "that of the left crank", contact.PedalLeft),
}

func dropTo(name, to string, site contact.Site) entry {
	return entry{
		Definition: Definition{Name: name, From: reference, To: to, Along: "upright", Positive: "bar lower", Unit: "mm", Needs: []contact.Site{contact.SaddleReference, site}},
		of:         func(s sites) float64 { return s.drop(site) },
	}
}

func straight(name, from, to string, a, b contact.Site) entry {
	return entry{
		Definition: Definition{Name: name, From: from, To: to, Along: "straight", Unit: "mm", Needs: []contact.Site{a, b}},
		of:         func(s sites) float64 { return s.straight(a, b) },
	}
}

func level(name, from, to string, a, b contact.Site) entry {
	return entry{
		Definition: Definition{Name: name, From: from, To: to, Along: "level", Positive: "bar in front", Unit: "mm", Needs: []contact.Site{a, b}},
		of:         func(s sites) float64 { return s.level(a, b) },
	}
}

func width(name, from, to string, left contact.Site) entry {
	return entry{
		Definition: Definition{Name: name, From: from, To: to, Along: "across", Unit: "mm", Needs: []contact.Site{left}},
		of:         func(s sites) float64 { return s.apart(left) },
		pair:       true,
	}
}

// saddleHeightSeatTube follows the seat tube's line up to the saddle's top,
// the line through the reference at the saddle's tilt: that is where a tape
// laid along the tube ends, wherever on the saddle it is.
func saddleHeightSeatTube(s sites) float64 {
	a, _ := s.p.Attitude(contact.SaddleReference)
	r := s.at(contact.SaddleReference)
	sinT, cosT := num.Sincos(a.Tilt)
	sin, cos := num.Sincos(s.b.SeatAngle)
	// (-cos, sin)·h lies on the line through r with direction (cosT, sinT).
	return (r.Z*cosT - r.X*sinT) / (sin*cosT + cos*sinT)
}

// Measures returns all measures, in the order of their constants.
func Measures() []Measure {
	all := make([]Measure, measureCount)
	for i := range all {
		all[i] = Measure(i)
	}
	return all
}

// Definition returns what the measure is. A number that is no measure has the zero Definition.
func (m Measure) Definition() Definition {
	if int(m) >= measureCount {
		return Definition{}
	}
	d := measures[m].Definition
	d.Needs = append([]contact.Site(nil), d.Needs...)
	return d
}

// String returns the measure's name, such as "saddle_height".
func (m Measure) String() string {
	if int(m) >= measureCount {
		return "measure?"
	}
	return measures[m].Name
}

// ParseMeasure returns the measure of that name, as [Measure.String] writes it,
// or a [*contact.Error] of class [contact.ErrUnknown].
func ParseMeasure(name string) (Measure, error) {
	for m := range measures {
		if measures[m].Name == name {
			return Measure(m), nil
		}
	}
	return 0, unknownMeasure(name)
}

func unknownMeasure(name string) error {
	return &contact.Error{Path: "measure", Value: name, Want: "a name such as saddle_height or bar_drop_hoods", Class: contact.ErrUnknown}
}

// Of returns the measure of a position, in mm or degrees as its definition has
// it; exact to rounding (about 1e-12 mm).
//
// Faults are [contact.ErrMissing] for each site, attitude or seat angle that is
// needed and not known, [contact.ErrRange] and [contact.ErrUnknown] for a basis
// that does not validate, and whatever p.Validate reports.
func (m Measure) Of(p contact.Position, b Basis) (float64, error) {
	sheet, err := NewSheet(p, b, m)
	if err != nil {
		return 0, err
	}
	return sheet[0].Value, nil
}

// missing adds what the measure needs and the position or basis does not give.
func (m Measure) missing(f *check.Faults, p *contact.Position, b Basis) {
	e := &measures[m]
	need := func(site contact.Site) {
		if _, ok := p.At(site); !ok {
			f.Add(e.Name, "", site.String()+" to be known", contact.ErrMissing)
		}
	}
	for _, site := range e.Needs {
		switch {
		case site.Side() == contact.Centre:
			need(site)
		case e.pair || b.Side == contact.Centre:
			need(site)
			need(site.On(contact.Right))
		default:
			need(site.On(b.Side))
		}
	}
	if m == SaddleTilt || m == SaddleHeightSeatTube {
		if _, ok := p.Attitude(contact.SaddleReference); !ok {
			f.Add(e.Name, "", "the tilt of the saddle to be known", contact.ErrMissing)
		}
	}
	if e.SeatAngle && b.SeatAngle == 0 {
		f.Add(e.Name, "", "a seat angle", contact.ErrMissing)
	}
}

// A Reading is one measure with its number.
type Reading struct {
	Measure Measure
	// Value is in the unit of the measure's definition, mm or degrees.
	Value float64
}

// A Sheet is a list of readings, in the order in which they were asked for.
type Sheet []Reading

// NewSheet takes the given measures of a position. It reports all faults of all
// measures together, as [Measure.Of] does, and then returns no sheet.
func NewSheet(p contact.Position, b Basis, ms ...Measure) (Sheet, error) {
	var f check.Faults
	f.In("position", p.Validate())
	f.In("basis", b.Validate())
	for _, m := range ms {
		if int(m) >= measureCount {
			f.In("sheet", unknownMeasure("number "+num.Text(float64(m), "")))
			continue
		}
		m.missing(&f, &p, b)
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	sheet := make(Sheet, len(ms))
	for i, m := range ms {
		sheet[i] = Reading{Measure: m, Value: measures[m].of(sites{&p, b})}
	}
	return sheet, nil
}

// Value returns the number of a measure in mm or degrees, and whether the sheet has it.
func (s Sheet) Value(m Measure) (float64, bool) {
	for _, r := range s {
		if r.Measure == m {
			return r.Value, true
		}
	}
	return 0, false
}
