// Package strict reads JSON documents and lets nothing pass in silence: no
// misspelt, repeated or missing member, no null, no number that does not fit.
package strict

import (
	"bytes"
	"cmp"
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"iter"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
)

// maxDepth is how many brackets may be open at once.
const maxDepth = 100

// Unmarshal reads one JSON document into the struct that v points to. The
// document alone decides what is in it afterwards; after an error it is as before.
//
// A member has exactly the name of the field's json tag, or the field's own name
// without one, and must be there unless the tag says omitempty or omitzero.
// A field is a struct (none is embedded), pointer, slice, array, map, string,
// bool, int of any size or float64, or a type that reads a text
// ([encoding.TextUnmarshaler]), for which the document has a string. The keys of
// maps are strings or such types. A field of any other type is a mistake in the
// program and panics.
//
// All faults come back together, each a [*contact.Error]:
//
//   - [contact.ErrUnknown]: a name that no field has, or that a type does not know;
//   - [contact.ErrMissing]: a member that is not there or is null, or no document at all;
//   - [contact.ErrRange]: a number that does not fit, a value of another kind than
//     the field's, an array of another length, more than 100 brackets open at once;
//   - [contact.ErrConflict]: a member stated twice, JSON that is not well formed,
//     or something after the document.
//
// The path of a fault is like "stems[2].length_mm" for a member, "document" for
// the whole, and "line 3, column 7" (counted in characters) in the text as such.
func Unmarshal(data []byte, v any) error {
	var d decoder
	target := reflect.ValueOf(v).Elem()
	fresh := reflect.New(target.Type()).Elem()
	if raw := d.document(data); raw != nil {
		d.value("", raw, fresh)
	}
	if err := d.faults.Err(); err != nil {
		return err
	}
	target.Set(fresh)
	return nil
}

type decoder struct{ faults check.Faults }

// document returns the one value of the text, or nil where there is none.
func (d *decoder) document(data []byte) json.RawMessage {
	at := func(offset int, value, want string, class error) {
		d.faults.Add(position(data[:offset]), value, want, class)
	}
	if i := invalidUTF8(data); i >= 0 {
		at(i, fmt.Sprintf("byte 0x%02X", data[i]), "text in UTF-8", contact.ErrConflict)
		return nil
	}
	if i := tooDeep(data); i >= 0 {
		at(i, fmt.Sprintf("%d open brackets", maxDepth+1), fmt.Sprintf("at most %d", maxDepth), contact.ErrRange)
		return nil
	}
	if len(trim(data)) == 0 {
		d.faults.Add("document", "", "a JSON object", contact.ErrMissing)
		return nil
	}

	dec := json.NewDecoder(bytes.NewReader(data))
	var raw json.RawMessage
	err := dec.Decode(&raw)
	if syntax, ok := errors.AsType[*json.SyntaxError](err); ok {
		// The offset counts the character that is wrong: its first byte before Go 1.27, all of it since.
		i := int(syntax.Offset) - 1
		for !utf8.RuneStart(data[i]) {
			i--
		}
		r, _ := utf8.DecodeRune(data[i:])
		at(i, strconv.QuoteRune(r), "well-formed JSON", contact.ErrConflict)
		return nil
	}
	if err != nil {
		at(len(data), "end of the text", "well-formed JSON", contact.ErrConflict)
		return nil
	}
	if rest := trim(data[dec.InputOffset():]); len(rest) > 0 {
		at(len(data)-len(rest), quote(string(rest)), "nothing after the document", contact.ErrConflict)
	}
	return raw
}

// value reads a well-formed value into v. In a value of the wrong kind it does
// not look for more faults.
func (d *decoder) value(path string, raw json.RawMessage, v reflect.Value) {
	for v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	fault := func(want string, class error) { d.faults.Add(cmp.Or(path, "document"), given(raw), want, class) }
	has, wants := kindOf(raw), want(v.Type())
	switch {
	case has == "null":
		fault(wants, contact.ErrMissing)
		return
	case has != kindFor(v.Type()):
		fault(wants, contact.ErrRange)
		return
	case isText(v.Type()):
		d.text(path, unquoted(raw), v)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		d.object(path, raw, v)
	case reflect.Map:
		d.mapping(path, raw, v)
	case reflect.Slice, reflect.Array:
		var all []json.RawMessage
		_ = json.Unmarshal(raw, &all) // it is a well-formed array
		if v.Kind() == reflect.Slice {
			v.Set(reflect.MakeSlice(v.Type(), len(all), len(all)))
		}
		if len(all) != v.Len() {
			d.faults.Add(path, fmt.Sprintf("an array of %d", len(all)), wants, contact.ErrRange)
			return
		}
		for i, raw := range all {
			d.value(fmt.Sprintf("%s[%d]", path, i), raw, v.Index(i))
		}
	case reflect.String:
		v.SetString(unquoted(raw))
	case reflect.Bool:
		v.SetBool(string(raw) == "true")
	case reflect.Float64:
		f, err := strconv.ParseFloat(string(raw), 64)
		if err != nil {
			fault("a finite number", contact.ErrRange)
			return
		}
		v.SetFloat(f + 0) // -0 becomes 0
	default: // integers: kindFor lets nothing else through
		i, err := strconv.ParseInt(string(raw), 10, v.Type().Bits())
		switch {
		case errors.Is(err, strconv.ErrRange):
			fault(fmt.Sprintf("%s of at most %d bits", wants, v.Type().Bits()), contact.ErrRange)
		case err != nil:
			fault(wants, contact.ErrRange)
		default:
			v.SetInt(i)
		}
	}
}

// object reads an object into a struct.
func (d *decoder) object(path string, raw json.RawMessage, v reflect.Value) {
	fields := fieldsOf(v.Type())
	for name, raw := range d.members(path, raw) {
		i := slices.IndexFunc(fields, func(f field) bool { return f.name == name })
		if i < 0 {
			d.faults.Add(join(path, name), "", alternatives(fields, name), contact.ErrUnknown)
			continue
		}
		fields[i].seen = true
		d.value(join(path, name), raw, v.Field(fields[i].index))
	}
	for _, f := range fields {
		if !f.seen && !f.optional {
			d.faults.Add(join(path, f.name), "", want(v.Field(f.index).Type()), contact.ErrMissing)
		}
	}
}

// mapping reads an object into a map.
func (d *decoder) mapping(path string, raw json.RawMessage, v reflect.Value) {
	v.Set(reflect.MakeMap(v.Type()))
	for name, raw := range d.members(path, raw) {
		key, elem := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		if isText(key.Type()) {
			d.text(join(path, name), name, key)
		} else {
			key.SetString(name)
		}
		d.value(join(path, name), raw, elem)
		v.SetMapIndex(key, elem)
	}
}

// members yields the members of an object, each name once.
func (d *decoder) members(path string, raw json.RawMessage) iter.Seq2[string, json.RawMessage] {
	return func(yield func(string, json.RawMessage) bool) {
		seen := map[string]bool{}
		dec := json.NewDecoder(bytes.NewReader(raw))
		dec.Token() // the opening bracket; the JSON is known to be well formed
		for dec.More() {
			tok, _ := dec.Token()
			name := tok.(string)
			var raw json.RawMessage
			dec.Decode(&raw)
			if seen[name] {
				d.faults.Add(join(path, name), given(raw), "each member once", contact.ErrConflict)
				continue
			}
			seen[name] = true
			if !yield(name, raw) {
				return
			}
		}
	}
}

// text has a type read a text. The type knows best what is wrong with it, and the path where.
func (d *decoder) text(path, text string, v reflect.Value) {
	err := v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(text))
	if err == nil {
		return
	}
	faults := contact.Faults(err)
	for _, e := range faults {
		d.faults.Add(path, e.Value, e.Want, e.Class)
	}
	if len(faults) == 0 {
		d.faults.Add(path, quote(text), "a text that can be read ("+err.Error()+")", contact.ErrRange)
	}
}

// A field is a member that a struct wants.
type field struct {
	name     string
	index    int
	optional bool
	seen     bool
}

func fieldsOf(t reflect.Type) []field {
	var all []field
	for i := range t.NumField() {
		f := t.Field(i)
		tag := strings.Split(f.Tag.Get("json"), ",")
		if f.IsExported() && f.Tag.Get("json") != "-" {
			optional := slices.Contains(tag[1:], "omitempty") || slices.Contains(tag[1:], "omitzero")
			all = append(all, field{name: cmp.Or(tag[0], f.Name), index: i, optional: optional})
		}
	}
	return all
}

// alternatives says what an unknown name may have been meant to be.
func alternatives(fields []field, name string) string {
	var names []string
	for _, f := range fields {
		if strings.EqualFold(f.name, name) {
			return f.name
		}
		names = append(names, f.name)
	}
	return "one of " + strings.Join(names, ", ")
}

func isText(t reflect.Type) bool {
	return reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]())
}

// kindOf names the kind of a value by its first character.
func kindOf(raw json.RawMessage) string {
	switch raw[0] {
	case '{':
		return "an object"
	case '[':
		return "an array"
	case '"':
		return "a string"
	case 't', 'f':
		return "true or false"
	case 'n':
		return "null"
	default:
		return "a number"
	}
}

// kindFor names the kind of value that goes into a type, as kindOf does.
func kindFor(t reflect.Type) string {
	if isText(t) {
		return "a string"
	}
	switch t.Kind() {
	case reflect.Struct, reflect.Map:
		return "an object"
	case reflect.Slice, reflect.Array:
		return "an array"
	case reflect.String:
		return "a string"
	case reflect.Bool:
		return "true or false"
	case reflect.Float64, reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return "a number"
	default:
		panic("strict: cannot read into a " + t.String())
	}
}

// want says what goes into a type, for people.
func want(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch kind := kindFor(t); {
	case kind == "an array" && t.Kind() == reflect.Array:
		return fmt.Sprintf("an array of %d", t.Len())
	case kind == "a number" && t.Kind() != reflect.Float64:
		return "a whole number"
	default:
		return kind
	}
}

// given prints a value for people, short.
func given(raw json.RawMessage) string {
	switch kind := kindOf(raw); kind {
	case "an object", "an array":
		return kind
	case "a string":
		return quote(unquoted(raw))
	default:
		return short(string(raw))
	}
}

func unquoted(raw json.RawMessage) string {
	var s string
	_ = json.Unmarshal(raw, &s) // it is a well-formed string
	return s
}

func quote(s string) string { return strconv.Quote(short(s)) }

// short cuts a text that is too long for an error.
func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// plain is a name that can stand in a path as it is.
var plain = regexp.MustCompile(`^[\pL_][\pL\pN_-]*$`)

// join is the path of a member.
func join(path, name string) string {
	switch {
	case !plain.MatchString(name):
		return path + "[" + quote(name) + "]"
	case path == "":
		return name
	default:
		return path + "." + name
	}
}

// position is the place after a part of the text, counted from 1.
func position(before []byte) string {
	line := before[bytes.LastIndexByte(before, '\n')+1:]
	return fmt.Sprintf("line %d, column %d", 1+bytes.Count(before, []byte("\n")), 1+utf8.RuneCount(line))
}

// trim cuts off what JSON counts as space in front of a value.
func trim(data []byte) []byte { return bytes.TrimLeft(data, " \t\r\n") }

// invalidUTF8 returns the offset of the first byte that is not UTF-8, or -1.
func invalidUTF8(data []byte) int {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

// tooDeep returns the offset of the first bracket that is one too many, or -1.
func tooDeep(data []byte) int {
	depth, quoted := 0, false
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case c == '"':
			quoted = !quoted
		case quoted && c == '\\':
			i++
		case quoted:
		case c == '{' || c == '[':
			if depth++; depth > maxDepth {
				return i
			}
		case c == '}' || c == ']':
			depth--
		}
	}
	return -1
}
