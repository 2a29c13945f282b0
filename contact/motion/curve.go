package motion

import (
	"context"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/mat"
)

// A Curve is a measure over the crank angle: the mean of all revolutions as harmonics of
// the revolution, and what each revolution adds to it. [Motion.Curve] makes one.
//
// The mean is a least-squares fit to the frames of all revolutions together, so that noise
// and few frames a revolution do not widen its extremes. A revolution's share in the fit is
// what it differs by, so that uncertainties hold however noise and riders vary within a
// revolution.
type Curve struct {
	// Of and Side are what it is of.
	Of   Measure
	Side contact.Side
	// View is how the points were taken, and Flat whether a single camera at the side did.
	View View
	Flat bool
	// Harmonics is how many it has.
	Harmonics int
	// Used holds the indices in [Motion.Revolutions] of those that it stands on, and Frames
	// is how many frames they have. The others lack a marker for longer than may be filled.
	Used   []int
	Frames int

	minutes []float64   // when each revolution was
	each    [][]float64 // a curve of each revolution: mean, cosine, sine, cosine of twice, …
}

// An Extreme is the statistics of the least or the most of a curve, at the crank angle where
// the mean curve has it.
type Extreme struct {
	Stat
	// CrankAngle is where it is, 0 to below 360 degrees from the top dead centre of the side.
	CrankAngle float64 `json:"crank_angle_deg"`
}

// Curve returns a measure of one side over the crank angle.
//
// Faults are [contact.ErrMissing] for markers that the measure needs and the recording
// does not have (its error names them), for what a camera at the side does not see, and if
// no revolution with enough frames is left; [contact.ErrUnknown] for a measure or side that
// does not exist; and [contact.ErrRange] for markers closer together than 1 mm in the
// view. If the context ends, the error wraps the context's.
//
// Markers lie on the skin beside the joints. Angles therefore differ from those of bones,
// and of a chain of package contact/rider, by some degrees, and are best compared with angles from the same
// markers.
func (m Motion) Curve(ctx context.Context, of Measure, side contact.Side) (Curve, error) {
	w := work.New(ctx, -1)
	values, err := m.values(w, of, side)
	if err != nil {
		return Curve{}, err
	}
	all, err := m.curves(w, of.String(), side, values)
	if err != nil {
		return Curve{}, err
	}
	all[0].Of = of
	return all[0], nil
}

// curves returns curves of some numbers in each frame, all of them of the revolutions in
// which all were seen.
func (m *Motion) curves(w *work.Meter, what string, side contact.Side, values ...[]float64) ([]Curve, error) {
	c := Curve{Side: side, View: m.settings.View, Flat: m.flat}
	for k, r := range m.revolutions {
		if !w.Do((r.Last - r.First) * len(values)) {
			return nil, m.stopped(w)
		}
		if !slices.ContainsFunc(values, func(line []float64) bool { return slices.ContainsFunc(line[r.First:r.Last+1], math.IsNaN) }) {
			c.Used, c.minutes = append(c.Used, k), append(c.minutes, (r.Start+r.End)/120)
			c.Frames += r.Last - r.First + 1
		}
	}
	if len(c.Used) == 0 {
		return nil, &contact.Error{Path: what, Want: "at least one revolution with its markers seen", Class: contact.ErrMissing}
	}
	most := m.settings.Harmonics
	if most == 0 {
		most = 8
	}
	c.Harmonics = min(most, int((float64(c.Frames)/float64(len(c.Used))-1)/2.4))
	if c.Harmonics < 2 {
		return nil, &contact.Error{Path: "times", Value: num.Text(round1(float64(c.Frames)/float64(len(c.Used))), "frames a revolution"), Want: "at least 6", Class: contact.ErrMissing}
	}
	all := make([]Curve, len(values))
	for i := range all {
		all[i] = c
	}
	m.fit(w, all, values)
	if w.Stopped() {
		return nil, m.stopped(w)
	}
	return all, nil
}

// own is the crank angle of a side.
func own(angle float64, side contact.Side) float64 {
	if side == contact.Right {
		return angle - 180
	}
	return angle
}

// fit fits mean curves, and a curve of each revolution: the mean and as much as that
// revolution's residuals moved it, times the number of revolutions.
func (m *Motion) fit(w *work.Meter, all []Curve, values [][]float64) {
	c := &all[0]
	n := 2*c.Harmonics + 1
	gram, right := make([]float64, n*n), make([]float64, n*len(all))
	row := make([]float64, n)
	frames := func(k int, do func(i int)) {
		r := m.revolutions[k]
		for i := r.First; i <= r.Last && w.Do(n*len(all)); i++ {
			basis(row, own(m.crank[i], c.Side))
			do(i)
		}
	}
	for _, k := range c.Used {
		frames(k, func(frame int) {
			for i, x := range row {
				to := gram[i*n : i*n+i+1]
				for j := range to {
					to[j] += x * row[j]
				}
			}
			for v, line := range values {
				to := right[v*n : v*n+n]
				for i, x := range row {
					to[i] += x * line[frame]
				}
			}
		})
	}
	normal := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			normal.SetSym(i, j, gram[i*n+j])
		}
		// Frames at few places of the circle do not tell all harmonics apart.
		normal.SetSym(i, i, gram[i*n+i]+1e-9*float64(c.Frames))
	}
	var factor mat.Cholesky
	if w.Stopped() || !factor.Factorize(normal) {
		return
	}
	// Rows of what solves are of curves.
	solve := func(right []float64) []float64 {
		to := mat.NewDense(n, len(all), nil)
		if factor.SolveTo(to, mat.NewDense(len(all), n, right).T()) != nil {
			return make([]float64, len(right))
		}
		return mat.DenseCopyOf(to.T()).RawMatrix().Data
	}
	mean := solve(right)
	for _, k := range c.Used {
		score := make([]float64, len(right))
		frames(k, func(frame int) {
			for v, line := range values {
				off, of := line[frame], mean[v*n:v*n+n]
				for i, x := range row {
					off -= x * of[i]
				}
				to := score[v*n : v*n+n]
				for i, x := range row {
					to[i] += x * off
				}
			}
		})
		by := solve(score)
		for v := range all {
			one := make([]float64, n)
			for i := range one {
				one[i] = mean[v*n+i] + float64(len(c.Used))*by[v*n+i]
			}
			all[v].each = append(all[v].each, one)
		}
	}
}

// basis fills in 1, the cosine and the sine of an angle, of twice the angle, and so on.
func basis(row []float64, deg float64) {
	sin, cos := math.Sincos(deg * num.Rad)
	row[0] = 1
	s, k := 0.0, 1.0
	for i := 1; i+1 < len(row); i += 2 {
		s, k = s*cos+k*sin, k*cos-s*sin
		row[i], row[i+1] = k, s
	}
}

// slopes fills in the derivatives of basis by the angle in radians.
func slopes(row []float64, deg float64) {
	basis(row, deg)
	row[0] = 0
	for i := 1; i+1 < len(row); i += 2 {
		k := float64(i+1) / 2
		row[i], row[i+1] = -k*row[i+1], k*row[i]
	}
}

// of returns the statistics of a linear function of the curves.
func (c *Curve) of(row []float64) Stat {
	all := make([]float64, len(c.each))
	for k, one := range c.each {
		for i, x := range row {
			all[k] += x * one[i]
		}
	}
	return stat(all, c.Frames)
}

// row returns room for a linear function.
func (c *Curve) row() []float64 { return make([]float64, 2*c.Harmonics+1) }

// At returns the measure at a crank angle of the side in degrees, any finite number, with 0
// at its top dead centre and 180 at its bottom one. The fault is [contact.ErrRange] for a
// crank angle that is not finite, and [contact.ErrMissing] for the zero Curve.
func (c Curve) At(crankAngle float64) (Stat, error) {
	var f fault.List
	if len(c.each) == 0 {
		f.Add("curve", "", "a curve that Motion.Curve made", contact.ErrMissing)
	}
	if !num.Finite(crankAngle) {
		f.Add("crank_angle_deg", num.Text(crankAngle, "degrees"), "a finite number", contact.ErrRange)
	}
	if err := f.Err(); err != nil {
		return Stat{}, err
	}
	row := c.row()
	basis(row, num.Turn(crankAngle))
	return c.of(row), nil
}

// Mean returns the mean over the crank circle; the zero Stat of the zero Curve.
func (c Curve) Mean() Stat {
	if len(c.each) == 0 {
		return Stat{}
	}
	row := c.row()
	row[0] = 1
	return c.of(row)
}

// Least and Most return the extremes of the mean curve; the zero Extreme of the zero Curve.
// An extreme of a curve that is a little wrong is a little too far out, which is taken off.
func (c Curve) Least() Extreme { return c.extreme(-1) }

// Most is described at Least.
func (c Curve) Most() Extreme { return c.extreme(1) }

// Range returns Most less Least.
func (c Curve) Range() Stat {
	if len(c.each) == 0 {
		return Stat{}
	}
	return c.between(c.Least(), c.Most())
}

// between returns most less least.
func (c *Curve) between(least, most Extreme) Stat {
	low, high := c.row(), c.row()
	basis(low, least.CrankAngle)
	basis(high, most.CrankAngle)
	for i := range high {
		high[i] -= low[i]
	}
	s := c.of(high)
	s.Mean = most.Mean - least.Mean
	return s
}

// A harmonic curve is the mean of a [Curve], with room for its harmonics at an angle.
type harmonic struct{ mean, row []float64 }

func (h *harmonic) dot(deg float64, of func([]float64, float64)) (v float64) {
	of(h.row, deg)
	for i, x := range h.row {
		v += x * h.mean[i]
	}
	return v
}

func (h *harmonic) at(deg float64) float64 { return h.dot(deg, basis) }

func (h *harmonic) slope(deg float64) float64 { return h.dot(deg, slopes) }

func (c *Curve) mean() harmonic {
	h := harmonic{c.row(), c.row()}
	for _, one := range c.each {
		for i, v := range one {
			h.mean[i] += v / float64(len(c.each))
		}
	}
	return h
}

func (c *Curve) extreme(sign float64) Extreme {
	if len(c.each) == 0 {
		return Extreme{}
	}
	return c.corrected(sign, c.furthest(sign))
}

// furthest returns the crank angle at which a curve is furthest out.
func (c *Curve) furthest(sign float64) (at float64) {
	mean, best := c.mean(), math.Inf(-1)
	for deg := range 360 {
		if v := sign * mean.at(float64(deg)); v > best {
			best, at = v, float64(deg)
		}
	}
	if a, b := mean.slope(at-1), mean.slope(at+1); a*b < 0 {
		at = num.RootTo(1e-9, mean.slope, at-1, a, at+1, b)
	}
	return num.Turn(at)
}

// corrected returns the extreme at a crank angle. To second order it is too far out by half
// of the slope's variance over the curvature.
func (c *Curve) corrected(sign, at float64) Extreme {
	row, mean := c.row(), c.mean()
	basis(row, at)
	e := Extreme{Stat: c.of(row), CrankAngle: at}
	slopes(row, at)
	slope := c.of(row)
	bend := (mean.slope(at+1) - mean.slope(at-1)) / (2 * num.Rad)
	if bend*sign < 0 {
		e.Mean -= sign * min(slope.Sigma*slope.Sigma/(2*math.Abs(bend)), e.Sigma)
	}
	return e
}

// PerMinute returns by how much the mean of the revolutions grows a minute, by the straight
// line through them with the least squares: drift. It is 0 for fewer than two.
func (c Curve) PerMinute() float64 {
	var x, y, xx, xy float64
	n := float64(len(c.each))
	for k, one := range c.each {
		x, y = x+c.minutes[k]/n, y+one[0]/n
	}
	for k, one := range c.each {
		xx, xy = xx+(c.minutes[k]-x)*(c.minutes[k]-x), xy+(c.minutes[k]-x)*(one[0]-y)
	}
	if !(xx > 0) {
		return 0
	}
	return xy / xx
}
