package schema_test

import (
	"os"
	"testing"

	"example.com/fitgeom/internal/schema"
	"github.com/stretchr/testify/require"
)

func TestZZ(t *testing.T) {
	b, err := schema.Generate("../..")
	require.NoError(t, err)
	os.WriteFile("/tmp/h/exch-schema.json", b, 0o644)
}
