package motion

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Axes are the directions of a segment of the body: X forward, Y to the left, Z up along
// it when the rider stands, of length 1 and square to one another. The recommendations of
// the ISB have the same directions by other names: their X, Y and Z are X, Z and −Y.
type Axes struct {
	// X, Y and Z are the directions.
	X, Y, Z r3.Vec
}

func (a *Axes) check(f *fault.List, path string) {
	ok := num.Finite(a.X.X, a.X.Y, a.X.Z, a.Y.X, a.Y.Y, a.Y.Z, a.Z.X, a.Z.Y, a.Z.Z)
	off := max(r3.Norm(r3.Sub(r3.Cross(a.X, a.Y), a.Z)), math.Abs(r3.Dot(a.X, a.Y)), math.Abs(r3.Norm(a.X)-1), math.Abs(r3.Norm(a.Y)-1))
	if !ok || !(off <= 1e-6) {
		f.Add(path, "", "three directions of length 1, square to one another, right-handed", contact.ErrConflict)
	}
}

// PelvisAxes returns the axes of the pelvis of its markers (rear is the sacrum or the middle
// of both PSIS): Y along both ASIS, Z square to the plane of all, X square to both (Wu et
// al. 2002, J. Biomech. 35, 543–548). The fault is [contact.ErrConflict] for points on one
// line, and [contact.ErrRange] for coordinates that are not finite or beyond 10 m.
func PelvisAxes(asisLeft, asisRight, rear r3.Vec) (Axes, error) {
	var f fault.List
	point(&f, "asis_left", asisLeft)
	point(&f, "asis_right", asisRight)
	point(&f, "rear", rear)
	x, y, z, ok := pelvisAxes(asisLeft, asisRight, rear)
	if !ok && f.Len() == 0 {
		f.Add("rear", "on a line with the others", "points of a plane", contact.ErrConflict)
	}
	return Axes{x, y, z}, f.Err()
}

func checkSide(f *fault.List, side contact.Side) {
	if side != contact.Left && side != contact.Right {
		f.Add("side", side.String(), "left or right", contact.ErrUnknown)
	}
}

// LegAxes returns the axes of a thigh or a shank of three points, of the side. A thigh has
// its end at the hip's centre and its sides at the outer and inner epicondyles of the knee:
// Z goes from their middle to the end, Y is square to it in the plane of all. A shank has its
// end in the middle of the knee and its sides at the outer and inner ankle: Y goes from one
// to the other, X is square to the plane of all (Wu et al. 2002). Faults are those of
// PelvisAxes, and [contact.ErrUnknown] for a side that is neither left nor right.
func LegAxes(thigh bool, end, outer, inner r3.Vec, side contact.Side) (Axes, error) {
	var f fault.List
	point(&f, "end", end)
	point(&f, "outer", outer)
	point(&f, "inner", inner)
	checkSide(&f, side)
	if err := f.Err(); err != nil {
		return Axes{}, err
	}
	a, ok := legAxes(thigh, end, outer, inner, side)
	if !ok {
		f.Add("end", "on a line with the others", "points of a plane", contact.ErrConflict)
	}
	return a, f.Err()
}

func legAxes(thigh bool, end, outer, inner r3.Vec, side contact.Side) (a Axes, ok bool) {
	across := r3.Sub(outer, inner)
	if side == contact.Right {
		across = r3.Scale(-1, across)
	}
	up := r3.Sub(end, r3.Scale(0.5, r3.Add(outer, inner)))
	forward := r3.Cross(across, up)
	if !(r3.Norm(across) >= shortest && r3.Norm(up) >= shortest && r3.Norm(forward) >= shortest) {
		return a, false
	}
	a.X = r3.Unit(forward)
	if thigh {
		a.Z = r3.Unit(up)
		a.Y = r3.Cross(a.Z, a.X)
	} else {
		a.Y = r3.Unit(across)
		a.Z = r3.Cross(a.X, a.Y)
	}
	return a, true
}

// Turns are the angles of a joint in three planes, in degrees, by Grood and Suntay (1983, J.
// Biomech. Eng. 105, 136–144): about an axis of the upper segment, one of the lower segment,
// and the one that is square to both.
type Turns struct {
	// Forward is about the upper segment's Y: positive as the lower end goes forward, which is
	// flexion of a hip; flexion of a knee is negative.
	Forward float64
	// Inward is about the axis between: positive as the lower end goes to the middle
	// (adduction), -90 to 90.
	Inward float64
	// Rotation is about the lower segment's Z: positive as its front goes to the middle
	// (internal rotation).
	Rotation float64
}

// JointTurns returns the angles between an upper and a lower segment of a side. Faults are
// [contact.ErrUnknown] for a side that is neither left nor right, and
// [contact.ErrConflict] for axes that are none and for a joint that is bent sideways by
// more than 85 degrees, where two of the angles are one.
func JointTurns(upper, lower Axes, side contact.Side) (Turns, error) {
	var f fault.List
	upper.check(&f, "upper")
	lower.check(&f, "lower")
	checkSide(&f, side)
	if err := f.Err(); err != nil {
		return Turns{}, err
	}
	t, ok := turns(upper, lower, side)
	if !ok {
		f.Add("lower", num.Text(t.Inward, "degrees to the side"), num.Span(-85, 85, "degrees"), contact.ErrConflict)
		return Turns{}, f.Err()
	}
	return t, nil
}

func turns(upper, lower Axes, side contact.Side) (t Turns, ok bool) {
	// By the right side's directions; those of the left are mirrored.
	e1, e3 := r3.Scale(-1, upper.Y), lower.Z
	out := r3.Scale(-1, lower.Y)
	e2 := r3.Cross(e3, e1)
	t.Inward = num.Atan2(r3.Dot(e1, e3), r3.Norm(e2))
	t.Forward = num.Atan2(r3.Dot(e2, upper.Z), r3.Dot(e2, upper.X))
	t.Rotation = num.Atan2(r3.Dot(e2, out), r3.Dot(e2, lower.X))
	if side == contact.Left {
		t.Inward, t.Rotation = -t.Inward, -t.Rotation
	}
	return t, math.Abs(t.Inward) <= 85
}

// A Pose is where a segment is in a frame: the place of its origin, and its axes.
type Pose struct {
	// Origin is the place, mm.
	Origin r3.Vec
	// Axes are the directions.
	Axes Axes
}

// A Rotation is what two segments turn about.
type Rotation struct {
	// Hinge reports that they turn about one axis only, or nearly so, so that no point of it
	// can be told from the others.
	Hinge bool
	// Axis is the direction of that axis in the upper segment's axes; 0 if it is no hinge.
	Axis r3.Vec
	// InUpper and InLower are where the centre is in the axes of the segments, mm; 0 of a
	// hinge.
	InUpper, InLower r3.Vec
	// Off is the root mean square of how far the two images of the centre are apart.
	Off float64
	// Singular are the six singular values of the equations, largest first: the last is small
	// if the movement tells little.
	Singular [6]float64
}

// leastTurn is the least share of its singular value that a direction has in which segments
// turn: some 5 degrees, as a root mean square.
const leastTurn = 0.04

// CentreOfRotation returns the point that two segments turn about, by the symmetrical
// method of R. M. Ehrig, W. R. Taylor, G. N. Duda, M. O. Heller (2006), J. Biomech. 39,
// 2798–2809: the point of each that stays nearest to that of the other. Knees and pedals
// are hinges: of one there is an axis and no point.
//
// Faults are [contact.ErrMissing] for fewer than three frames, [contact.ErrConflict] for
// lists of different lengths and axes that are none, [contact.ErrRange] for origins that are
// not finite or beyond 10 m.
func CentreOfRotation(upper, lower []Pose) (Rotation, error) {
	var f fault.List
	if len(upper) != len(lower) {
		f.Add("lower", num.Text(float64(len(lower)), "frames"), num.Text(float64(len(upper)), "")+", as of the upper", contact.ErrConflict)
	}
	if len(upper) < 3 {
		f.Add("upper", "", "at least three frames", contact.ErrMissing)
	}
	for name, poses := range map[string][]Pose{"upper": upper, "lower": lower} {
		for i := range poses {
			point(&f, fault.At(name, i), poses[i].Origin)
			poses[i].Axes.check(&f, fault.At(name, i))
		}
	}
	if err := f.Err(); err != nil {
		return Rotation{}, err
	}
	n := len(upper)
	rows, right := mat.NewDense(3*n, 6, nil), mat.NewVecDense(3*n, nil)
	for i := range n {
		u, l := upper[i].Axes, lower[i].Axes
		by := r3.Sub(lower[i].Origin, upper[i].Origin)
		for axis := range 3 {
			rows.SetRow(3*i+axis, []float64{
				coordinate(u.X, axis), coordinate(u.Y, axis), coordinate(u.Z, axis),
				-coordinate(l.X, axis), -coordinate(l.Y, axis), -coordinate(l.Z, axis),
			})
			right.SetVec(3*i+axis, coordinate(by, axis))
		}
	}
	var svd mat.SVD
	var r Rotation
	if !svd.Factorize(rows, mat.SVDThin) {
		f.Add("upper", "", "poses that can be solved for", contact.ErrConflict)
		return r, f.Err()
	}
	copy(r.Singular[:], svd.Values(nil))
	var v mat.Dense
	svd.VTo(&v)
	if r.Hinge = r.Singular[5] < leastTurn*r.Singular[0]; r.Hinge {
		if axis := (r3.Vec{X: v.At(0, 5), Y: v.At(1, 5), Z: v.At(2, 5)}); r3.Norm(axis) > 0 {
			r.Axis = r3.Unit(axis)
		}
		return r, nil
	}
	var c mat.VecDense
	svd.SolveVecTo(&c, right, 6)
	r.InUpper, r.InLower = r3.Vec{X: c.AtVec(0), Y: c.AtVec(1), Z: c.AtVec(2)}, r3.Vec{X: c.AtVec(3), Y: c.AtVec(4), Z: c.AtVec(5)}
	var off mat.VecDense
	off.MulVec(rows, &c)
	off.SubVec(&off, right)
	r.Off = mat.Norm(&off, 2) / math.Sqrt(float64(n))
	return r, nil
}
