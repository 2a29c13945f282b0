// Package apicheck tests this module's source code. The exported names of the public
// packages are those of testdata/api.txt; each is documented, with links that lead
// somewhere, and called by a fuzz target. Enumerations have names, imports go one way,
// sites are not used as numbers, and functions and files are not too long.
package apicheck
