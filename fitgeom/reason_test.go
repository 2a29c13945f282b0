package fitgeom_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
)

func TestReasons(t *testing.T) {
	assert.Equal(t, "reason(200)", fitgeom.Reason(200).String())
	assert.Equal(t, "reason(200)", fitgeom.Reason(200).Words(true))
	assert.Empty(t, fitgeom.Reason(200).Unit())
	assert.Empty(t, fitgeom.Reason(0).Unit())
	assert.Empty(t, (fitgeom.ByPlace + 1).Unit())
	words := map[string]bool{}
	var all []fitgeom.Reason
	for r := fitgeom.ByFit; r <= fitgeom.ByPlace; r++ {
		for _, better := range []bool{true, false} {
			assert.NotEmpty(t, r.Words(better), r)
			assert.False(t, words[r.Words(better)], r)
			words[r.Words(better)] = true
		}
		all = append(all, r)
	}
	trial.Names(t, fitgeom.ParseReason, all...)
}

// Points count whole steps from the middle of a range: by hand, of the table in
// DefaultPreference.
func TestPreference(t *testing.T) {
	spacers := fitgeom.Usual{From: 0, To: 30, Step: 5}
	for v, want := range map[float64]int{15: 0, 12.6: 0, 12.5: 1, 10: 1, 17.5: 1, 0: 3, 30: 3, 42.4: 5, 1e12: 10_000, math.NaN(): 10_000} {
		assert.Equal(t, want, spacers.Steps(v), v)
	}
	assert.Zero(t, fitgeom.Usual{}.Steps(7))

	b := invented.Build()
	b.Stem = part.Stem{Length: 118, Angle: 7, Height: 40}
	b.Settings = fitgeom.Settings{Spacers: 35, BarRotation: -3, Flipped: true}
	b.Saddle.RailsFrom, b.Saddle.RailsTo, b.Settings.RailClamp = 120, 160, 153
	b.Seatpost.Setback, b.SeatpostShim = 25, part.Shim{Inner: 27.2, Outer: 30.9}
	road := fitgeom.DefaultPreference(nil)
	// Length 18/10, angle -7 to -6, upside down, spacers 20/5, rotation 3/2, setback 15/10, rails 13/5, a shim.
	assert.Equal(t, 2+0+1+4+2+2+3+1, road.Of(b))
	b.Handlebar.Stem = part.Stem{} // quill stems have no spacers under them
	b.Stem.Quill, b.Settings.Spacers = part.Steps{From: 50, To: 80}, 0
	assert.Equal(t, 2+0+1+0+2+2+3+1, road.Of(b))
	assert.Zero(t, fitgeom.Preference{Nothing: true, Shim: 9}.Of(b))
	flat := fitgeom.DefaultPreference([]fitgeom.Keep{{Site: contact.GripRight}})
	aero := fitgeom.DefaultPreference([]fitgeom.Keep{{Site: contact.GripRight}, {Site: contact.PadLeft}})
	assert.Equal(t, fitgeom.Usual{From: 50, To: 90, Step: 10}, flat.StemLength)
	assert.Equal(t, fitgeom.Usual{From: 70, To: 110, Step: 10}, aero.StemLength)
	for _, p := range []fitgeom.Preference{road, flat, aero} {
		assert.NoError(t, p.Validate())
	}
	for _, r := range fitgeom.DefaultRoom() {
		assert.NoError(t, r.Validate())
	}
	err := fitgeom.RoomWish{Group: contact.OnFeet, Up: 31, Down: -1, Gap: math.Inf(1)}.Validate()
	assert.Len(t, contact.Faults(err), 4)
	assert.True(t, trial.FaultAt(err, "group", contact.ErrConflict), err)
	assert.Error(t, fitgeom.Preference{Spacers: fitgeom.Usual{From: 3, To: 1}}.Validate())
}
