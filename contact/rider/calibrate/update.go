package calibrate

import (
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/blame"
	"example.com/fitgeom/internal/lsq"
	"gonum.org/v1/gonum/mat"
)

// An update is readings beside what is known of a body without them, to first order there.
// So a reading more never makes a number less well known, and it takes next to no time to
// ask what the others say of one. The unknowns are those of the hip and, of each leg, its
// own, and what recordings are wrong by has been averaged over.
type update struct {
	legs     []leg
	readings []Reading
	known    []float64
	weight   []float64 // the root of what is known: the upper triangle, row by row
}

// newUpdate takes what a recording shows; false if that is nothing.
func newUpdate(p *problem, shown *lsq.Fit, readings []Reading) (*update, bool) {
	u := &update{legs: p.legs, readings: readings}
	keep := []int{forward, up}
	for _, at := range p.at {
		for k := range own {
			keep = append(keep, at+k)
		}
	}
	n := len(keep)
	covariance := mat.NewSymDense(n, nil)
	for i, a := range keep {
		u.known = append(u.known, shown.X[a])
		for j, b := range keep {
			covariance.SetSym(i, j, shown.Cov.At(a, b))
		}
	}
	var factor, inverse mat.Cholesky
	var weight mat.SymDense
	var root mat.TriDense
	if !shown.Converged || !factor.Factorize(covariance) || factor.InverseTo(&weight) != nil || !inverse.Factorize(&weight) {
		return nil, false
	}
	inverse.UTo(&root)
	for i := range n {
		for j := range n {
			u.weight = append(u.weight, root.At(i, j))
		}
	}
	return u, true
}

// solve fits with some readings changed.
func (u *update) solve(x []float64, changes []blame.Change) lsq.Fit {
	readings := slices.Clone(u.readings)
	weights := make([]float64, len(readings))
	for i := range readings {
		weights[i] = 1 / readings[i].sigma()
	}
	for _, c := range changes {
		if c.Out {
			weights[c.Reading] /= blame.Faint
		} else {
			readings[c.Reading].Value = c.Value
		}
	}
	n := len(u.known)
	return lsq.Solve(x, len(readings)+n, func(x, r, jac []float64) {
		for i := range readings {
			row := jac[i*n : (i+1)*n]
			r[i] = weights[i] * (u.reading(&readings[i], x, row) - readings[i].Value)
			for k := range row {
				row[k] *= weights[i]
			}
		}
		r, jac = r[len(readings):], jac[len(readings)*n:]
		copy(jac, u.weight)
		for i := range n {
			for k, w := range u.weight[i*n : (i+1)*n] {
				r[i] += w * (x[k] - u.known[k])
			}
		}
	})
}

// reading returns what a reading would be, and its derivatives.
func (u *update) reading(r *Reading, x, row []float64) float64 {
	w := &of[r.Of]
	value := w.forward*x[forward] + w.up*x[up] - w.less
	row[forward], row[up] = w.forward, w.up
	for i := range u.legs {
		share := 0.0
		if r.Side == contact.Centre {
			share = 1 / float64(len(u.legs))
		} else if r.Side == u.legs[i].side {
			share = 1
		}
		for k, by := range [...]float64{thigh: w.thigh, shank: w.shank, height: w.ankle} {
			at := shared + i*own + k
			value += share * by * x[at]
			row[at] = share * by
		}
	}
	return value
}

// suspects names readings that the rest contradicts.
func (u *update) suspects(fit *lsq.Fit) []contact.Suspect {
	trial := func(out []int) blame.Trial {
		return blame.Trial{Fits: []lsq.Fit{u.solve(fit.X, blame.Out(out))}, From: u.solve}
	}
	q := blame.Question{
		Solve: trial,
		Values: func(i int) []contact.Slip {
			w := &of[u.readings[i].Of]
			return blame.Values(u.readings[i].Value, false, w.low, w.high)
		},
		Others: func(int) []blame.Other { return nil },
	}
	for i := range u.readings {
		q.Value, q.Sigma = append(q.Value, u.readings[i].Value), append(q.Sigma, u.readings[i].sigma())
	}
	return q.Ask(trial(nil), fit).Suspects
}
