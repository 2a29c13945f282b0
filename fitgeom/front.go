package fitgeom

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// fronts offers every cap, stem, spacer stack, bar and lever that go together,
// each with the best roll of the bar.
func (w *wish) fronts(r *ranking, frame *Frame, shelf *Shelf) {
	for ci := range shelf.Caps {
		cap := &shelf.Caps[ci]
		if !fits(cap.SteererDiameter, frame.SteererDiameter) || cap.Height > frame.MaxStack {
			continue
		}
		stacks := shelf.stacks(frame.MaxStack - cap.Height)
		for si := range shelf.Stems {
			stem := &shelf.Stems[si]
			if !fits(stem.SteererDiameter, frame.SteererDiameter) {
				continue
			}
			for _, flipped := range ways(stem) {
				for bi := range shelf.Bars {
					bar := &shelf.Bars[bi]
					if !fits(bar.ClampDiameter, stem.BarDiameter) {
						continue
					}
					for li := range shelf.Levers {
						sites, ok := w.cockpit(bar, &shelf.Levers[li])
						if !ok {
							continue
						}
						for _, s := range stacks {
							clamp := clampCentre(frame, cap, stem, s.height, flipped)
							roll := w.bestRoll(clamp, sites[:], bar.RollRange)
							r.add(w.front(clamp, sites[:], option{
								order:    [8]int64{hundredths(s.height), yes(flipped), millionths(math.Abs(roll)), int64(ci), int64(si), int64(bi), int64(li)},
								settings: Settings{Spacers: s.height, Flipped: flipped, BarRoll: roll},
								pieces:   s.pieces,
								part:     [4]int{ci, si, bi, li},
							}))
						}
					}
				}
			}
		}
	}
}

// ways is how a stem may be mounted.
func ways(s *Stem) []bool {
	if s.Flippable && s.Angle != 0 {
		return []bool{false, true}
	}
	return []bool{false}
}

func yes(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

func hundredths(v float64) int64 { return quanta(v * 100) }
func millionths(v float64) int64 { return quanta(v * 1e6) }

// cockpit is the left and right sites of a level bar with its levers; false if
// a site that is to be kept is not on offer.
func (w *wish) cockpit(bar *DropBar, lever *Lever) (sites [6]placed, ok bool) {
	for i, h := range barSites(bar, lever) {
		right := h.left.On(contact.Right)
		if !h.offered && (w.asked(h.left) || w.asked(right)) {
			return sites, false
		}
		sites[2*i] = placed{h.left, h.at}
		sites[2*i+1] = placed{right, r3.Vec{X: h.at.X, Y: -h.at.Y, Z: h.at.Z}}
	}
	return sites, true
}

// front judges a bar that is held at a place.
func (w *wish) front(clamp r3.Vec, sites []placed, o option) option {
	var out [7]placed
	sin, cos := num.Sincos(o.settings.BarRoll)
	for i, s := range sites {
		out[i] = placed{s.site, r3.Add(clamp, turned(s.at, sin, cos))}
	}
	out[6] = placed{contact.BarClamp, clamp}
	return w.judged(o, out[:]...)
}

// bestRoll returns the roll in degrees, within the range either way, at which
// the bar's sites come nearest to where they are wanted.
//
// The cost of a roll ρ is a trigonometric polynomial of second degree,
//
//	kc cos ρ + ks sin ρ + kd cos² ρ + kx sin ρ cos ρ + a constant,
//
// which has at most two minima in a whole turn: every change of sign of the
// derivative on a grid is refined, and the ends of the range are tried.
func (w *wish) bestRoll(clamp r3.Vec, sites []placed, most float64) float64 {
	if most == 0 {
		return 0
	}
	var kc, ks, kd, kx float64
	for _, s := range sites {
		want := &w.want[s.site]
		wx, wz := want.weight.X, want.weight.Z
		dx, dz := clamp.X-want.at.X, clamp.Z-want.at.Z
		hx, hz := s.at.X, s.at.Z
		kc += 2 * (wx*dx*hx + wz*dz*hz)
		ks += 2 * (wz*dz*hx - wx*dx*hz)
		kd += (wx - wz) * (hx*hx - hz*hz)
		kx += 2 * (wz - wx) * hx * hz
	}
	if kc == 0 && ks == 0 && kd == 0 && kx == 0 {
		return 0 // nothing that turns is asked for
	}
	cost := func(roll float64) float64 {
		sin, cos := num.Sincos(roll)
		return kc*cos + ks*sin + kd*cos*cos + kx*sin*cos
	}
	slope := func(roll float64) float64 {
		sin, cos := num.Sincos(roll)
		return ks*cos - kc*sin - 2*kd*sin*cos + kx*(cos*cos-sin*sin)
	}
	best, least := -most, cost(-most)
	try := func(roll float64) {
		if c := cost(roll); c < least {
			best, least = roll, c
		}
	}
	const steps = 8
	lo, slopeLo := -most, slope(-most)
	for i := range steps {
		hi := most * (2*float64(i+1)/steps - 1)
		slopeHi := slope(hi)
		if slopeLo <= 0 && slopeHi >= 0 {
			try(root(slope, lo, slopeLo, hi, slopeHi))
		}
		lo, slopeLo = hi, slopeHi
	}
	try(most)
	return best
}

// root returns where f is zero between two places at which its signs differ.
// It uses the Illinois form of false position, which never leaves the bracket.
func root(f func(float64) float64, lo, fLo, hi, fHi float64) float64 {
	if fLo == 0 {
		return lo
	}
	for range 100 {
		if fHi == 0 || hi == lo {
			break
		}
		mid := (lo*fHi - hi*fLo) / (fHi - fLo)
		if mid == lo || mid == hi {
			break
		}
		fMid := f(mid)
		if (fMid > 0) == (fHi > 0) {
			fLo /= 2
		} else {
			lo, fLo = hi, fHi
		}
		hi, fHi = mid, fMid
		if math.Abs(hi-lo) < 1e-13 {
			break
		}
	}
	return hi
}
