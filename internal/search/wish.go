package search

import (
	"cmp"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// A wish is what is asked of a build, sorted by site.
type wish struct {
	target   contact.Position
	keep     []fitgeom.Keep
	grain    float64
	tilt     float64
	stroke   Stroke
	policy   fitgeom.CrankPolicy
	want     [contact.SiteCount]wanted
	meter    *work.Meter   // asked before each piece of work
	rooms    [2][]roomWish // of the front end and of the seat
	mostRoom [2]int        // that they can count for
	problem  *Problem
	laws     *laws
}

// wanted is where a site should be, with what the square of a millimetre costs
// along each axis: its weight over the square of its tolerance, or 0. The same holds of its
// direction and degrees.
type wanted struct {
	at, tolerance, weight r3.Vec
	facing, price         contact.Attitude
	turn                  fitgeom.TurnTolerance
	turned                bool    // whether a direction is asked for
	asked                 float64 // what all coordinates and angles cost at their tolerances
}

func newWish(m *work.Meter, p *Problem) *wish {
	w := &wish{meter: m, target: p.Target, keep: p.Keep, grain: p.Grain, stroke: StrokeOf(&p.Target), policy: p.Crank, problem: p, laws: lawsOf(p)}
	a, _ := p.Target.Attitude(contact.SaddleReference)
	w.tilt = a.Tilt
	for _, k := range p.Keep {
		at, _ := p.Target.At(k.Site)
		facing, _ := p.Target.Attitude(k.Site)
		w.want[k.Site] = newWanted(k, at, facing)
	}
	w.rooms = [2][]roomWish{w.roomWishes(p.RoomWanted, false), w.roomWishes(p.RoomWanted, true)}
	w.mostRoom = [2]int{mostRoom(w.rooms[0]), mostRoom(w.rooms[1])}
	return w
}

func newWanted(k fitgeom.Keep, at r3.Vec, facing contact.Attitude) wanted {
	w := wanted{at: at, tolerance: k.Tolerance, weight: k.Price(), facing: facing, turn: k.Turn, price: k.Turn.Price(), turned: k.Turn.Asks()}
	weights, turn := k.Weights(), cmp.Or(k.Turn.Weight, 1)
	for _, c := range [...][2]float64{
		{k.Tolerance.X, weights.X},
		{k.Tolerance.Y, weights.Y},
		{k.Tolerance.Z, weights.Z},
		{k.Turn.Tilt, turn},
		{k.Turn.Yaw, turn},
		{k.Turn.Roll, turn},
	} {
		if c[0] != 0 {
			w.asked += c[1]
		}
	}
	return w
}

// asked reports whether anything is asked of a left site or the right one.
func (w *wish) asked(left contact.Site) bool {
	return w.want[left].asked+w.want[left.On(contact.Right)].asked > 0
}

// A verdict is how far something is off what is wanted: the sum of squares, each
// over its tolerance and times its weight, and whether all is within tolerance.
type verdict struct {
	cost  float64
	holds bool
}

// judge adds a site at a place.
func (v *verdict) judge(w *wanted, at r3.Vec) {
	v.coordinate(at.X-w.at.X, w.tolerance.X, w.weight.X)
	v.coordinate(at.Y-w.at.Y, w.tolerance.Y, w.weight.Y)
	v.coordinate(at.Z-w.at.Z, w.tolerance.Z, w.weight.Z)
}

// face adds the direction of a site.
func (v *verdict) face(w *wanted, is contact.Attitude) {
	if w.turned {
		off := is.Less(w.facing)
		v.coordinate(off.Tilt, w.turn.Tilt, w.price.Tilt)
		v.coordinate(off.Yaw, w.turn.Yaw, w.price.Yaw)
		v.coordinate(off.Roll, w.turn.Roll, w.price.Roll)
	}
}

func (v *verdict) coordinate(off, tolerance, weight float64) {
	if tolerance != 0 {
		v.cost += float64(weight * off * off)
		v.holds = v.holds && !num.Beyond(off, tolerance)
	}
}

// rounded is a cost whose root is rounded to grains, in squared grains: the same
// number whatever the processor does to the last digits.
func (w *wish) rounded(cost float64) float64 {
	n := math.Round(math.Sqrt(cost) / w.grain)
	return float64(n * n)
}

// least returns what a rounded cost of so many parts of a build was at least before it was
// rounded.
func (w *wish) least(rounded float64, parts int) float64 {
	n := max(0, math.Sqrt(rounded)-math.Sqrt(float64(parts))/2-1e-9) * w.grain
	return n * n
}

// most returns a cost above which any is rounded to more than given.
func (w *wish) most(rounded float64) float64 {
	n := (math.Sqrt(rounded) + 0.5) * w.grain
	return n*n*(1+1e-9) + 2*costSlack
}

// score returns the score of a cost, with a trace less for what rounding adds.
func (w *wish) score(cost float64) float64 {
	return math.Sqrt(max(0, cost)) * (1 - 1e-9)
}

// millionths and yes are numbers to break ties by.
func millionths(v float64) int64 { return int64(math.Round(v * 1e6)) }

// away is how far a setting is from 0, and more if it is negative.
func away(v float64) int64 { return 2*millionths(math.Abs(v)) + yes(v < 0) }

func yes(b bool) int64 {
	if b {
		return 1
	}
	return 0
}
