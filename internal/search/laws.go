package search

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/rig"
)

// A law is what a build must keep beside its tolerances, such as rules of a race. It is asked
// whether a build, which has this position, is known to break it.
type law struct {
	breaks func(b *fitgeom.Build, at *contact.Position) bool
	units  int // of work
}

// The laws of a problem. A build that breaks one does not hold, however close it is, and stands
// among the others that do not hold. Of settings those within tolerance are chosen that keep the
// laws of their group. The room that builds are sorted by does not look at laws.
//
// So every bound of what builds cost, and of what they are worth if they hold, stays a bound with
// laws. What may not be done is to tell without a search that a front end holds, if there are
// laws of the front (front is not nil), or to put the best fronts and seats together if there
// are joint ones.
//
// Laws are sorted by what they look at. Those of one group of parts are asked of each of its
// options, before it becomes one that holds: an option that breaks one is never kept in the place
// of another. Joint ones are asked of pairs.
type laws struct {
	frame       []law // look at frame and wheels alone
	front, seat []law // look at the parts of one group, where they are on the frame
	joint       []law // look at both groups
	whole       bool  // whether one looks at parts of a group and at more of the frame than these are on

	// How far forward extensions and the saddle's nose may be: by these settings are chosen.
	tips, noses farthest
}

// A farthest is how far forward a site may be, in mm before the bottom bracket.
type farthest struct {
	always float64   // by laws of its group; infinity if there is none
	either []float64 // by joint laws, unless something else is kept: settings are chosen for each
}

// within is the limit of one choice of settings: that of number 0 goes by laws of the group alone.
func (f *farthest) within(choice int) float64 {
	if choice == 0 {
		return f.always
	}
	return min(f.always, f.either[choice-1])
}

// just keeps what is set to a limit from being beyond it by rounding, mm.
const just = 1e-7

// A sight is what a law looks at: parts of the front end, of the seat with cranks and feet, and
// of the frame more than head tube or seat tube, such as the wheels.
type sight struct{ front, seat, wheels bool }

// add adds a law. What asks something of builds comes in here, and nowhere else.
func (l *laws) add(looks sight, one law) {
	to := &l.frame
	switch {
	case looks.front && looks.seat:
		to = &l.joint
	case looks.front:
		to = &l.front
	case looks.seat:
		to = &l.seat
	}
	*to = append(*to, one)
	l.whole = l.whole || looks.wheels && (looks.front || looks.seat)
}

// lawsOf is the laws of a problem.
func lawsOf(p *Problem) *laws {
	l := laws{tips: farthest{always: math.Inf(1)}, noses: farthest{always: math.Inf(1)}}
	var sights []sight
	bySight := map[sight]rules.Set{}
	for _, r := range p.Rules.Rules {
		if applies, known := r.For(p.Rider); !applies || !known {
			continue // nothing is known to break it
		}
		looks := sightOf(&r)
		set, ok := bySight[looks]
		if !ok {
			sights = append(sights, looks)
		}
		set.Rules = append(set.Rules, r)
		bySight[looks] = set
		l.limit(&r, looks)
	}
	l.rider(&p.Limits)
	for _, looks := range sights {
		set := bySight[looks]
		breaks := func(b *fitgeom.Build, at *contact.Position) bool { return set.Breaks(b, at, p.Rider) }
		l.add(looks, law{breaks, 10 * len(set.Rules)})
	}
	return &l
}

// rider adds the limits of a rider's joints. Knees and ankles hang on saddle and feet alone.
func (l *laws) rider(all *rider.Limits) {
	legs, rest := rider.Limits{Body: all.Body}, rider.Limits{Body: all.Body}
	for _, one := range all.Joints {
		if one.Variable == rider.KneeFlexion || one.Variable == rider.AnkleDorsiflexion {
			legs.Joints = append(legs.Joints, one)
		} else {
			rest.Joints = append(rest.Joints, one)
		}
	}
	if n := len(legs.Joints); n > 0 {
		l.add(sight{seat: true}, law{func(_ *fitgeom.Build, at *contact.Position) bool { return legs.Breaks(*at) }, 1000 * n})
	}
	if n := len(rest.Joints); n > 0 {
		l.add(sight{front: true, seat: true}, law{func(_ *fitgeom.Build, at *contact.Position) bool { return rest.Breaks(*at) }, 1000 * n})
	}
}

// limit notes how far forward a rule lets tips or the nose be.
func (l *laws) limit(r *rules.Rule, looks sight) {
	for _, b := range [...]struct {
		rules.Bound
		less bool
	}{{r.Bound, r.Below}, {r.Unless, false}} {
		to, most := &l.tips, b.Max
		switch b.Figure {
		case rules.NoseSetback:
			to, most = &l.noses, -b.Min
		case rules.ExtensionReach:
			if b.less {
				most -= 10 * just
			}
		default:
			continue
		}
		switch {
		case math.IsInf(most, 1):
		case r.Unless == (rules.Bound{}):
			to.always = min(to.always, most)
		case looks.front && looks.seat && !slices.Contains(to.either, most):
			to.either = append(to.either, most)
		}
	}
}

// sightOf is what a rule looks at.
func sightOf(r *rules.Rule) (looks sight) {
	for g := contact.OnSaddle; g <= contact.OnFeet; g++ {
		if r.DependsOn(g) {
			looks.front, looks.seat = looks.front || g.FrontEnd(), looks.seat || !g.FrontEnd()
		}
	}
	looks.wheels = r.DependsOnWheels()
	return looks
}

// alone reports whether frames have nothing in common that could be judged once.
func (l *laws) alone() bool { return l.whole || len(l.joint) > 0 }

// breaks reports whether a build, or the part of one that the laws look at, breaks one of them.
func (w *wish) breaks(of []law, frame *fitgeom.Frame, found pairing) bool {
	if len(of) == 0 {
		return false
	}
	b := w.build(frame, found)
	at := places(&b, found)
	for _, l := range of {
		w.meter.Do(10 + l.units)
		if l.breaks(&b, &at) {
			return true
		}
	}
	return false
}

// places is the position of a build, or of the part of one of which there are options: sites of
// parts that are not there are not known, wherever nothing puts them.
func places(b *fitgeom.Build, found pairing) contact.Position {
	all := rig.Position(b)
	if found.front != nil && found.seat != nil {
		return all
	}
	var p contact.Position
	for s, at := range all.All() {
		if front := s.Group().FrontEnd(); front && found.front != nil || !front && found.seat != nil {
			p.Set(s, at)
			if facing, ok := all.Attitude(s); ok {
				p.SetAttitude(s, facing)
			}
		}
	}
	return p
}

// keepsLaws tells whether an option that holds breaks no law of its group. It does not hold if it
// breaks one.
func (j *job) keepsLaws(o *option, seat bool) bool {
	if seat {
		o.holds = !j.breaks(j.laws.seat, j.frame, pairing{nil, o})
	} else {
		o.holds = !j.breaks(j.laws.front, j.frame, pairing{o, nil})
	}
	return o.holds
}

// Rulings returns what the rules of a problem say of a build, of those that it is not known to
// keep, and then the limits of the rider.
func Rulings(p *Problem, b *fitgeom.Build) []fitgeom.Ruling {
	return append(ofRules(p, b), ofLimits(p, b)...)
}

// ofLimits is what the limits of the rider say: of one that is of both legs once.
func ofLimits(p *Problem, b *fitgeom.Build) (all []fitgeom.Ruling) {
	if len(p.Limits.Joints) == 0 {
		return nil
	}
	verdicts, err := p.Limits.Check(rig.Position(b))
	if err != nil {
		return nil // the build is another's, who is told
	}
	for _, v := range verdicts {
		if v.Kept() {
			continue
		}
		r := fitgeom.Ruling{Place: len(p.Rules.Rules) + v.Place, Broken: v.Known, Rule: "limit of the rider: " + v.Limit.String(), Found: v.String()}
		switch last := len(all) - 1; {
		case last < 0 || all[last].Place != r.Place:
			all = append(all, r)
		case all[last].Broken == r.Broken:
			all[last].Found += ", " + r.Found
		case r.Broken:
			all[last] = r
		}
	}
	return all
}

func ofRules(p *Problem, b *fitgeom.Build) (all []fitgeom.Ruling) {
	if len(p.Rules.Rules) == 0 {
		return nil
	}
	found, err := p.Rules.Check(*b, p.Rider)
	if err != nil {
		return nil // the build is another's, who is told
	}
	for i, r := range p.Rules.Rules {
		if applies, known := r.For(p.Rider); known && !applies {
			continue // nothing was found
		}
		f := &found[0]
		found = found[1:]
		if !f.Known || !f.Kept {
			all = append(all, fitgeom.Ruling{Place: i, Broken: f.Known, Rule: r.String(), Found: f.String()})
		}
	}
	return all
}
