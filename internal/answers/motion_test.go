package answers_test

import (
	"context"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"gonum.org/v1/gonum/spatial/r3"
)

// A ride is what an invented camera system sees of a leg that pedals.
type ride struct {
	side                     contact.Side
	frames                   int
	rate, cadence            float64 // frames per second, turns per minute
	start                    float64 // crank angle of the first frame
	noise, drop              float64 // mm in every coordinate, share of samples that are not seen
	knee, forward, sinking   float64 // how far the knee swings out, and the drift of the pelvis, mm per minute
	length, stack, knee0     float64 // crank, sole above the spindle, and how far out the knee is
	thigh, shank, hipX, hipZ float64
}

func (d dice) ride() ride {
	return ride{
		side: pick(d, contact.Left, contact.Right), frames: 60 + d.IntN(400), rate: pick(d, 50.0, 100, 200), cadence: d.in(50, 110), start: d.in(0, 360),
		noise: pick(d, 0, 0.3, 1.5), drop: pick(d, 0, 0, 0.02, 0.2), knee: d.in(-20, 20), forward: d.in(-10, 10), sinking: d.in(-10, 10),
		length: d.in(160, 180), stack: d.in(10, 30), knee0: d.in(-10, 40), thigh: d.in(390, 450), shank: d.in(390, 440), hipX: d.in(-180, -100), hipZ: d.in(700, 750),
	}
}

// record is a ride seen by cameras: a knee that is bent between a hip that stays and
// an ankle that goes round with the pedal.
func (d dice) record(r ride) motion.Recording {
	m := motion.Recording{Side: r.side}
	out := 1.
	if r.side == contact.Right {
		out = -1
	}
	see := func(to *[]motion.Sample, at r3.Vec) {
		s := motion.Sample{At: r3.Add(at, d.about(r.noise)), Seen: d.Float64() >= r.drop}
		if !s.Seen {
			s.At = r3.Vec{X: math.NaN()} // nobody looks there
		}
		*to = append(*to, s)
	}
	for i := range r.frames {
		at := float64(i) / r.rate
		m.Times = append(m.Times, at)
		crank := r.start + at*r.cadence*6
		sin, cos := degrees(crank)
		pedal := r3.Vec{X: r.length * sin, Y: out * 150, Z: r.length * cos}
		down, level := degrees(-20 + 8*sin)
		ankle := r3.Vec{X: pedal.X - 120*level, Y: out * 120, Z: pedal.Z + r.stack + 70 - 120*down}
		hip := r3.Vec{X: r.hipX, Y: out * 100, Z: r.hipZ}
		line := r3.Vec{X: ankle.X - hip.X, Z: ankle.Z - hip.Z}
		far := r3.Norm(line)
		along := (far*far + r.thigh*r.thigh - r.shank*r.shank) / (2 * far)
		aside := math.Sqrt(max(0, r.thigh*r.thigh-along*along))
		u := r3.Scale(1/far, line)
		knee := r3.Add(hip, r3.Add(r3.Scale(along, u), r3.Scale(aside, r3.Vec{X: -u.Z, Z: u.X})))
		knee.Y = out * (120 + r.knee0 + r.knee*sin)
		see(&m.Pedal, pedal)
		see(&m.Toe, r3.Add(ankle, r3.Vec{X: 120 * level, Z: 120*down - 60}))
		see(&m.Heel, r3.Add(ankle, r3.Vec{X: -40 * level, Z: -40*down - 60}))
		see(&m.Ankle, ankle)
		see(&m.Knee, knee)
		see(&m.Hip, hip)
		see(&m.Shoulder, r3.Vec{X: 150, Y: out * 180, Z: 1150})
		see(&m.Pelvis, r3.Vec{X: hip.X - 60 + r.forward*at/60, Y: out * 90, Z: hip.Z + 120 - r.sinking*at/60})
	}
	if d.one(8) {
		m.Shoulder, m.Pelvis = nil, nil
	}
	if d.one(8) {
		m.Heel = nil
	}
	return m
}

// spoilRecording makes something of a recording bad.
func (d dice) spoilRecording(m *motion.Recording) {
	i := d.IntN(len(m.Times))
	switch d.IntN(8) {
	case 0:
		m.Side = pick(d, contact.Centre, 9)
	case 1:
		m.Times[i] = d.bad(m.Times[i])
	case 2:
		m.Knee[i] = motion.Sample{At: r3.Vec{X: d.bad(300)}, Seen: true}
	case 3:
		m.Hip = m.Hip[:i]
	case 4:
		m.Pedal = nil
	case 5: // it turns backwards
		for k := range m.Pedal {
			m.Pedal[k].At.X *= -1
		}
	case 6:
		m.Ankle = slices.Clone(m.Knee)
	default: // less than a revolution
		*m = motion.Recording{Side: m.Side, Times: m.Times[:10], Pedal: m.Pedal[:10]}
	}
}

// askMotion analyses a random recording, and asks for angles at random points.
// One in seven is spoiled.
func askMotion(o *out, d dice, _ int) {
	for i := range 4 {
		o.angles(d, fmt.Sprintf("angle%d", i))
	}
	rec := d.record(d.ride())
	if d.one(7) {
		d.spoilRecording(&rec)
	}
	o.judged("sound", rec.Validate())
	m, err := rec.Analyse(context.Background(), pick(d, motion.InSpace, motion.FromSide, motion.View(d.IntN(3))))
	if o.failed("analyse", err) {
		return
	}
	for i, r := range m.Revolutions() {
		o.floats(fmt.Sprintf("turn%d", i), r.Start, r.End, r.CrankAngle, r.Cadence())
	}
	for _, of := range riderMeasures() {
		o.summary(fmt.Sprintf("span.%d", int(of)-1), m, of)
		s, err := m.At(context.Background(), of, pick(d, d.in(0, 360), 0, 180, d.bad(90)))
		key := fmt.Sprintf("at.%d", int(of)-1)
		if !o.failed(key, err) {
			o.stat(key, s)
		}
	}
	drift, err := m.PelvisDrift(context.Background())
	if o.failed("drift", err) {
		return
	}
	for _, e := range drift.Each {
		o.vec(fmt.Sprintf("drift.%d", e.Revolution), e.By)
	}
	o.vec("drift.mean", drift.Mean)
	o.vec("drift.spread", drift.Spread)
	o.vec("drift.per_minute", drift.PerMinute)
}

func (o *out) stat(key string, s motion.Stat) {
	o.floats(key, s.Mean, s.Spread)
	o.ints(key+".count", s.Count)
}

func (o *out) summary(key string, m motion.Motion, of rider.Variable) {
	s, err := m.Span(context.Background(), of)
	if o.failed(key, err) {
		return
	}
	for _, e := range s.Each {
		at := fmt.Sprintf("%s.each%d", key, e.Revolution)
		o.span(at, e.Span)
		o.floats(at+".mean", e.Mean)
	}
	o.stat(key+".least", s.Least)
	o.stat(key+".most", s.Most)
	o.stat(key+".range", s.Range)
	o.stat(key+".mean", s.Mean)
	by, sigma, ok := s.Most.Sub(s.Least)
	o.flags(key+".sub", ok)
	if ok {
		o.floats(key+".by", by, sigma)
	}
}

// angles prints the angle at a random joint, in both habits.
func (o *out) angles(d dice, key string) {
	from, joint, to := d.about(400), d.about(100), d.about(400)
	if d.one(5) {
		d.spoil(vecFields(&from))
	}
	if d.one(12) {
		to = joint
	}
	view := pick(d, motion.InSpace, motion.FromSide, motion.View(d.IntN(3)))
	v, err := motion.IncludedAngle(from, joint, to, view)
	o.value(key, v, err)
	v, err = motion.FlexionAngle(from, joint, to, view)
	o.value(key+".flexion", v, err)
	v, err = motion.AngleSigma(from, joint, to, d.wild(0.1, 20), view)
	o.value(key+".sigma", v, err)
}
