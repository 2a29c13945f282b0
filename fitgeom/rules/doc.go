// Package rules computes the figures of a bike that standards and race rules limit, and
// lists such rules as dated data.
//
// A [Figure] is a number of a build; a [Rule] limits one, with its source, its edition,
// and how the project has seen the text. [InForce] selects the [Set] of rules of a discipline
// on a day, and [Set.Check] tells of a build which of them are kept, by how much others are
// broken, and of which that is not known; some need to know the [Rider]. A solve.Problem has a set
// that builds must keep. Where a figure is also a measure of package
// convert, a dimension of package convert/chart or a quantity of package
// fitgeom/clearance, it is the same number.
//
// # Cautions
//
// Rules change and differ by country and discipline. The organiser or the authority
// decides. [Rules] is a beginning and not a rule book, for information only: most numbers
// were quoted by others, some remembered, and [Rule].Seen says so of each.
package rules
