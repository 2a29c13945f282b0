package region

import (
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
	Reach float64 // horizontal, positive in front of the bottom bracket
	Stack float64 // vertical, positive above it
}

// An Outline is a closed polygon: the last place is joined to the first.
type Outline struct {
	// Places holds the corners in order: anticlockwise (with reach to the right and
	// stack up) round a part of the region, clockwise round a hole.
	Places []HeadPlace
	// Hole says that the inside of the polygon does not belong to the region.
	Hole bool
}

// A Region holds all places of a frame's head tube top at which its front end can hold a
// position. It does not change after it is made and is safe for concurrent use. The zero
// Region is empty.
//
// [Region.Holds] is exact to 0.02 mm, since the arcs along which handlebar and stem turn
// are replaced by chords. The outline is traced on a grid of 0.5 mm. To 0.001 mm, every
// grid point lies on the correct side of it, and it crosses every grid line at the
// correct place. Between grid lines, corners may be cut by up to 0.35 mm, and parts
// narrower than the grid may be missing.
type Region struct {
	pieces   pieces
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
	var clamps []clampPiece
	mounts := 0
	rig.Mounts(&bounds.Handlebar, func(mount part.LeverMount) bool {
		wants, rolls := bounds.wants(&f, &target, keep, mount)
		clamps = append(clamps, clampPieces(wants, rolls)...)
		mounts++
		return f.Len() == 0 && (mounts == 1 || m.Do(100))
	})
	if err := f.Err(); err != nil {
		return Region{}, err
	}
	if m.Stopped() {
		return Region{}, m.Err("not all ways to mount the levers looked at")
	}
	r := Region{head: (bounds.HeadFrom + bounds.HeadTo) / 2, angle: (bounds.StemAngle.From + bounds.StemAngle.Last()) / 2}
	if len(clamps) == 0 {
		return r, nil
	}
	offsets := bounds.offsets(m)
	r.pieces = newPieces(clamps, offsets)
	var done int
	r.outlines, done = outline(m, &r.pieces)
	if m.Stopped() {
		if m.Ended() || !bounds.Budget.Partial || done == 0 {
			return Region{}, m.Err(fmt.Sprintf("%d of %d places of stem and spacers traced", done, len(offsets)))
		}
		r.partial = done < len(offsets)
		r.pieces = newPieces(clamps, offsets[:done])
		m = work.New(ctx, -1) // no more than was done already
		if r.outlines, _ = outline(m, &r.pieces); m.Stopped() {
			return Region{}, m.Err("the partial region not traced")
		}
	}
	if len(clamps) > 0 {
		// All bounds at their middle, and the possible rotation closest to 0.
		middle := slices.MinFunc(clamps, func(a, b clampPiece) int {
			switch {
			case math.Abs(a.roll) < math.Abs(b.roll):
				return -1
			case math.Abs(a.roll) > math.Abs(b.roll):
				return 1
			}
			return 0
		})
		d := bounds.offset(r.head, mid(bounds.StemLength), mid(bounds.StemAngle), mid(bounds.Up))
		r.best = HeadPlace{middle.centre.x - d.x, middle.centre.z - d.z}
	}
	return r, nil
}

// Empty reports whether the region has no place.
func (r Region) Empty() bool { return r.pieces.empty() }

// Complete reports whether the region has every place. It can lack some only if
// Bounds.Budget asks for what is partial.
func (r Region) Complete() bool { return !r.partial }

// Outlines returns the region's polygons, parts and holes. The caller may keep and
// modify them.
func (r Region) Outlines() []Outline {
	all := slices.Clone(r.outlines)
	for i := range all {
		all[i].Places = slices.Clone(all[i].Places)
	}
	return all
}

// Area returns the area of the outlines, in mm².
func (r Region) Area() float64 {
	sum := 0.0
	for _, o := range r.outlines {
		sum += o.area()
	}
	return sum
}

// area returns the area of the polygon in mm²; it is negative for a hole.
func (o *Outline) area() float64 {
	sum := 0.0
	for i, p := range o.Places {
		q := o.Places[(i+1)%len(o.Places)]
		sum += float64(p.Reach*q.Stack) - float64(q.Reach*p.Stack)
	}
	return sum / 2
}

// Best returns the place of a frame that holds the position with stem length, stem angle,
// spacers and head angle in the middle of their bounds (the lower of two middle steps)
// and the handlebar rotated as little as possible. It returns false if the region is
// empty.
func (r Region) Best() (HeadPlace, bool) { return r.best, !r.Empty() }

// Holds reports whether a frame with the top of its head tube at the place can hold the
// position.
func (r Region) Holds(at HeadPlace) bool {
	return r.pieces.hold(vec{at.Reach, at.Stack})
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
		if r.pieces.hold(v) {
			count++
		}
	}
	return float64(count) / points, true
}
