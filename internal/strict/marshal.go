package strict

import (
	"bytes"
	"cmp"
	"encoding"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// width is how long a line may be for what could be broken into more.
const width = 100

// Marshal writes a struct as a document that [Unmarshal] reads back to the same value.
// Members come in the order of the fields, those of a map in the order of the keys;
// numbers are in the shortest form that reads back exactly; what is short is in one line,
// and the last line ends with a newline. The text is always the same for the same value.
//
// Faults are [fault.ErrRange] for numbers that are not finite, texts of more than
// [MaxText] and slices of more than [MaxElements], [fault.ErrConflict] for texts that are not UTF-8, and the faults of
// types that cannot write themselves as a text.
func Marshal(v any) ([]byte, error) {
	text, faults := Encode(nil, v)
	if faults.Len() > 0 {
		return nil, faults.Err()
	}
	return text, nil
}

// Encode is [Marshal] that returns a text in spite of faults, for [Locate] to find
// places in. What cannot be written is 0 or "" in it, or not UTF-8. Once the meter says to
// stop it does, and what it returns is of no use.
func Encode(m *work.Meter, v any) ([]byte, fault.List) {
	e := encode(m, reflect.ValueOf(v), nil)
	return e.out, e.faults
}

func encode(m *work.Meter, v reflect.Value, b *Beside) *encoder {
	e := &encoder{meter: m, root: planOf(v.Type()), beside: b}
	if b != nil && len(b.Items)+len(b.Whole) > 0 {
		e.used = map[string]bool{}
		b.judge(m, &e.faults)
		if e.faults.Len() > 0 {
			return e
		}
	}
	e.value(e.root, v, 0, false)
	e.out = append(e.out, '\n')
	if e.taken > room(len(e.out)) {
		e.fault(oversize, wantSize, fault.ErrRange)
	}
	if e.used != nil {
		e.unused()
	}
	return e
}

type encoder struct {
	meter  *work.Meter // counts items
	root   *plan
	beside *Beside
	used   map[string]bool // what of it was written; nil where there is nothing beside
	minor  int             // the oldest that has all members written so far
	needs  []string        // patterns of those that others need
	state
}

// A state of an encoder is what is taken back when a value does not fit in one line.
type state struct {
	out    []byte
	path   []byte
	faults fault.List
	taken  int // bytes that elements of arrays take when they are read
}

func (e *encoder) fault(value, want string, class error) {
	e.faults.Add(cmp.Or(string(e.path), Document), value, want, class)
}

// value writes a value, in one line if that is asked for or if it fits in one.
// It returns false when it gave up writing in one line.
func (e *encoder) value(p *plan, v reflect.Value, indent int, flat bool) bool {
	for range p.pointers {
		v = v.Elem()
	}
	if p.form != nil {
		return e.value(p.elem, p.form.to(v), indent, flat)
	}
	if p.kind != object && p.kind != array {
		e.scalar(p, v)
		return !flat || e.fits()
	}
	if e.used != nil && p.kind == object {
		if raw, ok := e.beside.Whole[string(e.path)]; ok {
			e.used[string(e.path)] = true
			e.out = append(e.out, raw...)
			return !flat || e.fits()
		}
	}
	if !flat && indent > 0 {
		before := e.state
		if e.items(p, v, indent, true) {
			return true
		}
		before.out, before.path = e.out[:len(before.out)], e.path[:len(before.path)] // where they have grown
		e.state = before
	}
	return e.items(p, v, indent, flat)
}

func (e *encoder) fits() bool { return len(e.out)-1-bytes.LastIndexByte(e.out, '\n') <= width }

// items writes an object or an array.
func (e *encoder) items(p *plan, v reflect.Value, indent int, flat bool) bool {
	open, shut := byte('{'), byte('}')
	if p.kind == array {
		open, shut = '[', ']'
	}
	mark, first, fits := len(e.path), true, true
	put := func(key string, named bool, value func() bool) bool {
		if !e.meter.Do(10) {
			return false
		}
		if !first {
			e.out = append(e.out, ',')
			if flat {
				e.out = append(e.out, ' ')
			}
		}
		first = false
		if !flat {
			e.newline(indent + 1)
		}
		e.path = appendName(e.path, key)
		if named {
			e.quote(key)
			e.out = append(e.out, ": "...)
		}
		fits = value() && (!flat || e.fits())
		e.path = e.path[:mark]
		return fits
	}
	item := func(key string, named bool, p *plan, v reflect.Value) bool {
		return put(key, named, func() bool { return e.value(p, v, indent+1, flat) })
	}
	raw := func(key string, text []byte) bool {
		return put(key, true, func() bool { e.out = append(e.out, text...); return true })
	}
	own := e.own(p)
	e.out = append(e.out, open)
	switch {
	case p.kind == array && v.Kind() == reflect.Slice && v.Len() > MaxElements:
		e.fault(fmt.Sprintf("an array of %d", v.Len()), fmt.Sprintf("at most %d", MaxElements), fault.ErrRange)
	case p.kind == array && v.Kind() == reflect.Struct: // a vector
		for i := range v.NumField() {
			if !item(strconv.Itoa(i), false, p.elem, v.Field(i)) {
				return false
			}
		}
	case p.kind == array:
		if v.Kind() == reflect.Slice {
			e.taken += v.Len() * int(v.Type().Elem().Size())
		}
		for i := range v.Len() {
			if !item(strconv.Itoa(i), false, p.elem, v.Index(i)) {
				return false
			}
		}
	case p.key != nil:
		for _, k := range e.keys(v) {
			if !item(k.name, true, p.elem, v.MapIndex(k.key)) {
				return false
			}
		}
	default:
		if !e.members(p, v, own, item, raw) {
			return false
		}
	}
	if own.More != nil && !e.besides(own.More, raw) {
		return false
	}
	if !flat && !first {
		e.newline(indent)
	}
	e.out = append(e.out, shut)
	return !flat || e.fits()
}

// Blank reports whether a value says nothing: it is zero but for lists and maps without elements.
func Blank(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.Map:
		return v.Len() == 0
	case reflect.Struct:
		for _, f := range v.Fields() {
			if !Blank(f) {
				return false
			}
		}
		return true
	default:
		return v.IsZero()
	}
}

// members writes the members of a struct, and among them what belongs to whoever wrote it.
func (e *encoder) members(p *plan, v reflect.Value, own Item, item func(string, bool, *plan, reflect.Value) bool, raw func(string, []byte) bool) bool {
	for i := range p.fields {
		f := &p.fields[i]
		if i == p.head && !own.put(raw, e) {
			return false
		}
		fv := f.of(v)
		if f.optional && Blank(fv) {
			continue
		}
		e.dated(f)
		if !item(f.name, true, f.plan, fv) {
			return false
		}
	}
	return true
}

func (e *encoder) newline(indent int) {
	e.out = append(e.out, '\n')
	for range indent {
		e.out = append(e.out, "  "...)
	}
}

type key struct {
	name string
	key  reflect.Value
}

// keys returns the keys of a map in their order: numbers that have names in that of the
// numbers.
func (e *encoder) keys(v reflect.Value) []key {
	var all []key
	for _, k := range v.MapKeys() {
		all = append(all, key{e.name(k), k})
	}
	slices.SortFunc(all, func(a, b key) int {
		if a.key.CanUint() {
			return cmp.Compare(a.key.Uint(), b.key.Uint())
		}
		return strings.Compare(a.name, b.name)
	})
	return all
}

func (e *encoder) name(v reflect.Value) string {
	m, ok := v.Interface().(encoding.TextMarshaler)
	if !ok {
		return v.String()
	}
	b, err := m.MarshalText()
	fault.Each(err, func(f *fault.Fault) { e.fault(f.Value, f.Want, f.Class) })
	return string(b)
}

func (e *encoder) scalar(p *plan, v reflect.Value) {
	switch {
	case p.kind == text:
		e.quote(e.name(v))
	case p.kind == boolean:
		e.out = strconv.AppendBool(e.out, v.Bool())
	case v.Kind() != reflect.Float64:
		e.out = strconv.AppendInt(e.out, v.Int(), 10)
	default:
		f := v.Float() + 0 // -0 becomes 0
		if math.IsNaN(f) || math.IsInf(f, 0) {
			e.fault(strconv.FormatFloat(f, 'g', -1, 64), "a finite number", fault.ErrRange)
			f = 0
		}
		format := byte('f')
		if a := math.Abs(f); a != 0 && (a < 1e-6 || a >= 1e21) {
			format = 'e'
		}
		e.out = strconv.AppendFloat(e.out, f, format, -1, 64)
	}
}

func (e *encoder) quote(s string) {
	if len(s) > MaxText {
		e.fault(fmt.Sprintf("%d bytes", len(s)), fmt.Sprintf("at most %d KiB", MaxText>>10), fault.ErrRange)
		s = ""
	}
	if !utf8.ValidString(s) {
		e.fault(quote(s), "text in UTF-8", fault.ErrConflict)
	}
	const hex = "0123456789abcdef"
	e.out = append(e.out, '"')
	start := len(e.out)
	for i := range len(s) {
		switch c := s[i]; {
		case c == '"' || c == '\\':
			e.out = append(e.out, '\\', c)
		case c == '\n':
			e.out = append(e.out, `\n`...)
		case c == '\t':
			e.out = append(e.out, `\t`...)
		case c < ' ':
			e.out = append(e.out, `\u00`...)
			e.out = append(e.out, hex[c>>4], hex[c&15])
		default:
			e.out = append(e.out, c)
		}
	}
	if n := len(e.out) - start; n > MaxText {
		e.fault(fmt.Sprintf("%d bytes", n), fmt.Sprintf("at most %d KiB", MaxText>>10), fault.ErrRange)
	}
	e.out = append(e.out, '"')
}
