package answers_test

import (
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"gonum.org/v1/gonum/spatial/r3"
)

// ankle draws an ankle that stays as it is, or works over the crank circle.
func (d dice) ankle() rider.Ankle {
	mean, swing, phase := d.in(-25, 0), d.in(0, 15), d.in(0, 2*math.Pi)
	profile := make([]float64, pick(d, 1, 1, 2, 5, 12, 36))
	for i := range profile {
		at := 2 * math.Pi * float64(i) / float64(len(profile))
		profile[i] = mean + float64(swing*math.Sin(at+phase)) + float64(0.2*swing*math.Sin(2*at))
	}
	return rider.Ankle{Given: pick(d, rider.SolePitch, rider.SolePitch, rider.Dorsiflexion), Profile: profile}
}

// body draws a body and a position for it. Most legs reach all the way; some bodies
// have one leg or no upper body.
func (d dice) body() (rider.Body, contact.Position) {
	leg := rider.Leg{Thigh: d.in(350, 480), Shank: d.in(350, 480), AnkleHeight: d.in(50, 110), AnkleBehind: d.in(60, 160), Ankle: d.ankle()}
	b := rider.Body{Left: leg, Right: leg, HipForward: d.in(-50, 70), HipUp: d.in(50, 120)}
	if d.one(2) {
		b.Right.Thigh -= d.in(0, 12)
		b.Right.Ankle = d.ankle()
	}
	crank, stack := d.in(150, 185), d.in(5, 40)
	reach := leg.Thigh + leg.Shank + leg.AnkleHeight + stack - crank
	far, lean := reach*pick(d, d.in(0.88, 0.95), d.in(0.88, 0.95), d.in(0.7, 1.1)), d.in(5, 25)
	sin, cos := degrees(lean)
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -far*sin - b.HipForward, Z: far*cos - b.HipUp},
		contact.FootLeft:        {X: crank, Y: 120, Z: stack},
		contact.FootRight:       {X: crank, Y: -120, Z: stack + d.in(-3, 3)},
	})
	ref, _ := p.At(contact.SaddleReference)
	p.Set(contact.SaddleNose, r3.Add(ref, r3.Vec{X: 140, Z: 2}))
	p.Set(contact.SaddleRear, r3.Add(ref, r3.Vec{X: -130, Z: 5}))
	switch d.IntN(6) {
	case 0:
		b.Left = rider.Leg{}
	case 1:
		b.Right = rider.Leg{}
	}
	grip := pick(d, contact.HoodsLeft, contact.GripLeft, contact.PadLeft)
	for _, s := range []contact.Site{grip, grip.On(contact.Right)} {
		v := r3.Add(ref, r3.Vec{X: d.in(650, 780), Y: 200, Z: d.in(-90, 20)})
		if s.Side() == contact.Right {
			v.Y = -v.Y
		}
		if !d.one(6) {
			p.Set(s, v)
		}
	}
	if !d.one(4) {
		b.Upper = rider.Upper{
			Trunk: d.in(450, 560), UpperArm: d.in(280, 350), Forearm: d.in(230, 290), WristBack: d.maybe(10, 60), WristUp: d.maybe(10, 60),
			Grip: pick(d, grip, grip.On(contact.Right)), Keep: rider.KeepElbow, Angle: d.in(0, 60),
		}
		if d.one(2) {
			b.Upper.Keep, b.Upper.Angle = rider.KeepTrunk, d.in(25, 60)
		}
	}
	return b, p
}

// spoilBody makes something of a body bad.
func (d dice) spoilBody(b *rider.Body) {
	u := &b.Upper
	l := &b.Left
	switch d.IntN(7) {
	case 0:
		d.spoil([]*float64{&b.HipForward, &b.HipUp})
	case 1:
		d.spoil([]*float64{&u.Trunk, &u.UpperArm, &u.Forearm, &u.WristBack, &u.WristUp, &u.Angle})
	case 2:
		u.Grip, u.Keep = pick(d, contact.SaddleNose, 99), rider.UpperAngle(d.IntN(4))
	case 3:
		l.Ankle.Profile = slices.Clone(l.Ankle.Profile)
		if len(l.Ankle.Profile) > 0 {
			l.Ankle.Profile[0] = d.bad(40)
		}
	case 4:
		l.Ankle = pick(d, rider.Ankle{}, rider.Ankle{Given: 5, Profile: []float64{0}})
	default:
		d.spoil([]*float64{&l.Thigh, &l.Shank, &l.AnkleHeight, &l.AnkleBehind})
	}
}

// riderMeasures is every measure, and one that is none.
func riderMeasures() []rider.Variable {
	var all []rider.Variable
	for m := rider.KneeFlexion; m <= rider.ElbowFlexion+1; m++ {
		all = append(all, m)
	}
	return all
}

// askBody closes a random body over a random position and asks for postures,
// strokes, spans and the inverses, for what a change does, for values to start
// from and for lengths of tables. One in seven is spoiled, in body or position.
func askBody(o *out, d dice, _ int) {
	b, p := d.body()
	if d.one(7) {
		if d.one(3) {
			d.spoilPosition(&p)
		} else {
			d.spoilBody(&b)
		}
	}
	o.judged("sound", b.Validate())
	c, err := rider.NewChain(b, p)
	if !o.failed("chain", err) {
		o.chain(d, c)
	}
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		o.inverse(d, fmt.Sprintf("%d", int(side)), b, p, side)
	}
	q := p
	for s, v := range p.All() {
		if d.one(2) && s.Side() != contact.Right {
			by := r3.Vec{X: d.in(-15, 15), Z: d.in(-15, 15)}
			q.Set(s, r3.Add(v, by))
		}
	}
	changes, err := b.Compare(p, q)
	if !o.failed("compare", err) {
		for _, k := range changes {
			key := fmt.Sprintf("compare.%d.%d", int(k.Variable)-1, int(k.Side))
			o.span(key+".before", k.Before)
			o.span(key+".after", k.After)
		}
	}
	o.starts(d)
}

func (o *out) posture(key string, s rider.Posture) {
	o.vec(key+".hip", s.Hip)
	o.vec(key+".knee", s.Knee)
	o.vec(key+".ankle", s.Ankle)
	o.vec(key+".pedal", s.Pedal)
	o.floats(key+".angles", s.CrankAngle, s.KneeFlexion, s.AnkleDorsiflexion, s.HipFlexion, s.ThighPitch, s.SolePitch)
	o.floats(key+".gap", s.Gap)
	o.flags(key+".hip_known", s.HipKnown)
}

func (o *out) span(key string, s rider.Span) {
	o.floats(key, s.Least, s.Most, s.Range())
	o.floats(key+".where", s.LeastAt, s.MostAt)
	o.floats(key+".gap", s.Gap, s.GapAt)
}

// chain prints postures and spans of a chain.
func (o *out) chain(d dice, c rider.Chain) {
	for side := contact.Centre; side <= contact.Right; side++ {
		at := fmt.Sprintf("%d", int(side))
		s, err := c.At(side, pick(d, d.in(0, 360), 0, 90, 720, d.bad(100)))
		if !o.failed("at."+at, err) {
			o.posture("at."+at, s)
		}
		s, err = c.FarEnd(side)
		if !o.failed("far."+at, err) {
			o.posture("far."+at, s)
		}
		for _, m := range riderMeasures() {
			if s, err := c.Span(m, side); err == nil {
				o.span(fmt.Sprintf("span.%d.%s", int(m)-1, at), s)
			}
		}
		stroke := make([]rider.Posture, 8)
		if !o.failed("stroke."+at, c.Stroke(side, stroke)) {
			for i, s := range stroke {
				o.floats(fmt.Sprintf("stroke.%s.%d", at, i), s.CrankAngle, s.KneeFlexion, s.AnkleDorsiflexion, s.HipFlexion, s.Knee.X, s.Knee.Z, s.Gap)
			}
		}
	}
	if u, ok := c.Upper(); ok {
		o.vec("upper.shoulder", u.Shoulder)
		o.vec("upper.elbow", u.Elbow)
		o.vec("upper.wrist", u.Wrist)
		o.vec("upper.hip", u.Hip)
		o.floats("upper.angles", u.TrunkLean, u.ShoulderFlexion, u.ElbowFlexion, u.Gap)
	}
}

// inverse prints where the saddle goes, or how long the crank is, for a flexion.
func (o *out) inverse(d dice, key string, b rider.Body, p contact.Position, side contact.Side) {
	by, after, err := b.RaiseSaddle(p, side, d.wild(15, 60), d.wild(66, 92))
	if !o.failed("raise."+key, err) {
		o.floats("raise."+key, by)
		o.difference("raise."+key+".moved", after.Sub(p))
	}
	length, after, err := b.CrankLength(p, side, d.wild(25, 60))
	if !o.failed("crank."+key, err) {
		o.floats("crank."+key, length)
		o.difference("crank."+key+".moved", after.Sub(p))
	}
}

// starts prints values to start from, and lengths by stature.
func (o *out) starts(d dice) {
	inseam, crank := d.wild(700, 950), d.wild(150, 190)
	a, err := rider.StartByInseam109(inseam)
	o.value("inseam109", a.Height, err)
	b, err := rider.StartByInseam883(inseam)
	o.value("inseam883", b.Height, err)
	c, err := rider.StartByLeastFlexion(inseam, d.wild(65, 85), d.wild(10, 60))
	o.value("least", c.Height, err)
	e, err := rider.StartByMostFlexion(inseam, d.wild(65, 85), d.wild(80, 140))
	o.value("most", e.Height, err)
	f, err := rider.SaddleToPedal{Height: d.in(800, 1000)}.ToBottomBracket(crank)
	o.value("bracket", f.Height, err)
	g, err := rider.SaddleToBottomBracket{Height: d.in(650, 800)}.ToPedal(crank)
	o.value("pedal", g.Height, err)
	stature := d.wild(1500, 2000)
	for s := rider.Thigh; s <= rider.Forearm+1; s++ {
		t := pick(d, rider.DrillisContini, rider.ANSURMen, rider.ANSURWomen, rider.Table(d.IntN(6)))
		v, err := t.Length(s, stature)
		o.value(fmt.Sprintf("table.%d.%d", int(t), int(s)-1), v, err)
	}
}
