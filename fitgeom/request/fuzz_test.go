package request_test

import (
	"testing"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
	"github.com/stretchr/testify/require"
)

// FuzzRequest asks with any numbers and names. What is refused has proper faults; what is not
// makes a problem that its own check takes.
func FuzzRequest(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x00\x01\x02\x03\x04\x05\x06\x07\x08\x09"))
	f.Add([]byte("\x03\x04\x01\x05\x03\x61\xff\x62\x02\x10\x00\x01\x03\x20\x40\x01"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		r := asked()
		if s.Int(2) == 0 {
			r.Sizes, r.Frame = []fitgeom.Size{{Family: "road", Label: "54", Frame: r.Frame}}, fitgeom.Frame{}
		}
		r.Bike = request.Bike{Crank: s.Text(20), Stem: r.Shelf.Stems[0].Name}
		r.Target.Position = s.Position(r.Target.Position)
		s.Spoil(&r)
		require.NoError(t, wild.Proper(r.Validate()))
		require.NoError(t, wild.Proper(r.Target.Validate()))
		_, err := r.Rules.Set()
		require.NoError(t, wild.Proper(err))
		solved, err := r.Target.Solve()
		require.NoError(t, wild.Proper(err))
		if r.Target.Kind() == "" {
			require.Error(t, err)
		}
		for _, d := range r.Defaults(solved.Position) {
			require.NotEmpty(t, d.Says)
		}
		p, err := r.Over(request.Request{Shelf: invented.Shelf()}).Problem()
		require.NoError(t, wild.Proper(err))
		if err == nil && r.Frame != (fitgeom.Frame{}) {
			require.NoError(t, p.Validate())
		}
		require.NoError(t, wild.JSON(r, data))
		require.NoError(t, wild.JSON(r.Target, data))
		require.NoError(t, wild.Names(request.ParseWanted, s.Text(20), s.Byte()))
		_ = r.Want.String()
		_ = r.Bikes()
		_, err = r.Chances(t.Context(), nil)
		require.NoError(t, wild.Proper(err))
	})
}
