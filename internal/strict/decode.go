package strict

import (
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"unicode/utf8"

	"example.com/fitgeom/internal/fault"
)

type decoder struct {
	scanner
	path   []byte // JSON pointer to what is being read
	faults []*fault.Fault
	places []int // in the text, of the faults
}

func (d *decoder) fault(where int, value, want string, class error) {
	path := string(d.path)
	if path == "" {
		path = Document
	}
	if len(d.faults) == MaxFaults {
		if d.broken {
			return
		}
		d.broken = true
		path, value, want, class = Document, "more faults", fmt.Sprintf("at most %d; the rest was not read", MaxFaults), fault.ErrRange
	}
	d.faults = append(d.faults, &fault.Fault{Path: path, Value: value, Want: want, Class: class})
	d.places = append(d.places, where)
}

func (d *decoder) document(v reflect.Value) (whole bool) {
	if i := d.invalidUTF8(); i >= 0 {
		d.fault(i, fmt.Sprintf("byte 0x%02X", d.data[i]), "text in UTF-8", fault.ErrConflict)
		return false
	}
	if d.space(); d.at == len(d.data) {
		d.fault(0, "", "a JSON object", fault.ErrMissing)
		return false
	}
	d.value(planOf(v.Type()), v, d.at)
	if d.broken {
		if d.why == stopped || len(d.faults) > MaxFaults {
			return false
		}
		d.path = d.path[:min(len(d.path), 1000)]
		switch d.why {
		case tooDeep:
			d.fault(d.at, fmt.Sprintf("%d open brackets", MaxDepth+1), fmt.Sprintf("at most %d", MaxDepth), fault.ErrRange)
		default:
			d.fault(d.at, d.here(), "well-formed JSON", fault.ErrConflict)
		}
		return false
	}
	if d.space(); d.at < len(d.data) {
		rest := string(d.data[d.at:min(len(d.data), d.at+200)])
		d.fault(d.at, quote(rest), "nothing after the document", fault.ErrConflict)
	}
	return true
}

// value reads a value into v. Where is the place that its faults are reported at.
// In a value of the wrong kind it does not look for more faults.
func (d *decoder) value(p *plan, v reflect.Value, where int) {
	d.space()
	start := d.at
	if has := kindOf(d.peek()); has != p.kind {
		if !d.skip() {
			return
		}
		class := fault.ErrRange
		if has == null {
			class = fault.ErrMissing
		}
		d.fault(where, given(d.data[start:d.at]), p.want, class)
		return
	}
	for range p.pointers {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	if p.form != nil {
		d.formed(p, v, where)
		return
	}
	switch p.kind {
	case object:
		if p.key != nil {
			d.mapping(p, v)
		} else {
			d.object(p, v, where)
		}
	case array:
		d.array(p, v, where)
	case text:
		if !d.text() {
			return
		}
		if s := unquoted(d.data[start:d.at]); p.text {
			d.read(s, v, where)
		} else {
			v.SetString(string(s))
		}
	case boolean:
		if d.skip() {
			v.SetBool(d.data[start] == 't')
		}
	default:
		if d.number() {
			d.take(p, d.data[start:d.at], v, where)
		}
	}
}

// formed reads what documents have for a type. What is wrong is reported at its member.
func (d *decoder) formed(p *plan, v reflect.Value, where int) {
	d.space()
	before, start := len(d.faults), d.at
	w := reflect.New(p.form.typ).Elem()
	d.value(p.elem, w, where)
	if d.broken {
		return
	}
	err := p.form.from(w, v)
	if len(d.faults) == before { // what it says needs all of it
		d.report(err, start, where)
	}
}

// report records the faults of a value that the text has from start on.
func (d *decoder) report(err error, start, where int) {
	var found []*fault.Fault
	var paths []string
	fault.Each(err, func(f *fault.Fault) { found, paths = append(found, f), append(paths, f.Path) })
	if found == nil {
		return
	}
	mark, places := len(d.path), offsets(d.ctx, d.data[start:d.at], paths)
	for i, f := range found {
		at := where
		if places[i] > 0 { // it is not the whole of the value
			at = start + places[i]
		}
		for _, seg := range segments(f.Path) {
			d.path = appendName(d.path, seg)
		}
		d.fault(at, f.Value, f.Want, f.Class)
		d.path = d.path[:mark]
	}
}

func (d *decoder) take(p *plan, raw []byte, v reflect.Value, where int) {
	if v.Kind() == reflect.Float64 {
		f, err := strconv.ParseFloat(string(raw), 64)
		if err != nil {
			d.fault(where, given(raw), "a finite number", fault.ErrRange)
			return
		}
		v.SetFloat(f + 0) // -0 becomes 0
		return
	}
	i, err := strconv.ParseInt(string(raw), 10, v.Type().Bits())
	switch {
	case errors.Is(err, strconv.ErrRange):
		d.fault(where, given(raw), fmt.Sprintf("%s of at most %d bits", p.want, v.Type().Bits()), fault.ErrRange)
	case err != nil:
		d.fault(where, given(raw), p.want, fault.ErrRange)
	default:
		v.SetInt(i)
	}
}

// object reads an object into a struct.
func (d *decoder) object(p *plan, v reflect.Value, where int) {
	if !d.enter() {
		return
	}
	mark, next, seen := len(d.path), 0, uint64(0)
	for raw, at, ok := d.key(true); ok; raw, at, ok = d.key(false) {
		name := unquoted(raw)
		k := p.find(name, &next)
		switch {
		case k < 0:
			d.path = appendName(d.path, name)
			if !d.skip() {
				return
			}
			d.fault(at, "", p.alternatives(string(name)), fault.ErrUnknown)
		case seen>>k&1 != 0:
			d.path = append(d.path, p.fields[k].pointer...)
			d.twice(at)
		default:
			seen |= 1 << k
			f := &p.fields[k]
			d.path = append(d.path, f.pointer...)
			before, to := len(d.faults), f.of(v)
			d.value(f.plan, to, at)
			if f.absent != "" && len(d.faults) == before && !d.broken && to.IsZero() {
				d.fault(at, "all 0", "numbers; left out, it says: "+f.absent, fault.ErrRange)
			}
		}
		if d.broken {
			return
		}
		d.path = d.path[:mark]
	}
	if d.broken {
		return
	}
	for k := range p.fields {
		if f := &p.fields[k]; seen>>k&1 == 0 && !f.optional {
			d.path = append(d.path, f.pointer...)
			d.fault(where, "", f.plan.want, fault.ErrMissing)
			d.path = d.path[:mark]
		}
	}
}

// twice passes over a member that was there before.
func (d *decoder) twice(at int) {
	d.space()
	start := d.at
	if d.skip() {
		d.fault(at, given(d.data[start:d.at]), "each member once", fault.ErrConflict)
	}
}

// mapping reads an object into a map.
func (d *decoder) mapping(p *plan, v reflect.Value) {
	if !d.enter() {
		return
	}
	v.Set(reflect.MakeMap(v.Type()))
	mark := len(d.path)
	for raw, at, ok := d.key(true); ok; raw, at, ok = d.key(false) {
		name := unquoted(raw)
		d.path = appendName(d.path, name)
		key, elem, sound := reflect.New(p.key.typ).Elem(), reflect.New(v.Type().Elem()).Elem(), true
		if p.key.text {
			sound = d.read(name, key, at)
		} else {
			key.SetString(string(name))
		}
		if sound && v.MapIndex(key).IsValid() {
			d.twice(at)
		} else {
			d.value(p.elem, elem, at)
			if sound {
				v.SetMapIndex(key, elem)
			}
		}
		if d.broken {
			return
		}
		d.path = d.path[:mark]
	}
}

// array reads an array into a slice or an array.
func (d *decoder) array(p *plan, v reflect.Value, where int) {
	if !d.enter() {
		return
	}
	mark, n, slice := len(d.path), 0, v.Kind() == reflect.Slice
	var size func() int
	var at func(int) reflect.Value
	switch v.Kind() {
	case reflect.Struct: // a vector
		size, at = v.NumField, v.Field
	case reflect.Array:
		size, at = v.Len, v.Index
	}
	for ; d.next(n == 0, ']'); n++ {
		d.space()
		begin := d.at
		d.path = strconv.AppendInt(append(d.path, '/'), int64(n), 10)
		switch {
		case slice && n < MaxElements:
			if n == v.Cap() {
				v.Grow(1)
			}
			v.SetLen(n + 1)
			d.value(p.elem, v.Index(n), begin)
		case !slice && n < size():
			d.value(p.elem, at(n), begin)
		default:
			d.skip()
		}
		if d.broken {
			return
		}
		d.path = d.path[:mark]
	}
	switch {
	case d.broken:
	case slice && n > MaxElements:
		d.fault(where, fmt.Sprintf("an array of %d", n), fmt.Sprintf("at most %d", MaxElements), fault.ErrRange)
	case !slice && n != size():
		d.fault(where, fmt.Sprintf("an array of %d", n), p.want, fault.ErrRange)
	}
}

// read has a type read a text. The type says what is wrong with it, and the path says
// where.
func (d *decoder) read(text []byte, v reflect.Value, where int) bool {
	err := v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText(text)
	if err == nil {
		return true
	}
	before := len(d.faults)
	fault.Each(err, func(e *fault.Fault) { d.fault(where, quote(string(text)), e.Want, e.Class) })
	if len(d.faults) == before {
		d.fault(where, quote(string(text)), "a text that can be read ("+err.Error()+")", fault.ErrRange)
	}
	return false
}

// invalidUTF8 returns the offset of the first byte that is not UTF-8, or -1.
func (d *decoder) invalidUTF8() int {
	for from := 0; from < len(d.data) && !d.look(); {
		to := min(from+every, len(d.data))
		for to < len(d.data) && to > from+utf8.UTFMax && !utf8.RuneStart(d.data[to]) {
			to--
		}
		if !utf8.Valid(d.data[from:to]) {
			return from + invalid(d.data[from:to])
		}
		from = to
	}
	return -1
}

// invalid returns the offset of the first byte that is not UTF-8, where there is one.
func invalid(data []byte) (i int) {
	for {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
}
