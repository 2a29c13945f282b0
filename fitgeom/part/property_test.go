package part_test

import (
	"math"
	"math/bits"
	"reflect"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(100, 10000, 1) }

func anySteps(t *rapid.T) part.Steps {
	s := part.Steps{From: float64(rapid.IntRange(-100, 100).Draw(t, "from"))}
	s.Step = rapid.SampledFrom([]float64{0, 0.5, 1, 2.5, 5, 7.3}).Draw(t, "step")
	s.To = s.From + rapid.Float64Range(0, 60).Draw(t, "range")
	return s
}

// At, Count, Has, Last and Nearest speak of the same values.
func TestPropertySteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySteps(t)
		require.Equal(t, s.From, s.At(0))
		if s.Step != 0 {
			n := s.Count()
			require.Equal(t, 1+int(math.Floor((s.To-s.From)/s.Step+1e-9)), n)
			require.InDelta(t, s.Last(), s.At(n-1), 1e-9)
			for i := range n {
				require.True(t, s.Has(s.At(i)))
				require.InDelta(t, s.From+s.Step*float64(i), s.At(i), 1e-9)
				require.False(t, s.Has(s.At(i)+s.Step/3))
			}
			require.False(t, s.Has(s.At(n)))
			require.False(t, s.Has(s.At(-1)))
		} else {
			require.InDelta(t, s.To, s.Last(), 1e-12)
			require.True(t, s.Has((s.From+s.To)/2))
			require.False(t, s.Has(s.To+1))
			require.False(t, s.Has(s.From-1))
		}

		want := rapid.Float64Range(-200, 250).Draw(t, "want")
		lo, hi := rapid.Float64Range(-150, 50).Draw(t, "lo"), rapid.Float64Range(0, 200).Draw(t, "hi")
		v, ok := s.Nearest(want, lo, hi)
		if ok {
			require.True(t, v >= lo-1e-6 && v <= hi+1e-6, v)
			require.True(t, s.Has(v), v)
		}
		if s.Step == 0 {
			require.Equal(t, max(s.From, lo) <= min(s.To, hi), ok)
			return
		}
		for i := range s.Count() { // none of them is nearer
			at := s.At(i)
			if at < lo-1e-9 || at > hi+1e-9 {
				continue
			}
			if at > lo+1e-6 && at < hi-1e-6 {
				require.True(t, ok)
			}
			if ok {
				require.LessOrEqual(t, math.Abs(v-want), math.Abs(at-want)+1e-6)
			}
		}
	})
}

// The text of a set of kinds has each of its kinds, and is read as the set.
func TestPropertyKinds(t *testing.T) {
	single := map[part.Kinds]string{}
	for _, k := range part.AllKinds.Each() {
		require.Equal(t, 1, bits.OnesCount16(uint16(k)))
		single[k] = k.String()
	}
	require.Len(t, single, bits.OnesCount16(uint16(part.AllKinds)))
	rapid.Check(t, func(t *rapid.T) {
		k := part.Kinds(rapid.Uint16Range(0, uint16(part.AllKinds)).Draw(t, "kinds"))
		var names []string
		var sum part.Kinds
		for _, one := range k.Each() {
			names = append(names, single[one])
			sum |= one
		}
		require.Equal(t, k, sum)
		if k != 0 {
			require.Equal(t, strings.Join(names, ", "), k.String())
		}
		text, err := k.MarshalText()
		require.NoError(t, err)
		require.Equal(t, k.String(), string(text))
		read := ^k
		require.NoError(t, read.UnmarshalText(text))
		require.Equal(t, k, read)
		got, err := part.ParseKinds(strings.Join(shuffled(t, names), " ,"))
		if k != 0 {
			require.NoError(t, err)
			require.Equal(t, k, got)
		}
	})
}

func shuffled(t *rapid.T, all []string) []string {
	if len(all) < 2 {
		return all
	}
	return rapid.Permutation(all).Draw(t, "order")
}

func TestKinds(t *testing.T) {
	require.Equal(t, "stems, handlebars", (part.Stems | part.Handlebars).String())
	require.Equal(t, "none", part.Kinds(0).String())
	require.Empty(t, part.Kinds(0).Each())
	for list, class := range map[string]error{"": contact.ErrUnknown, "stem": contact.ErrUnknown, "stems,": contact.ErrUnknown, "none, stems": contact.ErrUnknown, "stems, caps, stems": contact.ErrConflict} {
		_, err := part.ParseKinds(list)
		require.ErrorIs(t, err, class, list)
		k := part.Pedals
		require.ErrorIs(t, k.UnmarshalText([]byte(list)), class, list)
		require.Equal(t, part.Pedals, k, "left as it was")
	}
	_, err := (part.AllKinds + 1).MarshalText()
	require.ErrorIs(t, err, contact.ErrUnknown)
}

// all is a sound part of every kind.
func all() map[string]any {
	b, s := invented.Everything(), invented.Shelf()
	flat := part.Handlebar{Name: "flat", ClampDiameter: 31.8, Flat: part.FlatBar{Width: 720, Centre: 120, Rise: 20, Forward: 10, Backsweep: 9, Upsweep: 5, Hand: 65}}
	base := part.Handlebar{Name: "base", ClampDiameter: 31.8, AeroDiameter: 31.8, Base: part.BaseBar{Width: 400, Reach: 150, Rise: -30}}
	whole := part.Handlebar{Name: "one piece", DrawnAt: 73, Stem: part.Stem{Length: 100, Angle: -8, Height: 40, SteererDiameter: 28.6}, Drop: part.DropBar{Width: 420, Reach: 78, Drop: 125}}
	return map[string]any{
		"cap": b.Cap, "stem": b.Stem, "handlebar": b.Handlebar, "flat": flat, "base": base, "one piece": whole, "lever": b.Lever, "aero": b.Aero, "seatpost": b.Seatpost,
		"dropper": part.Seatpost{Diameter: 30.9, Length: 440, MinInsertion: 110, MinExtension: 190, Travel: 125, MaxExtension: 300},
		"saddle":  b.Saddle, "crank": b.Crank, "pedal": b.Pedal, "spacer": s.Spacers[0], "shim": part.Shim{Inner: 25.4, Outer: 27.2},
	}
}

type validator interface{ Validate() error }

// Any one number of any part that is not finite, or absurd, is a fault under a
// path, of a class; and no number of a sound part is one.
func TestPropertyEveryNumberCounts(t *testing.T) {
	for name, v := range all() {
		require.NoError(t, v.(validator).Validate(), name)
		for i := range numbersIn(reflect.New(reflect.TypeOf(v))) {
			for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e9, -1e9, 1e300} {
				broken := reflect.New(reflect.TypeOf(v))
				broken.Elem().Set(reflect.ValueOf(v))
				numbersIn(broken)[i].SetFloat(bad)
				err := broken.Elem().Interface().(validator).Validate()
				require.Error(t, err, "%s, number %d: %v", name, i, bad)
				for _, f := range contact.Faults(err) {
					require.NotEmpty(t, f.Path)
					require.NotNil(t, f.Class)
				}
			}
		}
	}
}

func numbersIn(v reflect.Value) (found []reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		return numbersIn(v.Elem())
	case reflect.Struct:
		for _, field := range v.Fields() {
			found = append(found, numbersIn(field)...)
		}
	case reflect.Float64:
		return []reflect.Value{v}
	}
	return found
}

// The width in the drops is stated in one way, or in none.
func TestWidthInTheDrops(t *testing.T) {
	b := part.DropBar{Width: 420, Reach: 78, Drop: 125}
	for _, c := range []struct {
		flare, width float64
		ok           bool
	}{{0, 0, true}, {12, 0, true}, {0, 450, true}, {12, 450, false}} {
		b.Flare, b.DropsWidth = c.flare, c.width
		if c.ok {
			require.NoError(t, b.Validate())
		} else {
			require.ErrorIs(t, b.Validate(), contact.ErrConflict)
		}
	}
}
