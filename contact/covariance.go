package contact

import (
	"math"
	"slices"

	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// An Axis is one of the numbers that a [Position] may know at a site. The zero
// Axis is [AxisX].
type Axis uint8

// The axes: coordinates in mm, then angles in degrees as in [Attitude].
const (
	AxisX Axis = iota
	AxisY
	AxisZ
	AxisTilt
	AxisYaw
	AxisRoll

	axisCount = int(AxisRoll) + 1
)

var axisNames = enum.New[Axis]("axis", []string{"x", "y", "z", "tilt", "yaw", "roll"})

// String returns "x", "y", "z", "tilt", "yaw" or "roll".
func (a Axis) String() string { return axisNames.String(a) }

// MarshalText writes the axis's name; it fails for an unknown number.
func (a Axis) MarshalText() ([]byte, error) { return axisNames.Text(a) }

// UnmarshalText reads a name as [ParseAxis] does.
func (a *Axis) UnmarshalText(text []byte) error { return axisNames.Read(a, text) }

// ParseAxis returns the axis of that name, or an [*Error] of class [ErrUnknown].
func ParseAxis(name string) (Axis, error) { return axisNames.Parse(name) }

// A Coordinate is one number of a [Position].
type Coordinate struct {
	Site Site `json:"site"`
	Axis Axis `json:"axis"`
}

// String returns the coordinate as errors write it: "hoods_left.x".
func (c Coordinate) String() string { return c.Site.String() + "." + c.Axis.String() }

func (c Coordinate) valid() bool { return c.Site.Valid() && int(c.Axis) < axisCount }

func (c Coordinate) slot() int { return axisCount*int(c.Site) + int(c.Axis) }

// A Covariance says how uncertain the numbers of a [Position] are and how their errors
// are correlated. It holds variances and covariances (JCGM 100:2008), in mm², mm·degree
// and degree².
//
// The zero Covariance knows no coordinate. A Covariance does not change once it is made;
// copies share its numbers.
type Covariance struct {
	coords []Coordinate
	place  *[axisCount * SiteCount]uint8 // 1 + the place in coords
	m      []float64                     // lower triangle, row by row
}

// NewCovariance makes a covariance of the given coordinates. It calls at for
// 0 <= j <= i < len(coords), and takes the matrix as symmetric.
//
// Faults are [ErrUnknown] for a coordinate that does not exist, [ErrConflict] for one
// that is given twice and for a matrix that is not positive semidefinite, [ErrRange] for
// a number that is not finite or beyond 1e18, and [ErrMissing] for no function.
func NewCovariance(coords []Coordinate, at func(i, j int) float64) (Covariance, error) {
	if at == nil {
		return Covariance{}, &Error{Path: "at", Want: "a function", Class: ErrMissing}
	}
	c, err := fill(coords, at)
	if err != nil {
		return Covariance{}, err
	}
	if !c.semidefinite() {
		return Covariance{}, &Error{Path: "covariance", Value: "not positive semidefinite", Want: "one that errors can have", Class: ErrConflict}
	}
	return c, nil
}

// covarianceLimit is far beyond what an error can be, and its square is finite.
const covarianceLimit = 1e18

// fill makes a covariance without checking that it is positive semidefinite.
func fill(coords []Coordinate, at func(i, j int) float64) (Covariance, error) {
	c := Covariance{coords: slices.Clone(coords), place: new([axisCount * SiteCount]uint8)}
	for i, k := range coords {
		if !k.valid() {
			return Covariance{}, &Error{Path: fault.At("coordinates", i), Want: "a site and an axis of package contact", Class: ErrUnknown}
		}
		if c.place[k.slot()] != 0 {
			return Covariance{}, &Error{Path: fault.At("coordinates", i), Value: k.String(), Want: "each coordinate once", Class: ErrConflict}
		}
		c.place[k.slot()] = uint8(i + 1)
	}
	n := len(coords)
	c.m = make([]float64, 0, n*(n+1)/2)
	for i := range n {
		for j := range i + 1 {
			v := at(i, j)
			if !(math.Abs(v) <= covarianceLimit) {
				return Covariance{}, &Error{Path: coords[i].String() + ", " + coords[j].String(), Value: num.Text(v, ""), Want: num.Span(-covarianceLimit, covarianceLimit, ""), Class: ErrRange}
			}
			c.m = append(c.m, v)
		}
	}
	return c, nil
}

// semidefinite reports whether the matrix is positive semidefinite, by the method of
// Cholesky. Correlations have a leeway of 1e-9: a covariance of fewer errors than
// coordinates is singular, and rounding may put it on either side.
func (c *Covariance) semidefinite() bool {
	const leeway = 1e-9
	// A capacity that is known at compile time keeps the usual covariance off the heap.
	l := append(make([]float64, 0, 2048), c.m...)
	return num.Cholesky(l, leeway, func(left, variance float64) bool {
		return !(left < 0 || variance > 0 && left == 0)
	})
}

func (c *Covariance) entry(i, j int) float64 {
	if i < j {
		i, j = j, i
	}
	return c.m[i*(i+1)/2+j]
}

// Coordinates returns the coordinates that the covariance knows, in the order in
// which they were given.
func (c Covariance) Coordinates() []Coordinate { return slices.Clone(c.coords) }

func (c *Covariance) find(k Coordinate) (int, bool) {
	if c.place == nil || !k.valid() || c.place[k.slot()] == 0 {
		return 0, false
	}
	return int(c.place[k.slot()]) - 1, true
}

// At returns the covariance of two coordinates, which is a variance if they are
// the same; false if one of them is not known.
func (c Covariance) At(a, b Coordinate) (float64, bool) {
	i, ok := c.find(a)
	j, ok2 := c.find(b)
	if !ok || !ok2 {
		return 0, false
	}
	return c.entry(i, j), true
}

// Sigma returns the standard uncertainty of a site's three coordinates, in mm,
// and whether they are known.
func (c Covariance) Sigma(s Site) (r3.Vec, bool) {
	v, ok := c.sigmas(s, AxisX)
	return r3.Vec{X: v[0], Y: v[1], Z: v[2]}, ok
}

// AttitudeSigma returns the standard uncertainty of the direction at a site, in degrees.
// It is known if that of the tilt is; a yaw or roll whose uncertainty is not known has 0.
func (c Covariance) AttitudeSigma(s Site) (Attitude, bool) {
	v, _ := c.sigmas(s, AxisTilt)
	_, ok := c.find(Coordinate{s, AxisTilt})
	return Attitude{Tilt: v[0], Yaw: v[1], Roll: v[2]}, ok
}

func (c *Covariance) sigmas(s Site, from Axis) (v [3]float64, all bool) {
	all = true
	for k := range v {
		i, ok := c.find(Coordinate{s, from + Axis(k)})
		if !ok {
			all = false
			continue
		}
		v[k] = math.Sqrt(c.entry(i, i))
	}
	return v, all
}

// A Derivative is how much a number that depends on a position changes with one of its
// coordinates: its partial derivative.
type Derivative struct {
	Coordinate Coordinate
	// By is the change of the number per mm or per degree of the coordinate.
	By float64
}

// Between returns the covariance of two numbers that depend on a position, from their
// derivatives, to first order (JCGM 100:2008, 5.2 and H.2). If both are the same number,
// that is its variance. Faults are [ErrMissing] for coordinates that the covariance does
// not know, and [ErrRange] for derivatives that give no finite number.
func (c Covariance) Between(f, g []Derivative) (float64, error) {
	sum := 0.0
	for _, a := range f {
		for _, b := range g {
			v, ok := c.At(a.Coordinate, b.Coordinate)
			if !ok {
				unknown := a.Coordinate
				if _, ok := c.find(unknown); ok {
					unknown = b.Coordinate
				}
				return 0, &Error{Path: "covariance." + unknown.String(), Want: "it to be known", Class: ErrMissing}
			}
			sum += a.By * b.By * v
		}
	}
	if !num.Finite(sum) {
		return 0, &Error{Path: "slopes", Value: num.Text(sum, ""), Want: "numbers that give a finite covariance", Class: ErrRange}
	}
	return sum, nil
}

// Add returns the covariance of the sum or the difference of two positions with
// independent errors, for the coordinates that both know.
func (c Covariance) Add(d Covariance) Covariance {
	var both []Coordinate
	for _, k := range c.coords {
		if _, ok := d.find(k); ok {
			both = append(both, k)
		}
	}
	sum, _ := fill(both, func(i, j int) float64 { // the sum of two covariances is one
		a, _ := c.At(both[i], both[j])
		b, _ := d.At(both[i], both[j])
		return max(-covarianceLimit, min(covarianceLimit, a+b))
	})
	return sum
}

// A slope is how much of a coordinate is added to another.
type slope struct {
	of Coordinate
	by float64
}

// with returns the covariance of coordinates to which others are added, as far as these are
// known.
func (c Covariance) with(added map[Coordinate][]slope) (Covariance, error) {
	if len(c.coords) == 0 {
		return c, nil
	}
	sums := make([][]slope, len(c.coords))
	for i, k := range c.coords {
		sums[i] = append([]slope{{k, 1}}, added[k]...)
	}
	return fill(c.coords, func(i, j int) float64 {
		sum := 0.0
		for _, a := range sums[i] {
			for _, b := range sums[j] {
				v, _ := c.At(a.of, b.of)
				sum += a.by * b.by * v
			}
		}
		return sum
	})
}
