package convert

import (
	"math"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// What the dimensions of a bicycle may be; wide enough for every kind.
const (
	headAngleMin, headAngleMax = 50, 90
	seatAngleMin, seatAngleMax = 50, 90
	offsetMin, offsetMax       = -100, 120
	radiusMin, radiusMax       = 100, 450
)

// Trail returns how far the front tyre's contact point lies behind the point
// where the steering axis meets the ground, along level ground, in mm.
// Positive when the contact point is behind.
//
//   - headAngle: steering axis against level, 50 to 90 degrees;
//   - forkOffset: front axle in front of the steering axis, square to it, -100 to 120 mm;
//   - radius: of the front wheel with its tyre, 100 to 450 mm.
//
// Numbers out of range are [contact.ErrRange], or [contact.ErrUnit] where another
// unit explains them. [ForkOffset] is the inverse. Source: J. K. Moore, Human
// Control of a Bicycle (2012), chapter Physical Parameters, equation for trail.
func Trail(headAngle, forkOffset, radius float64) (float64, error) {
	var f fault.List
	f.Range("head_angle", headAngle, headAngleMin, headAngleMax, "degrees")
	f.Range("fork_offset", forkOffset, offsetMin, offsetMax, "mm")
	f.Length("radius", radius, radiusMin, radiusMax)
	if err := f.Err(); err != nil {
		return 0, err
	}
	sin, cos := num.Sincos(headAngle)
	return (radius*cos - forkOffset) / sin, nil
}

// ForkOffset returns how far the front axle lies in front of the steering axis,
// square to it, in mm, for a trail in mm (-300 to 500). The arguments are those of
// [Trail], which is the inverse.
func ForkOffset(headAngle, trail, radius float64) (float64, error) {
	var f fault.List
	f.Range("head_angle", headAngle, headAngleMin, headAngleMax, "degrees")
	f.Range("trail", trail, -300, 500, "mm")
	f.Length("radius", radius, radiusMin, radiusMax)
	if err := f.Err(); err != nil {
		return 0, err
	}
	sin, cos := num.Sincos(headAngle)
	return radius*cos - trail*sin, nil
}

// StemPitch returns the angle of a stem against level, in degrees, positive when
// it climbs towards the bar: 90° less the head angle, plus the stem angle.
//
//   - headAngle: 50 to 90 degrees;
//   - stemAngle: against a line square to the steerer, as stems are marked,
//     positive when it climbs, -60 to 60 degrees.
//
// [StemAngle] is the inverse.
func StemPitch(headAngle, stemAngle float64) (float64, error) {
	var f fault.List
	f.Range("head_angle", headAngle, headAngleMin, headAngleMax, "degrees")
	f.Range("stem_angle", stemAngle, -60, 60, "degrees")
	return sound(90-headAngle+stemAngle, &f)
}

// StemAngle returns the angle that a stem is marked with, in degrees, for its
// angle against level (-60 to 100 degrees). It is the inverse of [StemPitch].
func StemAngle(headAngle, pitch float64) (float64, error) {
	var f fault.List
	f.Range("head_angle", headAngle, headAngleMin, headAngleMax, "degrees")
	f.Range("pitch", pitch, -60, 100, "degrees")
	return sound(pitch-90+headAngle, &f)
}

// StemRiseRun returns how far a stem carries the bar's clamp centre up (rise)
// and forward (run) from the steerer's axis at half of the stem's height, in mm.
//
//   - length: steerer axis to clamp centre along the stem, 0 to 250 mm;
//   - headAngle, stemAngle: as for [StemPitch].
//
// [StemFromRiseRun] is the inverse.
func StemRiseRun(length, headAngle, stemAngle float64) (rise, run float64, err error) {
	var f fault.List
	f.Range("length", length, 0, 250, "mm")
	pitch, err := StemPitch(headAngle, stemAngle)
	f.In("stem", err)
	if err := f.Err(); err != nil {
		return 0, 0, err
	}
	sin, cos := num.Sincos(pitch)
	return length * sin, length * cos, nil
}

// StemFromRiseRun returns the length in mm and the angle in degrees, as stems
// are marked, of the stem with that rise and run in mm, -250 to 250 each, on a head
// angle of 50 to 90 degrees. A stem that has neither has no angle: its length must
// be more than 0 and at most 250 mm.
func StemFromRiseRun(rise, run, headAngle float64) (length, stemAngle float64, err error) {
	var f fault.List
	f.Range("rise", rise, -250, 250, "mm")
	f.Range("run", run, -250, 250, "mm")
	length = math.Hypot(rise, run)
	if f.Err() == nil {
		f.Range("length", length, math.SmallestNonzeroFloat64, 250, "mm")
	}
	stemAngle, err = StemAngle(headAngle, num.Atan2(rise, run))
	f.In("stem", err)
	if err := f.Err(); err != nil {
		return 0, 0, err
	}
	return length, stemAngle, nil
}

// EffectiveTopTube returns the level distance in mm from the head tube's top
// centre back to the seat tube's line, for a line through the bottom bracket.
//
//   - stack, reach: head tube top centre above and in front of the bottom
//     bracket, 300 to 800 and 200 to 600 mm;
//   - seatAngle: 50 to 90 degrees.
//
// [ReachFromEffectiveTopTube] is the inverse.
func EffectiveTopTube(stack, reach, seatAngle float64) (float64, error) {
	var f fault.List
	f.Length("stack", stack, stackMin, stackMax)
	f.Length("reach", reach, reachMin, reachMax)
	f.Range("seat_angle", seatAngle, seatAngleMin, seatAngleMax, "degrees")
	if err := f.Err(); err != nil {
		return 0, err
	}
	sin, cos := num.Sincos(seatAngle)
	return reach + stack*cos/sin, nil
}

// ReachFromEffectiveTopTube returns the reach in mm of a frame with that
// effective top tube, 300 to 1000 mm, in the terms of [EffectiveTopTube].
func ReachFromEffectiveTopTube(stack, topTube, seatAngle float64) (float64, error) {
	var f fault.List
	f.Length("stack", stack, stackMin, stackMax)
	f.Length("effective_top_tube", topTube, 300, 1000)
	f.Range("seat_angle", seatAngle, seatAngleMin, seatAngleMax, "degrees")
	if err := f.Err(); err != nil {
		return 0, err
	}
	sin, cos := num.Sincos(seatAngle)
	return topTube - stack*cos/sin, nil
}

// sound returns a number, or 0 if there are faults.
func sound(v float64, f *fault.List) (float64, error) {
	if err := f.Err(); err != nil {
		return 0, err
	}
	return v, nil
}
