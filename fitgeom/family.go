package fitgeom

import (
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
)

// familyNumbers are the numbers of a frame that grow or stay from size to size, and how
// far one may lie beside what its neighbours tell. Common practice, no source.
var familyNumbers = [...]struct {
	path, what, unit string
	most             float64
	of               func(*Frame) float64
}{
	{"frame.geometry.stack_mm", "stack", "mm", 30, func(f *Frame) float64 { return f.Geometry.Stack }},
	{"frame.geometry.reach_mm", "reach", "mm", 30, func(f *Frame) float64 { return f.Geometry.Reach }},
	{"frame.geometry.head_angle_deg", "head angle", "degrees", 2.5, func(f *Frame) float64 { return f.Geometry.HeadAngle }},
	{"frame.geometry.seat_angle_deg", "seat angle", "degrees", 2.5, func(f *Frame) float64 { return f.Geometry.SeatAngle }},
	{"frame.geometry.axles.chainstay_mm", "chainstay", "mm", 30, func(f *Frame) float64 { return f.Geometry.Axles.Chainstay }},
	{"frame.geometry.axles.bb_drop_mm", "bottom bracket drop", "mm", 30, func(f *Frame) float64 { return f.Geometry.Axles.Drop }},
	{"frame.geometry.axles.fork_offset_mm", "fork offset", "mm", 15, func(f *Frame) float64 { return f.Geometry.Axles.ForkOffset }},
}

// FamilyFindings returns what is out of line in families of at least five sizes, which
// stand in the order in which they grow: a number that lies far from the middle one of all
// the lines through two of the other sizes, as a typing error does. The bounds are common
// practice, no source: 30 mm of stack, reach, chainstay or drop, 15 mm of fork offset, 2.5
// degrees of an angle. Sizes whose geometry is not valid do not count. Paths count sizes as
// they were given: "sizes[3]". It takes time in proportion to the square of the longest
// family; one of more than 100 sizes is not looked at.
func FamilyFindings(sizes []Size) []contact.Oddity {
	families := map[string][]int{}
	for i := range sizes {
		if sizes[i].Frame.Geometry.Validate() == nil {
			families[sizes[i].Family] = append(families[sizes[i].Family], i)
		}
	}
	var all []contact.Oddity
	for i := range sizes {
		of := families[sizes[i].Family]
		if len(of) < 5 || len(of) > 100 || of[0] != i {
			continue
		}
		for k := range familyNumbers {
			all = append(all, outOfLine(sizes, of, k)...)
		}
	}
	return all
}

// outOfLine looks at one number of a family.
func outOfLine(sizes []Size, of []int, number int) []contact.Oddity {
	n := &familyNumbers[number]
	values := make([]float64, len(of))
	for i, at := range of {
		values[i] = n.of(&sizes[at].Frame)
	}
	var all []contact.Oddity
	slope := middle(func(add func(float64)) {
		for i := range values {
			for j := range i {
				add((values[i] - values[j]) / float64(i-j))
			}
		}
	})
	height := middle(func(add func(float64)) {
		for i, v := range values {
			add(v - slope*float64(i))
		}
	})
	for i, at := range of {
		if line := height + slope*float64(i); math.Abs(values[i]-line) > n.most {
			all = append(all, contact.Oddity{
				Path: fmt.Sprintf("sizes[%d].%s", at, n.path), What: n.what + " of " + sizes[at].Family + " " + sizes[at].Label + ", in line with the other sizes",
				Value: values[i], Least: line - n.most, Most: line + n.most, Unit: n.unit,
			})
		}
	}
	return all
}

// middle returns the median of what is added (the slope of the line through many points
// that few of them shift; P. K. Sen 1968, from memory).
func middle(each func(add func(float64))) float64 {
	var all []float64
	each(func(v float64) { all = append(all, v) })
	slices.Sort(all)
	return (all[len(all)/2] + all[(len(all)-1)/2]) / 2
}
