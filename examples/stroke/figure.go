package main

import (
	"context"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"gonum.org/v1/gonum/spatial/r3"
)

// outline is the markers from the foot to the hand, in the order in which lines join them.
var outline = []motion.Marker{
	motion.ToeLeft, motion.HeelLeft, motion.AnkleLeft, motion.KneeLeft, motion.HipLeft, motion.ShoulderLeft, motion.ElbowLeft, motion.WristLeft,
}

// figure draws the left markers over the crank circle before and after, and the rider's outline
// where the knee is bent most and least, with its angle there; nil if they were not all seen.
func (in *input) figure(before, after []motion.Curve) (*draw.Figure, error) {
	const side = contact.Left
	var seen []motion.Marker
	for _, m := range outline {
		if _, ok := in.before.recording.Markers[m]; !ok {
			continue
		}
		if _, ok := in.after.recording.Markers[m]; ok {
			seen = append(seen, m)
		}
	}
	if len(seen) < 3 {
		return nil, nil
	}
	v := draw.Side("stroke-rider", "The rider's left side over one turn of the crank", draw.Window{X0: -620, X1: 880, Z0: -320, Z1: 1280, Head: 64})
	for _, one := range []struct {
		of     *recorded
		curves []motion.Curve
		class  string
	}{{&in.before, before, "ghost"}, {&in.after, after, "part"}} {
		paths, err := one.of.motion.Paths(context.Background(), side, seen...)
		if err != nil {
			return nil, kit.Name(err, func(string) string { return one.of.file })
		}
		at := func(crank float64) (all []r3.Vec, err error) {
			for _, p := range paths {
				x, errX := p.X.At(crank)
				z, errZ := p.Z.At(crank)
				if errX != nil || errZ != nil {
					return nil, errX
				}
				all = append(all, r3.Vec{X: x.Mean, Z: z.Mean})
			}
			return all, nil
		}
		if one.class == "part" {
			loops := make([][]r3.Vec, len(paths))
			for crank := 0.; crank <= 360; crank += 5 {
				all, err := at(crank)
				if err != nil {
					return nil, err
				}
				for i := range loops {
					loops[i] = append(loops[i], all[i])
				}
			}
			for _, l := range loops {
				v.Line("s2", l...)
			}
		}
		knee := one.curves[0] // flexion of the left one
		for _, end := range []struct {
			motion.Extreme
			name string
		}{{knee.Most(), "knee, most"}, {knee.Least(), "knee, least"}} {
			all, err := at(end.CrankAngle)
			if err != nil {
				return nil, err
			}
			v.Line(one.class, all...)
			for i, m := range seen {
				if m != motion.KneeLeft || i == 0 || i == len(seen)-1 {
					continue
				}
				if one.class == "part" {
					v.Arc(all[i+1], all[i], all[i-1], end.name+" "+kit.Fixed(end.Mean, 1)+"°")
				}
			}
		}
	}
	v.Name("ring", r3.Vec{}, "bottom bracket", "s", "se")
	v.Legend(44, [2]string{"part", "after"}, [2]string{"ghost", "before"}, [2]string{"s2", "where each marker goes, after"})
	v.Desc = "Side view of the left markers joined from the toe over heel, ankle, knee, hip, shoulder and elbow to the wrist, where the knee is bent most and least, before and after, and the way of each marker over one turn."
	v.Caption = "Means of all revolutions, to scale. Markers sit on the skin: a line is not a bone. An arc shows how far the knee is bent from straight, as the table has it."
	return v.Figure, nil
}
