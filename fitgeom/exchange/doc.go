// Package exchange is the format in which surveys, positions, sheets, charts,
// frames, parts, builds and results go from one program to another.
package exchange
