package exchange

import (
	"reflect"

	"example.com/fitgeom/internal/work"
)

// A pile is a list that grows without moving what it has. A large list that is copied
// as it grows takes twice its size, and each copy longer than a caller should wait who
// has given up.
type pile[T any] struct {
	full [][]T
	top  []T
	size int // of those that are full
}

// pieceBytes is the most bytes of one piece of a pile.
const pieceBytes = 1 << 18

// space makes room for at least one more.
func (p *pile[T]) space() {
	if len(p.top) < cap(p.top) {
		return
	}
	one := int(reflect.TypeFor[T]().Size())
	p.full, p.size = append(p.full, p.top), p.size+len(p.top)
	p.top = make([]T, 0, max(1, min(max(4096/one, 2*cap(p.top)), pieceBytes/one)))
}

func (p *pile[T]) add(v T) {
	p.space()
	p.top = append(p.top, v)
}

func (p *pile[T]) len() int { return p.size + len(p.top) }

// list returns all of it in one; less once the meter says to stop.
func (p *pile[T]) list(m *work.Meter) []T {
	if p.size == 0 {
		return p.top
	}
	all := work.Make[T](m, p.len())[:0]
	for _, part := range append(p.full, p.top) {
		if !m.Do(pieceBytes / 64) {
			break
		}
		all = append(all, part...)
	}
	return all
}
