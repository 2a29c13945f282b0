package exchange

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"io"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// current is the newest version of documents that this library knows. What its minor
// versions brought says so in its tags; the oldest that holds a value is written.
var current = strict.Version{Major: 1, Minor: 0}

// A Document is a value with all that a document holds beside it.
type Document[T Content] struct {
	// ID is a key of its writer's: 1 to 200 characters. "" is none.
	ID string
	// Note is for people.
	Note string
	// Meta is whatever else its writer wants to find again: a JSON object, or nil.
	Meta json.RawMessage
	// Value is the content.
	Value T
	// Items is ids and meta of the objects within, such as the elements of a list, by their
	// JSON pointers: "/sizes/3".
	Items map[string]Item

	// Version is the version that was read, such as "1.0". Writing needs it only where members
	// are written that a later one has.
	Version string
	// Needs is members that this library does not know and without which the others mean
	// something else, by JSON pointers with * for each place in a list and each name that
	// is a key, such as "/sites/*/grip_mm". With any, Value is to be shown and handed on,
	// and not to be computed with. Only [Reading.Carry] returns such a document.
	Needs []string
	// Unknown is the other members that this library does not know, in the same form.
	Unknown []string

	beside *strict.Beside // what was read; nil if nothing was
	needs  []string       // all that the document says it needs
}

// An Item is what belongs to one object of a document. Of one that was read it also has the
// members that this library does not know.
type Item struct {
	// ID is a key of the writer's: 1 to 200 characters. "" is none.
	ID string
	// Meta is a JSON object, or nil.
	Meta json.RawMessage
	more []byte
}

// Reading says which documents are read. The zero value reads what can be computed with.
type Reading struct {
	// Strict refuses documents of later minor versions, whatever they hold.
	Strict bool
	// Carry reads those that need what this library does not know, to show them and to
	// write them back.
	Carry bool
}

// ReadDocument reads a document and all that it holds. Faults are those of [Read].
//
// A document of a later minor version may have members that this library does not know.
// They are kept, listed in Unknown, and written back by [WriteDocument]. Where the document
// says that it needs one of them to be understood, or has a name that this library does not
// know, such as that of another measure, computing with it is refused: the error is a fault
// of class [contact.ErrUnknown] that names them, unless the document is only to be carried.
func ReadDocument[T Content](ctx context.Context, r io.Reader, how Reading) (d Document[T], err error) {
	k, from := kindFor[T](), newSource(ctx, r, strict.Document)
	data, err := from.all()
	if err != nil {
		return d, err
	}
	data = unmarked(data)
	b, known := &strict.Beside{}, current.Minor
	if schema, v, err := head(from.meter, data); err == nil {
		switch {
		case schema != k.schema:
			given := strconv.Quote(fault.Name(schema))
			if k.private {
				given = "another"
			}
			return d, at(from.meter, data, "schema", given, strconv.Quote(k.schema), contact.ErrConflict)
		case v.Major < 1:
			return d, at(from.meter, data, "version", v.String(), "1.0 or later", contact.ErrRange)
		case v.Major > current.Major || v.Minor > current.Minor && how.Strict:
			return d, at(from.meter, data, "version", v.String(), "at most "+current.String()+", the newest that this library reads", contact.ErrRange)
		}
		b.Open, known = v.Minor > current.Minor, v.Minor
	}
	v, h, faults := k.read(from.meter, data, known, b)
	k.hush(&faults, b)
	if err := cmp.Or(from.err(), faults.Err()); err != nil {
		return d, err
	}
	d = Document[T]{Note: h.Note, Value: v, Version: h.Version.String(), Unknown: b.Members, beside: b, needs: h.Needs}
	slices.Sort(d.Unknown)
	for path, it := range b.Items {
		if path == "" {
			d.ID, d.Meta = it.ID, it.Meta
			continue
		}
		if d.Items == nil {
			d.Items = make(map[string]Item, len(b.Items))
		}
		d.Items[path] = Item{it.ID, it.Meta, it.More}
	}
	d.Needs = append(b.Unmet, b.Names...)
	if slices.Sort(d.Needs); len(d.Needs) > 0 && !how.Carry {
		return Document[T]{}, at(from.meter, data, "needs", k.unmet(d.Needs, b),
			"members and names that version "+current.String()+" has; without them the rest means something else, and is only to be shown and handed on", contact.ErrUnknown)
	}
	return d, nil
}

// WriteDocument writes a document of the oldest version that holds it, as [Write] does,
// with all that is beside the value. What was read and is not known to this library goes
// where it was; an Item whose pointer leads to no object of the value is a fault, so that
// nothing gets lost or to another object in silence.
func WriteDocument[T Content](ctx context.Context, w io.Writer, d Document[T]) error {
	m := work.New(ctx, -1)
	h := strict.Head{Version: strict.Version{Major: current.Major}, Note: d.Note}
	b, err := d.aside(&h)
	if err != nil {
		return err
	}
	k := kindFor[T]()
	data, faults := k.write(m, d.Value, h, b)
	if faults.Len() == 0 && len(b.Items) > 0 {
		faults = strict.Sound(m, data)
	}
	k.hush(&faults, b)
	if err := cmp.Or(m.Err("nothing written"), faults.Err()); err != nil {
		return err
	}
	if len(data) > MaxSize {
		return tooLarge(strict.Document)
	}
	_, err = w.Write(data)
	return err
}

// aside is what is beside the value of a document, and in which version it can be written.
// What a document put together of another's fields needs is in Needs alone.
func (d *Document[T]) aside(h *strict.Head) (*strict.Beside, error) {
	b, names := &strict.Beside{}, []string(nil)
	if d.beside != nil {
		b.Open, b.Whole, names = d.beside.Open, d.beside.Whole, d.beside.Names
	}
	foreign := len(d.needs)+len(b.Whole)+len(d.Needs) > 0
	add := func(path string, it Item) {
		foreign = foreign || it.more != nil
		if it.ID == "" && it.Meta == nil && it.more == nil {
			return
		}
		if b.Items == nil {
			b.Items = make(map[string]strict.Item, len(d.Items)+1)
		}
		b.Items[path] = strict.Item{ID: it.ID, Meta: compact(it.Meta), More: it.more}
	}
	for path, it := range d.Items {
		add(path, it)
	}
	root := Item{ID: d.ID, Meta: d.Meta}
	if d.beside != nil {
		root.more = d.beside.Items[""].More
	}
	add("", root)
	if foreign { // members of a later version are nothing that an older one has
		var v strict.Version
		if v.UnmarshalText([]byte(d.Version)) != nil || v.Major != current.Major || v.Minor <= current.Minor {
			return nil, &contact.Error{Path: "version", Want: "the later version that was read, since members of it are written", Class: contact.ErrMissing}
		}
		h.Version, h.Needs = v, slices.Clone(d.needs)
		for _, n := range d.Needs {
			if !slices.Contains(h.Needs, n) && !slices.Contains(names, n) {
				h.Needs = append(h.Needs, n)
			}
		}
	}
	return b, nil
}

// compact is a JSON text without its spaces; what is none is returned as it is.
func compact(text json.RawMessage) []byte {
	var b bytes.Buffer
	if json.Compact(&b, text) != nil {
		return text
	}
	return b.Bytes()
}
