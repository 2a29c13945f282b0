package region

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
)

// A HeadPlace is where the centre of a head tube's top may be, in mm: in front
// of and above the bottom bracket, as a frame's chart has it.
type HeadPlace struct {
	Reach float64 // forward of the bottom bracket
	Stack float64 // above it
}

// An Outline is a closed polygon: the last place joins the first.
type Outline struct {
	// Places is in order, against the clock (reach to the right, stack up) round
	// a part of the region, with the clock round a hole.
	Places []HeadPlace
	// Hole says that what is inside does not belong to the region.
	Hole bool
}

// A Region is where the head tube's top of a frame may be so that its front end
// can hold a position. It does not change once it is made and is safe for
// concurrent use. The zero Region is empty.
//
// Places are told to 0.02 mm: [Region.Holds] looks at the arcs along which bar
// and stem turn as chords. The outline is drawn through a grid of 0.5 mm: to
// 0.001 mm every point of the grid is on its right side and every line of the
// grid is crossed at the right place; between them corners are cut, by up to
// 0.35 mm, and what is narrower than the grid may be missing.
type Region struct {
	pieces   []convex
	outlines []Outline
	best     HeadPlace
	head     float64 // degrees: the middle of the range
	angle    float64 // degrees: the middle of the stems'
}

// New finds the region of a position: every place of the head tube's top
// from which some stem, spacers and roll within the bounds bring all sites of the
// bar that are kept within their tolerances. Of keep only the sites from
// [contact.BarClamp] to [contact.GripRight] count; nil is [fitgeom.DefaultKeep] of the
// target. It is empty if the bar's widths are out of tolerance.
//
// Faults are those of both Validate and of keep as package fitgeom/solve reports them, and
// [contact.ErrMissing] for a site that the target does not know or the bar does not
// offer and for keep that does not ask for a site of the bar both forward and up.
func New(target contact.Position, bounds Bounds, keep []fitgeom.Keep) (Region, error) {
	var f fault.List
	f.In("target", target.Validate())
	f.In("bounds", bounds.Validate())
	if keep == nil {
		keep = fitgeom.DefaultKeep(target)
	}
	wants, across := bounds.wants(&f, &target, keep)
	if err := f.Err(); err != nil {
		return Region{}, err
	}
	r := Region{head: (bounds.HeadFrom + bounds.HeadTo) / 2, angle: (bounds.StemAngle.From + bounds.StemAngle.Last()) / 2}
	if !across {
		return r, nil
	}
	clamps := clampPieces(wants, bounds.Handlebar.RotationRange)
	for _, offset := range bounds.offsets() {
		for _, c := range clamps {
			r.pieces = append(r.pieces, c.less(offset))
		}
	}
	r.outlines = outline(r.pieces, r.Holds)
	if len(clamps) > 0 {
		// Everything in the middle, and the roll that is nearest to it.
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

// Empty reports whether no place holds.
func (r Region) Empty() bool { return len(r.pieces) == 0 }

// Outlines returns the region's polygons: parts and holes. The caller may keep
// and change them.
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

// area is negative for a hole.
func (o *Outline) area() float64 {
	sum := 0.0
	for i, p := range o.Places {
		q := o.Places[(i+1)%len(o.Places)]
		sum += float64(p.Reach*q.Stack) - float64(q.Reach*p.Stack)
	}
	return sum / 2
}

// Best returns the place of a frame that holds the position with the stem's
// length and angle, the spacers and the head angle in the middle of their
// bounds (of two steps, with the lower), and the bar turned as little as may
// be. False if the region is empty.
func (r Region) Best() (HeadPlace, bool) { return r.best, !r.Empty() }

// Holds reports whether a front end on a frame whose head tube's top is at the
// place can hold the position.
func (r Region) Holds(at HeadPlace) bool {
	v := vec{at.Reach, at.Stack}
	for i := range r.pieces {
		if r.pieces[i].holds(v) {
			return true
		}
	}
	return false
}
