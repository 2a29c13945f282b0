package photo

import (
	"context"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Result is what photographs tell.
type Result struct {
	// Fix is the contact points, as of any other survey.
	Fix survey.Fix
	// Views is where the cameras stood, one for each photograph.
	Views []View
	// Cameras is the cameras as the photographs have them, with the standard uncertainties of
	// focal length, centre and distortion, so that they may be stated of other photographs.
	// Of distortion that is what any radial coefficient has by itself, so that a corner may
	// be better known.
	Cameras []Camera
	// Findings holds what a person should know about the photographs. Fix.Findings has what
	// they show of the bike.
	Findings []Finding
}

// fit fits all unknowns, from where they are.
func (m *model) fit(x []float64) lsq.Fit {
	f := lsq.Solve(x, m.rows, m.fill)
	m.recentre(f.X)
	m.count.step()
	return f
}

// near is fit to where a step more would gain next to nothing, without uncertainties.
func (m *model) near(x []float64) lsq.Fit {
	f := lsq.Near(x, m.rows, m.fill, 1e-4)
	m.recentre(f.X)
	m.count.step()
	return f
}

// recentre takes the turns of the views as those to go on from. The derivatives by a small
// turn are the same.
func (m *model) recentre(x []float64) {
	for i, v := range m.views {
		_, m.turn[i], _ = m.view(x, i)
		x[v+3], x[v+4], x[v+5] = 0, 0, 0
	}
}

// first finds where to fit from for the first time.
func (m *model) first() []float64 {
	x := m.begin(false)
	m.wide = 20
	x = m.near(x).X
	m.wide = 1
	return x
}

// Solve finds the contact points.
//
// Besides the faults of [Survey.Validate] it reports:
//
//   - [contact.ErrMissing] where nothing tells the scale to 2 %, or where bottom bracket or an
//     axle is;
//   - [contact.ErrConflict] for marks of a photograph that lie on one line, for a photograph
//     that is mirrored, whose labels have left and right exchanged or that does not fit the
//     others, for two labels that are exchanged, for a focal length, a wheel's size or
//     another statement that all else contradicts, and for marks that do not fit together
//     where it does not show which; each names what else it could be;
//   - [contact.ErrBudget] where so much contradicts that there is no end of it in some two
//     minutes, counted in work and not in time;
//   - whatever contact.Position.Validate finds in the result.
//
// If the context ends, the error wraps the context's and says how many fits were done.
func (s Survey) Solve(ctx context.Context) (Result, error) {
	if err := s.Validate(); err != nil {
		return Result{}, err
	}
	if err := s.lined(); err != nil {
		return Result{}, err
	}
	s = s.clone()
	var r Result
	var err error
	if end := within(ctx, "fits", func(c *counter) { r, err = s.solve(c) }); end != nil {
		return Result{}, end // what solve returns may still be written
	}
	return r, err
}

func (s *Survey) solve(c *counter) (Result, error) {
	m := newModel(s, c)
	f, findings, err := m.settle(m.fit(m.first()))
	if err != nil {
		return Result{}, err
	}
	if !f.Converged || len(f.Free) > 0 {
		return Result{}, &contact.Error{Path: "photographs", Value: "that determine no bike", Want: "more landmarks, or more photographs", Class: contact.ErrConflict}
	}
	unmarked, err := m.unmarked(&f)
	if err != nil {
		return Result{}, err
	}
	if err := m.scaled(&f); err != nil {
		return Result{}, err
	}
	r, err := m.result(&f)
	if err != nil {
		return Result{}, err
	}
	r.Findings = slices.Concat(findings, unmarked, m.notes(&f))
	if s, ok := r.Fix.Standing(); ok && math.Abs(s.Lean) > max(mostLean, 3*s.LeanSigma) {
		r.Findings = append(r.Findings, Finding{Kind: Leaned, Photograph: -1, Mark: -1, Amount: s.Lean})
	}
	return r, nil
}

// lined reports photographs whose marks lie on one line.
func (s *Survey) lined() error {
	var f fault.List
	for i := range s.Photographs {
		var x, y, xx, xy, yy float64
		marks := s.Photographs[i].Marks
		n := float64(len(marks))
		for k := range marks {
			x += marks[k].X / n
			y += marks[k].Y / n
		}
		for k := range marks {
			a, b := marks[k].X-x, marks[k].Y-y
			xx, xy, yy = xx+a*a, xy+a*b, yy+b*b
		}
		apart := math.Hypot(xx-yy, 2*xy)
		if least, most := (xx+yy-apart)/2, (xx+yy+apart)/2; !(least > 4e-4*most) { // 2 % as wide as long
			f.Add(fault.At("photographs", i)+".marks", "on one line", "landmarks apart in two directions", contact.ErrConflict)
		}
	}
	return f.Err()
}

// coarse is how well the scale must be known, as a share, and apart how well the places must
// be known from which all is measured, mm.
const (
	coarse = 0.02
	apart  = 1000 * coarse
)

// unmarked reports which of the bottom bracket and the axles no photograph has, and fails where
// nothing else tells where they are.
func (m *model) unmarked(f *lsq.Fit) ([]Finding, error) {
	counts := map[survey.Landmark]bool{}
	for i := range m.marks {
		if q := &m.marks[i]; !m.out[2*i] {
			counts[m.mark(q).Landmark] = true
		}
	}
	across := func(k int) float64 { // the standard uncertainty of the middle in the side view
		by, most := make([]float64, m.n), 0.0
		for _, axis := range [2]int{0, 2} {
			clear(by)
			by[3*k+axis], by[3*k+3+axis] = 0.5, 0.5
			most = max(most, f.Covariance(by, by))
		}
		return math.Sqrt(most)
	}
	var all []Finding
	var faults fault.List
	for _, p := range [...]struct {
		of     int // the left landmark
		amount float64
		told   bool // by what else is marked, but for the scale
	}{
		{0, min(across(2), across(4)), counts[survey.At(contact.PedalLeft)] && counts[survey.At(contact.PedalRight)]}, // all is measured from it
		{2, across(2), counts[RearCircleLeft] || counts[RearCircleRight] || counts[RearGround]},
		{4, across(4), counts[FrontCircleLeft] || counts[FrontCircleRight] || counts[FrontGround]},
	} {
		left, right := always[p.of], always[p.of+1]
		switch {
		case counts[left] || counts[right]:
		case p.told || p.amount <= apart:
			all = append(all, Finding{Kind: Unmarked, Photograph: -1, Mark: -1, Landmark: left, Amount: p.amount})
		default:
			faults.Add("photographs", "no mark of "+string(left)+" or "+string(right)+", which all else tells to "+num.Text(math.Round(p.amount), "mm"), "a mark of one of them", contact.ErrMissing)
		}
	}
	return all, faults.Err()
}

// scaled reports a scale that is not known.
func (m *model) scaled(f *lsq.Fit) error {
	base := make([]float64, m.n)
	for k := range 2 {
		base[3*(4+k)], base[3*(2+k)] = 0.5, -0.5
	}
	long := 0.0
	for j, by := range base {
		long += by * f.X[j]
	}
	if u := math.Sqrt(max(0, f.Covariance(base, base))) / math.Abs(long); !(u <= coarse) {
		return &contact.Error{
			Path: "photographs", Value: fmt.Sprintf("a scale that is known to %.0f %%", 100*u),
			Want: "a circle of known radius that is marked along a wheel, the feet of the wheels, a crank length with its pedals, or a distance", Class: contact.ErrMissing,
		}
	}
	return nil
}

// mostLean is how far a bike that stands may lean before that is said, degrees.
const mostLean = 2

// notes lists what a person should know of a fit.
func (m *model) notes(f *lsq.Fit) []Finding {
	var all []Finding
	times := make([]int, len(m.landmarks))
	for i := range m.marks {
		if k := m.marks[i].landmark; k >= 0 && !m.out[2*i] {
			times[k]++
		}
	}
	none := Finding{Photograph: -1, Mark: -1}
	worst := 0.0
	for k, l := range m.landmarks {
		if times[k] == 1 && len(m.views) > 1 {
			note := none
			note.Kind, note.Landmark = MarkedOnce, l
			all = append(all, note)
		}
	}
	for i, c := range m.conditions {
		if c.what != aboutSide || len(m.views) > 1 {
			continue
		}
		k := c.terms[0].of / 3
		if times[k] == 0 && len(c.terms) > 1 {
			k = c.terms[1].of / 3
		}
		if times[k] == 0 {
			continue
		}
		row := f.Jac[(2*len(m.marks)+i)*m.n:][:m.n]
		part := func(axis int) (own, whole float64) {
			var e [1]float64
			of := 3*k + axis
			for j, by := range row {
				if by != 0 {
					e[0] += f.Cov.At(of, j) * by
				}
			}
			return e[0] * e[0], f.Cov.At(of, of)
		}
		x, allX := part(0)
		z, allZ := part(2)
		if x+z > (allX+allZ)/2 {
			note := none
			note.Kind, note.Landmark, note.Amount = Assumed, m.landmarks[k], math.Sqrt(x+z)
			all = append(all, note)
		}
		worst = max(worst, math.Sqrt(x+z))
	}
	if worst > 10 {
		note := none
		at, _, _ := m.view(f.X, 0)
		note.Kind, note.Photograph, note.Amount = CameraNear, 0, r3.Norm(at)
		all = append(all, note)
	}
	return append(all, m.distortion(f)...)
}

// distortion reports cameras whose distortion moves marks and was not stated.
func (m *model) distortion(f *lsq.Fit) (all []Finding) {
	for c, first := range m.lenses {
		camera := &m.s.Cameras[c]
		if camera.distorts() {
			continue
		}
		l := camera.lens(f.X[first : first+lensNumbers])
		note := Finding{Kind: LensDistorts, Photograph: -1, Mark: -1}
		sigma := 0.0
		for i := range m.marks {
			q := &m.marks[i]
			if m.s.Photographs[q.photograph].Camera != c {
				continue
			}
			if x, y, ok := l.undistorted(q.x, q.y); ok {
				if off := math.Hypot(l.x+l.focal*x-q.x, l.y+l.focal*y-q.y); off > note.Amount {
					note.Amount, note.Photograph, sigma = off, q.photograph, q.sigma
				}
			}
		}
		if note.Amount > 3*sigma {
			all = append(all, note)
		}
	}
	return all
}

// result makes the fix of a fit.
func (m *model) result(f *lsq.Fit) (Result, error) {
	marked := make([]bool, len(m.landmarks))
	for i := range m.marks {
		if k := m.marks[i].landmark; k >= 0 && !m.out[2*i] {
			marked[k] = true
		}
	}
	p := survey.Placing{
		Steer: f.X[m.steer] * steerUnit / num.Rad, SteerSigma: sigma(f, m.steer) * steerUnit / num.Rad,
		FrontRadius: m.s.FrontRadius, RearRadius: m.s.RearRadius, RadiusSigma: or(m.s.RadiusSigma, 2),
		Saddle: m.s.Saddle,
	}
	if m.up >= 0 {
		p.Up, p.LeanSigma, p.NoseUpSigma = m.upright(f)
	}
	var of []int
	for i, l := range m.landmarks {
		mate, edge := m.find[partner(l)]
		if l.Known() && (marked[i] || needed(l) || edge && marked[mate]) {
			of = append(of, i)
			p.Landmarks = append(p.Landmarks, l)
			p.At = append(p.At, vecAt(f.X, 3*i))
		}
	}
	p.Covariance = make([][]float64, 3*len(of))
	all := make([]float64, len(p.Covariance)*len(p.Covariance))
	for i := range p.Covariance {
		p.Covariance[i] = all[i*len(p.Covariance) : (i+1)*len(p.Covariance)]
		for k := range p.Covariance[i] {
			p.Covariance[i][k] = f.Cov.At(3*of[i/3]+i%3, 3*of[k/3]+k%3)
		}
	}
	fix, err := p.Fix()
	if err != nil {
		return Result{}, err
	}
	r := Result{Fix: fix}
	for i := range m.views {
		at, turn, _ := m.view(f.X, i)
		r.Views = append(r.Views, View{At: at, Right: turn[0], Down: turn[1], Ahead: turn[2]})
	}
	var faults fault.List
	for i := range m.lenses {
		c := m.camera(f, i)
		var own fault.List
		c.check(&own)
		faults.In(fault.At("cameras", i), own.Err())
		r.Cameras = append(r.Cameras, c)
	}
	if faults.Err() != nil { // such as one that folds the picture, of which marks tell next to nothing
		return Result{}, &contact.Error{Path: "photographs", Value: "that no camera takes", Want: "marks of one bike, or a camera of which more is known", Class: contact.ErrConflict}
	}
	return r, nil
}

// camera returns a camera as the photographs have it, with its uncertainty.
func (m *model) camera(f *lsq.Fit, i int) Camera {
	c, at := m.s.Cameras[i], m.lenses[i]
	l := c.lens(f.X[at : at+lensNumbers])
	c.Equivalent = 0
	c.Focal, c.CentreX, c.CentreY, c.K1, c.K2, c.K3, c.P1, c.P2 = l.focal, l.x, l.y, l.k1, l.k2, l.k3, l.p1, l.p2
	c.FocalSigma = max(1e-4, min(0.5, lensUnit*sigma(f, at+lensFocal)))
	c.CentreSigma = max(0.01, sigma(f, at+lensX), sigma(f, at+lensY))
	// K2 has half of the uncertainty of K1 to begin with.
	c.Corner = max(1e-5, min(0.1, lensUnit*max(sigma(f, at+lensK1), 2*sigma(f, at+lensK2))))
	return c
}

// upright returns the upward direction, and the standard uncertainties of lean and slope that
// follow from it, degrees.
func (m *model) upright(f *lsq.Fit) (up r3.Vec, lean, nose float64) {
	up = r3.Vec{X: f.X[m.up] * poseUnit, Y: f.X[m.up+1] * poseUnit, Z: 1}
	unit := poseUnit / num.Rad
	side := 1 + up.Y*up.Y
	lean = sigma(f, m.up+1) * unit / side
	by := make([]float64, m.n) // of the sine's angle
	all := r3.Norm2(up)
	by[m.up], by[m.up+1] = unit*math.Sqrt(side)/all, -unit*up.X*up.Y/(all*math.Sqrt(side))
	return up, lean, math.Sqrt(max(0, f.Covariance(by, by)))
}

func sigma(f *lsq.Fit, i int) float64 { return math.Sqrt(max(0, f.Cov.At(i, i))) }
