package strict

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"strconv"
	"unicode/utf8"
)

// A scanner goes through a text once and checks that it is well-formed JSON (RFC 8259).
type scanner struct {
	ctx   context.Context
	data  []byte
	at    int
	depth int
	seen  int // up to where the context had not ended
	// broken says that the text cannot be read any further: why is why it cannot,
	// and at is where.
	broken bool
	why    trouble
}

type trouble uint8

const (
	malformed trouble = iota
	tooDeep
	stopped // the context has ended
)

// every is after how many bytes a scanner looks at its context. To read them takes less
// than a millisecond.
const every = 1 << 14

// end reports whether the context has ended. It looks once in a while.
func (s *scanner) end() bool { return s.at-s.seen >= every && s.look() }

func (s *scanner) look() bool {
	s.seen = s.at
	if s.ctx.Err() != nil {
		s.fail(stopped)
	}
	return s.why == stopped
}

// err returns the error of the context if it was that which ended the scan.
func (s *scanner) err() error {
	if s.why == stopped {
		return s.ctx.Err()
	}
	return nil
}

func (s *scanner) fail(why trouble) bool {
	s.broken, s.why = true, why
	return false
}

// space goes to what is not space.
func (s *scanner) space() {
	for s.at < len(s.data) {
		switch s.data[s.at] {
		case ' ', '\t', '\r', '\n':
			if s.at++; s.at%every == 0 && s.end() {
				return
			}
		default:
			return
		}
	}
}

// peek returns the byte that comes next, or 0 at the end.
func (s *scanner) peek() byte {
	if s.at < len(s.data) {
		return s.data[s.at]
	}
	return 0
}

func (s *scanner) enter() bool {
	if s.depth++; s.depth > MaxDepth {
		return s.fail(tooDeep)
	}
	s.at++
	return true
}

func (s *scanner) leave() {
	s.depth--
	s.at++
}

// key reads a member up to its colon: its name, with quotes and escapes, and
// where that begins. It returns false at the end of the object, which it leaves,
// and when the text is broken.
func (s *scanner) key(first bool) (name []byte, where int, ok bool) {
	if !s.next(first, '}') {
		return nil, 0, false
	}
	where = s.at
	if s.peek() != '"' {
		return nil, 0, s.fail(malformed)
	}
	if !s.text() {
		return nil, 0, false
	}
	name = s.data[where:s.at]
	if s.space(); s.peek() != ':' {
		return nil, 0, s.fail(malformed)
	}
	s.at++
	return name, where, true
}

// next goes to the next thing between brackets. It returns false at the end of
// them, which it leaves, and when the text is broken.
func (s *scanner) next(first bool, end byte) bool {
	s.space()
	switch c := s.peek(); {
	case s.broken || s.end():
		return false
	case c == end:
		s.leave()
		return false
	case first:
		return true
	case c == ',':
		s.at++
		s.space()
		return true
	default:
		return s.fail(malformed)
	}
}

// text goes past a string.
func (s *scanner) text() bool {
	for s.at++; s.at < len(s.data); s.at++ {
		switch c := s.data[s.at]; {
		case c >= ' ' && c != '"' && c != '\\':
			if s.at%every == 0 && s.end() {
				return false
			}
		case c == '"':
			s.at++
			return true
		case c < ' ':
			return s.fail(malformed)
		case c == '\\':
			s.at++
			switch s.peek() {
			case '"', '\\', '/', 'b', 'f', 'n', 'r', 't':
			case 'u':
				for range 4 {
					s.at++
					if c := s.peek() | 0x20; !(c >= '0' && c <= '9' || c >= 'a' && c <= 'f') || s.peek() < '0' {
						return s.fail(malformed)
					}
				}
			default:
				return s.fail(malformed)
			}
		}
	}
	return s.fail(malformed)
}

// number goes past a number.
func (s *scanner) number() bool {
	if s.peek() == '-' {
		s.at++
	}
	if s.peek() == '0' {
		s.at++
	} else if !s.digits() {
		return false
	}
	if s.peek() == '.' {
		s.at++
		if !s.digits() {
			return false
		}
	}
	if s.peek()|0x20 == 'e' {
		s.at++
		if c := s.peek(); c == '+' || c == '-' {
			s.at++
		}
		return s.digits()
	}
	return true
}

func (s *scanner) digits() bool {
	from := s.at
	for s.at < len(s.data) && s.data[s.at]-'0' <= 9 {
		if s.at++; s.at%every == 0 && s.end() {
			return false
		}
	}
	if s.at == from {
		return s.fail(malformed)
	}
	return true
}

// word goes past a word.
func (s *scanner) word(w string) bool {
	for i := range len(w) {
		if s.peek() != w[i] {
			return s.fail(malformed)
		}
		s.at++
	}
	return true
}

// skip goes past a value of any kind.
func (s *scanner) skip() bool {
	s.space()
	switch kindOf(s.peek()) {
	case object:
		if !s.enter() {
			return false
		}
		for _, _, ok := s.key(true); ok; _, _, ok = s.key(false) {
			if !s.skip() {
				return false
			}
		}
	case array:
		if !s.enter() {
			return false
		}
		for first := true; s.next(first, ']'); first = false {
			if !s.skip() {
				return false
			}
		}
	case text:
		return s.text()
	case number:
		return s.number()
	case boolean:
		if s.peek() == 't' {
			return s.word("true")
		}
		return s.word("false")
	case null:
		return s.word("null")
	default:
		return s.fail(malformed)
	}
	return !s.broken
}

// A kind is what a value is in a document.
type kind uint8

const (
	none kind = iota
	object
	array
	text
	number
	boolean
	null
)

func (k kind) String() string {
	return [...]string{"nothing", "an object", "an array", "a string", "a number", "true or false", "null"}[k]
}

// kindOf tells the kind of a value by its first character.
func kindOf(c byte) kind {
	switch {
	case c == '{':
		return object
	case c == '[':
		return array
	case c == '"':
		return text
	case c == '-' || c >= '0' && c <= '9':
		return number
	case c == 't' || c == 'f':
		return boolean
	case c == 'n':
		return null
	default:
		return none
	}
}

// unquoted returns what a well-formed string says, given with its quotes.
func unquoted(raw []byte) []byte {
	inside := raw[1 : len(raw)-1]
	if bytes.IndexByte(inside, '\\') < 0 {
		return inside
	}
	var s string
	_ = json.Unmarshal(raw, &s)
	return []byte(s)
}

// given prints a well-formed value for people, short.
func given(raw []byte) string {
	switch kind := kindOf(raw[0]); kind {
	case object, array:
		return kind.String()
	case text:
		return quote(string(unquoted(raw)))
	default:
		return short(string(raw))
	}
}

func quote(s string) string { return strconv.Quote(short(s)) }

// short cuts a text that is too long for an error.
func short(s string) string {
	n := 0
	for i := range s {
		if n++; n > 40 {
			return s[:i] + "…"
		}
	}
	return s
}

// here prints what comes next in the text, and its column.
func (s *scanner) here() string {
	what := "end of the text"
	if s.at < len(s.data) {
		r, _ := utf8.DecodeRune(s.data[s.at:])
		what = strconv.QuoteRune(r)
	}
	line := s.data[1+bytes.LastIndexByte(s.data[:min(s.at, len(s.data))], '\n') : min(s.at, len(s.data))]
	return fmt.Sprintf("%s at column %d", what, 1+utf8.RuneCount(line))
}

func newlines(data []byte) int { return bytes.Count(data, []byte("\n")) }
