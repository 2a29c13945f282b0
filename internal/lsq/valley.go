package lsq

import "math"

// A valley is the least sum of squares as a coordinate moves, if the model were linear:
// held + slope·h + curve·h².
type valley struct{ held, slope, curve float64 }

func (v *valley) at(h float64) float64 { return v.held + (v.slope+v.curve*h)*h }

// reaches returns where the valley rises to a limit to one side: ok is false if it does not
// come down to it.
func (v *valley) reaches(limit, sign float64) (h float64, ok bool) {
	half := v.slope / 2
	under := half*half - v.curve*(v.held-limit)
	switch {
	case v.curve <= 0: // but for rounding it is level
		return sign * math.Inf(1), v.held <= limit
	case under < 0:
		return 0, false
	default:
		return (sign*math.Sqrt(under) - half) / v.curve, true
	}
}

// valley returns how the sum of squares moves with a step of the other coordinates and with
// coordinate j, scaled back.
func (t *tracer) valley(j int, damping float64) valley {
	n := t.n
	line := t.normal[j*n : (j+1)*n]
	// The sum of squares for a step of the others and one of h of coordinate j, scaled; with
	// damping these are not the best ones.
	v := valley{held: t.chi2}
	if t.scale[j] > 0 {
		v.slope, v.curve = 2*t.slope[j], 1
	}
	for i := range n {
		if i == j {
			continue
		}
		if damping == 0 {
			v.held += t.slope[i] * t.step[i]
			v.slope += 2 * line[i] * t.step[i]
			v.curve += line[i] * t.side[i]
			continue
		}
		v.held += (2*t.slope[i] + t.bent(i, j, t.step)) * t.step[i]
		v.slope += 2 * (line[i]*t.step[i] + (t.slope[i]+t.bent(i, j, t.step))*t.side[i])
		v.curve += (2*line[i] + t.bent(i, j, t.side)) * t.side[i]
	}
	if scale := t.scale[j]; scale > 0 { // per step of coordinate j itself
		v.slope /= scale
		v.curve /= scale * scale
	}
	return v
}

// bent is a line of the normal matrix times a step, without coordinate j.
func (t *tracer) bent(i, j int, step []float64) float64 {
	sum := 0.0
	for k, a := range t.normal[i*t.n : (i+1)*t.n] {
		if k != j {
			sum += a * step[k]
		}
	}
	return sum
}

// equations sets up the normal equations: JᵀJ and Jᵀr. Damping is
// in the units of x, as in Solve. Careful equations have the second derivatives along forks.
func (t *tracer) equations(damping float64, careful bool) {
	n := t.n
	products(t.normal, t.slope, t.jac, t.r)
	if careful {
		for i := range t.forks {
			t.bend(&t.forks[i])
		}
	}
	most := columnScales(t.scale, t.normal)
	for j := range n {
		t.slope[j] *= t.scale[j]
		t.ridge[j] = damping * most * t.scale[j] * t.scale[j]
		t.normal[j*n+j] *= t.scale[j] * t.scale[j]
		for k := j + 1; k < n; k++ {
			v := t.normal[j*n+k] * t.scale[j] * t.scale[k]
			t.normal[j*n+k], t.normal[k*n+j] = v, v
		}
	}
}

// bend puts the second derivative of the sum of squares along a fork on the diagonal, as a
// difference: as far as it goes down, its size, so that steps go down as well.
func (t *tracer) bend(f *fork) {
	k, n := f.at, t.n
	by := f.reach * 1e-4
	copy(t.tryX, t.x)
	t.tryX[k] += by
	clear(t.tryR)
	clear(t.tryJac)
	t.model(t.tryX, t.tryR, t.tryJac)
	slope := 0.0
	for i, r := range t.tryR {
		slope += r * t.tryJac[i*n+k]
	}
	t.normal[k*n+k] = max(math.Abs(slope-t.slope[k])/by, t.normal[k*n+k]/2)
}

// factor finds the factor of Cholesky, without coordinate j. A coordinate that hangs on
// those before it has 0 on the diagonal: it is left where it is.
func (t *tracer) factor(j int) {
	n := t.n
	for i := range n {
		row := t.lower[i*n : (i+1)*n]
		clear(row)
		if i == j || t.scale[i] == 0 {
			continue
		}
		left := 1 + t.ridge[i]
		for k := range i {
			to := t.lower[k*n : (k+1)*n]
			if to[k] == 0 {
				continue
			}
			sum := t.normal[i*n+k]
			for l, v := range row[:k] {
				sum -= v * to[l]
			}
			sum /= to[k]
			row[k] = sum
			left -= sum * sum
		}
		if left > 1e-10 {
			row[i] = math.Sqrt(left)
		}
	}
}

// substitute solves the equations for what brings a right side to 0.
func (t *tracer) substitute(x, right []float64) {
	n := t.n
	for i := range n {
		row := t.lower[i*n : (i+1)*n]
		x[i] = 0
		if row[i] == 0 {
			continue
		}
		sum := -right[i]
		for k, v := range row[:i] {
			sum -= v * x[k]
		}
		x[i] = sum / row[i]
	}
	for i := n - 1; i >= 0; i-- {
		d := t.lower[i*n+i]
		if d == 0 {
			continue
		}
		x[i] /= d
		for k, v := range t.lower[i*n : i*n+i] {
			x[k] -= v * x[i]
		}
	}
}
