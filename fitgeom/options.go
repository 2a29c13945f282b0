package fitgeom

import (
	"math"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// Options is what the caller of [Reproduce] cares about. The zero value is
// useful: every field says what its zero means.
type Options struct {
	// Keep lists the sites that matter and how closely. The saddle reference
	// must be among them. Which grips are kept is told here: list those and no
	// others. Nil: [DefaultKeep] of the target.
	Keep []Keep
	// Crank says what becomes of the saddle when the cranks or what lies between
	// pedal and foot are not the target's. Zero: [KeepFarEnd].
	Crank CrankPolicy
	// Stance is how the bike stands. Zero: as its frame is drawn.
	Stance Stance
	// Bike is what is on the bike now. A part on the shelf that equals the one
	// there need not be bought, and builds that hold the position come in the
	// order of how many parts must be. Zero: there is no bike yet, and the
	// number does not count. Shims count, spacers do not.
	Bike Build
	// Vary is the kinds of parts in which the candidates differ from one
	// another: of builds that have the same parts of these kinds only the best
	// is returned. A stem upside down counts as another stem. Zero:
	// part.Stems | part.Bars | part.AeroBars.
	Vary part.Kinds
	// Grain is the step in which scores count when builds are compared, as a
	// share of the tolerances: with 0.1, say, fewer spacers and the like decide
	// between builds that are within a tenth of the tolerances of one another.
	// 1e-8 to 10. Zero: 1e-8, far below what a build can be set to and far above
	// rounding.
	Grain float64
	// Limit is how many candidates to return, 1 to 1000. Zero: 5.
	Limit int
}

// A Keep asks for a site to stay where the target has it.
type Keep struct {
	Site contact.Site
	// Tolerance is how far off each coordinate may be, 0.001 to 1000 mm. A
	// coordinate with tolerance 0 is not asked for.
	Tolerance r3.Vec
	// Weight is how much the square of each coordinate's residual, over its
	// tolerance, counts beside those of others, 0.001 to 1000. Zero: 1.
	Weight r3.Vec
}

// weights returns the weights with what their zeros stand for.
func (k *Keep) weights() r3.Vec {
	w := k.Weight
	for _, v := range [...]*float64{&w.X, &w.Y, &w.Z} {
		if *v == 0 {
			*v = 1
		}
	}
	return w
}

// DefaultKeep returns what [Reproduce] keeps unless told otherwise: the saddle
// reference within 2 mm forward and up; of hoods, grips of a flat or base bar,
// pads and extensions those pairs of which the target knows a side, within 2 mm
// forward and up and 5 mm sideways, extensions within 5 mm; and the crank length within
// 1 mm where the target knows it. It asks for hoods if the target knows nothing
// for the hands. Common practice, no source.
func DefaultKeep(target contact.Position) []Keep {
	keep := []Keep{{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}}}
	pair := func(left contact.Site, tolerance r3.Vec, anyway bool) bool {
		_, l := target.At(left)
		_, r := target.At(left.On(contact.Right))
		if !l && !r && !anyway {
			return false
		}
		keep = append(keep, Keep{Site: left, Tolerance: tolerance}, Keep{Site: left.On(contact.Right), Tolerance: tolerance})
		return true
	}
	hand := r3.Vec{X: 2, Y: 5, Z: 2}
	grips := pair(contact.GripLeft, hand, false)
	pads := pair(contact.PadLeft, hand, false)
	extensions := pair(contact.ExtensionLeft, r3.Vec{X: 5, Y: 5, Z: 5}, false)
	pair(contact.HoodsLeft, hand, !grips && !pads && !extensions)
	for _, pedal := range []contact.Site{contact.PedalLeft, contact.PedalRight} {
		if _, ok := target.At(pedal); ok {
			keep = append(keep, Keep{Site: pedal, Tolerance: r3.Vec{X: 1}})
		}
	}
	return keep
}

// A CrankPolicy says what becomes of the saddle when the cranks are not as long
// as the target's, or the foot is not as high above the pedal. The bar stays
// where the target has it. The zero CrankPolicy is [KeepFarEnd].
type CrankPolicy uint8

// The policies.
const (
	// KeepFarEnd keeps the distance from the saddle reference to the foot at the
	// far end of its stroke, in the side view. The saddle moves along the line
	// between the two as it is in the target, and up by as much as the foot is
	// higher above the pedal. The foot is taken as level all the way round; where
	// target or build do not know it, the pedal counts. If left and right
	// differ, their mean counts.
	KeepFarEnd CrankPolicy = iota
	// KeepSaddle keeps the saddle where it is over the bottom bracket.
	KeepSaddle
)

// String returns "keep far end" or "keep saddle".
func (p CrankPolicy) String() string {
	switch p {
	case KeepFarEnd:
		return "keep far end"
	case KeepSaddle:
		return "keep saddle"
	}
	return "policy?"
}

// stroke is what a foot turns on in the side view: how long the crank is, and
// how high the sole lies above the spindle.
type stroke struct {
	length, height float64
	footed, known  bool
}

// strokeOf reads a position. It takes the mean of the sides that are known.
func strokeOf(p *contact.Position) stroke {
	mean := func(left contact.Site) (v r3.Vec, ok bool) {
		l, okL := p.At(left)
		r, okR := p.At(left.On(contact.Right))
		switch {
		case okL && okR:
			return r3.Scale(0.5, r3.Add(l, r)), true
		case okL:
			return l, true
		}
		return r, okR
	}
	var s stroke
	foot, footed := mean(contact.FootLeft)
	pedal, known := mean(contact.PedalLeft)
	if footed {
		s = stroke{foot.X, foot.Z, true, true}
	}
	if known {
		s.length, s.known = pedal.X, true
	}
	return s
}

// saddleShift returns how far the policy moves the saddle for a build's stroke.
func (p CrankPolicy) saddleShift(saddle r3.Vec, target, build stroke) r3.Vec {
	if p == KeepSaddle || !target.known {
		return r3.Vec{}
	}
	if !target.footed || !build.footed {
		target.height, build.height = 0, 0
	}
	if target.length == build.length && target.height == build.height {
		return r3.Vec{}
	}
	// The foot's circle has its centre above the bottom bracket by the foot's height.
	x, z := saddle.X, saddle.Z-target.height
	d := math.Hypot(x, z)
	farther := (target.length - build.length) / d
	return r3.Vec{X: float64(x * farther), Z: float64(z*farther) + build.height - target.height}
}

// fill puts in what the zero values of the options stand for.
func (o *Options) fill(target *contact.Position) {
	if o.Limit == 0 {
		o.Limit = 5
	}
	if o.Grain == 0 {
		o.Grain = 1e-8
	}
	if o.Vary == 0 {
		o.Vary = part.Stems | part.Bars | part.AeroBars
	}
	if o.Keep == nil {
		o.Keep = DefaultKeep(*target)
	}
}

// check reports what is wrong with filled options, and what they ask for that
// the target does not know.
func (o *Options) check(f *faults, target *contact.Position) {
	f.Range("options.limit", float64(o.Limit), 1, 1000, "candidates")
	f.Range("options.grain", o.Grain, 1e-8, 10, "tolerances")
	f.Range("options.vary", float64(o.Vary), 0, float64(part.AllKinds), "as a set of kinds")
	if o.Crank > KeepSaddle {
		f.Add("options.crank", o.Crank.String(), "a policy of this package", contact.ErrUnknown)
	}
	seen := map[contact.Site]bool{}
	for i, k := range o.Keep {
		path := "options.keep[" + strconv.Itoa(i) + "]"
		if k.Site > contact.FootRight {
			f.Add(path, k.Site.String(), "a site of package contact", contact.ErrUnknown)
			continue
		}
		if seen[k.Site] {
			f.Add(path, k.Site.String(), "each site once", contact.ErrConflict)
		}
		seen[k.Site] = true
		if _, ok := target.At(k.Site); !ok {
			f.Add("target."+k.Site.String(), "", "it to be known", contact.ErrMissing)
		}
		for axis, tol := range [...]float64{k.Tolerance.X, k.Tolerance.Y, k.Tolerance.Z} {
			f.Optional(path+".tolerance."+"xyz"[axis:axis+1], tol, 1e-3, 1000, "mm")
		}
		for axis, w := range [...]float64{k.Weight.X, k.Weight.Y, k.Weight.Z} {
			f.Optional(path+".weight."+"xyz"[axis:axis+1], w, 1e-3, 1000, "times")
		}
		if k.Site == contact.SaddleReference && (k.Tolerance.X == 0 || k.Tolerance.Z == 0) {
			f.Add(path+".tolerance", "0 mm", "the saddle reference asked for forward and up", contact.ErrMissing)
		}
	}
	if !seen[contact.SaddleReference] {
		f.Add("options.keep", "", "the saddle reference to be kept", contact.ErrMissing)
	}
	if a, ok := target.Attitude(contact.SaddleReference); !ok {
		f.Add("target.saddle_reference.tilt", "", "it to be known", contact.ErrMissing)
	} else {
		f.Range("target.saddle_reference.tilt", a.Tilt, -45, 45, "degrees")
	}
}
