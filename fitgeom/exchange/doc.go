// Package exchange is the format in which programs, in Go or not, hand one another
// surveys, positions, riders' bodies, sheets, charts, frames, parts, builds and results.
//
// # Documents
//
// A document is a JSON object (RFC 8259, UTF-8) with its kind and version, a note for
// people if there is one, and the content:
//
//	{
//	  "schema": "fitgeom/position",
//	  "version": 1,
//	  "note": "Invented data.",
//	  "sites": {
//	    "saddle_reference": {"at_mm": [-208, 0, 706], "attitude": {"tilt_deg": -1.2}},
//	    "hoods_left": {"at_mm": [580, 212, 637]},
//	    "hoods_right": {"at_mm": [581, -210, 636]}
//	  }
//	}
//
// The kinds, and what [Read] and [Write] have for them:
//
//	fitgeom/position     contact.Position
//	fitgeom/positions    []contact.Position
//	fitgeom/body         rider.Body
//	fitgeom/survey       survey.Survey
//	fitgeom/tape_survey  survey.TapeSurvey
//	fitgeom/sheet        convert.Sheet
//	fitgeom/chart        chart.Chart
//	fitgeom/frame        fitgeom.Frame
//	fitgeom/frames       []fitgeom.Size, without Row
//	fitgeom/shelf        fitgeom.Shelf
//	fitgeom/build        fitgeom.Build
//	fitgeom/results      []fitgeom.Candidate
//
// [Schema] is a JSON Schema (2020-12) of every kind, which tells each member's
// meaning and range; testdata/exchange/v1 has a document of every kind. A name ends in _mm or
// _deg where it stands for a length or an angle; where a number's unit depends on what
// it belongs to, as in a sheet, the document has value_mm or value_deg, whichever is
// right. The readings of a survey, its sigma and its covariance alone are in the unit
// that the survey states. A member that may be left out is 0 or nothing then. Sites,
// measures, dimensions, landmarks and limits stand by their names.
//
// Writing and reading back gives the same value exactly. Results carry, for readers in
// other languages, what follows from a build and its deviations: whether it holds, its
// score, position, margins and cautions. They may be left out, and what is there must
// be true.
//
// # Tables
//
// Catalogues of frame sizes ([ReadCatalogue]) and lists of points ([ReadPoints]) are
// comma-separated values: RFC 4180, UTF-8 with or without a byte order mark, lines
// that end in LF or CRLF, a first row that names the columns, in any order. Numbers
// have a decimal point, and an exponent if they like. Space around a cell does not
// count, nor do empty lines and lines that begin with #. An empty cell says that
// something is not stated, where it may be so. A column of another name, one that is
// there twice and a needed one that is not there are faults.
//
// # Versions
//
// Version 1 is the only one so far. A later version of this library reads every
// version that was ever written, and writes the newest. No member is ever given
// another meaning or another unit. Since readers refuse what they do not know, every
// change makes a new version, be it only a member more.
//
// # Errors
//
// Nothing passes in silence. What is refused: a member that is unknown, missing,
// null, of another type or there twice; a number that is no finite float64; another
// kind of document; a version that this library does not know; text that is not UTF-8
// or not well formed, or goes on behind the document; and whatever the value's own
// Validate reports. All faults of a document come back together, those of the text
// first, then those of the value in the order of their lines, each a [*contact.Error]
// with its line. The path is a JSON pointer (RFC 6901)
// to the member that is wrong or missing, or to the innermost one around what is
// wrong, and "document" where it is the whole. Faults that are only the consequence
// of another one are left out.
//
// # Limits
//
// A document or table has at most 64 MiB ([MaxSize]), an array at most 100,000
// elements, a chart at most 1,000 dimensions; 100 brackets are open at once. After
// 10,000 faults of a document and 100,000 of a table no more are looked for. Time and
// memory grow with the size of what is read, no faster.
//
// # Cost
//
// Reading takes about as long as the bare readers of the standard library, which check
// none of this: a catalogue of 100,000 sizes half a second, and 10,000 positions (9
// MB) a fifth of one, on one core of a 2.5 GHz server.
//
// # Cautions
//
// A document that is read without a fault makes sense; it need not be true. Before a
// bike is built by results from elsewhere, Problem.Verify of package fitgeom/solve
// recomputes them, and what fitgeom says of makers, mechanics and clinicians holds here
// too.
package exchange
