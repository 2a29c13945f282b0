package survey

import (
	"fmt"
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/spatial/transform"
	"gonum.org/v1/gonum/stat/distuv"
)

// A RigidMotion is a turn and a shift, never a scale, never a mirror.
// The zero RigidMotion is not valid; [FitMotion] makes one.
type RigidMotion struct {
	rows  [3]r3.Vec // of the rotation
	shift r3.Vec
}

// Turn carries a direction along.
func (m RigidMotion) Turn(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(m.rows[0], v), Y: r3.Dot(m.rows[1], v), Z: r3.Dot(m.rows[2], v)}
}

// Apply carries a point along.
func (m RigidMotion) Apply(v r3.Vec) r3.Vec { return r3.Add(m.Turn(v), m.shift) }

// FitMotion returns the rigid motion that carries points onto others with the
// least sum of squared distances (Umeyama 1991, with the scale held at 1). A
// mirror image is not matched by a mirror: the nearest rotation comes out.
//
// Faults are [contact.ErrMissing] for fewer than three points, [contact.ErrRange] for
// numbers that are not finite, and [contact.ErrConflict] for lists of unlike length and
// for points that all lie on a line or at one place.
func FitMotion(from, to []r3.Vec) (RigidMotion, error) {
	var f fault.List
	switch {
	case len(from) != len(to):
		f.Add("points", fmt.Sprintf("%d and %d", len(from), len(to)), "as many", contact.ErrConflict)
		return RigidMotion{}, f.Err()
	case len(from) < 3:
		f.Add("points", fmt.Sprintf("%d", len(from)), "three or more", contact.ErrMissing)
		return RigidMotion{}, f.Err()
	}
	for i := range from {
		if !num.Finite(from[i].X, from[i].Y, from[i].Z, to[i].X, to[i].Y, to[i].Z) {
			f.Add(fmt.Sprintf("points[%d]", i), "", "finite numbers", contact.ErrRange)
		}
	}
	if err := f.Err(); err != nil {
		return RigidMotion{}, err
	}
	x, y := mat.NewDense(len(from), 3, nil), mat.NewDense(len(to), 3, nil)
	var meanX, meanY r3.Vec
	for i := range from {
		x.SetRow(i, []float64{from[i].X, from[i].Y, from[i].Z})
		y.SetRow(i, []float64{to[i].X, to[i].Y, to[i].Z})
		meanX = r3.Add(meanX, r3.Scale(1/float64(len(from)), from[i]))
		meanY = r3.Add(meanY, r3.Scale(1/float64(len(to)), to[i]))
	}
	for _, side := range [2]struct {
		name string
		m    *mat.Dense
		mean r3.Vec
	}{{"from", x, meanX}, {"to", y, meanY}} {
		// Two directions in which points lie apart fix a turn; one does not.
		var spread mat.SVD
		off := mat.NewDense(len(from), 3, nil)
		for i := range from {
			off.SetRow(i, []float64{side.m.At(i, 0) - side.mean.X, side.m.At(i, 1) - side.mean.Y, side.m.At(i, 2) - side.mean.Z})
		}
		if !spread.Factorize(off, mat.SVDNone) || !(spread.Values(nil)[1] > 1e-6*spread.Values(nil)[0]) {
			f.Add(side.name, "on one line", "points that do not all lie on a line", contact.ErrConflict)
		}
	}
	if err := f.Err(); err != nil {
		return RigidMotion{}, err
	}
	_, rotation, _, ok := transform.NewUmeyama(x, y).Transform()
	if !ok {
		f.Add("points", "", "points that fix a turn", contact.ErrConflict)
		return RigidMotion{}, f.Err()
	}
	var m RigidMotion
	for i := range m.rows {
		m.rows[i] = r3.Vec{X: rotation.At(i, 0), Y: rotation.At(i, 1), Z: rotation.At(i, 2)}
	}
	m.shift = r3.Sub(meanY, m.Turn(meanX))
	return m, nil
}

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
	var side [2]points
	for i, s := range [2]*Survey{&from, &to} {
		name := [2]string{"from", "to"}[i]
		if int(s.Unit) >= unitCount {
			f.Add(name+".unit", "", "millimetre, centimetre, metre or inch", contact.ErrUnknown)
			continue
		}
		var own fault.List
		s.validateSigma(&own)
		validateReadings(&own, s.Readings, s.Unit)
		if own.Err() == nil {
			side[i], _ = gather(s.Readings, s.Unit, s.covariance(), &own)
		}
		f.In(name, own.Err())
	}
	if err := f.Err(); err != nil {
		return Registration{}, err
	}
	var all []match
	for _, a := range side[0].all {
		frame := strings.HasPrefix(string(a.landmark), markPrefix)
		for _, k := range framePairs {
			frame = frame || a.landmark == k.left || a.landmark == k.right
		}
		if j := side[1].index(a.landmark); frame && j >= 0 {
			all = append(all, match{a, side[1].all[j]})
		}
	}
	covA, covB := from.covariance(), to.covariance()
	conflict := func(value, want string) (Registration, error) {
		f.Add("landmarks in common", value, want, contact.ErrConflict)
		return Registration{}, f.Err()
	}
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

// turned gives a covariance in the axes that the motion carries onto.
func (m RigidMotion) turned(c [3][3]float64) (t [3][3]float64) {
	for i := range 3 {
		for j := range 3 {
			t[i][j] = r3.Dot(m.rows[i], apply(c, m.rows[j]))
		}
	}
	return t
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
