// Package num holds the small arithmetic that the public packages share.
package num

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// Rad is one degree in radians.
const Rad = math.Pi / 180

// Normal95 is how many standard deviations hold 95 % of normal errors to either side.
const Normal95 = 1.959963984540054

// Sincos returns the sine and cosine of an angle in degrees, exact at whole
// multiples of 90 degrees, where a sum of radians would leave a trace.
func Sincos(deg float64) (sin, cos float64) {
	if deg > -90 && deg < 90 { // most angles: no remainder to take
		return math.Sincos(deg * Rad)
	}
	switch r := math.Mod(deg, 360); r {
	case 0:
		return 0, 1
	case 90, -270:
		return 1, 0
	case 180, -180:
		return 0, -1
	case 270, -90:
		return -1, 0
	default:
		return math.Sincos(r * Rad)
	}
}

// Atan2 returns the angle of (x, y) in degrees, -180 to 180.
func Atan2(y, x float64) float64 { return math.Atan2(y, x) / Rad }

// Finite reports whether no number is NaN or infinite.
func Finite(vs ...float64) bool {
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// Text prints a value with its unit, short, for errors.
func Text(v float64, unit string) string {
	s := strconv.FormatFloat(v, 'g', 7, 64)
	if unit != "" {
		s += " " + unit
	}
	return s
}

// Span prints a range with its unit, for errors.
func Span(lo, hi float64, unit string) string {
	if lo == math.SmallestNonzeroFloat64 {
		return "more than 0, at most " + Text(hi, unit)
	}
	return Text(lo, "to") + " " + Text(hi, unit)
}

// Mistaken says in which unit, or in which ones, a length that is no sensible number of
// millimetres would lie between lo and hi, or which unit millimetres were taken for, or
// returns "".
func Mistaken(v, lo, hi float64) string {
	units := []struct {
		name string
		mm   float64
	}{{"metres", 1000}, {"centimetres", 10}, {"inches", 25.4}}
	var like []string
	for _, u := range units {
		if mm := v * u.mm; mm >= lo && mm <= hi {
			like = append(like, u.name)
		}
	}
	if like != nil {
		return strings.Join(like, " or ")
	}
	for _, u := range units {
		if mm := v / u.mm; mm >= lo && mm <= hi {
			return "millimetres taken for " + u.name
		}
	}
	return ""
}

// Turn brings an angle to 0 to below 360.
func Turn(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 { // a tiny negative angle, rounded
		deg = 0
	}
	return deg
}

// Turned turns v nose-up about the Y axis by an angle of which it has sine and cosine.
func Turned(v r3.Vec, sin, cos float64) r3.Vec {
	return r3.Vec{X: float64(v.X*cos) - float64(v.Z*sin), Y: v.Y, Z: float64(v.X*sin) + float64(v.Z*cos)}
}

// Leeway is how much of a tolerance rounding may go beyond it.
const Leeway = 1e-6

// Beyond reports whether a coordinate that is asked for is off by more than its
// tolerance, with allowance for rounding. NaN is never within.
func Beyond(off, tolerance float64) bool {
	return tolerance != 0 && !(math.Abs(off) <= tolerance*(1+Leeway))
}
