package exchange_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzRead reads any text as any kind. What is refused has faults with path and
// line; what is taken is valid by its schema, and written again says the same.
func FuzzRead(f *testing.F) {
	for i, s := range subjects {
		data, err := os.ReadFile(filepath.Join(v1, s.name+".json"))
		require.NoError(f, err)
		f.Add(data, uint8(i))
	}
	f.Add([]byte(`{"schema":"fitgeom/position","version":1,"sites":{"hoods_left":{"at_mm":[1e400,"x",null],"x":1},"bell":{}}}`), uint8(0))
	f.Add([]byte(`{"schema":"fitgeom/sheet","version":1,"mirrored":true,"readings":[{"measure":"saddle_tilt","value_mm":1,"value_deg":-0,"sigma_deg":-1}]}`), uint8(4))
	f.Fuzz(func(t *testing.T, data []byte, kind uint8) {
		s := subjects[int(kind)%len(subjects)]
		text, err := s.reread(data)
		for _, f := range rejected(t, err) {
			require.Positive(t, f.Line)
			require.True(t, f.Path == "document" || f.Path[0] == '/', f.Path)
		}
		if err != nil {
			return
		}
		require.NoError(t, validate(t, s.name, data))
		again, err := s.reread([]byte(text))
		require.NoError(t, err)
		require.Equal(t, text, again)
	})
}
