package fitgeom

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// How far numbers may be off that are computed in two ways.
const (
	verifyMM    = 1e-6
	verifyScore = 1e-6
)

// Verify recomputes a candidate from its build alone, without the solver, and
// reports everything that is not as the candidate says or as the problem
// demands: parts that are not on the shelf, do not fit or are not enough,
// settings beyond a limit or between two steps, a position, a wanted place, a
// residual, a score, a margin, a caution or a purchase that is another. It
// returns nil if the candidate is sound. It does not tell whether a better one
// exists.
//
// What is not so comes back all together as [*contact.Error], of class
// [contact.ErrConflict] or what the Validate of the build or the position reports.
func Verify(target contact.Position, frame Frame, shelf Shelf, opt Options, c Candidate) error {
	opt.fill(&target)
	var f faults
	f.In("target", target.Validate())
	opt.check(&f, &target)
	f.In("build", c.Build.Validate())
	if err := f.Err(); err != nil {
		return err
	}
	v := verifier{target: target, frame: frame, shelf: shelf, opt: opt, c: c, b: &c.Build}
	v.parts()
	v.spacers()
	v.settings()
	v.wanted()
	v.residuals()
	v.rest()
	return v.Err()
}

type verifier struct {
	faults
	target contact.Position
	frame  Frame
	shelf  Shelf
	opt    Options
	c      Candidate
	b      *Build
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
	b, s := v.b, &v.shelf
	v.must(b.Frame == v.frame, "build.frame", b.Frame.Name, "the frame that was given")
	v.must(b.Stance == v.opt.Stance, "build.stance", "another", "the stance that was given")
	for _, k := range []struct {
		path, name string
		on, none   bool
	}{
		{"build.cap", b.Cap.Name, slices.Contains(s.Caps, b.Cap), false},
		{"build.stem", b.Stem.Name, slices.Contains(s.Stems, b.Stem), b.Bar.Stem != part.Stem{} && b.Stem == part.Stem{}},
		{"build.bar", b.Bar.Name, slices.Contains(s.Bars, b.Bar), false},
		{"build.bar_shim", b.BarShim.Name, slices.Contains(s.Shims, b.BarShim), b.BarShim == part.Shim{}},
		{"build.lever", b.Lever.Name, slices.Contains(s.Levers, b.Lever), b.Lever == part.Lever{}},
		{"build.aero", b.Aero.Name, slices.Contains(s.AeroBars, b.Aero), b.Aero == part.AeroBar{}},
		{"build.post", b.Post.Name, slices.Contains(s.Posts, b.Post), false},
		{"build.post_shim", b.PostShim.Name, slices.Contains(s.Shims, b.PostShim), b.PostShim == part.Shim{}},
		{"build.saddle", b.Saddle.Name, slices.Contains(s.Saddles, b.Saddle), false},
		{"build.crank", b.Crank.Name, slices.Contains(s.Cranks, b.Crank), false},
		{"build.pedal", b.Pedal.Name, slices.Contains(s.Pedals, b.Pedal), b.Pedal == part.Pedal{} && len(s.Pedals) == 0},
	} {
		v.must(k.on || k.none, k.path, k.name, "a part from the shelf")
	}

	n := &v.opt.Bike
	var buy part.Kinds
	for _, k := range []struct {
		kind part.Kinds
		have bool
	}{
		{part.Caps, b.Cap == n.Cap},
		{part.Stems, b.Stem == n.Stem || b.Stem == part.Stem{}},
		{part.Bars, b.Bar == n.Bar},
		{part.Levers, b.Lever == n.Lever || b.Lever == part.Lever{}},
		{part.AeroBars, b.Aero == n.Aero || b.Aero == part.AeroBar{}},
		{part.Posts, b.Post == n.Post},
		{part.Saddles, b.Saddle == n.Saddle},
		{part.Cranks, b.Crank == n.Crank},
		{part.Pedals, b.Pedal == n.Pedal || b.Pedal == part.Pedal{}},
		{part.Shims, (b.BarShim == n.BarShim || b.BarShim == part.Shim{}) && (b.PostShim == n.PostShim || b.PostShim == part.Shim{})},
	} {
		if !k.have {
			buy |= k.kind
		}
	}
	v.must(buy == v.c.Buy, "buy", v.c.Buy.String(), buy.String())
}

// spacers checks that the rings are on the shelf, make up the heights, and suit the steerer.
func (v *verifier) spacers() {
	s := &v.b.Settings
	left := map[float64]int{}
	for _, sp := range v.shelf.Spacers {
		left[sp.Height] += sp.Count
	}
	sums := [2]float64{}
	for i, pieces := range [2][]float64{v.c.Spacers, v.c.SpacersAbove} {
		for _, h := range pieces {
			sums[i] += h
			left[h]--
			v.must(left[h] >= 0, "spacers", text(h), "no more of them than the shelf has")
		}
	}
	v.near("spacers", sums[0], s.Spacers, verifyMM, "mm")
	v.near("spacers_above", sums[1], s.SpacersAbove, verifyMM, "mm")
	stem := v.b.Stem.Height
	if v.b.Bar.Stem != (part.Stem{}) {
		stem = v.b.Bar.Stem.Height
	}
	lower := v.b.Cap.Height + s.Spacers
	v.must(lower <= v.frame.MaxStack+verifyMM, "build.settings.spacers", text(lower)+" with the cap", text(v.frame.MaxStack)+" at most")
	if cut := v.frame.SteererCut; cut != 0 {
		v.must(lower+stem <= cut+5+verifyMM, "build.settings.spacers", text(lower+stem-cut)+" of stem above the steerer", "5 mm at most")
		v.must(lower+stem+s.SpacersAbove >= cut+2-verifyMM, "build.settings.spacers_above", text(lower+stem+s.SpacersAbove-cut)+" above the steerer", "2 mm at least")
	} else {
		v.near("build.settings.spacers_above", s.SpacersAbove, 0, 0, "mm")
	}
	lifts := map[float64]bool{}
	for _, h := range stacks(v.shelf.CleatShims, 60, 0) {
		lifts[h.below] = true
	}
	v.must(lifts[s.LiftLeft], "build.settings.lift_left", text(s.LiftLeft), "what the shims under cleats can make")
	v.must(lifts[s.LiftRight], "build.settings.lift_right", text(s.LiftRight), "what the shims under cleats can make")
}

func (v *verifier) settings() {
	b, s := v.b, &v.b.Settings
	for _, m := range b.margins() {
		v.must(m.Room >= -verifyMM, "build.settings", m.String(), "no setting beyond a limit")
	}
	inserted := b.Post.Length - s.PostExtension
	v.must(inserted >= max(b.Post.MinInsertion, b.Frame.PostInsertion)-verifyMM, "build.settings.post_extension", text(inserted)+" inserted", "what post and frame demand")
	if b.Aero != (part.AeroBar{}) {
		for _, k := range []struct {
			path  string
			at    float64
			steps part.Steps
		}{
			{"aero_tilt", s.AeroTilt, b.Aero.Tilt},
			{"pad_stack", s.PadStack, b.Aero.PadStack},
			{"pad_reach", s.PadReach, b.Aero.PadReach},
			{"pad_width", s.PadWidth, b.Aero.PadWidth},
			{"extension", s.Extension, b.Aero.Extension},
		} {
			v.must(k.steps.Has(k.at), "build.settings."+k.path, num.Text(k.at, ""), "one of the steps")
		}
	}
	tilt, _ := v.target.Attitude(contact.SaddleReference)
	v.near("build.settings.saddle_tilt", s.SaddleTilt, tilt.Tilt, 0, "degrees")
	v.near("build.settings.lowered", s.Lowered, 0, 0, "mm")
}

// wanted checks the wanted position by what the crank policy promises.
func (v *verifier) wanted() {
	saddle, _ := v.target.At(contact.SaddleReference)
	moved, _ := v.c.Wanted.At(contact.SaddleReference)
	shift := r3.Sub(moved, saddle)
	for s := range v.target.All() {
		want, _ := v.target.At(s)
		if s <= contact.SaddleRear {
			want = r3.Add(want, shift)
		}
		got, ok := v.c.Wanted.At(s)
		v.must(ok && r3.Norm(r3.Sub(got, want)) <= verifyMM, "wanted."+s.String(), "another place", "the target's, moved with the saddle")
	}
	position := v.b.position()
	was, is := strokeOf(&v.target), strokeOf(&position)
	if v.opt.Crank == KeepSaddle || !was.known {
		v.must(r3.Norm(shift) <= verifyMM, "wanted.saddle_reference", text(r3.Norm(shift))+" from the target's", "the target's")
		return
	}
	if !was.footed || !is.footed {
		was.height, is.height = 0, 0
	}
	// Over a turn of the crank the foot goes round a point above the bottom bracket.
	from, to := r3.Vec{X: saddle.X, Z: saddle.Z - was.height}, r3.Vec{X: moved.X, Z: moved.Z - is.height}
	v.near("wanted.saddle_reference, from the far end", math.Hypot(to.X, to.Z)+is.length, math.Hypot(from.X, from.Z)+was.length, verifyMM, "mm")
	v.near("wanted.saddle_reference, direction", num.Atan2(to.Z, to.X), num.Atan2(from.Z, from.X), 1e-7, "degrees")
}

func (v *verifier) residuals() {
	position := v.b.position()
	for s, off := range v.c.Position.Sub(position).All() {
		v.must(r3.Norm(off) <= verifyMM, "position."+s.String(), text(r3.Norm(off))+" away", "where the build puts it")
	}
	v.must(len(v.c.Residuals) == len(v.opt.Keep), "residuals", num.Text(float64(len(v.c.Residuals)), ""), "one for each site that is kept")
	if len(v.c.Residuals) != len(v.opt.Keep) {
		return
	}
	score, holds := 0.0, true
	for i, k := range v.opt.Keep {
		r := v.c.Residuals[i]
		path := "residuals." + k.Site.String()
		v.must(r.Site == k.Site && r.Tolerance == k.Tolerance, path, r.Site.String(), "the site and tolerance that were asked for")
		at, ok := position.At(k.Site)
		want, _ := v.c.Wanted.At(k.Site)
		v.must(ok, path, "", "a site that the build offers")
		off := r3.Sub(at, want)
		v.must(r3.Norm(r3.Sub(off, r.Off)) <= verifyMM, path, num.Text(r3.Norm(r.Off), "mm"), num.Text(r3.Norm(off), "mm"))
		within := true
		w := k.weights()
		for _, c := range [...][3]float64{{off.X, k.Tolerance.X, w.X}, {off.Y, k.Tolerance.Y, w.Y}, {off.Z, k.Tolerance.Z, w.Z}} {
			if c[1] > 0 {
				score += c[2] * (c[0] / c[1]) * (c[0] / c[1])
				within = within && math.Abs(c[0]) <= c[1]*(1+2e-6)
			}
		}
		v.must(within || !r.Within, path, "within", "out of tolerance")
		holds = holds && within
	}
	v.near("score", v.c.Score, math.Sqrt(score), verifyScore, "")
	v.must(holds || !v.c.Holds, "holds", "yes", "a site is out of tolerance")
	all := true
	for _, r := range v.c.Residuals {
		all = all && r.Within
	}
	v.must(all == v.c.Holds, "holds", "not as the residuals say", "as they say")
}

func (v *verifier) rest() {
	m := v.b.margins()
	v.must(slices.Equal(m, v.c.Margins), "margins", "others", "those of the build")
	v.must(slices.Equal(cautions(v.b, m), v.c.Cautions), "cautions", "others", "those of the build")
}
