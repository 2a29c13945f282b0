package region

import "math"

// A line is an edge of an outline, with the inside to its left.
type line struct{ a, b vec }

// lines is the edges of outlines, in an order in which those that follow one another are
// close, with boxes of 4, 16, 64 ... of them.
type lines struct {
	all   []line
	boxes [][]box
}

func newLines(all []line) (l lines) {
	l.all = all
	count := len(all)
	for level := 0; count > 1; level++ {
		n := (count + 3) / 4
		up := make([]box, n)
		for i := range up {
			up[i] = nothing
			for k := 4 * i; k < min(4*i+4, count); k++ {
				up[i].add(l.box(level, k))
			}
		}
		l.boxes, count = append(l.boxes, up), n
	}
	return l
}

// box is that of a line, at level 0, or of some.
func (l *lines) box(level, i int) box {
	if level > 0 {
		return l.boxes[level-1][i]
	}
	s := l.all[i]
	return box{vec{min(s.a.x, s.b.x), min(s.a.z, s.b.z)}, vec{max(s.a.x, s.b.x), max(s.a.z, s.b.z)}}
}

// each calls do with the lines whose boxes are wanted, and those whose box has not been
// asked for before.
func (l *lines) each(wanted func(box) bool, do func(i int)) {
	if len(l.all) > 0 {
		l.below(len(l.boxes), 0, wanted, do)
	}
}

func (l *lines) below(level, i int, wanted func(box) bool, do func(i int)) {
	switch {
	case !wanted(l.box(level, i)):
	case level == 0:
		do(i)
	default:
		count := len(l.all)
		if level > 1 {
			count = len(l.boxes[level-2])
		}
		for k := 4 * i; k < min(4*i+4, count); k++ {
			l.below(level-1, k, wanted, do)
		}
	}
}

// nearest returns the closest place on a line, of those that are as close on the first.
// There is one at least.
func (l *lines) nearest(v vec) (at vec, distance float64) {
	const same = 1e-9 // mm: rounding does not decide
	first := len(l.all)
	try := func(i int) {
		n := nearest(v, l.all[i].a, l.all[i].b)
		if d := v.to(n); first == len(l.all) || d < distance-same || d <= distance+same && i < first {
			at, distance, first = n, d, i
		}
	}
	for step := len(l.all); step > 32; step /= 4 { // not to go all the way for the first
		for i := 0; i < len(l.all); i += step {
			try(i)
		}
	}
	l.each(
		func(b box) bool {
			return first == len(l.all) || math.Hypot(max(b.lo.x-v.x, v.x-b.hi.x, 0), max(b.lo.z-v.z, v.z-b.hi.z, 0)) <= distance+same
		},
		try,
	)
	return at, distance
}

// room is how far a place inside of outlines can go before it leaves them: in reach, or in
// stack if upright, and to more of it or to less.
func (l *lines) room(v vec, upright, more bool) float64 {
	turned := func(v vec) vec { // so that it goes to the right
		switch {
		case upright && more:
			return vec{v.z, 0 - v.x}
		case upright:
			return vec{0 - v.z, v.x}
		case more:
			return v
		}
		return vec{0 - v.x, 0 - v.z}
	}
	const near = 1e-8 // for a place on the edge
	at, most := turned(v), math.Inf(1)
	l.each(
		func(b box) bool {
			p, q := turned(b.lo), turned(b.hi)
			return at.z >= min(p.z, q.z) && at.z <= max(p.z, q.z) && max(p.x, q.x) >= at.x-near && min(p.x, q.x)-at.x < most
		},
		func(i int) {
			a, b := turned(l.all[i].a), turned(l.all[i].b)
			if a.z <= at.z && at.z < b.z { // the inside is to the left
				if by := a.on(b, (at.z-a.z)/(b.z-a.z)).x - at.x; by >= 0-near {
					most = min(most, max(by, 0))
				}
			}
		},
	)
	if math.IsInf(most, 1) {
		return 0
	}
	return most
}
