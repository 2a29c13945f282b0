package exchange_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/rules"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// v1 is where the documents of version 1 are. They do not change any more: other
// programs have such files. A later version gets a folder of its own.
const v1 = "../../testdata/exchange/v1"

const frozenNote = "Invented data: no such bike, rider, reading or part exists."

// The values of the documents in v1, one for each kind.
var (
	frozenPosition = func() contact.Position {
		p := contact.New(map[contact.Site]r3.Vec{
			contact.SaddleReference: {X: -208, Z: 706},
			contact.SaddleNose:      {X: -65.926, Z: 708.025},
			contact.SaddleRear:      {X: -337.867, Z: 713.7215},
			contact.BarClamp:        {X: 464, Z: 611},
			contact.HoodsLeft:       {X: 580, Y: 212, Z: 637},
			contact.HoodsRight:      {X: 581, Y: -210, Z: 636},
			contact.PedalLeft:       {X: 172.5, Y: 74},
			contact.PedalRight:      {X: 172.5, Y: -74},
		})
		p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1.2})
		p.SetAttitude(contact.HoodsLeft, contact.Attitude{Tilt: 8, Yaw: -7.5, Roll: 0.25})
		p.SetAttitude(contact.PadLeft, contact.Attitude{}) // a direction without a point
		return p
	}()

	// The rider of internal/invented, but for the right ankle, whose joint is stated.
	frozenBody = rider.Body{
		Left:       rider.Leg{Thigh: 408, Shank: 416, AnkleHeight: 73, AnkleBehind: 125, Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}}},
		Right:      rider.Leg{Thigh: 408, Shank: 416, AnkleHeight: 73, AnkleBehind: 125, Ankle: rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{12, 14.5, -3, -8}}},
		HipForward: 60, HipUp: 50,
		Upper: rider.Upper{Trunk: 510, UpperArm: 320, Forearm: 260, WristBack: 30, WristUp: 40, Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 20},
	}

	frozenSurvey = survey.Survey{
		Unit: survey.Centimetre, Covariance: [3][3]float64{{0.0016, 0.0001, 0}, {0.0001, 0.0016, -0.0002}, {0, -0.0002, 0.002}},
		FrontRadius: 342, RearRadius: 335, RadiusSigma: 1, Up: r3.Vec{X: -0.18886, Y: -0.96224, Z: -0.19604}, UpSigma: 0.05,
		Readings: []survey.Reading{
			{Landmark: survey.BottomBracketLeft, At: r3.Vec{X: 76.78, Y: -35.51, Z: 22.42}},
			{Landmark: survey.BottomBracketRight, At: r3.Vec{X: 85.56, Y: -37.5, Z: 25.54}},
			{Landmark: survey.RearAxleLeft, At: r3.Vec{X: 88.57, Y: -37.7, Z: -17.07}},
			{Landmark: survey.RearAxleRight, At: r3.Vec{X: 100.69, Y: -40.51, Z: -12.73}},
			{Landmark: survey.FrontAxleLeft, At: r3.Vec{X: 54.6, Y: -47.75, Z: 74.98}},
			{Landmark: survey.FrontAxleRight, At: r3.Vec{X: 64.15, Y: -49.95, Z: 78.39}},
			{Landmark: survey.Mark("scratch"), At: r3.Vec{X: 70, Y: 1e-7, Z: 30}},
			{Landmark: survey.At(contact.HoodsLeft), At: r3.Vec{X: 30.51, Y: -99.35, Z: 60.67}},
			{Landmark: survey.At(contact.HoodsLeft), At: r3.Vec{X: 30.43, Y: -99.43, Z: 60.7}},
		},
	}

	frozenTape = survey.TapeSurvey{
		NoseUp: 0.5, NoseUpSigma: 0.2,
		Readings: []survey.TapeReading{
			{Kind: survey.Direct, From: survey.BottomBracket, To: survey.At(contact.SaddleReference), Value: 736, Sigma: 1},
			{Kind: survey.Horizontal, From: survey.BottomBracket, To: survey.At(contact.SaddleNose), Value: -66, Sigma: 1},
			{Kind: survey.Vertical, From: survey.Ground, To: survey.At(contact.HoodsLeft), Value: 905, Sigma: 2},
			{Kind: survey.Lateral, From: survey.At(contact.HoodsRight), To: survey.At(contact.HoodsLeft), Value: 422, Sigma: 1},
			{Kind: survey.Tilt, Value: -1.2, Sigma: 0.2},
		},
	}

	frozenPhotographs = photo.Survey{
		Cameras: []photo.Camera{
			{Width: 4000, Height: 3000, Focal: 5200, FocalSigma: 0.002, CentreX: 2011, CentreY: 1489, CentreSigma: 4, K1: 0.03, K2: -0.02, K3: 0.001, P1: 0.0004, P2: -0.0003, Corner: 0.001},
			{Width: 4000, Height: 3000, Equivalent: 50, FocalSigma: 0.04},
		},
		Photographs: []photo.Photograph{{Name: "from the right", Camera: 1, Marks: []photo.Mark{
			{Landmark: survey.BottomBracketRight, X: 1869, Y: 1778},
			{Landmark: survey.RearAxleRight, X: 1264, Y: 1675.5, Sigma: 3},
			{Landmark: survey.At(contact.HoodsRight), X: 2778, Y: 773},
			{Landmark: survey.Mark("scratch"), X: 2000, Y: 1200},
			{Landmark: photo.RearCircleRight, X: 1730, Y: 1675},
			{Landmark: photo.RearCircleRight, X: 1263, Y: 1208},
			{Landmark: photo.RearGround, X: 1264, Y: 2184},
			{Landmark: photo.Plumb("line"), X: 702, Y: 2100},
		}}},
		Sigma: 2, FrontRadius: 340, RearRadius: 338, RadiusSigma: 1, FrontCircle: 311, RearCircle: 311.5, CircleSigma: 0.5, Crank: 172.5, CrankSigma: 0.5,
		Distances: []photo.Distance{{From: survey.RearAxleRight, To: survey.Mark("scratch"), Value: 512, Sigma: 1}},
		Sideways:  []photo.Sideways{{Landmark: survey.At(contact.HoodsRight), Y: -210, Sigma: 3}},
		Trueness:  []survey.Trueness{{Pair: survey.RearAxleLeft, Sigma: 0.5, Counts: survey.CountsBoth}},
		Saddle:    contact.SaddleProfile{NoseAhead: 140, RearBehind: 125, NoseAbove: -9, RearAbove: -2, Sigma: 1, Width: 80, Widening: 1},
	}

	frozenSheet = convert.Sheet{
		Basis: convert.Basis{SeatAngle: 73.5, BottomBracketHeight: 268, Side: contact.Left, Mirrored: true},
		Entries: []convert.Entry{
			{Measure: convert.SaddleHeight, Value: 738, Sigma: 1},
			{Measure: convert.SaddleTilt, Value: -1.5, Sigma: 0.2},
			{Measure: convert.BarDropHoods, Side: contact.Right, Value: 63.25},
		},
	}

	frozenChart = chart.Chart{
		Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}, SeatAngleHeight: 650, EqualWheels: true, SeatTubeCentred: true,
		Entries: []chart.Entry{
			{Dimension: chart.Stack, Value: 572},
			{Dimension: chart.Reach, Value: 388, Step: 0.5},
			{Dimension: chart.HeadAngle, Value: 72.8},
			{Dimension: chart.SeatAngle, Value: 73.5, Step: 0.5},
		},
	}

	frozenFrame = fitgeom.Frame{
		Name: "road 54",
		Geometry: chart.Geometry{
			Stack: 556, Reach: 382, HeadAngle: 73, SeatAngle: 73.5, SeatOffset: 5,
			Axles: chart.Axles{Chainstay: 410, Drop: 72, ForkOffset: 45, FrontRadius: 336, RearRadius: 336},
		},
		SteererDiameter: 28.6, MaxUnderStem: 45, SteererCut: 95, SeatTubeTop: 505, SeatpostDiameter: 27.2, SeatpostInsertion: 80, SeatpostDepth: 320, MaxFrontRadius: 345, MaxRearRadius: 343,
	}

	// A frame whose chart does not state all.
	frozenAssumed = func() fitgeom.Frame {
		f := frozenFrame
		f.Assumed = fitgeom.Assumed{MaxUnderStem: true, SeatpostDiameter: true}
		return f
	}()

	frozenStem   = part.Stem{Name: "stem 100 −6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true}
	frozenBar    = part.Handlebar{Name: "bar 420", ClampDiameter: 25.4, AeroDiameter: 31.8, RotationRange: 6, Drop: part.DropBar{Width: 420, DropsWidth: 440, TopsWidth: 220, Reach: 80, Drop: 128, Hook: 60}}
	frozenAero   = part.AeroBar{Name: "aero bar", BarDiameter: 31.8, Tilt: part.Steps{From: 0, To: 15, Step: 5}, PadRise: part.Steps{From: 50, To: 90, Step: 10}, PadForward: part.Steps{From: -20, To: 40}, PadWidth: part.Steps{From: 160, To: 220, Step: 20}, Extension: part.Steps{From: 250, To: 350, Step: 10}, ExtensionDrop: 30, ExtensionAngle: 12, ExtensionWidth: 110}
	frozenPost   = part.Seatpost{Name: "post 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 100, MinExtension: 45, MaxExtension: 260, Travel: 100}
	frozenSaddle = part.Saddle{Name: "saddle 275", Length: 275, Station: 145, Height: 47, Dip: 4, RailsFrom: 115, RailsTo: 185}

	frozenShelf = fitgeom.Shelf{
		Caps:    []part.HeadsetCap{{Name: "cap 8", Height: 8, SteererDiameter: 28.6}},
		Spacers: []part.Spacer{{Height: 2.5, Count: 1}, {Height: 10, Count: 2}},
		Stems:   []part.Stem{frozenStem},
		Handlebars: []part.Handlebar{
			frozenBar,
			{Name: "riser 760", ClampDiameter: 31.8, Flat: part.FlatBar{Width: 760, Centre: 120, Rise: 20, Forward: -5, Backsweep: 8, Upsweep: 5, Hand: 65}},
			{
				Name: "base bar with its stem", Stem: part.Stem{Length: 95, Angle: -6, Height: 42, SteererDiameter: 28.6, BarDiameter: 31.8}, DrawnAt: 73,
				Base: part.BaseBar{Width: 400, Reach: 110, Rise: -20},
			},
		},
		Levers: []part.Lever{{Name: "lever 36", Reach: 36, Rise: 24}}, AeroBars: []part.AeroBar{frozenAero}, Seatposts: []part.Seatpost{frozenPost},
		Saddles: []part.Saddle{frozenSaddle}, Cranks: []part.Crank{{Name: "crank 172.5", Length: 172.5, QFactor: 146}},
		Pedals: []part.Pedal{{Name: "pedal", FootHeight: 22, FootOffset: 55}}, Shims: []part.Shim{{Name: "shim", Inner: 25.4, Outer: 31.8}}, CleatShims: []part.Spacer{{Height: 1, Count: 3}},
	}

	frozenBuild = fitgeom.Build{
		Frame: frozenFrame, Wheels: chart.Wheels{FrontSag: 1, RearSag: 2, FrontRadius: 340, RearRadius: 341},
		Cap: frozenShelf.Caps[0], Stem: frozenStem, BarShim: frozenShelf.Shims[0], Handlebar: frozenBar, Lever: frozenShelf.Levers[0], Aero: frozenAero,
		Seatpost: part.Seatpost{Name: "post 25.4", Diameter: 25.4, Length: 350, Setback: 20, MinInsertion: 100, MinExtension: 45, Travel: 100}, SeatpostShim: part.Shim{Name: "shim", Inner: 25.4, Outer: 27.2},
		Saddle: frozenSaddle, Crank: frozenShelf.Cranks[0], Pedal: frozenShelf.Pedals[0],
		Settings: fitgeom.Settings{
			Spacers: 12.5, SpacersAbove: 10, Flipped: true, BarRotation: -2, AeroTilt: 5, PadRise: 60, PadForward: 10, PadWidth: 180, Extension: 300,
			SeatpostExtension: 205.5, Lowered: 10, RailClamp: 150, SaddleTilt: -1.2, LiftLeft: 1, LiftRight: 2,
		},
	}

	frozenResults = []fitgeom.Candidate{{
		Build: frozenBuild, Spacers: []float64{10, 2.5}, SpacersAbove: []float64{10}, Buy: part.Stems | part.AeroBars,
		Purchases: 2, Merit: fitgeom.Merit{Shortfall: 3, ShortfallSum: 5, Preference: 4, Room: 15}, SaddleMoved: fitgeom.SaddleMove{By: r3.Vec{X: 1.25, Z: 5.5}, Crank: -5, Foot: 0.5},
		Deviations: []fitgeom.Deviation{
			{Keep: fitgeom.Keep{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 5, Z: 5}}, Off: r3.Vec{X: 0.5, Z: -1}},
			{Keep: fitgeom.Keep{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Y: 5, Z: 2}, Weight: r3.Vec{X: 4, Z: 0.25}}, Off: r3.Vec{X: -0.25, Y: 1, Z: 0.5}},
		},
		Rules: []fitgeom.Ruling{
			{Place: 0, Broken: true, Rule: "slope of the saddle at most 1 degrees", Found: "slope of the saddle 1.2 degrees: broken by 0.2 degrees"},
			{Place: 3, Rule: "between the inner faces of the hoods at least 280 mm", Found: "between the inner faces of the hoods: not known"},
		},
	}}

	frozenRequest = request.Request{
		Target: request.Target{Position: frozenPosition}, Frame: frozenFrame, Shelf: frozenShelf,
		Keep: []fitgeom.Keep{
			{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Y: 5, Z: 2}, Weight: r3.Vec{X: 4, Y: 1, Z: 0.25}},
			{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 3, Z: 4}, Turn: fitgeom.TurnTolerance{Tilt: 5, Yaw: 6, Roll: 7, Weight: 0.5}},
		},
		Crank: fitgeom.KeepSaddle, Wheels: chart.Wheels{FrontSag: 10, RearSag: 12, FrontRadius: 340, RearRadius: 341},
		Bike: request.Bike{Stem: frozenStem.Name, Crank: "crank 172.5"}, Vary: part.Stems | part.Saddles,
		RoomWanted: []fitgeom.RoomWish{{Group: contact.OnHandlebar, Up: 5, Down: 10, Forward: 3, Back: 4, Gap: 1.5}},
		Preference: fitgeom.Preference{
			StemLength: fitgeom.Usual{From: 80, To: 120, Step: 10}, StemAngle: fitgeom.Usual{From: -12, Step: 6}, Spacers: fitgeom.Usual{To: 30, Step: 5},
			Rotation: fitgeom.Usual{From: -4, To: 4, Step: 2}, Setback: fitgeom.Usual{To: 20, Step: 10}, Rails: fitgeom.Usual{From: -15, To: 15, Step: 5}, Flipped: 2, Shim: 3,
		},
		Rules: request.Race{Discipline: rules.Road, On: rules.Date{Year: 2026, Month: 6, Day: 7}}, Rider: rules.Rider{Height: 1830},
		Limits: rider.Limits{Body: frozenBody, Joints: []rider.Limit{{Variable: rider.KneeFlexion, Side: contact.Left, Bound: rider.AtLeast, Angle: 25, Source: "passive, lying"}}},
		Want:   request.Steps,
		Grain:  0.2, Limit: 3, Work: 1_000_000, Partial: true,
	}

	frozenFaults = []contact.Error{
		{Path: "/frame/geometry/stack_mm", Line: 12, Value: "55.6 mm", Want: "300 to 800 mm; it looks like centimetres", Class: contact.ErrUnit},
		{Path: "/shelf", Line: 1, Want: "the parts that may be used", Class: contact.ErrMissing},
		{Path: "document", Value: "10 looks", Want: "more than that", Class: contact.ErrBudget},
	}
)

func frozen[T exchange.Content](name string, want T) func(t *testing.T) {
	return func(t *testing.T) {
		data, err := os.ReadFile(filepath.Join(v1, name+".json"))
		require.NoError(t, err)
		got, note, err := exchange.Read[T](t.Context(), bytes.NewReader(data))
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(want, got, cmpopts.EquateErrors(), everything))
		assert.Equal(t, frozenNote, note)
		var b bytes.Buffer
		require.NoError(t, exchange.Write(t.Context(), &b, want, frozenNote))
		said, written := string(data), b.String()
		if name == "results" { // which have numbers that are computed, to the last digit of a processor
			said, written = rounded(said), rounded(written)
		}
		assert.Equal(t, said, written, "what is written, as long as 1 is the newest version")
	}
}

var manyDigits = regexp.MustCompile(`-?\d+\.\d{9,}`)

// rounded is a text with at most 9 decimals in its numbers.
func rounded(text string) string {
	return manyDigits.ReplaceAllStringFunc(text, func(s string) string {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			panic(err)
		}
		return strconv.FormatFloat(v, 'f', 9, 64)
	})
}

// Every document that was ever written can be read, and says the same.
func TestVersion1(t *testing.T) {
	kinds := map[string]func(t *testing.T){
		"position":    frozen("position", frozenPosition),
		"positions":   frozen("positions", []contact.Position{frozenPosition, {}}),
		"body":        frozen("body", frozenBody),
		"survey":      frozen("survey", frozenSurvey),
		"tape_survey": frozen("tape_survey", frozenTape),
		"photographs": frozen("photographs", frozenPhotographs),
		"sheet":       frozen("sheet", frozenSheet),
		"chart":       frozen("chart", frozenChart),
		"frame":       frozen("frame", frozenAssumed),
		"frames":      frozen("frames", []fitgeom.Size{{Family: "road", Label: "54", Frame: frozenFrame}}),
		"shelf":       frozen("shelf", frozenShelf),
		"build":       frozen("build", frozenBuild),
		"results":     frozen("results", frozenResults),
		"request":     frozen("request", frozenRequest),
		"faults":      frozen("faults", frozenFaults),
	}
	for _, s := range subjects {
		require.Contains(t, kinds, s.name)
		t.Run(s.name, kinds[s.name])
	}
}
