package rank_test

import (
	"testing"

	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/internal/wild"
)

func FuzzNames(f *testing.F) {
	f.Add("spacers", uint8(3))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		right(t, wild.Names(rank.ParseReason, name, n))
		if r := rank.Reason(n); r.Words(true) == "" || r.Words(false) == "" || (rank.Choice{}).Holds() != (rank.Choice{}).Best.Holds() {
			t.Fatal(r)
		}
	})
}

func right(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
