package schema

import (
	"encoding"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/strict"
	"gonum.org/v1/gonum/spatial/r3"
)

// kinds are the kinds of documents, by the names of package exchange without their
// prefix. A list stands in a member of its own.
var kinds = []struct {
	name  string
	typ   reflect.Type
	list  string
	about string // what a list is
}{
	{"position", reflect.TypeFor[contact.Position](), "", ""},
	{"positions", reflect.TypeFor[[]contact.Position](), "positions", "Positions, such as those of one rider on several bikes."},
	{"body", reflect.TypeFor[rider.Body](), "", ""},
	{"survey", reflect.TypeFor[survey.Survey](), "", ""},
	{"tape_survey", reflect.TypeFor[survey.TapeSurvey](), "", ""},
	{"photographs", reflect.TypeFor[photo.Survey](), "", ""},
	{"sheet", reflect.TypeFor[convert.Sheet](), "", ""},
	{"chart", reflect.TypeFor[chart.Chart](), "", ""},
	{"frame", reflect.TypeFor[fitgeom.Frame](), "", ""},
	{"frames", reflect.TypeFor[[]fitgeom.Size](), "sizes", "Frames in their sizes: a catalogue."},
	{"shelf", reflect.TypeFor[fitgeom.Shelf](), "", ""},
	{"build", reflect.TypeFor[fitgeom.Build](), "", ""},
	{"results", reflect.TypeFor[[]fitgeom.Candidate](), "results", "Builds with their best settings for a position, the best first."},
	{"fix", reflect.TypeFor[survey.Fix](), "", ""},
	{"covariance", reflect.TypeFor[contact.Covariance](), "", ""},
	{"record", reflect.TypeFor[record.Record](), "", ""},
	{"records", reflect.TypeFor[record.History](), "records", "The records of one rider in the order of time, each with its date."},
	{"changes", reflect.TypeFor[record.Difference](), "", ""},
	{"steps", reflect.TypeFor[[]solve.Step](), "steps", "A set-up sheet: steps in working order, and measures that verify them."},
	{"ranking", reflect.TypeFor[rank.Ranking](), "", ""},
	{"obstacles", reflect.TypeFor[[]solve.Obstacle](), "obstacles", "What prevents a build from holding a position."},
	{"solution", reflect.TypeFor[convert.Solution](), "", ""},
	{"completion", reflect.TypeFor[chart.Solution](), "", ""},
	{"region", reflect.TypeFor[[]region.Outline](), "outlines", "Where a frame's head tube top may be for a position: polygons, parts and holes."},
	{"drawing", reflect.TypeFor[design.Drawing](), "", ""},
	{"design_problem", reflect.TypeFor[design.Problem](), "", ""},
	{"design", reflect.TypeFor[design.Report](), "", ""},
	{"recording", reflect.TypeFor[motion.Recording](), "", ""},
	{"motion", reflect.TypeFor[motion.Report](), "", ""},
	{"motion_changes", reflect.TypeFor[[]motion.Change](), "changes", "What measures of a rider's motion differ by between two recordings."},
	{"request", reflect.TypeFor[request.Request](), "", ""},
	{"faults", reflect.TypeFor[[]contact.Error](), "faults", "What is wrong with a document, or with what it asks for: all of it."},
}

// versions are those that the schema is of: it is closed for them, and open for later ones.
var versions = list{1, "1.0"}

const about = "Every kind of document that package fitgeom/exchange reads and writes. This file is made of the package's Go types " +
	"by its tests, which keep it true. It is for version 1.0, and says of later minor versions only what every document has." +
	" X points forward, Y to the rider's left, Z up, from the centre of the bottom bracket; " +
	"lengths are in mm and angles in degrees where a name ends in _mm or _deg. What may be left out is 0 or nothing then. " +
	"The library refuses some documents that this schema takes: what its Validate methods say beyond ranges of single numbers."

// Generate returns the schema. Root is the folder of the module's source.
func Generate(root string) ([]byte, error) {
	g := &generator{source: newSource(root), enums: map[string]bool{}}
	if _, err := g.schema(); err != nil { // a first time for the names of enumerations, which comments may have
		return nil, err
	}
	o, err := g.schema()
	if err != nil {
		return nil, err
	}
	return []byte(text(o, 0, 0) + "\n"), nil
}

func (g *generator) schema() (*object, error) {
	g.defs = map[string]*object{}
	var names, cases list
	for _, k := range kinds {
		name, def := "fitgeom/"+k.name, "document."+k.name
		names = append(names, name)
		cases = append(cases, obj(
			"if", obj("properties", obj("schema", obj("const", name)), "required", texts("schema")),
			"then", obj("$ref", "#/$defs/"+def),
		))
		g.defs[def] = g.document(name, k.typ, k.list, k.about)
	}
	for _, o := range overlays {
		def, ok := g.defs[o.def]
		if !ok {
			return nil, fmt.Errorf("schema: no type %s for an overlay", o.def)
		}
		o.lay(def)
	}
	g.fill()
	defs := obj()
	for _, name := range slices.Sorted(maps.Keys(g.defs)) {
		defs.set(name, g.defs[name])
	}
	defs.set("id", obj("description", "A key of whoever wrote the document.", "type", "string", "minLength", 1, "maxLength", strict.MaxID))
	defs.set("meta", obj("description", "Whatever else belongs to whoever wrote it. It is kept and written back.", "type", "object"))
	return obj(
		"$schema", "https://json-schema.org/draft/2020-12/schema",
		"$id", "https://"+module+"exchange/schema.v1.json",
		"title", "Documents of fitgeom, version 1",
		"description", about,
		"type", "object",
		"properties", obj(
			"schema", obj("description", "The kind of document.", "type", "string"),
			"version", obj("description", "Major and minor. 1 says 1.0.", "anyOf", list{obj("const", 1), obj("type", "string", "pattern", `^1\.(0|[1-9][0-9]{0,8})$`)}),
		),
		"required", texts("schema", "version"),
		"if", obj("properties", obj("version", obj("enum", versions))),
		"then", obj("properties", obj("schema", obj("enum", names)), "allOf", cases),
		"else", obj("properties", obj(
			"needs", obj(
				"description", "Members of a later version without which others mean something else: JSON pointers with * for each place in a list and each key. A program that does not know one must not compute with the document.",
				"type", "array", "items", obj("type", "string"), "maxItems", strict.MaxElements,
			),
			"id", item("id"), "meta", item("meta"),
		)),
		"$defs", defs,
	), g.source.err
}

type generator struct {
	source *source
	defs   map[string]*object
	enums  map[string]bool // names of enumerations
}

// sentence is the first sentence of a comment.
func (g *generator) sentence(doc string) string { return sentence(prose(doc, nil, g.enums)) }

// document is a kind of document: a head, and among its members those of the content.
func (g *generator) document(schema string, t reflect.Type, in, about string) *object {
	head := obj(
		"schema", obj("const", schema),
		"version", obj("enum", versions),
		"id", item("id"),
		"meta", item("meta"),
		"note", obj("description", "For people.", "type", "string"),
	)
	need := texts("schema", "version")
	if in != "" {
		head.set(in, g.value(t, nil))
		return obj("description", about, "type", "object", "properties", head, "required", append(need, in), "additionalProperties", false)
	}
	g.value(t, nil) // which makes its definition
	return obj("content", name(t), "properties", head, "required", need)
}

// item refers to what every object may have.
func item(name string) *object { return obj("$ref", "#/$defs/"+name) }

// fill puts the content into documents that are no lists: itself where nothing else
// needs it, else references to its members.
func (g *generator) fill() {
	used := map[string]bool{}
	for _, def := range g.defs {
		references(def, used)
	}
	for name, o := range g.defs {
		if !strings.HasPrefix(name, "document.") || o.place("content") < 0 {
			continue
		}
		of := o.members[o.place("content")].value.(string)
		content, head := g.defs[of], o.at("properties")
		full := &object{slices.Clone(content.members)}
		for _, m := range content.at("properties").members {
			if head.place(m.name) >= 0 {
				continue // what every object may have
			}
			if used["#/$defs/"+of] {
				m.value = obj("$ref", "#/$defs/"+of+"/properties/"+m.name)
			}
			head.set(m.name, m.value)
		}
		need := o.members[o.place("required")].value.(list)
		if i := content.place("required"); i >= 0 {
			need = append(need, content.members[i].value.(list)...)
		}
		g.defs[name] = full.set("properties", head).set("required", need)
		if !used["#/$defs/"+of] {
			delete(g.defs, of)
		}
	}
}

// references notes which definitions a value refers to.
func references(v any, used map[string]bool) {
	switch v := v.(type) {
	case *object:
		for _, m := range v.members {
			if s, ok := m.value.(string); ok && m.name == "$ref" {
				used[s] = true
			}
			references(m.value, used)
		}
	case list:
		for _, e := range v {
			references(e, used)
		}
	}
}

// name is what a type's definition is called: "part.Stem".
func name(t reflect.Type) string {
	return t.PkgPath()[strings.LastIndexByte(t.PkgPath(), '/')+1:] + "." + t.Name()
}

// value is the schema of a value of a type; f is what its field says, or nil.
func (g *generator) value(t reflect.Type, f *field.Field) *object {
	switch {
	case t.Kind() == reflect.Pointer:
		return g.value(t.Elem(), f)
	case t == reflect.TypeFor[r3.Vec]():
		return array(g.number(f), 3)
	case t.Implements(reflect.TypeFor[encoding.TextMarshaler]()):
		return g.named(t, g.words)
	}
	if form, ok := strict.Form(t); ok {
		if form.Kind() == reflect.Slice { // a list that may be empty
			return g.named(t, func(reflect.Type) *object { return g.value(form, nil) })
		}
		return g.named(t, func(t reflect.Type) *object { return g.structure(form, t) })
	}
	switch t.Kind() {
	case reflect.Struct:
		ref := g.named(t, func(t reflect.Type) *object { return g.structure(t, t) })
		if f != nil && f.Steps != "" {
			ref.set("properties", obj("from", between(f.Lo, f.Hi), "to", between(f.Lo, f.Hi)))
		}
		return ref
	case reflect.Map:
		return obj("type", "object", "propertyNames", g.value(t.Key(), nil), "additionalProperties", g.value(t.Elem(), nil))
	case reflect.Slice:
		return obj("type", "array", "items", g.value(t.Elem(), f), "maxItems", strict.MaxElements)
	case reflect.Array:
		return array(g.value(t.Elem(), f), t.Len())
	case reflect.String:
		return obj("type", "string")
	case reflect.Bool:
		return obj("type", "boolean")
	case reflect.Float64, reflect.Int:
		o := g.number(f)
		if t.Kind() == reflect.Int {
			o.set("type", "integer")
		}
		return o
	}
	panic("schema: a member of type " + t.String())
}

// named refers to the definition of a type, and makes it when it is first met.
func (g *generator) named(t reflect.Type, define func(reflect.Type) *object) *object {
	name := name(t)
	if g.defs[name] == nil {
		g.defs[name] = obj() // met
		*g.defs[name] = *define(t)
	}
	return obj("$ref", "#/$defs/"+name)
}

func array(of *object, n int) *object {
	return obj("type", "array", "items", of, "minItems", n, "maxItems", n)
}

// number is a number in its range, or 0 where that says something of its own.
func (g *generator) number(f *field.Field) *object {
	o := obj("type", "number")
	if f == nil || !f.Bounds {
		return o
	}
	bounds := between(f.Lo, f.Hi)
	if f.Zero != "" && !(f.Lo <= 0 && f.Hi >= 0) {
		return o.set("anyOf", list{obj("const", 0), bounds})
	}
	o.members = append(o.members, bounds.members...)
	return o
}

// words is an enumeration: the names of its numbers.
func (g *generator) words(t reflect.Type) *object {
	o := obj()
	if about := g.sentence(g.source.of(t).doc); about != "" {
		o.set("description", about)
	}
	o.set("type", "string")
	if t.Kind() != reflect.Uint8 {
		return o // an overlay tells
	}
	var names list
	for i := range math.MaxUint8 + 1 {
		v := reflect.New(t).Elem()
		v.SetUint(uint64(i))
		if text, err := v.Interface().(encoding.TextMarshaler).MarshalText(); err == nil {
			names = append(names, string(text))
			g.enums[string(text)] = true
		}
	}
	return o.set("enum", names)
}

// structure is an object with the members of a struct. Of is the type of which it is
// the form in documents, or itself; its comments count where the struct has none.
func (g *generator) structure(t, of reflect.Type) *object {
	properties, required := obj(), list{}
	g.fields(t, of, properties, &required)
	for _, name := range []string{"id", "meta"} {
		if properties.place(name) < 0 {
			properties.set(name, item(name))
		}
	}
	o := obj()
	if about := g.sentence(g.source.of(of).doc); about != "" {
		o.set("description", about)
	} else if about := g.sentence(g.source.of(t).doc); about != "" {
		o.set("description", about)
	}
	o.set("type", "object").set("properties", properties)
	if len(required) > 0 {
		o.set("required", required)
	}
	return o.set("additionalProperties", false)
}

func (g *generator) fields(t, of reflect.Type, properties *object, required *list) {
	for _, f := range field.Of(t) {
		if f.Inline {
			g.fields(f.Type, f.Type, properties, required)
			continue
		}
		o := obj()
		if about := g.about(t, of, &f); about != "" {
			o.set("description", about)
		}
		o.members = append(o.members, g.value(f.Type, &f).members...)
		properties.set(f.Name, o)
		if !f.Omit {
			*required = append(*required, f.Name)
		}
	}
}

// about says what a member means: the comment of its field, its unit where the name
// does not tell it, and what it says when it is 0 or not there.
func (g *generator) about(t, of reflect.Type, f *field.Field) string {
	// The form of a number may have its unit in its name.
	end := f.Go[len(bare(f.Go)):]
	names := map[string]string{}
	for _, k := range field.Of(t) {
		if own, has := strings.CutSuffix(k.Go, end); has {
			names[own] = k.Name
		}
	}
	self := f.Go
	doc := g.source.of(t).fields[self]
	if doc == "" && of != t {
		self = bare(f.Go)
		if doc = g.source.of(of).fields[self]; doc == "" {
			doc = g.source.of(of).methods[self]
		}
	}
	doc = g.meaning(doc, self, f.Zero != "", names)
	add := func(s string) {
		if doc != "" && !strings.HasSuffix(doc, ".") {
			doc += "."
		}
		doc = strings.TrimSpace(doc + " " + s)
	}
	if f.Than != "" && f.Less {
		add("At most " + names[f.Than] + ".")
	} else if f.Than != "" {
		add("At least " + names[f.Than] + ".")
	}
	if f.Grid != 0 {
		add(fmt.Sprintf("A whole multiple of %v.", f.Grid))
	}
	if !strings.HasSuffix(f.Name, "_mm") && !strings.HasSuffix(f.Name, "_deg") && f.Unit != "" {
		add("Unit: " + f.Unit + ".")
	}
	zero := prose(f.Zero, names, g.enums)
	switch isStruct := f.Type.Kind() == reflect.Struct && f.Type != reflect.TypeFor[r3.Vec](); {
	case zero == "":
	case isStruct:
		add("Left out: " + zero + ".")
	case f.Omit:
		add("0 or left out: " + zero + ".")
	default:
		add("0: " + zero + ".")
	}
	return doc
}

// meaning is a comment without the name that it begins with, and without what it says
// of zero if that is told otherwise.
func (g *generator) meaning(doc, self string, zero bool, names map[string]string) string {
	doc = spaces.ReplaceAllString(strings.TrimSpace(doc), " ")
	if zero {
		doc = strings.TrimRight(zeroes.ReplaceAllString(doc, "$1"), "; ")
	}
	for _, verb := range []string{" is ", " returns ", " reports "} {
		if rest, ok := strings.CutPrefix(doc, self+verb); ok {
			rest = prose(rest, names, g.enums)
			return strings.ToUpper(rest[:1]) + rest[1:]
		}
	}
	return prose(doc, names, g.enums)
}

// bare is the name of a field without a unit.
func bare(name string) string { return strings.TrimSuffix(strings.TrimSuffix(name, "MM"), "Deg") }
