package convert

import (
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// A Tyre is a tyre as it is marked by ISO 5775: nominal section width and
// nominal rim (bead seat) diameter, such as 32-622. Its zero value is not valid.
type Tyre struct {
	// Width is the nominal section width, 10 to 150 mm.
	Width float64
	// BeadSeat is the nominal rim diameter, 150 to 700 mm.
	BeadSeat float64
}

// ParseTyre reads a marking such as "32-622" (ISO 5775), or one of the trade
// such as "700x32C", "29x2.25" or "650Bx48" (common practice, no source), in
// which the first part stands for a bead seat by [BeadSeat]. A trade width is in
// mm for 700 and 650 and in inches for the others. Faults are
// [contact.ErrUnknown] for a marking that is none, [contact.ErrRange] for
// numbers that no tyre has.
func ParseTyre(marking string) (Tyre, error) {
	unknown := &contact.Error{Path: "tyre", Value: strconv.Quote(marking), Want: "a marking such as 32-622 or 700x32C", Class: contact.ErrUnknown}
	var t Tyre
	if width, bead, ok := strings.Cut(marking, "-"); ok {
		w, ok1 := plain(width)
		d, ok2 := plain(bead)
		if !ok1 || !ok2 {
			return Tyre{}, unknown
		}
		t = Tyre{w, d}
	} else {
		rim, width, ok := strings.Cut(strings.NewReplacer("×", "x", "X", "x", " ", "").Replace(marking), "x")
		metric := strings.HasPrefix(rim, "7") || strings.HasPrefix(rim, "65")
		// The letter that tells apart rims of one nominal size stands before or after the width.
		if metric && width != "" && width[len(width)-1] >= 'A' && width[len(width)-1] <= 'C' {
			if last := rim[len(rim)-1]; last >= '0' && last <= '9' {
				rim += width[len(width)-1:]
			}
			width = width[:len(width)-1]
		}
		d, known := BeadSeat(rim)
		w, isNumber := plain(width)
		if !ok || !known || !isNumber {
			return Tyre{}, unknown
		}
		if !metric {
			w *= 25.4
		}
		t = Tyre{w, d}
	}
	if err := t.Validate(); err != nil {
		return Tyre{}, err
	}
	return t, nil
}

// plain reads a number of digits and a point, and nothing else that Go takes for
// a number.
func plain(text string) (float64, bool) {
	if strings.Trim(text, "0123456789.") != "" || len(text) > 20 {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

// Validate reports numbers out of the ranges stated at the fields.
func (t Tyre) Validate() error {
	var f fault.List
	f.Range("tyre.width", t.Width, 10, 150, "mm")
	f.Range("tyre.bead_seat", t.BeadSeat, 150, 700, "mm")
	return f.Err()
}

// String returns the marking by ISO 5775, such as "32-622", widths to whole mm.
func (t Tyre) String() string {
	return strconv.FormatFloat(math.Round(t.Width), 'f', -1, 64) + "-" + strconv.FormatFloat(math.Round(t.BeadSeat), 'f', -1, 64)
}

// Radius returns the nominal radius of a wheel with the tyre, in mm: half of the
// bead seat diameter, plus a section height that is the width. Rollout tables of
// the trade for 20 to 35 mm on 622 agree with it to 1 mm; a measured rollout
// ([RolloutRadius]) is better. (Another rule adds 2.5 mm below a width of 28 mm; it is
// off by up to 3.5 mm of radius from the same tables.)
func (t Tyre) Radius() (float64, error) {
	if err := t.Validate(); err != nil {
		return 0, err
	}
	return t.BeadSeat/2 + t.Width, nil
}

// RolloutRadius returns the radius in mm of a wheel that rolls a distance in mm in
// so many turns, 1 to 1000: the rolling radius under load, which is what trail and
// the height of the bottom bracket go by. It must come out at 100 to 450 mm.
func RolloutRadius(distance float64, turns int) (float64, error) {
	var f fault.List
	f.Range("turns", float64(turns), 1, 1000, "turns")
	f.Range("distance", distance/float64(max(1, turns)), 2*math.Pi*radiusMin, 2*math.Pi*radiusMax, "mm a turn")
	if err := f.Err(); err != nil {
		return 0, err
	}
	return distance / (2 * math.Pi * float64(turns)), nil
}

// beadSeats are the trade's names of rims, with the nominal diameter in mm. Seen
// in an encyclopedia's list and a tyre table.
var beadSeats = map[string]float64{
	"700C": 622, "29": 622, "28": 622, "650B": 584, "27.5": 584, "650C": 571, "650A": 590, "26": 559, "24": 507, "20": 406,
}

// BeadSeat returns the bead seat diameter in mm of a rim by its name in the
// trade, such as "700C", "650B", "29" or "26"; false for a name that is unknown.
// Some names stand for several rims (20, 24, 26 and 28 inches, each with a
// fraction): the answer is the most common one. The marking by ISO 5775 leaves no doubt.
func BeadSeat(name string) (float64, bool) {
	d, ok := beadSeats[strings.TrimRight(name, "\"″")]
	return d, ok
}

// Inches returns the length in mm of a number of inches as people write it:
// "1.125", "1 1/8", "9/16" or "1-1/8". One inch is 25.4 mm. Faults are
// [contact.ErrUnknown] for a text that is no such number, [contact.ErrRange] for
// more than 100 inches.
func Inches(text string) (float64, error) {
	unknown := &contact.Error{Path: "inches", Value: strconv.Quote(text), Want: "a number such as 1.125, 1 1/8 or 9/16", Class: contact.ErrUnknown}
	number := func(s string) (float64, bool) {
		top, bottom, fraction := strings.Cut(s, "/")
		v, ok := plain(top)
		if !ok {
			return 0, false
		}
		if fraction {
			d, err := strconv.Atoi(bottom)
			if err != nil || d <= 0 {
				return 0, false
			}
			v /= float64(d)
		}
		return v, true
	}
	text = strings.TrimSpace(strings.TrimRight(strings.TrimSpace(text), "\"″"))
	sum := 0.0
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '-' })
	if len(parts) == 0 || len(parts) > 2 || len(parts) == 2 && !strings.Contains(parts[1], "/") || strings.HasPrefix(text, "-") {
		return 0, unknown
	}
	for _, p := range parts {
		v, ok := number(p)
		if !ok {
			return 0, unknown
		}
		sum += v
	}
	var f fault.List
	f.Range("inches", sum, 0, 100, "inches")
	return sound(sum*25.4, &f)
}

// BarWidth returns the width of a bar from centre to centre of its tube, in mm,
// from the width outside to outside (100 to 1000 mm) and the tube's diameter
// there (15 to 50 mm). [BarWidthOutside] is the inverse.
func BarWidth(outside, tube float64) (float64, error) {
	var f fault.List
	f.Range("outside", outside, 100, 1000, "mm")
	f.Range("tube", tube, 15, 50, "mm")
	return sound(outside-tube, &f)
}

// BarWidthOutside returns the width of a bar from outside to outside in mm, from
// centre to centre (100 to 1000 mm) and the tube's diameter there (15 to 50 mm).
func BarWidthOutside(centre, tube float64) (float64, error) {
	var f fault.List
	f.Range("centre", centre, 100, 1000, "mm")
	f.Range("tube", tube, 15, 50, "mm")
	return sound(centre+tube, &f)
}

// StanceWidth returns the distance from middle to middle of the feet in mm, from the
// Q factor (100 to 250 mm) and how far each foot's middle lies outside the crank's face at the
// pedal, left and right (0 to 120 mm).
func StanceWidth(qFactor, left, right float64) (float64, error) {
	var f fault.List
	f.Range("q_factor", qFactor, 100, 250, "mm")
	f.Range("left", left, 0, 120, "mm")
	f.Range("right", right, 0, 120, "mm")
	return sound(qFactor+left+right, &f)
}

// SetbackAt returns how far a point lies behind the bottom bracket in mm, on a line through it at a seat angle
// (50 to 90 degrees), at a height above it (100 to 1200 mm). [SeatAngleAt] is
// the inverse.
func SetbackAt(seatAngle, height float64) (float64, error) {
	var f fault.List
	f.Range("seat_angle", seatAngle, seatAngleMin, seatAngleMax, "degrees")
	f.Length("height", height, 100, 1200)
	if err := f.Err(); err != nil {
		return 0, err
	}
	sin, cos := num.Sincos(seatAngle)
	return height * cos / sin, nil
}

// SeatAngleAt returns the angle in degrees, from level at the rear, of the line
// from the bottom bracket to a point that lies a setback behind (-300 to 700 mm)
// and a height above it (100 to 1200 mm).
func SeatAngleAt(setback, height float64) (float64, error) {
	var f fault.List
	f.Range("setback", setback, -300, 700, "mm")
	f.Length("height", height, 100, 1200)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return num.Atan2(height, setback), nil
}

// WheelFlopFactor returns trail · sin(head angle) · cos(head angle), in mm. It is
// a factor and not a length that happens: by half of it, times the square of the
// steering angle in radians, the front axle sinks while the angle is small and the
// frame is held. It does not tell how far it sinks at 90°. Head angle and trail are
// those of [Trail]: 50 to 90 degrees, -300 to 500 mm.
func WheelFlopFactor(headAngle, trail float64) (float64, error) {
	var f fault.List
	f.Range("head_angle", headAngle, headAngleMin, headAngleMax, "degrees")
	f.Range("trail", trail, -300, 500, "mm")
	if err := f.Err(); err != nil {
		return 0, err
	}
	sin, cos := num.Sincos(headAngle)
	return trail * sin * cos, nil
}

// SteeringAxisCut returns the height at which the steering axis cuts the
// upright through the front axle, over the wheel's radius. For information: ISO
// 4210-2, Annex A (informative; read in GOST R ISO 4210-2-2023) has 0.15 to 0.60
// with head angles of 65 to 75 degrees, and good bicycles lie outside. The arguments
// are those of [Trail], but for a head angle above 89 degrees, which is out of range:
// an upright axis cuts nothing.
func SteeringAxisCut(headAngle, forkOffset, radius float64) (float64, error) {
	var f fault.List
	f.Range("head_angle", headAngle, headAngleMin, 89, "degrees")
	f.Range("fork_offset", forkOffset, offsetMin, offsetMax, "mm")
	f.Length("radius", radius, radiusMin, radiusMax)
	if err := f.Err(); err != nil {
		return 0, err
	}
	_, cos := num.Sincos(headAngle)
	return 1 - forkOffset/(radius*cos), nil
}

// OnWheels returns the frame as it stands on other wheels, and by how much it
// has pitched, in degrees, positive nose-up. The axles' distance stays, and the
// whole frame turns about the bottom bracket: stack, reach, both angles and the
// drop are those of the frame as it stands. The axles must be stated; radii are 100 to 450 mm.
func (g Geometry) OnWheels(frontRadius, rearRadius float64) (Geometry, float64, error) {
	var f fault.List
	f.In("geometry", g.Validate())
	if g.Axles == (Axles{}) {
		f.Add("geometry.axles", "", "it to be stated", contact.ErrMissing)
	}
	f.Length("front_radius", frontRadius, radiusMin, radiusMax)
	f.Length("rear_radius", rearRadius, radiusMin, radiusMax)
	if err := f.Err(); err != nil {
		return Geometry{}, 0, err
	}
	front, _ := g.FrontAxle()
	rear, _ := g.RearAxle()
	distance := math.Hypot(front.X-rear.X, front.Z-rear.Z)
	pitch := (math.Asin((frontRadius-rearRadius)/distance) - math.Asin((g.Axles.FrontRadius-g.Axles.RearRadius)/distance)) / num.Rad
	sin, cos := num.Sincos(pitch)
	h := g
	h.Reach = g.Reach*cos - g.Stack*sin
	h.Stack = g.Reach*sin + g.Stack*cos
	h.HeadAngle -= pitch
	h.SeatAngle -= pitch
	h.Axles.Drop = rear.X*sin + rear.Z*cos
	h.Axles.FrontRadius, h.Axles.RearRadius = frontRadius, rearRadius
	if err := h.Validate(); err != nil {
		f.In("on other wheels", err)
		return Geometry{}, 0, f.Err()
	}
	return h, pitch, nil
}
