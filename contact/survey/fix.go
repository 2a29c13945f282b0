package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Fix is the result of a survey: where everything is, and how well that is known.
type Fix struct {
	// Position is the contact points in the axes of package contact, as they
	// are with the front wheel straight. The saddle's tilt and yaw are known if
	// both nose and rear were read; its roll, if both edges were read too, and
	// else 0.
	Position contact.Position
	// Covariance is that of all of Position's numbers.
	Covariance contact.Covariance
	// Steer is how far the front wheel was turned, in degrees, positive to the
	// left, and SteerSigma its standard uncertainty.
	Steer, SteerSigma float64
	// Findings is what a person should know about the readings.
	Findings []Finding
	// Residuals is how far each landmark that has a partner is from mirroring it.
	Residuals []Residual

	stands    Standing
	hasStands bool
	datum     *datum
	marks     []mark
	rows      []row // of the coordinates, in the order of the covariance
}

// A Residual is how far a landmark is from the mirror of its partner, with the
// wheel straight; the partner's is the mirror of that. In a [Registration] it is how
// far a landmark is from where the other survey has it.
type Residual struct {
	Landmark Landmark
	// Off is how far, and Sigma its standard uncertainty, mm, in the bike's axes
	// (in a [Registration], those of the survey that was carried onto). What is
	// left at pairs of the frame is measuring error and how true the frame is.
	Off, Sigma r3.Vec
}

// Stands is how a surveyed bike stood against gravity.
type Standing struct {
	// Lean is the bike's lean in degrees, positive to the right, and LeanSigma
	// its standard uncertainty.
	Lean, LeanSigma float64
	// NoseUp is the slope of the ground under both tyres in degrees, positive
	// when the front stands higher, and NoseUpSigma its standard uncertainty.
	NoseUp, NoseUpSigma float64
	// RaiseFront is by how much the front wheel must be raised to stand level,
	// in mm; negative: lower it, or raise the rear wheel.
	RaiseFront float64
}

// Stands returns how the bike stood; false if the survey did not say which way is up.
func (f Fix) Standing() (Standing, bool) { return f.stands, f.hasStands }

type mark struct {
	landmark  Landmark
	at, sigma r3.Vec
}

// Mark returns where a mark of your own or a landmark of the frame is, in the
// axes of package contact, with the standard uncertainty of its coordinates, mm;
// false if it was not read. Contact sites are in Position.
func (f Fix) Mark(l Landmark) (at, sigma r3.Vec, ok bool) {
	for _, m := range f.marks {
		if m.landmark == l {
			return m.at, m.sigma, true
		}
	}
	return r3.Vec{}, r3.Vec{}, false
}

// A row is how one number of the result changes: with the datum's numbers, and
// with the landmarks that it was read at.
type row struct {
	by    numberVec
	own   [2]ownSlope
	count int
	// with is the covariance of what was read with the datum's numbers.
	with numberVec
}

type ownSlope struct {
	landmark int
	n        float64
	by       r3.Vec
}

// plus returns a times r and b times s.
func (r row) plus(a float64, s row, b float64) row {
	for j := range r.by {
		r.by[j] = a*r.by[j] + b*s.by[j]
	}
	for i := range r.count {
		r.own[i].by = r3.Scale(a, r.own[i].by)
	}
next:
	for _, o := range s.own[:s.count] {
		o.by = r3.Scale(b, o.by)
		for i := range r.count {
			if r.own[i].landmark == o.landmark {
				r.own[i].by = r3.Add(r.own[i].by, o.by)
				continue next
			}
		}
		r.own[r.count] = o
		r.count++
	}
	return r
}

// rowsOf returns the rows of a place's coordinates.
func (d *datum) rowsOf(i int, p *point, front bool) (place r3.Vec, rows [3]row) {
	set := func(j int, c change) {
		v := d.moves(p.at, front, c)
		rows[0].by[j], rows[1].by[j], rows[2].by[j] = v.X, v.Y, v.Z
	}
	set(turnX, change{turn: r3.Vec{X: 1}})
	set(turnY, change{turn: r3.Vec{Y: 1}})
	set(turnZ, change{turn: r3.Vec{Z: 1}})
	set(aside, change{aside: 1})
	set(originX, change{originX: 1})
	set(originZ, change{originZ: 1})
	if front {
		set(steer, change{steer: 1})
		set(offset, change{offset: 1})
		set(angle, change{angle: 1})
		set(frontX, change{fromX: 1})
		set(frontZ, change{frZ: 1})
	}
	x, y, z := d.moves(p.at, front, change{point: r3.Vec{X: 1}}), d.moves(p.at, front, change{point: r3.Vec{Y: 1}}), d.moves(p.at, front, change{point: r3.Vec{Z: 1}})
	for k := range rows {
		rows[k].own[0] = ownSlope{i, p.n, r3.Vec{X: at(x, k), Y: at(y, k), Z: at(z, k)}}
		rows[k].count = 1
	}
	return d.place(p.at, front), rows
}

// finish works out the covariance of what the row was read at with the datum.
func (d *datum) finish(r *row) {
	for _, o := range r.own[:r.count] {
		to := d.slopes[o.landmark]
		if to == nil {
			continue
		}
		v := r3.Scale(1/o.n, apply(d.reading, o.by))
		for j := range r.with {
			r.with[j] += r3.Dot(to[j], v)
		}
	}
}

// Solve finds the datum and gives every landmark in the axes of package contact.
//
// Besides the faults of [Survey.Validate] it reports [contact.ErrConflict] for
// readings of a landmark that disagree where none can be set aside, for
// landmarks of the frame that do not fit together, for left and right swapped (one pair, or
// all, which looks the same as left-handed axes of the instrument) and for landmarks
// that coincide or cannot be a bicycle's; [contact.ErrUnit] where another unit
// explains that; [contact.ErrRange] for readings that are too uncertain for a datum; and
// whatever contact.Position.Validate finds in the result.
func (s Survey) Solve() (Fix, error) {
	if err := s.Validate(); err != nil {
		return Fix{}, err
	}
	var f fault.List
	p, findings := gather(s.Readings, s.Unit, s.covariance(), &f)
	if err := f.Err(); err != nil {
		return Fix{}, err
	}
	d, more, err := newDatum(&s, &p)
	if err != nil {
		return Fix{}, err
	}
	fix, err := d.locate(&p, true)
	if err != nil {
		return Fix{}, err
	}
	fix.Findings = append(findings, more...)
	fix.mirrored(&p)
	if s.Up != (r3.Vec{}) {
		fix.stand(&s)
	}
	return fix, nil
}

// Locate places more readings of the same bike, by the same instrument, with the
// datum of f. Neither bike nor instrument must have moved since, and the front
// wheel must not have been turned. The datum's errors are then the same in both,
// and [Compare] takes that into account. Landmarks of the frame need not be read
// again; those that are do not change the datum.
//
// Faults are as of [Survey.Solve], and [contact.ErrMissing] for a fix that no survey made.
func (f Fix) Locate(readings []Reading) (Fix, error) {
	var faults fault.List
	d := f.datum
	if d == nil {
		faults.Add("fix", "", "one that came from Survey.Solve", contact.ErrMissing)
		return Fix{}, faults.Err()
	}
	validateReadings(&faults, readings, d.unit)
	if err := faults.Err(); err != nil {
		return Fix{}, err
	}
	p, findings := gather(readings, d.unit, d.instrument, &faults)
	if err := faults.Err(); err != nil {
		return Fix{}, err
	}
	fix, err := d.locate(&p, false)
	if err != nil {
		return Fix{}, err
	}
	fix.Findings = findings
	return fix, nil
}

// A locator gives landmarks in the bike's axes.
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

// saddleRows is what reference, nose and rear depend on.
type saddleRows map[contact.Site][3]row

// sites adds every site that was read, and returns what the saddle's depend on.
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
			at, rows = l.rowsOf(i, &l.p.all[i], s.Group().FrontEnd())
		case s == contact.SaddleReference && edges:
			left, rowsL := l.rowsOf(edgeL, &l.p.all[edgeL], false)
			right, rowsR := l.rowsOf(edgeR, &l.p.all[edgeR], false)
			at = r3.Scale(0.5, r3.Add(left, right))
			for k := range rows {
				rows[k] = rowsL[k].plus(0.5, rowsR[k], 0.5)
			}
		default:
			continue
		}
		if s.Group() == contact.OnPedals {
			// A crank, read at any angle, is turned to point forward.
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

// attitude adds the direction of a saddle of which nose and rear were read.
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
		left, rowsL := l.rowsOf(edgeL, &l.p.all[edgeL], false)
		right, rowsR := l.rowsOf(edgeR, &l.p.all[edgeR], false)
		a.Roll = num.Atan2(left.Z-right.Z, left.Y-right.Y)
		l.add(contact.SaddleReference, contact.AxisRoll, slope(left.Y-right.Y, left.Z-right.Z, &rowsL, &rowsR, 1, 2))
	}
	l.fix.Position.SetAttitude(contact.SaddleReference, a)
}

// locate gives every landmark in the bike's axes. The readings that made the
// datum have errors in common with it.
func (d *datum) locate(p *points, own bool) (Fix, error) {
	fix := Fix{Steer: d.steer / num.Rad, SteerSigma: math.Sqrt(d.cov[steer][steer]) / num.Rad, datum: d}
	l := locator{datum: d, p: p, own: own, fix: &fix}
	edgeL, edgeR := p.index(SaddleEdgeLeft), p.index(SaddleEdgeRight)
	l.attitude(l.sites(edgeL, edgeR), edgeL, edgeR)
	coords := l.coords
	if err := fix.judge(); err != nil {
		return Fix{}, err
	}

	var err error
	row, against := -1, numberVec{} // of the present row of the matrix
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

// against returns the covariance of a row, as far as it depends on the datum, with the datum's numbers.
func (d *datum) against(r *row) (v numberVec) {
	for j := range v {
		for k, b := range r.by {
			v[j] += d.cov[j][k] * b
		}
	}
	return v
}

// covary returns the covariance of two rows of the same readings.
func (d *datum) covary(r, s *row, against *numberVec) float64 {
	sum := d.read(r, s)
	for k := range against {
		sum += r.by[k]*(against[k]+s.with[k]) + r.with[k]*s.by[k]
	}
	return sum
}

func (d *datum) marks(fix *Fix, p *points, own bool) {
	fix.marks = make([]mark, 0, len(p.all))
	for i := range p.all {
		l := p.all[i].landmark
		if atSite[l] {
			continue
		}
		at, rows := d.rowsOf(i, &p.all[i], l == FrontAxleLeft || l == FrontAxleRight)
		m := mark{landmark: l, at: at}
		for k, to := range [3]*float64{&m.sigma.X, &m.sigma.Y, &m.sigma.Z} {
			if own {
				d.finish(&rows[k])
			}
			against := d.against(&rows[k])
			*to = math.Sqrt(max(0, d.covary(&rows[k], &rows[k], &against)))
		}
		fix.marks = append(fix.marks, m)
	}
}

// mirrored works out the residuals, and finds what is crooked.
func (f *Fix) mirrored(p *points) {
	d := f.datum
	f.Residuals = make([]Residual, 0, 2*(len(d.pairs)+len(contactPairs)))
	look := func(k pair, front bool) (Residual, bool) {
		l, r := p.index(k.left), p.index(k.right)
		if l < 0 || r < 0 {
			return Residual{}, false
		}
		left, rows := d.rowsOf(l, &p.all[l], front)
		right, more := d.rowsOf(r, &p.all[r], front)
		off := Residual{Landmark: k.left, Off: r3.Vec{X: left.X - right.X, Y: left.Y + right.Y, Z: left.Z - right.Z}}
		for i, to := range [3]*float64{&off.Sigma.X, &off.Sigma.Y, &off.Sigma.Z} {
			sign := float64(2*(i%2) - 1)
			r := rows[i].plus(1, more[i], sign)
			d.finish(&r)
			against := d.against(&r)
			*to = math.Sqrt(max(0, d.covary(&r, &r, &against)))
		}
		f.Residuals = append(f.Residuals, off, Residual{Landmark: k.right, Off: r3.Vec{X: -off.Off.X, Y: off.Off.Y, Z: -off.Off.Z}, Sigma: off.Sigma})
		return off, true
	}
	for i := range d.pairs {
		look(d.pairs[i].pair, i == frontAxle)
	}
	for i, k := range contactPairs {
		r, ok := look(k.pair, i > 0) // all but the saddle turn with the wheel
		if ok && r3.Norm(r.Off) > max(k.usual, 3*r3.Norm(r.Sigma)) {
			f.Findings = append(f.Findings, Finding{Kind: Crooked, Landmark: k.left, Reading: -1, Amount: r3.Norm(r.Off)})
		}
	}
}

// stand works out how the bike stood.
func (f *Fix) stand(s *Survey) {
	d := f.datum
	f.hasStands = true
	g := d.turn(r3.Unit(s.Up))
	f.stands.NoseUp = math.Asin(max(-1, min(1, g.X))) / num.Rad
	f.stands.Lean = num.Atan2(g.Y, g.Z)
	f.stands.RaiseFront = 0 - d.base*g.X
	// g turns against the axes: its slopes are those of e·v.
	sigma := func(c r3.Vec) float64 {
		by := numberVec{turnX: c.X, turnY: c.Y, turnZ: c.Z}
		sum := 0.0
		for j, a := range by {
			for k, b := range by {
				sum += a * b * d.cov[j][k]
			}
		}
		return math.Sqrt(sum/num.Rad/num.Rad + s.UpSigma*s.UpSigma)
	}
	x, y, z := r3.Cross(r3.Vec{X: 1}, g), r3.Cross(r3.Vec{Y: 1}, g), r3.Cross(r3.Vec{Z: 1}, g)
	f.stands.NoseUpSigma = sigma(r3.Scale(1/math.Sqrt(max(1e-12, 1-g.X*g.X)), x))
	square := max(1e-12, g.Y*g.Y+g.Z*g.Z)
	f.stands.LeanSigma = sigma(r3.Scale(1/square, r3.Sub(r3.Scale(g.Z, y), r3.Scale(g.Y, z))))
	if s.FrontRadius == 0 {
		f.stands.NoseUpSigma = s.UpSigma // it was taken to be level
	}
}

// judge looks at what the result says of the survey.
func (f *Fix) judge() error {
	for _, s := range []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.BarClamp, contact.HoodsLeft, contact.HoodsRight} {
		if v, ok := f.Position.At(s); ok && v.Z < 0 {
			return &contact.Error{
				Path: "readings." + s.String(), Value: num.Text(v.Z, "mm") + " above the bottom bracket",
				Want:  "it above: all left and right readings are swapped, or the instrument's axes are left-handed",
				Class: contact.ErrConflict,
			}
		}
	}
	var faults fault.List
	faults.In("readings", f.Position.Validate())
	return faults.Err()
}

// Compare tells what moved from one fix to the next of the same bike, and whether
// that is more than measuring error at a coverage such as 0.95 or 0.99; see
// [contact.Difference.Judge], also for the faults. Errors of a datum that both
// share ([Fix.Locate]) cancel; otherwise the two count as independent.
func Compare(before, after Fix, coverage float64) ([]contact.Move, []contact.Turn, error) {
	cov, err := differenceCovariance(&before, &after)
	if err != nil {
		return nil, nil, err
	}
	return after.Position.Sub(before.Position).Judge(cov, coverage)
}

func differenceCovariance(a, b *Fix) (contact.Covariance, error) {
	if a.datum == nil || a.datum != b.datum {
		return a.Covariance.Add(b.Covariance), nil
	}
	type both struct{ i, j int } // places of a coordinate in a and in b
	var coords []contact.Coordinate
	var of []both
	in := b.Covariance.Coordinates()
	for i, c := range a.Covariance.Coordinates() {
		for j, e := range in {
			if c == e {
				coords = append(coords, c)
				of = append(of, both{i, j})
			}
		}
	}
	d := a.datum
	// The datum is the same: what differs is the rows, and what was read.
	var diff []row
	var seen []numberVec
	for _, o := range of {
		r := b.rows[o.j].less(&a.rows[o.i])
		diff = append(diff, r)
		seen = append(seen, d.against(&r))
	}
	return contact.NewCovariance(coords, func(i, j int) float64 {
		sum := 0.0
		for k := range seen[j] {
			sum += diff[i].by[k]*(seen[j][k]+diff[j].with[k]) + diff[i].with[k]*diff[j].by[k]
		}
		return sum + d.read(&a.rows[of[i].i], &a.rows[of[j].i]) + d.read(&b.rows[of[i].j], &b.rows[of[j].j])
	})
}

// less returns r less s as far as both depend on the datum.
func (r row) less(s *row) row {
	for k := range r.by {
		r.by[k] -= s.by[k]
		r.with[k] -= s.with[k]
	}
	return r
}

// read returns the covariance of two rows by what was read alone.
func (d *datum) read(r, s *row) float64 {
	sum := 0.0
	for _, a := range r.own[:r.count] {
		for _, b := range s.own[:s.count] {
			if a.landmark == b.landmark {
				sum += r3.Dot(a.by, apply(d.reading, b.by)) / a.n
			}
		}
	}
	return sum
}
