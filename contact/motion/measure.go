package motion

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Measure is something that a recording shows over the revolution. The zero Measure is
// not valid.
type Measure uint8

// The measures. Angles are in degrees, and mean what the variables of package
// contact/rider of the same names mean; the others are in mm. Each is of one side, the
// pelvis too: over the crank angle of that side.
const (
	// KneeFlexion is of hip, knee and ankle.
	KneeFlexion Measure = iota + 1
	// HipFlexion is of shoulder, hip and knee.
	HipFlexion
	// AnkleDorsiflexion is of knee and ankle, and of heel and toe.
	AnkleDorsiflexion
	// TrunkLean is of hip and shoulder.
	TrunkLean
	// ShoulderFlexion is of hip, shoulder and elbow.
	ShoulderFlexion
	// ElbowFlexion is of shoulder, elbow and wrist.
	ElbowFlexion
	// KneeOffset is how far the knee is to the outside of the toe.
	KneeOffset
	// KneeLine is how far the knee is to the outside of the straight line from hip to ankle,
	// as seen from the front.
	KneeLine
	// KneeInward and KneeRotation are how far the shank is bent to the middle against the
	// thigh and how far it is turned inwards, by Grood and Suntay ([JointTurns]), of the
	// axes that hip, both sides of the knee and both sides of the ankle give ([LegAxes]).
	// The hip's marker stands for the hip's centre.
	KneeInward
	KneeRotation
	// PelvisTilt is how far the pelvis is tipped forward, PelvisObliquity how far its left
	// side is up, PelvisRotation how far its front is turned to the left: the angles between
	// the axes of the pelvis (of both ASIS, and both PSIS or the sacrum) and those of the bike.
	PelvisTilt
	PelvisObliquity
	PelvisRotation
	// PelvisForward, PelvisLeft and PelvisUp are where the middle of the markers of the
	// pelvis is, in the axes of the bike. One marker will do.
	PelvisForward
	PelvisLeft
	PelvisUp

	measureCount = int(PelvisUp) + 1
)

var measureNames = enum.New[Measure]("measure", []string{
	KneeFlexion: "knee_flexion", HipFlexion: "hip_flexion", AnkleDorsiflexion: "ankle_dorsiflexion", TrunkLean: "trunk_lean",
	ShoulderFlexion: "shoulder_flexion", ElbowFlexion: "elbow_flexion", KneeOffset: "knee_offset", KneeLine: "knee_line", KneeInward: "knee_inward", KneeRotation: "knee_rotation",
	PelvisTilt: "pelvis_tilt", PelvisObliquity: "pelvis_obliquity", PelvisRotation: "pelvis_rotation",
	PelvisForward: "pelvis_forward", PelvisLeft: "pelvis_left", PelvisUp: "pelvis_up",
})

// String returns the measure's name, such as "knee_flexion".
func (m Measure) String() string { return measureNames.String(m) }

// MarshalText writes the measure's name; it fails for an unknown number.
func (m Measure) MarshalText() ([]byte, error) { return measureNames.Text(m) }

// UnmarshalText reads a name as [ParseMeasure] does.
func (m *Measure) UnmarshalText(text []byte) error { return measureNames.Read(m, text) }

// ParseMeasure returns the measure of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseMeasure(name string) (Measure, error) { return measureNames.Parse(name) }

// Measures returns all measures.
func Measures() []Measure { return measureNames.All() }

// Unit returns "degrees" or "mm"; "" for an unknown number.
func (m Measure) Unit() string {
	switch m {
	case KneeFlexion, HipFlexion, AnkleDorsiflexion, TrunkLean, ShoulderFlexion, ElbowFlexion, KneeInward, KneeRotation, PelvisTilt, PelvisObliquity, PelvisRotation:
		return "degrees"
	case KneeOffset, KneeLine, PelvisForward, PelvisLeft, PelvisUp:
		return "mm"
	}
	return ""
}

// needs holds the markers of each measure, as of the left; of angles the ends of lines.
var needs = [measureCount][]Marker{
	KneeFlexion:       {KneeLeft, HipLeft, KneeLeft, AnkleLeft},
	HipFlexion:        {HipLeft, ShoulderLeft, HipLeft, KneeLeft},
	AnkleDorsiflexion: {AnkleLeft, KneeLeft, HeelLeft, ToeLeft},
	TrunkLean:         {HipLeft, ShoulderLeft},
	ShoulderFlexion:   {ShoulderLeft, HipLeft, ShoulderLeft, ElbowLeft},
	ElbowFlexion:      {ElbowLeft, ShoulderLeft, ElbowLeft, WristLeft},
	KneeOffset:        {ToeLeft, KneeLeft},
	KneeLine:          {HipLeft, KneeLeft, AnkleLeft},
	KneeInward:        {HipLeft, KneeLeft, KneeInnerLeft, AnkleLeft, AnkleInnerLeft},
	KneeRotation:      {HipLeft, KneeLeft, KneeInnerLeft, AnkleLeft, AnkleInnerLeft},
}

// pelvis is all that can be on one.
var pelvis = []Marker{ASISLeft, ASISRight, PSISLeft, PSISRight, Sacrum}

// taker returns how a measure is taken in a frame: NaN if it was not seen, false for markers
// that coincide.
func (m *Motion) taker(of Measure, side contact.Side) (func(i int) (float64, bool), error) {
	var f fault.List
	f.In("", measureNames.Check("measure", of))
	checkSide(&f, side)
	if err := f.Err(); err != nil {
		return nil, err
	}
	value := m.line(of, side)
	switch {
	case needs[of] != nil:
		missing := map[Marker]bool{}
		for _, k := range needs[of] {
			if k = k.On(side); m.tracks[k] == nil && !missing[k] {
				missing[k] = true
				f.Add(k.String(), "", "the samples of this marker, for "+of.String(), contact.ErrMissing)
			}
		}
	default:
		value = m.pelvis(&f, of)
	}
	if m.flat && across(of) {
		f.Add(of.String(), "", "a recording in space, not of one camera at the side", contact.ErrMissing)
	}
	return value, f.Err()
}

// values returns a measure in each frame, NaN where it was not seen.
func (m *Motion) values(w *work.Meter, of Measure, side contact.Side) ([]float64, error) {
	value, err := m.taker(of, side)
	if err != nil {
		return nil, err
	}
	var f fault.List
	values := work.Make[float64](w, len(m.times))
	for i := range values {
		if !w.Do(1) {
			return nil, m.stopped(w)
		}
		v, ok := value(i)
		if !ok {
			f.Add(fault.At(needs[of][0].On(side).String(), i), "", "at least "+num.Text(shortest, "mm")+" from the next marker", contact.ErrRange)
			return nil, f.Err()
		}
		values[i] = v
	}
	return values, nil
}

// across tells what a camera at the side does not see.
func across(of Measure) bool {
	return of == KneeOffset || of == KneeLine || of >= KneeInward && of <= PelvisRotation || of == PelvisLeft
}

// line returns how a measure of joints is taken.
func (m *Motion) line(of Measure, side contact.Side) func(i int) (float64, bool) {
	var at [5][]r3.Vec
	for j, k := range needs[of] {
		at[j] = m.tracks[k.On(side)]
	}
	out := 1.0
	if side == contact.Right {
		out = -1
	}
	view := m.settings.View
	if of == KneeOffset {
		return func(i int) (float64, bool) { return out * (at[1][i].Y - at[0][i].Y), true }
	}
	if of == KneeLine {
		return func(i int) (float64, bool) {
			hip, knee, ankle := at[0][i], at[1][i], at[2][i]
			high := hip.Z - ankle.Z
			if math.Abs(high) < shortest {
				return 0, false
			}
			return out * (knee.Y - ankle.Y - (hip.Y-ankle.Y)*(knee.Z-ankle.Z)/high), true
		}
	}
	if of == KneeInward || of == KneeRotation {
		return func(i int) (float64, bool) {
			return knee(of, [5]r3.Vec{at[0][i], at[1][i], at[2][i], at[3][i], at[4][i]}, side)
		}
	}
	return func(i int) (float64, bool) {
		a := view.see(r3.Sub(at[1][i], at[0][i]))
		if math.IsNaN(a.X) {
			return math.NaN(), true
		}
		if of == TrunkLean {
			level := a.X
			if view == InSpace {
				level = math.Copysign(math.Hypot(level, a.Y), level)
			}
			return num.Atan2(a.Z, level), r3.Norm(a) >= shortest
		}
		b := view.see(r3.Sub(at[3][i], at[2][i]))
		if math.IsNaN(b.X) {
			return math.NaN(), true
		}
		if r3.Norm(a) < shortest || r3.Norm(b) < shortest {
			return 0, false
		}
		switch angle := between(a, b); of {
		case AnkleDorsiflexion:
			return 90 - angle, true
		case ShoulderFlexion:
			return angle, true
		default:
			return 180 - angle, true
		}
	}
}

// knee returns a measure of hip and both sides of knee and ankle.
func knee(of Measure, at [5]r3.Vec, side contact.Side) (float64, bool) {
	for _, p := range at {
		if math.IsNaN(p.X) {
			return math.NaN(), true
		}
	}
	thigh, ok := legAxes(true, at[0], at[1], at[2], side)
	shank, too := legAxes(false, r3.Scale(0.5, r3.Add(at[1], at[2])), at[3], at[4], side)
	t, three := turns(thigh, shank, side)
	if of == KneeInward {
		return t.Inward, ok && too && three
	}
	return t.Rotation, ok && too && three
}

// pelvis returns how a measure of the pelvis is taken.
func (m *Motion) pelvis(f *fault.List, of Measure) func(i int) (float64, bool) {
	var all [][]r3.Vec
	for _, k := range pelvis {
		if m.tracks[k] != nil {
			all = append(all, m.tracks[k])
		}
	}
	if len(all) == 0 {
		f.Add(Sacrum.String(), "", "the samples of this marker or of another of the pelvis, for "+of.String(), contact.ErrMissing)
		return nil
	}
	middle := func(i int) (at r3.Vec) {
		for _, track := range all {
			at = r3.Add(at, r3.Scale(1/float64(len(all)), track[i]))
		}
		return at
	}
	if of >= PelvisForward {
		return func(i int) (float64, bool) { return coordinate(middle(i), int(of-PelvisForward)), true }
	}
	left, right, rear := m.tracks[ASISLeft], m.tracks[ASISRight], m.tracks[Sacrum]
	rears := [2][]r3.Vec{m.tracks[PSISLeft], m.tracks[PSISRight]}
	if rears[0] == nil || rears[1] == nil {
		rears = [2][]r3.Vec{rear, rear}
	}
	for _, k := range []struct {
		at   []r3.Vec
		name string
	}{{left, ASISLeft.String()}, {right, ASISRight.String()}, {rears[0], PSISLeft.String()}} {
		if k.at == nil {
			f.Add(k.name, "", "the samples of this marker, for "+of.String(), contact.ErrMissing)
		}
	}
	return func(i int) (float64, bool) {
		x, y, z, ok := pelvisAxes(left[i], right[i], r3.Scale(0.5, r3.Add(rears[0][i], rears[1][i])))
		if !ok {
			return math.NaN(), true
		}
		switch of {
		case PelvisTilt:
			return math.Asin(z.X) / num.Rad, true
		case PelvisObliquity:
			return math.Asin(y.Z) / num.Rad, true
		default:
			return math.Asin(x.Y) / num.Rad, true
		}
	}
}

// pelvisAxes returns the axes of the pelvis, forward, to the left and up: y along both
// ASIS, z square to the plane of these and the rear, x square to both (Wu et al. 2002, J.
// Biomech. 35, 543–548). It returns false where one was not seen or all are on a line.
func pelvisAxes(left, right, rear r3.Vec) (x, y, z r3.Vec, ok bool) {
	across := r3.Sub(left, right)
	up := r3.Cross(r3.Sub(r3.Scale(0.5, r3.Add(left, right)), rear), across)
	if !(r3.Norm(across) >= shortest && r3.Norm(up) >= shortest) {
		return x, y, z, false
	}
	y, z = r3.Unit(across), r3.Unit(up)
	return r3.Cross(y, z), y, z, true
}
