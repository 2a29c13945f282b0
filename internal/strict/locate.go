package strict

import (
	"strconv"
	"strings"

	"example.com/fitgeom/internal/work"
)

// A Place is where something stands in a document.
type Place struct {
	Path string // JSON pointer, or Document
	Line int
	Rest string // of the path that was looked for, what is not there
}

// Locate finds places in a well-formed document. A path is as errors have it,
// "stems[2].length_mm". For a path that leads nowhere it gives the innermost place that
// is there. Once the
// meter says to stop it does, and what it returns is of no use.
func Locate(m *work.Meter, data []byte, paths []string) []Place {
	return locate(m, data, paths).found
}

// offsets is [Locate] that returns where in the document the places are.
func offsets(m *work.Meter, data []byte, paths []string) []int {
	return locate(m, data, paths).offset
}

func locate(m *work.Meter, data []byte, paths []string) *locator {
	l := locator{scanner: scanner{meter: m, data: data}, found: make([]Place, len(paths)), offset: make([]int, len(paths)), line: 1}
	var root branch
	for i, path := range paths {
		b := &root
		for _, seg := range segments(path) {
			b = b.to(seg)
		}
		b.paths = append(b.paths, i)
	}
	l.walk(&root, nil, 0)
	return &l
}

// segments takes a path apart: "stems[2].length_mm" into stems, 2 and length_mm.
func segments(path string) []string {
	if path == "" {
		return nil
	}
	path = strings.ReplaceAll(strings.ReplaceAll(path, "[", "."), "]", "")
	return strings.Split(strings.TrimPrefix(path, "."), ".")
}

// A branch is the paths that begin alike.
type branch struct {
	next  map[string]*branch
	paths []int
}

func (b *branch) to(seg string) *branch {
	if b.next == nil {
		b.next = map[string]*branch{}
	}
	if b.next[seg] == nil {
		b.next[seg] = &branch{}
	}
	return b.next[seg]
}

// each calls do for each path from here on, with what it has beyond.
func (b *branch) each(rest string, do func(path int, rest string)) {
	for _, i := range b.paths {
		do(i, rest)
	}
	for seg, n := range b.next {
		if rest != "" {
			seg = rest + "." + seg
		}
		n.each(seg, do)
	}
}

type locator struct {
	scanner
	found      []Place
	offset     []int // of each place
	line, from int   // the line at from
}

func (l *locator) walk(b *branch, path []byte, where int) {
	if where > l.from {
		l.line += l.newlines(l.from, where)
		l.from = where
	}
	place := Place{Path: string(path), Line: l.line}
	if len(path) == 0 {
		place.Path = Document
	}
	b.each("", func(i int, rest string) {
		place.Rest = rest
		l.found[i], l.offset[i] = place, where
	})
	l.space()
	start := l.at
	if len(b.next) > 0 {
		switch kindOf(l.peek()) {
		case object:
			l.enter()
			for raw, at, ok := l.key(true); ok; raw, at, ok = l.key(false) {
				name := string(unquoted(raw))
				if next := b.next[name]; next != nil {
					l.walk(next, appendName(path, name), at)
				} else {
					l.skip()
				}
			}
			return
		case array:
			l.enter()
			for n := 0; l.next(n == 0, ']'); n++ {
				l.space()
				if next := b.next[strconv.Itoa(n)]; next != nil {
					l.walk(next, strconv.AppendInt(append(path, '/'), int64(n), 10), l.at)
				} else {
					l.skip()
				}
			}
			return
		default: // nothing is in it
		}
	}
	l.at = start
	l.skip()
}
