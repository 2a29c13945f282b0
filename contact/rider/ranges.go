package rider

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// An Adjustment is what may change of a position while all else stays. The zero Adjustment is not valid.
type Adjustment uint8

// The adjustments.
const (
	// SaddleHeight moves the saddle up a line, at the angle of [Way].
	SaddleHeight Adjustment = iota + 1
	// SaddleSetback moves the saddle back, level.
	SaddleSetback
	// CrankChange makes both cranks longer. The saddle stays.
	CrankChange
	// BarDrop moves the hands down.
	BarDrop
	// BarReach moves the hands forward, level.
	BarReach
	// CleatChange moves both cleats to the toes, so that the ankles are further behind the spindles. It
	// changes the body ([Way.MovedBody]), and nothing of the position.
	CleatChange
)

var adjustmentNames = enum.New[Adjustment]("adjustment", []string{
	SaddleHeight: "saddle_height", SaddleSetback: "saddle_setback",
	CrankChange: "crank_change", BarDrop: "bar_drop", BarReach: "bar_reach", CleatChange: "cleat_change",
})

// String returns the adjustment's name, such as "saddle_height".
func (f Adjustment) String() string { return adjustmentNames.String(f) }

// MarshalText writes the adjustment's name; it fails for an unknown number.
func (f Adjustment) MarshalText() ([]byte, error) { return adjustmentNames.Text(f) }

// UnmarshalText reads a name as [ParseAdjustment] does.
func (f *Adjustment) UnmarshalText(text []byte) error { return adjustmentNames.Read(f, text) }

// ParseAdjustment returns the adjustment of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseAdjustment(name string) (Adjustment, error) { return adjustmentNames.Parse(name) }

// A Way is one change of a position, and how far it may go. All its lengths count from where the
// position is, in mm, positive as the [Adjustment] says.
type Way struct {
	// Adjustment is what changes.
	Adjustment Adjustment
	// LineAngle is the angle of the line of [SaddleHeight] as a seat angle is measured: 90 for
	// vertical, less for a line that leans back as it rises, 45 to 135 degrees. Zero: 90.
	LineAngle float64
	// From and To are the least and the greatest change that is looked at, -500 to 500 mm. Both
	// zero: -100 to 100.
	From, To float64
}

func (w *Way) check(f *fault.List) {
	f.In("way", adjustmentNames.Check("adjustment", w.Adjustment))
	if w.LineAngle == 0 {
		w.LineAngle = 90
	}
	f.Range("way.line_angle_deg", w.LineAngle, 45, 135, "degrees")
	window(f, "way", &w.From, &w.To)
}

// window fills in a window and reports what is wrong with it.
func window(f *fault.List, path string, from, to *float64) {
	if *from == 0 && *to == 0 {
		*from, *to = -100, 100
	}
	f.Range(path+".from_mm", *from, -500, 500, "mm")
	least := -500.
	if *from > least && *from <= 500 {
		least = *from
	}
	f.Range(path+".to_mm", *to, least, 500, "mm")
}

// motion is how the body's ends move for a mm.
func (w *Way) motion() (m motion) {
	switch w.Adjustment {
	case SaddleHeight:
		sin, cos := num.Sincos(w.LineAngle)
		m.hip = xz{-cos, sin}
	case SaddleSetback:
		m.hip = xz{x: -1}
	case CrankChange:
		m.crank = true
	case BarDrop:
		m.wrist = xz{z: -1}
	case BarReach:
		m.wrist = xz{x: 1}
	case CleatChange:
		m.cleat = true
	}
	return m
}

// MovedBody returns a body that is changed by so many mm: with its cleats moved by [CleatChange], and as
// it is by what changes the position. Errors are those of [Way.Moved]; whether the body is within
// bounds is left to [Body.Validate].
func (w Way) MovedBody(b Body, by float64) (Body, error) {
	if err := w.ask(by); err != nil {
		return b, err
	}
	return w.movedBody(b, by), nil
}

func (w *Way) movedBody(b Body, by float64) Body {
	for _, l := range [...]*Leg{&b.Left, &b.Right} {
		if w.Adjustment == CleatChange && l.known() {
			l.AnkleBehind += by
		}
	}
	return b
}

// Moved returns a position that is changed by so many mm: the saddle's sites, those of the hands, or
// pedals and feet, as far as they are known; [CleatChange] moves none. Errors are [contact.ErrUnknown] and
// [contact.ErrRange] for the way and the change; whether the position is within bounds is left to
// contact.Position.Validate.
func (w Way) Moved(p contact.Position, by float64) (contact.Position, error) {
	if err := w.ask(by); err != nil {
		return p, err
	}
	return w.moved(p, by), nil
}

// ask fills in a way, and reports what is wrong with a change.
func (w *Way) ask(by float64) error {
	var f fault.List
	w.check(&f)
	f.Range("by_mm", by, -500, 500, "mm")
	return f.Err()
}

func (w *Way) moved(p contact.Position, by float64) contact.Position {
	m := w.motion()
	after := p
	for s, v := range p.All() {
		d := m.hip
		switch g := s.Group(); {
		case g.Crank() && m.crank:
			d = xz{x: 1}
		case g.FrontEnd():
			d = m.wrist
		case g != contact.OnSaddle:
			continue
		}
		after.Set(s, r3.Vec{X: v.X + float64(by*d.x), Y: v.Y, Z: v.Z + float64(by*d.z)})
	}
	return after
}

// Places of an [Edge] that are not those of a limit.
const (
	// Open is where what was looked at ends.
	Open = -1
	// Unreached is where a limb no longer reaches its place.
	Unreached = -2
)

// An Edge is an end of an [Interval], and what it is that ends there.
type Edge struct {
	// At is where it is, in mm, as the way counts.
	At float64
	// Place is the place in Limits.Joints of the limit that is just kept, or [Open] or
	// [Unreached].
	Place int
	// Side is the leg; contact.Centre for trunk and arms.
	Side contact.Side
	// CrankAngle is where on the stroke that is, by the leg's own crank; 0 for trunk and arms.
	CrankAngle float64
}

// An Interval is a part of a [Way] on which all limits are kept, its ends included.
type Interval struct{ From, To Edge }

// Length returns how long it is, mm.
func (i Interval) Length() float64 { return i.To.At - i.From.At }

// Range returns all changes of one kind with which a position keeps all limits: intervals in their
// order, none if there is no such place. What a limit needs and the position does not have limits
// nothing, as in [Limits.Check]. Cranks stay within 50 to 250 mm, and ankles 10 to 300 mm behind the
// spindles.
//
// Ends are exact to 1e-7 mm, but where a limb is just stretched. Intervals shorter than 1e-6 mm are
// left out. A profile of more than 180 angles is taken to be smooth over half a degree. Where the
// saddle moves, the elbow is kept and the hip is limited, an interval or a gap that is shorter than
// 8 mm may be missed if the hip's flexion turns in it twice; else none is.
//
// Errors are those of [Limits.Check], and [contact.ErrUnknown] and [contact.ErrRange] for the way.
func (l Limits) Range(p contact.Position, w Way) ([]Interval, error) {
	var f fault.List
	f.In("", l.Validate())
	f.In("position", p.Validate())
	w.check(&f)
	if err := f.Err(); err != nil {
		return nil, err
	}
	switch w.Adjustment {
	case CrankChange:
		w.cranks(&p)
	case CleatChange:
		w.cleats(&l.Body)
	default: // bounds of positions are left to their Validate
	}
	k := l.paddock(&p, w.motion())
	return k.line(nil, xz{}, w.From, w.To), nil
}

// cranks keeps cranks within 50 to 250 mm.
func (w *Way) cranks(p *contact.Position) {
	for _, side := range [...]contact.Side{contact.Left, contact.Right} {
		end, ok := p.At(contact.PedalLeft.On(side))
		if !ok {
			end, ok = p.At(contact.FootLeft.On(side))
		}
		if ok {
			w.From, w.To = max(w.From, 50-end.X), min(w.To, 250-end.X)
		}
	}
}

// cleats keeps ankles 10 to 300 mm behind the spindles.
func (w *Way) cleats(b *Body) {
	for _, side := range b.sides() {
		l, _ := b.leg(side)
		w.From, w.To = max(w.From, 10-l.AnkleBehind), min(w.To, 300-l.AnkleBehind)
	}
}

// line appends what is allowed of a line, which is moved off by shift.
func (k *paddock) line(to []Interval, shift xz, from, till float64) []Interval {
	if len(k.shut) > 0 || !(from <= till) {
		return to
	}
	w := walk{lo: from, hi: till}
	for i := range k.fences {
		f := &k.fences[i]
		w.shift = k.off(f, shift)
		if w.over(f); w.all() {
			return to
		}
	}
	w.sharpen()
	first := len(to)
	to = w.allowed(to)
	for i := range k.leashes {
		p := pull{&k.leashes[i], k, shift}
		var left []Interval
		for _, in := range to[first:] {
			left = p.cut(left, in)
		}
		to = append(to[:first], left...)
	}
	return to
}

// off is how a fence's limb changes if what moves is moved off the line.
func (k *paddock) off(f *fence, shift xz) xz {
	if k.move.hip != (xz{}) {
		return xz{}.less(shift)
	}
	return shift
}
