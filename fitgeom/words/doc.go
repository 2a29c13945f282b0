// Package words has what is said of bikes as sentences that need no parsing: the code of a
// phrase, its arguments, and a template in English.
//
// Another language has a template of its own for each [Phrase], with the same names of
// arguments; an argument that is a word, such as "stem" or "left", is a code too. Numbers
// are arguments with their unit. What people have named is quoted and left as it is.
package words
