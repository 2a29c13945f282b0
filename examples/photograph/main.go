// Photograph finds contact points in photographs of a bike: in one, and in five.
//
//	go run ./examples/photograph [-one FILE] [-five FILE] [-tape FILE] [-truth FILE] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/photograph.html and the figure.
// Without flags it reads the documents beside it. All data in them are invented: no such
// bike, photograph or reading exists.
package main

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	//go:embed one.json
	oneJSON []byte
	//go:embed five.json
	fiveJSON []byte
	//go:embed tape.json
	tapeJSON []byte
	//go:embed truth.json
	truthJSON []byte
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	one, five kit.Doc[photo.Survey]
	tape      kit.Doc[survey.TapeSurvey]
	taped     survey.Fix
	truth     kit.Doc[contact.Position]
	counts    func(flag string) bool // whether the file of a flag was read
}

func example() *kit.Example {
	var in input
	e := kit.New("photograph", in.page)
	kit.JSON(e, &in.one, "one", "what was marked in one photograph", oneJSON)
	kit.JSON(e, &in.five, "five", "what was marked in several photographs", fiveJSON)
	kit.Solved(e, &in.tape, &in.taped, "tape", "a tape survey of the same bike", tapeJSON)
	kit.JSON(e, &in.truth, "truth", "where the contact points are, if that is known", truthJSON)
	e.Together("one", "five")
	e.Belongs("tape", "one")
	e.Belongs("truth", "one")
	in.counts = e.Counts
	return e
}

// solve solves photographs. Every fault names the file.
func solve(doc kit.Doc[photo.Survey]) (photo.Result, error) {
	r, err := doc.Value.Solve(context.Background())
	return r, kit.Name(err, func(string) string { return doc.File })
}

// within says which marks lie beside their picture, which those of a whole picture do not.
func within(doc kit.Doc[photo.Survey]) error {
	var faults []error
	for i, p := range doc.Value.Photographs {
		c := doc.Value.Cameras[p.Camera]
		for k, m := range p.Marks {
			if m.X < 0 || m.X > c.Width || m.Y < 0 || m.Y > c.Height {
				faults = append(faults, fmt.Errorf("%s: photographs[%d].marks[%d] %s at %v, %v pixels: want it within the picture, which is %v wide and %v high (exchanged?)",
					doc.File, i, k, m.Landmark, m.X, m.Y, c.Width, c.Height))
			}
		}
	}
	return errors.Join(faults[:min(len(faults), 10)]...)
}

func (in *input) page() (*page.Page, error) {
	if n := len(in.one.Value.Photographs); n != 1 {
		return nil, fmt.Errorf("%s: photographs %d: want one, and several in -five", in.one.File, n)
	}
	if len(in.five.Value.Photographs) == 1 {
		return nil, fmt.Errorf("%s: photographs 1: want several, and one in -one", in.five.File)
	}
	if err := errors.Join(within(in.one), within(in.five)); err != nil {
		return nil, err
	}
	one, err := solve(in.one)
	if err != nil {
		return nil, err
	}
	five, err := solve(in.five)
	if err != nil {
		return nil, err
	}
	p := page.New("photograph", "Contact points from photographs")
	beside := "side by side."
	if in.counts("truth") {
		beside = "beside the truth, which is stated."
		if in.counts("tape") {
			beside = "beside a tape survey and " + beside
		}
	}
	p.P("A person takes photographs of a bike that stands still, and marks in each where axles, bottom bracket, head tube, saddle, levers and pedals are seen, "+
		"and points along the rims. This page makes contact points of the marks, with their uncertainty, from one photograph and from several, and lays them %s", beside)
	p.H("1. One photograph")
	told(p, in.one.Value, one)
	p.P("One photograph from the side does not tell how far from the mid-plane anything is. What is nearer is seen larger, so this counts in the side view too. " +
		"State what you know of it, such as half the width of the bar; or stand further away.")
	p.H("2. Several photographs")
	told(p, in.five.Value, five)
	in.compare(p, one.Fix, five.Fix)
	if err := in.next(p); err != nil {
		return nil, err
	}
	p.H("5. Cautions")
	p.List(
		"A result is only as good as its marks. Tyre and rim taken for one another everywhere would show only where something else tells the scale: measure a crank or a distance too.",
		"What was moved between two photographs makes all of them wrong. Take them in one go, with the bike on a stand that holds it.",
		"Check saddle height and bar with a tape before a rider rides on these numbers. A qualified mechanic checks the bike after every change.",
	)
	p.How("`photo.Survey.Solve` of `contact/survey/photo` solves photographs, and `photo.Plan.Next` says which more would help.")
	return p, errors.Join(kit.Give(p, "position", "the position by several photographs, which -target of every page that asks for a bike reads", five.Fix.Position),
		kit.Give(p, "fix", "the same with its uncertainty", five.Fix))
}

// told says what was marked, and what there is to know of it.
func told(p *page.Page, s photo.Survey, r photo.Result) {
	var all []string
	for i := range s.Photographs {
		at := r.Views[i].At
		side := "right"
		if at.Y > 0 {
			side = "left"
		}
		all = append(all, fmt.Sprintf("%s: %d marks; the camera stood %s m from the bottom bracket, on the bike's %s", s.Photographs[i].Name, len(s.Photographs[i].Marks), kit.Fixed(r3.Norm(at)/1000, 1), side))
	}
	for _, f := range r.Findings {
		text := strings.ReplaceAll(f.String(), "_", " ")
		if f.Photograph >= 0 {
			text = strings.Replace(text, fmt.Sprintf("photograph %d", f.Photograph), "the photograph "+s.Photographs[f.Photograph].Name, 1)
		}
		all = append(all, "finding: "+text)
	}
	for _, f := range r.Fix.Findings {
		all = append(all, "finding: "+draw.Words(f))
	}
	p.List(all...)
}

// compare lays what was found side by side, and beside the truth if that is stated.
func (in *input) compare(p *page.Page, one, five survey.Fix) {
	all := []kit.Found{{Name: "one photograph", Fix: one}, {Name: "several", Fix: five}}
	if in.counts("tape") {
		all = append(all, kit.Found{Name: "tape", Fix: in.taped})
	}
	if in.counts("truth") {
		p.H("3. Beside the truth")
		kit.BesideTruth(p, in.truth.Value, all...)
		p.P("A dash: not told. Of pairs, one photograph tells only the side that it shows.")
	} else {
		p.H("3. The contact points")
		for _, f := range all {
			p.P("By %s:", f.Name)
			p.Table(kit.PositionRows(f.Fix.Position, f.Fix.Covariance)...)
		}
	}
	f := draw.Beside("photograph-points", "One photograph beside several", draw.Two{Reference: five.Position, By: "by several", Fix: one, To: "to where one has it"})
	f.Desc = "Side view of the contact points that one photograph from the right tells, with an arrow from where several photographs have each to where that one has it, and the ellipse of its uncertainty."
	f.Caption = "An ellipse that holds its ring: the one photograph is off by no more than it says."
	p.Figure(f)
}

// next says which photograph would help most after the first.
func (in *input) next(p *page.Page) error {
	p.H("4. The one more photograph that helps most")
	plan := photo.Plan{Camera: in.one.Value.Cameras[0], Known: in.one.Value}
	plan.Known.Sideways, plan.Known.Distances, plan.Known.Trueness = nil, nil, nil
	for _, ph := range in.five.Value.Photographs {
		for _, m := range ph.Marks {
			if !slices.Contains(plan.Landmarks, m.Landmark) {
				plan.Landmarks = append(plan.Landmarks, m.Landmark)
			}
		}
	}
	const far, high = 4000, 1000
	from := []string{"from in front", "from the left in front", "from the left", "from the left behind", "from behind", "from the right behind", "from the right", "from the right in front"}
	var candidates []photo.Place
	for i := range from {
		candidates = append(candidates, photo.Place{Around: 45 * float64(i), Far: far, High: high})
	}
	plan.Places = candidates[6:7]
	ctx := context.Background()
	before, err := plan.Forecast(ctx)
	if err != nil {
		return err
	}
	p.P("Nothing needs to be photographed to know this: it follows from where a camera would stand. Beside one photograph from the right, of a bike that is as usual, at 4 m:")
	rows := [][]string{{"with one more", "the least certain contact point, ± mm"}, {"none", worst(before)}}
	for i := range candidates {
		with := plan
		with.Places = []photo.Place{candidates[6], candidates[i]}
		f, err := with.Forecast(ctx)
		if err != nil {
			return err
		}
		rows = append(rows, []string{from[i], worst(f)})
	}
	p.Table(rows...)
	best, _, err := plan.Next(ctx, candidates)
	if err != nil {
		return err
	}
	third := plan
	third.Places = []photo.Place{candidates[6], candidates[best]}
	then, f, err := third.Next(ctx, candidates)
	if err != nil {
		return err
	}
	p.P("The one that helps most is taken %s; after it, the one taken %s, which would leave ± %s mm. A point that no photograph shows counts as ± 200 mm.", from[best], from[then], worst(f))
	return nil
}

func worst(f photo.Forecast) string { return kit.Fixed(2*f.Worst, 1) }
