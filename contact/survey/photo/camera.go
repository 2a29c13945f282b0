package photo

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Camera is a camera with its lens as it was set for photographs: whoever zooms has
// another one. Of a picture that was turned, the numbers are of the picture as it is marked.
//
// A point at (x, y) of the plane at distance 1 in front of the lens, x to the right and y
// down, with r² = x² + y², is seen at
//
//	x' = x (1 + K1 r² + K2 r⁴ + K3 r⁶) + 2 P1 x y + P2 (r² + 2 x²)
//	y' = y (1 + K1 r² + K2 r⁴ + K3 r⁶) + P1 (r² + 2 y²) + 2 P2 x y
//	X = CentreX + Focal x',  Y = CentreY + Focal y'
//
// (D. C. Brown 1971, in the form that most calibrations have; from memory).
type Camera struct {
	// Width and Height are the size of the picture.
	Width  float64 `json:"width_px" range:"100 to 50000" unit:"pixels"`
	Height float64 `json:"height_px" range:"100 to 50000" unit:"pixels"`
	// Focal is the focal length in pixels, as a calibration has it. Equivalent is the focal
	// length in mm that the picture says it would have at 36 mm × 24 mm, by the diagonal. If
	// both are zero, nothing is known, and it is taken to be 24 to 85 mm.
	Focal      float64 `json:"focal_px,omitzero" range:"50 to 200000" unit:"pixels" zero:"not known"`
	Equivalent float64 `json:"equivalent_mm,omitzero" range:"8 to 600" zero:"not known"`
	// FocalSigma is the standard uncertainty of either, as a share of it.
	FocalSigma float64 `json:"focal_sigma,omitzero" range:"0.0001 to 0.5" zero:"0.01 of a focal length in pixels, 0.04 of an equivalent"`
	// CentreX and CentreY are where the optical axis meets the picture, which may have been cut.
	// Both are zero if it is taken to be the middle.
	CentreX float64 `json:"centre_x_px,omitzero" range:"-50000 to 50000" unit:"pixels" zero:"the middle"`
	CentreY float64 `json:"centre_y_px,omitzero" range:"-50000 to 50000" unit:"pixels" zero:"the middle"`
	// CentreSigma is the standard uncertainty of either.
	CentreSigma float64 `json:"centre_sigma_px,omitzero" range:"0.01 to 50000" unit:"pixels" zero:"0.01 of the diagonal, or 0.001 of it if the centre is stated"`
	// K1, K2 and K3 are radial, P1 and P2 tangential distortion. They are small of wide lenses;
	// of long ones, whose pictures are a small part of the plane at distance 1, they may be
	// large.
	K1 float64 `json:"k1,omitzero" range:"-1e4 to 1e4"`
	K2 float64 `json:"k2,omitzero" range:"-1e8 to 1e8"`
	K3 float64 `json:"k3,omitzero" range:"-1e12 to 1e12"`
	P1 float64 `json:"p1,omitzero" range:"-100 to 100"`
	P2 float64 `json:"p2,omitzero" range:"-100 to 100"`
	// Corner is how well distortion is known: the standard uncertainty of what it moves a
	// corner of the picture by, as a share of half the diagonal.
	Corner float64 `json:"corner_sigma,omitzero" range:"0.00001 to 0.1" zero:"0.015, or 0.001 if a coefficient is stated"`
}

// Usual focal lengths: 35 mm by half as much more or less, as a standard uncertainty of the
// logarithm, so that 24 and 85 mm lie within 1 and 2 of it. Common practice, no source.
const (
	usualEquivalent, usualSpread = 40, 0.4
	fullDiagonal                 = 43.266615305567875 // of 36 × 24 mm
)

func (c *Camera) check(f *fault.List) {
	cameraFields.Check(f, c)
	if c.Focal != 0 && c.Equivalent != 0 {
		f.Add("equivalent_mm", num.Text(c.Equivalent, "mm"), "either it or focal_px", contact.ErrConflict)
	}
	if f.Err() != nil {
		return
	}
	// Up to what a corner shows, what is further out must be seen further out. As a step out
	// is seen as a fifth of it or more, that is no further than five times as far.
	corner := c.reach()
	for k, seen := 1, 0.0; seen < corner && k <= 5*32; k++ {
		r := corner * float64(k) / 32
		s := r * r
		seen = r * (1 + c.K1*s + c.K2*s*s + c.K3*s*s*s)
		if !(1+3*c.K1*s+5*c.K2*s*s+7*c.K3*s*s*s > 0.2) {
			f.Add("k1", num.Text(c.K1, ""), "coefficients that do not fold the picture", contact.ErrConflict)
			return
		}
	}
}

func (c *Camera) diagonal() float64 { return math.Hypot(c.Width, c.Height) }

// reach is how far a corner lies from the axis on the plane at distance 1.
func (c *Camera) reach() float64 {
	focal, _ := c.focal()
	return c.diagonal() / 2 / focal
}

// told reports whether something tells the focal length.
func (c *Camera) told() bool { return c.Focal != 0 || c.Equivalent != 0 }

// focal returns the focal length in pixels and the standard uncertainty of its logarithm.
func (c *Camera) focal() (f, sigma float64) {
	switch {
	case c.Focal != 0:
		return c.Focal, or(c.FocalSigma, 0.01)
	case c.Equivalent != 0:
		return c.Equivalent / fullDiagonal * c.diagonal(), or(c.FocalSigma, 0.04)
	default:
		return usualEquivalent / fullDiagonal * c.diagonal(), usualSpread
	}
}

func (c *Camera) centre() (x, y, sigma float64) {
	if c.CentreX == 0 && c.CentreY == 0 {
		return c.Width / 2, c.Height / 2, or(c.CentreSigma, c.diagonal()/100)
	}
	return c.CentreX, c.CentreY, or(c.CentreSigma, c.diagonal()/1000)
}

// corner returns the standard uncertainty of what distortion moves a corner by.
func (c *Camera) corner() float64 {
	if c.distorts() {
		return or(c.Corner, 0.001)
	}
	return or(c.Corner, 0.015)
}

// distorts reports whether distortion is stated.
func (c *Camera) distorts() bool {
	return c.K1 != 0 || c.K2 != 0 || c.K3 != 0 || c.P1 != 0 || c.P2 != 0
}

// The numbers of a camera, each in a unit in which a step of 1 moves marks by a pixel or
// some.
const (
	lensFocal = iota // the logarithm of the focal length
	lensX
	lensY
	lensK1
	lensK2
	lensP1
	lensP2
	lensNumbers
)

// A lens is a camera as it is known at the moment.
type lens struct {
	focal, x, y        float64
	k1, k2, k3, p1, p2 float64
	reach              float64    // how far a corner lies from the axis at distance 1
	more               [4]float64 // k1, k2, p1 and p2 beyond what is stated
}

// lensSigma is the standard uncertainties before any photograph, in units of the numbers.
func (c *Camera) lensSigma() [lensNumbers]float64 {
	_, focal := c.focal()
	_, _, centre := c.centre()
	corner := c.corner()
	return [lensNumbers]float64{focal / lensUnit, centre, centre, corner / lensUnit, corner / 2 / lensUnit, corner / 15 / lensUnit, corner / 15 / lensUnit}
}

// lensUnit is the unit of the numbers that are no pixels.
const lensUnit = 1e-3

// lens returns the camera with its numbers changed. Distortion is in shares of what the
// coefficients would have to be to move a corner by as much as it is away from the middle.
func (c *Camera) lens(by []float64) lens {
	f, _ := c.focal()
	x, y, _ := c.centre()
	l := lens{focal: f, x: x, y: y, k1: c.K1, k2: c.K2, k3: c.K3, p1: c.P1, p2: c.P2, reach: c.reach()}
	if by == nil {
		return l
	}
	l.focal *= math.Exp(max(-3, min(3, lensUnit*by[lensFocal])))
	l.reach *= f / l.focal
	l.x += by[lensX]
	l.y += by[lensY]
	s := l.reach * l.reach
	l.more = [4]float64{lensUnit * by[lensK1] / s, lensUnit * by[lensK2] / (s * s), lensUnit * by[lensP1] / l.reach, lensUnit * by[lensP2] / l.reach}
	l.k1 += l.more[0]
	l.k2 += l.more[1]
	l.p1 += l.more[2]
	l.p2 += l.more[3]
	return l
}

// nearest is how near a point may come to the plane of the lens before it counts as being
// there, mm.
const nearest = 50

// see returns where a point in the camera's axes (X to the right, Y down, Z ahead) is seen,
// and the derivatives by the point and by the camera's numbers; false if it is not in
// front of the camera.
func (l *lens) see(p r3.Vec) (at [2]float64, by [2]r3.Vec, numbers [2][lensNumbers]float64, ok bool) {
	ok = p.Z > nearest
	z := max(p.Z, nearest)
	x, y := p.X/z, p.Y/z
	r := x*x + y*y
	radial := 1 + r*(l.k1+r*(l.k2+r*l.k3))
	slope := l.k1 + r*(2*l.k2+3*r*l.k3) // of radial by r²
	u := x*radial + 2*l.p1*x*y + l.p2*(r+2*x*x)
	v := y*radial + l.p1*(r+2*y*y) + 2*l.p2*x*y
	at = [2]float64{l.x + l.focal*u, l.y + l.focal*v}
	ux := radial + 2*x*x*slope + 2*l.p1*y + 6*l.p2*x
	uy := 2*x*y*slope + 2*l.p1*x + 2*l.p2*y
	vy := radial + 2*y*y*slope + 6*l.p1*y + 2*l.p2*x
	f := l.focal / z
	by[0] = r3.Vec{X: f * ux, Y: f * uy, Z: -f * (ux*x + uy*y)}
	by[1] = r3.Vec{X: f * uy, Y: f * vy, Z: -f * (uy*x + vy*y)}
	s, reach := l.reach*l.reach, l.reach
	unit := l.focal * lensUnit
	// What distortion does to a corner stays as it is when the focal length changes.
	moreK := 2*r*l.more[0] + 4*r*r*l.more[1]
	du := x*moreK + 2*l.more[2]*x*y + l.more[3]*(r+2*x*x)
	dv := y*moreK + l.more[2]*(r+2*y*y) + 2*l.more[3]*x*y
	numbers[0] = [lensNumbers]float64{unit * (u + du), 1, 0, unit * x * r / s, unit * x * r * r / (s * s), unit * 2 * x * y / reach, unit * (r + 2*x*x) / reach}
	numbers[1] = [lensNumbers]float64{unit * (v + dv), 0, 1, unit * y * r / s, unit * y * r * r / (s * s), unit * (r + 2*y*y) / reach, unit * 2 * x * y / reach}
	return at, by, numbers, ok
}

// A View is where a camera stood and how it was turned.
type View struct {
	// At is where it stood, in the axes of package contact, mm.
	At r3.Vec
	// Right, Down and Ahead are the directions of the picture's axes and of the optical axis.
	Right, Down, Ahead r3.Vec
}

// Pixel returns where a point is seen, without the picture's edges; false if the point is
// not in front of the camera, or if the camera has no focal length.
func (v View) Pixel(c Camera, at r3.Vec) (x, y float64, ok bool) {
	var f fault.List
	c.check(&f)
	if f.Err() != nil || !c.told() || !finite(at) || !finite(v.At) {
		return 0, 0, false
	}
	d := r3.Sub(at, v.At)
	l := c.lens(nil)
	px, _, _, ok := l.see(r3.Vec{X: r3.Dot(v.Right, d), Y: r3.Dot(v.Down, d), Z: r3.Dot(v.Ahead, d)})
	if !ok || !num.Finite(px[0], px[1]) {
		return 0, 0, false
	}
	return px[0], px[1], true
}

// Homography returns where the plane that lies y to the left of the mid-plane is seen, by a
// camera whose lens does not distort: h times (X, Z, 1) of a place in the plane is its pixel
// and 1, times a number that is above 0 in front of the camera. The camera's distortion is left
// out. It returns false for a camera without a focal length.
func (v View) Homography(c Camera, y float64) (h [3][3]float64, ok bool) {
	var f fault.List
	c.check(&f)
	if f.Err() != nil || !c.told() || !finite(v.At) || !num.Finite(y) {
		return h, false
	}
	l := c.lens(nil)
	from := r3.Sub(r3.Vec{Y: y}, v.At) // to X and Z of 0
	for i, at := range [3]r3.Vec{{X: 1}, {Z: 1}, from} {
		ahead := r3.Dot(v.Ahead, at)
		h[0][i] = l.focal*r3.Dot(v.Right, at) + l.x*ahead
		h[1][i] = l.focal*r3.Dot(v.Down, at) + l.y*ahead
		h[2][i] = ahead
		ok = num.Finite(h[0][i], h[1][i], h[2][i])
		if !ok {
			break
		}
	}
	return h, ok
}

// Ray returns the direction, of length 1 and in the axes of package contact, in which a
// pixel looks; false if the camera sees nothing there, or if it has no focal length.
func (v View) Ray(c Camera, x, y float64) (r3.Vec, bool) {
	var f fault.List
	c.check(&f)
	if f.Err() != nil || !c.told() || !num.Finite(x, y) {
		return r3.Vec{}, false
	}
	l := c.lens(nil)
	a, b, ok := l.undistorted(x, y)
	if !ok {
		return r3.Vec{}, false
	}
	d := r3.Add(v.Ahead, r3.Add(r3.Scale(a, v.Right), r3.Scale(b, v.Down)))
	if n := r3.Norm(d); n > 0 && finite(d) {
		return r3.Scale(1/n, d), true
	}
	return r3.Vec{}, false
}

// undistorted returns the point of the plane at distance 1 that is seen at a pixel, by
// Newton's method.
func (l *lens) undistorted(px, py float64) (x, y float64, ok bool) {
	u, v := (px-l.x)/l.focal, (py-l.y)/l.focal
	x, y = u, v
	step, upright := math.Inf(1), false
	for i := 0; i < 50 && !(step < 1e-13); i++ {
		at, by, _, _ := l.see(r3.Vec{X: 100 * x, Y: 100 * y, Z: 100})
		du, dv := px-at[0], py-at[1]
		a, b, c, d := 100*by[0].X, 100*by[0].Y, 100*by[1].X, 100*by[1].Y
		det := a*d - b*c
		upright = det > 0 && a+d > 0
		if !(math.Abs(det) > 1e-9) {
			return 0, 0, false
		}
		dx, dy := (d*du-b*dv)/det, (a*dv-c*du)/det
		x, y = x+dx, y+dy
		if !(math.Abs(x) < 20 && math.Abs(y) < 20) {
			return 0, 0, false
		}
		step = math.Hypot(dx, dy)
	}
	return x, y, step < 1e-9 && upright // beyond a fold it is another point's
}
