package search

import (
	"cmp"
	"slices"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/work"
)

// A placedFront is a front part before it has its place: across and along the steerer.
type placedFront struct {
	frontKey
	q, a float64
	old  uint32 // its number among the keys
}

// arrange sorts the front parts into columns, and there across the steerer; false if the
// meter stopped it.
func (x *Index) arrange(m *work.Meter, keys []frontKey) bool {
	all := make([]placedFront, len(keys))
	for i, k := range keys {
		if !m.Do(5) {
			return false
		}
		frame := k.frame()
		ch := ChassisOf(&frame, chart.Wheels{})
		q, a := ch.Steerer(ch.HeadTop)
		all[i] = placedFront{k, q, a, uint32(i)}
	}
	if !work.Sort(m, all, func(a, b placedFront) int {
		return cmp.Or(
			cmp.Compare(a.diameter, b.diameter), cmp.Compare(a.head, b.head), cmp.Compare(a.cut, b.cut),
			cmp.Compare(a.q, b.q), cmp.Compare(a.reach, b.reach), cmp.Compare(a.stack, b.stack), cmp.Compare(a.most, b.most),
		)
	}) {
		return false
	}
	x.setColumns(m, all)
	moved := make([]uint32, len(all))
	for i := range m.Range(len(all)) {
		moved[all[i].old] = uint32(i)
	}
	for i := range m.Range(len(x.records)) {
		r := &x.records[i]
		r.front = moved[r.front]
	}
	x.sortByFront(m)
	return x.sortByFamily(m)
}

// setColumns makes columns, points and front parts of sorted ones.
func (x *Index) setColumns(m *work.Meter, all []placedFront) {
	newColumn := func(i int) bool {
		return i == 0 || all[i].diameter != all[i-1].diameter || all[i].head != all[i-1].head || all[i].cut != all[i-1].cut
	}
	newPoint := func(i int) bool {
		return newColumn(i) || all[i].reach != all[i-1].reach || all[i].stack != all[i-1].stack
	}
	columns, points := 0, 0
	for i := range m.Range(len(all)) {
		if newColumn(i) {
			columns++
		}
		if newPoint(i) {
			points++
		}
	}
	x.columns, x.points, x.fronts = make([]column, 0, columns), make([]point, 0, points), make([]frontPart, len(all))
	for i := range m.Range(len(all)) {
		p := &all[i]
		if newColumn(i) {
			x.columns = append(x.columns, column{diameter: p.diameter, head: p.head, cut: p.cut, from: uint32(len(x.points))})
		}
		col := &x.columns[len(x.columns)-1]
		if newPoint(i) {
			x.points = append(x.points, point{q: p.q, a: p.a, from: uint32(i)})
		}
		at := &x.points[len(x.points)-1]
		at.most, at.to = max(at.most, p.most), uint32(i+1)
		col.most, col.to = max(col.most, p.most), uint32(len(x.points))
		x.fronts[i] = frontPart{reach: p.reach, stack: p.stack, most: p.most, column: uint32(len(x.columns) - 1)}
	}
}

// sortByFront lists the records front part by front part, in their order.
func (x *Index) sortByFront(m *work.Meter) {
	count := make([]uint32, len(x.fronts)+1)
	for i := range m.Range(len(x.records)) {
		count[x.records[i].front+1]++
	}
	for i := range m.Range(len(x.fronts)) {
		count[i+1] += count[i]
		x.fronts[i].from, x.fronts[i].to = count[i], count[i+1]
	}
	x.byFront = make([]uint32, len(x.records))
	for i := range m.Range(len(x.records)) {
		at := &count[x.records[i].front]
		x.byFront[*at] = uint32(i)
		*at++
	}
}

// sortByFamily lists the records family by family, each from small to large; false if the
// meter stopped it.
func (x *Index) sortByFamily(m *work.Meter) bool {
	x.byFamily = slices.Clone(x.byFront)
	if !work.Sort(m, x.byFamily, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(x.records[a].family, x.records[b].family), x.bySize(a, b))
	}) {
		return false
	}
	x.ends = make([]uint32, x.families+1)
	for i := range m.Range(len(x.byFamily)) {
		x.ends[x.records[x.byFamily[i]].family+1]++
	}
	for i := range m.Range(x.families) {
		x.ends[i+1] += x.ends[i]
	}
	return !m.Stopped()
}
