package answers_test

import (
	"slices"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// The numbers of values, one of which is spoiled in some cases.

func geometryFields(g *chart.Geometry) []*float64 {
	all := []*float64{&g.Stack, &g.Reach, &g.HeadAngle, &g.SeatAngle, &g.SeatOffset}
	if a := &g.Axles; *a != (chart.Axles{}) {
		all = append(all, &a.Chainstay, &a.Drop, &a.ForkOffset, &a.FrontRadius, &a.RearRadius)
	}
	return all
}

func frameFields(f *fitgeom.Frame) []*float64 {
	return append(geometryFields(&f.Geometry), &f.SteererDiameter, &f.MaxUnderStem, &f.SteererCut, &f.SeatTubeTop, &f.SeatpostDiameter, &f.SeatpostInsertion, &f.SeatpostDepth, &f.MaxFrontRadius, &f.MaxRearRadius)
}

func stanceFields(s *chart.Wheels) []*float64 {
	return []*float64{&s.FrontSag, &s.RearSag, &s.FrontRadius, &s.RearRadius}
}

func settingsFields(s *fitgeom.Settings) []*float64 {
	return []*float64{
		&s.Spacers, &s.SpacersAbove, &s.BarRotation, &s.AeroTilt, &s.PadRise, &s.PadForward, &s.PadWidth, &s.Extension,
		&s.SeatpostExtension, &s.Lowered, &s.RailClamp, &s.SaddleTilt, &s.LiftLeft, &s.LiftRight,
	}
}

func vecFields(v *r3.Vec) []*float64 { return []*float64{&v.X, &v.Y, &v.Z} }

func stepsFields(s *part.Steps) []*float64 { return []*float64{&s.From, &s.To, &s.Step} }

func stemFields(s *part.Stem) []*float64 {
	return []*float64{&s.Length, &s.Angle, &s.Height, &s.SteererDiameter, &s.BarDiameter}
}

func barFields(b *part.Handlebar) []*float64 {
	all := []*float64{&b.ClampDiameter, &b.AeroDiameter, &b.RotationRange, &b.DrawnAt}
	switch {
	case b.Drop != (part.DropBar{}):
		s := &b.Drop
		all = append(all, &s.Width, &s.DropsWidth, &s.Flare, &s.TopsWidth, &s.Reach, &s.Drop, &s.Hook)
	case b.Flat != (part.FlatBar{}):
		s := &b.Flat
		all = append(all, &s.Width, &s.Centre, &s.Rise, &s.Forward, &s.Backsweep, &s.Upsweep, &s.Hand)
	default:
		s := &b.Base
		all = append(all, &s.Width, &s.Reach, &s.Rise)
	}
	return append(all, stemFields(&b.Stem)...)
}

func aeroFields(a *part.AeroBar) []*float64 {
	return slices.Concat(
		[]*float64{&a.BarDiameter, &a.ExtensionDrop, &a.ExtensionAngle, &a.ExtensionWidth},
		stepsFields(&a.Tilt), stepsFields(&a.PadRise), stepsFields(&a.PadForward), stepsFields(&a.PadWidth), stepsFields(&a.Extension),
	)
}

func postFields(p *part.Seatpost) []*float64 {
	return []*float64{&p.Diameter, &p.Length, &p.Setback, &p.MinInsertion, &p.MinExtension, &p.MaxExtension, &p.Travel}
}

func saddleFields(s *part.Saddle) []*float64 {
	return []*float64{&s.Length, &s.Station, &s.Height, &s.Dip, &s.RailsFrom, &s.RailsTo}
}

// shelfFields is the numbers of one part of a kind that is drawn.
func shelfFields(d dice, s *fitgeom.Shelf) []*float64 {
	switch d.IntN(9) {
	case 0:
		c := &s.Caps[d.IntN(len(s.Caps))]
		return []*float64{&c.Height, &c.SteererDiameter}
	case 1:
		return []*float64{&s.Spacers[d.IntN(len(s.Spacers))].Height}
	case 2:
		if len(s.AeroBars) > 0 {
			return aeroFields(&s.AeroBars[d.IntN(len(s.AeroBars))])
		}
		return stemFields(&s.Stems[d.IntN(len(s.Stems))])
	case 3:
		return stemFields(&s.Stems[d.IntN(len(s.Stems))])
	case 4:
		return postFields(&s.Seatposts[d.IntN(len(s.Seatposts))])
	case 5:
		return saddleFields(&s.Saddles[d.IntN(len(s.Saddles))])
	case 6:
		k := &s.Cranks[d.IntN(len(s.Cranks))]
		all := []*float64{&k.Length, &k.QFactor}
		if len(s.Pedals) > 0 {
			all = append(all, &s.Pedals[0].FootHeight, &s.Pedals[0].FootOffset)
		}
		return all
	case 7:
		var all []*float64
		for i := range s.Levers {
			all = append(all, &s.Levers[i].Reach, &s.Levers[i].Rise)
		}
		for i := range s.Shims {
			all = append(all, &s.Shims[i].Inner, &s.Shims[i].Outer)
		}
		return all
	}
	return barFields(&s.Handlebars[d.IntN(len(s.Handlebars))])
}

func keepFields(all []fitgeom.Keep) []*float64 {
	var fields []*float64
	for i := range all {
		fields = append(fields, vecFields(&all[i].Tolerance)...)
		fields = append(fields, vecFields(&all[i].Weight)...)
	}
	return fields
}
