package strict

import (
	"cmp"
	"reflect"
	"slices"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A Head is the outside of every document.
type Head struct {
	Schema  string   `json:"schema"`
	Version Version  `json:"version"`
	Needs   []string `json:"needs,omitempty" since:"1"`
	Note    string   `json:"note,omitempty"`
}

// headFields is how many of them come before what belongs to a document's writer.
const headFields = 3

// around is the type of a document: a head, and among its members those of the content.
func around(content reflect.Type) reflect.Type {
	return reflect.StructOf([]reflect.StructField{
		{Name: "Head", Type: reflect.TypeFor[Head](), Tag: `json:",inline"`},
		{Name: "Content", Type: content, Tag: `json:",inline"`},
	})
}

// ReadDocument reads a head and the content that v points to, which must be zero. Like
// [Decode] it leaves in v what it could read. Members of a later minor version than the
// document's own are not known.
func ReadDocument(m *work.Meter, data []byte, v any, minor int, b *Beside) (head Head, faults fault.List, whole bool) {
	to := reflect.ValueOf(v).Elem()
	f := formOf(to.Type())
	content := to.Type()
	if f != nil {
		content = f.typ
	}
	d := reflect.New(around(content))
	r := decoder{scanner: scanner{meter: m, data: data}, room: room(len(data)), minor: minor, beside: b}
	whole = r.document(d.Elem())
	b.root = planOf(d.Elem().Type())
	r.lines()
	faults = r.faults
	head = d.Elem().Field(0).Interface().(Head)
	for _, n := range head.Needs {
		if !b.Knows(n) {
			note(&b.Unmet, n)
		}
	}
	if f == nil {
		to.Set(d.Elem().Field(1))
		return head, faults, whole
	}
	err := f.from(d.Elem().Field(1), to)
	if faults.Len() == 0 && r.wholes() == 0 { // what it says needs all of it
		faults = placed(m, data, err)
	}
	return head, faults, whole
}

// placed is the faults of what a document says, with the pointers and lines of its members.
func placed(m *work.Meter, data []byte, err error) (all fault.List) {
	all.In("", err)
	paths := make([]string, len(all.Faults()))
	for i, f := range all.Faults() {
		paths[i] = f.Path
	}
	for i, place := range Locate(m, data, paths) {
		var b []byte
		for _, seg := range segments(paths[i]) {
			b = appendName(b, seg)
		}
		f := all.Faults()[i]
		f.Path, f.Line = cmp.Or(string(b), Document), place.Line
	}
	return all
}

// WriteDocument writes what ReadDocument reads, with a text in spite of faults, as
// [Encode] does. The version is the head's, or a later minor one that some member needs.
func WriteDocument(m *work.Meter, head Head, v any, b *Beside) ([]byte, fault.List) {
	content := reflect.ValueOf(v)
	if f := formOf(content.Type()); f != nil {
		content = f.to(content)
	}
	d := reflect.New(around(content.Type())).Elem()
	d.Field(0).Set(reflect.ValueOf(head))
	d.Field(1).Set(content)
	b.root = planOf(d.Type())
	e := encode(m, d, b)
	if e.minor > head.Version.Minor || len(e.needs) > 0 {
		head.Needs = slices.Clone(head.Needs)
		for _, n := range e.needs {
			note(&head.Needs, n)
		}
		head.Version.Minor = max(head.Version.Minor, e.minor)
		d.Field(0).Set(reflect.ValueOf(head))
		e = encode(m, d, b)
	}
	return e.out, e.faults
}
