package convert

import (
	"math"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

// A problem is a sheet as equations in unknown numbers.
type problem struct {
	sheet  []Entry
	basis  Basis
	points points
	start  []float64
	// number is the index, plus one, of the unknown that gives a coordinate; 0 if the
	// coordinate is 0. sign is its sign there.
	number [contact.SiteCount][3]int16
	sign   [contact.SiteCount][3]float64
	sites  []contact.Site
	tilt   int  // index of the tilt among the unknowns; -1 if it is none
	line   bool // whether nose and rear give the tilt
	has    bool // whether there is a tilt at all
}

func newProblem(s Sheet) *problem {
	b := s.Basis
	p := &problem{sheet: s.Entries, basis: b, tilt: -1}
	p.points.setBasis(b)
	for _, e := range s.Entries {
		p.has = p.has || measures[e.Measure].Tilt
	}
	need := s.needs()
	p.start = make([]float64, 0, 24)
	for _, s := range contact.Sites() {
		if need[s] {
			p.sites = append(p.sites, s)
			p.name(s, s.Side() == contact.Right && need[s.On(contact.Left)])
		}
	}
	p.line = need[contact.SaddleNose] && need[contact.SaddleRear]
	if p.has && !p.line {
		p.tilt = int(p.unknown(0)) - 1
	}
	p.has = p.has || p.line
	return p
}

// needs returns the sites that a sheet refers to.
func (s *Sheet) needs() (need [contact.SiteCount]bool) {
	for _, r := range s.Entries {
		e := &measures[r.Measure]
		for _, site := range e.Needs {
			switch {
			case site.Side() == contact.Centre:
				need[site] = true
			case e.Pair || r.Side == contact.Centre || s.Basis.Mirrored:
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
	return need
}

// unknown adds an unknown number, with a value to start from, and returns its place plus one.
func (p *problem) unknown(start float64) int16 {
	p.start = append(p.start, start)
	return int16(len(p.start))
}

func (p *problem) set(s contact.Site, a contact.Axis, number int16, sign float64) {
	p.number[s][a], p.sign[s][a] = number, sign
}

// name assigns unknowns to a site's coordinates. A right site whose left one has been
// named (second) shares some of its unknowns: y always, x and z if the sides mirror each
// other.
func (p *problem) name(s contact.Site, second bool) {
	v := s.Usual()
	left := s.On(contact.Left)
	switch {
	case second && p.basis.Mirrored:
		p.set(s, contact.AxisX, p.number[left][contact.AxisX], 1)
		p.set(s, contact.AxisZ, p.number[left][contact.AxisZ], 1)
	case left == contact.FootLeft:
		p.set(s, contact.AxisX, p.number[contact.PedalLeft.On(s.Side())][contact.AxisX], 1)
		p.set(s, contact.AxisZ, p.unknown(v.Z), 1)
	case left == contact.PedalLeft: // level and pointing forward
		p.set(s, contact.AxisX, p.unknown(v.X), 1)
	default:
		p.set(s, contact.AxisX, p.unknown(v.X), 1)
		p.set(s, contact.AxisZ, p.unknown(v.Z), 1)
	}
	switch {
	case second:
		p.set(s, contact.AxisY, p.number[left][contact.AxisY], -1)
	case s.Side() == contact.Left:
		p.set(s, contact.AxisY, p.unknown(v.Y), 1)
	case s.Side() == contact.Right:
		p.set(s, contact.AxisY, p.unknown(-v.Y), -1)
	}
}

// place sets the points from the unknowns.
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

// row returns a sink that adds derivatives to a row of unknowns.
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

// lineSlopes passes on the derivatives of the tilt by nose and rear.
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
