package strict

import (
	"cmp"
	"encoding"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/spatial/r3"
)

// A plan is how documents hold a type.
type plan struct {
	typ      reflect.Type
	kind     kind
	text     bool // it reads and writes itself as a text
	pointers int  // to go through before the type
	elem     *plan
	key      *plan
	fields   []field
	want     string // what a document has for it
	form     *form  // where a document has another type for it
	names    string // of the fields
	head     int    // how many of the fields come before what belongs to an object
}

// A field is a member that a struct has.
type field struct {
	name, pointer string
	index         []int
	optional      bool
	absent        string // what it says if it is left out, where it cannot say that itself
	since         int    // the minor version that brought it
	needed        bool   // whether what is beside it means something else without it
	plan          *plan
}

var plans sync.Map // reflect.Type to *plan

func planOf(t reflect.Type) *plan {
	if p, ok := plans.Load(t); ok {
		return p.(*plan)
	}
	p := newPlan(t)
	plans.Store(t, p)
	return p
}

// A form is another type that documents have for a type.
type form struct {
	typ  reflect.Type
	to   func(v reflect.Value) reflect.Value
	from func(w, v reflect.Value) error // both addressable; v is set in spite of an error
}

var forms sync.Map // reflect.Type to *form

// Register says what documents have for a T: a W. Faults that from returns are reported
// at the member. Packages call it from init.
func Register[T, W any](to func(T) W, from func(W) (T, error)) {
	forms.Store(reflect.TypeFor[T](), &form{
		typ: reflect.TypeFor[W](),
		to:  func(v reflect.Value) reflect.Value { return reflect.ValueOf(to(v.Interface().(T))) },
		from: func(w, v reflect.Value) (err error) {
			*v.Addr().Interface().(*T), err = from(*w.Addr().Interface().(*W))
			return err
		},
	})
}

// Form returns the type that documents have for a type, if it is another one.
func Form(t reflect.Type) (reflect.Type, bool) {
	if f := formOf(t); f != nil {
		return f.typ, true
	}
	return t, false
}

func formOf(t reflect.Type) *form {
	f, ok := forms.Load(t)
	if !ok {
		return nil
	}
	return f.(*form)
}

func newPlan(t reflect.Type) *plan {
	p := &plan{typ: t}
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
		p.pointers++
	}
	p.typ = t
	if p.form = formOf(t); p.form != nil {
		in := planOf(p.form.typ)
		p.kind, p.elem, p.want, p.names = in.kind, in, in.want, in.names
		return p
	}
	if t == reflect.TypeFor[r3.Vec]() { // three numbers
		p.kind, p.elem, p.want = array, planOf(reflect.TypeFor[float64]()), "an array of 3"
		return p
	}
	if reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()) {
		p.kind, p.text, p.want = text, true, text.String()
		return p
	}
	switch t.Kind() {
	case reflect.Struct:
		p.kind = object
		p.addFields(t, nil)
		if len(p.fields) > 64 {
			panic("strict: more than 64 fields in " + t.String())
		}
		var names []string
		for _, f := range p.fields {
			if f.since == 0 {
				names = append(names, f.name)
			}
		}
		p.names = "one of " + strings.Join(names, ", ")
		if t.NumField() > 0 && t.Field(0).Type == reflect.TypeFor[Head]() {
			p.head = headFields
		}
	case reflect.Map:
		p.kind, p.key, p.elem = object, planOf(t.Key()), planOf(t.Elem())
	case reflect.Slice, reflect.Array:
		p.kind, p.elem = array, planOf(t.Elem())
	case reflect.String:
		p.kind = text
	case reflect.Bool:
		p.kind = boolean
	case reflect.Float64, reflect.Int:
		p.kind = number
	default:
		panic("strict: cannot read into a " + t.String())
	}
	p.want = p.kind.String()
	switch {
	case t.Kind() == reflect.Array:
		p.want = fmt.Sprintf("an array of %d", t.Len())
	case p.kind == number && t.Kind() != reflect.Float64:
		p.want = "a whole number"
	}
	return p
}

func (p *plan) addFields(t reflect.Type, index []int) {
	for i := range t.NumField() {
		f := t.Field(i)
		at := append(slices.Clone(index), i)
		tag := strings.Split(f.Tag.Get("json"), ",")
		switch options := tag[1:]; {
		case !f.IsExported() || f.Tag.Get("json") == "-":
		case slices.Contains(options, "inline"), f.Anonymous && tag[0] == "":
			p.addFields(f.Type, at)
		default:
			name := cmp.Or(tag[0], f.Name)
			optional := slices.Contains(options, "omitempty") || slices.Contains(options, "omitzero")
			k := field{name: name, pointer: string(appendName(nil, name)), index: at, optional: optional, plan: planOf(f.Type)}
			if f.Type.Kind() == reflect.Struct && optional && k.plan.needy() {
				k.absent = f.Tag.Get("zero")
			}
			if since := f.Tag.Get("since"); since != "" {
				var err error
				number, _ := strings.CutSuffix(since, ", needed")
				if k.since, err = strconv.Atoi(number); err != nil || k.since < 1 || !optional {
					panic("strict: " + t.String() + "." + f.Name + " since " + since)
				}
				k.needed = number != since
			}
			p.fields = append(p.fields, k)
		}
	}
}

// needy reports whether there are members that must be there.
func (p *plan) needy() bool {
	if p.form != nil {
		p = p.elem
	}
	return slices.ContainsFunc(p.fields, func(f field) bool { return !f.optional })
}

// find returns the place of a field, or -1. Members mostly come in the order of
// the fields, so it looks first where next says.
func (p *plan) find(name []byte, next *int) int {
	k := *next
	for range p.fields {
		if k >= len(p.fields) {
			k = 0
		}
		if p.fields[k].name == string(name) {
			*next = k + 1
			return k
		}
		k++
	}
	return -1
}

// alternatives says what an unknown name may have been meant to be.
func (p *plan) alternatives(name string) string {
	for _, f := range p.fields {
		if strings.EqualFold(f.name, name) {
			return f.name
		}
	}
	return p.names
}

func (f *field) of(v reflect.Value) reflect.Value {
	for _, i := range f.index {
		v = v.Field(i)
	}
	return v
}

// appendName adds a member's name to a JSON pointer, cut if it is long.
func appendName[S string | []byte](path []byte, name S) []byte {
	path, name = append(path, '/'), fault.Name(name)
	for i := range len(name) {
		switch c := name[i]; c {
		case '~':
			path = append(path, "~0"...)
		case '/':
			path = append(path, "~1"...)
		default:
			path = append(path, c)
		}
	}
	return path
}
