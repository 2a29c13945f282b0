package clearance

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// handlebar returns what is known of the handlebar on one side, as straight bars, Y counted
// outwards.
func handlebar(p *contact.Position, side contact.Side, radius float64) []bar {
	at := func(s contact.Site) (r3.Vec, bool) {
		v, ok := p.At(s.On(side))
		return outwards(v, side), ok
	}
	var all []bar
	last, known := at(contact.BarClamp)
	clamp := last
	for _, s := range [...]contact.Site{contact.TopsLeft, contact.HoodsLeft, contact.DropsLeft} {
		v, ok := at(s)
		if ok && known {
			all = append(all, newBar(last, v, radius))
		}
		if ok {
			last, known = v, true
		}
	}
	if v, ok := at(contact.GripLeft); ok {
		if _, held := at(contact.BarClamp); !held {
			clamp = v
		}
		all = append(all, newBar(clamp, v, radius))
	}
	if len(all) == 0 && known {
		all = append(all, newBar(last, last, radius))
	}
	return all
}

// around returns the least of a function of the crank angle in radians and where it is
// least: of every valley that its values at steps places show.
func around(steps int, f func(angle float64) float64) meeting {
	var room [64]float64
	grid := room[:steps]
	step := 2 * math.Pi / float64(steps)
	for i := range grid {
		grid[i] = f(float64(i) * step)
	}
	best := meeting{value: math.Inf(1)}
	for i, v := range grid {
		if v > grid[(i+steps-1)%steps] || v > grid[(i+1)%steps] {
			continue
		}
		if at, v := least(float64(i-1)*step, float64(i+1)*step, 1e-5, f); v < best.value {
			best = meeting{value: v, crank: at}
		}
	}
	return best
}

// A knees is the places of a knee over the turn of its crank, above the middle of its foot.
type knees struct {
	chain *rider.Chain
	side  contact.Side
	y     float64
}

func (k *knees) at(angle float64) r3.Vec {
	p, err := k.chain.At(k.side, angle/num.Rad)
	if err != nil {
		return r3.Vec{} // it has been asked whether the leg is there
	}
	return r3.Vec{X: p.Knee.X, Y: k.y, Z: p.Knee.Z}
}

// least returns how far a function of the knee's place stays from nothing.
func (k *knees) least(of func(knee r3.Vec) float64) meeting {
	f := func(angle float64) float64 { return of(k.at(angle)) }
	return around(36, f)
}

// outwards mirrors what is on the right.
func outwards(v r3.Vec, side contact.Side) r3.Vec {
	if side == contact.Right {
		v.Y = -v.Y
	}
	return v
}

// toBar returns how far the knee stays from the handlebar.
func (k *knees) toBar(bars []bar, radius float64) meeting {
	best := meeting{value: math.Inf(1)}
	for i := range bars { // one by one: each distance has few valleys
		if m := k.least(bars[i].distance); m.value < best.value {
			best = m
		}
	}
	best.value -= radius
	return best
}
