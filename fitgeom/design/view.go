package design

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// The numbers from which all others follow, with a position. Stack and reach are not among
// them: the parts carry them from the hands to the head tube.
const (
	vHead = iota
	vUp
	vOffset
	vFork
	vLower
	vDrop
	vChainstay
	vFront
	vRear
	vSeat
	vRail
	vSeatOffset
	vSeatTop
	vStem
	vStemAngle
	vAboveTop
	vSeatAbove
	freeCount
)

// A free is those numbers.
type free [freeCount]float64

// basis is what each of them is, and where it usually is (common practice, no source): what
// a design that leaves it free comes near to. A usual number of 0 with no weight is found
// by the wishes that there always are.
var basis = [freeCount]struct {
	is    number
	usual float64
}{
	vHead: {ofDimension(chart.HeadAngle), 72.5}, vUp: {ofSetting(StemUp), 25}, vOffset: {ofDimension(chart.ForkOffset), 45},
	vFork: {ofDimension(chart.AxleToCrown), 375}, vLower: {ofDimension(chart.LowerHeadset), 5}, vDrop: {ofDimension(chart.Drop), 70},
	vChainstay: {ofDimension(chart.Chainstay), 415}, vFront: {ofDimension(chart.FrontRadius), 340}, vRear: {ofDimension(chart.RearRadius), 340},
	vSeat: {ofDimension(chart.SeatAngle), 73.5}, vRail: {ofSetting(RailClamp), 130}, vSeatOffset: {ofDimension(chart.SeatOffset), 0},
	vSeatTop: {ofDimension(chart.SeatTubeTop), 520}, vStem: {ofSetting(StemLength), 100}, vStemAngle: {ofSetting(StemAngle), -6},
	vAboveTop: {ofSetting(HeadTubeAbove), 12}, vSeatAbove: {ofSetting(SeatTubeAbove), 35},
}

// freeOf is which of them a number is, plus one; 0 for those that follow.
var freeOf = func() (of [numberCount]int) {
	for i, b := range basis {
		of[b.is] = i + 1
	}
	return of
}()

// A space is a problem, prepared.
type space struct {
	p      Problem
	wishes []Wish
	clamp  r3.Vec // of the bar
	nose   r3.Vec // where the line of the rails begins
	lift   float64
	tilt   float64
	sinT   float64
	cosT   float64
	post   span // of the seatpost
	rails  span
	asked  []clearance.Quantity // that wishes name and that package clearance finds
	bike   clearance.Bike
}

// newSpace checks a problem and prepares it.
func newSpace(p *Problem) (*space, error) {
	var f fault.List
	s := &space{}
	s.clamp, s.nose = p.check(&f)
	if err := f.Err(); err != nil {
		return nil, err
	}
	s.p = p.filled()
	s.wishes = s.p.wishes()
	a, _ := p.Target.Attitude(contact.SaddleReference)
	s.tilt = a.Tilt
	s.sinT, s.cosT = num.Sincos(a.Tilt)
	stem := &p.Front.Stem
	s.lift = stem.Height / 2
	if stem.Quill != (part.Steps{}) {
		s.lift = p.Front.Quill
	}
	s.lift -= stem.Sag
	for _, w := range s.wishes {
		switch w.Subject {
		case Subject{Setting: SeatpostExtension}:
			s.post = span{w.From, w.To} // the part's own comes last
		case Subject{Setting: RailClamp}:
			s.rails = span{w.From, w.To}
		}
		switch q := w.Subject.Clearance; q {
		case 0, clearance.Standover, clearance.StandoverRoom:
		default:
			s.asked = append(s.asked, q)
		}
	}
	s.bike = clearance.Bike{Position: p.Target, Bulk: p.Bulk}
	s.bike.Bulk.TopTube = clearance.TopTube{}
	if err := s.lacks(); err != nil {
		return nil, err
	}
	return s, nil
}

// lacks reports a clearance that is wished for and that the position cannot tell.
func (s *space) lacks() error {
	var f fault.List
	b := s.bike
	b.Geometry = chart.Geometry{Stack: 560, Reach: 385, HeadAngle: 72, SeatAngle: 74, Axles: chart.Axles{
		Chainstay: 415, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340,
	}}
	for _, q := range s.asked {
		if _, ok, err := b.Least(q); err == nil && !ok {
			f.Add("target.sites."+contact.PedalLeft.String(), "", "what "+q.String()+" needs to be known", contact.ErrMissing)
		}
	}
	return f.Err()
}

// A view is a frame with its parts, and all numbers of it.
type view struct {
	g      chart.Geometry
	q      [numberCount]float64
	head   r3.Vec // where the axes of top tube and head tube cross
	seat   r3.Vec // … and of top tube and seat tube
	n      r3.Vec // square to the top tube, up
	bottom r3.Vec // of the head tube
}

// look finds all numbers; clearances only if they are asked for, since they take longest.
func (s *space) look(x *free, v *view, clearances bool) {
	q := &v.q
	for i, b := range basis {
		q[b.is] = x[i]
	}
	sinH, cosH := num.Sincos(x[vHead])
	sinA, cosA := num.Sincos(90 - x[vHead] + x[vStemAngle])
	up := s.lift + x[vUp]
	v.g = chart.Geometry{
		Reach: s.clamp.X - x[vStem]*cosA + up*cosH, Stack: s.clamp.Z - x[vStem]*sinA - up*sinH,
		HeadAngle: x[vHead], SeatAngle: x[vSeat], SeatOffset: x[vSeatOffset],
		Axles: chart.Axles{Chainstay: x[vChainstay], Drop: x[vDrop], ForkOffset: x[vOffset], FrontRadius: x[vFront], RearRadius: x[vRear]},
	}
	g := &v.g
	q[ofDimension(chart.Stack)], q[ofDimension(chart.Reach)] = g.Stack, g.Reach
	q[ofDimension(chart.EffectiveTopTube)] = g.EffectiveTopTube()
	q[ofDimension(chart.SeatAngleEffective)] = num.Atan2(g.Stack, g.EffectiveTopTube()-g.Reach)
	s.axles(x, v)
	s.seatEnd(x, v)
	s.topTube(x, v)
	q[ofSetting(HandsUp)] = (s.p.MaxUnderStem - x[vUp]) * sinH
	q[ofSetting(HandsDown)] = (x[vUp] - s.p.Cap) * sinH
	q[ofClearance(clearance.Standover)] = q[ofDimension(chart.Standover)]
	q[ofClearance(clearance.StandoverRoom)] = s.p.Inseam - q[ofDimension(chart.Standover)]
	if !clearances {
		return
	}
	s.bike.Geometry = *g
	for _, c := range s.asked {
		value, ok, err := s.bike.Least(c)
		if err != nil || !ok {
			value.Value = math.NaN()
		}
		q[ofClearance(c)] = value.Value
	}
}

// axles is the numbers of wheels, fork and ground.
func (s *space) axles(x *free, v *view) {
	q, g := &v.q, &v.g
	front, _ := g.FrontAxle()
	rear := math.Sqrt(max(1, (x[vChainstay]-x[vDrop])*(x[vChainstay]+x[vDrop])))
	axial := math.Sqrt(max(1, (x[vFork]-x[vOffset])*(x[vFork]+x[vOffset])))
	down, _ := g.SteererToAxle()
	base := front.X + rear
	q[ofDimension(chart.AxleToCrownSteerer)] = axial
	q[ofDimension(chart.HeadTube)] = down - x[vLower] - axial
	q[ofDimension(chart.DropBelowAxles)] = x[vDrop] + (front.Z-x[vDrop])*rear/base
	q[ofDimension(chart.BottomBracketHeight)] = x[vRear] - x[vDrop]
	q[ofDimension(chart.RearCentre)] = rear
	q[ofDimension(chart.FrontCentre)] = math.Hypot(front.X, front.Z)
	q[ofDimension(chart.FrontCentreHorizontal)] = front.X
	q[ofDimension(chart.Wheelbase)] = base
	q[ofDimension(chart.Trail)], _ = g.Trail()
	v.bottom = r3.Sub(g.HeadTop(), r3.Scale(q[ofDimension(chart.HeadTube)], g.SteererUp()))
}

// seatEnd is the numbers of seatpost and saddle. The seatpost's clamp is on the rails, and so
// the setback is what the seat tube's axis lacks to it, square to the axis.
func (s *space) seatEnd(x *free, v *view) {
	q := &v.q
	at := r3.Vec{X: s.nose.X - x[vRail]*s.cosT, Z: s.nose.Z - x[vRail]*s.sinT}
	sin, cos := num.Sincos(x[vSeat])
	q[ofSetting(Setback)] = x[vSeatOffset] - (at.X*sin + at.Z*cos)
	out := at.Z*sin - at.X*cos - x[vSeatTop] + s.p.Seatpost.Sag
	q[ofSetting(SeatpostExtension)] = out
	// A saddle that moves straight takes so much of the seatpost and of the rails for a mm.
	both, _ := num.Sincos(x[vSeat] + s.tilt)
	least := func(at number, room, takes float64) {
		q[at] = 1000
		if room *= both; takes > 1e-3 {
			q[at] = min(1000, room/takes)
		}
	}
	for i, w := range [...]struct{ post, rails float64 }{
		{s.cosT, cos}, {-s.cosT, -cos}, {-s.sinT, sin}, {s.sinT, -sin},
	} {
		at := firstLimit + number(2*i)
		least(at, end(s.post, out, w.post), math.Abs(w.post))
		least(at+1, end(s.rails, x[vRail], w.rails), math.Abs(w.rails))
		q[ofSetting(SaddleUp)+number(i)] = min(q[at], q[at+1])
	}
}

// end is how far something is from the end of its range, one way.
func end(r span, is, way float64) float64 {
	if way > 0 {
		return r.to - is
	}
	return is - r.from
}

// topTube is the numbers of the top tube. Its upper edge goes from where head tube and seat
// tube have what is left above it, on their surfaces.
func (s *space) topTube(x *free, v *view) {
	t, g := &s.p.Tubes, &v.g
	up, seat, foot := g.SteererUp(), g.SeatUp(), g.SeatFoot()
	front := r3.Sub(g.HeadTop(), r3.Scale(x[vAboveTop], up))
	front = r3.Sub(front, r3.Scale(t.Head/2, r3.Vec{X: up.Z, Z: -up.X}))
	rear := r3.Add(foot, r3.Scale(x[vSeatTop]-x[vSeatAbove], seat))
	rear = r3.Add(rear, r3.Scale(t.Seat/2, r3.Vec{X: seat.Z, Z: -seat.X}))
	d := r3.Unit(r3.Sub(front, rear))
	v.n = r3.Vec{X: -d.Z, Z: d.X}
	k := (r3.Dot(r3.Sub(g.HeadTop(), rear), v.n) + t.Top/2) / r3.Dot(up, v.n)
	c := (r3.Dot(r3.Sub(rear, foot), v.n) - t.Top/2) / r3.Dot(seat, v.n)
	v.head = r3.Sub(g.HeadTop(), r3.Scale(k, up))
	v.seat = r3.Add(foot, r3.Scale(c, seat))
	q := &v.q
	q[ofDimension(chart.SeatTubeCentre)] = c
	q[ofDimension(chart.TopTube)] = r3.Norm(r3.Sub(v.head, v.seat))
	q[ofDimension(chart.Standover)] = rear.Z + (s.p.StandAt-rear.X)*d.Z/d.X + g.Axles.RearRadius - g.Axles.Drop
}

// adjustable reports whether the stem's angle can be set.
func (s *space) adjustable() bool { return s.p.Front.Stem.Angles != (part.Steps{}) }
