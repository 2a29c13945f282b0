package exchange

import (
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// kindFor returns the kind of a type.
func kindFor[T Content]() *kind[T] {
	var k any
	switch any((*T)(nil)).(type) {
	case *contact.Position:
		k = positionKind
	case *[]contact.Position:
		k = positionsKind
	case *rider.Body:
		k = bodyKind
	case *survey.Survey:
		k = surveyKind
	case *survey.TapeSurvey:
		k = tapeKind
	case *convert.Sheet:
		k = sheetKind
	case *chart.Chart:
		k = chartKind
	case *fitgeom.Frame:
		k = frameKind
	case *[]fitgeom.Size:
		k = framesKind
	case *fitgeom.Shelf:
		k = shelfKind
	case *fitgeom.Build:
		k = buildKind
	case *[]fitgeom.Candidate:
		k = resultsKind
	}
	return k.(*kind[T])
}

type vector = [3]float64

func toVector(v r3.Vec) vector { return vector{v.X, v.Y, v.Z} }
func fromVector(v vector) r3.Vec {
	return r3.Vec{X: v[0], Y: v[1], Z: v[2]}
}

// Positions.

type wirePosition struct {
	Sites map[contact.Site]wireSite `json:"sites"`
}

type wireSite struct {
	At       *vector       `json:"at_mm,omitzero"`
	Attitude *wireAttitude `json:"attitude,omitzero"`
}

type wireAttitude struct {
	Tilt float64 `json:"tilt_deg"`
	Yaw  float64 `json:"yaw_deg,omitzero"`
	Roll float64 `json:"roll_deg,omitzero"`
}

func toPosition(p contact.Position) wirePosition {
	w := wirePosition{map[contact.Site]wireSite{}}
	for _, s := range contact.Sites() {
		var site wireSite
		if v, ok := p.At(s); ok {
			at := toVector(v)
			site.At = &at
		}
		if a, ok := p.Attitude(s); ok {
			site.Attitude = &wireAttitude{a.Tilt, a.Yaw, a.Roll}
		}
		if site != (wireSite{}) {
			w.Sites[s] = site
		}
	}
	return w
}

func fromPosition(w wirePosition, _ *faults) (p contact.Position) {
	for s, site := range w.Sites {
		if site.At != nil {
			p.Set(s, fromVector(*site.At))
		}
		if a := site.Attitude; a != nil {
			p.SetAttitude(s, contact.Attitude{Tilt: a.Tilt, Yaw: a.Yaw, Roll: a.Roll})
		}
	}
	return p
}

// positionPath turns "hoods_left.x" into where the document has that.
func positionPath(path string) string {
	site, axis, _ := strings.Cut(path, ".")
	switch axis {
	case "":
		return "sites." + site
	case "x", "y", "z":
		return "sites." + site + ".at." + axis
	default:
		return "sites." + site + ".attitude." + axis
	}
}

func validatePosition(p contact.Position) []*contact.Error { return judged(p.Validate(), positionPath) }

var positionKind = newKind("fitgeom/position", toPosition, fromPosition, validatePosition)

type wirePositions struct {
	Positions []wirePosition `json:"positions"`
}

var positionsKind = newKind("fitgeom/positions",
	func(ps []contact.Position) wirePositions { return wirePositions{each(ps, toPosition)} },
	func(w wirePositions, _ *faults) []contact.Position {
		all := make([]contact.Position, len(w.Positions))
		for i := range all {
			all[i] = fromPosition(w.Positions[i], nil)
		}
		return all
	},
	func(ps []contact.Position) []*contact.Error {
		var f faults
		for i := range ps {
			if err := ps[i].Validate(); err != nil {
				f.in(element("positions", i), err, positionPath)
			}
		}
		return f
	})

// Bodies.

type wireBody struct {
	Left       *wireLeg   `json:"left,omitzero"`
	Right      *wireLeg   `json:"right,omitzero"`
	HipForward float64    `json:"hip_forward_mm"`
	HipUp      float64    `json:"hip_up_mm"`
	Upper      *wireUpper `json:"upper,omitzero"`
}

type wireLeg struct {
	Thigh       float64   `json:"thigh_mm"`
	Shank       float64   `json:"shank_mm"`
	AnkleHeight float64   `json:"ankle_height_mm"`
	AnkleBehind float64   `json:"ankle_behind_mm"`
	Ankle       wireAnkle `json:"ankle"`
}

type wireAnkle struct {
	Given   rider.AnkleAngle `json:"given"`
	Profile []float64        `json:"profile_deg"`
}

type wireUpper struct {
	Trunk     float64          `json:"trunk_mm"`
	UpperArm  float64          `json:"upper_arm_mm"`
	Forearm   float64          `json:"forearm_mm"`
	WristBack float64          `json:"wrist_back_mm,omitzero"`
	WristUp   float64          `json:"wrist_up_mm,omitzero"`
	Grip      contact.Site     `json:"grip"`
	Keep      rider.UpperAngle `json:"keep"`
	Angle     float64          `json:"angle_deg"`
}

func toLeg(l rider.Leg) *wireLeg {
	if l.Thigh == 0 && l.Shank == 0 && l.AnkleHeight == 0 && l.AnkleBehind == 0 && l.Ankle.Given == 0 && l.Ankle.Profile == nil {
		return nil
	}
	return &wireLeg{l.Thigh, l.Shank, l.AnkleHeight, l.AnkleBehind, wireAnkle{l.Ankle.Given, l.Ankle.Profile}}
}

func fromLeg(w *wireLeg) rider.Leg {
	if w == nil {
		return rider.Leg{}
	}
	profile := w.Ankle.Profile
	if profile == nil {
		profile = []float64{} // a leg that the document has is known, be it all of zeros
	}
	return rider.Leg{
		Thigh: w.Thigh, Shank: w.Shank, AnkleHeight: w.AnkleHeight, AnkleBehind: w.AnkleBehind,
		Ankle: rider.Ankle{Given: w.Ankle.Given, Profile: profile},
	}
}

var bodyKind = newKind("fitgeom/body",
	func(b rider.Body) wireBody {
		w := wireBody{Left: toLeg(b.Left), Right: toLeg(b.Right), HipForward: b.HipForward, HipUp: b.HipUp}
		if u := b.Upper; u != (rider.Upper{}) {
			w.Upper = &wireUpper{u.Trunk, u.UpperArm, u.Forearm, u.WristBack, u.WristUp, u.Grip, u.Keep, u.Angle}
		}
		return w
	},
	func(w wireBody, f *faults) rider.Body {
		b := rider.Body{Left: fromLeg(w.Left), Right: fromLeg(w.Right), HipForward: w.HipForward, HipUp: w.HipUp}
		if u := w.Upper; u != nil {
			b.Upper = rider.Upper{
				Trunk: u.Trunk, UpperArm: u.UpperArm, Forearm: u.Forearm, WristBack: u.WristBack, WristUp: u.WristUp,
				Grip: u.Grip, Keep: u.Keep, Angle: u.Angle,
			}
			if b.Upper == (rider.Upper{}) { // which a value has for one that is not known
				f.add("upper", "all 0", "trunk and arms; where they are not known, no such member", contact.ErrRange)
			}
		}
		return b
	},
	func(b rider.Body) []*contact.Error { return judged(b.Validate(), nil) })

func element(name string, i int) string { return name + "[" + strconv.Itoa(i) + "]" }

// each makes one list of another; of none it makes nil.
func each[A, B any](as []A, f func(A) B) []B {
	var bs []B
	for _, a := range as {
		bs = append(bs, f(a))
	}
	return bs
}

// Numbers whose unit is told by what they belong to. Each has a member in mm and
// one in degrees, and a document has the one that is right.

func inMM(v float64, unit string) *float64 {
	if unit != "mm" {
		return nil
	}
	return &v
}

func inDegrees(v float64, unit string) *float64 {
	if unit == "mm" {
		return nil
	}
	return &v
}

// amount returns the number, and reports one in the other unit. An empty unit is
// that of something unknown, which was reported already.
func amount(f *faults, path, name, unit string, mm, degrees *float64, need bool) float64 {
	has, other, right, wrong := mm, degrees, name+"_mm", name+"_deg"
	switch unit {
	case "":
		return 0
	case "degrees":
		has, other, right, wrong = degrees, mm, wrong, right
	}
	if other != nil {
		f.add(path+"."+wrong, "", right+", the unit of what it belongs to", contact.ErrUnknown)
	}
	switch {
	case has != nil:
		return *has
	case need && other == nil:
		f.add(path+"."+right, "", "a number", contact.ErrMissing)
	}
	return 0
}

// Surveys.

type wireSurvey struct {
	Unit        survey.Unit   `json:"unit"`
	Sigma       vector        `json:"sigma,omitzero"`
	Covariance  [3]vector     `json:"covariance,omitzero"`
	FrontRadius float64       `json:"front_radius_mm,omitzero"`
	RearRadius  float64       `json:"rear_radius_mm,omitzero"`
	RadiusSigma float64       `json:"radius_sigma_mm,omitzero"`
	Up          vector        `json:"up,omitzero"`
	UpSigma     float64       `json:"up_sigma_deg,omitzero"`
	Readings    []wireReading `json:"readings"`
}

type wireReading struct {
	Landmark survey.Landmark `json:"landmark"`
	At       vector          `json:"at"`
}

var surveyKind = newKind("fitgeom/survey",
	func(s survey.Survey) wireSurvey {
		return wireSurvey{
			s.Unit, toVector(s.Sigma), s.Covariance, s.FrontRadius, s.RearRadius, s.RadiusSigma, toVector(s.Up), s.UpSigma,
			each(s.Readings, func(r survey.Reading) wireReading { return wireReading{r.Landmark, toVector(r.At)} }),
		}
	},
	func(w wireSurvey, _ *faults) survey.Survey {
		return survey.Survey{
			Readings: each(w.Readings, func(r wireReading) survey.Reading { return survey.Reading{Landmark: r.Landmark, At: fromVector(r.At)} }),
			Unit:     w.Unit, Sigma: fromVector(w.Sigma), Covariance: w.Covariance,
			FrontRadius: w.FrontRadius, RearRadius: w.RearRadius, RadiusSigma: w.RadiusSigma, Up: fromVector(w.Up), UpSigma: w.UpSigma,
		}
	},
	validateSurvey)

// validateSurvey puts the number of a reading where the survey's faults name its
// landmark, which may have been read many times.
func validateSurvey(s survey.Survey) []*contact.Error {
	// The faults come in the order of the readings, and of one reading in the
	// order name, x, y, z: so each is looked for behind the one before.
	at, part := 0, -1
	all := judged(s.Validate(), nil)
	for _, f := range all {
		landmark, ok := strings.CutPrefix(f.Path, "readings.")
		if !ok {
			continue
		}
		f.Path = "readings"
		switch f.Class {
		case contact.ErrUnknown, contact.ErrRange:
		case contact.ErrMissing:
			f.Want += " of " + landmark
			continue
		default:
			f.Value = landmark + " " + f.Value
			continue
		}
		axis := -1
		if f.Class == contact.ErrRange {
			n := len(landmark) - 2
			landmark, axis = landmark[:n], int(landmark[n+1]-'x')
		}
		for i := at; i < len(s.Readings); i++ {
			r := &s.Readings[i]
			if string(r.Landmark) != landmark || i == at && axis < part {
				continue
			}
			if axis < 0 {
				f.Path = element("readings", i) + ".landmark"
			} else if num.Text(toVector(r.At)[axis], s.Unit.String()) == f.Value {
				f.Path = element("readings", i) + ".at." + "xyz"[axis:axis+1]
			} else {
				continue
			}
			at, part = i, axis+1
			break
		}
	}
	return all
}

// Surveys by tape.

type wireTape struct {
	NoseUp      float64    `json:"nose_up_deg,omitzero"`
	NoseUpSigma float64    `json:"nose_up_sigma_deg,omitzero"`
	Readings    []wireHeld `json:"readings"`
}

type wireHeld struct {
	Kind     survey.TapeKind `json:"kind"`
	From     survey.Landmark `json:"from,omitempty"`
	To       survey.Landmark `json:"to,omitempty"`
	ValueMM  *float64        `json:"value_mm,omitzero"`
	ValueDeg *float64        `json:"value_deg,omitzero"`
	SigmaMM  *float64        `json:"sigma_mm,omitzero"`
	SigmaDeg *float64        `json:"sigma_deg,omitzero"`
}

func tapeUnit(k survey.TapeKind) string {
	if k == survey.Tilt {
		return "degrees"
	}
	return "mm"
}

var tapeKind = newKind("fitgeom/tape_survey",
	func(s survey.TapeSurvey) wireTape {
		return wireTape{s.NoseUp, s.NoseUpSigma, each(s.Readings, func(r survey.TapeReading) wireHeld {
			u := tapeUnit(r.Kind)
			return wireHeld{r.Kind, r.From, r.To, inMM(r.Value, u), inDegrees(r.Value, u), inMM(r.Sigma, u), inDegrees(r.Sigma, u)}
		})}
	},
	func(w wireTape, f *faults) survey.TapeSurvey {
		s := survey.TapeSurvey{NoseUp: w.NoseUp, NoseUpSigma: w.NoseUpSigma}
		for i, r := range w.Readings {
			kind, path := r.Kind, element("readings", i)
			u := tapeUnit(kind)
			s.Readings = append(s.Readings, survey.TapeReading{
				Kind: kind, From: r.From, To: r.To,
				Value: amount(f, path, "value", u, r.ValueMM, r.ValueDeg, true), Sigma: amount(f, path, "sigma", u, r.SigmaMM, r.SigmaDeg, true),
			})
		}
		return s
	},
	func(s survey.TapeSurvey) []*contact.Error {
		all := judged(s.Validate(), nil)
		for _, f := range all {
			if f.Class == contact.ErrUnknown && f.Value == "" && !strings.HasSuffix(f.Path, ".kind") {
				f.Class = contact.ErrMissing // an end of no name is one that was left out
			}
		}
		return all
	})

// Sheets.

type wireSheet struct {
	SeatAngle           float64       `json:"seat_angle_deg,omitzero"`
	BottomBracketHeight float64       `json:"bottom_bracket_height_mm,omitzero"`
	Side                contact.Side  `json:"side,omitzero"`
	Mirrored            bool          `json:"mirrored"`
	Entries             []wireMeasure `json:"entries"`
}

type wireMeasure struct {
	Measure  convert.Measure `json:"measure"`
	Side     contact.Side    `json:"side,omitzero"`
	ValueMM  *float64        `json:"value_mm,omitzero"`
	ValueDeg *float64        `json:"value_deg,omitzero"`
	SigmaMM  *float64        `json:"sigma_mm,omitzero"`
	SigmaDeg *float64        `json:"sigma_deg,omitzero"`
}

var sheetKind = newKind("fitgeom/sheet",
	func(s convert.Sheet) wireSheet {
		return wireSheet{s.Basis.SeatAngle, s.Basis.BottomBracketHeight, s.Basis.Side, s.Basis.Mirrored, each(s.Entries, func(r convert.Entry) wireMeasure {
			u := r.Measure.Definition().Unit
			w := wireMeasure{Measure: r.Measure, Side: r.Side, ValueMM: inMM(r.Value, u), ValueDeg: inDegrees(r.Value, u)}
			if r.Sigma != 0 {
				w.SigmaMM, w.SigmaDeg = inMM(r.Sigma, u), inDegrees(r.Sigma, u)
			}
			return w
		})}
	},
	func(w wireSheet, f *faults) convert.Sheet {
		s := convert.Sheet{Basis: convert.Basis{SeatAngle: w.SeatAngle, BottomBracketHeight: w.BottomBracketHeight, Side: w.Side, Mirrored: w.Mirrored}}
		for i, r := range w.Entries {
			path, u := element("entries", i), r.Measure.Definition().Unit
			s.Entries = append(s.Entries, convert.Entry{
				Measure: r.Measure, Side: r.Side,
				Value: amount(f, path, "value", u, r.ValueMM, r.ValueDeg, true), Sigma: amount(f, path, "sigma", u, r.SigmaMM, r.SigmaDeg, false),
			})
		}
		return s
	},
	func(s convert.Sheet) []*contact.Error { return judged(s.Validate(), nil) })

// Charts.

type wireChart struct {
	LengthStep      float64      `json:"length_step_mm"`
	AngleStep       float64      `json:"angle_step_deg"`
	SeatAngleHeight float64      `json:"seat_angle_height_mm,omitzero"`
	EqualWheels     bool         `json:"equal_wheels"`
	SeatTubeCentred bool         `json:"seat_tube_centred"`
	Stated          []wireStated `json:"entries"`
}

type wireStated struct {
	Dimension chart.Dimension `json:"dimension"`
	ValueMM   *float64        `json:"value_mm,omitzero"`
	ValueDeg  *float64        `json:"value_deg,omitzero"`
	StepMM    *float64        `json:"step_mm,omitzero"`
	StepDeg   *float64        `json:"step_deg,omitzero"`
}

// mostStated is how many numbers a chart may have: each is compared with each.
const mostStated = 1000

var chartKind = newKind("fitgeom/chart",
	func(c chart.Chart) wireChart {
		return wireChart{c.LengthStep, c.AngleStep, c.SeatAngleHeight, c.EqualWheels, c.SeatTubeCentred, each(c.Entries, func(s chart.Entry) wireStated {
			u := s.Dimension.Unit()
			w := wireStated{Dimension: s.Dimension, ValueMM: inMM(s.Value, u), ValueDeg: inDegrees(s.Value, u)}
			if s.Step != 0 {
				w.StepMM, w.StepDeg = inMM(s.Step, u), inDegrees(s.Step, u)
			}
			return w
		})}
	},
	func(w wireChart, f *faults) chart.Chart {
		c := chart.Chart{Rounding: chart.Rounding{LengthStep: w.LengthStep, AngleStep: w.AngleStep}, SeatAngleHeight: w.SeatAngleHeight, EqualWheels: w.EqualWheels, SeatTubeCentred: w.SeatTubeCentred}
		for i, s := range w.Stated {
			path, u := element("entries", i), s.Dimension.Unit()
			c.Entries = append(c.Entries, chart.Entry{
				Dimension: s.Dimension,
				Value:     amount(f, path, "value", u, s.ValueMM, s.ValueDeg, true), Step: amount(f, path, "step", u, s.StepMM, s.StepDeg, false),
			})
		}
		return c
	},
	func(c chart.Chart) []*contact.Error {
		if n := len(c.Entries); n > mostStated {
			return []*contact.Error{{Path: "entries", Value: strconv.Itoa(n) + " dimensions", Want: "at most " + strconv.Itoa(mostStated), Class: contact.ErrRange}}
		}
		return judged(c.Validate(), nil)
	})

// Frames, parts, builds.

// asWritten gives what has other names in documents than in faults.
var asWritten = strings.NewReplacer("axles.drop", "axles.bb_drop", ".inner", ".inner_diameter", ".outer", ".outer_diameter").Replace

var frameKind = newKind("fitgeom/frame",
	func(f fitgeom.Frame) fitgeom.Frame { return f },
	func(f fitgeom.Frame, _ *faults) fitgeom.Frame { return f },
	func(f fitgeom.Frame) []*contact.Error { return judged(f.Validate(), asWritten) })

type wireSizes struct {
	Sizes []wireSize `json:"sizes"`
}

type wireSize struct {
	Family string        `json:"family"`
	Label  string        `json:"label"`
	Frame  fitgeom.Frame `json:"frame"`
}

var framesKind = newKind("fitgeom/frames",
	func(sizes []fitgeom.Size) wireSizes {
		return wireSizes{each(sizes, func(s fitgeom.Size) wireSize { return wireSize{s.Family, s.Label, s.Frame} })}
	},
	func(w wireSizes, _ *faults) []fitgeom.Size {
		return each(w.Sizes, func(s wireSize) fitgeom.Size { return fitgeom.Size{Family: s.Family, Label: s.Label, Frame: s.Frame} })
	},
	func(sizes []fitgeom.Size) []*contact.Error {
		var f faults
		for i := range sizes {
			f.in(element("sizes", i), sizes[i].Validate(), asWritten)
		}
		return f
	})

var shelfKind = newKind("fitgeom/shelf",
	func(s fitgeom.Shelf) fitgeom.Shelf { return s },
	func(s fitgeom.Shelf, _ *faults) fitgeom.Shelf { return s },
	func(s fitgeom.Shelf) []*contact.Error { return judged(s.Validate(), asWritten) })

type wireBuild struct {
	Frame    fitgeom.Frame    `json:"frame"`
	Stance   chart.Wheels     `json:"stance,omitzero"`
	Cap      part.HeadsetCap  `json:"cap"`
	Stem     part.Stem        `json:"stem,omitzero"`
	BarShim  part.Shim        `json:"bar_shim,omitzero"`
	Bar      part.Handlebar   `json:"handlebar"`
	Lever    part.Lever       `json:"lever,omitzero"`
	Aero     part.AeroBar     `json:"aero,omitzero"`
	Post     part.Seatpost    `json:"seatpost"`
	PostShim part.Shim        `json:"seatpost_shim,omitzero"`
	Saddle   part.Saddle      `json:"saddle"`
	Crank    part.Crank       `json:"crank"`
	Pedal    part.Pedal       `json:"pedal,omitzero"`
	Settings fitgeom.Settings `json:"settings"`
}

func toBuild(b fitgeom.Build) wireBuild {
	return wireBuild{
		b.Frame, b.Wheels, b.Cap, b.Stem, b.BarShim, b.Handlebar, b.Lever, b.Aero, b.Seatpost, b.SeatpostShim, b.Saddle, b.Crank, b.Pedal,
		b.Settings,
	}
}

func fromBuild(w wireBuild, _ *faults) fitgeom.Build {
	return fitgeom.Build{
		Frame: w.Frame, Wheels: w.Stance, Cap: w.Cap, Stem: w.Stem, BarShim: w.BarShim, Handlebar: w.Bar, Lever: w.Lever, Aero: w.Aero,
		Seatpost: w.Post, SeatpostShim: w.PostShim, Saddle: w.Saddle, Crank: w.Crank, Pedal: w.Pedal, Settings: w.Settings,
	}
}

var buildKind = newKind("fitgeom/build", toBuild, fromBuild,
	func(b fitgeom.Build) []*contact.Error { return judged(b.Validate(), asWritten) })

// Results.

type wireResults struct {
	Results []wireCandidate `json:"results"`
}

type wireCandidate struct {
	Build        wireBuild       `json:"build"`
	Spacers      []float64       `json:"spacers_mm"`
	SpacersAbove []float64       `json:"spacers_above_mm"`
	Buy          part.Kinds      `json:"buy"`
	Deviations   []wireDeviation `json:"deviations"`
}

type wireDeviation struct {
	Site      contact.Site `json:"site"`
	Tolerance vector       `json:"tolerance_mm"`
	Weight    vector       `json:"weight,omitzero"`
	Off       vector       `json:"off_mm"`
}

var resultsKind = newKind("fitgeom/results",
	func(cs []fitgeom.Candidate) wireResults {
		return wireResults{each(cs, func(c fitgeom.Candidate) wireCandidate {
			return wireCandidate{
				Build: toBuild(c.Build), Spacers: c.Spacers, SpacersAbove: c.SpacersAbove, Buy: c.Buy,
				Deviations: each(c.Deviations, func(d fitgeom.Deviation) wireDeviation {
					return wireDeviation{d.Site, toVector(d.Tolerance), toVector(d.Weight), toVector(d.Off)}
				}),
			}
		})}
	},
	func(w wireResults, f *faults) []fitgeom.Candidate {
		return each(w.Results, func(w wireCandidate) fitgeom.Candidate {
			return fitgeom.Candidate{
				Build: fromBuild(w.Build, nil), Spacers: w.Spacers, SpacersAbove: w.SpacersAbove, Buy: w.Buy,
				Deviations: each(w.Deviations, func(d wireDeviation) fitgeom.Deviation {
					return fitgeom.Deviation{Keep: fitgeom.Keep{Site: d.Site, Tolerance: fromVector(d.Tolerance), Weight: fromVector(d.Weight)}, Off: fromVector(d.Off)}
				}),
			}
		})
	},
	func(cs []fitgeom.Candidate) []*contact.Error {
		var f faults
		for i := range cs {
			f.in(element("results", i)+".build", cs[i].Build.Validate(), asWritten)
		}
		return f
	})
