package survey

import (
	"math"

	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A tapeSide is what the side view of a tape survey is computed from.
type tapeSide struct {
	p      *tapeProblem
	fit    *lsq.Fit
	loose  []bool
	slopes [][]float64 // of the coordinates of the position, by the unknowns
}

// A flat is a point in the side view, with the derivatives of its coordinates by the unknowns.
type flat struct {
	x, z     float64
	byX, byZ []float64
}

// middle returns the middle of a pair, or the one of the two that was read; false if none
// is known.
func (s *tapeSide) middle(left, right Landmark) (m flat, ok bool) {
	m.byX, m.byZ = make([]float64, len(s.fit.X)), make([]float64, len(s.fit.X))
	var read []int
	for i := range s.p.places {
		if l := s.p.places[i].landmark; (l == left || l == right) && !s.p.free(i, s.loose) {
			read = append(read, i)
		}
	}
	share := 1 / float64(len(read))
	for _, i := range read {
		at := &s.p.places[i].at
		m.x, m.z = m.x+share*s.p.at[i].X, m.z+share*s.p.at[i].Z
		m.byX[at[0]], m.byZ[at[2]] = share, share
	}
	return m, len(read) > 0
}

// sum returns the sum of rows times factors.
func sum(rows [][]float64, by ...float64) []float64 {
	all := make([]float64, len(rows[0]))
	for i, row := range rows {
		for j, v := range row {
			all[j] += by[i] * v
		}
	}
	return all
}

// axis returns the angle of the line from low up to high, in radians from the horizontal at
// the rear, and its derivatives.
func axis(high, low *flat) (angle float64, by []float64, ok bool) {
	x, z := high.x-low.x, high.z-low.z
	square := x*x + z*z
	if z <= 0 || square < 50*50 {
		return 0, nil, false
	}
	return math.Atan2(z, -x), sum([][]float64{high.byX, high.byZ, low.byX, low.byZ}, z/square, -x/square, -z/square, x/square), true
}

// ahead returns how far a point lies in front of a line through another one at an angle,
// square to the line, and its derivatives.
func ahead(p, on *flat, angle float64, byAngle []float64) (v float64, by []float64) {
	sin, cos := math.Sincos(angle)
	x, z := p.x-on.x, p.z-on.z
	return x*sin + z*cos, sum([][]float64{p.byX, p.byZ, on.byX, on.byZ, byAngle}, sin, cos, -sin, -cos, x*cos-z*sin)
}

// sideView computes the side view; false if head tube and axles are not known.
func (s tapeSide) sideView() (v SideView, ok bool) {
	p := *s.p // of its own, for calls at the same time
	p.at = make([]r3.Vec, len(p.places))
	p.place(s.fit.X)
	s.p = &p
	top, hasTop := s.middle(HeadTubeTopLeft, HeadTubeTopRight)
	bottom, hasBottom := s.middle(HeadTubeBottomLeft, HeadTubeBottomRight)
	front, hasFront := s.middle(FrontAxleLeft, FrontAxleRight)
	rear, hasRear := s.middle(RearAxleLeft, RearAxleRight)
	if !(hasTop && hasBottom && hasFront && hasRear) {
		return SideView{}, false
	}
	head, byHead, ok := axis(&top, &bottom)
	if !ok {
		return SideView{}, false
	}
	var rows [sideNumbers][]float64
	set := func(i int, value float64, by []float64) { v.Numbers[i], rows[i] = value, by }
	set(sideStack, top.z, top.byZ)
	set(sideReach, top.x, top.byX)
	set(sideHead, head/num.Rad, sum([][]float64{byHead}, 1/num.Rad))
	set(sideRear, 0-rear.x, sum([][]float64{rear.byX}, -1))
	set(sideDrop, rear.z, rear.byZ)
	offset, by := ahead(&front, &top, head, byHead)
	set(sideOffset, offset, by)
	if g := s.p.ground; g >= 0 && !s.loose[g] {
		up := make([]float64, len(s.fit.X))
		up[g] = 1
		set(sideFront, front.z-s.fit.X[g], sum([][]float64{front.byZ, up}, 1, -1))
		set(sideRearRadius, rear.z-s.fit.X[g], sum([][]float64{rear.byZ, up}, 1, -1))
	}
	upper, hasUpper := s.middle(SeatTubeTopLeft, SeatTubeTopRight)
	lower, hasLower := s.middle(SeatTubeBottomLeft, SeatTubeBottomRight)
	if hasUpper && hasLower {
		if seat, by, ok := axis(&upper, &lower); ok {
			origin := flat{byX: make([]float64, len(by)), byZ: make([]float64, len(by))}
			set(sideSeat, seat/num.Rad, sum([][]float64{by}, 1/num.Rad))
			offset, by := ahead(&lower, &origin, seat, by)
			set(sideSeatOffset, offset, by)
			v.Seat = true
		}
	}
	for i, a := range rows {
		for j, b := range rows {
			v.Covariance[i][j] = s.fit.Covariance(a, b)
		}
	}
	v.With = make([][sideNumbers]float64, len(s.slopes))
	for k, c := range s.slopes {
		for i, a := range rows {
			v.With[k][i] = s.fit.Covariance(a, c)
		}
	}
	return v, true
}
