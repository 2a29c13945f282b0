package motion

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/spatial/r3"
)

// A HipRegression is a published rule for where the centre of a hip lies in the pelvis. The
// zero HipRegression is [Harrington].
type HipRegression uint8

// The rules, with depth from the middle of both ASIS to that of both PSIS, width from ASIS to
// ASIS, and leg from ASIS to inner ankle; from the middle of both ASIS, mm.
const (
	// Harrington is by M. E. Harrington et al. (2007), J. Biomech. 40, 595–602, of one
	// measure for each coordinate: 0.24 depth + 9.9 to the rear, 0.33 width + 7.3 to the side,
	// 0.30 width + 10.9 down. Its people are 8 adults of 23 to 40 years and 24 children, 10 of
	// them with cerebral palsy, in magnetic resonance; leaving one out, the errors are 5.2, 3.2
	// and 3.6 mm. The people were read in the paper's abstract, the numbers in programs that quote it.
	Harrington HipRegression = iota
	// HarringtonLeg is the same authors' rule with the leg: 0.24 depth + 9.9 to the rear,
	// 0.28 depth + 0.16 width + 7.9 to the side, 0.16 width + 0.04 leg + 7.1 down.
	HarringtonLeg
	// Bell is by A. L. Bell, R. A. Brand, D. R. Pedersen (1989), Hum. Mov. Sci. 8, 3–16, of
	// adults: 22 % of the width behind the ASIS, 14 % inward of it (36 % from the middle) and
	// 30 % below; within 33 mm with 95 % certainty. Its abstract does not say along which axes:
	// here those of the pelvis.
	Bell
)

var regressionNames = enum.New[HipRegression]("regression", []string{"harrington", "harrington_leg", "bell"})

// String returns the rule's name, such as "bell".
func (h HipRegression) String() string { return regressionNames.String(h) }

// MarshalText writes the rule's name; it fails for an unknown number.
func (h HipRegression) MarshalText() ([]byte, error) { return regressionNames.Text(h) }

// UnmarshalText reads a name as [ParseHipRegression] does.
func (h *HipRegression) UnmarshalText(text []byte) error { return regressionNames.Read(h, text) }

// ParseHipRegression returns the rule of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseHipRegression(name string) (HipRegression, error) { return regressionNames.Parse(name) }

// HipCentre returns the centre of a side's hip by a regression, of the markers that
// [PelvisAxes] takes (rear is the middle of both PSIS) and the length of the leg from ASIS to
// inner ankle, mm, 0 if not measured. Take it as right to 10 mm at best: rules are of bones,
// and over them is skin. Of people with and without deformed hips, G. Mantovani et al. (2016,
// Gait Posture 44, 48–54) found Harrington's rule 12.3 ± 5.9 mm off in computed tomography,
// and skin of 9.7 ± 7.0 mm over the ASIS and 19.6 ± 10.9 mm over the PSIS.
//
// Faults are those of PelvisAxes, [contact.ErrRange] for a width, depth or leg that no person
// has (another unit, most of all), [contact.ErrMissing] for HarringtonLeg without a leg, and
// [contact.ErrUnknown] for a side that is neither left nor right and for an unknown rule.
func HipCentre(asisLeft, asisRight, rear r3.Vec, leg float64, side contact.Side, by HipRegression) (r3.Vec, error) {
	var f fault.List
	axes, err := PelvisAxes(asisLeft, asisRight, rear)
	f.In("", err)
	middle := r3.Scale(0.5, r3.Add(asisLeft, asisRight))
	width, depth := r3.Norm(r3.Sub(asisLeft, asisRight)), r3.Norm(r3.Sub(middle, rear))
	if err == nil {
		// Wide limits around people from five years on, no source: they tell units apart.
		f.Range("width", width, 100, 450, "mm")
		f.Range("depth", depth, 50, 350, "mm")
	}
	f.Optional("leg", leg, 300, 1400, "mm")
	if leg == 0 && by == HarringtonLeg {
		f.Add("leg", "", "from ASIS to inner ankle", contact.ErrMissing)
	}
	checkSide(&f, side)
	f.In("", regressionNames.Check("by", by))
	if err := f.Err(); err != nil {
		return r3.Vec{}, err
	}
	var back, out, down float64
	switch by {
	case Harrington:
		back, out, down = 0.24*depth+9.9, 0.33*width+7.3, 0.30*width+10.9
	case HarringtonLeg:
		back, out, down = 0.24*depth+9.9, 0.28*depth+0.16*width+7.9, 0.16*width+0.04*leg+7.1
	case Bell:
		back, out, down = 0.22*width, (0.5-0.14)*width, 0.30*width
	}
	if side == contact.Right {
		out = -out
	}
	in := r3.Add(r3.Scale(-back, axes.X), r3.Add(r3.Scale(out, axes.Y), r3.Scale(-down, axes.Z)))
	return r3.Add(middle, in), nil
}

// ThoraxAxes returns the axes of the thorax of its markers: the notch of the breastbone (IJ)
// and its lower end (PX), the seventh vertebra of the neck (C7) and the eighth of the
// thorax (T8). Z goes from the middle of PX and T8 to that of IJ and C7, Y is square to the
// plane of IJ, C7 and the lower middle (Wu et al. 2005, J. Biomech. 38, 981–992, as J. Sports
// Sci. Med. 11, 676, quotes it). Faults are those of PelvisAxes.
func ThoraxAxes(ij, px, c7, t8 r3.Vec) (Axes, error) {
	var f fault.List
	point(&f, "ij", ij)
	point(&f, "px", px)
	point(&f, "c7", c7)
	point(&f, "t8", t8)
	if err := f.Err(); err != nil {
		return Axes{}, err
	}
	up := r3.Scale(0.5, r3.Sub(r3.Add(ij, c7), r3.Add(px, t8)))
	left := r3.Cross(up, r3.Sub(ij, c7))
	if !(r3.Norm(up) >= shortest && r3.Norm(left) >= shortest) {
		f.Add("ij", "on a line with the others", "points of a plane", contact.ErrConflict)
		return Axes{}, f.Err()
	}
	z, y := r3.Unit(up), r3.Unit(left)
	return Axes{X: r3.Cross(y, z), Y: y, Z: z}, nil
}

// ArmAxes returns the axes of an upper arm or a forearm of three points, of the side, by
// directions of an arm that hangs with its palm forward. An upper arm has its end at the
// shoulder's centre and its sides at the outer and inner epicondyles of the elbow: Z goes from
// their middle to the end (Wu et al. 2005, as J. Sports Sci. Med. 11, 676, quotes it). A
// forearm has its end in the middle of the epicondyles and its sides at the styloids of the
// radius, outer, and of the ulna, inner: Z goes from the ulna's to the end (the same, as a
// program quotes it). X is square to the plane of all. Faults are those of [LegAxes].
//
// Of an elbow, [JointTurns] then has flexion as Forward and pronation as Rotation, both
// positive; its carrying angle is a negative Inward.
func ArmAxes(upper bool, end, outer, inner r3.Vec, side contact.Side) (Axes, error) {
	a, err := LegAxes(true, end, outer, inner, side) // an upper arm is built as a thigh is
	if err != nil || upper {
		return a, err
	}
	a.Z = r3.Unit(r3.Sub(end, inner))
	a.Y = r3.Cross(a.Z, a.X)
	return a, nil
}
