// Package published tests the public packages against the check values of
// testdata/published: numbers that others have published, with their sources.
//
// A file there consists of blocks, and a block of lines. `operation` opens it and names
// an entry of the test's table of operations; `source` says where the numbers come from;
// `state` says how the source was seen; `tolerance` is how far off the library may be,
// one line for each unit that is expected; `direction` says whether the conversion, its
// inverse or both are tried. Then come the cases, an `input` and one or more `expect`:
//
//	operation trail
//	source J. P. Meijaard et al. (2007), …, Table 1
//	state seen
//	tolerance 1e-9 mm
//	direction both
//	input head_angle=72 degrees fork_offset=32.07142672761929 mm radius=350 mm
//	expect trail=0.08 m
//	input head_angle=7.2 degrees fork_offset=32 mm radius=350 mm
//	expect failure range
//
// A number may be a list (1,2,3) or a list of points (0,0,0;1,0,0). A text has the unit
// `text`, and quotes if it contains spaces. `expect differs KEY=VALUE UNIT` is for an
// error that others made: the library must differ from it by more than the tolerance. A
// line that begins with `#` is a comment.
//
// The states:
//
//   - seen: the number was read in the source, or in the document that the source
//     line says it was read in, such as the tests of another library;
//   - seen secondary: it was only read in something that quotes the source, such as an
//     encyclopedia, a forum or the press;
//   - from memory: nobody has looked it up, so it must not be called published;
//   - computed: it follows from what the source says, computed by another program or by
//     hand.
//
// Nothing is ignored: an unknown word, an input that an operation does not use, and a
// missing tolerance, source or state fail the test.
package published
