package design_test

import (
	"context"
	"fmt"
	"math"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
)

// dimension wishes for a range of a dimension.
func dimension(d chart.Dimension, from, to float64) design.Wish {
	return design.Wish{Subject: design.Subject{Dimension: d}, From: from, To: to}
}

// invention asks for a frame for the invented rider, who keeps the parts of the bike.
func invention() design.Problem {
	b := invented.Build()
	return design.Problem{
		Target:   invented.Position(b),
		Front:    region.FrontEnd{Up: b.Cap.Height + b.Settings.Spacers, Stem: b.Stem, Handlebar: b.Handlebar, Lever: b.Lever},
		Cap:      b.Cap.Height,
		Seatpost: b.Seatpost,
		Saddle:   b.Saddle,
		Wishes: []design.Wish{
			dimension(chart.FrontRadius, 340, 340), dimension(chart.RearRadius, 340, 340),
			dimension(chart.Chainstay, 415, 415), dimension(chart.Drop, 70, 70),
			dimension(chart.AxleToCrown, 375, 375), dimension(chart.ForkOffset, 45, 45),
			dimension(chart.Trail, 58, 64),
			dimension(chart.SeatOffset, 0, 0), dimension(chart.SeatTubeTop, 500, 530),
			{Subject: design.Subject{Clearance: clearance.ToeLevel}, From: 89, To: math.Inf(1)},
		},
	}
}

// A fork is at hand, and trail and toe clearance are wished: what is the frame, and what of
// it is free?
func ExampleProblem_Solve() {
	p := invention()
	d, err := p.Solve(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	ranges, err := p.Ranges(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("all wishes held:", d.Holds())
	for _, r := range ranges {
		switch r.Subject.Dimension {
		case chart.Stack, chart.Reach, chart.HeadAngle, chart.SeatAngle, chart.HeadTube, chart.Wheelbase:
			v, _, _ := d.Get(r.Subject.Dimension)
			fmt.Printf("%-10v %7.1f %-7s %.1f to %.1f\n", r.Subject, v, r.Subject.Unit(), r.From, r.To)
		}
	}
	// Output:
	// all wishes held: true
	// stack        559.0 mm      558.4 to 559.7
	// reach        385.8 mm      385.2 to 386.3
	// head_angle    72.3 degrees 71.9 to 72.8
	// seat_angle    73.9 degrees 73.9 to 73.9
	// head_tube    150.3 mm      114.2 to 156.3
	// wheelbase    997.7 mm      992.8 to 1002.7
}

// What cannot be had together is named, and what each wish would have to give.
func ExampleDesign_contradictions() {
	p := invention()
	p.Wishes = append(p.Wishes, dimension(chart.FrontCentreHorizontal, 620, math.Inf(1)))
	d, err := p.Solve(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range d.Contradictions {
		for _, i := range c.Wishes {
			fmt.Println(d.Wishes[i])
		}
		for _, change := range c.Changes {
			w := d.Wishes[change.Wish]
			fmt.Printf("or %v by %+.1f %s\n", w.Subject, change.By, w.Subject.Unit())
		}
	}
	// Output:
	// front_radius 340 mm
	// rear_radius 340 mm
	// drop 70 mm
	// fork_offset 45 mm
	// trail 58 to 64 mm
	// front_centre_horizontal at least 620 mm
	// stem_length 100 mm
	// stem_angle -6 degrees
	// or front_radius by -27.7 mm
	// or rear_radius by +80.5 mm
	// or drop by -80.5 mm
	// or fork_offset by +9.3 mm
	// or trail by +15.9 mm
	// or front_centre_horizontal by -26.4 mm
	// or stem_length by -25.2 mm
	// or stem_angle by -35.9 degrees
}

// The tubes in the mid-plane, and the template of a mitre.
func ExampleDesign_Drawing() {
	d, err := invention().Solve(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	w, err := d.Drawing()
	if err != nil {
		fmt.Println(err)
		return
	}
	upper, _ := w.Top.Cut(0)
	lower, _ := w.Top.Cut(180)
	fmt.Printf("top tube: axis %.1f mm, upper line %.1f, lower line %.1f\n", w.Top.Length(), upper, lower)
	fmt.Printf("on the head tube at %.1f°:", w.Top.AtTo.Angle)
	for around := 0.; around <= 180; around += 45 {
		z, _ := w.Top.AtTo.At(around)
		fmt.Printf(" %.1f", z)
	}
	fmt.Println(" mm")
	// Output:
	// top tube: axis 530.6 mm, upper line 497.6, lower line 498.4
	// on the head tube at 81.2°: 20.4 16.6 11.1 13.5 16.0 mm
}
