package answers_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"gonum.org/v1/gonum/spatial/r3"
)

// askDocument writes a random value of each kind, reads it back, and reads spoiled
// texts of it.
func askDocument(o *out, d dice, _ int) {
	p := d.problem()
	var results []fitgeom.Candidate
	if r, err := p.problem().Solve(context.Background()); err == nil {
		results = some(d, 2, r.Candidates)
	}
	for s, v := range p.target.All() {
		p.target.Set(s, shortVec(v))
	}
	if a, ok := p.target.Attitude(contact.SaddleReference); ok {
		p.target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: short(a.Tilt)})
	}
	body, _ := d.body()
	for i := range body.Left.Ankle.Profile {
		body.Left.Ankle.Profile[i] = short(body.Left.Ankle.Profile[i])
	}
	for i := range body.Right.Ankle.Profile {
		body.Right.Ankle.Profile[i] = short(body.Right.Ankle.Profile[i])
	}
	sizes := d.catalogue(p.kind, 1+d.IntN(6))
	for i := range sizes {
		sizes[i].Row = 0
	}
	basis := d.basis()
	sheet := convert.Sheet{Entries: d.sheet(p.target, basis), Basis: basis}
	sheet.Basis.Mirrored = d.one(2)
	for i := range sheet.Entries {
		sheet.Entries[i].Value = short(sheet.Entries[i].Value)
	}
	document(o, d, "position", p.target, func(v contact.Position) { o.flags("position.same", v == p.target) })
	document(o, d, "positions", []contact.Position{p.target, p.target.Mirror()}, nil)
	document(o, d, "body", body, func(v rider.Body) { o.floats("body.hip", v.HipForward, v.HipUp, v.Left.Thigh, v.Right.Shank) })
	document(o, d, "survey", d.shortSurvey(), func(v survey.Survey) { o.ints("survey.readings", len(v.Readings)) })
	document(o, d, "tape", d.shortTape(), func(v survey.TapeSurvey) { o.ints("tape.readings", len(v.Readings)) })
	document(o, d, "sheet", sheet, func(v convert.Sheet) { o.ints("sheet.readings", len(v.Entries)) })
	document(o, d, "chart", d.chart(p.frame.Geometry), func(v chart.Chart) { o.completion("chart.done", v) })
	document(o, d, "frame", p.frame, func(v fitgeom.Frame) { o.flags("frame.same", v == p.frame) })
	document(o, d, "frames", sizes, func(v []fitgeom.Size) { o.ints("frames.count", len(v)) })
	document(o, d, "shelf", p.shelf, func(v fitgeom.Shelf) {
		o.ints("shelf.count", len(v.Caps), len(v.Spacers), len(v.Stems), len(v.Handlebars), len(v.Levers), len(v.AeroBars), len(v.Seatposts), len(v.Saddles), len(v.Cranks), len(v.Pedals), len(v.Shims), len(v.CleatShims))
	})
	document(o, d, "build", p.from, func(v fitgeom.Build) { o.flags("build.same", v == p.from) })
	document(o, d, "results", results, func(v []fitgeom.Candidate) {
		for i := range v {
			o.candidate(fmt.Sprintf("results.c%d", i), &v[i])
		}
	})
	o.tables(d, sizes, p.target)
}

// short rounds a number, so that its text is the same on every processor.
func short(v float64) float64 { return math.Round(v*1e6) / 1e6 }

func shortVec(v r3.Vec) r3.Vec { return r3.Vec{X: short(v.X), Y: short(v.Y), Z: short(v.Z)} }

func (d dice) shortSurvey() survey.Survey {
	b := d.bike()
	s := d.survey(b, b.turned(d.in(-5, 5)), d.place())
	for i := range s.Readings {
		s.Readings[i].At = shortVec(s.Readings[i].At)
	}
	s.Up, s.Sigma = shortVec(s.Up), shortVec(s.Sigma)
	s.FrontRadius, s.RearRadius = short(s.FrontRadius), short(s.RearRadius)
	for i := range s.Covariance {
		for j := range s.Covariance[i] {
			s.Covariance[i][j] = math.Round(s.Covariance[i][j]*1e12) / 1e12
		}
	}
	return s
}

func (d dice) shortTape() survey.TapeSurvey {
	t := d.tapeSurvey(d.onTape())
	for i := range t.Readings {
		t.Readings[i].Value = short(t.Readings[i].Value)
	}
	return t
}

// document writes a value, reads it back, writes that again, and reads spoiled texts.
func document[T exchange.Content](o *out, d dice, key string, v T, look func(T)) {
	var text bytes.Buffer
	note := pick(d, "", "Invented data.", "a \"b\" \\ c\n")
	if o.failed(key+".write", exchange.Write(context.Background(), &text, v, note)) {
		return
	}
	schema, version, err := exchange.Kind(context.Background(), text.Bytes())
	if !o.failed(key+".kind", err) {
		o.words(key+".kind", schema, version)
	}
	back, said, err := exchange.Read[T](context.Background(), bytes.NewReader(text.Bytes()))
	if o.failed(key+".read", err) {
		return
	}
	var again bytes.Buffer
	if !o.failed(key+".rewrite", exchange.Write(context.Background(), &again, back, said)) {
		o.flags(key+".again", again.String() == text.String(), said == note)
	}
	if look != nil {
		look(back)
	}
	if key == "results" && o.coarse {
		return // its text has all digits of what was found
	}
	o.ints(key+".length", text.Len())
	for i := range 6 {
		_, _, err := exchange.Read[T](context.Background(), strings.NewReader(d.spoilText(text.String())))
		o.spoiled(fmt.Sprintf("%s.spoiled%d", key, i), err)
	}
}

// spoiled prints how many faults of which classes a text has.
func (o *out) spoiled(key string, err error) {
	all := classes(err)
	o.words(key, append([]string{fmt.Sprint(len(all))}, all...)...)
}

// spoilText changes one line of a text: leaves it out, has it twice, or puts something
// else for a number, a name or a mark in it.
func (d dice) spoilText(text string) string {
	for range 5 {
		if s := d.spoilLine(text); s != text {
			return s
		}
	}
	return text
}

func (d dice) spoilLine(text string) string {
	lines := strings.SplitAfter(strings.TrimSuffix(text, "\n"), "\n")
	i := d.IntN(len(lines))
	l := lines[i]
	switch d.IntN(10) {
	case 0:
		l = ""
	case 1:
		l += l
	case 2:
		l = strings.Replace(l, "\"", "", 1)
	case 3:
		l = strings.Replace(l, "_mm", "_cm", 1)
	case 4:
		l = strings.Replace(l, ":", ": null, \"more\":", 1)
	case 5:
		l = strings.ReplaceAll(l, "1", pick(d, "1e999", "-", "\"one\"", "01"))
	case 6:
		l = strings.ReplaceAll(l, ".", "")
	case 7:
		l = strings.ReplaceAll(l, "-", "")
	case 8:
		return strings.Join(lines[:i], "")
	default:
		l = strings.ReplaceAll(l, "0", pick(d, "99999", "", "null"))
	}
	lines[i] = l
	return strings.Join(lines, "")
}

// tables writes sizes and points as tables, and reads them back, whole and spoiled.
func (o *out) tables(d dice, sizes []fitgeom.Size, p contact.Position) {
	var text bytes.Buffer
	if !o.failed("table.write", exchange.WriteCatalogue(context.Background(), &text, sizes)) {
		all, err := exchange.ReadCatalogue(context.Background(), strings.NewReader(text.String()))
		o.spoiled("table.read", err)
		for _, s := range all {
			g := s.Frame.Geometry
			o.floats("table.row", float64(s.Row), g.Stack, g.Reach, g.HeadAngle, g.SeatAngle, s.Frame.MaxUnderStem, s.Frame.MaxRearRadius)
		}
		for i := range 6 {
			all, err := exchange.ReadCatalogue(context.Background(), strings.NewReader(d.spoilTable(text.String())))
			o.spoiled(fmt.Sprintf("table.spoiled%d", i), err)
			o.ints(fmt.Sprintf("table.rows%d", i), len(all))
		}
	}
	text.Reset()
	if !o.failed("points.write", exchange.WritePoints(context.Background(), &text, p)) {
		got, err := exchange.ReadPoints[contact.Position](context.Background(), strings.NewReader(text.String()))
		o.spoiled("points.read", err)
		o.position("points", got)
		for i := range 4 {
			_, err := exchange.ReadPoints[contact.Position](context.Background(), strings.NewReader(d.spoilTable(text.String())))
			o.spoiled(fmt.Sprintf("points.spoiled%d", i), err)
		}
	}
	text.Reset()
	readings := []survey.Reading{{Landmark: survey.RearAxleLeft, At: d.about(300)}, {Landmark: survey.Mark("scratch"), At: r3.Vec{X: d.wild(0, 100)}}}
	if !o.failed("readings.write", exchange.WritePoints(context.Background(), &text, readings)) {
		got, err := exchange.ReadPoints[[]survey.Reading](context.Background(), strings.NewReader(d.spoilTable(text.String())))
		o.spoiled("readings.read", err)
		for _, r := range got {
			o.vec("readings", r.At)
		}
	}
}

// spoilTable changes one row of a table, or a cell of it.
func (d dice) spoilTable(text string) string {
	rows := strings.SplitAfter(strings.TrimSuffix(text, "\n"), "\n")
	i := d.IntN(len(rows))
	cells := strings.Split(strings.TrimSuffix(rows[i], "\n"), ",")
	k := d.IntN(len(cells))
	switch d.IntN(7) {
	case 0:
		return strings.Join(append(rows, "\n", rows[i]), "")
	case 1:
		cells = append(cells, "")
	case 2:
		cells[k] = ""
	case 3:
		cells[k] = pick(d, "x", "1,5", "\"", "NaN", "1e999", "-7")
	case 4:
		cells[k] = " " + cells[k] + " "
	case 5:
		cells[k] = cells[d.IntN(len(cells))]
	default:
		cells = cells[:k]
	}
	rows[i] = strings.Join(cells, ",") + "\n"
	return strings.Join(rows, "")
}
