package survey

import (
	"math"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// Marks on both sides of the seat tube, near its two ends, midway between which its axis
// passes. With them a survey tells the seat angle.
var (
	SeatTubeTopLeft     = Mark("seat_tube_top_left")
	SeatTubeTopRight    = Mark("seat_tube_top_right")
	SeatTubeBottomLeft  = Mark("seat_tube_bottom_left")
	SeatTubeBottomRight = Mark("seat_tube_bottom_right")
)

// The numbers of a side view.
const (
	sideStack = iota
	sideReach
	sideHead
	sideSeat
	sideSeatOffset
	sideRear
	sideDrop
	sideOffset
	sideFront
	sideRearRadius
	sideNumbers
)

// A SideView is what a survey tells of the frame itself, from the same readings as the
// contact points. Package chart has the names, and what follows: chart.FromSurvey.
type SideView struct {
	// Numbers holds stack, reach, head angle, seat angle, seat offset, horizontal distance
	// back to the rear axle, bottom bracket drop, fork offset, front radius and rear
	// radius, in mm and degrees. Stack and reach are of the point of the steering axis
	// beside HeadTubeTopLeft and HeadTubeTopRight: of the head tube's top if they were read
	// there.
	Numbers [sideNumbers]float64
	// Seat says that the seat tube was read; the seat's numbers are 0 otherwise. Radii that
	// the survey does not state are 0.
	Seat bool
	// Covariance is the covariance of Numbers, to first order.
	Covariance [sideNumbers][sideNumbers]float64
	// With is the covariance of Numbers with each coordinate of Fix.Position, in the order
	// of Fix.Covariance.Coordinates.
	With [][sideNumbers]float64
}

// SideView returns what the survey tells of the frame; false if both ends of the head tube
// were not read, or if the fix comes from [Fix.Locate]. A tape survey must tell both axles
// too; of each pair of landmarks one will do. It tells the radii if it has the ground.
func (f Fix) SideView() (SideView, bool) {
	if f.taped != nil {
		return f.taped.sideView()
	}
	if f.side == nil || !f.datum.head {
		return SideView{}, false
	}
	return f.datum.sideView(f.side, f.rows), true
}

// A sideSource is what a side view is computed from, beside the datum and the rows of the
// coordinates.
type sideSource struct {
	points
	front, rear, sigma float64 // the radii and their uncertainty, mm
}

// sideView computes the side view, with the rows of the coordinates of the fix.
func (d *datum) sideView(s *sideSource, points []row) (v SideView) {
	p := &s.points
	var rows [sideNumbers]row
	top, topRows := d.headTop(p)
	rear, rearRows := d.midRows(p, &d.pairs[rearAxle])
	v.Numbers = [sideNumbers]float64{
		sideStack: top.Z, sideReach: top.X, sideHead: d.angle / num.Rad, sideRear: 0 - rear.X, sideDrop: rear.Z, sideOffset: d.offset,
		sideFront: s.front, sideRearRadius: s.rear,
	}
	rows[sideReach], rows[sideStack] = topRows[0], topRows[1]
	rows[sideRear], rows[sideDrop] = rearRows[0].plus(-1, row{}, 0), rearRows[2]
	rows[sideHead].by[angle], rows[sideOffset].by[offset] = 1/num.Rad, 1
	upper := placedPair{left: p.index(SeatTubeTopLeft), right: p.index(SeatTubeTopRight)}
	lower := placedPair{left: p.index(SeatTubeBottomLeft), right: p.index(SeatTubeBottomRight)}
	if min(upper.left, upper.right, lower.left, lower.right) >= 0 {
		v.Seat = d.seatTube(p, [2]*placedPair{&upper, &lower}, &v, &rows)
	}
	for i := range rows {
		d.finish(&rows[i])
	}
	v.covary(d, s, &rows, points)
	return v
}

// covary computes the covariances of a side view whose rows are finished. Radii are no
// rows: they act by the condition of level, which a larger front radius makes smaller.
func (v *SideView) covary(d *datum, s *sideSource, rows *[sideNumbers]row, points []row) {
	square := s.sigma * s.sigma
	sign := [sideNumbers]float64{sideFront: -square, sideRearRadius: square}
	byRadius := func(r *row) (sum float64) {
		for j := range fitted {
			sum += r.by[j] * d.levelGain[j]
		}
		return sum
	}
	of := func(r *row) (all [sideNumbers]float64) {
		against := d.against(r)
		for i := range rows {
			if i == sideFront || i == sideRearRadius {
				all[i] = sign[i] * byRadius(r)
			} else {
				all[i] = d.covary(&rows[i], r, &against)
			}
		}
		return all
	}
	for i := range rows {
		v.Covariance[i] = of(&rows[i])
	}
	for i := sideFront; i < sideNumbers; i++ {
		for j := range rows {
			v.Covariance[i][j] = v.Covariance[j][i]
		}
	}
	for i := sideFront; i < sideNumbers; i++ {
		for j := sideFront; j < sideNumbers; j++ {
			v.Covariance[i][j] = 0
		}
		if s.front != 0 {
			v.Covariance[i][i] = square
		}
	}
	v.With = make([][sideNumbers]float64, len(points))
	for k := range points {
		v.With[k] = of(&points[k])
	}
}

// headTop returns the point of the steering axis that is nearest to the middle of the
// head tube's top, and the rows of its X and Z.
func (d *datum) headTop(p *points) (r3.Vec, [2]row) {
	top, rows := d.midRows(p, &d.pairs[d.top])
	axle, more := d.midRows(p, &d.pairs[frontAxle])
	from := r3.Sub(top, axle)
	off := r3.Dot(d.out, from) + d.offset // in front of the axis
	x, z := d.out.X, d.out.Z
	turned := r3.Dot(d.along, from)
	away := rows[0].plus(x, rows[2], z).plus(1, more[0].plus(x, more[2], z), -1)
	away.by[offset]++
	away.by[angle] -= turned
	on := [2]row{rows[0].plus(1, away, -x), rows[2].plus(1, away, -z)}
	on[0].by[angle] += off * d.along.X
	on[1].by[angle] += off * d.along.Z
	return r3.Sub(top, r3.Scale(off, d.out)), on
}

// midRows returns the point midway between the landmarks of a pair, with the wheel
// straight, and the rows of its coordinates.
func (d *datum) midRows(p *points, k *placedPair) (r3.Vec, [3]row) {
	a, rows := d.rowsOf(p, k.left, k.steers)
	b, more := d.rowsOf(p, k.right, k.steers)
	for k := range rows {
		rows[k] = rows[k].plus(0.5, more[k], 0.5)
	}
	return half(r3.Add(a, b)), rows
}

// seatTube adds the direction of the seat tube and how far in front of the bottom bracket
// it passes; false if its ends are not one above the other.
func (d *datum) seatTube(p *points, ends [2]*placedPair, v *SideView, rows *[sideNumbers]row) bool {
	a, high := d.midRows(p, ends[0])
	b, low := d.midRows(p, ends[1])
	x, z := a.X-b.X, a.Z-b.Z
	square := x*x + z*z
	if z <= 0 || square < 100*100 {
		return false
	}
	tilt := math.Atan2(z, -x)
	sin, cos := math.Sincos(tilt)
	v.Numbers[sideSeat], v.Numbers[sideSeatOffset] = tilt/num.Rad, b.X*sin+b.Z*cos
	turn := high[0].plus(z/square, high[2], -x/square).plus(1, low[0].plus(-z/square, low[2], x/square), 1)
	rows[sideSeat] = turn.plus(1/num.Rad, row{}, 0)
	rows[sideSeatOffset] = low[0].plus(sin, low[2], cos).plus(1, turn, b.X*cos-b.Z*sin)
	return true
}
