package exchange

import _ "embed" // the schema is part of the program

//go:embed schema.v1.json
var schema string

// Schema returns the JSON Schema (2020-12) of every kind of document, with every range of
// a number and with what each member means. It is one file and needs no other: a member
// named schema tells the kind. A schema cannot check several numbers against one another,
// as Read does; it accepts everything that Read accepts.
func Schema() []byte { return []byte(schema) }
