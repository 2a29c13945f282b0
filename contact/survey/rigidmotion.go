package survey

import (
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/spatial/transform"
)

// A RigidMotion is a rotation and a shift. It neither scales nor mirrors. The zero
// RigidMotion is not valid; [FitMotion] makes one.
type RigidMotion struct {
	rows  [3]r3.Vec // of the rotation
	shift r3.Vec
}

// Turn returns a direction as the motion turns it.
func (m RigidMotion) Turn(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(m.rows[0], v), Y: r3.Dot(m.rows[1], v), Z: r3.Dot(m.rows[2], v)}
}

// Apply returns a point as the motion moves it.
func (m RigidMotion) Apply(v r3.Vec) r3.Vec { return r3.Add(m.Turn(v), m.shift) }

// Inverse returns the motion that moves every point back.
func (m RigidMotion) Inverse() RigidMotion {
	var back RigidMotion
	for i := range back.rows {
		back.rows[i] = r3.Vec{X: at(m.rows[0], i), Y: at(m.rows[1], i), Z: at(m.rows[2], i)}
	}
	back.shift = r3.Scale(-1, back.Turn(m.shift))
	return back
}

// FitMotion returns the rigid motion that carries the points from onto the points to with
// the smallest sum of squared distances (Umeyama 1991, with the scale held at 1). It
// never mirrors: for a mirror image it returns the rotation that fits best. The residuals
// are where it carries each point less where that point should be, in the axes of to.
//
// Faults are [contact.ErrMissing] for fewer than three points, [contact.ErrRange] for
// numbers that are not finite, and [contact.ErrConflict] for lists of different lengths
// and for points that all lie on one line or at one place.
func FitMotion(from, to []r3.Vec) (m RigidMotion, residuals []r3.Vec, err error) {
	var f fault.List
	switch {
	case len(from) != len(to):
		f.Add("points", fmt.Sprintf("%d and %d", len(from), len(to)), "two lists of the same length", contact.ErrConflict)
		return RigidMotion{}, nil, f.Err()
	case len(from) < 3:
		f.Add("points", fmt.Sprintf("%d", len(from)), "three or more", contact.ErrMissing)
		return RigidMotion{}, nil, f.Err()
	}
	for i := range from {
		if !num.Finite(from[i].X, from[i].Y, from[i].Z, to[i].X, to[i].Y, to[i].Z) {
			f.Add(fmt.Sprintf("points[%d]", i), "", "finite numbers", contact.ErrRange)
		}
	}
	if err := f.Err(); err != nil {
		return RigidMotion{}, nil, err
	}
	x, y := newCloud(from), newCloud(to)
	for _, side := range [2]struct {
		name string
		c    *cloud
	}{{"from", &x}, {"to", &y}} {
		if side.c.onLine() {
			f.Add(side.name, "on one line", "points that do not all lie on one line", contact.ErrConflict)
		}
	}
	if err := f.Err(); err != nil {
		return RigidMotion{}, nil, err
	}
	_, rotation, _, ok := transform.NewUmeyama(x.rows, y.rows).Transform()
	if !ok {
		f.Add("points", "", "points that determine a rotation", contact.ErrConflict)
		return RigidMotion{}, nil, f.Err()
	}
	for i := range m.rows {
		m.rows[i] = r3.Vec{X: rotation.At(i, 0), Y: rotation.At(i, 1), Z: rotation.At(i, 2)}
	}
	m.shift = r3.Sub(y.mean, m.Turn(x.mean))
	residuals = make([]r3.Vec, len(from))
	for i, v := range from {
		residuals[i] = r3.Sub(m.Apply(v), to[i])
	}
	return m, residuals, nil
}

// A cloud is a matrix of points, one a row, and their mean.
type cloud struct {
	rows *mat.Dense
	mean r3.Vec
}

func newCloud(points []r3.Vec) cloud {
	c := cloud{rows: mat.NewDense(len(points), 3, nil)}
	for i, p := range points {
		c.rows.SetRow(i, []float64{p.X, p.Y, p.Z})
		c.mean = r3.Add(c.mean, r3.Scale(1/float64(len(points)), p))
	}
	return c
}

// onLine reports whether the points are spread in one direction only. It takes two to
// determine a rotation.
func (c *cloud) onLine() bool {
	n, _ := c.rows.Dims()
	off := mat.NewDense(n, 3, nil)
	for i := range n {
		off.SetRow(i, []float64{c.rows.At(i, 0) - c.mean.X, c.rows.At(i, 1) - c.mean.Y, c.rows.At(i, 2) - c.mean.Z})
	}
	var spread mat.SVD
	return !spread.Factorize(off, mat.SVDNone) || !(spread.Values(nil)[1] > 1e-6*spread.Values(nil)[0])
}

// turned returns a covariance in the axes that the motion carries onto.
func (m RigidMotion) turned(c [3][3]float64) (t [3][3]float64) {
	for i := range 3 {
		for j := range 3 {
			t[i][j] = r3.Dot(m.rows[i], apply(c, m.rows[j]))
		}
	}
	return t
}
