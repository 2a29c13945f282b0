package schema

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// An object is a JSON object whose members have an order.
type object struct{ members []member }

type member struct {
	name  string
	value any // *object, list, or what encoding/json writes
}

type list []any

// obj makes an object of names and values in turn.
func obj(nameValue ...any) *object {
	o := new(object)
	for i := 0; i < len(nameValue); i += 2 {
		o.set(nameValue[i].(string), nameValue[i+1])
	}
	return o
}

// set gives a member a value, in its place if it is there already.
func (o *object) set(name string, value any) *object {
	if i := o.place(name); i >= 0 {
		o.members[i].value = value
	} else {
		o.members = append(o.members, member{name, value})
	}
	return o
}

func (o *object) place(name string) int {
	return slices.IndexFunc(o.members, func(m member) bool { return m.name == name })
}

// at returns the object that is a member, which there must be.
func (o *object) at(path ...string) *object {
	for _, name := range path {
		o = o.members[o.place(name)].value.(*object)
	}
	return o
}

// texts makes a list of texts.
func texts(all ...string) list {
	var l list
	for _, s := range all {
		l = append(l, s)
	}
	return l
}

// width is how long a line may be for what could be broken into more.
const width = 120

// text writes a value: in one line where that is short, else a line for each member;
// lists of plain values fill their lines.
func text(v any, indent int, before int) string {
	if s := flat(v); before+utf8.RuneCountInString(s) <= width || plain(v) {
		return s
	}
	inner := strings.Repeat("  ", indent+1)
	var lines []string
	open, shut := "{", "}"
	switch v := v.(type) {
	case *object:
		for _, m := range v.members {
			name := inner + flat(m.name) + ": "
			lines = append(lines, name+text(m.value, indent+1, utf8.RuneCountInString(name)+1))
		}
	case list:
		open, shut = "[", "]"
		for _, e := range v {
			s := text(e, indent+1, len(inner)+1)
			if last := len(lines) - 1; plain(e) && last >= 0 && utf8.RuneCountInString(lines[last]+s)+2 < width {
				lines[last] += ", " + s
			} else {
				lines = append(lines, inner+s)
			}
		}
	}
	return open + "\n" + strings.Join(lines, ",\n") + "\n" + strings.Repeat("  ", indent) + shut
}

// plain reports whether a value has nothing in it.
func plain(v any) bool {
	switch v.(type) {
	case *object, list:
		return false
	}
	return true
}

// flat writes a value in one line.
func flat(v any) string {
	var all []string
	switch v := v.(type) {
	case *object:
		for _, m := range v.members {
			all = append(all, flat(m.name)+": "+flat(m.value))
		}
		return "{" + strings.Join(all, ", ") + "}"
	case list:
		for _, e := range v {
			all = append(all, flat(e))
		}
		return "[" + strings.Join(all, ", ") + "]"
	}
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		panic(err)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// between bounds a number: the ends count, but for those that mean none.
func between(lo, hi float64) *object {
	o := obj()
	switch lo {
	case -math.MaxFloat64:
	case math.SmallestNonzeroFloat64:
		o.set("exclusiveMinimum", 0)
	default:
		o.set("minimum", lo)
	}
	if hi != math.MaxFloat64 {
		o.set("maximum", hi)
	}
	return o
}
