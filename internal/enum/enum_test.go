package enum_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/fitgeom/contact" // which says what a fault is
	"example.com/fitgeom/internal/enum"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type colour uint8

const (
	red colour = iota + 1
	green
	blue
)

var colours = enum.New[colour]("colour", []string{red: "red", green: "green", blue: "blue"})

func one(t *testing.T, err error) *contact.Error {
	t.Helper()
	require.Error(t, err)
	all := contact.Faults(err)
	require.Len(t, all, 1)
	return all[0]
}

func TestBothWays(t *testing.T) {
	assert.Equal(t, []colour{red, green, blue}, colours.All())
	for e, name := range map[colour]string{red: "red", green: "green", blue: "blue"} {
		assert.True(t, colours.Valid(e))
		assert.NoError(t, colours.Check("paint", e))
		assert.Equal(t, name, colours.String(e))
		text, err := colours.Text(e)
		require.NoError(t, err)
		assert.Equal(t, name, string(text))
		back, err := colours.Parse(name)
		require.NoError(t, err)
		assert.Equal(t, e, back)
		var read colour
		require.NoError(t, colours.Read(&read, text))
		assert.Equal(t, e, read)
	}
}

// A zero without a name was not chosen, and says so.
func TestZeroIsNone(t *testing.T) {
	assert.False(t, colours.Valid(0))
	assert.Equal(t, "colour(0)", colours.String(0))
	assert.Equal(t, &contact.Error{Path: "paint", Value: "none", Want: "one of red, green, blue", Class: contact.ErrUnknown}, one(t, colours.Check("paint", 0)))
	text, err := colours.Text(0)
	assert.Nil(t, text)
	assert.Equal(t, "colour none: want one of red, green, blue", one(t, err).Error())
}

// A zero with a name is one like the others.
func TestZeroWithAName(t *testing.T) {
	switches := enum.New[colour]("switch", []string{"off", "on"})
	assert.Equal(t, []colour{0, 1}, switches.All())
	assert.True(t, switches.Valid(0))
	assert.Equal(t, "off", switches.String(0))
	e, err := switches.Parse("off")
	require.NoError(t, err)
	assert.Zero(t, e)
}

func TestNumbersPastTheLast(t *testing.T) {
	for _, e := range []colour{blue + 1, 255} {
		assert.False(t, colours.Valid(e))
		_, err := colours.Text(e)
		assert.ErrorIs(t, err, contact.ErrUnknown)
	}
	assert.Equal(t, "colour(255)", colours.String(255))
	assert.Equal(t, "number 4", one(t, colours.Check("paint", 4)).Value)
}

// A number left out between two others is no member either.
func TestGap(t *testing.T) {
	gap := enum.New[colour]("colour", []string{red: "red", blue: "blue"})
	assert.Equal(t, []colour{red, blue}, gap.All())
	assert.False(t, gap.Valid(green))
	assert.Equal(t, "colour(2)", gap.String(green))
}

// What is no name is not read, and leaves what was there.
func TestNamesOfNone(t *testing.T) {
	e := green
	for _, name := range []string{"", "Red", "red ", "colour(0)", "1", "violet"} {
		got, err := colours.Parse(name)
		assert.Zero(t, got)
		fault := one(t, err)
		assert.Equal(t, "colour", fault.Path)
		assert.ErrorIs(t, err, contact.ErrUnknown)
		assert.Contains(t, fault.Value, `"`)
		require.Error(t, colours.Read(&e, []byte(name)))
		assert.Equal(t, green, e)
	}
	_, err := colours.Parse(strings.Repeat("é", 500))
	value := one(t, err).Value
	assert.Equal(t, `"`+strings.Repeat("é", 60)+"…\"", value, "a long text is cut")
	assert.True(t, utf8.ValidString(value))
	assert.Contains(t, value, "…")
}

// Of many names an error tells two.
func TestManyNames(t *testing.T) {
	names := []string{""}
	for i := range 13 {
		names = append(names, string(rune('a'+i)))
	}
	_, err := enum.New[colour]("letter", names).Parse("z")
	assert.Equal(t, "a name such as a or e", one(t, err).Want)
	_, err = enum.New[colour]("letter", names[:13]).Parse("z")
	assert.Equal(t, "one of a, b, c, d, e, f, g, h, i, j, k, l", one(t, err).Want)
}
