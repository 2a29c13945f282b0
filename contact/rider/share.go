package rider

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Remedy is what may make up for a shorter leg. The zero Remedy is not valid.
type Remedy uint8

// The remedies, all on the side of the shorter leg but for the saddle.
const (
	// ShimUnderCleat raises the sole above the pedal's spindle.
	ShimUnderCleat Remedy = iota + 1
	// CleatForward moves the cleat to the toes, so that the ankle is further behind the spindle. With
	// the toes down that brings it up.
	CleatForward
	// ShorterCrank makes that side's crank shorter.
	ShorterCrank
	// LowerSaddle brings the saddle down, for both legs.
	LowerSaddle
)

var remedyNames = enum.New[Remedy]("remedy", []string{
	ShimUnderCleat: "shim_under_cleat", CleatForward: "cleat_forward", ShorterCrank: "shorter_crank", LowerSaddle: "lower_saddle",
})

// String returns the remedy's name, such as "lower_saddle".
func (r Remedy) String() string { return remedyNames.String(r) }

// MarshalText writes the remedy's name; it fails for an unknown number.
func (r Remedy) MarshalText() ([]byte, error) { return remedyNames.Text(r) }

// UnmarshalText reads a name as [ParseRemedy] does.
func (r *Remedy) UnmarshalText(text []byte) error { return remedyNames.Read(r, text) }

// ParseRemedy returns the remedy of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseRemedy(name string) (Remedy, error) { return remedyNames.Parse(name) }

// A Share is the part of a difference that a remedy takes.
type Share struct {
	Remedy Remedy
	// Of is the share of the difference, 0 to 1.
	Of float64
	// Most is the most that it may be, 0 to 50 mm. Zero: 50 mm.
	Most float64
	// Step is the step in which it comes, up to 20 mm; it is then rounded down. Zero: any amount.
	Step float64
}

// A ShareStep is one remedy in its turn, and what it does to both knees.
type ShareStep struct {
	Share Share
	// By is the amount, mm.
	By float64
	// Left and Right are the knees' flexion over the stroke afterwards.
	Left, Right Span
}

// A SharedOut is a difference of the legs' lengths shared out over remedies.
type SharedOut struct {
	// Difference is by how much one leg is shorter, mm, and Side which.
	Difference float64
	Side       contact.Side
	// Left and Right are the knees' flexion before.
	Left, Right Span
	// Steps are the shares in the order in which they were asked for.
	Steps []ShareStep
	// Rest is what no share took, mm: that is left to the body, which may have made up for it
	// for years.
	Rest float64
	// Position and Body are what comes of it.
	Position contact.Position
	Body     Body
}

// ShareOut shares the difference of the legs' lengths (thigh and shank together) out over
// remedies, by the caller's rule, one after another, and tells what each does to both knees. How much
// of a difference to make up for, and by what, is for the clinician who found it: here is what it does
// to the joints.
//
// Both legs must be known and the position must have both feet. Errors are those of [NewChain];
// [contact.ErrMissing] for a leg that is not known; [contact.ErrUnknown], [contact.ErrRange] and
// [contact.ErrConflict] for the shares, which together may not be more than the whole; and the faults
// of what comes of it, under after.
func (b Body) ShareOut(p contact.Position, rule []Share) (SharedOut, error) {
	var f fault.List
	checkShares(&f, rule)
	if !b.Left.known() || !b.Right.known() {
		f.Add("body", "", "both legs", contact.ErrMissing)
	}
	_, err := NewChain(b, p)
	f.In("", err)
	if err := f.Err(); err != nil {
		return SharedOut{}, err
	}
	s := SharedOut{Side: contact.Left, Position: p, Body: b, Difference: b.Right.Thigh + b.Right.Shank - b.Left.Thigh - b.Left.Shank}
	if s.Difference < 0 {
		s.Side, s.Difference = contact.Right, -s.Difference
	}
	s.Rest = s.Difference
	if s.Left, s.Right, err = s.knees(); err != nil {
		return SharedOut{}, err
	}
	for _, share := range rule {
		step := ShareStep{Share: share, By: share.amount(s.Difference)}
		s.apply(share.Remedy, step.By)
		if step.Left, step.Right, err = s.knees(); err != nil {
			f.In("after", err)
			return SharedOut{}, f.Err()
		}
		s.Rest -= step.By
		s.Steps = append(s.Steps, step)
	}
	return s, nil
}

// checkShares reports what is wrong with shares.
func checkShares(f *fault.List, rule []Share) {
	if len(rule) > 20 {
		f.Add("rule", "", "at most 20 shares", contact.ErrRange)
		return
	}
	sum := 0.
	for i, s := range rule {
		path := fault.At("rule", i)
		f.In(path, remedyNames.Check("remedy", s.Remedy))
		f.Range(path+".of", s.Of, 0, 1, "of the difference")
		f.Range(path+".most_mm", s.Most, 0, 50, "mm")
		f.Range(path+".step_mm", s.Step, 0, 20, "mm")
		sum += s.Of
	}
	if sum > 1+1e-9 {
		f.Add("rule", "", "shares that are not more than the whole", contact.ErrConflict)
	}
}

// amount is how much a share takes, mm.
func (s *Share) amount(difference float64) float64 {
	by := s.Of * difference
	if s.Most > 0 {
		by = min(by, s.Most)
	}
	by = min(by, 50)
	if s.Step > 0 {
		by = math.Floor(by/s.Step+1e-9) * s.Step
	}
	return by
}

// apply does what a remedy does.
func (s *SharedOut) apply(r Remedy, by float64) {
	move := func(d r3.Vec, sites ...contact.Site) {
		for _, site := range sites {
			if v, ok := s.Position.At(site); ok {
				s.Position.Set(site, r3.Add(v, d))
			}
		}
	}
	switch r {
	case ShimUnderCleat:
		move(r3.Vec{Z: by}, contact.FootLeft.On(s.Side))
	case CleatForward:
		leg := &s.Body.Left
		if s.Side == contact.Right {
			leg = &s.Body.Right
		}
		leg.AnkleBehind += by
	case ShorterCrank:
		move(r3.Vec{X: -by}, contact.FootLeft.On(s.Side), contact.PedalLeft.On(s.Side))
	case LowerSaddle:
		move(r3.Vec{Z: -by}, contact.SaddleReference, contact.SaddleNose, contact.SaddleRear)
	}
}

// knees returns the flexion of both knees over the stroke.
func (s *SharedOut) knees() (left, right Span, err error) {
	c, err := NewChain(s.Body, s.Position)
	if err != nil {
		return left, right, err
	}
	if left, err = c.Span(KneeFlexion, contact.Left); err != nil {
		return left, right, err
	}
	right, err = c.Span(KneeFlexion, contact.Right)
	return left, right, err
}
