package rider

import "example.com/fitgeom/contact"

// Findings returns what hardly any body has, though [Body.Validate] takes it, in a fixed order;
// nothing of one that it refuses. The bounds are common practice, no source: a thigh of 0.75 to 1.35
// times the shank, a forearm of 0.6 to 1 times the upper arm, legs of 1.2 to 2.3 times the trunk,
// and left and right within 25 mm of each other.
func (b Body) Findings() []contact.Oddity {
	if b.Validate() != nil {
		return nil
	}
	var all []contact.Oddity
	look := func(value, least, most float64, unit, path, what string) {
		if value < least || value > most {
			all = append(all, contact.Oddity{Path: path, What: what, Value: value, Least: least, Most: most, Unit: unit})
		}
	}
	for _, l := range [...]struct {
		name string
		leg  *Leg
	}{{"left", &b.Left}, {"right", &b.Right}} {
		if !l.leg.known() {
			continue
		}
		look(l.leg.Thigh/l.leg.Shank, 0.75, 1.35, "", l.name+".thigh_mm", "thigh over shank")
		if b.Upper != (Upper{}) {
			look((l.leg.Thigh+l.leg.Shank)/b.Upper.Trunk, 1.2, 2.3, "", "upper.trunk_mm", l.name+" thigh and shank over trunk")
		}
	}
	if b.Left.known() && b.Right.known() {
		look(b.Left.Thigh-b.Right.Thigh, -25, 25, "mm", "left.thigh_mm", "left thigh longer than the right one")
		look(b.Left.Shank-b.Right.Shank, -25, 25, "mm", "left.shank_mm", "left shank longer than the right one")
	}
	if b.Upper != (Upper{}) {
		look(b.Upper.Forearm/b.Upper.UpperArm, 0.6, 1, "", "upper.forearm_mm", "forearm over upper arm")
	}
	return all
}
