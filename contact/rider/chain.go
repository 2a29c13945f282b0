package rider

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Posture is one leg at one crank angle. Its points are in the axes of package
// contact as seen from the side (Y is 0), in mm; its angles are in degrees.
type Posture struct {
	// CrankAngle is that of the leg's own crank: 0 at the top, 90 with the crank pointing
	// forward, 0 to below 360. The other leg's is 180 degrees on.
	CrankAngle float64
	// Hip, Knee and Ankle are the centres of the joints, Pedal that of the spindle.
	Hip, Knee, Ankle, Pedal r3.Vec
	// KneeFlexion is [KneeFlexion], AnkleDorsiflexion is [AnkleDorsiflexion].
	KneeFlexion, AnkleDorsiflexion float64
	// HipFlexion is [HipFlexion] if HipKnown; it needs a trunk.
	HipFlexion float64
	HipKnown   bool
	// ThighPitch is the slope of the thigh from hip to knee, SolePitch that of the
	// sole from heel to toe: positive up.
	ThighPitch, SolePitch float64
	// Gap is 0 where the leg reaches the pedal. Otherwise the joints come as close as
	// they can and Gap is the distance that is left, in mm: positive if the foot does not
	// reach the pedal, negative if even the folded leg is too long.
	Gap float64
}

// KneeOverSpindle returns how far a landmark of the knee lies in front of the pedal's
// spindle, mm; negative behind it. The landmark is so far in front of the knee's centre,
// square to the shank: 0 for the joint itself, some 40 to 60 mm for the front of the
// kneecap. People take it with the crank pointing forward. The landmark may be from -50 to
// 120 mm in front, or the error is [contact.ErrRange].
func (p Posture) KneeOverSpindle(landmark float64) (float64, error) {
	var f fault.List
	f.Range("landmark", landmark, -50, 120, "mm")
	if err := f.Err(); err != nil {
		return 0, err
	}
	shank := r3.Sub(p.Ankle, p.Knee)
	up := 0.0
	if length := math.Hypot(shank.X, shank.Z); length > 0 {
		up = -shank.Z / length
	}
	return p.Knee.X + float64(landmark*up) - p.Pedal.X, nil
}

// An UpperPosture is trunk and arms, as seen from the side like a [Posture].
type UpperPosture struct {
	// Hip, Shoulder, Elbow and Wrist are the centres of the joints.
	Hip, Shoulder, Elbow, Wrist r3.Vec
	// TrunkLean, ShoulderFlexion and ElbowFlexion are the [Variable] of the same name.
	TrunkLean, ShoulderFlexion, ElbowFlexion float64
	// Gap is 0 where the wrist reaches its place at the grip. Otherwise it is the
	// distance that is left with the angle that is kept, in mm: positive if trunk and arm
	// are too short, negative if they are too long.
	Gap float64
}

// A Chain is a body on the contact points of a bike: from the saddle through hip, knee,
// ankle and sole to the pedal, and from the hip through trunk and arm to the grip. It is
// made by [NewChain]; the zero Chain knows no leg. A Chain does not change, and copies
// may share it.
type Chain struct {
	legs  [3]leg // by contact.Side
	upper UpperPosture
	trunk bool
	arms  Upper
	grips []contact.Site // of which the middle counts
}

// NewChain puts a body on the contact points of a position.
//
// The position must know the saddle reference and, of each leg that the body has,
// FootLeft or FootRight, which hold the height of the sole above the pedal's spindle and,
// where the position does not know the pedal, the crank length; of an upper body, its grip
// on one side or both. Errors are [contact.ErrMissing] for what the position does not know,
// and those of [Body.Validate] and contact.Position.Validate. A body that does not reach is
// not an error: see Posture.Gap.
func NewChain(b Body, p contact.Position) (Chain, error) {
	var f fault.List
	f.In("body", b.Validate())
	f.In("position", p.Validate())
	c := b.on(&p, func(s contact.Site) { f.Add("position.sites."+s.String(), "", "its point", contact.ErrMissing) })
	if err := f.Err(); err != nil {
		return Chain{}, err
	}
	c.ready()
	return c, nil
}

// on puts what the position has the sites for of a body on them, and tells which it lacks.
func (b *Body) on(p *contact.Position, lacks func(contact.Site)) (c Chain) {
	need := func(s contact.Site) (r3.Vec, bool) {
		v, ok := p.At(s)
		if !ok {
			lacks(s)
		}
		return v, ok
	}
	saddle, seated := need(contact.SaddleReference)
	hip := r3.Vec{X: saddle.X + b.HipForward, Z: saddle.Z + b.HipUp}
	if u := &b.Upper; *u != (Upper{}) && u.Grip.Side() != contact.Centre {
		left, lok := p.At(u.Grip.On(contact.Left))
		right, rok := p.At(u.Grip.On(contact.Right))
		c.arms, c.grips = *u, []contact.Site{u.Grip.On(contact.Left)}
		switch {
		case lok && rok:
			left = r3.Scale(0.5, r3.Add(left, right))
			c.grips = append(c.grips, u.Grip.On(contact.Right))
		case rok:
			left, c.grips[0] = right, u.Grip.On(contact.Right)
		case !lok:
			lacks(u.Grip)
		}
		if c.trunk = seated && (lok || rok); c.trunk {
			c.upper = u.reach(hip, r3.Vec{X: left.X - u.WristBack, Z: left.Z + u.WristUp})
		}
	}
	for _, side := range b.sides() {
		l, _ := b.leg(side)
		foot, ok := need(contact.FootLeft.On(side))
		if !ok || !seated {
			continue
		}
		crank, crankAt := foot.X, contact.FootLeft.On(side)
		if pedal, ok := p.At(contact.PedalLeft.On(side)); ok {
			crank, crankAt = pedal.X, contact.PedalLeft.On(side)
		}
		c.legs[side] = leg{
			known: true, hip: hip, crank: crank, crankAt: crankAt, thigh: l.Thigh, shank: l.Shank,
			behind: l.AnkleBehind, above: foot.Z + l.AnkleHeight,
			given: l.Ankle.Given, profile: slices.Clone(l.Ankle.Profile),
			lean: c.upper.TrunkLean, trunk: c.trunk,
		}
	}
	return c
}

// armed reports whether the trunk leans as the arms want it.
func (c *Chain) armed() bool { return c.trunk && c.arms.Keep == KeepElbow }

// ready notes what the feet do of which the angle does not change.
func (c *Chain) ready() {
	for i := range c.legs {
		if l := &c.legs[i]; len(l.profile) == 1 {
			l.fixed = l.lower(0)
		}
	}
}

// At returns the posture of one leg at a crank angle in degrees, which is any
// finite number. Errors are [contact.ErrMissing] for a leg that the chain does
// not have, and [contact.ErrRange].
func (c Chain) At(side contact.Side, crankAngle float64) (Posture, error) {
	l, err := c.leg(side)
	if err != nil {
		return Posture{}, err
	}
	if !num.Finite(crankAngle) {
		var f fault.List
		f.Add("crank_angle_deg", num.Text(crankAngle, "degrees"), "a finite number", contact.ErrRange)
		return Posture{}, f.Err()
	}
	var p Posture
	l.pose(num.Turn(crankAngle), &p)
	return p, nil
}

// Stroke fills dst with the postures of one leg at crank angles that are evenly
// spaced over the revolution, the first at 0. It allocates nothing. The error
// is [contact.ErrMissing] for a leg that the chain does not have.
func (c Chain) Stroke(side contact.Side, dst []Posture) error {
	l, err := c.leg(side)
	if err != nil {
		return err
	}
	for i := range dst {
		l.pose(360*float64(i)/float64(len(dst)), &dst[i])
	}
	return nil
}

// FarEnd returns the posture of one leg at the far end of its stroke: where the
// knee is least flexed or, if the leg does not reach all the way, where it stays
// furthest from the pedal. The error is [contact.ErrMissing] for a leg that the
// chain does not have.
func (c Chain) FarEnd(side contact.Side) (Posture, error) {
	l, err := c.leg(side)
	if err != nil {
		return Posture{}, err
	}
	var p Posture
	at, _ := least(l.steps(), func(crank float64) float64 {
		l.pose(crank, &p)
		return p.KneeFlexion - p.Gap // one or the other changes
	})
	l.pose(at, &p)
	return p, nil
}

// Upper returns trunk and arms, and whether the body has them. They do not
// change over the stroke.
func (c Chain) Upper() (UpperPosture, bool) { return c.upper, c.trunk }

func (c *Chain) leg(side contact.Side) (*leg, error) {
	if side == contact.Left || side == contact.Right {
		if l := &c.legs[side]; l.known {
			return l, nil
		}
	}
	return nil, &contact.Error{Path: side.String(), Want: "a side on which the chain has a leg", Class: contact.ErrMissing}
}

// A leg is what is needed to pose one leg: validated, in the side view.
type leg struct {
	known         bool
	hip           r3.Vec
	crank         float64
	crankAt       contact.Site // whose X that is
	thigh, shank  float64
	behind, above float64 // the ankle, from the spindle, along and square to the sole
	given         AnkleAngle
	profile       []float64
	fixed         lower // if the profile has one angle
	lean          float64
	trunk         bool
}

// A lower is what the foot makes of the chain below the knee: one link from the
// knee to a target at a fixed place from the spindle. With the slope of the
// sole given, target and link are the ankle and the shank. With the ankle's
// joint given, shank and foot are one piece: the target is the spindle, and the
// link leads straight to it, turned forward of the shank by turn.
type lower struct {
	angle          float64 // what the profile says
	x, z           float64 // the target, from the spindle
	link           float64
	turn, sin, cos float64
}

// below is lower once the chain is ready.
func (l *leg) below(crank float64) *lower {
	if len(l.profile) == 1 {
		return &l.fixed
	}
	low := l.lower(crank)
	return &low
}

// lower returns the chain below the knee at a crank angle from 0 to below 360.
func (l *leg) lower(crank float64) lower {
	angle := cycle(l.profile, crank)
	sin, cos := math.Sincos(angle * num.Rad)
	x, z := -l.behind*cos-l.above*sin, l.above*cos-l.behind*sin
	if l.given == SolePitch {
		return lower{angle: angle, x: x, z: z, link: l.shank, cos: 1}
	}
	// With the shank vertical, the sole's slope is the dorsiflexion.
	z += l.shank
	link := math.Sqrt(x*x + z*z)
	return lower{angle: angle, link: link, turn: num.Atan2(-x, z), sin: -x / link, cos: z / link}
}

// pose fills in the posture at a crank angle from 0 to below 360.
func (l *leg) pose(crank float64, p *Posture) {
	low := l.below(crank)
	sin, cos := num.Sincos(crank)
	p.CrankAngle = crank
	p.Hip = l.hip
	p.Pedal = r3.Vec{X: l.crank * sin, Z: l.crank * cos}
	knee, end, bend, gap := fold(l.hip, r3.Vec{X: p.Pedal.X + low.x, Z: p.Pedal.Z + low.z}, l.thigh, low.link, forward)
	p.Knee, p.Gap = knee, gap
	p.KneeFlexion = bend + low.turn
	// The shank's direction is the link's, turned back.
	x, z := (end.X-knee.X)/low.link, (end.Z-knee.Z)/low.link
	p.Ankle = r3.Vec{
		X: knee.X + l.shank*(x*low.cos+z*low.sin),
		Z: knee.Z + l.shank*(z*low.cos-x*low.sin),
	}
	p.ThighPitch = num.Atan2(knee.Z-l.hip.Z, knee.X-l.hip.X)
	if p.ThighPitch > 135 { // a thigh points forward and down, and may turn away from that by half a turn both ways
		p.ThighPitch -= 360
	}
	if l.given == SolePitch {
		p.SolePitch = low.angle
		p.AnkleDorsiflexion = p.SolePitch - 90 - p.ThighPitch + p.KneeFlexion
	} else {
		p.AnkleDorsiflexion = low.angle
		p.SolePitch = p.AnkleDorsiflexion + 90 + p.ThighPitch - p.KneeFlexion
	}
	p.HipKnown = l.trunk
	p.HipFlexion = 0
	if l.trunk {
		p.HipFlexion = 180 - (l.lean - p.ThighPitch)
	}
}

// Which way a middle joint bends from the line between the ends: to the left or
// the right of it as seen with X to the right and Z up.
const (
	forward  = 1.  // of a line down: the knee
	backward = -1. // of a line forward: the elbow hangs
	upward   = 1.  // of a line forward: the shoulder
)

// fold closes two links of lengths a and b between two points, bent to one side.
// It returns the middle joint, where the second link ends, by how much the
// joint is bent in degrees, and how far the end stays from the target.
func fold(from, to r3.Vec, a, b, side float64) (mid, end r3.Vec, bend, gap float64) {
	x, z := to.X-from.X, to.Z-from.Z
	d := math.Sqrt(x*x + z*z)
	if d > 0 {
		x, z = x/d, z/d
	} else {
		x, z = 0, -1
	}
	// Heron: s·t = (2·d·height)², and (t − s)/2 = 2ab·cos(bend), precise at
	// both ends.
	s, t := (a+b-d)*(a+b+d), (d-a+b)*(d+a-b)
	var along, off float64
	switch {
	case s <= 0:
		gap, d, along = d-(a+b), a+b, a
	case t <= 0:
		gap, d, bend = d-math.Abs(a-b), math.Abs(a-b), 180
		along = math.Copysign(a, a-b)
	default:
		h := math.Sqrt(s * t)
		bend = num.Atan2(h, (t-s)/2)
		along, off = (d+(a-b)*(a+b)/d)/2, side*h/(2*d)
	}
	if math.Abs(gap) < 1e-9 { // rounding, of a limb that is just straight
		gap = 0
	}
	mid = r3.Vec{X: from.X + along*x - off*z, Z: from.Z + along*z + off*x}
	end = r3.Vec{X: from.X + d*x, Z: from.Z + d*z}
	return mid, end, bend, gap
}

// span is the distance that fold's links of lengths a and b bridge when bent.
func span(a, b, bend float64) float64 {
	_, cos := num.Sincos(bend)
	return math.Sqrt(a*a + b*b + 2*a*b*cos)
}

// reach poses trunk and arm between hip and wrist.
func (u *Upper) reach(hip, wrist r3.Vec) UpperPosture {
	p := UpperPosture{Hip: hip, ElbowFlexion: u.Angle, TrunkLean: u.Angle}
	if u.Keep == KeepElbow {
		var gap float64
		p.Shoulder, wrist, _, gap = fold(hip, wrist, u.Trunk, span(u.UpperArm, u.Forearm, u.Angle), upward)
		p.TrunkLean = num.Atan2(p.Shoulder.Z-hip.Z, p.Shoulder.X-hip.X)
		p.Elbow, p.Wrist, _, _ = fold(p.Shoulder, wrist, u.UpperArm, u.Forearm, backward)
		p.Gap = gap
	} else {
		sin, cos := num.Sincos(u.Angle)
		p.Shoulder = r3.Vec{X: hip.X + u.Trunk*cos, Z: hip.Z + u.Trunk*sin}
		p.Elbow, p.Wrist, p.ElbowFlexion, p.Gap = fold(p.Shoulder, wrist, u.UpperArm, u.Forearm, backward)
	}
	// From the arm hanging along the trunk.
	p.ShoulderFlexion = num.Atan2(p.Elbow.Z-p.Shoulder.Z, p.Elbow.X-p.Shoulder.X) - p.TrunkLean + 180
	if p.ShoulderFlexion > 180 {
		p.ShoulderFlexion -= 360
	}
	return p
}

// cycle returns the value of a profile at a crank angle from 0 to below 360.
func cycle(profile []float64, crank float64) float64 {
	n := len(profile)
	if n == 1 {
		return profile[0]
	}
	at := crank / 360 * float64(n)
	i := int(at)
	t := at - float64(i)
	i %= n
	p0, p1, p2, p3 := profile[(i+n-1)%n], profile[i], profile[(i+1)%n], profile[(i+2)%n]
	// Cubic Hermite with the slopes of Catmull and Rom, in differences so that
	// what is constant stays so exactly.
	d0, d1, d2 := p1-p0, p2-p1, p3-p2
	m1, m2 := (d0+d1)/2, (d1+d2)/2
	return p1 + t*(m1+t*(3*d1-2*m1-m2+t*(m1+m2-2*d1)))
}
