package survey

import (
	"maps"
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Landmark is the name of a place on the bike that an instrument can read: one of the
// constants below, any site of package contact ([At]), or a mark of your own ([Mark]).
type Landmark string

// The landmarks of the frame, the wheels and the saddle's edges. The first six make the
// datum, and every survey needs them. Axles have ends that stick out unequally, so they
// tell the directions of the mid-plane and not where it is: read also dropouts, rims, the
// head tube or marks of your own on both sides of the frame, a few of them far apart.
const (
	// BottomBracketLeft and BottomBracketRight are the centres of the ends of
	// the crank axle, or of the bottom bracket's faces.
	BottomBracketLeft  Landmark = "bottom_bracket_left"
	BottomBracketRight Landmark = "bottom_bracket_right"
	// RearAxleLeft to FrontAxleRight are the centres of the axles' ends.
	RearAxleLeft   Landmark = "rear_axle_left"
	RearAxleRight  Landmark = "rear_axle_right"
	FrontAxleLeft  Landmark = "front_axle_left"
	FrontAxleRight Landmark = "front_axle_right"
	// HeadTubeTopLeft to HeadTubeBottomRight are points on both sides of the head tube.
	// The steering axis passes midway between left and right.
	HeadTubeTopLeft     Landmark = "head_tube_top_left"
	HeadTubeTopRight    Landmark = "head_tube_top_right"
	HeadTubeBottomLeft  Landmark = "head_tube_bottom_left"
	HeadTubeBottomRight Landmark = "head_tube_bottom_right"
	// RearDropoutLeft to FrontDropoutRight are the dropouts' outer faces, or their inner
	// ones, beside the axle.
	RearDropoutLeft   Landmark = "rear_dropout_left"
	RearDropoutRight  Landmark = "rear_dropout_right"
	FrontDropoutLeft  Landmark = "front_dropout_left"
	FrontDropoutRight Landmark = "front_dropout_right"
	// RearRimLeft to FrontRimRight are the two sides of the rim, across from each other,
	// anywhere round the wheel.
	RearRimLeft   Landmark = "rear_rim_left"
	RearRimRight  Landmark = "rear_rim_right"
	FrontRimLeft  Landmark = "front_rim_left"
	FrontRimRight Landmark = "front_rim_right"
	// SaddleEdgeLeft and SaddleEdgeRight are the upper edges of the saddle where it is 80
	// mm wide, or as wide as Survey.Saddle says. Midway between them lies the saddle reference. They replace a reading of
	// the saddle reference itself.
	SaddleEdgeLeft  Landmark = "saddle_edge_left"
	SaddleEdgeRight Landmark = "saddle_edge_right"
	// SaddleTopFront and SaddleTopRear are the saddle's highest points, front and rear, on
	// its middle line: where a straight edge rests that lies on it lengthwise. They give
	// the saddle's tilt.
	SaddleTopFront Landmark = "saddle_top_front"
	SaddleTopRear  Landmark = "saddle_top_rear"
)

// At returns the landmark of a contact site. A pedal is read at the centre of its thread
// at the outer face of the crank, with the crank at any angle. A foot is read with its pedal,
// on the sole or where a mark on the shoe stands for it, with the shoe on the pedal, tipped any
// way, together with [Ahead] and [Outer]. Tapes do not read feet.
func At(s contact.Site) Landmark { return Landmark(s.String()) }

// Ahead returns the landmark of a point further ahead along what is at a site of the front
// end, such as the front of a pad, of a hood or of an extension, as high over its middle line
// as the site. With the site it gives the direction: tilt and yaw. Of a foot it is a point on
// the sole's middle line towards the toes, and gives the yaw.
func Ahead(s contact.Site) Landmark { return At(s) + "_ahead" }

// Outer returns the landmark of a point further out across what is at a site of the front
// end, such as the outer edge of a pad, or of a sole, at the same place along it. With the site it gives
// the roll. A direction that is not of an extension, which is round, needs both.
func Outer(s contact.Site) Landmark { return At(s) + "_outer" }

// pointed reports whether surveys read the direction at a site.
func pointed(s contact.Site) bool { return s.Group().FrontEnd() && s != contact.BarClamp }

const markPrefix = "mark_"

// Mark returns the landmark of a place of your own on the frame, such as a scratch or a
// sticker: "mark_" and the name. Marks help [Register], and [Fix.Mark] returns where they
// are.
//
// Two marks whose names differ only in the endings "_left" and "_right" are taken to be
// mirror images, such as both sides of a seat tube. They count for the mid-plane like
// those of the frame.
func Mark(name string) Landmark { return Landmark(markPrefix + name) }

// contactPairs are the pairs of saddle and bar. They do not count for the mid-plane: a
// crooked bar must show in the result and not shift the plane that it is compared with.
var contactPairs = [...]struct {
	pair
	usual float64 // the distance from the mirror image that is normal, mm
}{
	{pair{SaddleEdgeLeft, SaddleEdgeRight}, usualSaddle},
	{pair{At(contact.TopsLeft), At(contact.TopsRight)}, usualBar},
	{pair{At(contact.HoodsLeft), At(contact.HoodsRight)}, usualBar},
	{pair{At(contact.DropsLeft), At(contact.DropsRight)}, usualBar},
	{pair{At(contact.GripLeft), At(contact.GripRight)}, usualBar},
	{pair{At(contact.PadLeft), At(contact.PadRight)}, usualBar},
	{pair{At(contact.ExtensionLeft), At(contact.ExtensionRight)}, usualBar},
}

// Usual asymmetry of saddles and bars. Common practice, no source.
const (
	usualSaddle = 3 // mm
	usualBar    = 5 // mm
)

// atSite holds the landmarks that are contact sites, known all landmarks that are not
// marks, and seen those of them that instruments see and tapes are not held to.
var atSite, known, seen = func() (sites, all, seen map[Landmark]bool) {
	sites, all = map[Landmark]bool{}, map[Landmark]bool{}
	seen = map[Landmark]bool{SaddleEdgeLeft: true, SaddleEdgeRight: true, SaddleTopFront: true, SaddleTopRear: true}
	for _, s := range contact.Sites() {
		sites[At(s)], all[At(s)] = true, true
		foot := s.Group() == contact.OnFeet
		if foot {
			seen[At(s)] = true
		}
		if foot || pointed(s) {
			seen[Ahead(s)], seen[Outer(s)] = true, true
		}
	}
	for i := range framePairs {
		p := &framePairs[i]
		all[p.left], all[p.right] = true, true
	}
	maps.Copy(all, seen)
	return sites, all, seen
}()

// landmarkWanted says what is wanted in place of another name.
const landmarkWanted = "a landmark such as rear_axle_left or hoods_right"

func (l Landmark) known() bool {
	return known[l] || len(l) > len(markPrefix) && strings.HasPrefix(string(l), markPrefix)
}

// A Unit is the unit of length of an instrument. The zero Unit is [Millimetre].
type Unit uint8

// The units of length.
const (
	Millimetre Unit = iota
	Centimetre
	Metre
	Inch // 25.4 mm

	unitCount = int(Inch) + 1
)

var units = [unitCount]struct {
	name string
	mm   float64
}{{"mm", 1}, {"cm", 10}, {"m", 1000}, {"in", 25.4}}

var unitNames = enum.New[Unit]("unit", []string{"mm", "cm", "m", "in"})

// String returns the unit's name, such as "mm".
func (u Unit) String() string { return unitNames.String(u) }

// MarshalText writes the unit's name; it fails for an unknown number.
func (u Unit) MarshalText() ([]byte, error) { return unitNames.Text(u) }

// UnmarshalText reads a name as [ParseUnit] does.
func (u *Unit) UnmarshalText(text []byte) error { return unitNames.Read(u, text) }

// ParseUnit returns the unit of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseUnit(name string) (Unit, error) { return unitNames.Parse(name) }

// Millimetres returns how many a unit has; 0 for an unknown number.
func (u Unit) Millimetres() float64 {
	if !unitNames.Valid(u) {
		return 0
	}
	return units[u].mm
}

// A Reading is one reading of one landmark.
type Reading struct {
	Landmark Landmark `json:"landmark"`
	// At is the point in the instrument's own axes, in the survey's unit.
	At r3.Vec `json:"at"`
}

// A Survey holds what an instrument read on one bike. Its zero value is not valid.
type Survey struct {
	// Unit is the unit of Readings, Sigma and Covariance (there, its square).
	Unit Unit `json:"unit"`
	// Sigma is the standard uncertainty of one reading along each axis of the instrument,
	// above 0 and at most 50 mm. It is zero if Covariance is given instead.
	Sigma r3.Vec `json:"sigma,omitzero" validate:"own"`
	// Covariance is the covariance of the coordinates of one reading, for instruments
	// whose axes have errors in common. It is zero if Sigma is given instead.
	Covariance [3][3]float64 `json:"covariance,omitzero"`
	// FrontRadius and RearRadius are the heights of the axles above the ground that the
	// tyres stand on. If both are zero, the bike stood on level ground, and Up must be
	// given.
	FrontRadius float64 `json:"front_radius_mm,omitzero" length:"100 to 450" zero:"not stated"`
	RearRadius  float64 `json:"rear_radius_mm,omitzero" length:"100 to 450" zero:"not stated"`
	// RadiusSigma is the standard uncertainty of each radius.
	RadiusSigma float64 `json:"radius_sigma_mm,omitzero" range:"0 to 50"`
	// Up is the upward direction in the instrument's axes, of any length. Zero means that
	// the instrument does not know it.
	Up r3.Vec `json:"up,omitzero"`
	// UpSigma is the standard uncertainty of the direction of Up, in each direction
	// perpendicular to it.
	UpSigma float64 `json:"up_sigma_deg,omitzero" range:"0 to 5"`
	// Trueness states how well pairs of the frame mirror each other, where that is known.
	// A pair that it does not name is as true as usual.
	Trueness []Trueness `json:"trueness,omitzero"`
	// Saddle is the saddle's profile, as far as it is known. It ties the tilt to nose and
	// rear where the saddle's top was not read, and says how wide the saddle is where its
	// reference was read.
	Saddle contact.SaddleProfile `json:"saddle,omitzero" validate:"own"`
	// Readings holds the readings in any order. Read each landmark three times or more: a
	// single reading cannot be checked, and of two readings that differ, either may be
	// the wrong one.
	Readings []Reading `json:"readings"`
}

// Validate reports what is wrong with the numbers and names of a survey, each taken by
// itself: [contact.ErrRange], also for more than 200 landmarks; [contact.ErrUnknown]; [contact.ErrMissing] for landmarks
// that the datum needs; [contact.ErrConflict] for an uncertainty that is given twice or
// is not possible; and [contact.ErrUnit] for a radius. [Survey.Solve] checks the readings
// against one another.
func (s Survey) Validate() error { return s.validate(nil) }

func (s *Survey) validate(m *work.Meter) error {
	var f fault.List
	if err := unitNames.Check("unit", s.Unit); err != nil {
		return err
	}
	s.validateSigma(&f)
	surveyFields.Check(&f, s)
	switch {
	case s.FrontRadius == 0 && s.RearRadius == 0 && s.Up == r3.Vec{}:
		f.Add("front_radius_mm", "", "the radii of both tyres, or the direction of up", contact.ErrMissing)
	case s.FrontRadius == 0 && s.RearRadius != 0:
		f.Length("front_radius_mm", 0, 100, 450)
	case s.RearRadius == 0 && s.FrontRadius != 0:
		f.Length("rear_radius_mm", 0, 100, 450)
	}
	validateTrueness(m, &f, s.Trueness)
	f.In("saddle", s.Saddle.Validate())
	if seen := validateReadings(m, &f, s.Readings, s.Unit); len(seen) <= mostLandmarks {
		s.validateNeeds(&f, seen)
	}
	return f.Err()
}

var surveyFields = field.New[Survey]()

// validateNeeds reports landmarks that the datum needs and that were not read.
func (s *Survey) validateNeeds(f *fault.List, seen map[Landmark]bool) {
	need := func(l Landmark) {
		if !seen[l] {
			f.Add("readings", "", "at least one reading of "+string(l), contact.ErrMissing)
		}
	}
	for i := range framePairs[:needed] {
		need(framePairs[i].left)
		need(framePairs[i].right)
	}
	switch left, right := seen[SaddleEdgeLeft], seen[SaddleEdgeRight]; {
	case left && !right:
		need(SaddleEdgeRight)
	case right && !left:
		need(SaddleEdgeLeft)
	case left && seen[At(contact.SaddleReference)]:
		f.Add("readings", string(At(contact.SaddleReference))+" read", "either it or the edges of the saddle", contact.ErrConflict)
	}
}

// far is the largest distance of a bike from the instrument's origin, along each axis,
// mm.
const far = 1e5

// mostLandmarks is how many different landmarks a survey may have, so that to find which of
// them contradict the others takes no longer than some milliseconds.
const mostLandmarks = 200

// validateReadings checks each reading and returns which landmarks were read, with one more
// than a survey may have where there are too many.
func validateReadings(m *work.Meter, f *fault.List, readings []Reading, unit Unit) map[Landmark]bool {
	seen := make(map[Landmark]bool, 2*needed+2)
	limit := far / units[unit].mm
	for i := 0; i < len(readings) && m.Do(1) && !f.Full(); i++ {
		r := &readings[i]
		if !r.Landmark.known() {
			f.Add(fault.At("readings", i)+".landmark", short(r.Landmark), landmarkWanted, contact.ErrUnknown)
		}
		if !(math.Abs(r.At.X) <= limit && math.Abs(r.At.Y) <= limit && math.Abs(r.At.Z) <= limit) {
			for k, v := range [...]float64{r.At.X, r.At.Y, r.At.Z} {
				f.Range(fault.At(fault.At("readings", i)+".at", k), v, -limit, limit, unit.String())
			}
		}
		if seen[r.Landmark] = true; len(seen) > mostLandmarks {
			f.Add("readings", "more than "+strconv.Itoa(mostLandmarks)+" landmarks", "at most that", contact.ErrRange)
			break
		}
	}
	return seen
}

// short returns a landmark's name for errors, cut if it is long.
func short(l Landmark) string { return strconv.Quote(fault.Name(string(l))) }

func (s *Survey) validateSigma(f *fault.List) {
	most := 50 / units[s.Unit].mm
	if s.Covariance == ([3][3]float64{}) {
		for i, v := range [...]float64{s.Sigma.X, s.Sigma.Y, s.Sigma.Z} {
			f.Range(fault.At("sigma", i), v, math.SmallestNonzeroFloat64, most, s.Unit.String())
		}
		return
	}
	if s.Sigma != (r3.Vec{}) {
		f.Add("sigma", "given", "either it or the covariance", contact.ErrConflict)
	}
	c := s.Covariance
	for i := range 3 {
		f.Range(fault.At(fault.At("covariance", i), i), c[i][i], math.SmallestNonzeroFloat64, most*most, s.Unit.String()+"²")
		for j := range i {
			if c[i][j] != c[j][i] {
				f.Add("covariance", "not symmetric", "a symmetric matrix", contact.ErrConflict)
				return
			}
		}
	}
	if _, ok := cholesky(c); !ok {
		f.Add("covariance", "not positive definite", "a positive definite matrix", contact.ErrConflict)
	}
}

// covariance returns the covariance of one reading's coordinates, mm².
func (s *Survey) covariance() [3][3]float64 {
	c := s.Covariance
	if c == ([3][3]float64{}) {
		for i, v := range [...]float64{s.Sigma.X, s.Sigma.Y, s.Sigma.Z} {
			c[i][i] = v * v
		}
	}
	u := units[s.Unit].mm
	for i := range c {
		for j := range c[i] {
			c[i][j] *= u * u
		}
	}
	return c
}

// cholesky returns the lower triangle L with LLᵀ = c, row by row; false if it does not
// exist.
func cholesky(c [3][3]float64) (l [6]float64, ok bool) {
	l = [6]float64{c[0][0], c[1][0], c[1][1], c[2][0], c[2][1], c[2][2]}
	ok = num.Cholesky(l[:], 0, func(left, variance float64) bool { return left > 1e-12*variance })
	return l, ok
}
