package survey

import "gonum.org/v1/gonum/spatial/r3"

// mirrored computes the residuals and reports what is crooked.
func (f *Fix) mirrored(p *points) {
	d := f.datum
	f.Residuals = make([]Residual, 0, 2*(len(d.pairs)+len(contactPairs)))
	look := func(k pair, front bool) (Residual, bool) {
		l, r := p.index(k.left), p.index(k.right)
		if l < 0 || r < 0 {
			return Residual{}, false
		}
		left, rows := d.rowsOf(p, l, front)
		right, more := d.rowsOf(p, r, front)
		off := Residual{Landmark: k.left, Off: r3.Vec{X: left.X - right.X, Y: left.Y + right.Y, Z: left.Z - right.Z}}
		for i, to := range [3]*float64{&off.Sigma.X, &off.Sigma.Y, &off.Sigma.Z} {
			sign := float64(2*(i%2) - 1)
			r := rows[i].plus(1, more[i], sign)
			d.finish(&r)
			*to = d.sigma(&r)
		}
		f.Residuals = append(f.Residuals, off, Residual{Landmark: k.right, Off: r3.Vec{X: -off.Off.X, Y: off.Off.Y, Z: -off.Off.Z}, Sigma: off.Sigma})
		return off, true
	}
	for i := range d.pairs {
		look(d.pairs[i].pair, d.pairs[i].steers)
	}
	for i, k := range contactPairs {
		r, ok := look(k.pair, i > 0) // all but the saddle turn with the wheel
		if ok && r3.Norm(r.Off) > max(k.usual, 3*r3.Norm(r.Sigma)) {
			f.Findings = append(f.Findings, Finding{Kind: Crooked, Landmark: k.left, Reading: -1, Amount: r3.Norm(r.Off)})
		}
	}
}
