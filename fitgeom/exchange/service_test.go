package exchange_test

import (
	"bytes"
	"context"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The service is short enough to be read.
func TestServiceIsShort(t *testing.T) {
	text, err := os.ReadFile("example_service_test.go")
	require.NoError(t, err)
	assert.Less(t, strings.Count(string(text), "\n"), 120)
}

// broken spoils a document: it ends early, or one byte is another.
func broken(rng *rand.Rand, data []byte) []byte {
	at := rng.IntN(len(data))
	if rng.IntN(2) == 0 {
		return data[:at]
	}
	data = bytes.Clone(data)
	data[at] ^= byte(1 + rng.IntN(255))
	return data
}

// 50 clients at once, three of ten bodies broken: each gets a document that says what was found
// or what is wrong, and nobody gets a mistake of the service.
func TestServiceUnderLoad(t *testing.T) {
	const clients = 50
	each := 2
	if trial.Long() {
		each = 40
	}
	server := httptest.NewServer(service{places: make(chan struct{}, 2), patience: time.Minute})
	defer server.Close()
	r := asked()
	r.Limit = 1
	sound := [][]byte{document(t, r), document(t, r.Target.Position), document(t, frozenTape)}
	counts := map[int]int{}
	var mu sync.Mutex
	var all sync.WaitGroup
	for c := range clients {
		all.Go(func() {
			rng := rand.New(rand.NewPCG(uint64(c), 24))
			for range each {
				body := sound[rng.IntN(len(sound))]
				if rng.IntN(10) < 3 {
					body = broken(rng, body)
				}
				answer, err := http.Post(server.URL, "application/json", bytes.NewReader(body))
				if !assert.NoError(t, err) {
					return
				}
				text, err := io.ReadAll(answer.Body)
				assert.NoError(t, err)
				assert.NoError(t, answer.Body.Close())
				schema, _, err := exchange.Kind(t.Context(), text)
				assert.NoError(t, err, "%s", text)
				assert.Equal(t, answer.StatusCode == http.StatusOK, schema != "fitgeom/faults", "%s", text)
				mu.Lock()
				counts[answer.StatusCode]++
				mu.Unlock()
			}
		})
	}
	all.Wait()
	t.Logf("answers by status: %v", counts)
	assert.Equal(t, clients*each, counts[http.StatusOK]+counts[http.StatusUnprocessableEntity], "%v", counts)
	assert.Greater(t, counts[http.StatusOK], clients*each/2)
	assert.Greater(t, counts[http.StatusUnprocessableEntity], clients*each/10)
}

// long is a request that takes seconds.
func long(t *testing.T) []byte {
	r := asked()
	r.Shelf.AeroBars = invented.Alike(invented.WholeRange(), 20)
	for i := range r.Shelf.Handlebars {
		r.Shelf.Handlebars[i].AeroDiameter = 31.8
	}
	r.Shelf.Stems = invented.Stems(50)
	for _, s := range []contact.Site{contact.PadLeft, contact.ExtensionLeft} {
		at, _ := r.Target.Position.At(contact.HoodsLeft)
		at.Y, at.Z = 90, at.Z+20
		r.Target.Position.Set(s, at)
		at.Y = -90
		r.Target.Position.Set(s.On(contact.Right), at)
	}
	require.NoError(t, part.AeroBar.Validate(r.Shelf.AeroBars[0]))
	require.NoError(t, fitgeom.Shelf.Validate(r.Shelf))
	return document(t, r)
}

// A request ends with its client.
func TestServiceEndsWithItsClient(t *testing.T) {
	s := service{places: make(chan struct{}, 1), patience: time.Minute}
	ended := make(chan int, 1)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		seen := httptest.NewRecorder()
		s.ServeHTTP(seen, r)
		ended <- seen.Code
	}))
	defer server.Close()
	ctx, cancel := context.WithCancel(t.Context())
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, server.URL, bytes.NewReader(long(t)))
	require.NoError(t, err)
	time.AfterFunc(50*time.Millisecond, cancel)
	answer, err := http.DefaultClient.Do(request)
	if err == nil {
		_ = answer.Body.Close()
	}
	require.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, http.StatusServiceUnavailable, <-ended)
	assert.Empty(t, s.places, "the place is free again")
}
