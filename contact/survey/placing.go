package survey

import (
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Placing is landmarks in the axes of package contact, as they are with the front wheel
// straight, which something else than [Survey.Solve] found together, such as photographs
// (package contact/survey/photo). The axes are the caller's: only the middle of the bottom
// bracket and, where radii are stated, the level of the axles are checked. Its zero value is not valid.
type Placing struct {
	// Landmarks names the points, each once. Those that every survey needs are needed here
	// too.
	Landmarks []Landmark
	// At holds the places, mm.
	At []r3.Vec
	// Covariance is that of all coordinates together, X, Y and Z of the first landmark, then
	// of the next: three rows and columns a landmark, mm². It is symmetric.
	Covariance [][]float64
	// Steer is the angle by which the front wheel was turned, in degrees, positive to the
	// left, and SteerSigma its standard uncertainty.
	Steer      float64 `range:"-90 to 90"`
	SteerSigma float64 `range:"0 to 180"`
	// Up is the upward direction, of any length, and LeanSigma and NoseUpSigma the standard
	// uncertainties of what follows from it, in degrees. They are those of a [Standing].
	Up          r3.Vec  `zero:"not known"`
	LeanSigma   float64 `range:"0 to 180"`
	NoseUpSigma float64 `range:"0 to 180"`
	// FrontRadius, RearRadius and RadiusSigma are those of a [Survey].
	FrontRadius float64 `length:"100 to 450" zero:"not stated"`
	RearRadius  float64 `length:"100 to 450" zero:"not stated"`
	RadiusSigma float64 `range:"0 to 50"`
	// Saddle is what is known of the saddle.
	Saddle contact.SaddleProfile
}

// Fix returns the contact points, the directions and the frame of a placing, with the
// covariance that follows from its own. [Fix.Locate] refuses such a fix.
//
// Faults are [contact.ErrMissing] for landmarks that are needed, and for places or
// covariances that are fewer than the landmarks; [contact.ErrUnknown]; [contact.ErrConflict]
// for a landmark that is there twice, for a covariance that is not symmetric, and for a middle
// of the bottom bracket or a level of the axles that is more than 1 mm and three standard
// uncertainties from where the axes have it; [contact.ErrRange]; and whatever
// contact.Position.Validate finds.
func (p Placing) Fix() (Fix, error) {
	all, err := p.points()
	if err != nil {
		return Fix{}, err
	}
	d := &datum{
		saddle: p.Saddle, offset: usualOffset, angle: usualAngle * num.Rad, square: 1, joint: p.Covariance,
		axes: [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}},
	}
	d.choose(&Survey{}, all)
	d.slopes = make([]*[numbers]r3.Vec, len(all.all))
	d.settle(all)
	d.headTube(all)
	d.spread(all)
	fix, err := d.locate(all, true)
	if err != nil {
		return Fix{}, err
	}
	fix.Steer, fix.SteerSigma = p.Steer, p.SteerSigma
	fix.side = &sideSource{points: *all, front: p.FrontRadius, rear: p.RearRadius, sigma: p.RadiusSigma}
	fix.mirrored(all)
	if p.Up != (r3.Vec{}) {
		fix.upright(r3.Unit(p.Up))
		fix.standing.LeanSigma, fix.standing.NoseUpSigma = p.LeanSigma, p.NoseUpSigma
	}
	if math.Abs(p.Steer) > max(3*p.SteerSigma, 0.5) {
		fix.Findings = append(fix.Findings, Finding{Kind: WheelTurned, Reading: -1, Amount: p.Steer})
	}
	return fix, nil
}

// points checks a placing and returns its landmarks.
func (p *Placing) points() (*points, error) {
	var f fault.List
	n := len(p.Landmarks)
	if n > mostLandmarks {
		f.Add("landmarks", strconv.Itoa(n), "at most "+strconv.Itoa(mostLandmarks), contact.ErrRange)
		return nil, f.Err()
	}
	if len(p.At) != n || len(p.Covariance) != 3*n {
		f.Add("at", strconv.Itoa(len(p.At)), "a place and a covariance for each landmark", contact.ErrMissing)
		return nil, f.Err()
	}
	f.Range("steer", p.Steer, -90, 90, "degrees")
	f.Range("steer_sigma", p.SteerSigma, 0, 180, "degrees")
	f.Range("lean_sigma", p.LeanSigma, 0, 180, "degrees")
	f.Range("nose_up_sigma", p.NoseUpSigma, 0, 180, "degrees")
	if n := r3.Norm(p.Up); p.Up != (r3.Vec{}) && !(n >= 1e-100 && n <= 1e100) {
		f.Add("up", num.Text(n, "long"), "a direction", contact.ErrRange)
	}
	f.Range("radius_sigma", p.RadiusSigma, 0, 50, "mm")
	f.Optional("front_radius", p.FrontRadius, 100, 450, "mm")
	f.Optional("rear_radius", p.RearRadius, 100, 450, "mm")
	f.In("saddle", p.Saddle.Validate())
	all := &points{all: make([]point, n), find: make(map[Landmark]int, n)}
	seen := map[Landmark]bool{}
	for i, l := range p.Landmarks {
		path := fault.At("landmarks", i)
		if !l.known() {
			f.Add(path, short(l), "a landmark such as rear_axle_left or hoods_right", contact.ErrUnknown)
		}
		if seen[l] {
			f.Add(path, short(l), "each landmark once", contact.ErrConflict)
		}
		seen[l], all.find[l] = true, i
		all.all[i] = point{l, p.At[i], 1}
		for k, v := range [...]float64{p.At[i].X, p.At[i].Y, p.At[i].Z} {
			f.Range(fault.At(fault.At("at", i), k), v, -far, far, "mm")
		}
		for k := range 3 {
			row := p.Covariance[3*i+k]
			if len(row) != 3*n {
				f.Add(fault.At("covariance", 3*i+k), strconv.Itoa(len(row)), "three numbers for each landmark", contact.ErrMissing)
				return nil, f.Err()
			}
			for _, v := range row {
				if !(math.Abs(v) <= far*far) {
					f.Range(fault.At("covariance", 3*i+k), v, -far*far, far*far, "mm²")
				}
			}
		}
	}
	(&Survey{}).validateNeeds(&f, seen)
	if f.Err() == nil {
		p.checkAxes(&f, all)
	}
	return all, f.Err()
}

// untrue is how far a bottom bracket of a frame that is out of true may be off the mid-plane, as
// a standard uncertainty, mm. Common practice, no source.
const untrue = 5

// checkAxes checks that the covariance is symmetric, and that the axes are those of package
// contact as far as landmarks that are always there tell.
func (p *Placing) checkAxes(f *fault.List, all *points) {
	for i, row := range p.Covariance {
		for k := range i {
			scale := math.Sqrt(math.Abs(row[i] * p.Covariance[k][k]))
			if math.Abs(row[k]-p.Covariance[k][i]) > 1e-6*(1e-6+scale) {
				f.Add(fault.At("covariance", i), num.Text(row[k]-p.Covariance[k][i], "mm² apart"), "a symmetric covariance", contact.ErrConflict)
				return
			}
		}
	}
	at := func(l Landmark, axis int) int { return 3*all.find[l] + axis }
	check := func(name string, value float64, of []int, by []float64, more float64) {
		variance := more * more
		for i, a := range of {
			v := p.At[a/3]
			value += by[i] * [3]float64{v.X, v.Y, v.Z}[a%3]
			for k, b := range of {
				variance += by[i] * by[k] * p.Covariance[a][b]
			}
		}
		if !(math.Abs(value) <= 1+3*math.Sqrt(max(0, variance))) {
			f.Add("at", name+" "+num.Text(value, "mm off"), "places in the axes of package contact", contact.ErrConflict)
		}
	}
	// It is the origin of the side view; off the mid-plane it may be as far as frames are out of true.
	for axis, more := range [...]float64{0, untrue, 0} {
		check("the middle of the bottom bracket along "+string("XYZ"[axis]), 0, []int{at(BottomBracketLeft, axis), at(BottomBracketRight, axis)}, []float64{0.5, 0.5}, more)
	}
	if p.FrontRadius != 0 && p.RearRadius != 0 {
		check("the level of the axles", p.RearRadius-p.FrontRadius,
			[]int{at(FrontAxleLeft, 2), at(FrontAxleRight, 2), at(RearAxleLeft, 2), at(RearAxleRight, 2)}, []float64{0.5, 0.5, -0.5, -0.5}, math.Sqrt2*p.RadiusSigma)
	}
}

// headTube takes the steering axis through the middles of the head tube's ends, if they
// are there.
func (d *datum) headTube(p *points) {
	if !d.head {
		return
	}
	top, foot, front := &d.pairs[d.top], &d.pairs[d.top+1], &d.pairs[frontAxle]
	long := r3.Sub(d.midway(p, top), d.midway(p, foot))
	square := long.X*long.X + long.Z*long.Z
	if square == 0 {
		d.head = false
		return
	}
	d.angle = math.Atan2(long.Z, -long.X)
	d.settle(p)
	from := r3.Sub(half(r3.Add(d.midway(p, top), d.midway(p, foot))), d.front)
	d.offset = -r3.Dot(d.out, from)
	turn := r3.Scale(1/square, r3.Vec{X: long.Z, Z: -long.X}) // of the angle by long
	up := r3.Dot(d.along, from)
	set := func(k *placedPair, byAngle, byOffset r3.Vec) {
		for _, l := range [2]int{k.left, k.right} {
			to := d.slope(l)
			to[angle] = r3.Add(to[angle], half(byAngle))
			to[offset] = r3.Add(to[offset], half(byOffset))
		}
	}
	out := half(d.out)
	set(top, turn, r3.Sub(r3.Scale(up, turn), out))
	set(foot, r3.Scale(-1, turn), r3.Scale(-1, r3.Add(r3.Scale(up, turn), out)))
	set(front, r3.Vec{}, d.out)
	d.settle(p)
}

// UsualTrueness returns what is usual of a pair that the left landmark stands for, with the
// numbers that a zero [Trueness] stands for; false if it stands for no pair of the frame.
func UsualTrueness(left Landmark) (Trueness, bool) {
	t := Trueness{Pair: left, Sigma: usualTrue, Counts: CountsBoth}
	for i := range framePairs {
		if p := &framePairs[i]; p.left == left {
			t.Sigma = p.usual
			if !p.middle {
				t.Counts = CountsLine
			} else if !p.line {
				t.Counts = CountsMiddle
			}
		}
	}
	return t, left.canCount()
}

// Mate returns the landmark of the same kind on the other side; false if there is none by
// its name.
func (l Landmark) Mate() (Landmark, bool) {
	if !l.known() {
		return "", false
	}
	name, of := string(l), ""
	mark, own := strings.CutPrefix(name, markPrefix)
	if own {
		name = mark
	} else {
		for _, end := range [...]string{"_ahead", "_outer"} {
			if cut, ok := strings.CutSuffix(name, end); ok {
				name, of = cut, end
			}
		}
	}
	if cut, ok := strings.CutSuffix(name, "_left"); ok {
		name = cut + "_right"
	} else if cut, ok := strings.CutSuffix(name, "_right"); ok {
		name = cut + "_left"
	} else {
		return "", false
	}
	if own {
		return Mark(name), true
	}
	return Landmark(name + of), true
}

// Known reports whether l is a constant of this package, a landmark of a contact site, or a
// mark of your own.
func (l Landmark) Known() bool { return l.known() }

// Steers reports whether the landmark turns with the front wheel.
func (l Landmark) Steers() bool {
	if turnsFront[l] {
		return true
	}
	s, err := contact.ParseSite(string(l))
	return err == nil && s.Group().FrontEnd()
}
