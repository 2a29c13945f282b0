package strict

import (
	"cmp"
	"reflect"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A Head is the outside of every document.
type Head struct {
	Schema  string `json:"schema"`
	Version int    `json:"version"`
	Note    string `json:"note,omitempty"`
}

// around is the type of a document: a head, and among its members those of the content.
func around(content reflect.Type) reflect.Type {
	return reflect.StructOf([]reflect.StructField{
		{Name: "Head", Type: reflect.TypeFor[Head](), Tag: `json:",inline"`},
		{Name: "Content", Type: content, Tag: `json:",inline"`},
	})
}

// ReadDocument reads a head and the content that v points to, which must be zero. Like
// [Decode] it leaves in v what it could read.
func ReadDocument(m *work.Meter, data []byte, v any) (head Head, faults fault.List, whole bool) {
	to := reflect.ValueOf(v).Elem()
	f := formOf(to.Type())
	content := to.Type()
	if f != nil {
		content = f.typ
	}
	d := reflect.New(around(content))
	faults, whole = Decode(m, data, d.Interface())
	head = d.Elem().Field(0).Interface().(Head)
	if f == nil {
		to.Set(d.Elem().Field(1))
		return head, faults, whole
	}
	err := f.from(d.Elem().Field(1), to)
	if faults.Len() == 0 { // what it says needs all of it
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
// [Encode] does.
func WriteDocument(m *work.Meter, head Head, v any) ([]byte, fault.List) {
	content := reflect.ValueOf(v)
	if f := formOf(content.Type()); f != nil {
		content = f.to(content)
	}
	d := reflect.New(around(content.Type())).Elem()
	d.Field(0).Set(reflect.ValueOf(head))
	d.Field(1).Set(content)
	return Encode(m, d.Interface())
}
