package part

import (
	"math"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// A StemOffset is how far a stem carries the bar clamp from the steerer's axis, at half
// of the stem's height, with the bike on level ground.
type StemOffset struct {
	// HeadAngle is that of the steerer from the horizontal, 50 to 90 degrees.
	HeadAngle float64
	// Rise is up and Run forward, -250 to 250 mm each.
	Rise, Run float64
}

// Offset returns how far the stem carries the bar clamp on a steerer at a head angle of
// 50 to 90 degrees. Only the stem's Length (0 to 250 mm) and Angle count.
// [StemOffset.Stem] is the inverse.
func (s Stem) Offset(headAngle float64) (StemOffset, error) {
	var f fault.List
	f.Range("length_mm", s.Length, 0, 250, "mm")
	f.Range("head_angle_deg", headAngle, 50, 90, "degrees")
	f.Range("angle_deg", s.Angle, -60, 60, "degrees")
	if err := f.Err(); err != nil {
		return StemOffset{}, err
	}
	sin, cos := num.Sincos(90 - headAngle + s.Angle)
	return StemOffset{HeadAngle: headAngle, Rise: s.Length * sin, Run: s.Length * cos}, nil
}

// Stem returns a stem with the length and angle, as stems are marked, that carries the
// bar clamp by the offset. A zero offset has no angle: the length must be more than 0 and
// at most 250 mm, the stem's angle from the horizontal -60 to 100 degrees.
func (o StemOffset) Stem() (Stem, error) {
	var f fault.List
	f.Range("rise_mm", o.Rise, -250, 250, "mm")
	f.Range("run_mm", o.Run, -250, 250, "mm")
	f.Range("head_angle_deg", o.HeadAngle, 50, 90, "degrees")
	length := math.Hypot(o.Rise, o.Run)
	if f.Len() == 0 {
		f.Range("length_mm", length, math.SmallestNonzeroFloat64, 250, "mm")
		f.Range("pitch_deg", num.Atan2(o.Rise, o.Run), -60, 100, "degrees")
	}
	if err := f.Err(); err != nil {
		return Stem{}, err
	}
	return Stem{Length: length, Angle: num.Atan2(o.Rise, o.Run) - 90 + o.HeadAngle}, nil
}
