package design

import (
	"cmp"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
)

// What documents have for a problem: how much work it may take is for whoever answers.
type problemDocument struct {
	Target       contact.Position   `json:"target"`
	Covariance   contact.Covariance `json:"covariance,omitzero"`
	Front        region.FrontEnd    `json:"front"`
	Cap          float64            `json:"cap_mm,omitzero" range:"0 to 60"`
	MaxUnderStem float64            `json:"max_under_stem_mm,omitzero" range:"0 to 150" zero:"50 mm"`
	Seatpost     part.Seatpost      `json:"seatpost"`
	Saddle       part.Saddle        `json:"saddle"`
	RailClamp    float64            `json:"rail_clamp_mm,omitzero" range:"40 to 300" zero:"in the middle of the rails"`
	Tubes        Tubes              `json:"tubes,omitzero" zero:"usual tubes"`
	StandAt      float64            `json:"stand_at_mm,omitzero" range:"-300 to 500"`
	Bulk         clearance.Bulk     `json:"bulk,omitzero" zero:"usual"`
	Inseam       float64            `json:"inseam_mm,omitzero" range:"300 to 1200" zero:"not known"`
	Wishes       []Wish             `json:"wishes,omitempty"`
	// RoomWanted is how much room to move hands and saddle shall be left, by the parts
	// alone, tolerances and gaps aside. Left out: what is usual.
	RoomWanted []fitgeom.RoomWish `json:"room_wanted,omitempty"`
	// NoRoom says that no room is wanted. RoomWanted is left out then.
	NoRoom bool `json:"no_room,omitzero"`
}

func (p Problem) document() problemDocument {
	return problemDocument{
		Target: p.Target, Covariance: p.Covariance, Front: p.Front, Cap: p.Cap, MaxUnderStem: p.MaxUnderStem, Seatpost: p.Seatpost, Saddle: p.Saddle,
		RailClamp: p.RailClamp, Tubes: p.Tubes, StandAt: p.StandAt, Bulk: p.Bulk, Inseam: p.Inseam, Wishes: p.Wishes,
		RoomWanted: p.RoomWanted, NoRoom: p.RoomWanted != nil && len(p.RoomWanted) == 0,
	}
}

func newProblem(d problemDocument) (Problem, error) {
	var f fault.List
	p := Problem{
		Target: d.Target, Covariance: d.Covariance, Front: d.Front, Cap: d.Cap, MaxUnderStem: d.MaxUnderStem, Seatpost: d.Seatpost, Saddle: d.Saddle,
		RailClamp: d.RailClamp, Tubes: d.Tubes, StandAt: d.StandAt, Bulk: d.Bulk, Inseam: d.Inseam, Wishes: d.Wishes, RoomWanted: d.RoomWanted,
	}
	switch {
	case len(p.RoomWanted) == 0:
		p.RoomWanted = nil
		if d.NoRoom {
			p.RoomWanted = []fitgeom.RoomWish{}
		}
	case d.NoRoom:
		f.Add("room_wanted", "beside no_room", "one of the two", contact.ErrConflict)
	}
	return p, f.Err()
}

// What documents have for a wish and for a range: an end that is left out is none.
type spanDocument struct {
	Subject `json:",inline"`
	FromMM  *float64 `json:"from_mm,omitzero"`
	FromDeg *float64 `json:"from_deg,omitzero"`
	ToMM    *float64 `json:"to_mm,omitzero"`
	ToDeg   *float64 `json:"to_deg,omitzero"`
}

func newSpan(s Subject, from, to float64) (d spanDocument) {
	d.Subject = s
	if !math.IsInf(from, -1) {
		d.FromMM, d.FromDeg = strict.In(from, s.Unit())
	}
	if !math.IsInf(to, 1) {
		d.ToMM, d.ToDeg = strict.In(to, s.Unit())
	}
	return d
}

func (d *spanDocument) ends() (from, to float64, err error) {
	var f fault.List
	unit := d.unit(d.FromDeg, d.ToDeg)
	from = strict.Amount(&f, "from", unit, d.FromMM, d.FromDeg, false)
	to = strict.Amount(&f, "to", unit, d.ToMM, d.ToDeg, false)
	if d.FromMM == nil && d.FromDeg == nil {
		from = math.Inf(-1)
	}
	if d.ToMM == nil && d.ToDeg == nil {
		to = math.Inf(1)
	}
	return from, to, f.Err()
}

// unit is that of the numbers; of no subject, which Validate reports, the one that is given.
func (s Subject) unit(deg ...*float64) string {
	for _, v := range deg {
		if v != nil && s.Unit() == "" {
			return "degrees"
		}
	}
	return cmp.Or(s.Unit(), "mm")
}

// What documents have for a value.
type valueDocument struct {
	Subject  `json:",inline"`
	ValueMM  *float64 `json:"value_mm,omitzero"`
	ValueDeg *float64 `json:"value_deg,omitzero"`
	SigmaMM  *float64 `json:"sigma_mm,omitzero" range:"0 to 1e9"`
	SigmaDeg *float64 `json:"sigma_deg,omitzero" range:"0 to 1e9"`
}

func init() {
	strict.Register(Problem.document, newProblem)
	strict.Register(
		func(w Wish) spanDocument { return newSpan(w.Subject, w.From, w.To) },
		func(d spanDocument) (w Wish, err error) {
			w.Subject = d.Subject
			w.From, w.To, err = d.ends()
			return w, err
		},
	)
	strict.Register(
		func(r Range) spanDocument { return newSpan(r.Subject, r.From, r.To) },
		func(d spanDocument) (r Range, err error) {
			r.Subject = d.Subject
			r.From, r.To, err = d.ends()
			return r, err
		},
	)
	strict.Register(
		func(v Value) valueDocument {
			d := valueDocument{Subject: v.Subject}
			d.ValueMM, d.ValueDeg = strict.In(v.Value, v.Subject.Unit())
			if v.Sigma != 0 {
				d.SigmaMM, d.SigmaDeg = strict.In(v.Sigma, v.Subject.Unit())
			}
			return d
		},
		func(d valueDocument) (Value, error) {
			var f fault.List
			v := Value{Subject: d.Subject}
			v.Value = strict.Amount(&f, "value", d.unit(d.ValueDeg), d.ValueMM, d.ValueDeg, true)
			v.Sigma = strict.Amount(&f, "sigma", d.unit(d.SigmaDeg), d.SigmaMM, d.SigmaDeg, false)
			return v, f.Err()
		},
	)
}

// MarshalJSON writes the problem as documents of package fitgeom/exchange have it, without
// its Budget.
func (p Problem) MarshalJSON() ([]byte, error) { return strict.JSON(p) }

// UnmarshalJSON reads what MarshalJSON writes.
func (p *Problem) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, p) }

// MarshalJSON writes the wish as documents of package fitgeom/exchange have it.
func (w Wish) MarshalJSON() ([]byte, error) { return strict.JSON(w) }

// UnmarshalJSON reads what MarshalJSON writes.
func (w *Wish) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, w) }

// MarshalJSON writes the range as documents of package fitgeom/exchange have it.
func (r Range) MarshalJSON() ([]byte, error) { return strict.JSON(r) }

// UnmarshalJSON reads what MarshalJSON writes.
func (r *Range) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, r) }

// MarshalJSON writes the value as documents of package fitgeom/exchange have it.
func (v Value) MarshalJSON() ([]byte, error) { return strict.JSON(v) }

// UnmarshalJSON reads what MarshalJSON writes.
func (v *Value) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, v) }

// MarshalJSON refuses: a [Design] has no document. Its [Report] has.
func (d Design) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("design.Design") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (d *Design) UnmarshalJSON([]byte) error { return strict.NoDocument("design.Design") }
