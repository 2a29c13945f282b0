package chart

import (
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
)

// A Tyre is a tyre as ISO 5775 marks it: nominal section width and nominal rim (bead
// seat) diameter, such as 32-622. Its zero value is not valid.
type Tyre struct {
	// Width is the nominal section width, 10 to 150 mm.
	Width float64
	// BeadSeat is the nominal rim diameter, 150 to 700 mm.
	BeadSeat float64
}

// ParseTyre reads a marking such as "32-622" (ISO 5775), or a trade marking such as
// "700x32C", "29x2.25" or "650Bx48" (common practice, no source), whose first part names
// a rim as [BeadSeat] has it. A trade width is in mm for 700 and 650 and in inches for
// the others. Faults are [contact.ErrUnknown] for an unknown marking, [contact.ErrRange]
// for numbers that no tyre has.
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
		// The letter that tells apart rims of one nominal size stands before or after the
		// width.
		if metric && width != "" && width[len(width)-1] >= 'A' && width[len(width)-1] <= 'C' {
			if last := rim[len(rim)-1]; last >= '0' && last <= '9' {
				rim += width[len(width)-1:]
			}
			width = width[:len(width)-1]
		}
		d, err := BeadSeat(rim)
		w, isNumber := plain(width)
		if !ok || err != nil || !isNumber {
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

// Validate reports numbers that are out of range.
func (t Tyre) Validate() error {
	var f fault.List
	f.Range("tyre.width_mm", t.Width, 10, 150, "mm")
	f.Range("tyre.bead_seat_mm", t.BeadSeat, 150, 700, "mm")
	return f.Err()
}

// String returns the marking by ISO 5775, such as "32-622", widths to whole mm.
func (t Tyre) String() string {
	return strconv.FormatFloat(math.Round(t.Width), 'f', -1, 64) + "-" + strconv.FormatFloat(math.Round(t.BeadSeat), 'f', -1, 64)
}

// Radius returns the nominal radius of a wheel with the tyre, in mm: half of the bead
// seat diameter, plus a section height equal to the width. Trade rollout tables for 20 to
// 35 mm on 622 agree with it to 1 mm; a measured rollout ([RolloutRadius]) is better.
// (Another rule adds 2.5 mm below a width of 28 mm; it is off by up to 3.5 mm of radius
// from the same tables.)
func (t Tyre) Radius() (float64, error) {
	if err := t.Validate(); err != nil {
		return 0, err
	}
	return t.BeadSeat/2 + t.Width, nil
}

// beadSeats are the trade's names of rims, with the nominal diameter in mm. Seen
// in an encyclopedia's list and a tyre table.
var beadSeats = map[string]float64{
	"700C": 622, "29": 622, "28": 622, "650B": 584, "27.5": 584, "650C": 571, "650A": 590, "26": 559, "24": 507, "20": 406,
}

// BeadSeat returns the bead seat diameter in mm of a rim by its name in the trade, such
// as "700C", "650B", "29" or "26", or [contact.ErrUnknown]. Some names stand for several
// rims (20, 24, 26 and 28 inches, each with a fraction): the answer is the most common
// one. The marking by ISO 5775 leaves no doubt.
func BeadSeat(name string) (float64, error) {
	d, ok := beadSeats[strings.TrimRight(name, "\"″")]
	if !ok {
		return 0, fault.New("rim", strconv.Quote(name), "a name such as 700C, 650B or 29", fault.ErrUnknown)
	}
	return d, nil
}

// Inches returns the length in mm of a number of inches as people write it: "1.125", "1
// 1/8", "9/16" or "1-1/8". One inch is 25.4 mm. Faults are [contact.ErrUnknown] for any
// other text, and [contact.ErrRange] for more than 100 inches.
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
	if err := f.Err(); err != nil {
		return 0, err
	}
	return sum * 25.4, nil
}
