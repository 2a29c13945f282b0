package fitgeom

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// What documents have for a candidate: what was decided, and for readers in other
// languages what follows from it. A document that is read may leave that out; what is
// there must be true.
type candidateDocument struct {
	Build        Build             `json:"build"`
	Spacers      []float64         `json:"spacers_mm" range:"1 to 60"`
	SpacersAbove []float64         `json:"spacers_above_mm" range:"1 to 60"`
	Buy          part.Kinds        `json:"buy"`
	Purchases    int               `json:"purchases" range:"0 to 11" unit:"parts"`
	Merit        Merit             `json:"merit,omitzero" zero:"nothing counted"`
	SaddleMoved  SaddleMove        `json:"saddle_moved,omitzero"`
	Deviations   []Deviation       `json:"deviations"`
	Rules        []Ruling          `json:"rules,omitempty"`
	Holds        *bool             `json:"holds,omitzero"`
	Score        *float64          `json:"score,omitzero" range:"0 to 1.7976931348623157e308"`
	Position     *contact.Position `json:"position,omitzero"`
	Margins      []Margin          `json:"margins,omitempty"`
	Cautions     []Caution         `json:"cautions,omitempty"`
}

// What documents have for a margin: its room in the unit of its limit.
type marginDocument struct {
	Limit   Limit    `json:"limit"`
	RoomMM  *float64 `json:"room_mm,omitzero"`
	RoomDeg *float64 `json:"room_deg,omitzero"`
}

func init() {
	work.Validator(func(m *work.Meter, s Shelf) error { return s.validate(m) })
	strict.Register(
		func(m Margin) marginDocument {
			d := marginDocument{Limit: m.Limit}
			d.RoomMM, d.RoomDeg = strict.In(m.Room, m.Limit.Unit())
			return d
		},
		func(d marginDocument) (Margin, error) {
			var f fault.List
			m := Margin{Limit: d.Limit, Room: strict.Amount(&f, "room", d.Limit.Unit(), d.RoomMM, d.RoomDeg, true)}
			return m, f.Err()
		},
	)
	strict.Register(Candidate.document, newCandidate)
}

func (c Candidate) document() candidateDocument {
	holds, score, position := c.Holds(), c.Score(), c.Build.position()
	return candidateDocument{
		Build: c.Build, Spacers: c.Spacers, SpacersAbove: c.SpacersAbove, Buy: c.Buy, Purchases: c.Purchases, Merit: c.Merit, SaddleMoved: c.SaddleMoved, Deviations: c.Deviations, Rules: c.Rules,
		Holds: &holds, Score: &score, Position: &position, Margins: c.Build.margins(), Cautions: c.cautions(),
	}
}

func newCandidate(d candidateDocument) (Candidate, error) {
	c := Candidate{Build: d.Build, Spacers: d.Spacers, SpacersAbove: d.SpacersAbove, Buy: d.Buy, Purchases: d.Purchases, Merit: d.Merit, SaddleMoved: d.SaddleMoved, Deviations: d.Deviations, Rules: d.Rules}
	if c.Validate() != nil {
		return c, nil // Validate reports that
	}
	var f fault.List
	must := func(ok bool, member string) {
		if !ok {
			f.Add(member, "another", "what follows from build and deviations", contact.ErrConflict)
		}
	}
	must(d.Holds == nil || *d.Holds == c.Holds(), "holds")
	must(d.Score == nil || *d.Score >= 0 && near(*d.Score, c.Score()), "score")
	must(d.Position == nil || samePlaces(*d.Position, c.Build.position()), "position")
	must(d.Margins == nil || sameMargins(d.Margins, c.Build.margins()), "margins")
	must(d.Cautions == nil || slices.Equal(d.Cautions, c.cautions()), "cautions")
	return c, f.Err()
}

// near allows for differences in the last digits between processors.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-6*max(1, math.Abs(b)) }

// samePlaces compares what a document states with what follows from the build. It need not
// state every direction.
func samePlaces(p, q contact.Position) bool {
	for _, s := range contact.Sites() {
		a, ok1 := p.At(s)
		b, ok2 := q.At(s)
		if ok1 != ok2 || !near(a.X, b.X) || !near(a.Y, b.Y) || !near(a.Z, b.Z) {
			return false
		}
		c, ok1 := p.Attitude(s)
		d, ok2 := q.Attitude(s)
		if ok1 && !ok2 || ok1 && (!near(c.Tilt, d.Tilt) || !near(c.Yaw, d.Yaw) || !near(c.Roll, d.Roll)) {
			return false
		}
	}
	return true
}

func sameMargins(a, b []Margin) bool {
	return slices.EqualFunc(a, b, func(m, n Margin) bool { return m.Limit == n.Limit && near(m.Room, n.Room) })
}

// MarshalJSON writes the candidate as documents of package fitgeom/exchange have it,
// with what follows from it: holds, score, position, margins and cautions.
func (c Candidate) MarshalJSON() ([]byte, error) { return strict.JSON(c) }

// UnmarshalJSON reads what MarshalJSON writes.
func (c *Candidate) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, c) }

// MarshalJSON writes the margin as documents of package fitgeom/exchange have it.
func (m Margin) MarshalJSON() ([]byte, error) { return strict.JSON(m) }

// UnmarshalJSON reads what MarshalJSON writes.
func (m *Margin) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, m) }

// MarshalJSON writes what is kept as documents of package fitgeom/exchange have it.
func (k Keep) MarshalJSON() ([]byte, error) { return strict.JSON(k) }

// UnmarshalJSON reads what MarshalJSON writes.
func (k *Keep) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, k) }

// MarshalJSON writes the deviation as documents of package fitgeom/exchange have it.
func (d Deviation) MarshalJSON() ([]byte, error) { return strict.JSON(d) }

// UnmarshalJSON reads what MarshalJSON writes.
func (d *Deviation) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, d) }
