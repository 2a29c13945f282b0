package work_test

import (
	"context"
	"testing"

	"example.com/fitgeom/internal/work"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type long struct{ n int }

func (l long) Validate() error { return l.validate(nil) }

func (l long) validate(m *work.Meter) error {
	if count(m, 1, l.n) < l.n {
		return nil
	}
	return assert.AnError
}

type small struct{}

func (small) Validate() error { return assert.AnError }

func TestValidate(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	m := work.New(ctx, -1)
	require.ErrorIs(t, work.Validate(m, long{10}), assert.AnError, "of which it knows nothing")
	work.Validator(func(m *work.Meter, l long) error { return l.validate(m) })
	require.NoError(t, work.Validate(m, long{10}))
	require.ErrorIs(t, work.Validate(nil, long{10}), assert.AnError)
	require.ErrorIs(t, work.Validate(m, small{}), assert.AnError)
}
