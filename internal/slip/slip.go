// Package slip has the usual slips of people who read numbers and write them down: what a
// number may have been before. It knows nothing of bikes.
package slip

import (
	"math"
	"strconv"
	"strings"
)

// A Kind is a usual slip. Package contact has the same kinds with their names.
type Kind uint8

// The kinds. Those from Nose on are of what was measured, and the others of its number.
const (
	Sign Kind = iota + 1
	Centimetres
	Metres
	Inches
	Ten
	Hundred
	Exchanged
	Doubled
	Dropped
	OtherSide
	Nose
	Ground
	Straight
	Side
)

// A Value is what a number may have been before a slip.
type Value struct {
	Kind  Kind
	Value float64
}

// Values returns what a number may have been before one slip, as far as that is from lo to
// hi: a sign; for lengths a unit that is not mm; a mark of a scale (10 or, for lengths,
// 100); digits; for degrees the other side that they count from. Each is there once for
// each kind. Digits are those of the number as it is written to three decimals, with zeros that may have
// stood before them, and one behind them.
func Values(v float64, degrees bool, lo, hi float64) []Value {
	c := candidates{v: v, lo: lo, hi: hi}
	c.add(Sign, 0-v)
	c.add(Ten, v+10)
	c.add(Ten, v-10)
	if degrees {
		c.add(OtherSide, 180-v)
		c.add(OtherSide, 90-v)
	} else {
		c.add(Centimetres, 10*v)
		c.add(Metres, 1000*v)
		c.add(Inches, 25.4*v)
		c.add(Hundred, v+100)
		c.add(Hundred, v-100)
	}
	if math.Abs(v) < mostDigits {
		c.digits()
	}
	return c.all
}

// mostDigits is a number with more digits than anybody writes down.
const mostDigits = 1e6

type candidates struct {
	v, lo, hi float64
	all       []Value
	seen      map[Value]bool
}

func (c *candidates) add(k Kind, v float64) {
	if v == c.v || !(v >= c.lo && v <= c.hi) {
		return
	}
	one := Value{k, v}
	if c.seen == nil {
		c.seen = map[Value]bool{}
	}
	if !c.seen[one] {
		c.seen[one] = true
		c.all = append(c.all, one)
	}
}

// digits adds the numbers of which a digit was doubled or dropped, or two were exchanged.
func (c *candidates) digits() {
	text := strconv.FormatFloat(math.Abs(c.v), 'f', 3, 64)
	text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	written, _ := strconv.ParseFloat(text, 64)
	rest := math.Abs(c.v) - written
	if math.Abs(rest) < 1e-9 {
		rest = 0
	}
	add := func(k Kind, text string) {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return
		}
		c.add(k, math.Copysign(v+rest, c.v))
		if c.v == 0 { // which sign it had does not show
			c.add(k, 0-v)
		}
	}
	if whole := !strings.Contains(text, "."); whole {
		for d := '1'; d <= '9'; d++ {
			add(Dropped, text+"."+string(d))
		}
		for i := range text {
			add(Exchanged, text[:i]+"0"+text[i+1:]+"."+text[i:i+1])
		}
	}
	text = "00" + text
	for i := range text {
		for j := i + 1; j < len(text); j++ {
			if text[i] != '.' && text[j] != '.' {
				add(Exchanged, text[:i]+text[j:j+1]+text[i+1:j]+text[i:i+1]+text[j+1:])
			}
		}
		if i > 2 && text[i] == text[i-1] {
			add(Doubled, text[:i]+text[i+1:])
		}
	}
	for i := 0; i <= len(text); i++ {
		for d := '0'; d <= '9'; d++ {
			add(Dropped, text[:i]+string(d)+text[i:])
		}
	}
}
