package survey

import (
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/spatial/r3"
)

// rough is what the landmarks of a bike show of its directions, before there is a datum:
// little, but whatever left, right, front and rear were called.
type rough struct {
	p           *points
	middle      r3.Vec  // a point of the mid-plane
	front       r3.Vec  // a point of the wheel's plane, in which it steers
	left        r3.Vec  // square to the mid-plane; which way it points counts if seen
	up, forward r3.Vec  // in the mid-plane
	wheel       r3.Vec  // square to the wheel's plane, to either side
	seen        bool    // whether anything shows what is up
	clear       float64 // how far apart places are whose order is clear, mm
}

// Distances by which places of any bicycle are apart, mm. Common practice, no source.
const (
	clearPair   = 10  // left and right of a pair
	clearHeight = 100 // the middle one of all sites of saddle and bar, above the axles
	clearAhead  = 30  // what is in front of something else
	// One chainstay is at most this share of the distance to the front axle.
	clearStay = 0.87
	// upsideDown is the cosine of the angle from which on up is called reversed.
	upsideDown = -0.5
)

// exchanged reports what is wrong with all readings together: the unit, left-handed axes,
// labels that are exchanged, the direction of up; and then whatever else was found, unless
// another unit explains it.
func exchanged(s *Survey, p points, also error) error {
	var f fault.List
	by, ok := otherUnit(s.Unit, &p)
	if !ok {
		return also // no bicycle in any unit
	}
	cov := s.covariance()
	if by != s.Unit {
		also, cov = nil, [3][3]float64{} // in which unit is not known
		sayUnit(&f, s.Unit, by)
		scale := units[by].mm / units[s.Unit].mm
		p.all = slices.Clone(p.all)
		for i := range p.all {
			p.all[i].at = r3.Scale(scale, p.all[i].at)
		}
	}
	r, ok := look(&p, cov, s.Up)
	if ok {
		r.sides(&f)
		r.ends(&f)
	}
	if ok && s.Up != (r3.Vec{}) && r.seen && r3.Dot(r3.Unit(s.Up), r.up) < upsideDown {
		f.Add("up", "pointing down", "the direction that points up: it is reversed (or the bike stood upside down: then leave it out)", contact.ErrConflict)
	}
	f.In("", also)
	return f.Err()
}

func sayUnit(f *fault.List, stated, by Unit) {
	f.Add("unit", stated.String(), by.String()+": then the distances are those of a bicycle", contact.ErrUnit)
}

// inOtherUnit returns what is wrong with a survey that is not valid: if another unit
// explains the readings, that, and what is then still wrong.
func (s *Survey) inOtherUnit(err error) error {
	if !unitNames.Valid(s.Unit) || len(s.Readings) > 1e5 {
		return err
	}
	p, _ := average(s.Readings, units[s.Unit].mm)
	for i := range framePairs[:needed] {
		if p.index(framePairs[i].left) < 0 || p.index(framePairs[i].right) < 0 {
			return err
		}
	}
	by, ok := otherUnit(s.Unit, &p)
	if !ok || by == s.Unit {
		return err
	}
	other := *s
	other.Unit = by
	if err = other.Validate(); err == nil {
		return exchanged(s, p, nil)
	}
	var f fault.List
	sayUnit(&f, s.Unit, by)
	f.In("", err)
	return f.Err()
}

// otherUnit returns the unit in which the distances are those of a bicycle, the stated one
// first, whichever end is called front; false if there is none.
func otherUnit(stated Unit, p *points) (Unit, bool) {
	mid, apart := p.needed()
	far := r3.Norm(r3.Sub(mid[frontAxle], mid[rearAxle]))
	a, b := r3.Norm(r3.Sub(mid[rearAxle], mid[bottomBracket])), r3.Norm(r3.Sub(mid[frontAxle], mid[bottomBracket]))
	fits := func(k float64) bool {
		for _, v := range apart {
			if w := k * r3.Norm(v); !(w >= bikeWidth[0] && w <= bikeWidth[1]) {
				return false
			}
		}
		rear, front, base := k*min(a, b), k*max(a, b), k*far
		return rear >= bikeRear[0] && rear <= bikeRear[1] && front >= bikeFront[0] && front <= bikeFront[1] && base >= bikeBase[0] && base <= bikeBase[1]
	}
	if fits(1) {
		return stated, true
	}
	for u := range units {
		if fits(units[u].mm / units[stated].mm) {
			return Unit(u), true
		}
	}
	return stated, false
}

// needed returns the midpoints of the pairs that are always read, and left minus right.
func (p *points) needed() (mid, apart [needed]r3.Vec) {
	for i := range needed {
		l, r := p.all[p.index(framePairs[i].left)].at, p.all[p.index(framePairs[i].right)].at
		mid[i], apart[i] = half(r3.Add(l, r)), r3.Sub(l, r)
	}
	return mid, apart
}

// look finds the directions of a bike; false if its left and right lie along it.
func look(p *points, cov [3][3]float64, up r3.Vec) (rough, bool) {
	mid, apart := p.needed()
	axle := apart[frontAxle]
	apart[frontAxle] = r3.Vec{} // it may be turned
	n := mirror(&mid, &apart)
	for _, i := range [...]int{bottomBracket, rearAxle} {
		if math.Abs(r3.Dot(n, apart[i])) < 0.5*r3.Norm(apart[i]) {
			return rough{}, false
		}
	}
	r := rough{p: p, middle: half(r3.Add(mid[rearAxle], mid[bottomBracket])), left: n, front: mid[frontAxle], wheel: r3.Unit(axle)}
	r.clear = max(clearPair, 5*math.Sqrt(max(cov[0][0], cov[1][1], cov[2][2])))
	axles := r3.Sub(mid[frontAxle], mid[rearAxle])
	r.forward = r3.Unit(r3.Sub(axles, r3.Scale(r3.Dot(axles, n), n)))
	r.up = r3.Cross(r.forward, n)

	// Saddle, bar and head tube are above the axles.
	var heights []float64
	for i := range p.all {
		if onTop(p.all[i].landmark) {
			heights = append(heights, r3.Dot(r3.Sub(p.all[i].at, r.middle), r.up))
		}
	}
	slices.Sort(heights)
	height := 0.0
	if k := len(heights); k > 0 {
		height = (heights[k/2] + heights[(k-1)/2]) / 2
	}
	if r.seen = math.Abs(height) > clearHeight; !r.seen && up != (r3.Vec{}) {
		height = r3.Dot(r3.Unit(up), r.up)
		r.seen = math.Abs(height) > -upsideDown
	}
	if height < 0 {
		r.up = r3.Scale(-1, r.up)
	}
	if r.ahead(mid[bottomBracket], mid[rearAxle], mid[frontAxle]) < 0 {
		r.forward = r3.Scale(-1, r.forward)
	}
	if r.seen {
		r.left = r3.Cross(r.up, r.forward)
	}
	return r, true
}

// onTop reports whether a landmark is above the axles on every bike.
func onTop(l Landmark) bool {
	site, err := contact.ParseSite(string(l))
	return err == nil && !site.Group().Crank() || strings.HasPrefix(string(l), "saddle_edge_") || strings.HasPrefix(string(l), "head_tube_")
}

// ahead counts what speaks for forward less what speaks against it, but for the names of
// axles and saddle ends. It is 0 where nothing does.
func (r *rough) ahead(bracket, rear, front r3.Vec) (votes int) {
	vote := func(from, to r3.Vec, least float64) {
		switch along := r3.Dot(r3.Sub(to, from), r.forward); {
		case along > least:
			votes++
		case along < -least:
			votes--
		}
	}
	switch stay, centre := r3.Norm(r3.Sub(rear, bracket)), r3.Norm(r3.Sub(front, bracket)); {
	case stay < clearStay*centre:
		vote(rear, front, 0)
	case centre < clearStay*stay:
		vote(front, rear, 0)
	}
	saddle, hasSaddle := r.mean(SaddleEdgeLeft, SaddleEdgeRight, At(contact.SaddleReference))
	hands, hasHands := r.mean(hands...)
	if hasSaddle {
		vote(saddle, bracket, clearAhead)
	}
	if hasHands {
		vote(bracket, hands, clearAhead)
	}
	if hasSaddle && hasHands {
		vote(saddle, hands, clearAhead)
	}
	a, okA := r.mean(HeadTubeTopLeft, HeadTubeTopRight)
	b, okB := r.mean(HeadTubeBottomLeft, HeadTubeBottomRight)
	if okA && okB {
		vote(bracket, half(r3.Add(a, b)), clearAhead)
		if r3.Dot(r3.Sub(a, b), r.up) > 0 {
			a, b = b, a
		}
		vote(b, a, 0) // the upper end is behind the lower one
	}
	return votes
}

// hands are the landmarks of the bar.
var hands = func() (all []Landmark) {
	for _, s := range contact.Sites() {
		if s.Group().FrontEnd() {
			all = append(all, At(s))
		}
	}
	return all
}()

// mean returns the middle of the landmarks that were read; false if none was.
func (r *rough) mean(all ...Landmark) (v r3.Vec, ok bool) {
	n := 0.0
	for _, l := range all {
		if i := r.p.index(l); i >= 0 {
			v = r3.Add(v, r.p.all[i].at)
			n++
		}
	}
	if n == 0 {
		return r3.Vec{}, false
	}
	return r3.Scale(1/n, v), true
}

// pairs yields every pair that was read: of the frame, of saddle, bar and pedals, and
// marks.
func (p *points) pairs() (all []pair) {
	for i := range p.all {
		name, ok := strings.CutSuffix(string(p.all[i].landmark), "_left")
		ok = ok && name+"_" != markPrefix // whose names are left and right
		if k := (pair{p.all[i].landmark, Landmark(name + "_right")}); ok && p.index(k.right) >= 0 {
			all = append(all, k)
		}
	}
	return all
}

// sided returns the pairs that agree with left, and those that do not.
func (r *rough) sided() (right, wrong []pair) {
	for _, k := range r.p.pairs() {
		l, m := r.p.all[r.p.index(k.left)].at, r.p.all[r.p.index(k.right)].at
		apart := r3.Dot(r3.Sub(l, m), r.left)
		square, from := r.left, r.middle
		if turns(k.left) {
			square, from = r.wheel, r.front
		}
		aside := r3.Dot(r3.Sub(half(r3.Add(l, m)), from), square)
		switch {
		case apart > r.clear:
			right = append(right, k)
		case apart < -r.clear && math.Abs(aside) < 2*r.clear-apart/2: // each on the other's side, as far as a turned fork leaves known
			wrong = append(wrong, k)
		}
	}
	return right, wrong
}

// sides reports mirror images and pairs that were exchanged: the fewest that explain all.
func (r *rough) sides(f *fault.List) {
	right, wrong := r.sided()
	switch n, k := len(right), len(wrong); {
	case k == 0:
	case !r.seen && n == k, r.seen && k == n+1: // either will do
		r.undecided(right, wrong, f)
	case k > n && r.seen:
		f.Add("readings", "of a bicycle's mirror image: the instrument's axes are left-handed, or left and right are exchanged in all labels",
			"right-handed axes, and left where the rider has it", contact.ErrConflict)
		swapped(right, f)
	case k > n:
		swapped(right, f)
	default:
		swapped(wrong, f)
	}
}

func swapped(pairs []pair, f *fault.List) {
	for _, k := range pairs {
		f.Add("readings."+string(k.left), "on the side of "+string(k.right), "left and right not exchanged", contact.ErrConflict)
	}
}

// undecided reports two explanations that take as many exchanges.
func (r *rough) undecided(right, wrong []pair, f *fault.List) {
	names := func(pairs []pair) string {
		var all []string
		for i := range pairs {
			all = append(all, pairs[i].name())
		}
		return strings.Join(all, ", ")
	}
	other := names(right)
	if r.seen {
		other = strings.TrimSuffix("left-handed axes (or all labels exchanged), "+other, ", ")
	}
	f.Add("readings", "that disagree about what is left: exchanged are "+names(wrong)+", or as well "+other,
		"left and right not exchanged", contact.ErrConflict)
}

// ends reports front and rear, ends of the head tube and of the saddle that were exchanged.
func (r *rough) ends(f *fault.List) {
	behind := func(front, back [2]Landmark, dir r3.Vec) bool {
		a, okA := r.mean(front[:]...)
		b, okB := r.mean(back[:]...)
		return okA && okB && r3.Dot(r3.Sub(a, b), dir) < -r.clear
	}
	var kinds []string
	for _, k := range [...]struct {
		name        string
		front, rear [2]Landmark
	}{
		{"axle", [2]Landmark{FrontAxleLeft, FrontAxleRight}, [2]Landmark{RearAxleLeft, RearAxleRight}},
		{"dropout", [2]Landmark{FrontDropoutLeft, FrontDropoutRight}, [2]Landmark{RearDropoutLeft, RearDropoutRight}},
		{"rim", [2]Landmark{FrontRimLeft, FrontRimRight}, [2]Landmark{RearRimLeft, RearRimRight}},
	} {
		if behind(k.front, k.rear, r.forward) {
			kinds = append(kinds, k.name)
		}
	}
	if len(kinds) > 0 {
		f.Add("readings.front_"+kinds[0], "behind rear_"+kinds[0], "front and rear not exchanged ("+strings.Join(kinds, ", ")+")", contact.ErrConflict)
	}
	for _, k := range [...]struct {
		front, rear Landmark
		names       string
	}{
		{At(contact.SaddleNose), At(contact.SaddleRear), "the saddle's nose and rear"},
		{SaddleTopFront, SaddleTopRear, "the front and the rear of the saddle's top"},
	} {
		if behind([2]Landmark{k.front, k.front}, [2]Landmark{k.rear, k.rear}, r.forward) {
			f.Add("readings."+string(k.front), "behind "+string(k.rear), k.names+" not exchanged", contact.ErrConflict)
		}
	}
	if r.seen && behind([2]Landmark{HeadTubeTopLeft, HeadTubeTopRight}, [2]Landmark{HeadTubeBottomLeft, HeadTubeBottomRight}, r.up) {
		f.Add("readings.head_tube_top", "below head_tube_bottom", "the ends of the head tube not exchanged", contact.ErrConflict)
	}
}

// turns reports whether a landmark turns with the front wheel.
func turns(l Landmark) bool {
	site, err := contact.ParseSite(string(l))
	return turnsFront[l] || err == nil && site.Group().FrontEnd()
}

// rough is what is known of the directions once there is a datum.
func (d *datum) rough(p *points) rough {
	of := func(x, y, z float64) r3.Vec {
		return r3.Add(r3.Add(r3.Scale(x, d.axes[0]), r3.Scale(y, d.axes[1])), r3.Scale(z, d.axes[2]))
	}
	middle := r3.Add(d.middle, of(0, d.aside, 0))
	wheel := of(-d.sinS*d.sinA, d.cosS, -d.sinS*d.cosA)
	front := r3.Add(middle, of(d.front.X-d.offset*d.cosS*d.sinA, 0, d.front.Z-d.offset*d.cosS*d.cosA)) // on the steering axis
	return rough{p: p, middle: middle, front: front, wheel: wheel, left: d.axes[1], up: d.axes[2], forward: d.axes[0], seen: true, clear: clearPair}
}
