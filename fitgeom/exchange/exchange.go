package exchange

import (
	"cmp"
	"context"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
)

// MaxSize is the greatest size of a document or table in bytes: 64 MiB.
const MaxSize = 64 << 20

// Content is what a document can hold: one of the kinds that the package
// documentation lists.
type Content interface {
	contact.Position | []contact.Position | rider.Body | survey.Survey | survey.TapeSurvey |
		convert.Sheet | chart.Chart | fitgeom.Frame | []fitgeom.Size | fitgeom.Shelf |
		fitgeom.Build | []fitgeom.Candidate
}

// Read reads one document that holds a T, and the note that came with it.
//
// All faults come back together, each a [*contact.Error] with its line and, as path, a
// JSON pointer (RFC 6901), or "document" where it concerns the whole; the package
// documentation lists them. With faults the value is zero. An error of the reader, or of
// the context if it ends before the document is read, is returned as it is; a reader that
// again and again gives neither bytes nor an error ends with [io.ErrNoProgress]. A reader
// that blocks is waited for.
func Read[T Content](ctx context.Context, r io.Reader) (v T, note string, err error) {
	k := kindFor[T]()
	data, err := (&source{ctx: ctx, r: r, what: strict.Document}).all()
	if err != nil {
		return v, "", err
	}
	version := len(k.readers) // what is no version at all is a fault that the newest reader finds
	if schema, n, err := Kind(ctx, data); err == nil {
		switch {
		case schema != k.schema:
			return v, "", at(ctx, data, "schema", strconv.Quote(schema), strconv.Quote(k.schema), contact.ErrConflict)
		case n < 1:
			return v, "", at(ctx, data, "version", strconv.Itoa(n), "1 or more", contact.ErrRange)
		case n > version:
			return v, "", at(ctx, data, "version", strconv.Itoa(n), "at most "+strconv.Itoa(version)+", the newest that this library reads", contact.ErrRange)
		}
		version = n
	}
	v, note, faults, err := k.readers[version-1](ctx, data)
	if faults != nil || err != nil {
		var none T
		return none, "", cmp.Or(err, strict.Join(faults))
	}
	return v, note, nil
}

// Write writes a document of the newest version that holds v, with a note for
// people or "". The text is always the same for the same value, and Read gives
// back that value; nil lists and empty ones count as the same, and so do 0 and -0.
//
// It refuses what Read would refuse, with all faults as Read reports them but without
// lines; then nothing is written, nor is it if the context ends first. An error of the
// writer or of the context is returned as it is.
func Write[T Content](ctx context.Context, w io.Writer, v T, note string) error {
	k := kindFor[T]()
	data, err := k.write(ctx, v, note)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// Kind returns the kind of a document and its version, by the first member of each name,
// without reading the rest: it does not tell whether [Read] accepts it. Faults are
// [contact.ErrMissing] for a schema or a version that cannot be found and
// [contact.ErrRange] for one that is not a string or not a whole number. An error of the
// context is returned as it is.
func Kind(ctx context.Context, data []byte) (schema string, version int, err error) {
	var head struct {
		Schema  string `json:"schema"`
		Version int    `json:"version"`
	}
	var members []string
	for _, name := range []string{"schema", "version"} {
		if raw, ok := strict.Member(ctx, data, name); ok {
			members = append(members, strconv.Quote(name)+":"+string(raw))
		}
	}
	if err := ctx.Err(); err != nil {
		return "", 0, err
	}
	if err := strict.Unmarshal([]byte("{"+strings.Join(members, ",")+"}"), &head); err != nil {
		for _, f := range contact.Faults(err) {
			f.Line = 0 // of a text that nobody sees
		}
		return "", 0, err
	}
	return head.Schema, head.Version, nil
}

func tooLarge(path string) error {
	return &contact.Error{Path: path, Value: "more than 64 MiB", Want: "at most that", Class: contact.ErrRange}
}

// at is a fault of a member of the document.
func at(ctx context.Context, data []byte, path, value, want string, class error) error {
	p := strict.Locate(ctx, data, []string{path})[0]
	return &contact.Error{Path: p.Path, Line: p.Line, Value: value, Want: want, Class: class}
}

// A kind is how documents hold one kind of content.
type kind[T any] struct {
	schema string
	// readers has one reader for each version from 1. They stay when the next one comes.
	readers []reader[T]
	write   func(ctx context.Context, v T, note string) ([]byte, error)
}

type reader[T any] = func(ctx context.Context, data []byte) (T, string, []*fault.Fault, error)

// single makes a kind of a type that is a document by itself.
func single[T any](schema string, validate func(T) error) *kind[T] {
	same := func(v T) T { return v }
	return newKind(schema, same, same, validate)
}

// newKind makes a kind of which there is one version. D is what documents have for a T.
func newKind[T, D any](schema string, to func(T) D, from func(D) T, validate func(D) error) *kind[T] {
	return &kind[T]{
		schema: schema,
		readers: []reader[T]{func(ctx context.Context, data []byte) (T, string, []*fault.Fault, error) {
			var d D
			head, found, whole, err := strict.ReadDocument(ctx, data, &d)
			if whole { // what was not read to its end has faults enough
				found = merge(ctx, data, found, validate(d))
				err = ctx.Err()
			}
			return from(d), head.Note, found, err
		}},
		write: func(ctx context.Context, v T, note string) ([]byte, error) {
			d := to(v)
			data, found, err := strict.WriteDocument(ctx, strict.Head{Schema: schema, Version: 1, Note: note}, d)
			if err != nil {
				return nil, err
			}
			found = merge(ctx, data, found, validate(d))
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if found != nil {
				for _, f := range found {
					f.Line = 0 // of a text that nobody sees
				}
				return nil, strict.Join(found)
			}
			if len(data) > MaxSize {
				return nil, tooLarge(strict.Document)
			}
			return data, nil
		},
	}
}

// merge puts the faults of a value, in the order of their lines, behind those of its
// text. A fault of a value whose text is already faulty is left out, since that is not
// the value that was written.
func merge(ctx context.Context, data []byte, text []*fault.Fault, err error) []*fault.Fault {
	var value []*fault.Fault
	fault.Each(err, func(f *fault.Fault) { value = append(value, f) })
	if len(value) == 0 {
		return text
	}
	wrong := map[string]bool{}  // each place with a fault of the text
	around := map[string]bool{} // each with one in it
	for _, f := range text {
		wrong[f.Path] = true
		for path := f.Path; path != ""; path = outside(path) {
			around[path] = true
		}
	}
	paths := make([]string, len(value))
	for i, f := range value {
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
	var all []*fault.Fault
	for i, place := range strict.Locate(ctx, data, paths) {
		if len(text) > 0 && (place.Path == strict.Document || around[place.Path] || inWrong(place.Path)) {
			continue
		}
		f := *value[i]
		f.Path, f.Line = place.Path, place.Line
		switch {
		case place.Rest == "":
		case f.Class == contact.ErrMissing:
			f.Path = strings.TrimPrefix(f.Path, strict.Document) + "/" + strings.ReplaceAll(place.Rest, ".", "/")
		default:
			f.Want = place.Rest + ": " + f.Want
		}
		all = append(all, &f)
	}
	slices.SortStableFunc(all, func(f, g *fault.Fault) int { return cmp.Compare(f.Line, g.Line) })
	return append(text, all...)
}

// outside returns the JSON pointer of what a member or an element is in.
func outside(path string) string { return path[:max(0, strings.LastIndexByte(path, '/'))] }
