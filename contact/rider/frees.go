package rider

import (
	"cmp"
	"context"
	"slices"

	"example.com/fitgeom/contact"
)

// A Freed is a small change, and what it does for the limits of a rider.
type Freed struct {
	// Adjustment is what changes; 0 where nothing does.
	Adjustment Adjustment
	// By is the change in mm, as the adjustment counts.
	By float64
	// Beyond is the sum of what is beyond limits with the change, in degrees, where a mm that a limb
	// does not reach counts as a degree.
	Beyond float64
	// Area is how much room the saddle then has: the area of its [Region] within 60 mm each way, mm².
	Area float64
}

// Frees tells which small change of crank, cleats or bar frees most: it tries cranks 5 mm shorter
// and longer, both cleats 5 and 10 mm each way, and hands 10 mm up, down, back and forward, each by itself.
// Those with the least beyond limits come first, and of equal ones those that leave the saddle the
// most room; nothing changed is among them, with a By of 0. Changes that bring the position or the
// body out of bounds are left out.
//
// Errors are those of [Limits.Check]. It takes about 30 ms.
func (l Limits) Frees(p contact.Position) ([]Freed, error) {
	if _, err := l.Check(p); err != nil {
		return nil, err
	}
	all := []Freed{{}}
	for _, a := range [...]Freed{{Adjustment: CleatChange, By: 5}, {Adjustment: CleatChange, By: 10}, {Adjustment: CrankChange, By: 5}, {Adjustment: BarDrop, By: 10}, {Adjustment: BarReach, By: 10}} {
		b := a
		b.By = -a.By
		all = append(all, a, b)
	}
	kept := all[:0]
	for _, f := range all {
		w := Way{Adjustment: f.Adjustment}
		then, at := l, w.moved(p, f.By)
		then.Body = w.movedBody(l.Body, f.By)
		verdicts, err := then.Check(at)
		if err != nil {
			continue // out of bounds
		}
		for _, v := range verdicts {
			if v.Broken() {
				f.Beyond += max(v.By, 0) + max(v.Gap, -v.Gap)
			}
		}
		r, err := then.Region(context.Background(), at, Window{Moving: SaddlePlace, AlongFrom: -60, AlongTo: 60, HeightFrom: -60, HeightTo: 60, Step: 10})
		if err != nil {
			continue
		}
		f.Area = r.Area()
		kept = append(kept, f)
	}
	slices.SortStableFunc(kept, func(a, b Freed) int {
		return cmp.Or(cmp.Compare(a.Beyond, b.Beyond), cmp.Compare(b.Area, a.Area))
	})
	return kept, nil
}
