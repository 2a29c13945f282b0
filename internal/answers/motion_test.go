package answers_test

import (
	"context"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
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
	m := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}}
	out := 1.
	if r.side == contact.Right {
		out = -1
	}
	see := func(to motion.Marker, at r3.Vec) {
		s := motion.Sample{At: r3.Add(at, d.about(r.noise)), Seen: d.Float64() >= r.drop}
		if !s.Seen {
			s.At = r3.Vec{X: math.NaN()} // nobody looks there
		}
		to = to.On(r.side)
		m.Markers[to] = append(m.Markers[to], s)
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
		see(motion.PedalLeft, pedal)
		see(motion.ToeLeft, r3.Add(ankle, r3.Vec{X: 120 * level, Z: 120*down - 60}))
		see(motion.HeelLeft, r3.Add(ankle, r3.Vec{X: -40 * level, Z: -40*down - 60}))
		see(motion.AnkleLeft, ankle)
		see(motion.KneeLeft, knee)
		see(motion.HipLeft, hip)
		see(motion.ShoulderLeft, r3.Vec{X: 150, Y: out * 180, Z: 1150})
		see(motion.Sacrum, r3.Vec{X: hip.X - 60 + r.forward*at/60, Y: out * 90, Z: hip.Z + 120 - r.sinking*at/60})
	}
	if d.one(8) {
		delete(m.Markers, motion.ShoulderLeft.On(r.side))
		delete(m.Markers, motion.Sacrum)
	}
	if d.one(8) {
		delete(m.Markers, motion.HeelLeft.On(r.side))
	}
	if d.one(8) {
		m.Flat = true
	}
	return m
}

// spoilRecording makes something of a recording bad, or plants what is to be found.
func (d dice) spoilRecording(m *motion.Recording, side contact.Side) {
	i := d.IntN(len(m.Times))
	of := func(k motion.Marker) []motion.Sample { return m.Markers[k.On(side)] }
	switch d.IntN(9) {
	case 0:
		m.Markers[99] = nil
	case 1:
		m.Times[i] = d.bad(m.Times[i])
	case 2:
		of(motion.KneeLeft)[i] = motion.Sample{At: r3.Vec{X: d.bad(300)}, Seen: true}
	case 3:
		m.Markers[motion.HipLeft.On(side)] = of(motion.HipLeft)[:i]
	case 4:
		delete(m.Markers, motion.PedalLeft.On(side))
	case 5: // it turns backwards
		for k := range of(motion.PedalLeft) {
			of(motion.PedalLeft)[k].At.X *= -1
		}
	case 6:
		m.Markers[motion.AnkleLeft.On(side)] = slices.Clone(of(motion.KneeLeft))
	case 7: // exchanged for a while
		for k := i; k < min(i+25, len(m.Times)); k++ {
			of(motion.AnkleLeft)[k], of(motion.HeelLeft)[k] = of(motion.HeelLeft)[k], of(motion.AnkleLeft)[k]
		}
	default: // less than a revolution
		*m = motion.Recording{Times: m.Times[:10], Markers: map[motion.Marker][]motion.Sample{motion.PedalLeft: of(motion.PedalLeft)[:10]}}
	}
}

// askMotion analyses a random recording, and asks for angles at random points.
// One in seven is spoiled.
func askMotion(o *out, d dice, _ int) {
	for i := range 4 {
		o.angles(d, fmt.Sprintf("angle%d", i))
	}
	r := d.ride()
	rec := d.record(r)
	if d.one(7) && len(rec.Markers[motion.HeelLeft.On(r.side)]) > 0 {
		d.spoilRecording(&rec, r.side)
	}
	o.judged("sound", rec.Validate())
	settings := motion.Settings{View: pick(d, motion.InSpace, motion.FromSide, motion.View(d.IntN(3))), ByResiduals: d.one(4)}
	m, err := rec.Analyse(context.Background(), settings)
	if o.failed("analyse", err) {
		return
	}
	q := m.Quality()
	o.ints("revolutions", q.Revolutions, q.Partial, q.Lost)
	o.floats("cut_off", q.CutOff)
	for _, c := range q.Cranks {
		o.floats("crank", c.Centre.X, c.Centre.Z, c.Radius)
	}
	for i, f := range q.Findings {
		o.ints(fmt.Sprintf("found%d", i), int(f.Kind), f.From, f.To)
	}
	for i, r := range m.Revolutions() {
		o.floats(fmt.Sprintf("turn%d", i), r.Start, r.End, r.Cadence())
	}
	for _, of := range motion.Measures() {
		key := "curve." + of.String()
		c, err := m.Curve(context.Background(), of, r.side)
		if o.failed(key, err) {
			continue
		}
		o.ints(key+".used", c.Used...)
		low, high := c.Least(), c.Most()
		o.stat(key+".least", low.Stat)
		o.stat(key+".most", high.Stat)
		o.stat(key+".range", c.Range())
		o.stat(key+".mean", c.Mean())
		o.floats(key+".per_minute", c.PerMinute())
		s, err := c.At(pick(d, d.in(0, 360), 0, 180, d.bad(90)))
		if !o.failed(key+".at", err) {
			o.stat(key+".at", s)
		}
	}
}

func (o *out) stat(key string, s motion.Stat) {
	o.floats(key, s.Mean, s.Spread, s.Sigma)
	o.ints(key+".count", s.Count, s.Frames)
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
