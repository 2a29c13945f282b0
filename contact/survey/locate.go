package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
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

// saddleRows holds the rows of the saddle's reference, nose and rear.
type saddleRows map[contact.Site][3]row

// sites adds every site that was read and returns the rows of those of the saddle.
func (l *locator) sites(edgeL, edgeR int) saddleRows {
	edges := edgeL >= 0 && edgeR >= 0
	saddle := saddleRows{}
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
		if s.Group() == contact.OnSaddle {
			saddle[s] = rows
		}
	}
	return saddle
}

// attitude adds the direction of a saddle whose nose and rear were read.
func (l *locator) attitude(saddle saddleRows, edgeL, edgeR int) {
	nose, ok1 := l.fix.Position.At(contact.SaddleNose)
	rear, ok2 := l.fix.Position.At(contact.SaddleRear)
	if !ok1 || !ok2 {
		return
	}
	n, r := saddle[contact.SaddleNose], saddle[contact.SaddleRear]
	x, y, z := nose.X-rear.X, nose.Y-rear.Y, nose.Z-rear.Z
	a := contact.Attitude{Tilt: num.Atan2(z, x), Yaw: num.Atan2(y, x)}
	// The angle of (x, z) changes by (x dz - z dx) / (x² + z²).
	slope := func(x, z float64, left, right *[3]row, i, k int) row {
		square := (x*x + z*z) * num.Rad
		return left[k].plus(x/square, right[k], -x/square).plus(1, left[i].plus(-z/square, right[i], z/square), 1)
	}
	l.add(contact.SaddleReference, contact.AxisTilt, slope(x, z, &n, &r, 0, 2))
	l.add(contact.SaddleReference, contact.AxisYaw, slope(x, y, &n, &r, 0, 1))
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
	l.attitude(l.sites(edgeL, edgeR), edgeL, edgeR)
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
		return d.covary(&fix.rows[j], &fix.rows[i], &against)
	})
	if err != nil {
		return Fix{}, err
	}
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
