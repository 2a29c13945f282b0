package exchange

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
)

// maxRow is the most bytes that a row may have: far more than any needs, and so few that
// none costs much before it is refused.
const maxRow = 16 << 10

// rows reads comma-separated values row by row, as package encoding/csv does, which takes
// a row of any size: it holds 40 times the text of one that is commas.
type rows struct {
	in    *bufio.Reader
	comma byte // what separates cells
	lines int  // that were read
	line  int  // of the row
	most  int  // how many cells a row may have
	notes bool // whether lines that begin with # are comments
	cr    bool // whether a CR stands in the row or in what was passed over before it
	text  []byte
	ends  []int // of the cells, in text
	cells []string
}

func newRows(from *source, most int) rows {
	r := rows{in: bufio.NewReaderSize(from, maxRow), comma: ',', most: most}
	if mark, _ := r.in.Peek(3); bytes.Equal(mark, []byte("\ufeff")) {
		_, _ = r.in.Discard(3)
	}
	return r
}

var (
	errLong  = errors.New("too long")
	errQuote = errors.New("quotes around all of a cell, and two for each within it")
)

// readLine reads a line, without its end. Of one that is too long it returns the
// beginning.
func (r *rows) readLine() ([]byte, error) {
	line, err := r.in.ReadSlice('\n')
	r.cr = r.cr || bytes.IndexByte(bytes.TrimRight(line, "\r\n"), '\r') >= 0
	if err == bufio.ErrBufferFull {
		first := line[0]
		for err == bufio.ErrBufferFull {
			_, err = r.in.ReadSlice('\n')
		}
		if err == nil || err == io.EOF {
			r.lines++
			return []byte{first}, errLong
		}
		return nil, err
	}
	if err != nil && (err != io.EOF || len(line) == 0) {
		return nil, err
	}
	r.lines++
	return bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("\n")), []byte("\r")), nil
}

// read reads the next row into its cells, which are good until the next call. A flaw is
// what is wrong with all of the row, and the next call goes on behind it.
func (r *rows) read() (flaw *fault.Fault, err error) {
	r.text, r.ends, r.cells, r.cr = r.text[:0], r.ends[:0], r.cells[:0], false
	for {
		line, err := r.readLine()
		if r.notes && len(line) > 0 && line[0] == '#' || err == nil && len(line) == 0 {
			continue // a comment, be it too long, or an empty line
		}
		r.line = r.lines
		if err == nil {
			err = r.split(line)
		}
		switch {
		case err == nil:
			text, from := string(r.text), 0
			for _, end := range r.ends {
				r.cells = append(r.cells, text[from:end])
				from = end
			}
			return nil, nil
		case errors.Is(err, errLong):
			return &fault.Fault{Value: "more than " + strconv.Itoa(maxRow>>10) + " KiB", Want: r.unlessCR("a row of at most that"), Class: contact.ErrRange}, nil
		case errors.Is(err, errQuote):
			return &fault.Fault{Want: err.Error(), Class: contact.ErrConflict}, nil
		default:
			return nil, err
		}
	}
}

// unlessCR is what is wanted of a row with which something is wrong.
func (r *rows) unlessCR(want string) string {
	if r.cr {
		return wantLF
	}
	return want
}

const wantLF = "lines that end in LF or CRLF, not in CR alone"

// split splits the row that begins with a line. Of one that has more cells than a row may
// have it splits the first of them.
func (r *rows) split(line []byte) error {
	for more := true; more && len(r.ends) <= r.most; r.ends = append(r.ends, len(r.text)) {
		if len(line) > 0 && line[0] == '"' {
			var err error
			if line, more, err = r.quoted(line[1:]); err != nil {
				return err
			}
			continue
		}
		var cell []byte
		cell, line, more = bytes.Cut(line, []byte{r.comma})
		if bytes.IndexByte(cell, '"') >= 0 {
			return errQuote
		}
		r.text = append(r.text, cell...)
	}
	return nil
}

// quoted reads a cell behind its first quote, and returns what comes behind its comma, if
// it has one.
func (r *rows) quoted(line []byte) (rest []byte, more bool, err error) {
	for {
		part, rest, closed := bytes.Cut(line, []byte(`"`))
		r.text = append(r.text, part...)
		switch {
		case len(r.text) > maxRow:
			return nil, false, errLong
		case !closed: // it goes on in the next line
			r.text = append(r.text, '\n')
			if line, err = r.readLine(); err == io.EOF {
				return nil, false, errQuote
			} else if err != nil {
				return nil, false, err
			}
		case len(rest) == 0:
			return nil, false, nil
		case rest[0] == r.comma:
			return rest[1:], true, nil
		case rest[0] == '"':
			r.text = append(r.text, '"')
			line = rest[1:]
		default:
			return nil, false, errQuote
		}
	}
}
