package fitgeom

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
	"gonum.org/v1/gonum/spatial/r3"
)

// Options is what the caller of [Reproduce] cares about. The zero value is
// useful: every field says what its zero means.
type Options struct {
	// Keep lists the sites that matter and how closely. The saddle reference
	// must be among them. Nil: [DefaultKeep] of the target.
	Keep []Keep
	// Limit is how many candidates to return, 1 to 1000. Zero: 5.
	Limit int
}

// A Keep asks for a site to stay where the target has it.
type Keep struct {
	Site contact.Site
	// Tolerance is how far off each coordinate may be, in mm, at most 1000. A
	// coordinate with tolerance 0 is not asked for. Residuals are weighed by
	// their tolerances.
	Tolerance r3.Vec
}

// DefaultKeep returns what [Reproduce] keeps unless told otherwise: saddle
// reference and hoods within 2 mm forward and up, hoods within 5 mm sideways,
// and the crank length within 1 mm where the target knows it. Common practice,
// no source.
func DefaultKeep(target contact.Position) []Keep {
	keep := []Keep{
		{contact.SaddleReference, r3.Vec{X: 2, Z: 2}},
		{contact.HoodsLeft, r3.Vec{X: 2, Y: 5, Z: 2}},
		{contact.HoodsRight, r3.Vec{X: 2, Y: 5, Z: 2}},
	}
	for _, pedal := range []contact.Site{contact.PedalLeft, contact.PedalRight} {
		if _, ok := target.At(pedal); ok {
			keep = append(keep, Keep{pedal, r3.Vec{X: 1}})
		}
	}
	return keep
}

// A Result is the answer of [Reproduce].
type Result struct {
	// Candidates is the best builds, best first; never empty.
	Candidates []Candidate
	// Combinations is how many ways to put parts and spacers together were
	// weighed, each with its best settings.
	Combinations int
}

// Holds reports whether at least one build holds the position.
func (r Result) Holds() bool { return len(r.Candidates) > 0 && r.Candidates[0].Holds }

// A Candidate is one build with its best settings for the position.
type Candidate struct {
	Build Build
	// Spacers is the height of each spacer under the stem in mm, tallest first.
	Spacers []float64
	// Position is Build.Position().
	Position contact.Position
	// Holds says that every coordinate that was asked for is within its tolerance.
	Holds bool
	// Score is the root of the sum of squares of all residuals, each divided
	// by its tolerance. 0 is a perfect match.
	Score float64
	// Residuals is how far off each kept site is, in the order of Options.Keep.
	Residuals []Residual
	// Margins is Build.Margins().
	Margins []Margin
	// Shortfalls says what would have to go further than it can; empty if Holds.
	Shortfalls []Shortfall
	// Cautions concern whoever builds and rides this.
	Cautions []Caution
}

// A Residual is how far a build is off at one site.
type Residual struct {
	Site contact.Site
	// Off is the build's point less the target's, mm.
	Off r3.Vec
	// Within says that every coordinate that was asked for is within its tolerance.
	Within bool
}

// Reproduce finds the builds of a frame and parts from a shelf that come nearest
// to a position, each with its best settings. It always answers: if no build
// holds the position, the candidates are the nearest ones and say what falls
// short. The package documentation states objective and order.
//
// The target must know every site in opt.Keep, and the tilt of the saddle.
// Faults are [contact.ErrMissing] for what it does not know, for a kind of part
// of which the shelf has none and for a kind none of which fits the frame or
// the other parts; and whatever the inputs' own Validate reports.
func Reproduce(target contact.Position, frame Frame, shelf Shelf, opt Options) (Result, error) {
	if opt.Limit == 0 {
		opt.Limit = 5
	}
	if opt.Keep == nil {
		opt.Keep = DefaultKeep(target)
	}
	if err := validate(target, frame, shelf, opt); err != nil {
		return Result{}, err
	}
	w := newWish(target, opt.Keep)
	// Twice the limit, since fewer than that many may have to be skipped below.
	front := ranking{most: 2 * opt.Limit}
	w.fronts(&front, &frame, &shelf)
	saddle := ranking{most: 2 * opt.Limit}
	w.saddles(&saddle, &frame, &shelf)
	crank := ranking{most: 2 * opt.Limit}
	w.cranks(&crank, &shelf)

	var f check.Faults
	for _, g := range []struct {
		name  string
		count int
	}{
		{"shelf.caps, stems, bars and levers", front.count},
		{"shelf.posts and saddles", saddle.count},
	} {
		if g.count == 0 {
			f.Add(g.name, "none", "parts that fit the frame, one another and what is to be kept", contact.ErrMissing)
		}
	}
	if err := f.Err(); err != nil {
		return Result{}, err
	}

	trios := merge(front.holding, saddle.holding, crank.holding, opt.Limit)
	if missing := opt.Limit - len(trios); missing > 0 {
		for _, t := range merge(front.all, saddle.all, crank.all, 2*opt.Limit) {
			if !t.holds() && missing > 0 {
				trios = append(trios, t)
				missing--
			}
		}
	}
	r := Result{Combinations: front.count * saddle.count * crank.count}
	for _, t := range trios {
		r.Candidates = append(r.Candidates, w.candidate(&frame, &shelf, t))
	}
	return r, nil
}

func validate(target contact.Position, frame Frame, shelf Shelf, opt Options) error {
	var f check.Faults
	f.In("target", target.Validate())
	f.In("frame", frame.Validate())
	f.In("shelf", shelf.Validate())
	f.Range("options.limit", float64(opt.Limit), 1, 1000, "candidates")
	seen := map[contact.Site]bool{}
	for i, k := range opt.Keep {
		path := "options.keep[" + strconv.Itoa(i) + "]"
		if !offered(k.Site) {
			f.Add(path, k.Site.String(), "a site of saddle, drop bar or pedals", contact.ErrUnknown)
			continue
		}
		if seen[k.Site] {
			f.Add(path, k.Site.String(), "each site once", contact.ErrConflict)
		}
		seen[k.Site] = true
		if _, ok := target.At(k.Site); !ok {
			f.Add("target."+k.Site.String(), "", "it to be known", contact.ErrMissing)
		}
		for axis, tol := range [...]float64{k.Tolerance.X, k.Tolerance.Y, k.Tolerance.Z} {
			f.Optional(path+".tolerance."+"xyz"[axis:axis+1], tol, 1e-3, 1000, "mm")
		}
		if k.Site == contact.SaddleReference && (k.Tolerance.X == 0 || k.Tolerance.Z == 0) {
			f.Add(path+".tolerance", "0 mm", "the saddle reference asked for forward and up", contact.ErrMissing)
		}
	}
	if !seen[contact.SaddleReference] {
		f.Add("options.keep", "", "the saddle reference to be kept", contact.ErrMissing)
	}
	if a, ok := target.Attitude(contact.SaddleReference); !ok {
		f.Add("target.saddle_reference.tilt", "", "it to be known", contact.ErrMissing)
	} else {
		f.Range("target.saddle_reference.tilt", a.Tilt, -45, 45, "degrees")
	}
	return f.Err()
}

// offered reports whether a build has the site.
func offered(s contact.Site) bool {
	return s <= contact.DropsRight || s == contact.PedalLeft || s == contact.PedalRight
}

// quantum is the step in which scores count when builds are compared, as a
// fraction of a squared tolerance: far below what a build can be set to, far
// above rounding, so that every processor ranks alike.
const quantum = 1e-6

// An option is one way to put a group of parts together, with its best settings.
type option struct {
	cost     int64 // in quanta
	holds    bool
	order    [8]int64 // breaks ties: less is better; the last ones are places on the shelf
	settings Settings
	pieces   []float64
	part     [4]int // places on the shelf
}

func (a *option) compare(b *option) int {
	return cmp.Or(cmp.Compare(a.cost, b.cost), slices.Compare(a.order[:], b.order[:]))
}

// A ranking keeps the best options of a group, and the best of those that hold.
type ranking struct {
	most         int
	count        int
	all, holding []option
}

func (r *ranking) add(o option) {
	r.count++
	r.all = insert(r.all, o, r.most)
	if o.holds {
		r.holding = insert(r.holding, o, r.most)
	}
}

func insert(list []option, o option, most int) []option {
	if len(list) == most && o.compare(&list[most-1]) > 0 {
		return list
	}
	at, _ := slices.BinarySearchFunc(list, o, func(a, b option) int { return a.compare(&b) })
	if len(list) == most {
		list = list[:most-1]
	}
	return slices.Insert(list, at, o)
}

// A trio is one option of each group: a whole build.
type trio struct{ front, saddle, crank *option }

func (t trio) cost() int64 { return t.front.cost + t.saddle.cost + t.crank.cost }
func (t trio) holds() bool { return t.front.holds && t.saddle.holds && t.crank.holds }

func (t trio) compare(u trio) int {
	return cmp.Or(
		cmp.Compare(t.cost(), u.cost()),
		slices.Compare(t.front.order[:], u.front.order[:]),
		slices.Compare(t.saddle.order[:], u.saddle.order[:]),
		slices.Compare(t.crank.order[:], u.crank.order[:]),
	)
}

// merge returns the best builds that options of the three groups make. The
// groups do not touch one another, so that a build whose options are the i-th,
// j-th and k-th of their groups has at least ijk - 1 builds before it.
func merge(front, saddle, crank []option, most int) []trio {
	var all []trio
	for i := range front {
		for j := range saddle {
			for k := range crank {
				if (i+1)*(j+1)*(k+1) > most {
					break
				}
				all = append(all, trio{&front[i], &saddle[j], &crank[k]})
			}
		}
	}
	slices.SortFunc(all, trio.compare)
	return all[:min(len(all), most)]
}

// A wish is what is asked of a build, sorted by site.
type wish struct {
	target contact.Position
	keep   []Keep
	tilt   float64
	want   [wishSites]wanted
}

const wishSites = int(contact.PedalRight) + 1

// wanted is where a site should be, with the weight of each axis: one over the
// square of its tolerance, or 0.
type wanted struct {
	at, tolerance, weight r3.Vec
}

func newWish(target contact.Position, keep []Keep) *wish {
	w := &wish{target: target, keep: keep}
	a, _ := target.Attitude(contact.SaddleReference)
	w.tilt = a.Tilt
	for _, k := range keep {
		at, _ := target.At(k.Site)
		w.want[k.Site] = wanted{at, k.Tolerance, r3.Vec{X: weight(k.Tolerance.X), Y: weight(k.Tolerance.Y), Z: weight(k.Tolerance.Z)}}
	}
	return w
}

func weight(tolerance float64) float64 {
	if tolerance == 0 {
		return 0
	}
	return 1 / (tolerance * tolerance)
}

// asked reports whether anything is asked of a site.
func (w *wish) asked(s contact.Site) bool { return w.want[s].tolerance != (r3.Vec{}) }

// judge returns the cost of a site at a place and whether that is within tolerance.
func (w *wanted) judge(at r3.Vec) (float64, bool) {
	off := r3.Sub(at, w.at)
	cost := 0.0
	holds := true
	for _, c := range [...][2]float64{{off.X, w.tolerance.X}, {off.Y, w.tolerance.Y}, {off.Z, w.tolerance.Z}} {
		if c[1] != 0 {
			r := c[0] / c[1]
			cost += r * r
			holds = holds && !beyond(c[0], c[1])
		}
	}
	return cost, holds
}

// beyond reports whether a coordinate that is asked for is off by more than its
// tolerance, with allowance for rounding.
func beyond(off, tolerance float64) bool {
	return tolerance != 0 && math.Abs(off) > tolerance*(1+quantum)
}

// judged fills in cost and holds from the sites as they come out.
func (w *wish) judged(o option, sites ...placed) option {
	cost := 0.0
	o.holds = true
	for _, s := range sites {
		c, ok := w.want[s.site].judge(s.at)
		cost += c
		o.holds = o.holds && ok
	}
	o.cost = quanta(cost / quantum)
	return o
}

// quanta rounds, and stays in range whatever comes.
func quanta(v float64) int64 { return int64(math.Round(min(v, 1e18))) }

type placed struct {
	site contact.Site
	at   r3.Vec
}

// cranks offers every crank.
func (w *wish) cranks(r *ranking, shelf *Shelf) {
	for i, k := range shelf.Cranks {
		r.add(w.judged(option{order: [8]int64{int64(i)}, part: [4]int{i}},
			placed{contact.PedalLeft, r3.Vec{X: k.Length, Y: k.QFactor / 2}},
			placed{contact.PedalRight, r3.Vec{X: k.Length, Y: -k.QFactor / 2}},
		))
	}
}

// candidate puts a build together and looks at it through the forward map.
func (w *wish) candidate(frame *Frame, shelf *Shelf, t trio) Candidate {
	b := w.build(frame, shelf, t)
	c := Candidate{
		Build:    b,
		Spacers:  slices.Clone(t.front.pieces),
		Position: b.position(),
		Holds:    t.holds(),
		Margins:  b.margins(),
	}
	cost := 0.0
	for _, k := range w.keep {
		at, _ := c.Position.At(k.Site)
		more, within := w.want[k.Site].judge(at)
		cost += more
		c.Residuals = append(c.Residuals, Residual{Site: k.Site, Off: r3.Sub(at, w.want[k.Site].at), Within: within})
	}
	c.Score = math.Sqrt(cost)
	if !c.Holds {
		c.Shortfalls = w.shortfalls(&c, t)
	}
	c.Cautions = cautions(&b, c.Margins)
	return c
}

func (w *wish) build(frame *Frame, shelf *Shelf, t trio) Build {
	f, s := t.front, t.saddle
	return Build{
		Frame:  *frame,
		Cap:    shelf.Caps[f.part[0]],
		Stem:   shelf.Stems[f.part[1]],
		Bar:    shelf.Bars[f.part[2]],
		Lever:  shelf.Levers[f.part[3]],
		Post:   shelf.Posts[s.part[0]],
		Saddle: shelf.Saddles[s.part[1]],
		Crank:  shelf.Cranks[t.crank.part[0]],
		Settings: Settings{
			Spacers:       f.settings.Spacers,
			Flipped:       f.settings.Flipped,
			BarRoll:       f.settings.BarRoll,
			PostExtension: s.settings.PostExtension,
			RailClamp:     s.settings.RailClamp,
			SaddleTilt:    s.settings.SaddleTilt,
		},
	}
}
