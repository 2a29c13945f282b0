package rider

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/strict"
)

// A Dimension is a kind of number that a [Body] has. The zero Dimension is not valid.
type Dimension uint8

// The dimensions: those of a leg, where the hip is, and those of trunk and arms.
const (
	BodyThigh Dimension = iota + 1
	BodyShank
	BodyAnkleHeight
	BodyAnkleBehind
	// BodyAnkleAngle is what all angles of an ankle's profile are changed by, degrees.
	BodyAnkleAngle
	BodyHipForward
	BodyHipUp
	BodyTrunk
	BodyUpperArm
	BodyForearm
	BodyWristBack
	BodyWristUp
	// BodyUpperAngle is Upper.Angle, degrees.
	BodyUpperAngle
)

var dimensionNames = enum.New[Dimension]("dimension", []string{
	BodyThigh: "thigh", BodyShank: "shank", BodyAnkleHeight: "ankle_height", BodyAnkleBehind: "ankle_behind", BodyAnkleAngle: "ankle_angle",
	BodyHipForward: "hip_forward", BodyHipUp: "hip_up", BodyTrunk: "trunk", BodyUpperArm: "upper_arm", BodyForearm: "forearm",
	BodyWristBack: "wrist_back", BodyWristUp: "wrist_up", BodyUpperAngle: "upper_angle",
})

// String returns the dimension's name, such as "hip_up".
func (d Dimension) String() string { return dimensionNames.String(d) }

// MarshalText writes the dimension's name; it fails for an unknown number.
func (d Dimension) MarshalText() ([]byte, error) { return dimensionNames.Text(d) }

// UnmarshalText reads a name as [ParseDimension] does.
func (d *Dimension) UnmarshalText(text []byte) error { return dimensionNames.Read(d, text) }

// ParseDimension returns the dimension of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseDimension(name string) (Dimension, error) { return dimensionNames.Parse(name) }

// Unit returns "mm" or "degrees"; it is empty for an unknown number.
func (d Dimension) Unit() string {
	switch {
	case !dimensionNames.Valid(d):
		return ""
	case d == BodyAnkleAngle || d == BodyUpperAngle:
		return "degrees"
	}
	return "mm"
}

// ofLeg tells dimensions that each leg has for itself.
func (d Dimension) ofLeg() bool { return d >= BodyThigh && d <= BodyAnkleAngle }

// A Number is one number of a [Body].
type Number struct {
	Of Dimension `json:"of"`
	// Side is that of the leg; Centre for a number that is not of a leg.
	Side contact.Side `json:"side"`
}

// String returns the number as errors write it: "left.thigh" or "hip_up".
func (n Number) String() string {
	if n.Of.ofLeg() {
		return n.Side.String() + "." + n.Of.String()
	}
	return n.Of.String()
}

func (n Number) valid() bool {
	return dimensionNames.Valid(n.Of) && n.Of.ofLeg() == (n.Side == contact.Left || n.Side == contact.Right) && n.Side <= contact.Right
}

// A Covariance says how uncertain the numbers of a [Body] are and how their errors are
// correlated, as contact.Covariance does of a position: variances and covariances in mm²,
// mm·degree and degree².
//
// The zero Covariance knows no number. A Covariance does not change once it is made.
type Covariance struct {
	numbers []Number
	m       []float64 // lower triangle, row by row
}

// NewCovariance makes a covariance of the given numbers. It calls at for
// 0 <= j <= i < len(numbers), and takes the matrix as symmetric.
//
// Faults are [contact.ErrUnknown] for a number that no body has, [contact.ErrConflict] for
// one that is given twice and for a matrix that is not positive semidefinite,
// [contact.ErrRange] for what is not finite or beyond 1e18, and [contact.ErrMissing] for no
// function.
func NewCovariance(numbers []Number, at func(i, j int) float64) (Covariance, error) {
	var f fault.List
	if at == nil {
		f.Add("at", "", "a function", contact.ErrMissing)
	}
	for i, n := range numbers {
		if !n.valid() {
			f.Add(fault.At("numbers", i), n.String(), "a number of a body", contact.ErrUnknown)
		}
		if slices.Contains(numbers[:i], n) {
			f.Add(fault.At("numbers", i), n.String(), "each number once", contact.ErrConflict)
		}
	}
	if err := f.Err(); err != nil {
		return Covariance{}, err
	}
	c := Covariance{numbers: slices.Clone(numbers)}
	for i := range numbers {
		for j := range i + 1 {
			v := at(i, j)
			if !(math.Abs(v) <= 1e18) {
				f.Add(numbers[i].String()+", "+numbers[j].String(), num.Text(v, ""), num.Span(-1e18, 1e18, ""), contact.ErrRange)
			}
			c.m = append(c.m, v)
		}
	}
	if f.Len() == 0 && !num.Cholesky(slices.Clone(c.m), 1e-9, func(left, whole float64) bool { return !(left < 0 || whole > 0 && left == 0) }) {
		f.Add("covariance", "not positive semidefinite", "one that errors can have", contact.ErrConflict)
	}
	if err := f.Err(); err != nil {
		return Covariance{}, err
	}
	return c, nil
}

// Numbers returns the numbers that the covariance knows, in the order in which they were
// given.
func (c Covariance) Numbers() []Number { return slices.Clone(c.numbers) }

// At returns the covariance of two numbers, which is a variance if they are the same; false
// if one of them is not known.
func (c Covariance) At(a, b Number) (float64, bool) {
	i, j := slices.Index(c.numbers, a), slices.Index(c.numbers, b)
	if i < 0 || j < 0 {
		return 0, false
	}
	i, j = max(i, j), min(i, j)
	return c.m[i*(i+1)/2+j], true
}

// Sigma returns the standard uncertainty of a number in its unit, and whether it is known.
func (c Covariance) Sigma(n Number) (float64, bool) {
	v, ok := c.At(n, n)
	return math.Sqrt(v), ok
}

// A Derivative is how much something changes with a number of a body: its partial
// derivative.
type Derivative struct {
	Number Number
	// By is the change per mm or per degree of the number.
	By float64
}

// Between returns the covariance of two things that depend on a body, from their
// derivatives, to first order (JCGM 100:2008, 5.2 and H.2). If both are the same, that is
// its variance. Faults are [contact.ErrMissing] for numbers that the covariance does not
// know, and [contact.ErrRange] for derivatives that give no finite number.
func (c Covariance) Between(f, g []Derivative) (float64, error) {
	sum := 0.0
	for _, a := range f {
		for _, b := range g {
			v, ok := c.At(a.Number, b.Number)
			if !ok {
				unknown := a.Number
				if slices.Contains(c.numbers, unknown) {
					unknown = b.Number
				}
				return 0, fault.New("covariance."+unknown.String(), "", "it to be known", contact.ErrMissing)
			}
			sum += a.By * b.By * v
		}
	}
	if !num.Finite(sum) {
		return 0, fault.New("slopes", num.Text(sum, ""), "numbers that give a finite covariance", contact.ErrRange)
	}
	return sum, nil
}

// What documents have for a covariance: for each number its covariances with those before it
// and with itself.
type covarianceDocument struct {
	Numbers []Number    `json:"numbers"`
	Lower   [][]float64 `json:"lower"`
}

func (c Covariance) document() covarianceDocument {
	d := covarianceDocument{Numbers: c.Numbers()}
	for i := range c.numbers {
		d.Lower = append(d.Lower, c.m[i*(i+1)/2:(i+1)*(i+2)/2])
	}
	return d
}

func newCovariance(d covarianceDocument) (Covariance, error) {
	var f fault.List
	if len(d.Lower) != len(d.Numbers) {
		f.Add("lower", num.Text(float64(len(d.Lower)), "rows"), "one for each number", contact.ErrConflict)
	}
	for i, row := range d.Lower {
		if len(row) != i+1 {
			f.Add(fault.At("lower", i), num.Text(float64(len(row)), "numbers"), num.Text(float64(i+1), ""), contact.ErrConflict)
		}
	}
	if err := f.Err(); err != nil {
		return Covariance{}, err
	}
	return NewCovariance(d.Numbers, func(i, j int) float64 { return d.Lower[i][j] })
}

// MarshalJSON writes the numbers and the lower triangle of the matrix, row by row.
func (c Covariance) MarshalJSON() ([]byte, error) { return strict.JSON(c) }

// UnmarshalJSON reads what MarshalJSON writes. Faults are those of [NewCovariance].
func (c *Covariance) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, c) }
