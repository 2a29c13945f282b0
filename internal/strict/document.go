package strict

import (
	"cmp"
	"context"
	"reflect"

	"example.com/fitgeom/internal/fault"
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
func ReadDocument(ctx context.Context, data []byte, v any) (head Head, faults []*fault.Fault, whole bool, err error) {
	to := reflect.ValueOf(v).Elem()
	f := formOf(to.Type())
	content := to.Type()
	if f != nil {
		content = f.typ
	}
	d := reflect.New(around(content))
	if faults, whole, err = Decode(ctx, data, d.Interface()); err != nil {
		return head, nil, false, err
	}
	head = d.Elem().Field(0).Interface().(Head)
	if f == nil {
		to.Set(d.Elem().Field(1))
		return head, faults, whole, nil
	}
	said := f.from(d.Elem().Field(1), to)
	if faults == nil { // what it says needs all of it
		fault.Each(said, func(e *fault.Fault) { faults = append(faults, placed(ctx, data, e)) })
	}
	return head, faults, whole, ctx.Err()
}

// placed is a fault of what a document says, with the pointer and the line of its member.
func placed(ctx context.Context, data []byte, f *fault.Fault) *fault.Fault {
	at := *f
	var b []byte
	for _, seg := range segments(f.Path) {
		b = appendName(b, seg)
	}
	at.Path, at.Line = cmp.Or(string(b), Document), Locate(ctx, data, []string{f.Path})[0].Line
	return &at
}

// WriteDocument writes what ReadDocument reads, with a text in spite of faults, as
// [Encode] does.
func WriteDocument(ctx context.Context, head Head, v any) ([]byte, []*fault.Fault, error) {
	content := reflect.ValueOf(v)
	if f := formOf(content.Type()); f != nil {
		content = f.to(content)
	}
	d := reflect.New(around(content.Type())).Elem()
	d.Field(0).Set(reflect.ValueOf(head))
	d.Field(1).Set(content)
	return Encode(ctx, d.Interface())
}
