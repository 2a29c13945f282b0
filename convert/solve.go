package convert

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/lsq"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Solution is the position that a sheet stands for.
type Solution struct {
	// Position has the sites of which the sheet determines all coordinates.
	Position contact.Position
	// Covariance is that of Position's numbers, from the readings' uncertainties.
	Covariance contact.Covariance
	// Others lists positions that fit the sheet as well, where distances leave
	// the choice between two sides of a line.
	Others []contact.Position
	// Free lists what the sheet leaves undetermined of the sites that it speaks of.
	Free []Freedom
	// Checks has one entry for each reading, in their order.
	Checks []Check
	// Chi2 is the sum of squares of what readings are off by, each over its
	// uncertainty, and Redundant how many readings there are more than needed.
	Chi2      float64
	Redundant int
	// Consistent says that Chi2 is no more than chance gives in 99 of 100 sheets.
	Consistent bool
	// Suspects lists the readings that others check, the most likely wrong
	// first, by their place in the sheet. It matters where Consistent is false.
	Suspects []int
}

// A Check is how a reading compares with the others.
type Check struct {
	// Off is the reading less what all readings together say, mm or degrees.
	Off float64
	// Against is the reading less what all others say, without it, and Sigma
	// the standard uncertainty of that, mm or degrees. Both are 0 if Checked is false.
	Against, Sigma float64
	// Checked says that the others tell what the reading should be.
	Checked bool
}

// A Freedom is one way in which a position may change without any reading
// telling.
type Freedom struct {
	// Coordinates is what changes together. Some are of both sides: a change of
	// a left site's y goes with one of the right site's.
	Coordinates []contact.Coordinate
	// Settle lists measures of the sites concerned that would tell, with the
	// side where one has to take them.
	Settle []SidedMeasure
}

// An Ask is a measure and the side to take it at.
type SidedMeasure struct {
	Measure Measure
	Side    contact.Side
}

// String returns the measure's name and its side, as in "hoods_stack (left)".
func (a SidedMeasure) String() string {
	if a.Side == contact.Centre {
		return a.Measure.String()
	}
	return a.Measure.String() + " (" + a.Side.String() + ")"
}

// String says what is free and what would settle it.
func (f Freedom) String() string { return lsq.Undetermined(f.Coordinates, "free", f.Settle) }

// Solve finds the position that a sheet stands for, by weighted least squares:
// any mix of measures, of either side or the midpoint, more or fewer than
// needed. The basis gives seat angle and height; each reading has its own side.
//
// A sheet cannot tell how far things lie beside the mid-plane: saddle and clamp
// are put on it, and left and right as far from it as one another. Where distances
// leave two positions (above or below a line between two points), the one nearer
// to where sites usually are comes out, and the other one beside it.
//
// An inconsistent sheet is no error, nor is one that leaves something free: the
// Solution says so. Faults are [contact.ErrMissing] for an empty sheet, a
// reading without Sigma, and a seat angle or height that a measure needs;
// [contact.ErrRange] for numbers that are not finite or cannot be; [contact.ErrUnknown]
// for measures and sides that do not exist; [contact.ErrConflict] where no
// position comes near the readings, such as an impossible triangle; and whatever
// contact.Position.Validate finds in the result.
func (s Sheet) Solve() (Solution, error) {
	if err := s.validate(); err != nil {
		return Solution{}, err
	}
	p := newProblem(s)
	fit, others := p.solve()
	var f fault.List
	if !fit.Converged {
		f.Add("sheet", "", "readings that some position comes near", contact.ErrConflict)
		return Solution{}, f.Err()
	}
	sigma := make([]float64, len(s.Entries))
	for i, r := range s.Entries {
		sigma[i] = r.Sigma
	}
	v := fit.Verdict(sigma)
	sol := Solution{Chi2: v.Chi2, Redundant: v.Redundant, Consistent: v.Consistent, Suspects: v.Suspects}
	for _, c := range v.Checks {
		sol.Checks = append(sol.Checks, Check(c))
	}
	if err := p.result(&sol, &fit); err != nil {
		return Solution{}, err
	}
	for _, o := range others {
		if q := p.position(o.X, nil); q.Validate() == nil && !slices.ContainsFunc(sol.Others, func(k contact.Position) bool { return same(k, q) }) && !same(q, sol.Position) {
			sol.Others = append(sol.Others, q)
		}
	}
	return sol, nil
}

// same reports whether two positions are the same to a hundredth of a mm.
func same(p, q contact.Position) bool {
	_, far, _ := p.Sub(q).Largest()
	return far < 0.01
}

func (s Sheet) validate() error {
	var f fault.List
	f.In("", s.Basis.Validate())
	if len(s.Entries) == 0 {
		f.Add("entries", "", "at least one", contact.ErrMissing)
	}
	for i, e := range s.Entries {
		s.checkEntry(&f, fault.At("entries", i), e)
	}
	return f.Err()
}

func (s *Sheet) checkEntry(f *fault.List, path string, r Entry) {
	if err := measureNames.Check("measure", r.Measure); err != nil {
		f.In(path, err)
		return
	}
	e := &measures[r.Measure]
	f.In(path, sideFault(r.Side))
	lo, hi := -2000., 2000.
	switch {
	case e.Unit == "degrees":
		lo, hi = -45, 45
	case e.Positive == "":
		lo = 0
	}
	f.Range(path+".value"+suffix(e.Unit), r.Value, lo, hi, e.Unit)
	if r.Sigma == 0 {
		f.Add(path+".sigma"+suffix(e.Unit), "", "a standard uncertainty", contact.ErrMissing)
	} else {
		f.Range(path+".sigma"+suffix(e.Unit), r.Sigma, math.SmallestNonzeroFloat64, 1000, e.Unit)
	}
	if e.SeatAngle && s.Basis.SeatAngle == 0 {
		f.Add("seat_angle_deg", "", "it for "+e.Name, contact.ErrMissing)
	}
	if e.Ground && s.Basis.BottomBracketHeight == 0 {
		f.Add("bottom_bracket_height_mm", "", "it for "+e.Name, contact.ErrMissing)
	}
}

// A problem is a sheet as equations in unknown numbers.
type problem struct {
	sheet  []Entry
	basis  Basis
	points points
	start  []float64
	// number is the unknown that a coordinate is, plus one, and sign how.
	number [contact.SiteCount][3]int16
	sign   [contact.SiteCount][3]float64
	sites  []contact.Site
	tilt   int // place of the tilt among the unknowns, or
	line   bool
	has    bool // a tilt at all
}

func newProblem(s Sheet) *problem {
	b := s.Basis
	p := &problem{sheet: s.Entries, basis: b, tilt: -1}
	p.points.setBasis(b)
	var need [contact.SiteCount]bool
	for _, r := range s.Entries {
		e := &measures[r.Measure]
		p.has = p.has || e.Tilt
		for _, site := range e.Needs {
			switch {
			case site.Side() == contact.Centre:
				need[site] = true
			case e.Pair || r.Side == contact.Centre || b.Mirrored:
				need[site], need[site.On(contact.Right)] = true, true
			default:
				need[site.On(r.Side)] = true
			}
		}
	}
	for _, side := range [...]contact.Side{contact.Left, contact.Right} {
		if need[contact.FootLeft.On(side)] { // a foot is as far forward as its pedal
			need[contact.PedalLeft.On(side)] = true
		}
	}
	p.start = make([]float64, 0, 24)
	add := func(v float64) int16 {
		p.start = append(p.start, v)
		return int16(len(p.start))
	}
	set := func(s contact.Site, a contact.Axis, number int16, sign float64) {
		p.number[s][a], p.sign[s][a] = number, sign
	}
	for _, s := range contact.Sites() {
		if !need[s] {
			continue
		}
		p.sites = append(p.sites, s)
		v := s.Usual()
		left := s.On(contact.Left)
		second := s.Side() == contact.Right && need[left]
		switch {
		case second && b.Mirrored:
			set(s, contact.AxisX, p.number[left][contact.AxisX], 1)
			set(s, contact.AxisZ, p.number[left][contact.AxisZ], 1)
		case left == contact.FootLeft:
			set(s, contact.AxisX, p.number[contact.PedalLeft.On(s.Side())][contact.AxisX], 1)
			set(s, contact.AxisZ, add(v.Z), 1)
		case left == contact.PedalLeft: // level and pointing forward
			set(s, contact.AxisX, add(v.X), 1)
		default:
			set(s, contact.AxisX, add(v.X), 1)
			set(s, contact.AxisZ, add(v.Z), 1)
		}
		switch {
		case second:
			set(s, contact.AxisY, p.number[left][contact.AxisY], -1)
		case s.Side() == contact.Left:
			set(s, contact.AxisY, add(v.Y), 1)
		case s.Side() == contact.Right:
			set(s, contact.AxisY, add(-v.Y), -1)
		}
	}
	p.line = need[contact.SaddleNose] && need[contact.SaddleRear]
	if p.has && !p.line {
		p.tilt = int(add(0)) - 1
	}
	p.has = p.has || p.line
	return p
}

// place puts unknown numbers into the points.
func (p *problem) place(x []float64) {
	for _, s := range p.sites {
		n, g := &p.number[s], &p.sign[s]
		v := r3.Vec{}
		if n[0] > 0 {
			v.X = g[0] * x[n[0]-1]
		}
		if n[1] > 0 {
			v.Y = g[1] * x[n[1]-1]
		}
		if n[2] > 0 {
			v.Z = g[2] * x[n[2]-1]
		}
		p.points.at[s] = v
	}
	switch {
	case p.line:
		n, r := p.points.at[contact.SaddleNose], p.points.at[contact.SaddleRear]
		p.points.setTilt(math.Atan2(n.Z-r.Z, n.X-r.X) * (180 / math.Pi))
	case p.tilt >= 0: // a line that is turned by 180° is the same line
		p.points.setTilt(x[p.tilt] - 180*math.Round(x[p.tilt]/180))
	}
}

// row returns a sink that adds slopes to a row of unknowns.
func (p *problem) row(row []float64, scale float64) sink {
	add := func(s contact.Site, a contact.Axis, by float64) {
		if n := p.number[s][a]; n > 0 {
			row[n-1] += by * p.sign[s][a] * scale
		}
	}
	return func(s contact.Site, a contact.Axis, by float64) {
		switch {
		case a != contact.AxisTilt:
			add(s, a, by)
		case p.tilt >= 0:
			row[p.tilt] += by * scale
		default:
			p.lineSlopes(by, add)
		}
	}
}

// lineSlopes hands on the slopes of the tilt by nose and rear.
func (p *problem) lineSlopes(by float64, add sink) {
	d := r3.Sub(p.points.at[contact.SaddleNose], p.points.at[contact.SaddleRear])
	square := (d.X*d.X + d.Z*d.Z) * (math.Pi / 180)
	if square == 0 {
		return
	}
	add(contact.SaddleNose, contact.AxisX, -d.Z/square*by)
	add(contact.SaddleNose, contact.AxisZ, d.X/square*by)
	add(contact.SaddleRear, contact.AxisX, d.Z/square*by)
	add(contact.SaddleRear, contact.AxisZ, -d.X/square*by)
}

func (p *problem) model(x, r, jac []float64) {
	p.place(x)
	n := len(x)
	for i, k := range p.sheet {
		p.points.side = k.Side
		scale := 1 / k.Sigma
		v := measures[k.Measure].value(&p.points, p.row(jac[i*n:(i+1)*n], scale))
		r[i] = (v - k.Value) * scale
	}
}

// solve fits the unknowns. A distance is as right above a line as below it, and
// a fit may end on the wrong side, or where it looks right enough: each site that
// has a distance is tried on the other side of the level of the saddle reference,
// and where the saddle's highest point counts, each of its points as the highest,
// and two of them as equally high.
// The better fit counts; of equal ones that nearest to where it started. The
// others that are as good are returned too.
func (p *problem) solve() (best lsq.Fit, others []lsq.Fit) {
	m := len(p.sheet)
	best = lsq.Solve(p.start, m, p.model)
	var distant [contact.SiteCount]bool
	highest := false
	for _, r := range p.sheet {
		e := &measures[r.Measure]
		highest = highest || e.kind == fromHighest
		if e.kind == direct || e.kind == sideView {
			for _, s := range e.Needs {
				distant[s], distant[s.On(contact.Right)] = true, true
			}
		}
	}
	level := p.number[contact.SaddleReference][contact.AxisZ]
	if level == 0 {
		return best, nil
	}
	x, r, jac := make([]float64, len(p.start)), make([]float64, m), make([]float64, m*len(p.start))
	// try starts from the best fit with some heights changed, and reports whether another one is best.
	try := func(change func(x []float64)) bool {
		copy(x, best.X)
		change(x)
		clear(r)
		p.model(x, r, jac)
		chi2 := 0.0
		for _, v := range r {
			chi2 += v * v
		}
		if chi2 > 100+10*best.Chi2 { // hopeless
			return false
		}
		other := lsq.Solve(x, m, p.model)
		switch gain := best.Chi2 - other.Chi2; {
		case !other.Converged || gain < -equal:
		case gain > max(equal, 1e-6*best.Chi2):
			best, others = other, nil
			return true
		case far(other.X, best.X) < 1e-3 || len(best.Free) > 0:
			// it came back, or went along what is free
		case far(other.X, p.start) < far(best.X, p.start):
			best, others = other, append(others, best)
			return true
		default:
			others = append(others, other)
		}
		return false
	}
	rear := p.number[contact.SaddleRear][contact.AxisZ]
	for better := true; better; {
		better = false
		for _, s := range p.sites {
			n := p.number[s][contact.AxisZ]
			if !distant[s] || n == 0 || n == level || s.Side() == contact.Right && n == p.number[s.On(contact.Left)][contact.AxisZ] {
				continue
			}
			better = try(func(x []float64) { x[n-1] = 2*x[level-1] - x[n-1] }) || better
			if s == contact.SaddleNose && p.line { // the whole saddle, with its tilt as it is
				better = try(func(x []float64) {
					by := 2 * (x[level-1] - x[n-1])
					x[n-1] += by
					x[rear-1] += by
				}) || better
			}
		}
		if !highest {
			continue
		}
		saddle := [...]int16{level, p.number[contact.SaddleNose][contact.AxisZ], rear}
		for i, top := range saddle {
			// The best fit may lie where the highest point changes, which no slope tells.
			if other := saddle[(i+1)%len(saddle)]; best.Chi2 > equal && math.Abs(best.X[top-1]-best.X[other-1]) < 20 {
				better = try(func(x []float64) { p.tie(x, int(top-1), int(other-1)) }) || better
			}
			better = try(func(x []float64) {
				for _, n := range saddle {
					if x[n-1] > x[top-1] {
						x[n-1] = 2*x[top-1] - x[n-1]
					}
				}
			}) || better
		}
	}
	return best, others
}

// tie moves x to the best fit of those in which two unknowns are equal.
func (p *problem) tie(x []float64, a, b int) {
	const weight = 1e4 // against readings good to some mm: equal to 1e-8 mm
	m, n := len(p.sheet), len(x)
	fit := lsq.Solve(x, m+1, func(x, r, jac []float64) {
		p.model(x, r[:m], jac[:m*n])
		r[m] = weight * (x[a] - x[b])
		jac[m*n+a], jac[m*n+b] = weight, -weight
	})
	copy(x, fit.X)
}

// equal is a difference of chi-squared that means nothing.
const equal = 1e-9

// far returns how far apart two lots of unknowns are.
func far(x, y []float64) float64 {
	sum := 0.0
	for i := range x {
		sum += (x[i] - y[i]) * (x[i] - y[i])
	}
	return math.Sqrt(sum)
}

// position puts unknowns into a position; what is loose is left out.
func (p *problem) position(x []float64, loose []bool) contact.Position {
	p.place(x)
	var q contact.Position
	for _, s := range p.sites {
		if !p.free(s, loose) {
			q.Set(s, p.points.at[s])
		}
	}
	if p.has && !p.freeTilt(loose) {
		q.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: p.points.tilt})
	}
	return q
}

// free reports whether any coordinate of a site is loose.
func (p *problem) free(s contact.Site, loose []bool) bool {
	if loose == nil {
		return false
	}
	for a := range 3 {
		if n := p.number[s][a]; n > 0 && loose[n-1] {
			return true
		}
	}
	return false
}

func (p *problem) freeTilt(loose []bool) bool {
	if p.line {
		return p.free(contact.SaddleNose, loose) || p.free(contact.SaddleRear, loose)
	}
	return loose != nil && loose[p.tilt]
}

// result fills in position, covariance and what is free.
func (p *problem) result(sol *Solution, fit *lsq.Fit) error {
	loose := make([]bool, len(fit.X))
	for _, free := range fit.Free {
		for j, v := range free {
			loose[j] = loose[j] || v != 0
		}
	}
	sol.Position = p.position(fit.X, loose)
	var coords []contact.Coordinate
	var slopes [][]float64
	add := func(c contact.Coordinate) []float64 {
		coords, slopes = append(coords, c), append(slopes, make([]float64, len(fit.X)))
		return slopes[len(slopes)-1]
	}
	for _, s := range p.sites {
		if p.free(s, loose) {
			continue
		}
		for a := range contact.Axis(3) {
			row := add(contact.Coordinate{Site: s, Axis: a})
			if n := p.number[s][a]; n > 0 {
				row[n-1] = p.sign[s][a]
			}
		}
	}
	if p.has && !p.freeTilt(loose) {
		p.row(add(contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt}), 1)(contact.SaddleReference, contact.AxisTilt, 1)
	}
	var err error
	sol.Covariance, err = contact.NewCovariance(coords, func(i, j int) float64 { return fit.Covariance(slopes[i], slopes[j]) })
	if err != nil {
		return err
	}
	for _, way := range fit.Free {
		sol.Free = append(sol.Free, p.freedom(way))
	}
	var f fault.List
	f.In("position", sol.Position.Validate())
	return f.Err()
}

// freedom puts a direction into words, and finds the measures that it would change.
func (p *problem) freedom(way []float64) Freedom {
	var free Freedom
	for _, s := range p.sites {
		for a := range contact.Axis(3) {
			if n := p.number[s][a]; n > 0 && way[n-1] != 0 {
				free.Coordinates = append(free.Coordinates, contact.Coordinate{Site: s, Axis: a})
			}
		}
	}
	if p.tilt >= 0 && way[p.tilt] != 0 {
		free.Coordinates = append(free.Coordinates, contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt})
	}
	row := make([]float64, len(way))
	for _, m := range Measures() {
		for _, side := range [...]contact.Side{contact.Centre, contact.Left, contact.Right} {
			if !p.speaksOf(&measures[m], side) {
				continue
			}
			clear(row)
			p.points.side = side
			measures[m].value(&p.points, p.row(row, 1))
			change := 0.0
			for j, v := range row {
				change += v * way[j]
			}
			if math.Abs(change) > 1e-6 {
				free.Settle = append(free.Settle, SidedMeasure{m, side})
				break
			}
		}
	}
	return free
}

// speaksOf reports whether the measure, taken at a side, needs nothing that the
// problem does not have.
func (p *problem) speaksOf(e *entry, side contact.Side) bool {
	if e.Tilt && !p.has || e.SeatAngle && p.basis.SeatAngle == 0 || e.Ground && p.basis.BottomBracketHeight == 0 {
		return false
	}
	for _, s := range e.Needs {
		left, right := slices.Contains(p.sites, s), slices.Contains(p.sites, s.On(contact.Right))
		if (e.Pair || side != contact.Right) && !left || (e.Pair || side != contact.Left) && !right {
			return false
		}
	}
	return true
}
