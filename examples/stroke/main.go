// Stroke tells what a change of the bike did to a rider in motion: a recording before it
// and one after it, what each is worth, and which changes are real.
//
//	go run ./examples/stroke [-before FILE] [-after FILE] [-markers FILE] [-placement 0] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/stroke.html. Before is a C3D file and
// after a table of comma-separated values; markers is a table of where the markers on the frame
// are, in the axes of the bike, as measured when they were put on. Without flags it reads the files
// beside it, which a program invented: no such rider and no such bike exist.
package main

import (
	"cmp"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/motion/read"
	"example.com/fitgeom/examples/internal/grid"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	//go:embed before.c3d
	beforeC3D []byte
	//go:embed after.csv
	afterCSV []byte
	//go:embed markers.csv
	markersCSV []byte
)

// measures are what the page shows of each leg, and pelvis what it shows of the rider.
var (
	measures = []motion.Measure{motion.KneeFlexion, motion.HipFlexion, motion.AnkleDorsiflexion, motion.KneeLine}
	pelvis   = []motion.Measure{motion.PelvisTilt, motion.PelvisObliquity, motion.PelvisUp}
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	before, after recorded
	onBike        map[motion.Marker]r3.Vec // where the markers on the frame are, in the axes of the bike
	markers       string                   // the file that says so
	placement     float64
}

// A recorded is a recording that was read.
type recorded struct {
	file      string
	recording motion.Recording
	motion    motion.Motion
}

func example() *kit.Example {
	var in input
	e := kit.New("stroke", in.page)
	ctx := context.Background()
	// The markers come first: recordings are read by them.
	e.File("markers", "markers.csv", "where the markers on the frame are, CSV", markersCSV, func(name string, data []byte) (err error) {
		in.markers = name
		if in.onBike, err = readMarkers(data); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		return nil
	})
	e.File("before", "before.c3d", "recording before the change, C3D", beforeC3D, func(name string, data []byte) error {
		return in.read(&in.before, name, func() (motion.Recording, error) {
			f, err := read.C3D(ctx, data)
			if err != nil {
				return motion.Recording{}, err
			}
			return f.Recording(nil)
		})
	})
	e.File("after", "after.csv", "recording after it, CSV", afterCSV, func(name string, data []byte) error {
		return in.read(&in.after, name, func() (motion.Recording, error) { return read.Table(ctx, data, read.Format{}) })
	})
	e.Together("before", "after", "markers")
	e.Number(&in.placement, "placement", 0, 0, 30, "degrees or mm", "what markers that were put on again change, as a standard uncertainty")
	return e
}

// misplaced names the markers that do not lie where their file says, by the order of their numbers.
func (in *input) misplaced(err error, recording string) error {
	order := slices.Sorted(maps.Keys(in.onBike))
	var all []error
	for _, f := range contact.Faults(err) {
		one := *f
		for i, m := range order {
			if one.Path == fmt.Sprintf("markers[%d]", i) {
				one.Path = m.String()
			}
		}
		if one.Path == "points" {
			one.Path = "markers"
		}
		all = append(all, fmt.Errorf("%s beside %s: %w", in.markers, recording, &one))
	}
	return cmp.Or(errors.Join(all...), err)
}

// readMarkers reads where markers on the frame are.
func readMarkers(data []byte) (map[motion.Marker]r3.Vec, error) {
	all := map[motion.Marker]r3.Vec{}
	err := grid.Read(data, "marker,x_mm,y_mm,z_mm", func(row grid.Row) error {
		m, err := motion.ParseMarker(row.Cells[0])
		if err != nil || m < motion.Bike1 {
			return row.Fault(0, "a marker on the frame, such as bike_1")
		}
		if _, twice := all[m]; twice {
			return row.Fault(0, "each marker once")
		}
		var at r3.Vec
		var errs [3]error
		for i, v := range [...]*float64{&at.X, &at.Y, &at.Z} {
			*v, errs[i] = row.Number(1+i, -2000, 2000, "mm")
		}
		all[m] = at
		return errors.Join(errs[:]...)
	})
	if err != nil {
		return nil, err
	}
	return all, nil
}

// read reads a recording, brings it to the bike and analyses it. Faults name the file.
func (in *input) read(r *recorded, name string, recording func() (motion.Recording, error)) error {
	named := func(err error) error { return kit.Name(err, func(string) string { return name }) }
	r.file = name
	inRoom, err := recording()
	if err != nil || in.onBike == nil { // which has been told
		return named(err)
	}
	if r.recording, _, err = inRoom.OnBike(in.onBike); err != nil {
		return in.misplaced(err, name)
	}
	r.motion, err = r.recording.Analyse(context.Background(), motion.Settings{})
	return named(err)
}

func (in *input) page() (*page.Page, error) {
	p := page.New("stroke", "What a change of the saddle did to a rider in motion")
	p.P("Cameras saw a rider before and after a change, with markers on the skin. " +
		"The page first says what the recordings are worth, then what the joints do over the crank circle, and which changes are more than chance.")
	in.before.quality(p, "1. What the recording before is worth")
	in.after.quality(p, "2. What the recording after is worth")
	before, err := in.before.curves()
	if err != nil {
		return nil, err
	}
	after, err := in.after.curves()
	if err != nil {
		return nil, err
	}
	shown(p, before)
	changes, err := in.changed(p, before, after)
	if err != nil {
		return nil, err
	}
	f, err := in.figure(before, after)
	if err != nil {
		return nil, err
	}
	if f != nil {
		p.Figure(f)
	}
	published(p)
	p.H("6. Cautions")
	p.List(
		"Markers sit on the skin, which slides over the bones by a centimetre and more. Compare angles of the same markers, and no others.",
		"An angle is not a diagnosis. Pain, numbness or an injury is a matter for a clinician.",
		"What changed for real need not be better. Ask the rider, and look again after some weeks.",
	)
	p.How("`contact/motion` analyses the recordings, and `contact/motion/read` reads them from files.")
	return p, errors.Join(in.before.give(p, "before"), in.after.give(p, "after"), kit.Give(p, "changes", "what changed, as a document", changes))
}

// give adds what a recording shows as a document.
func (r *recorded) give(p *page.Page, name string) error {
	report, err := r.motion.Report(context.Background())
	return errors.Join(err, kit.Give(p, name, "what the recording "+name+" shows, as a document", report))
}

// quality says what a recording is worth.
func (r *recorded) quality(p *page.Page, title string) {
	q := r.motion.Quality()
	p.H("%s", title)
	first, last := r.motion.Revolutions()[0], r.motion.Revolutions()[q.Revolutions-1]
	p.P("`%s` has %d frames at %.0f a second and %d markers. There are %d whole revolutions at %.1f per minute; %d at the ends are not whole, and %d were lost.",
		r.file, q.Frames, q.Rate, len(q.Markers), q.Revolutions, 60*float64(q.Revolutions)/(last.End-first.Start), q.Partial, q.Lost)
	rows := [][]string{{"crank", "centre forward, mm", "centre up, mm", "radius, mm", "marker off the circle, mm"}}
	for _, c := range q.Cranks {
		rows = append(rows, []string{c.Side.String(), kit.Signed(c.Centre.X, 1), kit.Signed(c.Centre.Z, 1), kit.Fixed(c.Radius, 1), kit.Fixed(c.Off, 1)})
	}
	p.Table(rows...)
	var filled, aside, missing int
	noise := 0.0
	for _, m := range q.Markers {
		filled, aside, missing = filled+m.Filled, aside+m.SetAside, missing+m.Missing
		if m.Marker < motion.Bike1 {
			noise = max(noise, m.Noise)
		}
	}
	p.P("Of all samples %d were filled in, %d set aside and %d are missing. From frame to frame the noisiest marker shakes by %.1f mm.", filled, aside, missing, noise)
	var found []string
	for _, f := range q.Findings {
		found = append(found, strings.ReplaceAll(f.String(), "_", " ")+".")
	}
	if found == nil {
		found = []string{"Nothing was found."}
	}
	p.List(found...)
}

// curves are those of both legs, and of the pelvis over the left crank.
func (r *recorded) curves() (all []motion.Curve, err error) {
	add := func(side contact.Side, of []motion.Measure) {
		for _, k := range of {
			c, e := r.motion.Curve(context.Background(), k, side)
			if err == nil {
				err = e
			}
			all = append(all, c)
		}
	}
	add(contact.Left, measures)
	add(contact.Right, measures)
	add(contact.Left, pelvis)
	return all, kit.Name(err, func(string) string { return r.file })
}

func name(c motion.Curve) string {
	words := strings.ReplaceAll(c.Of.String(), "_", " ")
	if c.Of >= motion.PelvisTilt {
		return words
	}
	return words + ", " + c.Side.String()
}

// shown has the curves before.
func shown(p *page.Page, curves []motion.Curve) {
	p.H("3. The stroke before")
	p.P("Each number is of the mean curve of all revolutions, with the range that holds the mean of many such revolutions in 95 of 100 recordings. " +
		"Angles are in degrees; the knee line (the knee outside of the line from hip to ankle, as seen from the front) and the pelvis' height are in mm.")
	rows := [][]string{{"measure", "least", "at crank", "most", "at crank", "top", "bottom", "revolutions", "frames"}}
	for _, c := range curves {
		low, high := c.Least(), c.Most()
		top, _ := c.At(0)
		bottom, _ := c.At(180)
		rows = append(rows, []string{
			name(c), ranged(low.Stat), kit.Fixed(low.CrankAngle, 0), ranged(high.Stat), kit.Fixed(high.CrankAngle, 0),
			kit.Fixed(top.Mean, 1), kit.Fixed(bottom.Mean, 1), fmt.Sprint(low.Count), fmt.Sprint(low.Frames),
		})
	}
	p.Table(rows...)
	left, right := curves[0].Least(), curves[len(measures)].Least()
	by, sigma, _ := left.Sub(right.Stat)
	p.P("The least flexion of the left knee less that of the right is %s, which is in degrees since a share in per cent says nothing of angles that pass 0.", kit.Degrees(by, sigma))
}

func ranged(s motion.Stat) string {
	low, high, _ := s.Range95()
	return kit.Fixed(s.Mean, 1) + " (" + kit.Fixed(low, 1) + " to " + kit.Fixed(high, 1) + ")"
}

// changed says which changes are real, and returns all.
func (in *input) changed(p *page.Page, before, after []motion.Curve) ([]motion.Change, error) {
	changes, err := motion.Compare(before, after, in.placement, motion.LeastOf, motion.MostOf, motion.RangeOf)
	if err != nil {
		return nil, err
	}
	p.H("4. What changed, and what did not")
	stayed := "The markers stayed on in between."
	if in.placement > 0 {
		stayed = fmt.Sprintf("The markers were put on again in between, which is taken to change each number by %.1f (a standard uncertainty).", in.placement)
	}
	p.P("%s Real is what chance would make of fewer than one pair of recordings in twenty, however many numbers are looked at.", stayed)
	rows := [][]string{{"measure", "number", "before", "after", "change", "95 % range of it", "real"}}
	of := map[string]bool{}
	for i, c := range changes {
		curve := before[i/3]
		rows = append(rows, []string{
			name(curve), c.Feature.String(), kit.Fixed(c.Before.Mean, 1), kit.Fixed(c.After.Mean, 1), kit.Signed(c.By, 1),
			kit.Signed(c.Low, 1) + " to " + kit.Signed(c.High, 1), kit.Yes(c.Real),
		})
		of[name(curve)] = of[name(curve)] || c.Real
	}
	p.Table(rows...)
	var real []string
	for _, c := range before {
		if of[name(c)] {
			real = append(real, name(c))
		}
	}
	p.P("Real changes are of: %s.", strings.Join(real, "; "))
	return changes, nil
}

// published has what others found, with how.
func published(p *page.Page) {
	p.H("5. What others found")
	p.P("Ranges are of other people, markers and methods. They tell whether a recording is plausible, not whether a rider sits well; where an angle is 0 differs too, so that ranges say more than ends. " +
		"A camera at the side shows a knee that is less flexed than it is in space (2.2 degrees at the bottom of the stroke: Fonda, Sarabon and Li 2014, J. Sports Sci. 32, 940–946), " +
		"and a rider at rest is not one in motion.")
	p.Table(
		[]string{"joint", "range, degrees", "from, to", "study", "method", "cohort"},
		[]string{"hip", "43.9", "", "BMC Musculoskelet. Disord. 22, 1044 (2021)", "in space, mean of 3 cycles, right leg, low power", "31 healthy adults"},
		[]string{"knee", "75.2", "", "the same", "the same", "the same"},
		[]string{"ankle", "26.9", "", "the same", "the same", "the same"},
		[]string{"hip", "38", "32 to 70", "Ericson, Nisell and Németh (1988), as others quote it", "film from the side, 60 frames a second, ergometer", "6 subjects"},
		[]string{"knee", "66", "46 to 112", "the same", "the same", "the same"},
		[]string{"ankle", "24", "−2 to 22", "the same", "the same", "the same"},
	)
}
