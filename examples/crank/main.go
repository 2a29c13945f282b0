// Crank tells what a shorter crank does to a rider's joints, with the saddle left
// where it is and with the saddle moved.
//
//	go run ./examples/crank [-crank 165] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/crank.html and the figures.
// Body and position are invented: no such rider and no such bike exist.
package main

import (
	"fmt"
	"io"
	"os"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	oldCrank  = 175.
	seatAngle = 73.5 // the line that the saddle moves on
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// A variant is one of the positions that are compared.
type variant struct {
	name     string
	position contact.Position
	stroke   []rider.Posture
}

// run does the whole job and writes only when all of it went well.
func run(args []string, out io.Writer) error {
	flags, dir := page.Flags("crank")
	crank := flags.Float64("crank", 165, "length of the new crank, mm")
	if err := flags.Parse(args); err != nil {
		return err
	}
	p, err := build(*crank)
	if err != nil {
		return err
	}
	return p.Write(out, *dir)
}

func build(crank float64) (*page.Page, error) {
	body, before := invented()
	variants, up, err := compare(body, before, crank)
	if err != nil {
		return nil, err
	}
	return report(body, variants, up, crank)
}

// invented is a rider and a bike that do not exist.
func invented() (rider.Body, contact.Position) {
	leg := rider.Leg{
		Thigh: 415, Shank: 420, AnkleHeight: 75, AnkleBehind: 128,
		// The toe points down all the way, most with the crank level behind.
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-21, -16, -13, -12, -13, -16, -21, -26, -29, -30, -29, -26}},
	}
	body := rider.Body{
		Left: leg, Right: leg, HipForward: 60, HipUp: 50,
		Upper: rider.Upper{
			Trunk: 505, UpperArm: 325, Forearm: 262, WristBack: 30, WristUp: 40,
			Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 18,
		},
	}
	return body, contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -208, Z: 703},
		contact.HoodsLeft:       {X: 548, Y: 208, Z: 650},
		contact.HoodsRight:      {X: 548, Y: -208, Z: 650},
		contact.FootLeft:        {X: oldCrank, Y: 128, Z: 22},
		contact.FootRight:       {X: oldCrank, Y: -128, Z: 22},
	})
}

// compare makes the variants, and says how far the saddle goes up in the last.
func compare(body rider.Body, before contact.Position, crank float64) (variants []variant, up float64, err error) {
	saddleKept := before
	for _, s := range []contact.Site{contact.FootLeft, contact.FootRight} {
		foot, _ := before.At(s)
		foot.X = crank
		saddleKept.Set(s, foot)
	}
	chain, err := rider.NewChain(body, before)
	if err != nil {
		return nil, 0, err
	}
	far, err := chain.FarEnd(contact.Left)
	if err != nil {
		return nil, 0, err
	}
	up, saddleMoved, err := body.RaiseSaddle(saddleKept, contact.Left, far.KneeFlexion, seatAngle)
	if err != nil {
		return nil, 0, err
	}
	variants = []variant{
		{name: fmt.Sprintf("crank %v, as it was", oldCrank), position: before},
		{name: fmt.Sprintf("crank %v, saddle kept", crank), position: saddleKept},
		{name: fmt.Sprintf("crank %v, saddle moved", crank), position: saddleMoved},
	}
	for i := range variants {
		chain, err := rider.NewChain(body, variants[i].position)
		if err != nil {
			return nil, 0, err
		}
		variants[i].stroke = make([]rider.Posture, 360)
		if err := chain.Stroke(contact.Left, variants[i].stroke); err != nil {
			return nil, 0, err
		}
	}
	return variants, up, nil
}

func report(body rider.Body, variants []variant, up, crank float64) (*page.Page, error) {
	p := page.New("crank", fmt.Sprintf("A crank of %v mm in place of %v mm", crank, oldCrank))
	p.P("A shorter crank makes the circle of the foot smaller. If the saddle stays, the foot comes nearer at the far end " +
		"of its stroke and the knee stays more bent there. If the saddle follows, the far end is as it was, and all of the gain is " +
		"where knee and hip are bent most. Package `contact/rider` closes the rider's body over the contact points, as a " +
		"chain from the saddle down to the pedal and up to the bar, and says what each joint does. Rider and bike are invented.")
	rows := [][]string{{"position", "saddle reference, mm: forward", "up"}}
	for _, v := range variants {
		s, _ := v.position.At(contact.SaddleReference)
		rows = append(rows, []string{v.name, kit.Fixed(s.X, 1), kit.Fixed(s.Z, 1)})
	}
	p.Table(rows...)
	p.P("Moved: by %s mm along a line of %v°, which keeps the knee's least flexion.", kit.Signed(up, 1), seatAngle)
	p.Figure(leg(variants))

	for i, title := range []string{"1. The saddle kept where it is", "2. The saddle moved"} {
		changes, err := body.Compare(variants[0].position, variants[i+1].position)
		if err != nil {
			return nil, err
		}
		p.H(title)
		rows := [][]string{{"degrees", "least: before", "after", "change", "most: before", "after", "change", "range: change", "at crank: least", "most"}}
		var gaps []string
		for _, c := range changes {
			if c.Side == contact.Right { // both legs are alike
				continue
			}
			row := []string{c.Measure.String()}
			for _, v := range [][2]float64{{c.Before.Least, c.After.Least}, {c.Before.Most, c.After.Most}} {
				row = append(row, kit.Fixed(v[0], 1), kit.Fixed(v[1], 1), kit.Signed(v[1]-v[0], 1))
			}
			row = append(row, kit.Signed(c.After.Range()-c.Before.Range(), 1))
			if c.Side == contact.Left {
				row = append(row, kit.Fixed(c.After.LeastAt, 0), kit.Fixed(c.After.MostAt, 0))
			}
			rows = append(rows, row)
			if c.After.Gap != 0 {
				gaps = append(gaps, fmt.Sprintf("%v: does not reach: %s mm at %s° of crank", c.Measure, kit.Fixed(c.After.Gap, 1), kit.Fixed(c.After.GapAt, 0)))
			}
		}
		p.Table(rows...)
		p.List(gaps...)
	}

	p.H("3. Knee, hip and ankle over the stroke")
	p.Figure(curves(variants, false))
	p.P("The curves lie close together: a change of some degrees is little beside what a joint does in one turn. By themselves the changes look like this.")
	p.Figure(curves(variants, true))
	rows = [][]string{{"crank, °", "knee flexion: before", "kept", "moved", "hip flexion: before", "kept", "moved", "ankle dorsiflexion: before", "kept", "moved"}}
	for at := 0; at < 360; at += 30 {
		row := []string{fmt.Sprint(at)}
		for _, c := range panels {
			for _, v := range variants {
				row = append(row, kit.Fixed(c.of(&v.stroke[at]), 1))
			}
		}
		rows = append(rows, row)
	}
	p.Table(rows...)
	p.P("Crank: 0 with the pedal at the top, 90 level in front.")

	p.H("4. Cautions")
	p.List(
		"The sole's slope over the crank circle, the hip's place over the saddle and the bend of the elbow are taken "+
			"to stay as they were. Riders change them too: measure again after a change.",
		"The bar did not move. A saddle that goes up makes the drop to the bar longer.",
		"Angles describe, they do not prescribe. Pain, numbness or an injury is a matter for a clinician.",
	)
	return p, nil
}
