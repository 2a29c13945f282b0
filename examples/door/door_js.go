//go:build js && wasm

package main

import "syscall/js"

// main gives JavaScript a function: fitgeomAnswer(text) returns a promise of a text.
func main() {
	js.Global().Set("fitgeomAnswer", js.FuncOf(func(_ js.Value, args []js.Value) any {
		request := ""
		if len(args) > 0 && args[0].Type() == js.TypeString {
			request = args[0].String()
		}
		var start js.Func
		start = js.FuncOf(func(_ js.Value, then []js.Value) any {
			go func() { // else the page stands still until it is answered
				defer start.Release()
				then[0].Invoke(string(answer([]byte(request))))
			}()
			return nil
		})
		return js.Global().Get("Promise").New(start)
	}))
	select {}
}
