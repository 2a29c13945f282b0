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

// A Registration carries the axes of one survey onto those of another survey of the same
// bike.
type Registration struct {
	Motion RigidMotion
	// Residuals holds the offset that remains at each landmark that was used, in the axes
	// of the survey that was carried onto, mm.
	Residuals []Residual
	// Moved lists the landmarks that both surveys read but that do not fit. They moved
	// between the surveys or were read wrongly, and were not used.
	Moved []Landmark

	middle r3.Vec
	cov    *mat.Dense // of the turn about middle and of the shift
}

// Covariance returns the part of a carried point's covariance that is due to the
// registration, mm². The point is given in the axes that were carried onto. Add the
// covariance of the reading itself.
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

// turnAndShift returns the derivatives of a point by a small turn and a shift.
func turnAndShift(v r3.Vec) *mat.Dense {
	return mat.NewDense(3, 6, []float64{
		0, v.Z, -v.Y, 1, 0, 0,
		-v.Z, 0, v.X, 0, 1, 0,
		v.Y, -v.X, 0, 0, 0, 1,
	})
}

// Register carries the landmarks of one survey onto those of another survey of the same
// bike: the axes of from onto the axes of to. It uses the landmarks of the frame and your
// own marks ([Mark]) that both surveys read. Saddle, bar and cranks are not used, since
// they are what a session changes, nor are rims, which are read anywhere. While landmarks are further off than their errors
// explain, the worst one goes to Moved, up to a third of all. The axle of a front wheel
// that was turned or changed ends up there. Fixes need none of this, as all are in the bike's
// own axes: [Compare] compares them, be they from an instrument, a tape or photographs.
//
// Faults are those of readings as in [Survey.Solve]; [contact.ErrMissing] for fewer than
// three landmarks in common; and [contact.ErrConflict] for landmarks on one line and for
// surveys that no motion brings together, such as those of two bikes or of mirrored axes.
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
			return conflict("mirror images", "both surveys in right-handed axes, with left and right not exchanged")
		}
	}
	most := len(all) / 3
	for err == nil && !ok {
		if len(r.Moved) == most || len(all) < 5 { // four may not show which of them is wrong
			return conflict(fmt.Sprintf("%.1f mm off at %s", r3.Norm(r.Residuals[worst].Off), all[worst].a.landmark),
				"the same bike, with at least four landmarks and two thirds of all in the same place")
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

// means returns the mean landmarks of a survey, which need not have a datum.
func means(f *fault.List, name string, s *Survey) (p points) {
	if int(s.Unit) >= unitCount {
		f.Add(name+".unit", "", "millimetre, centimetre, metre or inch", contact.ErrUnknown)
		return p
	}
	var own fault.List
	s.validateSigma(&own)
	validateReadings(nil, &own, s.Readings, s.Unit)
	if own.Err() == nil {
		var err error
		p, _, err = gather(s.Readings, s.Unit, s.covariance())
		own.In("", err)
	}
	f.In(name, own.Err())
	return p
}

// inCommon returns the landmarks of the frame and the marks that both surveys have.
func inCommon(a, b *points) []match {
	var all []match
	for _, p := range a.all {
		frame := strings.HasPrefix(string(p.landmark), markPrefix)
		for i := range framePairs {
			k := &framePairs[i]
			frame = frame || k.stays && (p.landmark == k.left || p.landmark == k.right)
		}
		if j := b.index(p.landmark); frame && j >= 0 {
			all = append(all, match{p, b.all[j]})
		}
	}
	return all
}

// A match is the mean of a landmark in each of two surveys.
type match struct{ a, b point }

// register carries one side onto the other. It returns which landmark is furthest off,
// and whether errors explain all offsets.
func register(all []match, covA, covB [3][3]float64) (r Registration, worst int, ok bool, err error) {
	var x, y []r3.Vec
	for _, m := range all {
		x, y = append(x, m.a.at), append(y, m.b.at)
	}
	motion, offs, err := FitMotion(x, y)
	if err != nil {
		return r, 0, false, err
	}
	r.Motion = motion
	turned := r.Motion.turned(covA)
	most, chi2 := 0.0, 0.0
	for i, m := range all {
		off := offs[i]
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

// spread computes the covariance of turn and shift, (JᵀJ)⁻¹JᵀCJ(JᵀJ)⁻¹.
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
	_ = inverse.Inverse(normal) // FitMotion has made sure that it exists
	half.Mul(&inverse, noisy)
	r.cov = new(mat.Dense)
	r.cov.Mul(&half, &inverse)
}
