package record

import (
	"reflect"
	"strconv"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
)

// A Bike is a [fitgeom.Build] of which whatever is zero is not stated.
type Bike struct {
	// Frame is the frame with its fork.
	Frame fitgeom.Frame `json:"frame,omitzero" zero:"not stated"`
	// Wheels is tyres and sag.
	Wheels       chart.Wheels     `json:"wheels,omitzero" zero:"not stated"`
	Cap          part.HeadsetCap  `json:"cap,omitzero" zero:"not stated"`
	Stem         part.Stem        `json:"stem,omitzero" zero:"not stated, or in one piece with the handlebar"`
	BarShim      part.Shim        `json:"bar_shim,omitzero" zero:"none"`
	Handlebar    part.Handlebar   `json:"handlebar,omitzero" zero:"not stated"`
	Lever        part.Lever       `json:"lever,omitzero" zero:"not stated, or none"`
	Aero         part.AeroBar     `json:"aero,omitzero" zero:"not stated, or none"`
	Seatpost     part.Seatpost    `json:"seatpost,omitzero" zero:"not stated"`
	SeatpostShim part.Shim        `json:"seatpost_shim,omitzero" zero:"none"`
	Saddle       part.Saddle      `json:"saddle,omitzero" zero:"not stated"`
	Crank        part.Crank       `json:"crank,omitzero" zero:"not stated"`
	Pedal        part.Pedal       `json:"pedal,omitzero" zero:"not stated"`
	Settings     fitgeom.Settings `json:"settings,omitzero" zero:"not stated"`
	// Bulk is how far tyres, pedals and shoes reach.
	Bulk clearance.Bulk `json:"bulk,omitzero" zero:"not stated"`
}

// Build returns the bike as a build; false if something is not stated without which there is
// none.
func (b Bike) Build() (fitgeom.Build, bool) {
	build := fitgeom.Build(b)
	ok := b.Frame != (fitgeom.Frame{}) && b.Handlebar != (part.Handlebar{}) && b.Cap != (part.HeadsetCap{}) &&
		(b.Stem != (part.Stem{}) || b.Handlebar.OnePiece()) && b.Seatpost != (part.Seatpost{}) &&
		b.Saddle != (part.Saddle{}) && b.Crank != (part.Crank{}) && b.Settings != (fitgeom.Settings{})
	return build, ok
}

// Validate reports what is wrong with each part that is stated, and, once there is a build,
// what does not go together. Errors have numbers in place of the names of interfaces.
func (b Bike) Validate() error {
	b = b.unnamed()
	if build, ok := b.Build(); ok {
		return build.Validate()
	}
	var all fault.List
	strict.Check(nil, &all, "", b)
	return all.Err()
}

// anonymous returns the bike without names and without what is about the rider.
func (b Bike) anonymous() Bike {
	b.Bulk.Shoe, b.Bulk.Knee, b.Bulk.Elbow = clearance.Shoe{}, 0, 0
	return b.unnamed()
}

// unnamed returns the bike without names. Those of interfaces become numbers, so that what
// went together still does.
func (b Bike) unnamed() Bike {
	numbers := map[string]string{}
	retext(reflect.ValueOf(&b).Elem(), func(field, text string) string {
		if field == "Name" || text == "" {
			return ""
		}
		if numbers[text] == "" {
			numbers[text] = "interface " + strconv.Itoa(len(numbers)+1)
		}
		return numbers[text]
	})
	return b
}

// sameParts reports whether two parts are the same: if either has no name, by their numbers.
func sameParts[T comparable](a, b T) bool {
	named := func(v T) bool { return reflect.ValueOf(v).FieldByName("Name").String() != "" }
	if !named(a) || !named(b) {
		for _, v := range []*T{&a, &b} {
			retext(reflect.ValueOf(v).Elem(), func(string, string) string { return "" })
		}
	}
	return a == b
}

// retext changes every text in a struct and in the structs in it.
func retext(v reflect.Value, to func(field, text string) string) {
	for i := range v.NumField() {
		switch f := v.Field(i); f.Kind() {
		case reflect.Struct:
			retext(f, to)
		case reflect.String:
			f.SetString(to(v.Type().Field(i).Name, f.String()))
		}
	}
}
