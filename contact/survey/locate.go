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

// A saddleLine is from the rear of a saddle to its front.
type saddleLine struct {
	r3.Vec
	front, rear [3]row
}

// line returns the line between two landmarks, if both were read.
func (l *locator) line(front, rear Landmark) (v saddleLine, ok bool) {
	i, j := l.p.index(front), l.p.index(rear)
	if i < 0 || j < 0 {
		return v, false
	}
	var to, from r3.Vec
	to, v.front = l.rowsOf(l.p, i, false)
	from, v.rear = l.rowsOf(l.p, j, false)
	v.Vec = r3.Sub(to, from)
	return v, true
}

// attitude adds the direction of a saddle whose ends or top were read.
func (l *locator) attitude(edgeL, edgeR int) {
	ends, ok := l.line(At(contact.SaddleNose), At(contact.SaddleRear))
	top, flat := l.line(SaddleTopFront, SaddleTopRear)
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
	// The angle of (x, z) changes by (x dz - z dx) / (x² + z²).
	slope := func(x, z float64, left, right *[3]row, i, k int) row {
		square := (x*x + z*z) * num.Rad
		return left[k].plus(x/square, right[k], -x/square).plus(1, left[i].plus(-z/square, right[i], z/square), 1)
	}
	l.add(contact.SaddleReference, contact.AxisTilt, slope(top.X, top.Z, &top.front, &top.rear, 0, 2))
	l.add(contact.SaddleReference, contact.AxisYaw, slope(ends.X, ends.Y, &ends.front, &ends.rear, 0, 1))
	if edgeL >= 0 && edgeR >= 0 {
		left, rowsL := l.rowsOf(l.p, edgeL, false)
		right, rowsR := l.rowsOf(l.p, edgeR, false)
		a.Roll = num.Atan2(left.Z-right.Z, left.Y-right.Y)
		l.add(contact.SaddleReference, contact.AxisRoll, slope(left.Y-right.Y, left.Z-right.Z, &rowsL, &rowsR, 1, 2))
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
	l.attitude(edgeL, edgeR)
	coords := l.coords
	if err := fix.judge(); err != nil {
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

// judge reports what the result shows to be wrong with the survey.
func (f *Fix) judge() error {
	var faults fault.List
	faults.In("position", f.Position.Validate())
	return faults.Err()
}
