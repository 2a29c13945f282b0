package survey

import (
	"fmt"
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// A Registration carries the axes of one survey onto those of another of the same bike.
type Registration struct {
	Motion RigidMotion
	// Residuals is how far each landmark that was used is off after the motion,
	// in the axes of the survey that was carried onto, mm.
	Residuals []Residual
	// Moved lists landmarks that both surveys read but that do not fit: they
	// were moved between the two, or read wrong. They were not used.
	Moved []Landmark

	middle r3.Vec
	cov    *mat.Dense // of turn about the middle and shift
}

// Covariance returns how uncertain a carried point is by the registration alone,
// mm²; at is in the axes that were carried onto. Add that of the reading itself.
func (r Registration) Covariance(at r3.Vec) [3][3]float64 {
	var c [3][3]float64
	if r.cov == nil {
		return c
	}
	jac := turnAndShift(r3.Sub(at, r.middle))
	var half, all mat.Dense
	half.Mul(jac, r.cov)
	all.Mul(&half, jac.T())
	for i := range c {
		for j := range c {
			c[i][j] = all.At(i, j)
		}
	}
	return c
}

// turnAndShift is how a point moves with a small turn and a shift.
func turnAndShift(v r3.Vec) *mat.Dense {
	return mat.NewDense(3, 6, []float64{
		0, v.Z, -v.Y, 1, 0, 0,
		-v.Z, 0, v.X, 0, 1, 0,
		v.Y, -v.X, 0, 0, 0, 1,
	})
}

// Register carries the landmarks of one survey onto those of another of the same
// bike: the axes of from onto the axes of to. It uses the landmarks of the frame and your own
// marks ([Mark]) that both read; saddle, bar and cranks are what sessions change,
// and count for nothing. While landmarks are further off than errors explain, the
// worst goes to Moved, a third of them at most; a front wheel that was turned or
// changed ends there.
//
// Faults are those of readings as in [Survey.Solve]; [contact.ErrMissing] for
// fewer than three landmarks in common; [contact.ErrConflict] for landmarks on a
// line and for surveys that no motion brings together, such as those of two bikes
// or of mirrored axes.
func Register(from, to Survey) (Registration, error) {
	var f fault.List
	side := [2]points{means(&f, "from", &from), means(&f, "to", &to)}
	if err := f.Err(); err != nil {
		return Registration{}, err
	}
	conflict := func(value, want string) (Registration, error) {
		f.Add("landmarks in common", value, want, contact.ErrConflict)
		return Registration{}, f.Err()
	}
	all := inCommon(&side[0], &side[1])
	covA, covB := from.covariance(), to.covariance()
	r, worst, ok, err := register(all, covA, covB)
	if err == nil && !ok {
		mirrored := append([]match(nil), all...)
		for i := range mirrored {
			mirrored[i].a.at.X *= -1
		}
		if _, _, fits, _ := register(mirrored, covA, covB); fits {
			return conflict("mirror images", "both surveys in right-handed axes, with left and right not swapped")
		}
	}
	most := len(all) / 3
	for err == nil && !ok {
		if len(r.Moved) == most || len(all) < 5 { // four may not tell which of them is wrong
			return conflict(fmt.Sprintf("%.1f mm off at %s", r3.Norm(r.Residuals[worst].Off), all[worst].a.landmark),
				"the same bike, with four landmarks or more and two thirds of all that have not moved")
		}
		moved := append(r.Moved, all[worst].a.landmark)
		all = append(all[:worst], all[worst+1:]...)
		r, worst, ok, err = register(all, covA, covB)
		r.Moved = moved
	}
	if err != nil {
		f.In("landmarks in common", err)
		return Registration{}, f.Err()
	}
	return r, nil
}

// means returns the landmarks of a survey that need not have a datum.
func means(f *fault.List, name string, s *Survey) (p points) {
	if int(s.Unit) >= unitCount {
		f.Add(name+".unit", "", "millimetre, centimetre, metre or inch", contact.ErrUnknown)
		return p
	}
	var own fault.List
	s.validateSigma(&own)
	validateReadings(&own, s.Readings, s.Unit)
	if own.Err() == nil {
		p, _ = gather(s.Readings, s.Unit, s.covariance(), &own)
	}
	f.In(name, own.Err())
	return p
}

// inCommon returns the landmarks of the frame and the marks that both sides have.
func inCommon(a, b *points) []match {
	var all []match
	for _, p := range a.all {
		frame := strings.HasPrefix(string(p.landmark), markPrefix)
		for _, k := range framePairs {
			frame = frame || p.landmark == k.left || p.landmark == k.right
		}
		if j := b.index(p.landmark); frame && j >= 0 {
			all = append(all, match{p, b.all[j]})
		}
	}
	return all
}

// A match is a landmark's mean in two surveys.
type match struct{ a, b point }

// register carries one side onto the other, and tells which landmark is furthest
// off and whether all of them are off by no more than errors explain.
func register(all []match, covA, covB [3][3]float64) (r Registration, worst int, ok bool, err error) {
	var x, y []r3.Vec
	for _, m := range all {
		x, y = append(x, m.a.at), append(y, m.b.at)
	}
	if r.Motion, err = FitMotion(x, y); err != nil {
		return r, 0, false, err
	}
	turned := r.Motion.turned(covA)
	most, chi2 := 0.0, 0.0
	for i, m := range all {
		off := r3.Sub(r.Motion.Apply(m.a.at), m.b.at)
		var sigma [3]float64
		c := 0.0
		for k := range sigma {
			sigma[k] = math.Sqrt(turned[k][k]/m.a.n + covB[k][k]/m.b.n)
			c += at(off, k) * at(off, k) / (sigma[k] * sigma[k])
		}
		chi2 += c
		if c > most {
			worst, most = i, c
		}
		r.Residuals = append(r.Residuals, Residual{m.a.landmark, off, r3.Vec{X: sigma[0], Y: sigma[1], Z: sigma[2]}})
	}
	r.spread(all, turned, covB)
	freedom := float64(3*len(all) - 6)
	return r, worst, distuv.ChiSquared{K: freedom}.Survival(chi2) >= disagree, nil
}

// spread works out the covariance of turn and shift, (JᵀJ)⁻¹JᵀCJ(JᵀJ)⁻¹.
func (r *Registration) spread(all []match, covA, covB [3][3]float64) {
	for _, m := range all {
		r.middle = r3.Add(r.middle, r3.Scale(1/float64(len(all)), r.Motion.Apply(m.a.at)))
	}
	normal, noisy := mat.NewDense(6, 6, nil), mat.NewDense(6, 6, nil)
	for _, m := range all {
		jac := turnAndShift(r3.Sub(r.Motion.Apply(m.a.at), r.middle))
		c := mat.NewDense(3, 3, nil)
		for j := range 3 {
			for k := range 3 {
				c.Set(j, k, covA[j][k]/m.a.n+covB[j][k]/m.b.n)
			}
		}
		var a, b mat.Dense
		a.Mul(jac.T(), jac)
		normal.Add(normal, &a)
		b.Mul(jac.T(), c)
		a.Mul(&b, jac)
		noisy.Add(noisy, &a)
	}
	var inverse, half mat.Dense
	_ = inverse.Inverse(normal) // FitMotion has seen that it can be done
	half.Mul(&inverse, noisy)
	r.cov = new(mat.Dense)
	r.cov.Mul(&half, &inverse)
}
