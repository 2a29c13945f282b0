package exchange

import (
	"context"
	"fmt"
	"io"

	"example.com/fitgeom/internal/work"
)

// A source reads what a caller hands in: at most MaxSize bytes, and no further once its
// meter says to stop.
type source struct {
	meter *work.Meter
	r     io.Reader
	what  string // path of the fault of one that is too large
	size  int
}

func newSource(ctx context.Context, r io.Reader, what string) *source {
	return &source{meter: work.New(ctx, -1), r: r, what: what}
}

// err returns why the meter stopped, if it did.
func (s *source) err() error { return s.meter.Err(fmt.Sprintf("%d bytes read", s.size)) }

// patience is how often a reader may give nothing.
const patience = 100

// Read reads on, and counts what it reads.
func (s *source) Read(p []byte) (int, error) {
	for range patience {
		if !s.meter.Do(1000) {
			return 0, s.err()
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

// all reads to the end.
func (s *source) all() ([]byte, error) {
	var p pile[byte]
	for {
		p.space()
		n, err := s.Read(p.top[len(p.top):cap(p.top)])
		p.top = p.top[:len(p.top)+n]
		if err == io.EOF {
			return p.list(s.meter), s.err()
		}
		if err != nil {
			return nil, err
		}
	}
}
