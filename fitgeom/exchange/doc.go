// Package exchange reads and writes the documents and tables that carry surveys,
// positions, riders' bodies, sheets, charts, frames, parts, builds and results between
// programs, in Go or not.
//
// # Documents
//
// A document is a JSON object (RFC 8259, UTF-8) with its kind and version, a note for
// people if there is one, and the content:
//
//	{
//	  "schema": "fitgeom/position",
//	  "version": "1.0",
//	  "note": "Invented data.",
//	  "sites": {
//	    "saddle_reference": {"at_mm": [-208, 0, 706], "attitude": {"tilt_deg": -1.2}},
//	    "hoods_left": {"at_mm": [580, 212, 637]},
//	    "hoods_right": {"at_mm": [581, -210, 636]}
//	  }
//	}
//
// The kinds, and the Go types that [Read] and [Write] have for them:
//
//	fitgeom/position     contact.Position
//	fitgeom/positions    []contact.Position
//	fitgeom/body         rider.Body
//	fitgeom/survey       survey.Survey
//	fitgeom/tape_survey  survey.TapeSurvey
//	fitgeom/photographs  photo.Survey
//	fitgeom/sheet        convert.Sheet
//	fitgeom/chart        chart.Chart
//	fitgeom/frame        fitgeom.Frame
//	fitgeom/frames       []fitgeom.Size, without Row
//	fitgeom/shelf        fitgeom.Shelf
//	fitgeom/build        fitgeom.Build
//	fitgeom/results      []fitgeom.Candidate
//	fitgeom/request      request.Request
//	fitgeom/faults       []contact.Error
//	fitgeom/record       record.Record
//	fitgeom/records      record.History
//	fitgeom/changes      record.Difference
//	fitgeom/fix          survey.Fix, without what later readings could be placed by
//	fitgeom/covariance   contact.Covariance
//	fitgeom/solution     convert.Solution
//	fitgeom/completion   chart.Solution
//	fitgeom/steps        []solve.Step
//	fitgeom/obstacles    []solve.Obstacle
//	fitgeom/ranking      rank.Ranking, with sizes without Row
//	fitgeom/region       []region.Outline
//	fitgeom/drawing      design.Drawing
//	fitgeom/design_problem  design.Problem, without Budget
//	fitgeom/design       design.Report
//	fitgeom/recording    motion.Recording
//	fitgeom/motion       motion.Report
//	fitgeom/motion_changes  []motion.Change
//
// [Schema] is a JSON Schema (2020-12) of every kind, which tells each member's meaning
// and range; testdata/exchange/v1 has a document of every kind. Names of lengths end in
// _mm, names of angles in _deg. Where the unit depends on the measure, as in a sheet, the
// member is value_mm or value_deg. Only the readings of a survey, its sigma and its
// covariance are in the unit that the survey states. Ranges are in the unit of their
// coordinate, findings, suspects and checks in that of what they are about, and what decides
// between frames in that of its reason. Sentences are a phrase by its name and its arguments,
// so that a program may say them in any language. An optional member that is left out
// is 0 or absent. Sites, measures, dimensions, landmarks and limits are given by their
// names.
//
// Every object of a document, but for those whose members are keys, such as "sites", may
// have an "id", a text of 1 to 200 characters, and a "meta", an object of anything: keys
// and data of whoever wrote it, such as a stock number beside a stem. [ReadDocument]
// returns them beside the value, and [WriteDocument] writes them where they were; [Read]
// and [Write] are for the value alone.
//
// Writing and reading back gives the same value exactly. Results carry, for readers in
// other languages, what follows from a build and its deviations: whether it holds, its
// score, position, margins and cautions. These may be left out; where they are given they
// must be right.
//
// # Answers
//
// [Answer] takes a document that asks and returns one that answers, so that a program in any
// language needs one function of bytes. What is wrong with a request is a document too, of
// kind fitgeom/faults: of each fault the path and the line of the member, what was given, what is
// wanted, and its class, which is one of "missing", "out of range", "wrong unit",
// "contradiction", "unknown name" and "more work than the budget allows". The
// Example (Service) is a whole service.
//
// # Tables
//
// Catalogues of frame sizes ([ReadCatalogue]) and lists of points ([ReadPoints]) are
// comma-separated values: RFC 4180, UTF-8 with or without a byte order mark, lines that
// end in LF or CRLF, a first row that names the columns, in any order. Numbers have a
// decimal point, and may have an exponent. Space around a cell is ignored, and so are
// empty lines and lines that begin with #. An empty cell means "not stated", where that
// is allowed. An unknown column, a repeated one and a required one that is missing are
// faults. [ReadSpreadsheet] reads catalogues as spreadsheets save them instead: it finds out
// how they are written, keeps other columns, and says what was not stated.
//
// # Versions
//
// A version is "major.minor". This library knows 1.0, for which a document may also have the
// number 1. A later library reads every version that was ever written, and writes the oldest
// that holds the value. No member is ever given another meaning, unit or range; a minor
// version has more members, all of which may be left out, or more names.
//
// In a document of a version that is known, whatever is not known is a slip, and a fault. In
// one of a later minor version it is kept: read, reported, and written back by
// [WriteDocument]. Members that change what others mean are listed by such a document in
// "needs"; where one of them is not known, and where a name is not known that stands for a
// value, computing is refused, and the document can only be carried ([Reading]).
//
// # Errors
//
// Of records no error repeats anything that somebody wrote but numbers.
//
// Nothing is ignored in silence. These are refused: a member that is unknown, missing,
// null, repeated or of the wrong type; a number that is not a finite float64; another
// kind of document; a version that this library does not read; what a document needs and
// this library does not know; text that is not UTF-8 (a byte order mark is passed over), has
// half of a surrogate pair, is not well formed, or continues after the document; and
// whatever the value's own Validate reports. All faults of a document are reported together, those of the text first, then
// those of the value in the order of their lines, each as a [*contact.Error] with its line.
// The path is a JSON pointer (RFC 6901) to the member that is wrong or missing, or to the
// innermost one around what is wrong, and "document" where it is the whole. Faults that
// only follow from another one are left out.
//
// # Limits
//
// A document or table has at most 64 MiB ([MaxSize]); an array at most 100,000 elements,
// and the elements of all arrays together take at most 18 times the document's size and 8
// MiB in memory, which only elements of next to no text exceed, such as 35,000 positions of
// one site each; a text or name at most 256 KiB; a number at most 1,000 digits in a row.
// Brackets are nested at most 100 deep. A row of a table has at most 16 KiB and ten times
// as many cells as there are columns, a name in it at most 2 KiB.
//
// Whatever the input, reading it has at most 20 times its size and 16 MiB of memory in
// use, and its time grows no faster than its size. An error lists at most 1,000 faults
// with 256 KiB of text, and then one more, which tells where the list ends; in it, names
// are cut after 60 characters. After that the rest of a document or of a list of points
// is not read; of a catalogue it is, for the sake of its sound rows.
//
// Reading and writing end within 5 ms of their context, on a machine that is not busy,
// with an error that wraps the context's. A reader or writer that blocks is waited for.
//
// # Cost
//
// Reading takes about as long as with the readers of the standard library, which check
// none of this: a catalogue of 100,000 sizes half a second, and 10,000 positions (9 MB) a
// fifth of one, on one core of a 2.5 GHz server.
//
// # Cautions
//
// A document that is read without a fault makes sense; it need not be true. Before a bike
// is built from results of another program, Problem.Verify of package fitgeom/solve
// recomputes them. What package fitgeom says of manufacturers, mechanics and clinicians
// holds here too.
package exchange
