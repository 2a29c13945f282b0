// Crank tells what a shorter crank does to a rider's joints, with the saddle left
// where it is and with the saddle moved.
//
//	go run ./examples/crank [-body FILE] [-target FILE] [-request FILE] [-crank 165] [-seat-angle 73.5] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/crank.html and the figures. The target, which
// is the position with the old crank, may be a position, a survey, a tape survey or a sheet; a
// request may have it and the rider's body. What no flag names is read from the files beside it,
// which are invented: no such rider and no such bike exist.
package main

import (
	_ "embed"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
)

var (
	//go:embed body.json
	bodyJSON []byte
	//go:embed position.json
	positionJSON []byte
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	rider            kit.Ridden
	crank, seatAngle float64
}

func example() *kit.Example {
	var in input
	e := kit.New("crank", in.page)
	kit.Rides(e, &in.rider, "position with the old crank", bodyJSON, positionJSON)
	e.Number(&in.crank, "crank", 165, 100, 220, "mm", "length of the new crank")
	e.Number(&in.seatAngle, "seat-angle", 73.5, 60, 90, "degrees", "the line that the saddle moves on")
	return e
}

// A variant is one of the positions that are compared.
type variant struct {
	name     string
	position contact.Position
	stroke   []rider.Posture
}

// A comparison is what a shorter crank does to one leg.
type comparison struct {
	side                       contact.Side
	oldCrank, crank, seatAngle float64
	up                         float64 // how far the saddle goes in the last variant
	variants                   []variant
}

func (in *input) page() (*page.Page, error) {
	body, before := in.rider.Body, in.rider.Asked.Solved.Position
	c, err := compare(body, before, in.crank, in.seatAngle)
	if err != nil {
		return nil, err
	}
	p := page.New("crank", fmt.Sprintf("A crank of %v mm in place of %v mm", c.crank, c.oldCrank))
	p.P("A shorter crank makes the circle of the foot smaller. If the saddle stays, the foot comes nearer at the far end " +
		"of its stroke, and the knee stays more bent there. If the saddle moves with the crank, the far end is as it was, and all of the gain is " +
		"where knee and hip are bent most. The page puts the rider's body on the contact points, as a " +
		"chain from the saddle down to the pedal and up to the bar, and says what each joint does.")
	in.rider.Odd(p)
	if err := c.positions(p, body); err != nil {
		return nil, err
	}
	for i, title := range []string{"1. The saddle kept where it is", "2. The saddle moved"} {
		compared, err := body.Compare(c.variants[0].position, c.variants[i+1].position)
		if err != nil {
			return nil, err
		}
		p.H("%s", title)
		c.joints(p, compared)
	}
	c.stroke(p)
	cautions(p, body)
	p.How("`contact/rider` closes the chain of segments, and `rider.Body.Compare` compares the joints.")
	return p, errors.Join(kit.Give(p, "position", "the position with the new cranks and the saddle moved, which -target of every page that asks for a bike reads", c.variants[2].position),
		kit.Rider(p, "Move saddle, hands and cranks", body, before))
}

// compare makes the variants. It looks at the left leg if the body has one.
func compare(body rider.Body, before contact.Position, crank, seatAngle float64) (*comparison, error) {
	chain, err := rider.NewChain(body, before)
	if err != nil {
		return nil, err
	}
	side := contact.Left
	if body.Left.Thigh == 0 {
		side = contact.Right
	}
	far, err := chain.FarEnd(side)
	if err != nil {
		return nil, err
	}
	saddleKept := before
	for _, s := range []contact.Site{contact.PedalLeft, contact.PedalRight, contact.FootLeft, contact.FootRight} {
		if v, ok := before.At(s); ok {
			v.X = crank
			saddleKept.Set(s, v)
		}
	}
	up, saddleMoved, err := body.RaiseSaddle(saddleKept, side, far.KneeFlexion, seatAngle)
	if err != nil {
		return nil, err
	}
	foot, _ := before.At(contact.FootLeft.On(side))
	c := &comparison{side: side, oldCrank: foot.X, crank: crank, seatAngle: seatAngle, up: up}
	c.variants = []variant{
		{name: fmt.Sprintf("crank %v, as it was", c.oldCrank), position: before},
		{name: fmt.Sprintf("crank %v, saddle kept", crank), position: saddleKept},
		{name: fmt.Sprintf("crank %v, saddle moved", crank), position: saddleMoved},
	}
	for i := range c.variants {
		v := &c.variants[i]
		chain, err := rider.NewChain(body, v.position)
		if err != nil {
			return nil, err
		}
		v.stroke = make([]rider.Posture, 360)
		if err := chain.Stroke(side, v.stroke); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// positions shows where the saddle is in each variant.
func (c *comparison) positions(p *page.Page, body rider.Body) error {
	rows := [][]string{{"position", "saddle reference, mm: forward", "up"}}
	for _, v := range c.variants {
		s, _ := v.position.At(contact.SaddleReference)
		rows = append(rows, []string{v.name, kit.Fixed(s.X, 1), kit.Fixed(s.Z, 1)})
	}
	p.Table(rows...)
	way := "up"
	if c.up < 0 {
		way = "down"
	}
	p.P("The saddle is moved %s by %s mm along a line of %v°. That keeps the least flexion of the %v knee.", way, kit.Fixed(math.Abs(c.up), 1), c.seatAngle, c.side)
	f, err := draw.Rider("crank-leg", "The rider, with the saddle moved to suit the cranks", body, c.variants[0].position, c.variants[2].position)
	if err != nil {
		return err
	}
	f.Desc += " Dashed with the old cranks and saddle, solid with the new ones."
	f.Caption += " Where the saddle moves with shorter cranks, the far end of the stroke stays as it was; at the top the pedal is lower, and knee and hip are bent less."
	p.Figure(f)
	return nil
}

// joints shows what becomes of the joints. Of two legs that are alike it shows one.
func (c *comparison) joints(p *page.Page, compared []rider.Comparison) {
	rows := [][]string{{"degrees", "least: before", "after", "change", "most: before", "after", "change", "range: change", "at crank: least", "most"}}
	var gaps []string
	for i, change := range compared {
		name := draw.Words(change.Variable)
		if change.Side != contact.Centre && change.Side != c.side {
			if slices.ContainsFunc(compared[:i], func(first rider.Comparison) bool {
				first.Side = change.Side
				return first == change
			}) {
				continue
			}
			name += fmt.Sprintf(" (%v)", change.Side)
		}
		row := []string{name}
		for _, v := range [][2]float64{{change.Before.Least, change.After.Least}, {change.Before.Most, change.After.Most}} {
			row = append(row, kit.Fixed(v[0], 1), kit.Fixed(v[1], 1), kit.Signed(v[1]-v[0], 1))
		}
		row = append(row, kit.Signed(change.After.Range()-change.Before.Range(), 1))
		if change.Side != contact.Centre {
			row = append(row, kit.Fixed(change.After.LeastAt, 0), kit.Fixed(change.After.MostAt, 0))
		}
		rows = append(rows, row)
		if change.After.Gap != 0 {
			gaps = append(gaps, fmt.Sprintf("%s: does not reach: %s mm at %s° of crank", name, kit.Fixed(change.After.Gap, 1), kit.Fixed(change.After.GapAt, 0)))
		}
	}
	p.Table(rows...)
	p.List(gaps...)
}

// stroke shows the joints over one turn of the crank.
func (c *comparison) stroke(p *page.Page) {
	all := panels(c.variants)
	if len(all) == 3 {
		p.H("3. Knee, hip and ankle over the stroke")
	} else {
		p.H("3. Knee and ankle over the stroke")
	}
	p.Figure(curves(c.variants))
	p.P("The curves lie close together: a change of a few degrees is small against what a joint does in one turn. By themselves the changes look like this.")
	p.Figure(changes(c.variants))
	head := []string{"crank, °"}
	for _, j := range all {
		head = append(head, j.title+": before", "kept", "moved")
	}
	rows := [][]string{head}
	for at := 0; at < 360; at += 30 {
		row := []string{fmt.Sprint(at)}
		for _, j := range all {
			for _, v := range c.variants {
				row = append(row, kit.Fixed(j.of(&v.stroke[at]), 1))
			}
		}
		rows = append(rows, row)
	}
	p.Table(rows...)
	p.P("The crank is at 0 with the pedal at the top, and at 90 with the crank horizontal and the pedal in front.")
}

func cautions(p *page.Page, body rider.Body) {
	kept := "the bend of the elbow"
	if body.Upper.Keep == rider.KeepTrunk {
		kept = "the lean of the trunk"
	}
	p.H("4. Cautions")
	p.List(
		"The sole's slope over the crank circle, the hip's place over the saddle and "+kept+" are taken "+
			"to stay as they were. Riders change them too: measure again after a change.",
		"The bar did not move. A saddle that goes up makes the drop to the bar larger.",
		"Angles describe, they do not prescribe. Pain, numbness or an injury is a matter for a clinician.",
	)
}
