package design

import (
	"context"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Problem is what a frame shall do: a position, the parts that the rider shall have, and
// wishes.
type Problem struct {
	// Target is the position, as the bike stands on the frame's own wheels without sag. It
	// needs the handlebar and the saddle's reference with its tilt; clearances need what
	// package clearance says.
	Target contact.Position
	// Covariance is how well the position is known. Zero: exactly.
	Covariance contact.Covariance
	// Front is the front end that the rider shall have.
	Front region.FrontEnd
	// Cap is the height of the headset's cap, 0 to 60 mm, which is part of Front.Up and stays
	// under whatever spacers are taken out.
	Cap float64
	// MaxUnderStem is the most that cap and spacers may lift the stem, 0 to 150 mm, as
	// [fitgeom.Frame] has it. Zero: 50 mm, common practice, no source. The manufacturer of
	// the fork decides.
	MaxUnderStem float64
	// Seatpost and Saddle are the rider's.
	Seatpost part.Seatpost
	Saddle   part.Saddle
	// RailClamp is from the saddle's nose back to where the rails shall be clamped, mm. Zero:
	// in the middle of the rails.
	RailClamp float64
	// Tubes is what the frame is made of. Zero: usual tubes.
	Tubes Tubes
	// StandAt is how far in front of the bottom bracket the rider stands over the top tube,
	// -300 to 500 mm. Its upper edge there has the standover height.
	StandAt float64
	// Bulk is how far things reach, for clearances; its TopTube does not count. Zero: usual.
	Bulk clearance.Bulk
	// Inseam is the height of the crotch above the ground, 300 to 1200 mm. Zero: not known.
	Inseam float64
	// Wishes is what the numbers of the frame shall be. A setting that has none is exactly
	// that of the parts, and any number that is not wished for may be whatever bicycles
	// have. At most 100.
	Wishes []Wish
	// RoomWanted is how much room to move hands and saddle shall be left, by the parts
	// alone, tolerances and gaps aside. Nil: [fitgeom.DefaultRoom]. Empty, but not nil: none.
	RoomWanted []fitgeom.RoomWish
	// Budget is how much work a call may do. Zero: enough for any problem. Partial answers
	// there are none.
	Budget fitgeom.Budget `json:"-"`
}

// Validate reports everything that is wrong with a problem: numbers that are out of range,
// the errors of the Validate methods of its fields, [contact.ErrMissing] for what the
// target lacks, and [contact.ErrConflict] for room that moves what no part can move: the
// hands forward and back, which is a matter of the stem, and pads.
func (p Problem) Validate() error {
	_, err := newSpace(&p)
	return err
}

// check reports what is wrong; it returns the place of the bar's clamp, and the origin of
// the saddle: where the line of its rails begins, below the nose.
func (p *Problem) check(f *fault.List) (clamp, nose r3.Vec) {
	clamp, err := p.Front.Clamp(p.Target)
	fault.Each(err, func(e *fault.Fault) {
		e.Path = p.path(e.Path)
		f.Put(*e)
	})
	if _, known := p.Target.At(contact.BarClamp); !known && p.Front.Handlebar.OnePiece() {
		f.Add("front.handlebar.stem", "one", "a handlebar that a stem holds, or the bar's clamp in the target", contact.ErrConflict)
	}
	f.Range("cap_mm", p.Cap, 0, 60, "mm")
	f.Range("max_under_stem_mm", p.MaxUnderStem, 0, 150, "mm")
	f.In("seatpost", p.Seatpost.Validate())
	f.In("saddle", p.Saddle.Validate())
	f.Optional("rail_clamp_mm", p.RailClamp, 40, 300, "mm")
	if p.Tubes != (Tubes{}) {
		f.In("tubes", p.Tubes.Validate())
	}
	f.Range("stand_at_mm", p.StandAt, -300, 500, "mm")
	f.In("bulk", p.Bulk.Validate())
	if least := p.filled().MaxUnderStem; p.Cap > least {
		f.Add("cap_mm", num.Text(p.Cap, "mm"), "at most what may lift the stem, "+num.Text(least, "mm"), contact.ErrConflict)
	}
	if low, high := (fitgeom.Frame{}).SeatpostRange(p.Seatpost); low > high {
		f.Add("seatpost.length_mm", num.Text(p.Seatpost.Length, "mm"), "a seatpost that can be inserted as far as its mark", contact.ErrConflict)
	}
	if !p.Seatpost.Holds(p.Saddle) {
		f.Add("saddle.rails_from_mm", num.Text(p.Saddle.RailsFrom, "mm"), "rails that the seatpost's clamp holds", contact.ErrConflict)
	}
	f.Optional("inseam_mm", p.Inseam, 300, 1200, "mm")
	p.checkWishes(f)
	for _, c := range p.Covariance.Coordinates() {
		if _, ok := p.Target.At(c.Site); !ok {
			f.Add("target.sites."+c.Site.String(), "", "the site whose uncertainty is stated", contact.ErrMissing)
		}
	}
	nose, ok := origin(&p.Target, &p.Saddle)
	if !ok {
		f.Add("target.sites.saddle_reference", "", "it to be known with its tilt", contact.ErrMissing)
	} else if a, _ := p.Target.Attitude(contact.SaddleReference); true {
		f.Range("target.sites.saddle_reference.attitude.tilt_deg", a.Tilt, -45, 45, "degrees")
	}
	return clamp, nose
}

// path returns where a fault of the front end lies in a problem.
func (p *Problem) path(path string) string {
	const position = "position"
	if len(path) >= len(position) && path[:len(position)] == position {
		return "target" + path[len(position):]
	}
	return fault.Join("front", path)
}

func (p *Problem) checkWishes(f *fault.List) {
	if len(p.Wishes) > 100 {
		f.Add("wishes", num.Text(float64(len(p.Wishes)), ""), "at most 100", contact.ErrRange)
		return
	}
	for i, w := range p.Wishes {
		path := fault.At("wishes", i)
		f.In(path, w.Validate())
		if w.Subject.Clearance == clearance.StandoverRoom && p.Inseam == 0 {
			f.Add("inseam_mm", "", "it to be known", contact.ErrMissing)
		}
	}
	seen := map[contact.Group]bool{}
	for i, r := range p.RoomWanted {
		path := fault.At("room_wanted", i)
		f.In(path, r.Validate())
		switch {
		case seen[r.Group]:
			f.Add(path+".group", r.Group.String(), "each group once", contact.ErrConflict)
		case r.Group == contact.OnAeroBar:
			f.Add(path+".group", r.Group.String(), "saddle or handlebar", contact.ErrConflict)
		case r.Group == contact.OnHandlebar && (r.Forward != 0 || r.Back != 0):
			f.Add(path+".forward_mm", num.Text(float64(max(r.Forward, r.Back)), "mm"), "0: wish for a range of stem lengths instead", contact.ErrConflict)
		}
		seen[r.Group] = true
	}
}

// origin returns where the line of a saddle's rails begins, below its nose; false where the
// position does not say.
func origin(p *contact.Position, s *part.Saddle) (r3.Vec, bool) {
	at, ok := p.At(contact.SaddleReference)
	a, known := p.Attitude(contact.SaddleReference)
	if !ok || !known {
		return r3.Vec{}, false
	}
	sin, cos := num.Sincos(a.Tilt)
	for _, place := range s.Places() {
		if place.Site == contact.SaddleReference {
			return r3.Sub(at, num.Turned(place.At, sin, cos)), true
		}
	}
	return r3.Vec{}, false
}

// wishes returns all wishes: those of the problem, those of room, and what the parts are
// where nothing else is wished.
func (p *Problem) wishes() []Wish {
	all := append([]Wish(nil), p.Wishes...)
	inf := math.Inf(1)
	add := func(s Setting, from, to float64) { all = append(all, Wish{Subject{Setting: s}, from, to}) }
	room := p.RoomWanted
	if room == nil {
		room = fitgeom.DefaultRoom()
	}
	for _, r := range room {
		ways := []Setting{HandsUp, HandsDown}
		if r.Group == contact.OnSaddle {
			ways = []Setting{SaddleUp, SaddleDown, SaddleForward, SaddleBack}
		}
		by := [...]int{r.Up, r.Down, r.Forward, r.Back}
		for i, s := range ways {
			if by[i] > 0 {
				add(s, float64(by[i]), inf)
			}
		}
	}
	stated := map[Setting]bool{}
	for _, w := range p.Wishes {
		stated[w.Subject.Setting] = true
	}
	for _, e := range p.parts() {
		if !stated[e.setting] {
			add(e.setting, e.is, e.is)
		}
	}
	add(StemUp, p.Cap, p.MaxUnderStem)
	low, high := fitgeom.Frame{}.SeatpostRange(p.Seatpost)
	add(SeatpostExtension, low, high)
	from, to := p.Saddle.Rails(p.Seatpost)
	add(RailClamp, from, to)
	return all
}

type exact struct {
	setting Setting
	is      float64
}

// parts returns what the parts are set to, unless something else is wished.
func (p *Problem) parts() [7]exact {
	angle := p.Front.Stem.Angle
	if p.Front.Stem.Angles != (part.Steps{}) {
		angle = p.Front.StemAngle
	}
	if p.Front.Flipped {
		angle = -angle
	}
	return [...]exact{
		{StemLength, p.Front.Stem.Length},
		{StemAngle, angle},
		{StemUp, p.Front.Up},
		{Setback, p.Seatpost.Setback},
		{RailClamp, p.RailClamp},
		{HeadTubeAbove, p.Tubes.AboveTop},
		{SeatTubeAbove, p.Tubes.SeatAbove},
	}
}

// filled returns the problem with what zero values stand for.
func (p Problem) filled() Problem {
	if p.MaxUnderStem == 0 {
		p.MaxUnderStem = 50
	}
	if p.Tubes == (Tubes{}) {
		p.Tubes = usualTubes
	}
	if p.RailClamp == 0 {
		from, to := p.Saddle.Rails(p.Seatpost)
		p.RailClamp = (from + to) / 2
	}
	return p
}

// Solve finds a frame that satisfies all wishes: of all such frames one in the middle of
// what is wished, and elsewhere near to usual ones. If there is none, the answer is the
// frame that misses the wishes by the least, with what contradicts (Design.Holds).
//
// Errors are those of [Problem.Validate], and [contact.ErrConflict] where the ranges of what
// bicycles have leave no frame at all. If the context ends, the error wraps the context's;
// if Problem.Budget does, it is [contact.ErrBudget].
func (p Problem) Solve(ctx context.Context) (Design, error) {
	m := work.New(ctx, p.Budget.Work)
	if m.Stopped() {
		return Design{}, m.Err("before it began")
	}
	s, err := newSpace(&p)
	if err != nil {
		return Design{}, err
	}
	return s.solve(m)
}
