package photo

import (
	"context"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Place is where a camera is to stand, level and looking at the middle of the bike.
type Place struct {
	// Around is the direction from the bike to the camera: 0 straight ahead of it, 90 to its
	// left, -90 to its right.
	Around float64 `json:"around_deg" range:"-360 to 360"`
	// Far is how far from the middle of the bike it stands, and High how high above the ground.
	Far  float64 `json:"far_mm" range:"1000 to 50000"`
	High float64 `json:"high_mm,omitzero" range:"0 to 5000"`
}

// A Plan is photographs that are to be taken of a usual bike.
type Plan struct {
	// Camera is the camera of all of them.
	Camera Camera
	// Known is what will be known beside the photographs: its radii, circles, crank,
	// distances, places across the bike and Sigma. It needs no cameras and photographs.
	Known Survey
	// Landmarks is what will be marked, where it can be seen: on the near side, or on both
	// from in front and behind. Circles are marked in six places.
	Landmarks []survey.Landmark
	// Places holds where photographs are to be taken from.
	Places []Place
}

// A Forecast is what photographs would tell.
type Forecast struct {
	// Landmarks are those of the plan that would be seen, without circles, and Sigma their
	// standard uncertainties along each axis, mm.
	Landmarks []survey.Landmark
	Sigma     []r3.Vec
	// Worst is the largest standard uncertainty of a contact site of the plan along an axis,
	// mm, at most 100 mm; a site that no photograph would show counts as 100 mm.
	Worst float64
}

var placeFields = field.New[Place]()

// placesLimit is how many places a plan may have, and candidatesLimit how many there may be
// for one more.
const placesLimit, candidatesLimit = 20, 40

func (p *Plan) check(places []Place, most int) error {
	var f fault.List
	p.Camera.check(&f)
	s := p.Known
	surveyFields.Check(&f, &s)
	for _, all := range [...]struct {
		path string
		n    int
		most int
	}{{"landmarks", len(p.Landmarks), mostLandmarks}, {"places", len(places), most}, {"distances", len(s.Distances), 100}, {"sideways", len(s.Sideways), mostLandmarks}, {"trueness", len(s.Trueness), mostLandmarks}} {
		if all.n > all.most {
			f.Add(all.path, "too many", "fewer", contact.ErrRange)
		}
	}
	if f.Err() != nil {
		return f.Err()
	}
	if len(places) == 0 {
		f.Add("places", "", "one or more", contact.ErrMissing)
	}
	for i := range places {
		var own fault.List
		placeFields.Check(&own, &places[i])
		f.In(fault.At("places", i), own.Err())
	}
	all, circles := map[survey.Landmark]bool{}, 0
	for i, l := range p.Landmarks {
		if !known(l) {
			f.Add(fault.At("landmarks", i), short(l), "a landmark such as rear_axle_left or hoods_right", contact.ErrUnknown)
		} else if all[l] {
			f.Add(fault.At("landmarks", i), short(l), "each landmark once", contact.ErrConflict)
		}
		if hangs(l) {
			f.Add(fault.At("landmarks", i), short(l), "no hanging line", contact.ErrUnknown)
		}
		if _, _, ok := circle(l); ok {
			circles++
		}
		all[l] = true
	}
	if len(p.Landmarks) == circles {
		f.Add("landmarks", "", "one or more that are no circles", contact.ErrMissing)
	}
	s.validateKnown(&f, all, func(string, int, int, int) bool { return true })
	return f.Err()
}

// Forecast returns what standard uncertainties photographs from the places of the plan
// would give, of a usual bike whose marks are as uncertain as the plan says. No photograph
// is needed. Faults are those of [Survey.Validate], and [contact.ErrMissing] for no places
// or landmarks. If the context ends, the error wraps the context's.
func (p Plan) Forecast(ctx context.Context) (Forecast, error) {
	if err := p.check(p.Places, placesLimit); err != nil {
		return Forecast{}, err
	}
	p = p.clone()
	var f Forecast
	if end := within(ctx, "of 1 forecasts", func(c *counter) { f = p.forecast(p.Places, c) }); end != nil {
		return Forecast{}, end
	}
	return f, nil
}

// clone returns a plan of its own.
func (p *Plan) clone() Plan {
	known := p.Known
	known.Cameras, known.Photographs = nil, nil
	return Plan{Camera: p.Camera, Known: known.clone(), Landmarks: slices.Clone(p.Landmarks), Places: slices.Clone(p.Places)}
}

// Next returns which of some candidates for one more photograph makes the worst standard
// uncertainty of a contact site least, as its index, with what all photographs would then
// give. The first of equals counts. Faults are those of [Plan.Forecast]. If the context ends,
// the error wraps the context's and says how many candidates were looked at.
func (p Plan) Next(ctx context.Context, candidates []Place) (int, Forecast, error) {
	if err := p.check(candidates, candidatesLimit); err != nil {
		return 0, Forecast{}, err
	}
	if len(p.Places) > 0 {
		if err := p.check(p.Places, placesLimit); err != nil {
			return 0, Forecast{}, err
		}
	}
	p, candidates = p.clone(), slices.Clone(candidates)
	var best int
	var f Forecast
	if end := within(ctx, "of "+strconv.Itoa(len(candidates))+" candidates looked at", func(c *counter) {
		for i, at := range candidates {
			if g := p.forecast(append(slices.Clip(p.Places), at), c); i == 0 || g.Worst < f.Worst*(1-1e-9) {
				best, f = i, g
			}
		}
	}); end != nil {
		return 0, Forecast{}, end
	}
	return best, f, nil
}

// forecast is the covariance of a fit of marks without errors.
func (p *Plan) forecast(places []Place, c *counter) Forecast {
	s := p.Known
	s.Cameras = []Camera{p.Camera}
	s.Photographs = make([]Photograph, len(places))
	const along = 6 // marks of a circle
	for i := range places {
		sin, _ := num.Sincos(places[i].Around)
		for _, l := range p.Landmarks {
			_, side, round := circle(l)
			n := 1
			if round {
				n = along
			} else if _, ok := l.Mate(); ok {
				side = 1
				if isRight(l) {
					side = -1
				}
			}
			if side*sin < -0.2 || round && side*sin < 0.3 {
				continue
			}
			for range n {
				s.Photographs[i].Marks = append(s.Photographs[i].Marks, Mark{Landmark: l})
			}
		}
	}
	m := newModel(&s, c)
	x := slices.Clone(m.start)
	for i, v := range m.views {
		at, turn := places[i].stand()
		x[v], x[v+1], x[v+2], m.turn[i] = at.X, at.Y, at.Z, turn
	}
	nth := 0
	for k := range m.marks {
		if q := &m.marks[k]; q.landmark < 0 {
			x[q.along] = 2 * math.Pi * float64(nth%along) / along / poseUnit
			nth++
		}
	}
	r, jac := make([]float64, m.rows), make([]float64, m.rows*m.n)
	m.fill(x, r, jac)
	f := m.tell(jac, p.Landmarks)
	c.step()
	return f
}

// unseen is the standard uncertainty of a contact site that no photograph would show, mm.
const unseen = 100

// somewhere is how well it is known where a camera stands, mm, and how it is turned, in
// thousandths: all but not at all. Without it a photograph that shows too little would make
// all others useless.
const somewhere = 1e4

// tell returns the uncertainties that derivatives give. What is known of bikes and cameras
// determines everything, so the matrix of the normal equations has an inverse.
func (m *model) tell(jac []float64, landmarks []survey.Landmark) (out Forecast) {
	normal := mat.NewSymDense(m.n, nil)
	at := make([]int, 0, m.n)
	for i := range m.rows {
		m.count.do(m.n)
		row := jac[i*m.n : (i+1)*m.n]
		at = at[:0]
		for j, v := range row {
			if v != 0 {
				at = append(at, j)
			}
		}
		for _, j := range at {
			for _, k := range at {
				if k >= j {
					normal.SetSym(j, k, normal.At(j, k)+row[j]*row[k])
				}
			}
		}
	}
	for _, v := range m.views {
		for k := v; k < v+6; k++ {
			normal.SetSym(k, k, normal.At(k, k)+1/(somewhere*somewhere))
		}
	}
	var factor mat.Cholesky
	var cov mat.SymDense
	if !factor.Factorize(normal) || factor.InverseTo(&cov) != nil {
		return Forecast{Worst: unseen}
	}
	seen := make([]bool, len(m.landmarks))
	for i := range m.marks {
		if k := m.marks[i].landmark; k >= 0 {
			seen[k] = true
		}
	}
	for _, l := range landmarks {
		i, ok := m.find[l]
		_, err := contact.ParseSite(string(l))
		if _, _, round := circle(l); round {
			continue
		}
		if !ok || !seen[i] {
			if err == nil {
				out.Worst = max(out.Worst, unseen)
			}
			continue
		}
		root := func(k int) float64 { return math.Sqrt(max(0, cov.At(3*i+k, 3*i+k))) }
		u := r3.Vec{X: root(0), Y: root(1), Z: root(2)}
		out.Landmarks, out.Sigma = append(out.Landmarks, l), append(out.Sigma, u)
		if err == nil {
			out.Worst = max(out.Worst, min(unseen, max(u.X, u.Y, u.Z)))
		}
	}
	return out
}

// stand returns where a camera is, and how it is turned.
func (p *Place) stand() (r3.Vec, r3mat) {
	const ground, half = -270, 500 // of a usual bike, mm: below the bottom bracket, and up to its middle
	sin, cos := num.Sincos(p.Around)
	high := p.High - half
	level := math.Sqrt(max(p.Far*p.Far-high*high, 1))
	middle := r3.Vec{X: 90, Z: ground + half}
	at := r3.Add(middle, r3.Vec{X: level * cos, Y: level * sin, Z: high})
	ahead := r3.Unit(r3.Sub(middle, at))
	right := r3.Unit(r3.Cross(ahead, r3.Vec{Z: 1}))
	return at, r3mat{right, r3.Cross(ahead, right), ahead}
}
