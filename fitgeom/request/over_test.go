package request_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/request"
	"github.com/stretchr/testify/assert"
)

// An empty list states no more than none, as in documents.
func TestOverEmptyList(t *testing.T) {
	keep := []fitgeom.Keep{{Site: contact.HoodsLeft}}
	assert.Equal(t, keep, request.Request{Keep: []fitgeom.Keep{}}.Over(request.Request{Keep: keep}).Keep)
}
