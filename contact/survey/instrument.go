package survey

import (
	"math"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// An Uncertainty is a standard uncertainty and how well it is known itself.
type Uncertainty struct {
	// Standard is one standard deviation, 0 or more, in the unit of the quantity.
	Standard float64
	// Freedom is the number of degrees of freedom, more than 0. Zero stands for
	// infinitely many: Standard is known exactly.
	Freedom float64
}

// Combine returns the uncertainty of a sum of parts with independent errors: the root of
// the sum of squares, with the effective degrees of freedom of Welch and Satterthwaite
// (JCGM 100:2008, 5.1.2 and G.4.1). Faults are [contact.ErrRange] for uncertainties or
// degrees of freedom that are negative or not finite.
func Combine(parts ...Uncertainty) (Uncertainty, error) {
	var f fault.List
	most := 0.0 // squares of ratios to it neither overflow nor vanish
	for i, p := range parts {
		p.check(&f, fault.At("parts", i)+".", 1e300)
		most = max(most, p.Standard)
	}
	if err := f.Err(); err != nil || most == 0 {
		return Uncertainty{}, err
	}
	sum, fourth := 0.0, 0.0
	for _, p := range parts {
		v := (p.Standard / most) * (p.Standard / most)
		sum += v
		if p.Freedom > 0 {
			fourth += v * v / p.Freedom
		}
	}
	u := Uncertainty{Standard: most * math.Sqrt(sum)}
	if freedom := sum * sum / fourth; !math.IsInf(freedom, 0) { // an infinite number is written as 0
		u.Freedom = max(freedom, math.SmallestNonzeroFloat64)
	}
	return u, nil
}

func (u Uncertainty) check(f *fault.List, path string, most float64) {
	f.Range(path+"standard", u.Standard, 0, most, "")
	f.Range(path+"freedom", u.Freedom, 0, math.MaxFloat64, "")
}

// Expanded returns the half-width of the interval that holds the true value with a
// probability such as 0.95, if errors are normal. It is the standard uncertainty times a
// quantile of Student's distribution. The degrees of freedom are rounded down to a whole
// number (JCGM 100:2008, G.4.1), but not below 1.
//
// Faults are [contact.ErrRange] for a coverage that is not above 0 and below 1, by 1e-12
// or more, and for an uncertainty or degrees of freedom that are negative or not finite.
func (u Uncertainty) Expanded(coverage float64) (float64, error) {
	var f fault.List
	if !(coverage > 0 && coverage <= 1-1e-12) {
		f.Add("coverage", num.Text(coverage, ""), "more than 0 and less than 1", contact.ErrRange)
	}
	u.check(&f, "", 1e100)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return student((1+coverage)/2, math.Floor(u.Freedom), u.Freedom == 0) * u.Standard, nil
}

// student returns the quantile of Student's distribution. Of many degrees of freedom the
// one of gonum is wrong or NaN; the series (Abramowitz and Stegun 1964, 26.7.5; from
// memory) is good to 1e-5 there, and to 1e-9 for a coverage up to 0.999.
func student(p, freedom float64, exact bool) float64 {
	z := distuv.UnitNormal.Quantile(p)
	if exact {
		return z
	}
	if freedom < 200 {
		return distuv.StudentsT{Sigma: 1, Nu: max(1, freedom)}.Quantile(p)
	}
	y, n := z*z, 1/freedom
	return z * (1 + n*((y+1)/4+n*((3+y*(16+5*y))/96+n*((-15+y*(17+y*(19+3*y)))/384+n*(-945+y*(-1920+y*(1482+y*(776+79*y))))/92160))))
}

// Repeated returns the mean of repeated readings and its uncertainty, computed from their
// scatter (JCGM 100:2008, 4.2). Faults are [contact.ErrMissing] for fewer than two
// readings, and [contact.ErrRange] for numbers that are not finite or whose squares are
// not.
func Repeated(values ...float64) (float64, Uncertainty, error) {
	var f fault.List
	if len(values) < 2 {
		f.Add("values", strconv.Itoa(len(values)), "two or more", contact.ErrMissing)
	}
	if !num.Finite(values...) {
		f.Add("values", "", "finite numbers", contact.ErrRange)
	}
	if err := f.Err(); err != nil {
		return 0, Uncertainty{}, err
	}
	mean, s := stat.MeanStdDev(values, nil)
	if !num.Finite(mean, s) {
		f.Add("values", "", "numbers whose squares are finite", contact.ErrRange)
		return 0, Uncertainty{}, f.Err()
	}
	n := float64(len(values))
	return mean, Uncertainty{Standard: s / math.Sqrt(n), Freedom: n - 1}, nil
}

// Limits returns the uncertainty of an error that lies anywhere between -half and +half
// with equal probability, and never beyond: half/√3 (JCGM 100:2008, 4.3.7). It suits
// maximum permissible errors and the rounding of a reading. Faults are [contact.ErrRange]
// for a half that is negative or not finite.
func Limits(half float64) (Uncertainty, error) {
	var f fault.List
	f.Range("half", half, 0, 1e100, "")
	if err := f.Err(); err != nil {
		return Uncertainty{}, err
	}
	return limits(half), nil
}

func limits(half float64) Uncertainty { return Uncertainty{Standard: half / math.Sqrt(3)} }

// A TapeClass is the accuracy class that is printed on a tape or rule. The zero TapeClass
// is not valid.
type TapeClass uint8

// The classes of Directive 2014/32/EU, Annex X (MI-008), chapter I.
const (
	ClassI TapeClass = 1 + iota
	ClassII
	ClassIII
)

var tapeClassNames = enum.New[TapeClass]("class", []string{ClassI: "I", ClassII: "II", ClassIII: "III"})

// String returns the class's name, such as "II".
func (c TapeClass) String() string { return tapeClassNames.String(c) }

// MarshalText writes the class's name; it fails for an unknown number.
func (c TapeClass) MarshalText() ([]byte, error) { return tapeClassNames.Text(c) }

// UnmarshalText reads a name as [ParseTapeClass] does.
func (c *TapeClass) UnmarshalText(text []byte) error { return tapeClassNames.Read(c, text) }

// ParseTapeClass returns the class of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseTapeClass(name string) (TapeClass, error) { return tapeClassNames.Parse(name) }

// Tape returns the uncertainty of a length read on a tape or rule, in mm, from the error
// that its class permits: a + b·L mm. L is the length in metres, rounded up to a whole
// number. Where one end is a hook or another surface that is pushed against something,
// the permitted error is larger by c (Directive 2014/32/EU, Annex X, Tables 1 and 2):
//
//	class  a    b    c
//	I      0.1  0.1  0.1
//	II     0.3  0.2  0.2
//	III    0.6  0.4  0.3
//
// This is the tape alone; use [Combine] to add the uncertainty of holding and reading it.
// Faults are [contact.ErrUnknown] for a class that does not exist and [contact.ErrRange]
// for a length that is not from 0 to 10,000 mm.
func Tape(class TapeClass, length float64, hook bool) (Uncertainty, error) {
	var f fault.List
	f.In("", tapeClassNames.Check("class", class))
	f.Range("length", length, 0, 10_000, "mm")
	if err := f.Err(); err != nil {
		return Uncertainty{}, err
	}
	k := [...]struct{ a, b, c float64 }{{0.1, 0.1, 0.1}, {0.3, 0.2, 0.2}, {0.6, 0.4, 0.3}}[class-ClassI]
	most := k.a + k.b*math.Ceil(length/1000)
	if hook {
		most += k.c
	}
	return limits(most), nil
}

// Level returns the uncertainty in degrees of a spirit level or digital level with a
// rating in mm per metre, such as 0.5 or 1 (common practice for the ratings, no source).
// It takes asin(rating/1000) as the limit of the error. Faults are [contact.ErrRange] for
// a rating that is not from 0 to 100 mm per metre.
func Level(mmPerMetre float64) (Uncertainty, error) {
	var f fault.List
	f.Range("rating", mmPerMetre, 0, 100, "mm per metre")
	if err := f.Err(); err != nil {
		return Uncertainty{}, err
	}
	return limits(math.Asin(mmPerMetre/1000) / num.Rad), nil
}
