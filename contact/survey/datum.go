package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// frame is the bike's axes as the instrument sees them, and how they move when
// the inputs do.
type frame struct {
	x, y, z, origin r3.Vec
	ground          float64 // between the tyres' contact points
	steer           float64
	steerRow        row

	// The axes' turn about themselves and the origin's move along them, for
	// each input moving by its standard uncertainty.
	turns, moves [3]row
}

// pair is a left and a right landmark that mirror each other.
type pair struct {
	name        string
	left, right mean
	d, m        r3.Vec // left less right, and midway
	w           float64
}

// newDatum fits the mid-plane to the three pairs: the plane whose reflection
// carries right points onto left ones with the least sum of squares. With n the
// plane's unit normal, D and M as in pair and M' = M less the mean of all M,
// that sum is Σ w(D² - (n·D)² + 4(n·M')²), so that n is the eigenvector of
// Σ w(4 M'M'ᵀ - DDᵀ) with the least eigenvalue. Its first-order change follows
// from perturbation of the eigenvector.
func newDatum(s Survey, means map[Landmark]mean, inputs int) (*frame, error) {
	pairs := [3]pair{{name: "bottom_bracket"}, {name: "rear_axle"}, {name: "front_axle"}}
	var middle r3.Vec
	total := 0.0
	for i := range pairs {
		p := &pairs[i]
		p.left, p.right = means[datum[2*i]], means[datum[2*i+1]]
		p.d = r3.Sub(p.left.at, p.right.at)
		p.m = r3.Scale(0.5, r3.Add(p.left.at, p.right.at))
		p.w = 2 / (1/p.left.n + 1/p.right.n)
		middle = r3.Add(middle, r3.Scale(p.w, p.m))
		total += p.w
	}
	middle = r3.Scale(1/total, middle)
	bb, rear, front := &pairs[0], &pairs[1], &pairs[2]
	if err := plausible(pairs); err != nil {
		return nil, err
	}

	a := mat.NewSymDense(3, nil)
	for _, p := range pairs {
		off := r3.Sub(p.m, middle)
		for i := range 3 {
			for j := i; j < 3; j++ {
				a.SetSym(i, j, a.At(i, j)+p.w*(4*at(off, i)*at(off, j)-at(p.d, i)*at(p.d, j)))
			}
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(a, true) {
		return nil, &contact.Error{Path: "readings", Value: "no mid-plane", Want: "landmarks that lie apart", Class: contact.ErrConflict}
	}
	lambda := eig.Values(nil)
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	column := func(j int) r3.Vec { return r3.Vec{X: vectors.At(0, j), Y: vectors.At(1, j), Z: vectors.At(2, j)} }
	n := column(0)
	if r3.Dot(n, r3.Add(r3.Add(bb.d, rear.d), front.d)) < 0 {
		n = r3.Scale(-1, n)
	}
	var f check.Faults
	for _, p := range pairs {
		if r3.Dot(n, p.d) <= 0 {
			f.Add("readings."+p.name+"_left", "to the right of "+p.name+"_right", "left and right not swapped", contact.ErrConflict)
		}
	}
	if err := f.Err(); err != nil {
		return nil, err
	}

	// Forward along the axles, in the plane, then level by the radii.
	axles := r3.Sub(front.m, rear.m)
	across := r3.Dot(axles, n)
	along := r3.Sub(axles, r3.Scale(across, n))
	length := r3.Norm(along)
	x0 := r3.Scale(1/length, along)
	z0 := r3.Cross(x0, n)
	rise := (s.FrontRadius - s.RearRadius) / length
	if math.Abs(rise) > 0.5 {
		f.Add("front_radius", num.Text(s.FrontRadius, "mm"), "a radius that fits the other wheel and the distance of the axles", contact.ErrConflict)
		return nil, f.Err()
	}
	level := math.Sqrt(1 - rise*rise)
	d := &frame{
		x:      r3.Sub(r3.Scale(level, x0), r3.Scale(rise, z0)),
		y:      n,
		z:      r3.Add(r3.Scale(level, z0), r3.Scale(rise, x0)),
		ground: length * level,
	}
	offset := r3.Sub(bb.m, middle)
	aside := r3.Dot(n, offset)
	d.origin = r3.Sub(bb.m, r3.Scale(aside, n))

	// How all that moves with each input.
	for k := range 3 {
		d.turns[k], d.moves[k] = make(row, inputs), make(row, inputs)
	}
	d.steerRow = make(row, inputs)
	record := func(in int, turn, move r3.Vec) {
		for k := range 3 {
			d.turns[k][in] = at(d.turn(turn), k)
			d.moves[k][in] = at(d.turn(move), k)
		}
	}
	fx, fy := r3.Dot(front.d, d.x), r3.Dot(front.d, d.y)
	d.steer = num.Atan2(-fx, fy)
	for i, p := range pairs {
		off := r3.Sub(p.m, middle)
		for side, m := range [2]mean{p.left, p.right} {
			for k := range 3 {
				step := unit(k, at(m.sigma, k))
				sign := float64(1 - 2*side)
				g := r3.Scale(p.w, r3.Sub(
					r3.Scale(2, r3.Add(r3.Scale(r3.Dot(off, n), step), r3.Scale(r3.Dot(n, step), off))),
					r3.Scale(sign, r3.Add(r3.Scale(r3.Dot(p.d, n), step), r3.Scale(r3.Dot(n, step), p.d))),
				))
				var dn r3.Vec
				for j := 1; j < 3; j++ {
					v := column(j)
					dn = r3.Add(dn, r3.Scale(r3.Dot(v, g)/(lambda[0]-lambda[j]), v))
				}
				var dAxles, dBB r3.Vec
				switch i {
				case 0:
					dBB = r3.Scale(0.5, step)
				case 1:
					dAxles = r3.Scale(-0.5, step)
				case 2:
					dAxles = r3.Scale(0.5, step)
				}
				dMiddle := r3.Scale(0.5*p.w/total, step)
				dLength := r3.Dot(x0, dAxles) - across*r3.Dot(x0, dn)
				about := -(r3.Dot(z0, dAxles)-across*r3.Dot(z0, dn))/length - rise/level*dLength/length
				turn := r3.Add(r3.Cross(n, dn), r3.Scale(about, n))
				dAside := r3.Dot(dn, offset) + r3.Dot(n, r3.Sub(dBB, dMiddle))
				move := r3.Sub(dBB, r3.Add(r3.Scale(dAside, n), r3.Scale(aside, dn)))
				record(m.in+k, turn, move)

				var dFront r3.Vec
				if i == 2 {
					dFront = r3.Scale(sign, step)
				}
				dfx := r3.Dot(dFront, d.x) + r3.Dot(front.d, r3.Cross(turn, d.x))
				dfy := r3.Dot(dFront, d.y) + r3.Dot(front.d, dn)
				d.steerRow[m.in+k] = (fx*dfy - fy*dfx) / (fx*fx + fy*fy) / num.Rad
			}
		}
	}
	for i, sign := range []float64{1, -1} { // front radius, rear radius
		record(inputs-2+i, r3.Scale(sign*s.RadiusSigma/(length*level), n), r3.Vec{})
	}
	return d, nil
}

// plausible checks the distances that no datum can do without.
func plausible(pairs [3]pair) error {
	var f check.Faults
	for _, p := range pairs {
		f.Length("readings."+p.name+", left to right", r3.Norm(p.d), 30, 350)
	}
	f.Length("readings.rear_axle, to bottom bracket", r3.Norm(r3.Sub(pairs[1].m, pairs[0].m)), 250, 600)
	f.Length("readings.front_axle, to bottom bracket", r3.Norm(r3.Sub(pairs[2].m, pairs[0].m)), 400, 1100)
	f.Length("readings.front_axle, to rear axle", r3.Norm(r3.Sub(pairs[2].m, pairs[1].m)), 700, 1700)
	return f.Err()
}

// turn gives a direction of the instrument in the bike's axes.
func (d *frame) turn(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(d.x, v), Y: r3.Dot(d.y, v), Z: r3.Dot(d.z, v)}
}

// point gives a landmark in the bike's axes with the rows of its coordinates:
// its own move, less the origin's, less the turn of the axes.
func (d *frame) point(m mean) (r3.Vec, [3]row) {
	p := d.turn(r3.Sub(m.at, d.origin))
	inputs := len(d.turns[0])
	rows := [3]row{make(row, inputs), make(row, inputs), make(row, inputs)}
	for j := range inputs {
		w := r3.Vec{X: d.turns[0][j], Y: d.turns[1][j], Z: d.turns[2][j]}
		v := r3.Cross(p, w)
		for k := range 3 {
			rows[k][j] = at(v, k) - d.moves[k][j]
		}
	}
	for k := range 3 {
		own := d.turn(unit(k, at(m.sigma, k)))
		for i := range 3 {
			rows[i][m.in+k] += at(own, i)
		}
	}
	return p, rows
}

func at(v r3.Vec, i int) float64 {
	switch i {
	case 0:
		return v.X
	case 1:
		return v.Y
	default:
		return v.Z
	}
}

func unit(i int, length float64) r3.Vec {
	switch i {
	case 0:
		return r3.Vec{X: length}
	case 1:
		return r3.Vec{Y: length}
	default:
		return r3.Vec{Z: length}
	}
}
