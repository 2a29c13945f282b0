package survey

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A row holds the derivatives of one number of the result, by the datum's numbers and by
// the landmarks that it was read at.
type row struct {
	by    numberVec
	own   [4]ownSlope
	count int
	// with is the covariance of those readings with the datum's numbers.
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

// rowsOf returns the place of a point, as it is with the wheel straight, and the rows of
// its coordinates.
func (d *datum) rowsOf(all *points, i int, front bool) (place r3.Vec, rows [3]row) {
	p := &all.all[i]
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

// finish computes the covariance of the row's own readings with the datum's numbers.
func (d *datum) finish(r *row) {
	if d.joint != nil {
		for _, o := range r.own[:r.count] {
			for i, to := range d.slopes {
				if to != nil {
					v := d.jointly(i, o.landmark, o.by)
					for j := range r.with {
						r.with[j] += r3.Dot(to[j], v)
					}
				}
			}
		}
		return
	}
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

// less returns r minus s, as far as both depend on the datum.
func (r row) less(s *row) row {
	for k := range r.by {
		r.by[k] -= s.by[k]
		r.with[k] -= s.with[k]
	}
	return r
}

// against returns the covariance of a row, as far as it depends on the datum, with the
// datum's numbers.
func (d *datum) against(r *row) (v numberVec) {
	for k, b := range r.by {
		if b == 0 {
			continue
		}
		for j, c := range &d.cov[k] { // symmetric
			v[j] += c * b
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

// sigma returns the standard uncertainty of a row.
func (d *datum) sigma(r *row) float64 {
	against := d.against(r)
	return math.Sqrt(max(0, d.covary(r, r, &against)))
}

// read returns the part of the covariance of two rows that is due to their own readings.
func (d *datum) read(r, s *row) float64 {
	sum := 0.0
	for _, a := range r.own[:r.count] {
		for _, b := range s.own[:s.count] {
			if d.joint != nil {
				sum += r3.Dot(a.by, d.jointly(a.landmark, b.landmark, b.by))
				continue
			}
			if a.landmark == b.landmark {
				sum += r3.Dot(a.by, apply(d.reading, b.by)) / a.n
			}
		}
	}
	return sum
}

// jointly returns the covariance of a landmark's coordinates with what depends on another's,
// of a [Placing].
func (d *datum) jointly(i, j int, by r3.Vec) r3.Vec {
	part := func(k int) float64 {
		row := d.joint[3*i+k][3*j:]
		return row[0]*by.X + row[1]*by.Y + row[2]*by.Z
	}
	return r3.Vec{X: part(0), Y: part(1), Z: part(2)}
}

// spread computes the covariance of the datum's numbers, of a [Placing].
func (d *datum) spread(p *points) {
	for i := range p.all {
		for k := range p.all {
			a, b := d.slopes[i], d.slopes[k]
			if a == nil || b == nil {
				continue
			}
			for m := range numbers {
				if v := d.jointly(i, k, b[m]); v != (r3.Vec{}) {
					for j := range numbers {
						d.cov[j][m] += r3.Dot(a[j], v)
					}
				}
			}
		}
	}
}
