package convert

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/placed"
	"example.com/fitgeom/internal/saddle"
	"gonum.org/v1/gonum/spatial/r3"
)

// A problem is a sheet as equations in unknown numbers.
type problem struct {
	sheet  []Entry
	basis  Basis
	points points
	start  []float64
	// number is the index, plus one, of the unknown that gives a coordinate; 0 if the
	// coordinate is 0. sign is its sign there. Angles are those of sites beside the saddle.
	number [contact.SiteCount][contact.AxisRoll + 1]int16
	sign   [contact.SiteCount][contact.AxisRoll + 1]float64
	// aside is the index, plus one, of the unknown that says how far a site lies beside its
	// place across the bike; 0 if no reading depends on it.
	aside  [contact.SiteCount]int16
	beside []beside
	sites  []contact.Site
	turns  []contact.Coordinate // directions, which are known by what reads them
	tilt   int                  // index of the tilt among the unknowns; -1 if it is none
	saddle saddle.Shape
}

func newProblem(s Sheet) *problem {
	b := s.Basis
	p := &problem{sheet: s.Entries, basis: b, tilt: -1}
	p.points.setBasis(b)
	tilt := false
	for _, e := range s.Entries {
		tilt = tilt || definition(e.Measure).Tilt
	}
	need := s.needs()
	p.start = make([]float64, 0, 24)
	for _, s := range contact.Sites() {
		if need[s] {
			p.sites = append(p.sites, s)
			p.name(s, s.Side() == contact.Right && need[s.On(contact.Left)])
		}
	}
	var ends [saddle.Ends]bool
	for i, s := range saddle.Sites {
		ends[i] = need[s]
	}
	if p.saddle = saddle.Of(b.Saddle, ends, tilt); p.saddle.Tilt {
		p.tilt = int(p.unknown(0)) - 1
	}
	p.lookAside()
	p.nameTurns()
	return p
}

// nameTurns adds unknowns for the directions that readings are of.
func (p *problem) nameTurns() {
	for _, e := range p.sheet {
		d := definition(e.Measure).Direction
		if d.Site == 0 {
			continue
		}
		for _, side := range [...]contact.Side{contact.Left, contact.Right} {
			s := d.Site.On(side)
			asked := p.basis.Mirrored || e.Side == contact.Centre || e.Side == side
			switch {
			case !asked || p.number[s][d.Axis] > 0:
				continue
			case side == contact.Left || !p.basis.Mirrored:
				p.set(s, d.Axis, p.unknown(0), 1)
			case d.Axis == contact.AxisTilt:
				p.set(s, d.Axis, p.number[d.Site][d.Axis], 1)
			default: // which a mirror turns
				p.set(s, d.Axis, p.number[d.Site][d.Axis], -1)
			}
			p.turns = append(p.turns, contact.Coordinate{Site: s, Axis: d.Axis})
		}
	}
}

// A beside is how far a saddle, a clamp or a pair lies beside its place.
type beside struct {
	at    int // index of the unknown
	sigma float64
}

// lookAside adds unknowns for saddle, clamp or pairs that lie beside their places, as far as
// readings depend on it: direct distances to one side.
func (p *problem) lookAside() {
	for _, e := range p.sheet {
		m := definition(e.Measure)
		if m.kind != direct || e.Side == contact.Centre || m.Needs[len(m.Needs)-1].Side() == contact.Centre {
			continue
		}
		for _, s := range m.Needs {
			if p.aside[s] > 0 {
				continue
			}
			sigma, all := float64(placed.AsidePair), []contact.Site{s, s.On(contact.Right)}
			switch {
			case s == contact.BarClamp:
				sigma, all = placed.AsideMiddle, all[:1]
			case s.Side() == contact.Centre: // one body
				sigma, all = placed.AsideMiddle, saddle.Sites[:]
			}
			n := p.unknown(0)
			p.beside = append(p.beside, beside{int(n) - 1, sigma})
			for _, s := range all {
				p.aside[s] = n
			}
		}
	}
}

// needs returns the sites that a sheet refers to.
func (s *Sheet) needs() (need [contact.SiteCount]bool) {
	for _, r := range s.Entries {
		e := definition(r.Measure)
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
	case left == contact.FootLeft && p.setBack(s.Side()):
		p.set(s, contact.AxisX, p.unknown(v.X), 1)
		p.set(s, contact.AxisZ, p.unknown(v.Z), 1)
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

// setBack reports whether the sheet tells how far a foot is in front of its spindle; it is
// above it otherwise.
func (p *problem) setBack(side contact.Side) bool {
	return slices.ContainsFunc(p.sheet, func(e Entry) bool {
		return e.Measure == CleatSetback && (p.basis.Mirrored || e.Side == contact.Centre || e.Side == side)
	})
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
		if a := p.aside[s]; a > 0 {
			v.Y += x[a-1]
		}
		p.points.at[s] = v
	}
	for _, c := range p.turns {
		v := p.sign[c.Site][c.Axis] * x[p.number[c.Site][c.Axis]-1]
		if c.Axis == contact.AxisTilt {
			p.points.turn[c.Site].Tilt = v
		} else {
			p.points.turn[c.Site].Yaw = v
		}
	}
	if p.tilt >= 0 { // a line that is turned by 180° is the same line
		p.points.setTilt(x[p.tilt] - 180*math.Round(x[p.tilt]/180))
	}
}

// row returns a sink that adds derivatives to a row of unknowns.
func (p *problem) row(row []float64, scale float64) sink {
	add := func(s contact.Site, a contact.Axis, by float64) {
		if n := p.number[s][a]; n > 0 {
			row[n-1] += by * p.sign[s][a] * scale
		}
		if n := p.aside[s]; n > 0 && a == contact.AxisY {
			row[n-1] += by * scale
		}
	}
	return func(s contact.Site, a contact.Axis, by float64) {
		if a == contact.AxisTilt && s == contact.SaddleReference {
			row[p.tilt] += by * scale
		} else {
			add(s, a, by)
		}
	}
}

// rows is the number of equations.
func (p *problem) rows() int { return len(p.sheet) + len(p.saddle.Ties) + len(p.beside) }

// tied fills in the rows of ties.
func (p *problem) tied(ties []saddle.Tie, r, jac []float64) {
	var at [saddle.Ends]r3.Vec
	for i, s := range saddle.Sites {
		at[i] = p.points.at[s]
	}
	n := len(p.start)
	for i, t := range ties {
		value, by := t.At(&at, p.points.sinTilt, p.points.cosT)
		r[i] = (value - t.Value) / t.Sigma
		to := p.row(jac[i*n:(i+1)*n], 1/t.Sigma)
		for k, s := range saddle.Sites {
			to(s, contact.AxisX, by.Ends[k].X)
			to(s, contact.AxisZ, by.Ends[k].Z)
		}
		if p.tilt >= 0 {
			to(contact.SaddleReference, contact.AxisTilt, by.Tilt*(math.Pi/180))
		}
	}
}

func (p *problem) model(x, r, jac []float64) {
	p.place(x)
	n, m := len(x), len(p.sheet)
	p.tied(p.saddle.Ties, r[m:], jac[m*n:])
	m += len(p.saddle.Ties)
	for i, b := range p.beside {
		r[m+i], jac[(m+i)*n+b.at] = x[b.at]/b.sigma, 1/b.sigma
	}
	for i, k := range p.sheet {
		p.points.side = k.Side
		scale := 1 / k.Sigma
		v := definition(k.Measure).value(&p.points, p.row(jac[i*n:(i+1)*n], scale))
		r[i] = (v - k.Value) * scale
	}
}
