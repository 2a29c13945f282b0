package strict

import (
	"bytes"
	"cmp"
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"unicode/utf8"

	"example.com/fitgeom/internal/fault"
)

type decoder struct {
	scanner
	path   []byte // JSON pointer to what is being read
	room   int    // bytes that elements of arrays may still take
	faults fault.List
	places []int // in the text, of the faults that are listed
	root   *plan
	minor  int     // the newest whose members are known
	beside *Beside // nil where a text has nothing beside its values
	unread bool    // whether a name was met that is not known, in the object that is being read
	last   []byte  // the name of the member before, in that object
}

func (d *decoder) fault(where int, value, want string, class error) {
	if d.faults.Full() {
		return
	}
	d.faults.Add(cmp.Or(string(d.path), Document), value, want, class)
	d.places = append(d.places, where)
	if d.faults.Full() {
		d.fail(enough)
	}
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
	d.root = planOf(v.Type())
	d.value(d.root, v, d.at)
	if d.broken {
		d.trouble()
		return false
	}
	if d.space(); d.at < len(d.data) {
		rest := string(d.data[d.at:min(len(d.data), d.at+200)])
		d.fault(d.at, quote(rest), "nothing after the document", fault.ErrConflict)
	}
	return true
}

// trouble reports why the text could not be read any further.
func (d *decoder) trouble() {
	if !d.broken {
		return
	}
	switch d.why {
	case tooDeep:
		d.fault(d.at, fmt.Sprintf("%d open brackets", MaxDepth+1), fmt.Sprintf("at most %d", MaxDepth), fault.ErrRange)
	case tooLong:
		d.fault(d.at, "a longer text or number", fmt.Sprintf("texts of at most %d KiB and numbers of at most %d digits", MaxText>>10, MaxDigits), fault.ErrRange)
	case unpaired:
		d.fault(d.at, string(d.data[d.at:d.at+len(`\uD800`)]), "both halves of a surrogate pair", fault.ErrConflict)
	case malformed:
		if number, ok := d.decimalComma(); ok {
			d.path = appendName(d.path, d.last)
			d.fault(d.at, number, "well-formed JSON, with a decimal point in place of the comma", fault.ErrConflict)
			return
		}
		d.fault(d.at, d.here(), "well-formed JSON", fault.ErrConflict)
	case stopped, enough:
	}
}

// decimalComma returns the number in which the text broke at the digit behind a comma, if it is a
// number: 172,5 as a member's value.
func (d *decoder) decimalComma() (number string, ok bool) {
	digit := func(i int) bool { return i >= 0 && i < len(d.data) && d.data[i]-'0' <= 9 }
	from, to := d.at-1, d.at
	if d.last == nil || !digit(to) || d.data[from] != ',' || !digit(from-1) {
		return "", false
	}
	for most := from - MaxDigits; from > most && (digit(from-1) || from > 0 && d.data[from-1] == '-'); from-- {
	}
	for most := to + MaxDigits; to < most && digit(to); to++ {
	}
	return string(d.data[from:to]), true
}

// value reads a value into v. Where is the place that its faults are reported at.
// In a value of the wrong kind it does not look for more faults.
func (d *decoder) value(p *plan, v reflect.Value, where int) {
	d.space()
	start := d.at
	if has := kindOf(d.peek()); has != p.kind {
		if has == number && p.typ == reflect.TypeFor[Version]() { // as the first documents have it
			if to := v.Addr().Interface().(*Version); d.number() && to.UnmarshalText(append(slices.Clone(digits(d.data[start:d.at])), ".0"...)) != nil {
				d.fault(where, given(d.data[start:d.at]), errVersion.Error(), fault.ErrRange)
			}
			return
		}
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
			if d.read(s, v, where); d.unread {
				note(&d.beside.Names, d.root.pattern(string(d.path)))
			}
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
	before, start, kept := d.faults.Len(), d.at, d.wholes()
	w := reflect.New(p.form.typ).Elem()
	d.value(p.elem, w, where)
	if d.broken {
		return
	}
	err := p.form.from(w, v)
	if d.faults.Len() == before && d.wholes() == kept { // what it says needs all of it
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
	mark, places := len(d.path), offsets(d.meter, d.data[start:d.at], paths)
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
	i, err := strconv.ParseInt(string(digits(raw)), 10, v.Type().Bits())
	switch {
	case errors.Is(err, strconv.ErrRange):
		d.fault(where, given(raw), fmt.Sprintf("%s of at most %d bits", p.want, v.Type().Bits()), fault.ErrRange)
	case err != nil:
		d.fault(where, given(raw), p.want, fault.ErrRange)
	default:
		v.SetInt(i)
	}
}

// digits writes a whole number without fraction and exponent: 20 for 2e1, 2 for 2.0. One
// that is not whole it returns as it is.
func digits(raw []byte) []byte {
	if !bytes.ContainsAny(raw, ".eE") {
		return raw
	}
	number, exponent, _ := bytes.Cut(bytes.ToLower(raw), []byte("e"))
	number, fraction, _ := bytes.Cut(number, []byte("."))
	fraction = bytes.TrimRight(fraction, "0")
	all := slices.Concat(number, fraction)
	if len(bytes.Trim(all, "-0")) == 0 {
		return []byte("0")
	}
	shift, err := strconv.Atoi(cmp.Or(string(exponent), "0"))
	switch zeros := len(all) - len(bytes.TrimRight(all, "0")); {
	case err != nil && exponent[0] == '-':
		return raw
	case err != nil, shift > 1000:
		return append(all, bytes.Repeat([]byte("0"), 20)...) // more than any int
	case shift >= len(fraction):
		return append(all, bytes.Repeat([]byte("0"), shift-len(fraction))...)
	case zeros >= len(fraction)-shift:
		return all[:len(all)+shift-len(fraction)]
	default:
		return raw
	}
}

// object reads an object into a struct.
func (d *decoder) object(p *plan, v reflect.Value, where int) {
	start, outer := d.at, d.unread
	if d.unread = false; !d.enter() {
		return
	}
	mark, next, seen := len(d.path), 0, uint64(0)
	var own Item
	var more map[string]bool
	for raw, at, ok := d.key(true); ok; raw, at, ok = d.key(false) {
		name := unquoted(raw)
		d.last = nil
		k := p.find(name, &next)
		switch {
		case k < 0 && d.own(name, &own, at):
		case k < 0 || p.fields[k].since > d.minor:
			d.path = appendName(d.path, name)
			if d.beside != nil && d.beside.Open {
				d.extra(raw, name, &own, &more, at)
				break
			}
			if !d.skip() {
				return
			}
			want := p.alternatives(string(name))
			if k >= 0 {
				want = "a document of version " + Version{1, p.fields[k].since}.String()
			}
			d.fault(at, "", want, fault.ErrUnknown)
		case seen>>k&1 != 0:
			d.path = append(d.path, p.fields[k].pointer...)
			d.twice(at)
		default:
			seen |= 1 << k
			f := &p.fields[k]
			d.path = append(d.path, f.pointer...)
			before, to := d.faults.Len(), f.of(v)
			d.value(f.plan, to, at)
			if f.absent != "" && d.faults.Len() == before && !d.broken && to.IsZero() {
				d.fault(at, "all 0", "numbers; left out, it says: "+f.absent, fault.ErrRange)
			}
		}
		if d.broken {
			return
		}
		d.path, d.last = d.path[:mark], name
	}
	if d.broken {
		return
	}
	d.last = nil
	for k := range p.fields {
		if f := &p.fields[k]; seen>>k&1 == 0 && !f.optional {
			d.path = append(d.path, f.pointer...)
			d.fault(where, "", f.plan.want, fault.ErrMissing)
			d.path = d.path[:mark]
		}
	}
	d.keep(own)
	if d.unread {
		d.keepWhole(start)
	}
	d.unread = outer
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
	var own Item
	var more map[string]bool
	for raw, at, ok := d.key(true); ok; raw, at, ok = d.key(false) {
		name := unquoted(raw)
		d.last = nil
		d.path = appendName(d.path, name)
		key, elem, sound, unread := reflect.New(p.key.typ).Elem(), reflect.New(v.Type().Elem()).Elem(), true, d.unread
		if p.key.text {
			d.unread = false
			sound = d.read(name, key, at)
			d.unread, unread = unread, d.unread
		} else {
			key.SetString(string(name))
			unread = false
		}
		switch {
		case unread:
			d.extra(raw, name, &own, &more, at)
		case sound && v.MapIndex(key).IsValid():
			d.twice(at)
		default:
			d.value(p.elem, elem, at)
			if sound {
				v.SetMapIndex(key, elem)
			}
		}
		if d.broken {
			return
		}
		d.path, d.last = d.path[:mark], name
	}
	d.keep(own)
}

// spaced reports whether a space follows some of the commas of a text, and others stand between two
// digits, as they do in numbers.
func spaced(text []byte) bool {
	space, tight := false, false
	for i := 1; i+1 < len(text); i++ {
		if text[i] == ',' {
			space = space || text[i+1] == ' '
			tight = tight || text[i-1]-'0' <= 9 && text[i+1]-'0' <= 9
		}
	}
	return space && tight
}

// array reads an array into a slice or an array.
func (d *decoder) array(p *plan, v reflect.Value, where int) {
	start := d.at
	if !d.enter() {
		return
	}
	size, at := 0, v.Index
	switch v.Kind() {
	case reflect.Struct: // a vector
		size, at = v.NumField(), v.Field
	case reflect.Array:
		size = v.Len()
	default:
		var ok bool
		if size, ok = d.makeSlice(v, where); !ok {
			return
		}
	}
	mark, n := len(d.path), 0
	for ; d.next(n == 0, ']'); n++ {
		d.space()
		begin := d.at
		d.path = strconv.AppendInt(append(d.path, '/'), int64(n), 10)
		if n < size {
			d.value(p.elem, at(n), begin)
		} else {
			d.skip()
		}
		if d.broken {
			return
		}
		d.path = d.path[:mark]
	}
	if !d.broken && n != size && v.Kind() != reflect.Slice {
		want := p.want
		if n > size && spaced(d.data[start:d.at]) {
			want += ", with decimal points in place of commas in numbers"
		}
		d.fault(where, fmt.Sprintf("an array of %d", n), want, fault.ErrRange)
	}
}

// makeSlice makes a slice for all elements of the array that it is in, once, so that no
// others are in use while it grows. It returns false if there is nothing to read into it.
func (d *decoder) makeSlice(v reflect.Value, where int) (size int, ok bool) {
	begin, n := d.scanner, 0
	for d.next(n == 0, ']') {
		n++
		if !d.skip() {
			break
		}
	}
	switch {
	case d.why == stopped:
		return 0, false
	case n > MaxElements:
		d.fault(where, fmt.Sprintf("an array of %d", n), fmt.Sprintf("at most %d", MaxElements), fault.ErrRange)
		return 0, false
	}
	d.room -= n * int(v.Type().Elem().Size())
	if d.room < 0 {
		d.path = d.path[:0]
		d.fault(0, oversize, wantSize, fault.ErrRange)
		d.fail(enough)
		return 0, false
	}
	d.scanner = begin // whose path is known where it is broken
	if n == 0 {
		return 0, true
	}
	var all reflect.Value
	do := func() { all = reflect.MakeSlice(v.Type(), n, n) }
	switch large := n*int(v.Type().Elem().Size()) > 1<<20; {
	case !large:
		do()
	case !d.meter.Wait(do):
		d.fail(stopped)
		return 0, false
	}
	v.Set(all)
	return n, true
}

// room is how many bytes the elements of all arrays of a document may take.
func room(document int) int { return 18*document + 8<<20 }

const (
	oversize = "arrays with next to nothing in each element"
	wantSize = "elements that take at most 18 times the document's size and 8 MiB in memory"
)

// read has a type read a text. The type says what is wrong with it, and the path says
// where.
func (d *decoder) read(text []byte, v reflect.Value, where int) bool {
	err := v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText(text)
	switch {
	case err == nil:
		return true
	case d.beside != nil && d.beside.Open && errors.Is(err, fault.ErrUnknown):
		d.unread = true
		return false
	}
	before := d.faults.Len()
	fault.Each(err, func(e *fault.Fault) { d.fault(where, quote(string(text)), e.Want, e.Class) })
	if d.faults.Len() == before {
		d.fault(where, quote(string(text)), "a text that can be read ("+err.Error()+")", fault.ErrRange)
	}
	return false
}

// invalidUTF8 returns the offset of the first byte that is not UTF-8, or -1.
func (d *decoder) invalidUTF8() int {
	for from := 0; from < len(d.data) && d.meter.Do(often); {
		to := min(from+often, len(d.data))
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
