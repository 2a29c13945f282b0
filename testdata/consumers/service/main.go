// Command service ranks the sizes of one catalogue for whoever sends a position. It reads a
// catalogue and a shelf, and listens on an address, which it prints:
//
//	service catalogue.csv shelf.json 127.0.0.1:0
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"net"
	"net/http"
	"os"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
)

type service struct {
	index *rank.Index
	shelf fitgeom.Shelf
}

// A choice is one frame of an answer.
type choice struct {
	Size  string `json:"size"`
	Holds bool   `json:"holds"`
	Stem  string `json:"stem"`
}

func (s service) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), 2*time.Second)
	defer cancel()
	position, _, err := exchange.Read[contact.Position](ctx, r.Body)
	var ranking rank.Ranking
	if err == nil {
		ranking, err = s.index.Rank(ctx, solve.Problem{Target: position, Shelf: s.shelf, Limit: 3})
	}
	w.Header().Set("Content-Type", "application/json")
	switch {
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, contact.ErrBudget):
		w.WriteHeader(http.StatusServiceUnavailable)
	case err != nil:
		var faults []string
		for _, f := range contact.Faults(err) {
			faults = append(faults, f.Error())
		}
		w.WriteHeader(http.StatusBadRequest)
		_ = json.NewEncoder(w).Encode(faults)
	default:
		var choices []choice
		for _, c := range ranking.Choices {
			choices = append(choices, choice{c.Size.Frame.Name, c.Best.Holds(), c.Best.Build.Stem.Name})
		}
		_ = json.NewEncoder(w).Encode(choices)
	}
}

func main() {
	ctx := context.Background()
	sizes, err := exchange.ReadCatalogue(ctx, bytes.NewReader(read(os.Args[1])))
	if err != nil {
		log.Print(err) // rows that are broken are left out
	}
	shelf, _, err := exchange.Read[fitgeom.Shelf](ctx, bytes.NewReader(read(os.Args[2])))
	if err != nil {
		log.Fatal(err)
	}
	index, err := rank.NewIndex(ctx, sizes)
	if err != nil {
		log.Print(err)
	}
	listener, err := net.Listen("tcp", os.Args[3])
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(listener.Addr())
	log.Fatal(http.Serve(listener, service{index, shelf}))
}

func read(name string) []byte {
	text, err := os.ReadFile(name)
	if err != nil {
		log.Fatal(err)
	}
	return text
}
