package solve

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Step is one line of a set-up sheet: something to set, or a measure to verify with a
// tape and a level.
type Step struct {
	// Verify says that the step checks by a measure what earlier steps have set.
	Verify bool `json:"verify,omitzero"`
	// Name is a short fixed name such as "seatpost_extension", or the name of a
	// [convert.Measure].
	Name string `json:"name"`
	// Side is the side at which a measure is taken, where left and right differ;
	// [contact.Centre] for all other steps.
	Side contact.Side `json:"side,omitzero"`
	// Sentences say what to do, without the number.
	Sentences []words.Sentence `json:"sentences,omitempty"`
	// Value is the number to set or to measure, in Unit: "mm" or "degrees", or "" if the
	// step has no number.
	Value float64 `json:"value,omitzero"`
	Unit  string  `json:"unit,omitempty"`
	// Low and High bound the value if Limited is true. A setting, with all others as
	// stated, may vary that far before a kept coordinate leaves its tolerance or the part
	// reaches its limit; coordinates out of tolerance from the start are ignored. A
	// reading outside Low to High shows that a kept coordinate is out of tolerance. A
	// reading between them does not prove that all are within.
	Low     float64 `json:"low,omitzero"`
	High    float64 `json:"high,omitzero"`
	Limited bool    `json:"limited,omitzero"`
}

// Text says in English what to do, without the number.
func (s Step) Text() string { return words.Text(s.Sentences) }

// String returns the step in one line, such as
// "seatpost_extension 188.4 mm (186.4 to 190.5): …".
func (s Step) String() string {
	if s.Unit == "" {
		return s.Name + ": " + s.Text()
	}
	name := s.Name
	if s.Side != contact.Centre {
		name += " (" + s.Side.String() + ")"
	}
	f := func(v float64) string {
		return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', 1, 64)
	}
	limits := ""
	if s.Limited {
		limits = fmt.Sprintf(" (%s to %s)", f(s.Low), f(s.High))
	}
	return fmt.Sprintf("%s %s %s%s: %s", name, f(s.Value), s.Unit, limits, s.Text())
}

// SetUp returns the steps that set up a candidate, in working order: first the settings
// (how the bike stands, cranks and feet, seat, front end) and then the measures that
// verify them, taken with the given basis. Without measures, all that apply are used:
// crank and feet, saddle, handlebar, pads. Where left and right differ by more than the
// tolerance, a measure that the basis takes midway is taken on either side. Show the
// cautions of the candidate's build with the steps.
//
// Errors are those of the build's Validate and of [convert.NewSheet].
func SetUp(c fitgeom.Candidate, basis convert.Basis, measures ...convert.Measure) ([]Step, error) {
	var f fault.List
	f.In("build", c.Build.Validate())
	if err := f.Err(); err != nil {
		return nil, err
	}
	position := rig.Position(&c.Build)
	if len(measures) == 0 {
		measures = sheetFor(position, basis)
	}
	if basis.RailDrop == 0 {
		basis.RailDrop = c.Build.Saddle.Height
	}
	if _, err := convert.NewSheet(position, basis, measures...); err != nil {
		return nil, err
	}
	s := sheeter{c: &c, build: c.Build, position: position}
	s.settings = rig.Settings(&s.build)
	s.stand()
	s.feet()
	s.seat()
	s.front()
	for _, m := range measures {
		s.verify(basis, m)
	}
	return s.steps, nil
}

// sheetFor returns the measures of a set-up sheet that a position and a basis determine,
// in working order.
func sheetFor(p contact.Position, basis convert.Basis) []convert.Measure {
	var all []convert.Measure
	for _, m := range []convert.Measure{
		convert.CrankLength, convert.QFactor, convert.StanceWidth, convert.FootHeight,
		convert.SaddleTilt, convert.SaddleHeight, convert.SaddleHeightSeatTube, convert.SaddleHeightPedal, convert.SaddleSetback, convert.SaddleSetbackNose,
		convert.BarStack, convert.BarReach, convert.ReachClamp, convert.BarDropClamp,
		convert.ReachHoods, convert.BarDropHoods, convert.HoodsWidth, convert.BarDropDrops, convert.DropsWidth,
		convert.ReachGrips, convert.BarDropGrips, convert.GripsWidth,
		convert.PadReach, convert.PadStack, convert.BarDropPads, convert.PadsWidth, convert.ExtensionReach, convert.ExtensionRise,
	} {
		if _, err := m.Of(p, basis); err == nil {
			all = append(all, m)
		}
	}
	return all
}

type sheeter struct {
	c        *fitgeom.Candidate
	build    fitgeom.Build // to try settings on
	settings []rig.Setting // of that build
	position contact.Position
	steps    []Step
}

// say adds a step without a number.
func (s *sheeter) say(name string, all ...words.Sentence) {
	s.steps = append(s.steps, Step{Name: name, Sentences: all})
}

// set adds a setting without a range.
func (s *sheeter) set(name, unit string, value float64, all ...words.Sentence) {
	s.steps = append(s.steps, Step{Name: name, Sentences: all, Value: value + 0, Unit: unit})
}

// turn adds a setting that has a range, with the bounds to which it may vary by itself.
func (s *sheeter) turn(name string, all ...words.Sentence) {
	i := slices.IndexFunc(s.settings, func(k rig.Setting) bool { return k.Name == name })
	k := &s.settings[i]
	v := *k.Value
	s.set(name, k.Unit, v, all...)
	step := &s.steps[len(s.steps)-1]
	step.Low, step.High, step.Limited = s.edge(k.Value, min(v, k.Range.From)), s.edge(k.Value, max(v, k.Range.Last())), true
}

// edge returns how far a setting may vary by itself, towards one end of its range, before
// a coordinate that was within tolerance leaves it.
func (s *sheeter) edge(setting *float64, end float64) float64 {
	from := *setting
	defer func() { *setting = from }()
	within := func(v float64) bool {
		*setting = v
		p := rig.Position(&s.build)
		for _, r := range s.c.Deviations {
			at, _ := p.At(r.Site)
			was, _ := s.position.At(r.Site)
			now := r
			now.Off = r3.Add(r.Off, r3.Sub(at, was))
			if r.Turn.Asks() {
				faces, _ := p.Attitude(r.Site)
				faced, _ := s.position.Attitude(r.Site)
				by := faces.Less(faced)
				now.Turned = fitgeom.Turned{Tilt: r.Turned.Tilt + by.Tilt, Yaw: r.Turned.Yaw + by.Yaw, Roll: r.Turned.Roll + by.Roll}
			}
			if r.Within() && !now.Within() {
				return false
			}
		}
		return true
	}
	if within(end) {
		return end
	}
	last, _ := num.Bisect(from, end, 50, within)
	return last
}

func (s *sheeter) stand() {
	b := &s.c.Build
	if b.Wheels == (chart.Wheels{}) {
		s.say("stand", words.Say(words.Stand))
		return
	}
	pitch, _ := b.Frame.Geometry.Pitch(b.Wheels)
	s.set("stand", "degrees", pitch, words.Say(words.StandPitched, words.Number("angle", b.Frame.Geometry.SeatAngle-pitch, "degrees")))
}

func (s *sheeter) feet() {
	b := &s.c.Build
	s.say("cranks", mount("cranks", b.Crank.Name))
	if b.Pedal == (part.Pedal{}) {
		return
	}
	s.say("pedals", mount("pedals", b.Pedal.Name))
	for side, lift := range [...]float64{contact.Left: b.Settings.LiftLeft, contact.Right: b.Settings.LiftRight} {
		if lift != 0 {
			name := contact.Side(side).String()
			s.set("lift_"+name, "mm", lift, words.Say(words.RaiseFoot, words.Word("side", name)))
		}
	}
	s.turnAll("cleat_")
}

// turnAll adds the settings whose names begin with one of some texts and that say all.
func (s *sheeter) turnAll(names ...string) {
	for _, k := range s.settings {
		if k.Say != 0 && slices.ContainsFunc(names, func(n string) bool { return strings.HasPrefix(k.Name, n) }) {
			s.turn(k.Name, words.Say(words.Phrase(k.Say), words.Word("side", k.Side.String())))
		}
	}
}

func mount(kind, name string) words.Sentence {
	return words.Say(words.Mount, words.Part("part", kind, name))
}

func (s *sheeter) seat() {
	b := &s.c.Build
	clamp := []words.Sentence{words.Say(words.ClampRails, words.Part("saddle", "saddle", b.Saddle.Name), words.Part("seatpost", "seatpost", b.Seatpost.Name))}
	if b.SeatpostShim != (part.Shim{}) {
		clamp = append(clamp, words.Say(words.ShimSeatpost, words.Part("part", "shim", b.SeatpostShim.Name)))
	}
	extend := []words.Sentence{words.Say(words.SetSeatpost)}
	if b.Seatpost.Travel != 0 {
		extend = append(extend, words.Say(words.DropperUp))
	}
	s.turn("rail_clamp", clamp...)
	s.set("saddle_tilt", "degrees", b.Settings.SaddleTilt, words.Say(words.TiltSaddle))
	s.turn("seatpost_extension", extend...)
	least := words.Number("least", max(b.Seatpost.MinInsertion, b.Frame.SeatpostInsertion), "mm")
	s.set("seatpost_insertion", "mm", b.Seatpost.Length-b.Settings.SeatpostExtension, words.Say(words.CheckInsertion, least))
}

func (s *sheeter) front() {
	b := &s.c.Build
	t := &b.Settings
	stem := words.Part("stem", "stem", b.Stem.Name)
	if b.Handlebar.OnePiece() {
		stem = words.Part("stem", "one-piece_bar_and_stem", b.Handlebar.Name)
	}
	put := words.PutStem
	if t.Flipped {
		put = words.PutStemFlipped
	}
	s.set("spacers", "mm", t.Spacers, words.Say(put, words.Part("cap", "cap", b.Cap.Name), pieces(s.c.Spacers), stem))
	s.turnAll("stem_angle", "quill")
	if b.Frame.SteererCut != 0 {
		s.set("spacers_above", "mm", t.SpacersAbove, words.Say(words.PutSpacersAbove, pieces(s.c.SpacersAbove)))
	}
	if !b.Handlebar.OnePiece() {
		s.handlebar()
	}
	s.turnAll("lever_")
	if b.Aero != (part.AeroBar{}) {
		s.turn("aero_tilt", words.Say(words.TiltAeroBar, words.Part("part", "aero_bar", b.Aero.Name)))
	}
	s.turnAll("pad_", "extension")
}

func (s *sheeter) handlebar() {
	b := &s.c.Build
	all := []words.Sentence{words.Say(words.ClampBar, words.Part("bar", "bar", b.Handlebar.Name))}
	if b.Lever != (part.Lever{}) {
		all = append(all, mount("levers", b.Lever.Name))
	}
	if b.BarShim != (part.Shim{}) {
		all = append(all, words.Say(words.ShimBar, words.Part("part", "shim", b.BarShim.Name)))
	}
	s.turn("bar_rotation", all...)
}

// pieces is the sum of some spacers.
func pieces(all []float64) words.Argument {
	each := make([]string, len(all))
	for i, v := range all {
		each[i] = strconv.FormatFloat(v, 'f', -1, 64)
	}
	if len(all) == 0 {
		each = []string{"0"}
	}
	return words.Argument{Name: "spacers", Text: strings.Join(each, " + ") + " mm"}
}
