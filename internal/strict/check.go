package strict

import (
	"encoding"
	"math"
	"reflect"

	"example.com/fitgeom/internal/fault"
	tags "example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// Check records what is wrong with each value in v by the tags beside its fields and by
// the names of enumerations, in lists and in the forms of documents too. What has a
// Validate of its own is asked, but for v itself. The path is that of v. Once the meter
// says to stop it does, and what it recorded is of no use.
func Check(m *work.Meter, l *fault.List, path string, v any) {
	c := checker{meter: m, list: l}
	c.value(path, reflect.ValueOf(v), nil, true)
}

type checker struct {
	meter *work.Meter
	list  *fault.List
}

// value checks a value whose field says f, or nil.
func (c *checker) value(path string, v reflect.Value, f *tags.Field, root bool) {
	for v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return
		}
		v = v.Elem()
	}
	if f != nil && f.Zero != "" && v.IsZero() || !c.meter.Do(10) || c.list.Full() {
		return
	}
	switch v.Kind() {
	case reflect.Float64:
		c.number(path, v.Float(), f)
		return
	case reflect.Int:
		c.number(path, float64(v.Int()), f)
		return
	case reflect.String, reflect.Bool:
		return
	}
	if e, ok := v.Interface().(encoding.TextMarshaler); ok {
		if optional := f != nil && f.Omit && v.IsZero(); !optional {
			_, err := e.MarshalText()
			c.list.Named(path, err)
		}
		return
	}
	if own, ok := v.Interface().(interface{ Validate() error }); ok && !root {
		c.list.In(path, own.Validate())
		return
	}
	if form := formOf(v.Type()); form != nil {
		c.value(path, form.to(v), nil, true)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		c.fields(path, v, f)
	case reflect.Slice, reflect.Array:
		of := each(f)
		for i := range v.Len() {
			c.value(fault.At(path, i), v.Index(i), of, false)
		}
	case reflect.Map:
		of := each(f)
		for _, k := range v.MapKeys() {
			c.value(fault.Join(path, k.String()), v.MapIndex(k), of, false)
		}
	}
}

// each is what a field says of each element of a list, which is there.
func each(f *tags.Field) *tags.Field {
	if f == nil {
		return nil
	}
	of := *f
	of.Omit, of.Zero = false, ""
	return &of
}

func (c *checker) fields(path string, v reflect.Value, f *tags.Field) {
	if v.Type() == reflect.TypeFor[r3.Vec]() {
		for i := range v.NumField() {
			c.value(fault.At(path, i), v.Field(i), f, false)
		}
		return
	}
	all := tags.Of(v.Type())
	for i := range all {
		k, in := &all[i], path
		if !k.Inline {
			in = fault.Join(path, k.Name)
		}
		c.value(in, v.Field(k.Index), k, false)
	}
}

func (c *checker) number(path string, v float64, f *tags.Field) {
	switch {
	case f == nil || !f.Bounds:
		if !num.Finite(v) {
			c.list.Add(path, num.Text(v, ""), "a finite number", fault.ErrRange)
		}
	case f.Length:
		c.list.Length(path, v, f.Lo, f.Hi)
	case math.IsNaN(v) || v < f.Lo || v > f.Hi:
		c.list.Range(path, v, f.Lo, f.Hi, f.Unit)
	}
}
