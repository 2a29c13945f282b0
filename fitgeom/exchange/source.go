package exchange

import (
	"context"
	"io"
)

// A source reads what a caller hands in: at most MaxSize bytes, and no further once the
// context has ended.
type source struct {
	ctx  context.Context
	r    io.Reader
	what string // path of the fault of one that is too large
	size int
}

// patience is how often a reader may give nothing.
const patience = 100

func (s *source) Read(p []byte) (int, error) {
	for range patience {
		if err := s.ctx.Err(); err != nil {
			return 0, err
		}
		if s.size > MaxSize {
			return 0, tooLarge(s.what)
		}
		n, err := s.r.Read(p[:min(len(p), MaxSize+1-s.size)])
		if s.size += n; n > 0 || err != nil {
			return n, err
		}
	}
	return 0, io.ErrNoProgress
}

// piece is the most bytes that are copied before the context is looked at again.
const piece = 1 << 20

// all reads to the end. It copies each byte once and not in one go, since a copy of 60 MB
// takes longer than a caller should wait who has given up.
func (s *source) all() ([]byte, error) {
	var full [][]byte
	part := make([]byte, 0, 4096)
	for {
		n, err := s.Read(part[len(part):cap(part)])
		part = part[:len(part)+n]
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		if len(part) == cap(part) {
			full = append(full, part)
			part = make([]byte, 0, min(2*cap(part), piece))
		}
	}
	if full == nil {
		return part, nil
	}
	data := make([]byte, 0, min(s.size, MaxSize))
	for _, p := range append(full, part) {
		if err := s.ctx.Err(); err != nil {
			return nil, err
		}
		data = append(data, p...)
	}
	return data, nil
}
