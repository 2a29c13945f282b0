package motion

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A CircleMethod is a way to fit a circle to points of a plane. The zero CircleMethod is
// [Geometric].
type CircleMethod uint8

// The methods. Gander, Golub, Strebel (1994), BIT 34, compare them.
const (
	// Geometric has the least sum of squared distances from the circle.
	Geometric CircleMethod = iota
	// Kasa has the least sum of squares of d² − r² (Kåsa 1976). On short arcs its circles
	// are too small.
	Kasa
	// Pratt and Taubin divide that by what makes arcs count rightly (Pratt 1987, Taubin
	// 1991).
	Pratt
	Taubin
)

var methodNames = enum.New[CircleMethod]("method", []string{"geometric", "kasa", "pratt", "taubin"})

// String returns the method's name, such as "taubin".
func (m CircleMethod) String() string { return methodNames.String(m) }

// MarshalText writes the method's name; it fails for an unknown number.
func (m CircleMethod) MarshalText() ([]byte, error) { return methodNames.Text(m) }

// UnmarshalText reads a name as [ParseCircleMethod] does.
func (m *CircleMethod) UnmarshalText(text []byte) error { return methodNames.Read(m, text) }

// ParseCircleMethod returns the method of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseCircleMethod(name string) (CircleMethod, error) { return methodNames.Parse(name) }

// A Circle is a circle in space.
type Circle struct {
	// Centre is its centre, mm.
	Centre r3.Vec `json:"centre_mm"`
	// Normal is square to its plane, of length 1, with Y not negative.
	Normal r3.Vec `json:"normal"`
	// Radius is its radius, mm.
	Radius float64 `json:"radius_mm"`
	// Off is the root mean square of the points' distances from it, mm.
	Off float64 `json:"off_mm"`
}

// FitCircle returns the circle through points of a plane, or nearly so: first the plane
// with the least sum of squared distances, then the circle in it by the method.
//
// Faults are [contact.ErrMissing] for fewer than three points, [contact.ErrRange] for
// coordinates that are not finite or beyond 10 m, [contact.ErrUnknown] for a method that
// does not exist, and [contact.ErrConflict] for points on one line.
func FitCircle(points []r3.Vec, by CircleMethod) (Circle, error) {
	var f fault.List
	f.In("", methodNames.Check("method", by))
	if len(points) < 3 {
		f.Add("points", "", "at least three", contact.ErrMissing)
	}
	for i, p := range points {
		point(&f, fault.At("points", i), p)
	}
	if err := f.Err(); err != nil {
		return Circle{}, err
	}
	c, ok := fitCircle(points, by)
	if !ok {
		f.Add("points", "on one line", "points around a circle", contact.ErrConflict)
	}
	return c, f.Err()
}

// fitCircle is FitCircle of points that were looked at.
func fitCircle(points []r3.Vec, by CircleMethod) (c Circle, ok bool) {
	var mean r3.Vec
	for _, p := range points {
		mean = r3.Add(mean, r3.Scale(1/float64(len(points)), p))
	}
	spread := mat.NewSymDense(3, nil)
	for _, p := range points {
		d := r3.Sub(p, mean)
		v := [3]float64{d.X, d.Y, d.Z}
		for i := range 3 {
			for j := i; j < 3; j++ {
				spread.SetSym(i, j, spread.At(i, j)+v[i]*v[j])
			}
		}
	}
	var axes mat.EigenSym
	if !axes.Factorize(spread, true) {
		return c, false
	}
	size := axes.Values(nil)
	if !(size[1] > 1e-9*size[2]) || size[2] == 0 {
		return c, false
	}
	var v mat.Dense
	axes.VectorsTo(&v)
	column := func(i int) r3.Vec { return r3.Vec{X: v.At(0, i), Y: v.At(1, i), Z: v.At(2, i)} }
	e1, e2, normal := column(2), column(1), column(0)
	if normal.Y < 0 {
		normal = r3.Scale(-1, normal)
	}
	flat := make([][2]float64, len(points))
	scale := math.Sqrt((size[1] + size[2]) / float64(len(points)))
	for i, p := range points {
		d := r3.Sub(p, mean)
		flat[i] = [2]float64{r3.Dot(d, e1) / scale, r3.Dot(d, e2) / scale}
	}
	centre, radius, ok := algebraic(flat, by)
	if by == Geometric && ok {
		centre, radius = nearest(flat, centre, radius)
	}
	for _, p := range flat {
		off := math.Hypot(p[0]-centre[0], p[1]-centre[1]) - radius
		c.Off += off * off
	}
	c.Off = scale * math.Sqrt(c.Off/float64(len(points)))
	c.Centre = r3.Add(mean, r3.Add(r3.Scale(scale*centre[0], e1), r3.Scale(scale*centre[1], e2)))
	c.Normal, c.Radius = normal, scale*radius
	return c, ok && c.Radius < 1e9
}

// algebraic fits a circle to points whose mean is 0 by one of the methods that need no
// start: centre from a linear system with a root η that the method's own condition gives
// (Chernov, Circular and Linear Regression, 2010); Geometric starts with Taubin.
func algebraic(points [][2]float64, by CircleMethod) (centre [2]float64, radius float64, ok bool) {
	var xx, yy, xy, xz, yz, zz float64
	n := float64(len(points))
	for _, p := range points {
		x, y := p[0], p[1]
		z := x*x + y*y
		xx, yy, xy, xz, yz, zz = xx+x*x/n, yy+y*y/n, xy+x*y/n, xz+x*z/n, yz+y*z/n, zz+z*z/n
	}
	mz, cov := xx+yy, xx*yy-xy*xy
	vz := zz - mz*mz
	// The characteristic polynomial, in Newton's order.
	var a [5]float64
	switch by {
	case Geometric, Taubin:
		a = [5]float64{xz*(xz*yy-yz*xy) + yz*(yz*xx-xz*xy) - vz*cov, vz*mz + 4*cov*mz - xz*xz - yz*yz, -3*mz*mz - zz, 4 * mz, 0}
	case Pratt:
		a = [5]float64{xz*(xz*yy-yz*xy) + yz*(yz*xx-xz*xy) - vz*cov, vz*mz + 4*cov*mz - xz*xz - yz*yz, 4*cov - 3*mz*mz - zz, 0, 4}
	case Kasa:
	}
	eta := 0.0
	if by != Kasa {
		eta = root(a)
	}
	det := eta*eta - eta*mz + cov
	if !(math.Abs(det) > 1e-12) {
		return centre, 0, false
	}
	centre = [2]float64{(xz*(yy-eta) - yz*xy) / det / 2, (yz*(xx-eta) - xz*xy) / det / 2}
	square := centre[0]*centre[0] + centre[1]*centre[1] + mz
	if by == Pratt {
		square += 2 * eta
	}
	return centre, math.Sqrt(square), true
}

// root returns the least root of a polynomial that is not negative, by Newton's method
// from 0.
func root(a [5]float64) float64 {
	x := 0.0
	for range 100 {
		y, slope := 0.0, 0.0
		for k := len(a) - 1; k >= 0; k-- {
			slope = slope*x + y
			y = y*x + a[k]
		}
		if slope == 0 {
			break
		}
		next := x - y/slope
		if math.Abs(next-x) <= 1e-16*math.Abs(next) || math.IsNaN(next) {
			break
		}
		x = next
	}
	return x
}

// nearest improves a circle by Gauss and Newton's method, halving steps that do not help.
func nearest(points [][2]float64, centre [2]float64, radius float64) ([2]float64, float64) {
	sum := func(c [2]float64, r float64) (s float64) {
		for _, p := range points {
			off := math.Hypot(p[0]-c[0], p[1]-c[1]) - r
			s += off * off
		}
		return s
	}
	best := sum(centre, radius)
	for range 100 {
		var normal mat.SymDense
		normal.ReuseAsSym(3)
		right := mat.NewVecDense(3, nil)
		for _, p := range points {
			dx, dy := p[0]-centre[0], p[1]-centre[1]
			d := math.Hypot(dx, dy)
			if d == 0 {
				continue
			}
			row := [3]float64{-dx / d, -dy / d, -1}
			for i := range 3 {
				right.SetVec(i, right.AtVec(i)-row[i]*(d-radius))
				for j := i; j < 3; j++ {
					normal.SetSym(i, j, normal.At(i, j)+row[i]*row[j])
				}
			}
		}
		var factor mat.Cholesky
		var step mat.VecDense
		if !factor.Factorize(&normal) || factor.SolveVecTo(&step, right) != nil {
			return centre, radius
		}
		share := 1.0
		for ; share > 1e-6; share /= 2 {
			c, r := [2]float64{centre[0] + share*step.AtVec(0), centre[1] + share*step.AtVec(1)}, radius+share*step.AtVec(2)
			if s := sum(c, r); s <= best*(1+1e-10) { // rounding must not end it
				centre, radius, best = c, r, s
				break
			}
		}
		if share <= 1e-6 || mat.Norm(&step, 2) < 1e-15 {
			break
		}
	}
	return centre, radius
}
