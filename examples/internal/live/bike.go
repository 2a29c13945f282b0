package live

import (
	"context"
	"fmt"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/search"
	"gonum.org/v1/gonum/spatial/r3"
)

// bike is a build that a person sets up, against a position.
type bike struct {
	target contact.Position
	kept
	start  fitgeom.Build
	shelf  fitgeom.Shelf
	window draw.Window
	was    contact.Position // of the build as it is at first
}

// newBike begins a scene from a position that is wanted, a build and a shelf of parts, and a
// request if it says what is kept of the position, and what other cranks do to the saddle.
func newBike(docs Documents) (Scene, error) {
	var s bike
	var err error
	if s.target, err = read[contact.Position](docs, "position"); err != nil {
		return nil, err
	}
	if s.start, err = read[fitgeom.Build](docs, "build"); err != nil {
		return nil, err
	}
	if s.shelf, err = read[fitgeom.Shelf](docs, "shelf"); err != nil {
		return nil, err
	}
	if s.kept, err = docs.kept(); err != nil {
		return nil, err
	}
	// What is mounted can be chosen, whether it lies on the shelf or not.
	if s.start.Stem.Length != 0 && !slices.Contains(s.shelf.Stems, s.start.Stem) {
		s.shelf.Stems = append(s.shelf.Stems, s.start.Stem)
	}
	if !slices.Contains(s.shelf.Cranks, s.start.Crank) {
		s.shelf.Cranks = append(s.shelf.Cranks, s.start.Crank)
	}
	if s.was, err = s.start.Position(); err != nil {
		return nil, err
	}
	s.window, err = draw.WindowOf(s.start)
	return &s, err
}

func (s *bike) Controls() []Control {
	b := s.start
	var all []Control
	if b.Stem.Length != 0 {
		var names []string
		for _, m := range s.shelf.Stems {
			names = append(names, m.Name)
		}
		all = append(all, choice("stem", "stem", slices.Index(s.shelf.Stems, b.Stem), names...), choice("flipped", "stem mounted", index(b.Settings.Flipped), "as named", "upside down"))
	}
	least, most := 5., 0.
	for _, one := range s.shelf.Spacers {
		least, most = min(least, one.Height), most+one.Height*float64(one.Count)
	}
	low, high := b.Frame.SeatpostRange(b.Seatpost)
	from, to := b.Saddle.Rails(b.Seatpost)
	all = append(all,
		number("spacers", "spacers under the stem", "mm", 0, max(most, b.Settings.Spacers), least, b.Settings.Spacers),
		number("post", "saddle height: seatpost out of the seat tube", "mm", low, high, 0.1, b.Settings.SeatpostExtension),
		number("rails", "setback: rails clamped behind the nose", "mm", from, to, 0.1, b.Settings.RailClamp))
	if most := b.Handlebar.RotationRange; most > 0 {
		all = append(all, number("roll", "bar turned, hands up", "°", -most, most, 0.1, b.Settings.BarRotation))
	}
	var names []string
	for _, c := range s.shelf.Cranks {
		names = append(names, c.Name)
	}
	all = append(all, choice("crank", "cranks", slices.Index(s.shelf.Cranks, b.Crank), names...))
	if _, ok := b.Frame.Geometry.FrontAxle(); ok {
		w := b.Wheels.On(b.Frame.Geometry)
		all = append(all,
			number("front", "front tyre: radius of the wheel", "mm", w.FrontRadius-20, w.FrontRadius+20, 1, w.FrontRadius),
			number("rear", "rear tyre: radius of the wheel", "mm", w.RearRadius-20, w.RearRadius+20, 1, w.RearRadius),
			number("frontsag", "sag in front", "mm", 0, 60, 1, w.FrontSag),
			number("rearsag", "sag at the rear", "mm", 0, 60, 1, w.RearSag))
	}
	return append(all,
		number("tolerance", "tolerances, times what is asked", "×", 0.5, 4, 0.1, 1),
		number("room", "room wanted for the hands, up and down", "mm", 0, 30, 1, 10))
}

func index(v bool) int {
	if v {
		return 1
	}
	return 0
}

// build returns the bike that the controls make.
func (s *bike) build(state State) fitgeom.Build {
	b := s.start
	if i, ok := state["stem"]; ok {
		b.Stem = s.shelf.Stems[int(i)]
		b.Settings.Flipped = state["flipped"] == 1
	}
	b.Crank = s.shelf.Cranks[int(state["crank"])]
	b.Settings.Spacers = state["spacers"]
	b.Settings.SeatpostExtension = state["post"]
	b.Settings.RailClamp = state["rails"]
	if roll, ok := state["roll"]; ok {
		b.Settings.BarRotation = roll
	}
	if r, ok := state["front"]; ok {
		w := b.Wheels.On(b.Frame.Geometry)
		w.FrontRadius, w.RearRadius, w.FrontSag, w.RearSag = r, state["rear"], state["frontsag"], state["rearsag"]
		b.Wheels = w
	}
	return b
}

// keep returns what is kept, with the tolerances that are set.
func (s *bike) keep(state State) []fitgeom.Keep {
	return loosened(s.target, s.Keep, state["tolerance"])
}

// loosened returns what is kept of a position, or else what usually is, with tolerances so many
// times as wide.
func loosened(target contact.Position, keep []fitgeom.Keep, by float64) []fitgeom.Keep {
	if keep = slices.Clone(keep); keep == nil {
		keep = fitgeom.DefaultKeep(target)
	}
	for i := range keep {
		keep[i].Tolerance = r3.Scale(by, keep[i].Tolerance)
	}
	return keep
}

// wanted is the position that is wanted of a build in a position: with other cranks the saddle
// may be wanted elsewhere.
func (s *bike) wanted(p *contact.Position) contact.Position {
	saddle, ok := s.target.At(contact.SaddleReference)
	move, _ := search.SaddleMoved(s.Crank, saddle, search.StrokeOf(&s.target), search.StrokeOf(p))
	if !ok || move.By == (r3.Vec{}) {
		return s.target
	}
	return Moved(s.target, map[contact.Group]r3.Vec{contact.OnSaddle: move.By})
}

// drawn is the measures that the figure shows, and numbers those that stand beside it, as
// far as a bike has them.
var (
	drawn = []draw.Line{
		{Measure: convert.SaddleHeight, At: 130},
		{Measure: convert.SaddleSetback, At: -110},
		{Measure: convert.BarDropHoods, At: 720},
		{Measure: convert.ReachHoodsHorizontal, At: 800},
		{Measure: convert.ReachGrips, At: 110},
		{Measure: convert.BarDropGrips, At: 640},
		{Measure: convert.PadStack, At: 560},
		{Measure: convert.BarStack, At: 850},
	}
	numbers = []convert.Measure{
		convert.CrankLength, convert.SaddleHeight, convert.SaddleSetback, convert.SaddleTilt, convert.BarDropHoods, convert.ReachHoodsHorizontal,
		convert.BarDropGrips, convert.ReachGrips, convert.PadStack, convert.PadReach, convert.BarStack, convert.BarReach,
	}
)

func (s *bike) Now(_ context.Context, state State) (string, error) {
	b := s.build(state)
	p, err := b.Position()
	if err != nil {
		return "", err
	}
	c := fitgeom.Candidate{Build: b}
	target := s.wanted(&p)
	for _, k := range s.keep(state) {
		k.Turn = fitgeom.TurnTolerance{} // places alone are compared
		want, _ := target.At(k.Site)
		at, _ := p.At(k.Site)
		c.Deviations = append(c.Deviations, fitgeom.Deviation{Keep: k, Off: r3.Sub(at, want)})
	}
	f, err := draw.Against("live-bike", "The bike as you set it, mm", target, c, s.window, drawn)
	if err != nil {
		return "", err
	}
	margins, err := b.Margins()
	if err != nil {
		return "", err
	}
	beyond := 0
	off := [][]string{{"site", "\tforward", "\tleft", "\tup", "within tolerance"}}
	for _, d := range c.Deviations {
		verdict := "yes"
		if !d.Within() {
			verdict = "no"
			beyond++
		}
		off = append(off, []string{draw.Words(d.Site), asked(d.Off.X, d.Tolerance.X), asked(d.Off.Y, d.Tolerance.Y), asked(d.Off.Z, d.Tolerance.Z), verdict})
	}
	stop := 0
	left := [][]string{{"room left", "\t", "unit"}}
	for _, m := range margins {
		words := m.Limit.Words()
		if m.Room < 0.05 {
			words += ": at its stop"
		}
		if m.Room < 0 {
			stop++
		}
		left = append(left, []string{words, right(m.Room), m.Limit.Unit()})
	}
	verdict := fmt.Sprintf("%d of %d places are beyond their tolerance, %d limits of parts are passed.", beyond, len(c.Deviations), stop)
	if beyond+stop == 0 {
		verdict = "Every place is within its tolerance, and every part within its limits."
	}
	return said("%s", verdict) + figure(f) + table("Measures", s.measures(b, p, target)) + table("Off what is wanted, mm", off) + table("Room left", left), nil
}

func asked(v, tolerance float64) string {
	if tolerance == 0 {
		return "\t–"
	}
	return signed(v)
}

// measures returns what a tape gives now, at first, and for what is wanted.
func (s *bike) measures(b fitgeom.Build, p, target contact.Position) [][]string {
	pitch, _ := b.Frame.Geometry.Pitch(b.Wheels)
	basis := convert.Basis{SeatAngle: b.Frame.Geometry.SeatAngle - pitch}
	rows := [][]string{{"measure", "\tnow", "\tat first", "\twanted", "unit"}}
	for _, m := range numbers {
		now, err := m.Of(p, basis)
		if err != nil {
			continue
		}
		row := []string{draw.Words(m), right(now)}
		for _, of := range []contact.Position{s.was, target} {
			v, err := m.Of(of, basis)
			if err != nil {
				row = append(row, "\t–")
				continue
			}
			row = append(row, right(v))
		}
		rows = append(rows, append(row, m.Definition().Unit))
	}
	return rows
}

// Settled finds the best builds that the shelf allows with these cranks and wheels.
func (s *bike) Settled(ctx context.Context, state State) (string, error) {
	b := s.build(state)
	shelf := s.shelf
	shelf.Cranks = []part.Crank{b.Crank}
	r, err := solve.Problem{Target: s.target, Frame: b.Frame, Shelf: shelf, Keep: s.keep(state), Crank: s.Crank, Wheels: b.Wheels, RoomWanted: wishes(state["room"]), Limit: 5}.Solve(ctx)
	if err != nil {
		return "", err
	}
	rows := [][]string{{"stem", "\tspacers, mm", "holds", "\tworst place, share of its tolerance", "\tseatpost out, mm", "\trails, mm"}}
	for _, c := range r.Candidates {
		rows = append(rows, append(summary(c), right(c.Build.Settings.SeatpostExtension), right(c.Build.Settings.RailClamp)))
	}
	note := "No build holds the position; these come nearest."
	if r.Holds() {
		note = "The best builds first, with these cranks, tyres, sag and tolerances."
	}
	return said("%s", note) + table("Best of "+fmt.Sprint(r.Combinations)+" ways to build it", rows), nil
}

// wishes is the usual wish for room, with so much for the hands up and down.
func wishes(hands float64) []fitgeom.RoomWish {
	room := fitgeom.DefaultRoom()
	for i := range room {
		if room[i].Group == contact.OnHandlebar {
			room[i].Up, room[i].Down = int(hands), int(hands)
		}
	}
	return room
}

// summary returns what a row of a table says of a candidate.
func summary(c fitgeom.Candidate) []string {
	stem, holds := c.Build.Carrier().Name, "no"
	if c.Build.Settings.Flipped {
		stem += ", upside down"
	}
	if c.Holds() {
		holds = "yes"
	}
	return []string{stem, right(c.Build.Settings.Spacers), holds, "\t" + draw.Fixed(c.Score(), 2)}
}

func (s *bike) Document(state State) ([]byte, error) {
	return written("build", s.build(state))
}
