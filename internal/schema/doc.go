// Package schema makes the JSON Schema of every document from the Go types that documents
// hold. Names and ranges come from the field tags, by packages field and strict, and the
// meaning of each member from the comment beside it. It reads the source of the module,
// and is for tests.
package schema
