package trial

import (
	"context"
	"sync/atomic"
)

// Ending is a context that ends once it has been asked some times whether it has, so that
// where that is does not hang on a clock.
type Ending struct {
	context.Context
	// Looks is how often it may still be asked.
	Looks atomic.Int64
}

// NewEnding returns a context that ends after so many looks at it.
func NewEnding(parent context.Context, looks int) *Ending {
	e := &Ending{Context: parent}
	e.Looks.Store(int64(looks))
	return e
}

// Err is context.Canceled once there were enough looks.
func (e *Ending) Err() error {
	if e.Looks.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}
