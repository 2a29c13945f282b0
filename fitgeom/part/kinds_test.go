package part_test

import (
	"math"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/wild"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every set is written and read again, and is made of its kinds.
func TestKindsBothWays(t *testing.T) {
	for k := range part.AllKinds + 1 {
		text, err := k.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, k.String(), string(text))
		back, err := part.ParseKinds(string(text))
		require.NoError(t, err)
		assert.Equal(t, k, back)
		var sum part.Kinds
		for _, one := range k.Each() {
			assert.NotContains(t, one.String(), ",")
			assert.Zero(t, sum&one)
			sum |= one
		}
		assert.Equal(t, k, sum)
	}
	assert.Equal(t, "none", part.Kinds(0).String())
	assert.Equal(t, "nothing", part.Kinds(0).Words())
	assert.Equal(t, "stems, handlebars", (part.Handlebars | part.Stems).String())
	assert.Equal(t, "stems, aero bars", (part.AeroBars | part.Stems).Words())
	k, err := part.ParseKinds("handlebars,stems")
	require.NoError(t, err)
	assert.Equal(t, part.Handlebars|part.Stems, k, "in any order")
	for text, class := range map[string]error{"": contact.ErrUnknown, "bells": contact.ErrUnknown, "stems, none": contact.ErrUnknown, "stems, stems": contact.ErrConflict} {
		_, err := part.ParseKinds(text)
		assert.ErrorIs(t, err, class, text)
	}
	_, err = (part.AllKinds + 1).MarshalText()
	assert.ErrorIs(t, err, contact.ErrUnknown)
}

func FuzzKinds(f *testing.F) {
	f.Add("stems, handlebars", uint16(3))
	f.Add("none", uint16(0))
	f.Add(" caps,caps", uint16(1<<10))
	f.Fuzz(func(t *testing.T, list string, n uint16) {
		k, err := part.ParseKinds(list)
		var read part.Kinds
		err2 := read.UnmarshalText([]byte(list))
		for _, err := range []error{wild.Proper(err), wild.Proper(err2)} {
			if err != nil {
				t.Fatal(err)
			}
		}
		if k != read || (err == nil) != (err2 == nil) {
			t.Fatal(k, read)
		}
		if err == nil && list != "none" && len(k.Each()) != strings.Count(list, ",")+1 {
			t.Fatal(list, k)
		}
		if words := part.Kinds(n).Words(); words == "" || strings.Contains(words, "_") {
			t.Fatal(words)
		}
		text, err := part.Kinds(n).MarshalText()
		if err != nil {
			if err := wild.Proper(err); err != nil {
				t.Fatal(err)
			}
			return
		}
		if back, err := part.ParseKinds(string(text)); err != nil || back != part.Kinds(n) {
			t.Fatal(n, back, err)
		}
	})
}

// Where sound parts have their sites: a number for each.
func FuzzPlaces(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x04\x00\x00\x00\x00\x00\x02\x00\x03\x40\x40\x40\x00\x04\x00\x05"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		in := struct {
			Bars   []part.Handlebar
			Lever  part.Lever
			Mount  part.LeverMount
			Aero   part.AeroBar
			Saddle part.Saddle
		}{
			Bars: []part.Handlebar{
				{Name: "drop", ClampDiameter: 31.8, Drop: part.DropBar{Width: 420, TopsWidth: 200, Reach: 80, Drop: 125, Flare: 12, Hook: 60}},
				{Name: "flat", ClampDiameter: 31.8, Flat: part.FlatBar{Width: 720, Hand: 60, Backsweep: 8, Upsweep: 5, Rise: 20}},
				{Name: "base", ClampDiameter: 31.8, AeroDiameter: 31.8, Base: part.BaseBar{Width: 400, Reach: 60}},
			},
			Lever: part.Lever{Name: "lever", Reach: 35, Rise: 25}, Aero: part.AeroBar{ExtensionWidth: 100, ExtensionAngle: 15},
			Saddle: part.Saddle{Name: "saddle", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 180},
		}
		s.Spoil(&in)
		for _, b := range in.Bars {
			places := b.Places(in.Lever, in.Mount)
			if len(places) == 0 || len(places) > 3 || len(b.AppendPlaces(places, in.Lever, in.Mount)) != 2*len(places) {
				t.Fatal(places)
			}
			for _, p := range places {
				if p.Site.Side() != contact.Left || p.Site.Group() != contact.OnHandlebar {
					t.Fatal(p)
				}
			}
			if b.Validate() == nil && in.Lever.Validate() == nil && wild.Sound(in.Mount) == nil && math.Abs(in.Mount.Up)+math.Abs(in.Mount.In) < 1e9 && wild.Sound(places) != nil {
				t.Fatal(b, places)
			}
		}
		for _, p := range in.Saddle.Places() {
			if p.Site.Group() != contact.OnSaddle || in.Saddle.Validate() == nil && wild.Sound(p) != nil {
				t.Fatal(p)
			}
		}
		rise, extension := s.Float(0, 100), s.Float(0, 400)
		if tip := in.Aero.Tip(rise, extension); wild.Sound(in.Aero, rise, extension) == nil && in.Aero.Validate() == nil && rise*rise+extension*extension < 1e9 && wild.Sound(tip) != nil {
			t.Fatal(tip)
		}
	})
}
