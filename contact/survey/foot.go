package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// feet adds the soles that were read, each with its pedal, as they are with the crank
// horizontal and pointing forward and the sole level lengthwise. In the readings crank and
// pedal are at any angle: the sole is tipped about the spindle until it is level.
func (l *locator) feet() {
	for i, s := range contact.FootLeft.Both() {
		pedal := At(contact.PedalLeft.Both()[i])
		ahead, ok := l.line(Ahead(s), At(s), false)
		outer, wide := l.line(Outer(s), At(s), false)
		foot, mounted := l.line(At(s), pedal, false)
		if !ok || !wide || !mounted {
			l.lacking(s, pedal)
			continue
		}
		if l.near(&ahead, Ahead(s)) || l.near(&outer, Outer(s)) {
			continue
		}
		tipped := ahead.angle(contact.AxisX, contact.AxisZ)
		long := math.Hypot(ahead.X, ahead.Z)
		level := func(v *span) span { return v.tipped(tipped, ahead.Z/long, ahead.X/long) }
		ahead, outer, foot = level(&ahead), level(&outer), level(&foot)

		crank, _ := l.fix.Position.At(contact.PedalLeft.Both()[i])
		forward, across := l.rowsAt(contact.PedalLeft.Both()[i])
		l.fix.Position.Set(s, r3.Add(crank, foot.Vec))
		l.add(s, contact.AxisX, foot.to[0].plus(1, forward, 1))
		l.add(s, contact.AxisY, foot.to[1].plus(1, across, 1))
		l.add(s, contact.AxisZ, foot.to[2])

		left := outer
		if s.Side() == contact.Right {
			left.Vec, left.to, left.from = r3.Scale(-1, outer.Vec), outer.from, outer.to
		}
		l.add(s, contact.AxisYaw, ahead.angle(contact.AxisX, contact.AxisY))
		l.add(s, contact.AxisRoll, left.angle(contact.AxisY, contact.AxisZ))
		l.fix.Position.SetAttitude(s, contact.Attitude{Yaw: num.Atan2(ahead.Y, ahead.X), Roll: num.Atan2(left.Z, left.Y)})
	}
}

// lacking reports what is missing of a sole of which something was read.
func (l *locator) lacking(s contact.Site, pedal Landmark) {
	all := [...]Landmark{At(s), Ahead(s), Outer(s), pedal}
	if l.p.index(all[0]) < 0 && l.p.index(all[1]) < 0 && l.p.index(all[2]) < 0 {
		return
	}
	for _, one := range all {
		if l.p.index(one) < 0 {
			l.faults.Add("readings."+string(one), "", "a reading, with which the sole can be placed", contact.ErrMissing)
		}
	}
}

// rowsAt returns the rows of a pedal that was added, forward and across.
func (l *locator) rowsAt(pedal contact.Site) (forward, across row) {
	for i, c := range l.coords {
		switch {
		case c.Site != pedal:
		case c.Axis == contact.AxisX:
			forward = l.fix.rows[i]
		case c.Axis == contact.AxisY:
			across = l.fix.rows[i]
		}
	}
	return forward, across
}

// tipped returns the line turned nose-down by an angle, of which it takes the row, the sine and
// the cosine.
func (v *span) tipped(by row, sin, cos float64) span {
	x, y, z := v.to[0].plus(1, v.from[0], -1), v.to[1].plus(1, v.from[1], -1), v.to[2].plus(1, v.from[2], -1)
	t := span{Vec: r3.Vec{X: cos*v.X + sin*v.Z, Y: v.Y, Z: cos*v.Z - sin*v.X}}
	t.to = [3]row{x.plus(cos, z, sin).plus(1, by, t.Z*num.Rad), y, z.plus(cos, x, -sin).plus(1, by, -t.X*num.Rad)}
	return t
}
