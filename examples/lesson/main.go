// Lesson asks what saddle height, setback, drop, reach and cranks do to a rider, in six
// short experiments, and computes the answers.
//
//	go run ./examples/lesson [-body FILE] [-target FILE] [-request FILE] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/lesson.html, in which saddle, hands
// and cranks can be moved. The target, which is the position that the lesson starts from, may be a
// position, a survey, a tape survey or a sheet; a request may have it and the rider's body. What no
// flag names is read from the files beside it, which are invented: no such rider and no such bike
// exist.
package main

import (
	_ "embed"
	"errors"
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/live"
	"example.com/fitgeom/examples/internal/page"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	//go:embed body.json
	bodyJSON []byte
	//go:embed position.json
	positionJSON []byte
)

func main() { example().Main() }

// input is what the program reads.
type input struct{ rider kit.Ridden }

func example() *kit.Example {
	var in input
	e := kit.New("lesson", in.page)
	kit.Rides(e, &in.rider, "position that the lesson starts from", bodyJSON, positionJSON)
	return e
}

// An experiment is one change of the position, and what is asked about it.
type experiment struct {
	title, question string
	saddle, hands   r3.Vec
	crank           float64
	// watch is the joints that the answer is about.
	watch []rider.Variable
	// lesson is what to take from the numbers.
	lesson string
}

var experiments = []experiment{
	{
		title: "Saddle height", question: "The saddle goes up by 10 mm. How much straighter does the knee get at the far end of the stroke, and how much at the near end?",
		saddle: r3.Vec{Z: 10}, watch: []rider.Variable{rider.KneeFlexion, rider.AnkleDorsiflexion},
		lesson: "A nearly straight leg has little left to give: the same centimetre changes the knee more where it is nearly straight than where it is bent.",
	},
	{
		title: "Setback", question: "The saddle goes back by 10 mm at the same height. Is that the same as raising it?",
		saddle: r3.Vec{X: -10}, watch: []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.TrunkLean},
		lesson: "Back is also a little farther from the pedals, so the knee gets straighter, but by less; and the hands, which stayed, are farther away.",
	},
	{
		title: "Drop", question: "The hands go down by 20 mm. What pays for it: the trunk, the hip or the shoulder?",
		hands: r3.Vec{Z: -20}, watch: []rider.Variable{rider.TrunkLean, rider.HipFlexion, rider.ShoulderFlexion},
		lesson: "The trunk leans more, and the hip is bent by just as much more at the top of every stroke.",
	},
	{
		title: "Reach", question: "The hands go forward by 10 mm, as with a stem that is 10 mm longer. Is that like lowering them?",
		hands: r3.Vec{X: 10}, watch: []rider.Variable{rider.TrunkLean, rider.HipFlexion, rider.ShoulderFlexion},
		lesson: "A longer way to the bar opens the shoulder and leans the trunk.",
	},
	{
		title: "Cranks, and the saddle where it is", question: "The cranks get 5 mm shorter. Where does the knee notice?",
		crank: -5, watch: []rider.Variable{rider.KneeFlexion, rider.HipFlexion},
		lesson: "At both ends: it is bent less at the top, and more at the bottom, where the foot no longer goes as far.",
	},
	{
		title: "Cranks, and the saddle with them", question: "The cranks get 5 mm shorter and the saddle goes up by 5 mm. What is gained?",
		crank: -5, saddle: r3.Vec{Z: 5}, watch: []rider.Variable{rider.KneeFlexion, rider.HipFlexion},
		lesson: "The far end is nearly as it was, and all of the gain is at the top, where knee and hip are bent most.",
	},
}

// changed returns the position of an experiment.
func (e experiment) changed(p contact.Position) contact.Position {
	return live.Stretched(live.Moved(p, map[contact.Group]r3.Vec{contact.OnSaddle: e.saddle, contact.OnHandlebar: e.hands}), e.crank)
}

func (in *input) page() (*page.Page, error) {
	body, before := in.rider.Body, in.rider.Asked.Solved.Position
	p := page.New("lesson", "What does it do? Six experiments")
	p.P("Each experiment changes one thing and leaves all else. Read the question, decide on an answer, and then look at the numbers below it: they are computed for one rider, and for another they differ, though seldom in their sign.")
	in.rider.Odd(p)
	if err := p.Draw(draw.Rider("lesson-rider", "The rider, mm", body, before, before)); err != nil {
		return nil, err
	}
	for i, e := range experiments {
		p.H("%d. %s", i+1, e.title)
		p.P("%s", e.question)
		compared, err := body.Compare(before, e.changed(before))
		if err != nil {
			return nil, err
		}
		p.Table(e.rows(compared)...)
		p.P("%s", e.lesson)
	}
	p.H("Cautions")
	p.List(
		"Angles describe, they do not prescribe. Pain, numbness or an injury is a matter for a clinician.",
		"The hip's place over the saddle, the ankle's work and the bend of the elbow are taken to stay as they were. Riders change them too.",
	)
	p.How("`rider.Body.Compare` closes a chain of segments over saddle, pedals and grips in both positions, and looks for the least and the greatest angle over the stroke.")
	return p, errors.Join(kit.Give(p, "position", "the position that the lesson starts from, which -target of every page that asks for a bike reads", before),
		kit.Rider(p, "Try it: move saddle, hands and cranks", body, before))
}

// rows returns what became of the joints that an experiment watches.
func (e experiment) rows(compared []rider.Comparison) [][]string {
	rows := [][]string{{"degrees", "least: before", "after", "change", "most: before", "after", "change"}}
	for _, v := range e.watch {
		for _, c := range compared {
			if c.Variable != v || c.Side == contact.Right && len(compared) > 1 && compared[0].Side == contact.Left {
				continue
			}
			row := []string{draw.Words(v)}
			for _, pair := range [][2]float64{{c.Before.Least, c.After.Least}, {c.Before.Most, c.After.Most}} {
				row = append(row, kit.Fixed(pair[0], 1), kit.Fixed(pair[1], 1), kit.Signed(pair[1]-pair[0], 1))
			}
			if c.After.Gap != 0 {
				row[0] += fmt.Sprintf(" (does not reach, by %s mm)", kit.Fixed(c.After.Gap, 1))
			}
			rows = append(rows, row)
		}
	}
	return rows
}
