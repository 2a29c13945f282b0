package solve

import (
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/search"
	"gonum.org/v1/gonum/spatial/r3"
)

// verifyMM is the allowed difference between two ways to compute the same length, mm.
const verifyMM = 1e-6

// Verify recomputes a candidate from its build alone, without the solver. It reports
// everything that does not match the candidate or the problem: parts that are not on the
// shelf or do not fit, more spacers than the shelf has, settings beyond a
// limit or between two steps, and deviations, purchases or rules that do not match. It returns
// nil if the candidate is sound. It does not check whether a better one exists.
//
// All mismatches are reported together as [*contact.Error] of class
// [contact.ErrConflict]. Other errors are those of Build.Validate and of
// [Problem.Validate], except for frame and shelf.
func (p Problem) Verify(c fitgeom.Candidate) error {
	p.fill()
	return p.verify(c)
}

func (p *Problem) verify(c fitgeom.Candidate) error {
	var f fault.List
	p.check(&f)
	f.In("build", c.Build.Validate())
	if err := f.Err(); err != nil {
		return err
	}
	v := verifier{p: p, c: c, b: &c.Build}
	v.parts()
	v.spacers()
	v.settings()
	v.deviations()
	v.must(slices.EqualFunc(c.Rules, search.Rulings((*search.Problem)(p), v.b), sameRuling), "rules", "others", "what the rules of the problem say of the build")
	return v.Err()
}

// sameRuling compares what two say, but for the words.
func sameRuling(a, b fitgeom.Ruling) bool { return a.Place == b.Place && a.Broken == b.Broken }

type verifier struct {
	fault.List
	p *Problem
	c fitgeom.Candidate
	b *fitgeom.Build
}

// must records a violation unless ok.
func (v *verifier) must(ok bool, path, value, want string) {
	if !ok {
		v.Add(path, value, want, contact.ErrConflict)
	}
}

func (v *verifier) near(path string, got, want, tol float64, unit string) {
	v.must(math.Abs(got-want) <= tol, path, num.Text(got, unit), num.Text(want, unit))
}

func (v *verifier) parts() {
	b, s := v.b, &v.p.Shelf
	v.must(b.Frame == v.p.Frame, "build.frame", b.Frame.Name, "the frame of the problem")
	v.must(b.Wheels == v.p.Wheels, "build.wheels", "other wheels", "the wheels of the problem")
	for _, k := range []struct {
		path, name string
		on, none   bool
	}{
		{"build.cap", b.Cap.Name, slices.Contains(s.Caps, b.Cap), false},
		{"build.stem", b.Stem.Name, slices.Contains(s.Stems, b.Stem), b.Handlebar.Stem != part.Stem{} && b.Stem == part.Stem{}},
		{"build.handlebar", b.Handlebar.Name, slices.Contains(s.Handlebars, b.Handlebar), false},
		{"build.bar_shim", b.BarShim.Name, slices.Contains(s.Shims, b.BarShim), b.BarShim == part.Shim{}},
		{"build.lever", b.Lever.Name, slices.Contains(s.Levers, b.Lever), b.Lever == part.Lever{}},
		{"build.aero", b.Aero.Name, slices.Contains(s.AeroBars, b.Aero), b.Aero == part.AeroBar{}},
		{"build.seatpost", b.Seatpost.Name, slices.Contains(s.Seatposts, b.Seatpost), false},
		{"build.seatpost_shim", b.SeatpostShim.Name, slices.Contains(s.Shims, b.SeatpostShim), b.SeatpostShim == part.Shim{}},
		{"build.saddle", b.Saddle.Name, slices.Contains(s.Saddles, b.Saddle), false},
		{"build.crank", b.Crank.Name, slices.Contains(s.Cranks, b.Crank), false},
		{"build.pedal", b.Pedal.Name, slices.Contains(s.Pedals, b.Pedal), b.Pedal == part.Pedal{} && len(s.Pedals) == 0},
	} {
		v.must(k.on || k.none, k.path, k.name, "a part from the shelf")
	}

	n := &v.p.Bike
	var buy part.Kinds
	for _, k := range []struct {
		kind part.Kinds
		have bool
	}{
		{part.Caps, b.Cap == n.Cap},
		{part.Stems, b.Stem == n.Stem || b.Stem == part.Stem{}},
		{part.Handlebars, b.Handlebar == n.Handlebar},
		{part.Levers, b.Lever == n.Lever || b.Lever == part.Lever{}},
		{part.AeroBars, b.Aero == n.Aero || b.Aero == part.AeroBar{}},
		{part.Seatposts, b.Seatpost == n.Seatpost},
		{part.Saddles, b.Saddle == n.Saddle},
		{part.Cranks, b.Crank == n.Crank},
		{part.Pedals, b.Pedal == n.Pedal || b.Pedal == part.Pedal{}},
		{part.Shims, (b.BarShim == n.BarShim || b.BarShim == part.Shim{}) && (b.SeatpostShim == n.SeatpostShim || b.SeatpostShim == part.Shim{})},
	} {
		if !k.have {
			buy |= k.kind
		}
	}
	v.must(buy == v.c.Buy, "buy", v.c.Buy.String(), buy.String())
	purchases := len(buy.Each())
	if b.BarShim != n.BarShim && b.BarShim != (part.Shim{}) && b.SeatpostShim != n.SeatpostShim && b.SeatpostShim != (part.Shim{}) {
		purchases++ // two shims
	}
	v.must(purchases == v.c.Purchases, "purchases", strconv.Itoa(v.c.Purchases), strconv.Itoa(purchases))
}

// spacers checks that the spacers are on the shelf, add up to the heights of the settings
// and suit the steerer, and that shims under the cleats can make the lifts.
func (v *verifier) spacers() {
	s := &v.b.Settings
	left := map[float64]int{}
	for _, sp := range v.p.Shelf.Spacers {
		left[sp.Height] += sp.Count
	}
	sums := [2]float64{}
	for i, pieces := range [2][]float64{v.c.Spacers, v.c.SpacersAbove} {
		for _, h := range pieces {
			sums[i] += h
			left[h]--
			v.must(left[h] >= 0, "spacers_mm", text(h), "no more of this height than the shelf has")
		}
	}
	v.near("spacers_mm", sums[0], s.Spacers, verifyMM, "mm")
	v.near("spacers_above_mm", sums[1], s.SpacersAbove, verifyMM, "mm")
	stem := v.b.Stem.Height
	if v.b.Handlebar.Stem != (part.Stem{}) {
		stem = v.b.Handlebar.Stem.Height
	}
	lower := v.b.Cap.Height + s.Spacers
	v.must(lower <= v.p.Frame.MaxUnderStem+verifyMM, "build.settings.spacers_mm", text(lower)+" with the cap", text(v.p.Frame.MaxUnderStem)+" at most")
	if cut := v.p.Frame.SteererCut; cut != 0 {
		v.must(lower+stem <= cut+5+verifyMM, "build.settings.spacers_mm", text(lower+stem-cut)+" of stem above the steerer", "5 mm at most")
		v.must(lower+stem+s.SpacersAbove >= cut+2-verifyMM, "build.settings.spacers_above_mm", text(lower+stem+s.SpacersAbove-cut)+" above the steerer", "2 mm at least")
	} else {
		v.near("build.settings.spacers_above_mm", s.SpacersAbove, 0, 0, "mm")
	}
	lifts := map[float64]bool{}
	for _, h := range search.Lifts(v.p.Shelf.CleatShims) {
		lifts[h] = true
	}
	v.must(lifts[s.LiftLeft], "build.settings.lift_left_mm", text(s.LiftLeft), "a height that the cleat shims can make")
	v.must(lifts[s.LiftRight], "build.settings.lift_right_mm", text(s.LiftRight), "a height that the cleat shims can make")
}

func (v *verifier) settings() {
	b, s := v.b, &v.b.Settings
	margins, _ := b.Margins()
	for _, m := range margins {
		v.must(m.Room >= -verifyMM, "build.settings", m.String(), "every setting within its limits")
	}
	inserted := b.Seatpost.Length - s.SeatpostExtension
	v.must(inserted >= max(b.Seatpost.MinInsertion, b.Frame.SeatpostInsertion)-verifyMM, "build.settings.seatpost_extension_mm", text(inserted)+" inserted", "at least the minimum insertion of seatpost and frame")
	for _, k := range rig.Settings(b) {
		if k.Range.Step != 0 {
			v.must(k.Range.Has(*k.Value), "build.settings."+k.Member(), num.Text(*k.Value, ""), "one of the steps")
		}
	}
	tilt, _ := v.p.Target.Attitude(contact.SaddleReference)
	v.near("build.settings.saddle_tilt_deg", s.SaddleTilt, tilt.Tilt, 0, "degrees")
	v.near("build.settings.lowered_mm", s.Lowered, 0, 0, "mm")
}

// deviations checks the deviation of each site, with the saddle where the crank policy
// puts it.
func (v *verifier) deviations() {
	position, _ := v.b.Position()
	v.must(len(v.c.Deviations) == len(v.p.Keep), "deviations", num.Text(float64(len(v.c.Deviations)), ""), "one for each kept site")
	if len(v.c.Deviations) != len(v.p.Keep) {
		return
	}
	saddle, _ := v.p.Target.At(contact.SaddleReference)
	v.promise(saddle, &position)
	for i, k := range v.p.Keep {
		d := &v.c.Deviations[i]
		path := fault.At("deviations", i)
		v.must(d.Keep == k, path, d.Site.String(), "the site, tolerance and weight in Keep")
		at, ok := position.At(k.Site)
		is, facing := position.Attitude(k.Site)
		v.must(ok && (facing || !k.Turn.Asks()), path, k.Site.String(), "a site that the build offers")
		want, _ := v.p.Target.At(k.Site)
		if k.Site.Group() == contact.OnSaddle {
			want = r3.Add(want, v.c.SaddleMoved.By)
		}
		off := r3.Sub(at, want)
		v.must(r3.Norm(r3.Sub(off, d.Off)) <= verifyMM, path, num.Text(r3.Norm(d.Off), "mm"), num.Text(r3.Norm(off), "mm"))
		wanted, _ := v.p.Target.Attitude(k.Site)
		turned := k.Turn.TurnedFrom(wanted, is)
		for _, a := range [...][2]float64{{d.Turned.Tilt, turned.Tilt}, {d.Turned.Yaw, turned.Yaw}, {d.Turned.Roll, turned.Roll}} {
			v.near(path+".turned", a[0], a[1], verifyMM, "degrees")
		}
	}
}

// promise checks that the saddle has moved as the crank policy promises.
func (v *verifier) promise(saddle r3.Vec, position *contact.Position) {
	was, is := search.StrokeOf(&v.p.Target), search.StrokeOf(position)
	if v.p.Crank == fitgeom.KeepSaddle || !was.Known {
		v.must(v.c.SaddleMoved == fitgeom.SaddleMove{}, "saddle_moved", v.c.SaddleMoved.String(), "none")
		return
	}
	if !was.Footed || !is.Footed {
		was.Height, is.Height = 0, 0
	}
	v.near("saddle_moved.crank_mm", v.c.SaddleMoved.Crank, is.Length-was.Length, verifyMM, "mm")
	v.near("saddle_moved.foot_mm", v.c.SaddleMoved.Foot, is.Height-was.Height, verifyMM, "mm")
	// Over a turn of the crank the foot circles a point above the bottom bracket.
	moved := r3.Add(saddle, v.c.SaddleMoved.By)
	from, to := r3.Vec{X: saddle.X, Z: saddle.Z - was.Height}, r3.Vec{X: moved.X, Z: moved.Z - is.Height}
	v.near("saddle_moved.by_mm, from the far end", math.Hypot(to.X, to.Z)+is.Length, math.Hypot(from.X, from.Z)+was.Length, verifyMM, "mm")
	v.near("saddle_moved.by_mm, direction", num.Atan2(to.Z, to.X), num.Atan2(from.Z, from.X), 1e-7, "degrees")
}

func text(v float64) string { return num.Text(v, "mm") }
