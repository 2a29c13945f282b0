package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Derivatives of all residuals by all unknowns against central differences, to 1e-6 of the
// largest of a residual.
func TestDerivatives(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 2))
	for range 5 {
		e := Evidence{Position: contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -200, Z: 700}})}
		l := leg{side: contact.Left, crank: 172.5, sole: 20, seen: make([]seen, 5), pelvis: true, rule: rng.IntN(2) == 0}
		near := func(x, z float64) r3.Vec { return r3.Vec{X: x + 10*rng.NormFloat64(), Z: z + 10*rng.NormFloat64()} }
		for k := range l.seen {
			deg := 72*float64(k) + 30*rng.Float64()
			sin, cos := math.Sincos(deg * math.Pi / 180)
			at := near(172.5*sin-90, 172.5*cos+130)
			l.seen[k].show([]r3.Vec{near(-180, 790), near(100, 450), at, r3.Add(at, r3.Vec{X: 130, Z: -100}), r3.Add(at, r3.Vec{X: -40, Z: -40})}, []float64{1, 1, 1}, deg)
			l.seen[k].at[centre] = near(-180, 790)
		}
		p := newProblem(&e, []leg{l, l})
		x := p.start()
		for i := range x {
			x[i] += rng.NormFloat64()
		}
		for _, at := range p.at { // legs that reach
			x[at+thigh], x[at+shank] = 490, 480
		}
		m := p.rows()
		r, jac := make([]float64, m), make([]float64, m*p.n)
		p.model(x, r, jac)
		low, high, none := make([]float64, m), make([]float64, m), make([]float64, m*p.n)
		for j := range x {
			const h = 1e-4
			is := x[j]
			x[j] = is - h
			p.model(x, low, none)
			x[j] = is + h
			p.model(x, high, none)
			x[j] = is
			for i := range m {
				require.InDelta(t, (high[i]-low[i])/(2*h), jac[i*p.n+j], 1e-6, "residual %d by %d", i, j)
			}
		}
	}
}

// What the rule of the pelvis is wrong by is the same for both hips, which differ by some: 8 mm
// in common and 3 of each its own.
func TestOneRuleForBothHips(t *testing.T) {
	e := Evidence{Position: contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -200, Z: 700}})}
	l := leg{crank: 172.5, seen: make([]seen, 1), pelvis: true, rule: true}
	p := newProblem(&e, []leg{l, l})
	of := func(leg int) int { return p.at[leg] + own + sways + centre*wrongs }
	var a, b, c float64 // what the priors say of both
	for _, q := range p.prior {
		if q.of != of(0) && q.of != of(1) {
			continue
		}
		shares := map[int]float64{q.of: 0, q.with: 0}
		one, two := q.shares()
		shares[q.of] += one
		shares[q.with] += two
		w := 1 / (q.sigma * q.sigma)
		a, b, c = a+w*shares[of(0)]*shares[of(0)], b+w*shares[of(0)]*shares[of(1)], c+w*shares[of(1)]*shares[of(1)]
	}
	det := a*c - b*b
	require.InDelta(t, 8*8+3*3, c/det, 1e-9)
	require.InDelta(t, 8*8, -b/det, 1e-9)
}
