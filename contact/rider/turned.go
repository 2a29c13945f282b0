package rider

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// An OtherBike says how a rider goes to another kind of bike, such as from road to time trial: the
// body turns about the bottom bracket as one piece. The zero OtherBike changes nothing.
type OtherBike struct {
	// Turn is how far the body turns forward about the bottom bracket, -45 to 45 degrees: the saddle
	// comes forward and the hands go down.
	Turn float64
	// Arms is trunk and arms on the other bike, with their own grip, such as the extensions; the
	// elbow must be kept ([KeepElbow]). Zero: they are as they were.
	Arms Upper
	// ShoulderFlexion is that of Arms, 0 to 150 degrees. It does not count without Arms.
	ShoulderFlexion float64
	// Width is how far apart the hands are with Arms, 40 to 1000 mm, which changes no angle here. Zero:
	// as they were.
	Width float64
}

// A Turned is a rider on another kind of bike.
type Turned struct {
	// Position is where saddle and hands follow the body. Cranks and feet stay, and so do the hands'
	// other sites, which the other bike has elsewhere.
	Position contact.Position
	// Body is the rider as turned: with Arms, and the ankle's profile at later crank angles, by
	// OtherBike.Turn. A profile of several angles is sampled anew.
	Body Body
	// Kept compares the joints of the body, before and after. Angles of legs are as they were, and
	// so are those of shoulder and elbow unless Arms changes them. The trunk leans further by the
	// turn, and head and neck have to make up for it.
	Kept []Comparison
	// Sole compares them if the soles do not turn with the body but keep their slope, as
	// [SolePitch] has it: what then cannot be kept. Nil if the ankle's joint is given.
	Sole []Comparison
}

// OtherBike turns a rider about the bottom bracket with all joints as they are, and puts saddle and
// hands where the body then is. The hip keeps its place over the saddle, which stays level. It says
// what the joints do, and not whether the rider can ride so: handling, sight and race rules are
// other questions.
//
// Errors are those of [Body.Compare]; [contact.ErrMissing] for a body without trunk and arms;
// [contact.ErrRange] for the arguments, an ankle that would turn out of its range, and a position
// that would be out of bounds; [contact.ErrConflict] for arms that do not keep the elbow.
func (b Body) OtherBike(p contact.Position, o OtherBike) (Turned, error) {
	var f fault.List
	f.Range("turn_deg", o.Turn, -45, 45, "degrees")
	arms := o.Arms != Upper{}
	if arms {
		f.Range("shoulder_flexion_deg", o.ShoulderFlexion, 0, 150, "degrees")
		f.Optional("width_mm", o.Width, 40, 1000, "mm")
		if o.Arms.Keep != KeepElbow {
			f.Add("arms.keep", o.Arms.Keep.String(), KeepElbow.String(), contact.ErrConflict)
		}
	}
	c, err := NewChain(b, p)
	f.In("", err)
	if err == nil && !c.trunk {
		f.Add("body.upper", "", "trunk and arms", contact.ErrMissing)
	}
	if err := f.Err(); err != nil {
		return Turned{}, err
	}
	t := Turned{Position: p, Body: b}
	t.Body.Left.Ankle, t.Body.Right.Ankle = b.Left.Ankle.turned(o.Turn), b.Right.Ankle.turned(o.Turn)
	if b.Upper.Keep == KeepTrunk {
		t.Body.Upper.Angle -= o.Turn
	}
	about := func(v r3.Vec) r3.Vec { // as the side view turns
		sin, cos := num.Sincos(o.Turn)
		return r3.Vec{X: float64(v.X*cos) + float64(v.Z*sin), Y: v.Y, Z: float64(v.Z*cos) - float64(v.X*sin)}
	}
	hip, wrist := about(c.upper.Hip), about(c.upper.Wrist)
	for _, s := range [...]contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear} {
		if v, ok := p.At(s); ok {
			t.Position.Set(s, r3.Add(v, r3.Sub(hip, c.upper.Hip)))
		}
	}
	grip := b.Upper.Grip
	by := r3.Sub(wrist, c.upper.Wrist)
	if arms {
		t.Body.Upper, grip = o.Arms, o.Arms.Grip
		wrist = o.Arms.hang(hip, c.upper.TrunkLean-o.Turn, o.ShoulderFlexion)
	}
	for i, side := range [...]contact.Side{contact.Left, contact.Right} {
		v, ok := p.At(b.Upper.Grip.On(side))
		if !ok || grip.Side() == contact.Centre {
			continue
		}
		v = r3.Add(v, by)
		if arms {
			v.X, v.Z = wrist.X+o.Arms.WristBack, wrist.Z-o.Arms.WristUp
		}
		if arms && o.Width != 0 {
			v.Y = o.Width * (0.5 - float64(i))
		}
		t.Position.Set(grip.On(side), v)
	}
	f.In("after", t.Position.Validate())
	f.In("body", t.Body.Validate())
	if err := f.Err(); err != nil {
		return Turned{}, err
	}
	if t.Kept, err = compared(b, p, t.Body, t.Position); err != nil {
		return Turned{}, err
	}
	if b.Left.Ankle.Given == SolePitch || b.Right.Ankle.Given == SolePitch {
		still := t.Body
		still.Left.Ankle, still.Right.Ankle = b.Left.Ankle, b.Right.Ankle
		t.Sole, err = compared(b, p, still, t.Position)
	}
	return t, err
}

// turned is the ankle of a body that is turned forward about the bottom bracket.
func (a Ankle) turned(by float64) Ankle {
	profile := make([]float64, len(a.Profile))
	for i := range profile {
		at := num.Turn(360*float64(i)/float64(len(profile)) - by)
		profile[i] = cycle(a.Profile, at)
		if a.Given == SolePitch {
			profile[i] -= by
		}
	}
	if len(profile) == 0 {
		return a
	}
	return Ankle{Given: a.Given, Profile: profile}
}

// hang returns where the wrist is with a lean of the trunk and angles of shoulder and elbow.
func (u *Upper) hang(hip r3.Vec, lean, shoulder float64) r3.Vec {
	at := xz{hip.X, hip.Z}.plus(direction(lean).times(u.Trunk))
	arm := lean - 180 + shoulder
	at = at.plus(direction(arm).times(u.UpperArm)).plus(direction(arm + u.Angle).times(u.Forearm))
	return r3.Vec{X: at.x, Z: at.z}
}

// compared is Body.Compare of two bodies.
func compared(b Body, before contact.Position, c Body, after contact.Position) ([]Comparison, error) {
	all, err := b.Compare(before, before)
	if err != nil {
		return nil, err
	}
	then, err := c.Compare(after, after)
	if err != nil {
		return nil, err
	}
	for i := range all {
		all[i].After = then[i].After
	}
	return all, nil
}
