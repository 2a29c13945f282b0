package region

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/work"
)

// A HeadPlace is the place of the centre of a head tube's top, as a frame's chart states
// it, in mm from the bottom bracket.
type HeadPlace struct {
	Reach float64 `json:"reach_mm"` // horizontal, positive in front of the bottom bracket
	Stack float64 `json:"stack_mm"` // vertical, positive above it
}

// An Outline is a closed polygon: the last place is joined to the first.
type Outline struct {
	// Places holds the corners in order: anticlockwise (with reach to the right and
	// stack up) round a part of the region, clockwise round a hole.
	Places []HeadPlace `json:"places"`
	// Stretches holds what makes the way from each of the places to the next.
	Stretches []Stretch `json:"stretches,omitempty"`
	// Hole says that the inside of the polygon does not belong to the region.
	Hole bool `json:"hole,omitzero"`
}

// A Region holds all places of a frame's head tube top at which its front end can hold a
// position. It does not change after it is made and is safe for concurrent use. The zero
// Region is empty.
//
// [Region.Holds] is exact to 0.02 mm, since the arcs along which handlebar and stem turn
// are replaced by chords. The outlines are the edge of what Holds, to 0.000001 mm.
type Region struct {
	origin   vec
	tree     tree
	lines    lines
	partial  bool
	outlines []Outline
	best     HeadPlace
	head     float64 // degrees: the middle of the range
	angle    float64 // degrees: the middle of the stems'
}

// New finds the region of a position: every place of the head tube's top from which some
// stem, spacers and bar rotation within the bounds bring all kept sites of the handlebar
// within their tolerances, and their directions. Only sites of the group [contact.OnHandlebar] in
// keep are used; nil means [fitgeom.DefaultKeep] of the target. The region is empty if
// the handlebar's widths are out of tolerance.
//
// Errors are those of target.Validate and bounds.Validate, those that package
// fitgeom/solve reports for keep, and [contact.ErrMissing] for a site that the target or
// the handlebar lacks, and if keep has no horizontal or no vertical tolerance for
// any handlebar site. If the context ends, the error wraps the context's; if the budget
// does, it is [contact.ErrBudget]. A partial region has the places of some of the bounds
// and is exact for these; it takes up to twice the budget. There is none at the end of a
// context.
func New(ctx context.Context, target contact.Position, bounds Bounds, keep []fitgeom.Keep) (Region, error) {
	m := work.New(ctx, bounds.Budget.Work)
	if m.Stopped() {
		return Region{}, m.Err("before it began")
	}
	var f fault.List
	f.In("target", target.Validate())
	f.In("bounds", bounds.Validate())
	if keep == nil {
		keep = fitgeom.DefaultKeep(target)
	}
	var bars []clamper
	rig.Mounts(&bounds.Handlebar, func(mount part.LeverMount) bool {
		bars = append(bars, bounds.clamper(&f, &target, keep, mount))
		return f.Len() == 0 && (len(bars) == 1 || m.Do(100))
	})
	if err := f.Err(); err != nil {
		return Region{}, err
	}
	if m.Stopped() {
		return Region{}, m.Err("not all ways to mount the levers looked at")
	}
	hands, err := bounds.hands(m, &target, bars)
	if err != nil {
		return Region{}, err
	}
	var clamps []clampPiece
	for i := range bars {
		for _, h := range hands {
			clamps = append(clamps, bars[i].clampPieces(m, h)...)
		}
	}
	if m.Stopped() {
		return Region{}, m.Err("not all places of the hands looked at")
	}
	r := Region{head: (bounds.HeadFrom + bounds.HeadTo) / 2, angle: (bounds.StemAngle.From + bounds.StemAngle.Last()) / 2}
	if len(clamps) == 0 {
		return r, nil
	}
	offsets, brackets := bounds.offsets(m)
	err = r.trace(m, &bounds, clamps, offsets, brackets)
	left := cmp.Or(bounds.Budget.Work, work.Default)
	for n := len(offsets) / 4; err != nil && n > 0 && bounds.Budget.Partial && !m.Ended(); n /= 4 {
		left /= 2 // so that all of it is no more than was done already
		m = work.New(ctx, left)
		r.partial = true
		err = r.trace(m, &bounds, clamps, offsets[:n], brackets)
	}
	if err != nil {
		return Region{}, err
	}
	// All bounds at their middle, and the possible rotation closest to 0.
	middle := slices.MinFunc(clamps, func(a, b clampPiece) int {
		return cmp.Or(cmp.Compare(math.Abs(a.roll), math.Abs(b.roll)), cmp.Compare(a.off, b.off))
	})
	d := bounds.offset(r.head, mid(bounds.StemLength), mid(bounds.StemAngle), mid(bounds.Up))
	r.best = HeadPlace{middle.centre.x - d.x, middle.centre.z - d.z}
	return r, nil
}

// trace finds the region that the offsets make.
func (r *Region) trace(m *work.Meter, bounds *Bounds, clamps []clampPiece, offsets []convex, brackets []bracket) error {
	if m.Stopped() || len(offsets) == 0 {
		return m.Err(fmt.Sprintf("%d places of stem and spacers listed", len(offsets)))
	}
	g := grow(m, newPieces(clamps, offsets))
	g.brackets, r.origin = brackets, g.origin
	ways := loops(m, g.edges)
	r.outlines = nil
	var all []line
	for _, way := range ways {
		o := Outline{Hole: around(way) < 0}
		first := len(all)
		for i := range way {
			all = append(all, line{a: g.between(&way[(i+len(way)-1)%len(way)], &way[i])})
		}
		for i := range way {
			s := &all[first+i]
			s.b = all[first+(i+1)%len(way)].a
			o.Places = append(o.Places, r.at(s.a))
			o.Stretches = append(o.Stretches, g.stretch(bounds, &way[i], s.a, s.b))
			if !m.Do(100) {
				break
			}
		}
		r.outlines = append(r.outlines, o)
	}
	r.tree, r.lines = g.tree, newLines(all)
	if m.Stopped() {
		return m.Err(fmt.Sprintf("%.0f %% of the places decided", 100*g.done))
	}
	return nil
}

// Empty reports whether the region has no place.
func (r Region) Empty() bool { return len(r.tree.nodes) == 0 }

// Complete reports whether the region has every place. It can lack some only if
// Bounds.Budget asks for what is partial.
func (r Region) Complete() bool { return !r.partial }

// Outlines returns the region's polygons, parts and holes. The caller may keep and
// modify them.
func (r Region) Outlines() []Outline {
	all := slices.Clone(r.outlines)
	for i := range all {
		all[i].Places, all[i].Stretches = slices.Clone(all[i].Places), slices.Clone(all[i].Stretches)
	}
	return all
}

// Area returns the area of the outlines, in mm².
func (r Region) Area() float64 {
	sum := 0.0
	for _, o := range r.outlines {
		sum += o.Area()
	}
	return sum
}

// Area returns the area inside the polygon, in mm²; it is negative for a hole.
func (o Outline) Area() float64 {
	sum := 0.0
	for i, p := range o.Places {
		q := o.Places[(i+1)%len(o.Places)]
		sum += float64(p.Reach*q.Stack) - float64(q.Reach*p.Stack)
	}
	return sum / 2
}

// place is a place from the region's own origin.
func (r *Region) place(at HeadPlace) vec { return vec{at.Reach, at.Stack}.less(r.origin) }

// at is a place from its own origin as a frame has it.
func (r *Region) at(v vec) HeadPlace {
	v = v.plus(r.origin)
	return HeadPlace{v.x, v.z}
}

// Best returns the place of a frame that holds the position with stem length, stem angle,
// spacers and head angle in the middle of their bounds (the lower of two middle steps)
// and the handlebar rotated as little as possible. It returns false if the region is
// empty.
func (r Region) Best() (HeadPlace, bool) { return r.best, !r.Empty() }

// Holds reports whether a frame with the top of its head tube at the place can hold the
// position.
func (r Region) Holds(at HeadPlace) bool {
	return r.tree.holds(r.place(at))
}

// Chance returns the probability, 0 to 1, that a frame whose stack and reach are known as
// its chart or a survey has them can hold the position: the share of 4,096 evenly spread
// points, normally distributed, to about 0.005. The second result is false if the frame's
// covariance of both is not known, or no place is stated.
func (r Region) Chance(at HeadPlace, frame chart.Uncertain) (float64, bool) {
	if frame == nil || !num.Finite(at.Reach, at.Stack) {
		return 0, false
	}
	xx, okX := frame.Covariance(chart.Reach, chart.Reach)
	zz, okZ := frame.Covariance(chart.Stack, chart.Stack)
	xz, ok := frame.Covariance(chart.Reach, chart.Stack)
	if !okX || !okZ || !ok || !num.Finite(xx, zz, xz) || xx < 0 || zz < 0 {
		return 0, false
	}
	columns := num.Factor([][]float64{{xx, xz}, {xz, zz}})
	const points = 1 << 12
	spread, count := num.NewSpread(len(columns)), 0
	for p := range points {
		v := vec{at.Reach, at.Stack}
		for j, c := range columns {
			z := num.Normal(spread.At(p, j))
			v.x, v.z = v.x+c[0]*z, v.z+c[1]*z
		}
		if r.tree.holds(v.less(r.origin)) {
			count++
		}
	}
	return float64(count) / points, true
}
