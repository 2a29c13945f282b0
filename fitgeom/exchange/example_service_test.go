package exchange_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"strings"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/exchange"
)

// service answers documents that are posted to it. It remembers nothing: copies of it share the
// load. What it needs beside the library is a limit of size, of time and of requests at once.
type service struct {
	places   chan struct{} // as many as may be answered at once
	patience time.Duration
}

// ServeHTTP reads a request, answers it, and stops as soon as its client is gone.
func (s service) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodPost {
		w.Header().Set("Allow", http.MethodPost)
		http.Error(w, "post a document", http.StatusMethodNotAllowed)
		return
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, 4<<20))
	if err != nil {
		http.Error(w, "the document was not read to its end: "+err.Error(), http.StatusBadRequest)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), s.patience) // ends with the client, too
	defer cancel()
	select {
	case s.places <- struct{}{}:
		defer func() { <-s.places }()
	case <-ctx.Done():
		http.Error(w, "too many requests", http.StatusServiceUnavailable)
		return
	}
	response, err := exchange.Answer(ctx, body)
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status(err))
	_, _ = w.Write(response) // the client may be gone
}

// status tells in the way of HTTP how a request was answered. The response has the faults.
func status(err error) int {
	switch {
	case err == nil:
		return http.StatusOK
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded), errors.Is(err, contact.ErrBudget):
		return http.StatusServiceUnavailable
	case len(contact.Faults(err)) > 0:
		return http.StatusUnprocessableEntity
	default:
		return http.StatusInternalServerError // a mistake in the library
	}
}

// A service for programs in any language: documents in, documents out.
func Example_service() {
	server := httptest.NewServer(service{places: make(chan struct{}, 4), patience: 10 * time.Second})
	defer server.Close()

	for _, document := range []string{
		`{"schema": "fitgeom/sheet", "version": "1.0", "mirrored": true, "entries": [
		  {"measure": "saddle_setback", "value_mm": 205, "sigma_mm": 1},
		  {"measure": "saddle_height_vertical", "value_mm": 705, "sigma_mm": 1},
		  {"measure": "saddle_tilt", "value_deg": -1, "sigma_deg": 0.2}]}`,
		`{"schema": "fitgeom/request", "version": "1.0",
		  "limit": 5000}`,
	} {
		answer, err := http.Post(server.URL, "application/json", strings.NewReader(document))
		if err != nil {
			log.Fatal(err)
		}
		var text bytes.Buffer
		_, err = text.ReadFrom(answer.Body)
		if err := errors.Join(err, answer.Body.Close()); err != nil {
			log.Fatal(err)
		}
		fmt.Print(answer.StatusCode, " ", text.String())
	}
	// Output:
	// 200 {
	//   "schema": "fitgeom/position",
	//   "version": "1.0",
	//   "sites": {"saddle_reference": {"at_mm": [-205, 0, 705], "attitude": {"tilt_deg": -1}}}
	// }
	// 422 {
	//   "schema": "fitgeom/faults",
	//   "version": "1.0",
	//   "faults": [
	//     {
	//       "path": "/limit",
	//       "line": 2,
	//       "value": "5000 builds or sizes",
	//       "want": "1 to 1000 builds or sizes",
	//       "class": "out of range"
	//     }
	//   ]
	// }
}
