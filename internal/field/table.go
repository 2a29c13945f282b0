package field

import (
	"math"
	"reflect"
	"unsafe"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Table is the table of T, read into offsets: to walk it costs about a nanosecond
// a number.
type Table[T any] struct{ block }

// New reads the table of a struct type.
func New[T any]() *Table[T] {
	t := new(Table[T])
	t.read(reflect.TypeFor[T](), "", 0)
	return t
}

// Check records every number of v that is out of its range, under the names that
// documents have.
func (t *Table[T]) Check(l *fault.List, v *T) { t.check(l, unsafe.Pointer(v)) }

// Validate returns the faults of Check as an error.
func (t *Table[T]) Validate(v *T) error {
	var l fault.List
	t.Check(&l, v)
	return l.Err()
}

// Number returns a column's number in a value of the type that the columns are of.
func Number[T any](v *T, c *Column) *float64 {
	return (*float64)(unsafe.Add(unsafe.Pointer(v), c.offset))
}

// A block is the lines of a table that are checked together.
type block struct {
	numbers []number
	steps   []steps
	others  []other
	lists   []list
	groups  []group
	lines   []line // of numbers, by their place
}

// A number is a float64 in a range. From 0 up, floats are in the order of their bits: those
// from first on, as many as span tells, are in the range. One comparison takes most numbers.
type number struct {
	first, span uint64
	at          uint32
	or0         bool
	lo, hi      float64
}

func newNumber(l *line, at uintptr) number {
	first := math.Float64bits(min(max(l.Lo, 0), l.Hi)) // Hi alone of a range below 0
	return number{
		first: first, span: math.Float64bits(l.Hi) - first,
		at: uint32(at), or0: l.Zero != "", lo: l.Lo, hi: l.Hi,
	}
}

// A steps is a field of From, To and Step.
type steps struct {
	lo, hi     float64
	at         uintptr
	all        bool
	path, unit string
}

// A line is a field, and its path.
type line struct {
	Field
	path string
}

// An other is a line with more than a range.
type other struct {
	line
	at, than uintptr
}

// A list is a slice of numbers, each in a range.
type list struct {
	line
	at uintptr
}

// A group is a struct that may be absent.
type group struct {
	block
	at, size uintptr
	leaves   []leaf
}

func (b *block) read(t reflect.Type, path string, at uintptr) {
	for _, f := range Of(t) {
		l := line{f, fault.Join(path, f.Name)}
		if f.Inline {
			l.path = path
		}
		if !f.Bounds {
			l.Lo, l.Hi = -math.MaxFloat64, math.MaxFloat64
		}
		at := at + t.Field(f.Index).Offset
		switch kind := f.Type.Kind(); {
		case f.Own:
		case f.Steps != "":
			b.steps = append(b.steps, steps{lo: l.Lo, hi: l.Hi, at: at, all: f.Steps == "all", path: l.path, unit: l.Unit})
		case f.Grid != 0, kind == reflect.Int:
			b.others = append(b.others, other{line: l, at: at})
		case f.Than != "":
			than, _ := t.FieldByName(f.Than)
			b.others = append(b.others, other{line: l, at: at, than: at - t.Field(f.Index).Offset + than.Offset})
		case kind == reflect.Float64:
			b.numbers = append(b.numbers, newNumber(&l, at))
			b.lines = append(b.lines, l)
		case f.Type == reflect.TypeFor[r3.Vec](): // three numbers
			for i := range 3 {
				of := l
				of.path = fault.At(l.path, i)
				b.numbers = append(b.numbers, newNumber(&l, at+f.Type.Field(i).Offset))
				b.lines = append(b.lines, of)
			}
		case f.Type == reflect.TypeFor[[]float64]() && f.Bounds:
			b.lists = append(b.lists, list{line: l, at: at})
		case kind == reflect.Struct && f.Zero != "":
			g := group{at: at, size: f.Type.Size(), leaves: leaves(nil, f.Type, 0)}
			g.read(f.Type, l.path, 0)
			b.groups = append(b.groups, g)
		case kind == reflect.Struct:
			b.read(f.Type, l.path, at)
		}
	}
}

func (b *block) check(l *fault.List, p unsafe.Pointer) {
	numbers := b.numbers // in registers: this is most of the work
	for i := range numbers {
		n := &numbers[i]
		if u := *(*uint64)(unsafe.Add(p, n.at)); u-n.first > n.span {
			if v := math.Float64frombits(u); !(v >= n.lo && v <= n.hi) && !(n.or0 && v == 0) {
				b.lines[i].fail(l, v)
			}
		}
	}
	for i := range b.steps {
		s := &b.steps[i]
		if v := (*fault.Steps)(unsafe.Add(p, s.at)); !v.Fit(s.lo, s.hi, s.all) {
			l.Steps(s.path, *v, fault.Range{Lo: s.lo, Hi: s.hi, Unit: s.unit}, s.all)
		}
	}
	for i := range b.others {
		b.others[i].check(l, p)
	}
	for i := range b.lists {
		s := &b.lists[i]
		for j, v := range *(*[]float64)(unsafe.Add(p, s.at)) {
			l.Range(fault.At(s.path, j), v, s.Lo, s.Hi, s.Unit)
		}
	}
	for i := range b.groups {
		if g := &b.groups[i]; !g.absent(unsafe.Add(p, g.at)) {
			g.check(l, unsafe.Add(p, g.at))
		}
	}
}

// absent reports whether the struct of a group is zero. Nearly always its bits tell;
// but -0 and a text of length 0 are zero too.
func (g *group) absent(p unsafe.Pointer) bool {
	if g.size%unsafe.Sizeof(uintptr(0)) != 0 {
		return g.zero(p)
	}
	for _, w := range unsafe.Slice((*uintptr)(p), g.size/unsafe.Sizeof(uintptr(0))) {
		if w != 0 {
			return g.zero(p)
		}
	}
	return true
}

func (g *group) zero(p unsafe.Pointer) bool {
	for i := range g.leaves {
		if l := &g.leaves[i]; !l.zero(unsafe.Add(p, l.at)) {
			return false
		}
	}
	return true
}

// A leaf is a member of a group that has no members itself.
type leaf struct {
	kind     reflect.Kind
	at, size uintptr
}

func leaves(all []leaf, t reflect.Type, at uintptr) []leaf {
	switch t.Kind() {
	case reflect.Struct:
		for field := range t.Fields() {
			all = leaves(all, field.Type, at+field.Offset)
		}
	case reflect.Array:
		for i := range t.Len() {
			all = leaves(all, t.Elem(), at+uintptr(i)*t.Elem().Size())
		}
	default:
		all = append(all, leaf{t.Kind(), at, t.Size()})
	}
	return all
}

func (l *leaf) zero(p unsafe.Pointer) bool {
	switch l.kind {
	case reflect.Float64:
		return *(*float64)(p) == 0
	case reflect.String:
		return *(*string)(p) == ""
	case reflect.Slice:
		return *(*unsafe.Pointer)(p) == nil
	default: // a bool, an enumeration, a set
		for _, b := range unsafe.Slice((*uint8)(p), l.size) {
			if b != 0 {
				return false
			}
		}
		return true
	}
}

func (l *line) fail(f *fault.List, v float64) {
	switch {
	case l.Length:
		f.Length(l.path, v, l.Lo, l.Hi)
	case l.Bounds:
		f.Range(l.path, v, l.Lo, l.Hi, l.Unit)
	default:
		f.Add(l.path, num.Text(v, ""), "a finite number", fault.ErrRange)
	}
}

func (o *other) check(f *fault.List, p unsafe.Pointer) {
	at := unsafe.Add(p, o.at)
	v := 0.0
	if o.Type.Kind() == reflect.Int {
		v = float64(*(*int)(at))
	} else {
		v = *(*float64)(at)
	}
	switch {
	case v == 0 && o.Zero != "":
	case !(v >= o.Lo && v <= o.Hi):
		o.fail(f, v)
	case o.Than != "" && o.Less:
		f.Range(o.path, v, o.Lo, *(*float64)(unsafe.Add(p, o.than)), o.Unit)
	case o.Than != "":
		f.Range(o.path, v, *(*float64)(unsafe.Add(p, o.than)), o.Hi, o.Unit)
	case o.Grid != 0:
		if t := v / o.Grid; math.Abs(t-math.Round(t)) > 1e-6 {
			f.Add(o.path, num.Text(v, o.Unit), "a whole number of steps of "+num.Text(o.Grid, o.Unit), fault.ErrRange)
		}
	}
}
