package solve

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/work"
)

// A Change is the amount by which a limit or a part dimension of a build would have to
// change.
type Change struct {
	Limit fitgeom.Limit
	// By is in the limit's unit, mm or degrees, and positive.
	By float64
}

// String returns the change in words, such as "raise the seatpost by 12.0 mm".
func (c Change) String() string {
	return fmt.Sprintf("%s by %.1f %s", c.Limit.Words(), c.By, c.Limit.Unit())
}

// An Obstacle is the reason why one group of parts of a build cannot hold a position, or what
// rules cost.
type Obstacle struct {
	// Parts is the group: the front end, or seat, cranks and pedals. It is 0 for rules, which are
	// about the whole bike.
	Parts part.Kinds `json:"parts"`
	// Alone lists every change that would suffice by itself, with all other settings
	// chosen to suit it. Each is as small as possible. The smallest comes first, where
	// 1 degree counts as 10 mm. It is empty if no single change would suffice.
	Alone []Change `json:"alone,omitempty"`
	// Together lists the changes that would suffice in combination and have the
	// smallest sum, where 1 degree counts as 10 mm. It is empty if no such changes
	// bring the sites into tolerance, for example with hands at different heights.
	Together []Change `json:"together,omitempty"`
	// Turned lists the kept angles of the group that are out of tolerance in the candidate.
	Turned []contact.Coordinate `json:"turned,omitempty"`
	// Pairs lists the left site of each pair of which left and right are wanted further
	// from mirroring each other than their tolerances allow together: what is the same left
	// and right can meet one of them, and no part of the group both.
	Pairs []contact.Site `json:"pairs,omitempty"`
	// Rules lists the rules without which the position is held, each alone. If none would
	// suffice alone, it has all that are in the way together. Limits of the rider count as rules.
	Rules []RuleCost `json:"rules,omitempty"`
}

// Sentences says of which pairs no part can meet both sides, and which rules are in the way.
func (o Obstacle) Sentences() []words.Sentence {
	var all []words.Sentence
	for _, left := range o.Pairs {
		all = append(all, words.Say(words.SidesDiffer, words.Word("left", left.String()), words.Word("right", left.On(contact.Right).String())))
	}
	for _, r := range o.Rules {
		all = append(all, r.Sentence())
	}
	return all
}

// String returns the obstacle in words, such as "seatposts, saddles, cranks, pedals: raise the
// seatpost by 12.0 mm, or slide the saddle back by 3.0 mm".
func (o Obstacle) String() string {
	list := func(changes []Change, between string) string {
		var all []string
		for _, c := range changes {
			all = append(all, c.String())
		}
		return strings.Join(all, between)
	}
	if len(o.Rules) > 0 {
		return words.Text(o.Sentences())
	}
	parts := o.Parts.Words()
	if len(o.Turned) > 0 {
		var all []string
		for _, c := range o.Turned {
			all = append(all, c.Axis.String()+" of "+c.Site.String())
		}
		parts += " (" + strings.Join(all, ", ") + ")"
	}
	switch {
	case len(o.Pairs) > 0:
		return parts + ": " + words.Text(o.Sentences())
	case len(o.Alone) > 0:
		return parts + ": " + list(o.Alone, ", or ")
	case len(o.Together) > 0:
		return parts + ": together " + list(o.Together, ", ")
	}
	return parts + ": nothing of this kind would do"
}

// turned returns the kept angles that are out of tolerance.
func turned(d *fitgeom.Deviation) (all []contact.Coordinate) {
	for _, a := range [...]struct {
		axis           contact.Axis
		off, tolerance float64
	}{{contact.AxisTilt, d.Turned.Tilt, d.Turn.Tilt}, {contact.AxisYaw, d.Turned.Yaw, d.Turn.Yaw}, {contact.AxisRoll, d.Turned.Roll, d.Turn.Roll}} {
		if num.Beyond(a.off, a.tolerance) {
			all = append(all, contact.Coordinate{Site: d.Site, Axis: a.axis})
		}
	}
	return all
}

// Explain says why a candidate does not hold the position: which limits prevent it, and
// the smallest changes that would make it hold. It considers the candidate's own parts.
// Spacers come from the shelf, and aero bar and levers keep to their steps, except where the
// change is in spacers or aero bar. A group that could hold with other settings is no obstacle. A
// candidate that holds has no obstacles. No bar, aero bar or stem is turned by more than 30
// degrees beyond its range, and no changes of more than 2 m are looked for.
//
// Where rules or limits are asked for (Problem.Rules, Problem.Limits) and no build of the shelf holds, it says which rules
// are in the way: what would hold without them, with any parts of the shelf. Changes of limits do
// not look at rules.
//
// Amounts are exact to 1e-6 mm or degrees. All but the angles moves the sites along
// straight lines: single changes are then found in closed form, and the smallest sum by a
// linear program. What an angle does is bounded in a piece of its range, and the pieces
// are halved until the bounds meet. Only where an angle and a length that it turns can both
// change, the sum may be a thousandth more than the smallest.
//
// Errors are those of [Problem.Verify]. If the context ends, the error wraps the
// context's; if Problem.Budget does, it is [contact.ErrBudget]. There is no partial answer.
func (p Problem) Explain(ctx context.Context, c fitgeom.Candidate) ([]Obstacle, error) {
	m := work.New(ctx, p.Budget.Work)
	if m.Stopped() {
		return nil, m.Err("before it began")
	}
	p.fill()
	if err := p.verify(c); err != nil {
		return nil, err
	}
	var all []Obstacle
	for i, front := range [2]bool{true, false} {
		holds := true
		var o Obstacle
		for j := range c.Deviations {
			if d := &c.Deviations[j]; d.Site.Group().FrontEnd() == front {
				holds = holds && d.Within()
				o.Turned = append(o.Turned, turned(d)...)
			}
		}
		if holds {
			continue
		}
		if front {
			var err error
			if holds, err = explainFront(m, &p, c.Build, &o); err != nil {
				return nil, err
			}
			o.Pairs = p.unlike(contact.Group.FrontEnd)
		} else {
			holds = newSeat(m, &p, &c.Build).obstacle(&o)
		}
		if m.Stopped() {
			return nil, m.Err([2]string{"with the front end", "with the saddle"}[i])
		}
		if holds {
			continue // with settings that cost more than the candidate's
		}
		slices.SortStableFunc(o.Alone, func(a, b Change) int {
			return cmp.Compare(millionths(a.weight()), millionths(b.weight()))
		})
		all = append(all, o)
	}
	if costs, err := p.rulesCost(m, &c); err != nil {
		return nil, err
	} else if len(costs) > 0 {
		all = append(all, Obstacle{Rules: costs})
	}
	return all, nil
}

// unlike returns the pairs of some groups, by their left sites, that nothing that is the
// same left and right can hold.
func (p *Problem) unlike(of func(contact.Group) bool) []contact.Site {
	var all []contact.Site
	for _, l := range p.Keep {
		if l.Site.Side() != contact.Left || !of(l.Site.Group()) {
			continue
		}
		i := slices.IndexFunc(p.Keep, func(k fitgeom.Keep) bool { return k.Site == l.Site.On(contact.Right) })
		if i < 0 {
			continue
		}
		r := &p.Keep[i]
		a, _ := p.Target.At(l.Site)
		b, _ := p.Target.At(r.Site)
		left, _ := p.Target.Attitude(l.Site)
		right, _ := p.Target.Attitude(r.Site)
		turned := left.Less(contact.Attitude{Tilt: right.Tilt, Yaw: -right.Yaw, Roll: -right.Roll})
		for _, c := range [...][3]float64{
			{a.X - b.X, l.Tolerance.X, r.Tolerance.X},
			{a.Y + b.Y, l.Tolerance.Y, r.Tolerance.Y},
			{a.Z - b.Z, l.Tolerance.Z, r.Tolerance.Z},
			{turned.Tilt, l.Turn.Tilt, r.Turn.Tilt},
			{turned.Yaw, l.Turn.Yaw, r.Turn.Yaw},
			{turned.Roll, l.Turn.Roll, r.Turn.Roll},
		} {
			if c[1] != 0 && c[2] != 0 && math.Abs(c[0]) > c[1]+c[2]+verifyMM {
				all = append(all, l.Site)
				break
			}
		}
	}
	return all
}

// explainFront finds the changes that would make the front end of a build hold, with its
// levers mounted in any of their ways; true if none are needed.
func explainFront(m *work.Meter, p *Problem, b fitgeom.Build, o *Obstacle) (holds bool, err error) {
	least := math.Inf(1)
	rig.Mounts(&b.Handlebar, func(mount part.LeverMount) bool {
		b.Settings.LeverUp, b.Settings.LeverIn = mount.Up, mount.In
		var one Obstacle
		e, fault := newFront(m, p, &b)
		if err = fault; err != nil || m.Stopped() {
			return false
		}
		holds = e.obstacle(&one)
		o.Parts = one.Parts
		for _, c := range one.Alone {
			i := slices.IndexFunc(o.Alone, func(a Change) bool { return a.Limit == c.Limit })
			if i < 0 {
				o.Alone = append(o.Alone, c)
			} else {
				o.Alone[i].By = min(o.Alone[i].By, c.By)
			}
		}
		weight := 0.0
		for _, c := range one.Together {
			weight += c.weight()
		}
		if len(one.Together) > 0 && weight < least {
			least, o.Together = weight, one.Together
		}
		return !holds && !m.Stopped()
	})
	return holds, err
}

func millionths(v float64) int64 { return int64(math.Round(v * 1e6)) }

// degree is the length, in mm, that counts the same as a degree: a part with a larger
// range of angles is harder to find than a longer one.
const degree = 10

func (c Change) weight() float64 {
	if c.Limit.Unit() == "degrees" {
		return degree * c.By
	}
	return c.By
}
