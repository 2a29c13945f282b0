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
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Step is one line of a set-up sheet: something to set, or a measure to verify with a
// tape and a level.
type Step struct {
	// Verify says that the step checks by a measure what earlier steps have set.
	Verify bool
	// Name is a short fixed name such as "seatpost_extension", or the name of a
	// [convert.Measure].
	Name string
	// Text says what to do, without the number.
	Text string
	// Value is the number to set or to measure, in Unit: "mm" or "degrees", or "" if the
	// step has no number.
	Value float64
	Unit  string
	// Low and High bound the value if Limited is true. A setting, with all others as
	// stated, may vary that far before a kept coordinate leaves its tolerance or the part
	// reaches its limit; coordinates out of tolerance from the start are ignored. A
	// reading outside Low to High shows that a kept coordinate is out of tolerance. A
	// reading between them does not prove that all are within.
	Low, High float64
	Limited   bool
}

// String returns the step in one line, such as
// "seatpost_extension 188.4 mm (186.4 to 190.5): …".
func (s Step) String() string {
	if s.Unit == "" {
		return s.Name + ": " + s.Text
	}
	f := func(v float64) string {
		return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', 1, 64)
	}
	limits := ""
	if s.Limited {
		limits = fmt.Sprintf(" (%s to %s)", f(s.Low), f(s.High))
	}
	return fmt.Sprintf("%s %s %s%s: %s", s.Name, f(s.Value), s.Unit, limits, s.Text)
}

// SetUp returns the steps that set up a candidate, in working order: first the settings
// (how the bike stands, cranks and feet, seat, front end) and then the measures that
// verify them, taken with the given basis. Without measures, all that apply are used:
// crank and feet, saddle, handlebar, pads. Show the cautions of the candidate's build
// with the steps.
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
	sheet, err := convert.NewSheet(position, basis, measures...)
	if err != nil {
		return nil, err
	}
	s := sheeter{c: &c, build: c.Build, position: position}
	s.settings = rig.Settings(&s.build)
	s.stand()
	s.feet()
	s.seat()
	s.front()
	for _, r := range sheet.Entries {
		if err := s.verify(position, basis, r); err != nil {
			return nil, err
		}
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

func (s *sheeter) say(name, format string, args ...any) {
	s.steps = append(s.steps, Step{Name: name, Text: fmt.Sprintf(format, args...)})
}

// set adds a setting without a range.
func (s *sheeter) set(name, unit string, value float64, format string, args ...any) {
	s.steps = append(s.steps, Step{Name: name, Text: fmt.Sprintf(format, args...), Value: value + 0, Unit: unit})
}

// turn adds a setting that has a range, with the bounds to which it may vary by itself.
func (s *sheeter) turn(name, format string, args ...any) {
	i := slices.IndexFunc(s.settings, func(k rig.Setting) bool { return k.Name == name })
	k := &s.settings[i]
	v := *k.Value
	s.set(name, k.Unit, v, format, args...)
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
		s.say("stand", "Stand the bike upright on level ground, front wheel straight.")
		return
	}
	pitch, _ := b.Frame.Geometry.Pitch(b.Wheels)
	s.set("stand", "degrees", pitch, "Stand the bike upright, front wheel straight, with the frame pitched by this angle from its chart (positive: front up), as it stands under the rider: the seat tube is then at %.1f°. Without the rider's weight, prop up one wheel to get this angle.", b.Frame.Geometry.SeatAngle-pitch)
}

func (s *sheeter) feet() {
	b := &s.c.Build
	s.say("cranks", "Mount %s.", named("cranks", b.Crank.Name))
	if b.Pedal == (part.Pedal{}) {
		return
	}
	s.say("pedals", "Mount %s.", named("pedals", b.Pedal.Name))
	for _, side := range []struct {
		name string
		lift float64
	}{{"left", b.Settings.LiftLeft}, {"right", b.Settings.LiftRight}} {
		if side.lift != 0 {
			s.set("lift_"+side.name, "mm", side.lift, "Put shims under the %s cleat.", side.name)
		}
	}
	s.turnAll("cleat_")
}

// turnAll adds the settings whose names begin with one of some words and that say all.
func (s *sheeter) turnAll(words ...string) {
	for _, k := range s.settings {
		if k.Text != "" && slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(k.Name, w) }) {
			s.turn(k.Name, "%s", k.Text)
		}
	}
}

func (s *sheeter) seat() {
	b := &s.c.Build
	shim := ""
	if b.SeatpostShim != (part.Shim{}) {
		shim = " with " + named("shim", b.SeatpostShim.Name)
	}
	dropper := ""
	if b.Seatpost.Travel != 0 {
		dropper = ", at the top of its travel"
	}
	s.turn("rail_clamp", "Clamp the rails of %s on %s%s: from the saddle's nose back to the clamp's centre, along the rails.", named("saddle", b.Saddle.Name), named("seatpost", b.Seatpost.Name), shim)
	s.set("saddle_tilt", "degrees", b.Settings.SaddleTilt, "Tilt the saddle, with a level on a straight edge along its top (positive: nose up).")
	s.turn("seatpost_extension", "Set the seatpost: from the seat tube's upper edge to the rail clamp's centre, along the seatpost%s.", dropper)
	s.set("seatpost_insertion", "mm", b.Seatpost.Length-b.Settings.SeatpostExtension, "Check how much of the seatpost is inside the frame: at least %.0f mm.", max(b.Seatpost.MinInsertion, b.Frame.SeatpostInsertion))
}

func (s *sheeter) front() {
	b := &s.c.Build
	t := &b.Settings
	stem := named("stem", b.Stem.Name)
	if b.Handlebar.OnePiece() {
		stem = named("one-piece bar and stem", b.Handlebar.Name)
	}
	way := ""
	if t.Flipped {
		way = ", upside down"
	}
	s.set("spacers", "mm", t.Spacers, "Put %s on the head tube, spacers of %s, then %s%s.", named("cap", b.Cap.Name), pieces(s.c.Spacers), stem, way)
	if b.Frame.SteererCut != 0 {
		s.set("spacers_above", "mm", t.SpacersAbove, "Put spacers of %s on top of the stem.", pieces(s.c.SpacersAbove))
	}
	if !b.Handlebar.OnePiece() {
		s.handlebar()
	}
	s.turnAll("lever_")
	if b.Aero != (part.AeroBar{}) {
		s.turn("aero_tilt", "Clamp %s and tilt it from horizontal (positive: up).", named("aero bar", b.Aero.Name))
	}
	s.turnAll("pad_", "extension")
}

func (s *sheeter) handlebar() {
	b := &s.c.Build
	with := ""
	if b.Lever != (part.Lever{}) {
		with = " with " + named("levers", b.Lever.Name)
	}
	if b.BarShim != (part.Shim{}) {
		with += " and " + named("shim", b.BarShim.Name)
	}
	s.turn("bar_rotation", "Clamp %s%s and rotate it from its nominal position (positive: hands up).", named("bar", b.Handlebar.Name), with)
}

// verify adds a measure with the range that the tolerances allow.
func (s *sheeter) verify(position contact.Position, basis convert.Basis, r convert.Entry) error {
	d := r.Measure.Definition()
	step := Step{Verify: true, Name: d.Name, Value: r.Value, Unit: d.Unit, Text: "from " + d.From + " to " + d.To + ", " + d.Along}
	if d.Positive != "" {
		step.Text += ", positive: " + d.Positive
	}
	tolerance := map[contact.Site]r3.Vec{}
	at := position // with the kept sites where they are wanted
	for _, k := range s.c.Deviations {
		tolerance[k.Site] = k.Tolerance
		p, _ := position.At(k.Site)
		for _, a := range [...]struct {
			to       *float64
			off, tol float64
		}{{&p.X, k.Off.X, k.Tolerance.X}, {&p.Y, k.Off.Y, k.Tolerance.Y}, {&p.Z, k.Off.Z, k.Tolerance.Z}} {
			if a.tol != 0 {
				*a.to -= a.off
			}
		}
		at.Set(k.Site, p)
	}
	middle, err := r.Measure.Of(at, basis)
	if err != nil {
		return nil // no such position exists, hence no range
	}
	const h = 1e-3
	wide, free := 0.0, false
	for site, p := range at.All() {
		tol := tolerance[site]
		for i, way := range [...]r3.Vec{{X: h}, {Y: h}, {Z: h}} {
			moved := at
			moved.Set(site, r3.Add(p, way))
			v, err := r.Measure.Of(moved, basis)
			if err != nil || math.Abs(v-middle) < 1e-3*h {
				continue
			}
			t := [...]float64{tol.X, tol.Y, tol.Z}[i]
			free = free || t == 0
			wide += math.Abs(v-middle) / h * t
		}
	}
	if !free && wide > 0 {
		step.Low, step.High, step.Limited = middle-wide, middle+wide, true
	}
	s.steps = append(s.steps, step)
	return nil
}

// named returns the part's name in quotes, or its kind if it has no name.
func named(kind, name string) string {
	if name == "" {
		return "the " + kind
	}
	return strconv.Quote(name)
}

func pieces(all []float64) string {
	if len(all) == 0 {
		return "0 mm"
	}
	var each []string
	for _, v := range all {
		each = append(each, strconv.FormatFloat(v, 'f', -1, 64))
	}
	return strings.Join(each, " + ") + " mm"
}
