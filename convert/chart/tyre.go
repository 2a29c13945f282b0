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

// ParseTyre reads a marking such as "32-622" (ISO 5775), or one of the trade such as
// "700x32C", "29x2.25", "650Bx48" or "16 x 1 3/8" (common practice, no source), whose
// first part names a rim as [BeadSeat] has it. A trade width is in mm for 700 and 650 and
// in inches for the others; a fraction of an inch names another rim than the same width
// with a point. Faults are [contact.ErrUnknown] for an unknown marking,
// [contact.ErrRange] for numbers that no tyre has.
func ParseTyre(marking string) (Tyre, error) {
	var t Tyre
	var ok bool
	if rim, width, trade := cutMarking(marking); trade {
		t, ok = tradeTyre(rim, width)
	} else if width, bead, iso := strings.Cut(marking, "-"); iso {
		var ok2 bool
		t.Width, ok = plain(width)
		t.BeadSeat, ok2 = plain(bead)
		ok = ok && ok2
	}
	if !ok {
		return Tyre{}, &contact.Error{Path: "tyre", Value: strconv.Quote(marking), Want: "a marking such as 32-622 or 700x32C", Class: contact.ErrUnknown}
	}
	if err := t.Validate(); err != nil {
		return Tyre{}, err
	}
	return t, nil
}

var oneSpelling = strings.NewReplacer("×", "x", "X", "x", "\"", "", "″", "", "½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8")

// cutMarking returns the two parts of a marking of the trade in one spelling, as "16" and
// "1 3/8" of "16″ × 1-3/8".
func cutMarking(marking string) (rim, width string, ok bool) {
	if len(marking) > 40 {
		return "", "", false
	}
	rim, width, ok = strings.Cut(oneSpelling.Replace(marking), "x")
	words := func(s string) string { return strings.Join(strings.Fields(strings.ReplaceAll(s, "-", " ")), " ") }
	return words(rim), words(width), ok
}

// tradeTyre returns the tyre of a marking of the trade.
func tradeTyre(rim, width string) (Tyre, bool) {
	metric := strings.HasPrefix(rim, "7") || strings.HasPrefix(rim, "65")
	if metric {
		// The letter that tells apart rims of one nominal size stands before or after the
		// width.
		if width != "" && width[len(width)-1] >= 'A' && width[len(width)-1] <= 'C' {
			if last := rim[len(rim)-1]; last >= '0' && last <= '9' {
				rim += width[len(width)-1:]
			}
			width = width[:len(width)-1]
		}
		w, ok := plain(width)
		d, known := beadSeats[rim]
		return Tyre{w, d}, ok && known
	}
	d, known := inchRim(rim, width)
	if w, ok := plain(width); ok {
		return Tyre{w * 25.4, d}, known
	}
	w, err := Inches(width)
	return Tyre{w, d}, known && err == nil
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
// seat diameter, plus a section height that is the width, as ISO 5775 has it by an
// encyclopedia. (The encyclopedia adds 2.5 mm to widths below 28 mm; this does not.) It
// does not tell what the rim's width, pressure and load make of the tyre: a measured
// rollout ([RolloutRadius]) does.
func (t Tyre) Radius() (float64, error) {
	if err := t.Validate(); err != nil {
		return 0, err
	}
	return t.BeadSeat/2 + t.Width, nil
}

// beadSeats are the trade's names of rims, with the nominal diameter in mm: by name alone,
// or by name and width where that tells one from another. Seen in an encyclopedia's list
// of rims (12 to 18 inches, 406) and in size tables (the others).
var beadSeats = map[string]float64{
	"700C": 622, "29": 622, "28": 622, "650B": 584, "27.5": 584, "650C": 571, "650A": 590, "26": 559, "24": 507, "20": 406,
	"12 1/2": 203, "14": 254, "16": 305, "18": 355,
	"14x1 3/8": 298, "16x1 3/8": 349, "16x1 3/4": 317, "17x1 1/4": 369, "18x1": 400, "18x1 3/8": 400,
	"20x1 1/8": 451, "20x1 1/4": 451, "20x1 3/8": 451, "24x1": 520, "24x1 1/8": 520, "24x1 3/8": 540,
	"26x1": 571, "26x1 1/4": 597, "26x1 3/8": 590, "26x1 1/2": 584, "28x1 1/2": 635,
}

// inchRim returns the bead seat diameter of a rim in inches by its name and its tyre's width.
func inchRim(rim, width string) (float64, bool) {
	if d, ok := beadSeats[rim+"x"+width]; ok {
		return d, true
	}
	if strings.Contains(width, "/") && !strings.Contains(rim, "/") {
		return 0, false // a fraction, and not one that has been seen
	}
	d, ok := beadSeats[rim]
	return d, ok
}

// BeadSeat returns the bead seat diameter in mm of a rim by its name in the trade, such
// as "700C", "650B", "29" or "16", or by a tyre's marking in inches, such as "16 x 1 3/8",
// or [contact.ErrUnknown]. Some names stand for several rims ("20" and "28" without a
// fraction; "16 x 1 3/8" for 335, 337 and 349 mm, "26 x 1 3/8" for 590 and 597 mm): the
// answer is the most common one. The marking by ISO 5775 leaves no doubt.
func BeadSeat(name string) (float64, error) {
	rim, width, both := cutMarking(name)
	d, ok := beadSeats[rim]
	if both {
		d, ok = inchRim(rim, width)
	}
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
