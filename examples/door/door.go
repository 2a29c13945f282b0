// Door lets programs in other languages ask what Go programs ask: a document in, a document out
// (exchange.Answer). It has three ways in:
//
//	go run ./examples/door <request.json     a program: from any language that starts one
//	GOOS=js GOARCH=wasm go build ./examples/door
//	                                         WebAssembly: answer(text) gives a promise of a text;
//	                                         testdata/ask.mjs asks from Node or a browser
//	go build -tags capi -buildmode=c-shared -o libfitgeom.so ./examples/door
//	                                         C: char *fitgeom_answer(const char *); testdata/ask.c
//
// None of them opens a file or looks at the clock. What is wrong with a request comes back as a
// document of kind fitgeom/faults.
package main

import (
	"context"

	"example.com/fitgeom/fitgeom/exchange"
)

// answer answers a document with a document.
func answer(request []byte) []byte {
	response, _ := exchange.Answer(context.Background(), request) // which says what is wrong
	return response
}
