// Package intervals has tests alone: whether the ranges that surveys and sheets state hold
// what they say, on bikes and readings that programs of testdata/oracle draw.
package intervals
