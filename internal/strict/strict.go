// Package strict reads and writes JSON documents and ignores nothing in silence: it
// refuses misspelt, repeated and missing members, null, and numbers that do not fit.
package strict

import (
	"cmp"
	"context"
	"errors"
	"reflect"
	"slices"

	"example.com/fitgeom/internal/fault"
)

// Limits on what is read, so that a hostile document costs little more than its size.
const (
	// MaxDepth is how many brackets may be open at once.
	MaxDepth = 100
	// MaxElements is how long an array may be.
	MaxElements = 100_000
	// MaxFaults is how many faults are looked for.
	MaxFaults = 10_000
)

// Document is the path of a fault that concerns the whole.
const Document = "document"

// Unmarshal reads one JSON document into the struct that v points to. Only the document
// decides what is in it afterwards; after an error it is as before.
//
// A member has exactly the name of the field's json tag, or the field's own name without
// one, and must be there unless the tag says omitempty or omitzero. The members of a
// struct whose tag says inline are among those of the struct around it. A struct that may
// be left out, with a tag zero that says what that means, must be left out where all of
// it is zero, unless it needs no member. A field is a struct, pointer, slice, array, map,
// string, bool, int or float64, a vector (three numbers), or a type that reads a text
// ([encoding.TextUnmarshaler]), for which the document has a string. The keys of maps are
// strings or such types. A field of any other type, or of a type that holds itself, is a
// mistake in the program and panics. An empty array is a nil slice.
//
// All faults come back together, each a [*fault.Fault] with its line:
//
//   - [fault.ErrUnknown]: a name that no field has, or that a type does not know;
//   - [fault.ErrMissing]: a member that is not there or is null, or no document at all;
//   - [fault.ErrRange]: a number that does not fit, a value of another kind than
//     the field's, an array of another length or of more than [MaxElements], more
//     than [MaxDepth] brackets open at once, more than [MaxFaults] faults;
//   - [fault.ErrConflict]: a member stated twice, JSON that is not well formed,
//     or something after the document.
//
// The path of a fault is a JSON pointer (RFC 6901) like "/stems/2/length_mm", or
// [Document] for the whole. Where the text is not well formed, the path is that of what
// was being read.
func Unmarshal(data []byte, v any) error {
	target := reflect.ValueOf(v).Elem()
	fresh := reflect.New(target.Type())
	faults, _, err := Decode(context.Background(), data, fresh.Interface())
	if faults != nil || err != nil {
		return errors.Join(Join(faults), err)
	}
	target.Set(fresh.Elem())
	return nil
}

// Decode is [Unmarshal] that leaves in v, which must be zero, what it could read in spite
// of faults, and tells whether there was a well-formed document that it read to its end.
// Its error is that of the context, if it ended.
func Decode(ctx context.Context, data []byte, v any) (faults []*fault.Fault, whole bool, err error) {
	d := decoder{scanner: scanner{ctx: ctx, data: data}}
	whole = d.document(reflect.ValueOf(v).Elem())
	d.lines()
	return d.faults, whole, d.err()
}

// Join makes one error of faults, or nil of none.
func Join(faults []*fault.Fault) error {
	var l fault.List
	for _, f := range faults {
		l.Put(*f)
	}
	return l.Err()
}

// Member returns the text of a member of the document's outermost object, if it can be
// found; of several, the first. It reads no further than that.
func Member(ctx context.Context, data []byte, name string) ([]byte, bool) {
	d := scanner{ctx: ctx, data: data}
	if d.space(); d.peek() != '{' || !d.enter() {
		return nil, false
	}
	for key, _, ok := d.key(true); ok; key, _, ok = d.key(false) {
		d.space()
		start := d.at
		if !d.skip() {
			return nil, false
		}
		if string(unquoted(key)) == name {
			return data[start:d.at], true
		}
	}
	return nil, false
}

// lines turns the places of the faults into lines.
func (d *decoder) lines() {
	if d.why == stopped {
		return
	}
	order := make([]int, len(d.places))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(d.places[a], d.places[b]) })
	line, from := 1, 0
	for _, i := range order {
		line += newlines(d.data[from:d.places[i]])
		from = d.places[i]
		d.faults[i].Line = line
	}
}

// JSON is MarshalJSON for a type that documents hold: the text that [Marshal] writes,
// in which a struct may stand for itself.
func JSON(v any) ([]byte, error) {
	text, faults, err := Encode(context.Background(), v)
	if faults != nil || err != nil {
		return nil, errors.Join(Join(faults), err)
	}
	return text, nil
}
