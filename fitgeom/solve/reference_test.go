package solve_test

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// The reference for Problem.Solve: every way to put the shelf together, continuous
// settings found by plain numerical search, everything seen through the forward
// map alone. It follows the package documentation and shares no code with it.

// fittingStacks returns what the steerer of a build takes, for each height under
// the stem with the least above.
func fittingStacks(b fitgeom.Build, rings []part.Spacer) [][2]float64 {
	var all [][2]float64
	for _, s := range invented.Stacks(rings) { // in order
		b.Settings.Spacers, b.Settings.SpacersAbove = s[0], s[1]
		if invented.SteererTakes(&b) && (len(all) == 0 || all[len(all)-1][0] != s[0]) {
			all = append(all, s)
		}
	}
	return all
}

// seen is how far a build is off, of the coordinates of some sites.
type seen struct {
	cost float64 // sum of squares over tolerances
	most float64 // the greatest share of a tolerance
}

func (s seen) holds() bool { return s.most <= 1+1e-6 }

// A share is how far a coordinate is off, as a share of its tolerance, and its weight.
type share struct{ off, weight float64 }

func (s share) seen() seen { return seen{s.weight * s.off * s.off, math.Abs(s.off)} }

func (s seen) plus(t seen) seen { return seen{s.cost + t.cost, max(s.most, t.most)} }

type looker struct {
	t      *testing.T
	target contact.Position
	keep   []fitgeom.Keep
	most   farthest
}

// within is a looker for which what is within tolerance is no further forward than that.
func (l *looker) within(most farthest) *looker {
	m := *l
	m.most = most
	return &m
}

// offs returns how far the coordinates of sites are off, as shares of their
// tolerances, of the axes told (x, y, z, t for tilt, w for yaw, r for roll); false if the build lacks a site.
func (l *looker) offs(b *fitgeom.Build, axes string, in func(contact.Site) bool) ([]share, bool) {
	return l.append(nil, b, axes, in)
}

// append appends what offs returns.
func (l *looker) append(all []share, b *fitgeom.Build, axes string, in func(contact.Site) bool) ([]share, bool) {
	p, err := b.Position()
	if err != nil { // asked a million times
		require.NoError(l.t, err)
	}
	for _, k := range l.keep {
		if !in(k.Site) {
			continue
		}
		got, known := p.At(k.Site)
		if !known {
			return nil, false
		}
		want, _ := l.target.At(k.Site)
		off := r3.Sub(got, want)
		is, _ := p.Attitude(k.Site)
		facing, _ := l.target.Attitude(k.Site)
		// The angle between two directions is the one whose sine and cosine are theirs.
		between := func(is, wanted float64) float64 {
			sin, cos := math.Sincos((is - wanted) * math.Pi / 180)
			return math.Atan2(sin, cos) * 180 / math.Pi
		}
		for _, a := range axes {
			v, tol, weight := off.X, k.Tolerance.X, k.Weight.X
			switch a {
			case 'y':
				v, tol, weight = off.Y, k.Tolerance.Y, k.Weight.Y
			case 'z':
				v, tol, weight = off.Z, k.Tolerance.Z, k.Weight.Z
			case 't':
				v, tol, weight = between(is.Tilt, facing.Tilt), k.Turn.Tilt, k.Turn.Weight
			case 'w':
				v, tol, weight = between(is.Yaw, facing.Yaw), k.Turn.Yaw, k.Turn.Weight
			case 'r':
				v, tol, weight = between(is.Roll, facing.Roll), k.Turn.Roll, k.Turn.Weight
			}
			if weight == 0 {
				weight = 1
			}
			if tol > 0 {
				all = append(all, share{v / tol, weight})
			}
		}
	}
	if strings.Contains(axes, "x") {
		all = l.most.offs(all, &p, in)
	}
	return all, true
}

func (l *looker) look(b *fitgeom.Build, axes string, in func(contact.Site) bool) seen {
	offs, ok := l.append(make([]share, 0, 16), b, axes, in)
	if !ok {
		return seen{math.Inf(1), math.Inf(1)}
	}
	var s seen
	for _, v := range offs {
		s = s.plus(v.seen())
	}
	return s
}

// straight puts a setting along which every coordinate goes straight where the
// cost is least of the places that hold, if there are any: two looks tell all.
func straight(to *float64, lo, hi float64, offs func() []share) (room float64) {
	*to = lo
	a := offs()
	*to = hi
	c := offs()
	from, til := lo, hi
	num, den := 0.0, 0.0
	for i := range a {
		slope := 0.0
		if hi > lo {
			slope = (c[i].off - a[i].off) / (hi - lo)
		}
		at := a[i].off - slope*lo
		if math.Abs(slope) < 1e-12 {
			if math.Abs(at) > 1+1e-6 {
				til = math.Inf(-1)
			}
			continue
		}
		x, y := (-1-at)/slope, (1-at)/slope
		from, til = max(from, min(x, y)), min(til, max(x, y))
		num += a[i].weight * slope * at
		den += a[i].weight * slope * slope
	}
	best := lo
	if den > 0 {
		best = -num / den
	}
	if til >= from-1e-9 {
		*to = max(from, min(til, best))
	} else {
		*to = max(lo, min(hi, best))
	}
	return til - from
}

func isSaddle(s contact.Site) bool { return s <= contact.SaddleRear }

func isBar(s contact.Site) bool { return s >= contact.BarClamp && s <= contact.GripRight }

func isPad(s contact.Site) bool { return s == contact.PadLeft || s == contact.PadRight }

func isExtension(s contact.Site) bool {
	return s == contact.ExtensionLeft || s == contact.ExtensionRight
}

func isFoot(s contact.Site) bool { return s >= contact.PedalLeft }

// golden returns where a function that first falls and then rises is least, by so many golden sections.
func golden(g func(float64) float64, a, b float64, sections int) float64 {
	const k = 0.6180339887498949
	x, y := b-k*(b-a), a+k*(b-a)
	gx, gy := g(x), g(y)
	for range sections {
		if gx <= gy {
			b, y, gy = y, x, gx
			x = b - k*(b-a)
			gx = g(x)
		} else {
			a, x, gx = x, y, gy
			y = a + k*(b-a)
			gy = g(y)
		}
	}
	return (a + b) / 2
}

// search returns where f costs least between lo and hi, of the places that hold
// if there are any, by a grid, golden sections and secants.
func search(f func(float64) seen, lo, hi float64) float64 {
	if hi <= lo {
		return lo
	}
	const grid = 24
	at := func(i int) float64 { return lo + (hi-lo)*float64(i)/grid }
	// polish finds where the slope of the cost vanishes near x, which is sharper.
	polish := func(x float64) float64 {
		h := (hi - lo) / 1000
		slope := func(x float64) float64 { return f(x+h/20).cost - f(x-h/20).cost }
		a, b := x-h, x+h
		sa, sb := slope(a), slope(b)
		for range 3 { // more would follow the rounding
			if sa == sb {
				break
			}
			a, sa, b = b, sb, max(x-h, min(x+h, b-sb*(b-a)/(sb-sa)))
			sb = slope(b)
		}
		if math.Abs(b-x) < h && b >= lo && b <= hi {
			x = b
		}
		// Where nothing is off, its root goes straight on either side: sharper still, since
		// there costs are rounded to the grain and order decides.
		if h = 1e-5; f(x).cost < 1e-8 {
			if a, b := math.Sqrt(f(x-h).cost), math.Sqrt(f(x+h).cost); a+b > 0 {
				x = max(lo, min(hi, x+h*(a-b)/(a+b)))
			}
		}
		return x
	}
	cost := func(x float64) float64 { return f(x).cost }
	most := func(x float64) float64 { return f(x).most }
	minimum := func(g func(float64) float64, sections int, polish func(float64) float64) float64 {
		best := 0.0 // which is what counts where nothing depends on it
		if lo > 0 || hi < 0 {
			best = lo
		}
		least := g(best)
		values := make([]float64, grid+1)
		for i := range values {
			values[i] = g(at(i))
		}
		for i, v := range values {
			if (i == 0 || values[i-1] >= v) && (i == grid || values[i+1] >= v) {
				x := polish(golden(g, at(max(0, i-1)), at(min(grid, i+1)), sections))
				for _, x := range []float64{lo, x, hi} {
					if v := g(x); v < least-1e-12 {
						best, least = x, v
					}
				}
			}
		}
		return best
	}
	best := minimum(cost, 30, polish)
	if f(best).holds() {
		return best
	}
	inside := minimum(most, 45, func(x float64) float64 { return x })
	if most(inside) > 1 {
		return best
	}
	// Where it holds is taken to be one stretch around there.
	edge := func(out float64) float64 {
		in := inside
		if most(out) <= 1 {
			return out
		}
		for range 60 {
			if mid := (in + out) / 2; most(mid) <= 1 {
				in = mid
			} else {
				out = mid
			}
		}
		return in
	}
	a, b := edge(lo), edge(hi)
	x := golden(cost, a, b, 45)
	return slices.MinFunc([]float64{a, x, b}, func(x, y float64) int { return cmp.Compare(f(x).cost, f(y).cost) })
}

// values returns what a setting may be, or its ends if it is anything between.
func values(s part.Steps) (all []float64, free bool) {
	if s.Step == 0 || s.From == s.To {
		return []float64{s.From, s.To}, s.To > s.From
	}
	for i := 0; s.From+s.Step*float64(i) <= s.To+1e-9; i++ {
		all = append(all, s.From+s.Step*float64(i))
	}
	return all, false
}

// set puts a setting along which every coordinate goes straight where f costs
// least of the places that hold, if there are any.
func set(to *float64, s part.Steps, offs func() []share) seen {
	at := func(v float64) (n seen) {
		*to = v
		for _, o := range offs() {
			n = n.plus(o.seen())
		}
		return n
	}
	all, free := values(s)
	if free {
		straight(to, s.From, s.To, offs)
		return at(*to)
	}
	best, bestSeen := all[0], at(all[0])
	for _, v := range all[1:] {
		if n := at(v); bestSeen.holds() == n.holds() && n.cost < bestSeen.cost*(1-1e-9)-1e-24 || n.holds() && !bestSeen.holds() {
			best, bestSeen = v, n
		}
	}
	return at(best)
}

type scored struct {
	build *fitgeom.Build
	cost  float64
	holds bool
	buys  int
	worth worth
	key   []int64 // breaks ties
	parts []int   // places of the parts that vary
	again bool    // the same parts as another, with levers mounted or the stem set in another way
	other bool    // with settings for a limit of rules, which are for builds that hold
}

func order(holding bool) func(a, b scored) int {
	return func(a, b scored) int {
		v, w := &a.worth, &b.worth
		if holding {
			return cmp.Or(
				cmp.Compare(v.short, w.short), cmp.Compare(v.shorts, w.shorts), cmp.Compare(a.buys, b.buys), cmp.Compare(v.points, w.points),
				-cmp.Compare(v.room, w.room), cmp.Compare(a.cost, b.cost), slices.Compare(a.key, b.key),
			)
		}
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.buys, b.buys), cmp.Compare(v.points, w.points), slices.Compare(a.key, b.key))
	}
}

// shimFor returns the shim that makes a part fit, if one does or none is needed.
func shimFor(inner, hole float64, shims []part.Shim, now part.Shim) (part.Shim, bool) {
	if math.Abs(inner-hole) < 0.05 {
		return part.Shim{}, true
	}
	for _, s := range append([]part.Shim{now}, shims...) {
		if slices.Contains(shims, s) && math.Abs(s.Inner-inner) < 0.05 && math.Abs(s.Outer-hole) < 0.05 {
			return s, true
		}
	}
	return part.Shim{}, false
}

// enumerate returns every build in any order, and how many there are but for ways to set
// the same parts.
func enumerate(t *testing.T, p solve.Problem) ([]scored, int) {
	o, shelf := p, p.Shelf
	if o.Grain == 0 {
		o.Grain = 0.1
	}
	if o.Vary == 0 {
		o.Vary = part.Stems | part.Handlebars | part.AeroBars
	}
	l := &looker{t, p.Target, o.Keep, farthest{}}
	tilt, _ := p.Target.Attitude(contact.SaddleReference)
	base := fitgeom.Build{
		Frame: p.Frame, Wheels: o.Wheels, Cap: shelf.Caps[0], Handlebar: shelf.Handlebars[0], Lever: shelf.Levers[0],
		Seatpost: shelf.Seatposts[0], Saddle: shelf.Saddles[0], Crank: shelf.Cranks[0],
		Settings: fitgeom.Settings{SaddleTilt: tilt.Tilt, SeatpostExtension: 100, RailClamp: 140},
	}
	any := base // a front end that goes with every seat
	any.Handlebar = part.Handlebar{ClampDiameter: 31.8, Base: part.BaseBar{Width: 400}}
	any.Lever = part.Lever{}
	any.Stem = part.Stem{Length: 100, Height: 40, SteererDiameter: 28.6, SteererInterface: p.Frame.SteererInterface, BarDiameter: 31.8}
	round := func(cost float64) float64 {
		n := math.Round(math.Sqrt(cost) / o.Grain)
		return n * n
	}
	micro := func(v float64) int64 { return int64(math.Round(v * 1e6)) }
	buys := func(same ...bool) int {
		n := 0
		for _, s := range same {
			if !s && o.Bike != (fitgeom.Build{}) {
				n++
			}
		}
		return n
	}
	under := rulesOf(&p)
	wantAero := false
	for _, k := range o.Keep {
		wantAero = wantAero || isPad(k.Site) || isExtension(k.Site)
	}

	var fronts, seats []scored
	// finish settles a front end whose parts are chosen.
	mounted := func(b fitgeom.Build, place [5]int, again bool) {
		stacks := fittingStacks(b, shelf.Spacers)
		for _, s := range stacks {
			b := b
			b.Settings.Spacers, b.Settings.SpacersAbove = s[0], s[1]
			if math.IsInf(l.look(&b, "", isBar).cost, 1) {
				return
			}
			across := l.look(&b, "y", isBar)
			turn := func(roll float64) seen {
				b.Settings.BarRotation = roll
				return l.look(&b, "xztwr", isBar).plus(across)
			}
			b.Settings.BarRotation = search(turn, -b.Handlebar.RotationRange, b.Handlebar.RotationRange)
			bar := turn(b.Settings.BarRotation)
			turned := b
			for choice, most := range under.tips {
				if choice > 0 && b.Aero == (part.AeroBar{}) {
					break
				}
				b, l := turned, l.within(farthest{tip: most})
				cost, holds := round(bar.cost), bar.holds()
				if b.Aero != (part.AeroBar{}) {
					var best fitgeom.Settings
					var bestSeen seen
					have, bestHeld := false, false
					offs := func(axes string, in func(contact.Site) bool) func() []share {
						return func() []share { o, _ := l.offs(&b, axes, in); return o }
					}
					apart := func() seen {
						if b.Aero.ExtensionWidths == (part.Steps{}) {
							return l.look(&b, "y", isExtension)
						}
						return set(&b.Settings.ExtensionWidth, b.Aero.ExtensionWidths, offs("y", isExtension))
					}()
					wide := set(&b.Settings.PadWidth, b.Aero.PadWidth, offs("y", isPad)).plus(apart)
					tilts, _ := values(b.Aero.Tilt)
					heights, _ := values(b.Aero.PadRise)
					for _, b.Settings.AeroTilt = range tilts {
						for _, b.Settings.PadRise = range heights {
							// The best of all, and the best of those that hold, need not have the same reach.
							found := set(&b.Settings.PadForward, b.Aero.PadForward, offs("xztwr", isPad)).plus(set(&b.Settings.Extension, b.Aero.Extension, offs("xztwr", isExtension))).plus(wide)
							held := found.holds() && under.front.kept(t, b)
							if !held {
								anyway := func(to *float64, s part.Steps, in func(contact.Site) bool) {
									set(to, s, func() []share { // so little of it that all of it holds
										all, _ := l.offs(&b, "xz", in)
										for i := range all {
											all[i].off *= 1e-6
										}
										return all
									})
								}
								anyway(&b.Settings.PadForward, b.Aero.PadForward, isPad)
								anyway(&b.Settings.Extension, b.Aero.Extension, isExtension)
								found = l.look(&b, "xztwr", isPad).plus(l.look(&b, "xztwr", isExtension)).plus(wide)
							}
							if !have || held && !bestHeld || held == bestHeld && round(found.cost) < round(bestSeen.cost) {
								best, bestSeen, bestHeld, have = b.Settings, found, held, true
							}
						}
					}
					b.Settings = best
					cost += round(bestSeen.cost)
					holds = holds && bestHeld
				}
				if choice > 0 && !holds {
					continue
				}
				up := int64(0)
				if b.Settings.Flipped {
					up = 1
				}
				n := o.Bike
				f := scored{&b, cost, holds, buys(b.Cap == n.Cap, place[1] < 0 || b.Stem == n.Stem, b.Handlebar == n.Handlebar, place[3] < 0 || b.Lever == n.Lever,
					place[4] < 0 || b.Aero == n.Aero, b.BarShim == part.Shim{} || b.BarShim == n.BarShim), worth{points: barPoints(&p, &b)}, nil, nil, again, choice > 0}
				f.key = []int64{micro(s[0]), up, micro(math.Abs(b.Settings.BarRotation))}
				f.again = f.again || choice > 0 || b.Settings.StemAngle != b.Stem.Angles.From || b.Settings.Quill != b.Stem.Quill.From
				for i, kind := range []part.Kinds{part.Caps, part.Stems, part.Handlebars, part.Levers, part.AeroBars} {
					f.key = append(f.key, int64(place[i]))
					if o.Vary&kind != 0 {
						f.parts = append(f.parts, place[i])
						if kind == part.Stems {
							f.parts = append(f.parts, int(up))
						}
					}
				}
				for _, v := range []float64{b.Settings.LeverUp, b.Settings.LeverIn, b.Settings.StemAngle, b.Settings.Quill} { // near to nominal first, and then up and in
					below := int64(0)
					if v < 0 {
						below = 1
					}
					f.key = append(f.key, 2*micro(math.Abs(v))+below)
				}
				f.key = append(f.key, int64(choice))
				fronts = append(fronts, f)
			}
		}
	}
	finish := func(b fitgeom.Build, place [5]int) {
		ups, _ := values(b.Handlebar.Drop.LeverUp)
		ins, _ := values(b.Handlebar.Drop.LeverIn)
		for i, up := range ups {
			for j, in := range ins {
				b.Settings.LeverUp, b.Settings.LeverIn = up, in
				mounted(b, place, i+j > 0)
				if b.Handlebar.Drop.LeverIn.From == b.Handlebar.Drop.LeverIn.To {
					break
				}
			}
			if b.Handlebar.Drop.LeverUp.From == b.Handlebar.Drop.LeverUp.To {
				break
			}
		}
	}
	for ci, cap := range shelf.Caps {
		for bi, bar := range shelf.Handlebars {
			b := base
			b.Cap, b.Handlebar = cap, bar
			if cap.SteererInterface != p.Frame.SteererInterface {
				continue
			}
			type held struct {
				b     fitgeom.Build
				place int
			}
			var on []held
			if bar.Stem != (part.Stem{}) {
				on = append(on, held{b, -1})
			} else {
				for si, stem := range shelf.Stems {
					var ok bool
					if b.BarShim, ok = (part.Shim{}), bar.ClampInterface != ""; !ok { // names stand in place of diameters
						b.BarShim, ok = shimFor(bar.ClampDiameter, stem.BarDiameter, shelf.Shims, o.Bike.BarShim)
					}
					if !ok || stem.SteererInterface != p.Frame.SteererInterface || stem.BarInterface != bar.ClampInterface {
						continue
					}
					b.Stem = stem
					angles, _ := values(stem.Angles)
					quills, _ := values(stem.Quill)
					angles, quills = slices.Compact(angles), slices.Compact(quills)
					for _, b.Settings.StemAngle = range angles {
						for _, b.Settings.Quill = range quills {
							b.Settings.Flipped = false
							on = append(on, held{b, si})
							angle := stem.Angle
							if stem.Angles != (part.Steps{}) {
								angle = b.Settings.StemAngle
							}
							if b.Settings.Flipped = true; stem.Flippable && angle != 0 {
								on = append(on, held{b, si})
							}
						}
					}
				}
			}
			for _, h := range on {
				levers := shelf.Levers
				if bar.Drop == (part.DropBar{}) {
					levers = []part.Lever{{}}
				}
				for li, lever := range levers {
					b := h.b
					b.Lever = lever
					place := [5]int{ci, h.place, bi, li, -1}
					if lever == (part.Lever{}) {
						place[3] = -1
					}
					if !wantAero {
						finish(b, place)
						continue
					}
					for ai, aero := range shelf.AeroBars {
						if b.Aero = aero; math.Abs(aero.BarDiameter-bar.AeroDiameter) < 0.05 {
							place[4] = ai
							finish(b, place)
						}
					}
				}
			}
		}
	}

	lifts := invented.Stacks(shelf.CleatShims)
	lifts = slices.DeleteFunc(lifts, func(s [2]float64) bool { return s[1] != 0 })
	for ci, crank := range shelf.Cranks {
		for pi := range max(1, len(shelf.Pedals)) {
			b := any
			b.Crank = crank
			if len(shelf.Pedals) > 0 {
				b.Pedal = shelf.Pedals[pi]
			}
			for _, side := range []struct {
				to   *float64
				site contact.Site
			}{{&b.Settings.LiftLeft, contact.FootLeft}, {&b.Settings.LiftRight, contact.FootRight}} {
				best := 0.0
				for _, s := range lifts {
					at := func(v float64) float64 {
						*side.to = v
						return l.look(&b, "z", func(s contact.Site) bool { return s == side.site }).cost
					}
					if len(shelf.Pedals) > 0 && at(s[0]) < at(best)-1e-9 {
						best = s[0]
					}
				}
				*side.to = best
			}
			if len(shelf.Pedals) > 0 {
				l.cleats(&b)
			}
			feet := l.look(&b, "xyztwr", isFoot)
			if math.IsInf(feet.cost, 1) {
				continue
			}
			at := &looker{t, moved(p.Target, b, o.Crank), o.Keep, farthest{}}
			for posti, post := range shelf.Seatposts {
				b := b
				b.Seatpost = post
				var ok bool
				if b.SeatpostShim, ok = (part.Shim{}), post.Interface != ""; !ok {
					b.SeatpostShim, ok = shimFor(post.Diameter, p.Frame.SeatpostDiameter, shelf.Shims, o.Bike.SeatpostShim)
				}
				if !ok || post.Interface != p.Frame.SeatpostInterface {
					continue
				}
				lo, hi := post.MinExtension, post.Length-max(post.MinInsertion, p.Frame.SeatpostInsertion)
				if p.Frame.SeatpostDepth > 0 {
					lo = max(lo, post.Length-p.Frame.SeatpostDepth)
				}
				if post.MaxExtension > 0 {
					hi = min(hi, post.MaxExtension)
				}
				if hi < lo {
					continue
				}
				for si, saddle := range shelf.Saddles {
					b := b
					b.Saddle = saddle
					if !clampsRails(&post, &saddle) {
						continue
					}
					for choice, most := range under.noses {
						b, at := b, at.within(farthest{nose: most})
						s := at.seat(&b, lo, hi).plus(at.look(&b, "twr", isSaddle))
						if choice > 0 && !(s.holds() && feet.holds()) {
							continue
						}
						n := o.Bike
						middle := math.Abs(b.Settings.RailClamp - (saddle.RailsFrom+saddle.RailsTo)/2)
						pedal, _ := p.Target.At(contact.PedalLeft)
						c := scored{&b, round(s.cost) + round(feet.cost), s.holds() && feet.holds(), buys(b.Crank == n.Crank, len(shelf.Pedals) == 0 || b.Pedal == n.Pedal,
							b.Seatpost == n.Seatpost, b.Saddle == n.Saddle, b.SeatpostShim == part.Shim{} || b.SeatpostShim == n.SeatpostShim), worth{points: seatPoints(&p, &b)}, nil, nil, choice > 0, choice > 0}
						if c.holds {
							c.worth = c.worth.with(roomOf(&p, true, func(w *solve.Problem) bool {
								there := &looker{t, moved(w.Target, b, o.Crank), w.Keep, farthest{}}
								b := b
								return there.look(&b, "twr", isSaddle).holds() && there.settle(&b, lo, hi, true).holds()
							}))
						}
						right, _ := p.Target.At(contact.PedalRight)
						c.key = []int64{micro(math.Abs((crank.Lengths()[0]+crank.Lengths()[1])/2 - (pedal.X+right.X)/2)), micro(middle), int64(posti), int64(si), int64(ci), int64(pi), int64(choice)}
						for i, kind := range []part.Kinds{part.Seatposts, part.Saddles, part.Cranks, part.Pedals} {
							if o.Vary&kind != 0 {
								c.parts = append(c.parts, []int{posti, si, ci, pi}[i])
							}
						}
						seats = append(seats, c)
					}
				}
			}
		}
	}

	frontRooms(l, &p, fronts)
	var all []scored
	count := 0
	for _, f := range fronts {
		for _, s := range seats {
			if !f.again && !s.again {
				count++
			}
			b := *s.build
			b.Cap, b.Stem, b.BarShim, b.Handlebar, b.Lever, b.Aero = f.build.Cap, f.build.Stem, f.build.BarShim, f.build.Handlebar, f.build.Lever, f.build.Aero
			v := s.build.Settings
			b.Settings = f.build.Settings
			b.Settings.SeatpostExtension, b.Settings.RailClamp, b.Settings.LiftLeft, b.Settings.LiftRight = v.SeatpostExtension, v.RailClamp, v.LiftLeft, v.LiftRight
			b.Settings.CleatLeft, b.Settings.CleatRight = v.CleatLeft, v.CleatRight
			all = append(all, scored{&b, f.cost + s.cost, f.holds && s.holds, f.buys + s.buys, f.worth.with(s.worth), slices.Concat(f.key, s.key), slices.Concat(f.parts, s.parts), false, f.other || s.other})
		}
	}
	for i := range all {
		all[i].holds = all[i].holds && under.all.kept(t, *all[i].build)
	}
	all = slices.DeleteFunc(all, func(s scored) bool { return s.other && !s.holds })
	return all, count
}

// clampsRails reports whether a post holds a saddle's rails.
func clampsRails(post *part.Seatpost, saddle *part.Saddle) bool {
	for _, size := range [][2]float64{{post.RailWidth, saddle.RailWidth}, {post.RailHeight, saddle.RailHeight}} {
		if size[0] > 0 && size[1] > 0 && math.Abs(size[0]-size[1]) > 0.05 {
			return false
		}
	}
	return true
}

// railsOf is where a post may hold a saddle.
func railsOf(post *part.Seatpost, saddle *part.Saddle) (lo, hi float64) {
	longer := post.ClampSpan - saddle.ClampSpan
	if post.ClampSpan == 0 || saddle.ClampSpan == 0 {
		longer = 0
	}
	return saddle.RailsFrom + longer/2, saddle.RailsTo - longer/2
}

// cleats sets the cleats of a build, each setting where what it moves is best.
func (l *looker) cleats(b *fitgeom.Build) {
	p := &b.Pedal
	for side, c := range []*fitgeom.Cleat{&b.Settings.CleatLeft, &b.Settings.CleatRight} {
		for _, k := range []struct {
			to   *float64
			in   part.Steps
			axis string
		}{{&c.Back, p.CleatBack, "x"}, {&c.In, p.CleatIn, "y"}, {&c.ToesOut, p.ToesOut, "w"}, {&c.Wedge, p.Wedge, "r"}} {
			offs := func() []share {
				all, _ := l.offs(b, k.axis, func(s contact.Site) bool { return s == contact.FootLeft.Both()[side] })
				return all
			}
			*k.to = 0
			if len(offs()) == 0 { // nothing depends on it: near to 0
				*k.to = max(k.in.From, min(k.in.To, 0))
				if all, free := values(k.in); !free {
					*k.to = slices.MinFunc(all, func(a, b float64) int { return cmp.Compare(math.Abs(a), math.Abs(b)) })
				}
				continue
			}
			set(k.to, k.in, offs)
		}
	}
}

// distinct sorts and drops builds that have the same parts that vary as one before them.
func distinct(all []scored) []scored {
	var holding, rest []scored
	for _, s := range all {
		if s.holds {
			holding = append(holding, s)
		} else {
			rest = append(rest, s)
		}
	}
	slices.SortFunc(holding, order(true))
	slices.SortFunc(rest, order(false))
	had := map[[12]int]bool{}
	var out []scored
	for _, s := range append(holding, rest...) {
		var k [12]int
		copy(k[:], s.parts)
		if !had[k] {
			had[k] = true
			out = append(out, s)
		}
	}
	return out
}

// moved returns the target with the saddle where the crank policy wants it,
// found by bisection along the line from the foot's circle.
func moved(target contact.Position, b fitgeom.Build, policy fitgeom.CrankPolicy) contact.Position {
	if policy == fitgeom.KeepSaddle {
		return target
	}
	mean := func(p contact.Position, left contact.Site) (r3.Vec, bool) {
		l, ok := p.At(left)
		r, _ := p.At(left.On(contact.Right))
		return r3.Scale(0.5, r3.Add(l, r)), ok
	}
	now, _ := b.Position()
	was, _ := mean(target, contact.PedalLeft)
	is, _ := mean(now, contact.PedalLeft)
	wasFoot, ok1 := mean(target, contact.FootLeft)
	isFoot, ok2 := mean(now, contact.FootLeft)
	if !ok1 || !ok2 {
		wasFoot.Z, isFoot.Z = 0, 0
	}
	// far is the greatest distance from a saddle to the foot in a turn of the crank.
	far := func(saddle r3.Vec, crank, height float64) float64 {
		return math.Hypot(saddle.X, saddle.Z-height) + crank
	}
	saddle, _ := target.At(contact.SaddleReference)
	way := r3.Unit(r3.Vec{X: saddle.X, Z: saddle.Z - wasFoot.Z})
	from := r3.Vec{Z: isFoot.Z}
	lo, hi := 0.0, 2000.0
	for range 200 {
		if mid := (lo + hi) / 2; far(r3.Add(from, r3.Scale(mid, way)), is.X, isFoot.Z) < far(saddle, was.X, wasFoot.Z) {
			lo = mid
		} else {
			hi = mid
		}
	}
	shift := r3.Sub(r3.Add(from, r3.Scale(lo, way)), r3.Vec{X: saddle.X, Z: saddle.Z})
	for s, v := range target.All() {
		if isSaddle(s) {
			target.Set(s, r3.Add(v, shift))
		}
	}
	return target
}

// seat settles post and rails. Along a setting every coordinate goes straight,
// so that two looks tell all of it.
func (l *looker) seat(b *fitgeom.Build, lo, hi float64) seen { return l.settle(b, lo, hi, false) }

// settle does so; where any place that holds will do, it ends at the first.
func (l *looker) settle(b *fitgeom.Build, lo, hi float64, any bool) seen {
	e, r := &b.Settings.SeatpostExtension, &b.Settings.RailClamp
	look := func() seen { return l.look(b, "xz", isSaddle) }
	var rails [2]float64
	rails[0], rails[1] = railsOf(&b.Seatpost, &b.Saddle)
	parabola := func(to *float64, lo, hi float64) {
		f := func(v float64) float64 { *to = v; return look().cost }
		if hi == lo {
			*to = lo
			return
		}
		a, m, c := f(lo), f((lo+hi)/2), f(hi)
		*to = max(lo, min(hi, (lo+hi)/2-(hi-lo)/2*(c-a)/(2*(c-2*m+a))))
	}
	*e, *r = lo, rails[0]
	for range 40 { // one setting after the other; the cost is convex
		was := [2]float64{*e, *r}
		parabola(e, lo, hi)
		parabola(r, rails[0], rails[1])
		if was == [2]float64{*e, *r} || any && look().holds() {
			break
		}
	}
	least := look()
	if least.holds() || !l.look(b, "twr", isSaddle).holds() { // or nothing holds
		return least
	}
	bestE, bestR := *e, *r
	// For each place of the rails the stretch of the post that holds, and the best on it.
	along := func(rail float64) (in seen, room float64) {
		*r = rail
		room = straight(e, lo, hi, func() []share { o, _ := l.offs(b, "xz", isSaddle); return o })
		return look(), room
	}
	roomiest := golden(func(v float64) float64 { _, room := along(v); return -room }, rails[0], rails[1], 75)
	if _, room := along(roomiest); room < -1e-9 {
		*e, *r = bestE, bestR
		return least
	}
	edge := func(out float64) float64 {
		in := roomiest
		if _, room := along(out); room >= -1e-9 {
			return out
		}
		for range 100 {
			mid := (in + out) / 2
			if _, room := along(mid); room >= -1e-9 {
				in = mid
			} else {
				out = mid
			}
		}
		return in
	}
	if any {
		found, _ := along(roomiest)
		return found
	}
	x := golden(func(v float64) float64 { s, _ := along(v); return s.cost }, edge(rails[0]), edge(rails[1]), 75)
	found, _ := along(x)
	return found
}
