//go:build js && wasm

// Module is package live for a browser. It gives the page a function
//
//	fitgeom(kind, {name: document, ...}) → {controls, now(state), settled(state), document(state)}
//
// All of these take and return text; an answer that starts with "!" is an error.
package main

import (
	"context"
	"fmt"
	"syscall/js"

	"example.com/fitgeom/examples/internal/live"
)

func main() {
	js.Global().Set("fitgeom", js.FuncOf(func(_ js.Value, args []js.Value) any {
		docs := live.Documents{}
		names := js.Global().Get("Object").Call("keys", args[1])
		for i := range names.Length() {
			name := names.Index(i).String()
			docs[name] = []byte(args[1].Get(name).String())
		}
		scene, err := live.Begin(args[0].String(), docs)
		if err != nil {
			return "!" + err.Error()
		}
		return map[string]any{
			"controls": live.JSON(scene),
			"now":      asked(scene, scene.Now),
			"settled":  asked(scene, func(s live.State) (string, error) { return scene.Settled(context.Background(), s) }),
			"document": asked(scene, func(s live.State) (string, error) {
				data, err := scene.Document(s)
				return string(data), err
			}),
		}
	}))
	select {} // it goes on answering
}

// asked returns a function for the page. What went wrong is an answer, whatever it is, so
// that the next move is answered too.
func asked(scene live.Scene, answer func(live.State) (string, error)) js.Func {
	return js.FuncOf(func(_ js.Value, args []js.Value) (said any) {
		defer func() {
			if wrong := recover(); wrong != nil {
				said = "!" + fmt.Sprint(wrong)
			}
		}()
		s, err := answer(live.ParseState(scene, args[0].String()))
		if err != nil {
			return "!" + err.Error()
		}
		return s
	})
}
