package exchange

import (
	"bytes"
	"cmp"
	"context"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// MaxSize is the greatest size of a document or table in bytes: 64 MiB.
const MaxSize = 64 << 20

// Content is what a document can hold: one of the kinds that the package
// documentation lists.
type Content interface {
	contact.Position | []contact.Position | rider.Body | survey.Survey | survey.TapeSurvey | photo.Survey |
		convert.Sheet | chart.Chart | fitgeom.Frame | []fitgeom.Size | fitgeom.Shelf |
		fitgeom.Build | []fitgeom.Candidate | request.Request | []contact.Error |
		survey.Fix | contact.Covariance | record.Record | record.History | record.Difference |
		[]solve.Step | rank.Ranking | []solve.Obstacle | convert.Solution | chart.Solution |
		[]region.Outline | design.Drawing | design.Problem | design.Report |
		motion.Recording | motion.Report | []motion.Change
}

// Read reads one document that holds a T, and the note that came with it: what is
// needed to compute with it. [ReadDocument] has the ids too, and whatever else it holds.
//
// All faults come back together, each a [*contact.Error] with its line and, as path, a
// JSON pointer (RFC 6901), or "document" where it concerns the whole; the package
// documentation lists them. With faults the value is zero. An error of the reader is
// returned as it is; a reader that again and again gives neither bytes nor an error ends
// with [io.ErrNoProgress]. If the context ends before the document is read, the error says
// how many bytes were, and wraps the context's. A reader that blocks is waited for.
func Read[T Content](ctx context.Context, r io.Reader) (v T, note string, err error) {
	d, err := ReadDocument[T](ctx, r, Reading{})
	return d.Value, d.Note, err
}

// Write writes a document of the oldest version that holds v, with a note for
// people or "". The text is always the same for the same value, and Read gives
// back that value; nil lists and empty ones count as the same, and so do 0 and -0.
//
// It refuses what Read would refuse, with all faults as Read reports them but without
// lines; then nothing is written, nor is it if the context ends first, whose error is
// wrapped. An error of the writer is returned as it is.
func Write[T Content](ctx context.Context, w io.Writer, v T, note string) error {
	return WriteDocument(ctx, w, Document[T]{Value: v, Note: note})
}

// Kind returns the kind of a document and its version, such as "1.0", by the first member
// of each name, without reading the rest: it does not tell whether [Read] accepts it.
// Faults are [contact.ErrMissing] for a schema or a version that cannot be found and
// [contact.ErrRange] for one that is none. The error of the context is wrapped if it ends
// before.
func Kind(ctx context.Context, data []byte) (schema, version string, err error) {
	m := work.New(ctx, -1)
	schema, v, err := head(m, unmarked(data))
	if err = cmp.Or(m.Err("the kind not found yet"), err); err != nil {
		return "", "", err
	}
	return schema, v.String(), nil
}

// unmarked is a text without the byte order mark that some programs put before it.
func unmarked(data []byte) []byte { return bytes.TrimPrefix(data, []byte("\ufeff")) }

func head(m *work.Meter, data []byte) (schema string, v strict.Version, err error) {
	var head struct {
		Schema  string         `json:"schema"`
		Version strict.Version `json:"version"`
	}
	var members []string
	for _, name := range []string{"schema", "version"} {
		if raw, ok := strict.Member(m, data, name); ok {
			members = append(members, strconv.Quote(name)+":"+string(raw))
		}
	}
	faults, _ := strict.Decode(m, []byte("{"+strings.Join(members, ",")+"}"), &head)
	for _, f := range faults.Faults() {
		f.Line = 0 // of a text that nobody sees
	}
	return head.Schema, head.Version, faults.Err()
}

func tooLarge(path string) error {
	return &contact.Error{Path: path, Value: "more than 64 MiB", Want: "at most that", Class: contact.ErrRange}
}

// at is a fault of a member of the document.
func at(m *work.Meter, data []byte, path, value, want string, class error) error {
	p := strict.Locate(m, data, []string{path})[0]
	return &contact.Error{Path: p.Path, Line: p.Line, Value: value, Want: want, Class: class}
}

// A kind is how documents hold one kind of content.
type kind[T any] struct {
	schema  string
	private bool // whether it holds what tells who somebody is
	read    func(m *work.Meter, data []byte, minor int, b *strict.Beside) (T, strict.Head, fault.List)
	write   func(m *work.Meter, v T, h strict.Head, b *strict.Beside) ([]byte, fault.List)
}

// single makes a kind of a type that is a document by itself.
func single[T any](schema string, validate func(*work.Meter, T) error) *kind[T] {
	same := func(v T) T { return v }
	return newKind(schema, same, same, validate)
}

// newKind makes a kind. D is what documents have for a T.
func newKind[T, D any](schema string, to func(T) D, from func(D) T, validate func(*work.Meter, D) error) *kind[T] {
	read := func(m *work.Meter, data []byte, minor int, b *strict.Beside) (T, strict.Head, fault.List) {
		var d D
		head, found, whole := strict.ReadDocument(m, data, &d, minor, b)
		if whole { // what was not read to its end has faults enough
			found = merge(m, data, found, validate(m, d), b)
		}
		return from(d), head, found
	}
	write := func(m *work.Meter, v T, h strict.Head, b *strict.Beside) ([]byte, fault.List) {
		d := to(v)
		h.Schema = schema
		data, found := strict.WriteDocument(m, h, d, b)
		found = merge(m, data, found, validate(m, d), b)
		for _, f := range found.Faults() {
			f.Line = 0 // of a text that nobody sees
		}
		return data, found
	}
	return &kind[T]{schema: schema, read: read, write: write}
}

// merge puts the faults of a value, in the order of their lines, behind those of its
// text. A fault of a value whose text is already faulty is left out, since that is not
// the value that was written, and so is one of what could not be read.
func merge(m *work.Meter, data []byte, text fault.List, err error, b *strict.Beside) (all fault.List) {
	var value fault.List
	value.In("", err)
	if value.Len() == 0 {
		return text
	}
	wrong := map[string]bool{}  // each place with a fault of the text
	around := map[string]bool{} // each with one in it
	flawed := func(path string) {
		wrong[path] = true
		for ; path != ""; path = outside(path) {
			around[path] = true
		}
	}
	for _, f := range text.Faults() {
		flawed(f.Path)
	}
	for path := range b.Whole {
		if path == "" {
			return text
		}
		flawed(path)
	}
	paths := make([]string, len(value.Faults()))
	for i, f := range value.Faults() {
		paths[i] = f.Path
	}
	inWrong := func(path string) bool {
		for ; path != ""; path = outside(path) {
			if wrong[path] {
				return true
			}
		}
		return false
	}
	var more []*fault.Fault
	var last fault.Fault
	for i, place := range strict.Locate(m, data, paths) {
		if value.Faults()[i].Last() {
			last = *value.Faults()[i]
			last.Path, last.Line = place.Path, place.Line
			break
		}
		if len(wrong) > 0 && (place.Path == strict.Document || around[place.Path] || inWrong(place.Path)) {
			continue
		}
		f := value.Faults()[i]
		if b.Open && f.Class == contact.ErrUnknown && place.Rest == "" { // a name of a later version
			b.Name(place.Path)
			continue
		}
		f.Path, f.Line = place.Path, place.Line
		switch {
		case place.Rest == "":
		case f.Class == contact.ErrMissing:
			f.Path = strings.TrimPrefix(f.Path, strict.Document) + "/" + strings.ReplaceAll(place.Rest, ".", "/")
		default:
			f.Want = place.Rest + ": " + f.Want
		}
		more = append(more, f)
	}
	slices.SortStableFunc(more, func(f, g *fault.Fault) int { return cmp.Compare(f.Line, g.Line) })
	all = text
	for _, f := range more {
		all.Put(*f)
	}
	if value.Full() {
		all.Put(last)
	}
	return all
}

// outside returns the JSON pointer of what a member or an element is in.
func outside(path string) string { return path[:max(0, strings.LastIndexByte(path, '/'))] }
