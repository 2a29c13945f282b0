package work

import (
	"reflect"
	"sync"
)

var validators sync.Map // reflect.Type to func(*Meter, T) error

// Validator tells how a T is validated that may be so large that it takes long: like its
// Validate, but it counts a unit or more for each element and stops once the meter says
// so, whereupon what it returns is of no use. Packages call it from init.
func Validator[T any](validate func(*Meter, T) error) {
	validators.Store(reflect.TypeFor[T](), validate)
}

// Validate is v.Validate() that the meter can stop.
func Validate[T interface{ Validate() error }](m *Meter, v T) error {
	if validate, ok := validators.Load(reflect.TypeFor[T]()); ok {
		return validate.(func(*Meter, T) error)(m, v)
	}
	return v.Validate()
}
