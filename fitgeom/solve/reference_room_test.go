package solve_test

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// A worth is what builds that hold are sorted by before how close they come, as the
// documentation of package solve has it.
type worth struct{ short, shorts, points, room int }

func (a worth) with(b worth) worth {
	return worth{a.short + b.short, a.shorts + b.shorts, a.points + b.points, a.room + b.room}
}

// points counts steps from the middle of a usual range.
func points(u fitgeom.Usual, v float64) int {
	if u.Step == 0 {
		return 0
	}
	return int(math.Floor(math.Abs(v-(u.To+u.From)/2)/u.Step + 0.5 + 1e-7))
}

// usual is the preference of a problem.
func usual(p *solve.Problem) fitgeom.Preference {
	switch {
	case p.Preference == fitgeom.Preference{}:
		return fitgeom.DefaultPreference(p.Keep)
	case p.Preference.Nothing:
		return fitgeom.Preference{}
	}
	return p.Preference
}

func barPoints(p *solve.Problem, b *fitgeom.Build) int {
	u := usual(p)
	stem := b.Stem
	if stem == (part.Stem{}) {
		stem = b.Handlebar.Stem
	}
	angle := stem.Angle
	if stem.Angles != (part.Steps{}) {
		angle = b.Settings.StemAngle
	}
	n := points(u.StemLength, stem.Length) + points(u.Rotation, b.Settings.BarRotation)
	if stem.Quill == (part.Steps{}) {
		n += points(u.Spacers, b.Settings.Spacers)
	}
	if b.Settings.Flipped {
		n, angle = n+u.Flipped, -angle
	}
	if b.BarShim != (part.Shim{}) {
		n += u.Shim
	}
	return n + points(u.StemAngle, angle)
}

func seatPoints(p *solve.Problem, b *fitgeom.Build) int {
	u := usual(p)
	rails := railsMiddle(b)
	n := points(u.Setback, b.Seatpost.Setback) + points(u.Rails, b.Settings.RailClamp-rails)
	if b.SeatpostShim != (part.Shim{}) {
		n += u.Shim
	}
	return n
}

func railsMiddle(b *fitgeom.Build) float64 {
	lo, hi := railsOf(&b.Seatpost, &b.Saddle)
	return (lo + hi) / 2
}

// roomOf walks a mm at a time, with tolerances widened by the gap, until the problem with its
// target moved is not held any more.
func roomOf(p *solve.Problem, saddle bool, holds func(*solve.Problem) bool) (w worth) {
	wanted := p.RoomWanted
	if wanted == nil {
		wanted = fitgeom.DefaultRoom()
	}
	least, any := 30, false
	for _, r := range wanted {
		if (r.Group == contact.OnSaddle) != saddle {
			continue
		}
		q := *p
		q.Keep = nil
		for _, k := range p.Keep {
			for _, t := range []*float64{&k.Tolerance.X, &k.Tolerance.Y, &k.Tolerance.Z} {
				if *t > 0 {
					*t += r.Gap
				}
			}
			q.Keep = append(q.Keep, k)
		}
		for i, mm := range []int{r.Up, r.Down, r.Forward, r.Back} {
			if mm == 0 {
				continue
			}
			any = true
			by := []r3.Vec{{Z: 1}, {Z: -1}, {X: 1}, {X: -1}}[i]
			goes := 0
			for goes < 30 {
				q.Target = p.Target
				for s, v := range p.Target.All() {
					if g := s.Group(); g == r.Group || r.Group == contact.OnHandlebar && g == contact.OnAeroBar {
						q.Target.Set(s, r3.Add(v, r3.Scale(float64(goes+1), by)))
					}
				}
				if !holds(&q) {
					break
				}
				goes++
			}
			short := max(0, mm-goes)
			w.short, w.shorts, least = max(w.short, short), w.shorts+short, min(least, goes)
		}
	}
	if any {
		w.room = least / 5 * 5
	}
	return w
}

// frontRooms gives the front ends that hold their room: that of all with the same parts.
func frontRooms(l *looker, p *solve.Problem, fronts []scored) {
	type parts struct {
		cap   part.HeadsetCap
		stem  part.Stem
		bar   part.Handlebar
		lever part.Lever
		aero  part.AeroBar
		place [5]int64
	}
	of := func(f *scored) parts {
		return parts{f.build.Cap, f.build.Stem, f.build.Handlebar, f.build.Lever, f.build.Aero, [5]int64(f.key[3:8])}
	}
	same := map[parts][]fitgeom.Build{}
	for i := range fronts {
		k := of(&fronts[i])
		same[k] = append(same[k], *fronts[i].build)
	}
	known := map[parts]worth{}
	for i := range fronts {
		f := &fronts[i]
		if !f.holds {
			continue
		}
		k := of(f)
		w, ok := known[k]
		if !ok {
			builds, last := same[k], 0
			w = roomOf(p, false, func(q *solve.Problem) bool {
				at := &looker{l.t, q.Target, q.Keep, farthest{}}
				for n := range builds {
					j := (last + n) % len(builds)
					if at.barHolds(builds[j]) {
						last = j
						return true
					}
				}
				return false
			})
			known[k] = w
		}
		f.worth = f.worth.with(w)
	}
}

// barHolds reports whether a front end can hold, by turning bar and aero bar.
func (l *looker) barHolds(b fitgeom.Build) bool {
	onBar := func(s contact.Site) bool { return isBar(s) }
	b.Settings.BarRotation = 0
	r := b.Handlebar.RotationRange
	if !l.look(&b, "y", onBar).holds() {
		return false
	}
	turn := func(roll float64) seen {
		b.Settings.BarRotation = roll
		return l.look(&b, "xztwr", onBar)
	}
	const grid = 24
	near := math.Inf(1)
	for i := range grid + 1 {
		s := turn(-r + 2*r*float64(i)/grid)
		if near = min(near, s.most); s.holds() && b.Aero == (part.AeroBar{}) {
			return true
		}
	}
	if near > 1+l.perDegree(&b)*r/grid {
		return false
	}
	if b.Settings.BarRotation = search(turn, -r, r); !turn(b.Settings.BarRotation).holds() {
		return false
	}
	return b.Aero == (part.AeroBar{}) || l.aeroHolds(b)
}

// perDegree is the most shares of a tolerance by which a degree of roll moves a coordinate.
func (l *looker) perDegree(b *fitgeom.Build) float64 {
	p := invented.Position(*b)
	clamp, _ := p.At(contact.BarClamp)
	most := 0.0
	for _, k := range l.keep {
		if !isBar(k.Site) {
			continue
		}
		at, _ := p.At(k.Site)
		arm := r3.Norm(r3.Sub(at, clamp)) * math.Pi / 180
		for _, t := range []float64{k.Tolerance.X, k.Tolerance.Z} {
			if t > 0 {
				most = max(most, arm/t)
			}
		}
		for _, t := range []float64{k.Turn.Tilt, k.Turn.Yaw, k.Turn.Roll} {
			if t > 0 {
				most = max(most, 3/t) // flared levers lean with the roll, by less
			}
		}
	}
	return most
}

// aeroHolds tries all tilts and heights of an aero bar.
func (l *looker) aeroHolds(b fitgeom.Build) bool {
	offs := func(axes string, in func(contact.Site) bool) func() []share {
		return func() []share { o, _ := l.offs(&b, axes, in); return o }
	}
	apart := seen{}
	if b.Aero.ExtensionWidths == (part.Steps{}) {
		apart = l.look(&b, "y", isExtension)
	} else {
		apart = set(&b.Settings.ExtensionWidth, b.Aero.ExtensionWidths, offs("y", isExtension))
	}
	wide := set(&b.Settings.PadWidth, b.Aero.PadWidth, offs("y", isPad)).plus(apart)
	tilts, _ := values(b.Aero.Tilt)
	heights, _ := values(b.Aero.PadRise)
	for _, b.Settings.AeroTilt = range tilts {
		for _, b.Settings.PadRise = range heights {
			found := set(&b.Settings.PadForward, b.Aero.PadForward, offs("xztwr", isPad)).plus(set(&b.Settings.Extension, b.Aero.Extension, offs("xztwr", isExtension))).plus(wide)
			if found.holds() {
				return true
			}
		}
	}
	return false
}
