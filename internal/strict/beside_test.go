package strict_test

import (
	"testing"

	"example.com/fitgeom/internal/strict"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a library knows whose newest version is 1.2: clamp came with 1.1 and can be left
// alone; flare came with 1.2, and without it the width is another one.
type newer struct {
	Width float64    `json:"width_mm"`
	Parts []newPart  `json:"parts,omitzero"`
	Clamp float64    `json:"clamp_mm,omitzero" since:"1"`
	Of    *newerPart `json:"of,omitzero"`
}

type newPart struct {
	Name  string  `json:"name"`
	Flare float64 `json:"flare_deg,omitzero" since:"2, needed"`
}

type newerPart struct {
	Flare float64 `json:"flare_deg,omitzero" since:"2, needed"`
}

// What the library of version 1.0 knows.
type older struct {
	Width float64   `json:"width_mm"`
	Parts []oldPart `json:"parts,omitzero"`
}

type oldPart struct {
	Name string `json:"name"`
}

var first = strict.Head{Schema: "bar", Version: strict.Version{Major: 1}}

// Writers write the oldest version that holds the value, and what of it is needed.
func TestOldestVersion(t *testing.T) {
	for _, tt := range []struct {
		in    newer
		minor int
		needs []string
	}{
		{newer{Width: 420}, 0, nil},
		{newer{Width: 420, Parts: []newPart{{Name: "a"}}}, 0, nil},
		{newer{Width: 420, Clamp: 31.8}, 1, nil},
		{newer{Width: 420, Clamp: 31.8, Parts: []newPart{{"a", 0}, {"b", 12}, {"c", 16}}}, 2, []string{"/parts/*/flare_deg"}},
		{newer{Width: 420, Of: &newerPart{8}, Parts: []newPart{{"b", 12}}}, 2, []string{"/parts/*/flare_deg", "/of/flare_deg"}},
	} {
		text, faults := strict.WriteDocument(nil, first, tt.in, new(strict.Beside))
		require.NoError(t, faults.Err())
		var b strict.Beside
		var got newer
		head, faults, whole := strict.ReadDocument(nil, text, &got, 2, &b)
		require.True(t, whole)
		require.NoError(t, faults.Err())
		require.Equal(t, tt.in, got)
		assert.Equal(t, strict.Version{Major: 1, Minor: tt.minor}, head.Version)
		assert.Equal(t, tt.needs, head.Needs)
		assert.Empty(t, b.Unmet)

		// The older library reads it as its own, or as a later one.
		b = strict.Beside{Open: tt.minor > 0}
		var old older
		head, faults, _ = strict.ReadDocument(nil, text, &old, tt.minor, &b)
		require.NoError(t, faults.Err())
		assert.Equal(t, tt.needs, b.Unmet)
		assert.InDelta(t, 420, old.Width, 0)
		again, faults := strict.WriteDocument(nil, head, old, &b)
		require.NoError(t, faults.Err())
		var back newer
		_, faults, _ = strict.ReadDocument(nil, again, &back, 2, new(strict.Beside))
		require.NoError(t, faults.Err(), string(again))
		require.Equal(t, tt.in, back, "nothing is lost on the way through the older library")
	}
}

// A document has no member that its version has not.
func TestMemberOfLaterVersion(t *testing.T) {
	var got newer
	_, faults, _ := strict.ReadDocument(nil, []byte(`{"schema": "bar", "version": "1.1", "width_mm": 1, "clamp_mm": 2, "parts": [{"name": "a", "flare_deg": 3}]}`), &got, 1, new(strict.Beside))
	assert.EqualError(t, faults.Err(), "line 1: /parts/0/flare_deg unknown name: want a document of version 1.2")
}

func TestVersion(t *testing.T) {
	for text, want := range map[string]strict.Version{"1.0": {Major: 1}, "0.0": {}, "12.345": {Major: 12, Minor: 345}} {
		var v strict.Version
		require.NoError(t, v.UnmarshalText([]byte(text)))
		assert.Equal(t, want, v)
		assert.Equal(t, text, v.String())
	}
	for _, text := range []string{"", "1", "1.", ".1", "1.0.0", "01.0", "1.00", "-1.0", "1.-1", "+1.0", " 1.0", "1.0 ", "1.9999999999", "a.b"} {
		assert.Error(t, new(strict.Version).UnmarshalText([]byte(text)), text)
	}
}

// A member of a later version may always be left out, since older documents do not have it.
func TestSinceIsOptional(t *testing.T) {
	assert.Panics(t, func() {
		_, _ = strict.Marshal(struct {
			A float64 `json:"a" since:"1"`
		}{})
	})
}
