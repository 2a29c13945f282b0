package fitgeom

import (
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Candidate is one build with its best settings for a position. It holds what was
// decided; methods of it and of the build give what follows: position, margins, cautions.
type Candidate struct {
	Build Build `json:"build" validate:"own"`
	// Spacers and SpacersAbove are the height of each spacer under and on top of
	// the stem in mm, tallest first.
	Spacers      []float64 `json:"spacers_mm" range:"1 to 60"`
	SpacersAbove []float64 `json:"spacers_above_mm" range:"1 to 60"`
	// Buy is the kinds of parts to buy: those that are not on the bike now.
	Buy part.Kinds `json:"buy"`
	// Purchases is how many parts that is: one of each kind, or two shims.
	Purchases int `json:"purchases" range:"0 to 11" unit:"parts"`
	// Merit is what the candidate was sorted by, beside parts to buy and deviations.
	Merit Merit `json:"merit,omitzero" zero:"nothing counted"`
	// SaddleMoved is how far the saddle is wanted from where the target has it.
	SaddleMoved SaddleMove `json:"saddle_moved,omitzero"`
	// Deviations lists how far off each kept site is, in the order in which the sites
	// were asked for.
	Deviations []Deviation `json:"deviations"`
	// Rules lists what rules that were asked for say of the build, of those that it breaks and of
	// those of which it is not known whether it keeps them; none where it keeps all. Limits of the
	// rider come after the rules.
	Rules []Ruling `json:"rules,omitempty"`
}

var candidateFields = field.New[Candidate]()

// Validate reports the faults of the build, numbers that are out of range, and deviations
// of unknown sites.
func (c Candidate) Validate() error {
	var f fault.List
	candidateFields.Check(&f, &c)
	f.In("build", c.Build.Validate())
	for i := range c.Deviations {
		if err := c.Deviations[i].Validate(); err != nil {
			f.In(fault.At("deviations", i), err)
		}
	}
	for i, r := range c.Rules {
		f.In(fault.At("rules", i), r.Validate())
	}
	return f.Err()
}

// Cautions returns what [Build.Cautions] does, [CautionSaddleMoved] where the saddle is wanted
// more than 5 mm from where the target has it, and [CautionRuleNotKnown] where it is not known
// whether a rule is kept. It fails only as [Build.Validate] does.
func (c Candidate) Cautions() ([]Caution, error) {
	if err := c.Build.validate(); err != nil {
		return nil, err
	}
	return c.cautions(), nil
}

func (c *Candidate) cautions() []Caution {
	all := c.Build.cautions()
	if !(r3.Norm(c.SaddleMoved.By) <= saddleFar) {
		all = append(all, CautionSaddleMoved)
	}
	if c.doubtsRule() {
		all = append(all, CautionRuleNotKnown)
	}
	return all
}

// A SaddleMove is how far the saddle is wanted from where the target has it, and why. A
// [CrankPolicy] decides it; the zero SaddleMove leaves the saddle where it is.
type SaddleMove struct {
	// By is where the saddle is wanted minus where the target has it, mm.
	By r3.Vec `json:"by_mm" range:"-1000 to 1000"`
	// Crank is the build's crank length minus the target's, mm.
	Crank float64 `json:"crank_mm" range:"-250 to 250"`
	// Foot is the height of the build's soles above the pedals' axes minus the target's,
	// mm; 0 where one of the two is not known.
	Foot float64 `json:"foot_mm" range:"-250 to 250"`
}

// String says how far and why, as in "saddle wanted 5.0 mm lower, 1.5 mm further forward
// than in the target: cranks 5.0 mm longer".
func (m SaddleMove) String() string {
	by := amounts(amount{m.By.Z, "", "higher", "lower"}, amount{m.By.X, "", "further forward", "further back"})
	if by == "" {
		return "saddle wanted where the target has it"
	}
	return "saddle wanted " + by + " than in the target: " + amounts(amount{m.Crank, "cranks ", "longer", "shorter"}, amount{m.Foot, "soles ", "higher above the pedals", "lower above the pedals"})
}

// An amount is a length in mm with words for it, where it is positive and where negative.
type amount struct {
	mm               float64
	what, more, less string
}

// amounts lists lengths that are not 0 to a tenth.
func amounts(all ...amount) string {
	var words []string
	for _, a := range all {
		way := a.more
		if a.mm < 0 {
			way = a.less
		}
		if mm := strconv.FormatFloat(math.Abs(a.mm), 'f', 1, 64); mm != "0.0" {
			words = append(words, a.what+mm+" mm "+way)
		}
	}
	return strings.Join(words, ", ")
}

// Holds reports whether every coordinate and every angle that was asked for is within its
// tolerance and no rule that was asked for is known to be broken; false if no site was asked
// for.
func (c Candidate) Holds() bool {
	for i := range c.Deviations {
		if !c.Deviations[i].Within() {
			return false
		}
	}
	return len(c.Deviations) > 0 && !c.breaksRule()
}

// Score returns the greatest share of a tolerance by which any coordinate or angle is off that
// was asked for: 0 is a perfect match, and 1 the edge of what holds.
func (c Candidate) Score() float64 {
	most := 0.0
	for i := range c.Deviations {
		most = max(most, c.Deviations[i].Share())
	}
	return most
}

// Distance returns the root of the sum of [Deviation.Cost] over all deviations: how far off all
// is together, by which builds are sorted that are as good otherwise. 0 is a perfect match.
func (c Candidate) Distance() float64 {
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
	// Turned is the build's direction less the wanted one, by the shorter way round; 0 where
	// it is not asked for.
	Turned Turned `json:"turned,omitzero" zero:"no direction is asked for, or none is off"`
}

// A Turned is how far the angles of a [contact.Attitude] are off, in degrees.
type Turned struct {
	// Tilt is positive where the nose, or what lies ahead, is too high.
	Tilt float64 `json:"tilt_deg,omitzero" range:"-180 to 180"`
	// Yaw is positive where it points too far to the left.
	Yaw float64 `json:"yaw_deg,omitzero" range:"-180 to 180"`
	// Roll is positive where the left side is too high.
	Roll float64 `json:"roll_deg,omitzero" range:"-180 to 180"`
}

// TurnedFrom returns how far an attitude is off a wanted one, of the angles that are asked
// for.
func (t TurnTolerance) TurnedFrom(wanted, is contact.Attitude) Turned {
	off := is.Less(wanted)
	if t.Tilt == 0 {
		off.Tilt = 0
	}
	if t.Yaw == 0 {
		off.Yaw = 0
	}
	if t.Roll == 0 {
		off.Roll = 0
	}
	return Turned(off)
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

// Within reports whether every coordinate and every angle that was asked for is within its
// tolerance.
func (d Deviation) Within() bool {
	t := d.Tolerance
	return !num.Beyond(d.Off.X, t.X) && !num.Beyond(d.Off.Y, t.Y) && !num.Beyond(d.Off.Z, t.Z) && d.Turn.Holds(d.Turned)
}

// Share returns the greatest share of its tolerance by which a coordinate or an angle is off.
func (d Deviation) Share() float64 {
	most, t, a := 0.0, d.Tolerance, d.Turn.Angles()
	for _, c := range [...][2]float64{{d.Off.X, t.X}, {d.Off.Y, t.Y}, {d.Off.Z, t.Z}, {d.Turned.Tilt, a.Tilt}, {d.Turned.Yaw, a.Yaw}, {d.Turned.Roll, a.Roll}} {
		if c[1] != 0 {
			most = max(most, math.Abs(c[0]/c[1]))
		}
	}
	return most
}

// Cost returns the sum, over the coordinates and angles that were asked for, of weight ·
// (deviation / tolerance)².
func (d Deviation) Cost() float64 {
	cost, w, t := 0.0, d.Price(), d.Turn.Price()
	for _, c := range [...][2]float64{{d.Off.X, w.X}, {d.Off.Y, w.Y}, {d.Off.Z, w.Z}, {d.Turned.Tilt, t.Tilt}, {d.Turned.Yaw, t.Yaw}, {d.Turned.Roll, t.Roll}} {
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
