// Package apicheck holds tests on this module's code as it is written: the exported
// names of the public packages are those of testdata/api.txt, each is documented, with
// links that lead somewhere, and called by a fuzz target; enumerations have names;
// imports go one way; sites are no numbers; functions and files are not too long.
package apicheck
