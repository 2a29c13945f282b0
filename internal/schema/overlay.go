package schema

import (
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// overlays are what the tables of the types do not say, since it hangs on another
// member or is told by a Validate alone. Each adds to one definition.
var overlays = []struct {
	def string
	lay func(*object)
}{
	// Where each site may be.
	{"contact.Position", sites},
	// An empty chart says nothing, and of a long one each entry is compared with each.
	{"chart.Chart", func(o *object) { o.at("properties", "entries").set("minItems", 1) }},
	// A chart has to say what it is rounded to.
	{"chart.Chart", func(o *object) { positive(o, "length_step_mm"); positive(o, "angle_step_deg") }},
	// Each dimension has its unit and its range.
	{"chart.Entry", dimensions},
	// Each measure has its unit.
	{"convert.Entry", measures},
	// Each limit has its unit.
	{"fitgeom.Margin", func(o *object) { ofLimits(o, "room") }},
	{"solve.Change", func(o *object) { ofLimits(o, "by") }},
	// Each dimension has its unit.
	{"chart.Value", func(o *object) {
		lengths, angles := dimensionUnits()
		inUnit(o, "dimension", lengths, angles, []string{"value"}, "sigma")
	}},
	// A frame has a build, or it is told why not.
	{"rank.Choice", func(o *object) {
		o.set("oneOf", list{obj("required", texts("best")), obj("required", texts("faults"), "properties", obj("faults", obj("minItems", 1)))})
	}},
	// A class is one of a few.
	{"contact.Error", func(o *object) {
		var names list
		for _, c := range [...]error{nil, contact.ErrMissing, contact.ErrRange, contact.ErrUnit, contact.ErrConflict, contact.ErrUnknown, contact.ErrBudget} {
			if c == nil {
				names = append(names, "")
				continue
			}
			names = append(names, c.Error())
		}
		o.at("properties", "class").set("enum", names)
	}},
	// At most one way in which a position is known.
	{"request.Target", func(o *object) {
		var no list // two of them
		ways := o.at("properties").members
		for i := range ways {
			for k := range i {
				if ways[i].name != "id" && ways[i].name != "meta" && ways[k].name != "id" && ways[k].name != "meta" {
					no = append(no, obj("required", texts(ways[k].name, ways[i].name)))
				}
			}
		}
		o.set("not", obj("anyOf", no))
	}},
	// Build and deviations tell these, by their methods.
	{"fitgeom.Candidate", func(o *object) {
		describe(o, "build", "The build.")
		describe(o, "position", "Where the build puts every contact point. What is here must be so.")
		describe(o, "margins", "The room before every limit of the parts. What is here must be so.")
		describe(o, "cautions", "What whoever builds, checks or rides the bike should mind. What is here must be so.")
	}},
	// A size has both its names.
	{"fitgeom.Size", func(o *object) {
		o.at("properties", "family").set("minLength", 1)
		o.at("properties", "label").set("minLength", 1)
	}},
	// What is seen of a marker is a place.
	{"motion.Sample", func(o *object) {
		orEmpty(o, "A marker's place: forward, left and up, mm. Empty in a frame in which it was not seen.", 3, 1e4)
	}},
	{"motion.phase", func(o *object) {
		orEmpty(o, "The crank angle of the left crank in a frame. Empty where it is not known.", 1, 1e9)
	}},
	{"motion.Recording", func(o *object) {
		o.at("properties", "times").set("minItems", 1)
		o.at("properties", "markers").set("minProperties", 1)
	}},
	{"motion.Curve", func(o *object) { o.at("properties", "revolutions").set("minItems", 1).set("maxItems", 10_000) }},
	// A number of a design is of one thing, in its unit.
	{"design.Wish", func(o *object) { ofSubject(o, nil, "from", "to") }},
	{"design.Range", func(o *object) { ofSubject(o, nil, "from", "to") }},
	{"design.Value", func(o *object) { ofSubject(o, []string{"value"}, "sigma") }},
	{"design.Problem", func(o *object) { o.at("properties", "wishes").set("maxItems", 100) }},
	// What no bike can do without.
	{"fitgeom.Shelf", func(o *object) {
		for _, kind := range []string{"caps", "handlebars", "seatposts", "saddles", "cranks"} {
			o.at("properties", kind).set("minItems", 1)
		}
	}},
	// A bar has exactly one shape.
	{"part.Handlebar", func(o *object) {
		o.set("oneOf", list{obj("required", texts("drop")), obj("required", texts("flat")), obj("required", texts("base"))})
	}},
	// A set is its names, one after another.
	{"part.Kinds", kindsOfParts},
	// A step is not too small to count them.
	{"part.Steps", func(o *object) {
		o.at("properties", "step").set("anyOf", list{obj("const", 0), between(0.5, 1000)})
	}},
	// What the ankle keeps has its own range.
	{"rider.Ankle", ankle},
	// At least one leg is known.
	{"rider.Body", func(o *object) {
		o.set("anyOf", list{obj("required", texts("left")), obj("required", texts("right"))})
	}},
	// A limit is of an angle that its joint has.
	{"rider.Limit", func(o *object) {
		for v := rider.KneeFlexion; v <= rider.ElbowFlexion; v++ {
			if lo, hi := v.Range(); lo < hi {
				when(o, "variable", texts(v.String()), "properties", obj("angle_deg", between(lo, hi)))
			}
		}
	}},
	// What the upper body keeps has its own range, and the hands are at the front end.
	{"rider.Upper", upper},
	// Marks are of landmarks too, or along wheels and hanging lines.
	{"photo.Mark", func(o *object) { marked(o, "landmark", true) }},
	{"photo.Distance", func(o *object) {
		marked(o, "from", false)
		marked(o, "to", false)
	}},
	{"photo.Sideways", func(o *object) { marked(o, "landmark", false) }},
	{"photo.Photograph", func(o *object) { o.at("properties", "marks").set("minItems", 4) }},
	{"photo.Survey", func(o *object) {
		o.at("properties", "cameras").set("minItems", 1)
		o.at("properties", "photographs").set("minItems", 1)
	}},
	// A reading is of a landmark.
	{"survey.Reading", func(o *object) { landmarks(o) }},
	// A pair is named by its left landmark.
	{"survey.Trueness", func(o *object) {
		o.at("properties", "pair").set("anyOf", list{obj("enum", framePairs(0)), obj("pattern", `^mark_[\s\S]*_left$`)})
	}},
	// Readings and what is uncertain of them are in the survey's unit.
	{"survey.Survey", units},
	// A survey without readings says nothing.
	{"survey.TapeSurvey", func(o *object) { o.at("properties", "readings").set("minItems", 1) }},
	// Each kind of reading has its unit, its range and its ends.
	{"survey.TapeReading", tape},
}

// orEmpty makes a list one of so many numbers, or of none.
func orEmpty(o *object, about string, n int, most float64) {
	o.members = append(obj("description", about).members, o.members...)
	o.set("items", obj("type", "number", "minimum", -most, "maximum", most)).set("maxItems", n).set("anyOf", list{obj("maxItems", 0), obj("minItems", n)})
}

// ofSubject says which one thing a number of a design is of, and that it is in its unit.
func ofSubject(o *object, need []string, others ...string) {
	lengths, angles := dimensionUnits()
	inUnit(o, "dimension", lengths, angles, need, others...)
	lengths, angles = nil, nil
	for _, s := range design.Settings() {
		if s.Unit() == "degrees" {
			angles = append(angles, s.String())
		} else {
			lengths = append(lengths, s.String())
		}
	}
	inUnit(o, "setting", lengths, angles, need, others...)
	lengths, angles = nil, nil
	for _, q := range [...]clearance.Quantity{ // those that a frame decides
		clearance.ShoeToWheel, clearance.ToeLevel, clearance.ToePlan, clearance.ToeParallel, clearance.PedalLean,
		clearance.HeelToStay, clearance.Standover, clearance.StandoverRoom,
	} {
		if q.Unit() == "degrees" {
			angles = append(angles, q.String())
		} else {
			lengths = append(lengths, q.String())
		}
	}
	inUnit(o, "clearance", lengths, angles, need, others...)
	o.at("properties", "clearance").set("enum", append(lengths, angles...))
	o.set("oneOf", list{obj("required", texts("dimension")), obj("required", texts("setting")), obj("required", texts("clearance"))})
}

// describe says what a member means where no field of its type does.
func describe(o *object, name, about string) {
	p := o.at("properties")
	i := p.place(name)
	rest := slices.DeleteFunc(slices.Clone(p.members[i].value.(*object).members), func(m member) bool { return m.name == "description" })
	p.members[i].value = &object{append([]member{{"description", about}}, rest...)}
}

// positive takes 0 out of a range from 0.
func positive(o *object, name string) {
	p := o.at("properties", name)
	p.members[p.place("minimum")] = member{"exclusiveMinimum", 0}
}

// when adds that objects in which a member has one of some names are so.
func when(o *object, name string, names list, so ...any) {
	of := obj("enum", names)
	if len(names) == 1 {
		of = obj("const", names[0])
	}
	var all list
	if i := o.place("allOf"); i >= 0 {
		all = o.members[i].value.(list)
	}
	o.set("allOf", append(all, obj("if", obj("properties", obj(name, of), "required", texts(name)), "then", obj(so...))))
}

// inUnit says that a number stands in the member of its unit alone.
func inUnit(o *object, name string, lengths, angles list, need []string, others ...string) {
	for _, u := range []struct {
		names      list
		has, other string
	}{{lengths, "_mm", "_deg"}, {angles, "_deg", "_mm"}} {
		required, properties := list{}, obj()
		for _, n := range need {
			required = append(required, n+u.has)
			properties.set(n+u.other, false)
		}
		for _, n := range others {
			properties.set(n+u.other, false)
		}
		when(o, name, u.names, "required", required, "properties", properties)
	}
}

func sites(o *object) {
	type span struct{ lo, hi r3.Vec }
	var spans []span
	of := map[span][]string{}
	for _, s := range contact.Sites() {
		lo, hi := s.Range()
		in := span{lo, hi}
		if of[in] == nil {
			spans = append(spans, in)
		}
		of[in] = append(of[in], s.String())
	}
	own := obj()
	for _, in := range spans {
		point := obj("prefixItems", list{between(in.lo.X, in.hi.X), between(in.lo.Y, in.hi.Y), between(in.lo.Z, in.hi.Z)})
		own.set("^("+strings.Join(of[in], "|")+")$", obj("$ref", "#/$defs/contact.siteDocument", "properties", obj("at_mm", point)))
	}
	o.at("properties", "sites").set("patternProperties", own)
}

func dimensions(o *object) {
	type span struct {
		unit   string
		lo, hi float64
	}
	lengths, angles := dimensionUnits()
	var spans []span
	of := map[span]list{}
	for _, d := range chart.Dimensions() {
		lo, hi := d.Range()
		s := span{d.Unit(), lo, hi}
		if of[s] == nil {
			spans = append(spans, s)
		}
		of[s] = append(of[s], d.String())
	}
	inUnit(o, "dimension", lengths, angles, []string{"value"}, "step", "sigma")
	for _, s := range spans {
		value := "value_mm"
		if s.unit == "degrees" {
			value = "value_deg"
		}
		when(o, "dimension", of[s], "properties", obj(value, between(s.lo, s.hi)))
	}
}

func measures(o *object) {
	var lengths, angles, ratios list
	for _, m := range convert.Measures() {
		switch m.Definition().Unit {
		case "degrees":
			angles = append(angles, m.String())
		case "ratio":
			ratios = append(ratios, m.String())
		default:
			lengths = append(lengths, m.String())
		}
	}
	inUnit(o, "measure", lengths, angles, []string{"value"}, "sigma")
	no := obj("value_mm", false, "value_deg", false, "sigma_mm", false, "sigma_deg", false)
	when(o, "measure", ratios, "required", texts("value"), "properties", no)
	when(o, "measure", append(lengths, angles...), "properties", obj("value", false, "sigma", false))
}

// dimensionUnits are the names of a chart's lengths and angles.
func dimensionUnits() (lengths, angles list) {
	for _, d := range chart.Dimensions() {
		if d.Unit() == "degrees" {
			angles = append(angles, d.String())
		} else {
			lengths = append(lengths, d.String())
		}
	}
	return lengths, angles
}

// ofLimits says that a number is in the unit of its limit.
func ofLimits(o *object, number string) {
	var lengths, angles list
	for i := range math.MaxUint8 + 1 {
		switch l := fitgeom.Limit(i); l.Unit() {
		case "mm":
			lengths = append(lengths, l.String())
		case "degrees":
			angles = append(angles, l.String())
		}
	}
	inUnit(o, "limit", lengths, angles, []string{number})
}

func kindsOfParts(o *object) {
	names := strings.Split(part.AllKinds.String(), ", ")
	// Not \p{Z}, which Python's re does not know.
	const space = `[\s\v\x85` + "\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000" + `]*`
	one := space + "(" + strings.Join(names, "|") + ")" + space
	o.set("description", o.members[0].value.(string)+` Their names with ", " between, each once, or "none".`)
	o.set("pattern", "^(none|"+one+"(,"+one+")*)$")
}

func ankle(o *object) {
	o.at("properties", "profile_deg").set("minItems", 1).set("maxItems", 3600)
	when(o, "given", texts("sole_pitch"), "properties", obj("profile_deg", obj("items", between(-90, 60))))
	when(o, "given", texts("dorsiflexion"), "properties", obj("profile_deg", obj("items", between(-70, 50))))
}

func upper(o *object) {
	var hands list
	for _, s := range contact.Sites() {
		if s.Group().FrontEnd() && s.Side() != contact.Centre {
			hands = append(hands, s.String())
		}
	}
	o.at("properties", "grip").set("enum", hands)
	when(o, "keep", texts("keep_elbow"), "properties", obj("angle_deg", between(0, 150)))
	when(o, "keep", texts("keep_trunk"), "properties", obj("angle_deg", between(-20, 120)))
}

func landmarks(o *object) {
	names := append(framePairs(0, 1), string(survey.SaddleEdgeLeft), string(survey.SaddleEdgeRight))
	names = append(names, places()...)
	l := o.at("properties", "landmark")
	l.members = append(obj("description", "A place of the frame or the saddle, a contact site, or a mark of your own.").members, l.members...)
	l.set("anyOf", list{obj("enum", names), obj("pattern", `^mark_[\s\S]`)})
}

// marked says what is marked in photographs, or only that of it which is one place.
func marked(o *object, name string, lines bool) {
	names := append(framePairs(0, 1), string(survey.SaddleEdgeLeft), string(survey.SaddleEdgeRight), string(photo.FrontGround), string(photo.RearGround))
	own := `^mark_[\s\S]`
	if lines {
		own = `^(mark|plumb)_[\s\S]`
		names = append(names, string(photo.FrontCircleLeft), string(photo.FrontCircleRight), string(photo.RearCircleLeft), string(photo.RearCircleRight))
	}
	names = append(names, places()...)
	o.at("properties", name).set("anyOf", list{obj("enum", names), obj("pattern", own)})
}

// framePairs are the landmarks of the frame and the wheels of some sides: left, right.
func framePairs(sides ...int) (names list) {
	for _, pair := range [...][2]survey.Landmark{
		{survey.BottomBracketLeft, survey.BottomBracketRight},
		{survey.RearAxleLeft, survey.RearAxleRight},
		{survey.FrontAxleLeft, survey.FrontAxleRight},
		{survey.HeadTubeTopLeft, survey.HeadTubeTopRight},
		{survey.HeadTubeBottomLeft, survey.HeadTubeBottomRight},
		{survey.RearDropoutLeft, survey.RearDropoutRight},
		{survey.FrontDropoutLeft, survey.FrontDropoutRight},
		{survey.RearRimLeft, survey.RearRimRight},
		{survey.FrontRimLeft, survey.FrontRimRight},
	} {
		for _, side := range sides {
			names = append(names, string(pair[side]))
		}
	}
	return names
}

// places are the sites that people read: all but the feet.
func places() (names list) {
	for _, s := range contact.Sites() {
		if s.Group() != contact.OnFeet {
			names = append(names, s.String())
		}
	}
	return names
}

func units(o *object) {
	zeros := list{0, 0, 0}
	for _, u := range []struct {
		unit string
		mm   float64
	}{{"mm", 1}, {"cm", 10}, {"m", 1000}, {"in", 25.4}} {
		most := 50 / u.mm
		variance := between(math.SmallestNonzeroFloat64, most*most)
		when(o, "unit", texts(u.unit), "properties", obj(
			"readings", obj("items", obj("properties", obj("at", obj("items", between(-1e5/u.mm, 1e5/u.mm))))),
			"sigma", obj("anyOf", list{obj("const", zeros), obj("items", between(math.SmallestNonzeroFloat64, most))}),
			"covariance", obj("anyOf", list{obj("const", list{zeros, zeros, zeros}), obj("prefixItems", list{
				obj("prefixItems", list{variance}), obj("prefixItems", list{true, variance}), obj("prefixItems", list{true, true, variance}),
			})}),
		))
	}
}

func tape(o *object) {
	var lengths, others list
	for i := range math.MaxUint8 + 1 {
		k := survey.TapeKind(i)
		if text, err := k.MarshalText(); err == nil && k != survey.Tilt {
			lengths = append(lengths, string(text))
			if k != survey.Vertical {
				others = append(others, string(text))
			}
		}
	}
	tilt := texts(survey.Tilt.String())
	inUnit(o, "kind", lengths, tilt, []string{"value", "sigma"})
	when(o, "kind", texts(survey.Direct.String()), "properties", obj("value_mm", between(0, 2000)))
	ends := append(list{string(survey.BottomBracket)}, places()...)
	when(o, "kind", others, "required", texts("from", "to"), "properties", obj("from", obj("enum", ends), "to", obj("enum", ends)))
	ends = append(ends, string(survey.Ground))
	when(o, "kind", texts(survey.Vertical.String()), "required", texts("from", "to"), "properties", obj("from", obj("enum", ends), "to", obj("enum", ends)))
	when(o, "kind", tilt, "properties", obj("from", obj("const", ""), "to", obj("const", "")))
}
