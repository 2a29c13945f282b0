// Package strict reads and writes JSON documents and ignores nothing in silence: it
// refuses misspelt, repeated and missing members, null, and numbers that do not fit.
package strict

import (
	"cmp"
	"math"
	"reflect"
	"slices"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// Limits on what is read, so that a hostile document costs little more than its size.
const (
	// MaxDepth is how many brackets may be open at once.
	MaxDepth = 100
	// MaxElements is how long an array may be.
	MaxElements = 100_000
	// MaxText is how many bytes a text or a name may have, as it is written between its
	// quotes.
	MaxText = 256 << 10
	// MaxDigits is how many digits may stand in a row in a number.
	MaxDigits = 1000
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
//     than [MaxDepth] brackets open at once, a text of more than [MaxText], a number
//     of more than [MaxDigits], arrays that take far more memory than the document;
//   - [fault.ErrConflict]: a member stated twice, JSON that is not well formed, half
//     of a surrogate pair, or something after the document.
//
// After as many faults as a [fault.List] holds the rest is not read.
//
// The path of a fault is a JSON pointer (RFC 6901) like "/stems/2/length_mm", or
// [Document] for the whole. Where the text is not well formed, the path is that of what
// was being read.
func Unmarshal(data []byte, v any) error {
	target := reflect.ValueOf(v).Elem()
	fresh := reflect.New(target.Type())
	if faults, _ := Decode(nil, data, fresh.Interface()); faults.Len() > 0 {
		return faults.Err()
	}
	target.Set(fresh.Elem())
	return nil
}

// Decode is [Unmarshal] that leaves in v, which must be zero, what it could read in spite
// of faults, and tells whether there was a well-formed document that it read to its end.
// Once the meter says to stop it does, and what it returns is of no use.
func Decode(m *work.Meter, data []byte, v any) (faults fault.List, whole bool) {
	d := decoder{scanner: scanner{meter: m, data: data}, room: room(len(data)), minor: math.MaxInt}
	whole = d.document(reflect.ValueOf(v).Elem())
	d.lines()
	return d.faults, whole
}

// Member returns the text of a member of the document's outermost object, if it can be
// found; of several, the first. It reads no further than that.
func Member(m *work.Meter, data []byte, name string) ([]byte, bool) {
	d := scanner{meter: m, data: data}
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
	order := make([]int, len(d.places))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(d.places[a], d.places[b]) })
	line, from := 1, 0
	for _, i := range order {
		line += d.newlines(from, d.places[i])
		from = d.places[i]
		d.faults.Faults()[i].Line = line
	}
}

// JSON is MarshalJSON for a type that documents hold: the text that [Marshal] writes,
// in which a struct may stand for itself.
func JSON(v any) ([]byte, error) {
	text, faults := Encode(nil, v)
	if faults.Len() > 0 {
		return nil, faults.Err()
	}
	return text, nil
}
