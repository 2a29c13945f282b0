package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/saddle"
	"gonum.org/v1/gonum/spatial/r3"
)

// A locator places landmarks in the bike's axes.
type locator struct {
	*datum
	p      *points
	own    bool
	fix    *Fix
	coords []contact.Coordinate
	faults fault.List
}

func (l *locator) add(s contact.Site, a contact.Axis, r row) {
	l.coords = append(l.coords, contact.Coordinate{Site: s, Axis: a})
	l.fix.rows = append(l.fix.rows, r)
	if l.own {
		l.finish(&l.fix.rows[len(l.fix.rows)-1])
	}
}

// sites adds every site that was read.
func (l *locator) sites(edgeL, edgeR int) {
	edges := edgeL >= 0 && edgeR >= 0
	for _, s := range contact.Sites() {
		if s.Group() == contact.OnFeet {
			continue
		}
		i := l.p.index(At(s))
		var at r3.Vec
		var rows [3]row
		switch {
		case i >= 0:
			at, rows = l.rowsOf(l.p, i, s.Group().FrontEnd())
		case s == contact.SaddleReference && edges:
			left, rowsL := l.rowsOf(l.p, edgeL, false)
			right, rowsR := l.rowsOf(l.p, edgeR, false)
			at = r3.Scale(0.5, r3.Add(left, right))
			for k := range rows {
				rows[k] = rowsL[k].plus(0.5, rowsR[k], 0.5)
			}
		default:
			continue
		}
		if s.Group() == contact.OnPedals {
			// A crank may be read at any angle; it is turned to point forward.
			length := math.Hypot(at.X, at.Z)
			rows[0] = rows[0].plus(at.X/length, rows[2], at.Z/length)
			rows[2] = row{}
			at = r3.Vec{X: length, Y: at.Y}
		}
		l.fix.Position.Set(s, at)
		for k := range rows {
			l.add(s, contact.Axis(k), rows[k])
		}
	}
}

var saddleTilt = contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt}

// A span is from one landmark to another.
type span struct {
	r3.Vec
	to, from [3]row
}

// line returns the line between two landmarks, which both turn with the front wheel or
// neither, if both were read.
func (l *locator) line(to, from Landmark, steers bool) (v span, ok bool) {
	i, j := l.p.index(to), l.p.index(from)
	if i < 0 || j < 0 {
		return v, false
	}
	var a, b r3.Vec
	a, v.to = l.rowsOf(l.p, i, steers)
	b, v.from = l.rowsOf(l.p, j, steers)
	v.Vec = r3.Sub(a, b)
	return v, true
}

// angle returns the row of the angle in which a line lies between two axes: that of (x, z)
// changes by (x dz - z dx) / (x² + z²).
func (v *span) angle(i, k contact.Axis) row {
	of := [...]float64{v.X, v.Y, v.Z}
	x, z := of[i], of[k]
	square := (x*x + z*z) * num.Rad
	return v.to[k].plus(x/square, v.from[k], -x/square).plus(1, v.to[i].plus(-z/square, v.from[i], z/square), 1)
}

// directions adds the directions of sites of the front end.
func (l *locator) directions() {
	for _, s := range contact.Sites() {
		if !pointed(s) {
			continue
		}
		ahead, ok := l.line(Ahead(s), At(s), true)
		outer, wide := l.line(Outer(s), At(s), true)
		if !ok || !wide && s.On(contact.Left) != contact.ExtensionLeft {
			continue
		}
		a := contact.Attitude{Tilt: num.Atan2(ahead.Z, ahead.X), Yaw: num.Atan2(ahead.Y, ahead.X)}
		if l.near(&ahead, Ahead(s)) || wide && l.near(&outer, Outer(s)) {
			continue
		}
		l.add(s, contact.AxisTilt, ahead.angle(contact.AxisX, contact.AxisZ))
		l.add(s, contact.AxisYaw, ahead.angle(contact.AxisX, contact.AxisY))
		if wide {
			left := outer
			if s.Side() == contact.Right {
				left.Vec, left.to, left.from = r3.Scale(-1, outer.Vec), outer.from, outer.to
			}
			a.Roll = num.Atan2(left.Z, left.Y)
			l.add(s, contact.AxisRoll, left.angle(contact.AxisY, contact.AxisZ))
		}
		l.fix.Position.SetAttitude(s, a)
	}
}

// near reports a line too short to have a direction.
func (l *locator) near(v *span, to Landmark) bool {
	const least = 10 // mm
	length := r3.Norm(v.Vec)
	if length < least {
		l.faults.Add("readings."+string(to), num.Text(length, "mm")+" from the site", "at least "+num.Text(least, "mm"), contact.ErrConflict)
	}
	return length < least
}

// attitude adds the direction of a saddle whose ends or top were read.
func (l *locator) attitude() {
	ends, ok := l.line(At(contact.SaddleNose), At(contact.SaddleRear), false)
	top, flat := l.line(SaddleTopFront, SaddleTopRear, false)
	if !ok && !flat {
		return
	}
	rise := 0.0 // of the line through nose and rear over the saddle's top, degrees
	switch {
	case !flat:
		rise, l.fix.droop = saddle.Rise(l.saddle, math.Hypot(ends.X, ends.Z))
		top = ends
	case !ok:
		ends = top
	}
	a := contact.Attitude{Tilt: num.Atan2(top.Z, top.X) - rise, Yaw: num.Atan2(ends.Y, ends.X)}
	l.add(contact.SaddleReference, contact.AxisTilt, top.angle(contact.AxisX, contact.AxisZ))
	l.add(contact.SaddleReference, contact.AxisYaw, ends.angle(contact.AxisX, contact.AxisY))
	if across, ok := l.line(SaddleEdgeLeft, SaddleEdgeRight, false); ok {
		a.Roll = num.Atan2(across.Z, across.Y)
		l.add(contact.SaddleReference, contact.AxisRoll, across.angle(contact.AxisY, contact.AxisZ))
	}
	l.fix.Position.SetAttitude(contact.SaddleReference, a)
}

// locate places every landmark in the bike's axes. The readings that the datum was made
// from have errors in common with it.
func (d *datum) locate(p *points, own bool) (Fix, error) {
	fix := Fix{Steer: d.steer / num.Rad, SteerSigma: math.Sqrt(d.cov[steer][steer]) / num.Rad, datum: d}
	most := 3*len(p.all) + 6 // of an axis each, and of the saddle's reference and direction
	l := locator{datum: d, p: p, own: own, fix: &fix, coords: make([]contact.Coordinate, 0, most)}
	fix.rows = make([]row, 0, most)
	edgeL, edgeR := p.index(SaddleEdgeLeft), p.index(SaddleEdgeRight)
	l.sites(edgeL, edgeR)
	l.attitude()
	l.directions()
	l.feet()
	coords := l.coords
	l.faults.In("position", fix.Position.Validate())
	if err := l.faults.Err(); err != nil {
		return Fix{}, err
	}

	var err error
	row, against := -1, numberVec{} // of the current row of the matrix
	fix.Covariance, err = contact.NewCovariance(coords, func(i, j int) float64 {
		if i != row {
			row, against = i, d.against(&fix.rows[i])
		}
		v := d.covary(&fix.rows[j], &fix.rows[i], &against)
		if i == j && coords[i] == saddleTilt {
			v += fix.droop * fix.droop
		}
		return v
	})
	if err != nil {
		return Fix{}, err
	}
	if fix.Position, fix.Covariance, err = d.saddle.Carry(fix.Position, fix.Covariance, contact.ReferenceWidth); err != nil {
		return Fix{}, err
	}
	if w := d.saddle.Width; w != 0 && w != contact.ReferenceWidth {
		fix.droop = 0 // the reference has moved with the tilt
	}
	fix.Ranges = fix.Covariance.Ranges(fix.Position)
	d.marks(&fix, p, own)
	return fix, nil
}

// marks adds the landmarks that are not contact sites.
func (d *datum) marks(fix *Fix, p *points, own bool) {
	fix.marks = make([]mark, 0, len(p.all))
	for i := range p.all {
		l := p.all[i].landmark
		if atSite[l] {
			continue
		}
		at, rows := d.rowsOf(p, i, turnsFront[l])
		m := mark{landmark: l, at: at}
		for k, to := range [3]*float64{&m.sigma.X, &m.sigma.Y, &m.sigma.Z} {
			if own {
				d.finish(&rows[k])
			}
			*to = d.sigma(&rows[k])
		}
		fix.marks = append(fix.marks, m)
	}
}
