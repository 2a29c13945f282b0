package main

import (
	"bytes"
	"context"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPage(t *testing.T) { golden.Page(t, example()) }

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }

// What the lessons say in words is what the numbers say.
func TestLessonsAreTrue(t *testing.T) {
	body := golden.Read[rider.Body](t, bodyJSON)
	before, _, err := exchange.Read[contact.Position](context.Background(), bytes.NewReader(positionJSON))
	require.NoError(t, err)
	change := func(i int, v rider.Variable) (least, most float64) {
		all, err := body.Compare(before, experiments[i].changed(before))
		require.NoError(t, err)
		for _, c := range all {
			if c.Variable == v && c.Side != contact.Right {
				return c.After.Least - c.Before.Least, c.After.Most - c.Before.Most
			}
		}
		t.Fatal(v)
		return 0, 0
	}
	raised, near := change(0, rider.KneeFlexion)
	assert.Less(t, raised, near, "more where it is nearly straight")
	assert.Negative(t, near)
	back, _ := change(1, rider.KneeFlexion)
	assert.Negative(t, back)
	assert.Greater(t, back, raised, "by less")
	lean, _ := change(2, rider.TrunkLean)
	_, hip := change(2, rider.HipFlexion)
	assert.Negative(t, lean)
	assert.InDelta(t, -lean, hip, 1e-6)
	lean, _ = change(3, rider.TrunkLean)
	shoulder, _ := change(3, rider.ShoulderFlexion)
	assert.Negative(t, lean)
	assert.Positive(t, shoulder)
	least, most := change(4, rider.KneeFlexion)
	assert.Positive(t, least)
	assert.Negative(t, most)
	moved, gained := change(5, rider.KneeFlexion)
	assert.Less(t, moved, least/2)
	assert.Less(t, gained, most)
}
