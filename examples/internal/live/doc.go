// Package live is what people move on the pages of the examples: scenes with controls,
// which answer each move with figures and numbers of the library. The same code answers in
// a browser (package module) and in tests.
package live
