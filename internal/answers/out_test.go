package answers_test

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

// An out takes the answers of one case, a line each.
type out struct {
	head   string // family and case
	coarse bool   // numbers to six decimals
	lines  []string
}

func (o *out) words(key string, words ...string) {
	o.lines = append(o.lines, o.head+strings.Join(append([]string{key}, words...), " "))
}

// names prints names that may be of several words.
func (o *out) names(key string, names ...string) {
	words := make([]string, len(names))
	for i, n := range names {
		words[i] = strconv.Quote(n)
	}
	o.words(key, words...)
}

func (o *out) number(v float64) string {
	if !o.coarse {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	s := strconv.FormatFloat(v, 'f', 6, 64)
	if s == "-0.000000" {
		return "0.000000"
	}
	return s
}

func (o *out) floats(key string, vs ...float64) {
	words := make([]string, len(vs))
	for i, v := range vs {
		words[i] = o.number(v)
	}
	o.words(key, words...)
}

func (o *out) vec(key string, v r3.Vec) { o.floats(key, v.X, v.Y, v.Z) }

func (o *out) ints(key string, vs ...int) {
	words := make([]string, len(vs))
	for i, v := range vs {
		words[i] = strconv.Itoa(v)
	}
	o.words(key, words...)
}

func (o *out) flags(key string, vs ...bool) {
	words := make([]string, len(vs))
	for i, v := range vs {
		words[i] = strconv.FormatBool(v)
	}
	o.words(key, words...)
}

// classes lists the class of every fault of an error in the order of the alphabet.
func classes(err error) []string {
	var all []string
	for _, f := range contact.Faults(err) {
		switch {
		case errors.Is(f, contact.ErrMissing):
			all = append(all, "missing")
		case errors.Is(f, contact.ErrRange):
			all = append(all, "range")
		case errors.Is(f, contact.ErrUnit):
			all = append(all, "unit")
		case errors.Is(f, contact.ErrConflict):
			all = append(all, "conflict")
		case errors.Is(f, contact.ErrUnknown):
			all = append(all, "unknown")
		default:
			all = append(all, "unclassed")
		}
	}
	if err != nil && all == nil {
		all = append(all, "foreign")
	}
	slices.Sort(all)
	return all
}

// failed prints the faults of an error if there is one, and reports whether there is.
func (o *out) failed(key string, err error) bool {
	if err != nil {
		o.words(key+".fault", classes(err)...)
	}
	return err != nil
}

// judged prints the faults of an error, or that there is none.
func (o *out) judged(key string, err error) {
	if !o.failed(key, err) {
		o.words(key, "sound")
	}
}

// value prints a number, or why there is none.
func (o *out) value(key string, v float64, err error) {
	if !o.failed(key, err) {
		o.floats(key, v)
	}
}

// known prints a number, or that it is not known.
func (o *out) known(key string, v float64, ok bool) {
	if ok {
		o.floats(key, v)
	} else {
		o.words(key, "unknown")
	}
}

func (o *out) attitude(key string, a contact.Attitude) { o.floats(key, a.Tilt, a.Yaw, a.Roll) }

// position prints every point and every direction that a position knows.
func (o *out) position(key string, p contact.Position) {
	for _, s := range contact.Sites() {
		if v, ok := p.At(s); ok {
			o.vec(key+"."+s.String(), v)
		}
		if a, ok := p.Attitude(s); ok {
			o.attitude(key+"."+s.String()+".attitude", a)
		}
	}
}

// covariance prints the uncertainty of each site, and how each coordinate's error
// hangs together with that of the one before.
func (o *out) covariance(key string, c contact.Covariance) {
	coords := c.Coordinates()
	o.ints(key+".coordinates", len(coords))
	for _, s := range contact.Sites() {
		if v, ok := c.Sigma(s); ok {
			o.vec(key+"."+s.String(), v)
		}
		if a, ok := c.AttitudeSigma(s); ok {
			o.attitude(key+"."+s.String()+".attitude", a)
		}
	}
	var next []float64
	for i, at := range coords {
		v, _ := c.At(at, coords[(i+1)%len(coords)])
		next = append(next, v)
	}
	if len(next) > 0 {
		o.floats(key+".next", next...)
	}
}

// difference prints how far each site moved, and which way it turned.
func (o *out) difference(key string, d contact.Difference) {
	for s, v := range d.All() {
		o.vec(key+"."+s.String(), v)
	}
	if a, ok := d.Attitude(contact.SaddleReference); ok {
		o.attitude(key+".attitude", a)
	}
	s, by, ok := d.Largest()
	o.flags(key+".any", ok)
	if ok && o.coarse { // of sites that moved alike rounding decides
		o.floats(key+".largest", by)
	} else if ok {
		o.words(key+".largest", s.String(), o.number(by))
	}
}

// judgement prints moves and turns.
func (o *out) judgement(key string, moves []contact.Move, turns []contact.Turn) {
	for _, m := range moves {
		at := key + "." + m.Site.String()
		o.floats(at, m.By.X, m.By.Y, m.By.Z, m.Sigma.X, m.Sigma.Y, m.Sigma.Z, m.Chance)
		distance, sigma, ok := m.Distance()
		mean, spread := m.DistanceSquared()
		o.flags(at+".real", m.Real, ok)
		if ok {
			o.floats(at+".distance", distance, sigma)
		}
		o.floats(at+".squared", mean, spread)
		mean, spread = m.DistanceMean()
		o.floats(at+".mean", mean, spread)
		if low, high, err := m.DistanceInterval(0.95); !o.failed(at+".interval", err) {
			o.floats(at+".interval", low, high)
		}
	}
	for _, u := range turns {
		o.floats(key+".turn."+u.Site.String(), u.By, u.Sigma, u.Chance)
		o.flags(key+".turn.real", u.Real)
	}
}

// degrees returns the sine and cosine of an angle in degrees.
func degrees(deg float64) (sin, cos float64) { return math.Sincos(deg * math.Pi / 180) }
