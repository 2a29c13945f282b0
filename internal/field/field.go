package field

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// A Field is one line of a table: what the tags say of one member.
type Field struct {
	Name   string // in documents
	Unit   string // "mm", "degrees", or as the tag says; "" for what is no number
	Lo, Hi float64
	Bounds bool   // whether there is a range
	Length bool   // whether another unit would show
	Zero   string // what zero says; "" where it is a value like others
	Steps  string // "all", "ends", or "" for what has no steps
	Index  int    // in its struct
	Type   reflect.Type
	Go     string  // the field's name in Go
	Than   string  // the Go name of another field that the number is no less than, or no more
	Less   bool    // no more
	Grid   float64 // of which the number is a whole multiple; 0 for any
	Own    bool    // whether its type's own Validate is asked, and not the table around it
	Omit   bool    // whether documents may leave it out
	Inline bool    // whether its own fields stand among those around it
}

var tables sync.Map // reflect.Type to []Field

// Of returns the table of a struct type. A tag that makes no sense is a mistake in the
// program, and panics.
func Of(t reflect.Type) []Field {
	if all, ok := tables.Load(t); ok {
		return all.([]Field)
	}
	var all []Field
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() || f.Tag.Get("json") == "-" {
			continue
		}
		all = append(all, newField(t, f, i))
	}
	tables.Store(t, all)
	return all
}

func newField(in reflect.Type, f reflect.StructField, index int) Field {
	name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
	k := Field{Name: name, Go: f.Name, Index: index, Type: f.Type, Unit: f.Tag.Get("unit"), Zero: f.Tag.Get("zero"), Steps: f.Tag.Get("steps")}
	k.Omit = strings.Contains(options, "omit")
	k.Inline = f.Anonymous && name == "" || strings.Contains(options, "inline")
	if k.Name == "" && !k.Inline {
		k.Name = f.Name
	}
	switch {
	case k.Unit != "":
	case strings.HasSuffix(k.Name, "_mm"):
		k.Unit = "mm"
	case strings.HasSuffix(k.Name, "_deg"):
		k.Unit = "degrees"
	}
	k.Own = f.Tag.Get("validate") == "own"
	if k.Than = f.Tag.Get("atleast"); k.Than == "" {
		k.Than = f.Tag.Get("atmost")
		k.Less = k.Than != ""
	}
	if k.Than != "" {
		if _, ok := in.FieldByName(k.Than); !ok {
			panic(fmt.Sprintf("field: %v.%s: no field %s", in, f.Name, k.Than))
		}
	}
	if g := f.Tag.Get("grid"); g != "" {
		var err error
		if k.Grid, err = strconv.ParseFloat(g, 64); err != nil || !(k.Grid > 0) {
			panic(fmt.Sprintf("field: %v.%s: grid %q", in, f.Name, g))
		}
	}
	bounds := f.Tag.Get("range")
	if l := f.Tag.Get("length"); l != "" {
		bounds, k.Length = l, true
	}
	if bounds == "" {
		return k
	}
	lo, hi, ok := strings.Cut(bounds, " to ")
	var err1, err2 error
	k.Lo, err1 = strconv.ParseFloat(lo, 64)
	k.Hi, err2 = strconv.ParseFloat(hi, 64)
	if !ok || err1 != nil || err2 != nil || !(k.Lo <= k.Hi) {
		panic(fmt.Sprintf("field: %v.%s: range %q", in, f.Name, bounds))
	}
	k.Bounds = true
	return k
}

// A Column is a number that a table of comma-separated values has for a struct.
type Column struct {
	Field
	Path   string // through the structs around it, as faults have it
	offset uintptr
}

// Columns returns the numbers of a struct and of the structs in it, in order.
func Columns(t reflect.Type) []Column { return columns(nil, t, "", 0) }

func columns(all []Column, t reflect.Type, path string, offset uintptr) []Column {
	for _, f := range Of(t) {
		at := offset + t.Field(f.Index).Offset
		name := f.Name
		if path != "" {
			name = path + "." + name
		}
		switch {
		case f.Type.Kind() == reflect.Float64:
			all = append(all, Column{f, name, at})
		case f.Type.Kind() == reflect.Struct && f.Inline:
			all = columns(all, f.Type, path, at)
		case f.Type.Kind() == reflect.Struct:
			all = columns(all, f.Type, name, at)
		}
	}
	return all
}
