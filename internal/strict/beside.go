package strict

import (
	"bytes"
	"cmp"
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A Beside is what a document has beside the values of its objects: ids and whatever else
// belongs to who wrote it, and what a newer minor version has that this one does not know.
// All of it is kept by the JSON pointers of the objects, and written back there.
type Beside struct {
	Open  bool // whether what is not known is kept, instead of being a fault
	Items map[string]Item
	// Whole is the texts of objects in which a value is a name that is not known: no more
	// can be said of them than that.
	Whole map[string][]byte
	// Members are those that are not known, and Names those whose values are names that
	// are not known: each once, with * for a place in an array and for a key of a map.
	Members, Names []string
	root           *plan // of the document
	// Unmet is what a document needs to be known and is not, beside Names.
	Unmet []string
}

// An Item is what belongs to one object.
type Item struct {
	ID   string
	Meta []byte // a JSON object, or nil
	More []byte // an object of the members that are not known, or nil
}

// MaxID is the most characters of an id.
const MaxID = 200

const (
	wantID   = "a text of 1 to 200 characters"
	wantMeta = "a JSON object"
	perItem  = 256 // bytes that an item takes beside its texts
)

// own reads the member of an item, if the name is that of one.
func (d *decoder) own(name []byte, it *Item, at int) bool {
	if d.beside == nil || string(name) != "id" && string(name) != "meta" {
		return false
	}
	d.path = appendName(d.path, name)
	d.space()
	start, want, is := d.at, wantMeta, object
	if name[0] == 'i' {
		want, is = wantID, text
	}
	has := kindOf(d.peek())
	if !d.skip() {
		return true
	}
	raw := d.data[start:d.at]
	switch {
	case has == null:
		d.fault(at, given(raw), want, fault.ErrMissing)
	case has != is:
		d.fault(at, given(raw), want, fault.ErrRange)
	case is == object && it.Meta != nil, is == text && it.ID != "":
		d.fault(at, given(raw), "each member once", fault.ErrConflict)
	case is == object:
		it.Meta = d.compact(raw)
	default:
		id := string(unquoted(raw))
		if n := utf8.RuneCountInString(id); n < 1 || n > MaxID {
			d.fault(at, fmt.Sprintf("%d characters", n), wantID, fault.ErrRange)
			break
		}
		it.ID = id
	}
	return true
}

// extra keeps a member that is not known; seen is the names of those of the object so far.
func (d *decoder) extra(raw, name []byte, it *Item, seen *map[string]bool, at int) {
	start := d.at
	if d.space(); !d.skip() {
		return
	}
	if (*seen)[string(name)] {
		d.fault(at, given(bytes.TrimSpace(d.data[start:d.at])), "each member once", fault.ErrConflict)
		return
	}
	if *seen == nil {
		*seen = map[string]bool{}
	}
	(*seen)[string(name)] = true
	if !d.spend(64) {
		return
	}
	note(&d.beside.Members, d.root.pattern(string(d.path)))
	if it.More == nil {
		it.More = []byte("{}")
	}
	more := it.More[:len(it.More)-1]
	if len(more) > 1 {
		more = append(more, ',')
	}
	more = append(append(more, raw...), ':')
	it.More = append(append(more, d.compact(d.data[start:d.at])...), '}')
}

// spend takes memory for what is kept beside, of the room that elements of arrays have.
func (d *decoder) spend(bytes int) bool {
	if d.room -= bytes; d.room < 0 && !d.broken {
		d.path = d.path[:0]
		d.fault(0, oversize, wantSize, fault.ErrRange)
		d.fail(enough)
	}
	return !d.broken
}

// keep keeps an item of the object that is being read.
func (d *decoder) keep(it Item) {
	if it.ID == "" && it.Meta == nil && it.More == nil || d.broken || !d.spend(perItem) {
		return
	}
	if d.beside.Items == nil {
		d.beside.Items = map[string]Item{}
	}
	d.beside.Items[string(d.path)] = it
}

// keepWhole keeps the text of an object in which a name is not known.
func (d *decoder) keepWhole(start int) {
	if d.broken || !d.spend(perItem) {
		return
	}
	if d.beside.Whole == nil {
		d.beside.Whole = map[string][]byte{}
	}
	d.beside.Whole[string(d.path)] = d.compact(d.data[start:d.at])
}

// compact copies a well-formed text without its spaces.
func (d *decoder) compact(raw []byte) []byte {
	var b bytes.Buffer
	do := func() { _ = json.Compact(&b, raw) }
	if len(raw) < 1<<16 {
		do()
	} else if !d.meter.Wait(do) {
		d.fail(stopped)
		return nil
	}
	return bytes.Clone(b.Bytes())
}

// note adds a text to a list that does not have it, unless that is long.
func note(all *[]string, s string) {
	if len(*all) < fault.MaxFaults && !slices.Contains(*all, s) {
		*all = append(*all, s)
	}
}

// Name notes the path of a value that is a name that is not known, where a document keeps
// such.
func (b *Beside) Name(path string) { note(&b.Names, b.root.pattern(path)) }

// Knows reports whether a pattern leads to something that the document may have.
func (b *Beside) Knows(pattern string) bool { return b.root.knows(pattern) }

// Known cuts a path to what every document of its kind may have: names of members that are
// not known are left out, and so are keys that anybody may choose.
func (b *Beside) Known(path string) string {
	all := strings.Split(path, "/")
	if path == Document || all[0] != "" {
		return Document
	}
	p := b.root
	for i, name := range all {
		if i == 0 {
			continue
		}
		if p = p.inner(); p == nil {
			return strings.Join(all[:i], "/")
		}
		known := true
		switch {
		case p.kind == array:
			_, err := strconv.ParseUint(name, 10, 32)
			known, p = err == nil, p.elem
		case p.key != nil:
			known = p.key.text && reflect.New(p.key.typ).Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(name)) == nil
			p = p.elem
		default:
			own := p.kind == object && i == len(all)-1 && (name == "id" || name == "meta")
			p = p.member(name)
			known = own || p != nil
		}
		if !known {
			return cmp.Or(strings.Join(all[:i], "/"), Document)
		}
	}
	return path
}

// Sound returns the fault of a text that is not well formed within the limits.
func Sound(m *work.Meter, data []byte) (faults fault.List) {
	var d decoder
	d.scanner = scanner{meter: m, data: data}
	d.skip()
	d.trouble()
	return d.faults
}

// pattern is a JSON pointer with * for each place in an array and each key of a map.
func (p *plan) pattern(pointer string) string {
	all := strings.Split(pointer, "/")
	for i := 1; i < len(all); i++ {
		if p = p.inner(); p == nil {
			break
		}
		if p.kind == array || p.key != nil {
			all[i], p = "*", p.elem
			continue
		}
		p = p.member(all[i])
	}
	return strings.Join(all, "/")
}

// knows reports whether a pattern leads to something.
func (p *plan) knows(pattern string) bool {
	all := strings.Split(pattern, "/")
	if len(all) < 2 || all[0] != "" {
		return false
	}
	for _, name := range all[1:] {
		if p = p.inner(); p == nil {
			return false
		}
		if p.kind == array || p.key != nil {
			if name != "*" {
				return false
			}
			p = p.elem
			continue
		}
		p = p.member(name)
	}
	return p != nil
}

// inner is the plan of what documents have for a type.
func (p *plan) inner() *plan {
	for p != nil && p.form != nil {
		p = p.elem
	}
	return p
}

// member is the plan of a member, or nil.
func (p *plan) member(pointer string) *plan {
	for i := range p.fields {
		if p.fields[i].pointer[1:] == pointer {
			return p.fields[i].plan
		}
	}
	return nil
}

// judge reports what is wrong with items before they are written.
func (b *Beside) judge(m *work.Meter, faults *fault.List) {
	for path, it := range b.Items {
		if !m.Do(10) || faults.Full() {
			return
		}
		if n := utf8.RuneCountInString(it.ID); n > MaxID {
			faults.Add(path+"/id", fmt.Sprintf("%d characters", n), wantID, fault.ErrRange)
		} else if !utf8.ValidString(it.ID) {
			faults.Add(path+"/id", quote(it.ID), "text in UTF-8", fault.ErrConflict)
		}
		if it.Meta == nil {
			continue
		}
		s := scanner{meter: m, data: it.Meta}
		s.space()
		is := kindOf(s.peek())
		sound := s.skip() && utf8.Valid(it.Meta)
		if s.space(); !sound || is != object || s.at < len(s.data) {
			faults.Add(path+"/meta", "", wantMeta, fault.ErrConflict)
		}
	}
}

// own returns what belongs to the object that is being written.
func (e *encoder) own(p *plan) Item {
	if e.used == nil || p.kind != object {
		return Item{}
	}
	it, ok := e.beside.Items[string(e.path)]
	if p.key != nil && (it.ID != "" || it.Meta != nil) {
		return Item{} // the members of a map are all keys; unused reports it
	}
	if ok {
		e.used[string(e.path)] = true
	}
	return it
}

// put writes the id and what else belongs to whoever wrote it.
func (it *Item) put(member func(string, []byte) bool, e *encoder) bool {
	if it.ID != "" {
		mark := len(e.out)
		e.quote(it.ID)
		id := bytes.Clone(e.out[mark:])
		if e.out = e.out[:mark]; !member("id", id) {
			return false
		}
	}
	return it.Meta == nil || member("meta", it.Meta)
}

// dated notes which version a member that is written needs.
func (e *encoder) dated(f *field) {
	e.minor = max(e.minor, f.since)
	if f.needed {
		note(&e.needs, e.root.pattern(string(appendName(bytes.Clone(e.path), f.name))))
	}
}

// wholes is how many objects there are of which only the text is kept.
func (d *decoder) wholes() int {
	if d.beside == nil {
		return 0
	}
	return len(d.beside.Whole)
}

// besides writes members that stand in a text of an object.
func (e *encoder) besides(object []byte, each func(name string, raw []byte) bool) bool {
	s := scanner{meter: e.meter, data: object}
	if s.space(); s.peek() != '{' || !s.enter() {
		return true
	}
	for first := true; ; first = false {
		key, _, ok := s.key(first)
		if !ok {
			return true
		}
		s.space()
		start := s.at
		if !s.skip() {
			return true
		}
		if !each(string(unquoted(key)), s.data[start:s.at]) {
			return false
		}
	}
}

// unused reports the items and texts that were written nowhere.
func (e *encoder) unused() {
	if e.beside == nil {
		return
	}
	var lost []string
	inWhole := func(path string) bool {
		for ; path != ""; path = path[:max(0, strings.LastIndexByte(path, '/'))] {
			if _, ok := e.beside.Whole[path]; ok {
				return true
			}
		}
		return false
	}
	for path := range e.beside.Items {
		if !e.used[path] && !inWhole(path) {
			lost = append(lost, path)
		}
	}
	for path := range e.beside.Whole {
		if !e.used[path] && !inWhole(path[:max(0, strings.LastIndexByte(path, '/'))]) {
			lost = append(lost, path)
		}
	}
	slices.Sort(lost)
	for _, path := range lost {
		e.faults.Add(path, "", "an object of the value; what belongs to it would be lost", fault.ErrConflict)
	}
}

// A Version is that of a document: major and minor.
type Version struct{ Major, Minor int }

// String is the version as documents have it: "1.0".
func (v Version) String() string { return strconv.Itoa(v.Major) + "." + strconv.Itoa(v.Minor) }

// MarshalText writes it as String does.
func (v Version) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

var errVersion = errors.New(`"1.0" or another version, as major.minor`)

// UnmarshalText reads what String writes.
func (v *Version) UnmarshalText(b []byte) error {
	major, minor, ok := strings.Cut(string(b), ".")
	m, err1 := strconv.Atoi(major)
	n, err2 := strconv.Atoi(minor)
	if !ok || err1 != nil || err2 != nil || (Version{m, n}).String() != string(b) || m < 0 || n < 0 || max(m, n) > 999_999_999 {
		return fault.New("", "", errVersion.Error(), fault.ErrRange)
	}
	*v = Version{m, n}
	return nil
}
