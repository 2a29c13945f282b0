package exchange_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A subject is what the tests do with one kind.
type subject struct {
	name string
	// random writes a value and returns the document, and again what is read of it.
	random func(t *testing.T, d dice) []byte
	// reread reads a document and writes what it says.
	reread func(data []byte) (string, error)
}

func subjectOf[T exchange.Content](name string, random func(dice) T) subject {
	return subject{
		name: name,
		random: func(t *testing.T, d dice) []byte {
			v := random(d)
			note := d.name()
			var b bytes.Buffer
			require.NoError(t, exchange.Write(&b, v, note))
			got, said, err := exchange.Read[T](bytes.NewReader(b.Bytes()))
			require.NoError(t, err, b.String())
			require.Empty(t, cmp.Diff(v, got, cmpopts.EquateEmpty()))
			require.Equal(t, note, said)
			return b.Bytes()
		},
		reread: func(data []byte) (string, error) {
			v, note, err := exchange.Read[T](bytes.NewReader(data))
			if err != nil {
				return "", err
			}
			var b bytes.Buffer
			if err := exchange.Write(&b, v, note); err != nil {
				return "", err
			}
			return b.String(), nil
		},
	}
}

var subjects = []subject{
	subjectOf("position", dice.position),
	subjectOf("positions", func(d dice) []contact.Position { return list(d, 3, d.position) }),
	subjectOf("survey", dice.survey),
	subjectOf("tape_survey", dice.tape),
	subjectOf("sheet", dice.sheet),
	subjectOf("chart", dice.chart),
	subjectOf("frame", dice.frame),
	subjectOf("frames", dice.sizes),
	subjectOf("shelf", dice.shelf),
	subjectOf("build", dice.build),
	subjectOf("results", dice.results),
}

// What is written is read back exactly, and written again to the same bytes.
func TestRoundTrip(t *testing.T) {
	for _, s := range subjects {
		t.Run(s.name, func(t *testing.T) {
			for seed := range uint64(200) {
				doc := s.random(t, newDice(seed))
				require.True(t, json.Valid(doc))
				require.Equal(t, doc[len(doc)-1], byte('\n'))
				again, err := s.reread(doc)
				require.NoError(t, err)
				require.Equal(t, string(doc), again)
				schema, version, err := exchange.Kind(doc)
				require.NoError(t, err)
				assert.Equal(t, "fitgeom/"+s.name, schema)
				assert.Equal(t, 1, version)
			}
		})
	}
}
