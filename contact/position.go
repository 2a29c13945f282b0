package contact

import (
	"iter"
	"math"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Position is the set of contact points of one rider on one bike: for each
// [Site] a point, an [Attitude], or nothing where it is not known.
//
// The zero Position knows no site. Positions are values and comparable with ==.
type Position struct {
	point    [SiteCount]r3.Vec
	attitude [SiteCount]Attitude
	hasPoint siteSet
	hasAtt   siteSet
}

// An Attitude is the direction at a site, as seen along the three axes. Each angle is
// that of a line in one projection, and none depends on the others. (They differ from
// Euler angles by 0.002 degrees for a saddle with 3 degrees of tilt and 2 of yaw.) The
// zero Attitude is horizontal and points straight ahead.
type Attitude struct {
	// Tilt is the slope of the long axis seen from the side, positive nose-up.
	Tilt float64 `json:"tilt_deg" range:"-90 to 90"`
	// Yaw is the direction of the long axis seen from above, positive to the left.
	Yaw float64 `json:"yaw_deg,omitzero" range:"-180 to 180"`
	// Roll is the slope of the line from right to left seen from behind, positive when
	// the left side is higher.
	Roll float64 `json:"roll_deg,omitzero" range:"-180 to 180"`
}

// Less returns how far a is turned from b: each angle of a less that of b, by the shorter way
// round, from -180 to 180 degrees. Of 179 less -179 that is -2.
func (a Attitude) Less(b Attitude) Attitude {
	return Attitude{Tilt: shorter(a.Tilt - b.Tilt), Yaw: shorter(a.Yaw - b.Yaw), Roll: shorter(a.Roll - b.Roll)}
}

// shorter returns the same turn by the shorter way round.
func shorter(deg float64) float64 {
	if deg >= -180 && deg <= 180 {
		return deg
	}
	return math.Remainder(deg, 360)
}

// siteSet has one bit for each site, and the top bit for an unknown number.
type siteSet uint32

const badSite siteSet = 1 << 31

func (b siteSet) has(s Site) bool { return b>>s&1 != 0 }

func bit(s Site) siteSet {
	if !s.Valid() {
		return badSite
	}
	return 1 << s
}

// New returns a Position that knows the given points, in mm.
func New(points map[Site]r3.Vec) Position {
	var p Position
	for s, v := range points {
		p.Set(s, v)
	}
	return p
}

// At returns the point of a site in mm, and whether it is known.
func (p Position) At(s Site) (r3.Vec, bool) { return p.at(s) }

func (p *Position) at(s Site) (r3.Vec, bool) {
	if !s.Valid() || !p.hasPoint.has(s) {
		return r3.Vec{}, false
	}
	return p.point[s], true
}

// Attitude returns the direction at a site, in degrees, and whether it is known.
func (p Position) Attitude(s Site) (Attitude, bool) {
	if !s.Valid() || !p.hasAtt.has(s) {
		return Attitude{}, false
	}
	return p.attitude[s], true
}

// Set sets the point of a site, in mm. It does not check it: [Position.Validate] does.
func (p *Position) Set(s Site, at r3.Vec) {
	p.hasPoint |= bit(s)
	if s.Valid() {
		p.point[s] = at
	}
}

// SetAttitude sets the direction at a site, in degrees, whether or not its point is
// known. Like [Position.Set] it does not check it.
func (p *Position) SetAttitude(s Site, a Attitude) {
	p.hasAtt |= bit(s)
	if s.Valid() {
		p.attitude[s] = a
	}
}

// Forget makes a site unknown: both its point and its attitude.
func (p *Position) Forget(s Site) {
	if !s.Valid() {
		return
	}
	p.hasPoint &^= bit(s)
	p.hasAtt &^= bit(s)
	p.point[s], p.attitude[s] = r3.Vec{}, Attitude{}
}

// All yields the known points, in mm, in the order of the sites. maps.Collect turns it
// into a map, for comparison helpers.
func (p Position) All() iter.Seq2[Site, r3.Vec] {
	return func(yield func(Site, r3.Vec) bool) {
		for i := 1; i < SiteCount; i++ {
			if s := Site(i); p.hasPoint.has(s) && !yield(s, p.point[s]) {
				return
			}
		}
	}
}

// Equal reports whether p and q are the same to the last digit, as p == q does.
// Comparison helpers look for a method of this name.
func (p Position) Equal(q Position) bool { return p == q }

// Mirror returns the position as seen in a mirror on the bike's mid-plane: left and right
// sites change places, and Y, yaw and roll change sign.
func (p Position) Mirror() Position {
	var m Position
	for i := 1; i < SiteCount; i++ {
		s := Site(i)
		to := sites[s].mate
		if v, ok := p.at(s); ok {
			m.Set(to, r3.Vec{X: v.X, Y: 0 - v.Y, Z: v.Z})
		}
		if a, ok := p.Attitude(s); ok {
			m.SetAttitude(to, Attitude{Tilt: a.Tilt, Yaw: 0 - a.Yaw, Roll: 0 - a.Roll})
		}
	}
	return m
}

// Sub returns the move from q to p at every site that both know: p's point less
// q's, and likewise the attitudes, by [Attitude.Less].
func (p Position) Sub(q Position) Difference {
	var d Difference
	for i := 1; i < SiteCount; i++ {
		s := Site(i)
		if v, ok := p.at(s); ok {
			if w, ok := q.at(s); ok {
				d.move.Set(s, r3.Sub(v, w))
			}
		}
		if a, ok := p.Attitude(s); ok {
			if b, ok := q.Attitude(s); ok {
				d.move.SetAttitude(s, a.Less(b))
			}
		}
	}
	return d
}

// Add returns the position with each point and attitude moved by a difference; a site
// that the difference does not know stays. It is the inverse of [Position.Sub]:
// q.Add(p.Sub(q)) is p to rounding where both know the same sites.
func (p Position) Add(d Difference) Position {
	for i := 1; i < SiteCount; i++ {
		s := Site(i)
		if v, ok := p.at(s); ok {
			by, _ := d.At(s)
			p.point[s] = r3.Add(v, by)
		}
		if a, ok := p.Attitude(s); ok {
			by, _ := d.Attitude(s)
			p.attitude[s] = a.Less(Attitude{Tilt: -by.Tilt, Yaw: -by.Yaw, Roll: -by.Roll})
		}
	}
	return p
}

// Moved returns the position with the given sites moved by a vector in mm, such as a
// saddle that is raised by 5 mm. An unknown site stays unknown.
func (p Position) Moved(by r3.Vec, sites ...Site) Position {
	for _, s := range sites {
		if v, ok := p.at(s); ok {
			p.point[s] = r3.Add(v, by)
		}
	}
	return p
}

// Coordinate returns a coordinate of a site, in mm, or an angle of its direction, in
// degrees, and whether it is known.
func (p Position) Coordinate(c Coordinate) (float64, bool) {
	v, ok := p.at(c.Site)
	a, known := p.Attitude(c.Site)
	switch c.Axis {
	case AxisX:
		return v.X, ok
	case AxisY:
		return v.Y, ok
	case AxisZ:
		return v.Z, ok
	case AxisTilt:
		return a.Tilt, known
	case AxisYaw:
		return a.Yaw, known
	case AxisRoll:
		return a.Roll, known
	}
	return 0, false
}

// Shifted returns the position with one coordinate more by so many mm or degrees, such as
// to see what hangs on it. One that is not known stays unknown.
func (p Position) Shifted(c Coordinate, by float64) Position {
	if _, ok := p.Coordinate(c); !ok {
		return p
	}
	v, _ := p.at(c.Site)
	a, _ := p.Attitude(c.Site)
	switch c.Axis {
	case AxisX:
		v.X += by
	case AxisY:
		v.Y += by
	case AxisZ:
		v.Z += by
	case AxisTilt:
		a.Tilt += by
	case AxisYaw:
		a.Yaw += by
	case AxisRoll:
		a.Roll += by
	}
	if c.Axis <= AxisZ {
		p.Set(c.Site, v)
	} else {
		p.SetAttitude(c.Site, a)
	}
	return p
}

// A Difference is how far each site moved between two positions. It is made by
// [Position.Sub]; the zero Difference compares nothing.
type Difference struct{ move Position }

// At returns the move of a site in mm, and whether both positions knew it.
func (d Difference) At(s Site) (r3.Vec, bool) { return d.move.at(s) }

// Attitude returns the change of direction at a site in degrees, and whether both
// positions knew it.
func (d Difference) Attitude(s Site) (Attitude, bool) { return d.move.Attitude(s) }

// All yields the moves in mm, in the order of the sites.
func (d Difference) All() iter.Seq2[Site, r3.Vec] { return d.move.All() }

// Largest returns the longest move in mm and its site; false if no site was
// known to both positions.
func (d Difference) Largest() (Site, float64, bool) {
	site, far, ok := Site(0), 0.0, false
	for s, v := range d.All() {
		if n := r3.Norm(v); !ok || n > far {
			site, far, ok = s, n, true
		}
	}
	return site, far, ok
}

// How far the saddle reference may be from the bottom bracket, mm. No adult's bike comes
// near these.
const (
	saddleMin = 300
	saddleMax = 1300
)

// Validate reports what shows that p cannot be the position of a rider on a bike, in the
// axes and units of this package:
//
//   - [ErrRange]: a number that is not finite, a coordinate beyond [Site.Range] (such as
//     -10 to 10 mm for a pedal's height, -20 to 140 for a sole's, 50 to 250 for a crank
//     length), a saddle reference not 300 to 1300 mm from the bottom bracket;
//   - [ErrUnit]: the same where metres, centimetres or inches would explain it;
//   - [ErrConflict]: a saddle below the bottom bracket, a saddle whose nose is
//     not in front of its reference or its reference not in front of its rear, hands
//     behind the saddle reference, or a left site that is not to the
//     left of its right one;
//   - [ErrUnknown]: a point or an attitude that was set at an unknown number.
//
// A site that is not known is not a fault: functions that need it report it.
func (p Position) Validate() error {
	var f fault.List
	if (p.hasPoint|p.hasAtt)&badSite != 0 {
		f.Add("sites", "an invalid number", "sites of package contact", ErrUnknown)
	}
	for s, v := range p.All() {
		for i, c := range [...]float64{v.X, v.Y, v.Z} {
			if !num.Finite(c) {
				f.Add(path(s, Axis(i)), num.Text(c, "mm"), "a finite number", ErrRange)
			}
		}
	}
	for i := 1; i < SiteCount; i++ {
		s := Site(i)
		a, ok := p.Attitude(s)
		for i, c := range [...]struct{ v, most float64 }{{a.Tilt, 90}, {a.Yaw, 180}, {a.Roll, 180}} {
			if ok && !(math.Abs(c.v) <= c.most) {
				f.Range(path(s, AxisTilt+Axis(i)), c.v, -c.most, c.most, "degrees")
			}
		}
	}
	if f.Len() > 0 {
		return f.Err() // the checks below compare numbers that must be sound
	}
	p.checkPlaces(&f)
	p.checkOrder(&f)
	p.checkSides(&f)
	return f.Err()
}

// path returns the place of a number in the document of a position.
func path(s Site, a Axis) string {
	switch a {
	case AxisX, AxisY, AxisZ:
		return fault.At("sites."+s.String()+".at_mm", int(a))
	default:
		return "sites." + s.String() + ".attitude." + a.String() + "_deg"
	}
}

// checkPlaces reports points where no bike has them.
func (p *Position) checkPlaces(f *fault.List) {
	before := f.Len()
	if v, ok := p.at(SaddleReference); ok {
		f.LengthOf("sites.saddle_reference.at_mm", r3.Norm(v), saddleMin, saddleMax, " from the bottom bracket")
	}
	far := f.Len() > before
	for s, v := range p.All() {
		if s == SaddleReference && far {
			continue // said
		}
		if s.Group() == OnSaddle && v.Z <= 0 {
			f.Add(path(s, AxisZ), num.Text(v.Z, "mm"), "the saddle above the bottom bracket", ErrConflict)
			continue
		}
		lo, hi := s.Range()
		for i, c := range [...][3]float64{{v.X, lo.X, hi.X}, {v.Y, lo.Y, hi.Y}, {v.Z, lo.Z, hi.Z}} {
			switch {
			case c[0] >= c[1] && c[0] <= c[2]: // and no path is made
			case i == 0 && s.Group().Crank():
				f.LengthOf(path(s, AxisX), c[0], c[1], c[2], ", the crank length")
			case c[1] > 0: // a length that is never small, so that other units show
				f.Length(path(s, Axis(i)), c[0], c[1], c[2])
			default:
				f.Range(path(s, Axis(i)), c[0], c[1], c[2], "mm")
			}
		}
	}
}

// checkOrder reports a saddle whose points are out of order, and hands behind it.
func (p *Position) checkOrder(f *fault.List) {
	for _, o := range [][2]Site{{SaddleNose, SaddleReference}, {SaddleReference, SaddleRear}, {SaddleNose, SaddleRear}} {
		front, ok1 := p.at(o[0])
		back, ok2 := p.at(o[1])
		if ok1 && ok2 && front.X <= back.X {
			f.Add(path(o[0], AxisX), num.Text(front.X, "mm"), "it in front of "+o[1].String()+" at "+num.Text(back.X, "mm"), ErrConflict)
		}
	}
	saddle, ok := p.at(SaddleReference)
	for s, v := range p.All() {
		if ok && s.Group().FrontEnd() && v.X < saddle.X {
			f.Add(path(s, AxisX), num.Text(v.X, "mm"), "it no further back than the saddle at "+num.Text(saddle.X, "mm")+" (X backwards?)", ErrConflict)
		}
	}
}

// checkSides reports left and right that have changed places.
func (p *Position) checkSides(f *fault.List) {
	for i := 1; i < SiteCount; i++ {
		left := Site(i)
		if sites[left].side != Left {
			continue
		}
		right := sites[left].mate
		l, okL := p.at(left)
		r, okR := p.at(right)
		switch {
		case okL && okR && l.Y <= r.Y:
			f.Add(path(left, AxisY), num.Text(l.Y, "mm"), "it to the left of "+right.String()+" at "+num.Text(r.Y, "mm")+" (left and right swapped?)", ErrConflict)
		case okL && !okR && l.Y < 0:
			f.Add(path(left, AxisY), num.Text(l.Y, "mm"), "a left site at a positive Y (left and right swapped?)", ErrConflict)
		case okR && !okL && r.Y > 0:
			f.Add(path(right, AxisY), num.Text(r.Y, "mm"), "a right site at a negative Y (left and right swapped?)", ErrConflict)
		}
	}
}
