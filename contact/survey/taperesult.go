package survey

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/blame"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/placed"
	"example.com/fitgeom/internal/saddle"
	"gonum.org/v1/gonum/spatial/r3"
)

// contradicts is the chance below which readings contradict one another: none of a
// million good surveys is to be refused.
const contradicts = 1e-6

// agrees reports whether readings do not contradict one another.
func agrees(fit *lsq.Fit) bool { return fit.Converged && fit.Chance() >= contradicts }

// result returns what the fit tells. What is doubtful has no ranges and no covariance.
func (p *tapeProblem) result(found *lsq.Search, wrong *blame.Answer) (Fix, error) {
	fit := &found.Best
	q := placed.Ask(p.model, p.given(), len(p.start), append([]int{p.tilt, p.noseUp}, p.errors...)...)
	q.Others = found.Likely()
	doubtful := wrong.Doubts(len(fit.X))
	r := p.read(fit, fit.Likely(q), doubtful)
	for _, way := range fit.Ways(r.loose) {
		if free := p.freedom(way); len(free.Coordinates) > 0 {
			r.fix.Free = append(r.fix.Free, free)
		}
	}
	var f fault.List
	f.In("position", r.fix.Position.Validate())
	if err := f.Err(); err != nil {
		return Fix{}, err
	}
	var err error
	if r.fix.Covariance, err = placed.Covariance(fit, r.coords, r.slopes); err != nil {
		return Fix{}, err
	}
	r.fix.taped = &tapeSide{p: p, fit: fit, loose: r.loose, slopes: r.slopes}
	r.fix.Others = placed.Others(found, q, r.fix.Position, func(x []float64) contact.Position { return p.position(x, r.loose) })
	return r.fix, nil
}

// A tapeResult is a Fix under construction.
type tapeResult struct {
	p      *tapeProblem
	fit    *lsq.Fit
	ranges []lsq.Likely
	loose  []bool
	doubts []bool // which of x stand on a contradiction
	fix    Fix
	coords []contact.Coordinate
	slopes [][]float64 // derivatives of each coordinate by x
}

// read reads off a fit where the places are.
func (p *tapeProblem) read(fit *lsq.Fit, ranges []lsq.Likely, doubts []bool) *tapeResult {
	r := &tapeResult{p: p, fit: fit, ranges: ranges, loose: lsq.Unknown(ranges), doubts: doubts}
	r.fix.Position = p.position(fit.X, r.loose)
	for i := range p.places {
		k := &p.places[i]
		for axis, j := range k.at {
			if k.site != 0 && j >= 0 && !r.loose[j] {
				r.add(contact.Coordinate{Site: k.site, Axis: contact.Axis(axis)}, j)
			}
		}
		if r.free(i) {
			continue
		}
		if k.site == 0 {
			r.mark(k, p.at[i])
			continue
		}
		for axis, j := range k.at {
			r.slope(contact.Coordinate{Site: k.site, Axis: contact.Axis(axis)}, term{j, 1})
		}
	}
	r.attitude()
	return r
}

// free reports whether a coordinate of a place is free.
func (r *tapeResult) free(place int) bool { return r.p.free(place, r.loose) }

func (p *tapeProblem) free(place int, loose []bool) bool {
	return place < 0 || slices.ContainsFunc(p.places[place].at[:], func(j int) bool { return j >= 0 && loose[j] })
}

// position returns the sites that are known, with the direction of the saddle: its tilt, and
// its yaw by the line through nose and rear.
func (p *tapeProblem) position(x []float64, loose []bool) contact.Position {
	p.place(x)
	var q contact.Position
	for i := range p.places {
		if k := &p.places[i]; k.site != 0 && !p.free(i, loose) {
			q.Set(k.site, p.at[i])
		}
	}
	nose, rear := p.saddle[saddle.Nose], p.saddle[saddle.Rear]
	ends := !p.free(nose, loose) && !p.free(rear, loose)
	if p.tilt < 0 || loose[p.tilt] {
		return q
	}
	a := contact.Attitude{Tilt: x[p.tilt]}
	if ends {
		d := r3.Sub(p.at[nose], p.at[rear])
		a.Yaw = num.Atan2(d.Y, d.X)
	}
	q.SetAttitude(contact.SaddleReference, a)
	return q
}

// mark adds a place that is no site.
func (r *tapeResult) mark(k *tapePlace, at r3.Vec) {
	if slices.ContainsFunc(k.at[:], func(j int) bool { return j >= 0 && r.doubts[j] }) {
		return
	}
	m := mark{landmark: k.landmark, at: at}
	for axis, to := range [3]*float64{&m.sigma.X, &m.sigma.Y, &m.sigma.Z} {
		if j := k.at[axis]; j >= 0 {
			*to = math.Sqrt(r.fit.Cov.At(j, j))
		}
	}
	r.fix.marks = append(r.fix.marks, m)
}

// add adds the range of a coordinate that is one of the unknown numbers.
func (r *tapeResult) add(c contact.Coordinate, j int) {
	if !r.doubts[j] {
		r.fix.Ranges = append(r.fix.Ranges, placed.Range(c, r.ranges[j]))
	}
}

// A term is the derivative by one unknown number.
type term struct {
	at int // -1: none
	by float64
}

// slope adds a coordinate of the position and its derivatives by the unknown numbers, unless
// it is doubtful.
func (r *tapeResult) slope(c contact.Coordinate, terms ...term) (known bool) {
	if slices.ContainsFunc(terms, func(k term) bool { return k.at >= 0 && r.doubts[k.at] }) {
		return false
	}
	v := make([]float64, len(r.fit.X))
	for _, k := range terms {
		if k.at >= 0 {
			v[k.at] = k.by
		}
	}
	r.coords, r.slopes = append(r.coords, c), append(r.slopes, v)
	return true
}

// attitude adds the ranges of the saddle's direction.
func (r *tapeResult) attitude() {
	p := r.p
	a, ok := r.fix.Position.Attitude(contact.SaddleReference)
	if !ok {
		return
	}
	r.add(saddleTilt, p.tilt)
	r.slope(saddleTilt, term{p.tilt, 1})
	nose, rear := p.saddle[saddle.Nose], p.saddle[saddle.Rear]
	if r.free(nose) || r.free(rear) {
		return
	}
	d, n, t := r3.Sub(p.at[nose], p.at[rear]), &p.places[nose].at, &p.places[rear].at
	yaw := contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisYaw}
	square := (d.X*d.X + d.Y*d.Y) * num.Rad
	if !r.slope(yaw, term{n[0], -d.Y / square}, term{t[0], d.Y / square}, term{n[1], d.X / square}, term{t[1], -d.X / square}) {
		return
	}
	half, assumed := r.fit.Half95(r.slopes[len(r.slopes)-1], p.given())
	r.fix.Ranges = append(r.fix.Ranges, contact.Range{Coordinate: yaw, Low: a.Yaw - half, High: a.Yaw + half, Assumed: assumed})
}

// freedom returns the coordinates that change in a way, and readings that would tell.
func (p *tapeProblem) freedom(way []float64) Freedom {
	var f Freedom
	for i := range p.places {
		k := &p.places[i]
		for axis, j := range k.at {
			if j < 0 || way[j] == 0 {
				continue
			}
			f.Coordinates = append(f.Coordinates, PlaceCoordinate{k.landmark, contact.Axis(axis)})
			f.Settle = append(f.Settle, TapeReading{Kind: [3]TapeKind{Horizontal, Lateral, Vertical}[axis], From: BottomBracket, To: k.landmark})
		}
	}
	if p.tilt >= 0 && way[p.tilt] != 0 {
		f.Coordinates = append(f.Coordinates, PlaceCoordinate{At(contact.SaddleReference), contact.AxisTilt})
		f.Settle = append(f.Settle, TapeReading{Kind: Tilt})
	}
	if p.ground >= 0 && way[p.ground] != 0 {
		f.Coordinates = append(f.Coordinates, PlaceCoordinate{Ground, contact.AxisZ})
		f.Settle = append(f.Settle, TapeReading{Kind: Vertical, From: Ground, To: BottomBracket})
	}
	return f
}
