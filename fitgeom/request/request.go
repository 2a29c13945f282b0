package request

import (
	"context"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/strict"
)

// A Request is what is asked: a position, on one frame or on the sizes of a catalogue. Each
// field means what the field of [solve.Problem] with that name means, and its zero value too.
type Request struct {
	// Want is what answers the request.
	Want Wanted `json:"want,omitzero"`
	// Target is the position that is wanted, in the way in which it is known.
	Target Target `json:"target,omitzero" zero:"stated elsewhere" validate:"own"`
	// Frame is the frame with its fork, if one is asked for.
	Frame fitgeom.Frame `json:"frame,omitzero" zero:"none, or stated elsewhere" validate:"own"`
	// Sizes is a catalogue, if its best frames are asked for; then there is no frame.
	Sizes []fitgeom.Size `json:"sizes,omitempty"`
	// Shelf holds the parts that may be used, including those on the bike now.
	Shelf fitgeom.Shelf `json:"shelf,omitzero" zero:"stated elsewhere" validate:"own"`
	// Keep lists what of the target is kept, and how closely. Left out: what is usual for the
	// target.
	Keep []fitgeom.Keep `json:"keep,omitempty"`
	// Crank says where the saddle goes if the cranks are longer or shorter than the target's.
	Crank fitgeom.CrankPolicy `json:"crank,omitzero"`
	// Wheels is how the bike stands: sag, and tyres other than those of the chart.
	Wheels chart.Wheels `json:"wheels,omitzero" zero:"as the chart draws it"`
	// Bike names the parts of the shelf that are on the bike now and need not be bought.
	Bike Bike `json:"bike,omitzero" zero:"parts to buy do not count"`
	// Vary is the kinds of parts in which builds of the answer differ. Left out: stems,
	// handlebars and aero bars.
	Vary part.Kinds `json:"vary,omitzero"`
	// RoomWanted is how much room to move a build shall leave. Left out: what is usual.
	RoomWanted []fitgeom.RoomWish `json:"room_wanted,omitempty"`
	// NoRoom says that no room is wanted. RoomWanted is empty then.
	NoRoom bool `json:"no_room,omitzero"`
	// Preference is what is usual on this kind of bike. Left out: what is usual where such
	// sites are kept.
	Preference fitgeom.Preference `json:"preference,omitzero" zero:"what is usual"`
	// Rules are the rules of a race that a build must keep.
	Rules Race `json:"rules,omitzero" zero:"no rules"`
	// Rider is what rules need to know of the rider.
	Rider rules.Rider `json:"rider,omitzero" zero:"nothing is known"`
	// Limits is the rider's body and what its joints may do, which a build must keep.
	Limits rider.Limits `json:"limits,omitzero" zero:"none" validate:"own"`
	// Grain is the step to which distances are rounded before builds are compared, as a
	// fraction of the tolerances.
	Grain float64 `json:"grain,omitzero" range:"1e-8 to 10" unit:"tolerances" zero:"0.1"`
	// Limit is how many builds or sizes are wanted.
	Limit int `json:"limit,omitzero" range:"1 to 1000" unit:"builds or sizes" zero:"5"`
	// Work is how much work the answer may take, in units of [fitgeom.Budget]. A request
	// cannot ask for more than is done without it.
	Work int `json:"work,omitzero" range:"1 to 100000000" unit:"units" zero:"100,000,000"`
	// Partial asks for the best found so far where the work is not enough.
	Partial bool `json:"partial,omitzero"`
}

// A Race is whose rules are asked for: those of a kind of race on a day, as
// [rules.InForce] has them.
type Race struct {
	Discipline rules.Discipline `json:"discipline"`
	// On is the day of the race.
	On rules.Date `json:"on"`
}

// Set returns the rules, and an empty set for the zero Race. Faults are of class
// [contact.ErrMissing] for a day that is not stated, and [contact.ErrUnknown] for a race of which the project knows
// no rules on that day.
func (r Race) Set() (rules.Set, error) {
	var f fault.List
	switch {
	case r == Race{}:
		return rules.Set{}, nil
	case r.On == rules.Date{}:
		f.Add("on", "", "the day of the race", contact.ErrMissing)
	default:
		f.In("on", r.On.Validate())
	}
	set, ok := rules.InForce(r.Discipline, r.On)
	if f.Len() == 0 && !ok {
		f.Add("on", r.On.String(), "a day on which rules of that race are known", contact.ErrUnknown)
	}
	return set, f.Err()
}

var requestFields = field.New[Request]()

// Validate reports everything that is wrong with what the request states, and nothing of
// what it leaves out.
func (r Request) Validate() error {
	var f fault.List
	r.check(&f)
	return f.Err()
}

// check reports the faults of what is stated.
func (r *Request) check(f *fault.List) {
	requestFields.Check(f, r)
	f.In("target", r.Target.Validate())
	if r.Frame != (fitgeom.Frame{}) {
		f.In("frame", r.Frame.Validate())
		if len(r.Sizes) > 0 {
			f.Add("sizes", "beside a frame", "one of the two", contact.ErrConflict)
		}
	}
	if r.Frame != (fitgeom.Frame{}) && f.Len() == 0 {
		f.In("", r.Frame.ValidateOn(r.Wheels))
	}
	for i := 0; i < len(r.Sizes) && !f.Full(); i++ {
		f.In(fault.At("sizes", i), r.Sizes[i].Validate())
	}
	if shelved(&r.Shelf) {
		f.In("shelf", r.Shelf.Validate())
		_ = r.Bike.on(f, &r.Shelf)
	}
	for i := range r.Keep {
		f.In(fault.At("keep", i), r.Keep[i].Validate())
	}
	for i := range r.RoomWanted {
		f.In(fault.At("room_wanted", i), r.RoomWanted[i].Validate())
	}
	if r.NoRoom && len(r.RoomWanted) > 0 {
		f.Add("room_wanted", "beside no_room", "one of the two", contact.ErrConflict)
	}
	f.In("limits", r.Limits.Validate())
	f.In("", wantedNames.Check("want", r.Want))
	_, err := r.Crank.MarshalText()
	f.Named("crank", err)
	_, err = r.Vary.MarshalText()
	f.Named("vary", err)
	if _, err := r.Rules.Set(); err != nil {
		f.In("rules", err)
	}
}

// shelved reports whether there is anything on a shelf.
func shelved(s *fitgeom.Shelf) bool {
	return len(s.Caps)+len(s.Spacers)+len(s.Stems)+len(s.Handlebars)+len(s.Levers)+len(s.AeroBars)+len(s.Seatposts)+len(s.Saddles)+
		len(s.Cranks)+len(s.Pedals)+len(s.Shims)+len(s.CleatShims) > 0
}

// Bikes reports whether the request asks for a bike: it states a frame, sizes or parts. Else it
// asks for no more than a position.
func (r Request) Bikes() bool {
	return r.Frame != (fitgeom.Frame{}) || len(r.Sizes) > 0 || shelved(&r.Shelf)
}

// Over returns the request with what it leaves out taken from another: its members win, one
// by one. A frame leaves out the other's sizes, and sizes its frame.
func (r Request) Over(under Request) Request {
	if r.Frame != (fitgeom.Frame{}) {
		under.Sizes = nil
	}
	if len(r.Sizes) > 0 {
		under.Frame = fitgeom.Frame{}
	}
	if r.NoRoom {
		under.RoomWanted = nil
	}
	if len(r.RoomWanted) > 0 {
		under.NoRoom = false
	}
	overlay(&r, &under)
	return r
}

// Problem returns the problem that is asked. Its Frame is zero if the request has sizes; it
// is then one for an index of them.
//
// All faults come back together, under the names that documents have: those of Validate; of
// the target ([Target.Solve]); [contact.ErrMissing] for a target, a shelf, or frame and sizes
// that are missing; and those of [solve.Problem.Validate].
func (r Request) Problem() (solve.Problem, error) {
	var f fault.List
	r.check(&f)
	if r.Target.Kind() == "" {
		f.Add("target", "", stated, contact.ErrMissing)
	}
	if r.Frame == (fitgeom.Frame{}) && len(r.Sizes) == 0 {
		f.Add("frame", "", "a frame, or sizes of a catalogue", contact.ErrMissing)
	}
	if !shelved(&r.Shelf) {
		f.Add("shelf", "", "the parts that may be used", contact.ErrMissing)
	}
	if one := r.Want == Obstacles || r.Want == Steps; one && len(r.Sizes) > 0 || r.Want == Ranking && len(r.Sizes) == 0 {
		f.Add("want", r.Want.String(), "builds; obstacles or steps of one frame; a ranking of sizes", contact.ErrConflict)
	}
	if f.Len() > 0 {
		return solve.Problem{}, f.Err()
	}
	at, err := r.Target.Solve()
	if err != nil {
		f.In("target", err)
		return solve.Problem{}, f.Err()
	}
	p := r.on(at.Position)
	whole := p
	if len(r.Sizes) > 0 {
		whole.Frame = r.Sizes[0].Frame
	}
	fault.Each(whole.Validate(), func(one *fault.Fault) {
		named := *one
		if rest, ok := strings.CutPrefix(named.Path, "target."); ok {
			named.Path = "target." + r.Target.Kind() + "." + rest
			if r.Target.Kind() == fixed {
				named.Path = "target.fix.position." + rest
			}
		}
		if len(r.Sizes) > 0 && strings.HasPrefix(named.Path, "frame") {
			return // what is wrong with one size is no fault of the others
		}
		f.Put(named)
	})
	if f.Len() > 0 {
		return solve.Problem{}, f.Err()
	}
	return p, nil
}

// Chances returns for each of some builds that answer the request the probability, 0 to 1,
// that it has the true position within the tolerances, by the target's covariance
// ([solve.Problem.Chance]): of readings, of stated standard uncertainties, of a fix or a record.
//
// Faults are those of Problem, and [contact.ErrMissing] for a kept coordinate whose uncertainty
// the target does not know. If the context ends, the error wraps the context's.
func (r Request) Chances(ctx context.Context, builds []fitgeom.Candidate) ([]float64, error) {
	p, err := r.Problem()
	if err != nil {
		return nil, err
	}
	at, err := r.Target.Solve()
	if err != nil {
		return nil, err
	}
	chances := make([]float64, len(builds))
	for i, c := range builds {
		p.Frame = c.Build.Frame
		if chances[i], err = p.Chance(ctx, c, solve.Errors{Target: at.Covariance}); err != nil {
			return nil, err
		}
	}
	return chances, nil
}

// on is the problem of a sound request for a target.
func (r *Request) on(target contact.Position) solve.Problem {
	var f fault.List
	set, _ := r.Rules.Set()
	p := solve.Problem{
		Target: target, Frame: r.Frame, Shelf: r.Shelf, Keep: r.Keep, Crank: r.Crank, Wheels: r.Wheels, Bike: r.Bike.on(&f, &r.Shelf), Vary: r.Vary,
		RoomWanted: r.RoomWanted, Preference: r.Preference, Rules: set, Rider: r.Rider, Limits: r.Limits, Grain: r.Grain, Limit: r.Limit,
		Budget:  fitgeom.Budget{Work: r.Work, Partial: r.Partial},
		Workers: 0, // whoever answers knows how many there are
	}
	if len(r.Keep) == 0 {
		p.Keep = nil
	}
	if len(r.RoomWanted) == 0 {
		p.RoomWanted = nil
	}
	if r.NoRoom {
		p.RoomWanted = []fitgeom.RoomWish{}
	}
	return p
}

// MarshalJSON writes the request as documents of package fitgeom/exchange have it.
func (r Request) MarshalJSON() ([]byte, error) { return strict.JSON(r) }

// UnmarshalJSON reads what MarshalJSON writes.
func (r *Request) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, r) }
