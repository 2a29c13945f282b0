//go:build js && wasm

// Module is package live for a browser. It gives the page a function
//
//	fitgeom(kind, {name: document, ...}) → {controls, now(state), settled(state), document(state), warm(state, done)}
//
// All of these take and return text; an answer that starts with "!" is an error. But warm returns
// at once: it does what now does and calls done, does what settled does and calls it again, and
// lets the page have its turn in between.
package main

import (
	"context"
	"fmt"
	"syscall/js"
	"time"

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
			"settled":  asked(scene, scene.Settled),
			"warm": js.FuncOf(func(_ js.Value, args []js.Value) any {
				go warm(scene, args[0].String(), args[1])
				return nil
			}),
			"document": asked(scene, func(_ context.Context, s live.State) (string, error) {
				data, err := scene.Document(s)
				return string(data), err
			}),
		}
	}))
	select {} // it goes on answering
}

// asked returns a function for the page.
func asked(scene live.Scene, by asks) js.Func {
	return js.FuncOf(func(_ js.Value, args []js.Value) any {
		return answer(context.Background(), scene, args[0].String(), by)
	})
}

type asks func(context.Context, live.State) (string, error)

// answer answers. What went wrong is an answer, whatever it is, so that the next move is
// answered too.
func answer(ctx context.Context, scene live.Scene, state string, by asks) (said string) {
	defer func() {
		if wrong := recover(); wrong != nil {
			said = "!" + fmt.Sprint(wrong)
		}
	}()
	s, err := by(ctx, live.ParseState(scene, state))
	if err != nil {
		return "!" + err.Error()
	}
	return s
}

// warm does what will be asked for, so that it is quick then: a browser compiles at first quickly,
// and well what it has run some times.
func warm(scene live.Scene, state string, done js.Value) {
	ctx := &patient{Context: context.Background()}
	answer(ctx, scene, state, scene.Now)
	done.Invoke()
	answer(ctx, scene, state, scene.Settled)
	done.Invoke()
	for range 8 {
		time.Sleep(20 * time.Millisecond)
		answer(ctx, scene, state, scene.Now)
	}
}

// A patient context lets the page have its turn, some milliseconds after it last had, each time
// that a computation looks whether it is to go on.
type patient struct {
	context.Context
	last time.Time
}

func (p *patient) Err() error {
	if now := time.Now(); now.Sub(p.last) > 15*time.Millisecond {
		time.Sleep(time.Millisecond)
		p.last = time.Now()
	}
	return p.Context.Err()
}
