// Package apicheck holds tests on the exported names of this module's public
// packages: that they are those of testdata/api.txt, and that each is documented,
// with links that lead somewhere.
package apicheck
