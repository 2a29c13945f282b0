package trial

import (
	"testing"

	"example.com/fitgeom/internal/fault"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Names checks an enumeration with all its members: what is written is read again,
// and numbers and texts of no member are neither written nor read.
func Names[E interface {
	~uint8
	String() string
	MarshalText() ([]byte, error)
}, P interface {
	*E
	UnmarshalText([]byte) error
}](t testing.TB, parse func(string) (E, error), all ...E) {
	t.Helper()
	known := map[E]bool{}
	for _, e := range all {
		known[e] = true
		text, err := e.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, e.String(), string(text))
		back, err := parse(string(text))
		require.NoError(t, err)
		assert.Equal(t, e, back)
		var read E
		require.NoError(t, P(&read).UnmarshalText(text))
		assert.Equal(t, e, read)
	}
	for i := range 256 {
		e := E(i)
		if known[e] {
			continue
		}
		_, err := e.MarshalText()
		assert.ErrorIs(t, err, fault.ErrUnknown, e)
		read := all[0]
		assert.ErrorIs(t, P(&read).UnmarshalText([]byte(e.String())), fault.ErrUnknown, e)
		assert.Equal(t, all[0], read, "what is not read is left alone")
	}
	_, err := parse("")
	assert.ErrorIs(t, err, fault.ErrUnknown)
}
