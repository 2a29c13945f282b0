// Package schema makes the JSON Schema of every document from the Go types that
// documents hold: names and ranges from their tags, by packages field and strict, and
// the meaning of each member from the comment beside it, so that it stands once. It
// reads the source of the module, and is for tests.
package schema
