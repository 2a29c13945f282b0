package request_test

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(50, 1000, 1) }

// Of two requests over one another each member is the upper one's where it states it, and all of
// it again changes nothing.
func TestPropertyOver(t *testing.T) {
	whole := asked()
	whole.Bike.Crank, whole.Limit, whole.Grain, whole.Work, whole.Partial = whole.Shelf.Cranks[0].Name, 3, 0.5, 10, true
	rapid.Check(t, func(check *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(check, "seed"), 24))
		some := func() (r request.Request, has []bool) {
			from, to := reflect.ValueOf(whole), reflect.ValueOf(&r).Elem()
			for i := range from.NumField() {
				has = append(has, rng.IntN(2) == 0 && !from.Field(i).IsZero())
				if has[i] {
					to.Field(i).Set(from.Field(i))
				}
			}
			return r, has
		}
		upper, a := some()
		under, b := some()
		got := upper.Over(under)
		for i := range a {
			name := reflect.TypeFor[request.Request]().Field(i).Name
			if name == "Bike" && len(upper.Shelf.Caps) > 0 && !a[i] {
				require.Zero(check, got.Bike, "names of another shelf")
				continue
			}
			require.Equal(check, a[i] || b[i], !reflect.ValueOf(got).Field(i).IsZero(), name)
		}
		require.Equal(check, got, got.Over(under))
		require.Equal(check, got, request.Request{}.Over(got))
	})
}
