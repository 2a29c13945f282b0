package strict

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"unicode/utf8"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A scanner goes through a text once and checks that it is well-formed JSON (RFC 8259).
type scanner struct {
	meter   *work.Meter // counts bytes
	data    []byte
	at      int
	depth   int
	counted int // up to where
	// broken says that the text cannot be read any further: why is why it cannot,
	// and at is where.
	broken bool
	why    trouble
}

type trouble uint8

const (
	malformed trouble = iota
	tooDeep
	tooLong // a text or a number
	unpaired
	stopped // by the meter
	enough  // faults
)

// often is after how many bytes a scanner asks its meter.
const often = 1024

// end reports whether the meter says to stop.
func (s *scanner) end() bool { return s.at-s.counted >= often && s.stop() }

func (s *scanner) stop() bool {
	if !s.meter.Do(s.at - s.counted) {
		s.fail(stopped)
	}
	s.counted = s.at
	return s.broken
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
			if s.at++; s.at%often == 0 && s.end() {
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
	start := s.at
	for s.at++; s.at < len(s.data) && s.at-start <= MaxText+1; s.at++ {
		switch c := s.data[s.at]; {
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
				if !s.unicode() {
					return false
				}
			default:
				return s.fail(malformed)
			}
		}
	}
	if s.at < len(s.data) {
		return s.fail(tooLong)
	}
	return s.fail(malformed)
}

// unicode goes past the u of an escape and what belongs to it, up to the last digit.
// Halves of a surrogate pair stand for nothing by themselves.
func (s *scanner) unicode() bool {
	code, ok := s.hex()
	if !ok || code < 0xD800 || code > 0xDFFF {
		return ok
	}
	if first := s.at; code < 0xDC00 && bytes.HasPrefix(s.data[s.at+1:], []byte(`\u`)) {
		s.at += 2
		if code, ok = s.hex(); !ok || code >= 0xDC00 && code <= 0xDFFF {
			return ok
		}
		s.at = first
	}
	s.at -= len(`\uD800`) - 1
	return s.fail(unpaired)
}

// hex reads four digits behind the byte that it is at, and stays at the last of them.
func (s *scanner) hex() (code int, ok bool) {
	for range 4 {
		s.at++
		c := s.peek()
		switch {
		case c >= '0' && c <= '9':
			c -= '0'
		case c|0x20 >= 'a' && c|0x20 <= 'f':
			c = c | 0x20 - 'a' + 10
		default:
			return 0, s.fail(malformed)
		}
		code = code<<4 | int(c)
	}
	return code, true
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
		if s.at++; s.at-from > MaxDigits {
			return s.fail(tooLong)
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
		return string(fault.Name(raw))
	}
}

func quote(s string) string { return strconv.Quote(fault.Name(s)) }

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

// newlines counts the lines that end in a part of the text.
func (s *scanner) newlines(from, to int) (n int) {
	const piece = 1 << 20
	for ; from < to && s.meter.Do(piece/64); from += piece {
		n += bytes.Count(s.data[from:min(from+piece, to)], []byte("\n"))
	}
	return n
}

// invalid returns the offset of the first byte that is not UTF-8, where there is one.
func invalid(data []byte) (i int) {
	for {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
}
