//go:build js

// Command browser gives a page one function: fitgeomSheet takes a position's document and the
// names of measures, and returns their numbers, or what is wrong.
package main

import (
	"context"
	"strings"
	"syscall/js"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom/exchange"
)

func main() {
	js.Global().Set("fitgeomSheet", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) < 2 {
			return map[string]any{"faults": []any{"want a document and names of measures"}}
		}
		var names []string
		for i := range args[1].Length() {
			names = append(names, args[1].Index(i).String())
		}
		numbers, err := sheet(args[0].String(), names)
		if err == nil {
			return map[string]any{"numbers": numbers}
		}
		var faults []any
		for _, f := range contact.Faults(err) {
			faults = append(faults, f.Error())
		}
		return map[string]any{"faults": faults}
	}))
	if ready := js.Global().Get("fitgeomReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {} // the page calls from now on
}

func sheet(document string, names []string) (map[string]any, error) {
	position, _, err := exchange.Read[contact.Position](context.Background(), strings.NewReader(document))
	if err != nil {
		return nil, err
	}
	var measures []convert.Measure
	for _, name := range names {
		m, err := convert.ParseMeasure(name)
		if err != nil {
			return nil, err
		}
		measures = append(measures, m)
	}
	s, err := convert.NewSheet(position, convert.Basis{}, measures...)
	if err != nil {
		return nil, err
	}
	numbers := map[string]any{}
	for _, e := range s.Entries {
		numbers[e.Measure.String()] = e.Value
	}
	return numbers, nil
}
