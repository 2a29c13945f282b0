//go:build cgo && capi

package main

// #include <stdlib.h>
import "C"

// fitgeom_answer answers a document, a text that ends with a zero byte, with another, which the
// caller frees. Any thread may call it.
//
//export fitgeom_answer
func fitgeom_answer(request *C.char) *C.char {
	if request == nil {
		return C.CString(string(answer(nil)))
	}
	return C.CString(string(answer([]byte(C.GoString(request)))))
}
