package fitgeom

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Candidate is one build with its best settings for a position. It holds what was
// decided; methods of the build give what follows from it: position, margins, cautions.
type Candidate struct {
	Build Build `json:"build" validate:"own"`
	// Spacers and SpacersAbove are the height of each spacer under and on top of
	// the stem in mm, tallest first.
	Spacers      []float64 `json:"spacers_mm" range:"1 to 60"`
	SpacersAbove []float64 `json:"spacers_above_mm" range:"1 to 60"`
	// Buy is the kinds of parts to buy: those that are not on the bike now.
	Buy part.Kinds `json:"buy"`
	// Deviations lists how far off each kept site is, in the order in which the sites
	// were asked for.
	Deviations []Deviation `json:"deviations"`
}

var candidateFields = field.New[Candidate]()

// Validate reports the faults of the build, numbers that are out of range, and deviations
// of unknown sites.
func (c Candidate) Validate() error {
	var f fault.List
	candidateFields.Check(&f, &c)
	f.In("build", c.Build.Validate())
	for i, d := range c.Deviations {
		f.In(fault.At("deviations", i), d.Validate())
	}
	return f.Err()
}

// Holds reports whether every coordinate that was asked for is within its tolerance;
// false if nothing was asked for.
func (c Candidate) Holds() bool {
	for i := range c.Deviations {
		if !c.Deviations[i].Within() {
			return false
		}
	}
	return len(c.Deviations) > 0
}

// Score returns the root of the sum of [Deviation.Cost] over all deviations. 0 is a
// perfect match.
func (c Candidate) Score() float64 {
	sum := 0.0
	for i := range c.Deviations {
		sum += c.Deviations[i].Cost()
	}
	return math.Sqrt(sum)
}

// A Deviation is how far a build is off at one site that is kept.
type Deviation struct {
	// Keep is what was asked for.
	Keep
	// Off is the build's point minus the wanted one, mm.
	Off r3.Vec `json:"off_mm" range:"-10000 to 10000"`
}

// Validate reports an unknown site, and numbers that are out of the ranges stated at the
// fields.
func (d Deviation) Validate() error {
	var f fault.List
	d.checkSite(&f)
	deviationFields.Check(&f, &d)
	return f.Err()
}

var deviationFields = field.New[Deviation]()

// Within reports whether every coordinate that was asked for is within its tolerance.
func (d Deviation) Within() bool {
	t := d.Tolerance
	return !num.Beyond(d.Off.X, t.X) && !num.Beyond(d.Off.Y, t.Y) && !num.Beyond(d.Off.Z, t.Z)
}

// Cost returns the sum, over the coordinates that were asked for, of weight · (deviation
// / tolerance)².
func (d Deviation) Cost() float64 {
	cost, w := 0.0, d.Price()
	for _, c := range [...][2]float64{{d.Off.X, w.X}, {d.Off.Y, w.Y}, {d.Off.Z, w.Z}} {
		cost += float64(c[1] * c[0] * c[0])
	}
	return cost
}

// Wanted returns where the site was wanted: the build's point minus the deviation; false
// if the build's position does not know the site.
func (d Deviation) Wanted(build contact.Position) (r3.Vec, bool) {
	at, ok := build.At(d.Site)
	return r3.Sub(at, d.Off), ok
}
